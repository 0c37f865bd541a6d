//! Quantities as people read them: each kind's unit in either system, and its digits.

use super::number::{UnitSystem, place, short};
use crate::units::base;
use crate::units::system::ShownUnit;

/// What a number of an answer is; all are given in SI.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// No number, or a number of its own making.
    Plain,
    /// A whole number.
    Count,
    /// A yes, or nothing.
    Yes,
    /// Part of one, in per cent with so many decimals.
    Percent(usize),
    /// Part of one, or a number with its unit in the head, with so many decimals.
    Share(usize),
    /// What is dissolved, in mg/L that the head names.
    Dissolved,
    /// Volume flow of water.
    Water,
    /// Volume flow of dry air at 20 °C.
    Air,
    /// Absolute or gauge pressure, or a loss.
    Pressure,
    /// Depth or height.
    Height,
    /// The same where every cell of a text says its unit.
    Place,
    /// Bore of a pipe.
    Bore,
    /// Velocity.
    Velocity,
    /// Power.
    Power,
    /// Volume flow of a blower's air.
    BlowerAir,
    /// Energy.
    Energy,
}

impl Kind {
    /// Its unit: size and name.
    pub(super) fn unit(self, units: UnitSystem) -> ShownUnit {
        match self {
            Self::Plain | Self::Count | Self::Yes | Self::Share(_) => (1.0, ""),
            Self::Percent(_) => (0.01, "%"),
            Self::Dissolved => (1e-3, ""),
            Self::Water => units.water_unit(),
            Self::Air => units.air_unit(),
            Self::Pressure => units.pressure_unit(),
            Self::Height | Self::Place => units.height_unit(),
            Self::Bore => units.bore_unit(),
            Self::Velocity => units.velocity_unit(),
            Self::Power => units.power_unit(),
            Self::BlowerAir => units.blower_unit(),
            Self::Energy => (3.6e6, "kWh"),
        }
    }

    /// A number in its unit, with its digits.
    fn digits(self, value: f64) -> String {
        match self {
            Self::Percent(decimals) | Self::Share(decimals) => format!("{value:.decimals$}"),
            Self::Velocity => format!("{value:.2}"),
            Self::Count => format!("{value:.0}"),
            Self::Height | Self::Place => place(value),
            _ => short(value),
        }
    }
}

impl UnitSystem {
    /// A number with its unit.
    pub(super) fn say(self, kind: Kind, si: f64) -> String {
        if kind == Kind::Height {
            return self.height(base(si));
        }
        let (size, unit) = kind.unit(self);
        let number = kind.digits(si / size);
        if unit.is_empty() {
            number
        } else {
            format!("{number} {unit}")
        }
    }
}

impl UnitSystem {
    /// A number alone, where its unit stands beside it.
    pub(super) fn number(self, kind: Kind, si: f64) -> String {
        kind.digits(si / kind.unit(self).0)
    }
}

/// What stands in one place of a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Nothing.
    Empty,
    /// A number in SI.
    Number(f64),
    /// A text.
    Text(String),
    /// Yes or no.
    Yes(bool),
}

impl From<u32> for Cell {
    fn from(count: u32) -> Self {
        Self::Number(count.into())
    }
}

impl From<usize> for Cell {
    fn from(count: usize) -> Self {
        Self::Number(count as f64)
    }
}

impl From<bool> for Cell {
    fn from(yes: bool) -> Self {
        Self::Yes(yes)
    }
}

impl From<f64> for Cell {
    fn from(si: f64) -> Self {
        Self::Number(si)
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<&String> for Cell {
    fn from(text: &String) -> Self {
        Self::Text(text.clone())
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(some: Option<T>) -> Self {
        some.map_or(Self::Empty, Into::into)
    }
}

/// A column of a table that texts, CSV and pages show of rows `R`.
pub(super) struct Column<R> {
    head: Option<&'static str>,
    key: Option<&'static str>,
    page: Option<&'static str>,
    /// Whether a short text leaves it out.
    detail: bool,
    kind: Kind,
    cell: fn(&R, UnitSystem) -> Cell,
}

impl<R> Column<R> {
    /// The same, left out of short texts.
    pub(super) const fn in_detail(self) -> Self {
        Self {
            detail: true,
            ..self
        }
    }

    /// A column by the same cells everywhere: `head` for people, `key` for CSV, where `{}` is the unit's place.
    pub(super) const fn new(
        head: &'static str,
        key: &'static str,
        kind: Kind,
        cell: fn(&R, UnitSystem) -> Cell,
    ) -> Self {
        Self {
            head: Some(head),
            key: Some(key),
            page: None,
            detail: false,
            kind,
            cell,
        }
    }

    /// A column for people alone.
    pub(super) const fn shown(
        head: &'static str,
        kind: Kind,
        cell: fn(&R, UnitSystem) -> Cell,
    ) -> Self {
        Self {
            key: None,
            ..Self::new(head, "", kind, cell)
        }
    }

    /// A column of CSV alone.
    pub(super) const fn saved(
        key: &'static str,
        kind: Kind,
        cell: fn(&R, UnitSystem) -> Cell,
    ) -> Self {
        Self {
            head: None,
            ..Self::new("", key, kind, cell)
        }
    }

    /// The same in CSV too, under this key.
    pub(super) const fn keyed(self, key: &'static str) -> Self {
        Self {
            key: Some(key),
            ..self
        }
    }

    /// A column of texts and pages, each with a head of its own.
    pub(super) const fn told(
        head: &'static str,
        page: &'static str,
        kind: Kind,
        cell: fn(&R, UnitSystem) -> Cell,
    ) -> Self {
        Self {
            key: None,
            page: Some(page),
            ..Self::new(head, "", kind, cell)
        }
    }

    /// A column of pages alone.
    pub(super) const fn paged(
        head: &'static str,
        kind: Kind,
        cell: fn(&R, UnitSystem) -> Cell,
    ) -> Self {
        Self {
            head: None,
            ..Self::told("", head, kind, cell)
        }
    }

    /// Its head on a page, with the unit that the numbers are in; none where it does not stand there.
    pub(super) fn page_title(&self, units: UnitSystem) -> Option<String> {
        let head = self.page?;
        Some(match self.kind.unit(units).1 {
            "" => head.to_owned(),
            unit => format!("{head} ({unit})"),
        })
    }

    /// Whether it has words, not numbers.
    pub(super) fn is_words(&self) -> bool {
        self.kind == Kind::Plain
    }

    /// A cell on a page.
    pub(super) fn page_cell(&self, row: &R, units: UnitSystem) -> String {
        match (self.cell)(row, units) {
            Cell::Empty => String::new(),
            Cell::Text(text) => text,
            Cell::Yes(yes) => if yes { "yes" } else { "" }.to_owned(),
            Cell::Number(si) => self.kind.digits(si / self.kind.unit(units).0),
        }
    }

    /// Its head, with the unit that the numbers are in.
    fn title(&self, units: UnitSystem) -> String {
        let head = self.head.unwrap_or_default();
        match self.kind.unit(units).1 {
            // Signs of per cent stand with the numbers.
            "" | "%" => head.to_owned(),
            _ if self.kind == Kind::Place => head.to_owned(),
            unit => format!("{head} {unit}"),
        }
    }

    /// A cell as people read it.
    fn read(&self, row: &R, units: UnitSystem) -> String {
        match (self.cell)(row, units) {
            Cell::Empty => "-".to_owned(),
            Cell::Text(text) => text,
            Cell::Yes(yes) => if yes { "yes" } else { "" }.to_owned(),
            Cell::Number(si) if self.kind == Kind::Place => units.say(Kind::Height, si),
            Cell::Number(si) => {
                let (size, unit) = self.kind.unit(units);
                let number = self.kind.digits(si / size);
                if unit == "%" {
                    format!("{number} %")
                } else {
                    number
                }
            }
        }
    }

    /// The same at full precision.
    fn save(&self, row: &R, units: UnitSystem) -> String {
        match (self.cell)(row, units) {
            Cell::Empty => String::new(),
            Cell::Text(text) => super::csv::quoted(&text),
            Cell::Yes(yes) => yes.to_string(),
            Cell::Number(si) => match self.kind {
                Kind::Percent(_) => si.to_string(),
                kind => (si / kind.unit(units).0).to_string(),
            },
        }
    }
}

/// Rows as a table for people.
pub(super) fn text_table<'r, R: 'r>(
    columns: &[Column<R>],
    rows: impl IntoIterator<Item = &'r R>,
    units: UnitSystem,
) -> String {
    people_table(columns, rows, units, true)
}

/// The same without the columns that are [`Column::in_detail`].
pub(super) fn short_table<'r, R: 'r>(
    columns: &[Column<R>],
    rows: impl IntoIterator<Item = &'r R>,
    units: UnitSystem,
) -> String {
    people_table(columns, rows, units, false)
}

fn people_table<'r, R: 'r>(
    columns: &[Column<R>],
    rows: impl IntoIterator<Item = &'r R>,
    units: UnitSystem,
    in_full: bool,
) -> String {
    let told = |column: &&Column<R>| column.head.is_some() && (in_full || !column.detail);
    let shown = || columns.iter().filter(told);
    let heads: Vec<String> = shown().map(|column| column.title(units)).collect();
    let rows = rows
        .into_iter()
        .map(|row| shown().map(|c| c.read(row, units)).collect::<Vec<_>>());
    super::columns(&heads, rows)
}

/// Rows as CSV, with units in the header.
pub(super) fn csv_table<'r, R: 'r>(
    columns: &[Column<R>],
    rows: impl IntoIterator<Item = &'r R>,
    units: UnitSystem,
) -> String {
    let saved = || columns.iter().filter(|column| column.key.is_some());
    let line = |cells: Vec<String>| cells.join(",") + "\n";
    let head = saved().map(|column| {
        let unit = super::csv::unit_key(column.kind.unit(units).1);
        column.key.unwrap_or_default().replace("{}", &unit)
    });
    let mut text = line(head.collect());
    for row in rows {
        text += &line(saved().map(|column| column.save(row, units)).collect());
    }
    text
}
