//! Repeated times: mean, scatter, and repeats out of line.

use super::instruments::Instruments;
use super::outliers::mark_alone;
use crate::error::{Error, Input, Range, range};
use crate::measurement::{Estimate, count, standard_deviation};
use crate::units::{Ratio, Time, base, second};

range!(REPEATABILITY, 0 to 3600 "s", "Stated standard deviations of a single time.");

/// A repeat out of line with the others; shown, never dropped.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Outlier {
    /// Which repeat, counted from 1.
    pub repeat: usize,
    /// Its time.
    pub time: Time,
    /// Probability, at most, that a sheet without a slip has a time as far out.
    pub chance: Ratio,
}

/// The times behind a flow.
///
/// With two repeats or more the scatter is their own, s/√n, but not less than reaction and display
/// alone give: two times that agree by chance prove nothing. That floor is known without repeats,
/// so it has infinite degrees of freedom. The part of the reaction that is the same every time
/// comes on top and does not shrink with n. A single time has its full reaction and the standard
/// deviation that is stated for it.
///
/// ```text
/// n ≥ 2:  u² = max(s², u_r²)/n + u_s²        n = 1:  u² = σ² + u_r² + u_s²
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | s | standard deviation of the repeats |
/// | σ | stated standard deviation of a single time, reaction apart |
/// | u_s, u_r | reaction of start and stop: same in every repeat, and the rest with the display's step |
///
/// # References
/// [GUM (2008)](crate::references::GUM_2008), 4.2.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Repeats {
    /// The times, in their order.
    pub times: Vec<Time>,
    /// Their mean.
    pub mean: Time,
    /// Standard deviation of a single time; none for one time.
    pub standard_deviation: Option<Time>,
    /// Repeats out of line, by a test that marks one in a sheet without slips with a probability of
    /// [`OUTLIER_RATE`](super::OUTLIER_RATE) at most: of all runs that were [reduced](super::reduce)
    /// together, or of this reading where it was reduced alone.
    pub outliers: Vec<Outlier>,
    /// Standard uncertainty of what is the same in every repeat.
    pub(super) systematic: Time,
}

/// Scatter and systematic part of a mean time, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TimeEstimate {
    pub mean: f64,
    /// What repeats average.
    pub scatter: Estimate,
    /// What they do not.
    pub systematic: Estimate,
}

impl Repeats {
    /// Checks times and their stated repeatability.
    pub(super) fn of(
        times: &[Time],
        repeatability: Option<Time>,
        (what, range): (Input, Range),
        instruments: &Instruments,
    ) -> Result<(Self, TimeEstimate), Error> {
        let seconds = times
            .iter()
            .map(|time| range.check(what, time.get::<second>()))
            .collect::<Result<Vec<f64>, Error>>()?;
        let stated = repeatability
            .map(|time| REPEATABILITY.check(Input::Repeatability, time.get::<second>()))
            .transpose()?;
        let (same, free) = instruments.timing_variance();
        let (mean, scatter, systematic) = match (&seconds[..], stated) {
            ([], _) => return Err(Error::NoReading { what }),
            ([_], None) => return Err(Error::OneReading { what }),
            ([only], Some(stated)) => (*only, Estimate::stated(0.0, stated), same + free),
            (several, _) => {
                let estimate = Estimate::repeated(several);
                let floor = (free / count(several)).sqrt();
                let scatter = if estimate.standard < floor {
                    Estimate::stated(0.0, floor)
                } else {
                    Estimate {
                        value: 0.0,
                        ..estimate
                    }
                };
                (estimate.value, scatter, same)
            }
        };
        let mut repeats = Self {
            times: times.to_vec(),
            mean: base(mean),
            standard_deviation: (seconds.len() > 1).then(|| base(standard_deviation(&seconds))),
            outliers: Vec::new(),
            systematic: base(same.sqrt()),
        };
        mark_alone(&mut repeats, free.sqrt());
        let estimate = TimeEstimate {
            mean,
            scatter,
            systematic: Estimate::stated(0.0, systematic.sqrt()),
        };
        Ok((repeats, estimate))
    }
}
