//! How uptake and excretion follow the meals of a day.

use super::defaults;
use super::fault;
use super::plain::{Activity, HOUR};
use crate::error::{Error, Input, RecirculationError, range};
use crate::units::{Ratio, Time, base, ratio};

range!(DAY_TIME, 0 to 24 "h", "Times of a day.");
range!(MEAL_SHARE, 0 to 1, "Shares of a meal in the ration of a day.");
range!(MEAL_LENGTH, 0.01 to 24 "h", "Lengths of a peak, and time constants of a rounded one.");
range!(PEAK_OVER_MEAN, 1 to 100, "Peaks over the mean of the day.");

/// A day, h.
pub(super) const DAY: f64 = 24.0;
/// Parts of a day in which the highest point of a rounded pattern is looked for.
const PARTS: usize = 1440;

/// A meal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meal {
    /// Time since midnight.
    pub at: Time,
    /// Its share of the day's ration.
    pub share: Ratio,
}

/// The form of what follows a meal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MealForm {
    /// So much more for so long.
    Square {
        /// How long.
        length: Time,
    },
    /// (e^(−t/t₁) − e^(−t/t₂))/(t₁ − t₂): a rise, a top, a long fall.
    Rounded {
        /// t₁, of the fall.
        slow: Time,
        /// t₂, of the rise.
        fast: Time,
    },
}

impl MealForm {
    /// Time from a single meal to the top of what follows; nothing for a square.
    ///
    /// ```text
    /// t₁ t₂ ln(t₁/t₂)/(t₁ − t₂)
    /// ```
    #[must_use]
    pub fn top_after(&self) -> Time {
        match self {
            Self::Square { .. } => base(0.0),
            Self::Rounded { slow, fast } => {
                let (a, b) = (slow.value, fast.value);
                base(a * b * (a / b).ln() / (a - b))
            }
        }
    }
}

/// How high it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MealHeight {
    /// Highest of the day over the day's mean.
    PeakOverMean(Ratio),
    /// Share of the day's total that follows the meals; the rest is even.
    ShareOfDay(Ratio),
}

/// What follows a meal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterMeal {
    /// Its form.
    pub form: MealForm,
    /// Its height.
    pub height: MealHeight,
}

/// The meals of a tank, and what follows them. Carbon dioxide follows the oxygen; what the ammonia binds of it
/// follows the ammonia.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Feeding {
    /// Meals; none where feed comes evenly over the day.
    pub meals: Vec<Meal>,
    /// Oxygen.
    pub oxygen: AfterMeal,
    /// Ammonia.
    pub ammonia: AfterMeal,
}

impl Feeding {
    /// Meals, and what follows them by [`defaults`]: a square of 4.5 h, or of half the shortest time between two meals
    /// where that is less; its height by the number of meals.
    #[must_use]
    pub fn new(meals: Vec<Meal>) -> Self {
        let mut times: Vec<f64> = meals.iter().map(|meal| meal.at.value / HOUR).collect();
        times.sort_by(f64::total_cmp);
        let next = times.iter().skip(1).chain(&times[..times.len().min(1)]);
        let gaps = times.iter().zip(next).map(|(a, b)| {
            let gap = (b - a).rem_euclid(DAY);
            if gap > 0.0 { gap } else { DAY }
        });
        let shortest = gaps.fold(DAY, f64::min);
        let length = (defaults::MEAL_LENGTH.value.value / HOUR).min(0.5 * shortest);
        let oxygen = if meals.len() == 1 {
            defaults::OXYGEN_PEAK_ONE_MEAL.value
        } else {
            defaults::OXYGEN_PEAK.value
        };
        let square = |peak| AfterMeal {
            form: MealForm::Square {
                length: base(length * HOUR),
            },
            height: MealHeight::PeakOverMean(peak),
        };
        Self {
            meals,
            oxygen: square(oxygen),
            ammonia: square(defaults::AMMONIA_PEAK.value),
        }
    }

    /// Feed that comes evenly.
    #[must_use]
    pub fn even() -> Self {
        Self::new(Vec::new())
    }

    /// With another course of the oxygen.
    #[must_use]
    pub fn with_oxygen(mut self, after: AfterMeal) -> Self {
        self.oxygen = after;
        self
    }

    /// With another course of the ammonia.
    #[must_use]
    pub fn with_ammonia(mut self, after: AfterMeal) -> Self {
        self.ammonia = after;
        self
    }

    pub(super) fn patterns(&self) -> Result<[Pattern; 2], Error> {
        Ok([
            Pattern::of(&self.meals, &self.oxygen)?,
            Pattern::of(&self.meals, &self.ammonia)?,
        ])
    }
}

/// The form of a pattern, h.
#[derive(Debug, Clone, Copy, PartialEq)]
enum PlainForm {
    Square(f64),
    Rounded(f64, f64),
}

/// A course over the day with a mean of one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pattern {
    /// Share that follows the meals.
    part: f64,
    /// Time and share of each meal.
    meals: Vec<(f64, f64)>,
    form: PlainForm,
}

/// A pattern between two of its jumps: even, and two exponentials of a rounded one, each with its height at the
/// beginning and its time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PatternPiece {
    even: f64,
    from: f64,
    slow: (f64, f64),
    fast: (f64, f64),
}

impl PatternPiece {
    fn even(even: f64) -> Self {
        Self {
            even,
            from: 0.0,
            slow: (0.0, 1.0),
            fast: (0.0, 1.0),
        }
    }

    /// Its value at a time; `known` has the last exponentials of that moment, which other tanks' may share.
    pub fn at(&self, t: f64, known: &mut [(f64, f64); 2]) -> f64 {
        if self.slow.0 == 0.0 {
            return self.even;
        }
        let mut left = |n: usize, (height, time): (f64, f64)| {
            if known[n].0 != time {
                known[n] = (time, ((self.from - t) / time).exp());
            }
            height * known[n].1
        };
        self.even + left(0, self.slow) - left(1, self.fast)
    }
}

impl Pattern {
    fn of(meals: &[Meal], after: &AfterMeal) -> Result<Self, Error> {
        let hours = |time: Time| MEAL_LENGTH.check(Input::MealLength, time.value / HOUR);
        let form = match after.form {
            MealForm::Square { length } => PlainForm::Square(hours(length)?),
            MealForm::Rounded { slow, fast } => {
                let (slow_h, fast_h) = (hours(slow)?, hours(fast)?);
                if fast_h >= slow_h {
                    let fault_ = RecirculationError::RisesTooSlowly { slow_h, fast_h };
                    return Err(fault(fault_));
                }
                PlainForm::Rounded(slow_h, fast_h)
            }
        };
        let mut plain = Vec::with_capacity(meals.len());
        for meal in meals {
            let at = DAY_TIME.check(Input::MealTime, meal.at.value / HOUR)?;
            let share = MEAL_SHARE.check(Input::MealShare, meal.share.get::<ratio>())?;
            plain.push((at, share));
        }
        let sum: f64 = plain.iter().map(|meal| meal.1).sum();
        if !meals.is_empty() && (sum - 1.0).abs() > 1e-9 {
            return Err(fault(RecirculationError::MealShares { sum }));
        }
        let mut pattern = Self {
            part: 1.0,
            meals: plain,
            form,
        };
        pattern.part = match after.height {
            MealHeight::ShareOfDay(share) => {
                MEAL_SHARE.check(Input::MealPart, share.get::<ratio>())?
            }
            MealHeight::PeakOverMean(peak) => {
                let peak = PEAK_OVER_MEAN.check(Input::PeakOverMean, peak.get::<ratio>())?;
                // 1 − φ + φ G = p
                let most = pattern.top().1;
                if peak > most * (1.0 + 1e-12) && !meals.is_empty() {
                    return Err(fault(RecirculationError::PeakOutOfReach { peak, most }));
                }
                if most > 1.0 {
                    (peak - 1.0) / (most - 1.0)
                } else {
                    0.0
                }
            }
        };
        Ok(pattern)
    }

    /// Its value at a time, in a piece of the day without a meal or the end of a square inside.
    pub fn at(&self, t: f64, middle: f64) -> f64 {
        if self.meals.is_empty() {
            return 1.0;
        }
        let raised: f64 = match self.form {
            PlainForm::Square(length) => {
                let on = |at: f64| (middle - at).rem_euclid(DAY) < length;
                let on = self.meals.iter().filter(|meal| on(meal.0));
                on.map(|meal| meal.1 * DAY / length).sum()
            }
            PlainForm::Rounded(slow, fast) => {
                let all = self.meals.iter();
                // All earlier days' meals with them: a geometric series.
                let left = |since: f64, time: f64| (-since / time).exp() / -(-DAY / time).exp_m1();
                all.map(|(at, share)| {
                    let since = (t - at).rem_euclid(DAY);
                    share * DAY * (left(since, slow) - left(since, fast)) / (slow - fast)
                })
                .sum()
            }
        };
        1.0 - self.part + self.part * raised
    }

    /// Its course in a piece of the day that begins at a time, with the middle inside.
    pub fn piece(&self, from: f64, middle: f64) -> PatternPiece {
        let PlainForm::Rounded(slow, fast) = self.form else {
            return PatternPiece::even(self.at(middle, middle));
        };
        let mut piece = PatternPiece::even(if self.meals.is_empty() {
            1.0
        } else {
            1.0 - self.part
        });
        for (at, share) in &self.meals {
            // By the middle: a meal at the beginning has been, not is to come.
            let since = (middle - at).rem_euclid(DAY) - (middle - from);
            let height = self.part * share * DAY / (slow - fast);
            // All earlier days' meals with them: a geometric series.
            let left = |time: f64| height * (-since / time).exp() / -(-DAY / time).exp_m1();
            piece.slow.0 += left(slow);
            piece.fast.0 += left(fast);
        }
        (piece.from, piece.slow.1, piece.fast.1) = (from, slow, fast);
        piece
    }

    /// Times at which it jumps or bends.
    pub fn switches(&self) -> Vec<f64> {
        let starts = self.meals.iter().map(|meal| meal.0.rem_euclid(DAY));
        match self.form {
            PlainForm::Square(length) => {
                let ends = self
                    .meals
                    .iter()
                    .map(|meal| (meal.0 + length).rem_euclid(DAY));
                starts.chain(ends).collect()
            }
            PlainForm::Rounded(..) => starts.collect(),
        }
    }

    /// Time and value of its highest point; of a square, its beginning.
    pub fn top(&self) -> (f64, f64) {
        if self.meals.is_empty() {
            return (0.0, 1.0);
        }
        if let PlainForm::Square(_) = self.form {
            let mut cuts = self.switches();
            cuts.extend([0.0, DAY]);
            cuts.sort_by(f64::total_cmp);
            let pieces = cuts.windows(2).filter(|pair| pair[1] - pair[0] > 1e-9);
            let values = pieces.map(|pair| {
                let middle = f64::midpoint(pair[0], pair[1]);
                (pair[0], self.at(middle, middle))
            });
            return values.fold((0.0, 0.0), |a, b| if b.1 > a.1 { b } else { a });
        }
        let step = DAY / PARTS as f64;
        let value = |t: f64| self.at(t, t);
        let at = |n: usize| n as f64 * step;
        let (mut n, mut most) = (0, 0.0);
        for one in 0..PARTS {
            let here = value(at(one));
            if here > most {
                (n, most) = (one, here);
            }
        }
        // Halving on the slope, which a meal does not bend near the top.
        let (mut low, mut high) = (at(n) - step, at(n) + step);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.slope(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let t = f64::midpoint(low, high);
        (t.rem_euclid(DAY), value(t).max(most))
    }

    /// Slope of a rounded pattern, but for a positive factor.
    fn slope(&self, t: f64) -> f64 {
        let PlainForm::Rounded(slow, fast) = self.form else {
            return 0.0;
        };
        let left = |since: f64, time: f64| (-since / time).exp() / (-(-DAY / time).exp_m1() * time);
        let of = |(at, share): &(f64, f64)| {
            let since = (t - at).rem_euclid(DAY);
            share * (left(since, fast) - left(since, slow))
        };
        self.meals.iter().map(of).sum()
    }
}

/// Activity of a tank's animals at a time.
pub(super) fn activity(patterns: &[Pattern; 2], t: f64, middle: f64) -> Activity {
    [patterns[0].at(t, middle), patterns[1].at(t, middle)]
}
