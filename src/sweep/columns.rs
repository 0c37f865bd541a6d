//! The columns of results, once, for CSV, Parquet and the book.

use std::borrow::Cow;

use super::rows::Row;
use crate::riser::OperatingPoint;

/// A column of results.
#[derive(Debug)]
pub struct ResultColumn {
    /// Its name, with the SI unit at its end: that of `risewater flow --json` where it has the number too.
    pub name: &'static str,
    /// What it holds.
    pub words: &'static str,
    /// Whether it is there with intervals alone.
    pub of_interval: bool,
    /// Its value in a row.
    pub(super) value: Value,
}

/// Whether a column has numbers or names, and where a row has them.
#[derive(Debug)]
pub(super) enum Value {
    Number(fn(&Row) -> Option<f64>),
    Name(fn(&Row) -> Option<Cow<'_, str>>),
}

const fn number(
    name: &'static str,
    words: &'static str,
    value: fn(&Row) -> Option<f64>,
) -> ResultColumn {
    ResultColumn {
        name,
        words,
        of_interval: false,
        value: Value::Number(value),
    }
}

const fn name(
    name: &'static str,
    words: &'static str,
    value: fn(&Row) -> Option<Cow<'_, str>>,
) -> ResultColumn {
    ResultColumn {
        name,
        words,
        of_interval: false,
        value: Value::Name(value),
    }
}

const fn of_interval(column: ResultColumn) -> ResultColumn {
    ResultColumn {
        name: column.name,
        words: column.words,
        of_interval: true,
        value: column.value,
    }
}

/// The same of an operating point; nothing where no water flows.
macro_rules! at_point {
    ($name:literal, $words:literal, $value:expr) => {
        number($name, $words, |row| {
            let value: fn(&OperatingPoint) -> f64 = $value;
            row.point.as_ref().map(value)
        })
    };
}

/// Name of the column of outcomes.
pub(super) const OUTCOME: &str = "outcome";
/// Name of the column of water flows.
pub(super) const WATER_FLOW: &str = "water_flow_m3_per_s";
/// Name of the column of cautions.
pub(super) const CAUTIONS: &str = "cautions";

/// The columns of results, after those of the keys that vary.
pub const COLUMNS: &[ResultColumn] = &[
    name(
        OUTCOME,
        "`pumping`, `choked`, `below_threshold` or `blown_dry`; or the code of the error where these values cannot go together, \
         such as `inconsistent`",
        |row| Some(row.outcome.into()),
    ),
    number(WATER_FLOW, "water flow, zero when none", |row| {
        row.water_flow_m3_per_s
    }),
    of_interval(number(
        "interval_low_m3_per_s",
        "lower end of where the true flow lies; empty at a submergence ratio below 0.4, unless `model.slip` is `smith_drift`",
        |row| row.interval.map(|found| found.low.value),
    )),
    of_interval(number("interval_high_m3_per_s", "upper end", |row| {
        row.interval.map(|found| found.high.value)
    })),
    number("air_mass_flow_kg_per_s", "dry air", |row| row.air_kg_per_s),
    at_point!(
        "injection_pressure_pa",
        "pressure in the water at the injection point, running, absolute",
        |point| point.injection_pressure.pascal()
    ),
    number(
        "startup_gauge_pressure_pa",
        "pressure of the water at rest at the injection point over the atmosphere, at the running level: what starts the lift",
        |row| row.startup_pa,
    ),
    at_point!(
        "efficiency",
        "useful power over `injection_power_w`",
        |point| point.efficiency.value
    ),
    at_point!(
        "injection_power_w",
        "isothermal power of the air at the injection point, without losses of line and blower",
        |point| point.injection_power.value
    ),
    at_point!(
        "void_fraction_foot",
        "share of the volume that is air at the foot of the column",
        |point| point.foot.void_fraction.value
    ),
    at_point!("void_fraction_top", "the same at its top", |point| point
        .top
        .void_fraction
        .value),
    name("pattern_top", "flow pattern at the top", |row| {
        Some(row.point.as_ref()?.top.pattern.to_string().into())
    }),
    name(
        CAUTIONS,
        "codes of the cautions, with a space between; those of the law of error are there with intervals alone",
        |row| (!row.cautions.is_empty()).then_some(Cow::Borrowed(&row.cautions)),
    ),
];

/// The table of them, as the book has it.
#[cfg(test)]
fn documented() -> String {
    let mut text = "| column | holds |\n|---|---|\n".to_owned();
    for column in COLUMNS {
        let only = if column.of_interval {
            "with `--interval`: "
        } else {
            ""
        };
        text += &format!("| `{}` | {only}{} |\n", column.name, column.words);
    }
    text
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns_are_documented() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/src/sweep/columns.md");
        let due = super::documented();
        if std::env::var("COLUMNS").is_ok_and(|value| value == "overwrite") {
            std::fs::write(path, &due).unwrap();
        }
        let found = std::fs::read_to_string(path).unwrap_or_default();
        assert_eq!(found, due, "COLUMNS=overwrite writes it");
    }
}
