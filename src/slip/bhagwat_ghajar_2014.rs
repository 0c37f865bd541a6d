//! Every flow pattern in one formula after Bhagwat & Ghajar: the default closure.
//!
//! Here for a vertical pipe with upward flow; the terms for other slopes are nought.
//!
//! ```text
//! α   = j_g / (C₀ j + V_d)
//! C₀  = (2 − (ρ_g/ρ_l)²)/(1 + (Re/1000)²) + (1 + C₀₁)/(1 + (1000/Re)²)
//! C₀₁ = 0.2 (1 − √(ρ_g/ρ_l)) [(2.6 − β)^0.15 − √f] (1 − x)^1.5
//! V_d = 0.35 √(g D Δρ/ρ_l) √(1 − α) C₂ C₃
//! Re  = ρ_l j D/μ_l      β = j_g/j      x = ρ_g j_g/G      G = ρ_l j_l + ρ_g j_g
//! C₂  = 1 for water      C₃ = (La/0.025)^0.9 if La < 0.025, else 1      La = √(σ/(g Δρ))/D
//! ```
//!
//! `f` is the Fanning factor at Re, a quarter of the Darcy factor of
//! [`darcy_factor`](crate::pipe::darcy_factor). C₂ differs from 1 only for liquids ten times as viscous as
//! water. Cubic in √(1 − α), solved as in `drift_flux`.
//!
//! # Validity
//! [`BORE`] and [`VOID_FRACTION`]: the source's data.
//!
//! # References
//! [Bhagwat & Ghajar (2014)](crate::references::BHAGWAT_GHAJAR_2014).

use super::drift_flux;
use crate::error::range;
use crate::pipe::churchill_1977;
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2;

range!(BORE, 0.5 to 305 "mm", "Hydraulic diameters of the data.");
range!(VOID_FRACTION, 0 to 1, "Void fractions of the data: all of them.");

/// La at which C₃ changes its formula.
const BEND: f64 = 0.025;

/// Laplace length √(σ/(g Δρ)) at which the formula bends, m.
pub(crate) fn bend_m(d_m: f64) -> f64 {
    BEND * d_m
}

pub(crate) fn gas_fraction(flow: &Flow, drift: &Drift) -> f64 {
    if flow.j_g <= 0.0 {
        return 0.0;
    }
    let j = flow.j();
    let density_ratio = flow.rho_g / flow.rho_l;
    let distribution = distribution(flow, j, density_ratio);
    drift_flux::implicit(flow, distribution, drift.m_per_s(density_ratio))
}

/// Distribution parameter C₀; at least 1 wherever the gas is lighter than the water.
fn distribution(flow: &Flow, j: f64, density_ratio: f64) -> f64 {
    // Re = ρ_l j D/μ_l
    let reynolds = flow.rho_l * j * flow.d_m / flow.mu_l;
    let root_of_fanning = churchill_1977::root_of_fanning(reynolds, flow.relative_roughness);
    // 1 − x = ρ_l j_l/G;   β = j_g/j
    let liquid_quality = flow.rho_l * flow.j_l / flow.mass_flux();
    let beta = flow.j_g / j;
    // C₀₁ = 0.2 (1 − √(ρ_g/ρ_l)) [(2.6 − β)^0.15 − √f] (1 − x)^1.5
    let c01 = 0.2
        * (1.0 - density_ratio.sqrt())
        * (spread(beta) - root_of_fanning)
        * liquid_quality
        * liquid_quality.sqrt();
    // C₀ = (2 − (ρ_g/ρ_l)²)/(1 + (Re/1000)²) + (1 + C₀₁)/(1 + (1000/Re)²)
    // with 1/(1 + (1000/Re)²) = (Re/1000)²/(1 + (Re/1000)²)
    let r = 1e-3 * reynolds;
    let r2 = r * r;
    (2.0 - density_ratio * density_ratio + r2 * (1.0 + c01)) / (1.0 + r2)
}

/// Terms of the binomial series of (1 + y)^0.15 that are not lost in rounding where |y| < 0.24.
const SERIES: [f64; 24] = {
    let mut terms = [1.0; 24];
    let mut n = 1;
    while n < terms.len() {
        terms[n] = terms[n - 1] * (0.15 - (n as f64 - 1.0)) / n as f64;
        n += 1;
    }
    terms
};

/// (2.6 − β)^0.15 = 2.1^0.15 (1 + y)^0.15 with y = (0.5 − β)/2.1, four terms at a time: half as long as a power.
fn spread(beta: f64) -> f64 {
    let y = (0.5 - beta) * (1.0 / 2.1);
    let (y2, y4) = (y * y, y * y * (y * y));
    let four = |c: &[f64; 4]| (c[0] + c[1] * y) + (c[2] + c[3] * y) * y2;
    let (terms, _) = SERIES.as_chunks();
    MIDDLE * terms.iter().rev().fold(0.0, |sum, c| sum * y4 + four(c))
}

/// 2.1^0.15
const MIDDLE: f64 = 1.117_719_670_910_681_8;

/// What V = V_d/√(1 − α) takes from the pipe and the water, with ρ_l for Δρ.
///
/// ```text
/// V = 0.35 √(g D Δρ/ρ_l) C₂ C₃      C₂ = 1      (La/0.025)² = σ/(g Δρ (0.025 D)²)
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drift {
    /// 0.35 √(g D), m/s.
    wide_m_per_s: f64,
    /// (La/0.025)²
    square: f64,
    /// 0.35 √(g D) (La/0.025)^0.9, m/s.
    narrow_m_per_s: f64,
}

impl Drift {
    pub fn new(d_m: f64, rho_l: f64, sigma: f64) -> Self {
        let narrow = bend_m(d_m);
        let square = sigma / (GRAVITY_M_PER_S2 * rho_l * narrow * narrow);
        let wide_m_per_s = 0.35 * (GRAVITY_M_PER_S2 * d_m).sqrt();
        Self {
            wide_m_per_s,
            square,
            narrow_m_per_s: wide_m_per_s * square.powf(0.45),
        }
    }

    /// V at ρ_g/ρ_l, m/s.
    pub fn m_per_s(&self, density_ratio: f64) -> f64 {
        // Δρ/ρ_l
        let lighter = 1.0 - density_ratio;
        if self.square < lighter {
            // √(Δρ/ρ_l) (Δρ/ρ_l)^−0.45
            self.narrow_m_per_s * twentieth_root(density_ratio)
        } else {
            self.wide_m_per_s * lighter.sqrt()
        }
    }
}

/// (1 − x)^0.05, by its binomial series where that is short.
fn twentieth_root(x: f64) -> f64 {
    if x > 0.02 {
        return (1.0 - x).powf(0.05);
    }
    let (mut term, mut sum) = (1.0, 1.0);
    for n in 0..8 {
        let n = f64::from(n);
        term *= x * ((n - 0.05) / (n + 1.0));
        sum += term;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn check_value() {
        // tests/data/closure_checks.csv, an independent evaluation: 25.4 mm, 0.3 and 0.3 m/s.
        let alpha = gas_fraction(&Flow::check(), &drift(&Flow::check()));
        approx::assert_relative_eq!(alpha, 0.347_757_027_22, max_relative = 1e-9);
    }

    fn drift(flow: &Flow) -> Drift {
        Drift::new(flow.d_m, flow.rho_l, flow.sigma)
    }

    /// To the last digits: 2e-15 is eight of them.
    #[test]
    fn the_powers_are_those_printed() {
        for n in 0..=1000 {
            let beta = f64::from(n) / 1000.0;
            let printed = (2.6 - beta).powf(0.15);
            approx::assert_relative_eq!(spread(beta), printed, max_relative = 2e-15);
        }
        for d_m in [0.01, 0.1, 0.109, 0.11, 0.3, 3.0] {
            for rho_g in [1e-3, 1.2, 10.0, 19.0, 25.0, 500.0] {
                let flow = Flow {
                    d_m,
                    rho_g,
                    ..Flow::check()
                };
                let c3 = (flow.laplace_m() / d_m / 0.025).min(1.0).powf(0.9);
                let ratio = flow.density_difference() / flow.rho_l;
                let printed = 0.35 * (GRAVITY_M_PER_S2 * d_m * ratio).sqrt() * c3;
                let found = drift(&flow).m_per_s(rho_g / flow.rho_l);
                approx::assert_relative_eq!(found, printed, max_relative = 2e-15);
            }
        }
    }

    #[test]
    fn the_fraction_stays_below_one() {
        for d_m in [0.001, 0.01, 0.0762, 3.0] {
            for j_l in [0.0, 1e-9, 0.1, 10.0, 1000.0] {
                for j_g in [0.0, 1e-300, 1e-9, 0.1, 10.0, 1000.0] {
                    let flow = Flow {
                        d_m,
                        j_l,
                        j_g,
                        ..Flow::check()
                    };
                    let alpha = gas_fraction(&flow, &drift(&flow));
                    assert!(
                        (0.0..1.0).contains(&alpha),
                        "D {d_m} j_l {j_l} j_g {j_g}: {alpha}"
                    );
                    assert_eq!(
                        alpha == 0.0,
                        j_g == 0.0,
                        "D {d_m} j_l {j_l} j_g {j_g}: {alpha}"
                    );
                    if j_g > 1e-200 {
                        assert!(distribution(&flow, flow.j(), flow.rho_g / flow.rho_l) >= 1.0);
                    }
                }
            }
        }
    }
}
