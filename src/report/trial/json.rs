//! JSON of the runs of a trial.

use serde_json::{Value, json};

use super::{LOOK_FIRST, RunLine};
use crate::measurement::Uncertain;
use crate::report::site_json;
use crate::trial::{Measured, NoFlowRun, Outlier, ReducedRun};
use crate::units::{
    Length, Time, cubic_meter_per_second, kilogram_per_second, meter, ratio, second,
};

pub(super) fn run_json(run: &ReducedRun, line: &RunLine) -> Value {
    let place =
        |length: &Uncertain<Length>| (length.value.get::<meter>(), length.standard.get::<meter>());
    let (submergence, lift) = (place(&run.submergence), place(&run.lift));
    let water = &run.water_flow.value;
    let air = &run.air.value;
    let joint = &run.air_to_water;
    // Air limits scale with the air itself.
    let per_volume =
        air.value.get::<kilogram_per_second>() / line.air.air.value.get::<cubic_meter_per_second>();
    json!({
        "run": run.label,
        "configuration": run.configuration,
        "submergence_m": submergence.0,
        "submergence_standard_m": submergence.1,
        "lift_m": lift.0,
        "lift_standard_m": lift.1,
        "water_flow_m3_per_s": water.value.get::<cubic_meter_per_second>(),
        "water_flow_standard_m3_per_s": water.standard.get::<cubic_meter_per_second>(),
        "water_flow_low_m3_per_s": line.water.0.get::<cubic_meter_per_second>(),
        "water_flow_high_m3_per_s": line.water.1.get::<cubic_meter_per_second>(),
        "water": measured_json(&run.water_flow, line.water_advice.as_deref()),
        "air_mass_flow_kg_per_s": air.value.get::<kilogram_per_second>(),
        "air_mass_flow_standard_kg_per_s": air.standard.get::<kilogram_per_second>(),
        "air_mass_flow_low_kg_per_s": line.air.limits.0.get::<cubic_meter_per_second>() * per_volume,
        "air_mass_flow_high_kg_per_s": line.air.limits.1.get::<cubic_meter_per_second>() * per_volume,
        "air": measured_json(&run.air, line.air_advice.as_deref()),
        "air_to_water": joint.ratio.value.get::<ratio>(),
        "air_to_water_standard": joint.ratio.standard.get::<ratio>(),
        "air_to_water_low": line.ratio_limits.0.get::<ratio>(),
        "air_to_water_high": line.ratio_limits.1.get::<ratio>(),
        "water_air_relative_covariance": joint.relative_covariance.get::<ratio>(),
        "water_air_correlation": joint.correlation.get::<ratio>(),
        "site": site_json(&run.site),
    })
}

pub(super) fn no_flow_json(run: &NoFlowRun) -> Value {
    json!({
        "run": run.label,
        "configuration": run.configuration,
        "submergence_m": run.submergence.get::<meter>(),
        "lift_m": run.lift.get::<meter>(),
        "air_mass_flow_kg_per_s": run.air.value.value.get::<kilogram_per_second>(),
        "air_mass_flow_standard_kg_per_s": run.air.value.standard.get::<kilogram_per_second>(),
        "site": site_json(&run.site),
    })
}

/// What stands behind one flow.
fn measured_json<Q>(measured: &Measured<Q>, advice: Option<&str>) -> Value {
    let freedom = measured.value.degrees_of_freedom;
    let budget: Vec<Value> = measured.budget.contributions.iter().map(|c| {
        json!({ "source": c.source.code(), "relative_standard": c.standard.get::<ratio>(), "share": c.share.get::<ratio>() })
    }).collect();
    let repeats = measured.repeats.as_ref();
    let times: Option<Vec<f64>> =
        repeats.map(|r| r.times.iter().map(Time::get::<second>).collect());
    let outliers: Option<Vec<Value>> = repeats.map(|r| {
        let outlier = |o: &Outlier| json!({ "repeat": o.repeat, "time_s": o.time.get::<second>(), "chance": o.chance.get::<ratio>() });
        r.outliers.iter().map(outlier).collect()
    });
    json!({
        "relative_standard": measured.budget.relative.get::<ratio>(),
        "degrees_of_freedom": freedom.is_finite().then_some(freedom),
        "budget": budget,
        "advice": advice.unwrap_or(LOOK_FIRST),
        "times_s": times,
        "outliers": outliers,
    })
}
