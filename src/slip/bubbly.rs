//! Bubbly flow from a fine diffuser: a combination of this project.
//!
//! ```text
//! α  = j_g / (C₀ j + 1.53 (σ g Δρ/ρ_l²)^¼ √(1 − α))        C₀ = 1.2 − 0.2 √(ρ_g/ρ_l)
//! ```
//!
//! Distribution parameter of Ishii, rise velocity of Harmathy, hindered by the swarm with the exponent
//! that Gomez et al. use. Cubic in √(1 − α), solved as in `drift_flux`.
//!
//! # Validity
//! [`VOID_FRACTION`]: above it bubbles merge and the number means nothing, though it is still given.
//! [`BORE`]: below 52 mm in water small bubbles catch up and merge into slugs
//! ([`crate::regime::taitel_1980::minimum_bubbly_bore`]). All constants from memory.
//!
//! # References
//! [Own combination](crate::references::BUBBLY_COMBINATION) of [Ishii (1977)](crate::references::ISHII_1977),
//! [Harmathy (1960)](crate::references::HARMATHY_1960) and [Gomez et al. (2000)](crate::references::GOMEZ_2000).

use super::drift_flux;
use crate::error::range;
use crate::two_phase::Flow;

range!(BORE, 52 to 3000 "mm", "Bores in which bubbly flow lasts, for water; all wider ones that are computed.");
range!(VOID_FRACTION, 0 to 0.3, "Void fractions of bubbly flow.");

pub(crate) fn gas_fraction(flow: &Flow) -> f64 {
    // C₀ = 1.2 − 0.2 √(ρ_g/ρ_l);   V = 1.53 (σ g Δρ/ρ_l²)^¼
    let c0 = 1.2 - 0.2 * (flow.rho_g / flow.rho_l).sqrt();
    drift_flux::implicit(flow, c0, 1.53 * flow.bubble_scale())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lone_bubble_rises_at_harmathys_speed() {
        // Harmathy (1960): 0.2501 m/s in water at 20 °C, printed to 1e-4 m/s.
        let flow = Flow {
            j_l: 0.0,
            j_g: 1e-7,
            ..Flow::check()
        };
        let rise = flow.j_g / gas_fraction(&flow);
        approx::assert_abs_diff_eq!(rise, 0.2501, epsilon = 6e-5);
    }
}
