//! A closed loop: what its tanks hold through a day, what governs, and what can go wrong.

use super::IntervalFacts;
use super::need::DefaultFacts;
use crate::caution::Caution;
use crate::error::Error;
use crate::need::defaults::NeedDefault;
use crate::recirculation::{
    AirStop, Budget, Day, DayOutcome, DayPlan, LargestStock, LiftExchange, LiftGroup, LimitCheck,
    Loop, LoopChange, LoopChoice, LoopLimit, LoopSize, MoreLifts, Place, Shortage, StockBound,
};
use crate::uncertainty::Interval;
use crate::units::{Mass, MassConcentration, TemperatureInterval, Time, kelvin_interval, meter};

/// What a loop is asked with, beside itself and its day.
#[derive(Debug, Clone)]
pub struct LoopTerms {
    /// Animals of each tank.
    pub biomass: Vec<Mass>,
    /// Where the water of a lift of each group lies, where that is known.
    pub intervals: Vec<Option<Interval>>,
    /// Whether lifts give the lower end of it.
    pub at_lower_end: bool,
    /// What the search for their number found, where it was sought.
    pub size: Option<LoopSize>,
    /// Lifts that stand for cleaning.
    pub lifts_off: u32,
    /// Warmer water that is asked about.
    pub temperature_rise: TemperatureInterval,
    /// Oxygen below which animals die.
    pub survival: Option<MassConcentration>,
    /// What the flows of its lifts should be read with.
    pub cautions: Vec<Caution>,
    /// Every default in use.
    pub defaults: Vec<NeedDefault<f64>>,
}

facts! {
    /// A closed loop through a day.
    pub struct LoopAnswer {
        /// whether every limit of every tank holds through the day
        pub holds: bool = outcome.holds,
        /// the limit with the least slack at its worst moment; `null` where nothing must hold, or where the loop cannot balance
        pub governing: Option<LoopLimitFacts> = outcome.governing.clone(),
        /// what is short where the loop cannot balance, or `null`
        pub shortage: Option<ShortageFacts> = outcome.shortage.clone(),
        /// the stock that could live through the worst hour; `null` without animals
        pub worst_hour_stock: Option<StockFacts> = worst_stock.map(|stock| StockFacts::of(water, &stock, &terms.biomass)),
        /// the stock that could live by the mean of the day; `null` without animals
        pub stock: Option<StockFacts> = stock.map(|stock| StockFacts::of(water, &stock, &terms.biomass)),
        /// least oxygen of all tanks, or `null`
        pub least_oxygen: Option<LeastFacts> = day.map(|day| LeastFacts::of(water, day)),
        /// lifts that run
        pub lifts: u32 = water.lifts.iter().map(|group| group.count).sum(),
        /// the search for their number; `null` where it was given
        pub size: Option<LoopSizeFacts> = terms.size.as_ref().map(|size| LoopSizeFacts::of(water, size)),
        /// water of all lifts
        pub water_flow_m3_per_s: f64 = flow,
        /// whether lifts give the lower end of their interval
        pub at_lower_end: bool = terms.at_lower_end,
        /// whether a lift without a transfer coefficient counts at its ceiling, which makes this answer better than the real loop can be
        pub is_ceiling: bool = water.lifts.iter().any(|group| group.exchange.is_ceiling()),
        /// the lifts, group by group
        pub groups: Vec<LoopLiftFacts> = LoopLiftFacts::all(water, terms),
        /// tank by tank; an empty list where the loop cannot balance
        pub tanks: Vec<LoopTankFacts> = tanks,
        /// least oxygen behind the filter, or `null`
        pub after_filter_least_oxygen_kg_per_m3: Option<f64> = day.map(|day| day.least_after_filter.value.value),
        /// ammonia nitrogen that the filter oxidises, mean of the day; `null` where the loop cannot balance
        pub nitrified_kg_per_s: Option<f64> = day.map(|day| day.steady.nitrified.value),
        /// alkalinity, as calcium carbonate, that the loop loses by this and a base must replace, without that of new water; `null` where the loop cannot balance
        pub alkalinity_kg_per_s: Option<f64> = day.map(|day| day.steady.alkalinity.value),
        /// what comes to the water and leaves it, mean of the day: oxygen, free carbon dioxide, ammonia nitrogen
        pub budget: Vec<LoopBudgetFacts> = day.map(|day| LoopBudgetFacts::all(&day.steady.budget)).unwrap_or_default(),
        /// what can go wrong, and the day that follows
        pub changes: Vec<LoopChangeFacts> = changes,
        /// defaults that the tool took for what the file leaves out
        pub defaults: Vec<DefaultFacts> = terms.defaults.iter().map(Into::into).collect(),
        /// cautions that come with it
        pub cautions: Vec<Caution> = cautions,
    }

    /// A loop through a day, with what can go wrong: some lifts off, the filter bypassed, warmer water, lifts at the
    /// lower end of their interval, air that stops. A loop that cannot balance is an answer: what is short, and the
    /// stock that could live.
    ///
    /// # Errors
    /// As [`Loop::day`] and [`Loop::changed`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::answer::LoopAnswer;
    /// use risewater::design::{DesignFile, LOOP_EXAMPLE};
    ///
    /// let design = DesignFile::parse(LOOP_EXAMPLE)?.water_loop()?;
    /// let answer = LoopAnswer::of(&design.water, &design.day, &design.terms())?;
    /// assert!(answer.holds);
    /// assert_eq!(answer.tanks.len(), 4);
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(water: &Loop, plan: &DayPlan, terms: &LoopTerms) -> Result<Self, Error> {
        let found = water.day(plan)?;
        let outcome = Held::of(water, &found);
        let day = found.day();
        let stock = water.largest_stock()?;
        let worst_stock = water.largest_stock_of_day(plan)?;
        let flow: f64 = water.lifts.iter().map(|group| group.flow.value * f64::from(group.count)).sum();
        let tanks = match day {
            Some(day) => LoopTankFacts::all(water, day, terms)?,
            None => Vec::new(),
        };
        let changes = LoopChangeFacts::all(water, plan, terms)?;
        let cautions = cautions(water, &terms.cautions);
    }

    /// A limit at its worst moment.
    pub struct LoopLimitFacts {
        /// the tank
        pub tank: String = water.tanks[tank].name.clone(),
        /// `oxygen`, `tan`, `ammonia`, `carbon_dioxide`, `turnover` or `total_gas_pressure`
        #[schemars(with = "String")]
        pub limit: LoopLimit = check.what,
        /// room left to the limit, as a share of the limit; below zero where the limit is exceeded
        pub slack: f64 = check.slack.value,
        /// when, since midnight; `null` for a mean of the day
        pub time_s: Option<f64> = at.map(|at| at.value),
    }

    fn of(water: &Loop, (tank, check, at): (usize, LimitCheck, Option<Time>)) -> Self {
    }

    /// Least oxygen.
    pub struct LeastFacts {
        /// the tank
        pub tank: String = water.tanks[tank].name.clone(),
        /// the concentration; below zero where animals would take more than there is
        pub oxygen_kg_per_m3: f64 = least.value.value,
        /// when, since midnight
        pub time_s: f64 = least.at.value,
    }

    fn of(water: &Loop, day: &Day) -> Self {
        let (tank, least) = day.least_oxygen();
    }

    /// What a loop that cannot balance is short of.
    pub struct ShortageFacts {
        /// `filter_overloaded`, `nothing_takes_ammonia`, `nothing_exchanges` or `oxygen_runs_out`
        pub what: String = what.to_owned(),
        /// ammonia nitrogen excreted, where the filter is overloaded; else `null`
        pub excreted_kg_per_s: Option<f64> = excreted,
        /// most that the filter can take, where it is overloaded; else `null`
        pub most_kg_per_s: Option<f64> = most,
        /// the gas that nothing exchanges, or `null`
        pub gas: Option<String> = gas,
        /// where oxygen runs out: a tank, or `after the filter`; else `null`
        pub place: Option<String> = place,
        /// oxygen that the balance would give there, below zero
        pub would_be_kg_per_m3: Option<f64> = would_be,
    }

    fn of(water: &Loop, shortage: &Shortage) -> Self {
        let (mut excreted, mut most, mut gas, mut place, mut would_be) = (None, None, None, None, None);
        let what = match shortage {
            Shortage::FilterOverloaded { excreted: e, most: m } => {
                (excreted, most) = (Some(e.value), Some(m.value));
                "filter_overloaded"
            }
            Shortage::NothingTakesAmmonia => "nothing_takes_ammonia",
            Shortage::NothingExchanges(what) => {
                gas = Some(what.to_string());
                "nothing_exchanges"
            }
            Shortage::OxygenRunsOut { place: at, would_be: c } => {
                (place, would_be) = (Some(named(water, *at)), Some(c.value));
                "oxygen_runs_out"
            }
        };
    }

    /// The largest stock that could live.
    pub struct StockFacts {
        /// this stock over the stock that is there
        pub factor: f64 = stock.factor.value,
        /// mass of this stock, with the same feed for each kilogram
        pub biomass_kg: f64 = stock.factor.value * biomass.iter().map(|one| one.value).sum::<f64>(),
        /// what bounds it: a limit as in `limit`, `filter` for the most that its film takes, or `oxygen_runs_out`
        pub bound: String = bound,
        /// where: a tank, or `after the filter`; `null` where the filter bounds it
        pub place: Option<String> = place,
    }

    fn of(water: &Loop, stock: &LargestStock, biomass: &[Mass]) -> Self {
        let (bound, place) = match stock.bound {
            StockBound::Limit { tank, what } => {
                (what.to_string(), Some(water.tanks[tank].name.clone()))
            }
            StockBound::Filter => ("filter".to_owned(), None),
            StockBound::Oxygen(place) => ("oxygen_runs_out".to_owned(), Some(named(water, place))),
        };
    }

    /// Numbers of lifts that hold every limit, or why none does.
    pub struct LoopSizeFacts {
        /// numbers of lifts that hold, by least power; those below the air of the best efficiency come last. For lifts as measured, the fewest alone
        pub choices: Vec<LoopChoiceFacts> =
            size.choices.iter().map(|choice| LoopChoiceFacts::of(water, choice)).collect(),
        /// whether more lifts would help where no number holds: `no_balance` and `mean_fails` (not even endlessly many), `hardly`, `too_much_gas` (more make it worse), `at_least`, or `no_water` (a lift gives none); else `null`
        pub more: Option<String> = more.map(str::to_owned),
        /// with `at_least`: number of lifts with which the mean of the day holds; else `null`
        pub at_least: Option<u32> = at_least,
        /// what is short with endlessly many lifts, or `null`
        pub shortage: Option<ShortageFacts> = shortage,
        /// the limit that the mean of the day breaks even with endlessly many lifts, or `null`
        pub mean_fails: Option<LoopLimitFacts> = fails,
    }

    fn of(water: &Loop, size: &LoopSize) -> Self {
        let (mut at_least, mut shortage, mut fails) = (None, None, None);
        let more = size.short.as_ref().map(|short| match &short.more {
            MoreLifts::NoBalance(short) => {
                shortage = Some(ShortageFacts::of(water, short));
                "no_balance"
            }
            MoreLifts::MeanFails(one) => {
                fails = Some(LoopLimitFacts::of(water, (one.tank, one.check, one.at)));
                "mean_fails"
            }
            MoreLifts::Hardly(_) => "hardly",
            MoreLifts::TooMuchGas => "too_much_gas",
            MoreLifts::AtLeast(lifts) => {
                at_least = Some(*lifts);
                "at_least"
            }
        });
        let more = more.or(size.no_water.then_some("no_water"));
    }

    /// A number of lifts that holds every limit.
    pub struct LoopChoiceFacts {
        /// how many
        pub lifts: u32 = choice.lifts,
        /// most lifts with which total gas pressure still holds at this air; `null` where nothing limits it, or where the search did not ask
        pub at_most: Option<u32> = choice.at_most,
        /// water of each lift that the answer counts on
        pub water_flow_m3_per_s: f64 = choice.group.flow.value,
        /// air of each; `null` for lifts as measured
        pub air_mass_flow_kg_per_s: Option<f64> = choice.riser.map(|riser| riser.point.air.kg_per_s()),
        /// whether that air is less than the air of the best efficiency, so that the water changes steeply with it; `null` for lifts as measured
        pub below_best_efficiency: Option<bool> = choice.riser.map(|riser| riser.below_best),
        /// power of the air of all lifts, without losses of line and blower; `null` for lifts as measured
        pub air_power_w: Option<f64> = choice.riser.map(|riser| riser.power.value),
        /// the limit with the least slack
        pub governing: Option<LoopLimitFacts> =
            choice.governs.map(|one| LoopLimitFacts::of(water, (one.tank, one.check, one.at))),
        /// next smaller number that was tried, which fails; `null` where fewer lifts already fail by the mean of the day
        pub fewer: Option<u32> = choice.fewer.map(|fewer| fewer.0),
        /// what fails with that number, or `null`
        pub fewer_fails: Option<LoopLimitFacts> = choice.fewer
            .map(|(_, one)| LoopLimitFacts::of(water, (one.tank, one.check, one.at))),
    }

    fn of(water: &Loop, choice: &LoopChoice) -> Self {
    }

    /// Lifts that are alike.
    pub struct LoopLiftFacts {
        /// their name
        pub name: String = group.name.clone(),
        /// how many run
        pub count: u32 = group.count,
        /// water of each
        pub water_flow_m3_per_s: f64 = group.flow.value,
        /// where that lies; `null` where it was measured
        pub interval: Option<IntervalFacts> = interval.map(Into::into),
    }

    fn of(group: &LiftGroup, interval: Option<Interval>) -> Self {
    }

    /// A tank through the day.
    pub struct LoopTankFacts {
        /// its name
        pub name: String = tank.name.clone(),
        /// mass of the animals
        pub biomass_kg: f64 = terms.biomass.get(n).map_or(0.0, |mass| mass.value),
        /// volume of the water
        pub volume_m3: f64 = tank.volume.value,
        /// water through it, mean of the day, without new water
        pub water_flow_m3_per_s: f64 = day.steady.tanks[n].through.value,
        /// least oxygen
        pub least_oxygen_kg_per_m3: f64 = of.least_oxygen.value.value,
        /// when, since midnight
        pub least_oxygen_time_s: f64 = of.least_oxygen.at.value,
        /// mean oxygen of the day
        pub mean_oxygen_kg_per_m3: f64 = of.mean.gases.oxygen.value,
        /// most free carbon dioxide
        pub most_carbon_dioxide_kg_per_m3: f64 = of.most_carbon_dioxide.value.value,
        /// when, since midnight
        pub most_carbon_dioxide_time_s: f64 = of.most_carbon_dioxide.at.value,
        /// most ammonia nitrogen
        pub most_tan_kg_per_m3: f64 = of.most_tan.value.value,
        /// when, since midnight
        pub most_tan_time_s: f64 = of.most_tan.at.value,
        /// highest oxygen use over its mean
        pub peak_over_mean: f64 = of.peak.0.value,
        /// total gas pressure over the barometer's, mean of the day; `null` where a gas runs out
        pub total_gas_pressure: Option<f64> = day.steady.tanks[n].total_gas_pressure.map(|p| p.value),
        /// its limits, each at its worst moment
        pub limits: Vec<LoopLimitFacts> =
            of.limits.iter().map(|(check, at)| LoopLimitFacts::of(water, (n, *check, Some(*at)))).collect(),
        /// shortest time in which its oxygen falls to its limit after the air stops, whenever that is; `null` without such a limit, or where the surface brings enough
        pub time_to_limit_s: Option<f64> = to_limit.and_then(time_of),
        /// when the air stops for that time, since midnight
        pub air_stops_at_s: Option<f64> = to_limit.map(|stop| stop.from.value),
        /// the same, to the oxygen that animals survive; `null` where none was given
        pub time_to_survival_s: Option<f64> = to_survival.and_then(time_of),
    }

    fn of(
        water: &Loop,
        day: &Day,
        n: usize,
        terms: &LoopTerms,
        [to_limit, to_survival]: [Option<&AirStop>; 2],
    ) -> Self {
        let (tank, of) = (&water.tanks[n], &day.tanks[n]);
    }

    /// What comes to the water, as means of the day; below zero where it leaves.
    pub struct LoopBudgetFacts {
        /// `oxygen`, `carbon_dioxide` or `tan`
        pub substance: String = substance.to_owned(),
        /// from the animals
        pub animals_kg_per_s: f64 = part(&budget.animals),
        /// from the filter
        pub filter_kg_per_s: f64 = part(&budget.filter),
        /// from the lifts
        pub lifts_kg_per_s: f64 = part(&budget.lifts),
        /// at the surfaces
        pub surfaces_kg_per_s: f64 = part(&budget.surfaces),
        /// from other aerators
        pub aerators_kg_per_s: f64 = part(&budget.aerators),
        /// with new water
        pub makeup_kg_per_s: f64 = part(&budget.makeup),
    }

    fn of(budget: &Budget, substance: &str, place: usize) -> Self {
        let part = |of: &[crate::units::MassRate; 5]| of[place].value;
    }

    /// Something that goes wrong, and the day that follows.
    pub struct LoopChangeFacts {
        /// `lifts_off`, `filter_bypassed`, `warmer` or `lower_end`
        pub change: String = change.to_owned(),
        /// how many lifts stand, or `null`
        pub lifts_off: Option<u32> = off,
        /// how much warmer, or `null`
        pub temperature_rise_k: Option<f64> = rise,
        /// whether every limit holds through the day
        pub holds: bool = held.holds,
        /// the limit with the least slack, or `null`
        pub governing: Option<LoopLimitFacts> = held.governing,
        /// what is short where the loop cannot balance, or `null`
        pub shortage: Option<ShortageFacts> = held.shortage,
        /// least oxygen of all tanks, or `null`
        pub least_oxygen: Option<LeastFacts> = found.day().map(|day| LeastFacts::of(water, day)),
    }

    fn of(
        water: &Loop,
        plan: &DayPlan,
        (change, off, rise): (&str, Option<u32>, Option<f64>),
    ) -> Result<Self, Error> {
        let found = water.day(plan)?;
        let held = Held::of(water, &found);
    }
}

/// A day in short.
#[derive(Debug, Clone)]
struct Held {
    holds: bool,
    governing: Option<LoopLimitFacts>,
    shortage: Option<ShortageFacts>,
}

impl Held {
    fn of(water: &Loop, found: &DayOutcome) -> Self {
        match found {
            DayOutcome::Cycle(day) => {
                let governing = day.governing();
                Self {
                    holds: governing.is_none_or(|one| one.1.holds()),
                    governing: governing
                        .map(|(n, check, at)| LoopLimitFacts::of(water, (n, check, Some(at)))),
                    shortage: None,
                }
            }
            DayOutcome::Cannot { shortage, .. } => Self {
                holds: false,
                governing: None,
                shortage: Some(ShortageFacts::of(water, shortage)),
            },
        }
    }
}

impl LoopLiftFacts {
    fn all(water: &Loop, terms: &LoopTerms) -> Vec<Self> {
        let groups = water.lifts.iter().enumerate();
        let interval = |n: usize| terms.intervals.get(n).copied().flatten();
        groups
            .map(|(n, group)| Self::of(group, interval(n)))
            .collect()
    }
}

impl LoopTankFacts {
    fn all(water: &Loop, day: &Day, terms: &LoopTerms) -> Result<Vec<Self>, Error> {
        let limits = day.air_stops(None, None)?;
        let survival = match terms.survival {
            Some(level) => day.air_stops(Some(level), None)?,
            None => Vec::new(),
        };
        let of = |n: usize| {
            let stop = |all: &'_ [AirStop]| all.iter().position(|stop| stop.tank == n);
            let pair = [
                stop(&limits).map(|i| &limits[i]),
                stop(&survival).map(|i| &survival[i]),
            ];
            Self::of(water, day, n, terms, pair)
        };
        Ok((0..water.tanks.len()).map(of).collect())
    }
}

impl LoopBudgetFacts {
    fn all(budget: &Budget) -> Vec<Self> {
        // In the order of `Gas::ALL`, with ammonia last.
        [("oxygen", 0), ("carbon_dioxide", 3), ("tan", 4)]
            .map(|(name, place)| Self::of(budget, name, place))
            .into()
    }
}

impl LoopChangeFacts {
    fn all(water: &Loop, plan: &DayPlan, terms: &LoopTerms) -> Result<Vec<Self>, Error> {
        let mut all = Vec::new();
        let lifts: u32 = water.lifts.iter().map(|group| group.count).sum();
        let off = terms.lifts_off;
        if off < lifts {
            let mut fewer = water.clone();
            let mut left = off;
            for group in 0..fewer.lifts.len() {
                let lifts = left.min(fewer.lifts[group].count);
                fewer = fewer.changed(&LoopChange::LiftsOff { group, lifts })?;
                left -= lifts;
            }
            let rest: u32 = fewer.lifts.iter().map(|group| group.count).sum();
            // Timers stand for lifts that may be off already.
            let mut day = plan.clone();
            for timer in &mut day.timers {
                timer.off = timer.off.min(fewer.lifts[timer.group].count).min(rest);
            }
            all.push(Self::of(&fewer, &day, ("lifts_off", Some(off), None))?);
        }
        if water.filter.is_some() {
            let bypassed = water.changed(&LoopChange::FilterBypassed)?;
            all.push(Self::of(&bypassed, plan, ("filter_bypassed", None, None))?);
        }
        let rise = terms.temperature_rise;
        let warmer = water.changed(&LoopChange::Warmer(rise))?;
        let kelvin = Some(rise.get::<kelvin_interval>());
        all.push(Self::of(&warmer, plan, ("warmer", None, kelvin))?);
        if !terms.at_lower_end && terms.intervals.iter().any(Option::is_some) {
            let mut low = water.clone();
            for (group, interval) in low.lifts.iter_mut().zip(&terms.intervals) {
                group.flow = interval.map_or(group.flow, |interval| interval.low);
            }
            if low.lifts.iter().any(|group| group.flow.value > 0.0) {
                all.push(Self::of(&low, plan, ("lower_end", None, None))?);
            }
        }
        Ok(all)
    }
}

fn named(water: &Loop, place: Place) -> String {
    match place {
        Place::Tank(n) => water.tanks[n].name.clone(),
        Place::AfterFilter => "after the filter".to_owned(),
    }
}

fn time_of(stop: &AirStop) -> Option<f64> {
    Some(stop.lasts.seconds()).filter(|time| time.is_finite())
}

fn cautions(water: &Loop, of_lifts: &[Caution]) -> Vec<Caution> {
    let mut all = of_lifts.to_vec();
    all.push(Caution::LossOfAir);
    let risers = water
        .lifts
        .iter()
        .filter_map(|group| match &group.exchange {
            LiftExchange::Riser(of) => {
                Some(of.riser().spec().dimensions.submergence.get::<meter>())
            }
            LiftExchange::Part { .. } => None,
        });
    if let Some(depth_m) = risers.reduce(f64::max) {
        all.push(Caution::GasSupersaturation { depth_m });
    }
    if !water.lifts.is_empty() {
        all.push(Caution::AirInPlasticPipe);
    }
    if water.lifts.iter().any(|group| group.exchange.is_ceiling()) {
        all.push(Caution::LoopAtCeiling);
    }
    all.push(Caution::FreeCarbonDioxide);
    if water.filter.is_some() {
        all.push(Caution::FilterOxygenNotFollowed);
    }
    all.push(Caution::MainsNearWater);
    all
}
