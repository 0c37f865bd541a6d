//! What the blowers at hand do with a plant's lifts.

use super::blower::{Efficiency, PowerKind, Requirement, SiteCurve};
use super::feed::{AirFeed, Bleed};
use super::line::AirLine;
use super::manifold::{Manifold, Running};
use super::orifice::Orifice;
use super::plant::{AirDuty, Plant};
use crate::air::{AirFlow, AirState};
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

/// Lifts on a feed, with their lines as warm as its air makes them.
#[derive(Clone)]
pub(super) struct OnFeed {
    pub running: Running,
    /// From the intake to the blower's outlet.
    pub rise: Pressure,
    /// Temperature at the outlet, and whether that is the least possible.
    pub outlet: (ThermodynamicTemperature, bool),
    pub lifts: Manifold,
    pub main: AirLine,
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
        // With nothing bled.
        let on_curve = |curve: &SiteCurve, outlet| {
            let run = |lifts: &Manifold, main: &AirLine| {
                let bleed = None;
                lifts.run_on(&AirFeed::Blower { curve, main, bleed }, &self.design)
            };
            self.on_feed(outlet, (&duty.intake, Some(curve)), manifold, run)
        };
        let flow = |kg_per_s: f64| (kg_per_s > 0.0).then(|| AirFlow::from_kg_per_s(kg_per_s));
        let (surplus, shortfall) = (flow(difference), flow(-difference));
        let own = if surplus.is_some() {
            let outlet = duty.discharge_temperature;
            let (_, own) = on_curve(&curve, outlet)?;
            OnFeed {
                outlet: (outlet, duty.discharge_is_least),
                ..own
            }
        } else {
            Self::warmed(duty.discharge_temperature, |outlet| {
                on_curve(&curve, outlet)
            })?
        };
        let OnFeed {
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
                let own = Self::warmed(outlet.0, |outlet| on_curve(&curve, outlet));
                own.map(|own| own.running)
            })
            .and_then(Result::ok);
        Ok(Some(Operation {
            unbled_rise,
            surplus,
            shortfall,
            speed: curve.speed_for(duty.air, duty.running_rise).ok(),
            wire_power: self.wire_power(Some(&curve), (at, curve.rise(at)?), &duty.intake)?,
            one_less,
            curve,
            unbled,
            manifold: lifts,
            main,
            outlet_temperature: outlet.0,
            outlet_is_least: outlet.1,
        }))
    }

    /// Lifts that run on a feed, for air that leaves the blower at a temperature, and the temperature that it then
    /// leaves at; the curve is that of the blowers, where they have one.
    pub(super) fn on_feed(
        &self,
        outlet: ThermodynamicTemperature,
        (intake, curve): (&AirState, Option<&SiteCurve>),
        manifold: &Manifold,
        run: impl Fn(&Manifold, &AirLine) -> Result<Running, Error>,
    ) -> Result<(ThermodynamicTemperature, OnFeed), Error> {
        let (lifts, main) = self.with_outlet(outlet, manifold)?;
        let running = run(&lifts, &main)?;
        let air = running.split.air;
        let rise = main.inlet(air, running.split.pressure)?.inlet - intake.pressure;
        let outlet = self.discharge(air, intake, rise, curve)?;
        let own = OnFeed {
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

    /// Power at the wire of what blows an air flow at a rise, as far as table and efficiency tell.
    pub(super) fn wire_power(
        &self,
        curve: Option<&SiteCurve>,
        (air, pressure_rise): (AirFlow, Pressure),
        intake: &AirState,
    ) -> Result<Option<Power>, Error> {
        let table = match curve {
            Some(curve) => curve.power(air)?.zip(curve.power_kind()),
            None => None,
        };
        match (table, self.efficiency) {
            (Some((power, PowerKind::Wire)), _) => Ok(Some(power)),
            (Some((power, PowerKind::Shaft)), Efficiency::ShaftAndMotor { motor, .. }) => {
                Ok(Some(power / motor.get::<ratio>()))
            }
            (Some((_, PowerKind::Shaft)), _) => Ok(None),
            (None, efficiency) => {
                let specification = Requirement {
                    air,
                    intake: *intake,
                    pressure_rise,
                    margin: base(0.0),
                    efficiency,
                }
                .specification()?;
                Ok(specification.wire_power)
            }
        }
    }
}
