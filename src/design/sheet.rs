//! A design file as sections of keys, with the line of everything and what is wrong with it.

use std::cell::RefCell;

use toml_edit::{Document, Item, TableLike, Value};

use super::fault::{Fault, FileError, Place, Problem};
use super::quantity::{self, QuantityError};
use crate::error::{Error, Input, Range};
use crate::name::nearest;
use crate::units::{Ratio, ratio};

/// Sections of a design file.
pub(super) const SECTIONS: [&str; 8] = ["water", "site", "riser", "air", "model", "duty", "limits", "tank"];

/// Letters of a line that an error quotes.
const LONGEST_QUOTE: usize = 80;

/// Keys of a file that stand for the same input: the first is the one that [`Input::key`] gives.
const SPELLINGS: [[&str; 2]; 4] = [
    ["riser.bore", "riser.pipe"],
    ["site.pressure", "site.altitude"],
    ["air.flow", "air.mass_flow"],
    ["limits.standards", "limits.pipes"],
];

/// What a value must lie in: the input, its range, and its number in the range's unit.
pub(super) type Bound<T> = (Input, Range, fn(T) -> f64);

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
        let sheet = Self {
            document: Document::parse(text.to_owned()).map_err(|error| syntax(text, &error))?,
            line_ends: text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(offset, _)| offset).collect(),
            replaced: replacements.iter().map(|text| replacement(text)).collect::<Result<_, _>>()?,
            faults: RefCell::default(),
        };
        for (name, item) in sheet.tables().flat_map(|(document, _)| document.iter()) {
            let place = sheet.place_of_section(name);
            if SECTIONS.contains(&name) {
                if item.as_table_like().is_none() {
                    sheet.fault(place, name, Problem::WrongType { expected: "a section", found: kind(item) });
                }
            } else if item.as_table_like().is_some() || item.is_array_of_tables() {
                sheet.fault(place, "", Problem::UnknownSection { name: name.to_owned(), nearest: nearest(name, SECTIONS) });
            } else {
                sheet.fault(place, "", Problem::OutsideSection { name: name.to_owned() });
            }
        }
        if sheet.tables().all(|(document, _)| document.is_empty()) {
            sheet.fault(Place::Absent, "", Problem::Empty);
        }
        Ok(sheet)
    }

    /// The file, then the replacements.
    fn tables(&self) -> impl Iterator<Item = (&Document<String>, bool)> {
        std::iter::once((&self.document, false)).chain(self.replaced.iter().map(|document| (document, true)))
    }

    fn place_of_section(&self, name: &str) -> Place {
        match self.document.key(name).and_then(toml_edit::Key::span).or_else(|| self.document.get(name).and_then(Item::span)) {
            Some(span) => self.line(span.start),
            None => Place::Replaced,
        }
    }

    fn line(&self, offset: usize) -> Place {
        Place::Line(1 + self.line_ends.partition_point(|end| *end < offset))
    }

    /// The value of a key and where it stands; the last replacement wins.
    fn find(&self, section: &str, key: &str) -> Option<(&Item, Place)> {
        let mut found = None;
        for (document, replaced) in self.tables() {
            let Some(table) = document.get(section).and_then(Item::as_table_like) else { continue };
            let Some(item) = table.get(key) else { continue };
            let span = item.span().or_else(|| table.key(key).and_then(toml_edit::Key::span));
            let place = match span {
                Some(span) if !replaced => self.line(span.start),
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

    /// A value that the library refuses, at a key to blame that is there, or else at the given one.
    pub fn refused(&self, error: Error, otherwise: &str) {
        let blamed: Vec<&'static str> =
            error.inputs().into_iter().flatten().map(Input::key).filter(|key| !key.is_empty()).collect();
        let there = blamed.iter().flat_map(|key| spellings(key)).find(|key| self.place(key) != Place::Absent);
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

    /// A text with a unit, whose number lies within a bound.
    pub fn quantity<T: Copy>(
        &mut self,
        key: &'static str,
        parse: fn(&str) -> Result<T, QuantityError>,
        (what, range, number): Bound<T>,
    ) -> Option<T> {
        let quantity = self.text_with_unit(key, parse)?;
        range.check(what, number(quantity)).map_err(|error| self.fault(key, Problem::Refused(error))).ok()?;
        Some(quantity)
    }

    fn text_with_unit<T>(&mut self, key: &'static str, parse: fn(&str) -> Result<T, QuantityError>) -> Option<T> {
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

    /// A plain number within a bound.
    pub fn number(&mut self, key: &'static str, what: Input, range: Range) -> Option<Ratio> {
        let (item, _) = self.find(key)?;
        match item.as_value() {
            Some(Value::Integer(_) | Value::Float(_) | Value::String(_)) => {
                self.quantity(key, quantity::ratio, (what, range, |number| number.get::<ratio>()))
            }
            _ => self.wrong(key, "a number", item),
        }
    }

    /// A whole number within a bound.
    pub fn count(&mut self, key: &'static str, what: Input, range: Range) -> Option<u32> {
        let (item, _) = self.find(key)?;
        let Some(count) = item.as_integer() else {
            return self.wrong(key, "a whole number", item);
        };
        range.check(what, count as f64).map_err(|error| self.fault(key, Problem::Refused(error))).ok()?;
        u32::try_from(count).ok()
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

/// The keys of a file that stand for an input, by the one that names it.
fn spellings(key: &'static str) -> Vec<&'static str> {
    SPELLINGS.into_iter().find(|keys| keys[0] == key).map_or_else(|| vec![key], Vec::from)
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

/// A text that is not TOML, with the line that the parser stumbles on.
fn syntax(text: &str, error: &toml_edit::TomlError) -> FileError {
    let message = error.message().split_whitespace().collect::<Vec<_>>().join(" ");
    let before = error.span().and_then(|span| text.get(..span.start));
    let (place, line) = before.map_or((Place::Absent, ""), |before| {
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        let line = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
        (Place::Line(1 + before.matches('\n').count()), line)
    });
    let mut text: String = line.trim().chars().take(LONGEST_QUOTE).collect();
    if text.len() < line.trim().len() {
        text.push('…');
    }
    one(place, "", Problem::Syntax { message, text })
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
