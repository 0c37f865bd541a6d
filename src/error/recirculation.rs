//! What is wrong with a closed loop.

/// What is wrong with a closed loop.
///
/// Tanks, groups of lifts and meals are counted from 1 in the order given.
#[derive(
    Debug,
    Clone,
    PartialEq,
    thiserror::Error,
    strum::IntoStaticStr,
    strum::VariantNames,
    serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(tag = "problem", rename_all = "snake_case")]
#[non_exhaustive]
pub enum RecirculationError {
    /// No tank.
    #[error("a loop needs one tank at least")]
    NoTank,
    /// A tank that no lift feeds.
    #[error(
        "no water comes to tank {tank}: give it a share of the common water, or lifts of its own"
    )]
    NoWater {
        /// The tank.
        tank: usize,
    },
    /// Lifts of a tank that is not there.
    #[error("lifts of group {group} feed tank {tank}, but there are only {tanks} tanks")]
    NoSuchTank {
        /// The group.
        group: usize,
        /// The tank.
        tank: usize,
        /// How many there are.
        tanks: usize,
    },
    /// A timer or a change of a group that is not there, or of more lifts than it has.
    #[error("group {group} has fewer than {lifts} lifts")]
    NoSuchLifts {
        /// The group.
        group: usize,
        /// How many were asked for.
        lifts: u32,
    },
    /// Lifts of one tank where water goes through the tanks in series.
    #[error("tanks in series share their water: lifts of group {group} cannot feed one of them")]
    OwnLiftsInSeries {
        /// The group.
        group: usize,
    },
    /// Lifts of one tank before a common filter.
    #[error(
        "the water of all lifts meets in the filter: lifts of group {group} cannot feed one tank; let the filter come first"
    )]
    OwnLiftsBeforeFilter {
        /// The group.
        group: usize,
    },
    /// A limit of un-ionised ammonia where its share of the whole is not known.
    #[error(
        "the un-ionised share of the ammonia is not known: give the pH; in salt water set a limit of total ammonia nitrogen instead"
    )]
    AmmoniaUnknown,
    /// Shares of the meals that are not one together.
    #[error("the shares of the meals come to {sum}, and must come to 1")]
    MealShares {
        /// Their sum.
        sum: f64,
    },
    /// A peak that the meals cannot make.
    #[error(
        "these meals raise the uptake to {most:.4} of the mean at most, so a peak of {peak:.4} cannot be: give fewer or shorter meals, or a lower peak"
    )]
    PeakOutOfReach {
        /// The peak asked for, over the mean.
        peak: f64,
        /// The highest that there can be.
        most: f64,
    },
    /// A peak that light and dark alone pass.
    #[error(
        "light and dark alone raise the uptake to {least:.4} of the mean, so a peak of {peak:.4} cannot be: give a higher peak, or a dark use nearer to one"
    )]
    PeakBelowLight {
        /// The peak asked for, over the mean.
        peak: f64,
        /// The highest without meals.
        least: f64,
    },
    /// A time that must be shorter than another.
    #[error(
        "an uptake that rises with {fast_h:.4} h must fall more slowly, but {slow_h:.4} h is given"
    )]
    RisesTooSlowly {
        /// Time constant of the fall.
        slow_h: f64,
        /// Time constant of the rise.
        fast_h: f64,
    },
    /// Timetables for another number of tanks.
    #[error("{given} timetables of meals for {tanks} tanks: give one for all or one for each")]
    Timetables {
        /// Timetables.
        given: usize,
        /// Tanks.
        tanks: usize,
    },
}
