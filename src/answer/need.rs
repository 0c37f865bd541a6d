//! The water that the animals of a room need, by tank and by week, and the lifts that must run for it.

use crate::caution::Caution;
use crate::error::Error;
use crate::need::defaults::NeedDefault;
use crate::need::{
    Factor, Gases, Installed, Line, Need, NeedRange, NeededFlow, Room, RoomNeed, RoomTank,
    RoomTankNeed, RunningLifts, TankWater, Week,
};
use crate::references::{Reference, Trust};
use crate::units::{MassConcentration, VolumeRate, base, liter_per_minute, milligram_per_liter};

facts! {
    /// The water that the animals of a room need, and the lifts that must run for it.
    pub struct NeedAnswer {
        /// the largest need of the room: the sum over the tanks, on the day on which it is largest
        pub water_flow_m3_per_s: f64,
        /// that day; `null` where no tank follows a cycle
        pub peak_date: Option<String>,
        /// water of all lifts together; `null` where their number is not given
        pub installed_flow_m3_per_s: Option<f64>,
        /// the lifts on that day, or `null` without lifts
        pub running: Option<RunningFacts>,
        /// tank by tank
        pub tanks: Vec<TankFacts>,
        /// week by week from the first day of a cycle; an empty list where no tank follows one
        pub weeks: Vec<WeekFacts>,
        /// what the need becomes if the defaults lie elsewhere in the spread of their sources; `null` where that was not asked
        pub range: Option<NeedRangeFacts>,
        /// defaults that the tool took for what the file leaves out
        pub defaults: Vec<DefaultFacts>,
        /// cautions that come with it
        pub cautions: Vec<Caution>,
    }

    /// Lifts that must run.
    #[derive(Copy)]
    pub struct RunningFacts from running: RunningLifts {
        /// how many
        pub lifts: usize = running.lifts,
        /// what they give
        pub lifts_flow_m3_per_s: f64 = running.flow.value,
        /// what is missing with all lifts running; zero where they are enough
        pub missing_flow_m3_per_s: f64 = running.missing.value,
    }

    /// A tank on the day of its own largest need.
    pub struct TankFacts {
        /// its name
        pub name: String = need.name.clone(),
        /// day of that need, or `null` without a cycle
        pub date: Option<String> = need.date.map(|date| date.to_string()),
        /// mass of the animals
        pub biomass_kg: f64 = biomass.value,
        /// temperature of the water
        pub water_temperature_k: f64 = temperature.value,
        /// volume of the water, or `null`
        pub volume_m3: Option<f64> = volume.map(|volume| volume.value),
        /// new water, in addition to what is needed; or `null`
        pub makeup_flow_m3_per_s: Option<f64> = tank.inlet.makeup.map(|makeup| makeup.flow.value),
        /// oxygen that the water holds at saturation with air
        pub oxygen_saturation_kg_per_m3: f64 = Gases::of(&water)?.oxygen_saturation.value,
        /// the need
        pub need: NeedFacts = (&need.need).into(),
    }

    /// The tank of a need: by its cycle, or as it always is.
    fn of(tank: &RoomTank, need: &RoomTankNeed) -> Result<Self, Error> {
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
    }

    /// A need, as means of the day.
    pub struct NeedFacts from need: &Need {
        /// the largest of its lines
        pub water_flow_m3_per_s: f64 = need.flow().value,
        /// the line that asks for it: `oxygen`, `ammonia`, `carbon_dioxide` or `turnover`; `null` when no flow is needed
        #[schemars(with = "Option<String>")]
        pub governing: Option<Line> = need.governing(),
        /// feed
        pub feed_kg_per_s: f64 = load.feed.value,
        /// oxygen used
        pub oxygen_kg_per_s: f64 = load.oxygen.value,
        /// total ammonia nitrogen given off
        pub tan_kg_per_s: f64 = load.tan.value,
        /// carbon dioxide given off
        pub carbon_dioxide_kg_per_s: f64 = load.carbon_dioxide.value,
        /// solids given off
        pub solids_kg_per_s: f64 = load.solids.value,
        /// what the water is needed for
        pub lines: Vec<LineFacts> = need.requirements.iter().map(Into::into).collect(),
    } where {
        let load = &need.load;
    }

    /// What water is needed for.
    pub struct LineFacts from one: &NeededFlow {
        /// `oxygen`, `ammonia`, `carbon_dioxide` or `turnover`
        #[schemars(with = "String")]
        pub line: Line = one.line,
        /// water that it asks for
        pub water_flow_m3_per_s: f64 = one.flow.value,
        /// its limit in the tank; `null` for the turnover
        pub limit_kg_per_m3: Option<f64> = one.balance.map(|balance| balance.tank.value),
        /// what enters; `null` for the turnover
        pub entering_kg_per_m3: Option<f64> = one.balance.map(|balance| balance.entering.value),
    }

    /// A week of a cycle.
    pub struct WeekFacts {
        /// its number
        pub week: usize = week.number,
        /// its first day
        pub first: String = week.first.to_string(),
        /// its last day
        pub last: String = week.last.to_string(),
        /// number of its days
        pub days: usize = week.days(),
        /// largest need of its days
        pub peak_flow_m3_per_s: f64 = week.peak.value,
        /// mean need of its days
        pub mean_flow_m3_per_s: f64 = week.mean.value,
        /// the line that asks for most of the flow on the day of the largest need
        #[schemars(with = "Option<String>")]
        pub governing: Option<Line> = week.governing,
        /// the lifts for the largest need of the week, or `null` without lifts
        pub running: Option<RunningFacts> = running.map(Into::into),
        /// tank by tank
        pub tanks: Vec<TankWeekFacts> = tanks,
    }

    fn of(week: &Week, running: Option<RunningLifts>, tanks: Vec<TankWeekFacts>) -> Self {
    }

    /// What a tank needs in a week of the room.
    pub struct TankWeekFacts {
        /// its name
        pub tank: String = name.to_owned(),
        /// largest need of its days
        pub peak_flow_m3_per_s: f64 = week.peak.value,
        /// mean need of its days
        pub mean_flow_m3_per_s: f64 = week.mean.value,
        /// the line that asks for most of the flow on the day of the largest need; `null` when no flow is needed
        #[schemars(with = "Option<String>")]
        pub governing: Option<Line> = week.governing,
    }

    fn of(name: &str, week: &Week) -> Self {
    }

    /// What a need could be.
    pub struct NeedRangeFacts from range: &NeedRange {
        /// the need with every default at the end of its spread that asks for least; `null` where no flow then holds the limits
        pub least_m3_per_s: Option<f64> = range.least.map(|flow| flow.value),
        /// the need with every default at the end that asks for most; `null` where no flow then holds the limits
        pub most_m3_per_s: Option<f64> = range.most.map(|flow| flow.value),
        /// each default that has a source and moves the flow, the widest first
        pub factors: Vec<FactorFacts> = range.factors.iter().map(Into::into).collect(),
        /// defaults behind the flow for which no source gives a spread
        pub without_spread: Vec<String> =
            range.without_spread.iter().map(|one| one.name.to_owned()).collect(),
        /// the need without bacteria, as in water that passes once; `null` where they were not counted or change nothing
        pub without_bacteria_m3_per_s: Option<f64> = range.without_bacteria.map(|flow| flow.value),
    }

    /// A default, and the need at the ends of its spread.
    pub struct FactorFacts from factor: &Factor {
        /// what it is for
        pub name: String = factor.default.name.to_owned(),
        /// the smaller need; `null` where no flow holds the limits
        pub least_m3_per_s: Option<f64> = factor.least.map(|flow| flow.value),
        /// the larger need; `null` where no flow holds the limits
        pub most_m3_per_s: Option<f64> = factor.most.map(|flow| flow.value),
    }

    /// A default that the tool took for what the file leaves out.
    pub struct DefaultFacts from one: &NeedDefault<f64> {
        /// what it is for
        pub name: String = one.name.to_owned(),
        /// the default, in `unit`
        pub value: f64 = one.value,
        /// smallest of the values at hand, in `unit`
        pub low: f64 = one.low,
        /// largest of the values at hand, in `unit`
        pub high: f64 = one.high,
        /// `mg/L`, `kg/kg`, `1/h`, or empty for a share
        pub unit: String = one.unit.to_owned(),
        /// key of `risewater list sources`, or `null`
        pub source: Option<Reference> = one.reference,
        /// how it reached us: `read`, `from memory` or `own`
        pub trust: String = one.trust.to_string(),
        /// what the number holds for
        pub note: String = one.note.to_owned(),
    }
}

impl NeedAnswer {
    /// The need of a room, with the lifts that run for it, and the defaults that stand for what was not given.
    ///
    /// # Errors
    /// As [`Installed::running`] and [`Gases::of`].
    ///
    /// # Examples
    /// ```
    /// use risewater::answer::{Answer, NeedAnswer};
    /// use risewater::need::{Animals, Feed, Gases, Installed, Limits, Room, RoomTank, Tank, TankWater, defaults};
    /// use risewater::report::UnitSystem;
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
    /// let need = room.need(Gases::of)?;
    /// let answer = NeedAnswer::of(&room, &need, Some(&lifts), &[&defaults::ALL[1]])?;
    /// // 285 L/min, see the head of `need`: two lifts of 100 L/min leave 85 L/min.
    /// let text = answer.text(UnitSystem::Metric);
    /// assert!(text.contains("2 lifts give 200.0 L/min; NOT ENOUGH"), "{text}");
    /// assert_eq!(answer.json()["running"]["lifts"], 2);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn of(
        room: &Room,
        need: &RoomNeed,
        installed: Option<&Installed>,
        defaults: &[&'static NeedDefault<f64>],
    ) -> Result<Self, Error> {
        let by_lifts = installed.filter(|_| !need.days.is_empty());
        let by_lifts = by_lifts.map(|lifts| need.lifts(lifts)).transpose()?;
        let (weeks, by_tank) = (need.weeks(), need.weeks_by_tank());
        let weeks = weeks.iter().enumerate().map(|(n, week)| {
            let lifts = by_lifts.as_ref().and_then(|all| all.get(n));
            let tanks = need.tanks.iter().zip(&by_tank);
            let tanks = tanks.map(|(tank, weeks)| TankWeekFacts::of(&tank.name, &weeks[n]));
            WeekFacts::of(week, lifts.map(|one| one.running), tanks.collect())
        });
        let running = installed.map(|lifts| lifts.running(need.flow()));
        let tanks = room.tanks.iter().zip(&need.tanks);
        let tanks = tanks.map(|(tank, need)| TankFacts::of(tank, need));
        let mut answer = Self {
            water_flow_m3_per_s: need.flow().value,
            peak_date: need.peak().map(|day| day.date.to_string()),
            installed_flow_m3_per_s: installed.and_then(Installed::all).map(|all| all.value),
            running: running.transpose()?.map(Into::into),
            weeks: weeks.collect(),
            tanks: tanks.collect::<Result<_, _>>()?,
            range: None,
            defaults: defaults.iter().map(|one| (*one).into()).collect(),
            cautions: Vec::new(),
        };
        answer.cautions = answer.remarks(need, defaults);
        Ok(answer)
    }

    /// With what the need could be.
    #[must_use]
    pub fn with_range(self, range: &NeedRange) -> Self {
        Self {
            range: Some(range.into()),
            ..self
        }
    }

    fn remarks(&self, need: &RoomNeed, defaults: &[&'static NeedDefault<f64>]) -> Vec<Caution> {
        let mut cautions = vec![Caution::LossOfAir, Caution::MeansOfTheDay];
        let governs = |line: &Line| {
            let mut tanks = self.tanks.iter();
            tanks.any(|tank| tank.need.governing == Some(*line))
        };
        for line in Line::ALL.into_iter().filter(governs) {
            let recalled = defaults.iter();
            let recalled = recalled.filter(|one| one.trust == Trust::Memory && one.serves(line));
            let defaults: Vec<_> = recalled.map(|one| one.name).collect();
            if !defaults.is_empty() {
                let line = line.name();
                cautions.push(Caution::DefaultFromMemory { line, defaults });
            }
        }
        if need.has_unfed_animals() {
            cautions.push(Caution::UnfedAnimals);
        }
        cautions.extend(self.supersaturated());
        let missing = self.running.map(|running| running.missing_flow_m3_per_s);
        cautions.extend(missing.filter(|missing| *missing > 0.0).map(|missing| {
            Caution::LiftsNotEnough {
                missing_l_per_min: VolumeRate::get::<liter_per_minute>(&base(missing)),
                weeks: self.short_weeks(),
            }
        }));
        cautions
    }

    /// The tank whose water enters with oxygen the furthest above saturation with air, if there is one.
    fn supersaturated(&self) -> Option<Caution> {
        let above = self.tanks.iter().filter_map(|tank| {
            let mut lines = tank.need.lines.iter();
            let oxygen = lines.find(|line| line.line == Line::Oxygen)?;
            let (entering, air) = (oxygen.entering_kg_per_m3?, tank.oxygen_saturation_kg_per_m3);
            (entering > air).then_some((entering, air))
        });
        let most = above.max_by(|one, other| (one.0 / one.1).total_cmp(&(other.0 / other.1)));
        let mg_per_l = |c| MassConcentration::get::<milligram_per_liter>(&base(c));
        most.map(|(entering, air)| Caution::OxygenAboveSaturation {
            entering_mg_per_l: mg_per_l(entering),
            saturation_mg_per_l: mg_per_l(air),
        })
    }

    /// First and last of the weeks in a row in which the lifts are not enough.
    fn short_weeks(&self) -> Vec<(usize, usize)> {
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for week in self.weeks.iter().filter(|week| week.is_short()) {
            match runs.last_mut() {
                Some((_, last)) if *last + 1 == week.week => *last = week.week,
                _ => runs.push((week.week, week.week)),
            }
        }
        runs
    }
}

impl WeekFacts {
    /// Whether its lifts are not enough.
    pub(crate) fn is_short(&self) -> bool {
        self.running
            .is_some_and(|running| running.missing_flow_m3_per_s > 0.0)
    }
}
