//! Slug flow in small bores after Reinemann, Parlange & Timmons: surface tension holds the bubble.
//!
//! ```text
//! α   = j_g / (C₀ j + V_d)      C₀ = 1.2
//! V_d = 0.352 (1 − 3.18 Σ − 14.77 Σ²) √(g D),   not below 0
//! Σ   = σ/(ρ_l g D²)
//! ```
//!
//! In water the drift is nought at and below Σ = 0.174, a bore of 6.5 mm: the bubbles then move with
//! the water.
//!
//! # Validity
//! [`BORE`], from the title page; good agreement is reported there for Re above 500 and Σ between 0.02
//! and 0.2. [`VOID_FRACTION`] is that of slug flow. The drift velocity is from memory and secondary
//! texts, the definition of Σ included.
//!
//! # References
//! [Reinemann et al. (1990)](crate::references::REINEMANN_1990); drift velocity of
//! [Nickens & Yannitell (1987)](crate::references::NICKENS_YANNITELL_1987).

use super::drift_flux;
use crate::error::range;
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2;

range!(BORE, 3 to 25 "mm", "Bores of the experiments.");
pub use super::nicklin_1962::VOID_FRACTION;

pub(crate) fn gas_fraction(flow: &Flow) -> f64 {
    let d = flow.d_m;
    // Σ = σ/(ρ_l g D²)
    let tension = flow.sigma / (flow.rho_l * GRAVITY_M_PER_S2 * d * d);
    // V_d = 0.352 (1 − 3.18 Σ − 14.77 Σ²) √(g D), not below 0
    let froude = 0.352 * (1.0 - 3.18 * tension - 14.77 * tension * tension);
    let v_d = froude.max(0.0) * (GRAVITY_M_PER_S2 * d).sqrt();
    drift_flux::explicit(flow, 1.2, v_d)
}

#[cfg(test)]
mod tests {
    use crate::two_phase::Flow;

    #[test]
    fn drift_ends_at_6_5_mm_in_water() {
        // The equation's zero: Σ = (−3.18 + √(3.18² + 4 · 14.77))/(2 · 14.77) = 0.1739, D = 6.54 mm.
        let drift = |d_m| {
            let flow = Flow {
                d_m,
                ..Flow::check()
            };
            flow.j_g / super::gas_fraction(&flow) - 1.2 * flow.j()
        };
        assert!(drift(6.50e-3).abs() < 1e-12);
        assert!(drift(6.58e-3) > 1e-4);
    }

    #[test]
    fn check_value() {
        // By hand: Σ = 0.0115170, V_d = 0.352 · 0.961417 · √(9.80665 · 0.0254) = 0.168901
        let alpha = super::gas_fraction(&Flow::check());
        approx::assert_relative_eq!(alpha, 0.337_496, max_relative = 3e-6);
    }
}
