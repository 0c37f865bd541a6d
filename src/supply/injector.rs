//! How the air enters the riser, and the pressure that this costs.

use super::loss_curve::LossCurve;
use super::orifice::{Orifice, Throat};
use crate::error::Error;
use crate::riser::InjectorKind;
use crate::units::ThermodynamicTemperature;

/// How the air enters the riser.
///
/// ```
/// use risewater::supply::{Injector, Orifice};
/// use risewater::units::{Length, millimeter};
///
/// let ring = Injector::DrilledRing(Orifice::new(Length::new::<millimeter>(2.0)).with_holes(24));
/// assert_ne!(ring, Injector::OpenTube);
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Injector {
    /// The open end of the air line. It costs one velocity head, which belongs to the line's loss
    /// coefficient.
    OpenTube,
    /// Holes drilled into a ring or into the riser's wall.
    DrilledRing(Orifice),
    /// A porous diffuser, by its maker's or the user's own loss curve.
    Diffuser(LossCurve),
}

impl Injector {
    /// Its kind, which has the name in files.
    #[must_use]
    pub fn kind(&self) -> InjectorKind {
        match self {
            Self::OpenTube => InjectorKind::OpenTube,
            Self::DrilledRing(_) => InjectorKind::DrilledRing,
            Self::Diffuser(_) => InjectorKind::Diffuser,
        }
    }

    /// The same checked and in plain SI, for the solvers.
    pub(super) fn inlet(&self, temperature: ThermodynamicTemperature) -> Result<Inlet<'_>, Error> {
        Ok(match self {
            Self::OpenTube => Inlet::Free,
            Self::DrilledRing(orifice) => Inlet::Holes(orifice.throat(temperature)?),
            Self::Diffuser(curve) => Inlet::Curve(curve),
        })
    }
}

/// An injector in plain SI.
#[derive(Debug, Clone, Copy)]
pub(super) enum Inlet<'a> {
    Free,
    Holes(Throat),
    Curve(&'a LossCurve),
}

impl Inlet<'_> {
    /// Pressure before the injector for a flow against the water; its loss counts `fouling` times.
    pub(crate) fn upstream_pa(&self, kg_per_s: f64, water_pa: f64, fouling: f64) -> f64 {
        let clean = match self {
            Self::Free => water_pa,
            Self::Holes(throat) => throat.upstream_pa(kg_per_s, water_pa),
            Self::Curve(curve) => water_pa + curve.loss_pa(kg_per_s),
        };
        water_pa + fouling * (clean - water_pa)
    }
}
