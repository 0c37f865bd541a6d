//! The steady state of a loop, what it comes to limit by limit, and the stock that it could keep.

use std::array::from_fn;

use nalgebra::{DMatrix, DVector};

use super::plain::{Affine, G_H, Held, M3_H, O2, Plain, Running, SPECIES, TAN, Way};
use super::{Known, LimitCheck, Loop, LoopLimit, Solutes};
use crate::error::{Error, Solve};
use crate::gas::{Dissolved, Gas};
use crate::solve::{Bracket, Tolerance, bracketed, fallible};
use crate::units::{MassConcentration, MassRate, Ratio, VolumeRate, base};

/// Turns of new lines for the lifts; the balance of a riser is so nearly straight that three do.
const TURNS: usize = 30;
/// A line agrees with the lift's own balance to this part of what leaves.
const AGREES: f64 = 1e-12;
/// Halvings of the stock towards what a filter can take: to the last digit of a factor near one.
const HALVINGS: usize = 52;
/// Ammonia beyond which a loop is taken to have no steady state, g/m³.
const MOST_TAN: f64 = 1e7;

/// A place on the way round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// A tank, counted from 0.
    Tank(usize),
    /// Behind the filter.
    AfterFilter,
}

/// Why a loop cannot balance.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Shortage {
    /// The animals excrete more than the filter can ever take, and no new water carries it off.
    FilterOverloaded {
        /// Ammonia excreted.
        excreted: MassRate,
        /// Most that the filter takes.
        most: MassRate,
    },
    /// Neither filter nor new water takes the ammonia.
    NothingTakesAmmonia,
    /// Neither lifts, surface nor new water bring or carry off a gas.
    NothingExchanges(Gas),
    /// More oxygen is taken than can be brought.
    OxygenRunsOut {
        /// Where it would be lowest.
        place: Place,
        /// What the balance would come to there, below zero.
        would_be: MassConcentration,
    },
}

/// What a loop comes to when nothing changes any more.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub enum SteadyOutcome {
    /// There is a steady state, within the limits or not.
    Balances(Box<Steady>),
    /// There is none that animals live in: an answer, not an error.
    Cannot {
        /// What is short.
        shortage: Shortage,
        /// The stock that could live, within the limits; none where the stock is not what matters.
        stock: Option<LargestStock>,
        /// The state that the balance comes to where oxygen runs out, below zero somewhere: no state to live in, but it
        /// says how much is missing.
        would_be: Option<Box<Steady>>,
    },
}

impl SteadyOutcome {
    /// The steady state, where there is one.
    #[must_use]
    pub fn steady(&self) -> Option<&Steady> {
        match self {
            Self::Balances(steady) => Some(steady),
            Self::Cannot { .. } => None,
        }
    }
}

/// A tank in the steady state.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TankState {
    /// Water through it, new water apart.
    pub through: VolumeRate,
    /// What that water holds.
    pub entering: Solutes,
    /// What the tank's water holds.
    pub holds: Solutes,
    /// Total gas pressure over the barometer's.
    pub total_gas_pressure: Option<Ratio>,
    /// Limit by limit.
    pub limits: Vec<LimitCheck>,
    /// Least oxygen that it should hold.
    pub(super) oxygen_limit: Option<MassConcentration>,
}

/// What comes to the water in all, in the order of [`Gas::ALL`] with ammonia nitrogen last; below zero what leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Budget {
    /// From the animals.
    pub animals: [MassRate; 5],
    /// From the filter.
    pub filter: [MassRate; 5],
    /// From the lifts.
    pub lifts: [MassRate; 5],
    /// At the surfaces.
    pub surfaces: [MassRate; 5],
    /// From other aerators.
    pub aerators: [MassRate; 5],
    /// With new water, what leaves for it taken off.
    pub makeup: [MassRate; 5],
}

impl Budget {
    /// All of one substance: nothing in a steady state.
    #[must_use]
    pub fn sum(&self, substance: usize) -> MassRate {
        self.parts()
            .iter()
            .fold(base(0.0), |sum, part| sum + part[substance])
    }

    /// The parts in the order of the fields.
    #[must_use]
    pub fn parts(&self) -> [[MassRate; 5]; 6] {
        [
            self.animals,
            self.filter,
            self.lifts,
            self.surfaces,
            self.aerators,
            self.makeup,
        ]
    }
}

/// A steady state.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Steady {
    /// Tank by tank.
    pub tanks: Vec<TankState>,
    /// Water through filter and lifts.
    pub flow: VolumeRate,
    /// What holds the water that leaves the tanks, all together.
    pub sump: Solutes,
    /// After the filter.
    pub after_filter: Solutes,
    /// After the common lifts; what enters the lifts where there are none.
    pub after_lifts: Solutes,
    /// Nitrogen that the filter oxidises.
    pub nitrified: MassRate,
    /// Alkalinity as CaCO₃ that the loop loses by it, and a base must make good; what new water brings not counted.
    pub alkalinity: MassRate,
    /// What comes and goes.
    pub budget: Budget,
    /// Whether a lift without a coefficient is taken at its ceiling, and the state with it.
    pub is_ceiling: bool,
    /// The state in plain numbers.
    pub(super) numbers: Numbers,
}

impl Steady {
    /// The limit with the least slack: what governs.
    #[must_use]
    pub fn governing(&self) -> Option<(usize, LimitCheck)> {
        let tanks = self.tanks.iter().enumerate();
        let all = tanks.flat_map(|(n, tank)| tank.limits.iter().map(move |one| (n, *one)));
        all.min_by(|a, b| a.1.slack.value.total_cmp(&b.1.slack.value))
    }

    /// Whether every limit holds.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.governing().is_none_or(|(_, one)| one.holds())
    }
}

/// What bounds the stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum StockBound {
    /// A limit of a tank, counted from 0.
    Limit {
        /// The tank.
        tank: usize,
        /// The limit.
        what: LoopLimit,
    },
    /// The filter can take no more ammonia.
    Filter,
    /// No oxygen is left.
    Oxygen(Place),
}

/// The largest stock, fed alike, that a loop keeps within its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LargestStock {
    /// Over that which was given; nothing where the limits fail without animals.
    pub factor: Ratio,
    /// What bounds it.
    pub bound: StockBound,
}

/// A steady state in plain numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Numbers {
    /// What each tank holds.
    pub tanks: Vec<Held>,
    pub way: Way,
    pub running: Running,
    pub lines: Vec<Affine>,
}

impl Numbers {
    /// As a state of the loop, with the filter's water where it is followed.
    pub fn state(&self, plain: &Plain) -> Vec<f64> {
        let mut x: Vec<f64> = self.tanks.iter().flatten().copied().collect();
        if plain.filter_volume().is_some() {
            x.extend(self.way.after_filter);
        }
        x
    }
}

impl Loop {
    /// The steady state, the animals' mean of the day.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] of an input, [`Error::Recirculation`] of a loop that cannot be,
    /// [`Error::NotConverged`]. A loop that cannot balance is none: see [`SteadyOutcome`].
    ///
    /// # Examples
    /// See [`recirculation`](crate::recirculation).
    pub fn steady(&self) -> Result<SteadyOutcome, Error> {
        let plain = self.plain()?;
        self.known()?;
        let counts: Vec<u32> = plain.groups.iter().map(|group| group.count).collect();
        let numbers = match plain.steady(&counts, self.start()?)? {
            Ok(numbers) => numbers,
            Err(shortage) => {
                let stock = self.largest_of(&plain)?;
                return Ok(SteadyOutcome::Cannot {
                    shortage,
                    stock,
                    would_be: None,
                });
            }
        };
        let lowest = lowest_oxygen(&numbers).filter(|low| low.1 < 0.0);
        let steady = Box::new(self.typed(&plain, numbers)?);
        if let Some((place, would_be)) = lowest {
            return Ok(SteadyOutcome::Cannot {
                shortage: Shortage::OxygenRunsOut {
                    place,
                    would_be: super::plain::concentration(would_be),
                },
                stock: self.largest_of(&plain)?,
                would_be: Some(steady),
            });
        }
        Ok(SteadyOutcome::Balances(steady))
    }

    /// The largest stock within the limits, all tanks' animals, their feed and the filter's other bacteria in
    /// proportion; none where there are none of them. Total gas pressure and turnover do not bound it.
    ///
    /// ```text
    /// F = [Q E (C* − C_lim) + Q_m (C_m − C_lim) + K_sV (C*_s − C_lim)]/(a_fish + (1−E) a_filter)     one tank, oxygen
    /// ```
    ///
    /// found for any loop as the root of the least slack over the stock.
    ///
    /// # Errors
    /// As [`Loop::steady`].
    pub fn largest_stock(&self) -> Result<Option<LargestStock>, Error> {
        let plain = self.plain()?;
        self.known()?;
        self.largest_of(&plain)
    }

    fn largest_of(&self, plain: &Plain) -> Result<Option<LargestStock>, Error> {
        let counts: Vec<u32> = plain.groups.iter().map(|group| group.count).collect();
        let start = self.start()?;
        let known = self.known()?;
        let mut plain = plain.clone();
        let mut slack = |stock: f64| -> Result<Option<(f64, StockBound)>, Error> {
            plain.stock = stock;
            let Ok(numbers) = plain.steady(&counts, start)? else {
                return Ok(None);
            };
            self.least_slack(&known, &plain, &numbers, start).map(Some)
        };
        // Without animals even.
        match slack(0.0)? {
            None => return Ok(None),
            Some((least, bound)) if least < 0.0 => {
                let factor = base(0.0);
                return Ok(Some(LargestStock { factor, bound }));
            }
            Some(_) => {}
        }
        let (mut low, mut high) = (0.0, 1.0);
        // Up to where it fails.
        let mut bound = loop {
            match slack(high)? {
                Some((least, _)) if least >= 0.0 => (low, high) = (high, 2.0 * high),
                Some((_, bound)) => break bound,
                None => break StockBound::Filter,
            }
            if high > 1e9 {
                return Ok(None);
            }
        };
        // The slack ends where the filter can take no more: halve the stock until there is one beyond the limit.
        let mut failing = slack(high)?;
        for _ in 0..HALVINGS {
            if failing.is_some() {
                break;
            }
            let middle = f64::midpoint(low, high);
            match slack(middle)? {
                Some((least, _)) if least >= 0.0 => low = middle,
                found => (high, failing) = (middle, found),
            }
        }
        if failing.is_none() {
            let factor = base(low);
            let bound = StockBound::Filter;
            return Ok(Some(LargestStock { factor, bound }));
        }
        let f = |stock: f64| -> Result<f64, Error> {
            let (least, by) = slack(stock)?.unwrap_or((-1.0, StockBound::Filter));
            bound = by;
            // A pole of the ammonia becomes a level.
            Ok(least / (1.0 + least.abs()))
        };
        let factor = fallible(f, |f| {
            let bracket = Bracket {
                low,
                f_low: f(low),
                high,
                f_high: f(high),
            };
            let tolerance = Tolerance {
                relative: 1e-13,
                absolute: 1e-15,
                residual: 1e-6,
                rounding: 1e-15,
            };
            bracketed(Solve::LoopStock, bracket, tolerance, f)
        })?;
        let factor = base(factor);
        Ok(Some(LargestStock { factor, bound }))
    }

    /// The least slack of what bounds a stock, and what has it.
    fn least_slack(
        &self,
        known: &Known,
        plain: &Plain,
        numbers: &Numbers,
        start: [f64; TAN],
    ) -> Result<(f64, StockBound), Error> {
        let mut least = (f64::INFINITY, StockBound::Filter);
        let mut take = |slack: f64, bound: StockBound| {
            if slack < least.0 {
                least = (slack, bound);
            }
        };
        for n in 0..plain.tanks.len() {
            let through = numbers.running.through[n];
            for one in self.checks(known, n, &numbers.tanks[n], through)? {
                if !matches!(one.what, LoopLimit::TotalGasPressure | LoopLimit::Turnover) {
                    take(
                        one.slack.value,
                        StockBound::Limit {
                            tank: n,
                            what: one.what,
                        },
                    );
                }
            }
        }
        if let Some((place, oxygen)) = lowest_oxygen(numbers) {
            take(oxygen / start[O2], StockBound::Oxygen(place));
        }
        Ok(least)
    }

    /// Saturation with the loop's air, g/m³: where searches start.
    pub(super) fn start(&self) -> Result<[f64; TAN], Error> {
        let saturated = Solutes::of(Dissolved::saturated(&self.air)?).plain()?;
        Ok(from_fn(|i| saturated[i]))
    }

    fn typed(&self, plain: &Plain, numbers: Numbers) -> Result<Steady, Error> {
        let known = self.known()?;
        let held = |n: usize| numbers.tanks[n];
        let tanks: Result<Vec<_>, Error> = (0..plain.tanks.len())
            .map(|n| {
                let through = numbers.running.through[n];
                let entering = plain.entering(&numbers.running, &numbers.way, n, held);
                Ok(TankState {
                    through: base(through * M3_H),
                    entering: Solutes::from_plain(&entering),
                    holds: Solutes::from_plain(&held(n)),
                    total_gas_pressure: self.total_gas_pressure(&known, &held(n))?,
                    limits: self.checks(&known, n, &held(n), through)?,
                    oxygen_limit: self.tanks[n].limits.oxygen,
                })
            })
            .collect();
        let way = &numbers.way;
        Ok(Steady {
            tanks: tanks?,
            flow: base(numbers.running.total * M3_H),
            sump: Solutes::from_plain(&way.sump),
            after_filter: Solutes::from_plain(&way.after_filter),
            after_lifts: Solutes::from_plain(&way.after_lifts),
            nitrified: base(way.nitrified * G_H),
            alkalinity: self.filter.map_or(base(0.0), |filter| {
                base(filter.per_nitrogen.alkalinity.value * way.nitrified * G_H)
            }),
            budget: budget(plain, &numbers),
            is_ceiling: self
                .lifts
                .iter()
                .any(|group| group.count > 0 && group.exchange.is_ceiling()),
            numbers,
        })
    }
}

/// What comes and goes, the lifts by their own balance and not by its line.
fn budget(plain: &Plain, numbers: &Numbers) -> Budget {
    let typed = |held: Held| held.map(|rate| base(rate * G_H));
    let mut sums = [[0.0; SPECIES]; 6];
    let add = |to: &mut Held, what: &Held| {
        for (to, what) in to.iter_mut().zip(what) {
            *to += what;
        }
    };
    for (n, (tank, held)) in plain.tanks.iter().zip(&numbers.tanks).enumerate() {
        add(&mut sums[0], &plain.given_by_animals(n, [1.0; 2]));
        add(&mut sums[3], &tank.surface.to(held));
        add(&mut sums[4], &tank.aerators.to(held));
        let makeup: Held = from_fn(|i| tank.makeup_flow * (tank.makeup[i] - held[i]));
        add(&mut sums[5], &makeup);
    }
    if numbers.running.total > 0.0 {
        sums[1] = plain.given_by_filter(numbers.way.nitrified);
    }
    let inlet: [f64; TAN] = from_fn(|i| numbers.way.to_lifts[i]);
    for group in &plain.groups {
        let outlet = group.exchange.outlet(inlet);
        let flow = group.flow_each * f64::from(group.count);
        for i in 0..TAN {
            sums[2][i] += flow * (outlet[i] - inlet[i]);
        }
    }
    let [animals, filter, lifts, surfaces, aerators, makeup] = sums.map(typed);
    Budget {
        animals,
        filter,
        lifts,
        surfaces,
        aerators,
        makeup,
    }
}

/// Where the oxygen is lowest, and how much there is.
pub(super) fn lowest_oxygen(numbers: &Numbers) -> Option<(Place, f64)> {
    let tanks = numbers.tanks.iter().enumerate();
    let tanks = tanks.map(|(n, held)| (Place::Tank(n), held[O2]));
    let filter = (Place::AfterFilter, numbers.way.after_filter[O2]);
    tanks.chain([filter]).min_by(|a, b| a.1.total_cmp(&b.1))
}

impl Plain {
    /// The steady state with so many lifts of each group, or what is short.
    pub fn steady(
        &self,
        counts: &[u32],
        start: [f64; TAN],
    ) -> Result<Result<Numbers, Shortage>, Error> {
        let mut at = start;
        let mut lines: Vec<Affine> = self.groups.iter().map(|g| g.exchange.affine(at)).collect();
        let tan = match self.steady_tan(&self.running(counts, &lines))? {
            Ok(tan) => tan,
            Err(shortage) => return Ok(Err(shortage)),
        };
        let mut worst = f64::NAN;
        for _ in 0..TURNS {
            let running = self.running(counts, &lines);
            if let Some(gas) = self.closed_to(&running, counts, &lines) {
                return Ok(Err(Shortage::NothingExchanges(gas)));
            }
            let tanks = self.steady_gases(&running, &tan, start)?;
            let way = self.way(&running, |n| tanks[n], None);
            let inlet: [f64; TAN] = from_fn(|i| way.to_lifts[i]);
            worst = 0.0;
            for (group, line) in self.groups.iter().zip(&lines) {
                let own = group.exchange.outlet(inlet);
                let by_line = line.apply(&from_fn(|i| if i < TAN { inlet[i] } else { 0.0 }));
                for i in 0..TAN {
                    let apart = (own[i] - by_line[i]).abs() / own[i].abs().max(start[i]);
                    worst = f64::max(worst, apart);
                }
            }
            if worst <= AGREES {
                let numbers = Numbers {
                    tanks,
                    way,
                    running,
                    lines,
                };
                return Ok(Ok(numbers));
            }
            at = inlet;
            lines = self.groups.iter().map(|g| g.exchange.affine(at)).collect();
        }
        Err(Error::NotConverged {
            what: Solve::LoopGases,
            iterations: TURNS,
            residual: worst,
            low: at[O2],
            high: start[O2],
        })
    }

    /// Ammonia of each tank.
    ///
    /// ```text
    /// a − L S − (1 − L) N(S)/Q = 0
    /// ```
    ///
    /// with S what enters the filter, a what a round without ammonia would bring, L the share of a round that leaves
    /// by the overflow: no difference of large numbers, however little the new water.
    fn steady_tan(&self, running: &Running) -> Result<Result<Vec<f64>, Shortage>, Error> {
        let q = running.total;
        let excreted = |n: usize| self.given_by_animals(n, [1.0; 2])[TAN];
        // What the tanks hold if so much enters, and what of it comes to the sump.
        let round = |entering: f64| -> (Vec<f64>, f64) {
            let mut before = entering;
            let mut sump = 0.0;
            let mut held = Vec::with_capacity(self.tanks.len());
            for (n, tank) in self.tanks.iter().enumerate() {
                let through = running.through[n];
                let out = through + tank.makeup_flow;
                let enters = if self.series { before } else { entering };
                let brought = through * enters + tank.makeup_flow * tank.makeup[TAN] + excreted(n);
                let holds = if out > 0.0 { brought / out } else { 0.0 };
                before = holds;
                if q > 0.0 {
                    sump += through / q * holds;
                }
                held.push(holds);
            }
            (held, if self.series { before } else { sump })
        };
        let stands = |n: usize| running.through[n] + self.tanks[n].makeup_flow <= 0.0;
        if (0..self.tanks.len()).any(|n| stands(n) && excreted(n) > 0.0) {
            return Ok(Err(Shortage::NothingTakesAmmonia));
        }
        if q <= 0.0 {
            return Ok(Ok(round(0.0).0));
        }
        let (without, a) = round(0.0);
        if a <= 0.0 {
            return Ok(Ok(without));
        }
        let leak = if self.series {
            let passed: f64 = self.tanks.iter().map(|t| (t.makeup_flow / q).ln_1p()).sum();
            -(-passed).exp_m1()
        } else {
            let parts = self.tanks.iter().zip(&running.through);
            parts
                .filter(|(_, through)| **through > 0.0)
                .map(|(t, through)| through / q * t.makeup_flow / (through + t.makeup_flow))
                .sum()
        };
        let law = self.filter.map(|filter| filter.law);
        let nitrified = |s: f64| law.map_or(0.0, |law| law.nitrified(s, q));
        let most = law.map_or(0.0, super::filter::PlainLaw::most);
        if leak <= 0.0 && most <= 0.0 {
            return Ok(Err(Shortage::NothingTakesAmmonia));
        }
        let overloaded = Shortage::FilterOverloaded {
            excreted: base(a * q * G_H),
            most: base(most * G_H),
        };
        if leak <= 0.0 && most <= a * q {
            return Ok(Err(overloaded));
        }
        let f = |s: f64| 1.0 - (leak * s + (1.0 - leak) * nitrified(s) / q) / a;
        let mut high = a;
        while f(high) > 0.0 {
            high *= 2.0;
            if high > MOST_TAN.max(1e3 * a) {
                return Ok(Err(overloaded));
            }
        }
        let bracket = Bracket {
            low: 0.0,
            f_low: 1.0,
            high,
            f_high: f(high),
        };
        let tolerance = Tolerance {
            relative: 1e-15,
            absolute: 0.0,
            residual: 1e-9,
            rounding: 3e-16,
        };
        let s = bracketed(Solve::LoopAmmonia, bracket, tolerance, f)?;
        Ok(Ok(round(s - nitrified(s) / q).0))
    }

    /// A gas that nothing brings to a tank or carries off.
    fn closed_to(&self, running: &Running, counts: &[u32], lines: &[Affine]) -> Option<Gas> {
        let open_lift = |i: usize| {
            let groups = self.groups.iter().zip(counts).zip(lines);
            groups.into_iter().any(|((group, count), line)| {
                f64::from(*count) * group.flow_each > 0.0 && line.slope[i][i] < 1.0 - 1e-12
            })
        };
        let open = |n: usize, i: usize| {
            let tank = &self.tanks[n];
            tank.makeup_flow + tank.surface.k[i] + tank.aerators.k[i] > 0.0
        };
        Gas::ALL.into_iter().find(|gas| {
            let i = *gas as usize;
            let joined = (0..self.tanks.len()).filter(|n| running.through[*n] > 0.0);
            let round = open_lift(i) || joined.clone().any(|n| open(n, i));
            let alone = |n: usize| running.through[n] <= 0.0 && !open(n, i);
            (joined.count() > 0 && !round) || (0..self.tanks.len()).any(alone)
        })
    }

    /// Gases of each tank, their ammonia known: one set of straight equations.
    fn steady_gases(
        &self,
        running: &Running,
        tan: &[f64],
        start: [f64; TAN],
    ) -> Result<Vec<Held>, Error> {
        let tanks = self.tanks.len();
        let mut x = vec![0.0; SPECIES * tanks];
        for (n, tan) in tan.iter().enumerate() {
            x[SPECIES * n..SPECIES * n + TAN].copy_from_slice(&start);
            x[SPECIES * n + TAN] = *tan;
        }
        let size = TAN * tanks;
        let place = |j: usize| SPECIES * (j / TAN) + j % TAN;
        let mut rates = vec![0.0; x.len()];
        let mut at = |x: &[f64]| -> DVector<f64> {
            self.rates::<0>(running, |_| [1.0; 2], x, &mut rates);
            DVector::from_fn(size, |j, _| rates[place(j)])
        };
        // From nothing, so that a column is a rate and no difference of two large ones.
        let mut none = x.clone();
        (0..size).for_each(|j| none[place(j)] = 0.0);
        let constant = at(&none);
        let mut matrix = DMatrix::zeros(size, size);
        for j in 0..size {
            let mut one = none.clone();
            // As large as what stands there, so that the difference keeps its digits.
            let step = 1e3 * start[j % TAN].max(1.0);
            one[place(j)] = step;
            matrix.set_column(j, &((at(&one) - &constant) / step));
        }
        let factors = matrix.lu();
        let not_solved = || Error::NotConverged {
            what: Solve::LoopGases,
            iterations: 0,
            residual: f64::NAN,
            low: 0.0,
            high: size as f64,
        };
        // The second and third turn take out what rounding left.
        for _ in 0..3 {
            let step = factors.solve(&at(&x)).ok_or_else(not_solved)?;
            (0..size).for_each(|j| x[place(j)] -= step[j]);
        }
        if !x.iter().all(|x| x.is_finite()) {
            return Err(not_solved());
        }
        Ok((0..tanks)
            .map(|n| from_fn(|i| x[SPECIES * n + i]))
            .collect())
    }
}
