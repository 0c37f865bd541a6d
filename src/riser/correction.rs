//! What a bench found of the model's error at some settings, carried to others.

use super::spec::RiserSpec;
use crate::units::{Length, Ratio, base, meter, ratio};

/// Distances in ln(length in bores) and in ln(bore) over which errors of the model are alike: a doubling
/// leaves 1/e. Our own estimate; five published rigs cannot tell.
const LENGTH_REACH: f64 = std::f64::consts::LN_2;
const BORE_REACH: f64 = std::f64::consts::LN_2;

/// What setting a riser is at, as far as the errors of a model depend on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Submergence over length.
    pub submergence_ratio: Ratio,
    /// Length in free bores.
    pub length_in_bores: Ratio,
    /// Free bore.
    pub bore: Length,
}

impl Place {
    /// The place of a riser.
    #[must_use]
    pub fn of(spec: &RiserSpec) -> Self {
        let (bore, length) = (spec.free_bore(), spec.length());
        Self {
            submergence_ratio: spec.dimensions.submergence / length,
            length_in_bores: length / bore,
            bore,
        }
    }

    /// How alike the model's errors are at two places, 1 where they are the same:
    ///
    /// ```text
    /// k = exp(−|S − S′|/l_S − |ln(L/D) − ln(L′/D′)|/l_L − |ln D − ln D′|/l_D)
    /// ```
    pub(crate) fn alike(&self, other: &Self, reach: Ratio) -> f64 {
        let ratio_of = |a: f64, b: f64| (a / b).ln().abs();
        let depth = (self.submergence_ratio - other.submergence_ratio).value / reach.value;
        let length = ratio_of(
            self.length_in_bores.get::<ratio>(),
            other.length_in_bores.get::<ratio>(),
        );
        let bore = ratio_of(self.bore.get::<meter>(), other.bore.get::<meter>());
        (-depth.abs() - length / LENGTH_REACH - bore / BORE_REACH).exp()
    }
}

/// The factor on the water flow of a riser that follows from what a bench found at some settings.
///
/// ```text
/// factor = exp(−Σ w_k k(s, s_k))
/// ```
///
/// with the setting s of the riser, the settings `s_k` of the bench, and their weights `w_k`. Far from all of
/// them it is 1. A [calibration](crate::sizing::Problem::correction) makes it.
#[derive(Debug, Clone, PartialEq)]
pub struct FlowCorrection {
    pub(crate) reach: Ratio,
    pub(crate) settings: Vec<(Place, f64)>,
}

impl FlowCorrection {
    /// ln(predicted/true) that is expected of a riser before correction.
    pub(crate) fn error(&self, spec: &RiserSpec) -> f64 {
        let place = Place::of(spec);
        let terms = self.settings.iter();
        terms
            .map(|(at, weight)| weight * place.alike(at, self.reach))
            .sum()
    }

    /// The factor for a riser.
    #[must_use]
    pub fn factor(&self, spec: &RiserSpec) -> Ratio {
        base((-self.error(spec)).exp())
    }

    /// The riser with its factor.
    #[must_use]
    pub fn on(&self, spec: RiserSpec) -> RiserSpec {
        let factor = self.factor(&spec);
        spec.with_flow_factor(factor)
    }
}
