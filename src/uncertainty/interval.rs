//! Limits of a water flow.

use std::fmt;

use crate::units::{Ratio, VolumeRate};

/// The one unless said.
pub const USUAL_LEVEL: f64 = 0.8;

/// What an interval rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Basis {
    /// How far the model is off on published rigs.
    PublishedRigs,
    /// The same, and measured points of this rig.
    BenchTrial,
}

/// The name in reports.
impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::PublishedRigs => "published rigs",
            Self::BenchTrial => "bench trial",
        })
    }
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
