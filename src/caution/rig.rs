//! In what a riser is unlike the rigs that were measured.

/// What parts a riser from the rig of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::Display)]
#[non_exhaustive]
pub enum Difference {
    /// The bore, or an air line inside.
    #[strum(to_string = "its bore is another")]
    Bore,
    /// The foot: entrance, injector, suction pipe.
    #[strum(to_string = "its entrance or injector is another")]
    Foot,
    /// The outlet.
    #[strum(to_string = "its outlet is another")]
    Outlet,
    /// The length, by more than 15 % from every point.
    #[strum(to_string = "its length is another, by more than 15 %")]
    Length,
    /// Every point lies at a submergence ratio where the law does not hold with this model.
    #[strum(to_string = "it was submerged by less than 0.4 of its length")]
    Submergence,
    /// The model lets no water flow at any of the points.
    #[strum(to_string = "the model lets no water flow at its points")]
    NoFlow,
}

/// Where the law reaches beyond the rigs behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::Display)]
#[non_exhaustive]
pub enum Stretch {
    /// A riser of less than 40 bores.
    #[strum(to_string = "shorter than 40 bores")]
    Short,
    /// A bore above 100 mm.
    #[strum(to_string = "wider than 100 mm")]
    Wide,
    /// Water of more than 5 g/kg of salt.
    #[strum(to_string = "in salt water")]
    Salt,
    /// A developing length of more than half of the riser.
    #[strum(to_string = "no longer than twice its developing length")]
    MostlyDeveloping,
}
