//! Whether runs go the way that any airlift goes: deeper gives more water, higher gives less.

use std::fmt;

use super::pairs::air_ratio;
use super::prediction::PredictedRuns;
use super::run::{ReducedRun, same_configuration};
use crate::error::Error;
use crate::units::system::to_decimals;
use crate::units::{Length, Ratio, UnitSystem, base, meter, ratio};

/// Largest relative difference of air of two runs that are held against each other.
const AIR_TOLERANCE: f64 = 0.15;
/// Settings this near are the same, m.
const SAME_M: f64 = 2e-3;
/// Standard uncertainties by which a run must be out before it is remarked upon.
const TELLING: f64 = 2.0;

/// What was changed between two runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Direction {
    /// The air inlet went deeper.
    Deeper,
    /// The outlet went higher.
    Higher,
}

/// Two runs that go against expectation, beyond their uncertainty.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WrongWay {
    /// What was changed.
    pub change: Direction,
    /// The run before.
    pub from: String,
    /// The run after.
    pub to: String,
    /// By how much.
    pub by: Length,
    /// Relative change of the water flow, at the air of the run before.
    pub water: Ratio,
}

impl WrongWay {
    /// Its words in a system of units; `to_string` has them in metric units.
    #[must_use]
    pub fn worded(&self, units: UnitSystem) -> String {
        let (word, expected) = match self.change {
            Direction::Deeper => ("deeper", "more"),
            Direction::Higher => ("higher", "less"),
        };
        format!(
            "run {} is {} {word} than {} and should give {expected} water, but gives {:+.1} %: look both up",
            self.to,
            to_decimals(
                units,
                units.small_height_unit(self.by),
                self.by.value,
                [3, 2]
            ),
            self.from,
            100.0 * self.water.get::<ratio>()
        )
    }
}

impl fmt::Display for WrongWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.worded(UnitSystem::Metric))
    }
}

/// Runs of one configuration, alike but for depth or lift, that go the wrong way.
///
/// Each run is held against the next in depth or lift, with the air's difference corrected by the
/// predicted slope; pairs whose air differs by more than 15 %, or where theory gives no slope, are not
/// judged.
///
/// # Errors
/// [`Error::NotConverged`], a defect.
pub fn wrong_ways(PredictedRuns(runs): &PredictedRuns) -> Result<Vec<WrongWay>, Error> {
    let mut found = Vec::new();
    let depth: fn(&ReducedRun) -> f64 = |run| run.submergence.value.get::<meter>();
    let lift: fn(&ReducedRun) -> f64 = |run| run.lift.value.get::<meter>();
    let changes = [
        (Direction::Deeper, depth, lift, 1.0),
        (Direction::Higher, lift, depth, -1.0),
    ];
    for (change, moved, kept, sign) in changes {
        for (a, _) in runs {
            let alike = |b: &ReducedRun| {
                same_configuration(&b.configuration, &a.configuration)
                    && (kept(a) - kept(b)).abs() <= SAME_M
                    && moved(b) > moved(a) + SAME_M
                    && air_ratio(a, b).ln().abs() <= AIR_TOLERANCE.ln_1p()
            };
            let next = runs.iter().filter(|(b, _)| alike(b));
            let Some((b, at)) = next.min_by(|(b, _), (c, _)| moved(b).total_cmp(&moved(c))) else {
                continue;
            };
            let Some(slope) = at.air_slope()? else {
                continue;
            };
            let q = (b.water_flow.value.value / a.water_flow.value.value).get::<ratio>();
            let d = q.ln() - slope * air_ratio(a, b).ln();
            let u = a
                .water_flow
                .budget
                .relative
                .get::<ratio>()
                .hypot(b.water_flow.budget.relative.get::<ratio>());
            if sign * d < -TELLING * u {
                found.push(WrongWay {
                    change,
                    from: a.label.clone(),
                    to: b.label.clone(),
                    by: base(moved(b) - moved(a)),
                    water: base(d.exp() - 1.0),
                });
            }
        }
    }
    Ok(found)
}
