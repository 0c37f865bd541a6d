//! Darcy friction factor of a rough pipe after Colebrook & White, solved to rounding.
//!
//! ```text
//! f = 64/Re                                            Re ≤ 2000
//! ln f linear in ln Re between the two ends            2000 < Re < 4000
//! 1/√f = −2 log10[(ε/D)/3.7 + 2.51/(Re √f)]            Re ≥ 4000
//! ```
//!
//! The middle piece is the project's own bridge, no published law: flow there switches between laminar and
//! turbulent, and no factor is right. It keeps f continuous and f Re² rising, so that a pressure belongs to one
//! flow only. [`darcy_factor`](super::darcy_factor) is a smooth curve through all regimes, some percent away.
//!
//! # Validity
//! [`REYNOLDS`] and [`RELATIVE_ROUGHNESS`]: what is computed. The law itself is used to ε/D = 0.05 (from memory).
//!
//! # References
//! [Colebrook (1939)](crate::references::COLEBROOK_1939); first guess by
//! [Haaland (1983)](crate::references::HAALAND_1983).

use super::churchill_1977::REYNOLDS;
use crate::error::{Error, Input};
use crate::two_phase::RELATIVE_ROUGHNESS;
use crate::units::{Ratio, ratio};

/// Laminar up to here.
const LAMINAR: f64 = 2000.0;
/// Colebrook & White from here on.
const TURBULENT: f64 = 4000.0;

/// Darcy friction factor at a Reynolds number, for a wall of relative roughness ε/D.
///
/// # Errors
/// Outside [`REYNOLDS`] or [`RELATIVE_ROUGHNESS`].
///
/// # Examples
/// ```
/// use risewater::friction::colebrook_factor;
/// use risewater::units::{Ratio, ratio};
///
/// // An independent evaluation gives 0.018513866.
/// let factor = colebrook_factor(Ratio::new::<ratio>(100_000.0), Ratio::new::<ratio>(1e-4))?;
/// assert_eq!(format!("{:.6}", factor.get::<ratio>()), "0.018514");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Colebrook (1939)](crate::references::COLEBROOK_1939).
pub fn colebrook_factor(reynolds: Ratio, relative_roughness: Ratio) -> Result<Ratio, Error> {
    let reynolds = REYNOLDS.check(Input::ReynoldsNumber, reynolds.get::<ratio>())?;
    let relative_roughness =
        RELATIVE_ROUGHNESS.check(Input::RelativeRoughness, relative_roughness.get::<ratio>())?;
    Ok(Ratio::new::<ratio>(darcy(reynolds, relative_roughness)))
}

/// The same on checked numbers; infinite at Re = 0, which callers must exclude.
pub(crate) fn darcy(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds <= LAMINAR {
        64.0 / reynolds
    } else if reynolds >= TURBULENT {
        turbulent(reynolds, relative_roughness)
    } else {
        let (low, high) = (64.0 / LAMINAR, turbulent(TURBULENT, relative_roughness));
        // ln f = ln f₁ + s ln(Re/Re₁)   with s = ln(f₂/f₁)/ln(Re₂/Re₁)
        let slope = (high / low).ln() / (TURBULENT / LAMINAR).ln();
        low * (reynolds / LAMINAR).powf(slope)
    }
}

/// 1/√f = −2 log10[(ε/D)/3.7 + 2.51/(Re √f)]
fn turbulent(reynolds: f64, relative_roughness: f64) -> f64 {
    // g(x) = x + (2/ln 10) ln(a + b x) = 0   with x = 1/√f, a = (ε/D)/3.7, b = 2.51/Re
    // g rises and is concave, so that Newton's steps close in from below; from Haaland's guess,
    // within 2 %, three of them reach rounding.
    let (a, b) = (relative_roughness / 3.7, 2.51 / reynolds);
    let two_over_ln_10 = 2.0 / std::f64::consts::LN_10;
    let mut x = haaland(reynolds, relative_roughness);
    for _ in 0..3 {
        let inside = a + b * x;
        let g = x + two_over_ln_10 * inside.ln();
        x -= g / (1.0 + two_over_ln_10 * b / inside);
    }
    (x * x).recip()
}

/// 1/√f = −1.8 log10[((ε/D)/3.7)^1.11 + 6.9/Re]
fn haaland(reynolds: f64, relative_roughness: f64) -> f64 {
    -1.8 * ((relative_roughness / 3.7).powf(1.11) + 6.9 / reynolds).log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROUGHNESS: [f64; 7] = [0.0, 1e-6, 1.5e-5, 1e-3, 0.01, 0.05, 0.5];

    /// Reynolds numbers from low to high, 1 % apart.
    fn numbers(low: f64, high: f64) -> impl Iterator<Item = f64> {
        std::iter::successors(Some(low), |re| Some(re * 1.01)).take_while(move |re| *re < high)
    }

    #[test]
    fn the_law_is_met_to_rounding() {
        for eps in ROUGHNESS {
            for re in numbers(TURBULENT, 1e12) {
                let x = darcy(re, eps).sqrt().recip();
                let right = -2.0 * (eps / 3.7 + 2.51 * x / re).log10();
                approx::assert_relative_eq!(x, right, max_relative = 1e-14);
            }
        }
    }

    #[test]
    fn one_curve_on_which_pressure_rises_with_flow() {
        for eps in ROUGHNESS {
            for end in [LAMINAR, TURBULENT] {
                let (below, above) = (
                    darcy(end * (1.0 - 1e-15), eps),
                    darcy(end * (1.0 + 1e-15), eps),
                );
                approx::assert_relative_eq!(below, above, max_relative = 1e-13);
            }
            let mut last = 0.0;
            for re in numbers(1.0, 1e12) {
                let drop = darcy(re, eps) * re * re;
                assert!(drop > last, "Re {re}, ε/D {eps}");
                last = drop;
            }
        }
    }

    #[test]
    fn the_guess_is_haaland() {
        // tests/data/friction.csv, F006 and F022.
        for (re, eps, f) in [(4000.0, 0.0, 0.040_422_849), (4000.0, 0.01, 0.049_235_772)] {
            approx::assert_relative_eq!(haaland(re, eps).powi(-2), f, max_relative = 5e-8);
        }
    }

    #[test]
    fn refuses_what_is_no_number() {
        let one = Ratio::new::<ratio>(1.0);
        assert!(colebrook_factor(Ratio::new::<ratio>(f64::NAN), one * 0.01).is_err());
        assert!(colebrook_factor(Ratio::new::<ratio>(0.0), Ratio::new::<ratio>(0.0)).is_err());
        assert!(colebrook_factor(one, one).is_err());
    }
}
