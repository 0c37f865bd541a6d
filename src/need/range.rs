//! How far a need may be off by what was taken for want of better.

use super::defaults::NeedDefault;
use crate::units::VolumeRate;

/// What a need could be with the defaults behind it elsewhere in the spread of their sources.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NeedRange {
    /// With every default at that end of its spread which asks for least; none where no flow holds the limits then.
    pub least: Option<VolumeRate>,
    /// At those ends which ask for most, likewise.
    pub most: Option<VolumeRate>,
    /// Each default that has a source and moves the flow, the widest first.
    pub factors: Vec<Factor>,
    /// Defaults behind the flow of which no source gives a spread.
    pub without_spread: Vec<&'static NeedDefault<f64>>,
    /// The flow without bacteria, as in water that passes once, where they were counted and that is another.
    pub without_bacteria: Option<VolumeRate>,
}

/// A default, and the flow at the ends of its spread, all else as it was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// The default.
    pub default: &'static NeedDefault<f64>,
    /// The smaller flow; none where no flow holds the limits.
    pub least: Option<VolumeRate>,
    /// The larger one, likewise.
    pub most: Option<VolumeRate>,
}

impl Factor {
    /// The larger flow over the smaller one.
    pub(crate) fn width(&self) -> f64 {
        let size = |flow: Option<VolumeRate>| flow.map_or(f64::INFINITY, |flow| flow.value);
        size(self.most) / size(self.least)
    }
}
