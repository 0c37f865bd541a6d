//! In which order to make the runs of a trial: each time the one that leaves least open at the duty.

use super::bench::Bench;
use super::plan::PlannedRun;
use crate::air::AirFlow;
use crate::error::{Error, range};
use crate::riser::{Riser, RiserSpec};
use crate::uncertainty::{
    BY_SLOPES, Doubt, Prediction, Predictor, READING_NOISE, Wanted, same_rig,
};
use crate::units::{Length, Ratio, VolumeRate, base};

range!(WIDTH, 0.001 to 10, "Half widths of an interval that can be wanted, as a share of the flow.");
/// The one unless said: our own choice.
pub const USUAL_WIDTH: f64 = 0.1;
/// Most runs that are put in order; after so many the next hardly matters.
const MOST: usize = 20;

/// What the riser of a trial is for: where its flow must be known. What is not said is the middle of what is tried.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Target {
    /// Depth of the injection point.
    pub submergence: Option<Length>,
    /// Lift.
    pub lift: Option<Length>,
    /// Air flow.
    pub air: Option<AirFlow>,
    /// Water flow, where no air flow is said.
    pub water_flow: Option<VolumeRate>,
}

/// Where the air flow of a duty comes from.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, strum::IntoStaticStr, strum::VariantNames, serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
pub enum DutyAir {
    /// It is given.
    Given,
    /// It gives the water flow that is wanted.
    ForWater,
    /// It is the middle of those tried: neither is said, or one riser does not give that water flow.
    Middle,
}

/// A run, and what is open after it and those before it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct NextRun {
    /// Its place in the plan.
    pub run: usize,
    /// Half width of the interval of the flow at the duty, as a share of it: e^(z sd) − 1.
    pub half_width: Ratio,
}

/// The order of the runs.
///
/// The variance that is left of ln q at the duty d after one more reading at c is
///
/// ```text
/// k(d,d) − k(c,d)²/(k(c,c) + u²)
/// ```
///
/// with k the covariance that all readings so far leave, and u = 0.03 the noise of a reading. It does not hang on
/// what the reading gives. So the next run is the one with the largest second term; then k is that after it.
/// Runs of another rig than the duty's teach nothing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Order {
    /// The riser at the duty.
    pub riser: RiserSpec,
    /// Its air flow.
    pub air: AirFlow,
    /// Where that is from.
    pub air_from: DutyAir,
    /// What it gives there, and how sure that is so far.
    pub now: Prediction,
    /// Half width of that interval, as for [`NextRun`]; none where nothing flows or the law does not hold.
    pub half_width: Option<Ratio>,
    /// Readings that count there already.
    pub measured: usize,
    /// Whether the flow there is below three tenths of the peak's, where widths are rough.
    pub near_threshold: bool,
    /// The runs to make, at most 20.
    pub runs: Vec<NextRun>,
    /// How many of them leave no more than the wanted width open; none where all do not.
    pub enough: Option<usize>,
    /// Runs of another rig, by their place in the plan.
    pub another_rig: Vec<usize>,
}

impl Order {
    pub(super) fn of(bench: &Bench, planned: &[PlannedRun]) -> Result<Self, Error> {
        let riser = duty_riser(bench)?;
        let known = bench.law.on(&riser)?;
        let (air, air_from) = duty_air(bench, &known)?;
        let now = known.predict(air)?;
        let mut found = Self {
            riser: *riser.spec(),
            air,
            air_from,
            now,
            half_width: None,
            measured: known.points().readings().len(),
            near_threshold: false,
            runs: Vec::new(),
            enough: None,
            another_rig: Vec::new(),
        };
        let mut candidates = Vec::new();
        for (n, run) in planned.iter().enumerate() {
            let there = bench.riser_at(run.submergence, run.lift)?;
            if !same_rig(there.spec(), riser.spec()) {
                found.another_rig.push(n);
            } else if run.interval.is_some()
                && let Some(doubt) = bench.law.on(&there)?.doubt(run.air)?
            {
                candidates.push((n, doubt));
            }
        }
        if now.interval.is_some()
            && let Some(duty) = known.doubt(air)?
        {
            let share = now.outcome.water_flow() / known.peak()?.water_flow;
            found.near_threshold = share.value < BY_SLOPES;
            found.sort(&known, duty, &candidates, bench.law.coverage_factor());
            let widths = found.runs.iter().map(|run| Some(run.half_width));
            let mut widths = [found.half_width].into_iter().chain(widths).flatten();
            found.enough = widths.position(|width| width <= bench.wanted_width);
        }
        Ok(found)
    }

    fn sort(&mut self, known: &Predictor, duty: Doubt, runs: &[(usize, Doubt)], z: f64) {
        let at: Vec<Doubt> = runs.iter().map(|(_, doubt)| *doubt).chain([duty]).collect();
        let mut k = known.points().covariance(&at);
        let d = runs.len();
        let half_width = |variance: f64| base((z * variance.max(0.0).sqrt()).exp_m1());
        self.half_width = Some(half_width(k[(d, d)]));
        let mut rest: Vec<usize> = (0..d).collect();
        while !rest.is_empty() && self.runs.len() < MOST {
            let told = |c: usize| k[(c, d)].powi(2) / (k[(c, c)] + READING_NOISE.powi(2));
            let mut best = 0;
            for place in 1..rest.len() {
                if told(rest[place]) > told(rest[best]) {
                    best = place;
                }
            }
            let c = rest.remove(best);
            let column = k.column(c).clone_owned();
            let variance = column[c] + READING_NOISE.powi(2);
            k -= &column * column.transpose() / variance;
            self.runs.push(NextRun {
                run: runs[c].0,
                half_width: half_width(k[(d, d)]),
            });
        }
    }
}

impl Bench {
    pub(super) fn riser_at(&self, submergence: Length, lift: Length) -> Result<Riser, Error> {
        let mut spec = self.spec;
        spec.dimensions.submergence = submergence;
        spec.dimensions.lift = lift;
        spec.build(&self.site, self.model)
    }
}

fn duty_riser(bench: &Bench) -> Result<Riser, Error> {
    let said = |said: Option<Length>, tried: &[Length], own: Length| {
        said.or_else(|| middle(tried, |length| length.value))
            .unwrap_or(own)
    };
    let (target, own) = (bench.target, bench.spec.dimensions);
    let submergence = said(target.submergence, &bench.submergences, own.submergence);
    bench.riser_at(submergence, said(target.lift, &bench.lifts, own.lift))
}

fn duty_air(bench: &Bench, known: &Predictor) -> Result<(AirFlow, DutyAir), Error> {
    if let Some(air) = bench.target.air {
        return Ok((air, DutyAir::Given));
    }
    if let Some(water_flow) = bench.target.water_flow {
        match known.air_for(water_flow, Wanted::Predicted) {
            Ok(point) => return Ok((point.air, DutyAir::ForWater)),
            Err(
                Error::AbovePeak { .. }
                | Error::RunsWithoutAir { .. }
                | Error::LiftOutOfReach { .. },
            ) => {}
            Err(error) => return Err(error),
        }
    }
    let air = middle(&bench.air_flows, AirFlow::kg_per_s);
    Ok((air.unwrap_or(AirFlow::from_kg_per_s(0.0)), DutyAir::Middle))
}

/// The middle one by size; of two, the lower.
fn middle<T: Copy>(tried: &[T], size: impl Fn(T) -> f64) -> Option<T> {
    let mut sorted = tried.to_vec();
    sorted.sort_by(|a, b| size(*a).total_cmp(&size(*b)));
    sorted.get(tried.len().saturating_sub(1) / 2).copied()
}
