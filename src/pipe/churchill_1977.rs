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

/// Relative change of the Reynolds number over which a factor is told from its slope, to some 1e-11.
const NEAR: f64 = 3e-5;

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
    Factor::at(reynolds, relative_roughness).factor
}

/// A Darcy factor, from which those at nearly the same Reynolds number are told.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Factor {
    reynolds: f64,
    relative_roughness: f64,
    pub factor: f64,
    /// d ln f/d ln Re; no number in the transition.
    slope: f64,
}

impl Factor {
    /// The factor at another Reynolds number.
    pub fn near(&self, reynolds: f64) -> f64 {
        let change = reynolds / self.reynolds - 1.0;
        if change.abs() <= NEAR && self.slope.is_finite() {
            // As a power of Re, (1 + change)^slope: the slope changes by some 0.02 of ln Re.
            let square = 0.5 * self.slope * (self.slope - 1.0) * change * change;
            self.factor * (1.0 + self.slope * change + square)
        } else {
            darcy(reynolds, self.relative_roughness)
        }
    }

    #[inline]
    pub fn at(reynolds: f64, relative_roughness: f64) -> Self {
        // 8 [(8/Re)¹² + (A + B)^−1.5]^(1/12) = 64/Re [1 + (Re/8)¹² (A + B)^−1.5]^(1/12):
        // in this form nothing overflows at small Re.
        let with = |factor, slope| Self {
            reynolds,
            relative_roughness,
            factor,
            slope,
        };
        let inverse = 1.0 / reynolds;
        let laminar = 64.0 * inverse;
        if reynolds < LAMINAR {
            return with(laminar, -1.0);
        }
        // A = a¹⁶,   a = 2.457 ln(1/((7/Re)^0.9 + 0.27 ε/D));   B = (37530/Re)¹⁶
        // x^n = exp(n ln x), here and below: faster than a general power.
        let log = 0.9 * (7.0 * inverse).ln();
        let smooth = log.exp();
        let rough = 0.27 * relative_roughness;
        let a = -2.457 * log_of_sum(log, smooth, rough);
        // f = 8/a² (1 + w)^(−1/8) [1 + u (1 + w)^1.5]^(1/12)   with w = B/A, u = (8/Re)¹² A^1.5
        let turbulent = 8.0 / (a * a);
        let w = sixteenth(37_530.0 * inverse / a);
        let u = twelfth(8.0 * a * a * inverse);
        if w < SMALL && u < SMALL {
            // d ln f/d ln Re = −2 d ln a/d ln Re = −2 · 2.457 · 0.9 (7/Re)^0.9/((7/Re)^0.9 + 0.27 ε/D)/a
            let slope = -2.0 * 2.457 * 0.9 * smooth / ((smooth + rough) * a);
            return with(turbulent * (1.0 - w / 8.0 + u / 12.0), slope);
        }
        let sum = sixteenth(a) + sixteenth(37_530.0 * inverse);
        let excess = twelfth(0.125 * reynolds) / (sum * sum.sqrt());
        let factor = laminar * ((1.0 + excess).ln() / 12.0).exp();
        with(factor, f64::NAN)
    }
}

/// ln(x + y) where ln x is known too.
fn log_of_sum(log_x: f64, x: f64, y: f64) -> f64 {
    if 10.0 * y > x {
        return (x + y).ln();
    }
    // ln(1 + y/x) = 2 artanh z = 2 (z + z³/3 + z⁵/5 + …)   with z = y/(2 x + y), below 1/21
    let z = y / (2.0 * x + y);
    let z2 = z * z;
    let series = 1.0 + z2 * (1.0 / 3.0 + z2 * (1.0 / 5.0 + z2 * (1.0 / 7.0 + z2 / 9.0)));
    log_x + 2.0 * z * series
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
    fn a_factor_nearby_is_told() {
        for re in [1.0, 300.0, 3000.0, 9000.0, 2e4, 1e5, 1e7] {
            for eps in [0.0, 1e-6, 1e-4, 0.01, 0.5] {
                let known = Factor::at(re, eps);
                for change in [-1e-3, -2.9e-5, -1e-6, 0.0, 2.9e-5, 0.1] {
                    let re = re * (1.0 + change);
                    approx::assert_relative_eq!(known.near(re), darcy(re, eps), max_relative = 1e-10);
                }
            }
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
