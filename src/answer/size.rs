//! Designs for a duty, ranked; what was rejected and why; margins of the best.

use super::{GasFacts, IntervalFacts, LoadFacts, SiteFacts, Terms, YieldFacts};
use crate::caution::Caution;
use crate::curve::Curve;
use crate::error::Error;
use crate::model::Model;
use crate::need::RoomNeed;
use crate::riser::{OperatingPoint, Outcome};
use crate::sizing::{
    BoreStep, Design, DoubtCost, Margin, MarginCase, Reason, Rejected, Sizing, Task,
};
use crate::uncertainty::{Cause, Predictor};

/// Points of the curve that goes with each design.
const CURVE_POINTS: usize = 10;

facts! {
    /// Designs for a duty, best first, and all that did not meet it.
    pub struct SizeAnswer {
        /// the duty that was asked
        pub duty: DutyFacts = problem.into(),
        /// number of candidates: pipes × depths × numbers of lifts
        pub candidates: usize = found.candidates,
        /// how many of them were solved
        pub solved: usize = found.solved,
        /// every design that meets the duty, best first
        pub designs: Vec<DesignFacts> = designs,
        /// the best design inside the measured data, if the best of all is outside; otherwise `null`
        pub best_inside_data: Option<DesignFacts> = found.best_inside_data().map(Into::into),
        /// if power ranks the designs: the one with fewest lifts, at most 0.6 of the best design's, for at most 15 % more power; `null` where there is none
        pub fewer_lifts: Option<DesignFacts> = found.with_fewer_lifts(problem).map(Into::into),
        /// from the animals to the air; `null` unless the duty comes from their need
        pub chain: Option<ChainFacts> = chain,
        /// what one lift of the best design needs to meet the duty, by prediction and by the lower end of its interval; `null` where no interval is known
        pub doubt_cost: Option<DoubtFacts> = doubt.map(Into::into),
        /// what each lift of the best design does when one thing changes
        pub margins: Vec<MarginFacts> = margins
            .iter()
            .map(|margin| MarginFacts {
                short: best.is_some_and(|best| best.is_short(problem, margin.held)),
                ..margin.into()
            })
            .collect(),
        /// the best design in the next bores up and down
        pub bore_steps: Vec<BoreStepFacts> = found.bore_steps().iter().map(Into::into).collect(),
        /// every candidate that does not meet the duty or a limit
        pub rejected: Vec<RejectedFacts> = found.rejected.iter().map(Into::into).collect(),
        /// cautions for the search
        pub cautions: Vec<Caution> = cautions,
        /// remarks for the safety of animals and people
        pub safety: Vec<Caution> = best.map_or_else(Vec::new, Design::safety),
        /// the closures
        pub model: Model = problem.model,
        /// water and atmosphere
        pub site: SiteFacts = (&problem.site).into(),
    }

    /// What a search found, and more of its best `detailed` designs; with the need that the duty comes from, where it does.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an input of the problem outside its range; as
    /// [`GasTerms::of`](crate::transfer::GasTerms::of).
    pub fn of(
        problem: &Task,
        found: &Sizing,
        detailed: usize,
        terms: &Terms,
        need: Option<&RoomNeed>,
    ) -> Result<Self, Error> {
        let designs = found.designs.iter().enumerate().map(|(n, design)| {
            let mut facts = DesignFacts::from(design);
            if n < detailed {
                let ask = n == 0 && !terms.states_outlet;
                facts.detail = Some(DetailFacts::of(design, problem, terms, ask)?);
            }
            Ok(facts)
        });
        let designs = designs.collect::<Result<Vec<_>, Error>>()?;
        let best = found.best();
        let margins = best.map(|best| best.margins(problem)).transpose()?;
        let margins = margins.unwrap_or_default();
        let doubt = best.map(|best| best.doubt_cost(problem)).transpose()?;
        let mut cautions = found.cautions(problem);
        cautions.extend(best.and_then(|best| best.low_water_caution(problem, &margins)));
        cautions.extend(need.map(|_| Caution::MeansOfTheDay));
        let detail = designs.first().and_then(|best| best.detail.as_ref());
        let given = detail.and_then(|detail| detail.gas.transfer.as_ref());
        let given = given.map(|found| found.oxygen_added_total_kg_per_s);
        let chain = need.zip(best).map(|(need, _)| {
            let load = LoadFacts::from(need);
            let used = Some(load.oxygen_kg_per_s).filter(|used| *used > 0.0);
            ChainFacts {
                oxygen_given_over_used: given.zip(used).map(|(given, used)| given / used),
                load,
            }
        });
    }

    /// A duty.
    pub struct DutyFacts from problem: &Task {
        /// water flow wanted of all lifts together
        pub water_flow_m3_per_s: f64 = problem.duty.water_flow.value,
        /// height from the running water level of the source to the outlet
        pub lift_m: f64 = problem.duty.lift.value,
        /// what the best design has least of
        pub objective: String = problem.objective.name().to_owned(),
        /// whether the duty must also be met at low water. A design then has the air that this takes; its water, running
        /// pressure and powers are those of this air at the normal level
        pub at_low_water: bool = problem.at_low_water,
        /// how much lower than the normal level the water stands at low water
        pub level_fall_m: f64 = problem.level_fall.value,
        /// how much higher than the normal level the water stands at high water
        pub level_rise_m: f64 = problem.level_rise.value,
        /// whether the lower end of the interval must meet the duty. A design then has the air that this takes, and its
        /// predicted water exceeds the duty
        pub at_lower_end: bool = problem.at_lower_end,
        /// how often the true flow should lie in an interval
        pub level: f64 = problem.law.level().value,
    }

    /// A design that meets the duty.
    pub struct DesignFacts from design: &Design {
        /// name of the pipe
        pub pipe: String = design.pipe.name.clone(),
        /// its bore
        pub bore_m: f64 = design.pipe.bore().value,
        /// number of equal lifts that share the duty
        pub lifts: u32 = design.lifts,
        /// depth of the injection point below the running water level
        pub submergence_m: f64 = design.submergence.value,
        /// what each lift does
        pub each: YieldFacts = (&design.point).into(),
        /// the most that each lift can give
        pub peak_each: YieldFacts = (&design.peak).into(),
        /// pressure at the injection point over the atmosphere, running
        pub injection_gauge_pressure_pa: f64 = design.injection_pressure().0.value,
        /// the same before the lift runs
        pub startup_gauge_pressure_pa: f64 = design.startup_pressure.0.value,
        /// water of all lifts
        pub water_flow_total_m3_per_s: f64 = design.water_flow_total().value,
        /// dry air of all lifts
        pub air_mass_flow_total_kg_per_s: f64 =
            design.point.air.kg_per_s() * f64::from(design.lifts),
        /// isothermal power of the air of all lifts at the injection point
        pub injection_power_total_w: f64 = design.injection_power_total().value,
        /// whether no other design is as good in air power, number of lifts, air flow and pressure together, and better in one
        pub pareto: bool = design.pareto,
        /// in which respects it is outside the measured data, so that its interval is a guess; empty inside
        pub outside_data: Vec<String> = outside,
        /// more about this design than the search needs; `null` where that was not asked
        pub detail: Option<DetailFacts> = None,
    } where {
        let outside = design.outside_data().into_iter().map(str::to_owned).collect();
    }

    /// More about a design than the search needs.
    pub struct DetailFacts {
        /// where the true water flow of each lift lies; `null` at a submergence ratio below 0.4, unless `model.slip` is `smith_drift`
        pub interval: Option<IntervalFacts> = interval.map(Into::into),
        /// half-width of the interval, as a share of the flow, that one reading of such a riser on the bench at this air would leave; or `null`
        pub after_one_reading: Option<f64> =
            predictor.after_one_reading(air)?.map(|half| half.value),
        /// half-width of the interval, as a share of the flow, that three readings of such a riser on the bench would leave
        pub after_three_readings: Option<f64> =
            predictor.after_three_readings(air)?.map(|half| half.value),
        /// what that interval comes from
        pub hangs_on: Vec<ShareFacts> = shares.map_or_else(Vec::new, |shares| hangs_on(&shares)),
        /// the gases of its water
        pub gas: GasFacts = GasFacts::of(&gases, &problem.site, design.lifts),
        /// the curve of one lift, by rising air
        pub curve: Vec<YieldFacts> = curve(design, &predictor)?,
        /// cautions that come with it
        pub cautions: Vec<Caution> = cautions,
    }

    pub(super) fn of(
        design: &Design,
        problem: &Task,
        terms: &Terms,
        ask_outlet: bool,
    ) -> Result<Self, Error> {
        let air = design.point.air;
        let predictor = problem.law.on(&design.riser)?;
        let gases = terms
            .gas
            .of(&design.riser, &design.point, problem.level_rise)?;
        let interval = predictor.predict(air)?.interval;
        let shares = predictor.shares(air)?.filter(|_| interval.is_some());
        let mut cautions = design.cautions();
        cautions.extend(predictor.cautions(air)?);
        cautions.extend(gases.cautions());
        if ask_outlet {
            cautions.extend(predictor.outlet_question(air)?);
        }
    }

    /// A part of the variance behind an interval, with its cause.
    pub struct ShareFacts {
        /// the cause
        pub source: String,
        /// its share
        pub share: f64,
    }

    /// From the animals to the air.
    pub struct ChainFacts {
        /// what the animals come to
        #[serde(flatten)]
        pub load: LoadFacts,
        /// share of the oxygen they use that the best design's lifts give; `null` without a transfer coefficient
        pub oxygen_given_over_used: Option<f64>,
    }

    /// What one lift needs to meet its share of the duty.
    pub struct DoubtFacts from cost: DoubtCost {
        /// by the predicted flow
        pub predicted: DutyMetFacts = cost.predicted.into(),
        /// by the lower end of its interval
        pub lower_end: DutyMetFacts = cost.lower_end.into(),
    }

    /// How a lift meets a flow.
    pub struct DutyMetFacts from found: Result<OperatingPoint, Reason> {
        /// what it then does; `null` where no air brings it there
        pub point: Option<YieldFacts> = found.as_ref().ok().map(Into::into),
        /// why no air does, or `null`
        pub reason: Option<Reason> = found.err(),
    }

    /// What a lift does when one thing changes.
    pub struct MarginFacts from margin: &Margin {
        /// `air_less_10_percent`, `air_more_10_percent`, `low_water`, `high_water` or `fouled`
        #[schemars(with = "String")]
        pub case: MarginCase = margin.case,
        /// as in flow
        pub outcome: String = margin.outcome.name().to_owned(),
        /// water of each lift
        pub water_flow_each_m3_per_s: f64 = margin.outcome.water_flow().value,
        /// the part of it that counts for the duty: all of it, or the lower end of its interval
        pub held_each_m3_per_s: f64 = margin.held.value,
        /// whether this part is below the duty
        pub short: bool = false,
        /// dry air of each lift that would meet the duty; `null` where no air does, or where the change is one of air
        pub air_needed_each_kg_per_s: Option<f64> = margin.air_needed.map(crate::AirFlow::kg_per_s),
    }

    /// The best design with another bore.
    pub struct BoreStepFacts from step: &BoreStep {
        /// name of the pipe
        pub pipe: String = step.pipe.name.clone(),
        /// its bore
        pub bore_m: f64 = step.pipe.bore().value,
        /// its best design; `null` where none meets the duty
        pub best: Option<DesignFacts> = step.best.as_ref().map(Into::into),
    }

    /// A candidate that does not meet the duty or a limit.
    pub struct RejectedFacts from one: &Rejected {
        /// name of the pipe
        pub pipe: String = one.pipe.name.clone(),
        /// its bore
        pub bore_m: f64 = one.pipe.bore().value,
        /// number of lifts
        pub lifts: u32 = one.lifts,
        /// depth of the injection point
        pub submergence_m: f64 = one.submergence.value,
        /// why
        pub reason: Reason = one.reason.clone(),
    }
}

impl SizeAnswer {
    /// The best design, where any candidate meets the duty.
    #[must_use]
    pub fn best(&self) -> Option<&DesignFacts> {
        self.designs.first()
    }

    /// What a person reads it with: of the best design, of the search, for safety.
    pub fn remarks(&self) -> impl Iterator<Item = &Caution> {
        let best = self.best().and_then(|best| best.detail.as_ref());
        let of_best = best.into_iter().flat_map(|detail| &detail.cautions);
        of_best.chain(&self.cautions).chain(&self.safety)
    }
}

/// The shares of an interval, the largest first.
fn hangs_on(shares: &[f64; 4]) -> Vec<ShareFacts> {
    let rest = (1.0 - shares.iter().sum::<f64>()).max(0.0);
    let named = Cause::ALL.iter().map(ToString::to_string).zip(*shares);
    let mut all: Vec<ShareFacts> = named
        .chain([("rig and shape".to_owned(), rest)])
        .map(|(source, share)| ShareFacts { source, share })
        .collect();
    all.sort_by(|a, b| b.share.total_cmp(&a.share));
    all
}

/// A curve as a trial found it.
fn curve(design: &Design, predictor: &Predictor) -> Result<Vec<YieldFacts>, Error> {
    let curve = Curve::below(&design.riser, design.peak, CURVE_POINTS)?;
    let points = curve.points.iter().map(|point| {
        let found = predictor.calibrated(Outcome::Pumping(*point))?;
        Ok(found.point().unwrap_or(point).into())
    });
    points.collect()
}
