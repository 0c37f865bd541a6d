//! Errors as JSON.

use serde_json::{Value, json};

use crate::error::{AerationError, BlowerError, Error, NeedError};
use crate::units::{
    MassConcentration, Pressure, VolumeRate, cubic_meter_per_hour, kelvin, kilogram,
    kilogram_per_day, kilogram_per_hour, kilopascal, liter_per_minute, meter, milligram_per_liter,
    millimeter, pascal, ratio, second,
};

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
                "peak_air_l_per_min": peak_air.get::<liter_per_minute>(),
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
        Error::NoInterval { submergence_ratio } => (
            "no_interval",
            json!({ "submergence_ratio": submergence_ratio }),
        ),
        Error::UnknownName {
            kind,
            name,
            nearest,
            ..
        } => (
            "unknown_name",
            json!({ "kind": kind.to_string(), "name": name, "nearest": nearest }),
        ),
        Error::Blower(error) => ("blower", blower_details(error)),
        Error::Aeration(error) => ("aeration", aeration_details(error)),
        Error::Need(error) => ("need", need_details(error)),
        Error::LineTooNarrow {
            bore,
            length,
            air,
            inlet,
        } => (
            "line_too_narrow",
            json!({
                "bore_mm": bore.get::<millimeter>(),
                "length_m": length.get::<meter>(),
                "air_l_per_min": air.get::<liter_per_minute>(),
                "inlet_kpa": inlet.get::<kilopascal>(),
            }),
        ),
        Error::HoleTooWide {
            branch,
            diameter,
            bore,
        } => (
            "hole_too_wide",
            json!({ "lift": branch, "hole_mm": diameter.get::<millimeter>(), "bore_mm": bore.get::<millimeter>() }),
        ),
        Error::OutletTooHot { temperature, .. } => (
            "outlet_too_hot",
            json!({ "temperature_k": temperature.get::<kelvin>() }),
        ),
        Error::BlowerTooWeak { needed, highest } => (
            "blower_too_weak",
            json!({
                "needed_kpa": needed.get::<kilopascal>(),
                "highest_kpa": highest.get::<kilopascal>(),
                "missing_kpa": (*needed - *highest).get::<kilopascal>(),
            }),
        ),
        Error::BeyondBlower { air, rise, needed } => (
            "beyond_blower",
            json!({
                "air_l_per_min": air.get::<liter_per_minute>(),
                "rise_kpa": rise.get::<kilopascal>(),
                "needed_kpa": needed.get::<kilopascal>(),
            }),
        ),
        Error::BelowBlower { air, first } => (
            "below_blower",
            json!({
                "air_l_per_min": air.get::<liter_per_minute>(),
                "first_l_per_min": first.get::<liter_per_minute>(),
            }),
        ),
        Error::RiserMissing { branches, risers } => (
            "riser_missing",
            json!({ "branches": branches, "risers": risers }),
        ),
        Error::CurveNotRising { point } => ("curve_not_rising", json!({ "point": point })),
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
    };
    json!({ "schema": "risewater.error/1", "code": code, "message": error.to_string(), "details": details })
}

/// What an aeration test cannot tell; probes are counted from 1.
fn aeration_details(error: &AerationError) -> Value {
    match error {
        AerationError::TooFewReadings { times, needed } => {
            json!({ "problem": "too_few_readings", "times": times, "needed": needed })
        }
        AerationError::NoRise { rise, scatter } => json!({
            "problem": "no_rise",
            "rise_mg_per_l": rise.get::<milligram_per_liter>(),
            "scatter_mg_per_l": scatter.get::<milligram_per_liter>(),
        }),
        AerationError::TooShort {
            span,
            time_constant,
        } => json!({
            "problem": "too_short",
            "span_s": span.get::<second>(),
            "time_constant_s": time_constant.get::<second>(),
        }),
        AerationError::TooSeldom {
            times,
            needed,
            time_constant,
        } => json!({
            "problem": "too_seldom",
            "times": times,
            "needed": needed,
            "time_constant_s": time_constant.get::<second>(),
        }),
        AerationError::Undetermined {
            parameter,
            low,
            high,
            unit,
        } => json!({
            "problem": "undetermined", "parameter": parameter, "low": low, "high": high, "unit": unit
        }),
        AerationError::BeyondEquilibrium { rate, most } => json!({
            "problem": "beyond_equilibrium",
            "rate_kg_per_h": rate.get::<kilogram_per_hour>(),
            "most_kg_per_h": most.get::<kilogram_per_hour>(),
        }),
        AerationError::TimeNotLater { time, before } => json!({
            "problem": "time_not_later",
            "time_s": time.get::<second>(),
            "before_s": before.get::<second>(),
        }),
        AerationError::Probe { probe, fault } => {
            json!({ "problem": "probe", "probe": probe, "fault": fault.to_string() })
        }
    }
}

/// What of a blower's table is at fault; points are counted from 1.
fn blower_details(error: &BlowerError) -> Value {
    let pa = |rise: &Pressure| rise.get::<pascal>();
    let m3_h = |flow: &VolumeRate| flow.get::<cubic_meter_per_hour>();
    match error {
        BlowerError::TooFewPoints { points, needed } => {
            json!({ "problem": "too_few_points", "points": points, "needed": needed })
        }
        BlowerError::PointOutOfRange {
            point,
            what,
            value,
            range,
        } => {
            json!({ "problem": "point_out_of_range", "point": point, "input": what.to_string(), "value": value, "min": range.min, "max": range.max, "unit": range.unit })
        }
        BlowerError::PointNotFinite { point, what } => {
            json!({ "problem": "point_not_finite", "point": point, "input": what.to_string() })
        }
        BlowerError::SameFlow { point, first, flow } => {
            json!({ "problem": "same_flow", "point": point, "first": first, "flow_m3_per_h": m3_h(flow) })
        }
        BlowerError::RiseNotFalling {
            point,
            rise,
            before,
            rise_before,
        } => {
            json!({ "problem": "rise_not_falling", "point": point, "rise_pa": pa(rise), "before": before, "rise_before_pa": pa(rise_before) })
        }
        BlowerError::MissingPower { point } => {
            json!({ "problem": "missing_power", "point": point })
        }
        BlowerError::MissingPowerKind => json!({ "problem": "missing_power_kind" }),
        BlowerError::BeyondLastFlow { flow, last } => {
            json!({ "problem": "beyond_last_flow", "flow_m3_per_h": m3_h(flow), "last_m3_per_h": m3_h(last) })
        }
        BlowerError::BelowFirstFlow { flow, first } => {
            json!({ "problem": "below_first_flow", "flow_m3_per_h": m3_h(flow), "first_m3_per_h": m3_h(first) })
        }
        BlowerError::AboveHighestRise { rise, highest } => {
            json!({ "problem": "above_highest_rise", "rise_pa": pa(rise), "highest_pa": pa(highest) })
        }
        BlowerError::BelowLowestRise { rise, lowest } => {
            json!({ "problem": "below_lowest_rise", "rise_pa": pa(rise), "lowest_pa": pa(lowest) })
        }
        BlowerError::SpeedOutOfReach {
            rise,
            slow,
            slow_rise,
            fast,
            fast_rise,
        } => {
            json!({ "problem": "speed_out_of_reach", "rise_pa": pa(rise), "slow": slow.get::<ratio>(), "slow_rise_pa": pa(slow_rise), "fast": fast.get::<ratio>(), "fast_rise_pa": pa(fast_rise) })
        }
    }
}

/// What of a need is at fault; tanks and rows are counted from 1.
fn need_details(error: &NeedError) -> Value {
    let mg_l = |value: &MassConcentration| value.get::<milligram_per_liter>();
    match error {
        NeedError::AmmoniaUnknown => json!({ "problem": "ammonia_unknown" }),
        NeedError::LimitTooTight {
            limit,
            limit_value,
            entering,
            entering_value,
        } => {
            json!({
                "problem": "limit_too_tight",
                "limit": limit.to_string(),
                "limit_mg_per_l": mg_l(limit_value),
                "entering": entering.to_string(),
                "entering_mg_per_l": mg_l(entering_value),
            })
        }
        NeedError::LimitAboveSaturation { limit, saturation } => {
            json!({ "problem": "limit_above_saturation", "limit_mg_per_l": mg_l(limit), "saturation_mg_per_l": mg_l(saturation) })
        }
        NeedError::NoLimit => json!({ "problem": "no_limit" }),
        NeedError::NoVolume => json!({ "problem": "no_volume" }),
        NeedError::FeedWithoutAnimals { feed, biomass } => {
            json!({ "problem": "feed_without_animals", "feed_kg_per_d": feed.get::<kilogram_per_day>(), "biomass_kg": biomass.get::<kilogram>() })
        }
        NeedError::InTank { tank, error } => {
            json!({ "problem": "in_tank", "tank": tank, "error": error_json(error) })
        }
        NeedError::EmptyCycle => json!({ "problem": "empty_cycle" }),
        NeedError::DateNotLater { row, date, before } => {
            json!({ "problem": "date_not_later", "row": row, "date": date.to_string(), "before": before.to_string() })
        }
        NeedError::InRow { row, error } => {
            json!({ "problem": "in_row", "row": row, "error": error_json(error) })
        }
        NeedError::OnDay { date, error } => {
            json!({ "problem": "on_day", "date": date.to_string(), "error": error_json(error) })
        }
        NeedError::NoLifts => json!({ "problem": "no_lifts" }),
    }
}
