//! Text for an 80-column terminal.

use anstream::adapter::strip_str;
use std::fmt::Write as _;

/// Columns of the terminal that we write for.
pub const WIDTH: usize = 80;

/// Appends words wrapped to the width, with a first and a hanging indent.
pub fn wrapped(out: &mut String, first: &str, hanging: &str, words: &str) {
    let mut line = first.to_owned();
    let mut fresh = true;
    for word in words.split_whitespace() {
        let length = strip_str(&line).to_string().chars().count();
        if !fresh && length + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(out, "{line}");
            line = hanging.to_owned();
            fresh = true;
        }
        if !fresh {
            line.push(' ');
        }
        line.push_str(word);
        fresh = false;
    }
    let _ = writeln!(out, "{line}");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_no_wrapped_line_is_wider_than_the_terminal() {
        let mut out = String::new();
        wrapped(
            &mut out,
            "  ",
            "      ",
            &"a word of some length and then more ".repeat(20),
        );
        assert!(out.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(out.lines().count() > 5);
    }
}
