//! In what a riser is unlike the rigs that were measured.

use std::fmt;

/// What parts a riser from the rig of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Difference {
    /// The bore, or an air line inside.
    Bore,
    /// The foot: entrance, injector, suction pipe.
    Foot,
    /// The outlet.
    Outlet,
    /// The length, by more than 15 % from every point.
    Length,
    /// Every point lies at a submergence ratio where the law does not hold with this model.
    Submergence,
    /// The model lets no water flow at any of the points.
    NoFlow,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Bore => "its bore is another",
            Self::Foot => "its entrance or injector is another",
            Self::Outlet => "its outlet is another",
            Self::Length => "its length is another, by more than 15 %",
            Self::Submergence => "it was submerged by less than 0.4 of its length",
            Self::NoFlow => "the model lets no water flow at its points",
        })
    }
}

/// Where the law reaches beyond the rigs behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Stretch {
    /// A riser of less than 40 bores.
    Short,
    /// A bore above 100 mm.
    Wide,
    /// Water of more than 5 g/kg of salt.
    Salt,
    /// A developing length of more than half of the riser.
    MostlyDeveloping,
}

impl fmt::Display for Stretch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Short => "shorter than 40 bores",
            Self::Wide => "wider than 100 mm",
            Self::Salt => "in salt water",
            Self::MostlyDeveloping => "no longer than twice its developing length",
        })
    }
}
