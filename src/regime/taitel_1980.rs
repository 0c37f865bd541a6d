//! Boundaries of Taitel, Barnea & Dukler for upward flow in a vertical pipe.
//!
//! ```text
//! bubbly flow exists   D > 19 √(Δρ σ/(ρ_l² g))
//! A  bubble–slug       j_l = 3.0 j_g − 1.15 (g Δρ σ/ρ_l²)^¼                    α = 0.25
//! B  dispersed bubble  j_l + j_g = 4.0 D^0.429 (σ/ρ_l)^0.089 / ν_l^0.072 (g Δρ/ρ_l)^0.446
//! C  packing           j_g = 1.08 j_l                                          α = 0.52
//! D  entry length      l_E/D = 40.6 (j/√(g D) + 0.22)
//! E  annular           j_g √ρ_g/(σ g Δρ)^¼ = 3.1
//! ```
//!
//! # Validity
//! Theory, not a fit: no range is given; compared with air and water in pipes of 25 and 51 mm (from
//! memory). Constants of the least bore, A, B and E were seen in independent texts as well; those of C and D
//! are from memory. B holds in SI units only with its 4.0.
//!
//! # Examples
//! ```
//! use risewater::regime::taitel_1980;
//! use risewater::two_phase::TwoPhase;
//! # use risewater::units::{
//! #     DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity, kilogram_per_cubic_meter,
//! #     meter_per_second, millimeter, newton_per_meter, pascal_second,
//! # };
//!
//! // Air and water at 20 °C, 1 atm. The values are those of tests/data/regimes.csv (R198, R202, R113,
//! // R211), an independent evaluation of the same equations.
//! let section = TwoPhase {
//!     bore: Length::new::<millimeter>(50.0),
//!     liquid_velocity: Velocity::new::<meter_per_second>(0.8),
//!     gas_velocity: Velocity::new::<meter_per_second>(0.2),
//! #   roughness: Length::new::<millimeter>(0.0015),
//! #   liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2072),
//! #   gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.20458),
//! #   liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.0010015961),
//! #   gas_viscosity: DynamicViscosity::new::<pascal_second>(1.820568e-5),
//! #   surface_tension: SurfaceTension::new::<newton_per_meter>(0.07273614),
//!     // and the properties of both phases
//! };
//! let bore = taitel_1980::minimum_bubbly_bore(&section)?;
//! assert_eq!(format!("{:.1} mm", bore.get::<millimeter>()), "51.8 mm");
//! let water = taitel_1980::bubble_slug_liquid_velocity(&section)?;
//! assert_eq!(format!("{:.3} m/s", water.get::<meter_per_second>()), "0.412 m/s");
//! let entry = taitel_1980::churn_entry_length(&section)?;
//! assert_eq!(format!("{:.1} bores", (entry / section.bore).value), "66.9 bores");
//! let air = taitel_1980::annular_gas_velocity(&section)?;
//! assert_eq!(format!("{:.2} m/s", air.get::<meter_per_second>()), "14.59 m/s");
//! # Ok::<(), risewater::Error>(())
//! ```
//!
//! # References
//! [Taitel et al. (1980)](crate::references::TAITEL_1980).

use crate::error::Error;
use crate::two_phase::{Flow, TwoPhase};
use crate::units::{GRAVITY_M_PER_S2 as G, Length, Velocity, meter, meter_per_second};

/// Void fraction of boundary A, above which bubbles merge.
pub const BUBBLE_SLUG_VOID_FRACTION: f64 = 0.25;
/// Void fraction of boundary C, at which spheres touch.
pub const PACKING_VOID_FRACTION: f64 = 0.52;

/// Least bore in which bubbly flow lasts; in narrower pipes small bubbles catch up and merge.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
pub fn minimum_bubbly_bore(section: &TwoPhase) -> Result<Length, Error> {
    Ok(Length::new::<meter>(minimum_bubbly_bore_m(
        &section.flow()?,
    )))
}

/// Boundary A: water velocity below which the gas flow given makes slugs; where negative, it never does.
///
/// The same as α = [`BUBBLE_SLUG_VOID_FRACTION`] with bubbles that rise at Harmathy's speed.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
pub fn bubble_slug_liquid_velocity(section: &TwoPhase) -> Result<Velocity, Error> {
    let flow = section.flow()?;
    // j_l = 3.0 j_g − 1.15 (g Δρ σ/ρ_l²)^¼
    Ok(Velocity::new::<meter_per_second>(
        3.0 * flow.j_g - 1.15 * flow.bubble_scale(),
    ))
}

/// Boundary B: mixture velocity above which turbulence keeps bubbles small in any bore.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
pub fn dispersed_bubble_velocity(section: &TwoPhase) -> Result<Velocity, Error> {
    Ok(Velocity::new::<meter_per_second>(dispersed_bubble_m_per_s(
        &section.flow()?,
    )))
}

/// Boundary C: water velocity below which the gas flow given is packed too closely to stay dispersed.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
pub fn packing_liquid_velocity(section: &TwoPhase) -> Result<Velocity, Error> {
    // j_g = 1.08 j_l
    Ok(Velocity::new::<meter_per_second>(
        section.flow()?.j_g / 1.08,
    ))
}

/// Boundary D: length above the injection point within which slugs have not yet formed.
///
/// [`flow_pattern`](super::flow_pattern) does not use it; see there.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
pub fn churn_entry_length(section: &TwoPhase) -> Result<Length, Error> {
    let flow = section.flow()?;
    // l_E/D = 40.6 (j/√(g D) + 0.22)
    let bores = 40.6 * (flow.j() / (G * flow.d_m).sqrt() + 0.22);
    Ok(Length::new::<meter>(bores * flow.d_m))
}

/// Boundary E: gas velocity above which the gas holds drops aloft, and the flow is annular.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges.
pub fn annular_gas_velocity(section: &TwoPhase) -> Result<Velocity, Error> {
    Ok(Velocity::new::<meter_per_second>(annular_gas_m_per_s(
        &section.flow()?,
    )))
}

pub(super) fn minimum_bubbly_bore_m(flow: &Flow) -> f64 {
    // D = 19 √(Δρ σ/(ρ_l² g))
    19.0 * (flow.density_difference() * flow.sigma / G).sqrt() / flow.rho_l
}

pub(super) fn dispersed_bubble_m_per_s(flow: &Flow) -> f64 {
    // j = 4.0 D^0.429 (σ/ρ_l)^0.089 / ν_l^0.072 (g Δρ/ρ_l)^0.446
    4.0 * flow.d_m.powf(0.429) * (flow.sigma / flow.rho_l).powf(0.089)
        / (flow.mu_l / flow.rho_l).powf(0.072)
        * (G * flow.density_difference() / flow.rho_l).powf(0.446)
}

pub(super) fn annular_gas_m_per_s(flow: &Flow) -> f64 {
    // j_g = 3.1 (σ g Δρ)^¼/√ρ_g
    3.1 * (flow.sigma * G * flow.density_difference()).sqrt().sqrt() / flow.rho_g.sqrt()
}
