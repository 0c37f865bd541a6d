//! Uncertainty of a measurement by the law of propagation.
//!
//! ```text
//! u_c² = Σ_i Σ_j c_i c_j u_i u_j r_ij         c_i = ∂f/∂x_i          (eqs. 13 and 16 of the source)
//! ν    = u_c⁴ / Σ_i (c_i u_i)⁴/ν_i                                    (G.2b)
//! U    = k u_c,  k from Student's t with ν degrees of freedom
//! ```
//!
//! # References
//! [GUM (2008)](crate::references::GUM_2008).

use statrs::distribution::{ContinuousCDF, StudentsT};

use crate::error::{Error, Input, Range};
use crate::units::{Ratio, ratio};

/// Coverage probabilities that can be asked for.
pub const LEVEL: Range = Range::new(0.5, 0.9999, "");

/// A quantity with its standard uncertainty.
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
    Q: Copy + std::ops::Mul<f64, Output = Q> + std::ops::Add<Output = Q> + std::ops::Sub<Output = Q>,
{
    /// A quantity whose uncertainty is known without repeats.
    pub fn new(value: Q, standard: Q) -> Self {
        Self { value, standard, degrees_of_freedom: f64::INFINITY }
    }

    /// The interval that holds the true value with the given coverage probability.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`LEVEL`].
    pub fn interval(&self, level: Ratio) -> Result<(Q, Q), Error> {
        let half = self.standard * coverage_factor(level, self.degrees_of_freedom)?;
        Ok((self.value - half, self.value + half))
    }
}

/// Coverage factor k: the quantile of Student's t that leaves half of the rest on each side.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`LEVEL`].
///
/// # Examples
/// ```
/// use risewater::trial::coverage_factor;
/// use risewater::units::{Ratio, percent};
///
/// // GUM table G.2: 2.78 for 95 % and 4 degrees of freedom.
/// assert_eq!(format!("{:.2}", coverage_factor(Ratio::new::<percent>(95.0), 4.0)?), "2.78");
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn coverage_factor(level: Ratio, degrees_of_freedom: f64) -> Result<f64, Error> {
    let level = LEVEL.check(Input::CoverageLevel, level.get::<ratio>())?;
    // Beyond a million degrees of freedom Student's t is the normal distribution to six digits.
    let freedom = degrees_of_freedom.clamp(1.0, 1e6);
    // The parameters are finite and above zero, so the distribution exists.
    Ok(StudentsT::new(0.0, 1.0, freedom).map_or(f64::NAN, |t| t.inverse_cdf(0.5 * (1.0 + level))))
}

/// One input of a measurement, in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Estimate {
    pub value: f64,
    pub standard: f64,
    pub freedom: f64,
}

impl Estimate {
    /// Known without repeats (type B).
    pub const fn stated(value: f64, standard: f64) -> Self {
        Self { value, standard, freedom: f64::INFINITY }
    }

    /// Mean of repeats with its standard uncertainty s/√n (type A).
    pub fn repeated(values: &[f64]) -> Self {
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let variance = values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
        Self { value: mean, standard: (variance / n).sqrt(), freedom: n - 1.0 }
    }
}

/// A result with what each input contributes to it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Propagated {
    pub value: f64,
    pub standard: f64,
    pub freedom: f64,
    /// c_i u_i of each input, in the unit of the result.
    pub contributions: Vec<f64>,
}

/// Propagates input uncertainties through a model; `correlation` lists the pairs that are not
/// independent, as (i, j, r_ij).
///
/// The sensitivities are central differences over a thousandth of each standard uncertainty, so that
/// they are those of the first-order law.
pub(crate) fn propagate(inputs: &[Estimate], correlation: &[(usize, usize, f64)], model: impl Fn(&[f64]) -> f64) -> Propagated {
    let mut x: Vec<f64> = inputs.iter().map(|input| input.value).collect();
    let value = model(&x);
    let contributions: Vec<f64> = inputs
        .iter()
        .enumerate()
        .map(|(n, input)| {
            let step = 1e-3 * input.standard;
            if step == 0.0 {
                return 0.0;
            }
            let mut at = |offset: f64| {
                x[n] = input.value + offset;
                let y = model(&x);
                x[n] = input.value;
                y
            };
            (at(step) - at(-step)) / 2e-3
        })
        .collect();
    let squares: f64 = contributions.iter().map(|c| c * c).sum();
    let crossed: f64 = correlation.iter().map(|(i, j, r)| 2.0 * contributions[*i] * contributions[*j] * r).sum();
    let variance = (squares + crossed).max(0.0);
    let spent: f64 = contributions.iter().zip(inputs).map(|(c, input)| c.powi(4) / input.freedom).sum();
    let freedom = if spent > 0.0 { variance * variance / spent } else { f64::INFINITY };
    Propagated { value, standard: variance.sqrt(), freedom, contributions }
}
