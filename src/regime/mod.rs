//! Flow pattern: what a window in the riser would show.
//!
//! The pattern of a cross-section is told from its velocities and void fraction, by boundaries of
//! [`taitel_1980`] and [`mishima_ishii_1984`]. Nothing in the pressure balance depends on it; it explains a result
//! and warns where a closure has left its pattern.
//!
//! Boundaries are lines through wide transitions: two careful observers differ by as much as two theories do.

pub mod mishima_ishii_1984;
pub mod taitel_1980;

use std::fmt;

use strum::VariantArray;

use crate::error::{Error, Input};
use crate::two_phase::{Flow, TwoPhase, VOID_FRACTION};
use crate::units::{Ratio, ratio};

/// How gas and water share a cross-section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::IntoStaticStr, strum::VariantArray)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum FlowPattern {
    /// No gas.
    SinglePhase,
    /// Separate bubbles in water.
    Bubbly,
    /// Long bubbles that fill the pipe, with water between.
    Slug,
    /// Broken slugs that fall back and are thrown up again.
    Churn,
    /// A core of gas in a film of water.
    Annular,
}

impl FlowPattern {
    /// All of them, in order of rising gas flow.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The name in results.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

impl fmt::Display for FlowPattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.name().replace('_', "-"))
    }
}

/// Flow pattern of a cross-section at a void fraction, as a [`Slip`](crate::slip::Slip) gives it.
///
/// Tried in this order:
///
/// ```text
/// single-phase   j_g = 0
/// annular        j_g √ρ_g/(σ g Δρ)^¼ > 3.1                                Taitel, E
/// bubbly         α < 0.25 and D > 19 √(Δρ σ/(ρ_l² g))                     Taitel, A
///                or α < 0.52 and j above the dispersed-bubble velocity    Taitel, B and C
/// slug           α below Mishima & Ishii's boundary
/// churn          else
/// ```
///
/// Churn is told by the criterion for developed flow, not by Taitel's entry length
/// ([`taitel_1980::churn_entry_length`]): that length is 30 to 100 bores for most risers, so it would call nearly every
/// hatchery riser churn from end to end, whatever its gas flow.
///
/// # Validity
/// See the two modules: boundaries of theory, in part from memory.
///
/// # Errors
/// As every [`TwoPhase`] out of its ranges, and for a void fraction outside
/// [`VOID_FRACTION`].
///
/// # Examples
/// ```
/// use risewater::regime::{FlowPattern, flow_pattern};
/// use risewater::slip::Slip;
/// use risewater::two_phase::TwoPhase;
/// # use risewater::units::{
/// #     DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity, kilogram_per_cubic_meter,
/// #     meter_per_second, millimeter, newton_per_meter, pascal_second,
/// # };
///
/// let mut section = TwoPhase {
///     bore: Length::new::<millimeter>(76.2),
///     liquid_velocity: Velocity::new::<meter_per_second>(0.3),
///     gas_velocity: Velocity::new::<meter_per_second>(0.3),
/// #   roughness: Length::new::<millimeter>(0.0015),
/// #   liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2067),
/// #   gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.193588538),
/// #   liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.0010016),
/// #   gas_viscosity: DynamicViscosity::new::<pascal_second>(1.813405882e-5),
/// #   surface_tension: SurfaceTension::new::<newton_per_meter>(0.072736),
///     // and the properties of both phases
/// };
/// let alpha = Slip::default().void_fraction(&section)?;
/// assert_eq!(flow_pattern(&section, alpha)?, FlowPattern::Slug);
/// section.gas_velocity = Velocity::new::<meter_per_second>(20.0);
/// let alpha = Slip::default().void_fraction(&section)?;
/// assert_eq!(flow_pattern(&section, alpha)?, FlowPattern::Annular);
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Taitel et al. (1980)](crate::references::TAITEL_1980);
/// [Mishima & Ishii (1984)](crate::references::MISHIMA_ISHII_1984).
pub fn flow_pattern(section: &TwoPhase, void_fraction: Ratio) -> Result<FlowPattern, Error> {
    let flow = section.flow()?;
    let alpha = VOID_FRACTION.check(Input::VoidFraction, void_fraction.get::<ratio>())?;
    Ok(pattern(&flow, alpha))
}

/// The same on checked numbers.
pub(crate) fn pattern(flow: &Flow, alpha: f64) -> FlowPattern {
    if flow.j_g <= 0.0 {
        FlowPattern::SinglePhase
    } else if flow.j_g > taitel_1980::annular_gas_m_per_s(flow) {
        FlowPattern::Annular
    } else if bubbles_last(flow, alpha) {
        FlowPattern::Bubbly
    } else if alpha < mishima_ishii_1984::slug_churn_alpha(flow) {
        FlowPattern::Slug
    } else {
        FlowPattern::Churn
    }
}

fn bubbles_last(flow: &Flow, alpha: f64) -> bool {
    let loose = alpha < taitel_1980::BUBBLE_SLUG_VOID_FRACTION
        && flow.d_m > taitel_1980::minimum_bubbly_bore_m(flow);
    // Last, since it costs most.
    loose
        || (alpha < taitel_1980::PACKING_VOID_FRACTION
            && flow.j() >= taitel_1980::dispersed_bubble_m_per_s(flow))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pattern_is_reached_where_its_boundaries_say() {
        // Boundaries in water at 20 °C: least bore 51.8 mm, annular 14.6 m/s, dispersed at 76.2 mm 4.2 m/s,
        // slug to churn near 0.8. Velocities in m/s.
        for (d_m, j_l, j_g, alpha, wanted) in [
            (0.0762, 0.3, 0.0, 0.0, FlowPattern::SinglePhase),
            (0.0762, 0.3, 0.05, 0.20, FlowPattern::Bubbly),
            (0.0254, 0.3, 0.05, 0.20, FlowPattern::Slug),
            (0.0762, 0.3, 0.20, 0.30, FlowPattern::Slug),
            (0.0254, 4.0, 1.5, 0.30, FlowPattern::Bubbly),
            (0.0254, 4.0, 1.5, 0.55, FlowPattern::Slug),
            (0.0762, 0.2, 5.0, 0.85, FlowPattern::Churn),
            (0.0762, 0.2, 15.0, 0.85, FlowPattern::Annular),
        ] {
            let flow = Flow {
                d_m,
                j_l,
                j_g,
                ..Flow::check()
            };
            assert_eq!(
                pattern(&flow, alpha),
                wanted,
                "D {d_m} j_l {j_l} j_g {j_g} α {alpha}"
            );
        }
    }
}
