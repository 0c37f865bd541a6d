//! The need of a room.

mod json;
mod text;

use crate::caution::Caution;
#[cfg(feature = "chart")]
use crate::chart::NeedFigure;
use crate::error::Error;
use crate::need::defaults::NeedDefault;
use crate::need::{
    Gases, Installed, Line, Need, Room, RoomNeed, RoomTank, RoomTankNeed, TankWater,
};
use crate::need::{Running, Week, WeekOfLifts};
use crate::references::Trust;
use crate::units::{
    Mass, MassConcentration, ThermodynamicTemperature, Volume, VolumeRate, base, liter_per_minute,
    milligram_per_liter,
};

/// The need of a room, with the lifts that run for it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NeedReport {
    /// The need.
    pub need: RoomNeed,
    /// Animals and water of each tank on the day of its largest need, in the order of the need's tanks.
    pub tanks: Vec<TankOnDay>,
    /// Its weeks, where a tank follows a cycle.
    pub weeks: Vec<Week>,
    /// The weeks with their lifts, where lifts are given and a tank follows a cycle.
    pub lifts: Option<Vec<WeekOfLifts>>,
    /// The lifts that run for the largest need, where lifts are given.
    pub running: Option<Running>,
    /// Water flow of all the lifts that there are; none where none are given, or as many as it takes.
    pub installed: Option<VolumeRate>,
    /// Defaults that stand for what was not given.
    pub defaults: Vec<&'static NeedDefault<f64>>,
}

/// Animals and water of a tank on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankOnDay {
    /// Mass of the animals.
    pub biomass: Mass,
    /// Temperature of the water.
    pub temperature: ThermodynamicTemperature,
    /// Oxygen that the water holds in touch with air.
    pub oxygen_saturation: MassConcentration,
    /// Volume of the water.
    pub volume: Option<Volume>,
    /// New water beside what the need counts.
    pub makeup: Option<VolumeRate>,
}

impl NeedReport {
    /// The need of a room, with gases by the water of each tank.
    ///
    /// # Errors
    /// As [`Room::need`] and [`Installed::running`].
    ///
    /// # Examples
    /// ```
    /// use risewater::need::{Animals, Feed, Installed, Limits, Room, RoomTank, Tank, TankWater, defaults};
    /// use risewater::report::{NeedReport, UnitSystem};
    /// use risewater::units::*;
    ///
    /// let tank = Tank::new(
    ///     Animals {
    ///         biomass: Mass::new::<kilogram>(100.0),
    ///         feed: Feed::Share(Frequency::new::<per_day>(0.02)),
    ///         protein: Ratio::new::<percent>(42.0),
    ///     },
    ///     TankWater {
    ///         temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
    ///         salinity: Ratio::new::<per_mille>(0.0),
    ///         atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    ///         ph: Ratio::new::<ratio>(7.5),
    ///     },
    ///     Limits::WARM_WATER,
    /// );
    /// let room = Room { tanks: vec![RoomTank { name: "north".into(), tank, cycle: None }] };
    /// let lifts = Installed::Alike { flow: VolumeRate::new::<liter_per_minute>(100.0), count: Some(2) };
    /// let report = NeedReport::of(&room, Some(&lifts), &[&defaults::ALL[1]])?;
    /// // 285 L/min, see the head of `need`: two lifts of 100 L/min leave 85 L/min.
    /// let text = report.text(UnitSystem::Metric);
    /// assert!(text.contains("2 lifts give 200.0 L/min; NOT ENOUGH"), "{text}");
    /// assert_eq!(report.json()["lifts"], 2);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn of(
        room: &Room,
        installed: Option<&Installed>,
        defaults: &[&'static NeedDefault<f64>],
    ) -> Result<Self, Error> {
        let need = room.need(Gases::of)?;
        let pairs = room.tanks.iter().zip(&need.tanks);
        Ok(Self {
            tanks: pairs
                .map(|(tank, need)| on_day(tank, need))
                .collect::<Result<_, Error>>()?,
            weeks: need.weeks(),
            lifts: installed
                .filter(|_| !need.days.is_empty())
                .map(|lifts| need.lifts(lifts))
                .transpose()?,
            running: installed
                .map(|lifts| lifts.running(need.flow()))
                .transpose()?,
            installed: installed.and_then(Installed::all),
            defaults: defaults.to_vec(),
            need,
        })
    }

    /// What to read it with.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let mut cautions = vec![Caution::LossOfAir, Caution::MeansOfTheDay];
        let governing = |line: &Line| {
            let mut tanks = self.need.tanks.iter();
            tanks.any(|tank| tank.need.governing() == Some(*line))
        };
        for line in Line::ALL.into_iter().filter(governing) {
            let recalled = self.defaults.iter();
            let defaults: Vec<_> = recalled
                .filter(|one| one.trust == Trust::Memory && one.serves(line))
                .map(|one| one.name)
                .collect();
            if !defaults.is_empty() {
                cautions.push(Caution::DefaultFromMemory {
                    line: line.name(),
                    defaults,
                });
            }
        }
        let unfed = |mass: Mass, need: &Need| mass.value > 0.0 && need.load.oxygen.value == 0.0;
        let any_unfed = self.need.tanks.iter().any(|tank| match &tank.cycle {
            Some(cycle) => cycle.days.iter().any(|day| unfed(day.biomass, &day.need)),
            None => unfed(tank.biomass, &tank.need),
        });
        if any_unfed {
            cautions.push(Caution::UnfedAnimals);
        }
        cautions.extend(self.supersaturated());
        if let Some(missing) = self.missing() {
            cautions.push(Caution::LiftsNotEnough {
                missing_l_per_min: missing.get::<liter_per_minute>(),
                weeks: self.short_weeks(),
            });
        }
        cautions
    }

    /// The tank whose water enters with oxygen the furthest above saturation with air, if there is one.
    fn supersaturated(&self) -> Option<Caution> {
        let pairs = self.need.tanks.iter().zip(&self.tanks);
        let above = pairs.filter_map(|(tank, on_day)| {
            let balance = tank.need.line(Line::Oxygen)?.balance?;
            let (entering, air) = (balance.entering, on_day.oxygen_saturation);
            (entering > air).then_some((entering, air))
        });
        let share =
            |(entering, air): &(MassConcentration, MassConcentration)| entering.value / air.value;
        let most = above.max_by(|one, other| share(one).total_cmp(&share(other)));
        most.map(|(entering, air)| Caution::OxygenAboveSaturation {
            entering_mg_per_l: entering.get::<milligram_per_liter>(),
            saturation_mg_per_l: air.get::<milligram_per_liter>(),
        })
    }

    /// The largest flow that is missing on a day.
    fn missing(&self) -> Option<VolumeRate> {
        let missing = self.running?.missing;
        (missing > base(0.0)).then_some(missing)
    }

    /// First and last of the weeks in a row in which the lifts are not enough.
    fn short_weeks(&self) -> Vec<(usize, usize)> {
        let weeks = self.lifts.iter().flatten();
        let short = weeks.filter(|one| one.running.missing > base(0.0));
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for week in short.map(|one| one.week.number) {
            match runs.last_mut() {
                Some((_, last)) if *last + 1 == week => *last = week,
                _ => runs.push((week, week)),
            }
        }
        runs
    }
}

#[cfg(feature = "chart")]
impl NeedReport {
    /// The figure of the need over the dates; none where no tank follows a cycle.
    #[must_use]
    pub fn figure(&self) -> Option<NeedFigure> {
        (!self.need.days.is_empty()).then(|| NeedFigure {
            title: "Water that the room needs".to_owned(),
            notes: vec!["Means of the day: a peak after feeding is not in them.".to_owned()],
            days: self.need.days.clone(),
            lifts: self.lifts.clone().unwrap_or_default(),
            installed: self.installed,
            ..NeedFigure::default()
        })
    }
}

/// The tank of a need: by its cycle, or as it always is.
fn on_day(tank: &RoomTank, need: &RoomTankNeed) -> Result<TankOnDay, Error> {
    let tank = &tank.tank;
    let day = need.cycle.as_ref().and_then(|cycle| cycle.peak());
    let (biomass, temperature, volume) = match day {
        Some(day) => (day.biomass, day.temperature, day.volume),
        None => (tank.animals.biomass, tank.water.temperature, tank.volume),
    };
    let water = TankWater {
        temperature,
        ..tank.water
    };
    Ok(TankOnDay {
        biomass,
        temperature,
        oxygen_saturation: Gases::of(&water)?.oxygen_saturation,
        volume,
        makeup: tank.inlet.makeup.map(|makeup| makeup.flow),
    })
}
