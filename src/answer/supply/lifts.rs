//! The lifts, and the kinds that they are of.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::{GasFacts, IntervalFacts, PointFacts, RiserFacts};
use crate::error::Error;
use crate::supply::{Plant, SolvedSupply, SupplyGases, SupplyIntervals};

/// Lifts that are alike, riser and design air, each by itself at that air.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KindFacts {
    /// a letter, or its number past the alphabet
    pub name: String,
    /// how many they are
    pub lifts: usize,
    /// their riser
    pub riser: RiserFacts,
    /// dry air wanted of each
    pub design_air_mass_flow_kg_per_s: f64,
    /// the riser at work; `null` when nothing flows
    pub point: Option<PointFacts>,
    /// where its true water flow lies, or `null`
    pub interval: Option<IntervalFacts>,
    /// half of that interval over the flow that three readings on the bench would leave, or `null`
    pub after_three_readings: Option<f64>,
}

impl KindFacts {
    pub(super) fn all(plant: &Plant) -> Result<Vec<Self>, Error> {
        let kinds = plant.kinds().into_iter().enumerate();
        let facts = kinds.map(|(n, lifts)| {
            let riser = &plant.manifold.risers()[lifts[0]];
            let air = plant.design[lifts[0]];
            let predictor = plant.manifold.law().on(riser)?;
            let found = predictor.predict(air)?;
            Ok(Self {
                name: letter(n),
                lifts: lifts.len(),
                riser: riser.into(),
                design_air_mass_flow_kg_per_s: air.kg_per_s(),
                point: found.outcome.point().map(Into::into),
                interval: found.interval.map(Into::into),
                after_three_readings: predictor.after_three_readings(air)?.map(|half| half.value),
            })
        });
        facts.collect()
    }
}

/// A lift as it runs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftFacts {
    /// its name
    pub lift: String,
    /// name of its kind
    pub kind: String,
    /// how far along the header it is
    pub distance_m: f64,
    /// whether its valve is open
    pub open: bool,
    /// its riser
    pub riser: RiserFacts,
    /// dry air wanted
    pub design_air_mass_flow_kg_per_s: f64,
    /// dry air as it runs
    pub air_mass_flow_kg_per_s: f64,
    /// that over the air wanted
    pub air_over_design: f64,
    /// the same at the design's pressure, with the drilled orifices; `null` without drills
    pub drilled_air_over_design: Option<f64>,
    /// `pumping`, `choked`, `below_threshold` or `blown_dry`
    pub outcome: String,
    /// water flow, zero when none
    pub water_flow_m3_per_s: f64,
    /// where its true water flow lies; `null` without air
    pub interval: Option<IntervalFacts>,
    /// pressure in the header at its tee, absolute
    pub header_pressure_pa: f64,
    /// pressure in the water at its injector, absolute
    pub water_pressure_pa: f64,
    /// exact hole of its orifice, or `null`
    pub orifice_m: Option<f64>,
    /// number of such holes, or `null`
    pub holes: Option<u32>,
    /// name of the drill, or `null`
    pub drill: Option<String>,
    /// its diameter, or `null`
    pub drill_m: Option<f64>,
    /// pressure that its air loses in the orifice
    pub orifice_loss_pa: f64,
    /// the same in line and valve
    pub line_loss_pa: f64,
    /// the same in the check valve
    pub check_valve_loss_pa: f64,
    /// the same in the injector
    pub injector_loss_pa: f64,
    /// velocity of the air at the end of its line
    pub line_velocity_m_per_s: f64,
    /// whether line or orifice are choked
    pub choked: bool,
    /// gases of its water; `null` where it does not pump
    pub gas: Option<GasFacts>,
}

impl LiftFacts {
    pub(super) fn all(
        plant: &Plant,
        solved: &SolvedSupply,
        intervals: &SupplyIntervals,
        gases: &SupplyGases,
    ) -> Vec<Self> {
        let running = &solved.running;
        let exact = &solved.duty.manifold.header().branches;
        let shares = plant.shares(running);
        let kinds = plant.kinds();
        let kind = |n: usize| kinds.iter().position(|kind| kind.contains(&n));
        let branches = solved.manifold.header().branches.iter().enumerate();
        let facts = branches.map(|(n, branch)| {
            let (riser, flow) = (&solved.manifold.risers()[n], &running.split.branches[n]);
            let hole = exact[n].orifice.filter(|_| branch.open);
            let drilled = solved.drilled.as_ref();
            let drill = drilled.and_then(|drilled| drilled.drills[n]);
            Self {
                lift: branch.name.clone(),
                kind: kind(n).map_or_else(String::new, letter),
                distance_m: branch.distance.value,
                open: branch.open,
                riser: riser.into(),
                design_air_mass_flow_kg_per_s: plant.design[n].kg_per_s(),
                air_mass_flow_kg_per_s: flow.air.kg_per_s(),
                air_over_design: shares[n].value,
                drilled_air_over_design: drilled.map(|drilled| drilled.shares[n].value),
                outcome: running.lifts[n].name().to_owned(),
                water_flow_m3_per_s: running.lifts[n].water_flow().value,
                interval: intervals.lifts[n].map(Into::into),
                header_pressure_pa: flow.header_pressure.pascal(),
                water_pressure_pa: flow.water_pressure.pascal(),
                orifice_m: hole.map(|hole| hole.diameter.value),
                holes: hole.map(|hole| hole.holes),
                drill: drill.map(|drill| drill.name.clone()),
                drill_m: drill.map(|drill| drill.diameter.value),
                orifice_loss_pa: flow.orifice_loss.value,
                line_loss_pa: flow.line_loss.value,
                check_valve_loss_pa: flow.check_valve_loss.value,
                injector_loss_pa: flow.injector_loss.value,
                line_velocity_m_per_s: flow.velocity.value,
                choked: flow.choked,
                gas: gases.lifts[n]
                    .as_ref()
                    .map(|gases| GasFacts::of(gases, riser.site(), 1)),
            }
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
