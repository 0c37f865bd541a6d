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

pub(crate) fn gas_fraction(flow: &Flow) -> f64 {
    if flow.j_g <= 0.0 {
        return 0.0;
    }
    let j = flow.j();
    let density_ratio = flow.rho_g / flow.rho_l;
    drift_flux::implicit(
        flow,
        distribution(flow, j, density_ratio),
        drift(flow, density_ratio),
    )
}

/// Distribution parameter C₀; at least 1 wherever the gas is lighter than the water.
fn distribution(flow: &Flow, j: f64, density_ratio: f64) -> f64 {
    // Re = ρ_l j D/μ_l
    let reynolds = flow.rho_l * j * flow.d_m / flow.mu_l;
    // f, Fanning: a quarter of Darcy's
    let fanning = 0.25 * churchill_1977::darcy(reynolds, flow.relative_roughness);
    // 1 − x = ρ_l j_l/G;   β = j_g/j
    let liquid_quality = flow.rho_l * flow.j_l / flow.mass_flux();
    let beta = flow.j_g / j;
    // x^n = exp(n ln x), here and below: faster than a general power.
    // C₀₁ = 0.2 (1 − √(ρ_g/ρ_l)) [(2.6 − β)^0.15 − √f] (1 − x)^1.5
    let c01 = 0.2
        * (1.0 - density_ratio.sqrt())
        * ((0.15 * (2.6 - beta).ln()).exp() - fanning.sqrt())
        * liquid_quality
        * liquid_quality.sqrt();
    // C₀ = (2 − (ρ_g/ρ_l)²)/(1 + (Re/1000)²) + (1 + C₀₁)/(1 + (1000/Re)²)
    // with 1/(1 + (1000/Re)²) = (Re/1000)²/(1 + (Re/1000)²)
    let r = 1e-3 * reynolds;
    let r2 = r * r;
    (2.0 - density_ratio * density_ratio + r2 * (1.0 + c01)) / (1.0 + r2)
}

/// V = V_d/√(1 − α), m/s.
pub(super) fn drift(flow: &Flow, density_ratio: f64) -> f64 {
    // C₃ = (La/0.025)^0.9 if La < 0.025, else 1;   (La/0.025)² = σ/(g Δρ (0.025 D)²)
    let narrow = bend_m(flow.d_m);
    let square = flow.sigma / (GRAVITY_M_PER_S2 * flow.density_difference() * narrow * narrow);
    let c3 = if square < 1.0 {
        (0.45 * square.ln()).exp()
    } else {
        1.0
    };
    // V = 0.35 √(g D Δρ/ρ_l) C₂ C₃,   C₂ = 1
    0.35 * (GRAVITY_M_PER_S2 * flow.d_m * (1.0 - density_ratio)).sqrt() * c3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn check_value() {
        // tests/data/closure_checks.csv, an independent evaluation: 25.4 mm, 0.3 and 0.3 m/s.
        let alpha = gas_fraction(&Flow::check());
        approx::assert_relative_eq!(alpha, 0.347_757_027_22, max_relative = 1e-9);
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
                    let alpha = gas_fraction(&flow);
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
