//! Writes a text as TOML has it.

use std::fmt::Write;

/// Returns a text between quotes, with what TOML would misread escaped.
///
/// ```
/// # use solderside_profile::toml_text;
/// assert_eq!(toml_text("a \"b\"\n"), r#""a \"b\"\u000A""#);
/// ```
pub fn toml_text(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => _ = write!(quoted, "\\u{:04X}", u32::from(c)),
            c => quoted.push(c),
        }
    }
    quoted + "\""
}
