//! Lists of what the library knows.

use super::number::{UnitSystem, short};
use super::table;
use crate::air::NAMED;
use crate::error::Error;
use crate::friction::Friction;
use crate::model::Model;
use crate::pipe::fittings::Fitting;
use crate::pipe::{Pipe, losses as defaults};
use crate::published::{Rig, Score};
use crate::references::ALL;
use crate::slip::Slip;
use crate::units::{Length, Ratio, degree_celsius, inch, kilopascal, percent, ratio};

/// The pipe catalogue.
#[must_use]
pub fn pipes(system: UnitSystem) -> String {
    let unit = system.bore_unit();
    let header = [
        "pipe",
        &format!("outside {}", unit.1),
        &format!("bore {}", unit.1),
        "made for pressure",
        "numbers",
    ];
    let text = table(
        header,
        Pipe::catalogue().iter().map(|pipe| {
            [
                pipe.name.clone(),
                short(pipe.outside_diameter().value / unit.0),
                short(pipe.bore().value / unit.0),
                if pipe.pressure_pipe { "yes" } else { "no" }.to_owned(),
                pipe.trust.to_string(),
            ]
        }),
    );
    text + "\nThe bore is at the middle of the wall's tolerance, or at the smallest wall for want of a largest. Measure yours.\n"
}

/// The closures, with the ranges of the data behind them.
#[must_use]
pub fn models() -> String {
    let slip = Slip::ALL.iter().map(|slip| {
        let validity = slip.validity();
        [
            "slip".to_owned(),
            slip.to_string(),
            validity.bore.to_string(),
            slip.reference().key.to_owned(),
        ]
    });
    let friction = Friction::ALL.iter().map(|friction| {
        [
            "friction".to_owned(),
            friction.to_string(),
            "as its slip closure".to_owned(),
            friction.reference().key.to_owned(),
        ]
    });
    let text = table(
        ["kind", "name", "bores of the data", "source"],
        slip.chain(friction),
    );
    format!(
        "{text}\nDefault: {}. The developing length is the project's own fit.\n",
        Model::default()
    )
}

/// Every source, and how its numbers reached the library.
#[must_use]
pub fn sources() -> String {
    ALL.iter()
        .map(|r| format!("{} ({}): {}\n    {}\n", r.key, r.trust, r.used_for, r.text))
        .collect()
}

/// Units that a design file takes.
#[cfg(feature = "files")]
#[must_use]
pub fn units() -> String {
    use crate::design::quantity::Dimension;
    let spelled = |dimension: &Dimension| {
        dimension
            .units()
            .map(|unit| unit.spellings.join(", "))
            .collect::<Vec<_>>()
            .join("; ")
    };
    Dimension::ALL
        .iter()
        .map(|dimension| format!("{dimension}\n    {}\n", spelled(dimension)))
        .collect()
}

/// Reference states of air that go by a name.
#[must_use]
pub fn states() -> String {
    table(
        ["name", "temperature", "pressure abs", "humidity", "source"],
        NAMED.iter().map(|named| {
            [
                named.name.to_owned(),
                format!(
                    "{:.1} degC",
                    named.state.temperature.get::<degree_celsius>()
                ),
                format!("{:.3} kPa", named.state.pressure.get::<kilopascal>()),
                format!("{:.0} %", named.state.humidity.get::<percent>()),
                named
                    .reference
                    .map_or_else(String::new, |r| r.key.to_owned()),
            ]
        }),
    )
}

/// Loss coefficients to choose from.
#[must_use]
pub fn losses() -> String {
    table(
        ["loss", "K", "published", "numbers"],
        defaults::ALL.iter().map(|loss| {
            [
                loss.name.to_owned(),
                short(loss.value.get::<ratio>()),
                format!(
                    "{} to {}",
                    short(loss.low.get::<ratio>()),
                    short(loss.high.get::<ratio>())
                ),
                loss.trust.to_string(),
            ]
        }),
    )
}

/// How far a model is from each published rig.
///
/// # Errors
/// [`Error::OutOfRange`] for a developing length out of range.
pub fn evidence(model: Model) -> Result<String, Error> {
    let mut rows = Vec::new();
    for rig in Rig::all() {
        let score = Score::of(&rig.residuals(model)?);
        rows.push([
            rig.name.clone(),
            score.points.to_string(),
            format!("{:.0} %", 100.0 * score.within_20_percent),
            format!("{:.0} %", 100.0 * score.mean_absolute_error),
            format!("{:+.0} %", 100.0 * score.bias),
            format!("{:.3}", score.rms_log_error),
        ]);
    }
    let header = [
        "rig",
        "points",
        "within 20 %",
        "mean error",
        "bias",
        "rms log",
    ];
    Ok(format!("{model}\n\n{}", table(header, rows)))
}

/// Fittings that air lines are made of, with their loss at 2 in and a Reynolds number of 1e5.
#[must_use]
pub fn fittings() -> String {
    let at = (Ratio::new::<ratio>(1e5), Length::new::<inch>(2.0));
    let text = table(
        ["fitting", "K", "what it is", "numbers"],
        Fitting::ALL.iter().map(|fitting| {
            let loss = fitting.loss(at.0, at.1);
            [
                fitting.name().to_owned(),
                loss.map_or_else(|_| String::new(), |loss| short(loss.get::<ratio>())),
                fitting.title().to_owned(),
                fitting.trust().to_string(),
            ]
        }),
    );
    text + "\nK at a bore of 2 in and a Reynolds number of 1e5, on the velocity head; it rises in narrower pipe and slower air.\n"
}
