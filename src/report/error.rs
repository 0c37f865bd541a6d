//! Errors as JSON.

use serde_json::{Value, json};

use crate::error::Error;
use crate::units::{liter_per_minute, meter};

/// The JSON shape `risewater.error/1` of an error of the library.
#[must_use]
#[allow(clippy::too_many_lines, reason = "one arm for each error")]
pub fn error_json(error: &Error) -> Value {
    let (code, details) = match error {
        Error::OutOfRange { what, value, range } => (
            "out_of_range",
            json!({ "key": what.key(), "value": value, "min": range.min, "max": range.max, "unit": range.unit }),
        ),
        Error::NotFinite { what } => ("not_finite", json!({ "key": what.key() })),
        Error::Inconsistent {
            larger,
            larger_value,
            smaller,
            smaller_value,
            unit,
        } => (
            "inconsistent",
            json!({ "key": larger.key(), "value": larger_value, "other_key": smaller.key(), "other_value": smaller_value, "unit": unit }),
        ),
        Error::AbovePeak {
            target,
            peak_flow,
            peak_air,
        } => (
            "above_peak",
            json!({
                "target_l_per_min": target.get::<liter_per_minute>(),
                "peak_l_per_min": peak_flow.get::<liter_per_minute>(),
                "peak_air_l_per_min": peak_air.volume_rate_at_20_c().get::<liter_per_minute>(),
            }),
        ),
        Error::RunsWithoutAir { target, free_flow } => (
            "runs_without_air",
            json!({ "target_l_per_min": target.get::<liter_per_minute>(), "free_flow_l_per_min": free_flow.get::<liter_per_minute>() }),
        ),
        Error::LiftOutOfReach { lift, reached } => (
            "lift_out_of_reach",
            json!({ "lift_m": lift.get::<meter>(), "reached_m": reached.get::<meter>() }),
        ),
        Error::SubmergenceOutOfReach {
            target,
            shallowest,
            deepest,
        } => (
            "submergence_out_of_reach",
            json!({
                "target_l_per_min": target.get::<liter_per_minute>(),
                "shallowest_m": shallowest.get::<meter>(),
                "deepest_m": deepest.get::<meter>(),
            }),
        ),
        Error::OneReading { what } => (
            "one_reading",
            json!({ "key": what.key(), "reading": what.to_string() }),
        ),
        Error::NoReading { what } => (
            "no_reading",
            json!({ "key": what.key(), "reading": what.to_string() }),
        ),
        Error::TooFewPoints {
            parameters,
            points,
            needed,
        } => (
            "too_few_points",
            json!({ "parameters": parameters, "points": points, "needed": needed }),
        ),
        Error::TooFewAirFlows {
            parameters,
            air_flows,
        } => (
            "too_few_air_flows",
            json!({ "parameters": parameters, "air_flows": air_flows }),
        ),
        Error::Undetermined {
            parameter,
            low,
            high,
            range,
        } => (
            "undetermined",
            json!({ "parameter": parameter, "low": low, "high": high, "min": range.min, "max": range.max, "unit": range.unit }),
        ),
        Error::OtherClosures { calibrated, given } => (
            "other_closures",
            json!({ "calibrated": calibrated, "given": given }),
        ),
        Error::UnknownName {
            kind,
            name,
            nearest,
        } => (
            "unknown_name",
            json!({ "kind": kind.to_string(), "name": name, "nearest": nearest }),
        ),
        Error::NotConverged {
            iterations,
            residual,
            low,
            high,
            ..
        } => (
            "not_converged",
            json!({ "iterations": iterations, "residual": residual, "low": low, "high": high }),
        ),
        _ => ("air_supply", json!({})),
    };
    json!({ "schema": "risewater.error/1", "code": code, "message": error.to_string(), "details": details })
}
