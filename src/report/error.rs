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
    let details = match error {
        Error::OutOfRange { what, value, range } => {
            json!({ "key": what.key(), "value": value, "min": range.min, "max": range.max, "unit": range.unit })
        }
        Error::NotFinite { what } => json!({ "key": what.key() }),
        Error::Inconsistent {
            larger,
            larger_value,
            smaller,
            smaller_value,
            unit,
        } => {
            json!({ "key": larger.key(), "value": larger_value, "other_key": smaller.key(), "other_value": smaller_value, "unit": unit })
        }
        Error::AbovePeak {
            target,
            peak_flow,
            peak_air,
        } => json!({
            "target_l_per_min": target.get::<liter_per_minute>(),
            "peak_l_per_min": peak_flow.get::<liter_per_minute>(),
            "peak_air_l_per_min": peak_air.get::<liter_per_minute>(),
        }),
        Error::RunsWithoutAir { target, free_flow } => {
            json!({ "target_l_per_min": target.get::<liter_per_minute>(), "free_flow_l_per_min": free_flow.get::<liter_per_minute>() })
        }
        Error::LiftOutOfReach { lift, reached } => {
            json!({ "lift_m": lift.get::<meter>(), "reached_m": reached.get::<meter>() })
        }
        Error::SubmergenceOutOfReach {
            target,
            shallowest,
            deepest,
        } => json!({
            "target_l_per_min": target.get::<liter_per_minute>(),
            "shallowest_m": shallowest.get::<meter>(),
            "deepest_m": deepest.get::<meter>(),
        }),
        Error::OneReading { what } | Error::NoReading { what } => {
            json!({ "key": what.key(), "reading": what.to_string() })
        }
        Error::NoInterval { submergence_ratio } => {
            json!({ "submergence_ratio": submergence_ratio })
        }
        Error::UnknownName {
            kind,
            name,
            nearest,
            ..
        } => json!({ "kind": kind.to_string(), "name": name, "nearest": nearest }),
        Error::Blower(error) => problem(error, blower_details(error)),
        Error::Aeration(error) => problem(error, aeration_details(error)),
        Error::Need(error) => problem(error, need_details(error)),
        Error::LineTooNarrow {
            bore,
            length,
            air,
            inlet,
        } => json!({
            "bore_mm": bore.get::<millimeter>(),
            "length_m": length.get::<meter>(),
            "air_l_per_min": air.get::<liter_per_minute>(),
            "inlet_kpa": inlet.get::<kilopascal>(),
        }),
        Error::HoleTooWide {
            branch,
            diameter,
            bore,
        } => {
            json!({ "lift": branch, "hole_mm": diameter.get::<millimeter>(), "bore_mm": bore.get::<millimeter>() })
        }
        Error::OutletTooHot { temperature, .. } => {
            json!({ "temperature_k": temperature.get::<kelvin>() })
        }
        Error::BlowerTooWeak { needed, highest } => json!({
            "needed_kpa": needed.get::<kilopascal>(),
            "highest_kpa": highest.get::<kilopascal>(),
            "missing_kpa": (*needed - *highest).get::<kilopascal>(),
        }),
        Error::BeyondBlower { air, rise, needed } => json!({
            "air_l_per_min": air.get::<liter_per_minute>(),
            "rise_kpa": rise.get::<kilopascal>(),
            "needed_kpa": needed.get::<kilopascal>(),
        }),
        Error::BelowBlower { air, first } => json!({
            "air_l_per_min": air.get::<liter_per_minute>(),
            "first_l_per_min": first.get::<liter_per_minute>(),
        }),
        Error::RiserMissing { branches, risers } => {
            json!({ "branches": branches, "risers": risers })
        }
        Error::CurveNotRising { point } => json!({ "point": point }),
        Error::NotConverged {
            iterations,
            residual,
            low,
            high,
            ..
        } => json!({ "iterations": iterations, "residual": residual, "low": low, "high": high }),
    };
    json!({ "schema": "risewater.error/1", "code": error.code(), "message": error.to_string(), "details": details })
}

/// Details of what is wrong, its code first.
fn problem(code: impl Into<&'static str>, details: Value) -> Value {
    let mut all = json!({ "problem": code.into() });
    if let (Value::Object(all), Value::Object(details)) = (&mut all, details) {
        all.extend(details);
    }
    all
}

/// What an aeration test cannot tell; probes are counted from 1.
fn aeration_details(error: &AerationError) -> Value {
    match error {
        AerationError::TooFewReadings { times, needed } => {
            json!({ "times": times, "needed": needed })
        }
        AerationError::NoRise { rise, scatter } => json!({
            "rise_mg_per_l": rise.get::<milligram_per_liter>(),
            "scatter_mg_per_l": scatter.get::<milligram_per_liter>(),
        }),
        AerationError::TooShort {
            span,
            time_constant,
        } => json!({
            "span_s": span.get::<second>(),
            "time_constant_s": time_constant.get::<second>(),
        }),
        AerationError::TooSeldom {
            times,
            needed,
            time_constant,
        } => json!({
            "times": times,
            "needed": needed,
            "time_constant_s": time_constant.get::<second>(),
        }),
        AerationError::Undetermined {
            parameter,
            low,
            high,
            unit,
        } => json!({ "parameter": parameter, "low": low, "high": high, "unit": unit }),
        AerationError::BeyondEquilibrium { rate, most } => json!({
            "rate_kg_per_h": rate.get::<kilogram_per_hour>(),
            "most_kg_per_h": most.get::<kilogram_per_hour>(),
        }),
        AerationError::TimeNotLater { time, before } => json!({
            "time_s": time.get::<second>(),
            "before_s": before.get::<second>(),
        }),
        AerationError::Probe { probe, fault } => {
            json!({ "probe": probe, "fault": fault.to_string() })
        }
    }
}

/// What of a blower's table is at fault; points are counted from 1.
fn blower_details(error: &BlowerError) -> Value {
    let pa = |rise: &Pressure| rise.get::<pascal>();
    let m3_h = |flow: &VolumeRate| flow.get::<cubic_meter_per_hour>();
    match error {
        BlowerError::TooFewPoints { points, needed } => {
            json!({ "points": points, "needed": needed })
        }
        BlowerError::PointOutOfRange {
            point,
            what,
            value,
            range,
        } => {
            json!({ "point": point, "input": what.to_string(), "value": value, "min": range.min, "max": range.max, "unit": range.unit })
        }
        BlowerError::PointNotFinite { point, what } => {
            json!({ "point": point, "input": what.to_string() })
        }
        BlowerError::SameFlow { point, first, flow } => {
            json!({ "point": point, "first": first, "flow_m3_per_h": m3_h(flow) })
        }
        BlowerError::RiseNotFalling {
            point,
            rise,
            before,
            rise_before,
        } => {
            json!({ "point": point, "rise_pa": pa(rise), "before": before, "rise_before_pa": pa(rise_before) })
        }
        BlowerError::MissingPower { point } => {
            json!({ "point": point })
        }
        BlowerError::MissingPowerKind => json!({}),
        BlowerError::BeyondLastFlow { flow, last } => {
            json!({ "flow_m3_per_h": m3_h(flow), "last_m3_per_h": m3_h(last) })
        }
        BlowerError::BelowFirstFlow { flow, first } => {
            json!({ "flow_m3_per_h": m3_h(flow), "first_m3_per_h": m3_h(first) })
        }
        BlowerError::AboveHighestRise { rise, highest } => {
            json!({ "rise_pa": pa(rise), "highest_pa": pa(highest) })
        }
        BlowerError::BelowLowestRise { rise, lowest } => {
            json!({ "rise_pa": pa(rise), "lowest_pa": pa(lowest) })
        }
        BlowerError::SpeedOutOfReach {
            rise,
            slow,
            slow_rise,
            fast,
            fast_rise,
        } => {
            json!({ "rise_pa": pa(rise), "slow": slow.get::<ratio>(), "slow_rise_pa": pa(slow_rise), "fast": fast.get::<ratio>(), "fast_rise_pa": pa(fast_rise) })
        }
    }
}

/// What of a need is at fault; tanks and rows are counted from 1.
fn need_details(error: &NeedError) -> Value {
    let mg_l = |value: &MassConcentration| value.get::<milligram_per_liter>();
    match error {
        NeedError::AmmoniaUnknown
        | NeedError::NoLimit
        | NeedError::NoVolume
        | NeedError::EmptyCycle
        | NeedError::NoLifts => json!({}),
        NeedError::LimitTooTight {
            limit,
            limit_value,
            entering,
            entering_value,
        } => {
            json!({
                "limit": limit.to_string(),
                "limit_mg_per_l": mg_l(limit_value),
                "entering": entering.to_string(),
                "entering_mg_per_l": mg_l(entering_value),
            })
        }
        NeedError::LimitAboveSaturation { limit, saturation } => {
            json!({ "limit_mg_per_l": mg_l(limit), "saturation_mg_per_l": mg_l(saturation) })
        }
        NeedError::FeedWithoutAnimals { feed, biomass } => {
            json!({ "feed_kg_per_d": feed.get::<kilogram_per_day>(), "biomass_kg": biomass.get::<kilogram>() })
        }
        NeedError::InTank { tank, error } => {
            json!({ "tank": tank, "error": error_json(error) })
        }
        NeedError::DateNotLater { row, date, before } => {
            json!({ "row": row, "date": date.to_string(), "before": before.to_string() })
        }
        NeedError::InRow { row, error } => {
            json!({ "row": row, "error": error_json(error) })
        }
        NeedError::OnDay { date, error } => {
            json!({ "date": date.to_string(), "error": error_json(error) })
        }
    }
}
