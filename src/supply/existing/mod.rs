//! A plant that stands: what its lifts get from the blower that is there, and where each is on its curve.

mod place;
mod remedy;

pub(crate) use place::SAME_START_PA;
pub use place::{BlowerPlace, CurvePlace, LiftPlace};
pub use remedy::{Advice, Aim, Remedy, RemedyKind, Tried};

use std::cell::RefCell;

use super::blower::SiteCurve;
use super::change::Change;
use super::compression::Compression;
use super::energy::{EnergyUse, Tariff};
use super::feed::{AirFeed, Bleed, Ends};
use super::line::AirLine;
use super::manifold::{Manifold, Running};
use super::operation::OnFeed;
use super::orifice::Orifice;
use super::parts::Piping;
use super::plant::Plant;
use super::stock::Stock;
use super::whole::{BLOWER_HEIGHT, of_height};
use crate::air::{AirFlow, AirState};
use crate::caution::Caution;
use crate::error::{Error, Input, Solve, range};
use crate::supply::drill::DrillSystem;
use crate::units::{
    AbsolutePressure, Length, Power, Pressure, Ratio, ThermodynamicTemperature, VolumeRate, base,
    kilopascal, liter_per_minute, meter, ratio,
};

range!(BLED_SHARE, 0 to 0.95, "Shares of a blower's air that a bleed may let out.");
range!(SUPPLY_PRESSURE, 0.01 to 1000 "kPa", "Gauge pressures that a regulator may hold at a header.");

/// What blows.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum AirSource {
    /// The blowers of [`Plant::blowers`].
    Blowers,
    /// A regulator that holds a pressure where the air comes into the header.
    Pressure(AbsolutePressure),
    /// As much air to the header, whatever pressure that takes.
    Air(AirFlow),
}

/// A bleed at the blower's outlet, as it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Vent {
    /// A hole into the open.
    Hole(Orifice),
    /// A share of the blower's air, set by a valve.
    Share(Ratio),
}

/// A plant as it stands, without a design flow.
///
/// # Examples
/// One lift on one small blower, its air line straight to it.
/// ```
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::supply::blower::{Blower, Efficiency, Machine, RatedPoint, Rating};
/// use risewater::supply::{AirLine, Blowers, Branch, Existing, Header, Manifold, PipeRun, Piping, Plant};
/// use risewater::units::*;
/// use risewater::{AirFlow, AirState, Model, Water};
///
/// let (m, mm) = (Length::new::<meter>, Length::new::<millimeter>);
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// let riser = RiserSpec::new(Dimensions { bore: mm(52.5), submergence: m(1.0), lift: m(0.15) })
///     .build(&site, Model::default())?;
/// let point = |kpa, l_min| RatedPoint {
///     pressure_rise: Pressure::new::<kilopascal>(kpa),
///     inlet_flow: VolumeRate::new::<liter_per_minute>(l_min),
///     power: None,
/// };
/// let blower = Blower::new(Rating {
///     points: vec![point(20.0, 0.0), point(0.0, 100.0)],
///     conditions: AirState::DRY_20_C,
///     machine: Machine::Dynamic,
///     power_kind: None,
/// })?;
/// let line = AirLine::new(mm(10.0), m(4.0));
/// let header = Header::new(AirLine::new(mm(10.0), m(0.0)), vec![Branch::new("lift", m(0.0), line)]);
/// let run = |length| PipeRun::new(mm(10.0), m(length));
/// let existing = Existing::new(
///     Plant {
///         manifold: Manifold::new(header, vec![riser])?,
///         design: vec![AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(0.0))?],
///         main: AirLine::new(mm(10.0), m(0.0)),
///         outside: AirState::DRY_20_C,
///         intake_loss: Pressure::new::<kilopascal>(0.0),
///         arrival: None,
///         balancing: None,
///         efficiency: Efficiency::Unknown,
///         rise_margin: Ratio::new::<percent>(0.0),
///         blowers: Some(Blowers { blower, running: 1, standby: 0 }),
///     },
///     Piping { main: run(0.0), header: run(0.0), branches: vec![run(4.0)], risers: vec![None] },
/// );
/// let steady = existing.steady()?;
/// let water = steady.running.water_flow().get::<liter_per_minute>();
/// assert!((30.0..120.0).contains(&water));
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Existing {
    /// Lifts, lines and blowers. Its balancing and its margin are not read, and of its design only which lifts are alike.
    pub plant: Plant,
    /// The runs of pipe, for wider ones of their series.
    pub piping: Piping,
    /// What blows.
    pub source: AirSource,
    /// The bleed.
    pub vent: Option<Vent>,
    /// Speed of the blowers over that of their table.
    pub speed: Ratio,
    /// Water that each lift is wanted to give, where that is known.
    pub asked: Vec<Option<VolumeRate>>,
    /// Drills for holes that are advised.
    pub drills: DrillSystem,
    /// Price of electricity, where it is known.
    pub tariff: Option<Tariff>,
    /// The animals, where they are known.
    pub stock: Option<Stock>,
    /// Height of the blower over the highest water level, where it is known.
    pub blower_height: Option<Length>,
    /// Levels that the water may have beside its normal one: how far it rises, below zero falls.
    pub levels: Vec<Length>,
}

/// A plant that runs without change.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Steady {
    /// Header and risers, their lines as warm as they run.
    pub manifold: Manifold,
    /// The main line, likewise.
    pub main: AirLine,
    /// Air and water of each lift.
    pub running: Running,
    /// Air at the blower's intake, behind its filter.
    pub intake: AirState,
    /// Pressure rise from the intake to the blower's outlet.
    pub rise: Pressure,
    /// Air of the blower: that of all lifts, and what is bled.
    pub blown: AirFlow,
    /// Air that the bleed lets out.
    pub bled: AirFlow,
    /// Temperature at the blower's outlet.
    pub outlet_temperature: ThermodynamicTemperature,
    /// Whether that supposes a blower without loss.
    pub outlet_is_least: bool,
    /// Curve of all running blowers together, where they have one.
    pub curve: Option<SiteCurve>,
    /// Where they are on it.
    pub place: Option<BlowerPlace>,
    /// Power in the air of the blower, without exchange of heat.
    pub air_power: Power,
    /// Power at the wire, where table or efficiencies tell.
    pub wire_power: Option<Power>,
    /// What that comes to.
    pub energy: Option<EnergyUse>,
}

impl Existing {
    /// Blowers at the speed of their table, with nothing bled and nothing asked.
    #[must_use]
    pub fn new(plant: Plant, piping: Piping) -> Self {
        Self {
            asked: vec![None; plant.manifold.risers().len()],
            plant,
            piping,
            source: AirSource::Blowers,
            vent: None,
            speed: base(1.0),
            drills: DrillSystem::Metric,
            tariff: None,
            stock: None,
            blower_height: None,
            levels: Vec::new(),
        }
    }

    /// What the plant does once it is switched on with all risers full of water: a lift that the header's pressure does
    /// not start stays without air. Past an end of the blowers' table the nearest state to be told is taken, and
    /// [`Steady::place`] says so.
    ///
    /// # Errors
    /// As [`Manifold::run`] and [`Blower::at`](super::blower::Blower::at); [`Error::OutletTooHot`].
    ///
    /// # Examples
    /// See [`Existing`].
    pub fn steady(&self) -> Result<Steady, Error> {
        self.settled(None)
    }

    /// What lifts that run do once all water levels have risen, or fallen below zero: what has air keeps it as long as it can.
    ///
    /// # Errors
    /// As [`Existing::steady`] and [`Manifold::with_level`].
    ///
    /// # Examples
    /// See [`Existing`] for a plant; `existing.at_level(&existing.steady()?, rise)` is what it does at another level.
    pub fn at_level(&self, steady: &Steady, rise: Length) -> Result<Steady, Error> {
        let flows = steady.running.split.branches.iter();
        let air: Vec<AirFlow> = flows.map(|flow| flow.air).collect();
        self.with_level(rise)?.settled(Some(&air))
    }

    /// The plant at another water level.
    ///
    /// # Errors
    /// As [`Manifold::with_level`].
    pub fn with_level(&self, rise: Length) -> Result<Self, Error> {
        let mut plant = self.clone();
        plant.plant.manifold = plant.plant.manifold.changed(Change::AllLevels(rise))?;
        Ok(plant)
    }

    /// The plant once it is as warm as it gets, from rest or from some air flows.
    fn settled(&self, from: Option<&[AirFlow]>) -> Result<Steady, Error> {
        if let Some(height) = self.blower_height {
            BLOWER_HEIGHT.check(Input::BlowerHeight, height.get::<meter>())?;
        }
        if let Some(Vent::Share(share)) = self.vent {
            BLED_SHARE.check(Input::BledShare, share.get::<ratio>())?;
        }
        let intake = self.intake();
        let curve = self.curve(&intake)?;
        let last = RefCell::new(None);
        let found = Plant::warmed(intake.temperature, |outlet| {
            let (next, found) = self.at_outlet(outlet, (&intake, curve.as_ref()), from)?;
            last.replace(Some(found.clone()));
            Ok((next, found))
        });
        let found = match (found, last.into_inner()) {
            // A lift that starts at one temperature of the lines and not at the other: either will do.
            (
                Err(Error::NotConverged {
                    what: Solve::OutletTemperature,
                    ..
                }),
                Some(last),
            ) => last,
            (found, _) => found?,
        };
        let outlet = found.outlet.0;
        self.told(found, outlet, intake, curve)
    }

    /// The same with lines as warm as they are at an outlet temperature, from rest or from some air flows.
    fn steady_at(
        &self,
        outlet: ThermodynamicTemperature,
        from: Option<&[AirFlow]>,
    ) -> Result<Steady, Error> {
        let intake = self.intake();
        let curve = self.curve(&intake)?;
        let (_, found) = self.at_outlet(outlet, (&intake, curve.as_ref()), from)?;
        self.told(found, outlet, intake, curve)
    }

    fn intake(&self) -> AirState {
        AirState {
            pressure: self.plant.outside.pressure + -self.plant.intake_loss,
            ..self.plant.outside
        }
    }

    /// All running blowers together, at their speed.
    fn curve(&self, intake: &AirState) -> Result<Option<SiteCurve>, Error> {
        let blowers = match (self.source, &self.plant.blowers) {
            (AirSource::Blowers, Some(blowers)) => blowers,
            (AirSource::Blowers, None) => {
                return Err(Error::NoReading {
                    what: Input::BlowerCount,
                });
            }
            _ => return Ok(None),
        };
        let one = blowers.blower.at(intake)?.at_speed(self.speed)?;
        one.in_parallel(blowers.running).map(Some)
    }

    fn at_outlet(
        &self,
        outlet: ThermodynamicTemperature,
        (intake, curve): (&AirState, Option<&SiteCurve>),
        from: Option<&[AirFlow]>,
    ) -> Result<(ThermodynamicTemperature, OnFeed), Error> {
        // A share that is bled leaves the lifts a blower of less flow.
        let left = match (curve, self.vent) {
            (Some(curve), Some(Vent::Share(share))) => {
                Some(curve.of_flow(1.0 - share.get::<ratio>())?)
            }
            (curve, _) => curve.cloned(),
        };
        let bleed = self.bleed(outlet);
        let run = |lifts: &Manifold, main: &AirLine| {
            let feed = match (self.source, &left) {
                (AirSource::Blowers, Some(curve)) => AirFeed::Blower { curve, main, bleed },
                (AirSource::Pressure(pressure), _) => AirFeed::Pressure(pressure),
                (AirSource::Air(air), _) => AirFeed::Air(air),
                (AirSource::Blowers, None) => AirFeed::Air(AirFlow::from_kg_per_s(0.0)),
            };
            lifts.run_from(&feed, from, Ends::Kept)
        };
        self.plant
            .on_feed(outlet, (intake, curve), &self.plant.manifold, run)
    }

    /// The hole that bleeds, in air of a temperature.
    fn bleed(&self, temperature: ThermodynamicTemperature) -> Option<Bleed> {
        let Some(Vent::Hole(orifice)) = self.vent else {
            return None;
        };
        Some(Bleed {
            orifice,
            temperature,
            outside: self.plant.outside.pressure,
        })
    }

    fn told(
        &self,
        found: OnFeed,
        of_lines: ThermodynamicTemperature,
        intake: AirState,
        curve: Option<SiteCurve>,
    ) -> Result<Steady, Error> {
        let OnFeed {
            running,
            rise,
            outlet: (outlet_temperature, outlet_is_least),
            lifts: manifold,
            main,
        } = found;
        let lifts = running.split.air;
        let bled = match self.vent {
            Some(Vent::Hole(orifice)) => {
                let inside = intake.pressure + rise;
                orifice.air_flow(inside, self.plant.outside.pressure, of_lines)?
            }
            Some(Vent::Share(share)) => {
                let share = share.get::<ratio>();
                AirFlow::from_kg_per_s(lifts.kg_per_s() * share / (1.0 - share))
            }
            None => AirFlow::from_kg_per_s(0.0),
        };
        let blown = AirFlow::from_kg_per_s(lifts.kg_per_s() + bled.kg_per_s());
        let place = curve.as_ref().map(|curve| BlowerPlace::of(curve, blown));
        // Past an end of the table there is the power of that end.
        let counted = curve.as_ref().map_or(blown, |curve| {
            let (first, last) = curve.flows_kg_per_s();
            AirFlow::from_kg_per_s(blown.kg_per_s().clamp(first, last))
        });
        let wire_power = self
            .plant
            .wire_power(curve.as_ref(), (counted, rise), &intake)?
            .filter(|power| power.value > 0.0);
        let energy = wire_power
            .map(|power| self.plant.energy(power, &running))
            .transpose()?;
        Ok(Steady {
            air_power: Compression::new(blown, &intake, rise)?.adiabatic_power(),
            manifold,
            main,
            running,
            intake,
            rise,
            blown,
            bled,
            outlet_temperature,
            outlet_is_least,
            curve,
            place,
            wire_power,
            energy,
        })
    }

    /// What the bleed lets out of a blower's air at a rise.
    pub(super) fn bled(
        &self,
        steady: &Steady,
        blown: AirFlow,
        rise: Pressure,
    ) -> Result<AirFlow, Error> {
        match self.vent {
            Some(Vent::Hole(orifice)) => orifice.air_flow(
                steady.intake.pressure + rise,
                self.plant.outside.pressure,
                steady.outlet_temperature,
            ),
            Some(Vent::Share(share)) => Ok(AirFlow::from_kg_per_s(
                blown.kg_per_s() * share.get::<ratio>(),
            )),
            None => Ok(AirFlow::from_kg_per_s(0.0)),
        }
    }

    /// What a plant that runs is to be read with.
    ///
    /// # Errors
    /// As [`Stock::time_to_limit`].
    pub fn cautions(&self, steady: &Steady) -> Result<Vec<Caution>, Error> {
        let mut cautions = Vec::new();
        let (lifts, running) = (&steady.manifold, &steady.running);
        let in_l_per_min = |air: AirFlow| air.volume_rate_at_20_c().get::<liter_per_minute>();
        if let (Some(place), Some(curve)) = (steady.place, &steady.curve) {
            let (first, last) = curve.flows();
            match place {
                BlowerPlace::PastLast => cautions.push(Caution::PastBlowerTable {
                    last_l_per_min: in_l_per_min(last),
                    needed_kpa: steady.rise.get::<kilopascal>(),
                    given_kpa: curve.rises().1.get::<kilopascal>(),
                }),
                BlowerPlace::BeforeFirst => cautions.push(Caution::BeforeBlowerTable {
                    air_l_per_min: in_l_per_min(steady.blown),
                    first_l_per_min: in_l_per_min(first),
                }),
                BlowerPlace::OnTable | BlowerPlace::ShutOff => {}
            }
        }
        lifts.of_lifts(running, self.plant.outside.pressure, None, &mut cautions);
        let main = (steady.main.length.value > 0.0)
            .then(|| steady.main.inlet(running.split.air, running.split.pressure))
            .transpose()?;
        let main = main.map(|flow| (steady.main.bore, flow.velocity));
        lifts.of_velocities(running, main, &mut cautions);
        let outlet = (steady.outlet_temperature, steady.outlet_is_least);
        self.plant.of_heat(outlet, &mut cautions);
        of_height(self.blower_height, &mut cautions);
        if steady.wire_power.is_none() {
            cautions.push(Caution::EfficiencyUnknown);
        }
        let standby = self.plant.blowers.as_ref().is_some_and(|b| b.standby > 0);
        if !standby {
            cautions.push(Caution::NoStandby);
        }
        cautions.push(Caution::DeadHead);
        cautions.push(Caution::Noise);
        let time = self.stock.map(|stock| stock.time_to_limit()).transpose()?;
        lifts.always(time, &mut cautions);
        Ok(cautions)
    }
}
