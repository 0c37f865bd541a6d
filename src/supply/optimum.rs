//! The depth of injection that takes the least power.
//!
//! Deep injection lifts with little air at a high pressure, shallow injection with much air at a low one.
//! Every pipe and number of lifts of a sizing problem has its own best depth between the limits.

use std::fmt;
use std::sync::Arc;

use super::blower::{Efficiency, Requirement};
use crate::air::AirState;
use crate::error::{Error, Input, range};
use crate::pipe::Pipe;
use crate::riser::{OperatingPoint, Riser};
use crate::sizing::Task;
use crate::units::{
    AbsolutePressure, GRAVITY_M_PER_S2, Length, Power, Pressure, VolumeRate, base, kilopascal,
    meter, pascal, ratio,
};

range!(SUPPLY_LOSS, 0 to 1000 "kPa", "Losses between blower and injection that can be supposed.");

/// Depths tried of each pipe and number of lifts, evenly from the smallest to the largest.
const COARSE: usize = 9;
/// Candidates whose best depth is refined.
const REFINED: usize = 5;
/// Steps of the golden section: each leaves 0.618 of the interval.
const GOLDEN_STEPS: usize = 18;
/// Points of the curve of power over depth.
const CURVE_POINTS: usize = 25;

/// What the search supposes of the air side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSide {
    /// State of the air at the intake.
    pub intake: AirState,
    /// Pressure lost between the blower and the water: lines, orifice, check valve, injector.
    pub loss: Pressure,
    /// Efficiency of the blower. With [`Efficiency::Unknown`] or [`Efficiency::Shaft`] there is no power at
    /// the wire, and the search goes by the adiabatic power of the air, which has its least at the same depth.
    pub efficiency: Efficiency,
}

/// Power at one depth.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct DepthPower {
    /// Depth of injection.
    pub submergence: Length,
    /// Adiabatic power of the air of all lifts.
    pub adiabatic_power: Power,
    /// Power at the wire, where the efficiency is known.
    pub wire_power: Option<Power>,
    /// What each lift does.
    pub point: OperatingPoint,
    /// Pressure rise of the blower.
    pub rise: Pressure,
}

/// What keeps the best depth from being another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantNames, serde::Serialize)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum DepthLimit {
    /// Nothing: power is larger on both sides.
    Interior,
    /// The water is no deeper.
    LargestSubmergence,
    /// Shallower would be below the smallest depth to be searched.
    SmallestSubmergence,
    /// Deeper takes more pressure than the air supply has.
    AirPressure,
    /// Deeper air could give the water more gas than is allowed.
    TotalGasPressure,
    /// Shallower does not meet the duty within the reserve below the peak.
    Peak,
}

impl fmt::Display for DepthLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Interior => "nothing: more power on both sides",
            Self::LargestSubmergence => "the depth of the water",
            Self::SmallestSubmergence => "the smallest depth searched",
            Self::AirPressure => "the pressure of the air",
            Self::TotalGasPressure => "total gas pressure",
            Self::Peak => "the peak: shallower does not meet the duty",
        })
    }
}

/// The best depth of one pipe and number of lifts.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BestDepth {
    /// The pipe.
    pub pipe: Arc<Pipe>,
    /// The number of lifts.
    pub lifts: u32,
    /// What it takes there.
    pub best: DepthPower,
    /// What limits it.
    pub limit: DepthLimit,
    /// Power over depth, where the duty is met.
    pub curve: Vec<DepthPower>,
}

/// One candidate at all depths.
struct Candidate<'a> {
    problem: &'a Task,
    air_side: &'a AirSide,
    pipe: &'a Arc<Pipe>,
    lifts: u32,
}

/// The pipe, number of lifts and depth of least power, and the next best, each at its best depth.
///
/// Depths between the smallest and the largest of the problem are searched without steps. The pressure of the
/// blower is that at start-up or running, whichever is larger, with the loss of the air side; the problem's
/// limits of air pressure and of total gas pressure and its reserve below the peak hold.
///
/// # Errors
/// [`Error::OutOfRange`] for an input of the problem or [`SUPPLY_LOSS`] outside its range.
///
/// # Examples
/// ```
/// use risewater::air::AirState;
/// use risewater::pipe::Pipe;
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::sizing::{Duty, Task, depths};
/// use risewater::supply::{AirSide, best_depths};
/// use risewater::supply::blower::Efficiency;
/// use risewater::units::*;
/// use risewater::Water;
///
/// let m = Length::new::<meter>;
/// let duty = Duty { water_flow: VolumeRate::new::<liter_per_minute>(120.0), lift: m(0.1) };
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// let shared = RiserSpec::new(Dimensions { bore: m(0.05), submergence: m(1.0), lift: m(0.1) });
/// let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"])?;
/// let problem = Task::new(duty, site, shared, pipes, depths(None, m(2.0), None)?);
/// let air_side = AirSide {
///     intake: AirState::DRY_20_C,
///     loss: Pressure::new::<kilopascal>(3.0),
///     efficiency: Efficiency::WireToAir(Ratio::new::<percent>(35.0)),
/// };
/// let found = best_depths(&problem, &air_side)?;
/// assert!(found[0].best.wire_power < found[1].best.wire_power);
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn best_depths(problem: &Task, air_side: &AirSide) -> Result<Vec<BestDepth>, Error> {
    problem.validate()?;
    SUPPLY_LOSS.check(Input::SupplyLoss, air_side.loss.get::<kilopascal>())?;
    let depth = |length: &Length| length.get::<meter>();
    let ends = problem.submergences.iter().map(depth);
    let (low, high) = ends.fold((f64::INFINITY, 0.0_f64), |(low, high), s| {
        (low.min(s), high.max(s))
    });
    let high = high.min(deepest_m(problem).0);
    if high < low {
        return Ok(Vec::new());
    }
    let mut found = Vec::new();
    for pipe in &problem.pipes {
        let depths: Vec<Tried> = grid(low, high, COARSE)
            .map(|s| Tried::of(problem, pipe, s))
            .collect();
        for lifts in 1..=problem.max_lifts {
            let candidate = Candidate {
                problem,
                air_side,
                pipe,
                lifts,
            };
            let tried: Vec<(f64, Option<f64>)> = depths
                .iter()
                .map(|depth| (depth.submergence_m, candidate.power_at(depth)))
                .collect();
            let best = (0..tried.len())
                .filter_map(|n| Some((n, tried[n].1?)))
                .min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((n, power)) = best {
                found.push((power, candidate, tried, n));
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Vec<BestDepth> = found
        .into_iter()
        .take(REFINED)
        .filter_map(|(_, candidate, tried, n)| candidate.refine(&tried, n, (low, high)))
        .collect();
    best.sort_by(|a, b| {
        let power = |one: &BestDepth| one.best.adiabatic_power.value;
        power(a).total_cmp(&power(b))
    });
    Ok(best)
}

/// The depth in metres at which water at rest has the largest air pressure, or its highest level the largest
/// total gas pressure, and which of them; infinite without a limit.
fn deepest_m(problem: &Task) -> (f64, DepthLimit) {
    let of_water = problem.site.water.si().rho * GRAVITY_M_PER_S2;
    let by_air = problem
        .max_air_pressure
        .map_or(f64::INFINITY, |limit| limit.get::<pascal>() / of_water);
    let by_gas = problem
        .max_total_gas_pressure
        .map_or(f64::INFINITY, |most| {
            // TGP = 1 + ρ g (z + z_m)/(2 p_bar)
            let excess_pa = (most.get::<ratio>() - 1.0) * problem.site.atmosphere.pascal();
            let above = problem.level_rise + problem.mouth_depth();
            2.0 * excess_pa / of_water - above.get::<meter>()
        });
    if by_gas < by_air {
        (by_gas, DepthLimit::TotalGasPressure)
    } else {
        (by_air, DepthLimit::AirPressure)
    }
}

/// A riser of one pipe and depth, and the most that it gives at the level of the duty, whatever the number of lifts.
struct Tried {
    submergence_m: f64,
    riser: Option<(Riser, VolumeRate)>,
}

impl Tried {
    fn of(problem: &Task, pipe: &Pipe, submergence_m: f64) -> Self {
        let riser = problem.candidate(pipe, Length::new::<meter>(submergence_m));
        let with_peak = |riser: Riser| {
            let predictor = problem.law.on(&problem.at_duty_level(&riser).ok()?).ok()?;
            Some((riser, predictor.most(problem.wanted()).ok()?))
        };
        Self {
            submergence_m,
            riser: riser.ok().and_then(with_peak),
        }
    }
}

/// Evenly spaced numbers with both ends.
fn grid(low: f64, high: f64, points: usize) -> impl Iterator<Item = f64> {
    #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
    (0..points).map(move |n| low + (high - low) * n as f64 / (points - 1) as f64)
}

impl Candidate<'_> {
    /// Adiabatic power at one of the depths tried, in W; none when the duty is not met there.
    fn power_at(&self, depth: &Tried) -> Option<f64> {
        let (riser, most) = depth.riser.as_ref()?;
        (self.with_reserve() <= *most)
            .then(|| self.of_riser(riser))?
            .map(|power| power.adiabatic_power.value)
    }

    /// What it takes at a depth in metres; none when the duty is not met there.
    fn at(&self, submergence_m: f64) -> Option<DepthPower> {
        let submergence = Length::new::<meter>(submergence_m);
        let riser = self.problem.candidate(self.pipe, submergence).ok()?;
        // The peak has its reserve where the flow with the reserve can be had.
        if self.problem.peak_reserve > base(0.0) {
            self.met(&riser, self.with_reserve())?;
        }
        self.of_riser(&riser)
    }

    /// The operating point that meets a flow at the level of the duty; none when it cannot.
    fn met(&self, riser: &Riser, flow: VolumeRate) -> Option<OperatingPoint> {
        let low = self.problem.at_duty_level(riser).ok()?;
        let predictor = self.problem.law.on(&low).ok()?;
        predictor.air_for(flow, self.problem.wanted()).ok()
    }

    /// Water flow of one lift.
    fn target(&self) -> VolumeRate {
        self.problem.duty.water_flow / f64::from(self.lifts)
    }

    /// The peak that it must have at least.
    fn with_reserve(&self) -> VolumeRate {
        self.target() / (1.0 - self.problem.peak_reserve.get::<ratio>())
    }

    fn of_riser(&self, riser: &Riser) -> Option<DepthPower> {
        let submergence = riser.spec().dimensions.submergence;
        let rest = self.rest(submergence);
        let mut point = self.met(riser, self.target())?;
        if self.problem.at_low_water {
            let normal = self.problem.law.on(riser).ok()?;
            point = *normal.operate(point.air).ok()?.point()?;
        }
        if let Some(most) = self.problem.max_total_gas_pressure {
            // A fitting at the mouth may take the bound further; the rest is rounding of the deepest depth.
            let bound = riser.total_gas_pressure_bound(&point, self.problem.level_rise);
            bound.ok().filter(|bound| *bound <= most * (1.0 + 1e-12))?;
        }
        let running = point.injection_pressure;
        let pressure = if running > rest { running } else { rest };
        let rise = pressure - self.air_side.intake.pressure + self.air_side.loss;
        let air = point.air.dry_mass_rate() * f64::from(self.lifts);
        let specification = Requirement {
            air: crate::AirFlow::from_dry_mass(air).ok()?,
            intake: self.air_side.intake,
            pressure_rise: rise,
            margin: base(0.0),
            efficiency: self.air_side.efficiency,
        }
        .specification()
        .ok()?;
        Some(DepthPower {
            submergence,
            adiabatic_power: specification.adiabatic_power,
            wire_power: specification.wire_power,
            point,
            rise,
        })
    }

    /// Pressure of the water at rest.
    fn rest(&self, submergence: Length) -> AbsolutePressure {
        let site = &self.problem.site;
        let depth: Pressure =
            base(site.water.si().rho * GRAVITY_M_PER_S2 * submergence.get::<meter>());
        site.atmosphere + depth
    }

    /// The best depth next to the best of some that were tried, and the curve.
    fn refine(
        &self,
        tried: &[(f64, Option<f64>)],
        n: usize,
        (low, high): (f64, f64),
    ) -> Option<BestDepth> {
        let power = |s: f64| {
            self.at(s)
                .map_or(f64::INFINITY, |p| p.adiabatic_power.value)
        };
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        let (mut a, mut b) = (
            tried[n.saturating_sub(1)].0,
            tried[(n + 1).min(tried.len() - 1)].0,
        );
        let (mut c, mut d) = (b - golden * (b - a), a + golden * (b - a));
        let (mut f_c, mut f_d) = (power(c), power(d));
        for _ in 0..GOLDEN_STEPS {
            // Where neither depth meets the duty, the one tried before lies between them or beyond.
            let left = if f_c.is_finite() || f_d.is_finite() {
                f_c < f_d
            } else {
                tried[n].0 < d
            };
            if left {
                (b, d, f_d) = (d, c, f_c);
                c = b - golden * (b - a);
                f_c = power(c);
            } else {
                (a, c, f_c) = (c, d, f_d);
                d = a + golden * (b - a);
                f_d = power(d);
            }
        }
        let near = [c, d, tried[n].0, low, high];
        let best = near
            .into_iter()
            .filter_map(|s| self.at(s))
            .min_by(|x, y| x.adiabatic_power.value.total_cmp(&y.adiabatic_power.value))?;
        Some(BestDepth {
            pipe: Arc::clone(self.pipe),
            lifts: self.lifts,
            limit: self.limit(best.submergence.get::<meter>(), (low, high)),
            best,
            curve: grid(low, high, CURVE_POINTS)
                .filter_map(|s| self.at(s))
                .collect(),
        })
    }

    /// What lies beside the best depth.
    fn limit(&self, best_m: f64, (low, high): (f64, f64)) -> DepthLimit {
        let step = 1e-3 * (high - low);
        if high - best_m <= step {
            let (deepest, why) = deepest_m(self.problem);
            return if high < deepest {
                DepthLimit::LargestSubmergence
            } else {
                why
            };
        }
        if best_m - low <= step {
            return DepthLimit::SmallestSubmergence;
        }
        if self.at(best_m - step).is_none() {
            return DepthLimit::Peak;
        }
        DepthLimit::Interior
    }
}
