//! What an uncertainty is made of, and what to improve first.

use std::fmt;

use super::plan::MOST_REPEATS;
use super::repeats::Repeats;
use crate::error::{Error, Input, range};
use crate::measurement::combine;
use crate::units::{Ratio, Time, base, ratio, second};

range!(WANTED, 1e-6 to 1, "Relative standard uncertainties that can be wanted.");
/// The relative standard uncertainty that is wanted of a flow unless said.
pub const USUALLY_WANTED: f64 = 0.02;

macro_rules! sources {
    ($($(#[$doc:meta])* $name:ident = $words:literal, $remedy:literal;)*) => {
        /// Where an uncertainty comes from.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::IntoStaticStr, serde::Serialize)]
        #[strum(serialize_all = "snake_case")]
        #[serde(rename_all = "snake_case")]
        #[non_exhaustive]
        pub enum Source {
            $($(#[$doc])* $name,)*
        }

        impl Source {
            /// All of them.
            pub const ALL: &[Source] = &[$(Self::$name),*];

            /// The name in reports.
            #[must_use]
            pub fn code(self) -> &'static str {
                self.into()
            }

            /// What makes it smaller.
            #[must_use]
            pub fn remedy(self) -> &'static str {
                match self { $(Self::$name => $remedy,)* }
            }
        }

        impl fmt::Display for Source {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(match self { $(Self::$name => $words,)* })
            }
        }
    };
}

sources! {
    /// Reading the mark of a container or a bottle.
    VolumeReading = "reading of the volume", "use a larger or narrower-necked vessel, let foam settle, or weigh";
    /// The vessel's own volume.
    VolumeCalibration = "volume of the vessel itself", "calibrate the vessel by weighing the water it holds";
    /// Weighing.
    Mass = "mass of the water", "weigh more water, or on a finer balance";
    /// Density of weighed water.
    WaterDensity = "density of the water", "measure the water's temperature and salinity";
    /// Reaction at start and stop that repeats do not average.
    Timing = "timing", "time longer, in a larger vessel or over several fills";
    /// What repeats differ by.
    Scatter = "scatter of the repeats", "repeat more often, or time longer";
    /// Water levels at the bottle.
    Level = "level in the bottle", "bring the levels inside and outside together before reading";
    /// Temperature of the air in the bottle: through its density and its vapour.
    Temperature = "temperature of the air", "use a finer thermometer, in the bath beside the bottle";
    /// Station barometer.
    Barometer = "barometer", "use a finer station barometer";
    /// Air meter.
    Meter = "air meter", "check the meter against a timed bottle";
}

/// One line of a budget.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Contribution {
    /// Where it comes from.
    pub source: Source,
    /// Standard uncertainty of the result from this source alone, relative to the result.
    pub standard: Ratio,
    /// Share of the variance.
    pub share: Ratio,
    /// The same as `standard`, with the sign of the source's effect.
    pub(super) signed: f64,
    pub(super) freedom: f64,
}

impl Contribution {
    /// One contribution, whose share is not known yet.
    pub(super) fn new(source: Source, signed: f64, freedom: f64) -> Self {
        Self {
            source,
            standard: base(signed.abs()),
            share: base(0.0),
            signed,
            freedom,
        }
    }
}

/// What the uncertainty of one measurement is made of, the largest part first.
///
/// # Examples
/// See [`Budget::advice`].
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Budget {
    /// The parts, by falling share of the variance; those that contribute nothing are left out.
    pub contributions: Vec<Contribution>,
    /// Combined relative standard uncertainty.
    pub relative: Ratio,
    /// Number of times taken, and their mean.
    timing: Option<(usize, Time)>,
}

/// What to improve first for a wanted uncertainty.
///
/// Its text is for people and says it all.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Advice {
    /// The part that dominates; none when nothing is uncertain.
    pub dominant: Option<Source>,
    /// What to do.
    pub step: Step,
}

/// A step to a wanted uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Step {
    /// It is reached as it is.
    Reached,
    /// Time each fill for so long.
    TimeFor {
        /// Time needed.
        time: Time,
        /// Mean time now.
        now: Time,
    },
    /// Take so many repeats.
    Repeat {
        /// Repeats needed.
        repeats: usize,
        /// Repeats now.
        now: usize,
    },
    /// Bring the part that dominates down to this share of itself.
    Reduce {
        /// What it may be, relative to what it is.
        to: Ratio,
    },
    /// The part that dominates is not enough: the rest alone exceeds what is wanted.
    NotAlone {
        /// What the others leave, relative standard uncertainty.
        rest: Ratio,
        /// The largest of them.
        next: Source,
    },
}

impl Budget {
    pub(super) fn new(mut contributions: Vec<Contribution>, repeats: Option<&Repeats>) -> Self {
        contributions.retain(|c| c.signed != 0.0);
        let parts = contributions.iter().map(|c| (c.signed, c.freedom));
        let (relative, _) = combine(parts, |_| 0.0);
        for c in &mut contributions {
            c.share = base((c.signed / relative).powi(2));
        }
        contributions.sort_by(|a, b| b.share.value.total_cmp(&a.share.value));
        Self {
            contributions,
            relative: base(relative),
            timing: repeats.map(|repeats| (repeats.times.len(), repeats.mean)),
        }
    }

    /// The part with the largest share; none when nothing is uncertain.
    #[must_use]
    pub fn dominant(&self) -> Option<Source> {
        self.contributions.first().map(|c| c.source)
    }

    /// What to improve first for a wanted relative standard uncertainty.
    ///
    /// The other parts are taken as they are: longer times also read a larger volume better, which is
    /// left out, so the advice is on the safe side.
    ///
    /// ```text
    /// u_wanted² = u_rest² + (u_dominant/k)²        time: t' = k t; repeats: n' = k² n
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`WANTED`], [`Error::NotFinite`].
    ///
    /// # Examples
    /// ```
    /// use risewater::trial::{Instruments, TimedVolume};
    /// use risewater::units::{Ratio, Time, Volume, liter, percent, second};
    ///
    /// let quick = TimedVolume::new(Volume::new::<liter>(12.0), vec![Time::new::<second>(6.0)])
    ///     .with_repeatability(Time::new::<second>(0.05));
    /// let budget = quick.water_flow(&Instruments::default())?.budget;
    /// let advice = budget.advice(Ratio::new::<percent>(1.0))?;
    /// // Timing 0.14145/6 = 2.357 %; rest √(0.4811² + 0.25² + 0.8333²) = 0.9942 %, so k = 22.0.
    /// let text = advice.to_string();
    /// assert!(text.starts_with("timing dominates: time 132 s instead of 6.0 s"), "{text}");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn advice(&self, wanted: Ratio) -> Result<Advice, Error> {
        let wanted = WANTED.check(Input::WantedUncertainty, wanted.get::<ratio>())?;
        let advice = |step| Advice {
            dominant: self.dominant(),
            step,
        };
        let [first, others @ ..] = &self.contributions[..] else {
            return Ok(advice(Step::Reached));
        };
        if self.relative.get::<ratio>() <= wanted {
            return Ok(advice(Step::Reached));
        }
        let rest_squared: f64 = others.iter().map(|c| c.signed.powi(2)).sum();
        let left = wanted * wanted - rest_squared;
        if left <= 0.0 {
            // Others there are, since their sum is above zero.
            let next = others.first().map_or(first.source, |c| c.source);
            let rest = base(rest_squared.sqrt());
            return Ok(advice(Step::NotAlone { rest, next }));
        }
        // (u_dominant/k)² = u_wanted² − u_rest²
        let k = first.signed.abs() / left.sqrt();
        Ok(advice(match (first.source, self.timing) {
            (Source::Timing, Some((_, now))) => Step::TimeFor { time: now * k, now },
            (Source::Scatter, Some((now, _))) => Step::Repeat {
                repeats: repeats_needed(now, k),
                now,
            },
            _ => Step::Reduce { to: base(1.0 / k) },
        }))
    }
}

#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "above zero; beyond any number of repeats the cast saturates"
)]
fn repeats_needed(now: usize, k: f64) -> usize {
    (now as f64 * k * k).ceil() as usize
}

impl fmt::Display for Advice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(dominant) = self.dominant else {
            return f.write_str("nothing is uncertain here");
        };
        match self.step {
            Step::Reached => write!(f, "good enough; {dominant} dominates"),
            Step::TimeFor { time, now } => write!(
                f,
                "{dominant} dominates: time {:.0} s instead of {:.1} s, in a larger vessel or over several fills",
                time.get::<second>().ceil(),
                now.get::<second>()
            ),
            Step::Repeat { repeats, .. } if repeats > MOST_REPEATS => write!(
                f,
                "{dominant} dominates: no number of repeats is worth that; look first for a reading that is wrong, or for what changes between them, such as the level or the air"
            ),
            Step::Repeat { repeats, now } => write!(
                f,
                "{dominant} dominates: take {repeats} repeats instead of {now}, or time longer"
            ),
            Step::Reduce { to } => write!(
                f,
                "{dominant} dominates: {}; it must come down to {:.0} % of what it is",
                dominant.remedy(),
                100.0 * to.get::<ratio>()
            ),
            Step::NotAlone { rest, next } => write!(
                f,
                "{dominant} dominates: {}; that alone will not do, since the rest leaves {:.2} %: then {next}: {}",
                dominant.remedy(),
                100.0 * rest.get::<ratio>(),
                next.remedy()
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn budget(parts: &[(Source, f64)], timing: Option<(usize, f64)>) -> Budget {
        let contributions = parts
            .iter()
            .map(|(s, u)| Contribution::new(*s, *u, f64::INFINITY))
            .collect();
        Budget {
            timing: timing.map(|(n, t)| (n, base(t))),
            ..Budget::new(contributions, None)
        }
    }

    fn text(budget: &Budget, wanted: f64) -> String {
        budget.advice(base(wanted)).unwrap().to_string()
    }

    #[test]
    fn shares_add_up_and_are_sorted() {
        let budget = budget(
            &[
                (Source::Level, 0.0),
                (Source::Mass, 0.03),
                (Source::Timing, -0.04),
            ],
            None,
        );
        let shares: Vec<f64> = budget.contributions.iter().map(|c| c.share.value).collect();
        assert!((shares[0] - 0.64).abs() < 1e-12 && (shares[1] - 0.36).abs() < 1e-12);
        assert_eq!(shares.len(), 2);
        assert!((budget.relative.value - 0.05).abs() < 1e-15);
        assert_eq!(budget.dominant(), Some(Source::Timing));
    }

    /// Each k by hand: 0.05² = 0.03² + (0.08/k)² gives k = 2; 0.01² + … with 0.03 gives none.
    #[test]
    fn advice_by_hand() {
        let parts = [(Source::Timing, -0.08), (Source::VolumeReading, 0.03)];
        let timed = budget(&parts, Some((4, 10.0)));
        assert!(text(&timed, 0.05).contains("time 20 s instead of 10.0 s"));
        assert!(
            text(&timed, 0.01).contains("that alone will not do, since the rest leaves 3.00 %")
        );
        assert!(text(&timed, 0.09).starts_with("good enough"));
        let scattered = budget(
            &[(Source::Scatter, 0.08), (Source::Mass, 0.03)],
            Some((4, 10.0)),
        );
        assert!(text(&scattered, 0.05).contains("take 16 repeats instead of 4"));
        // The same by hand for k = 7.92: 4 k² = 251.
        assert!(text(&scattered, 0.0317).contains("no number of repeats is worth that"));
        let metered = budget(&[(Source::Meter, 0.08), (Source::Level, 0.03)], None);
        assert!(text(&metered, 0.05).contains("down to 50 %"));
        assert_eq!(text(&budget(&[], None), 0.05), "nothing is uncertain here");
        for refused in [0.0, -1.0, 2.0, f64::NAN] {
            assert!(timed.advice(base(refused)).is_err());
        }
    }
}
