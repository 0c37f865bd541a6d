//! What the blowers at hand do with a plant's lifts.

use super::blower::{Efficiency, PowerKind, Requirement, SiteCurve};
use super::feed::{AirFeed, Bleed};
use super::line::AirLine;
use super::manifold::{Manifold, Running};
use super::orifice::Orifice;
use super::plant::{AirDuty, Plant};
use crate::air::AirFlow;
use crate::error::{BlowerError, Error};
use crate::units::{Power, Pressure, Ratio, ThermodynamicTemperature, base, ratio};

/// A plant with its blowers.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Operation {
    /// Curve of all running blowers together.
    pub curve: SiteCurve,
    /// The lifts with their lines as warm as they run: as in the design where a surplus is bled, or else as the
    /// blower warms them at the rise that it gives.
    pub manifold: Manifold,
    /// The main line, likewise.
    pub main: AirLine,
    /// Temperature at the blower's outlet as it runs, as [`AirDuty::discharge_temperature`].
    pub outlet_temperature: ThermodynamicTemperature,
    /// Whether it supposes a blower without loss.
    pub outlet_is_least: bool,
    /// The lifts with nothing bled: the blower's curve meets the system's.
    pub unbled: Running,
    /// Pressure rise there.
    pub unbled_rise: Pressure,
    /// Air to bleed at the blower so that the lifts have their design; none when there is no surplus.
    pub surplus: Option<AirFlow>,
    /// Air that is missing at the design's pressure; none when it is reached.
    pub shortfall: Option<AirFlow>,
    /// Speed, over that of the table, that gives the design without bleeding; none when no speed does.
    pub speed: Option<Ratio>,
    /// Power of all running blowers at the wire: with the surplus bled, or what there is without one.
    pub wire_power: Option<Power>,
    /// What one blower less leaves, with no standby; none when nothing is left.
    pub one_less: Option<Running>,
}

/// Lifts on a blower's curve.
struct OnCurve {
    running: Running,
    rise: Pressure,
    /// Temperature at the outlet, and whether that is the least possible.
    outlet: (ThermodynamicTemperature, bool),
    lifts: Manifold,
    main: AirLine,
}

impl Plant {
    /// What the blowers do with some lifts that run, their lines as warm as in the duty; none without a table.
    ///
    /// # Errors
    /// [`Error::BlowerTooWeak`], [`Error::BeyondBlower`], [`Error::BelowBlower`], and as [`Blower::at`](super::blower::Blower::at) and
    /// [`Manifold::run`].
    pub fn operation(
        &self,
        duty: &AirDuty,
        manifold: &Manifold,
    ) -> Result<Option<Operation>, Error> {
        let Some(blowers) = &self.blowers else {
            return Ok(None);
        };
        let one = blowers.blower.at(&duty.intake)?;
        let curve = one.in_parallel(blowers.running)?;
        let given = curve.air_flow(duty.running_rise);
        let difference = match &given {
            Ok(given) => given.kg_per_s() - duty.air.kg_per_s(),
            // At more than the blower's highest rise all of the air is missing.
            Err(Error::Blower(BlowerError::AboveHighestRise { .. })) => -duty.air.kg_per_s(),
            Err(_) => f64::NAN,
        };
        let flow = |kg_per_s: f64| (kg_per_s > 0.0).then(|| AirFlow::from_kg_per_s(kg_per_s));
        let (surplus, shortfall) = (flow(difference), flow(-difference));
        let own = if surplus.is_some() {
            let outlet = duty.discharge_temperature;
            let (_, own) = self.on_curve(&curve, outlet, duty, manifold)?;
            OnCurve {
                outlet: (outlet, duty.discharge_is_least),
                ..own
            }
        } else {
            Self::warmed(duty.discharge_temperature, |outlet| {
                self.on_curve(&curve, outlet, duty, manifold)
            })?
        };
        let OnCurve {
            running: unbled,
            rise: unbled_rise,
            outlet,
            lifts,
            main,
        } = own;
        let at = if surplus.is_some() {
            given?
        } else {
            unbled.split.air
        };
        let one_less = (blowers.running > 1)
            .then(|| {
                let curve = one.in_parallel(blowers.running - 1)?;
                let own = Self::warmed(outlet.0, |outlet| {
                    self.on_curve(&curve, outlet, duty, manifold)
                });
                own.map(|own| own.running)
            })
            .and_then(Result::ok);
        Ok(Some(Operation {
            unbled_rise,
            surplus,
            shortfall,
            speed: curve.speed_for(duty.air, duty.running_rise).ok(),
            wire_power: self.wire_power(&curve, at)?,
            one_less,
            curve,
            unbled,
            manifold: lifts,
            main,
            outlet_temperature: outlet.0,
            outlet_is_least: outlet.1,
        }))
    }

    /// Lifts on a curve with nothing bled, for air that leaves the blower at a temperature, and the temperature
    /// that it then leaves at.
    fn on_curve(
        &self,
        curve: &SiteCurve,
        outlet: ThermodynamicTemperature,
        duty: &AirDuty,
        manifold: &Manifold,
    ) -> Result<(ThermodynamicTemperature, OnCurve), Error> {
        let (lifts, main) = self.with_outlet(outlet, manifold)?;
        let feed = AirFeed::Blower {
            curve,
            main: &main,
            bleed: None,
        };
        let running = lifts.run_on(&feed, &self.design)?;
        let rise = curve.rise(running.split.air)?;
        let outlet = self.discharge(running.split.air, &duty.intake, rise)?;
        let own = OnCurve {
            running,
            rise,
            outlet,
            lifts,
            main,
        };
        Ok((outlet.0, own))
    }

    /// The vent at the blower that lets out the surplus of an operation; none when there is none.
    ///
    /// # Errors
    /// As [`Orifice::sized`].
    pub fn bleed(&self, duty: &AirDuty, operation: &Operation) -> Result<Option<Bleed>, Error> {
        let sized = |surplus: AirFlow| {
            let (temperature, outside) = (duty.discharge_temperature, self.outside.pressure);
            let orifice = Orifice::new(base(0.001)).sized(
                surplus,
                duty.main_flow.inlet,
                outside,
                temperature,
            )?;
            Ok(Bleed {
                orifice,
                temperature,
                outside,
            })
        };
        operation.surplus.map(sized).transpose()
    }

    /// Power at the wire of blowers at an air flow, as far as table and efficiency tell.
    fn wire_power(&self, curve: &SiteCurve, air: AirFlow) -> Result<Option<Power>, Error> {
        match (curve.power(air)?, curve.power_kind(), self.efficiency) {
            (Some(power), Some(PowerKind::Wire), _) => Ok(Some(power)),
            (Some(power), Some(PowerKind::Shaft), Efficiency::ShaftAndMotor { motor, .. }) => {
                Ok(Some(power / motor.get::<ratio>()))
            }
            (Some(_), Some(PowerKind::Shaft), _) => Ok(None),
            _ => {
                let specification = Requirement {
                    air,
                    intake: *curve.intake(),
                    pressure_rise: curve.rise(air)?,
                    margin: base(0.0),
                    efficiency: self.efficiency,
                }
                .specification()?;
                Ok(specification.wire_power)
            }
        }
    }
}
