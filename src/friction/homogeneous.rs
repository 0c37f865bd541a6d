//! Friction of the mixture taken as one fluid that wets the wall like water: the default closure.
//!
//! ```text
//! F = f(ρ_h j D/μ_l) ρ_h j²/(2 D)        ρ_h = G/j        G = ρ_l j_l + ρ_g j_g
//! ```
//!
//! `f` is the Darcy factor of [`darcy_factor`](crate::pipe::darcy_factor). The void fraction does not enter.
//!
//! # Validity
//! [`BORE`] and [`VOID_FRACTION`]: everything computed. No range is given with the model; it is judged by how
//! the whole column agrees with published airlifts.
//!
//! # References
//! [Wallis (1969)](crate::references::WALLIS_1969), chapter on homogeneous flow.

use crate::pipe::churchill_1977::Factor;
use crate::two_phase::Flow;
pub(crate) use crate::two_phase::{BORE, VOID_FRACTION};

/// The factor of a flow. Along a riser ρ_h j = G changes by the vapour alone.
pub(crate) fn factor(flow: &Flow) -> Factor {
    Factor::at(reynolds(flow), flow.relative_roughness)
}

/// F, with the factor of a flow that may be another one of the riser.
pub(crate) fn gradient_pa_per_m(flow: &Flow, known: &Factor) -> f64 {
    let g = flow.mass_flux();
    if g <= 0.0 {
        return 0.0;
    }
    // F = f ρ_h j²/(2 D) = f G j/(2 D)
    known.near(reynolds(flow)) * g * flow.j() / (2.0 * flow.d_m)
}

/// ρ_h j D/μ_l = G D/μ_l
fn reynolds(flow: &Flow) -> f64 {
    flow.mass_flux() * flow.d_m / flow.mu_l
}

#[cfg(test)]
mod tests {
    use crate::two_phase::Flow;

    #[test]
    fn check_value() {
        // tests/data/closure_checks.csv, an independent evaluation: 25.4 mm, 0.3 and 0.3 m/s.
        let gradient = super::gradient_pa_per_m(&Flow::check(), &super::factor(&Flow::check()));
        approx::assert_relative_eq!(gradient, 118.883_134_79, max_relative = 1e-9);
    }
}
