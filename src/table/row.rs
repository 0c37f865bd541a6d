//! One row of a table: cells asked for by column, faults noted on the way.

use jiff::civil::Date;

use super::records::Record;
use super::{Column, Head, Table, TableProblem};
use crate::error::Error;
use crate::units::quantity::QuantityError;

/// One row, or the keys above the header.
pub(crate) struct Row<'a> {
    table: &'a Table,
    /// Its number below the header, counted from 1.
    pub number: usize,
    /// None for the keys, which have their own.
    pub line: Option<usize>,
    /// What it fills, by place.
    cells: Vec<Cell<'a>>,
}

/// A cell with its column.
#[derive(Clone, Copy)]
pub(crate) struct Cell<'a> {
    line: Option<usize>,
    pub head: &'a Head,
    /// Empty for a key at fault.
    pub text: &'a str,
}

impl<'a> Row<'a> {
    pub(super) fn below(table: &'a Table, number: usize, record: &'a Record) -> Self {
        let line = Some(record.line);
        let pairs = table.heads.iter().zip(&record.cells);
        let filled = pairs.filter(|(_, text)| !text.is_empty());
        let cells = filled.filter_map(|(head, text)| {
            let head = head.as_ref()?;
            Some(Cell { line, head, text })
        });
        Self {
            table,
            number,
            line,
            cells: cells.collect(),
        }
    }

    pub(super) fn above(table: &'a Table) -> Self {
        let cells = table.keys.iter().map(|(line, head, text)| {
            let line = Some(*line);
            Cell { line, head, text }
        });
        Self {
            table,
            number: 0,
            line: None,
            cells: cells.collect(),
        }
    }

    /// The filled cells of a column of which there may be many, by number.
    pub fn cells(&self, column: &Column) -> Vec<Cell<'a>> {
        let cells = self.cells.iter().copied();
        let mut cells: Vec<_> = cells
            .filter(|cell| cell.head.column.name == column.name)
            .collect();
        cells.sort_by_key(|cell| cell.head.number);
        cells
    }

    fn cell(&self, column: &Column) -> Option<Cell<'a>> {
        let mut cells = self.cells.iter().copied();
        cells.find(|cell| cell.head.column.name == column.name)
    }

    /// The cell of a column, filled or not; none if the table has no such column.
    fn place(&self, column: &Column) -> Option<Cell<'a>> {
        let empty = || {
            let (line, head) = (self.line, self.table.heads(column).next()?);
            Some(Cell {
                line,
                head,
                text: "",
            })
        };
        self.cell(column).or_else(empty)
    }

    pub fn text(&self, column: &Column) -> Option<&'a str> {
        self.cell(column).map(|cell| cell.text)
    }

    /// The first of these columns that the row fills.
    pub fn first<'c>(&self, columns: &[&'c Column]) -> Option<&'c Column> {
        let of = |cell: &Cell| columns.iter().find(|c| c.name == cell.head.column.name);
        self.cells.iter().find_map(of).copied()
    }

    /// Whether the row fills a column.
    pub fn fills(&self, column: &Column) -> bool {
        self.cell(column).is_some()
    }

    /// Whether the table has a column.
    pub fn has(&self, column: &Column) -> bool {
        self.table.has(column)
    }

    /// Whether a header of the table is at fault.
    pub fn has_faulty_head(&self) -> bool {
        self.table.has_faulty_head()
    }

    /// A number that must be there, in SI units; a column that is missing altogether has been told.
    pub fn number(&self, column: &Column) -> Option<f64> {
        self.value(self.place(column)?)
    }

    /// A number that may be left out: the outer option is for a fault.
    #[allow(
        clippy::option_option,
        reason = "at fault, empty and given are three cases"
    )]
    pub fn optional(&self, column: &Column) -> Option<Option<f64>> {
        match self.cell(column) {
            None => Some(None),
            Some(cell) if cell.text.is_empty() => None,
            Some(cell) => self.value(cell).map(Some),
        }
    }

    /// The number of a cell in SI units.
    pub fn value(&self, cell: Cell<'a>) -> Option<f64> {
        let Cell { head, text, .. } = cell;
        let read = head
            .column
            .si(text, head.unit, self.table.has_decimal_commas());
        let told = |problem| match problem {
            // No header has a unit for a key.
            TableProblem::Quantity {
                error: QuantityError::MissingUnit { .. } | QuantityError::NotANumber { .. },
                ..
            } if self.line.is_none() => head.column.word(),
            other => other,
        };
        read.map_err(|problem| self.fault_at(cell, told(problem)))
            .ok()
    }

    /// A date that must be there, written as 2026-03-01.
    pub fn date(&self, column: &Column) -> Option<Date> {
        let cell = self.place(column)?;
        // The parser takes shorter and longer forms too.
        let form = |(place, byte): (usize, u8)| match place {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        };
        let formed = cell.text.len() == 10 && cell.text.bytes().enumerate().all(form);
        let date = cell.text.parse::<Date>().ok().filter(|_| formed);
        if date.is_none() {
            let expected = "a calendar date as year-month-day, such as 2026-03-01";
            self.fault_at(cell, TableProblem::Word { expected });
        }
        date
    }

    /// Which of these columns the row fills: one of them, as is told where it is none or more.
    pub fn one_of<'c>(
        &self,
        columns: &[&'c Column],
        what: &'static str,
        names: &'static str,
    ) -> Option<&'c Column> {
        let filled: Vec<&Column> = columns.iter().copied().filter(|c| self.fills(c)).collect();
        match filled[..] {
            [one] => return Some(one),
            [one, other, ..] => {
                let other = other.name.to_owned();
                self.fault(one, TableProblem::Beside { other });
            }
            [] => {
                let mut standing = columns.iter().filter(|column| self.has(column));
                if let Some(column) = standing.next() {
                    let columns = names;
                    self.fault(column, TableProblem::NoneOf { what, columns });
                }
            }
        }
        None
    }

    /// Notes a fault at a column.
    pub fn fault(&self, column: &Column, problem: TableProblem) {
        match self.place(column) {
            Some(cell) => self.fault_at(cell, problem),
            None => self
                .table
                .fault(self.line, &column.example("1"), "", problem),
        }
    }

    pub fn fault_at(&self, cell: Cell, problem: TableProblem) {
        let Cell { line, head, text } = cell;
        self.table.fault(line, &head.text, text, problem);
    }

    /// Notes what the library refuses at a column, or else at that of the input to blame: the one that the row
    /// fills, if there is more than one.
    pub fn refuse(&self, column: Option<&Column>, error: Error) {
        let input = match &error {
            Error::OutOfRange { what, .. } | Error::NotFinite { what } => Some(*what),
            Error::Inconsistent { larger, .. } => Some(*larger),
            _ => None,
        };
        let of_input = || {
            let columns = || self.table.layout.columns.iter();
            let mut blamed =
                columns().filter(|column| input.is_some_and(|input| column.is_of(input)));
            let filled = blamed.clone().find(|column| self.fills(column));
            filled.or_else(|| blamed.next())
        };
        let problem = TableProblem::Refused(error);
        match column
            .or_else(of_input)
            .and_then(|column| self.place(column))
        {
            Some(cell) => self.fault_at(cell, problem),
            None => self.table.fault(self.line, "", "", problem),
        }
    }
}
