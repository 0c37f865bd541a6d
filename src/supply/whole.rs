//! A plant solved from end to end: what a report or a design sheet is made of.

use super::blower::Efficiency;
use super::change::Shift;
use super::choice::LineChoice;
use super::energy::{EnergyUse, Tariff};
use super::feed::{Bleed, Feed};
use super::manifold::{Manifold, Running};
use super::operation::Operation;
use super::parts::{Part, Piping, parts};
use super::plant::{AirDuty, Drilled, Plant};
use super::stock::Stock;
use super::velocity::{is_fast, usual_velocities};
use crate::caution::Caution;
use crate::error::{Error, Input, Range};
use crate::units::{
    Length, Power, Pressure, Time, UnitSystem, base, degree_celsius, kilopascal, meter,
    meter_per_second, minute, ratio,
};

/// Heights of a blower over the highest water level, below zero for one that stands lower.
pub const BLOWER_HEIGHT: Range = Range::new(-1000.0, 1000.0, "m");

/// Air hotter than this loses what strength plastic pipe has: PVC has no rating above 60 °C.
const PLASTIC_LIMIT_C: f64 = 60.0;
/// Air hotter than this at the discharge wants metal pipe for the first metres: PVC keeps half its strength
/// at 43 °C.
const PLASTIC_WARM_C: f64 = 43.0;
/// An orifice's loss should be this many times the pressure of 5 cm of water, or levels move the air.
const STIFF: f64 = 3.0;
/// 5 cm of water, kPa.
const LEVEL_KPA: f64 = 0.49;

/// A plant and what is asked about it beside its physics.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// The plant.
    pub plant: Plant,
    /// Its runs of pipe, for the parts list.
    pub piping: Piping,
    /// Price of electricity, where it is known.
    pub tariff: Option<Tariff>,
    /// The animals, where they are known.
    pub stock: Option<Stock>,
    /// Height of the blower over the highest water level, where it is known.
    pub blower_height: Option<Length>,
    /// What the main line may cost at most, where that is to be judged.
    pub wanted_main_loss: Option<Pressure>,
}

/// Everything about a plant.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SolvedSupply {
    /// What is asked of a blower.
    pub duty: AirDuty,
    /// The orifices as they can be drilled.
    pub drilled: Option<Drilled>,
    /// What the blowers do, where there is a table.
    pub operation: Option<Operation>,
    /// The lifts as they run: at the design's header pressure, or on the blowers with their surplus bled.
    pub running: Running,
    /// Their manifold, with drilled orifices.
    pub manifold: Manifold,
    /// The vent at the blower, where there is a surplus.
    pub bleed: Option<Bleed>,
    /// What shifts when something changes.
    pub shifts: Vec<Shift>,
    /// Whether every lift starts against risers full of water; none without a blower's table.
    pub starts: Option<bool>,
    /// Power at the wire, where table or efficiencies tell.
    pub wire_power: Option<Power>,
    /// What that comes to.
    pub energy: Option<EnergyUse>,
    /// Cost of a year, where there is a tariff.
    pub yearly_cost: Option<f64>,
    /// Time until the oxygen has fallen to the animals' limit, where they are known.
    pub time_to_limit: Option<Time>,
    /// The main line in every pipe of its series, narrowest first.
    pub main_choices: Vec<LineChoice>,
    /// What to buy, in metric units; [`parts`] words it in others.
    pub parts: Vec<Part>,
    /// What all of it should be read with.
    pub cautions: Vec<Caution>,
}

impl Supply {
    /// Solves everything.
    ///
    /// # Errors
    /// As [`Plant::duty`], [`Plant::drilled`] and [`Plant::operation`]; [`Error::OutOfRange`] for tariff,
    /// animals or the blower's height outside their ranges.
    pub fn solve(&self) -> Result<SolvedSupply, Error> {
        if let Some(height) = self.blower_height {
            BLOWER_HEIGHT.check(Input::BlowerHeight, height.get::<meter>())?;
        }
        let plant = &self.plant;
        let duty = plant.duty()?;
        let drilled = plant.drilled(&duty)?;
        let lifts = drilled
            .as_ref()
            .map_or(&duty.manifold, |drilled| &drilled.manifold);
        let operation = plant.operation(&duty, lifts)?;
        let manifold = lifts.clone();
        let bleed = match &operation {
            Some(operation) => plant.bleed(&duty, operation)?,
            None => None,
        };
        let feed = match &operation {
            Some(operation) => Feed::Blower {
                curve: &operation.curve,
                main: &duty.main,
                bleed,
            },
            None => Feed::Pressure(duty.header_pressure),
        };
        let running = manifold.run(&feed)?;
        let shifts = manifold.shifts(&feed, &manifold.usual_changes());
        let starts = match &operation {
            Some(_) => Some(starts(&manifold, &feed)?),
            None => None,
        };
        let wire_power = match &operation {
            Some(operation) => operation.wire_power,
            None => plant.wire_power_without_margin(&duty)?,
        };
        let energy = wire_power
            .map(|power| plant.energy(power, &running))
            .transpose()?;
        let yearly_cost = match (&energy, &self.tariff) {
            (Some(energy), Some(tariff)) => Some(energy.yearly_cost(tariff)?),
            _ => None,
        };
        let time_to_limit = self.stock.map(|stock| stock.time_to_limit()).transpose()?;
        let parts = parts(
            plant,
            &self.piping,
            &duty,
            drilled.as_ref(),
            UnitSystem::Metric,
        );
        let main_choices = self.piping.main.choices(
            duty.air,
            duty.main.temperature,
            duty.header_pressure,
            self.wanted_main_loss,
        )?;
        let mut solved = SolvedSupply {
            duty,
            drilled,
            operation,
            running,
            manifold,
            bleed,
            shifts,
            starts,
            wire_power,
            energy,
            yearly_cost,
            time_to_limit,
            main_choices,
            parts,
            cautions: Vec::new(),
        };
        solved.cautions = self.cautions(&solved);
        Ok(solved)
    }

    fn cautions(&self, solved: &SolvedSupply) -> Vec<Caution> {
        let mut cautions = Vec::new();
        self.of_lifts(solved, &mut cautions);
        self.of_lines(solved, &mut cautions);
        self.of_blower(solved, &mut cautions);
        cautions.push(match solved.time_to_limit {
            Some(time) => Caution::OxygenRunsOut {
                minutes: time.get::<minute>(),
            },
            None => Caution::LossOfAir,
        });
        let deepest = self
            .plant
            .manifold
            .risers()
            .iter()
            .map(|riser| riser.spec().dimensions.submergence.get::<meter>())
            .fold(0.0, f64::max);
        cautions.push(Caution::GasSupersaturation { depth_m: deepest });
        cautions.push(Caution::AirInPlasticPipe);
        cautions.push(Caution::IntakeAir);
        cautions.push(Caution::MainsNearWater);
        let mut seen: Vec<Caution> = Vec::new();
        cautions.retain(|caution| {
            let new = !seen.contains(caution);
            seen.push(caution.clone());
            new
        });
        cautions
    }

    fn of_lifts(&self, solved: &SolvedSupply, cautions: &mut Vec<Caution>) {
        let header = solved.manifold.header();
        let branches = header.branches.iter().zip(&solved.running.split.branches);
        let shares = self.plant.shares(&solved.running);
        for ((branch, flow), share) in branches.zip(shares).filter(|((b, _), _)| b.open) {
            let lift = || branch.name.clone();
            let tolerance = self.plant.balancing.map(|b| b.tolerance.get::<ratio>());
            let off = share.get::<ratio>() - 1.0;
            if flow.air.kg_per_s() <= 0.0 {
                cautions.push(Caution::LiftWithoutAir { lift: lift() });
            } else if let Some(tolerance) = tolerance
                && off.abs() > tolerance
            {
                cautions.push(Caution::AirOffDesign {
                    lift: lift(),
                    off,
                    tolerance,
                });
            }
            if flow.choked {
                cautions.push(Caution::BranchChoked { lift: lift() });
            }
            if let super::Injector::Diffuser(curve) = &branch.injector
                && curve.beyond(flow.air)
            {
                cautions.push(Caution::BeyondLossCurve { lift: lift() });
            }
        }
        for (riser, outcome) in solved.manifold.risers().iter().zip(&solved.running.lifts) {
            cautions.extend(riser.cautions(outcome));
        }
        if let Some(loss) = stiffness(solved)
            && loss.get::<kilopascal>() < STIFF * LEVEL_KPA
            && header.branches.len() > 1
        {
            cautions.push(Caution::SoftBalance {
                loss_kpa: loss.get::<kilopascal>(),
            });
        }
    }

    fn of_lines(&self, solved: &SolvedSupply, cautions: &mut Vec<Caution>) {
        let header = solved.manifold.header();
        let mut lines = vec![
            (
                "main line",
                solved.duty.main.bore,
                solved.duty.main_flow.velocity,
            ),
            ("header", header.pipe.bore, solved.running.split.velocity),
        ];
        let branches = header.branches.iter().zip(&solved.running.split.branches);
        let fastest = branches
            .map(|(branch, flow)| (branch.line.bore, flow.velocity))
            .max_by(|a, b| a.1.value.total_cmp(&b.1.value));
        lines.extend(fastest.map(|(bore, velocity)| ("fastest branch", bore, velocity)));
        for (line, bore, velocity) in lines {
            if is_fast(bore, velocity) {
                cautions.push(Caution::FastAir {
                    line,
                    velocity_m_per_s: velocity.get::<meter_per_second>(),
                    usual: usual_velocities(bore),
                });
            }
        }
        let hot = solved.duty.discharge_temperature.get::<degree_celsius>();
        if hot > PLASTIC_WARM_C {
            cautions.push(Caution::HotDischarge {
                temperature_c: hot,
                at_least: solved.duty.discharge_is_least,
            });
        }
        let arrival = self.plant.arrival.get::<degree_celsius>();
        if arrival > PLASTIC_LIMIT_C {
            cautions.push(Caution::HeaderTooHot {
                temperature_c: arrival,
            });
        }
    }

    fn of_blower(&self, solved: &SolvedSupply, cautions: &mut Vec<Caution>) {
        match self.blower_height.map(|height| height.get::<meter>()) {
            Some(height) if height > 0.0 => cautions.push(Caution::CheckValveAlone),
            Some(height) => cautions.push(Caution::BlowerBelowWater { height_m: height }),
            None => cautions.push(Caution::BackSiphon),
        }
        if self.plant.efficiency == Efficiency::Unknown && solved.wire_power.is_none() {
            cautions.push(Caution::EfficiencyUnknown);
        }
        if solved.starts == Some(false) {
            cautions.push(Caution::SomeLiftsDoNotStart);
        }
        let standby = self.plant.blowers.as_ref().is_some_and(|b| b.standby > 0);
        if !standby {
            cautions.push(Caution::NoStandby);
        }
        cautions.push(Caution::DeadHead);
        cautions.push(Caution::Noise);
    }
}

/// Whether every open branch gets air while all risers are full of water at rest.
fn starts(manifold: &Manifold, feed: &Feed) -> Result<bool, Error> {
    let split = manifold.start(feed)?;
    let branches = manifold.header().branches.iter().zip(&split.branches);
    Ok(branches
        .filter(|(branch, _)| branch.open)
        .all(|(_, flow)| flow.air.kg_per_s() > 0.0))
}

/// The smallest loss between header and water that does not hang on the level: orifice, line, injector.
fn stiffness(solved: &SolvedSupply) -> Option<Pressure> {
    let branches = solved.running.split.branches.iter();
    branches
        .filter(|flow| flow.air.kg_per_s() > 0.0)
        .map(|flow| flow.orifice_loss + flow.line_loss + flow.injector_loss)
        .fold(None, |least: Option<Pressure>, loss| {
            Some(least.map_or(loss, |known| if loss < known { loss } else { known }))
        })
}

impl Plant {
    /// Power at the wire at the running rise, without the margin; none where the efficiency is not known to
    /// the wire.
    fn wire_power_without_margin(&self, duty: &AirDuty) -> Result<Option<Power>, Error> {
        let requirement = super::blower::Requirement {
            air: duty.air,
            intake: duty.intake,
            pressure_rise: duty.running_rise,
            margin: base(0.0),
            efficiency: self.efficiency,
        };
        Ok(requirement.specification()?.wire_power)
    }
}
