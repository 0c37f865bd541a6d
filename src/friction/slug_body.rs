//! Friction of the water between long bubbles, at the speed of the mixture.
//!
//! ```text
//! F = f(ρ_l j D/μ_l) (1 − α) ρ_l j²/(2 D)
//! ```
//!
//! `f` is the Darcy factor of [`darcy_factor`](crate::pipe::darcy_factor). The textbook companion of Nicklin's void
//! fraction: the film beside the bubbles is taken to rub nothing.
//!
//! # Validity
//! [`BORE`] and [`VOID_FRACTION`]: those of slug flow.
//!
//! # References
//! [Nicklin (1963)](crate::references::NICKLIN_1963); [Reinemann et al. (1990)](crate::references::REINEMANN_1990).

use crate::error::range;
use crate::pipe::churchill_1977::darcy;
pub use crate::slip::nicklin_1962::VOID_FRACTION;
use crate::two_phase::Flow;

range!(BORE, 3 to 82 "mm", "Bores of slug flow: those of both sources.");

pub(crate) fn gradient_pa_per_m(flow: &Flow, alpha: f64) -> f64 {
    let j = flow.j();
    if j <= 0.0 {
        return 0.0;
    }
    // F = f(ρ_l j D/μ_l) (1 − α) ρ_l j²/(2 D)
    let f = darcy(
        flow.rho_l * j * flow.d_m / flow.mu_l,
        flow.relative_roughness,
    );
    f * (1.0 - alpha) * flow.rho_l * j * j / (2.0 * flow.d_m)
}

#[cfg(test)]
mod tests {
    use crate::two_phase::Flow;

    #[test]
    fn check_value() {
        // tests/data/closure_checks.csv, an independent evaluation: 25.4 mm, 0.3 and 0.3 m/s.
        let gradient = super::gradient_pa_per_m(&Flow::check(), 0.347_757_027_22);
        approx::assert_relative_eq!(gradient, 128.491_537_669, max_relative = 1e-9);
    }
}
