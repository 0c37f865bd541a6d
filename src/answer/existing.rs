//! A plant that stands: what its lifts get, where the blower is, what to change first.

use super::{
    AssumptionFacts, EnergyFacts, IntervalFacts, PointFacts, RiserFacts, SiteFacts, SupplyGasFacts,
    Worded,
};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::references::Reference;
use crate::supply::blower::SiteCurve;
use crate::supply::{
    Advice, Aim, AirSource, BlowerPlace, CurvePlace, Existing, LiftPlace, Remedy, RemedyKind,
    Steady, SupplyIntervals, Tried,
};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::Interval;
use crate::units::{Length, Ratio, VolumeRate};

/// What a plant that stands is asked with, beside itself.
#[derive(Debug, Clone, Default)]
pub struct ExistingTerms {
    /// What is known of the gases of the water.
    pub gas: GasTerms,
    /// What was taken for granted.
    pub assumptions: Worded<Vec<AssumptionFacts>>,
}

facts! {
    /// A plant as it stands: what its lifts get from the blower that is there.
    pub struct ExistingAnswer {
        /// dry air of all lifts together
        pub air_mass_flow_kg_per_s: f64 = running.split.air.kg_per_s(),
        /// water of all lifts together
        pub water_flow_m3_per_s: f64 = running.water_flow().value,
        /// where the true water flow of all lifts lies, or `null`
        pub interval: Option<IntervalFacts> = intervals.whole.map(Into::into),
        /// what is wanted of the lifts against what they give; `null` where nothing is asked
        pub asked: Option<AskedFacts> = AskedFacts::of(existing, steady),
        /// the source of the air
        pub blower: BlowerPointFacts = BlowerPointFacts::of(existing, steady),
        /// pressure where the air comes into the header, absolute
        pub header_pressure_pa: f64 = running.split.pressure.pascal(),
        /// pressure of the air outside
        pub outside_pressure_pa: f64 = existing.plant.outside.pressure.pascal(),
        /// the lifts as they run, in the file's order
        pub lifts: Vec<StandingLiftFacts> =
            StandingLiftFacts::all(existing, steady, &places, &intervals),
        /// what the lifts do at the file's other water levels; lifts that run keep their air as long as they can
        pub levels: Vec<StandingLevelFacts> = StandingLevelFacts::all(existing, steady),
        /// what to change first
        pub advice: AdviceFacts = AdviceFacts::of(existing, steady, &advice),
        /// gases of the water of all lifts; `null` where none pumps
        pub gas: Option<SupplyGasFacts> = SupplyGasFacts::of(&gases, riser.site()),
        /// energy and cost of running without pause; `null` when the power at the wire is not known
        pub energy: Option<EnergyFacts> = energy,
        /// what the tool took for keys that the file leaves out
        pub assumptions: Worded<Vec<AssumptionFacts>> = terms.assumptions.clone(),
        /// keys of `risewater list sources`
        pub sources: Vec<Reference> = existing.plant.sources(&existing.piping),
        /// the closures
        pub model: Model = riser.model(),
        /// water and atmosphere
        pub site: SiteFacts = riser.site().into(),
        /// cautions that come with it
        pub cautions: Vec<Caution> = cautions,
    }

    /// What a plant that runs comes to: each lift on its curve with how sure it is, the blower on its own, and what to
    /// change first.
    ///
    /// # Errors
    /// As [`Manifold::intervals`](crate::supply::Manifold::intervals),
    /// [`Manifold::gases`](crate::supply::Manifold::gases) and [`Existing::advice`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::answer::{ExistingAnswer, ExistingTerms};
    /// use risewater::design::{DesignFile, EXISTING_EXAMPLE};
    ///
    /// let existing = DesignFile::parse(EXISTING_EXAMPLE)?.existing()?;
    /// let answer = ExistingAnswer::of(&existing, &existing.steady()?, &ExistingTerms::default())?;
    /// let air: f64 = answer.lifts.iter().map(|lift| lift.air_mass_flow_kg_per_s).sum();
    /// assert!((answer.air_mass_flow_kg_per_s / air - 1.0).abs() < 1e-12);
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(existing: &Existing, steady: &Steady, terms: &ExistingTerms) -> Result<Self, Error> {
        let running = &steady.running;
        let riser = steady.manifold.risers().first().ok_or(Error::RiserMissing {
            branches: steady.manifold.header().branches.len(),
            risers: 0,
        })?;
        let intervals = steady.manifold.intervals(running)?;
        let known = (crate::units::base(0.0), steady.wire_power);
        let gases = steady.manifold.gases(running, &terms.gas, known)?;
        let places = steady.places()?;
        let advice = existing.advice(steady)?;
        let tariff = existing.tariff.as_ref();
        let cost = match (&steady.energy, tariff) {
            (Some(energy), Some(tariff)) => Some(energy.yearly_cost(tariff)?),
            _ => None,
        };
        let energy = steady.energy.as_ref();
        let energy = energy.map(|energy| EnergyFacts::of(energy, cost, tariff));
        let mut cautions = existing.cautions(steady)?;
        let gas_cautions = gases.of_deepest().map(LiftGases::cautions);
        cautions.extend(gas_cautions.unwrap_or_default());
    }

    /// What is wanted of lifts against what they give.
    #[derive(Copy)]
    pub struct AskedFacts {
        /// water wanted of all lifts for which the file names a flow
        pub wanted_water_flow_m3_per_s: f64 = wanted,
        /// what is missing of it, summed over the lifts that give less
        pub missing_m3_per_s: f64 = missing,
        /// what the others of those lifts give beyond it, summed
        pub surplus_m3_per_s: f64 = surplus,
        /// how many give less than is wanted of them
        pub lifts_short: usize = short,
    }

    fn of(existing: &Existing, steady: &Steady) -> Option<Self> {
        let lifts = existing.asked.iter().zip(&steady.running.lifts);
        let pairs = lifts.filter_map(|(asked, lift)| Some((asked.as_ref()?.value, lift)));
        let pairs: Vec<(f64, f64)> = pairs.map(|(asked, lift)| (asked, lift.water_flow().value)).collect();
        if pairs.is_empty() {
            return None;
        }
        let sum = |part: fn(&(f64, f64)) -> f64| pairs.iter().map(part).sum::<f64>();
        let wanted = sum(|(asked, _)| *asked);
        let missing = sum(|(asked, water)| (asked - water).max(0.0));
        let surplus = sum(|(asked, water)| (water - asked).max(0.0));
        let short = pairs.iter().filter(|(asked, water)| water < asked).count();
    }

    /// A plant that stands at another water level.
    pub struct StandingLevelFacts {
        /// how far all water rises; below zero it falls
        pub level_rise_m: f64 = rise.value,
        /// water of all lifts there; `null` without an answer
        pub water_flow_m3_per_s: Option<f64> = there.map(|there| there.running.water_flow().value),
        /// what is missing there of the flow that is wanted; `null` where none is wanted
        pub missing_m3_per_s: Option<f64> = there
            .and_then(|there| AskedFacts::of(existing, there))
            .map(|asked| asked.missing_m3_per_s),
        /// water of each lift, in their order; empty without an answer
        pub lift_water_flows_m3_per_s: Vec<f64> = flows,
        /// lifts that run on there, but would not start again there
        pub would_not_restart: Vec<String> = held,
        /// why there is no answer, or `null`
        pub no_answer: Option<String> = found.as_ref().err().map(ToString::to_string),
    }

    fn of(existing: &Existing, steady: &Steady, rise: Length) -> Self {
        let found = existing.at_level(steady, rise);
        let there = found.as_ref().ok();
        let water = |there: &Steady| {
            let lifts = there.running.lifts.iter();
            lifts.map(|lift| lift.water_flow().value).collect()
        };
        let flows: Vec<f64> = there.map_or_else(Vec::new, water);
        let from_rest = existing.with_level(rise).and_then(|plant| plant.steady());
        let from_rest = from_rest.as_ref().map_or_else(|_| Vec::new(), water);
        let pairs = flows.iter().zip(&from_rest).zip(&existing.plant.manifold.header().branches);
        let held = pairs
            .filter(|((now, then), _)| **now > 0.0 && **then <= 0.0)
            .map(|(_, branch)| branch.name.clone())
            .collect();
    }

    /// The source of the air, and where it works on its curve.
    pub struct BlowerPointFacts {
        /// `blowers` on their curve, or a `pressure` or an `air_flow` that is held
        pub source: String = match existing.source {
            AirSource::Blowers => "blowers",
            AirSource::Pressure(_) => "pressure",
            AirSource::Air(_) => "air_flow",
        }
        .to_owned(),
        /// dry air of the blower, with what is bled
        pub air_mass_flow_kg_per_s: f64 = steady.blown.kg_per_s(),
        /// dry air that the bleed lets out
        pub bled_air_mass_flow_kg_per_s: f64 = steady.bled.kg_per_s(),
        /// volume flow at its inlet, in the state there; `null` where that state is not known
        pub inlet_flow_m3_per_s: Option<f64> =
            steady.blown.volume_rate_at(&steady.intake).ok().map(|flow| flow.value),
        /// pressure rise from intake to outlet
        pub pressure_rise_pa: f64 = steady.rise.value,
        /// power in the air, without exchange of heat
        pub adiabatic_power_w: f64 = steady.air_power.value,
        /// power at the wire; `null` where neither table nor efficiency gives it
        pub wire_power_w: Option<f64> = steady.wire_power.map(|power| power.value),
        /// temperature at the outlet
        pub outlet_temperature_k: f64 = steady.outlet_temperature.value,
        /// whether this temperature is a lower bound, for a blower without loss
        pub outlet_is_least: bool = steady.outlet_is_least,
        /// its curve, all running blowers together; `null` without one
        pub curve: Option<BlowerCurveFacts> = BlowerCurveFacts::of(existing, steady),
    }

    fn of(existing: &Existing, steady: &Steady) -> Self {
    }

    /// The ends of a blower's curve, and where it runs between them.
    #[derive(Copy)]
    pub struct BlowerCurveFacts {
        /// number of blowers that run
        pub running: u32 = blowers.running,
        /// number that stand by
        pub standby: u32 = blowers.standby,
        /// `on_table`, `shut_off` with no flow, `before_first` or `past_last` point of the table
        #[schemars(with = "String")]
        pub place: BlowerPlace = steady.place?,
        /// smallest volume flow at the inlet
        pub least_inlet_flow_m3_per_s: f64 = first,
        /// largest
        pub most_inlet_flow_m3_per_s: f64 = last,
        /// pressure rise at the smallest
        pub highest_rise_pa: f64 = curve.rises().0.value,
        /// pressure rise at the largest
        pub lowest_rise_pa: f64 = curve.rises().1.value,
    }

    fn of(existing: &Existing, steady: &Steady) -> Option<Self> {
        let (curve, blowers) = (steady.curve.as_ref()?, existing.plant.blowers.as_ref()?);
        let (first, last) = inlet_flows(curve);
    }

    /// A lift as it stands.
    pub struct StandingLiftFacts {
        /// its name
        pub lift: String = branch.name.clone(),
        /// how far along the header it is
        pub distance_m: f64 = branch.distance.value,
        /// whether its valve is open
        pub open: bool = branch.open,
        /// its riser
        pub riser: RiserFacts = riser.into(),
        /// the first lift with the same riser and the same starting pressure. If only some of such lifts get air, chance decides which
        pub like: String = steady.manifold.header().branches[steady.like(n)].name.clone(),
        /// dry air
        pub air_mass_flow_kg_per_s: f64 = flow.air.kg_per_s(),
        /// `pumping`, `choked`, `below_threshold` or `blown_dry`
        pub outcome: String = outcome.name().to_owned(),
        /// dry air from which it pumps, given where it has air but lifts no water; `null` otherwise, or where no air lifts the water so high
        pub threshold_air_mass_flow_kg_per_s: Option<f64> = outcome
            .threshold()
            .filter(|_| flow.air.kg_per_s() > 0.0)
            .map(AirFlow::kg_per_s),
        /// water flow, zero when none
        pub water_flow_m3_per_s: f64 = outcome.water_flow().value,
        /// where its true water flow lies; `null` without air
        pub interval: Option<IntervalFacts> = interval.map(Into::into),
        /// the riser at work; `null` when nothing flows
        pub point: Option<PointFacts> = outcome.point().map(Into::into),
        /// water that is wanted of it, or `null`
        pub wanted_water_flow_m3_per_s: Option<f64> = asked.map(|flow| flow.value),
        /// where it is on its curve: `closed`, `no_air`, `no_water`, `near_threshold` (a small part of its peak), `below_best` efficiency, `past_best` or `past_peak`
        #[schemars(with = "String")]
        pub place: CurvePlace = place.place,
        /// dry air of its best efficiency, or `null`
        pub best_air_mass_flow_kg_per_s: Option<f64> = place.best.map(|p| p.air.kg_per_s()),
        /// dry air of its peak; `null` where no air lifts the water so high
        pub peak_air_mass_flow_kg_per_s: Option<f64> = place.peak.map(|p| p.air.kg_per_s()),
        /// water at its peak
        pub peak_water_flow_m3_per_s: Option<f64> = place.peak.map(|p| p.water_flow.value),
        /// pressure in the header at its tee, absolute
        pub header_pressure_pa: f64 = flow.header_pressure.pascal(),
        /// pressure in the water at its injector, absolute
        pub water_pressure_pa: f64 = flow.water_pressure.pascal(),
        /// pressure at its tee that starts it against water at rest, absolute
        pub starting_pressure_pa: f64 = steady.starting_pressure(n).pascal(),
        /// hole of its orifice, or `null`
        pub orifice_m: Option<f64> = branch.orifice.map(|hole| hole.diameter.value),
        /// pressure that its air loses in the orifice
        pub orifice_loss_pa: f64 = flow.orifice_loss.value,
        /// the same in line and valve
        pub line_loss_pa: f64 = flow.line_loss.value,
        /// the same in the check valve
        pub check_valve_loss_pa: f64 = flow.check_valve_loss.value,
        /// the same in the injector
        pub injector_loss_pa: f64 = flow.injector_loss.value,
        /// velocity of the air at the end of its line
        pub line_velocity_m_per_s: f64 = flow.velocity.value,
        /// whether line or orifice are choked
        pub choked: bool = flow.choked,
        /// cautions for its water and its interval
        pub cautions: Vec<Caution> = cautions,
    }

    fn of(
        steady: &Steady,
        n: usize,
        place: &LiftPlace,
        (interval, of_interval): (Option<Interval>, &[Caution]),
        asked: Option<VolumeRate>,
    ) -> Self {
        let (branch, riser) = (
            &steady.manifold.header().branches[n],
            &steady.manifold.risers()[n],
        );
        let (flow, outcome) = (
            &steady.running.split.branches[n],
            &steady.running.lifts[n],
        );
        let mut cautions = riser.cautions(outcome);
        cautions.extend(of_interval.iter().cloned());
    }

    /// What to change first.
    pub struct AdviceFacts {
        /// what ranks the changes: `water` where nothing is asked; `asked`, the water that counts towards what is asked; or `power`, where all that is asked is met
        #[schemars(with = "String")]
        pub aim: Aim = advice.aim,
        /// how many changes were tried
        pub tried: usize = advice.tried,
        /// those that gain most, the best first
        pub changes: Vec<RemedyFacts> =
            advice.best.iter().map(|tried| RemedyFacts::of(existing, steady, tried)).collect(),
    }

    fn of(existing: &Existing, steady: &Steady, advice: &Advice) -> Self {
    }

    /// A change with what it brings.
    pub struct RemedyFacts {
        /// `start_in_turn`, `close_bleed`, `bleed`, `close`, `throttle`, `speed`, `blowers`, `fit_holes`, `scale_holes`, `inject`, `inject_at`, `widen_branches`, `widen_main`, `widen_header` or `add_lift`
        #[schemars(with = "String")]
        pub change: RemedyKind = RemedyKind::from(&tried.remedy),
        /// the lifts that it changes; empty for a part that all share
        pub lifts: Vec<String> = lifts.iter().map(|n| name(*n)).collect(),
        /// the new bore, or `null`
        pub bore_m: Option<f64> = bore,
        /// the pipe that has it, or `null`
        pub pipe: Option<String> = pipe,
        /// how far higher the air is let in, or `null`
        pub up_m: Option<f64> = up,
        /// the depth at which it is let in, or `null`
        pub depth_m: Option<f64> = depth,
        /// a hole that throttles as much, or `null`
        pub hole_m: Option<f64> = hole,
        /// drills of the holes in the order of the lifts; empty without holes
        pub drills: Vec<Option<String>> = drills,
        /// share of the air that is bled, new diameter of the holes over the present one, or speed over that of the table; `null` for other changes
        pub factor: Option<f64> = factor,
        /// how many blowers run, or `null`
        pub running: Option<u32> = count,
        /// gain in the aim, as a share of its present value; `null` where that is nothing
        pub gain: Option<f64> = tried.gain,
        /// water of all lifts after the change
        pub water_flow_m3_per_s: f64 = running.water_flow().value,
        /// dry air of all lifts after the change
        pub air_mass_flow_kg_per_s: f64 = running.split.air.kg_per_s(),
        /// power at the wire after the change, or `null`
        pub wire_power_w: Option<f64> = tried.steady.wire_power.map(|power| power.value),
        /// power in the air after the change, without exchange of heat
        pub adiabatic_power_w: f64 = tried.steady.air_power.value,
        /// what is then still missing of the flow that is wanted; `null` where none is wanted
        pub missing_m3_per_s: Option<f64> =
            AskedFacts::of(existing, &tried.steady).map(|asked| asked.missing_m3_per_s),
        /// water of each lift then, in their order; a new lift is left out
        pub lift_water_flows_m3_per_s: Vec<f64> = flows.clone(),
        /// lifts that give more water then than before
        pub better: usize = changed(f64::gt).count(),
        /// lifts that give less water than before
        pub worse: usize = changed(f64::lt).count(),
        /// names of the lifts that give less
        pub losers: Vec<String> = changed(f64::lt).map(name).collect(),
        /// air of the first of `lifts` then, or `null`
        pub own_air_mass_flow_kg_per_s: Option<f64> =
            lifts.first().map(|n| running.split.branches[*n].air.kg_per_s()),
    }

    fn of(existing: &Existing, before: &Steady, tried: &Tried) -> Self {
        let running = &tried.steady.running;
        let branches = &existing.plant.manifold.header().branches;
        let name = |n: usize| branches[n].name.clone();
        let (mut lifts, mut drills) = (Vec::new(), Vec::new());
        let (mut bore, mut pipe, mut up, mut depth) = (None, None, None, None);
        let (mut hole, mut factor, mut count) = (None, None, None);
        let share = |ratio: &Ratio| Some(ratio.value);
        match &tried.remedy {
            Remedy::StartInTurn | Remedy::CloseBleed => {}
            Remedy::Bleed { share: of } | Remedy::Speed { speed: of } | Remedy::ScaleHoles { scale: of } => {
                factor = share(of);
            }
            Remedy::Close { lifts: of } => lifts.clone_from(of),
            Remedy::Throttle { lifts: of, hole: width } => {
                lifts.clone_from(of);
                hole = Some(width.value);
            }
            Remedy::Blowers { running } => count = Some(*running),
            Remedy::FitHoles { drills: of } => {
                let names = of.iter().map(|drill| drill.map(|drill| drill.name.clone()));
                drills = names.collect();
            }
            Remedy::Inject { lifts: of, up: by } => {
                lifts.clone_from(of);
                up = Some(by.value);
            }
            Remedy::InjectAt { lifts: of, depth: at } => {
                lifts.clone_from(of);
                depth = Some(at.value);
            }
            Remedy::WidenBranches { lifts: of, bore: wider, pipe: named } => {
                lifts.clone_from(of);
                (bore, pipe) = (Some(wider.value), named.as_ref().map(|pipe| pipe.name.clone()));
            }
            Remedy::WidenMain { bore: wider, pipe: named }
            | Remedy::WidenHeader { bore: wider, pipe: named } => {
                (bore, pipe) = (Some(wider.value), named.as_ref().map(|pipe| pipe.name.clone()));
            }
            Remedy::AddLift { like } => lifts.push(*like),
        }
        let water = |one: &Steady| -> Vec<f64> {
            let lifts = one.running.lifts.iter().take(branches.len());
            lifts.map(|lift| lift.water_flow().value).collect()
        };
        let (before, flows) = (water(before), water(&tried.steady));
        // A thousandth is no change.
        let changed = |is: fn(&f64, &f64) -> bool| {
            let pairs = flows.iter().zip(&before).enumerate();
            let apart = |(_, (now, then)): &(usize, (&f64, &f64))| (*now - *then).abs() > 1e-3 * now.max(**then);
            let pairs = pairs.filter(apart);
            pairs.filter(move |(_, (now, then))| is(now, then)).map(|(n, _)| n)
        };
    }
}

impl ExistingAnswer {
    /// What a person reads it with, each caution once, and the lifts that it is of: none where it is of the whole.
    #[must_use]
    pub fn remarks(&self) -> Vec<(Vec<&str>, &Caution)> {
        let lifts = self.lifts.iter();
        let of_lifts = lifts.map(|lift| (lift.lift.as_str(), &lift.cautions[..]));
        super::remarks(of_lifts, &self.cautions)
    }
}

impl StandingLevelFacts {
    fn all(existing: &Existing, steady: &Steady) -> Vec<Self> {
        let levels = existing.levels.iter();
        levels
            .map(|rise| Self::of(existing, steady, *rise))
            .collect()
    }
}

impl StandingLiftFacts {
    fn all(
        existing: &Existing,
        steady: &Steady,
        places: &[LiftPlace],
        intervals: &SupplyIntervals,
    ) -> Vec<Self> {
        let one = |(n, place): (usize, &LiftPlace)| {
            let sure = (intervals.lifts[n], &intervals.of_lifts[n][..]);
            Self::of(
                steady,
                n,
                place,
                sure,
                existing.asked.get(n).copied().flatten(),
            )
        };
        let lifts = places.iter().enumerate();
        lifts.map(one).collect()
    }
}

/// Smallest and largest volume flow of a curve, in the state at its inlet.
fn inlet_flows(curve: &SiteCurve) -> (f64, f64) {
    let (first, last) = curve.flows();
    let flow = |air: AirFlow| {
        let flow = air.volume_rate_at(curve.intake());
        flow.map_or(0.0, |flow| flow.value)
    };
    (flow(first), flow(last))
}
