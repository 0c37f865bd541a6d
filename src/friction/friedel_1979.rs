//! Friction by Friedel's multiplier on the flow taken as all liquid.
//!
//! ```text
//! F   = φ² f_lo G²/(2 ρ_l D)
//! φ²  = E + 3.24 F_x H Fr^−0.0454 We^−0.035
//! E   = (1 − x)² + x² ρ_l f_go/(ρ_g f_lo)
//! F_x = x^0.78 (1 − x)^0.224
//! H   = (ρ_l/ρ_g)^0.91 (μ_g/μ_l)^0.19 (1 − μ_g/μ_l)^0.7
//! Fr  = G²/(g D ρ_h²)       We = G² D/(ρ_h σ)       ρ_h = G/j       x = ρ_g j_g/G
//! f_lo = f(G D/μ_l)         f_go = f(G D/μ_g)
//! ```
//!
//! `f` is the Darcy factor of [`darcy_factor`](crate::pipe::darcy_factor). The void fraction does not enter.
//!
//! # Validity
//! [`BORE`]: from memory, as is the advice to use it for μ_l/μ_g below 1000 (air and water: 50 to 100).
//! [`VOID_FRACTION`]: all.
//!
//! # References
//! [Friedel (1979)](crate::references::FRIEDEL_1979).

use crate::error::range;
use crate::pipe::churchill_1977::darcy;
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2;

range!(BORE, 1 to 260 "mm", "Bores of the data, as remembered.");
range!(VOID_FRACTION, 0 to 1, "Void fractions of the data: all of them.");

pub(crate) fn gradient_pa_per_m(flow: &Flow) -> f64 {
    let g = flow.mass_flux();
    // Powers of We and Fr would meet G² = 0 in double precision below this.
    if g < 1e-140 {
        return 0.0;
    }
    let d = flow.d_m;
    let x = flow.rho_g * flow.j_g / g;
    let liquid_quality = flow.rho_l * flow.j_l / g; // 1 − x
    let rho_h = g / flow.j();
    let density_ratio = flow.rho_l / flow.rho_g;
    let viscosity_ratio = flow.mu_g / flow.mu_l;
    // f_lo = f(G D/μ_l);   f_go = f(G D/μ_g)
    let f_lo = darcy(g * d / flow.mu_l, flow.relative_roughness);
    let f_go = darcy(g * d / flow.mu_g, flow.relative_roughness);
    // E = (1 − x)² + x² ρ_l f_go/(ρ_g f_lo)
    let e = liquid_quality * liquid_quality + x * x * density_ratio * f_go / f_lo;
    // F_x = x^0.78 (1 − x)^0.224
    let f_x = x.powf(0.78) * liquid_quality.powf(0.224);
    // H = (ρ_l/ρ_g)^0.91 (μ_g/μ_l)^0.19 (1 − μ_g/μ_l)^0.7
    let h =
        density_ratio.powf(0.91) * viscosity_ratio.powf(0.19) * (1.0 - viscosity_ratio).powf(0.7);
    // Fr = G²/(g D ρ_h²);   We = G² D/(ρ_h σ)
    let froude = g * g / (GRAVITY_M_PER_S2 * d * rho_h * rho_h);
    let weber = g * g * d / (rho_h * flow.sigma);
    // φ² = E + 3.24 F_x H Fr^−0.0454 We^−0.035
    let multiplier = e + 3.24 * f_x * h * froude.powf(-0.0454) * weber.powf(-0.035);
    // F = φ² f_lo G²/(2 ρ_l D)
    multiplier * f_lo * g * g / (2.0 * flow.rho_l * d)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn check_value() {
        // tests/data/closure_checks.csv, an independent evaluation: 25.4 mm, 0.3 and 0.3 m/s.
        let gradient = gradient_pa_per_m(&Flow::check());
        approx::assert_relative_eq!(gradient, 240.440_335_318, max_relative = 1e-9);
    }

    #[test]
    fn either_phase_alone_is_single_phase_friction() {
        let water = Flow {
            j_g: 0.0,
            ..Flow::check()
        };
        let re = water.rho_l * water.j_l * water.d_m / water.mu_l;
        let alone = darcy(re, water.relative_roughness) * water.rho_l * water.j_l.powi(2)
            / (2.0 * water.d_m);
        approx::assert_relative_eq!(gradient_pa_per_m(&water), alone, max_relative = 1e-14);

        let air = Flow {
            j_l: 0.0,
            j_g: 10.0,
            ..Flow::check()
        };
        let re = air.rho_g * air.j_g * air.d_m / air.mu_g;
        let alone =
            darcy(re, air.relative_roughness) * air.rho_g * air.j_g.powi(2) / (2.0 * air.d_m);
        approx::assert_relative_eq!(gradient_pa_per_m(&air), alone, max_relative = 1e-14);
    }
}
