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

/// Relative change of the Reynolds number over which a factor is told from its slope.
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
    Factor::at(reynolds, relative_roughness).darcy
}

/// A Darcy factor, from which those at nearly the same Reynolds number are told.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Factor {
    reynolds: f64,
    relative_roughness: f64,
    pub darcy: f64,
    /// d ln f/d ln Re; no number in the transition.
    slope: f64,
}

impl Factor {
    /// The factor at another Reynolds number.
    pub fn near(&self, reynolds: f64) -> f64 {
        let change = reynolds / self.reynolds - 1.0;
        if change.abs() <= NEAR && self.slope.is_finite() {
            // As a power of Re, (1 + change)^slope.
            let square = 0.5 * self.slope * (self.slope - 1.0) * change * change;
            self.darcy * (1.0 + self.slope * change + square)
        } else {
            darcy(reynolds, self.relative_roughness)
        }
    }

    #[inline]
    pub fn at(reynolds: f64, relative_roughness: f64) -> Self {
        let with = |darcy, slope| Self {
            reynolds,
            relative_roughness,
            darcy,
            slope,
        };
        if reynolds < LAMINAR {
            return with(64.0 / reynolds, -1.0);
        }
        let logarithm = Logarithm::at(reynolds, relative_roughness);
        let Logarithm { a, smooth, rough } = logarithm;
        let (share, mixed) = logarithm.share_of_turbulent(reynolds);
        let slope = if mixed {
            f64::NAN
        } else {
            // d ln f/d ln Re = −2 d ln a/d ln Re = −2 · 2.457 · 0.9 (7/Re)^0.9/((7/Re)^0.9 + 0.27 ε/D)/a
            -2.0 * 2.457 * 0.9 * smooth / ((smooth + rough) * a)
        };
        with(8.0 / (a * a) * share, slope)
    }
}

/// √f of the Fanning factor f, a quarter of Darcy's.
pub(crate) fn root_of_fanning(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds < LAMINAR {
        return (16.0 / reynolds).sqrt();
    }
    let logarithm = Logarithm::at(reynolds, relative_roughness);
    let turbulent = std::f64::consts::SQRT_2 / logarithm.a;
    if logarithm.is_turbulent(reynolds) {
        return turbulent;
    }
    turbulent * logarithm.share_of_turbulent(reynolds).0.sqrt()
}

/// a = 2.457 ln(1/((7/Re)^0.9 + 0.27 ε/D)), A = a¹⁶, and the two terms in it.
struct Logarithm {
    a: f64,
    smooth: f64,
    rough: f64,
}

impl Logarithm {
    #[inline]
    fn at(reynolds: f64, relative_roughness: f64) -> Self {
        // x^n = exp(n ln x): faster than a general power.
        let log = -0.9 * (reynolds * (1.0 / 7.0)).ln();
        let smooth = log.exp();
        let rough = 0.27 * relative_roughness;
        Self {
            a: -2.457 * log_of_sum(log, smooth, rough),
            smooth,
            rough,
        }
    }

    /// Whether f = 8/a² to the last digit: u = (8 a²/Re)¹² and w = (37530/(Re a))¹⁶ are below 3e-16.
    fn is_turbulent(&self, reynolds: f64) -> bool {
        8.0 * self.a * self.a < 0.05 * reynolds && 375_300.0 < reynolds * self.a
    }

    /// f over 8/a², and whether that is more than a correction of the last digits.
    fn share_of_turbulent(&self, reynolds: f64) -> (f64, bool) {
        if self.is_turbulent(reynolds) {
            return (1.0, false);
        }
        // f = 8/a² (1 + w)^(−1/8) [1 + u (1 + w)^1.5]^(1/12)   with w = B/A, u = (8/Re)¹² A^1.5
        let a = self.a;
        let w = sixteenth(37_530.0 / (reynolds * a));
        let u = twelfth(8.0 * a * a / reynolds);
        if w < SMALL && u < SMALL {
            return (1.0 - w / 8.0 + u / 12.0, false);
        }
        // The same as 64/Re [1 + (Re/8)¹² (A + B)^−1.5]^(1/12): so nothing overflows at small Re.
        let sum = sixteenth(a) + sixteenth(37_530.0 / reynolds);
        let excess = twelfth(0.125 * reynolds) / (sum * sum.sqrt());
        let share = 8.0 * a * a / reynolds * ((1.0 + excess).ln() / 12.0).exp();
        (share, true)
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
                let printed = as_printed(re, eps);
                approx::assert_relative_eq!(darcy(re, eps), printed, max_relative = 1e-13);
                let root = root_of_fanning(re, eps);
                approx::assert_relative_eq!(root * root, 0.25 * printed, max_relative = 1e-13);
            }
            re *= 1.07;
        }
    }

    /// The slope changes by less than 0.2 where ln Re grows by 1: what is left is 0.1 NEAR².
    #[test]
    fn a_factor_nearby_is_told() {
        for re in [1.0, 300.0, 3000.0, 9000.0, 2e4, 1e5, 1e7] {
            for eps in [0.0, 1e-6, 1e-4, 0.01, 0.5] {
                let known = Factor::at(re, eps);
                for change in [-1e-3, -2.9e-5, -1e-6, 0.0, 2.9e-5, 0.1] {
                    let re = re * (1.0 + change);
                    approx::assert_relative_eq!(
                        known.near(re),
                        darcy(re, eps),
                        max_relative = 1e-10
                    );
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
