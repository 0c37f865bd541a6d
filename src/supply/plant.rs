//! A whole air side: what it must give, what it gives with a given blower, and what that costs.

use super::balance::Balanced;
use super::blower::{Blower, Efficiency, Requirement, SiteCurve, Specification};
use super::compression::{Compression, EFFICIENCY};
use super::drill::{DrillSize, DrillSystem};
use super::energy::{EnergyUse, useful_power};
use super::feed::AirFeed;
use super::line::{AirLine, LineFlow};
use super::manifold::{Manifold, Running};
use super::orifice::Orifice;
use crate::air::{AIR_TEMPERATURE, AirFlow, AirState};
use crate::error::{Error, Input, Solve, range};
use crate::units::{
    AbsolutePressure, Power, Pressure, Ratio, ThermodynamicTemperature, base, degree_celsius,
    kelvin, kilopascal, ratio,
};

range!(INTAKE_LOSS, 0 to 20 "kPa", "Pressure losses of an intake filter.");
range!(AIR_TOLERANCE, 0.001 to 1, "Tolerances on the air of a lift.");

/// Rounds of outlet temperature and pressure; each leaves less than a tenth of the error.
pub(super) const ROUNDS: usize = 40;
/// Change of the outlet temperature that ends the rounds, K.
pub(super) const SETTLED_K: f64 = 1e-7;

/// How branches are balanced by fixed orifices.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balancing {
    /// Discharge coefficient and number of holes; the diameter is not read.
    pub hole: Orifice,
    /// What every orifice costs at least.
    pub least_loss: Pressure,
    /// Drills to make the holes with; none leaves them at their exact diameter.
    pub drills: Option<DrillSystem>,
    /// How far the air of a lift may be from its design.
    pub tolerance: Ratio,
}

/// Blowers of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Blowers {
    /// One of them.
    pub blower: Blower,
    /// How many run at once.
    pub running: u32,
    /// How many stand by.
    pub standby: u32,
}

/// An air side as it is to be built.
///
/// Temperatures of the lines are set by [`Plant::duty`] and [`Plant::operation`]: the main line at the mean of
/// discharge and arrival, header and branches at arrival. The discharge hangs on the pressure rise, and that on the
/// lines' losses at their temperature: both are found together.
///
/// # Examples
/// One built in plain Rust: see [`Supply`](super::Supply).
#[derive(Debug, Clone, PartialEq)]
pub struct Plant {
    /// Header, branches and risers.
    pub manifold: Manifold,
    /// Air that each lift is to have, in the header's order.
    pub design: Vec<AirFlow>,
    /// From the blower to the header.
    pub main: AirLine,
    /// State of the air outside.
    pub outside: AirState,
    /// What filter and silencer cost before the blower.
    pub intake_loss: Pressure,
    /// Temperature of the air when it reaches the header; none for that of the blower's outlet.
    pub arrival: Option<ThermodynamicTemperature>,
    /// How the branches are balanced; none for those that have valves or orifices already.
    pub balancing: Option<Balancing>,
    /// What is known of the blower's efficiency, where its table has no power at the wire.
    pub efficiency: Efficiency,
    /// Added to the pressure rise that is asked of a blower.
    pub rise_margin: Ratio,
    /// The blowers, where there is a table.
    pub blowers: Option<Blowers>,
}

/// What the air side asks of a blower.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct AirDuty {
    /// Header and risers with the orifices that balance them, exact, and temperatures set.
    pub manifold: Manifold,
    /// The main line, its temperature set.
    pub main: AirLine,
    /// Air of all lifts together: their design, or more where nothing balances them.
    pub air: AirFlow,
    /// Pressure where the air comes into the header.
    pub header_pressure: AbsolutePressure,
    /// The main line at work.
    pub main_flow: LineFlow,
    /// State of the air at the intake, behind the filter.
    pub intake: AirState,
    /// Pressure rise with all lifts running.
    pub running_rise: Pressure,
    /// Pressure rise that pushes the water out of the deepest branch's line, with no air flowing.
    pub startup_rise: Pressure,
    /// Temperature of the air at the discharge: by the efficiency, or by the power of the blower's table; the
    /// least possible when neither is known.
    pub discharge_temperature: ThermodynamicTemperature,
    /// Whether [`AirDuty::discharge_temperature`] supposes a blower without loss, for want of both.
    pub discharge_is_least: bool,
    /// Temperature of header and branches.
    pub arrival_temperature: ThermodynamicTemperature,
    /// The duty in the terms of a blower's data sheet, at the larger rise with its margin.
    pub specification: Specification,
}

impl AirDuty {
    /// The larger of running and start-up rise.
    #[must_use]
    pub fn rise(&self) -> Pressure {
        if self.startup_rise > self.running_rise {
            self.startup_rise
        } else {
            self.running_rise
        }
    }
}

/// Orifices rounded to drills.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Drilled {
    /// The same lifts with the drilled orifices.
    pub manifold: Manifold,
    /// The drill of each branch; none where it is closed or has no orifice.
    pub drills: Vec<Option<&'static DrillSize>>,
    /// The lifts at the design's header pressure.
    pub running: Running,
    /// Air of each lift over its design.
    pub shares: Vec<Ratio>,
}

impl Plant {
    /// What a blower must give: the branches balanced, the header's pressure, the main line, start-up.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for what is outside its range, and as [`Header::balanced`](super::Header::balanced),
    /// [`AirLine::inlet`] and [`Requirement::specification`].
    pub fn duty(&self) -> Result<AirDuty, Error> {
        INTAKE_LOSS.check(Input::IntakeLoss, self.intake_loss.get::<kilopascal>())?;
        if self.design.len() != self.manifold.risers().len() {
            return Err(Error::RiserMissing {
                branches: self.design.len(),
                risers: self.manifold.risers().len(),
            });
        }
        let intake = AirState {
            pressure: self.outside.pressure + -self.intake_loss,
            ..self.outside
        };
        let water = self.manifold.water_running(&self.design)?;
        let by = |table: Option<&Blowers>| {
            Self::warmed(intake.temperature, |outlet| {
                let duty = self.duty_at(outlet, (intake, table), &water)?;
                Ok((duty.discharge_temperature, duty))
            })
        };
        match by(self.blowers.as_ref()) {
            // Air as hot as the table's power makes it needs a rise that the table does not reach: it says nothing
            // of this duty.
            Err(Error::NotConverged {
                what: Solve::OutletTemperature,
                ..
            }) => by(None),
            duty => duty,
        }
    }

    /// What is found at the outlet temperature that it leads to itself.
    pub(super) fn warmed<T>(
        first: ThermodynamicTemperature,
        mut at: impl FnMut(ThermodynamicTemperature) -> Result<(ThermodynamicTemperature, T), Error>,
    ) -> Result<T, Error> {
        let (mut outlet, mut moved) = (first, f64::INFINITY);
        for _ in 0..ROUNDS {
            let (next, found) = at(outlet)?;
            moved = next.get::<kelvin>() - outlet.get::<kelvin>();
            if moved.abs() <= SETTLED_K {
                return Ok(found);
            }
            outlet = next;
        }
        Err(Error::NotConverged {
            what: Solve::OutletTemperature,
            iterations: ROUNDS,
            residual: moved,
            low: outlet.get::<kelvin>() - moved.abs(),
            high: outlet.get::<kelvin>() + moved.abs(),
        })
    }

    /// Some lifts and the main line with air that leaves the blower at a temperature.
    pub(super) fn with_outlet(
        &self,
        outlet: ThermodynamicTemperature,
        manifold: &Manifold,
    ) -> Result<(Manifold, AirLine), Error> {
        let arrival = self.arrival.unwrap_or(outlet);
        let mean = f64::midpoint(outlet.get::<kelvin>(), arrival.get::<kelvin>());
        let mean: ThermodynamicTemperature = base(mean);
        if mean.get::<degree_celsius>() > AIR_TEMPERATURE.max {
            return Err(Error::OutletTooHot {
                temperature: outlet,
                range: AIR_TEMPERATURE,
            });
        }
        let mut header = manifold.header().clone();
        header.pipe.temperature = arrival;
        for branch in &mut header.branches {
            branch.line.temperature = arrival;
        }
        let main = self.main.with_temperature(mean);
        Ok((manifold.with_header(header)?, main))
    }

    fn duty_at(
        &self,
        outlet: ThermodynamicTemperature,
        (intake, table): (AirState, Option<&Blowers>),
        water: &[AbsolutePressure],
    ) -> Result<AirDuty, Error> {
        let (warm, main) = self.with_outlet(outlet, &self.manifold)?;
        let mut air = AirFlow::from_dry_mass(base(self.open_air()))?;
        let (manifold, header_pressure) = if let Some(balancing) = &self.balancing {
            let Balanced {
                header, pressure, ..
            } = warm.header().balanced(
                &self.design,
                water,
                balancing.hole,
                balancing.least_loss,
            )?;
            (warm.with_header(header)?, pressure)
        } else {
            // Nothing holds back the lifts that stand in less water: they take more than their design.
            let pressure = warm.header().pressure_for(&self.design, water)?;
            let feed = AirFeed::Pressure(pressure);
            air = warm.run_on(&feed, &self.design)?.split.air;
            (warm, pressure)
        };
        let startup = manifold
            .startup_pressure()
            .map_or(base(0.0), |deepest| deepest - intake.pressure);
        let main_flow = main.inlet(air, header_pressure)?;
        let running = main_flow.inlet - intake.pressure;
        let curve = table.map(|of| of.blower.at(&intake)).transpose()?;
        let (discharge, least) = self.discharge(air, &intake, running, curve.as_ref())?;
        let requirement = Requirement {
            air,
            intake,
            pressure_rise: if startup > running { startup } else { running },
            margin: self.rise_margin,
            efficiency: self.efficiency,
        };
        Ok(AirDuty {
            manifold,
            main,
            air,
            header_pressure,
            main_flow,
            intake,
            running_rise: running,
            startup_rise: startup,
            discharge_temperature: discharge,
            discharge_is_least: least,
            arrival_temperature: self.arrival.unwrap_or(outlet),
            specification: requirement.specification()?,
        })
    }

    /// The orifices of a duty rounded to drills; none when nothing is balanced or rounded.
    ///
    /// # Errors
    /// As [`DrillSize::nearest`] and [`Manifold::run`].
    pub fn drilled(&self, duty: &AirDuty) -> Result<Option<Drilled>, Error> {
        let Some(system) = self.balancing.and_then(|balancing| balancing.drills) else {
            return Ok(None);
        };
        let mut header = duty.manifold.header().clone();
        let mut drills = Vec::with_capacity(header.branches.len());
        for branch in &mut header.branches {
            let drill = match &mut branch.orifice {
                Some(orifice) if branch.open => {
                    let drill = DrillSize::nearest(orifice.diameter, system)?;
                    orifice.diameter = drill.diameter;
                    Some(drill)
                }
                _ => None,
            };
            drills.push(drill);
        }
        let manifold = duty.manifold.with_header(header)?;
        let feed = AirFeed::Pressure(duty.header_pressure);
        let running = manifold.run_on(&feed, &self.design)?;
        let shares = self.shares(&running);
        Ok(Some(Drilled {
            manifold,
            drills,
            running,
            shares,
        }))
    }

    /// What running without pause takes, from a power at the wire.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`WIRE_POWER`](super::WIRE_POWER).
    pub fn energy(&self, wire_power: Power, running: &Running) -> Result<EnergyUse, Error> {
        let (mut ideal, mut useful) = (Power::default(), Power::default());
        for (riser, outcome) in self.manifold.risers().iter().zip(&running.lifts) {
            if let Some(point) = outcome.point() {
                ideal += point.injection_power;
                let density = base(riser.site().water.si().rho);
                useful += useful_power(density, point.water_flow, riser.useful_lift());
            }
        }
        let energy = EnergyUse {
            wire_power,
            ideal_power: ideal,
            useful_power: useful,
            water_flow: running.water_flow(),
        };
        energy.check()?;
        Ok(energy)
    }

    /// Air of each lift over its design; nothing over nothing counts as all.
    #[must_use]
    pub fn shares(&self, running: &Running) -> Vec<Ratio> {
        let pairs = running.split.branches.iter().zip(&self.design);
        pairs
            .map(|(branch, design)| {
                if design.kg_per_s() > 0.0 {
                    branch.air.dry_mass_rate() / design.dry_mass_rate()
                } else {
                    base(1.0)
                }
            })
            .collect()
    }

    /// Places of the lifts that are alike, riser and design air, each kind in the header's order.
    #[must_use]
    pub fn kinds(&self) -> Vec<Vec<usize>> {
        let risers = self.manifold.risers();
        // Risers hold numbers that are none, so they are not compared themselves.
        let alike = |a: usize, b: usize| {
            let (one, other) = (&risers[a], &risers[b]);
            self.design[a] == self.design[b]
                && one.spec() == other.spec()
                && one.site() == other.site()
                && one.model() == other.model()
        };
        let mut kinds: Vec<Vec<usize>> = Vec::new();
        for n in 0..risers.len().min(self.design.len()) {
            match kinds.iter_mut().find(|kind| alike(kind[0], n)) {
                Some(kind) => kind.push(n),
                None => kinds.push(vec![n]),
            }
        }
        kinds
    }

    /// Design air of all open branches, kg/s.
    fn open_air(&self) -> f64 {
        let pairs = self.manifold.header().branches.iter().zip(&self.design);
        pairs
            .filter(|(branch, _)| branch.open)
            .map(|(_, air)| air.kg_per_s())
            .sum()
    }

    /// Temperature at the discharge at a pressure rise, and whether that is only the least possible; the curve is
    /// that of the blowers, where they have one.
    pub(super) fn discharge(
        &self,
        air: AirFlow,
        intake: &AirState,
        rise: Pressure,
        curve: Option<&SiteCurve>,
    ) -> Result<(ThermodynamicTemperature, bool), Error> {
        let compression = Compression::new(air, intake, rise)?;
        let (efficiency, least) = match self.efficiency {
            Efficiency::Unknown => match table_efficiency(curve, intake, rise)? {
                Some(efficiency) => (efficiency, false),
                None => (base(1.0), true),
            },
            Efficiency::Shaft(shaft) | Efficiency::ShaftAndMotor { shaft, .. } => (shaft, false),
            Efficiency::WireToAir(all) => (all, false),
        };
        Ok((compression.discharge_temperature(efficiency)?, least))
    }
}

/// Efficiency of a blower by the power of its own table at a rise, with the motor's loss in it where the
/// table has power at the wire; none without such a table, or where the table does not reach.
fn table_efficiency(
    curve: Option<&SiteCurve>,
    intake: &AirState,
    rise: Pressure,
) -> Result<Option<Ratio>, Error> {
    let Some(curve) = curve else {
        return Ok(None);
    };
    let Ok(air) = curve.air_flow(rise) else {
        return Ok(None);
    };
    let Some(power) = curve.power(air)? else {
        return Ok(None);
    };
    let efficiency = Compression::new(air, intake, rise)?.adiabatic_power() / power;
    Ok(EFFICIENCY
        .contains(efficiency.get::<ratio>())
        .then_some(efficiency))
}
