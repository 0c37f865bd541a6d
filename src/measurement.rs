//! Uncertainty of a measurement by the law of propagation.
//!
//! ```text
//! u_c² = Σ_i Σ_j c_i c_j u_i u_j r_ij         c_i = ∂f/∂x_i          (eqs. 13 and 16 of the source)
//! ν    = u_c⁴ / Σ_i (c_i u_i)⁴/ν_i                                    (G.2b)
//! U    = k u_c,  k from Student's t with ν degrees of freedom        (annex G)
//! ```
//!
//! Repeats give u = s/√n with n − 1 degrees of freedom (type A, eqs. 3 to 5); what is known otherwise
//! comes as a half-width or a step of a display (type B, 4.3). ν is not cut to a whole number.
//!
//! # References
//! [GUM (2008)](crate::references::GUM_2008), from memory but for the results of its example H.1.
//! The tests hold the law against random draws, as
//! [JCGM 101 (2008)](crate::references::JCGM_101_2008) has them.

mod propagation;

use std::ops::{Add, Div, Mul, Sub};

use statrs::distribution::{ContinuousCDF, StudentsT};

use crate::error::{Error, Input, Range, range};
use crate::units::{Ratio, ratio};
pub(crate) use propagation::{Estimate, combine, count, propagate, standard_deviation};

range!(LEVEL, 0.5 to 0.9999, "Coverage probabilities of an interval that can be asked for.");

/// Degrees of freedom: infinite when nothing was repeated.
const DEGREES_OF_FREEDOM: Range = Range::new(1.0, f64::INFINITY, "");

/// A quantity with its standard uncertainty.
///
/// # Examples
/// ```
/// use risewater::measurement::Uncertain;
/// use risewater::units::{Length, Ratio, meter, percent};
///
/// let depth = Uncertain::new(Length::new::<meter>(1.0), Length::new::<meter>(0.01));
/// let (low, high) = depth.interval(Ratio::new::<percent>(95.0))?;
/// // 1.96 standard uncertainties of a normal distribution on each side.
/// assert_eq!(format!("{:.4} {:.4}", low.get::<meter>(), high.get::<meter>()), "0.9804 1.0196");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Uncertain<Q> {
    /// Best estimate.
    pub value: Q,
    /// Standard uncertainty.
    pub standard: Q,
    /// Effective degrees of freedom; infinite when no repeat stands behind it.
    pub degrees_of_freedom: f64,
}

impl<Q> Uncertain<Q>
where
    Q: Copy + Mul<f64, Output = Q> + Add<Output = Q> + Sub<Output = Q>,
{
    /// A quantity whose uncertainty is known without repeats.
    #[must_use]
    pub fn new(value: Q, standard: Q) -> Self {
        Self {
            value,
            standard,
            degrees_of_freedom: f64::INFINITY,
        }
    }

    /// The interval that holds the true value with the given coverage probability.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`LEVEL`], or when the degrees of freedom are below 1.
    ///
    /// # Examples
    /// See [`Uncertain`].
    pub fn interval(&self, level: Ratio) -> Result<(Q, Q), Error> {
        let half = self.standard * coverage_factor(level, self.degrees_of_freedom)?;
        Ok((self.value - half, self.value + half))
    }

    /// The same in other terms: value and standard uncertainty times a factor above zero.
    pub(crate) fn scaled<R>(&self, scale: impl Fn(Q) -> R) -> Uncertain<R> {
        Uncertain {
            value: scale(self.value),
            standard: scale(self.standard),
            degrees_of_freedom: self.degrees_of_freedom,
        }
    }
}

/// Coverage factor k: the quantile of Student's t that leaves half of the rest on each side.
///
/// ```text
/// P(|t_ν| ≤ k) = level
/// ```
///
/// Above a million degrees of freedom it is that of a million, which is the normal distribution's to
/// 2e-6.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`LEVEL`] or below one degree of freedom, [`Error::NotFinite`] for NaN.
///
/// # Examples
/// ```
/// use risewater::measurement::coverage_factor;
/// use risewater::units::{Ratio, percent};
///
/// // GUM table G.2: 2.78 for 95 % and 4 degrees of freedom.
/// let k = coverage_factor(Ratio::new::<percent>(95.0), 4.0)?;
/// assert_eq!(format!("{k:.2}"), "2.78");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [GUM (2008)](crate::references::GUM_2008), table G.2.
pub fn coverage_factor(level: Ratio, degrees_of_freedom: f64) -> Result<f64, Error> {
    const MOST: f64 = 1e6;
    let level = LEVEL.check(Input::CoverageLevel, level.get::<ratio>())?;
    if degrees_of_freedom.is_nan() {
        return Err(Error::NotFinite {
            what: Input::DegreesOfFreedom,
        });
    }
    if !DEGREES_OF_FREEDOM.contains(degrees_of_freedom) {
        return Err(Error::OutOfRange {
            what: Input::DegreesOfFreedom,
            value: degrees_of_freedom,
            range: DEGREES_OF_FREEDOM,
        });
    }
    // The parameters are finite and above zero, so the distribution exists.
    Ok(StudentsT::new(0.0, 1.0, degrees_of_freedom.min(MOST))
        .map_or(f64::NAN, |t| t.inverse_cdf(0.5 * (1.0 + level))))
}

/// Standard uncertainty of a value that may lie anywhere within a half-width, each place as likely.
///
/// ```text
/// u = a/√3                                                            (eq. 7)
/// ```
///
/// # Examples
/// ```
/// use risewater::measurement::rectangular;
/// use risewater::units::{Length, millimeter};
///
/// // 2 mm / √3
/// let u = rectangular(Length::new::<millimeter>(2.0));
/// assert_eq!(format!("{:.4}", u.get::<millimeter>()), "1.1547");
/// ```
///
/// # References
/// [GUM (2008)](crate::references::GUM_2008), 4.3.7.
#[must_use]
pub fn rectangular<Q: Div<f64, Output = Q>>(half_width: Q) -> Q {
    half_width / 3.0_f64.sqrt()
}

/// Standard uncertainty that the last step of a digital display leaves.
///
/// ```text
/// u = d/√12                                                           (F.2.2.1)
/// ```
///
/// # Examples
/// ```
/// use risewater::measurement::digital_step;
/// use risewater::units::{Time, second};
///
/// // 0.1 s / √12
/// let u = digital_step(Time::new::<second>(0.1));
/// assert_eq!(format!("{:.5}", u.get::<second>()), "0.02887");
/// ```
///
/// # References
/// [GUM (2008)](crate::references::GUM_2008), F.2.2.1.
#[must_use]
pub fn digital_step<Q: Div<f64, Output = Q>>(step: Q) -> Q {
    step / 12.0_f64.sqrt()
}

#[cfg(test)]
mod tests;
