//! The parameters that a bench trial can see.

use std::fmt;
use std::str::FromStr;

use crate::error::{Error, Input, NameKind, Range};
use crate::model::{DEVELOPING_BORES, Model, SLIP_FACTOR};
use crate::name::among;
use crate::riser::{LOSS_COEFFICIENT, RiserSpec};
use crate::units::{Ratio, base};

/// A parameter that a calibration can fit.
///
/// ```
/// use risewater::trial::Parameter;
///
/// assert_eq!("drift_factor".parse::<Parameter>()?, Parameter::DriftFactor);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Parameter {
    /// Entrance loss `K_in` of the riser.
    EntranceLoss,
    /// Developing length λ of the model, in bores.
    DevelopingLength,
    /// Factor k_C of the model on what the distribution parameter is above 1.
    DistributionFactor,
    /// Factor k_V of the model on the drift velocity.
    DriftFactor,
}

impl Parameter {
    /// All of them.
    pub const ALL: &[Self] = &[
        Self::EntranceLoss,
        Self::DevelopingLength,
        Self::DistributionFactor,
        Self::DriftFactor,
    ];

    /// The name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::EntranceLoss => "entrance_loss",
            Self::DevelopingLength => "developing_length",
            Self::DistributionFactor => "distribution_factor",
            Self::DriftFactor => "drift_factor",
        }
    }

    /// What it can be.
    #[must_use]
    pub fn range(self) -> Range {
        match self {
            Self::EntranceLoss => LOSS_COEFFICIENT,
            Self::DevelopingLength => DEVELOPING_BORES,
            Self::DistributionFactor | Self::DriftFactor => SLIP_FACTOR,
        }
    }

    /// The input that it stands for.
    #[must_use]
    pub fn input(self) -> Input {
        match self {
            Self::EntranceLoss => Input::EntranceLoss,
            Self::DevelopingLength => Input::DevelopingLength,
            Self::DistributionFactor => Input::DistributionFactor,
            Self::DriftFactor => Input::DriftFactor,
        }
    }

    /// Its value in a riser and a model.
    #[must_use]
    pub fn of(self, spec: &RiserSpec, model: &Model) -> Ratio {
        match self {
            Self::EntranceLoss => spec.entrance_loss,
            Self::DevelopingLength => model.developing_length.in_bores(spec.free_bore()),
            Self::DistributionFactor => model.distribution_factor,
            Self::DriftFactor => model.drift_factor,
        }
    }

    /// A size of change that matters, for steps and for nearness to a bound.
    pub(super) fn scale(self) -> f64 {
        match self {
            Self::EntranceLoss => 0.5,
            Self::DevelopingLength => 2.0,
            Self::DistributionFactor | Self::DriftFactor => 1.0,
        }
    }

    /// Standard deviation of what is known of it without a bench, about its uncalibrated value: half
    /// the span of 0.5 to 1 stated for entrances, half of the 0 to 8 bores that short risers leave
    /// open; for the factors 30 %, our own estimate (a distribution parameter of 1.2 to 0.06).
    pub(super) fn known_to(self) -> f64 {
        match self {
            Self::EntranceLoss => 0.25,
            Self::DevelopingLength => 4.0,
            Self::DistributionFactor | Self::DriftFactor => 0.3,
        }
    }

    /// Values that a fit tries before it sets out, beside the one that stands.
    pub(super) fn trials(self) -> [f64; 3] {
        match self {
            Self::EntranceLoss => [0.1, 2.0, 8.0],
            Self::DevelopingLength => [1.0, 4.0, 20.0],
            Self::DistributionFactor | Self::DriftFactor => [0.3, 0.7, 1.6],
        }
    }

    /// The riser and the model with another value.
    pub(super) fn set(self, value: f64, spec: &mut RiserSpec, model: &mut Model) {
        let value: Ratio = base(value);
        match self {
            Self::EntranceLoss => spec.entrance_loss = value,
            Self::DevelopingLength => model.developing_length = value.into(),
            Self::DistributionFactor => model.distribution_factor = value,
            Self::DriftFactor => model.drift_factor = value,
        }
    }
}

impl fmt::Display for Parameter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Parameter {
    type Err = Error;

    fn from_str(name: &str) -> Result<Self, Error> {
        among(NameKind::Parameter, name, Self::ALL, Self::name)
    }
}
