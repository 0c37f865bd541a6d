//! Limits of a water flow.

use crate::units::{Ratio, VolumeRate};

/// The one unless said.
pub(super) const USUAL_LEVEL: f64 = 0.8;

/// What an interval rests on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, strum::Display, serde::Serialize, serde::Deserialize,
)]
#[non_exhaustive]
pub enum Basis {
    /// How far the model is off on published rigs.
    #[strum(to_string = "published rigs")]
    #[serde(rename = "published rigs")]
    PublishedRigs,
    /// The same, and measured points of this rig.
    #[strum(to_string = "bench trial")]
    #[serde(rename = "bench trial")]
    BenchTrial,
}

/// Where the true water flow of a riser lies, with a probability.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Interval {
    /// That probability.
    pub level: Ratio,
    /// Lower end; zero where the riser may not pump at all.
    pub low: VolumeRate,
    /// Upper end.
    pub high: VolumeRate,
    /// What it rests on.
    pub basis: Basis,
}

impl Interval {
    /// Whether a flow lies in it.
    #[must_use]
    pub fn holds(&self, flow: VolumeRate) -> bool {
        self.low <= flow && flow <= self.high
    }
}
