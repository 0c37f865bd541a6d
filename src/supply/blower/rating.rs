//! A machine's table of performance, checked.

use std::sync::Arc;

use super::interpolant::Interpolant;
use super::site::SiteCurve;
use crate::air::{AirState, moist_air_density};
use crate::error::{BlowerError, Error, Input, range};
use crate::supply::PRESSURE_RISE;
use crate::supply::compression::check_intake;
use crate::units::{
    Power, Pressure, VolumeRate, cubic_meter_per_hour, cubic_meter_per_second, kilopascal, pascal,
    watt,
};

range!(INLET_FLOW, 0 to 100_000 "m3/h", "Volume flows at the inlet of a blower.");
range!(BLOWER_POWER, 0 to 1e7 "W", "Powers of a blower.");
/// Points that a table needs: two are a line, three or more a curve.
pub const FEWEST_POINTS: usize = 2;

/// Flows and pressures nearer than this part of the largest one are the same.
const SAME: f64 = 1e-6;

/// How a machine moves air, and so how it answers to thinner air and to speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Machine {
    /// By the speed of its wheel: side-channel (regenerative) and centrifugal blowers, fans.
    Dynamic,
    /// By shutting volumes in: rotary lobes, vanes, diaphragms, pistons.
    PositiveDisplacement,
}

/// Where a power was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum PowerKind {
    /// Mechanical, at the machine's shaft.
    Shaft,
    /// Electrical, taken from the mains.
    Wire,
}

/// One row of a table of performance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatedPoint {
    /// Pressure rise from intake to outlet.
    pub pressure_rise: Pressure,
    /// Volume flow at the intake, in the state there.
    pub inlet_flow: VolumeRate,
    /// Power, if the table has it.
    pub power: Option<Power>,
}

/// A table of performance at one speed, in any order of points.
///
/// The first point in order of flow is the shut-off if its flow is zero; otherwise nothing is known
/// below it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rating {
    /// The points, [`FEWEST_POINTS`] at least.
    pub points: Vec<RatedPoint>,
    /// State of the air at the intake that the table holds for.
    pub conditions: AirState,
    /// Kind of machine.
    pub machine: Machine,
    /// Where the powers were measured; needed if there are any.
    pub power_kind: Option<PowerKind>,
}

/// The curves of a table over inlet flow, plain SI.
#[derive(Debug, PartialEq)]
pub(super) struct Table {
    pub rise_pa: Interpolant,
    pub power_w: Option<Interpolant>,
}

/// A machine with its table, checked and made a curve.
///
/// Between the points pressure and power are monotone cubics over flow
/// ([Fritsch & Butland (1984)](crate::references::FRITSCH_BUTLAND_1984)): the curve has no bump that
/// the points do not have. Beyond them nothing is guessed.
#[derive(Debug, Clone, PartialEq)]
pub struct Blower {
    rating: Rating,
    table: Arc<Table>,
    /// Density at the rated conditions, kg/m³.
    rated_density: f64,
}

impl Blower {
    /// Checks a table.
    ///
    /// # Errors
    /// [`Error::Blower`] with the point to blame: a number outside
    /// [`PRESSURE_RISE`](crate::supply::PRESSURE_RISE), [`INLET_FLOW`] or [`BLOWER_POWER`], two points
    /// at one flow, a pressure that does not fall as the flow rises, powers that only some points
    /// have. [`Error::OutOfRange`] for conditions outside
    /// [`INTAKE_TEMPERATURE`](crate::supply::INTAKE_TEMPERATURE) or
    /// [`INTAKE_PRESSURE`](crate::supply::INTAKE_PRESSURE).
    ///
    /// # Examples
    /// See [`blower`](crate::supply::blower).
    pub fn new(rating: Rating) -> Result<Self, Error> {
        let conditions = &rating.conditions;
        let rated_density = density(conditions)?;
        let order = order(&rating.points).map_err(Error::Blower)?;
        let curve = |y: fn(&RatedPoint) -> f64| {
            let points = order.iter().map(|(_, point)| (m3_per_s(point), y(point)));
            Interpolant::new(&points.collect::<Vec<_>>())
        };
        let rise_pa = curve(|point| point.pressure_rise.get::<pascal>());
        let power_w = if has_power(&rating).map_err(Error::Blower)? {
            // Every point has one.
            Some(curve(|point| {
                point.power.map_or(f64::NAN, |p| p.get::<watt>())
            }))
        } else {
            None
        };
        let table = Arc::new(Table { rise_pa, power_w });
        Ok(Self {
            rating,
            table,
            rated_density,
        })
    }

    /// The table as given.
    #[must_use]
    pub fn rating(&self) -> &Rating {
        &self.rating
    }

    /// The same machine at the same speed in the air of a site.
    ///
    /// ```text
    /// dynamic                 Δp = Δp_r ρ/ρ_r    P = P_r ρ/ρ_r    at the same inlet volume flow
    /// positive displacement   Q = Q_r            P = P_r          at the same pressure rise
    /// ```
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | Δp, P, Q | pressure rise, power, inlet volume flow at the site | Pa, W, m³/s |
    /// | ρ | density of the moist air at the intake | kg/m³ |
    /// | subscript r | by the table | |
    ///
    /// # Validity
    /// Common practice, not a warranty of any machine. Power at the wire goes like that at the shaft
    /// only as far as the motor's efficiency stays. A dynamic machine in truth keeps its work per
    /// mass: at equal temperature that is the same as above, and 20 K away from the table's it differs
    /// by 5e-3 of the rise at 22 kPa. Leakage in a displacement machine grows as the air gets thinner,
    /// which is left out, so its flow is somewhat too high there.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`INTAKE_TEMPERATURE`](crate::supply::INTAKE_TEMPERATURE) or
    /// [`INTAKE_PRESSURE`](crate::supply::INTAKE_PRESSURE), [`Error::NotFinite`], those of the
    /// [`AirState`].
    ///
    /// # Examples
    /// See [`blower`](crate::supply::blower).
    ///
    /// # References
    /// [Process Heating, fan laws](crate::references::PROCESS_HEATING_FAN_LAWS), "for constant air
    /// delivery and fan speed"; the same in [ISO 5801](crate::references::ISO_5801), from memory.
    pub fn at(&self, intake: &AirState) -> Result<SiteCurve, Error> {
        let density_ratio = match self.rating.machine {
            Machine::Dynamic => density(intake)? / self.rated_density,
            Machine::PositiveDisplacement => density(intake).map(|_| 1.0)?,
        };
        SiteCurve::new(
            Arc::clone(&self.table),
            (self.rating.machine, self.rating.power_kind),
            density_ratio,
            intake,
        )
    }
}

/// Density of the air at an intake, kg/m³.
fn density(intake: &AirState) -> Result<f64, Error> {
    check_intake(intake)?;
    let density = moist_air_density(intake.temperature, intake.pressure, intake.humidity)?;
    Ok(density.value)
}

fn m3_per_s(point: &RatedPoint) -> f64 {
    point.inlet_flow.get::<cubic_meter_per_second>()
}

/// The points with their numbers, in order of flow, checked.
fn order(points: &[RatedPoint]) -> Result<Vec<(usize, RatedPoint)>, BlowerError> {
    if points.len() < FEWEST_POINTS {
        return Err(BlowerError::TooFewPoints {
            points: points.len(),
            needed: FEWEST_POINTS,
        });
    }
    for (i, point) in points.iter().enumerate() {
        check_point(i + 1, point)?;
    }
    let mut order: Vec<_> = points.iter().copied().enumerate().collect();
    for (number, _) in &mut order {
        *number += 1;
    }
    order.sort_by(|(_, a), (_, b)| m3_per_s(a).total_cmp(&m3_per_s(b)));
    let rises = order.iter().map(|(_, point)| point.pressure_rise);
    let highest = rises.fold(Pressure::default(), |a, b| if b > a { b } else { a });
    let largest = order.last().map_or(0.0, |(_, point)| m3_per_s(point));
    for pair in order.windows(2) {
        let [(before, low), (point, high)] = [pair[0], pair[1]];
        // Negated, so that flows of zero alone are the same too.
        let apart = m3_per_s(&high) - m3_per_s(&low) > SAME * largest;
        if !apart {
            return Err(BlowerError::SameFlow {
                point: before.max(point),
                first: before.min(point),
                flow: low.inlet_flow,
            });
        }
        let falls = low.pressure_rise - high.pressure_rise > highest * SAME;
        if !falls {
            return Err(BlowerError::RiseNotFalling {
                point,
                rise: high.pressure_rise,
                before,
                rise_before: low.pressure_rise,
            });
        }
    }
    Ok(order)
}

fn check_point(point: usize, rated: &RatedPoint) -> Result<(), BlowerError> {
    let rise = rated.pressure_rise.get::<kilopascal>();
    let flow = rated.inlet_flow.get::<cubic_meter_per_hour>();
    let power = rated.power.map_or(0.0, |power| power.get::<watt>());
    for (what, range, value) in [
        (Input::PressureRise, PRESSURE_RISE, rise),
        (Input::InletFlow, INLET_FLOW, flow),
        (Input::BlowerPower, BLOWER_POWER, power),
    ] {
        if !value.is_finite() {
            return Err(BlowerError::PointNotFinite { point, what });
        }
        if !range.contains(value) {
            return Err(BlowerError::PointOutOfRange {
                point,
                what,
                value,
                range,
            });
        }
    }
    Ok(())
}

/// Whether all points have a power, or none has.
fn has_power(rating: &Rating) -> Result<bool, BlowerError> {
    let points = &rating.points;
    let without = points.iter().position(|point| point.power.is_none());
    match without {
        None if rating.power_kind.is_none() => Err(BlowerError::MissingPowerKind),
        None => Ok(true),
        Some(_) if points.iter().all(|point| point.power.is_none()) => Ok(false),
        Some(i) => Err(BlowerError::MissingPower { point: i + 1 }),
    }
}
