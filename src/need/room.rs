//! Several tanks on one supply, day by day.

use std::collections::BTreeMap;

use super::balance::{Line, Need};
use super::cycle::{Cycle, CycleNeed, Date};
use super::gases::Gases;
use super::lifts::Installed;
use super::load::Load;
use super::tank::{Tank, TankWater};
use super::weeks::{DayFlow, Week, WeekOfLifts, lifts_of, weeks_of};
use crate::error::{Error, NeedError};
use crate::units::{Mass, MassConcentration, MassRate, VolumeRate, base};

/// Share of the need whose lack is not told of: less than a stop-watch and a container tell, our own choice.
const NEGLIGIBLE: f64 = 1e-3;

/// A tank of a [`Room`], and the cycle that its animals follow.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomTank {
    /// Its name.
    pub name: String,
    /// The tank; with a cycle, what its rows leave open.
    pub tank: Tank,
    /// Its animals over time; always the tank's own where there is none.
    pub cycle: Option<Cycle>,
}

/// Tanks that share a supply of water.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// The tanks.
    pub tanks: Vec<RoomTank>,
}

/// What a tank of a [`Room`] needs.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct RoomTankNeed {
    /// Its name.
    pub name: String,
    /// Mass of its animals then.
    pub biomass: Mass,
    /// Its own largest need.
    pub need: Need,
    /// The day of it; none without a cycle.
    pub date: Option<Date>,
    /// What it needs day by day; none without a cycle.
    pub cycle: Option<CycleNeed>,
}

/// What a [`Room`] needs.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct RoomNeed {
    /// Tank by tank.
    pub tanks: Vec<RoomTankNeed>,
    /// All of them together, day by day; empty where no tank follows a cycle.
    pub days: Vec<DayFlow>,
}

impl Room {
    /// The need of every tank, and of all together.
    ///
    /// A tank with a cycle needs nothing before its first day and after its last; one without needs the same
    /// on every day.
    ///
    /// # Errors
    /// [`NeedError::InTank`] with the first tank that has no need, and why, as [`Tank::need`] and
    /// [`Cycle::needs`].
    ///
    /// # Examples
    /// ```
    /// use risewater::need::{Animals, Feed, Gases, Limits, Room, RoomTank, Tank, TankWater};
    /// use risewater::units::*;
    ///
    /// let tank = |name: &str, kg: f64| RoomTank {
    ///     name: name.to_owned(),
    ///     tank: Tank::new(
    ///         Animals {
    ///             biomass: Mass::new::<kilogram>(kg),
    ///             feed: Feed::Share(Frequency::new::<per_day>(0.02)),
    ///             protein: Ratio::new::<percent>(42.0),
    ///         },
    ///         TankWater {
    ///             temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
    ///             salinity: Ratio::new::<per_mille>(0.0),
    ///             atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    ///             ph: Ratio::new::<ratio>(7.5),
    ///         },
    ///         Limits::WARM_WATER,
    ///     ),
    ///     cycle: None,
    /// };
    /// let room = Room { tanks: vec![tank("north", 100.0), tank("south", 200.0)] };
    /// // Three times the flow for 100 kg, 285.0 L/min: see the head of the module.
    /// let need = room.need(Gases::of)?;
    /// assert_eq!(format!("{:.0}", need.flow().get::<liter_per_minute>()), "855");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn need(
        &self,
        gases: impl Fn(&TankWater) -> Result<Gases, Error>,
    ) -> Result<RoomNeed, Error> {
        let numbered = (1..).zip(&self.tanks);
        let tanks: Result<Vec<_>, Error> = numbered
            .map(|(tank, given)| {
                given.need(&gases).map_err(|error| {
                    let error = Box::new(error);
                    Error::Need(NeedError::InTank { tank, error })
                })
            })
            .collect();
        Ok(RoomNeed::of(tanks?))
    }
}

impl RoomTank {
    /// What the tank needs by itself.
    pub(crate) fn need(
        &self,
        gases: impl Fn(&TankWater) -> Result<Gases, Error>,
    ) -> Result<RoomTankNeed, Error> {
        let name = self.name.clone();
        let Some(cycle) = &self.cycle else {
            let need = self.tank.need(&gases(&self.tank.water)?)?;
            return Ok(RoomTankNeed {
                name,
                biomass: self.tank.animals.biomass,
                need,
                date: None,
                cycle: None,
            });
        };
        let needs = cycle.needs(gases)?;
        let peak = needs.peak().ok_or(Error::Need(NeedError::EmptyCycle))?;
        let (need, date) = (peak.need.clone(), Some(peak.date));
        Ok(RoomTankNeed {
            name,
            biomass: peak.biomass,
            need,
            date,
            cycle: Some(needs),
        })
    }
}

impl RoomNeed {
    /// The needs of tanks, together.
    pub(crate) fn of(tanks: Vec<RoomTankNeed>) -> Self {
        let days = together(&tanks);
        Self { tanks, days }
    }

    /// The largest flow of a day; without any cycle, the sum over the tanks.
    #[must_use]
    pub fn flow(&self) -> VolumeRate {
        self.peak().map_or_else(
            || {
                let flows = self.tanks.iter().map(|tank| tank.need.flow());
                flows.fold(base(0.0), |sum, flow| sum + flow)
            },
            |day| day.flow,
        )
    }

    /// The day of the largest flow, the first of equals; none without any cycle.
    #[must_use]
    pub fn peak(&self) -> Option<&DayFlow> {
        self.days
            .iter()
            .reduce(|first, next| if next.flow > first.flow { next } else { first })
    }

    /// The line that the flow is for: that of the largest day, or of the tank that needs most.
    #[must_use]
    pub fn governing(&self) -> Option<Line> {
        if let Some(day) = self.peak() {
            return day.governing;
        }
        let needs = self.tanks.iter().map(|tank| &tank.need);
        let most = needs.reduce(|first, next| {
            if next.flow() > first.flow() {
                next
            } else {
                first
            }
        });
        most.and_then(Need::governing)
    }

    /// Animals and need of each tank on the day of the largest flow; not those that are empty then.
    fn that_day(&self) -> impl Iterator<Item = (&str, Mass, &Need)> {
        let date = self.peak().map(|day| day.date);
        self.tanks.iter().filter_map(move |tank| {
            let Some(cycle) = &tank.cycle else {
                return Some((tank.name.as_str(), tank.biomass, &tank.need));
            };
            let day = cycle.days.iter().find(|day| Some(day.date) == date)?;
            Some((tank.name.as_str(), day.biomass, &day.need))
        })
    }

    /// Names of the tanks that need water on the day of the largest flow.
    pub fn running_tanks(&self) -> impl Iterator<Item = &str> {
        let running = self.that_day().filter(|(.., need)| need.flow() > base(0.0));
        running.map(|(name, ..)| name)
    }

    /// Mass of all animals on the day of the largest flow.
    #[must_use]
    pub fn biomass(&self) -> Mass {
        self.that_day()
            .fold(base(0.0), |sum, (_, mass, _)| sum + mass)
    }

    /// What all animals come to on the day of the largest flow: the sum over the tanks of a part of their loads.
    #[must_use]
    pub fn load(&self, part: impl Fn(&Load) -> MassRate) -> MassRate {
        let parts = self.that_day().map(|(.., need)| part(&need.load));
        parts.fold(base(0.0), |sum, part| sum + part)
    }

    /// How much less a flow is than the need; none when it is enough, to a thousandth.
    #[must_use]
    pub fn shortfall(&self, given: VolumeRate) -> Option<VolumeRate> {
        let needed = self.flow();
        (given < needed * (1.0 - NEGLIGIBLE)).then(|| needed - given)
    }

    /// What the tanks' water holds at the limit of a line: the mean over the tanks that have it, by their flows;
    /// none where no tank has one, or none of them needs a flow.
    ///
    /// ```text
    /// C = Σ Q C / Σ Q
    /// ```
    ///
    /// Each tank is taken on the day of the largest flow.
    #[must_use]
    pub fn at_limit(&self, line: Line) -> Option<MassConcentration> {
        let with_limit = self.that_day().filter_map(|(.., need)| {
            let balance = need.line(line)?.balance?;
            Some((need.flow(), balance.tank))
        });
        let (mut flows, mut carried): (VolumeRate, MassRate) = (base(0.0), base(0.0));
        for (flow, tank) in with_limit {
            flows += flow;
            carried += flow * tank;
        }
        (flows > base(0.0)).then(|| base(carried.value / flows.value))
    }

    /// Whether a tank has animals that use no oxygen, on any day.
    #[must_use]
    pub(crate) fn has_unfed_animals(&self) -> bool {
        let unfed = |mass: Mass, need: &Need| mass.value > 0.0 && need.load.oxygen.value == 0.0;
        self.tanks.iter().any(|tank| match &tank.cycle {
            Some(cycle) => cycle.days.iter().any(|day| unfed(day.biomass, &day.need)),
            None => unfed(tank.biomass, &tank.need),
        })
    }

    /// The days by weeks.
    #[must_use]
    pub fn weeks(&self) -> Vec<Week> {
        weeks_of(&self.days)
    }

    /// Each tank's own need by the weeks of the room, in the order of [`RoomNeed::tanks`].
    #[must_use]
    pub fn weeks_by_tank(&self) -> Vec<Vec<Week>> {
        let of_tank = |tank: &RoomTankNeed| {
            let by_date: Option<BTreeMap<Date, &Need>> = tank.cycle.as_ref().map(|cycle| {
                let days = cycle.days.iter();
                days.map(|day| (day.date, &day.need)).collect()
            });
            let days = self.days.iter().map(|day| {
                let need = match &by_date {
                    Some(dates) => dates.get(&day.date).copied(),
                    None => Some(&tank.need),
                };
                DayFlow {
                    date: day.date,
                    flow: need.map_or(base(0.0), Need::flow),
                    governing: need.and_then(Need::governing),
                }
            });
            weeks_of(&days.collect::<Vec<_>>())
        };
        self.tanks.iter().map(of_tank).collect()
    }

    /// How many lifts must run in each week.
    ///
    /// # Errors
    /// As [`Installed::running`].
    pub fn lifts(&self, installed: &Installed) -> Result<Vec<WeekOfLifts>, Error> {
        lifts_of(&self.days, installed)
    }
}

/// The flow of each day, and the line that most of it is for.
fn together(tanks: &[RoomTankNeed]) -> Vec<DayFlow> {
    let cycles = || tanks.iter().filter_map(|tank| tank.cycle.as_ref());
    let mut by_line: BTreeMap<Date, [VolumeRate; Line::ALL.len()]> = BTreeMap::new();
    let mut count = |date: Date, need: &Need| {
        let flows = by_line.entry(date).or_insert([base(0.0); Line::ALL.len()]);
        if let Some(line) = need.governing() {
            flows[line as usize] += need.flow();
        }
    };
    for day in cycles().flat_map(|cycle| &cycle.days) {
        count(day.date, &day.need);
    }
    let ends = cycles().flat_map(|cycle| cycle.days.first().into_iter().chain(cycle.days.last()));
    let (first, last) = (
        ends.clone().map(|d| d.date).min(),
        ends.map(|d| d.date).max(),
    );
    if let (Some(first), Some(last)) = (first, last) {
        for date in first
            .series(jiff::Span::new().days(1))
            .take_while(|d| *d <= last)
        {
            by_line.entry(date).or_insert([base(0.0); Line::ALL.len()]);
        }
    }
    let steady = || tanks.iter().filter(|tank| tank.cycle.is_none());
    let mut days = Vec::with_capacity(by_line.len());
    for (date, mut flows) in by_line {
        for tank in steady() {
            if let Some(line) = tank.need.governing() {
                flows[line as usize] += tank.need.flow();
            }
        }
        let most = Line::ALL.into_iter().reduce(|a, b| {
            if flows[b as usize] > flows[a as usize] {
                b
            } else {
                a
            }
        });
        let flow = flows
            .iter()
            .fold(base(0.0), |sum: VolumeRate, flow| sum + *flow);
        days.push(DayFlow {
            date,
            flow,
            governing: most.filter(|line| flows[*line as usize] > base(0.0)),
        });
    }
    days
}
