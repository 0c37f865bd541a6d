//! The lifts, and the kinds that they are of.

use super::super::{FlowAnswer, GasFacts, IntervalFacts, PointFacts, RiserFacts, Terms, Worded};
use super::SupplyTerms;
use crate::error::Error;
use crate::pipe::Pipe;
use crate::supply::{Branch, Injector, Plant, SolvedSupply, Supply, SupplyGases, SupplyIntervals};
use crate::transfer::LiftGases;
use crate::trial::common_vessel;
use crate::uncertainty::Interval;
use crate::units::{Ratio, UnitSystem, VolumeRate};

facts! {
    /// Lifts with the same riser and the same design air, each solved by itself at that air.
    pub struct KindFacts {
        /// a letter, or its number past the alphabet
        pub name: String = letter(n),
        /// how many they are
        pub lifts: usize = lifts.len(),
        /// their riser
        pub riser: RiserFacts = riser.into(),
        /// dry air wanted of each
        pub design_air_mass_flow_kg_per_s: f64 = air.kg_per_s(),
        /// the riser at work; `null` when nothing flows
        pub point: Option<PointFacts> = found.outcome.point().map(Into::into),
        /// where its true water flow lies, or `null`
        pub interval: Option<IntervalFacts> = found.interval.map(Into::into),
        /// half-width of the interval, as a share of the flow, that one reading on the bench at this air would leave; or `null`
        pub after_one_reading: Option<f64> =
            predictor.after_one_reading(air)?.map(|half| half.value),
        /// half-width of the interval, as a share of the flow, that three readings on the bench would leave, or `null`
        pub after_three_readings: Option<f64> =
            predictor.after_three_readings(air)?.map(|half| half.value),
        /// one of them by itself, for its drawing; not in JSON
        #[serde(skip)]
        pub flow: FlowAnswer = FlowAnswer::of(riser, air, &terms)?,
    }

    fn of(plant: &Plant, n: usize, lifts: &[usize], asked: &SupplyTerms) -> Result<Self, Error> {
        let terms = Terms {
            law: plant.manifold.law().clone(),
            level_fall: asked.level_fall,
            level_rise: asked.level_rise,
            profile: true,
            ..Terms::default()
        };
        let riser = &plant.manifold.risers()[lifts[0]];
        let air = plant.design[lifts[0]];
        let predictor = plant.manifold.law().on(riser)?;
        let found = predictor.predict(air)?;
    }

    /// A lift as it runs.
    pub struct LiftFacts {
        /// its name
        pub lift: String = branch.name.clone(),
        /// name of its kind
        pub kind: String = kind.map_or_else(String::new, letter),
        /// how far along the header it is
        pub distance_m: f64 = branch.distance.value,
        /// whether its valve is open
        pub open: bool = branch.open,
        /// its riser
        pub riser: RiserFacts = riser.into(),
        /// name of the riser's pipe; `null` where only its bore is known
        pub pipe: Option<String> = supply.piping.riser(n).map(|pipe: &Pipe| pipe.name.clone()),
        /// number of holes of its injector; `null` where that is no drilled ring
        pub injector_holes: Option<u32> = ring.map(|ring| ring.holes),
        /// diameter of these holes, or `null`
        pub injector_hole_m: Option<f64> = ring.map(|ring| ring.diameter.value),
        /// dry air wanted
        pub design_air_mass_flow_kg_per_s: f64 = plant.design[n].kg_per_s(),
        /// dry air that it gets
        pub air_mass_flow_kg_per_s: f64 = flow.air.kg_per_s(),
        /// air that it gets over the air wanted
        pub air_over_design: f64 = share.value,
        /// the same at the design's pressure, with the drilled orifices; `null` without drills
        pub drilled_air_over_design: Option<f64> = drilled.map(|drilled| drilled.shares[n].value),
        /// `pumping`, `choked`, `below_threshold` or `blown_dry`
        pub outcome: String = running.lifts[n].name().to_owned(),
        /// water flow, zero when none
        pub water_flow_m3_per_s: f64 = running.lifts[n].water_flow().value,
        /// where its true water flow lies; `null` without air
        pub interval: Option<IntervalFacts> = interval.map(Into::into),
        /// how to check that flow with a watch and a common vessel, in JSON a metric one; `null` where no water flows, or too much to catch
        pub catch: Worded<Option<CatchFacts>> =
            Worded::of(|units| CatchFacts::of((water, interval), units)),
        /// pressure in the header at its tee, absolute
        pub header_pressure_pa: f64 = flow.header_pressure.pascal(),
        /// pressure in the water at its injector, absolute
        pub water_pressure_pa: f64 = flow.water_pressure.pascal(),
        /// exact hole of its orifice, or `null`
        pub orifice_m: Option<f64> = hole.map(|hole| hole.diameter.value),
        /// number of such holes, or `null`
        pub holes: Option<u32> = hole.map(|hole| hole.holes),
        /// name of the drill, or `null`
        pub drill: Option<String> = drill.map(|drill| drill.name.clone()),
        /// its diameter, or `null`
        pub drill_m: Option<f64> = drill.map(|drill| drill.diameter.value),
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
        /// gases of its water; `null` where it does not pump
        pub gas: Option<GasFacts> =
            gases.map(|gases| GasFacts::of(gases, riser.site(), 1)),
    }

    fn of(
        (supply, solved): (&Supply, &SolvedSupply),
        (n, branch): (usize, &Branch),
        (kind, share): (Option<usize>, Ratio),
        interval: Option<Interval>,
        gases: Option<&LiftGases>,
    ) -> Self {
        let (plant, running) = (&supply.plant, &solved.running);
        let water = running.lifts[n].water_flow();
        let ring = match &branch.injector {
            Injector::DrilledRing(ring) => Some(ring),
            Injector::OpenTube | Injector::Diffuser(_) => None,
        };
        let (riser, flow) = (&solved.manifold.risers()[n], &running.split.branches[n]);
        let exact = solved.duty.manifold.header().branches[n].orifice;
        let hole = exact.filter(|_| branch.open);
        let drilled = solved.drilled.as_ref();
        let drill = drilled.and_then(|drilled| drilled.drills[n]);
    }

    /// How to check a lift's water with a vessel and a watch.
    #[derive(Copy)]
    pub struct CatchFacts {
        /// volume of the vessel
        pub vessel_m3: f64 = vessel.value,
        /// time in which the predicted flow fills it
        pub time_s: f64 = (vessel / water).value,
        /// the same by the upper end of the interval of that flow; `null` without one
        pub shortest_time_s: Option<f64> = interval.map(|found| (vessel / found.high).value),
        /// the same by its lower end; `null` where the lift may not pump
        pub longest_time_s: Option<f64> = slowest.map(|found| (vessel / found.low).value),
    }

    fn of(
        (water, interval): (VolumeRate, Option<Interval>),
        units: UnitSystem,
    ) -> Option<Self> {
        let vessel = common_vessel(water, units)?;
        let slowest = interval.filter(|found| found.low.value > 0.0);
    }
}

impl KindFacts {
    pub(super) fn all(plant: &Plant, terms: &SupplyTerms) -> Result<Vec<Self>, Error> {
        let kinds = plant.kinds().into_iter().enumerate();
        kinds
            .map(|(n, lifts)| Self::of(plant, n, &lifts, terms))
            .collect()
    }
}

impl LiftFacts {
    pub(super) fn all(
        supply: &Supply,
        solved: &SolvedSupply,
        intervals: &SupplyIntervals,
        gases: &SupplyGases,
    ) -> Vec<Self> {
        let plant = &supply.plant;
        let (shares, kinds) = (plant.shares(&solved.running), plant.kinds());
        let branches = solved.manifold.header().branches.iter().enumerate();
        let facts = branches.map(|(n, branch)| {
            let kind = kinds.iter().position(|kind| kind.contains(&n));
            let gases = gases.lifts[n].as_ref();
            let interval = intervals.lifts[n];
            Self::of(
                (supply, solved),
                (n, branch),
                (kind, shares[n]),
                interval,
                gases,
            )
        });
        facts.collect()
    }
}

/// A, B … Z, 27, 28 …
fn letter(n: usize) -> String {
    match u8::try_from(n) {
        Ok(n) if n < 26 => char::from(b'A' + n).to_string(),
        _ => (n + 1).to_string(),
    }
}
