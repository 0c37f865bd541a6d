//! The need as JSON.

use serde_json::{Value, json};

use super::super::cautions_json;
use super::NeedReport;
use crate::need::{Line, Need, Running};
use crate::units::{
    MassRate, cubic_meter, cubic_meter_per_second, kelvin, kilogram, kilogram_per_second,
};

impl NeedReport {
    /// The JSON shape `risewater.need/1`. The need of single days is not in it, weeks are.
    #[must_use]
    pub fn json(&self) -> Value {
        let tanks = self.need.tanks.iter().zip(&self.tanks);
        let tanks: Vec<Value> = tanks
            .map(|(tank, day)| {
                json!({
                    "name": tank.name,
                    "date": tank.date.map(|date| date.to_string()),
                    "biomass_kg": day.biomass.get::<kilogram>(),
                    "water_temperature_k": day.temperature.get::<kelvin>(),
                    "volume_m3": day.volume.map(|volume| volume.get::<cubic_meter>()),
                    "makeup_flow_m3_per_s": day.makeup.map(|flow| flow.get::<cubic_meter_per_second>()),
                    "need": need_json(&tank.need),
                })
            })
            .collect();
        let weeks = self.weeks.iter().enumerate().map(|(n, week)| {
            let lifts = self.lifts.as_ref().and_then(|all| all.get(n));
            let mut value = json!({
                "week": week.number,
                "first": week.first.to_string(),
                "last": week.last.to_string(),
                "peak_flow_m3_per_s": week.peak.get::<cubic_meter_per_second>(),
                "governing": week.governing.map(Line::name),
                "mean_flow_m3_per_s": week.mean.get::<cubic_meter_per_second>(),
            });
            put_running(&mut value, lifts.map(|one| one.running));
            value
        });
        let defaults = self.defaults.iter().map(|one| {
            json!({
                "name": one.name,
                "value": one.value,
                "low": one.low,
                "high": one.high,
                "unit": one.unit,
                "source": one.reference.map(|source| source.key),
                "trust": one.trust.to_string(),
                "note": one.note,
            })
        });
        let mut value = json!({
            "schema": "risewater.need/1",
            "water_flow_m3_per_s": self.need.flow().get::<cubic_meter_per_second>(),
            "peak_date": self.need.peak().map(|day| day.date.to_string()),
            "installed_flow_m3_per_s": self.installed.map(|all| all.get::<cubic_meter_per_second>()),
        });
        put_running(&mut value, self.running);
        value["tanks"] = tanks.into();
        value["weeks"] = weeks.collect();
        value["defaults"] = defaults.collect();
        value["cautions"] = cautions_json(&self.cautions());
        value
    }
}

fn put_running(value: &mut Value, running: Option<Running>) {
    let flow = |pick: fn(&Running) -> crate::units::VolumeRate| {
        running.map(|one| pick(&one).get::<cubic_meter_per_second>())
    };
    value["lifts"] = json!(running.map(|one| one.lifts));
    value["lifts_flow_m3_per_s"] = json!(flow(|one| one.flow));
    value["missing_flow_m3_per_s"] = json!(flow(|one| one.missing));
}

fn need_json(need: &Need) -> Value {
    let load = &need.load;
    let rate = |mass: MassRate| mass.get::<kilogram_per_second>();
    let lines = need.requirements.iter().map(|one| {
        let balance = one.balance;
        json!({
            "line": one.line.name(),
            "water_flow_m3_per_s": one.flow.get::<cubic_meter_per_second>(),
            "limit_kg_per_m3": balance.map(|b| b.tank.value),
            "entering_kg_per_m3": balance.map(|b| b.entering.value),
        })
    });
    json!({
        "water_flow_m3_per_s": need.flow().get::<cubic_meter_per_second>(),
        "governing": need.governing().map(Line::name),
        "feed_kg_per_s": rate(load.feed),
        "oxygen_kg_per_s": rate(load.oxygen),
        "tan_kg_per_s": rate(load.tan),
        "carbon_dioxide_kg_per_s": rate(load.carbon_dioxide),
        "solids_kg_per_s": rate(load.solids),
        "lines": lines.collect::<Value>(),
    })
}
