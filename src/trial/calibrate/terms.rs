//! What a fit supposes.

use crate::error::Range;
use crate::units::{Ratio, base, percent, ratio};

/// Model scatter that a fit can suppose.
pub const MODEL_SCATTER: Range = Range::new(0.001, 1.0, "");
/// Error of the model at a setting that a fit can suppose.
pub const SHARED_ERROR: Range = Range::new(0.0, 1.0, "");
/// Reach of such an error that a fit can suppose.
pub const REACH: Range = Range::new(0.001, 100.0, "");

/// What a fit supposes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitTerms {
    /// Scatter s of single measured flows about a model of this kind that is no one's reading error, as
    /// a relative standard deviation.
    pub scatter: Ratio,
    /// Error c of the model that all points of one setting share, as a relative standard deviation.
    pub shared: Ratio,
    /// Distance in submergence ratio over which such errors are alike: e times less alike beyond it.
    pub reach: Ratio,
    /// Whether what is known of the parameters beforehand counts as well: entrance loss to 0.25,
    /// developing length to 4 bores, factors to 0.3 (standard deviations about their values before),
    /// our own estimates. A few points of one setting then cannot drive a parameter where no riser has
    /// it; intervals are narrower by it and no longer the bench's alone.
    pub prior: bool,
}

impl FitTerms {
    /// Reach in submergence ratio of the model's error at a setting.
    ///
    /// Our own choice, 0.2. The published residuals hardly tell it: with each rig's mean taken off, the
    /// likelihood of every reach from 0.2 up is within chance of the best; without, it prefers a
    /// reach of one and more, since most of a rig's error runs through all its settings. The short
    /// end is the careful one: a calibration says less of where it was not made.
    pub const DEFAULT_REACH: f64 = 0.2;
    /// Size of the model's error at a setting, relative.
    ///
    /// Our own fit to the published residuals: with that reach their likelihood is largest at 14 %,
    /// and between 7 and 16 % with one rig left out in turn; `tests/calibrate/process.rs` computes it afresh.
    pub const DEFAULT_SHARED: f64 = 0.15;

    /// For a calibration that is used at other settings: 5 % scatter, 15 % error of a setting with a
    /// [reach](Self::DEFAULT_REACH) of 0.2, and what is known beforehand counts.
    #[must_use]
    pub fn cautious() -> Self {
        Self {
            shared: Ratio::new::<ratio>(Self::DEFAULT_SHARED),
            prior: true,
            ..Self::default()
        }
    }
}

impl Default for FitTerms {
    /// The points alone, for what they say of this rig at these settings: 5 % scatter (our own
    /// estimate), no error of the settings, nothing known beforehand.
    fn default() -> Self {
        Self {
            scatter: Ratio::new::<percent>(5.0),
            shared: base(0.0),
            reach: Ratio::new::<ratio>(Self::DEFAULT_REACH),
            prior: false,
        }
    }
}
