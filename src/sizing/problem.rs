//! What a sizing is asked: duty, limits, objective.

use std::sync::Arc;

use strum::{Display, IntoStaticStr, VariantArray};

use super::MarginCase;
use crate::error::{Error, Input, Range, from_name, range};
use crate::gas::total_gas_pressure_bound;
use crate::model::Model;
use crate::pipe::Pipe;
use crate::riser::{
    Dimensions, LIFT, Outlet, Riser, RiserSpec, SUBMERGENCE, Site, WATER_FLOW, stays_wet,
};
use crate::uncertainty::{ErrorLaw, Wanted};
use crate::units::{
    GaugePressure, Length, Ratio, VolumeRate, base, kilopascal, liter_per_minute, meter,
    millimeter, ratio,
};

range!(LIFTS, 1 to 1000 "lifts", "Numbers of lifts that can be searched.");
range!(PEAK_RESERVE, 0 to 0.9, "Reserves below the peak that can be asked for.");
range!(AIR_PRESSURE, 0.01 to 10_000 "kPa gauge", "Limits of air pressure that can be set.");
range!(TOTAL_GAS_PRESSURE, 1 to 10, "Limits of total gas pressure that can be set, over the barometer's.");
range!(LEVEL_CHANGE, 0 to 100 "m", "Level changes that can be asked about.");
range!(FOULING, 0 to 1000 "mm", "Losses of bore that can be asked about.");
range!(SUBMERGENCE_STEP, 0.001 to 1000 "m", "Steps of submergence; also bounded by [`DEPTHS`].");
range!(DEPTHS, 1 to 1000 "depths", "Numbers of depths that one search tries.");
range!(CANDIDATES, 1 to 100_000 "candidates", "Numbers of candidates that one search tries.");

/// What the water must do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// Water flow of all lifts together.
    pub water_flow: VolumeRate,
    /// Lift from the running water level of the source to the outlet.
    pub lift: Length,
}

/// What the best design has least of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Display, IntoStaticStr, VariantArray)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Objective {
    /// Isothermal power of the air, all lifts together.
    #[default]
    AirPower,
    /// Number of lifts.
    Lifts,
    /// Air flow of all lifts together.
    AirFlow,
    /// Running pressure at the injection point.
    Pressure,
}

impl Objective {
    /// All objectives.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The name in design files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

from_name!(Objective);

/// A sizing problem: every pipe × depth × number of lifts within the limits is a candidate.
///
/// Bore, submergence and lift of `riser` are not read: the search sets them. Everything else of it
/// (roughness, suction pipe, losses, outlet, air line) holds for every candidate.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Task {
    /// The duty.
    pub duty: Duty,
    /// Water and atmosphere.
    pub site: Site,
    /// Closures.
    pub model: Model,
    /// What all candidates share.
    pub riser: RiserSpec,
    /// Pipes to search.
    pub pipes: Vec<Arc<Pipe>>,
    /// Depths to search, shallowest first.
    pub submergences: Vec<Length>,
    /// Smallest number of lifts that share the duty.
    pub min_lifts: u32,
    /// Largest number of lifts that share the duty.
    pub max_lifts: u32,
    /// Largest pressure that the air supply reaches at the injection point. It limits the start-up
    /// pressure: a blower that cannot push the water out of the air line never starts the lift.
    pub max_air_pressure: Option<GaugePressure>,
    /// Largest total gas pressure, over the barometer's, that the depth of injection may let the water leave with
    /// at its highest level: a limit of [`total_gas_pressure_bound`](crate::gas::total_gas_pressure_bound).
    pub max_total_gas_pressure: Option<Ratio>,
    /// Share of the peak flow that a design must stay below it.
    pub peak_reserve: Ratio,
    /// What the best design has least of.
    pub objective: Objective,
    /// Fall of the tank's water level below normal.
    pub level_fall: Length,
    /// Rise of the tank's water level above normal.
    pub level_rise: Length,
    /// Whether the duty must be met at low water too: then the air of a design is what that takes, within
    /// the limits there.
    pub at_low_water: bool,
    /// Bore lost to fouling before the riser is cleaned.
    pub fouling: Length,
    /// How sure predicted flows are, with a bench trial where there is one: it holds for candidates that are of one
    /// rig with it.
    pub law: ErrorLaw,
    /// Whether the lower end of the interval must meet the duty, not the predicted flow: then the air of a design is
    /// what that takes.
    pub at_lower_end: bool,
}

impl Task {
    /// A problem with one lift at most, no limit of pressure, no reserve, and no margins asked for.
    #[must_use]
    pub fn new(
        duty: Duty,
        site: Site,
        riser: RiserSpec,
        pipes: Vec<Arc<Pipe>>,
        submergences: Vec<Length>,
    ) -> Self {
        Self {
            duty,
            site,
            model: Model::default(),
            riser,
            pipes,
            submergences,
            min_lifts: 1,
            max_lifts: 1,
            max_air_pressure: None,
            max_total_gas_pressure: None,
            peak_reserve: base(0.0),
            objective: Objective::default(),
            level_fall: base(0.0),
            level_rise: base(0.0),
            at_low_water: false,
            fouling: base(0.0),
            law: ErrorLaw::default(),
            at_lower_end: false,
        }
    }

    /// Checks every input, and that not every candidate is impossible: the widest pipe at the
    /// deepest injection must be a riser.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an input outside its range, [`Error::Inconsistent`] for two that
    /// leave no riser.
    #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
    pub(crate) fn validate(&self) -> Result<(), Error> {
        WATER_FLOW.check(
            Input::WaterFlow,
            self.duty.water_flow.get::<liter_per_minute>(),
        )?;
        LIFT.check(Input::DutyLift, self.duty.lift.get::<meter>())?;
        let fewest = LIFTS.check(Input::MinLifts, f64::from(self.min_lifts))?;
        let most = LIFTS.check(Input::MaxLifts, f64::from(self.max_lifts))?;
        if fewest > most {
            return Err(Error::Inconsistent {
                larger: Input::MaxLifts,
                larger_value: most,
                smaller: Input::MinLifts,
                smaller_value: fewest,
                unit: "lifts",
            });
        }
        PEAK_RESERVE.check(Input::PeakReserve, self.peak_reserve.get::<ratio>())?;
        if let Some(limit) = self.max_air_pressure {
            AIR_PRESSURE.check(Input::MaxAirPressure, limit.get::<kilopascal>())?;
        }
        if let Some(limit) = self.max_total_gas_pressure {
            TOTAL_GAS_PRESSURE.check(Input::MaxTotalGasPressure, limit.get::<ratio>())?;
        }
        LEVEL_CHANGE.check(Input::LowWater, self.level_fall.get::<meter>())?;
        LEVEL_CHANGE.check(Input::HighWater, self.level_rise.get::<meter>())?;
        FOULING.check(Input::FouledBore, self.fouling.get::<millimeter>())?;
        DEPTHS.check(Input::Depths, self.submergences.len() as f64)?;
        Range::new(1.0, 1e6, "pipes").check(Input::Pipes, self.pipes.len() as f64)?;
        for depth in &self.submergences {
            SUBMERGENCE.check(Input::MaxSubmergence, depth.get::<meter>())?;
        }
        CANDIDATES.check(Input::Candidates, self.candidates() as f64)?;
        let widest = self
            .pipes
            .iter()
            .max_by(|a, b| a.bore().value.total_cmp(&b.bore().value));
        let deepest = self
            .submergences
            .iter()
            .max_by(|a, b| a.value.total_cmp(&b.value));
        match (widest, deepest) {
            (Some(pipe), Some(depth)) => {
                self.candidate(pipe, *depth).map(|_| ()).map_err(of_search)
            }
            _ => Ok(()),
        }
    }

    /// How many candidates the search tries.
    #[must_use]
    pub fn candidates(&self) -> usize {
        let lifts = (self.max_lifts as usize + 1).saturating_sub(self.min_lifts as usize);
        let risers = self.pipes.len().saturating_mul(self.submergences.len());
        risers.saturating_mul(lifts)
    }

    /// The most total gas pressure of the water that leaves a lift of a depth, over the barometer's, with the
    /// tank's water at its highest. A fitting at the mouth may add to it once a flow is known:
    /// [`Riser::total_gas_pressure_bound`].
    ///
    /// # Errors
    /// As [`total_gas_pressure_bound`].
    pub fn total_gas_pressure_bound(&self, submergence: Length) -> Result<Ratio, Error> {
        total_gas_pressure_bound(
            submergence + self.level_rise,
            self.mouth_depth(),
            self.site.water.density(),
            self.site.atmosphere,
        )
    }

    /// Depth of the mouth below the water that receives it.
    pub(crate) fn mouth_depth(&self) -> Length {
        match self.riser.outlet {
            Outlet::Submerged { depth, .. } => depth,
            _ => base(0.0),
        }
    }

    /// The riser of one candidate, which must be one at every water level and when it is fouled.
    pub(crate) fn candidate(&self, pipe: &Pipe, submergence: Length) -> Result<Riser, Error> {
        let mut spec = self.riser;
        spec.dimensions = Dimensions {
            bore: pipe.bore(),
            submergence,
            lift: self.duty.lift,
        };
        let riser = spec.build(&self.site, self.model)?;
        stays_wet(submergence, self.level_fall)?;
        for (_, changed) in self.changes(&spec) {
            riser.with_spec(changed)?;
        }
        Ok(riser)
    }

    /// A candidate at the lowest level at which the duty must be met.
    pub(crate) fn at_duty_level(&self, riser: &Riser) -> Result<Riser, Error> {
        if !self.at_low_water {
            return Ok(*riser);
        }
        let mut changes = self.changes(riser.spec()).into_iter();
        match changes.find(|(case, _)| *case == MarginCase::LowWater) {
            Some((_, low)) => riser.with_spec(low),
            None => Ok(*riser),
        }
    }

    /// Which flow must meet the duty.
    #[must_use]
    pub fn wanted(&self) -> Wanted {
        if self.at_lower_end {
            Wanted::LowerEnd
        } else {
            Wanted::Predicted
        }
    }

    /// What a riser becomes at low water, at high water and fouled, as far as they are asked about.
    pub(super) fn changes(&self, spec: &RiserSpec) -> Vec<(MarginCase, RiserSpec)> {
        let none: Length = base(0.0);
        let changes = [
            (MarginCase::LowWater, -self.level_fall, none),
            (MarginCase::HighWater, self.level_rise, none),
            (MarginCase::Fouled, none, self.fouling),
        ];
        let asked = changes
            .into_iter()
            .filter(|(_, rise, lost)| *rise != none || *lost != none);
        asked
            .map(|(case, rise, lost)| {
                let mut changed = spec.at_level(rise);
                changed.lost_bore += lost;
                (case, changed)
            })
            .collect()
    }
}

/// An error of the best candidate, in terms of what was searched.
fn of_search(error: Error) -> Error {
    let searched = |input| match input {
        Input::Bore => Input::WidestPipe,
        Input::Submergence => Input::MaxSubmergence,
        Input::Lift => Input::DutyLift,
        other => other,
    };
    match error {
        Error::OutOfRange { what, value, range } => Error::OutOfRange {
            what: searched(what),
            value,
            range,
        },
        Error::Inconsistent {
            larger,
            larger_value,
            smaller,
            smaller_value,
            unit,
        } => Error::Inconsistent {
            larger: searched(larger),
            larger_value,
            smaller: searched(smaller),
            smaller_value,
            unit,
        },
        other => other,
    }
}

/// Depths from the shallowest to the deepest in steps, the deepest always among them.
///
/// # Errors
/// [`Error::OutOfRange`] for a depth or step out of range or more of them than [`DEPTHS`] allows,
/// [`Error::Inconsistent`] when the shallowest is below the deepest.
///
/// # Examples
/// ```
/// use risewater::sizing::depths;
/// use risewater::units::{Length, meter};
///
/// let m = Length::new::<meter>;
/// let found = depths(Some(m(0.5)), m(1.2), Some(m(0.25)))?;
/// assert_eq!(found, [m(0.5), m(0.75), m(1.0), m(1.2)]);
/// # Ok::<(), risewater::Error>(())
/// ```
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count within DEPTHS"
)]
pub fn depths(
    shallowest: Option<Length>,
    deepest: Length,
    step: Option<Length>,
) -> Result<Vec<Length>, Error> {
    let deepest_m = SUBMERGENCE.check(Input::MaxSubmergence, deepest.get::<meter>())?;
    let step_m = match step {
        Some(step) => SUBMERGENCE_STEP.check(Input::SubmergenceStep, step.get::<meter>())?,
        None => round_step(deepest_m).max(SUBMERGENCE_STEP.min),
    };
    let shallowest_m = match shallowest {
        Some(depth) => SUBMERGENCE.check(Input::MinSubmergence, depth.get::<meter>())?,
        None => step_m.min(deepest_m),
    };
    if shallowest_m > deepest_m {
        return Err(Error::Inconsistent {
            larger: Input::MaxSubmergence,
            larger_value: deepest_m,
            smaller: Input::MinSubmergence,
            smaller_value: shallowest_m,
            unit: "m",
        });
    }
    let count = ((deepest_m - shallowest_m) / step_m + 1e-9).floor();
    // One more for the shallowest, and one for a deepest that is no whole step away.
    DEPTHS.check(Input::Depths, count + 2.0)?;
    let mut all: Vec<Length> = (0..=count as usize)
        // To the nanometre, so that 28 steps of 0.05 m are 1.4 m.
        .map(|n| ((shallowest_m + n as f64 * step_m) * 1e9).round() / 1e9)
        .map(Length::new::<meter>)
        .collect();
    if shallowest_m + count * step_m < deepest_m * (1.0 - 1e-9) {
        all.push(deepest);
    }
    Ok(all)
}

/// The smallest step of the series 1, 2, 5 (times a power of ten) that needs no more than 30 depths.
fn round_step(deepest_m: f64) -> f64 {
    let least = deepest_m / 30.0;
    let decade = 10f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0]
        .into_iter()
        .map(|step| step * decade)
        .find(|step| *step >= least)
        .unwrap_or(10.0 * decade)
}
