//! The columns of a cycle's table, and its rows.

use crate::name::nearest;
use crate::need::cycle::{CycleRow, Date};
use crate::need::load::Feed;
use crate::table::{Faults, TableProblem};
use crate::units::quantity::{self, Dimension, QuantityError};

/// What a column is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Name {
    Date,
    Biomass,
    FeedRate,
    Feed,
    Temperature,
    Protein,
    Ph,
    Salinity,
    Volume,
    Note,
}

/// Every column: name, its text, a header that would do, and what it measures. A name that starts
/// another comes after it.
const COLUMNS: [(Name, &str, &str, Option<Dimension>); 10] = [
    (Name::Date, "date", "date", None),
    (
        Name::Biomass,
        "biomass",
        "biomass_kg",
        Some(Dimension::Mass),
    ),
    (
        Name::FeedRate,
        "feed_rate",
        "feed_rate_percent_per_d",
        Some(Dimension::ShareOfDay),
    ),
    (
        Name::Feed,
        "feed",
        "feed_kg_per_d",
        Some(Dimension::MassRate),
    ),
    (
        Name::Temperature,
        "temperature",
        "temperature_degC",
        Some(Dimension::Temperature),
    ),
    (
        Name::Protein,
        "protein",
        "protein_percent",
        Some(Dimension::Ratio),
    ),
    (Name::Ph, "pH", "pH", Some(Dimension::Ratio)),
    (
        Name::Salinity,
        "salinity",
        "salinity_g_per_kg",
        Some(Dimension::MassFraction),
    ),
    (Name::Volume, "volume", "volume_m3", Some(Dimension::Volume)),
    (Name::Note, "note", "note", None),
];

/// What a date is to be written as.
const A_DATE: &str = "a calendar date as year-month-day, such as 2026-03-01";

/// A header understood.
#[derive(Debug, Clone)]
struct Column {
    name: Name,
    header: String,
    /// The unit of its numbers, as quantities spell it.
    unit: Option<String>,
}

/// The header, by place; nothing where a column is empty or at fault.
#[derive(Debug, Default)]
pub(super) struct Header {
    columns: Vec<Option<Column>>,
    /// Columns that are there, whether they can be read or not.
    meant: Vec<Name>,
}

/// Whether a cell is the name of a column, with or without a unit.
pub(super) fn starts_header(cell: &str) -> bool {
    take_apart(cell).is_some()
}

impl Header {
    /// Reads the line of the header.
    pub fn read(line: usize, cells: &[&str], faults: &mut Faults) -> Self {
        let mut header = Self::default();
        for cell in cells {
            let column = take_apart(cell).map(|(name, unit)| Column {
                name,
                header: (*cell).to_owned(),
                unit: unit.map(|unit| unit.replace("_per_", "/")),
            });
            let problem = match &column {
                None if cell.is_empty() => None,
                None => Some(unknown(cell)),
                Some(column) => header.objection(column),
            };
            header
                .meant
                .extend(column.as_ref().map(|column| column.name));
            let good = problem.is_none();
            if let Some(problem) = problem {
                faults.at(line, cell, "", problem);
            }
            header.columns.push(column.filter(|_| good));
        }
        for name in [Name::Date, Name::Biomass, Name::Temperature] {
            if !header.meant.contains(&name) {
                Self::missing(line, name, faults);
            }
        }
        if !header
            .meant
            .iter()
            .any(|name| matches!(name, Name::Feed | Name::FeedRate))
        {
            Self::missing(line, Name::Feed, faults);
        }
        header
    }

    /// What is wrong with a column beside those before it.
    fn objection(&self, column: &Column) -> Option<TableProblem> {
        let same = |other: &&Column| other.name == column.name && other.name != Name::Note;
        if let Some(first) = self.columns.iter().flatten().find(same) {
            let first = first.header.clone();
            return Some(TableProblem::Duplicate { first });
        }
        let (unit, dimension) = (column.unit.as_ref()?, column.name.dimension()?);
        let one = quantity::si_value(&format!("1 {unit}"), dimension, None);
        one.err().map(TableProblem::Quantity)
    }

    fn missing(line: usize, name: Name, faults: &mut Faults) {
        let expected = match name {
            Name::Date => "the day",
            Name::Biomass => "the mass of the animals",
            Name::Temperature => "the temperature of the water",
            _ => {
                "the feed of a day, as a mass or, in feed_rate_percent_per_d, as a share of the animals' mass"
            }
        };
        let example = name.entry().2;
        faults.at(line, example, "", TableProblem::MissingColumn { expected });
    }

    fn column(&self, name: Name) -> Option<(usize, &Column)> {
        let places = self.columns.iter().enumerate();
        let mut found = places.filter_map(|(place, column)| Some((place, column.as_ref()?)));
        found.find(|(_, column)| column.name == name)
    }

    /// The header of a name as the file has it, and what a row has there.
    pub fn place<'a>(&'a self, name: Name, cells: &[&'a str]) -> (&'a str, &'a str) {
        let column = self.column(name);
        column.map_or(("", ""), |(place, column)| {
            let text = cells.get(place).copied().unwrap_or("");
            (column.header.as_str(), text)
        })
    }

    /// Reads a row; its faults told.
    pub fn row(&self, line: usize, cells: &[&str], faults: &mut Faults) -> Option<CycleRow> {
        let filled = cells.iter().rposition(|cell| !cell.is_empty());
        if filled.is_some_and(|last| last >= self.columns.len()) {
            let (cells, columns) = (cells.len(), self.columns.len());
            faults.at(line, "", "", TableProblem::RowLength { cells, columns });
            return None;
        }
        let mut row = RowOf {
            header: self,
            line,
            cells,
            faults,
        };
        let date = row.date();
        let biomass = row.needed(Name::Biomass, quantity::mass);
        let feed = row.feed();
        let temperature = row.needed(Name::Temperature, quantity::temperature);
        let protein = row.optional(Name::Protein, quantity::ratio);
        let ph = row.optional(Name::Ph, quantity::ratio);
        let salinity = row.optional(Name::Salinity, quantity::mass_fraction);
        let volume = row.optional(Name::Volume, quantity::volume);
        let mut read = CycleRow::new(date?, biomass?, feed?, temperature?);
        read.protein = protein?;
        read.ph = ph?;
        read.salinity = salinity?;
        read.volume = volume?;
        Some(read)
    }
}

/// A row that is being read.
struct RowOf<'a> {
    header: &'a Header,
    line: usize,
    cells: &'a [&'a str],
    faults: &'a mut Faults,
}

/// A parser of quantities.
type Parser<T> = fn(&str) -> Result<T, QuantityError>;

impl RowOf<'_> {
    fn date(&mut self) -> Option<Date> {
        let (header, text) = self.header.place(Name::Date, self.cells);
        // The parser takes shorter and longer forms too.
        let form = |(place, byte): (usize, u8)| match place {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        };
        let formed = text.len() == 10 && text.bytes().enumerate().all(form);
        let date = text.parse::<Date>().ok().filter(|_| formed);
        if date.is_none() && !header.is_empty() {
            let expected = A_DATE;
            self.faults
                .at(self.line, header, text, TableProblem::Word { expected });
        }
        date
    }

    fn feed(&mut self) -> Option<Feed> {
        let (share_header, share) = self.header.place(Name::FeedRate, self.cells);
        let (mass_header, mass) = self.header.place(Name::Feed, self.cells);
        if !share.is_empty() && !mass.is_empty() {
            let first = mass_header.to_owned();
            let problem = TableProblem::Duplicate { first };
            self.faults.at(self.line, share_header, share, problem);
            return None;
        }
        let both_empty = share.is_empty() && mass.is_empty();
        if both_empty && !share_header.is_empty() && !mass_header.is_empty() {
            let problem = TableProblem::OneOf { other: "feed_rate" };
            self.faults.at(self.line, mass_header, "", problem);
            return None;
        }
        if share.is_empty() && !mass_header.is_empty() {
            self.needed(Name::Feed, quantity::mass_rate).map(Feed::Mass)
        } else {
            let share = self.needed(Name::FeedRate, quantity::share_of_day);
            share.map(Feed::Share)
        }
    }

    /// A cell that may be empty: the outer option is for a fault, as of every cell.
    #[allow(
        clippy::option_option,
        reason = "at fault, empty and given are three cases"
    )]
    fn optional<T>(&mut self, name: Name, parse: Parser<T>) -> Option<Option<T>> {
        if self.header.place(name, self.cells).1.is_empty() {
            Some(None)
        } else {
            self.needed(name, parse).map(Some)
        }
    }

    fn needed<T>(&mut self, name: Name, parse: Parser<T>) -> Option<T> {
        let (place, column) = self.header.column(name)?;
        let text = self.cells.get(place).copied().unwrap_or("");
        let own = parse(text);
        let read = match (&own, &column.unit, name) {
            // A number under a percent sign is of that unit, though a ratio needs none.
            (Ok(_), Some(unit), Name::Protein) => parse(&format!("{text} {unit}")).or(own),
            (Err(QuantityError::MissingUnit { .. }), Some(unit), _) => {
                parse(&format!("{text} {unit}"))
            }
            _ => own,
        };
        let problem = |error: QuantityError| {
            self.faults
                .at(self.line, &column.header, text, error.into());
        };
        read.map_err(problem).ok()
    }
}

impl Name {
    fn entry(self) -> &'static (Name, &'static str, &'static str, Option<Dimension>) {
        // Every name stands in the table, as a test proves; the first is for form's sake.
        COLUMNS
            .iter()
            .find(|(name, ..)| *name == self)
            .unwrap_or(&COLUMNS[0])
    }

    fn dimension(self) -> Option<Dimension> {
        self.entry().3
    }
}

/// Name and unit of a header.
fn take_apart(header: &str) -> Option<(Name, Option<&str>)> {
    COLUMNS.iter().find_map(|(name, text, ..)| {
        let start = header.get(..text.len())?;
        let rest = header.get(text.len()..)?;
        if !start.eq_ignore_ascii_case(text) {
            return None;
        }
        match rest.strip_prefix('_') {
            None if rest.is_empty() => Some((*name, None)),
            Some(unit) if !matches!(name, Name::Date | Name::Note | Name::Ph) => {
                Some((*name, Some(unit)))
            }
            _ => None,
        }
    })
}

fn unknown(header: &str) -> TableProblem {
    let examples = COLUMNS.iter().map(|(_, _, example, _)| *example);
    let bare = COLUMNS.iter().map(|(_, text, ..)| *text);
    TableProblem::Unknown {
        what: "column",
        nearest: nearest(header, examples.clone().chain(bare)),
        known: examples.collect::<Vec<_>>().join(", "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_reads_back() {
        for (name, _, example, dimension) in COLUMNS {
            assert_eq!(
                take_apart(example).map(|(found, _)| found),
                Some(name),
                "{example}"
            );
            assert_eq!(name.dimension(), dimension);
            let mut faults = Faults::default();
            Header::read(
                1,
                &["date", "biomass_kg", "feed_kg_per_d", "temperature_degC"],
                &mut faults,
            );
            assert!(faults.is_empty());
        }
    }
}
