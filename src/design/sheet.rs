//! A design file as sections of keys, with the line of everything and what is wrong with it.

use std::cell::RefCell;

use toml_edit::{Document, Item, TableLike, Value};

use super::fault::{Fault, FileError, Place, Problem};
use super::quantity::{self, QuantityError};
use crate::error::Error;
use crate::name::nearest;
use crate::units::Ratio;

/// Sections of a design file.
pub(super) const SECTIONS: [&str; 8] = ["water", "site", "riser", "air", "model", "duty", "limits", "tank"];

/// The text of a design file, taken apart but not understood yet.
#[derive(Debug)]
pub(super) struct Sheet {
    document: Document<String>,
    replaced: Vec<Document<String>>,
    faults: RefCell<Vec<Fault>>,
}

impl Sheet {
    /// Takes a file apart; each replacement is `section.key=value`, where a value that is not
    /// TOML stands for itself as text.
    pub fn parse(text: &str, replacements: &[String]) -> Result<Self, FileError> {
        let document = Document::parse(text.to_owned()).map_err(|e| {
            let line = e.span().map_or(Place::Absent, |span| Place::Line(line_of(text, span.start)));
            let message = e.message().split_whitespace().collect::<Vec<_>>().join(" ");
            one(line, "", Problem::Syntax { message })
        })?;
        let sheet = Self {
            document,
            replaced: replacements.iter().map(|text| replacement(text)).collect::<Result<_, _>>()?,
            faults: RefCell::default(),
        };
        for (name, item) in sheet.tables().flat_map(|(document, _)| document.iter()) {
            let place = sheet.place_of_section(name);
            if !SECTIONS.contains(&name) {
                sheet.fault(place, "", Problem::UnknownSection { name: name.to_owned(), nearest: nearest(name, SECTIONS) });
            } else if item.as_table_like().is_none() {
                sheet.fault(place, name, Problem::WrongType { expected: "a section", found: kind(item) });
            }
        }
        Ok(sheet)
    }

    /// The file, then the replacements.
    fn tables(&self) -> impl Iterator<Item = (&Document<String>, bool)> {
        std::iter::once((&self.document, false)).chain(self.replaced.iter().map(|document| (document, true)))
    }

    fn place_of_section(&self, name: &str) -> Place {
        match self.document.key(name).and_then(toml_edit::Key::span).or_else(|| self.document.get(name).and_then(Item::span)) {
            Some(span) => Place::Line(line_of(self.document.raw(), span.start)),
            None => Place::Replaced,
        }
    }

    /// The value of a key and where it stands; the last replacement wins.
    fn find(&self, section: &str, key: &str) -> Option<(&Item, Place)> {
        let mut found = None;
        for (document, replaced) in self.tables() {
            let Some(table) = document.get(section).and_then(Item::as_table_like) else { continue };
            let Some(item) = table.get(key) else { continue };
            let span = item.span().or_else(|| table.key(key).and_then(toml_edit::Key::span));
            let place = match span {
                Some(span) if !replaced => Place::Line(line_of(document.raw(), span.start)),
                _ => Place::Replaced,
            };
            found = Some((item, place));
        }
        found
    }

    /// Where `section.key` stands.
    pub fn place(&self, path: &str) -> Place {
        let (section, key) = path.split_once('.').unwrap_or((path, ""));
        self.find(section, key).map_or(Place::Absent, |(_, place)| place)
    }

    /// Whether a section is there at all.
    pub fn has(&self, section: &str) -> bool {
        self.tables().any(|(document, _)| document.contains_key(section))
    }

    pub fn fault(&self, place: Place, key: &str, problem: Problem) {
        self.faults.borrow_mut().push(Fault { place, key: key.to_owned(), problem });
    }

    /// A value that the library refuses, at the key to blame or else at the given one.
    pub fn refused(&self, error: Error, otherwise: &str) {
        let key = error.input().map(crate::error::Input::key).filter(|key| !key.is_empty()).unwrap_or(otherwise);
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
        if faults.is_empty() { Ok(()) } else { Err(FileError::Faults { faults }) }
    }

    /// The same, and a clean slate after it: faults of a later question are its own.
    pub fn verdict_and_forget(&self) -> Result<(), FileError> {
        let verdict = self.verdict();
        self.faults.borrow_mut().clear();
        verdict
    }

    pub fn section(&self, name: &'static str) -> Section<'_> {
        Section { sheet: self, name, known: Vec::new() }
    }
}

/// One section, whose keys are asked for one by one.
pub(super) struct Section<'a> {
    sheet: &'a Sheet,
    name: &'static str,
    known: Vec<&'static str>,
}

impl<'a> Section<'a> {
    fn find(&mut self, key: &'static str) -> Option<(&'a Item, Place)> {
        self.known.push(key);
        self.sheet.find(self.name, key)
    }

    /// Notes a fault at a key.
    pub fn fault(&self, key: &str, problem: Problem) {
        let path = format!("{}.{key}", self.name);
        self.sheet.fault(self.sheet.place(&path), &path, problem);
    }

    fn wrong<T>(&self, key: &str, expected: &'static str, item: &Item) -> Option<T> {
        self.fault(key, Problem::WrongType { expected, found: kind(item) });
        None
    }

    /// A text with a unit.
    pub fn quantity<T>(&mut self, key: &'static str, parse: fn(&str) -> Result<T, QuantityError>) -> Option<T> {
        let (item, _) = self.find(key)?;
        let text = match item.as_value() {
            Some(Value::String(text)) => text.value().clone(),
            // A bare number lacks its unit: let the parser say what would do.
            Some(Value::Integer(number)) => number.value().to_string(),
            Some(Value::Float(number)) => number.value().to_string(),
            _ => return self.wrong(key, "a text with a unit, such as \"76.2 mm\",", item),
        };
        parse(&text).map_err(|problem| self.fault(key, problem.into())).ok()
    }

    /// A plain number.
    pub fn number(&mut self, key: &'static str) -> Option<Ratio> {
        let (item, _) = self.find(key)?;
        match item.as_value() {
            Some(Value::Integer(_) | Value::Float(_) | Value::String(_)) => self.quantity(key, quantity::ratio),
            _ => self.wrong(key, "a number", item),
        }
    }

    /// A whole number that is not negative.
    pub fn count(&mut self, key: &'static str) -> Option<u32> {
        let (item, _) = self.find(key)?;
        match item.as_integer().map(u32::try_from) {
            Some(Ok(count)) => Some(count),
            _ => self.wrong(key, "a whole number above zero", item),
        }
    }

    /// A text.
    pub fn text(&mut self, key: &'static str) -> Option<&'a str> {
        let (item, _) = self.find(key)?;
        item.as_str().or_else(|| self.wrong(key, "a text", item))
    }

    /// A list of texts.
    pub fn texts(&mut self, key: &'static str) -> Option<Vec<&'a str>> {
        let (item, _) = self.find(key)?;
        let texts = item.as_array().and_then(|array| array.iter().map(Value::as_str).collect::<Option<Vec<_>>>());
        texts.or_else(|| self.wrong(key, "a list of texts, such as [\"one\", \"two\"],", item))
    }

    /// A text, or a table of its own.
    pub fn text_or_table(&mut self, key: &'static str) -> Option<Result<&'a str, &'a dyn TableLike>> {
        let (item, _) = self.find(key)?;
        if let Some(text) = item.as_str() {
            return Some(Ok(text));
        }
        item.as_table_like().map(Err).or_else(|| self.wrong(key, "a name or a table", item))
    }

    /// Whether a key is there.
    pub fn has(&self, key: &str) -> bool {
        self.sheet.find(self.name, key).is_some()
    }

    /// Notes every key that was not asked for.
    pub fn close(self) {
        for (document, _) in self.sheet.tables() {
            let Some(table) = document.get(self.name).and_then(Item::as_table_like) else { continue };
            for (name, _) in table.iter().filter(|(name, _)| !self.known.contains(name)) {
                let problem = Problem::UnknownKey {
                    section: self.name,
                    name: name.to_owned(),
                    nearest: nearest(name, &self.known),
                };
                self.fault(name, problem);
            }
        }
    }
}

pub(super) fn one(place: Place, key: &str, problem: Problem) -> FileError {
    FileError::Faults { faults: vec![Fault { place, key: key.to_owned(), problem }] }
}

/// A replacement as a document of its own.
fn replacement(text: &str) -> Result<Document<String>, FileError> {
    let no_key = || one(Place::Replaced, "", Problem::NoKey { text: text.to_owned() });
    let (path, value) = text.split_once('=').ok_or_else(no_key)?;
    let (section, key) = path.trim().split_once('.').ok_or_else(no_key)?;
    let word = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    if !word(section) || !word(key) {
        return Err(no_key());
    }
    let quoted = Value::from(value.trim()).to_string();
    let with = |value: &str| Document::parse(format!("{section}.{key} = {value}"));
    with(value).or_else(|_| with(&quoted)).map_err(|_| no_key())
}

fn line_of(text: &str, offset: usize) -> usize {
    1 + text.as_bytes().iter().take(offset).filter(|byte| **byte == b'\n').count()
}

fn kind(item: &Item) -> &'static str {
    match item {
        Item::None => "nothing",
        Item::Value(Value::String(_)) => "a text",
        Item::Value(Value::Integer(_) | Value::Float(_)) => "a number",
        Item::Value(Value::Boolean(_)) => "true or false",
        Item::Value(Value::Datetime(_)) => "a date",
        Item::Value(Value::Array(_)) => "a list",
        Item::Value(Value::InlineTable(_)) | Item::Table(_) => "a table",
        Item::ArrayOfTables(_) => "a list of tables",
    }
}
