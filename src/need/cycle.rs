//! A cycle of production, day by day.

pub use jiff::civil::Date;

use super::balance::Need;
use super::gases::Gases;
use super::load::Feed;
use super::tank::{Tank, TankWater};
use crate::error::{Error, Input, NeedError, range};
use crate::units::{
    Mass, MassRate, Ratio, ThermodynamicTemperature, Volume, VolumeRate, base, kelvin,
};

range!(CYCLE_DAYS, 1 to 36_525 "d", "Days of a [`Cycle`], first and last included.");

/// What is known of a day. What is none is as in the cycle's tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CycleRow {
    /// The day.
    pub date: Date,
    /// Mass of the animals.
    pub biomass: Mass,
    /// Their feed.
    pub feed: Feed,
    /// Temperature of the water.
    pub temperature: ThermodynamicTemperature,
    /// Protein of the feed.
    pub protein: Option<Ratio>,
    /// pH.
    pub ph: Option<Ratio>,
    /// Salinity of the water.
    pub salinity: Option<Ratio>,
    /// Volume of the tank's water.
    pub volume: Option<Volume>,
}

impl CycleRow {
    /// A day with nothing else than what every row has.
    #[must_use]
    pub fn new(
        date: Date,
        biomass: Mass,
        feed: Feed,
        temperature: ThermodynamicTemperature,
    ) -> Self {
        Self {
            date,
            biomass,
            feed,
            temperature,
            protein: None,
            ph: None,
            salinity: None,
            volume: None,
        }
    }

    /// The tank on that day.
    ///
    /// # Examples
    /// See [`Cycle`].
    #[must_use]
    pub fn tank(&self, tank: &Tank) -> Tank {
        let mut tank = *tank;
        tank.animals.biomass = self.biomass;
        tank.animals.feed = self.feed;
        tank.water.temperature = self.temperature;
        tank.animals.protein = self.protein.unwrap_or(tank.animals.protein);
        tank.water.ph = self.ph.unwrap_or(tank.water.ph);
        tank.water.salinity = self.salinity.unwrap_or(tank.water.salinity);
        tank.volume = self.volume.or(tank.volume);
        tank
    }
}

/// A crop from day to day: rows in the order of their dates, and the tank that they change.
///
/// Between two rows everything goes in a straight line by day: mass of the animals, feed (its share where both
/// rows give that, or else its mass), temperature, protein, pH, salinity and volume. So a harvest is two rows on two days,
/// one before and one after, or the animals would go bit by bit from the row before.
///
/// # Examples
/// ```
/// use risewater::need::{Animals, Cycle, CycleRow, Date, Feed, Gases, Limits, Tank, TankWater};
/// use risewater::units::*;
///
/// let row = |date: Date, kg: f64, celsius: f64| CycleRow::new(
///     date,
///     Mass::new::<kilogram>(kg),
///     Feed::Share(Frequency::new::<per_day>(0.02)),
///     ThermodynamicTemperature::new::<degree_celsius>(celsius),
/// );
/// let tank = Tank::new(
///     Animals {
///         biomass: Mass::new::<kilogram>(0.0),
///         feed: Feed::Share(Frequency::new::<per_day>(0.0)),
///         protein: Ratio::new::<percent>(42.0),
///     },
///     TankWater {
///         temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
///         salinity: Ratio::new::<per_mille>(0.0),
///         atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
///         ph: Ratio::new::<ratio>(7.0),
///     },
///     Limits::WARM_WATER,
/// );
/// let days = [row(Date::constant(2026, 3, 1), 100.0, 18.0), row(Date::constant(2026, 3, 11), 200.0, 24.0)];
/// // The same gases each day: in earnest, a function of the day's water.
/// let mg_l = MassConcentration::new::<milligram_per_liter>;
/// let gases = |_: &TankWater| Ok(Gases {
///     oxygen_saturation: mg_l(8.4),
///     carbon_dioxide_of_air: mg_l(0.6),
///     ammonia_fraction: Some(Ratio::new::<ratio>(0.005)),
/// });
/// let needs = Cycle::new(tank, &days)?.needs(gases)?;
/// assert_eq!(needs.days.len(), 11);
/// // The third day: 100 kg + 2/10 of 100 kg.
/// assert_eq!(format!("{:.1}", needs.days[2].biomass.get::<kilogram>()), "120.0");
/// assert_eq!(needs.peak().map(|peak| peak.date), Some(Date::constant(2026, 3, 11)));
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// The tank on the day of each row.
    rows: Vec<(Date, Tank)>,
}

/// The need of one day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayNeed {
    /// The day.
    pub date: Date,
    /// Mass of the animals.
    pub biomass: Mass,
    /// Their feed.
    pub feed: MassRate,
    /// Temperature of the water.
    pub temperature: ThermodynamicTemperature,
    /// Volume of the tank's water.
    pub volume: Option<Volume>,
    /// What they need.
    pub need: Need,
}

/// The needs of a cycle.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct CycleNeed {
    /// Day by day, first and last included.
    pub days: Vec<DayNeed>,
}

impl Cycle {
    /// A cycle of a tank whose animals, feed and water are those of the rows.
    ///
    /// # Errors
    /// [`NeedError::EmptyCycle`]; [`NeedError::DateNotLater`]; [`NeedError::InRow`] with what
    /// [`Tank::need`] refuses whatever the gases; [`Error::OutOfRange`] of [`CYCLE_DAYS`].
    ///
    /// # Examples
    /// See [`Cycle`].
    pub fn new(tank: Tank, rows: &[CycleRow]) -> Result<Self, Error> {
        let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
            return Err(Error::Need(NeedError::EmptyCycle));
        };
        for (number, pair) in (2..).zip(rows.windows(2)) {
            if let [before, row] = pair {
                follows(number, before.date, row.date)?;
            }
        }
        let days = days_between(first.date, last.date) + 1;
        CYCLE_DAYS.check(Input::CycleDays, f64::from(days))?;
        let numbered = (1..).zip(rows);
        let rows =
            numbered.map(|(number, row)| of_row(&tank, row).map_err(|error| in_row(number, error)));
        Ok(Self {
            rows: rows.collect::<Result<_, _>>()?,
        })
    }

    /// The need of every day; each day's water to its gases by a function.
    ///
    /// # Errors
    /// [`NeedError::InRow`], or [`NeedError::OnDay`] for a day between two rows, with what the function or
    /// [`Tank::need`] refuses.
    ///
    /// # Examples
    /// See [`Cycle`].
    pub fn needs(
        &self,
        gases: impl Fn(&TankWater) -> Result<Gases, Error>,
    ) -> Result<CycleNeed, Error> {
        let mut days = Vec::new();
        for (row, pair) in (1..).zip(self.rows.windows(2)) {
            if let [(from, before), (to, after)] = pair {
                let span = days_between(*from, *to);
                let mut date = *from;
                for day in 0..span {
                    let part = f64::from(day) / f64::from(span);
                    let need = need_of(date, &between(before, after, part), &gases);
                    days.push(need.map_err(|error| match day {
                        0 => in_row(row, error),
                        _ => on_day(date, error),
                    })?);
                    // No date of a cycle is the last that there is, but for its last.
                    date = date.tomorrow().unwrap_or(*to);
                }
            }
        }
        if let Some((date, tank)) = self.rows.last() {
            let need = need_of(*date, tank, &gases);
            days.push(need.map_err(|error| in_row(self.rows.len(), error))?);
        }
        Ok(CycleNeed { days })
    }
}

impl CycleNeed {
    /// The day of the largest need, the first of equals.
    #[must_use]
    pub fn peak(&self) -> Option<&DayNeed> {
        self.days.iter().reduce(|first, next| {
            if next.need.flow() > first.need.flow() {
                next
            } else {
                first
            }
        })
    }

    /// The flow of every day.
    pub fn flows(&self) -> impl Iterator<Item = (Date, VolumeRate)> {
        self.days.iter().map(|day| (day.date, day.need.flow()))
    }
}

/// Whether a date is later than that of the row before.
pub(super) fn follows(row: usize, before: Date, date: Date) -> Result<(), Error> {
    if date > before {
        Ok(())
    } else {
        Err(Error::Need(NeedError::DateNotLater { row, date, before }))
    }
}

/// The tank of a row.
fn of_row(tank: &Tank, row: &CycleRow) -> Result<(Date, Tank), Error> {
    let tank = row.tank(tank);
    // Refused now, with its row, rather than on its day.
    let _ = tank.check()?;
    Ok((row.date, tank))
}

/// Days from one date to a later one.
fn days_between(from: Date, to: Date) -> i32 {
    // Dates differ by less than 10 million days.
    i32::try_from(from.duration_until(to).as_hours() / 24).unwrap_or(i32::MAX)
}

/// The tank a part of the way from one to another.
fn between(before: &Tank, after: &Tank, part: f64) -> Tank {
    let way = |from: f64, to: f64| from + part * (to - from);
    let ratio = |from: Ratio, to: Ratio| -> Ratio { base(way(from.value, to.value)) };
    let mut tank = *before;
    tank.animals.biomass = base(way(
        before.animals.biomass.value,
        after.animals.biomass.value,
    ));
    tank.animals.feed = match (before.animals.feed, after.animals.feed) {
        (Feed::Share(from), Feed::Share(to)) => Feed::Share(base(way(from.value, to.value))),
        (from, to) => {
            let (from, to) = (mass(from, before), mass(to, after));
            Feed::Mass(base(way(from.value, to.value)))
        }
    };
    tank.animals.protein = ratio(before.animals.protein, after.animals.protein);
    tank.water.ph = ratio(before.water.ph, after.water.ph);
    tank.water.salinity = ratio(before.water.salinity, after.water.salinity);
    tank.water.temperature = ThermodynamicTemperature::new::<kelvin>(way(
        before.water.temperature.get::<kelvin>(),
        after.water.temperature.get::<kelvin>(),
    ));
    if let (Some(from), Some(to)) = (before.volume, after.volume) {
        tank.volume = Some(base(way(from.value, to.value)));
    }
    tank
}

/// Feed as a mass.
fn mass(feed: Feed, tank: &Tank) -> MassRate {
    match feed {
        Feed::Share(share) => tank.animals.biomass * share,
        Feed::Mass(mass) => mass,
    }
}

fn need_of(
    date: Date,
    tank: &Tank,
    gases: impl Fn(&TankWater) -> Result<Gases, Error>,
) -> Result<DayNeed, Error> {
    let need = tank.need(&gases(&tank.water)?)?;
    Ok(DayNeed {
        date,
        biomass: tank.animals.biomass,
        feed: need.load.feed,
        temperature: tank.water.temperature,
        volume: tank.volume,
        need,
    })
}

fn in_row(row: usize, error: Error) -> Error {
    let error = Box::new(error);
    Error::Need(NeedError::InRow { row, error })
}

fn on_day(date: Date, error: Error) -> Error {
    let error = Box::new(error);
    Error::Need(NeedError::OnDay { date, error })
}
