//! A sizing as JSON.

use serde_json::{Value, json, to_value};

use super::super::interval::interval_json;
use super::super::{cautions_json, site_json};
use super::SizeReport;
use crate::answer::{GasFacts, PointFacts};
use crate::caution::Caution;
use crate::riser::{OperatingPoint, Outcome};
use crate::sizing::{Design, DoubtCost, Margin, Problem, Reason, Sizing};
use crate::units::{liter_per_minute, meter, millimeter, pascal, ratio, watt};

impl SizeReport {
    /// The JSON shape `risewater.size/3`.
    #[must_use]
    pub fn json(&self, problem: &Problem) -> Value {
        let details = self.details.iter().map(Some).chain(std::iter::repeat(None));
        let designs: Vec<Value> = self
            .sizing
            .designs
            .iter()
            .zip(details)
            .map(|(design, details)| {
                let mut value = design_json(design);
                value["interval"] = interval_json(details.and_then(|d| d.interval.as_ref()));
                value["cautions"] = details.map_or(Value::Null, |d| cautions_json(&d.cautions));
                value["gas"] = details.map_or(Value::Null, |d| {
                    to_value(GasFacts::of(&d.gases, &problem.site, design.lifts))
                        .unwrap_or_default()
                });
                value["curve"] = details.map_or(Value::Null, |d| {
                    to_value(
                        d.curve
                            .points
                            .iter()
                            .map(PointFacts::from)
                            .collect::<Vec<_>>(),
                    )
                    .unwrap_or_default()
                });
                value
            })
            .collect();
        json!({
            "schema": "risewater.size/3",
            "candidates": self.sizing.candidates,
            "solved": self.sizing.solved,
            "objective": problem.objective.name(),
            "at_low_water": problem.at_low_water,
            "at_lower_end": problem.at_lower_end,
            "designs": designs,
            "chain": self.chain(problem).map(|chain| chain.json()),
            "doubt_cost": self.doubt_cost.as_ref().map(doubt_cost_json),
            "margins": self.margins.iter().map(margin_json).collect::<Vec<_>>(),
            "bore_steps": self.bore_steps.iter().map(|step| json!({
                "pipe": step.pipe.name,
                "best": step.best.as_ref().map(design_json),
            })).collect::<Vec<_>>(),
            "rejected": self.rejected_json(),
            "cautions": cautions_json(&self.cautions(problem)),
            "safety": cautions_json(&safety(&self.sizing)),
            "model": problem.model.to_string(),
            "site": site_json(&problem.site),
        })
    }

    /// Every rejected candidate, as in the JSON shape.
    #[must_use]
    pub fn rejected_json(&self) -> Value {
        self.sizing
            .rejected
            .iter()
            .map(|r| {
                json!({
                    "pipe": r.pipe.name,
                    "bore_mm": r.pipe.bore().get::<millimeter>(),
                    "lifts": r.lifts,
                    "submergence_m": r.submergence.get::<meter>(),
                    "code": r.reason.code(),
                    "reason": r.reason.to_string(),
                })
            })
            .collect()
    }
}

/// Cautions on the installation of the best design, for the safety of animals and people.
#[must_use]
fn safety(sizing: &Sizing) -> Vec<Caution> {
    sizing.best().map_or_else(Vec::new, Design::safety)
}

fn design_json(design: &Design) -> Value {
    json!({
        "pipe": design.pipe.name,
        "bore_mm": design.pipe.bore().get::<millimeter>(),
        "lifts": design.lifts,
        "submergence_m": design.submergence.get::<meter>(),
        "air_flow_l_per_min_each": design.point.air.volume_rate_at_20_c().get::<liter_per_minute>(),
        "injection_pressure_pa_gauge": design.injection_pressure().get::<pascal>(),
        "startup_pressure_pa_gauge": design.startup_pressure.get::<pascal>(),
        "water_flow_l_per_min_each": design.point.water_flow.get::<liter_per_minute>(),
        "water_flow_l_per_min_total": design.water_flow_total().get::<liter_per_minute>(),
        "injection_power_w_total": design.injection_power_total().get::<watt>(),
        "efficiency": design.point.efficiency.get::<ratio>(),
        "peak_water_flow_l_per_min_each": design.peak.water_flow.get::<liter_per_minute>(),
        "peak_air_flow_l_per_min_each": design.peak.air.volume_rate_at_20_c().get::<liter_per_minute>(),
        "pareto": design.pareto,
    })
}

fn doubt_cost_json(cost: &DoubtCost) -> Value {
    let point = |found: &Result<OperatingPoint, Reason>| match found {
        Ok(point) => json!({
            "air_flow_l_per_min_each": point.air.volume_rate_at_20_c().get::<liter_per_minute>(),
            "injection_power_w_each": point.injection_power.get::<watt>(),
            "code": null,
        }),
        Err(reason) => json!({
            "air_flow_l_per_min_each": null,
            "injection_power_w_each": null,
            "code": reason.code(),
        }),
    };
    json!({
        "predicted": point(&cost.predicted),
        "lower_end": point(&cost.lower_end),
    })
}

fn margin_json(margin: &Margin) -> Value {
    json!({
        "case": margin.case.name(),
        "outcome": Outcome::name(&margin.outcome),
        "water_flow_l_per_min_each": margin.outcome.water_flow().get::<liter_per_minute>(),
        "held_l_per_min_each": margin.held.get::<liter_per_minute>(),
        "air_needed_l_per_min_each": margin.air_needed.map(|air| air.volume_rate_at_20_c().get::<liter_per_minute>()),
    })
}
