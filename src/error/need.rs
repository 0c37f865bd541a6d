//! What is wrong with a need of water, or with a cycle of production.

use jiff::civil::Date;

use super::{Error, Input, Short};
use crate::units::{
    Mass, MassConcentration, MassRate, kilogram, kilogram_per_day, milligram_per_liter as mg_l,
};

/// A concentration in mg/L, to four decimals.
fn four(value: MassConcentration) -> f64 {
    (1e4 * value.get::<mg_l>()).round() / 1e4
}

/// What is wrong with a need of water, or with a cycle of production.
///
/// Tanks and rows are counted from 1 in the order given.
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
pub enum NeedError {
    /// A limit that the water which enters the tank breaks already.
    #[error(
        "no flow holds the {limit} of {} mg/L{}: the {entering} is {} mg/L, {}; treat or aerate what enters, or ease the limit",
        Short(four(*limit_value)),
        if *limit == Input::AmmoniaLimit { " (as total ammonia nitrogen)" } else { "" },
        Short(four(*entering_value)),
        match four(*entering_value - *limit_value).abs() {
            0.0 => "which leaves nothing to carry".to_owned(),
            off => format!("{} mg/L on its wrong side", Short(off)),
        }
    )]
    LimitTooTight {
        /// The limit.
        #[serde(serialize_with = "super::shown")]
        limit: Input,
        /// Its value; of un-ionised ammonia, the total ammonia nitrogen that it allows.
        #[serde(rename = "limit_kg_per_m3")]
        limit_value: MassConcentration,
        /// What enters.
        #[serde(serialize_with = "super::shown")]
        entering: Input,
        /// Its value.
        #[serde(rename = "entering_kg_per_m3")]
        entering_value: MassConcentration,
    },
    /// A limit of un-ionised ammonia where its share of the whole is not known.
    #[error(
        "no formula here gives the un-ionised share of the ammonia in salt water: set ammonia_limit to none, and a tan_limit that is strict enough for your pH"
    )]
    AmmoniaUnknown,
    /// More oxygen asked for than water in touch with air holds, and none added to what enters.
    #[error(
        "the limit of dissolved oxygen ({} mg/L) must be less than saturation with air, {} mg/L at this temperature, salinity and pressure, unless the water enters with more, as from an oxygen cone (entering_oxygen)",
        Short(limit.get::<mg_l>()), Short(saturation.get::<mg_l>())
    )]
    LimitAboveSaturation {
        /// The limit.
        #[serde(rename = "limit_kg_per_m3")]
        limit: MassConcentration,
        /// Saturation.
        #[serde(rename = "saturation_kg_per_m3")]
        saturation: MassConcentration,
    },
    /// Nothing that the water must hold.
    #[error("there is no limit: give at least one of oxygen, ammonia, carbon dioxide or turnover")]
    NoLimit,
    /// A turnover of a tank whose volume nobody gave.
    #[error("a turnover needs the volume of the tank")]
    NoVolume,
    /// Feed, and nobody to eat it.
    #[error(
        "there are {} kg/d of feed and {} kg of animals: give the animals, or no feed",
        Short(feed.get::<kilogram_per_day>()), Short(biomass.get::<kilogram>())
    )]
    FeedWithoutAnimals {
        /// Feed.
        #[serde(rename = "feed_kg_per_s")]
        feed: MassRate,
        /// Animals.
        #[serde(rename = "biomass_kg")]
        biomass: Mass,
    },
    /// What is wrong with one tank of several.
    #[error("tank {tank}: {error}")]
    InTank {
        /// The tank.
        tank: usize,
        /// What is wrong.
        error: Box<Error>,
    },
    /// A cycle without rows.
    #[error("a cycle needs one row at least")]
    EmptyCycle,
    /// A date that is not after the one before.
    #[error("row {row}: {date} {}; each row must be later than the one before it",
        if date == before { "is there already".to_owned() } else { format!("comes after {before}") })]
    DateNotLater {
        /// The row.
        row: usize,
        /// Its date.
        date: Date,
        /// The date of the row before.
        before: Date,
    },
    /// What is wrong with one row of a cycle.
    #[error("row {row}: {error}")]
    InRow {
        /// The row.
        row: usize,
        /// What is wrong.
        error: Box<Error>,
    },
    /// What is wrong on a day between two rows.
    #[error("{date}, between two rows: {error}")]
    OnDay {
        /// The day.
        date: Date,
        /// What is wrong.
        error: Box<Error>,
    },
    /// No lift to run.
    #[error("there is no lift in the list of lifts")]
    NoLifts,
}
