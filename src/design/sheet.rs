//! A design file as sections of keys, with the line of everything and what is wrong with it.

use std::cell::RefCell;

use toml_edit::{Document, Item, Value};

use super::fault::{Fault, FileError, Place, Problem};
use super::section::{Section, kind};
use crate::error::{Error, Input};
use crate::name::nearest;

/// Sections of a design file.
pub(super) const SECTIONS: [&str; 9] = [
    "water", "site", "riser", "air", "model", "duty", "limits", "tank", "trial",
];

/// Letters of a line that an error quotes.
const LONGEST_QUOTE: usize = 80;

/// Keys of a file that stand for the same input: the first is the one that [`Input::key`] gives.
const SPELLINGS: [[&str; 2]; 4] = [
    ["riser.bore", "riser.pipe"],
    ["site.pressure", "site.altitude"],
    ["air.flow", "air.mass_flow"],
    ["limits.standards", "limits.pipes"],
];

/// Section, key, and another key that says the same thing in another way.
const OTHER_WAYS: [(&str, &str, &str); 7] = [
    ("riser", "bore", "pipe"),
    ("riser", "pipe", "bore"),
    ("site", "pressure", "altitude"),
    ("site", "altitude", "pressure"),
    ("air", "flow", "mass_flow"),
    ("air", "reference", "mass_flow"),
    ("air", "mass_flow", "flow"),
];

/// The text of a design file, taken apart but not understood yet.
#[derive(Debug)]
pub(super) struct Sheet {
    document: Document<String>,
    /// Offset of the end of each line.
    line_ends: Vec<usize>,
    replaced: Vec<Document<String>>,
    faults: RefCell<Vec<Fault>>,
}

impl Sheet {
    /// Takes a file apart; each replacement is `section.key=value`, where a value that is not
    /// TOML stands for itself as text.
    pub fn parse(text: &str, replacements: &[String]) -> Result<Self, FileError> {
        Self::parse_as(text, replacements, &SECTIONS)
    }

    /// The same of a file with other sections.
    pub fn parse_as(
        text: &str,
        replacements: &[String],
        sections: &[&str],
    ) -> Result<Self, FileError> {
        let sheet = Self {
            document: Document::parse(text.to_owned()).map_err(|error| syntax(text, &error))?,
            line_ends: text
                .bytes()
                .enumerate()
                .filter(|(_, byte)| *byte == b'\n')
                .map(|(offset, _)| offset)
                .collect(),
            replaced: replacements
                .iter()
                .map(|text| replacement(text))
                .collect::<Result<_, _>>()?,
            faults: RefCell::default(),
        };
        for (name, item) in sheet.tables().flat_map(|(document, _)| document.iter()) {
            let place = sheet.place_of_section(name);
            if sections.contains(&name) {
                if item.as_table_like().is_none() {
                    sheet.fault(
                        place,
                        name,
                        Problem::WrongType {
                            expected: "a section",
                            found: kind(item),
                        },
                    );
                }
            } else if item.as_table_like().is_some() || item.is_array_of_tables() {
                sheet.fault(
                    place,
                    "",
                    Problem::UnknownSection {
                        name: name.to_owned(),
                        nearest: nearest(name, sections),
                    },
                );
            } else {
                sheet.fault(
                    place,
                    "",
                    Problem::OutsideSection {
                        name: name.to_owned(),
                    },
                );
            }
        }
        if sheet.tables().all(|(document, _)| document.is_empty()) {
            let start = if sections == SECTIONS {
                "`risewater example` prints a file to start from"
            } else {
                "`risewater trial fit --save` writes a calibration"
            };
            sheet.fault(Place::Absent, "", Problem::Empty { start });
        }
        Ok(sheet)
    }

    /// The file, then the replacements.
    pub fn tables(&self) -> impl Iterator<Item = (&Document<String>, bool)> {
        std::iter::once((&self.document, false))
            .chain(self.replaced.iter().map(|document| (document, true)))
    }

    fn place_of_section(&self, name: &str) -> Place {
        match self
            .document
            .key(name)
            .and_then(toml_edit::Key::span)
            .or_else(|| self.document.get(name).and_then(Item::span))
        {
            Some(span) => self.line(span.start),
            None => Place::Replaced,
        }
    }

    fn line(&self, offset: usize) -> Place {
        Place::Line(1 + self.line_ends.partition_point(|end| *end < offset))
    }

    /// The value of a key and where it stands; the last replacement wins.
    pub fn find(&self, section: &str, key: &str) -> Option<(&Item, Place)> {
        let mut found = None;
        for (document, replaced) in self.tables() {
            let Some(table) = document.get(section).and_then(Item::as_table_like) else {
                continue;
            };
            let Some(item) = table.get(key) else { continue };
            let span = item
                .span()
                .or_else(|| table.key(key).and_then(toml_edit::Key::span));
            let place = match span {
                Some(span) if !replaced => self.line(span.start),
                _ => Place::Replaced,
            };
            found = Some((item, place));
        }
        // A replacement speaks for the keys that say the same thing in the file.
        if let Some((_, Place::Line(_))) = found
            && OTHER_WAYS
                .iter()
                .filter(|(of, one, _)| *of == section && *one == key)
                .any(|(_, _, other)| self.is_replaced(section, other))
        {
            return None;
        }
        found
    }

    fn is_replaced(&self, section: &str, key: &str) -> bool {
        let given = |document: &Document<String>| {
            let table = document.get(section).and_then(Item::as_table_like);
            table.is_some_and(|table| table.contains_key(key))
        };
        self.replaced.iter().any(given)
    }

    /// Where `section.key` stands.
    pub fn place(&self, path: &str) -> Place {
        let (section, key) = path.split_once('.').unwrap_or((path, ""));
        self.find(section, key)
            .map_or(Place::Absent, |(_, place)| place)
    }

    /// Whether a section is there at all.
    pub fn has(&self, section: &str) -> bool {
        self.tables()
            .any(|(document, _)| document.contains_key(section))
    }

    pub fn fault(&self, place: Place, key: &str, problem: Problem) {
        self.faults.borrow_mut().push(Fault {
            place,
            key: key.to_owned(),
            problem,
        });
    }

    /// A value that the library refuses, at a key to blame that is there, or else at the given one.
    pub fn refused(&self, error: Error, otherwise: &str) {
        let blamed: Vec<&'static str> = error
            .inputs()
            .into_iter()
            .flatten()
            .map(Input::key)
            .filter(|key| !key.is_empty())
            .collect();
        let there = blamed
            .iter()
            .flat_map(|key| spellings(key))
            .find(|key| self.place(key) != Place::Absent);
        let key = there.or(blamed.first().copied()).unwrap_or(otherwise);
        self.fault(self.place(key), key, Problem::Refused(error));
    }

    /// The value, or none with the fault noted.
    pub fn keep<T>(&self, result: Result<T, Error>, otherwise: &str) -> Option<T> {
        result.map_err(|error| self.refused(error, otherwise)).ok()
    }

    /// All faults noted so far, by line.
    pub fn verdict(&self) -> Result<(), FileError> {
        let mut faults = self.faults.borrow().clone();
        faults.sort_by_key(|fault| fault.place);
        faults.dedup();
        if faults.is_empty() {
            Ok(())
        } else {
            Err(FileError::Faults { faults })
        }
    }

    /// The same, and a clean slate after it: faults of a later question are its own.
    pub fn verdict_and_forget(&self) -> Result<(), FileError> {
        let verdict = self.verdict();
        self.faults.borrow_mut().clear();
        verdict
    }

    pub fn section(&self, name: &'static str) -> Section<'_> {
        Section::new(self, name)
    }
}

/// The keys of a file that stand for an input, by the one that names it.
fn spellings(key: &'static str) -> Vec<&'static str> {
    SPELLINGS
        .into_iter()
        .find(|keys| keys[0] == key)
        .map_or_else(|| vec![key], Vec::from)
}

pub(super) fn one(place: Place, key: &str, problem: Problem) -> FileError {
    FileError::Faults {
        faults: vec![Fault {
            place,
            key: key.to_owned(),
            problem,
        }],
    }
}

/// A replacement as a document of its own.
fn replacement(text: &str) -> Result<Document<String>, FileError> {
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
    let (section, key) = path.trim().split_once('.').ok_or_else(no_key)?;
    let word = |text: &str| {
        !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')
    };
    if !word(section) || !word(key) {
        return Err(no_key());
    }
    let quoted = Value::from(value.trim()).to_string();
    let with = |value: &str| Document::parse(format!("{section}.{key} = {value}"));
    with(value).or_else(|_| with(&quoted)).map_err(|_| no_key())
}

/// A text that is not TOML, with the line that the parser stumbles on.
fn syntax(text: &str, error: &toml_edit::TomlError) -> FileError {
    let message = error
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
    one(place, "", Problem::Syntax { message, text })
}
