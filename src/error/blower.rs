//! What is wrong with a blower's table, or with a duty asked of it.

use super::{Input, Range};
use crate::units::{
    Pressure, Ratio, VolumeRate, cubic_meter_per_hour as m3_h, kilopascal as kpa, ratio,
};

/// What is wrong with a blower's table, or with a duty asked of it.
///
/// Points are counted from 1 in the order given.
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
pub enum BlowerError {
    /// Too few points for a curve.
    #[error("a table of {points} point(s) is no curve: at least {needed} are needed")]
    TooFewPoints {
        /// Points given.
        points: usize,
        /// Points needed.
        needed: usize,
    },
    /// A number of a point outside what can be.
    #[error("point {point}: {}", super::Error::OutOfRange { what: *what, value: *value, range: *range })]
    PointOutOfRange {
        /// The point.
        point: usize,
        /// Which of its numbers.
        #[serde(rename = "input", serialize_with = "super::shown")]
        what: Input,
        /// The value given, in the range's unit.
        value: f64,
        /// What is allowed.
        #[serde(flatten)]
        range: Range,
    },
    /// NaN or an infinity in a point.
    #[error("point {point}: {what} is not a finite number")]
    PointNotFinite {
        /// The point.
        point: usize,
        /// Which of its numbers.
        #[serde(rename = "input", serialize_with = "super::shown")]
        what: Input,
    },
    /// Two points at one flow.
    #[error("points {first} and {point} are at the same flow, {:.4} m3/h", flow.get::<m3_h>())]
    SameFlow {
        /// The later point.
        point: usize,
        /// The earlier one.
        first: usize,
        /// Their flow.
        #[serde(rename = "flow_m3_per_s")]
        flow: VolumeRate,
    },
    /// A pressure that does not fall as the flow rises.
    #[error(
        "point {point}: the pressure rise must fall as the flow rises, and {:.4} kPa is not below the {:.4} kPa of point {before}, where the flow is smaller",
        rise.get::<kpa>(), rise_before.get::<kpa>()
    )]
    RiseNotFalling {
        /// The point at fault.
        point: usize,
        /// Its pressure rise.
        #[serde(rename = "rise_pa")]
        rise: Pressure,
        /// The point with the next smaller flow.
        before: usize,
        /// The pressure rise there.
        #[serde(rename = "rise_before_pa")]
        rise_before: Pressure,
    },
    /// A point without power among others that have it.
    #[error("point {point} has no power, though others have: give it for all points or for none")]
    MissingPower {
        /// The first point without.
        point: usize,
    },
    /// Powers of which nobody says where they were measured.
    #[error("the powers are at the shaft or at the wire: say which")]
    MissingPowerKind,
    /// More flow than the table goes to.
    #[error(
        "a flow of {:.4} m3/h at the intake is {:.4} m3/h beyond the end of the table ({:.4} m3/h); nothing is known there",
        flow.get::<m3_h>(), (*flow - *last).get::<m3_h>(), last.get::<m3_h>()
    )]
    BeyondLastFlow {
        /// Flow asked for, at the intake.
        #[serde(rename = "flow_m3_per_s")]
        flow: VolumeRate,
        /// Largest flow of the curve.
        #[serde(rename = "last_m3_per_s")]
        last: VolumeRate,
    },
    /// Less flow than the table begins at.
    #[error(
        "a flow of {:.4} m3/h at the intake is {:.4} m3/h below the table's first point ({:.4} m3/h); the table says nothing nearer to shut-off",
        flow.get::<m3_h>(), (*first - *flow).get::<m3_h>(), first.get::<m3_h>()
    )]
    BelowFirstFlow {
        /// Flow asked for, at the intake.
        #[serde(rename = "flow_m3_per_s")]
        flow: VolumeRate,
        /// Smallest flow of the curve.
        #[serde(rename = "first_m3_per_s")]
        first: VolumeRate,
    },
    /// More pressure than the curve has.
    #[error(
        "a pressure rise of {:.4} kPa is {:.4} kPa above the highest of this blower's curve ({:.4} kPa)",
        rise.get::<kpa>(), (*rise - *highest).get::<kpa>(), highest.get::<kpa>()
    )]
    AboveHighestRise {
        /// Pressure rise asked for.
        #[serde(rename = "rise_pa")]
        rise: Pressure,
        /// Highest of the curve.
        #[serde(rename = "highest_pa")]
        highest: Pressure,
    },
    /// Less pressure than the table goes down to.
    #[error(
        "a pressure rise of {:.4} kPa is {:.4} kPa below the lowest of the table ({:.4} kPa); nothing is known there",
        rise.get::<kpa>(), (*lowest - *rise).get::<kpa>(), lowest.get::<kpa>()
    )]
    BelowLowestRise {
        /// Pressure rise asked for.
        #[serde(rename = "rise_pa")]
        rise: Pressure,
        /// Lowest of the curve.
        #[serde(rename = "lowest_pa")]
        lowest: Pressure,
    },
    /// No speed passes through a duty point.
    #[error(
        "no speed gives {:.4} kPa at this flow: {:.4} kPa at {:.4} of the speed, {:.4} kPa at {:.4} of it, and the table goes no further",
        rise.get::<kpa>(), slow_rise.get::<kpa>(), slow.get::<ratio>(),
        fast_rise.get::<kpa>(), fast.get::<ratio>()
    )]
    SpeedOutOfReach {
        /// Pressure rise asked for.
        #[serde(rename = "rise_pa")]
        rise: Pressure,
        /// Lowest speed ratio at which the table holds this flow.
        slow: Ratio,
        /// Pressure rise there.
        #[serde(rename = "slow_rise_pa")]
        slow_rise: Pressure,
        /// Highest such speed ratio.
        fast: Ratio,
        /// Pressure rise there.
        #[serde(rename = "fast_rise_pa")]
        fast_rise: Pressure,
    },
}
