//! Lines that are no TOML, in plain words.

/// What is wrong with a line that is no TOML, and how to mend it. The commonest slips are told in plain
/// words; the parser's own stand for the rest.
pub(super) fn explain(message: &str, line: &str) -> (String, String) {
    let line = line.split('#').next().unwrap_or_default().trim();
    let Some((key, value)) = line
        .split_once('=')
        .map(|(key, value)| (key.trim(), value.trim()))
    else {
        let mend = "each line is [section], [[flaps]], name = number, name = \"text\" or # comment";
        return (message.to_owned(), mend.to_owned());
    };
    let comma = value
        .as_bytes()
        .windows(3)
        .any(|w| matches!(w, [a, b',', c] if a.is_ascii_digit() && c.is_ascii_digit()));
    if comma {
        let mend = "write a decimal point and no thousands separator, such as 46.4 or 2320";
        return (format!("{key} = {value} is not a number"), mend.to_owned());
    }
    if value.is_empty() {
        return (
            format!("{key} has no value"),
            "write one, or remove the line".to_owned(),
        );
    }
    if value.starts_with(|first: char| first.is_ascii_digit()) && value.contains(' ') {
        let mend = format!("write the bare number, such as {key} = 50.5; its unit is in the name");
        return (format!("{key} = {value} is not a number"), mend);
    }
    if value.starts_with(char::is_alphabetic) {
        let mend = format!("put it in quotes, {key} = \"…\", if it is meant as text");
        return (format!("{key} = {value} has text without quotes"), mend);
    }
    (
        message.to_owned(),
        "write it as name = number or name = \"text\"".to_owned(),
    )
}
