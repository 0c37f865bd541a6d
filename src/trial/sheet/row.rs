//! One row of a trial sheet: cells by column, and what is wrong with them.

use super::column::{Column, Name};
use super::fault::{SheetFault, SheetProblem};
use super::{Heading, fault};
use crate::error::{Input, Range};
use crate::units::quantity::{Dimension, decimal_point, si_value};

/// What a number must lie in, and its worth in the range's unit from that in SI.
pub(super) type Bound = (Input, Range, fn(f64) -> f64);

/// One row, whose cells are asked for one by one; faults are noted on the way.
pub(super) struct Row<'a> {
    line: usize,
    delimiter: u8,
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
            delimiter,
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
        let dimension = column.name.dimension()?;
        let text = match self.delimiter {
            b',' => text.into(),
            _ => decimal_point(text),
        };
        let si = if dimension == Dimension::Time && text.contains(':') {
            clock_s(&text).ok_or(SheetProblem::Clock)
        } else {
            si_value(&text, dimension, column.unit).map_err(SheetProblem::Quantity)
        };
        let si = si.map_err(|problem| self.fault_at(column, problem)).ok()?;
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

/// A time as m:ss or h:mm:ss, with decimals of the seconds or none, s.
fn clock_s(text: &str) -> Option<f64> {
    let (before, seconds) = text.trim().rsplit_once(':')?;
    let (hours, minutes) = before.split_once(':').unwrap_or(("0", before));
    let whole = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let (tens, decimals) = seconds.split_once('.').unwrap_or((seconds, "0"));
    let written = whole(hours) && whole(minutes) && whole(tens) && whole(decimals);
    let two = |text: &str| text.len() == 2;
    let minutes_fit = minutes.len() <= 2 || before == minutes;
    if !(written && two(tens) && minutes_fit && !decimals.is_empty()) {
        return None;
    }
    let [hours, minutes, seconds]: [f64; 3] = [
        hours.parse().ok()?,
        minutes.parse().ok()?,
        seconds.parse().ok()?,
    ];
    let below_60 = seconds < 60.0 && (before.find(':').is_none() || minutes < 60.0);
    below_60.then_some(3600.0 * hours + 60.0 * minutes + seconds)
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

#[cfg(test)]
mod tests {
    use super::clock_s;

    #[test]
    fn clocks() {
        for (text, seconds) in [
            ("1:05", 65.0),
            ("0:50.4", 50.4),
            ("12:03.25", 723.25),
            ("75:00", 4500.0),
            ("1:02:03", 3723.0),
            ("00:01:05", 65.0),
        ] {
            assert_eq!(clock_s(text), Some(seconds), "{text}");
        }
        for text in [
            "1:5", "1:60", "1:75.2", ":05", "1:", "1:05.", "-1:05", "1:05 s", "1:2:3:4", "1:60:00",
            "1:+5", "1:e1",
        ] {
            assert_eq!(clock_s(text), None, "{text}");
        }
    }
}
