//! One row of a trial sheet: cells by column, and what is wrong with them.

use super::column::{Column, Name};
use super::fault::{SheetFault, SheetProblem};
use super::{Heading, fault};
use crate::design::quantity::si_value;
use crate::error::{Input, Range};

/// What a number must lie in, and its worth in the range's unit from that in SI.
pub(super) type Bound = (Input, Range, fn(f64) -> f64);

/// One row, whose cells are asked for one by one; faults are noted on the way.
pub(super) struct Row<'a> {
    line: usize,
    /// Cells that hold something, with their columns.
    cells: Vec<(&'a Column, &'a str)>,
    pub headings: &'a [Heading],
    faults: &'a mut Vec<SheetFault>,
}

impl<'a> Row<'a> {
    /// Takes a row apart; none when its cells cannot be told by column.
    pub fn new(
        line: usize,
        record: &'a csv::StringRecord,
        headings: &'a [Heading],
        delimiter: u8,
        faults: &'a mut Vec<SheetFault>,
    ) -> Option<Self> {
        /// Of a text with an open quote; enough to find it.
        const SHOWN: usize = 20;
        let mut cells = Vec::new();
        let trimmed = record.iter().map(str::trim).enumerate();
        for (place, cell) in trimmed.filter(|(_, cell)| !cell.is_empty()) {
            let problem = match headings.get(place) {
                Some(Heading::Column(column)) if is_open(column, cell, headings, delimiter) => {
                    let start: String = cell.chars().take(SHOWN).collect();
                    let problem = SheetProblem::OpenQuote;
                    faults.push(fault(line, &column.header, &start, problem));
                    return None;
                }
                Some(Heading::Column(column)) => {
                    cells.push((column, cell));
                    continue;
                }
                Some(Heading::Faulty) => continue,
                Some(Heading::Empty) => SheetProblem::UnnamedColumn { place: place + 1 },
                None => SheetProblem::RowLength {
                    cells: record.len(),
                    columns: headings.len(),
                },
            };
            let value = if place < headings.len() { cell } else { "" };
            faults.push(fault(line, "", value, problem));
            return None;
        }
        Some(Self {
            line,
            cells,
            headings,
            faults,
        })
    }

    /// A number that must be there; a column that is missing altogether has been told.
    pub fn need(&mut self, name: Name, bound: Bound) -> Option<f64> {
        if let Some((column, text)) = self.cell(name) {
            return self.value(column, text, Some(bound));
        }
        let column = self.heading(name)?;
        self.value(column, "", Some(bound))
    }

    pub fn value(&mut self, column: &Column, text: &str, bound: Option<Bound>) -> Option<f64> {
        let si = si_value(text, column.name.dimension()?, column.unit);
        let si = si
            .map_err(|e| self.fault_at(column, SheetProblem::Quantity(e)))
            .ok()?;
        if let Some((what, range, number)) = bound {
            let checked = range.check(what, number(si));
            checked
                .map_err(|e| self.fault_at(column, SheetProblem::Refused(e)))
                .ok()?;
        }
        Some(si)
    }

    /// The filled cells of a numbered name, by number.
    pub fn numbered(&self, name: Name) -> Vec<(&'a Column, &'a str)> {
        let cells = self.cells.iter().copied();
        let mut cells: Vec<_> = cells.filter(|(column, _)| column.name == name).collect();
        cells.sort_by_key(|(column, _)| column.number);
        cells
    }

    pub fn cell(&self, name: Name) -> Option<(&'a Column, &'a str)> {
        self.cells
            .iter()
            .copied()
            .find(|(column, _)| column.name == name)
    }

    pub fn text(&self, name: Name) -> Option<&'a str> {
        self.cell(name).map(|(_, text)| text)
    }

    /// Whether the row fills a column.
    pub fn has(&self, name: Name) -> bool {
        self.cell(name).is_some()
    }

    /// The column of a name, filled or not.
    pub fn heading(&self, name: Name) -> Option<&'a Column> {
        self.headings.iter().find_map(|heading| match heading {
            Heading::Column(column) if column.name == name => Some(column),
            _ => None,
        })
    }

    pub fn stands(&self, name: Name) -> bool {
        self.heading(name).is_some()
    }

    /// Notes a fault at a name's column.
    pub fn fault(&mut self, name: Name, problem: SheetProblem) {
        match self.heading(name) {
            Some(column) => self.fault_at(column, problem),
            None => self
                .faults
                .push(fault(self.line, &name.example("1"), "", problem)),
        }
    }

    /// Notes a fault that no column is to blame for.
    pub fn fault_of_row(&mut self, problem: SheetProblem) {
        self.faults.push(fault(self.line, "", "", problem));
    }

    pub fn fault_at(&mut self, column: &Column, problem: SheetProblem) {
        let text = self
            .cells
            .iter()
            .find(|(other, _)| std::ptr::eq(*other, column));
        let text = text.map_or("", |(_, text)| text);
        self.faults
            .push(fault(self.line, &column.header, text, problem));
    }
}

/// Whether a quote has taken lines below into a cell: a line break in a number, or a whole row in a
/// text.
fn is_open(column: &Column, cell: &str, headings: &[Heading], delimiter: u8) -> bool {
    let separators = |line: &str| line.bytes().filter(|byte| *byte == delimiter).count();
    let mut below = cell.lines().skip(1);
    match column.name.dimension() {
        Some(_) => below.next().is_some(),
        None => below.any(|line| separators(line) + 1 >= headings.len()),
    }
}
