//! The columns of a trial sheet: name, number of the repeat, unit.

use super::fault::SheetProblem;
use crate::name::nearest;
use crate::units::quantity::{self, Dimension, QuantityError, Unit};

/// What a column is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Name {
    Run,
    Configuration,
    Note,
    Submergence,
    Lift,
    WaterVolume,
    WaterMass,
    WaterTime,
    WaterClock,
    WaterRepeatability,
    AirVolume,
    AirTime,
    AirClock,
    AirRepeatability,
    BottleLevel,
    AirTemperature,
    AirFlow,
    AirReference,
    WaterTemperature,
    Salinity,
    Barometer,
    PlannedAir,
    PredictedWater,
    PredictedFill,
}

/// A name, its text, and for numbers what it measures with the unit that an example has.
type Entry = (Name, &'static str, Option<(Dimension, &'static str)>);

/// Every name as headers write it.
const NAMES: &[Entry] = &[
    (Name::Run, "run", None),
    (Name::Configuration, "configuration", None),
    (Name::Note, "note", None),
    (
        Name::Submergence,
        "submergence",
        Some((Dimension::Length, "m")),
    ),
    (Name::Lift, "lift", Some((Dimension::Length, "m"))),
    (
        Name::WaterVolume,
        "water_volume",
        Some((Dimension::Volume, "L")),
    ),
    (Name::WaterMass, "water_mass", Some((Dimension::Mass, "kg"))),
    (Name::WaterTime, "water_time", Some((Dimension::Time, "s"))),
    (
        Name::WaterClock,
        "water_clock",
        Some((Dimension::Time, "s")),
    ),
    (
        Name::WaterRepeatability,
        "water_repeatability",
        Some((Dimension::Time, "s")),
    ),
    (
        Name::AirVolume,
        "air_volume",
        Some((Dimension::Volume, "L")),
    ),
    (Name::AirTime, "air_time", Some((Dimension::Time, "s"))),
    (Name::AirClock, "air_clock", Some((Dimension::Time, "s"))),
    (
        Name::AirRepeatability,
        "air_repeatability",
        Some((Dimension::Time, "s")),
    ),
    (
        Name::BottleLevel,
        "bottle_level",
        Some((Dimension::Length, "mm")),
    ),
    (
        Name::AirTemperature,
        "air_temperature",
        Some((Dimension::Temperature, "degC")),
    ),
    (
        Name::AirFlow,
        "air_flow",
        Some((Dimension::VolumeRate, "L_per_min")),
    ),
    (Name::AirReference, "air_reference", None),
    (
        Name::WaterTemperature,
        "water_temperature",
        Some((Dimension::Temperature, "degC")),
    ),
    (
        Name::Salinity,
        "salinity",
        Some((Dimension::MassFraction, "g_per_kg")),
    ),
    (
        Name::Barometer,
        "barometer",
        Some((Dimension::AbsolutePressure, "kPa")),
    ),
    // What a plan writes for those at the bench; never read.
    (
        Name::PlannedAir,
        "planned_air",
        Some((Dimension::VolumeRate, "L_per_min")),
    ),
    (
        Name::PredictedWater,
        "predicted_water",
        Some((Dimension::VolumeRate, "L_per_min")),
    ),
    (
        Name::PredictedFill,
        "predicted_fill",
        Some((Dimension::Time, "s")),
    ),
];

impl Name {
    fn row(self) -> &'static Entry {
        // Every name stands in the table, as a test proves; the first row is for form's sake.
        NAMES
            .iter()
            .find(|(name, ..)| *name == self)
            .unwrap_or(&NAMES[0])
    }

    pub fn text(self) -> &'static str {
        self.row().1
    }

    /// What it measures; nothing for a text.
    pub fn dimension(self) -> Option<Dimension> {
        self.row().2.map(|(dimension, _)| dimension)
    }

    /// Whether there is one for each repeat.
    pub fn is_numbered(self) -> bool {
        matches!(
            self,
            Self::WaterTime | Self::WaterClock | Self::AirTime | Self::AirClock
        )
    }

    /// A header that would do, as "water_time_2_s".
    pub fn example(self, number: &str) -> String {
        let number = if self.is_numbered() {
            format!("_{number}")
        } else {
            String::new()
        };
        let unit = self
            .row()
            .2
            .map_or(String::new(), |(_, unit)| format!("_{unit}"));
        format!("{}{number}{unit}", self.text())
    }
}

/// A header understood.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    /// The header as it stands.
    pub header: String,
    pub name: Name,
    /// Number of the repeat; 1 where there is none.
    pub number: u32,
    /// The unit of its numbers.
    pub unit: Option<&'static Unit>,
}

/// What a header stands for.
pub(super) fn read(header: &str) -> Result<Column, SheetProblem> {
    let header = header.trim();
    let (name, number, unit) = take_apart(header).ok_or_else(|| unknown(header))?;
    let unit = match (unit, name.dimension()) {
        (None, _) => None,
        (Some(text), Some(dimension)) => {
            Some(quantity::unit(&text.replace("_per_", "/"), dimension)?)
        }
        (Some(_), None) => return Err(unknown(header)),
    };
    Ok(Column {
        header: header.to_owned(),
        name,
        number,
        unit,
    })
}

/// Name, number and unit of a header.
fn take_apart(header: &str) -> Option<(Name, u32, Option<&str>)> {
    let lower = header.to_ascii_lowercase();
    let starts = |text: &str| {
        lower
            .strip_prefix(text)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('_'))
    };
    let (name, text, _) = NAMES.iter().find(|(_, text, _)| starts(text))?;
    let mut rest = header.get(text.len()..)?.strip_prefix('_');
    let mut number = 1;
    if let (true, Some(tail)) = (name.is_numbered(), rest) {
        let (digits, unit) = match tail.split_once('_') {
            Some((digits, unit)) => (digits, Some(unit)),
            None => (tail, None),
        };
        if digits.starts_with(|c: char| c.is_ascii_digit()) {
            number = digits.parse().ok()?;
            rest = unit;
        }
    }
    Some((*name, number, rest))
}

fn unknown(header: &str) -> SheetProblem {
    let digits: String = header.chars().filter(char::is_ascii_digit).collect();
    let number = if digits.is_empty() { "1" } else { &digits };
    let examples = NAMES.iter().map(|(name, ..)| name.example(number));
    let bare = NAMES.iter().map(|(_, text, _)| (*text).to_owned());
    SheetProblem::UnknownColumn {
        nearest: nearest(header, examples.chain(bare)),
    }
}

/// The name that an unknown header was probably meant for.
pub(super) fn meant(problem: &SheetProblem) -> Option<Name> {
    match problem {
        SheetProblem::UnknownColumn {
            nearest: Some(near),
        } => take_apart(near).map(|(name, ..)| name),
        _ => None,
    }
}

/// The name of a header whose unit alone is wrong.
pub(super) fn named(header: &str, problem: &SheetProblem) -> Option<Name> {
    match problem {
        SheetProblem::Quantity(
            QuantityError::WrongQuantity { .. }
            | QuantityError::UnknownUnit { .. }
            | QuantityError::StateInUnit { .. },
        ) => take_apart(header.trim()).map(|(name, ..)| name),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_reads_back() {
        for (name, text, measure) in NAMES {
            let column = read(&name.example("7")).unwrap();
            assert_eq!((column.name, column.name.text()), (*name, *text));
            assert_eq!(column.unit.is_some(), measure.is_some(), "{text}");
            assert_eq!(column.number, if name.is_numbered() { 7 } else { 1 });
        }
    }

    #[test]
    fn numbers_and_units_are_optional() {
        assert!(matches!(
            read(" Water_Time_MS "),
            Err(SheetProblem::Quantity(QuantityError::UnknownUnit { .. }))
        ));
        let column = read("water_time_s").unwrap();
        assert_eq!((column.name, column.number), (Name::WaterTime, 1));
        assert!(read("lift").unwrap().unit.is_none());
        assert_eq!(read("lift_cm").unwrap().unit.unwrap().factor, 1e-2);
        assert_eq!(
            read("air_flow_L_per_min").unwrap().unit.unwrap().name(),
            "L/min"
        );
        assert_eq!(
            read("salinity_g_per_kg").unwrap().unit.unwrap().name(),
            "g/kg"
        );
    }

    #[test]
    fn what_is_no_column() {
        let near = |header| match read(header) {
            Err(SheetProblem::UnknownColumn { nearest }) => nearest,
            other => panic!("{header}: {other:?}"),
        };
        assert_eq!(near("submergance_m").as_deref(), Some("submergence_m"));
        assert_eq!(near("water_tme_2_s").as_deref(), Some("water_time_2_s"));
        assert_eq!(near("submergence (m)").as_deref(), Some("submergence_m"));
        assert_eq!(near("configuration_m").as_deref(), Some("configuration"));
        assert_eq!(near("weather"), None);
        assert!(matches!(
            read("lift_kPa"),
            Err(SheetProblem::Quantity(QuantityError::WrongQuantity { .. }))
        ));
    }
}
