//! The air stops, and with it the water: how long the oxygen of a tank lasts.

use super::day::Day;
use super::plain::{CO2, G_H, G_M3, HOUR, M3_H, O2, TAN};
use super::tank::GIVEN_RATE;
use super::{SURFACE_EXCHANGE, Solutes};
use crate::error::{Error, Input};
use crate::gas::DISSOLVED;
use crate::need::TANK_VOLUME;
use crate::units::{
    MassConcentration, MassRate, Ratio, Time, Volume, VolumeRate, base, cubic_meter,
    cubic_meter_per_hour, gram_per_hour, milligram_per_liter,
};

/// How long oxygen lasts above a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lasts {
    /// It is at the level or below it already.
    Not,
    /// So long.
    For(Time),
    /// The surface brings enough.
    Always,
}

impl Lasts {
    /// As a number that sorts: seconds, none as 0, always as infinity.
    #[must_use]
    pub fn seconds(self) -> f64 {
        match self {
            Self::Not => 0.0,
            Self::For(time) => time.value,
            Self::Always => f64::INFINITY,
        }
    }
}

/// A tank that no water passes: its animals and its surface alone.
///
/// ```text
/// V dC/dt = −R + K_sV (C*_s − C)         R in proportion to C below C_crit, where that is given
/// ```
///
/// Symbols are those of [`recirculation`](crate::recirculation), formulas 6a and 6b.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirOff {
    /// V.
    pub volume: Volume,
    /// R, as it is when the air stops.
    pub uptake: MassRate,
    /// Oxygen when it stops.
    pub start: MassConcentration,
    /// K_sV and C*_s; none where nothing comes through the surface.
    pub surface: Option<(VolumeRate, MassConcentration)>,
    /// C_crit, below which animals take less; none where they take as much to the end, which is on the side of caution.
    pub critical: Option<MassConcentration>,
}

/// A way of the oxygen towards an end, or along a straight line.
#[derive(Debug, Clone, Copy)]
enum Course {
    /// Rate 1/h and end g/m³.
    Towards(f64, f64),
    /// g/m³ an hour.
    Straight(f64),
}

impl Course {
    /// V dC/dt = b − a C.
    fn of(a: f64, b: f64, volume: f64) -> Self {
        if a > 0.0 {
            Self::Towards(a / volume, b / a)
        } else {
            Self::Straight(b / volume)
        }
    }

    fn after(self, start: f64, hours: f64) -> f64 {
        match self {
            Self::Towards(rate, end) => end + (start - end) * (-rate * hours).exp(),
            Self::Straight(slope) => start + slope * hours,
        }
    }

    /// Hours down to a level below the start.
    fn until(self, start: f64, level: f64) -> f64 {
        match self {
            Self::Towards(_, end) if end >= level => f64::INFINITY,
            Self::Towards(rate, end) => ((start - level) / (level - end)).ln_1p() / rate,
            Self::Straight(slope) if slope >= 0.0 => f64::INFINITY,
            Self::Straight(slope) => (level - start) / slope,
        }
    }
}

impl AirOff {
    /// How long the oxygen stays above a level.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`TANK_VOLUME`], [`GIVEN_RATE`], [`DISSOLVED`] or [`SURFACE_EXCHANGE`],
    /// [`Error::NotFinite`].
    ///
    /// # Examples
    /// ```
    /// use risewater::recirculation::{AirOff, Lasts};
    /// use risewater::units::*;
    ///
    /// let mg_l = MassConcentration::new::<milligram_per_liter>;
    /// let off = AirOff {
    ///     volume: Volume::new::<cubic_meter>(40.0),
    ///     uptake: MassRate::new::<gram_per_hour>(50.0),
    ///     start: mg_l(6.0),
    ///     surface: None,
    ///     critical: None,
    /// };
    /// // 40 m³ × 3 g/m³ over 50 g/h
    /// let Lasts::For(time) = off.until(mg_l(3.0))? else { panic!("it falls") };
    /// assert_eq!(format!("{:.0}", time.get::<minute>()), "144");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn until(&self, level: MassConcentration) -> Result<Lasts, Error> {
        let level = DISSOLVED.check(Input::Oxygen, level.get::<milligram_per_liter>())?;
        let (start, [above, below]) = self.plain()?;
        if start <= level {
            return Ok(Lasts::Not);
        }
        let critical = self.critical.map_or(0.0, |c| c.value / G_M3);
        let turn = level.max(critical);
        let first = if start > turn {
            above.until(start, turn)
        } else {
            0.0
        };
        let second = if level < turn {
            below.until(start.min(turn), level)
        } else {
            0.0
        };
        let hours = first + second;
        Ok(if hours.is_finite() {
            Lasts::For(base(hours * HOUR))
        } else {
            Lasts::Always
        })
    }

    /// The oxygen so long after; where C_crit is not given, below zero when it has run out.
    ///
    /// # Errors
    /// As [`AirOff::until`].
    pub fn after(&self, time: Time) -> Result<MassConcentration, Error> {
        let (start, [above, below]) = self.plain()?;
        let hours = time.value / HOUR;
        let critical = self.critical.map_or(f64::NEG_INFINITY, |c| c.value / G_M3);
        let first = if start > critical {
            above.until(start, critical.max(f64::MIN))
        } else {
            0.0
        };
        let first = if critical.is_finite() {
            first
        } else {
            f64::INFINITY
        };
        let c = if hours <= first {
            above.after(start, hours)
        } else {
            below.after(start.min(critical), hours - first)
        };
        Ok(super::plain::concentration(c))
    }

    /// Start, and the ways above and below the critical oxygen.
    fn plain(&self) -> Result<(f64, [Course; 2]), Error> {
        let volume = TANK_VOLUME.check(Input::TankVolume, self.volume.get::<cubic_meter>())?;
        let uptake = GIVEN_RATE.check(Input::TankUptake, self.uptake.get::<gram_per_hour>())?;
        let start = DISSOLVED.check(Input::Oxygen, self.start.get::<milligram_per_liter>())?;
        let (mut k, mut brought) = (0.0, 0.0);
        if let Some((exchange, equilibrium)) = self.surface {
            k = exchange.get::<cubic_meter_per_hour>();
            SURFACE_EXCHANGE.check(Input::SurfaceExchange, k)?;
            let c = equilibrium.get::<milligram_per_liter>();
            brought = k * DISSOLVED.check(Input::Oxygen, c)?;
        }
        let above = Course::of(k, brought - uptake, volume);
        let below = match self.critical {
            Some(critical) => {
                let c = critical.get::<milligram_per_liter>();
                crate::need::LIMIT.check(Input::CriticalOxygen, c)?;
                Course::of(k + uptake / c, brought, volume)
            }
            None => above,
        };
        Ok((start, [above, below]))
    }
}

/// Time from a concentration to another, on the way to an end with a time constant; none where the end does not lie
/// beyond.
///
/// ```text
/// t = τ ln((C_e − C₀)/(C_e − C))
/// ```
///
/// For a tank alone in its loop τ is V/(Q E + Q_m + K_sV).
#[must_use]
pub fn return_time(
    time_constant: Time,
    start: MassConcentration,
    level: MassConcentration,
    end: MassConcentration,
) -> Option<Time> {
    let share: Ratio = (end - start) / (end - level);
    let beyond = share.value.is_finite() && share.value >= 1.0;
    beyond.then(|| time_constant * share.value.ln())
}

/// A tank's oxygen when the air stops at the worst moment of the day.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AirStop {
    /// The tank, counted from 0.
    pub tank: usize,
    /// The level.
    pub level: MassConcentration,
    /// The moment from which it lasts least, since midnight.
    pub from: Time,
    /// The tank then, its uptake as it was then.
    pub off: AirOff,
    /// How long it lasts.
    pub lasts: Lasts,
    /// What the tank holds then.
    pub holds: Solutes,
    /// Carbon dioxide that comes each hour, by the animals alone.
    pub carbon_dioxide_an_hour: MassConcentration,
    /// Ammonia that comes each hour.
    pub tan_an_hour: MassConcentration,
}

impl Day {
    /// How long each tank's oxygen stays above a level when air and water stop, from the moment of the day from which
    /// it is shortest; the level is the tank's own limit where none is given, and tanks without one are left out.
    ///
    /// The uptake stays as it is at that moment; other aerators stop with the lifts, the open surface does not.
    ///
    /// # Errors
    /// As [`AirOff::until`].
    pub fn air_stops(
        &self,
        level: Option<MassConcentration>,
        critical: Option<MassConcentration>,
    ) -> Result<Vec<AirStop>, Error> {
        let mut all = Vec::new();
        for (n, tank) in self.tanks.iter().enumerate() {
            let Some(level) = level.or(self.steady.tanks[n].oxygen_limit) else {
                continue;
            };
            let plain = &self.course.plain.tanks[n];
            let mut worst: Option<AirStop> = None;
            let times = self
                .samples
                .iter()
                .map(|sample| (sample.time, sample.tanks[n], sample.uptake[n]));
            // The samples have the moments before and behind each jump, and the least oxygen lies between two of them.
            let near = self.uptake_at(n, tank.least_oxygen.at);
            let least = Solutes {
                gases: crate::gas::Dissolved {
                    oxygen: tank.least_oxygen.value,
                    ..self.at(tank.least_oxygen.at)?[n].gases
                },
                ..self.at(tank.least_oxygen.at)?[n]
            };
            for (at, holds, uptake) in times.chain([(tank.least_oxygen.at, least, near)]) {
                let k = plain.surface.k[O2];
                let surface = (k > 0.0).then(|| {
                    let equilibrium = plain.surface.brought[O2] / k;
                    (base(k * M3_H), super::plain::concentration(equilibrium))
                });
                let off = AirOff {
                    volume: base(plain.volume),
                    uptake,
                    start: if holds.gases.oxygen.value > 0.0 {
                        holds.gases.oxygen
                    } else {
                        base(0.0)
                    },
                    surface,
                    critical,
                };
                let lasts = off.until(level)?;
                if worst.is_some_and(|worst| worst.lasts.seconds() <= lasts.seconds()) {
                    continue;
                }
                let t = at.value / HOUR;
                let given = self
                    .course
                    .plain
                    .given_by_animals(n, self.course.activity(n, t, t));
                let hourly = |i: usize| super::plain::concentration(given[i] / plain.volume);
                worst = Some(AirStop {
                    tank: n,
                    level,
                    from: at,
                    off,
                    lasts,
                    holds,
                    carbon_dioxide_an_hour: hourly(CO2),
                    tan_an_hour: hourly(TAN),
                });
            }
            all.extend(worst);
        }
        Ok(all)
    }

    /// The larger uptake of the two sides of a moment.
    fn uptake_at(&self, tank: usize, at: Time) -> MassRate {
        let t = at.value / HOUR;
        let side = |apart: f64| {
            let activity = self.course.activity(tank, t, t + apart);
            -self.course.plain.given_by_animals(tank, activity)[O2]
        };
        base(side(1e-6).max(side(-1e-6)) * G_H)
    }
}
