//! The choice of closures behind a prediction.

use std::fmt;

use crate::error::{Error, Input, Range};
use crate::friction::Friction;
use crate::slip::Slip;
use crate::units::{Ratio, ratio};

/// Developing lengths that the library computes.
pub const DEVELOPING_LENGTH: Range = Range::new(0.0, 100.0, "bores");

/// Factors on the slip closure that the library computes.
pub const SLIP_FACTOR: Range = Range::new(0.0, 5.0, "");

/// Developing lengths in metres that the library computes: 8 bores of the widest pipe. Far longer ones
/// would charge more at the foot than its pressure balance can carry.
pub const DEVELOPING_HEIGHT: Range = Range::new(0.0, 25.0, "m");

/// Which closures predict the void fraction and the friction, and the developing length.
///
/// The default is [`Slip::BhagwatGhajar2014`] with [`Friction::Homogeneous`] and a developing
/// length of 8 bores: of the pairs tried it holds best over the whole curve and down to short
/// risers. A change of closure changes designs, so a design file can pin it.
///
/// The developing length λ charges at the foot a pressure for the void that has not developed yet,
///
/// ```text
/// Δp_dev = ρ_l g α(p1) λD (1 − e^(−L/(λD)))
/// ```
///
/// It is the project's own fit, not from the literature: chosen by leaving one laboratory out at a
/// time, over four laboratories and seven risers of 19 to 51 mm bore and 0.8 to 7.5 m length, part
/// of which is not in `tests/data`. Between those bores a fixed length of 0.15 to 0.2 m does as well.
///
/// ```
/// use risewater::Model;
///
/// assert_eq!(Model::default().to_string(), "bhagwat_ghajar_2014 + homogeneous, developing length 8 bores");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Model {
    /// Void fraction closure.
    pub slip: Slip,
    /// Friction closure.
    pub friction: Friction,
    /// Developing length λ, in bores. The project's own fit.
    pub developing_length: Ratio,
    /// Factor k_C on what the distribution parameter is above 1: 1 + k_C (C₀ − 1). It is 1 but for a
    /// bench calibration.
    pub distribution_factor: Ratio,
    /// Factor k_V on the drift velocity. It is 1 but for a bench calibration.
    pub drift_factor: Ratio,
}

impl Model {
    /// The default developing length, in bores: the project's own fit (see [`Model`]).
    pub const DEFAULT_DEVELOPING_LENGTH: f64 = 8.0;

    /// A pair of closures with the default developing length.
    #[must_use]
    pub fn new(slip: Slip, friction: Friction) -> Self {
        Self {
            slip,
            friction,
            developing_length: Ratio::new::<ratio>(Self::DEFAULT_DEVELOPING_LENGTH),
            distribution_factor: Ratio::new::<ratio>(1.0),
            drift_factor: Ratio::new::<ratio>(1.0),
        }
    }

    /// The same closures with another developing length, in bores.
    #[must_use]
    pub fn with_developing_length(mut self, bores: Ratio) -> Self {
        self.developing_length = bores;
        self
    }

    /// The same with another factor on what the distribution parameter is above 1.
    #[must_use]
    pub fn with_distribution_factor(mut self, factor: Ratio) -> Self {
        self.distribution_factor = factor;
        self
    }

    /// The same with another factor on the drift velocity.
    #[must_use]
    pub fn with_drift_factor(mut self, factor: Ratio) -> Self {
        self.drift_factor = factor;
        self
    }

    /// k_C and k_V, checked.
    pub(crate) fn factors(&self) -> Result<(f64, f64), Error> {
        Ok((
            SLIP_FACTOR.check(
                Input::DistributionFactor,
                self.distribution_factor.get::<ratio>(),
            )?,
            SLIP_FACTOR.check(Input::DriftFactor, self.drift_factor.get::<ratio>())?,
        ))
    }

    /// λ, checked.
    pub(crate) fn bores(&self) -> Result<f64, Error> {
        DEVELOPING_LENGTH.check(
            Input::DevelopingLength,
            self.developing_length.get::<ratio>(),
        )
    }
}

impl Default for Model {
    fn default() -> Self {
        Self::new(Slip::default(), Friction::default())
    }
}

impl fmt::Display for Model {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} + {}, developing length {} bores",
            self.slip,
            self.friction,
            rounded(self.developing_length)
        )?;
        let factors = [
            ("distribution", self.distribution_factor),
            ("drift", self.drift_factor),
        ];
        for (name, factor) in factors {
            if factor.get::<ratio>() != 1.0 {
                write!(f, ", {name} factor {}", rounded(factor))?;
            }
        }
        Ok(())
    }
}

/// Four digits, without the noise of a fit.
fn rounded(value: Ratio) -> f64 {
    let value = value.get::<ratio>();
    format!("{value:.3e}").parse().unwrap_or(value)
}
