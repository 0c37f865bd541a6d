//! How many lifts a loop takes, and at what air, so that the worst hour of a day holds every limit.

use super::plain::{Plain, TAN};
use super::steady::lowest_oxygen;
use super::{
    Day, DayOutcome, DayPlan, Known, LiftExchange, LiftGroup, LimitCheck, Loop, LoopLimit, Shortage,
};
use crate::air::{AirFlow, AirState};
use crate::error::{Error, Input, RecirculationError, range};
use crate::need::LIFT_COUNT;
use crate::riser::{OperatingPoint, Riser};
use crate::supply::Compression;
use crate::transfer::GasTerms;
use crate::uncertainty::{ErrorLaw, Interval, Predictor};
use crate::units::{MassRate, Power, Ratio, Time, base};

range!(LOOP_LIFTS, 1 to 1000 "lifts", "Largest numbers of lifts that a search for a loop goes up to.");

/// Days that a search for the least air of a number of lifts may take.
const AIR_DAYS: usize = 8;
/// Numbers of lifts for which the least air is sought.
const AIR_NUMBERS: u32 = 4;
/// The least air is found to this part of it.
const AIR_STEP: f64 = 5e-3;
/// Halvings towards the air with which the mean of the day holds: to 1e-3 of a range of a factor of 1000.
const AIR_HALVINGS: usize = 13;

/// A riser whose number is sought.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct SoughtRiser {
    /// The riser.
    pub riser: Riser,
    /// What its water exchanges.
    pub gas: GasTerms,
    /// What a pass does by a test, in place of the riser's own balance.
    pub exchange: Option<LiftExchange>,
    /// Air of each; sought between the threshold and the most water where none is given.
    pub air: Option<AirFlow>,
    /// Whether each lift gives only the lower end of its interval.
    ///
    /// What a pass does to the gases stays that of the predicted flow: slower water has longer in the riser and comes
    /// nearer to equilibrium, so that oxygen and carbon dioxide err on the side of caution. Total gas pressure need
    /// not: hold it against the predicted flow as well.
    pub lower_end: bool,
    /// How sure the flow of the riser is.
    pub law: ErrorLaw,
    /// Air at the blower's intake, for the power; dry at 20 °C and the barometer's pressure where nothing else is set.
    pub intake: AirState,
}

impl SoughtRiser {
    /// At the predicted flow, before any trial, the air to be found.
    #[must_use]
    pub fn new(riser: Riser, gas: GasTerms) -> Self {
        let intake = AirState::dry(AirState::DRY_20_C.temperature, riser.site().atmosphere);
        Self {
            riser,
            gas,
            exchange: None,
            air: None,
            lower_end: false,
            law: ErrorLaw::default(),
            intake,
        }
    }
}

/// A lift whose number is sought.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum SoughtLift {
    /// A lift as measured; its count does not matter.
    Measured(LiftGroup),
    /// A riser.
    Riser(Box<SoughtRiser>),
}

/// What is asked: alike lifts for a loop, whose water is common to all tanks.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct LoopDuty {
    /// The loop without the lifts that are sought; its own stay. A timer of the plan counts those sought as the
    /// last group.
    pub of: Loop,
    /// A lift.
    pub lift: SoughtLift,
    /// The day.
    pub plan: DayPlan,
    /// Largest number of lifts.
    pub most_lifts: u32,
}

impl LoopDuty {
    /// So many lifts at most.
    #[must_use]
    pub const fn new(of: Loop, lift: SoughtLift, plan: DayPlan, most_lifts: u32) -> Self {
        Self {
            of,
            lift,
            plan,
            most_lifts,
        }
    }
}

/// A limit of a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LoopGoverns {
    /// The tank, counted from 0.
    pub tank: usize,
    /// The limit and its slack; −1 of oxygen where none is left and no limit is set.
    pub check: LimitCheck,
    /// When it is worst; none of a mean of the day.
    pub at: Option<Time>,
}

/// A riser at its air.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct RiserChoice {
    /// Its predicted point.
    pub point: OperatingPoint,
    /// Where its water lies; none where that is not known.
    pub interval: Option<Interval>,
    /// Whether its air is less than that of the best efficiency, where its water hangs steeply on it.
    pub below_best: bool,
    /// Dry air of all lifts.
    pub air: MassRate,
    /// Adiabatic power of the air of all, from the intake to the pressure at the injection point: no losses of line
    /// and blower.
    pub power: Power,
}

/// So many lifts, which hold every limit.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct LoopChoice {
    /// How many.
    pub lifts: u32,
    /// The largest number up to [`LoopDuty::most_lifts`] with which total gas pressure still holds at this air; none
    /// where no tank limits it.
    pub at_most: Option<u32>,
    /// The lifts, with the water of each that is counted on: the predicted, or the lower end.
    pub group: LiftGroup,
    /// Each lift as a riser; none of lifts as measured.
    pub riser: Option<RiserChoice>,
    /// The limit with the least slack at its worst moment.
    pub governs: Option<LoopGoverns>,
    /// What fails with fewer lifts, the next number that was tried; none where fewer fail by the mean of the day.
    pub fewer: Option<(u32, LoopGoverns)>,
    /// The day.
    pub day: Day,
}

/// Whether more lifts would help.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum MoreLifts {
    /// No number: with endless lifts the loop does not balance.
    NoBalance(Shortage),
    /// No number: with endless lifts the mean of the day fails this limit.
    MeanFails(LoopGoverns),
    /// Hardly: the failing slack, carried on in proportion to 1/number, would still be this with endless lifts.
    Hardly(Ratio),
    /// They make total gas pressure worse, while the other limits hold already.
    TooMuchGas,
    /// The mean of the day holds with so many, and not with fewer; its worst hour may take more.
    AtLeast(u32),
}

/// Why no number up to the largest does.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct LoopShort {
    /// The number that comes nearest.
    pub lifts: u32,
    /// The lifts.
    pub group: LiftGroup,
    /// Each lift as a riser; none of lifts as measured.
    pub riser: Option<RiserChoice>,
    /// What their day comes to; none where more lifts are off by a timer than there are.
    pub outcome: Option<DayOutcome>,
    /// The limit that fails most; none where there is no day.
    pub fails: Option<LoopGoverns>,
    /// Whether more would help.
    pub more: MoreLifts,
}

/// What a search found.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct LoopSize {
    /// What holds, those below the air of the best efficiency last, else least power first, without those that another
    /// beats in lifts and power; of lifts as measured the fewest.
    pub choices: Vec<LoopChoice>,
    /// Why nothing does; none where there is a choice, or where no water is lifted.
    pub short: Option<LoopShort>,
    /// Whether a lift gives no water: at the air given, or at any; or its lower end is nothing or, at a submergence
    /// ratio below 0.4, not known.
    pub no_water: bool,
    /// Days that were solved.
    pub days: usize,
}

/// A lift at an air flow.
struct Lift {
    riser: Option<(OperatingPoint, Option<Interval>)>,
    group: LiftGroup,
    plain: Plain,
}

/// A number of lifts and its day.
struct Tried {
    lifts: u32,
    outcome: Option<DayOutcome>,
    checks: Vec<LoopGoverns>,
}

impl Tried {
    /// Least slack of what more lifts are for.
    fn below(&self) -> f64 {
        match self.outcome {
            Some(DayOutcome::Cycle(_)) => below(&self.checks),
            _ => -1.0,
        }
    }

    fn holds(&self) -> bool {
        self.below() >= 0.0 && self.checks.iter().all(|one| one.check.holds())
    }
}

fn least(checks: &[LoopGoverns]) -> Option<LoopGoverns> {
    let order = |one: &LoopGoverns| one.check.slack.value;
    let all = checks.iter().copied();
    all.min_by(|a, b| order(a).total_cmp(&order(b)))
}

fn below(checks: &[LoopGoverns]) -> f64 {
    let from_below = checks
        .iter()
        .filter(|one| one.check.what != LoopLimit::TotalGasPressure);
    from_below.fold(f64::INFINITY, |all, one| all.min(one.check.slack.value))
}

struct Search<'a> {
    duty: &'a LoopDuty,
    known: Known,
    riser: Option<(&'a SoughtRiser, Predictor)>,
    best: Option<AirFlow>,
    start: [f64; TAN],
    days: usize,
}

impl LoopDuty {
    /// The numbers of lifts that hold every limit of every tank at the worst hour of the day.
    ///
    /// At a given air the fewest. Else the fewest at the air of the best efficiency and at that of the most water, and
    /// for four numbers from the fewest of both the least air below those that still holds, to 0.5 %. A number is tried
    /// by its day only where the mean of the day holds, which all numbers are asked for: the mean must hold before
    /// the worst hour can, unless lifts stand by a timer. Among those the fewest are found by doubling and halving:
    /// more lifts bring more of everything, but total gas pressure grows with them and bounds them from the other
    /// side.
    ///
    /// # Errors
    /// As [`Loop::day`]; [`Error::OutOfRange`] outside [`LOOP_LIFTS`]; [`Error::LiftOutOfReach`];
    /// those of the riser, its gases and [`Compression::new`]. A loop that no number serves is none: see
    /// [`LoopShort`].
    ///
    /// # Examples
    /// One tank of an invented nursery, fed evenly, and a riser whose aeration test gave 0.05 /s.
    ///
    /// ```
    /// use risewater::gas::Conditions;
    /// use risewater::need::Limits;
    /// use risewater::recirculation::*;
    /// use risewater::riser::{Dimensions, RiserSpec, Site};
    /// use risewater::transfer::GasTerms;
    /// use risewater::units::*;
    /// use risewater::{Model, Water};
    ///
    /// let air = Conditions::fresh(
    ///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
    ///     AbsolutePressure::STANDARD_ATMOSPHERE,
    /// );
    /// let g_h = MassRate::new::<gram_per_hour>;
    /// let load = TankLoad { oxygen: g_h(20.0), carbon_dioxide: g_h(25.0), tan: g_h(0.0) };
    /// let limits = Limits { oxygen: Limits::WARM_WATER.oxygen, ..Limits::NONE };
    /// let tank = LoopTank::new("A", Volume::new::<cubic_meter>(20.0), load).with_limits(limits);
    /// let site = Site { water: Water::fresh(air.temperature)?, atmosphere: air.pressure };
    /// let riser = RiserSpec::new(Dimensions {
    ///     bore: Length::new::<millimeter>(76.2),
    ///     submergence: Length::new::<meter>(1.0),
    ///     lift: Length::new::<meter>(0.1),
    /// })
    /// .build(&site, Model::default())?;
    /// let gas = GasTerms { coefficient: Some(Frequency::new::<hertz>(0.05)), ..GasTerms::default() };
    /// let plan = DayPlan::new(Feeding::even());
    /// let mut lift = SoughtRiser::new(riser, gas);
    /// lift.air = riser.best_efficiency()?.map(|point| point.air);
    /// let of = Loop::new(air, vec![tank], None, vec![]);
    /// let duty = LoopDuty::new(of, SoughtLift::Riser(Box::new(lift)), plan, 40);
    /// let found = duty.size()?;
    /// let choice = &found.choices[0];
    /// let governs = choice.governs.expect("a limit is set");
    /// assert!(governs.check.what == LoopLimit::Oxygen && governs.check.holds());
    /// // The water of all lifts brings what the animals take: 20 g/h.
    /// let steady = &choice.day.steady;
    /// let gained = steady.after_lifts.gases.oxygen - steady.sump.gases.oxygen;
    /// let brought: MassRate = gained * choice.group.flow * f64::from(choice.lifts);
    /// assert_eq!(format!("{:.3}", brought.get::<gram_per_hour>()), "20.000");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn size(&self) -> Result<LoopSize, Error> {
        LOOP_LIFTS.check(Input::LiftCount, f64::from(self.most_lifts))?;
        let known = self.of.known()?;
        let riser = match &self.lift {
            SoughtLift::Riser(one) => Some((&**one, one.law.on(&one.riser)?)),
            SoughtLift::Measured(_) => None,
        };
        let start = self.of.start()?;
        let mut search = Search {
            duty: self,
            known,
            riser,
            best: None,
            start,
            days: 0,
        };
        search.size()
    }
}

impl Search<'_> {
    fn size(&mut self) -> Result<LoopSize, Error> {
        let mut choices = Vec::new();
        let mut short = None;
        let lifts = self.lifts()?;
        let mut fewest = Vec::new();
        let no_water = lifts.is_empty();
        for lift in lifts {
            let (numbers, nearest) = self.numbers(&lift)?;
            let (found, failed) = self.fewest(&lift, &numbers)?;
            if let Some(tried) = &found {
                fewest.extend(lift.riser.map(|(point, _)| (tried.lifts, point.air)));
            }
            short = match found {
                Some(tried) if tried.holds() => {
                    let fewer = failed.and_then(|one| Some((one.lifts, least(&one.checks)?)));
                    let at_most = self.at_most(&lift, &numbers, tried.lifts)?;
                    choices.extend(self.choice(&lift, tried, at_most, fewer)?);
                    None
                }
                found => {
                    let tried = match found.or(failed) {
                        Some(tried) => tried,
                        None => self.day(&lift, nearest)?,
                    };
                    Some((lift, tried))
                }
            };
        }
        if self
            .riser
            .as_ref()
            .is_some_and(|(one, _)| one.air.is_none())
            && let Some(&few) = fewest.iter().min_by_key(|one| one.0)
            && few.0 > 0
        {
            // More lifts with less air than the best efficiency's have longer for their gases.
            let all = fewest.iter().map(|one| one.0);
            let many = all.fold(few.0 + AIR_NUMBERS - 1, u32::max);
            let step = (many - few.0).div_ceil(AIR_NUMBERS - 1);
            let numbers = (few.0..=many).step_by(step as usize);
            for lifts in numbers.filter(|lifts| *lifts <= self.duty.most_lifts) {
                // From the least air that is known to do.
                let do_so = fewest.iter().filter(|one| one.0 <= lifts);
                let order = |a: &AirFlow, b: &AirFlow| a.kg_per_s().total_cmp(&b.kg_per_s());
                let high = do_so.map(|one| one.1).min_by(order).unwrap_or(few.1);
                if let Some((lift, tried)) = self.least_air(lifts, high)? {
                    choices.extend(self.choice(&lift, tried, None, None)?);
                }
            }
        }
        let power = |one: &LoopChoice| one.riser.map_or(0.0, |riser| riser.power.value);
        let below_best = |one: &LoopChoice| one.riser.is_some_and(|riser| riser.below_best);
        choices.sort_by(|a, b| {
            let order = power(a).total_cmp(&power(b));
            below_best(a).cmp(&below_best(b)).then(order)
        });
        // What another beats in lifts and power is none, unless the other hangs more steeply on its air.
        let beaten = |one: &LoopChoice| {
            choices.iter().any(|other: &LoopChoice| {
                let fewer = other.lifts <= one.lifts && power(other) <= power(one);
                let less = other.lifts < one.lifts || power(other) < power(one);
                fewer && less && (below_best(one) || !below_best(other))
            })
        };
        let kept: Vec<bool> = choices.iter().map(|one| !beaten(one)).collect();
        let mut kept = kept.into_iter();
        choices.retain(|_| kept.next().unwrap_or(true));
        let short = match short {
            Some((lift, tried)) if choices.is_empty() => Some(self.short(&lift, tried)?),
            _ => None,
        };
        Ok(LoopSize {
            choices,
            short,
            no_water,
            days: self.days,
        })
    }

    /// The lift as measured, or the riser at the air that is given, or at its best efficiency and at its most water.
    fn lifts(&mut self) -> Result<Vec<Lift>, Error> {
        let (one, predictor) = match (&self.riser, &self.duty.lift) {
            (Some((one, predictor)), _) => (one, predictor),
            (None, SoughtLift::Measured(group)) => {
                let plain = self.with(group, 1).plain()?;
                let group = group.clone();
                let lift = Lift {
                    riser: None,
                    group,
                    plain,
                };
                return Ok(vec![lift]);
            }
            (None, SoughtLift::Riser(_)) => return Ok(Vec::new()),
        };
        let mut airs = Vec::new();
        if let Some(best) = one.riser.best_efficiency()? {
            self.best = Some(predictor.best_efficiency(best)?.air);
        }
        if let Some(air) = one.air {
            airs.push(air);
        } else {
            airs.extend(self.best);
            airs.push(predictor.peak()?.air);
        }
        let mut lifts = Vec::new();
        for air in airs {
            lifts.extend(self.lift(air)?);
        }
        Ok(lifts)
    }

    fn lift(&self, air: AirFlow) -> Result<Option<Lift>, Error> {
        let Some((one, predictor)) = &self.riser else {
            return Ok(None);
        };
        let found = predictor.predict(air)?;
        let water = if one.lower_end {
            found.interval.map_or(base(0.0), |interval| interval.low)
        } else {
            found.outcome.water_flow()
        };
        let Some(point) = found.outcome.point().filter(|_| water.value > 0.0) else {
            return Ok(None);
        };
        let mut group = LiftGroup::of_riser("lifts", 1, &one.riser, point, &one.gas)?;
        group.flow = water;
        if let Some(exchange) = &one.exchange {
            group.exchange = exchange.clone();
        }
        Ok(Some(Lift {
            riser: Some((*point, found.interval)),
            plain: self.with(&group, 1).plain()?,
            group,
        }))
    }

    fn with(&self, group: &LiftGroup, count: u32) -> Loop {
        let mut of = self.duty.of.clone();
        of.lifts.push(group.counted(count));
        of
    }

    /// The mean of the day.
    fn mean(&self, lift: &Lift, lifts: u32) -> Result<Result<Vec<LoopGoverns>, Shortage>, Error> {
        let own = self.duty.of.lifts.iter().map(|group| group.count);
        let counts: Vec<u32> = own.chain([lifts]).collect();
        let numbers = match lift.plain.steady(&counts, self.start)? {
            Ok(numbers) => numbers,
            Err(shortage) => return Ok(Err(shortage)),
        };
        if let Some((place, low)) = lowest_oxygen(&numbers).filter(|low| low.1 < 0.0) {
            let would_be = super::plain::concentration(low);
            return Ok(Err(Shortage::OxygenRunsOut { place, would_be }));
        }
        let mut all = Vec::new();
        for (tank, held) in numbers.tanks.iter().enumerate() {
            let through = numbers.running.through[tank];
            let checks = self
                .duty
                .of
                .checks(&self.known, tank, held, through)?
                .into_iter();
            all.extend(checks.map(|check| LoopGoverns {
                tank,
                check,
                at: None,
            }));
        }
        Ok(Ok(all))
    }

    /// Numbers whose mean holds, and the one that comes nearest to it.
    fn numbers(&self, lift: &Lift) -> Result<(Vec<u32>, u32), Error> {
        let by_mean = self.duty.plan.timers.is_empty();
        let mut numbers = Vec::new();
        let mut nearest = (f64::NEG_INFINITY, self.duty.most_lifts);
        for lifts in 0..=self.duty.most_lifts {
            if lifts == 0 && self.with(&lift.group, 0).plain().is_err() {
                continue;
            }
            let Ok(checks) = self.mean(lift, lifts)? else {
                continue;
            };
            let slack = below(&checks);
            if lifts > 0 && slack > nearest.0 {
                nearest = (slack, lifts);
            }
            if !by_mean || slack >= 0.0 {
                numbers.push(lifts);
            }
        }
        Ok((numbers, nearest.1))
    }

    fn day(&mut self, lift: &Lift, lifts: u32) -> Result<Tried, Error> {
        self.days += 1;
        let group = self.duty.of.lifts.len() + 1;
        let outcome = match self.with(&lift.group, lifts).day(&self.duty.plan) {
            Ok(outcome) => Some(outcome),
            // A timer stops more lifts than these.
            Err(Error::Recirculation(RecirculationError::NoSuchLifts { group: g, .. }))
                if g == group && lifts < self.duty.most_lifts =>
            {
                None
            }
            Err(error) => return Err(error),
        };
        let mut checks = Vec::new();
        for (tank, of) in outcome
            .iter()
            .filter_map(DayOutcome::day)
            .flat_map(|day| day.tanks.iter().enumerate())
        {
            let each = of.limits.iter().copied();
            let gone = of.least_oxygen.value < base(0.0);
            let unlimited = gone && self.duty.of.tanks[tank].limits.oxygen.is_none();
            let none_left = LimitCheck {
                what: LoopLimit::Oxygen,
                slack: base(-1.0),
            };
            let none_left = unlimited.then_some((none_left, of.least_oxygen.at));
            checks.extend(each.chain(none_left).map(|(check, at)| LoopGoverns {
                tank,
                check,
                at: Some(at),
            }));
        }
        Ok(Tried {
            lifts,
            outcome,
            checks,
        })
    }

    /// The fewest whose day holds all but total gas pressure, and the most tried that fail.
    fn fewest(
        &mut self,
        lift: &Lift,
        numbers: &[u32],
    ) -> Result<(Option<Tried>, Option<Tried>), Error> {
        let (mut from, mut to, mut step) = (0, numbers.len(), 1);
        let (mut found, mut failed) = (None, None);
        while from < to {
            let at = match found {
                None => (from + step - 1).min(to - 1),
                Some(_) => usize::midpoint(from, to),
            };
            let tried = self.day(lift, numbers[at])?;
            if tried.below() >= 0.0 {
                (to, found) = (at, Some(tried));
            } else {
                (from, step, failed) = (at + 1, 2 * step, Some(tried));
            }
        }
        Ok((found, failed))
    }

    /// The most up to which total gas pressure holds, from a number with which it does.
    fn at_most(&mut self, lift: &Lift, numbers: &[u32], lifts: u32) -> Result<Option<u32>, Error> {
        let tanks = &self.duty.of.tanks;
        if tanks.iter().all(|tank| tank.total_gas_pressure.is_none()) {
            return Ok(None);
        }
        let by_mean = self.duty.plan.timers.is_empty();
        let (mut holds, mut top) = (lifts, numbers.last().map_or(lifts, |last| last + 1));
        while top - holds > 1 {
            let middle = u32::midpoint(holds, top);
            let mean = self.mean(lift, middle)?;
            let all = mean.is_ok_and(|checks| checks.iter().all(|one| one.check.holds()));
            if (all || !by_mean) && self.day(lift, middle)?.holds() {
                holds = middle;
            } else {
                top = middle;
            }
        }
        Ok(Some(holds))
    }

    /// The least air below another with which so many lifts hold all but total gas pressure.
    fn least_air(&mut self, lifts: u32, high: AirFlow) -> Result<Option<(Lift, Tried)>, Error> {
        let at = |ln: f64| AirFlow::from_dry_mass(base(ln.exp()));
        let threshold = match &self.riser {
            Some((one, _)) => one.riser.threshold()?,
            None => None,
        };
        let threshold = threshold.map_or(0.0, AirFlow::kg_per_s);
        let mut high = high.kg_per_s().ln();
        let mut low = threshold.ln().max(high - 1e3_f64.ln());
        // By the mean first, which costs little.
        let mut mean_holds = high;
        for _ in 0..AIR_HALVINGS {
            let middle = f64::midpoint(low, mean_holds);
            let lift = self.lift(at(middle)?)?;
            let mean = lift.map(|lift| self.mean(&lift, lifts)).transpose()?;
            let holds = matches!(mean, Some(Ok(checks)) if below(&checks) >= 0.0);
            *(if holds { &mut mean_holds } else { &mut low }) = middle;
        }
        let mut best = None;
        let mut slacks = [f64::NAN; 2];
        let mut next = high;
        for turn in 0..AIR_DAYS {
            let mut slack = -1.0;
            if let Some(lift) = self.lift(at(next)?)? {
                let tried = self.day(&lift, lifts)?;
                slack = tried.below();
                if slack >= 0.0 {
                    best = Some((lift, tried));
                }
            }
            if slack >= 0.0 {
                (high, slacks[1]) = (next, slack);
            } else {
                (low, slacks[0]) = (next, slack);
            }
            if best.is_none() || high - low <= AIR_STEP {
                break;
            }
            // By a straight line where both ends are known, whose far end counts half where it stays; else by halves.
            let share = slacks[0] / (slacks[0] - slacks[1]);
            let line = low + share * (high - low) + 0.5 * AIR_STEP;
            let line = if turn == 0 { mean_holds } else { line };
            let line = if line.is_finite() {
                line
            } else {
                f64::midpoint(low, high)
            };
            next = line.min(high - 0.9 * AIR_STEP).max(low + 0.1 * AIR_STEP);
            slacks[usize::from(slack < 0.0)] *= 0.5;
        }
        Ok(best)
    }

    fn choice(
        &self,
        lift: &Lift,
        tried: Tried,
        at_most: Option<u32>,
        fewer: Option<(u32, LoopGoverns)>,
    ) -> Result<Option<LoopChoice>, Error> {
        let holds = tried.holds();
        let Some(DayOutcome::Cycle(day)) = tried.outcome.filter(|_| holds) else {
            return Ok(None);
        };
        Ok(Some(LoopChoice {
            lifts: tried.lifts,
            at_most,
            group: lift.group.counted(tried.lifts),
            riser: self.at_air(lift, tried.lifts)?,
            governs: least(&tried.checks),
            fewer,
            day: *day,
        }))
    }

    fn at_air(&self, lift: &Lift, lifts: u32) -> Result<Option<RiserChoice>, Error> {
        let (Some((one, _)), Some((point, interval))) = (&self.riser, lift.riser) else {
            return Ok(None);
        };
        let rise = base(point.injection_pressure.pascal() - one.intake.pressure.pascal());
        let power = Compression::new(point.air, &one.intake, rise)?.adiabatic_power();
        let number = f64::from(lifts);
        Ok(Some(RiserChoice {
            point,
            interval,
            below_best: self
                .best
                .is_some_and(|best| point.air.kg_per_s() < best.kg_per_s()),
            air: point.air.dry_mass_rate() * number,
            power: power * number,
        }))
    }

    fn short(&mut self, lift: &Lift, tried: Tried) -> Result<LoopShort, Error> {
        let fails = least(&tried.checks);
        Ok(LoopShort {
            lifts: tried.lifts,
            group: lift.group.counted(tried.lifts),
            riser: self.at_air(lift, tried.lifts)?,
            more: self.more(lift, &tried, fails)?,
            outcome: tried.outcome,
            fails,
        })
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a bound of LIFT_COUNT"
    )]
    fn more(
        &mut self,
        lift: &Lift,
        tried: &Tried,
        fails: Option<LoopGoverns>,
    ) -> Result<MoreLifts, Error> {
        let endless = LIFT_COUNT.max as u32;
        let gas = tried.below() >= 0.0;
        match self.mean(lift, endless)? {
            Err(shortage) => return Ok(MoreLifts::NoBalance(shortage)),
            Ok(checks) => {
                let lowest = least(&checks).filter(|one| !one.check.holds());
                if let Some(one) = lowest.filter(|_| !gas) {
                    return Ok(MoreLifts::MeanFails(one));
                }
            }
        }
        if gas {
            return Ok(MoreLifts::TooMuchGas);
        }
        let half = tried.lifts / 2;
        if let Some(fails) = fails.filter(|_| half > 0) {
            let fewer = self.day(lift, half)?;
            let same =
                |one: &&LoopGoverns| one.tank == fails.tank && one.check.what == fails.check.what;
            if let Some(fewer) = fewer.checks.iter().find(same) {
                let (n, m) = (f64::from(tried.lifts), f64::from(half));
                let left = (fails.check.slack * n - fewer.check.slack * m) / (n - m);
                if left.value < 0.0 {
                    return Ok(MoreLifts::Hardly(left));
                }
            }
        }
        let (mut from, mut to) = (self.duty.most_lifts, endless);
        while to - from > 1 {
            let middle = u32::midpoint(from, to);
            let mean = self.mean(lift, middle)?;
            let holds = mean.is_ok_and(|checks| below(&checks) >= 0.0);
            *(if holds { &mut to } else { &mut from }) = middle;
        }
        Ok(MoreLifts::AtLeast(to))
    }
}
