//! Tables as CSV, as a spreadsheet saves them: one reader, whose columns are data of each table.
//!
//! The header names the columns with their unit, in any order, as `air_flow_L_per_min`. Any unit of the
//! quantity will do, and a cell may carry its own, as `12.5 s`; a time may be in minutes and seconds, as `1:05`.
//! Cells are separated by commas, semicolons or tabs; numbers have a decimal point, or with semicolons and tabs a
//! decimal comma. Lines that start with `#` are remarks, and empty lines say nothing; where the first column is
//! a text, such a line below the header is a remark if it says nothing else. A byte order mark is passed over.
//!
//! What the columns mean is with each table: [`blower`](crate::supply::blower), [`need`](crate::need), the trial's
//! sheet and the readings of an aeration test.

mod column;
mod fault;
mod records;
mod row;

use std::cell::RefCell;
use std::path::Path;

pub(crate) use column::{Column, Layout};
pub use fault::{TableError, TableFault, TableProblem};
pub(crate) use row::{Cell, Row};

use crate::file::text_of;
use crate::units::quantity::{QuantityError, Unit};
use column::{Holds, Parts, unit_of};
use records::{Record, Records, plain_lines};

/// The text of a table on disk.
pub(crate) fn table_text(path: &Path) -> Result<String, TableError> {
    text_of(path).map_err(|reason| TableError::Unreadable {
        path: path.to_owned(),
        reason,
    })
}

/// A table taken apart, and everything that is wrong with it so far.
#[derive(Debug)]
pub(crate) struct Table {
    layout: &'static Layout,
    keys: Vec<GivenKey>,
    heads: Vec<Heading>,
    header_line: usize,
    /// Rows whose cells can be told by column, each with its number below the header.
    records: Vec<(usize, Record)>,
    delimiter: u8,
    /// The last line that says something.
    last: usize,
    faults: RefCell<Vec<TableFault>>,
}

/// A line above the header.
#[derive(Debug)]
struct GivenKey {
    key: &'static Column,
    line: usize,
    /// Empty if it is at fault, which has been told.
    value: String,
}

/// A value above the header.
#[derive(Debug)]
pub(crate) enum Given<T> {
    Absent,
    /// Its fault has been told.
    Faulty,
    Value(T),
}

/// One cell of the header.
#[derive(Debug)]
enum Heading {
    Column(Head),
    /// Told already; the column that was meant, if it can be told.
    Faulty(Option<&'static str>),
    Empty,
}

/// A header understood.
#[derive(Debug)]
pub(crate) struct Head {
    pub column: &'static Column,
    /// As the file has it.
    pub text: String,
    /// Number of the repeat; 1 where there is none.
    number: u32,
    /// The name that parts it from others of the column; empty where there is none.
    pub label: String,
    unit: Option<&'static Unit>,
}

impl Heading {
    fn head(&self) -> Option<&Head> {
        match self {
            Self::Column(head) => Some(head),
            Self::Faulty(_) | Self::Empty => None,
        }
    }

    fn meant(&self) -> Option<&'static str> {
        match self {
            Self::Column(head) => Some(head.column.name),
            Self::Faulty(meant) => *meant,
            Self::Empty => None,
        }
    }
}

impl Layout {
    /// Takes a text apart. What is wrong is noted in the table, and reading goes on.
    pub(crate) fn read(&'static self, text: &str) -> Table {
        let mut table = Table {
            layout: self,
            keys: Vec::new(),
            heads: Vec::new(),
            header_line: 0,
            records: Vec::new(),
            delimiter: b',',
            last: 0,
            faults: RefCell::default(),
        };
        let text = plain_lines(text);
        let mut records = Records::of(&text);
        let mut header = None;
        for record in records.by_ref() {
            table.last = record.line;
            let first = record.cells.first().map_or("", String::as_str);
            if record.cells.iter().any(|cell| cell.contains('\n')) {
                table.fault(record.line, "", "", TableProblem::OpenQuote);
                return table;
            }
            if let Some(key) = self.key(first) {
                table.take_key(key, &record);
            } else if self.is_header(&record) {
                header = Some(record);
                break;
            } else if self.keys.is_empty() {
                break;
            } else {
                table.fault(record.line, first, "", self.unknown_key(first));
            }
        }
        table.delimiter = records.delimiter();
        let Some(header) = header else {
            let line = if table.last == 0 {
                records.line
            } else {
                table.last
            };
            let example = self.example;
            table.fault(line, "", "", TableProblem::NoHeader { example });
            return table;
        };
        table.take_header(&header);
        let text_first = |heading: &Heading| {
            let head = heading.head();
            head.is_some_and(|head| head.column.holds == Holds::Text)
        };
        records.number_signs = table.heads.first().is_some_and(text_first);
        let mut rows = 0;
        for record in records.by_ref() {
            let line = record.line;
            table.last = line;
            if let Some(key) = record.cells.first().filter(|cell| self.key(cell).is_some()) {
                table.fault(line, key, "", TableProblem::KeyBelowHeader);
                continue;
            }
            rows += 1;
            if record.cells == header.cells {
                table.fault(line, "", "", TableProblem::HeaderAgain);
            } else if let Some(fault) = table.misfit(&record) {
                table.faults.get_mut().push(fault);
            } else {
                table.records.push((rows, record));
            }
        }
        if rows == 0 {
            table.fault(table.last, "", "", TableProblem::NoRow { row: self.row });
        }
        table
    }

    /// Whether a line names a column, or nearly so where no keys stand above.
    fn is_header(&self, record: &Record) -> bool {
        let names = |cell: &String| {
            let near = || self.keys.is_empty() && self.meant(&self.unknown(cell)).is_some();
            self.take_apart(cell).is_some() || near()
        };
        record.cells.iter().any(names)
    }

    /// The column that an unknown header was probably meant for.
    fn meant(&self, problem: &TableProblem) -> Option<&'static str> {
        match problem {
            TableProblem::Unknown {
                nearest: Some(near),
                ..
            } => self.take_apart(near).map(|parts| parts.column),
            _ => None,
        }
    }
}

impl Table {
    /// What was read, if there is nothing wrong.
    pub(crate) fn verdict<T>(self, read: Option<T>) -> Result<T, TableError> {
        let mut faults = self.faults.into_inner();
        match read {
            Some(read) if faults.is_empty() => Ok(read),
            _ => {
                // What stands nowhere comes last.
                faults.sort_by_key(|fault| fault.line.unwrap_or(usize::MAX));
                Err(TableError::Faults { faults })
            }
        }
    }

    pub(crate) fn is_sound(&self) -> bool {
        self.faults.borrow().is_empty()
    }

    pub(crate) fn fault(&self, line: usize, column: &str, value: &str, problem: TableProblem) {
        self.faults
            .borrow_mut()
            .push(fault(Some(line), column, value, problem));
    }

    /// Notes what is wrong with the table as a whole, at its last line.
    pub(crate) fn fault_at_end(&self, problem: TableProblem) {
        self.fault(self.last, "", "", problem);
    }

    /// Notes what is wrong with a column as a whole.
    #[cfg(feature = "trial")]
    pub(crate) fn fault_at_head(&self, head: &Head, problem: TableProblem) {
        self.fault(self.header_line, &head.text, "", problem);
    }

    /// A decimal comma is one where no comma separates cells.
    fn has_decimal_commas(&self) -> bool {
        self.delimiter != b','
    }

    /// The rows that can be read.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.records
            .iter()
            .map(|(number, record)| Row::new(self, *number, record))
    }

    /// The headers of a column that can be read.
    pub(crate) fn heads(&self, column: &Column) -> impl Iterator<Item = &Head> {
        let heads = self.heads.iter().filter_map(Heading::head);
        let name = column.name;
        heads.filter(move |head| head.column.name == name)
    }

    pub(crate) fn has(&self, column: &Column) -> bool {
        self.heads(column).next().is_some()
    }

    fn take_header(&mut self, header: &Record) {
        let line = header.line;
        self.header_line = line;
        for (place, text) in (1..).zip(&header.cells) {
            let heading = if text.is_empty() {
                Heading::Empty
            } else {
                match self.head(place, text) {
                    Ok(head) => Heading::Column(head),
                    Err((meant, problem)) => {
                        self.fault(line, text, "", problem);
                        Heading::Faulty(meant)
                    }
                }
            };
            self.heads.push(heading);
        }
        let has = |name: &str| self.heads.iter().any(|h| h.meant() == Some(name));
        for (example, problem) in self.layout.missing(has) {
            self.fault(line, &example, "", problem);
        }
    }

    /// A header beside those before it, or what is wrong with it and the column that was meant.
    fn head(&self, place: usize, text: &str) -> Result<Head, (Option<&'static str>, TableProblem)> {
        let layout = self.layout;
        let apart = layout.take_apart(text).and_then(|parts| {
            let column = layout.column(parts.column)?;
            Some((column, parts))
        });
        let Some((column, parts)) = apart else {
            let problem = layout.unknown(text);
            return Err((layout.meant(&problem), problem));
        };
        let Parts {
            number,
            label,
            unit,
            ..
        } = parts;
        let same = |heading: &Heading| {
            heading.head().is_some_and(|head| {
                head.column.name == column.name && (head.number, &head.label) == (number, &label)
            })
        };
        let first = (1..).zip(&self.heads).find(|(_, heading)| same(heading));
        let free = column.holds == Holds::Note;
        if let (Some((first, heading)), false) = (first, free) {
            let problem = TableProblem::DuplicateColumn {
                first,
                header: heading
                    .head()
                    .map_or(String::new(), |head| head.text.clone()),
                again: place,
            };
            return Err((Some(column.name), problem));
        }
        let unit = unit.zip(column.dimension());
        let unit = unit.map(|(unit, dimension)| unit_of(&unit, dimension));
        let unit = unit.transpose();
        let unit = unit.map_err(|error| (Some(column.name), column.problem(error)))?;
        Ok(Head {
            column,
            text: text.to_owned(),
            number,
            label,
            unit,
        })
    }

    /// Why the cells of a row cannot be told by column.
    fn misfit(&self, record: &Record) -> Option<TableFault> {
        /// Of a text with an open quote; enough to find it.
        const SHOWN: usize = 20;
        let (line, cells) = (record.line, &record.cells);
        let mut filled = (1..).zip(cells).filter(|(_, cell)| !cell.is_empty());
        filled.find_map(|(place, cell)| match self.heads.get(place - 1) {
            Some(Heading::Column(head)) if self.is_open(head, cell) => {
                let start: String = cell.chars().take(SHOWN).collect();
                Some(fault(
                    Some(line),
                    &head.text,
                    &start,
                    TableProblem::OpenQuote,
                ))
            }
            Some(Heading::Column(_) | Heading::Faulty(_)) => None,
            Some(Heading::Empty) => {
                let problem = TableProblem::UnnamedColumn { place };
                Some(fault(Some(line), "", cell, problem))
            }
            None => {
                let (cells, columns) = (cells.len(), self.heads.len());
                let problem = TableProblem::RowLength { cells, columns };
                Some(fault(Some(line), "", "", problem))
            }
        })
    }

    /// Whether a quote has taken lines below into a cell: a line break in a number, or a whole row in a text.
    fn is_open(&self, head: &Head, cell: &str) -> bool {
        let separators = |line: &str| line.bytes().filter(|byte| *byte == self.delimiter).count();
        let mut below = cell.lines().skip(1);
        match head.column.holds {
            Holds::Number(..) | Holds::Date => below.next().is_some(),
            Holds::Text | Holds::Note => below.any(|line| separators(line) + 1 >= self.heads.len()),
        }
    }

    fn take_key(&mut self, key: &'static Column, record: &Record) {
        let line = record.line;
        if let Some(first) = self.given_key(key) {
            let first = format!("line {}", first.line);
            self.fault(line, key.name, "", TableProblem::DuplicateKey { first });
            return;
        }
        let filled = record.cells.iter().rposition(|cell| !cell.is_empty());
        let values = &record.cells[1..=filled.unwrap_or(0)];
        let value = match values {
            [value] if !value.is_empty() => value.clone(),
            _ => {
                let expected = key.words;
                let problem = TableProblem::OneValue { expected };
                self.fault(line, key.name, &values.join(","), problem);
                String::new()
            }
        };
        self.keys.push(GivenKey { key, line, value });
    }

    fn given_key(&self, key: &Column) -> Option<&GivenKey> {
        self.keys.iter().find(|given| given.key.name == key.name)
    }

    /// The value of a key, read; its fault told.
    pub(crate) fn key<T>(
        &self,
        key: &Column,
        read: impl Fn(&str) -> Result<T, TableProblem>,
    ) -> Given<T> {
        match self.given_key(key) {
            None => Given::Absent,
            Some(given) if given.value.is_empty() => Given::Faulty,
            Some(given) => match read(&given.value) {
                Ok(value) => Given::Value(value),
                Err(problem) => {
                    self.fault_at_key(key, problem);
                    Given::Faulty
                }
            },
        }
    }

    /// The number of a key in SI units.
    pub(crate) fn key_number(&self, key: &Column) -> Given<f64> {
        self.key(key, |text| {
            let read = key.si(text, None, self.has_decimal_commas());
            read.map_err(|problem| match problem {
                // No header has a unit for it.
                TableProblem::Quantity {
                    error: QuantityError::MissingUnit { .. } | QuantityError::NotANumber { .. },
                    ..
                } => key.word(),
                other => other,
            })
        })
    }

    pub(crate) fn has_key(&self, key: &Column) -> bool {
        self.given_key(key).is_some()
    }

    /// The first of these keys that the file gives, in its order.
    pub(crate) fn first_key<'c>(&self, keys: &[&'c Column]) -> Option<&'c Column> {
        let of = |given: &GivenKey| keys.iter().find(|key| key.name == given.key.name).copied();
        self.keys.iter().find_map(of)
    }

    /// Notes a fault at a key's line, or at none if it has none.
    pub(crate) fn fault_at_key(&self, key: &Column, problem: TableProblem) {
        let given = self.given_key(key);
        let (line, value) = given.map_or((None, ""), |given| (Some(given.line), &given.value));
        let fault = fault(line, key.name, value, problem);
        self.faults.borrow_mut().push(fault);
    }
}

fn fault(line: Option<usize>, column: &str, value: &str, problem: TableProblem) -> TableFault {
    TableFault {
        line,
        column: column.to_owned(),
        value: value.to_owned(),
        problem,
    }
}

#[cfg(test)]
pub(crate) mod tests;
