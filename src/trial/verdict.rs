//! The words that every comparison ends in, and the one rule that gives them.

use std::fmt;

use strum::VariantArray;

/// Coverage probability of the limits behind the verdicts.
pub const VERDICT_LEVEL: f64 = 0.95;
/// How far from zero, either way, the limits of an agreement may reach: our own choice.
pub const AGREEMENT: f64 = 0.10;

/// What a comparison comes to.
///
/// One rule serves a prediction held against a reading, the mean of many of them, and one configuration
/// held against another. The difference of the two flows is stated with the limits that hold it with 95 %, and
/// the word follows from these two limits alone; [`Verdict::meaning`] has it.
///
/// # Examples
/// ```
/// use risewater::trial::Verdict;
///
/// assert_eq!(Verdict::CannotTell.code(), "cannot_tell");
/// assert_eq!(Verdict::CannotTell.to_string(), "cannot tell");
/// assert_eq!(Verdict::Differs.meaning(), "the limits leave zero out");
/// ```
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    strum::IntoStaticStr,
    strum::VariantArray,
    serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Verdict {
    /// The limits hold zero and lie within [`AGREEMENT`]; or neither of two runs has water.
    Agrees,
    /// The limits leave zero out.
    Differs,
    /// The limits hold zero and reach beyond [`AGREEMENT`], or there are none.
    CannotTell,
    /// Water was measured, and theory lets none flow.
    NoWaterPredicted,
    /// No water came, and theory lets some flow.
    NoWaterMeasured,
}

impl Verdict {
    /// All of them.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The verdict on a logarithm of two flows' ratio, with the half-width of its 95 % interval.
    pub(super) fn of(log: f64, half: Option<f64>) -> Self {
        let Some(half) = half.filter(|half| half.is_finite()) else {
            return Self::CannotTell;
        };
        let (low, high) = ((log - half).exp_m1(), (log + half).exp_m1());
        if low > 0.0 || high < 0.0 {
            Self::Differs
        } else if low >= -AGREEMENT && high <= AGREEMENT {
            Self::Agrees
        } else {
            Self::CannotTell
        }
    }

    /// The name in reports.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.into()
    }

    /// When the word is used.
    #[must_use]
    pub fn meaning(self) -> String {
        let (level, near) = (100.0 * VERDICT_LEVEL, 100.0 * AGREEMENT);
        match self {
            Self::Agrees => format!(
                "the {level:.0} % limits of the difference hold zero and lie within {near:.0} % either way, or neither has water"
            ),
            Self::Differs => "the limits leave zero out".to_owned(),
            Self::CannotTell => {
                "the limits hold zero and reach further, or there are none".to_owned()
            }
            Self::NoWaterPredicted => "water was measured and theory lets none flow".to_owned(),
            Self::NoWaterMeasured => {
                "no water came and theory lets some flow, even at the low end of its spread"
                    .to_owned()
            }
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.code().replace('_', " "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The limits by hand: e^(0.05 ± 0.04) − 1 = 1.0 and 9.4 %; e^(0.05 ± 0.06) − 1 = −1.0 and 11.6 %;
    /// e^(0.03 ± 0.06) − 1 = −3.0 and 9.4 %; e^(−0.04 ± 0.07) − 1 = −10.4 and 3.0 %.
    #[test]
    fn one_rule() {
        for (log, half, expected) in [
            (0.05, Some(0.04), Verdict::Differs),
            (-0.05, Some(0.04), Verdict::Differs),
            (0.05, Some(0.06), Verdict::CannotTell),
            (0.03, Some(0.06), Verdict::Agrees),
            (-0.03, Some(0.06), Verdict::Agrees),
            (-0.04, Some(0.07), Verdict::CannotTell),
            (0.0, Some(0.0), Verdict::Agrees),
            (0.0, None, Verdict::CannotTell),
            (0.0, Some(f64::INFINITY), Verdict::CannotTell),
        ] {
            assert_eq!(Verdict::of(log, half), expected, "{log} {half:?}");
        }
    }

    /// With half-width ≥ |difference| and the far limit within 10 %, an agreement is off by 5 % at most: none
    /// is farther off than another that is told to differ only by its limits.
    #[test]
    fn a_large_difference_never_agrees() {
        for half in (0..300).map(|n| f64::from(n) * 1e-3) {
            for log in [0.06, 0.12, 0.174, -0.06, -0.12] {
                assert_ne!(
                    Verdict::of(log, Some(half)),
                    Verdict::Agrees,
                    "{log} {half}"
                );
            }
        }
    }
}
