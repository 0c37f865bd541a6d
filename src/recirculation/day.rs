//! A day of a loop that ends as it began.

use std::array::from_fn;
use std::cell::RefCell;
use std::cmp::Ordering;

use nalgebra::allocator::Allocator;
use nalgebra::{Const, DMatrix, DVector, DefaultAllocator, Dim, Dyn, OVector};
use ode_solvers::System;
use ode_solvers::dop_shared::{IntegrationError, OutputType};
use ode_solvers::dop853::Dop853;

use super::meals::{DAY, Pattern, PatternPiece, activity};
use super::plain::{
    Activity, Affine, CO2, HOUR, Held, M3_H, O2, Plain, Running, SPECIES, TAN, Way,
};
use super::steady::{LargestStock, Numbers, Shortage, Steady, SteadyOutcome};
use super::{Feeding, LimitCheck, Loop, LoopLimit, Solutes, fault};
use crate::error::{Error, Input, RecirculationError, Solve};
use crate::need::TURNOVER;
use crate::solve::{Bracket, Tolerance, bracketed, fallible};
use crate::units::{MassConcentration, MassRate, Ratio, Time, VolumeRate, base};

/// Tolerance of the integrator. Errors die out with the time constants of the tanks.
const RELATIVE: f64 = 3e-11;
/// The same in g/m³, over the relative one.
const ABSOLUTE: f64 = 1e-2;
/// Relative tolerance while a day of the ammonia ends farther from its beginning than [`NEAR`].
const ROUGH: f64 = 1e-7;
const NEAR: f64 = 1e-4;
/// A day that ends within this of its beginning, relative to [`scale`], is periodic.
const PERIODIC: f64 = 1e-10;
const MOST_DAYS: usize = 200;
/// Steps for slopes over ammonia, relative to [`scale`]; over gases all is straight.
const AMMONIA_STEP: f64 = 1e-6;
const MOST_STEPS: u32 = 2_000_000;
/// A part of a concentration below which it is not followed between two samples.
const STILL: f64 = 1e-9;
/// Longest time between two samples, h.
const SAMPLE: f64 = 1.0 / 6.0;
/// Lines of lifts farther from their own balance than this are taken anew, piece by piece.
const STRAIGHT: f64 = 1e-4;
/// Longest piece with a line of its own then, h.
const BENT_PIECE: f64 = 1.0;
/// One sample of so many is held against the lifts' own balance.
const HELD_AGAINST: usize = 12;

/// Lifts that stand for part of the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timer {
    /// Their group, counted from 0.
    pub group: usize,
    /// How many stand.
    pub off: u32,
    /// From this time since midnight.
    pub from: Time,
    /// To this time; past midnight where it is earlier.
    pub to: Time,
}

/// Whether an hour lies between two others; the same hour twice is the whole day.
fn within(hour: f64, from: f64, to: f64) -> bool {
    let length = (to - from).rem_euclid(DAY);
    let length = if length > 0.0 { length } else { DAY };
    (hour - from).rem_euclid(DAY) < length
}

impl Timer {
    /// Whether its lifts stand in some of the time between two others.
    #[cfg(feature = "files")]
    pub(crate) fn meets(&self, from: Time, to: Time) -> bool {
        let [from, to, own_from, own_to] =
            [from, to, self.from, self.to].map(|time| time.value / HOUR);
        within(own_from, from, to) || within(from, own_from, own_to)
    }
}

/// What a day brings.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DayPlan {
    /// Meals: one timetable for all tanks, or one for each.
    pub feeding: Vec<Feeding>,
    /// Lifts on a timer.
    pub timers: Vec<Timer>,
}

impl DayPlan {
    /// The same meals in all tanks, all lifts running.
    #[must_use]
    pub fn new(feeding: Feeding) -> Self {
        Self::of_each(vec![feeding])
    }

    /// Meals of each tank.
    #[must_use]
    pub fn of_each(feeding: Vec<Feeding>) -> Self {
        Self {
            feeding,
            timers: Vec::new(),
        }
    }

    /// With one more timer.
    #[must_use]
    pub fn with_timer(mut self, timer: Timer) -> Self {
        self.timers.push(timer);
        self
    }
}

/// Most or least of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// The concentration.
    pub value: MassConcentration,
    /// Its time since midnight.
    pub at: Time,
}

/// A tank's day.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TankDay {
    /// Least oxygen; below zero where the animals take more than can be.
    pub least_oxygen: Extreme,
    /// Most carbon dioxide.
    pub most_carbon_dioxide: Extreme,
    /// Most ammonia.
    pub most_tan: Extreme,
    /// Mean of the day.
    pub mean: Solutes,
    /// Highest uptake of oxygen over its mean, and when.
    pub peak: (Ratio, Time),
    /// Limit by limit at its worst, and when.
    pub limits: Vec<(LimitCheck, Time)>,
}

/// A moment of the day.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DaySample {
    /// Time since midnight.
    pub time: Time,
    /// What the tanks hold.
    pub tanks: Vec<Solutes>,
    /// After the filter.
    pub after_filter: Solutes,
    /// After the common lifts.
    pub after_lifts: Solutes,
    /// Water through filter and lifts.
    pub flow: VolumeRate,
    /// Oxygen that each tank's animals take.
    pub uptake: Vec<MassRate>,
}

/// A day that ends as it began.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Day {
    /// Tank by tank.
    pub tanks: Vec<TankDay>,
    /// Least oxygen behind the filter, of the samples.
    pub least_after_filter: Extreme,
    /// Moments from midnight to midnight, at most ten minutes apart, with two at each jump.
    pub samples: Vec<DaySample>,
    /// The steady state of the day's mean, all lifts running.
    pub steady: Steady,
    /// Days that the search for the periodic one took.
    pub days: usize,
    /// How far the straight lines that stand for the lifts were from their own balance, over what leaves them.
    pub straightness: Ratio,
    /// What the rest reads.
    pub(super) course: Course,
}

/// A day, or why there is none.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub enum DayOutcome {
    /// It comes round.
    Cycle(Box<Day>),
    /// The mean of the day cannot balance.
    Cannot {
        /// What is short.
        shortage: Shortage,
        /// The stock that could live by the mean of the day.
        stock: Option<LargestStock>,
    },
}

impl DayOutcome {
    /// The day, where there is one.
    #[must_use]
    pub fn day(&self) -> Option<&Day> {
        match self {
            Self::Cycle(day) => Some(day),
            Self::Cannot { .. } => None,
        }
    }
}

impl Day {
    /// The tank with the least oxygen of all, and that moment.
    #[must_use]
    pub fn least_oxygen(&self) -> (usize, Extreme) {
        let all = self.tanks.iter().map(|tank| tank.least_oxygen).enumerate();
        let first = (0, self.tanks[0].least_oxygen);
        all.fold(first, |a, b| if b.1.value < a.1.value { b } else { a })
    }

    /// The limit with the least slack at its worst moment: tank, limit, time.
    #[must_use]
    pub fn governing(&self) -> Option<(usize, LimitCheck, Time)> {
        let tanks = self.tanks.iter().enumerate();
        let all = tanks.flat_map(|(n, tank)| tank.limits.iter().map(move |one| (n, one.0, one.1)));
        all.min_by(|a, b| a.1.slack.value.total_cmp(&b.1.slack.value))
    }

    /// What a tank holds at a time since midnight, by its number from 0.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`DAY_TIME`](super::DAY_TIME), [`Error::NotFinite`].
    pub fn at(&self, time: Time) -> Result<Vec<Solutes>, Error> {
        let t = super::DAY_TIME.check(Input::MealTime, time.value / HOUR)?;
        let x = self.course.at(t)?;
        let held = |n: usize| -> Held { from_fn(|i| x[SPECIES * n + i]) };
        let tanks = 0..self.course.plain.tanks.len();
        Ok(tanks.map(|n| Solutes::from_plain(&held(n))).collect())
    }

    /// What the water in the filter holds at a time since midnight; none where it passes at once.
    ///
    /// # Errors
    /// As [`Day::at`].
    pub fn in_filter(&self, time: Time) -> Result<Option<Solutes>, Error> {
        let t = super::DAY_TIME.check(Input::MealTime, time.value / HOUR)?;
        let x = self.course.at(t)?;
        let n = SPECIES * self.course.plain.tanks.len();
        let held = self.course.plain.filter_volume();
        Ok(held.map(|_| Solutes::from_plain(&from_fn(|i| x[n + i]))))
    }
}

/// A part of the day in which nothing jumps.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    from: f64,
    to: f64,
    counts: Vec<u32>,
    lines: Vec<Affine>,
    running: Running,
    /// Courses of each timetable.
    courses: Vec<[PatternPiece; 2]>,
    /// State at its beginning, of the periodic day.
    start: Vec<f64>,
}

impl Piece {
    /// Activity of each tank's animals at a time.
    fn activity(&self, t: f64) -> impl FnMut(usize) -> Activity {
        let mut known = [[(0.0, 1.0); 2]; 2];
        let mut of =
            move |n: usize| -> Activity { from_fn(|i| self.courses[n][i].at(t, &mut known[i])) };
        let same = (self.courses.len() == 1).then(|| of(0));
        move |n| same.unwrap_or_else(|| of(n))
    }
}

/// A day as the integrator has it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Course {
    pub plain: Plain,
    pub patterns: Vec<[Pattern; 2]>,
    pieces: Vec<Piece>,
}

/// What of a state is integrated.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Follow {
    /// The ammonia, which does not heed the gases, to a relative tolerance.
    Ammonia(f64),
    /// All of it.
    All,
    /// Behind it the mean of the day so far, on top of the beginning; with moments on the way.
    Mean,
}

/// The right side of the balance in a piece.
///
/// Time is the last number of the state: ode_solvers 0.6.2 has 0 for the method's twelfth node, which is 1 (known there,
/// and mended in a pull request), so that the time which it hands over is wrong once a step.
struct Rates<'a> {
    course: &'a Course,
    piece: &'a Piece,
    follow: Follow,
    /// Of the state, and of what is integrated of it.
    size: usize,
    numbers: usize,
    /// A whole state and its rates, of which the ammonia's are read.
    scratch: RefCell<[Vec<f64>; 2]>,
}

impl<D: Dim> System<f64, OVector<f64, D>> for Rates<'_>
where
    DefaultAllocator: Allocator<D>,
{
    fn system(&self, _: f64, x: &OVector<f64, D>, dx: &mut OVector<f64, D>) {
        let (x, dx) = (x.as_slice(), dx.as_mut_slice());
        let (course, piece, size, last) = (self.course, self.piece, self.size, self.numbers);
        if let Follow::Ammonia(_) = self.follow {
            let [full, rates] = &mut *self.scratch.borrow_mut();
            for (n, x) in x[..last].iter().enumerate() {
                full[SPECIES * n + TAN] = *x;
            }
            course.rates::<TAN>(piece, x[last], full, rates);
            for (n, dx) in dx[..last].iter_mut().enumerate() {
                *dx = rates[SPECIES * n + TAN];
            }
        } else {
            course.rates::<0>(piece, x[last], &x[..size], &mut dx[..size]);
            for i in size..last {
                dx[i] = x[i - size] / DAY;
            }
        }
        dx[last] = 1.0;
    }
}

impl Rates<'_> {
    /// The end of a time, and the moments on the way where the mean is followed. Numbers beyond the state stay zero: room
    /// of a known size needs no heap.
    fn integrate<D: Dim>(
        self,
        room: D,
        (start, from): (f64, &DVector<f64>),
        length: f64,
    ) -> Result<(DVector<f64>, Vec<Moment>), IntegrationError>
    where
        DefaultAllocator: Allocator<D>,
    {
        let (numbers, moments) = (self.numbers, self.follow == Follow::Mean);
        let from = OVector::from_fn_generic(room, Const::<1>, |i, _| match i.cmp(&numbers) {
            Ordering::Less => from[i],
            Ordering::Equal => start,
            Ordering::Greater => 0.0,
        });
        let relative = match self.follow {
            Follow::Ammonia(relative) => relative,
            Follow::All | Follow::Mean => RELATIVE,
        };
        let mut solver = Dop853::from_param(
            self,
            0.0,
            length,
            length,
            from,
            relative,
            relative * ABSOLUTE,
            0.9,
            0.0,
            0.333,
            6.0,
            // Moments are steps: what the integrator gives between them can be off at the end of a piece.
            if moments { SAMPLE } else { length },
            length.min(SAMPLE),
            MOST_STEPS,
            u32::MAX,
            OutputType::Sparse,
        );
        solver.integrate()?;
        let (times, states) = solver.results().get();
        let state = |x: &OVector<f64, D>| x.as_slice()[..numbers].to_vec();
        let end = DVector::from_vec(states.last().map(state).unwrap_or_default());
        let mut all = Vec::new();
        if moments {
            let each = times.iter().zip(states);
            all.extend(each.map(|(t, x)| (start + t, state(x))));
        }
        Ok((end, all))
    }
}

/// A state at a time, h.
type Moment = (f64, Vec<f64>);

/// Moments of each piece of a day, and its mean.
type Recorded = (Vec<Vec<Moment>>, Vec<f64>);

impl Course {
    /// dx/dt in a piece, of the species from this one on.
    fn rates<const FIRST: usize>(&self, piece: &Piece, t: f64, x: &[f64], dx: &mut [f64]) -> Way {
        let way = self
            .plain
            .rates::<FIRST>(&piece.running, piece.activity(t), x, dx);
        let tanks = self.plain.tanks.iter().map(|tank| tank.volume);
        let volumes = tanks.chain(self.plain.filter_volume());
        for (station, volume) in dx.chunks_exact_mut(SPECIES).zip(volumes) {
            for rate in &mut station[FIRST..] {
                *rate /= volume;
            }
        }
        way
    }

    pub fn activity(&self, tank: usize, t: f64, middle: f64) -> Activity {
        activity(&self.patterns[tank.min(self.patterns.len() - 1)], t, middle)
    }

    /// Through a part of a piece; moments on the way where they are asked for.
    fn run(
        &self,
        piece: &Piece,
        (start, from): (f64, DVector<f64>),
        to: f64,
        follow: Follow,
    ) -> Result<(DVector<f64>, Vec<Moment>), Error> {
        let length = to - start;
        if length <= 0.0 {
            return Ok((from, Vec::new()));
        }
        let size = self.plain.size();
        let rates = Rates {
            course: self,
            piece,
            follow,
            size,
            numbers: from.len(),
            scratch: RefCell::new([vec![0.0; size], vec![0.0; size]]),
        };
        let at = (start, &from);
        let found = match from.len() + 1 {
            ..=16 => rates.integrate(Const::<16>, at, length),
            17..=64 => rates.integrate(Const::<64>, at, length),
            65..=112 => rates.integrate(Const::<112>, at, length),
            more => rates.integrate(Dyn(more), at, length),
        };
        found.map_err(|_| Error::NotConverged {
            what: Solve::LoopDay,
            iterations: MOST_STEPS as usize,
            residual: f64::NAN,
            low: start,
            high: to,
        })
    }

    /// The state at a time of the periodic day.
    pub fn at(&self, t: f64) -> Result<Vec<f64>, Error> {
        let t = if t >= DAY { t - DAY } else { t };
        let found = self.pieces.iter().rev().find(|piece| piece.from <= t);
        let piece = found.unwrap_or(&self.pieces[0]);
        let start = DVector::from_column_slice(&piece.start);
        let state = self.run(piece, (piece.from, start), t, Follow::All)?.0;
        Ok(state.as_slice().to_vec())
    }

    /// A day from a state: its end, and what is recorded; the beginning of each piece is kept.
    fn through(
        &mut self,
        from: &DVector<f64>,
        follow: Follow,
    ) -> Result<(DVector<f64>, Recorded), Error> {
        let size = from.len();
        let mut x = match follow {
            Follow::Ammonia(_) => from
                .rows_with_step(TAN, size / SPECIES, SPECIES - 1)
                .into_owned(),
            Follow::All => from.clone(),
            Follow::Mean => DVector::from_fn(2 * size, |i, _| from[i % size]),
        };
        let full = |x: &DVector<f64>| -> Vec<f64> {
            let mut all = from.as_slice().to_vec();
            match follow {
                Follow::Ammonia(_) => {
                    for (n, x) in x.iter().enumerate() {
                        all[SPECIES * n + TAN] = *x;
                    }
                }
                _ => all.copy_from_slice(&x.as_slice()[..size]),
            }
            all
        };
        let mut all = Vec::with_capacity(self.pieces.len());
        for n in 0..self.pieces.len() {
            self.pieces[n].start = full(&x);
            let piece = &self.pieces[n];
            let (end, moments) = self.run(piece, (piece.from, x), piece.to, follow)?;
            x = end;
            all.push(moments);
        }
        let end = DVector::from_vec(full(&x));
        let mean = x.iter().skip(size).zip(from).map(|(sum, from)| sum - from);
        let mean = mean.collect();
        Ok((end, (all, mean)))
    }

    /// How the end of a day moves with its beginning, for some numbers of the state: the product of each piece's
    /// exponential. Where a slope depends on the state, that amid a piece's beginning and end is taken.
    fn slope(
        &self,
        end: &DVector<f64>,
        scale: &DVector<f64>,
        places: &[usize],
        ammonia: bool,
    ) -> DMatrix<f64> {
        let count = places.len();
        let mut whole = DMatrix::identity(count, count);
        let mut known: Vec<(&Piece, DMatrix<f64>)> = Vec::new();
        for (n, piece) in self.pieces.iter().enumerate() {
            let length = piece.to - piece.from;
            let alike = |old: &&(&Piece, DMatrix<f64>)| {
                !ammonia
                    && (old.0.to - old.0.from - length).abs() < 1e-9
                    && old.0.running == piece.running
            };
            if let Some((_, old)) = known.iter().find(alike) {
                whole = old * whole;
                continue;
            }
            let next = self.pieces.get(n + 1);
            let next = next.map_or(end.as_slice(), |next| &next.start);
            let ends = piece.start.iter().zip(next);
            let mut x: Vec<f64> = ends.map(|(a, b)| f64::midpoint(*a, *b)).collect();
            let (mut here, mut there) = (vec![0.0; x.len()], vec![0.0; x.len()]);
            self.rates::<0>(piece, piece.from, &x, &mut here);
            let mut matrix = DMatrix::zeros(count, count);
            for (column, place) in places.iter().enumerate() {
                let step = scale[*place] * if ammonia { AMMONIA_STEP } else { 1.0 };
                let old = x[*place];
                x[*place] += step;
                self.rates::<0>(piece, piece.from, &x, &mut there);
                x[*place] = old;
                for (row, other) in places.iter().enumerate() {
                    matrix[(row, column)] = (there[*other] - here[*other]) / step * length;
                }
            }
            let matrix = matrix.exp();
            whole = &matrix * whole;
            known.push((piece, matrix));
        }
        whole
    }

    /// Moves the ammonia of a state, or its gases, to where a day ends as it began: by Newton's steps, the slope of the
    /// day mended by each day's secant (Broyden). The days that it took, and the last one's record where gases are
    /// followed.
    fn periodic(
        &mut self,
        x: &mut DVector<f64>,
        scale: &DVector<f64>,
        ammonia: bool,
    ) -> Result<(usize, Recorded), Error> {
        let all = 0..x.len();
        let places: Vec<usize> = all.filter(|i| (i % SPECIES == TAN) == ammonia).collect();
        let mut worst = f64::INFINITY;
        let mut slope = DMatrix::zeros(0, 0);
        let mut moved = DVector::zeros(places.len());
        for days in 1..=MOST_DAYS {
            // Roughly while far from the end; of gases, whose day is straight, the first tells where to begin.
            let follow = match (ammonia, days) {
                (true, _) if worst > NEAR => Follow::Ammonia(ROUGH),
                (true, _) => Follow::Ammonia(RELATIVE),
                (false, 1) => Follow::All,
                (false, _) => Follow::Mean,
            };
            let (end, recorded) = self.through(x, follow)?;
            let step = DVector::from_iterator(
                places.len(),
                places.iter().map(|place| end[*place] - x[*place]),
            );
            let over = |step: &DVector<f64>| {
                let each = step.iter().zip(&places);
                each.map(|(step, place)| (step / scale[*place]).abs())
                    .fold(0.0, f64::max)
            };
            worst = over(&step);
            let last = matches!(follow, Follow::Mean | Follow::Ammonia(RELATIVE));
            if last && worst <= PERIODIC {
                return Ok((days, recorded));
            }
            if days == 1 {
                slope = self.slope(&end, scale, &places, ammonia);
                slope -= DMatrix::identity(places.len(), places.len());
            } else if moved.norm_squared() > 0.0 {
                slope += &step * moved.transpose() / moved.norm_squared();
            }
            let newton = slope.clone().lu().solve(&-&step);
            moved = newton
                .filter(|x| x.iter().all(|x| x.is_finite()))
                .unwrap_or(step);
            moved /= over(&moved).max(1.0);
            for (moved, place) in moved.iter().zip(&places) {
                x[*place] += moved;
            }
        }
        Err(Error::NotConverged {
            what: Solve::LoopDay,
            iterations: MOST_DAYS,
            residual: worst,
            low: 0.0,
            high: DAY,
        })
    }
}

impl Loop {
    /// A day that ends as it began.
    ///
    /// The lifts' balance is taken by its straight line at the mean of the day; where it departs from the line by more
    /// than 1e-4 over the day's range, by a line for each hour.
    ///
    /// # Errors
    /// As [`Loop::steady`]; [`Error::OutOfRange`] of meals and timers, and of tanks and filters that are passed more
    /// than [`TURNOVER`] allows; [`Error::Recirculation`].
    ///
    /// # Examples
    /// ```
    /// use risewater::gas::{Conditions, Dissolved};
    /// use risewater::recirculation::*;
    /// use risewater::units::*;
    ///
    /// let air = Conditions::fresh(
    ///     ThermodynamicTemperature::new::<degree_celsius>(18.0),
    ///     AbsolutePressure::STANDARD_ATMOSPHERE,
    /// );
    /// let g_h = MassRate::new::<gram_per_hour>;
    /// let load = TankLoad { oxygen: g_h(40.0), carbon_dioxide: g_h(50.0), tan: g_h(0.0) };
    /// let tank = LoopTank::new("A", Volume::new::<cubic_meter>(40.0), load);
    /// let lifts = LiftGroup::new(
    ///     "all",
    ///     12,
    ///     VolumeRate::new::<cubic_meter_per_hour>(5.0),
    ///     LiftExchange::part(Ratio::new::<ratio>(0.3), Dissolved::saturated(&air)?),
    /// );
    /// let meal = |hours: f64| Meal {
    ///     at: Time::new::<second>(3600.0 * hours),
    ///     share: Ratio::new::<ratio>(0.5),
    /// };
    /// let plan = DayPlan::new(Feeding::new(vec![meal(8.0), meal(16.0)]));
    /// let outcome = Loop::new(air, vec![tank], None, vec![lifts]).day(&plan)?;
    /// let found = outcome.day().expect("it balances");
    /// // The oxygen is lowest when the peak ends, 4 h after a meal: half the time to the next.
    /// let (_, least) = found.least_oxygen();
    /// let hours = least.at.get::<second>() / 3600.0;
    /// assert!((hours - 12.0).abs() < 1e-6 || (hours - 20.0).abs() < 1e-6);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn day(&self, plan: &DayPlan) -> Result<DayOutcome, Error> {
        let steady = match self.steady()? {
            SteadyOutcome::Balances(steady) => *steady,
            SteadyOutcome::Cannot {
                shortage, stock, ..
            } => {
                return Ok(DayOutcome::Cannot { shortage, stock });
            }
        };
        let plain = self.plain()?;
        let saturated = self.start()?;
        let mut course = Self::course(plan, plain, &steady.numbers)?;
        let state = steady.numbers.state(&course.plain);
        let scale = scale(&state, &saturated);
        let mut x = DVector::from_vec(state);
        let (ammonia, _) = course.periodic(&mut x, &scale, true)?;
        let (mut days, mut recorded) = course.periodic(&mut x, &scale, false)?;
        let mut straightness = course.straightness(&recorded.0, &saturated);
        for _ in 0..2 {
            if straightness <= STRAIGHT {
                break;
            }
            course.bend(&recorded.0);
            let found = course.periodic(&mut x, &scale, false)?;
            (days, recorded) = (days + found.0, found.1);
            straightness = course.straightness(&recorded.0, &saturated);
        }
        let (moments, mean) = recorded;
        days += ammonia;
        let day = self.day_of(course, &moments, &mean, steady)?;
        Ok(DayOutcome::Cycle(Box::new(Day {
            days,
            straightness: base(straightness),
            ..day
        })))
    }

    /// The pieces of a day.
    fn course(plan: &DayPlan, plain: Plain, numbers: &Numbers) -> Result<Course, Error> {
        let (given, tanks) = (plan.feeding.len(), plain.tanks.len());
        if given != 1 && given != tanks {
            return Err(fault(RecirculationError::Timetables { given, tanks }));
        }
        let patterns: Result<Vec<_>, Error> = plan.feeding.iter().map(Feeding::patterns).collect();
        let patterns = patterns?;
        let mut cuts: Vec<f64> = patterns
            .iter()
            .flatten()
            .flat_map(Pattern::switches)
            .collect();
        let mut timers = Vec::with_capacity(plan.timers.len());
        for timer in &plan.timers {
            let hours = |time: Time| super::DAY_TIME.check(Input::MealTime, time.value / HOUR);
            let (from, to) = (hours(timer.from)?, hours(timer.to)?);
            let group = plain.groups.get(timer.group);
            if group.is_none_or(|group| group.count < timer.off) {
                let (group, lifts) = (timer.group + 1, timer.off);
                return Err(fault(RecirculationError::NoSuchLifts { group, lifts }));
            }
            cuts.extend([from % DAY, to % DAY]);
            timers.push((timer.group, timer.off, from, to));
        }
        cuts.extend([0.0, DAY]);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        if let Some(last) = cuts.last_mut() {
            *last = DAY;
        }
        let mut pieces = Vec::with_capacity(cuts.len());
        for pair in cuts.windows(2) {
            let middle = f64::midpoint(pair[0], pair[1]);
            let mut counts: Vec<u32> = plain.groups.iter().map(|group| group.count).collect();
            for (group, off, from, to) in &timers {
                if within(middle, *from, *to) {
                    let have = counts[*group];
                    let Some(left) = have.checked_sub(*off) else {
                        let (group, lifts) = (group + 1, *off);
                        return Err(fault(RecirculationError::NoSuchLifts { group, lifts }));
                    };
                    counts[*group] = left;
                }
            }
            let running = plain.running(&counts, &numbers.lines);
            plain.check_turnover(&running)?;
            pieces.push(Piece {
                from: pair[0],
                to: pair[1],
                counts,
                lines: numbers.lines.clone(),
                running,
                courses: patterns
                    .iter()
                    .map(|both| both.each_ref().map(|one| one.piece(pair[0], middle)))
                    .collect(),
                start: Vec::new(),
            });
        }
        Ok(Course {
            plain,
            patterns,
            pieces,
        })
    }

    /// What a periodic day comes to.
    fn day_of(
        &self,
        course: Course,
        moments: &[Vec<Moment>],
        mean: &[f64],
        steady: Steady,
    ) -> Result<Day, Error> {
        let held = |x: &[f64], n: usize| -> Held { from_fn(|i| x[SPECIES * n + i]) };
        let count = course.plain.tanks.len();
        let mut samples = Vec::new();
        let mut least_after_filter: Option<Extreme> = None;
        let mut rates = vec![0.0; course.plain.size()];
        for (piece, moments) in course.pieces.iter().zip(moments) {
            for (t, x) in moments {
                let way = course.rates::<0>(piece, *t, &x[..rates.len()], &mut rates);
                let after_filter = Solutes::from_plain(&way.after_filter);
                let here = Extreme {
                    value: after_filter.gases.oxygen,
                    at: base(t * HOUR),
                };
                if least_after_filter.is_none_or(|least| here.value < least.value) {
                    least_after_filter = Some(here);
                }
                let mut activity = piece.activity(*t);
                let uptake = |n: usize| {
                    let given = course.plain.given_by_animals(n, activity(n));
                    base(-given[O2] * super::plain::G_H)
                };
                samples.push(DaySample {
                    time: base(t * HOUR),
                    tanks: (0..count)
                        .map(|n| Solutes::from_plain(&held(x, n)))
                        .collect(),
                    after_filter,
                    after_lifts: Solutes::from_plain(&way.after_lifts),
                    flow: base(piece.running.total * M3_H),
                    uptake: (0..count).map(uptake).collect(),
                });
            }
        }
        let tops: Vec<_> = course.patterns.iter().map(|both| both[0].top()).collect();
        let mut tanks = Vec::with_capacity(count);
        for n in 0..count {
            let extreme = |what: usize, sign: f64| -> Result<(f64, f64), Error> {
                course.extreme(moments, SPECIES * n + what, sign)
            };
            let (oxygen, carbon_dioxide, tan) =
                (extreme(O2, 1.0)?, extreme(CO2, -1.0)?, extreme(TAN, -1.0)?);
            let typed = |(t, value): (f64, f64)| Extreme {
                value: super::plain::concentration(value),
                at: base(t * HOUR),
            };
            let top = tops[n.min(tops.len() - 1)];
            tanks.push(TankDay {
                least_oxygen: typed(oxygen),
                most_carbon_dioxide: typed(carbon_dioxide),
                most_tan: typed(tan),
                mean: Solutes::from_plain(&held(mean, n)),
                peak: (base(top.1), base(top.0 * HOUR)),
                limits: self.worst(&course, moments, n, [oxygen, carbon_dioxide, tan])?,
            });
        }
        let none = Extreme {
            value: base(0.0),
            at: base(0.0),
        };
        Ok(Day {
            tanks,
            least_after_filter: least_after_filter.unwrap_or(none),
            samples,
            steady,
            days: 0,
            straightness: base(0.0),
            course,
        })
    }

    /// Each limit of a tank at its worst moment: of oxygen, carbon dioxide and ammonia at their extremes, of the rest
    /// among the moments.
    fn worst(
        &self,
        course: &Course,
        moments: &[Vec<Moment>],
        n: usize,
        [oxygen, carbon_dioxide, tan]: [(f64, f64); 3],
    ) -> Result<Vec<(LimitCheck, Time)>, Error> {
        let mut held = [0.0; SPECIES];
        (held[O2], held[CO2], held[TAN]) = (oxygen.1, carbon_dioxide.1, tan.1);
        let time = |what: LoopLimit| match what {
            LoopLimit::Oxygen => oxygen.0,
            LoopLimit::CarbonDioxide => carbon_dioxide.0,
            _ => tan.0,
        };
        let known = self.known()?;
        let at_extremes = self.checks(&known, n, &held, 0.0)?.into_iter();
        let mut all: Vec<_> = at_extremes
            .filter(|one| !matches!(one.what, LoopLimit::Turnover | LoopLimit::TotalGasPressure))
            .map(|one| (one, base(time(one.what) * HOUR)))
            .collect();
        let tank = &self.tanks[n];
        if tank.limits.turnover.is_none() && tank.total_gas_pressure.is_none() {
            return Ok(all);
        }
        let mut rest: Vec<(LimitCheck, Time)> = Vec::new();
        for (piece, moments) in course.pieces.iter().zip(moments) {
            for (t, x) in moments {
                let held: Held = from_fn(|i| x[SPECIES * n + i]);
                let checks = self.checks(&known, n, &held, piece.running.through[n])?;
                for one in checks.into_iter().filter(|one| {
                    matches!(one.what, LoopLimit::Turnover | LoopLimit::TotalGasPressure)
                }) {
                    let here = (one, base(t * HOUR));
                    match rest.iter_mut().find(|old| old.0.what == one.what) {
                        Some(old) if one.slack < old.0.slack => *old = here,
                        Some(_) => {}
                        None => rest.push(here),
                    }
                }
            }
        }
        all.extend(rest);
        Ok(all)
    }
}

impl Course {
    /// How far the lines of the lifts are from their own balance, at most, over what leaves.
    fn straightness(&self, moments: &[Vec<Moment>], saturated: &[f64; TAN]) -> f64 {
        let mut worst: f64 = 0.0;
        for (piece, moments) in self.pieces.iter().zip(moments) {
            let last = moments.len().saturating_sub(1);
            for (k, (_, x)) in moments.iter().enumerate() {
                if k % HELD_AGAINST != 0 && k != last {
                    continue;
                }
                let inlet = self.inlet(piece, x);
                for (n, group) in self.plain.groups.iter().enumerate() {
                    if piece.counts[n] == 0 || group.exchange.is_straight() {
                        continue;
                    }
                    let own = group.exchange.outlet(from_fn(|i| inlet[i]));
                    let by_line = piece.lines[n].apply(&inlet);
                    for i in 0..TAN {
                        let apart = (own[i] - by_line[i]).abs() / own[i].abs().max(saturated[i]);
                        worst = worst.max(apart);
                    }
                }
            }
        }
        worst
    }

    /// What enters the lifts.
    fn inlet(&self, piece: &Piece, x: &[f64]) -> Held {
        let held = |n: usize| -> Held { from_fn(|i| x[SPECIES * n + i]) };
        let filter = self
            .plain
            .filter_volume()
            .map(|_| held(self.plain.tanks.len()));
        let way = self.plain.way(&piece.running, held, filter.as_ref());
        way.to_lifts
    }

    /// Cuts the day into shorter pieces, each with the lifts' lines at its middle.
    fn bend(&mut self, moments: &[Vec<Moment>]) {
        let mut pieces = Vec::new();
        for (piece, moments) in self.pieces.iter().zip(moments) {
            let parts = ((piece.to - piece.from) / BENT_PIECE - 1e-9)
                .ceil()
                .max(1.0);
            let length = (piece.to - piece.from) / parts;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            for part in 0..parts as usize {
                let from = piece.from + length * part as f64;
                let to = if part + 1 == parts as usize {
                    piece.to
                } else {
                    from + length
                };
                let middle = f64::midpoint(from, to);
                let near = moments
                    .iter()
                    .min_by(|a, b| (a.0 - middle).abs().total_cmp(&(b.0 - middle).abs()));
                let mut cut = piece.clone();
                (cut.from, cut.to) = (from, to);
                if let Some((_, x)) = near {
                    let inlet = self.inlet(piece, x);
                    let at = from_fn(|i| inlet[i]);
                    let groups = self.plain.groups.iter();
                    cut.lines = groups.map(|group| group.exchange.affine(at)).collect();
                    cut.running = self.plain.running(&cut.counts, &cut.lines);
                }
                pieces.push(cut);
            }
        }
        self.pieces = pieces;
    }

    /// Time and value of the least of one number of the state, times a sign: the least moment, moved to where the
    /// balance is at rest between its neighbours.
    fn extreme(
        &self,
        moments: &[Vec<Moment>],
        place: usize,
        sign: f64,
    ) -> Result<(f64, f64), Error> {
        let mut least = (f64::INFINITY, 0, 0);
        for (p, moments) in moments.iter().enumerate() {
            for (k, (_, x)) in moments.iter().enumerate() {
                if sign * x[place] < least.0 {
                    least = (sign * x[place], p, k);
                }
            }
        }
        let (_, p, k) = least;
        let (t, x) = &moments[p][k];
        let found = (*t, x[place]);
        // A moment at the end of a piece may fall on beyond it.
        let sides = [
            (k > 0).then(|| (p, k - 1, k)),
            (k + 1 < moments[p].len()).then(|| (p, k, k + 1)),
            (k == 0 && p > 0).then(|| {
                (
                    p - 1,
                    moments[p - 1].len().saturating_sub(2),
                    moments[p - 1].len() - 1,
                )
            }),
            (k + 1 == moments[p].len() && p + 1 < moments.len()).then(|| (p + 1, 0, 1)),
        ];
        let size = self.plain.size();
        let mut rates = vec![0.0; size];
        for (p, a, b) in sides.into_iter().flatten() {
            let (piece, moments) = (&self.pieces[p], &moments[p]);
            if b >= moments.len() {
                continue;
            }
            let mut slope = |t: f64, x: &[f64]| -> f64 {
                self.rates::<0>(piece, t, &x[..size], &mut rates);
                sign * rates[place]
            };
            let (low, high) = (moments[a].0, moments[b].0);
            let (f_low, f_high) = (slope(low, &moments[a].1), slope(high, &moments[b].1));
            if !(f_low < 0.0 && f_high > 0.0) {
                continue;
            }
            let unit = f_high.max(-f_low);
            // What hardly moves has slopes of rounding alone, and its sample is the extreme.
            if unit * (high - low) <= STILL * found.1.abs().max(1e-3) {
                continue;
            }
            // Each from the last before it.
            let mut known = vec![(low, DVector::from_column_slice(&moments[a].1[..size]))];
            let mut state = |t: f64| -> Result<DVector<f64>, Error> {
                let before = known.iter().filter(|one| one.0 <= t);
                let near = before.max_by(|a, b| a.0.total_cmp(&b.0));
                let near = near.unwrap_or(&known[0]).clone();
                let x = self.run(piece, near, t, Follow::All)?.0;
                known.push((t, x.clone()));
                Ok(x)
            };
            let f = |t: f64| -> Result<f64, Error> { Ok(slope(t, state(t)?.as_slice()) / unit) };
            let t = fallible(f, |f| {
                let bracket = Bracket {
                    low,
                    f_low: f_low / unit,
                    high,
                    f_high: f_high / unit,
                };
                let tolerance = Tolerance {
                    relative: 1e-12,
                    absolute: 1e-11,
                    residual: 1e-5,
                    rounding: 1e-13,
                };
                bracketed(Solve::ExtremeTime, bracket, tolerance, f)
            })?;
            let x = state(t)?;
            let better = sign * x[place] <= sign * found.1 + 1e-9 * found.1.abs();
            if better {
                return Ok((t, x[place]));
            }
        }
        Ok(found)
    }
}

impl Plain {
    /// Volumes that are passed in less than a few seconds are not followed.
    fn check_turnover(&self, running: &Running) -> Result<(), Error> {
        for (tank, through) in self.tanks.iter().zip(&running.through) {
            let turnover = (through + tank.makeup_flow) / tank.volume;
            TURNOVER.check(Input::Turnover, turnover)?;
        }
        if let Some(volume) = self.filter_volume() {
            TURNOVER.check(Input::FilterTurnover, running.total / volume)?;
        }
        Ok(())
    }
}

/// What a change of the state is large against.
fn scale(state: &[f64], saturated: &[f64; TAN]) -> DVector<f64> {
    DVector::from_fn(state.len(), |j, _| {
        let own = state[j].abs();
        let i = j % SPECIES;
        if i < TAN {
            own.max(saturated[i])
        } else {
            own.max(0.1)
        }
    })
}
