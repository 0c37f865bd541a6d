//! What an aeration test cannot tell.

use crate::units::{
    MassConcentration, MassRate, Time, kilogram_per_hour as kg_h, milligram_per_liter as mg_l,
    minute,
};

/// What an aeration test cannot tell.
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
pub enum AerationError {
    /// Too few readings at different times.
    #[error(
        "{times} reading(s) at different times cannot determine three parameters: at least {needed} are needed"
    )]
    TooFewReadings {
        /// Different times among the readings.
        times: usize,
        /// Times needed.
        needed: usize,
    },
    /// Oxygen that does not rise, or by no more than it scatters.
    #[error(
        "dissolved oxygen rises by {:.3} mg/L and scatters by {:.3} mg/L: no transfer can be found from it; take the oxygen out of the water first",
        rise.get::<mg_l>(), scatter.get::<mg_l>()
    )]
    NoRise {
        /// Rise of the fitted curve from the first reading to the last.
        #[serde(rename = "rise_kg_per_m3")]
        rise: MassConcentration,
        /// Standard deviation of the readings about it.
        #[serde(rename = "scatter_kg_per_m3")]
        scatter: MassConcentration,
    },
    /// Readings that end before the curve bends enough to show where it goes.
    #[error(
        "the readings span {:.2} min and 1/kLa is some {:.2} min: the final oxygen cannot be found; read for at least that long, better three times as long",
        span.get::<minute>(), time_constant.get::<minute>()
    )]
    TooShort {
        /// From the first reading to the last.
        #[serde(rename = "span_s")]
        span: Time,
        /// 1/kLa of the fit.
        #[serde(rename = "time_constant_s")]
        time_constant: Time,
    },
    /// Too few readings while oxygen rises.
    #[error(
        "{times} reading(s) after the first are within four times 1/kLa, some {:.2} min by these readings: at least {needed} are needed to find kLa; read more often",
        time_constant.get::<minute>()
    )]
    TooSeldom {
        /// Different times after the first, before 98 % of the rise.
        times: usize,
        /// Times needed.
        needed: usize,
        /// 1/kLa of the fit.
        #[serde(rename = "time_constant_s")]
        time_constant: Time,
    },
    /// A parameter that the readings leave open.
    #[error(
        "the readings do not determine the {parameter}: its 95 % interval is {low:.4} to {high:.4} {unit}; read more often while oxygen rises, and until it hardly does"
    )]
    Undetermined {
        /// The parameter.
        parameter: &'static str,
        /// Lower end of its 95 % interval; infinite when nothing holds it.
        low: f64,
        /// Upper end.
        high: f64,
        /// The unit of both.
        unit: &'static str,
    },
    /// More oxygen than the riser could bring with water and air in equilibrium.
    #[error(
        "the tank gained {:.4} kg/h of oxygen and the riser gives {:.4} kg/h at most, with water and air in equilibrium: the tank's surface or another aerator gave the rest, or volume, air flow or water flow of the test are wrong",
        rate.get::<kg_h>(), most.get::<kg_h>()
    )]
    BeyondEquilibrium {
        /// Rate of the test.
        #[serde(rename = "rate_kg_per_s")]
        rate: MassRate,
        /// The most that the riser gives.
        #[serde(rename = "most_kg_per_s")]
        most: MassRate,
    },
    /// Readings that are not in the order of time.
    #[error(
        "{:.2} min is not later than {:.2} min, the reading before it: give each time once, in order",
        time.get::<minute>(), before.get::<minute>()
    )]
    TimeNotLater {
        /// The time.
        #[serde(rename = "time_s")]
        time: Time,
        /// That of the reading before.
        #[serde(rename = "before_s")]
        before: Time,
    },
    /// What is wrong with one of several probes.
    #[error("probe {probe}: {fault}")]
    Probe {
        /// The probe, counted from 1.
        probe: usize,
        /// What is wrong with it.
        #[serde(serialize_with = "super::shown")]
        fault: Box<super::Error>,
    },
}
