//! Sections of a design file, one behind the other: the first that has a key speaks for it.

use std::sync::Arc;

use toml_edit::{Document, Item};

use super::fault::Problem;
use super::read::Reading;
use super::sheet::Sheet;
use crate::keys::described::Given;
use crate::keys::{Held, Holds, Key, Row, Usual, water};
use crate::pipe::Pipe;
use crate::units::Length;
use crate::water::{GIVEN_SALINITY, GIVEN_TEMPERATURE};

/// The properties that give water outright.
pub(super) const OUTRIGHT: [&Row; 4] = [
    &water::DENSITY.row,
    &water::VISCOSITY.row,
    &water::SURFACE_TENSION.row,
    &water::VAPOUR_PRESSURE.row,
];

/// Sections to look a key up in, the nearest first: a lift's own, then what all have.
pub(super) struct Layers<'a> {
    pub sheet: &'a Sheet,
    /// As the sheet looks them up: `riser`, or `lift 3`.
    sections: Vec<String>,
}

impl<'a> Layers<'a> {
    pub fn new(sheet: &'a Sheet, sections: Vec<String>) -> Self {
        Self { sheet, sections }
    }

    /// The nearest section.
    pub fn own(&self) -> &str {
        self.sections.first().map_or("", String::as_str)
    }

    /// The path of a key in the nearest section, as faults name it.
    pub fn path(&self, row: &Row) -> String {
        format!("{}.{}", self.own(), row.name)
    }

    /// The section that has any of these keys, the nearest first.
    pub fn with(&self, rows: &[&Row]) -> Option<Layers<'a>> {
        let mut sections = self.sections.iter();
        let has = |section: &&String| {
            rows.iter()
                .any(|row| self.sheet.find(section, row.name).is_some())
        };
        let section = sections.find(has)?.clone();
        Some(Layers::new(self.sheet, vec![section]))
    }

    /// Whether a key is there.
    pub fn has(&self, row: &Row) -> bool {
        self.with(&[row]).is_some()
    }

    /// A row with its range: that of water is wider where its properties are given outright.
    pub fn in_force(&self, row: &Row) -> Row {
        let mut row = *row;
        if self.own() == "water"
            && OUTRIGHT.iter().any(|key| self.has(key))
            && let Holds::Quantity(_, range) = &mut row.holds
        {
            match row.path {
                path if path == water::TEMPERATURE.path => *range = GIVEN_TEMPERATURE,
                path if path == water::SALINITY.path => *range = GIVEN_SALINITY,
                _ => {}
            }
        }
        row
    }

    /// The value of a key. Its faults were told when the file was read.
    pub fn get<T: Held>(&self, key: &Key<T>) -> Option<T> {
        let mut sections = self.sections.iter();
        let (item, _) = sections.find_map(|section| self.sheet.find(section, key.name))?;
        self.read(key, item)
    }

    /// The same, or the key's default where that is a value.
    pub fn usual<T: Held>(&self, key: &Key<T>) -> Option<T> {
        if self.has(key) {
            return self.get(key);
        }
        let Usual::Value(value, _) = key.usual else {
            return None;
        };
        let text = format!("value = {}", Row::literal(value));
        let document = Document::parse(text).ok()?;
        self.read(key, document.get("value")?)
    }

    fn read<T: Held>(&self, key: &Key<T>, item: &Item) -> Option<T> {
        let mut reading = Reading {
            sheet: self.sheet,
            row: &self.in_force(key),
            item,
            note: &mut |_| (),
        };
        T::held(reading.value()?)
    }

    /// The value of a key, or a fault that asks for it.
    pub fn needed<T: Held>(&self, key: &Key<T>) -> Option<T> {
        self.or_missing(self.get(key), key)
    }

    /// A value, or a fault that asks for a key.
    pub fn or_missing<T>(&self, value: Option<T>, row: &Row) -> Option<T> {
        self.or_missing_as(value, row, row.example)
    }

    /// The same with another example.
    pub fn or_missing_as<T>(&self, value: Option<T>, row: &Row, example: &str) -> Option<T> {
        if value.is_none() {
            let expected = row.asked_with(example);
            self.fault(row, Problem::Missing { expected });
        }
        value
    }

    /// Notes a fault at a key of the nearest section.
    pub fn fault(&self, row: &Row, problem: Problem) {
        let path = self.path(row);
        self.sheet.fault(self.sheet.place(&path), &path, problem);
    }

    /// A bore, and the pipe that has it where one is named.
    pub fn bore(
        &self,
        bore: &Key<Length>,
        pipe: &Key<String>,
    ) -> Option<(Length, Option<Arc<Pipe>>)> {
        let section = self.with(&[bore, pipe])?;
        match section.get(pipe) {
            Some(name) => {
                let pipe = self.sheet.pipe(&name).ok()??;
                Some((pipe.bore(), Some(pipe)))
            }
            None => Some((section.get(bore)?, None)),
        }
    }
}

impl Given for Layers<'_> {
    fn get<T: Held>(&self, key: &Key<T>) -> Option<T> {
        Layers::get(self, key)
    }

    fn usual<T: Held>(&self, key: &Key<T>) -> Option<T> {
        Layers::usual(self, key)
    }
}
