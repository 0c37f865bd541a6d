//! How uptake and excretion follow the meals and the light of a day.

use super::defaults;
use super::fault;
use super::plain::{Activity, HOUR};
use crate::error::{Error, Input, RecirculationError, range};
use crate::units::{Ratio, Time, base, ratio};

range!(DAY_TIME, 0 to 24 "h", "Times of a day.");
range!(MEAL_SHARE, 0 to 1, "Shares of a meal in the ration of a day.");
range!(MEAL_LENGTH, 0.01 to 24 "h", "Lengths of a peak, and time constants of a rounded one.");
range!(PEAK_OVER_MEAN, 1 to 100, "Peaks over the mean of the day.");
range!(DARK_USE, 0.1 to 10, "Uptake in the dark over that in the light, meals apart.");

/// A day, h.
pub(super) const DAY: f64 = 24.0;
/// Parts of a day in which the highest point of a rounded pattern is looked for.
const PARTS: u32 = 1440;

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

/// Light and dark of a day: what animals take apart from their meals has another level in each.
///
/// ```text
/// b = 24/(L + r (24 − L)) in the light, r times that in the dark
/// ```
///
/// with the hours of light L and the uptake in the dark over that in the light r, so that the mean of b is one. A
/// nocturnal flatfish had r = 1.21 at 15 °C ([`STARRY_FLOUNDER_OXYGEN`](crate::references::STARRY_FLOUNDER_OXYGEN));
/// fish that feed by sight rest in the dark and have less than one (common practice).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// When it comes on.
    pub on: Time,
    /// When it goes out; past midnight where that is earlier. At the same time of day, the light never changes.
    pub off: Time,
    /// Uptake in the dark over that in the light, meals apart, 0.1 to 10.
    pub dark_use: Ratio,
}

impl Light {
    /// Time of light in a day; nothing where the light never changes.
    #[must_use]
    pub fn length(&self) -> Time {
        base((self.off.value - self.on.value).rem_euclid(DAY * HOUR))
    }
}

/// The meals of a tank, its light, and what follows them. Carbon dioxide follows the oxygen; what the ammonia binds of it
/// follows the ammonia.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Feeding {
    /// Meals; none where feed comes evenly over the day.
    pub meals: Vec<Meal>,
    /// Its light; none where light and dark are alike to the animals. It moves the oxygen and with it the carbon
    /// dioxide, not the ammonia.
    pub light: Option<Light>,
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
            light: None,
            oxygen: square(oxygen),
            ammonia: square(defaults::AMMONIA_PEAK.value),
        }
    }

    /// Feed that comes evenly.
    #[must_use]
    pub fn even() -> Self {
        Self::new(Vec::new())
    }

    /// With light and dark.
    #[must_use]
    pub fn with_light(mut self, light: Light) -> Self {
        self.light = Some(light);
        self
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
            Pattern::of(&self.meals, self.light, &self.oxygen)?,
            Pattern::of(&self.meals, None, &self.ammonia)?,
        ])
    }
}

/// The form of a pattern, h.
#[derive(Debug, Clone, Copy, PartialEq)]
enum PlainForm {
    Square(f64),
    Rounded(f64, f64),
}

/// Uptake apart from the meals, over its mean.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Rest {
    /// When the light comes on, h.
    on: f64,
    /// Hours of light.
    hours: f64,
    light: f64,
    dark: f64,
}

impl Rest {
    fn of(light: &Light) -> Result<Self, Error> {
        let hour = |time: Time| DAY_TIME.check(Input::LightTime, time.value / HOUR);
        let (on, off) = (hour(light.on)?, hour(light.off)?);
        let dark_use = DARK_USE.check(Input::DarkUse, light.dark_use.get::<ratio>())?;
        let hours = (off - on).rem_euclid(DAY);
        let level = DAY / (hours + dark_use * (DAY - hours));
        Ok(Self {
            on,
            hours,
            light: level,
            dark: dark_use * level,
        })
    }

    fn at(&self, t: f64) -> f64 {
        if (t - self.on).rem_euclid(DAY) < self.hours {
            self.light
        } else {
            self.dark
        }
    }
}

/// A course over the day with a mean of one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pattern {
    /// Share that follows the meals.
    part: f64,
    /// Time and share of each meal.
    meals: Vec<(f64, f64)>,
    form: PlainForm,
    /// Light and dark.
    rest: Option<Rest>,
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
    fn of(meals: &[Meal], light: Option<Light>, after: &AfterMeal) -> Result<Self, Error> {
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
        let rest = light.as_ref().map(Rest::of).transpose()?;
        let mut pattern = Self {
            part: if meals.is_empty() { 0.0 } else { 1.0 },
            meals: plain,
            form,
            rest,
        };
        match after.height {
            MealHeight::ShareOfDay(share) => {
                let share = MEAL_SHARE.check(Input::MealPart, share.get::<ratio>())?;
                if !meals.is_empty() {
                    pattern.part = share;
                }
            }
            MealHeight::PeakOverMean(peak) => {
                let peak = PEAK_OVER_MEAN.check(Input::PeakOverMean, peak.get::<ratio>())?;
                if !meals.is_empty() {
                    pattern.reach(peak)?;
                }
            }
        }
        Ok(pattern)
    }

    /// Sets the part that follows the meals so that the highest point of the day is `peak` times its mean.
    fn reach(&mut self, peak: f64) -> Result<(), Error> {
        let most = self.top().1;
        if peak > most * (1.0 + 1e-12) {
            return Err(fault(RecirculationError::PeakOutOfReach { peak, most }));
        }
        if self.rest.is_none() {
            // 1 − φ + φ G = p
            self.part = if most > 1.0 {
                (peak - 1.0) / (most - 1.0)
            } else {
                0.0
            };
            return Ok(());
        }
        let mut top_with = |part| {
            self.part = part;
            self.top().1
        };
        let least = top_with(0.0);
        if peak < least * (1.0 - 1e-12) {
            return Err(fault(RecirculationError::PeakBelowLight { peak, least }));
        }
        // The highest point is the largest of straight lines in φ, so it passes a peak above its beginning once.
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = f64::midpoint(low, high);
            if top_with(middle) < peak {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.part = high;
        Ok(())
    }

    /// Apart from the meals, at a time that is no jump.
    fn rest(&self, t: f64) -> f64 {
        (1.0 - self.part) * self.rest.map_or(1.0, |rest| rest.at(t))
    }

    /// Its value at a time, in a piece of the day without a meal or the end of a square inside.
    pub fn at(&self, t: f64, middle: f64) -> f64 {
        let rest = self.rest(middle);
        if self.meals.is_empty() {
            return rest;
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
        rest + self.part * raised
    }

    /// Its course in a piece of the day that begins at a time, with the middle inside.
    pub fn piece(&self, from: f64, middle: f64) -> PatternPiece {
        let PlainForm::Rounded(slow, fast) = self.form else {
            return PatternPiece::even(self.at(middle, middle));
        };
        let mut piece = PatternPiece::even(self.rest(middle));
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
        let mut times: Vec<f64> = self.meals.iter().map(|meal| meal.0).collect();
        if let PlainForm::Square(length) = self.form {
            times.extend(self.meals.iter().map(|meal| meal.0 + length));
        }
        if let Some(rest) = self.rest {
            times.extend([rest.on, rest.on + rest.hours]);
        }
        times.iter().map(|time| time.rem_euclid(DAY)).collect()
    }

    /// Time and value of its highest point; of a level stretch, its beginning.
    pub fn top(&self) -> (f64, f64) {
        let mut cuts = self.switches();
        cuts.extend([0.0, DAY]);
        cuts.sort_by(f64::total_cmp);
        let pieces = cuts.windows(2).filter(|pair| pair[1] - pair[0] > 1e-9);
        let tops = pieces.map(|pair| self.top_of_piece(pair[0], pair[1]));
        tops.fold((0.0, 0.0), |a, b| if b.1 > a.1 { b } else { a })
    }

    /// The same between two of its jumps.
    fn top_of_piece(&self, from: f64, to: f64) -> (f64, f64) {
        let middle = f64::midpoint(from, to);
        if self.meals.is_empty() || matches!(self.form, PlainForm::Square(_)) {
            return (from, self.at(middle, middle));
        }
        let step = DAY / f64::from(PARTS);
        let (mut near, mut most) = (from, 0.0);
        let inside = (0..PARTS).map(|n| from + f64::from(n) * step);
        for t in inside.take_while(|t| *t < to).chain([to]) {
            let here = self.at(t, middle);
            if here > most {
                (near, most) = (t, here);
            }
        }
        // Halving on the slope, which does not jump inside.
        let (mut low, mut high) = ((near - step).max(from), (near + step).min(to));
        for _ in 0..60 {
            let t = f64::midpoint(low, high);
            if self.slope(t) > 0.0 {
                low = t;
            } else {
                high = t;
            }
        }
        let t = f64::midpoint(low, high);
        let value = self.at(t, middle).max(most);
        (t.rem_euclid(DAY), value)
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
