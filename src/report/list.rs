//! Lists of what the library knows.

use super::number::{UnitSystem, short};
use super::table;
use crate::air::NAMED;
use crate::error::Range;
use crate::friction::Friction;
use crate::model::Model;
use crate::need::defaults::{self as needs, NeedDefault};
use crate::pipe::fittings::Fitting;
use crate::pipe::{Pipe, losses as defaults};
use crate::references::{ALL, Trust};
use crate::slip::Slip;
use crate::units::system::to_decimals;
use crate::units::{Length, Ratio, inch, micrometer, millimeter, percent, ratio};

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
                pipe.trust
                    .map_or_else(String::new, |trust| trust.to_string()),
            ]
        }),
    );
    text + "\nThe bore is at the middle of the wall's tolerance, or at the smallest wall for want of a largest. Measure yours.\n"
}

/// The closures, with the ranges of the data behind them.
#[must_use]
pub fn models(units: UnitSystem) -> String {
    let bores = |range: Range| match units {
        UnitSystem::Metric => range.to_string(),
        UnitSystem::Us => {
            let [min, max] = [range.min, range.max]
                .map(|bore_mm| units.bore(Length::new::<millimeter>(bore_mm)));
            format!("{min} to {max}")
        }
    };
    let slip = Slip::ALL.iter().map(|slip| {
        let validity = slip.validity();
        [
            "slip".to_owned(),
            slip.to_string(),
            bores(validity.bore),
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
        Model::default().worded(units)
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
    use crate::units::quantity::Dimension;
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
pub fn states(units: UnitSystem) -> String {
    table(
        ["name", "temperature", "pressure abs", "humidity", "source"],
        NAMED.iter().map(|named| {
            [
                named.name.to_owned(),
                units.temperature(named.state.temperature),
                to_decimals(
                    units,
                    units.pressure_unit(),
                    named.state.pressure.pascal(),
                    [3, 3],
                ),
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

/// Coefficients and limits of animals and water, with their spread and source.
#[must_use]
pub fn needs() -> String {
    needs::ALL.iter().map(need).collect()
}

fn need(one: &NeedDefault<f64>) -> String {
    let NeedDefault {
        name,
        value,
        low,
        high,
        unit,
        trust,
        note,
        ..
    } = one;
    let unit = if unit.is_empty() {
        ""
    } else {
        &format!(" {unit}")
    };
    let source = one.reference.map_or("no source", |source| source.key);
    format!("{name}: {value}{unit}, {low} to {high} ({source}; {trust})\n    {note}\n")
}

/// Everything that reached the library from memory or is its own: to be checked against a source first.
#[must_use]
pub fn memory() -> String {
    let unread = |trust: Trust| trust != Trust::Read;
    let mut text = "Sources that were not read\n\n".to_owned();
    for r in ALL.iter().filter(|r| unread(r.trust)) {
        text += &format!("{} ({}): {}\n", r.key, r.trust, r.used_for);
    }
    text += "\nNeeds of animals and water\n\n";
    for one in needs::ALL.iter().filter(|one| unread(one.trust)) {
        text += &need(one);
    }
    text += "\nLosses and roughness\n\n";
    let loss = |name: &str, value: &str, trust: Trust, note: &str| {
        format!("{name}: {value} ({trust})\n    {note}\n")
    };
    for one in defaults::ALL.iter().filter(|one| unread(one.trust)) {
        let value = format!("K {}", one.value.get::<ratio>());
        text += &loss(one.name, &value, one.trust, one.note);
    }
    let roughness = defaults::PVC_ROUGHNESS;
    let value = format!("{:.1} um", roughness.value.get::<micrometer>());
    text += &loss(roughness.name, &value, roughness.trust, roughness.note);
    text += "\nFittings of air lines\n\n";
    for fitting in Fitting::ALL.iter().filter(|one| unread(one.trust())) {
        text += &format!("{} ({})\n", fitting.name(), fitting.trust());
    }
    text += "\nPipe\n\n";
    for pipe in Pipe::catalogue() {
        if let Some(trust) = pipe.trust.filter(|trust| unread(*trust)) {
            text += &format!("{pipe} ({trust})\n");
        }
    }
    text
}
