//! How sure a flow is, in words.

use super::kind::Kind;
use super::number::UnitSystem;
use crate::answer::IntervalFacts;
use crate::uncertainty::Basis;

/// A level in per cent, without the noise of binary fractions.
pub(super) fn percents(level: f64) -> f64 {
    (level * 100.0 * 1e6).round() / 1e6
}

/// A level as people say it.
pub(super) fn odds(level: f64) -> String {
    let known = [
        (50.0, "one time in two"),
        (75.0, "three times in four"),
        (80.0, "four times in five"),
        (90.0, "nine times in ten"),
        (95.0, "nineteen times in twenty"),
        (99.0, "ninety-nine times in a hundred"),
    ];
    let same = |one: &&(f64, &str)| (one.0 - 100.0 * level).abs() < 1e-9;
    known.iter().find(same).map_or_else(
        || format!("with a probability of {} %", percents(level)),
        |(_, words)| (*words).to_owned(),
    )
}

/// Both ends without a unit, for a cell.
pub(super) fn ends(interval: Option<IntervalFacts>, units: UnitSystem) -> String {
    interval.map_or_else(
        || "-".to_owned(),
        |found| {
            let [low, high] = both(&found, units.water_unit().0);
            format!("{low} to {high}")
        },
    )
}

/// Both ends: two digits each, and more where the interval is so narrow that they would not show it.
fn both(found: &IntervalFacts, unit: f64) -> [String; 2] {
    let place = |size: f64| {
        if size > 0.0 {
            size.log10().floor()
        } else {
            f64::NEG_INFINITY
        }
    };
    let [low, high] = [found.low_m3_per_s, found.high_m3_per_s].map(|end| end / unit);
    let width = high - low;
    [low, high].map(|value| {
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

/// Half of an interval, as a share of the flow: in per cent, or both ends as factors where it is as wide as the flow.
pub(super) fn half(width: f64) -> String {
    if width < 1.0 {
        return format!("± {} %", rounded(100.0 * width));
    }
    let factor = 1.0 + width;
    format!("{} to {} times", rounded(1.0 / factor), rounded(factor))
}

/// How sure a flow is, after the flow itself; what one reading and three would make of it where that is known.
pub(super) fn words(
    interval: Option<IntervalFacts>,
    after: [Option<f64>; 2],
    units: UnitSystem,
) -> String {
    let Some(found) = interval else {
        return "how sure is not known: below a submergence ratio of 0.4 the law of error does not hold with this closure"
            .to_owned();
    };
    let (size, unit) = units.water_unit();
    let [low, high] = both(&found, size);
    let mut text = format!("{} between {low} and {high} {unit}", odds(found.level));
    match (found.basis, after) {
        (Basis::BenchTrial, _) => text += ", by a bench trial of this rig",
        (Basis::PublishedRigs, [Some(one), Some(three)]) => {
            text += &format!(
                "; one reading on the bench would make it {}, three {}",
                half(one),
                half(three)
            );
        }
        (Basis::PublishedRigs, _) => {}
    }
    text
}

/// A flow and how sure it is, in a sentence.
pub(super) fn sentence(
    flow_m3_per_s: f64,
    interval: Option<IntervalFacts>,
    after: [Option<f64>; 2],
    units: UnitSystem,
) -> String {
    format!(
        "{}; {}",
        units.say(Kind::Water, flow_m3_per_s),
        words(interval, after, units)
    )
}
