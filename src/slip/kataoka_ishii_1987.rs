//! Large bores after Kataoka & Ishii: bubbles too large to last, in a pool or a wide pipe.
//!
//! ```text
//! α   = j_g / (C₀ j + V_d)               C₀ = 1.2 − 0.2 √(ρ_g/ρ_l)
//! V_d = 0.0019 min(D*, 30)^0.809 (ρ_g/ρ_l)^−0.157 N_μ^−0.562 (σ g Δρ/ρ_l²)^¼
//! D*  = D/La          La = √(σ/(g Δρ))
//! N_μ = μ_l/√(ρ_l σ La),   not above 2.25e-3
//! ```
//!
//! The source's second branch, `0.92 (ρ_g/ρ_l)^−0.157` for N_μ above 2.25e-3, is given for D* ≥ 30. Cold
//! water passes that N_μ; holding N_μ at the switch in narrower pipes too is this library's own step
//! (the branches differ by 0.4 % there).
//!
//! # Validity
//! [`BORE`] from memory of the source's list of data; [`VOID_FRACTION`] that of bubbly and churn flow,
//! likewise. Constants of the first branch seen in independent texts, those of the second recalled.
//!
//! # References
//! [Kataoka & Ishii (1987)](crate::references::KATAOKA_ISHII_1987); C₀ of
//! [Ishii (1977)](crate::references::ISHII_1977).

use super::drift_flux;
use crate::error::range;
use crate::two_phase::Flow;

range!(BORE, 10 to 600 "mm", "Bores of the data, as remembered.");
range!(VOID_FRACTION, 0 to 0.8, "Void fractions below annular flow.");

/// Diameter in Laplace lengths from which the bore no longer matters.
const WIDE: f64 = 30.0;
/// Viscosity number from which the viscosity no longer matters.
const VISCOUS: f64 = 2.25e-3;

/// Laplace lengths √(σ/(g Δρ)) at which the formula bends, m: from D* = 30, and from
/// N_μ = μ_l/√(ρ_l σ La) = 2.25e-3.
pub(crate) fn bends_m(d_m: f64, rho_l: f64, mu_l: f64, sigma: f64) -> [f64; 2] {
    [d_m / WIDE, (mu_l / VISCOUS).powi(2) / (rho_l * sigma)]
}

pub(crate) fn gas_fraction(flow: &Flow) -> f64 {
    let la = flow.laplace_m();
    let density_ratio = flow.rho_g / flow.rho_l;
    // C₀ = 1.2 − 0.2 √(ρ_g/ρ_l)
    let c0 = 1.2 - 0.2 * density_ratio.sqrt();
    // N_μ = μ_l/√(ρ_l σ La), not above 2.25e-3
    let n_mu = (flow.mu_l / (flow.rho_l * flow.sigma * la).sqrt()).min(VISCOUS);
    // V_d = 0.0019 min(D*, 30)^0.809 (ρ_g/ρ_l)^−0.157 N_μ^−0.562 (σ g Δρ/ρ_l²)^¼
    let v_d = 0.0019
        * (flow.d_m / la).min(WIDE).powf(0.809)
        * density_ratio.powf(-0.157)
        * n_mu.powf(-0.562)
        * flow.bubble_scale();
    drift_flux::explicit(flow, c0, v_d)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn check_value() {
        // tests/data/closure_checks.csv, an independent evaluation: V_d = 0.167108452 m/s at 25.4 mm.
        let flow = Flow::check();
        let c0 = 1.2 - 0.2 * (flow.rho_g / flow.rho_l).sqrt();
        let v_d = flow.j_g / gas_fraction(&flow) - c0 * flow.j();
        approx::assert_relative_eq!(v_d, 0.167_108_452, max_relative = 1e-8);
    }

    /// The exponents of D*, 0.809, and of N_μ, −0.562, end there.
    #[test]
    fn the_drift_bends_where_it_is_said_to() {
        let (rho_l, mu_l, sigma) = (998.0, 1.5e-3, 0.073);
        let drift_over_scale = |d_m: f64, la: f64| {
            // La = √(σ/(g Δρ)): the gas as heavy as makes it so.
            let rho_g = rho_l - sigma / (crate::units::GRAVITY_M_PER_S2 * la * la);
            let flow = Flow {
                d_m,
                rho_l,
                rho_g,
                mu_l,
                sigma,
                ..Flow::check()
            };
            let density_ratio = rho_g / rho_l;
            let c0 = 1.2 - 0.2 * density_ratio.sqrt();
            let v_d = flow.j_g / gas_fraction(&flow) - c0 * flow.j();
            (v_d / flow.bubble_scale() * density_ratio.powf(0.157)).ln()
        };
        // d ln/d ln La on either side of a bend; N_μ² falls as 1/La.
        let slope = |d_m: f64, la: f64, side: f64| {
            let (near, far) = (la * (1.0 + 1e-3 * side), la * (1.0 + 2e-3 * side));
            (drift_over_scale(d_m, far) - drift_over_scale(d_m, near)) / (far / near).ln()
        };
        // In 100 mm the bore's bend is at 3.3 mm; that of the viscosity, by hand from N_μ, at 6.1 mm.
        let [wide, viscous] = bends_m(0.1, rho_l, mu_l, sigma);
        approx::assert_relative_eq!(wide, 0.1 / 30.0, max_relative = 1e-12);
        approx::assert_relative_eq!(viscous, 6.1e-3, max_relative = 1e-2);
        approx::assert_relative_eq!(slope(0.1, wide, -1.0), 0.0, epsilon = 1e-6);
        approx::assert_relative_eq!(slope(0.1, wide, 1.0), -0.809, max_relative = 1e-3);
        approx::assert_relative_eq!(slope(1.0, viscous, -1.0), 0.0, epsilon = 1e-6);
        approx::assert_relative_eq!(slope(1.0, viscous, 1.0), 0.281, max_relative = 1e-3);
    }

    #[test]
    fn second_branch_is_met_within_half_a_percent() {
        // 0.92 (ρ_g/ρ_l)^−0.157 (σgΔρ/ρ_l²)^¼ at D* ≥ 30, Kataoka & Ishii (1987), as remembered.
        let flow = Flow {
            d_m: 0.2,
            mu_l: 1.5e-3,
            ..Flow::check()
        };
        let c0 = 1.2 - 0.2 * (flow.rho_g / flow.rho_l).sqrt();
        let v_d = flow.j_g / gas_fraction(&flow) - c0 * flow.j();
        let source = 0.92 * (flow.rho_g / flow.rho_l).powf(-0.157) * flow.bubble_scale();
        approx::assert_relative_eq!(v_d, source, max_relative = 5e-3);
    }
}
