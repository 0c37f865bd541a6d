//! A plant solved from end to end: what a report or a design sheet is made of.

use super::blower::Efficiency;
use super::change::Shift;
use super::choice::LineChoice;
use super::energy::{EnergyUse, Tariff};
use super::feed::{AirFeed, Bleed};
use super::header::BranchFlow;
use super::line::AirLine;
use super::manifold::{Manifold, Running};
use super::operation::Operation;
use super::orifice::{PLATE_BORE, PLATE_HOLE, PLATE_RATIO};
use super::parts::Piping;
use super::plant::{AirDuty, Drilled, Plant};
use super::stock::Stock;
use super::velocity::{is_fast, usual_velocities};
use crate::caution::Caution;
use crate::error::{Error, Input, range};
use crate::units::{
    AbsolutePressure, Length, Power, Pressure, Ratio, ThermodynamicTemperature, Time, Velocity,
    degree_celsius, kilopascal, meter, meter_per_second, millimeter, minute, ratio,
};

range!(BLOWER_HEIGHT, -1000 to 1000 "m",
    "Heights of a blower over the highest water level, below zero for one that stands lower.");

/// Air hotter than this loses what strength plastic pipe has: PVC has no rating above 60 °C.
const PLASTIC_LIMIT_C: f64 = 60.0;
/// Air hotter than this at the discharge wants metal pipe for the first metres: PVC keeps half its strength
/// at 43 °C.
pub(super) const PLASTIC_WARM_C: f64 = 43.0;
/// An orifice's loss should be this many times the pressure of 5 cm of water, or levels move the air.
const STIFF: f64 = 3.0;
/// 5 cm of water, kPa.
const LEVEL_KPA: f64 = 0.49;

/// A plant and what is asked about it beside its physics.
///
/// # Examples
/// Two lifts on one header. The runs of pipe are stated once: with the air that each carries they are the lines.
/// ```
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::supply::blower::Efficiency;
/// use risewater::supply::{Balancing, Branch, Header, Manifold, Orifice, Piping, Plant, PipeRun, Supply};
/// use risewater::units::*;
/// use risewater::{AirFlow, AirState, Model, Water};
///
/// let (m, celsius) = (Length::new::<meter>, ThermodynamicTemperature::new::<degree_celsius>);
/// let site = Site { water: Water::fresh(celsius(14.0))?, atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE };
/// let dimensions = Dimensions { bore: m(0.0762), submergence: m(1.2), lift: m(0.15) };
/// let riser = RiserSpec::new(dimensions).build(&site, Model::default())?;
/// let air = |l_min| AirFlow::at(VolumeRate::new::<liter_per_minute>(l_min), &AirState::DRY_20_C);
///
/// let run = |bore_mm, length_m| PipeRun::new(Length::new::<millimeter>(bore_mm), m(length_m));
/// let piping = Piping { main: run(52.5, 10.0), header: run(52.5, 6.0), branches: vec![run(20.9, 2.5); 2], risers: vec![None; 2] };
/// let mut branches = Vec::new();
/// for (run, distance) in piping.branches.iter().zip([2.0, 6.0]) {
///     branches.push(Branch::new(format!("at {distance} m"), m(distance), run.line(air(60.0)?, celsius(25.0))?));
/// }
/// let header = Header::new(piping.header.line(air(120.0)?, celsius(25.0))?, branches);
/// // Without orifices one lift could take all the air.
/// let balancing = Balancing {
///     hole: Orifice::new(Length::new::<millimeter>(5.0)),
///     least_loss: Pressure::new::<kilopascal>(1.5),
///     drills: None,
///     tolerance: Ratio::new::<percent>(10.0),
/// };
/// let plant = Plant {
///     manifold: Manifold::new(header, vec![riser; 2])?,
///     design: vec![air(60.0)?; 2],
///     main: piping.main.line(air(120.0)?, celsius(25.0))?,
///     outside: AirState::DRY_20_C,
///     intake_loss: Pressure::new::<kilopascal>(0.5),
///     arrival: None,
///     balancing: Some(balancing),
///     blowers: None,
///     efficiency: Efficiency::Unknown,
///     rise_margin: Ratio::new::<percent>(10.0),
/// };
/// let supply = Supply {
///     plant,
///     piping,
///     tariff: None,
///     stock: None,
///     blower_height: None,
///     wanted_main_loss: None,
///     level_changes: Vec::new(),
/// };
/// let solved = supply.solve()?;
/// // At start-up it pushes 1.2 m of water out of the lines, 11.8 kPa, and both lifts pump.
/// assert!(solved.duty.startup_rise.get::<kilopascal>() > 11.7);
/// assert!(solved.running.lifts.iter().all(|lift| lift.point().is_some()));
/// # Ok::<(), risewater::Error>(())
/// ```
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
    /// Rises of the water (falls below zero) to be tried.
    pub level_changes: Vec<Length>,
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
    /// The main line as it runs.
    pub main: AirLine,
    /// Temperature of the air at the blower's outlet as it runs; the least possible when neither efficiency nor
    /// power is known.
    pub outlet_temperature: ThermodynamicTemperature,
    /// Whether [`SolvedSupply::outlet_temperature`] supposes a blower without loss.
    pub outlet_is_least: bool,
    /// Temperature of the air at the header: as given, or that of the outlet.
    pub arrival_temperature: ThermodynamicTemperature,
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
    /// What all of it should be read with.
    pub cautions: Vec<Caution>,
}

impl SolvedSupply {
    /// Whether some orifice is outside what ISO 5167-2 holds for, so that its loss is a continuation; none without
    /// orifices.
    #[must_use]
    pub fn orifices_extrapolated(&self) -> Option<bool> {
        let branches = self.manifold.header().branches.iter();
        let outside = branches.filter_map(|branch| {
            let (orifice, bore) = (branch.orifice.as_ref()?, branch.line.bore);
            Some(
                !PLATE_BORE.contains(bore.get::<millimeter>())
                    || !PLATE_HOLE.contains(orifice.diameter.get::<millimeter>())
                    || !PLATE_RATIO.contains(orifice.over_bore(bore))
                    || orifice.holes > 1,
            )
        });
        outside.reduce(|a, b| a || b)
    }
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
        let (manifold, main) = match &operation {
            Some(operation) => (operation.manifold.clone(), operation.main),
            None => (lifts.clone(), duty.main),
        };
        let (outlet_temperature, outlet_is_least) = operation.as_ref().map_or(
            (duty.discharge_temperature, duty.discharge_is_least),
            |operation| (operation.outlet_temperature, operation.outlet_is_least),
        );
        let arrival_temperature = plant.arrival.unwrap_or(outlet_temperature);
        let bleed = match &operation {
            Some(operation) => plant.bleed(&duty, operation)?,
            None => None,
        };
        let feed = match &operation {
            Some(operation) => AirFeed::Blower {
                curve: &operation.curve,
                main: &main,
                bleed,
            },
            None => AirFeed::Pressure(duty.header_pressure),
        };
        let running = manifold.run_on(&feed, &plant.design)?;
        let changes = manifold.usual_changes(&self.level_changes);
        let shifts = manifold.shifts(&feed, &running, &changes);
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
            main,
            outlet_temperature,
            outlet_is_least,
            arrival_temperature,
            bleed,
            shifts,
            starts,
            wire_power,
            energy,
            yearly_cost,
            time_to_limit,
            main_choices,
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
        self.plant
            .manifold
            .always(solved.time_to_limit, &mut cautions);
        cautions
    }

    fn of_lifts(&self, solved: &SolvedSupply, cautions: &mut Vec<Caution>) {
        let plant = &self.plant;
        let design = plant
            .balancing
            .map(|balancing| (plant.shares(&solved.running), balancing.tolerance));
        let outside = plant.outside.pressure;
        solved
            .manifold
            .of_lifts(&solved.running, outside, design.as_ref(), cautions);
        let risers = solved.manifold.risers().iter();
        for (riser, outcome) in risers.zip(&solved.running.lifts) {
            cautions.extend(riser.cautions(outcome));
        }
    }

    fn of_lines(&self, solved: &SolvedSupply, cautions: &mut Vec<Caution>) {
        let duty = &solved.duty;
        let main = (duty.main.bore, duty.main_flow.velocity);
        solved
            .manifold
            .of_velocities(&solved.running, Some(main), cautions);
        let outlet = (solved.outlet_temperature, solved.outlet_is_least);
        self.plant.of_heat(outlet, cautions);
    }

    fn of_blower(&self, solved: &SolvedSupply, cautions: &mut Vec<Caution>) {
        of_height(self.blower_height, cautions);
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

/// What is to be known of where a blower stands.
pub(super) fn of_height(height: Option<Length>, cautions: &mut Vec<Caution>) {
    match height.map(|height| height.get::<meter>()) {
        Some(height) if height > 0.0 => cautions.push(Caution::CheckValveAlone),
        Some(height) => cautions.push(Caution::BlowerBelowWater { height_m: height }),
        None => cautions.push(Caution::BackSiphon),
    }
}

impl Manifold {
    /// What air and animals always ask for; then each caution once.
    pub(super) fn always(&self, time_to_limit: Option<Time>, cautions: &mut Vec<Caution>) {
        cautions.push(match time_to_limit {
            Some(time) => Caution::OxygenRunsOut {
                minutes: time.get::<minute>(),
            },
            None => Caution::LossOfAir,
        });
        let depths = self.risers().iter().map(|riser| riser.spec().dimensions);
        let depths = depths.map(|of| of.submergence.get::<meter>());
        cautions.push(Caution::GasSupersaturation {
            depth_m: depths.fold(0.0, f64::max),
        });
        cautions.push(Caution::AirInPlasticPipe);
        cautions.push(Caution::IntakeAir);
        cautions.push(Caution::MainsNearWater);
        let mut seen: Vec<Caution> = Vec::new();
        cautions.retain(|caution| {
            let new = !seen.contains(caution);
            seen.push(caution.clone());
            new
        });
    }

    /// What is to be known of lifts that run; with the design, their shares of it and how far those may be off.
    pub(super) fn of_lifts(
        &self,
        running: &Running,
        outside: AbsolutePressure,
        design: Option<&(Vec<Ratio>, Ratio)>,
        cautions: &mut Vec<Caution>,
    ) {
        let header = self.header();
        let branches = header.branches.iter().zip(&running.split.branches);
        let tolerance = design.map(|(_, off)| off.get::<ratio>());
        let mut off_design: Vec<(&str, f64)> = Vec::new();
        let mut wide: Vec<(&str, f64)> = Vec::new();
        let mut silent: Vec<(&str, &BranchFlow)> = Vec::new();
        for (n, (branch, flow)) in branches.enumerate().filter(|(_, (b, _))| b.open) {
            let lift = || branch.name.clone();
            let shares = design.map(|(shares, _)| shares);
            let off = shares.map_or(0.0, |shares| shares[n].get::<ratio>() - 1.0);
            if flow.air.kg_per_s() <= 0.0 {
                silent.push((&branch.name, flow));
            } else if tolerance.is_some_and(|tolerance| off.abs() > tolerance) {
                off_design.push((&branch.name, off));
            }
            if let Some(orifice) = &branch.orifice {
                let over_bore = orifice.over_bore(branch.line.bore);
                if over_bore > PLATE_RATIO.max {
                    wide.push((&branch.name, over_bore));
                }
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
        if let Some((lift, flow)) = silent.first() {
            let gauge = |pressure: AbsolutePressure| (pressure - outside).get::<kilopascal>();
            cautions.push(Caution::LiftWithoutAir {
                lifts: silent.len(),
                lift: (*lift).to_owned(),
                header_kpa: gauge(flow.header_pressure),
                water_kpa: gauge(flow.water_pressure),
            });
        }
        let worst = |all: &[(&str, f64)]| {
            let worst = all.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
            worst.map(|(lift, value)| ((*lift).to_owned(), *value))
        };
        if let (Some((lift, off)), Some(tolerance)) = (worst(&off_design), tolerance) {
            let lifts = off_design.len();
            cautions.push(Caution::AirOffDesign {
                lifts,
                lift,
                off,
                tolerance,
            });
        }
        if let Some((lift, over_bore)) = worst(&wide) {
            let lifts = wide.len();
            cautions.push(Caution::OrificeWide {
                lifts,
                lift,
                over_bore,
            });
        }
        if let Some(loss) = stiffness(running)
            && loss.get::<kilopascal>() < STIFF * LEVEL_KPA
            && header.branches.len() > 1
        {
            cautions.push(Caution::SoftBalance {
                loss_kpa: loss.get::<kilopascal>(),
            });
        }
    }

    /// Lines whose air is faster than usual; none for a main line that there is not.
    pub(super) fn of_velocities(
        &self,
        running: &Running,
        main: Option<(Length, Velocity)>,
        cautions: &mut Vec<Caution>,
    ) {
        let header = self.header();
        let mut lines = Vec::new();
        lines.extend(main.map(|(bore, velocity)| ("main line", bore, velocity)));
        lines.push(("header", header.pipe.bore, running.split.velocity));
        let branches = header.branches.iter().zip(&running.split.branches);
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
    }
}

impl Plant {
    /// What is to be known of air that leaves the blower at a temperature, or at no less.
    pub(super) fn of_heat(
        &self,
        (outlet, at_least): (ThermodynamicTemperature, bool),
        cautions: &mut Vec<Caution>,
    ) {
        let hot = outlet.get::<degree_celsius>();
        if hot > PLASTIC_WARM_C {
            cautions.push(Caution::HotDischarge {
                temperature_c: hot,
                at_least,
            });
        }
        let arrival = self.arrival.unwrap_or(outlet).get::<degree_celsius>();
        if arrival > PLASTIC_LIMIT_C {
            cautions.push(Caution::HeaderTooHot {
                temperature_c: arrival,
                given: self.arrival.is_some(),
            });
        }
    }
}

/// Whether every open branch gets air while all risers are full of water at rest.
fn starts(manifold: &Manifold, feed: &AirFeed) -> Result<bool, Error> {
    let split = manifold.start(feed)?;
    let branches = manifold.header().branches.iter().zip(&split.branches);
    Ok(branches
        .filter(|(branch, _)| branch.open)
        .all(|(_, flow)| flow.air.kg_per_s() > 0.0))
}

/// The smallest loss between header and water that does not hang on the level: orifice, line, injector.
fn stiffness(running: &Running) -> Option<Pressure> {
    let branches = running.split.branches.iter();
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
        self.wire_power(None, (duty.air, duty.running_rise), &duty.intake)
    }
}
