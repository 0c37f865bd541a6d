//! Repeated times: mean, scatter, and repeats out of line.

use super::instruments::Instruments;
use super::uncertainty::{Estimate, count, standard_deviation};
use crate::error::{Error, Input, Range};
use crate::units::{Ratio, Time, base, second};

/// Stated standard deviations of a single time.
pub const REPEATABILITY: Range = Range::new(0.0, 3600.0, "s");
/// Modified z-score above which a repeat is shown as out of line:
/// [Iglewicz & Hoaglin (1993)](crate::references::IGLEWICZ_HOAGLIN_1993), from memory.
pub const OUTLIER_SCORE: f64 = 3.5;
/// Fewest repeats among which one can be out of line.
const FEWEST_FOR_OUTLIERS: usize = 3;

/// A repeat out of line with the others; shown, never dropped.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Outlier {
    /// Which repeat, counted from 1.
    pub repeat: usize,
    /// Its time.
    pub time: Time,
    /// Its modified z-score, with its sign.
    pub score: Ratio,
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
    /// Repeats whose modified z-score exceeds [`OUTLIER_SCORE`]:
    ///
    /// ```text
    /// M = (t − median)/σ̂        σ̂ = max(MAD/0.6745, u_r)
    /// ```
    ///
    /// with MAD the median of |t − median|. The floor u_r, reaction and display, is ours, for repeats
    /// that agree by chance.
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
        let repeats = Self {
            times: times.to_vec(),
            mean: base(mean),
            standard_deviation: (seconds.len() > 1).then(|| base(standard_deviation(&seconds))),
            outliers: outliers(&seconds, free.sqrt()),
            systematic: base(same.sqrt()),
        };
        let estimate = TimeEstimate {
            mean,
            scatter,
            systematic: Estimate::stated(0.0, systematic.sqrt()),
        };
        Ok((repeats, estimate))
    }
}

fn outliers(times: &[f64], floor: f64) -> Vec<Outlier> {
    /// Upper quartile of the normal distribution.
    const QUARTILE: f64 = 0.6745;
    if times.len() < FEWEST_FOR_OUTLIERS {
        return Vec::new();
    }
    let middle = median(times.to_vec());
    let deviations = times.iter().map(|t| (t - middle).abs()).collect();
    // σ̂ = max(MAD/0.6745, u_r)
    let scale = (median(deviations) / QUARTILE).max(floor);
    let scored = times
        .iter()
        .enumerate()
        .map(|(n, t)| (n, t, (t - middle) / scale));
    scored
        .filter(|(.., score)| score.abs() > OUTLIER_SCORE)
        .map(|(n, t, score)| Outlier {
            repeat: n + 1,
            time: base(*t),
            score: base(score),
        })
        .collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len().is_multiple_of(2) {
        f64::midpoint(values[half - 1], values[half])
    } else {
        values[half]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn medians() {
        assert_eq!(median(vec![3.0, 1.0, 2.0]), 2.0);
        assert_eq!(median(vec![4.0, 1.0, 2.0, 3.0]), 2.5);
    }

    /// M = 0.6745 (12.9 − 10.1)/0.1 = 18.886, by hand.
    #[test]
    fn a_slip_is_out_of_line() {
        let found = outliers(&[10.0, 10.1, 12.9, 10.2, 10.1], 0.05);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].repeat, 3);
        let scale = 0.05f64.max(0.1 / 0.6745);
        assert!((found[0].score.value - 2.8 / scale).abs() < 1e-9);
    }

    #[test]
    fn chance_agreement_condemns_nobody() {
        assert!(outliers(&[10.0, 10.0, 10.2], 0.1).is_empty());
        assert!(outliers(&[10.0, 20.0], 0.1).is_empty());
        // Exact agreement and an exact watch: 0/0 is not above the limit.
        assert!(outliers(&[10.0, 10.0, 10.0], 0.0).is_empty());
    }
}
