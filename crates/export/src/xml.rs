//! Text inside XML 1.0.

/// Escapes text for content and for attributes in quotes; characters that XML 1.0 cannot hold at all
/// (section 2.2, production Char) become U+FFFD, so that one stray byte in a name does not spoil the file.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // A bare carriage return would be read as a line feed (section 2.11).
            '\r' => out.push_str("&#13;"),
            '\t' | '\n' => out.push(letter),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            _ if letter < ' ' => out.push('\u{fffd}'),
            _ => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escaped;

    /// XML 1.0 (fifth edition), sections 2.2 and 2.4.
    #[test]
    fn val_escaped() {
        assert_eq!(
            escaped("a<b>&\"c\" ]]>"),
            "a&lt;b&gt;&amp;&quot;c&quot; ]]&gt;"
        );
        assert_eq!(escaped("\u{1}x\u{0}\u{ffff}"), "\u{fffd}x\u{fffd}\u{fffd}");
        assert_eq!(escaped("Zoë\n\t\r"), "Zoë\n\t&#13;");
    }
}
