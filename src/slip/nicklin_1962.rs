//! Slug flow after Nicklin, Wilkes & Davidson.
//!
//! ```text
//! α = j_g / (C₀ j + V_d)        C₀ = 1.2        V_d = 0.35 √(g D)
//! ```
//!
//! The textbook closure of airlift pumps: long bubbles that fill the pipe, in water whose centre
//! moves 1.2 times as fast as its mean. Good near best efficiency; too little void, and so too
//! little water, at high air flow.
//!
//! # Validity
//! [`BORE`]: below it surface tension slows the bubble (Eötvös number under 70), above it a bubble
//! cannot span the pipe (30 Laplace lengths); both from memory, for water at 20 °C.
//! [`VOID_FRACTION`]: up to churn flow. In neither does the formula stop working.
//!
//! # References
//! [Nicklin et al. (1962)](crate::references::NICKLIN_1962); used for airlifts in
//! [Nicklin (1963)](crate::references::NICKLIN_1963).

use super::drift_flux;
use crate::error::range;
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2;

range!(BORE, 22.8 to 82 "mm", "Bores of slug flow in water.");
range!(VOID_FRACTION, 0 to 0.8, "Void fractions of slug flow: up to the churn boundary of Mishima & Ishii (1984).");

pub(crate) fn gas_fraction(flow: &Flow) -> f64 {
    // V_d = 0.35 √(g D)
    let v_d = 0.35 * (GRAVITY_M_PER_S2 * flow.d_m).sqrt();
    drift_flux::explicit(flow, 1.2, v_d)
}

#[cfg(test)]
mod tests {
    use crate::two_phase::Flow;

    #[test]
    fn check_value() {
        // By hand: 0.3/(1.2 · 0.6 + 0.35 √(9.80665 · 0.0254)) = 0.3/(0.72 + 0.174681)
        let alpha = super::gas_fraction(&Flow::check());
        approx::assert_relative_eq!(alpha, 0.335_315, max_relative = 2e-6);
    }
}
