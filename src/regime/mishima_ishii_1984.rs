//! Slug to churn after Mishima & Ishii: the slug is gone when the void over it reaches that of the bubble.
//!
//! ```text
//! α = 1 − 0.813 { [(C₀ − 1) j + 0.35 u] / [j + 0.75 u (Δρ g D³/(ρ_l ν_l²))^(1/18)] }^0.75
//! u = √(Δρ g D/ρ_l)          C₀ = 1.2 − 0.2 √(ρ_g/ρ_l)
//! ```
//!
//! # Validity
//! Theory for developed flow, compared with air and water in pipes of a few centimetres; all constants
//! from memory.
//!
//! # References
//! [Mishima & Ishii (1984)](crate::references::MISHIMA_ISHII_1984); C₀ of
//! [Ishii (1977)](crate::references::ISHII_1977).

use crate::error::Error;
use crate::two_phase::{Flow, TwoPhase};
use crate::units::{GRAVITY_M_PER_S2 as G, Ratio, ratio};

/// Void fraction at and above which developed flow churns, at the mixture velocity of the section.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
///
/// # Examples
/// ```
/// use risewater::regime::mishima_ishii_1984::slug_churn_void_fraction;
/// use risewater::two_phase::TwoPhase;
/// # use risewater::units::{
/// #     DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity, kilogram_per_cubic_meter,
/// #     meter_per_second, millimeter, newton_per_meter, pascal_second, percent,
/// # };
///
/// // Air and water at 20 °C, 1 atm. The value is that of tests/data/regimes.csv (R118), an
/// // independent evaluation of the same equation.
/// let section = TwoPhase {
///     bore: Length::new::<millimeter>(50.0),
///     liquid_velocity: Velocity::new::<meter_per_second>(0.8),
///     gas_velocity: Velocity::new::<meter_per_second>(0.2),
/// #   roughness: Length::new::<millimeter>(0.0015),
/// #   liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2072),
/// #   gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.20458),
/// #   liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.0010015961),
/// #   gas_viscosity: DynamicViscosity::new::<pascal_second>(1.820568e-5),
/// #   surface_tension: SurfaceTension::new::<newton_per_meter>(0.07273614),
///     // and the properties of both phases
/// };
/// let alpha = slug_churn_void_fraction(&section)?;
/// assert_eq!(format!("{:.1} %", alpha.get::<percent>()), "79.1 %");
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn slug_churn_void_fraction(section: &TwoPhase) -> Result<Ratio, Error> {
    Ok(Ratio::new::<ratio>(slug_churn_alpha(&section.flow()?)))
}

pub(super) fn slug_churn_alpha(flow: &Flow) -> f64 {
    let d = flow.d_m;
    let j = flow.j();
    let nu = flow.mu_l / flow.rho_l;
    let buoyancy = flow.density_difference() * G / flow.rho_l;
    // u = √(Δρ g D/ρ_l);   C₀ = 1.2 − 0.2 √(ρ_g/ρ_l)
    let u = (buoyancy * d).sqrt();
    let c0 = 1.2 - 0.2 * (flow.rho_g / flow.rho_l).sqrt();
    // α = 1 − 0.813 { [(C₀ − 1) j + 0.35 u] / [j + 0.75 u (Δρ g D³/(ρ_l ν_l²))^(1/18)] }^0.75
    let film = (c0 - 1.0) * j + 0.35 * u;
    let bubble = j + 0.75 * u * (buoyancy * d * d * d / (nu * nu)).powf(1.0 / 18.0);
    let root = (film / bubble).sqrt();
    1.0 - 0.813 * root * root.sqrt()
}
