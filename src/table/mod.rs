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

pub(crate) use column::{Column, Head, Layout};
pub use fault::{TableError, TableFault, TableProblem};
pub(crate) use row::{Cell, Row};

use crate::file::text_of;
use column::Holds;
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
    header: Record,
    /// The headers, by place; none where a column is empty or at fault.
    heads: Vec<Option<Head>>,
    /// Rows whose cells can be told by column, each with its number below the header.
    records: Vec<(usize, Record)>,
    delimiter: u8,
    /// The last line that says something.
    last: usize,
    faults: RefCell<Vec<TableFault>>,
}

/// A line above the header: the key, and its value, or nothing if that is at fault, which has been told.
type GivenKey = (usize, Head, String);

/// What is wrong at a cell: its column as the file has it, what it shows, the problem.
type CellFault<'a> = (&'a str, &'a str, TableProblem);

impl Layout {
    /// Takes a text apart. What is wrong is noted in the table, and reading goes on.
    pub(crate) fn read(&'static self, text: &str) -> Table {
        let mut table = Table {
            layout: self,
            keys: Vec::new(),
            header: Record::default(),
            heads: Vec::new(),
            records: Vec::new(),
            delimiter: b',',
            last: 0,
            faults: RefCell::default(),
        };
        let text = plain_lines(text);
        let mut records = Records::of(&text);
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
                table.take_header(record);
                break;
            } else if self.keys.is_empty() {
                break;
            } else {
                table.fault(record.line, first, "", self.unknown_key(first));
            }
        }
        table.delimiter = records.delimiter();
        if table.heads.is_empty() {
            // Where one is due, if nothing is there.
            let line = Some(table.last).filter(|line| *line > 0);
            let line = line.unwrap_or(records.line);
            let example = self.example;
            table.fault(line, "", "", TableProblem::NoHeader { example });
            return table;
        }
        let first = table.heads.first().and_then(Option::as_ref);
        records.number_signs = first.is_some_and(|head| head.column.holds == Holds::Text);
        let mut rows = 0;
        for record in records.by_ref() {
            let line = record.line;
            table.last = line;
            if let Some(key) = record.cells.first().filter(|cell| self.key(cell).is_some()) {
                table.fault(line, key, "", TableProblem::KeyBelowHeader);
                continue;
            }
            rows += 1;
            if record.cells == table.header.cells {
                table.fault(line, "", "", TableProblem::HeaderAgain);
            } else if let Some((column, value, problem)) = table.misfit(&record) {
                table.fault(line, column, value, problem);
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
            } => self.take_apart(near).map(|(head, _)| head.column.name),
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

    /// Notes a fault; what is absent has no line.
    pub(crate) fn fault(
        &self,
        line: impl Into<Option<usize>>,
        column: &str,
        value: &str,
        problem: TableProblem,
    ) {
        self.faults.borrow_mut().push(TableFault {
            line: line.into(),
            column: column.to_owned(),
            value: value.to_owned(),
            problem,
        });
    }

    /// Notes what is wrong with the table as a whole, at its last line.
    pub(crate) fn fault_at_end(&self, problem: TableProblem) {
        self.fault(self.last, "", "", problem);
    }

    /// Notes what is wrong with a column as a whole.
    pub(crate) fn fault_at_head(&self, head: &Head, problem: TableProblem) {
        self.fault(self.header.line, &head.text, "", problem);
    }

    /// A decimal comma is one where no comma separates cells.
    fn has_decimal_commas(&self) -> bool {
        self.delimiter != b','
    }

    /// The rows that can be read.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.records
            .iter()
            .map(|(number, record)| Row::below(self, *number, record))
    }

    /// The keys above the header with their values.
    pub(crate) fn keys(&self) -> Row<'_> {
        Row::above(self)
    }

    /// The headers of a column that can be read.
    pub(crate) fn heads(&self, column: &Column) -> impl Iterator<Item = &Head> {
        let (heads, name) = (self.heads.iter().flatten(), column.name);
        heads.filter(move |head| head.column.name == name)
    }

    pub(crate) fn has(&self, column: &Column) -> bool {
        self.heads(column).next().is_some()
    }

    /// Whether a header is at fault.
    fn has_faulty_head(&self) -> bool {
        let mut places = self.header.cells.iter().zip(&self.heads);
        places.any(|(text, head)| head.is_none() && !text.is_empty())
    }

    fn take_header(&mut self, header: Record) {
        let line = header.line;
        let mut meant = Vec::new();
        for text in &header.cells {
            let head = match self.head(text) {
                _ if text.is_empty() => None,
                Ok(head) => {
                    meant.push(head.column.name);
                    Some(head)
                }
                Err((column, problem)) => {
                    meant.extend(column);
                    self.fault(line, text, "", problem);
                    None
                }
            };
            self.heads.push(head);
        }
        for (example, problem) in self.layout.missing(|name| meant.contains(&name)) {
            self.fault(line, &example, "", problem);
        }
        self.header = header;
    }

    /// A header beside those before it, or what is wrong with it and the column that was meant.
    fn head(&self, text: &str) -> Result<Head, (Option<&'static str>, TableProblem)> {
        let Some((head, wrong)) = self.layout.take_apart(text) else {
            let problem = self.layout.unknown(text);
            return Err((self.layout.meant(&problem), problem));
        };
        let column = head.column;
        let mut before = (1..).zip(&self.heads);
        let twin = before.find_map(|(place, other)| {
            let other = other.as_ref().filter(|other| other.is_twin(&head))?;
            Some((place, other.text.clone()))
        });
        let problem = match (twin, wrong) {
            (Some((first, header)), _) => TableProblem::DuplicateColumn {
                first,
                header,
                again: self.heads.len() + 1,
            },
            (None, Some(error)) => column.problem(error),
            (None, None) => return Ok(head),
        };
        Err((Some(column.name), problem))
    }

    /// Why the cells of a row cannot be told by column.
    fn misfit<'a>(&'a self, record: &'a Record) -> Option<CellFault<'a>> {
        /// Letters of a text with an open quote; enough to find it.
        const SHOWN: usize = 20;
        let cells = &record.cells;
        let mut filled = (1..).zip(cells).filter(|(_, cell)| !cell.is_empty());
        filled.find_map(|(place, cell)| match self.heads.get(place - 1) {
            Some(Some(head)) if self.is_open(head, cell) => {
                let end = cell
                    .char_indices()
                    .nth(SHOWN)
                    .map_or(cell.len(), |(at, _)| at);
                Some((head.text.as_str(), &cell[..end], TableProblem::OpenQuote))
            }
            Some(None) if self.header.cells[place - 1].is_empty() => {
                Some(("", cell.as_str(), TableProblem::UnnamedColumn { place }))
            }
            Some(_) => None,
            None => {
                let (cells, columns) = (cells.len(), self.heads.len());
                Some(("", "", TableProblem::RowLength { cells, columns }))
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
        let same = |(_, head, _): &&GivenKey| head.column.name == key.name;
        if let Some((first, ..)) = self.keys.iter().find(same) {
            let first = format!("line {first}");
            self.fault(line, key.name, "", TableProblem::DuplicateKey { first });
            return;
        }
        let filled = record.cells.iter().rposition(|cell| !cell.is_empty());
        let values = &record.cells[1..=filled.unwrap_or(0)];
        let value = if let [value] = values {
            value.clone()
        } else {
            let expected = key.words;
            let problem = TableProblem::OneValue { expected };
            self.fault(line, key.name, &values.join(","), problem);
            String::new()
        };
        self.keys.push((line, Head::of(key, key.name), value));
    }
}

#[cfg(test)]
pub(crate) mod tests;
