//! How sure a flow is, in words and as JSON.

use serde_json::{Value, json};

use super::number::UnitSystem;
use crate::uncertainty::{Basis, Interval};
use crate::units::{Ratio, VolumeRate, cubic_meter_per_second, percent, ratio};

/// An interval; `null` where none is known.
pub(super) fn interval_json(interval: Option<&Interval>) -> Value {
    interval.map_or(Value::Null, |interval| {
        json!({
            "level": interval.level.get::<ratio>(),
            "low_m3_per_s": interval.low.get::<cubic_meter_per_second>(),
            "high_m3_per_s": interval.high.get::<cubic_meter_per_second>(),
            "basis": interval.basis.to_string(),
        })
    })
}

/// A level in per cent, without the noise of binary fractions.
pub(super) fn percents(level: Ratio) -> f64 {
    (level.get::<percent>() * 1e6).round() / 1e6
}

/// A level as people say it.
pub(super) fn odds(level: Ratio) -> String {
    let known = [
        (50.0, "one time in two"),
        (75.0, "three times in four"),
        (80.0, "four times in five"),
        (90.0, "nine times in ten"),
        (95.0, "nineteen times in twenty"),
        (99.0, "ninety-nine times in a hundred"),
    ];
    let same = |one: &&(f64, &str)| (one.0 - level.get::<percent>()).abs() < 1e-9;
    known.iter().find(same).map_or_else(
        || format!("with a probability of {} %", percents(level)),
        |(_, words)| (*words).to_owned(),
    )
}

/// Both ends without a unit, for a cell.
pub(super) fn ends(interval: Option<&Interval>, unit: f64) -> String {
    interval.map_or_else(
        || "-".to_owned(),
        |found| {
            let [low, high] = both(found, unit);
            format!("{low} to {high}")
        },
    )
}

/// Both ends: two digits each, and more where the interval is so narrow that they would not show it.
fn both(found: &Interval, unit: f64) -> [String; 2] {
    let place = |size: f64| {
        if size > 0.0 {
            size.log10().floor()
        } else {
            f64::NEG_INFINITY
        }
    };
    let width = (found.high - found.low).value / unit;
    [found.low, found.high].map(|end| {
        let value = end.value / unit;
        let step = (place(value) - 1.0).min(place(0.2 * width));
        if step.is_finite() && step < place(value) - 1.0 {
            let step = 10f64.powf(step);
            let text = format!("{:.9}", (value / step).round() * step);
            text.parse().map_or(text, |value: f64| value.to_string())
        } else {
            rounded(value)
        }
    })
}

/// Two digits and no more: an end of an interval is no sharper.
pub(super) fn rounded(value: f64) -> String {
    let two: f64 = format!("{value:.1e}").parse().unwrap_or(value);
    two.to_string()
}

/// How sure a flow is, after the flow itself; what three readings would make of it where that is known.
pub(super) fn words(
    interval: Option<&Interval>,
    after_three: Option<Ratio>,
    units: UnitSystem,
) -> String {
    let Some(found) = interval else {
        return "how sure is not known: below a submergence ratio of 0.4 the law of error\n        does not hold with this closure"
            .to_owned();
    };
    let (size, unit) = units.water_unit();
    let [low, high] = both(found, size);
    let mut text = format!("{} between {low} and {high} {unit}", odds(found.level));
    match (found.basis, after_three) {
        (Basis::BenchTrial, _) => text += ", by a bench trial of this rig",
        (Basis::PublishedRigs, Some(half)) => {
            text += &format!(
                "; three readings on the bench\n        would make it ± {} %",
                rounded(half.get::<percent>())
            );
        }
        (Basis::PublishedRigs, None) => {}
    }
    text
}

/// A flow and how sure it is, in a sentence.
pub(super) fn sentence(
    flow: VolumeRate,
    interval: Option<&Interval>,
    after_three: Option<Ratio>,
    units: UnitSystem,
) -> String {
    format!(
        "{}; {}",
        units.water(flow),
        words(interval, after_three, units)
    )
}
