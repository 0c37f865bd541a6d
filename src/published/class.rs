//! Published points sorted by what goes on in the riser.

use std::fmt;

use super::{Residual, Score};
use crate::regime::FlowPattern;

/// Edges of the classes of riser length, in bores.
pub const LENGTH_CLASSES: [f64; 4] = [68.0, 90.0, 200.0, 421.0];
/// Edges of the classes of submergence ratio.
pub const SUBMERGENCE_CLASSES: [f64; 4] = [0.4, 0.55, 0.7, 1.0];

/// A class of published points.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Class {
    /// Flow pattern at the mouth (see [`Residual::pattern`]).
    Pattern(FlowPattern),
    /// Submergence ratios from `low` to less than `high`.
    SubmergenceRatio {
        /// Lower edge, in the class.
        low: f64,
        /// Upper edge, in the next class.
        high: f64,
    },
    /// Riser lengths from `low` to less than `high`, in bores.
    LengthInBores {
        /// Lower edge, in the class.
        low: f64,
        /// Upper edge, in the next class.
        high: f64,
    },
}

impl Class {
    /// The flow patterns, in order of rising gas flow.
    pub fn patterns() -> impl Iterator<Item = Self> {
        FlowPattern::ALL.iter().copied().map(Self::Pattern)
    }

    /// The classes of submergence ratio, from low to high.
    pub fn submergence_ratios() -> impl Iterator<Item = Self> {
        SUBMERGENCE_CLASSES
            .windows(2)
            .map(|edges| Self::SubmergenceRatio {
                low: edges[0],
                high: edges[1],
            })
    }

    /// The classes of riser length, from short to long.
    pub fn lengths() -> impl Iterator<Item = Self> {
        LENGTH_CLASSES.windows(2).map(|edges| Self::LengthInBores {
            low: edges[0],
            high: edges[1],
        })
    }

    /// Whether a point belongs to it.
    #[must_use]
    pub fn holds(self, residual: &Residual) -> bool {
        match self {
            Self::Pattern(pattern) => residual.pattern == pattern,
            Self::SubmergenceRatio { low, high } => {
                (low..high).contains(&residual.submergence_ratio)
            }
            Self::LengthInBores { low, high } => (low..high).contains(&residual.length_in_bores),
        }
    }

    /// The score of the points that belong to it.
    ///
    /// # Examples
    /// ```
    /// use risewater::published::{Class, Rig};
    /// use risewater::regime::FlowPattern;
    /// use risewater::Model;
    ///
    /// let residuals = Rig::all()[3].residuals(Model::default())?;
    /// let slug = Class::Pattern(FlowPattern::Slug).score(&residuals);
    /// assert!(slug.points < residuals.len());
    /// let all = FlowPattern::ALL.iter().map(|one| Class::Pattern(*one).score(&residuals).points);
    /// assert_eq!(all.sum::<usize>(), residuals.len());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    #[must_use]
    pub fn score(self, residuals: &[Residual]) -> Score {
        let members: Vec<Residual> = residuals
            .iter()
            .copied()
            .filter(|residual| self.holds(residual))
            .collect();
        Score::of(&members)
    }
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pattern(pattern) => write!(f, "{pattern} at the mouth"),
            Self::SubmergenceRatio { low, high } => write!(f, "submergence ratio {low} to {high}"),
            Self::LengthInBores { low, high } => write!(f, "{low} to {high} bores long"),
        }
    }
}
