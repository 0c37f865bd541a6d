//! Darcy friction factor of single-phase flow for every regime after Churchill.
//!
//! ```text
//! f = 8 [(8/Re)¹² + (A + B)^−1.5]^(1/12)
//! A = [2.457 ln(1/((7/Re)^0.9 + 0.27 ε/D))]¹⁶        B = (37530/Re)¹⁶
//! ```
//!
//! One smooth curve through laminar, transitional and turbulent flow, so a solver never meets a step. It
//! differs from Colebrook & White by up to 3.1 % (Re 4000, ε/D 0.01) and from 64/Re by 0.14 % at Re 2000.
//!
//! # Validity
//! [`REYNOLDS`] and [`RELATIVE_ROUGHNESS`]: what is computed. The roughness behind
//! the turbulent part was tried to ε/D = 0.05 (from memory).
//!
//! # References
//! [Churchill (1977)](crate::references::CHURCHILL_1977).

use crate::error::{Error, Input, range};
use crate::units::{Ratio, ratio};

range!(REYNOLDS, 1e-6 to 1e12, "Reynolds numbers that the library computes.");

range!(RELATIVE_ROUGHNESS, 0 to 0.5, "Roughness over bore that the library computes.");

/// Below this Re the second term adds less than 1e-27 of the factor: exactly 64/Re in double precision.
const LAMINAR: f64 = 400.0;

/// Terms whose square is lost in rounding: most turbulent flow, from Re of about 10 000.
const SMALL: f64 = 1e-8;

/// Darcy friction factor at a Reynolds number, for a wall of relative roughness ε/D.
///
/// The Fanning factor is a quarter of it.
///
/// # Errors
/// Outside [`REYNOLDS`] or [`RELATIVE_ROUGHNESS`].
///
/// # Examples
/// ```
/// use risewater::pipe::darcy_factor;
/// use risewater::units::{Ratio, ratio};
///
/// // An independent evaluation gives 0.021179655.
/// let factor = darcy_factor(Ratio::new::<ratio>(50_000.0), Ratio::new::<ratio>(1e-4))?;
/// assert_eq!(format!("{:.6}", factor.get::<ratio>()), "0.021180");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Churchill (1977)](crate::references::CHURCHILL_1977).
pub fn darcy_factor(reynolds: Ratio, relative_roughness: Ratio) -> Result<Ratio, Error> {
    let reynolds = REYNOLDS.check(Input::ReynoldsNumber, reynolds.get::<ratio>())?;
    let relative_roughness =
        RELATIVE_ROUGHNESS.check(Input::RelativeRoughness, relative_roughness.get::<ratio>())?;
    Ok(Ratio::new::<ratio>(darcy(reynolds, relative_roughness)))
}

/// The same on checked numbers; infinite at Re = 0, which callers must exclude.
pub(crate) fn darcy(reynolds: f64, relative_roughness: f64) -> f64 {
    // 8 [(8/Re)¹² + (A + B)^−1.5]^(1/12) = 64/Re [1 + (Re/8)¹² (A + B)^−1.5]^(1/12):
    // in this form nothing overflows at small Re.
    let inverse = 1.0 / reynolds;
    let laminar = 64.0 * inverse;
    if reynolds < LAMINAR {
        return laminar;
    }
    // A = a¹⁶,   a = 2.457 ln(1/((7/Re)^0.9 + 0.27 ε/D));   B = (37530/Re)¹⁶
    // x^n = exp(n ln x), here and below: faster than a general power.
    let smooth = (0.9 * (7.0 * inverse).ln()).exp();
    let a = -2.457 * (smooth + 0.27 * relative_roughness).ln();
    // f = 8/a² (1 + w)^(−1/8) [1 + u (1 + w)^1.5]^(1/12)   with w = B/A, u = (8/Re)¹² A^1.5
    let turbulent = 8.0 / (a * a);
    let w = sixteenth(37_530.0 * inverse / a);
    let u = twelfth(8.0 * a * a * inverse);
    if w < SMALL && u < SMALL {
        return turbulent * (1.0 - w / 8.0 + u / 12.0);
    }
    let sum = sixteenth(a) + sixteenth(37_530.0 * inverse);
    let excess = twelfth(0.125 * reynolds) / (sum * sum.sqrt());
    laminar * ((1.0 + excess).ln() / 12.0).exp()
}

/// x¹²
fn twelfth(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    x4 * x4 * x4
}

/// x¹⁶
fn sixteenth(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    let x8 = x4 * x4;
    x8 * x8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The formula as printed, for the range in which nothing overflows.
    fn as_printed(re: f64, eps: f64) -> f64 {
        let a = (2.457 * (1.0 / ((7.0 / re).powf(0.9) + 0.27 * eps)).ln()).powi(16);
        let b = (37_530.0 / re).powi(16);
        8.0 * ((8.0 / re).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
    }

    #[test]
    fn the_form_used_is_the_form_printed() {
        let mut re = 1.0;
        while re < 1e8 {
            for eps in [0.0, 1e-6, 1e-4, 0.01, 0.5] {
                approx::assert_relative_eq!(
                    darcy(re, eps),
                    as_printed(re, eps),
                    max_relative = 1e-13
                );
            }
            re *= 1.07;
        }
    }

    #[test]
    fn refuses_what_is_no_number() {
        let one = Ratio::new::<ratio>(1.0);
        assert!(darcy_factor(Ratio::new::<ratio>(f64::NAN), one).is_err());
        assert!(darcy_factor(Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(0.0)).is_err());
        assert!(darcy_factor(one, one).is_err());
    }
}
