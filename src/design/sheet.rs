//! A design file as sections of keys, with the line of everything and what is wrong with it.

mod spellings;
mod text;

use std::cell::RefCell;
use std::sync::Arc;

use toml_edit::{Document, Item, TableLike};

use super::fault::{Fault, FileError, Place, Problem};
use super::section::{Section, kind};
use crate::error::{Error, Input};
use crate::name::{folded, nearest};
use crate::pipe::Pipe;
use spellings::{spellings, spellings_in};
use text::{replacement, syntax};

/// Names of the sections of a design file.
pub const SECTIONS: [&str; 22] = [
    "water",
    "site",
    "pipe",
    "riser",
    "air",
    "model",
    "duty",
    "limits",
    "tank",
    "gas",
    "trial",
    "aeration",
    "blower",
    "main_line",
    "header",
    "branch",
    "balance",
    "lift",
    "tariff",
    "stock",
    "need",
    "rearing_tank",
];

/// Sections that there are several of, as `[[lift]]`; each goes by its name and its number: `lift 3`.
const REPEATED: [&str; 3] = ["pipe", "lift", "rearing_tank"];

/// Section, key, and another key that says the same thing in another way.
const OTHER_WAYS: [(&str, &str, &str); 31] = [
    ("riser", "bore", "pipe"),
    ("riser", "pipe", "bore"),
    ("site", "pressure", "altitude"),
    ("site", "altitude", "pressure"),
    ("air", "flow", "mass_flow"),
    ("air", "reference", "mass_flow"),
    ("air", "mass_flow", "flow"),
    ("main_line", "bore", "pipe"),
    ("main_line", "pipe", "bore"),
    ("header", "bore", "pipe"),
    ("header", "pipe", "bore"),
    ("branch", "bore", "pipe"),
    ("branch", "pipe", "bore"),
    ("lift", "bore", "pipe"),
    ("lift", "pipe", "bore"),
    ("lift", "line_bore", "line_pipe"),
    ("lift", "line_pipe", "line_bore"),
    ("lift", "water_flow", "air_flow"),
    ("lift", "air_flow", "water_flow"),
    ("need", "feed", "feed_rate"),
    ("need", "feed_rate", "feed"),
    ("need", "entering_oxygen", "entering_saturation"),
    ("need", "entering_oxygen", "reaeration"),
    ("need", "entering_saturation", "entering_oxygen"),
    ("need", "entering_saturation", "reaeration"),
    ("need", "reaeration", "entering_oxygen"),
    ("need", "reaeration", "entering_saturation"),
    ("need", "entering_tan", "tan_removal"),
    ("need", "tan_removal", "entering_tan"),
    ("need", "entering_carbon_dioxide", "carbon_dioxide_removal"),
    ("need", "carbon_dioxide_removal", "entering_carbon_dioxide"),
];

/// The text of a design file, taken apart but not understood yet.
#[derive(Debug)]
pub(super) struct Sheet {
    document: Document<String>,
    /// Offset of the end of each line.
    line_ends: Vec<usize>,
    replaced: Vec<Document<String>>,
    faults: RefCell<Vec<Fault>>,
    /// The pipes of `[[pipe]]`, which other sections name.
    pub pipes: OwnPipes,
}

/// Pipes that a file describes itself.
#[derive(Debug, Default)]
pub(super) struct OwnPipes {
    /// The name of each, in the file's order, of those too that have faults.
    pub names: Vec<String>,
    /// Those without faults.
    pub pipes: Vec<Arc<Pipe>>,
}

impl OwnPipes {
    /// The number of the pipe that goes by a name, from 1.
    pub fn number(&self, name: &str) -> Option<usize> {
        let same = |known: &String| folded(known) == folded(name);
        self.names.iter().position(same).map(|n| n + 1)
    }
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
            pipes: OwnPipes::default(),
        };
        for ((name, item), replaced) in sheet
            .tables()
            .flat_map(|(document, replaced)| document.iter().map(move |one| (one, replaced)))
        {
            let place = sheet.place_of_section(name);
            if sections.contains(&name) {
                if REPEATED.contains(&name) {
                    sheet.check_repeated(name, item, replaced);
                } else if item.as_table_like().is_none() {
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

    /// Whether a section of which there are several is written so, and a replacement names one that is there.
    fn check_repeated(&self, name: &str, item: &Item, replaced: bool) {
        if !replaced {
            if !item.is_array_of_tables() {
                let expected = match name {
                    "pipe" => "[[pipe]], once for each pipe and with two brackets each side,",
                    "lift" => "[[lift]], once for each lift and with two brackets each side,",
                    _ => "[[rearing_tank]], once for each tank and with two brackets each side,",
                };
                let found = kind(item);
                let problem = Problem::WrongType { expected, found };
                self.fault(self.place_of_section(name), name, problem);
            }
            return;
        }
        let count = self.count(name);
        for (number, _) in item.as_table_like().into_iter().flat_map(TableLike::iter) {
            let there = number.parse().is_ok_and(|n: usize| n >= 1 && n <= count);
            if !there {
                let problem = Problem::NoSuchTable {
                    name: name.to_owned(),
                    number: number.to_owned(),
                    count,
                };
                self.fault(Place::Replaced, "", problem);
            }
        }
    }

    /// How many sections of a name the file has, of those that there are several of.
    pub fn count(&self, name: &str) -> usize {
        let tables = self.document.get(name).and_then(Item::as_array_of_tables);
        tables.map_or(0, toml_edit::ArrayOfTables::len)
    }

    /// The table of a section, `lift 3` being the third of `[[lift]]`.
    pub fn table<'a>(document: &'a Document<String>, section: &str) -> Option<&'a dyn TableLike> {
        let Some((name, number)) = section.split_once(' ') else {
            return document.get(section).and_then(Item::as_table_like);
        };
        let item = document.get(name)?;
        if let Some(tables) = item.as_array_of_tables() {
            let n: usize = number.parse().ok()?;
            return Some(tables.get(n.checked_sub(1)?)?);
        }
        item.as_table_like()?.get(number)?.as_table_like()
    }

    /// The value of a key and where it stands; the last replacement wins.
    pub fn find(&self, section: &str, key: &str) -> Option<(&Item, Place)> {
        let mut found = None;
        let name = match section.split(' ').next().unwrap_or(section) {
            // Its keys are those of [need].
            "rearing_tank" => "need",
            name => name,
        };
        for (document, replaced) in self.tables() {
            let Some(table) = Self::table(document, section) else {
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
                .filter(|(of, one, _)| *of == name && *one == key)
                .any(|(_, _, other)| self.is_replaced(section, other))
        {
            return None;
        }
        found
    }

    fn is_replaced(&self, section: &str, key: &str) -> bool {
        let given = |document: &Document<String>| {
            Self::table(document, section).is_some_and(|table| table.contains_key(key))
        };
        self.replaced.iter().any(given)
    }

    /// Where `section.key` stands; of a key that is not there, its own section where there are several.
    pub fn place(&self, path: &str) -> Place {
        let (section, key) = path.split_once('.').unwrap_or((path, ""));
        let place = self.find(section, key).map(|(_, place)| place);
        place
            .or_else(|| self.place_of_repeated(section))
            .unwrap_or(Place::Absent)
    }

    fn place_of_repeated(&self, section: &str) -> Option<Place> {
        let (name, number) = section.split_once(' ')?;
        let tables = self.document.get(name)?.as_array_of_tables()?;
        let n: usize = number.parse().ok()?;
        let span = tables.get(n.checked_sub(1)?)?.span()?;
        Some(self.line(span.start))
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

    /// The same for one section of several: its own key where it has one for what is to blame.
    pub fn refused_in(&self, section: &str, error: Error, otherwise: &str) {
        let inputs = error.inputs().into_iter().flatten();
        let own = inputs.filter_map(|input| {
            let (_, key) = input.key().split_once('.')?;
            let key = spellings_in(section, key)
                .into_iter()
                .find(|key| self.find(section, key).is_some())?;
            Some(format!("{section}.{key}"))
        });
        match own.collect::<Vec<_>>().first() {
            Some(path) => self.fault(self.place(path), path, Problem::Refused(error)),
            None if error.input().is_some_and(|input| {
                spellings(input.key())
                    .iter()
                    .any(|key| self.place(key) != Place::Absent)
            }) =>
            {
                self.refused(error, otherwise);
            }
            None => self.fault(self.place(otherwise), otherwise, Problem::Refused(error)),
        }
    }

    /// The value, or none with the fault noted.
    pub fn keep<T>(&self, result: Result<T, Error>, otherwise: &str) -> Option<T> {
        result.map_err(|error| self.refused(error, otherwise)).ok()
    }

    /// The pipe of a name, of the file's own or of the catalogue, or none with the fault noted at the key.
    pub fn pipe(&self, name: &str, key: &str) -> Option<Arc<Pipe>> {
        let found = Pipe::named_among(name, &self.pipes.pipes);
        if found.is_err() && self.pipes.number(name).is_some() {
            // What is wrong with it is told where it stands.
            return None;
        }
        self.keep(found, key)
    }

    /// Whether a fault is noted at a key.
    #[cfg(feature = "supply")]
    pub fn has_fault(&self, key: &str) -> bool {
        self.faults.borrow().iter().any(|fault| fault.key == key)
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

    /// One section of a name that there are several of, by its number from 1.
    pub fn numbered(&self, name: &'static str, number: usize) -> Section<'_> {
        Section::numbered(self, name, number)
    }
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
