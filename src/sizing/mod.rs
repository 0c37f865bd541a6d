//! From a duty to ranked designs: every pipe × depth × number of lifts, solved.
//!
//! Each candidate must give its share of the duty with the least air that does, on the efficient
//! branch of its curve. Nothing is dropped in silence: what does not fit is listed with a reason and
//! numbers.

mod design;
mod problem;

pub use design::{
    BoreStep, Design, DoubtCost, FEWER_LIFTS, FEWER_LIFTS_POWER, LowWater, Margin, MarginCase,
    Reason, Rejected,
};
pub use problem::{
    AIR_PRESSURE, CANDIDATES, DEPTHS, Duty, FOULING, LEVEL_CHANGE, LIFTS, Objective, PEAK_RESERVE,
    SUBMERGENCE_STEP, TOTAL_GAS_PRESSURE, Task, depths,
};

use std::convert::Infallible;
use std::ops::ControlFlow;
use std::sync::Arc;

use crate::error::Error;
use crate::pipe::Pipe;
use crate::riser::OperatingPoint;
use crate::uncertainty::Predictor;
use crate::units::{Length, Ratio, VolumeRate, base, ratio};

/// Pipes and depths that are searched between two looks at how far the search is.
const AT_ONCE: usize = if cfg!(feature = "sweep") { 16 } else { 1 };

/// The result of a search.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct Sizing {
    /// Number of candidates: pipes × depths × numbers of lifts.
    pub candidates: usize,
    /// Candidates whose riser was solved; the others exceed the air pressure or the total gas
    /// pressure allowed before any solving.
    pub solved: usize,
    /// Designs that meet the duty, best first.
    pub designs: Vec<Design>,
    /// Candidates that do not, each with its reason.
    pub rejected: Vec<Rejected>,
}

/// Searches every candidate of a problem.
///
/// # Errors
/// [`Error::OutOfRange`] for an input of the problem outside its range; a candidate's own
/// difficulties are [reasons](Reason), not errors.
///
/// # Examples
/// ```
/// use risewater::pipe::Pipe;
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::sizing::{Duty, Task, depths, size};
/// use risewater::units::*;
/// use risewater::Water;
///
/// let m = Length::new::<meter>;
/// let duty = Duty { water_flow: VolumeRate::new::<liter_per_minute>(120.0), lift: m(0.1) };
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// // Bore, submergence and lift of the shared description are set by the search.
/// let shared = RiserSpec::new(Dimensions { bore: m(0.05), submergence: m(1.0), lift: m(0.1) });
/// let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"])?;
/// let mut problem = Task::new(duty, site, shared, pipes, depths(None, m(1.0), Some(m(0.25)))?);
/// problem.max_lifts = 2;
/// let found = size(&problem)?;
/// let best = found.best().expect("some candidate meets the duty");
/// assert!((best.water_flow_total() - duty.water_flow).abs() < 1e-9 * duty.water_flow);
/// assert_eq!(found.candidates, found.designs.len() + found.rejected.len());
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn size(problem: &Task) -> Result<Sizing, Error> {
    match size_watched(problem, |_| ControlFlow::<Infallible>::Continue(()))? {
        ControlFlow::Continue(found) => Ok(found),
        ControlFlow::Break(never) => match never {},
    }
}

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Progress {
    /// Candidates tried.
    pub tried: usize,
    /// Candidates in all.
    pub of: usize,
}

/// The same as [`size`], told again and again how far it is; it ends with what it is told to break off with.
///
/// With the feature `sweep` all threads search; what is found does not depend on their number.
///
/// # Errors
/// As [`size`].
///
/// # Examples
/// ```
/// # use risewater::pipe::Pipe;
/// # use risewater::riser::{Dimensions, RiserSpec, Site};
/// use std::ops::ControlFlow;
/// use risewater::sizing::{Duty, Task, depths, size_watched};
/// # use risewater::units::*;
/// # use risewater::Water;
/// # let m = Length::new::<meter>;
/// # let duty = Duty { water_flow: VolumeRate::new::<liter_per_minute>(120.0), lift: m(0.1) };
/// # let site = Site {
/// #     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?,
/// #     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// # };
/// # let shared = RiserSpec::new(Dimensions { bore: m(0.05), submergence: m(1.0), lift: m(0.1) });
/// # let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"])?;
/// # let problem = Task::new(duty, site, shared, pipes, depths(None, m(1.0), Some(m(0.25)))?);
/// // Half of it is enough.
/// let found = size_watched(&problem, |progress| {
///     if 2 * progress.tried > progress.of {
///         ControlFlow::Break(progress.tried)
///     } else {
///         ControlFlow::Continue(())
///     }
/// })?;
/// assert!(matches!(found, ControlFlow::Break(tried) if tried > 0));
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn size_watched<B>(
    problem: &Task,
    mut watch: impl FnMut(Progress) -> ControlFlow<B>,
) -> Result<ControlFlow<B, Sizing>, Error> {
    problem.validate()?;
    let of = problem.candidates();
    let mut found = Sizing::default();
    let places: Vec<(&Arc<Pipe>, Length)> = problem
        .pipes
        .iter()
        .flat_map(|pipe| problem.submergences.iter().map(move |depth| (pipe, *depth)))
        .collect();
    for together in places.chunks(AT_ONCE) {
        for part in search_together(problem, together) {
            found.add(part);
        }
        let tried = found.candidates;
        if let ControlFlow::Break(with) = watch(Progress { tried, of }) {
            return Ok(ControlFlow::Break(with));
        }
    }
    found.designs.sort_by(|a, b| a.order(b, problem.objective));
    design::mark_pareto(&mut found.designs);
    Ok(ControlFlow::Continue(found))
}

/// The parts of a search in the order of their places, by all threads.
#[cfg(feature = "sweep")]
fn search_together(problem: &Task, places: &[(&Arc<Pipe>, Length)]) -> Vec<Sizing> {
    use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
    places
        .par_iter()
        .map(|(pipe, depth)| search_lifts(problem, pipe, *depth))
        .collect()
}

/// The parts of a search in the order of their places.
#[cfg(not(feature = "sweep"))]
fn search_together(problem: &Task, places: &[(&Arc<Pipe>, Length)]) -> Vec<Sizing> {
    places
        .iter()
        .map(|(pipe, depth)| search_lifts(problem, pipe, *depth))
        .collect()
}

/// Every number of lifts of one pipe at one depth.
fn search_lifts(problem: &Task, pipe: &Arc<Pipe>, submergence: Length) -> Sizing {
    let mut found = Sizing::default();
    let startup = problem.site.startup_pressure(submergence);
    let too_deep = problem.max_air_pressure.filter(|limit| startup > *limit);
    let too_much_gas = too_much(problem, || problem.total_gas_pressure_bound(submergence));
    let riser = problem.candidate(pipe, submergence);
    let at_duty_level = riser.clone().and_then(|riser| {
        let predictor = problem.law.on(&problem.at_duty_level(&riser)?)?;
        let (peak, most) = (predictor.peak()?, predictor.most(problem.wanted())?);
        Ok((predictor, peak, most))
    });
    // With low water in the duty, the peak at the normal level is another, wanted once a design holds.
    let mut normal_peak = None;
    for lifts in problem.min_lifts..=problem.max_lifts {
        found.candidates += 1;
        let verdict = if let Some(limit) = too_deep {
            Err(Reason::AirPressure { startup, limit })
        } else if let Some(reason) = &too_much_gas {
            Err(reason.clone())
        } else {
            found.solved += 1;
            let met = match &at_duty_level {
                Ok((predictor, peak, most)) => share(problem, predictor, *most, lifts)
                    .map(|point| LowWater { point, peak: *peak }),
                Err(error) => Err(Reason::from(error.clone())),
            };
            if problem.at_low_water && riser.is_ok() {
                met.map_err(|reason| Reason::AtLowWater(Box::new(reason)))
            } else {
                met
            }
        };
        let design = match (verdict, &riser) {
            (Ok(low), Ok(riser)) if problem.at_low_water => {
                let peak = normal_peak.get_or_insert_with(|| {
                    let predictor = problem.law.on(riser)?;
                    Ok((predictor.peak()?, predictor))
                });
                at_normal_level(&low, peak).map(|(point, peak)| (point, peak, Some(low)))
            }
            (Ok(met), _) => Ok((met.point, met.peak, None)),
            (Err(reason), _) => Err(reason),
        };
        match (design, &riser) {
            (Ok((point, peak, low_water)), Ok(riser)) => found.designs.push(Design {
                pipe: Arc::clone(pipe),
                lifts,
                submergence,
                riser: *riser,
                point,
                peak,
                startup_pressure: startup,
                low_water,
                pareto: false,
            }),
            (design, _) => {
                let reason = design.err().unwrap_or(Reason::Unsolved);
                found.rejected.push(Rejected {
                    pipe: Arc::clone(pipe),
                    lifts,
                    submergence,
                    reason,
                });
            }
        }
    }
    found
}

/// What a lift does at the normal level with the air that holds its share at low water, and its peak.
fn at_normal_level(
    low: &LowWater,
    normal: &Result<(OperatingPoint, Predictor), Error>,
) -> Result<(OperatingPoint, OperatingPoint), Reason> {
    let (peak, predictor) = normal.as_ref().map_err(Clone::clone)?;
    let outcome = predictor.operate(low.point.air)?;
    // Less lift and more depth: what runs at low water runs here.
    let point = outcome.point().ok_or(Reason::Unsolved)?;
    Ok((*point, *peak))
}

/// The operating point of one lift that carries its share of the duty, at the level at which it must.
fn share(
    problem: &Task,
    predictor: &Predictor,
    most: VolumeRate,
    lifts: u32,
) -> Result<OperatingPoint, Reason> {
    let target: VolumeRate = problem.duty.water_flow / f64::from(lifts);
    let allowed = most * (1.0 - problem.peak_reserve.get::<ratio>());
    if problem.at_lower_end && most <= base(0.0) {
        // None flows at the lower end, or no interval is known.
        let part = predictor.air_for(target, problem.wanted());
        return Err(part.err().map_or(Reason::Unsolved, Reason::from));
    }
    if target > most {
        return Err(Reason::AbovePeak {
            target,
            peak_flow: most,
        });
    }
    if target > allowed {
        return Err(Reason::InsideReserve {
            target,
            allowed,
            peak_flow: most,
        });
    }
    let point = predictor
        .air_for(target, problem.wanted())
        .map_err(Reason::from)?;
    let riser = predictor.riser();
    let bound = || riser.total_gas_pressure_bound(&point, problem.level_rise);
    match too_much(problem, bound) {
        Some(reason) => Err(reason),
        None => Ok(point),
    }
}

/// Why the water would leave with too much gas, where it could.
fn too_much(problem: &Task, bound: impl Fn() -> Result<Ratio, Error>) -> Option<Reason> {
    let limit = problem.max_total_gas_pressure?;
    match bound() {
        Ok(bound) if bound > limit => Some(Reason::TotalGasPressure { bound, limit }),
        Ok(_) => None,
        Err(error) => Some(error.into()),
    }
}
