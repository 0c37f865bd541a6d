//! A design file as sections of keys, with the line of everything and what is wrong with it.

pub(super) mod text;

use std::cell::RefCell;
use std::sync::Arc;

use toml_edit::{Document, Item, TableLike};

use super::fault::{Fault, FileError, Place, Problem};
use super::layers::Layers;
use super::read::kind;
use crate::error::{Error, Input};
use crate::keys::{SECTIONS, Section, section};
use crate::name::{folded, nearest};
use crate::pipe::Pipe;
use text::{replacement, syntax, takes_section};

/// The section of keys that vary: its keys are those of others.
pub(super) const SWEEP: &str = "sweep";

/// The text of a design file, taken apart but not understood yet.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    document: Document<String>,
    /// Offset of the end of each line.
    line_ends: Vec<usize>,
    replaced: Vec<Document<String>>,
    /// Sections of the file that a replacement takes away.
    taken: Vec<String>,
    faults: RefCell<Vec<Fault>>,
    /// The pipes of `[[pipe]]`, which other sections name.
    pub pipes: OwnPipes,
}

/// Pipes that a file describes itself.
#[derive(Debug, Clone, Default)]
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
    /// TOML stands for itself as text. `section.key=[]` takes the key away, unless its list may be empty, and `section=[]` the
    /// section, or all of a kind.
    pub fn parse(text: &str, replacements: &[String]) -> Result<Self, FileError> {
        let (taken, kept): (Vec<_>, Vec<_>) = replacements
            .iter()
            .partition(|text| takes_section(text).is_some());
        let sheet = Self {
            document: Document::parse(text.to_owned()).map_err(|error| syntax(text, &error))?,
            line_ends: text
                .bytes()
                .enumerate()
                .filter(|(_, byte)| *byte == b'\n')
                .map(|(offset, _)| offset)
                .collect(),
            replaced: kept
                .into_iter()
                .map(|text| replacement(text))
                .collect::<Result<_, _>>()?,
            taken: taken
                .iter()
                .filter_map(|text| takes_section(text))
                .collect(),
            faults: RefCell::default(),
            pipes: OwnPipes::default(),
        };
        for ((name, item), replaced) in sheet
            .tables()
            .flat_map(|(document, replaced)| document.iter().map(move |one| (one, replaced)))
            .filter(|((name, _), replaced)| *replaced || !sheet.is_taken(name))
        {
            let place = sheet.place_of_section(name);
            let known = section(name);
            if known.is_some_and(|section| section.repeated) {
                sheet.check_repeated(name, item, replaced);
            } else if known.is_some() || name == SWEEP {
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
                        nearest: nearest(
                            name,
                            SECTIONS
                                .map(|section| section.name)
                                .into_iter()
                                .chain([SWEEP]),
                        ),
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
            let start = "`risewater example` prints a file to start from";
            sheet.fault(Place::Absent, "", Problem::Empty { start });
        }
        Ok(sheet)
    }

    /// The file, then the replacements.
    pub fn tables(&self) -> impl Iterator<Item = (&Document<String>, bool)> {
        std::iter::once((&self.document, false))
            .chain(self.replaced.iter().map(|document| (document, true)))
    }

    /// The same with more values replaced.
    pub fn with(&self, replacements: &[String]) -> Result<Self, FileError> {
        let mut sheet = self.clone();
        for text in replacements {
            sheet.replaced.push(replacement(text)?);
        }
        Ok(sheet)
    }

    fn is_taken(&self, name: &str) -> bool {
        self.taken.iter().any(|taken| taken == name)
    }

    /// A section of the file itself, unless it is taken away.
    fn in_file(&self, name: &str) -> Option<&Item> {
        self.document.get(name).filter(|_| !self.is_taken(name))
    }

    fn place_of_section(&self, name: &str) -> Place {
        match self
            .document
            .key(name)
            .and_then(toml_edit::Key::span)
            .or_else(|| self.in_file(name).and_then(Item::span))
        {
            Some(span) => self.line(span.start),
            None => Place::Replaced,
        }
    }

    pub(super) fn line(&self, offset: usize) -> Place {
        Place::Line(1 + self.line_ends.partition_point(|end| *end < offset))
    }

    /// Whether a section of which there are several is written so, and a replacement names one that is there.
    fn check_repeated(&self, name: &str, item: &Item, replaced: bool) {
        let single = section(name).is_some_and(|section| section.single);
        if !replaced {
            let one = item.as_table_like().filter(|_| single);
            if !(item.is_array_of_tables() || one.is_some_and(|one| !one.iter().any(is_numbered))) {
                let expected = match name {
                    "duty" => "[duty], or [[duty]] once for each tank,",
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
        let numbered = item.as_table_like().into_iter().flat_map(TableLike::iter);
        for (number, _) in numbered.filter(|(_, item)| !single || item.as_table_like().is_some()) {
            let there = number_of(number).is_some_and(|n| n >= 1 && n <= count);
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
        let tables = self.in_file(name).and_then(Item::as_array_of_tables);
        tables.map_or(0, toml_edit::ArrayOfTables::len)
    }

    /// The table of a section, `lift 3` being the third of `[[lift]]`.
    pub fn table<'a>(
        &self,
        (document, replaced): (&'a Document<String>, bool),
        section: &str,
    ) -> Option<&'a dyn TableLike> {
        let name = section.split(' ').next().unwrap_or_default();
        if !replaced && self.is_taken(name) {
            return None;
        }
        Self::table_of(document, section)
    }

    /// The same in a document by itself.
    pub fn table_of<'a>(
        document: &'a Document<String>,
        section: &str,
    ) -> Option<&'a dyn TableLike> {
        let (name, number) = match section.split_once(' ') {
            Some((name, number)) => (name, Some(number)),
            None => (section, None),
        };
        let item = document.get(name)?;
        if let Some(tables) = item.as_array_of_tables() {
            let n: usize = match number {
                Some(number) => number.parse().ok()?,
                // One of a kind that may stand once.
                None if tables.len() == 1 => 1,
                None => return None,
            };
            return Some(tables.get(n.checked_sub(1)?)?);
        }
        let own = item.as_table_like()?;
        let numbered = |number| own.get(number).and_then(Item::as_table_like);
        match (self::section(name), number) {
            // `duty.2.lift` of a replacement; `duty.lift` is for all.
            (Some(section), number) if section.repeated && section.single => {
                let for_all = !own.iter().any(is_numbered);
                numbered(number.unwrap_or("1")).or(for_all.then_some(own))
            }
            (_, Some(number)) => numbered(number),
            (_, None) => Some(own),
        }
    }

    /// The value of a key and where it stands; the last replacement wins.
    pub fn find(&self, section: &str, key: &str) -> Option<(&Item, Place)> {
        let mut found = None;
        for (document, replaced) in self.tables() {
            let Some(table) = self.table((document, replaced), section) else {
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
        let may_be_empty = || {
            section_of(section)
                .and_then(|known| known.row(key))
                .is_some_and(|row| row.empty)
        };
        if let Some((item, Place::Replaced)) = found
            && item.as_array().is_some_and(toml_edit::Array::is_empty)
            && !may_be_empty()
        {
            return None;
        }
        // A replacement speaks for the keys that say the same thing in the file.
        if let Some((_, Place::Line(_))) = found
            && let Some(row) = section_of(section).and_then(|section| section.row(key))
            && row
                .instead
                .iter()
                .any(|other| self.is_replaced(section, other))
        {
            return None;
        }
        found
    }

    fn is_replaced(&self, section: &str, key: &str) -> bool {
        let given = |document: &Document<String>| {
            let table = self.table((document, true), section);
            table.is_some_and(|table| table.contains_key(key))
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
        let tables = self.in_file(name)?.as_array_of_tables()?;
        let n: usize = number.parse().ok()?;
        let span = tables.get(n.checked_sub(1)?)?.span()?;
        Some(self.line(span.start))
    }

    /// Whether a section is there at all.
    pub fn has(&self, section: &str) -> bool {
        self.tables().any(|(document, replaced)| {
            document.contains_key(section) && (replaced || !self.is_taken(section))
        })
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
        let inputs = || error.inputs().into_iter().flatten();
        let is_there = |key: &&str| self.place(key) != Place::Absent;
        let there = inputs().flat_map(Input::keys).find(is_there);
        let blamed = there.or_else(|| inputs().flat_map(Input::keys).next());
        let key = blamed.unwrap_or(otherwise);
        self.fault(self.place(key), key, Problem::Refused(error));
    }

    /// The same for one section of several: its own key where it has one for what is to blame.
    pub fn refused_in(&self, section: &str, error: Error, otherwise: &str) {
        let rows = section_of(section).map_or(&[][..], |section| section.keys);
        let mut own = error.inputs().into_iter().flatten().filter_map(|input| {
            let of_input = rows.iter().filter(|row| row.input == Some(input));
            let mut there = of_input.filter(|row| self.find(section, row.name).is_some());
            Some(format!("{section}.{}", there.next()?.name))
        });
        let is_there = |key: &str| self.place(key) != Place::Absent;
        match own.next() {
            Some(path) => self.fault(self.place(&path), &path, Problem::Refused(error)),
            None if error
                .input()
                .is_some_and(|input| input.keys().any(is_there)) =>
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

    /// The pipe of a name, of the file's own or of the catalogue; none where what is wrong is told where the pipe stands.
    pub fn pipe(&self, name: &str) -> Result<Option<Arc<Pipe>>, Error> {
        match Pipe::named_among(name, &self.pipes.pipes) {
            Err(_) if self.pipes.number(name).is_some() => Ok(None),
            found => found.map(Some),
        }
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

    /// A section, or several where the first that has a key speaks for it.
    pub fn at<const N: usize>(&self, sections: [&str; N]) -> Layers<'_> {
        Layers::new(self, sections.map(str::to_owned).into())
    }

    /// The sections of a kind as the file has them: `lift 1` and so on; a section that may stand once, in any case.
    pub fn all(&self, section: &Section) -> Vec<String> {
        if section.single && self.count(section.name) < 2 {
            return vec![section.name.to_owned()];
        }
        let numbers = 1..=self.count(section.name);
        numbers
            .map(|number| format!("{} {number}", section.name))
            .collect()
    }
}

/// The number that a table goes by: 3, and not 03 or +3, under which nothing looks for it.
pub(super) fn number_of(text: &str) -> Option<usize> {
    let number: Option<usize> = text.parse().ok();
    number.filter(|number| number.to_string() == text)
}

/// Whether it is a table under a number, as `lift.3` of a replacement.
fn is_numbered((key, item): (&str, &Item)) -> bool {
    key.parse::<usize>().is_ok() && item.as_table_like().is_some()
}

/// The section that goes by `riser`, or by `lift 3`.
fn section_of(name: &str) -> Option<&'static Section> {
    section(name.split(' ').next().unwrap_or(name))
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
