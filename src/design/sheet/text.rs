//! From text to TOML: replacements, and where a text is none.

use toml_edit::{Document, Value};

use super::one;
use crate::design::fault::{FileError, Place, Problem};
use crate::keys::section;

/// Letters of a line that an error quotes.
const LONGEST_QUOTE: usize = 80;

/// A replacement as a document of its own.
pub(in crate::design) fn replacement(text: &str) -> Result<Document<String>, FileError> {
    let no_key = || {
        one(
            Place::Replaced,
            "",
            Problem::NoKey {
                text: text.to_owned(),
            },
        )
    };
    let (path, value) = text.split_once('=').ok_or_else(no_key)?;
    let path = path.trim();
    let words: Vec<&str> = path.split('.').collect();
    let word = |text: &&str| {
        !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')
    };
    // section.key, or lift.3.key of a section that there are several of.
    let named = words.first().and_then(|name| section(name));
    let is_due = match (words.len(), named) {
        (2, named) => named.is_none_or(|section| section.single),
        (3, named) => named.is_some_and(|section| section.repeated),
        _ => false,
    };
    if !is_due || !words.iter().all(word) {
        return Err(no_key());
    }
    let quoted = Value::from(value.trim()).to_string();
    let with = |value: &str| Document::parse(format!("{path} = {value}"));
    with(value).or_else(|_| with(&quoted)).map_err(|_| no_key())
}

/// The section that a replacement takes away.
pub(super) fn takes_section(text: &str) -> Option<String> {
    let (name, value) = text.split_once('=')?;
    let name = name.trim();
    let empty = value
        .chars()
        .filter(|c| !c.is_whitespace())
        .eq("[]".chars());
    (empty && section(name).is_some()).then(|| name.to_owned())
}

/// A text that is not TOML, with the line that the parser stumbles on.
pub(in crate::design) fn syntax(text: &str, error: &toml_edit::TomlError) -> FileError {
    let mut message = error
        .message()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let before = error.span().and_then(|span| text.get(..span.start));
    let (place, line) = before.map_or((Place::Absent, ""), |before| {
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        let line = text
            .get(start..)
            .and_then(|rest| rest.lines().next())
            .unwrap_or_default();
        (Place::Line(1 + before.matches('\n').count()), line)
    });
    let mut text: String = line.trim().chars().take(LONGEST_QUOTE).collect();
    if text.len() < line.trim().len() {
        text.push('…');
    }
    let name = text.trim_matches(['[', ']']);
    if message.contains("duplicate key")
        && section(name).is_some_and(|section| section.repeated && section.single)
    {
        message += &format!("; give each of several as [[{name}]]");
    }
    one(place, "", Problem::Syntax { message, text })
}
