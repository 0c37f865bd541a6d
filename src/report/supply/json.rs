//! An air supply as JSON.

use serde_json::{Value, json};

use super::super::interval::interval_json;
use super::super::{cautions_json, site_json};
use super::{SupplyGases, SupplyReport};
use crate::air::{AirFlow, AirState};
use crate::answer::GasFacts;
use crate::riser::Outcome;
use crate::sizing::Problem;
use crate::supply::{BestDepth, Change, Shift};
use crate::units::{
    Power, UnitSystem, VolumeRate, cubic_meter_per_second, kelvin, kilowatt_hour, meter,
    meter_per_second, ratio, second,
};

impl SupplyReport {
    /// The JSON shape `risewater.supply/3`.
    #[must_use]
    pub fn json(&self, problem: Option<&Problem>) -> Value {
        let (solved, plant) = (&self.solved, &self.supply.plant);
        let risers = plant.manifold.risers();
        json!({
            "schema": "risewater.supply/3",
            "chain": self.chain().map(|chain| chain.json()),
            "duty": self.duty_json(),
            "specification": self.specification_json(),
            "outlet_temperature_k": solved.outlet_temperature.get::<kelvin>(),
            "outlet_is_least": solved.outlet_is_least,
            "arrival_temperature_k": solved.arrival_temperature.get::<kelvin>(),
            "arrival_is_given": plant.arrival.is_some(),
            "orifices_extrapolated": solved.orifices_extrapolated(),
            "lifts": (0..risers.len()).map(|n| self.lift_json(n)).collect::<Vec<_>>(),
            "water_flow_m3_per_s": m3_per_s(solved.running.water_flow()),
            "interval": interval_json(self.whole_interval().as_ref()),
            "at_lower_end": self.at_lower_end,
            "doubt_cost": self.doubt_cost.map(|cost| json!({
                "predicted_air_mass_flow_kg_per_s": cost.air[0].value,
                "lower_end_air_mass_flow_kg_per_s": cost.air[1].value,
                "predicted_injection_power_w": cost.injection_power[0].value,
                "lower_end_injection_power_w": cost.injection_power[1].value,
            })),
            "header_pressure_pa": solved.running.split.pressure.pascal(),
            "header_velocity_m_per_s": solved.running.split.velocity.get::<meter_per_second>(),
            "main_line_pipes": solved.main_choices.iter().map(|choice| json!({
                "pipe": choice.pipe.name,
                "loss_pa": choice.flow.loss().value,
                "velocity_m_per_s": choice.flow.velocity.get::<meter_per_second>(),
                "meets": choice.meets,
            })).collect::<Vec<_>>(),
            "operation": self.operation_json(),
            "starts": solved.starts,
            "shifts": solved.shifts.iter().map(|shift| self.shift_json(shift)).collect::<Vec<_>>(),
            "depths": self.depths_json(problem),
            "gas": self.gases.as_ref().map(SupplyGases::json),
            "energy": self.energy_json(),
            "time_to_oxygen_limit_s": solved.time_to_limit.map(|time| time.get::<second>()),
            "parts": self.supply.parts(solved, UnitSystem::Metric).iter().map(|part| json!({
                "part": part.what,
                "place": part.place,
                "count": part.count,
                "length_m": part.length.map(|length| length.get::<meter>()),
            })).collect::<Vec<_>>(),
            "assumptions": self.assumptions.iter().map(|(key, value)| json!({ "key": key, "value": value })).collect::<Vec<_>>(),
            "sources": self.sources().iter().map(|source| source.key).collect::<Vec<_>>(),
            "model": self.model().to_string(),
            "site": risers.first().map(|riser| site_json(riser.site())),
            "cautions": cautions_json(&self.all_cautions().cloned().collect::<Vec<_>>()),
        })
    }

    fn duty_json(&self) -> Value {
        let duty = &self.solved.duty;
        json!({
            "air_mass_flow_kg_per_s": kg_per_s(duty.air),
            "header_pressure_pa": duty.header_pressure.pascal(),
            "main_line_loss_pa": duty.main_flow.loss().value,
            "main_line_velocity_m_per_s": duty.main_flow.velocity.get::<meter_per_second>(),
            "running_rise_pa": duty.running_rise.value,
            "startup_rise_pa": duty.startup_rise.value,
            "intake": state_json(&duty.intake),
            "discharge_temperature_k": duty.discharge_temperature.get::<kelvin>(),
            "discharge_is_least": duty.discharge_is_least,
            "arrival_temperature_k": duty.arrival_temperature.get::<kelvin>(),
        })
    }

    fn specification_json(&self) -> Value {
        let asked = &self.solved.duty.specification;
        json!({
            "inlet_flow_m3_per_s": m3_per_s(asked.inlet_flow),
            "iso_1217_flow_m3_per_s": m3_per_s(asked.iso_1217_flow),
            "normal_flow_m3_per_s": m3_per_s(asked.normal_flow),
            "us_standard_flow_m3_per_s": m3_per_s(asked.us_standard_flow),
            "pressure_rise_pa": asked.pressure_rise.value,
            "rise_margin": self.supply.plant.rise_margin.get::<ratio>(),
            "adiabatic_power_w": asked.adiabatic_power.value,
            "isothermal_power_w": asked.isothermal_power.value,
            "shaft_power_w": asked.shaft_power.map(watt),
            "wire_power_w": asked.wire_power.map(watt),
        })
    }

    fn lift_json(&self, n: usize) -> Value {
        let solved = &self.solved;
        let branch = &solved.manifold.header().branches[n];
        let flow = &solved.running.split.branches[n];
        let outcome = &solved.running.lifts[n];
        let dimensions = solved.manifold.risers()[n].spec().dimensions;
        let shares = self.supply.plant.shares(&solved.running);
        let exact = &solved.duty.manifold.header().branches[n];
        let hole = exact.orifice.filter(|_| branch.open);
        let drill = solved.drilled.as_ref().and_then(|d| d.drills[n]);
        json!({
            "lift": branch.name,
            "distance_m": branch.distance.get::<meter>(),
            "open": branch.open,
            "bore_m": dimensions.bore.get::<meter>(),
            "submergence_m": dimensions.submergence.get::<meter>(),
            "lift_m": dimensions.lift.get::<meter>(),
            "design_air_mass_flow_kg_per_s": kg_per_s(self.supply.plant.design[n]),
            "air_mass_flow_kg_per_s": kg_per_s(flow.air),
            "air_over_design": shares[n].get::<ratio>(),
            "outcome": Outcome::name(outcome),
            "water_flow_m3_per_s": m3_per_s(outcome.water_flow()),
            "interval": interval_json(self.intervals[n].as_ref()),
            "header_pressure_pa": flow.header_pressure.pascal(),
            "water_pressure_pa": flow.water_pressure.pascal(),
            "orifice_m": hole.map(|hole| hole.diameter.get::<meter>()),
            "drill": drill.map(|drill| drill.name.as_str()),
            "drill_m": drill.map(|drill| drill.diameter.get::<meter>()),
            "orifice_loss_pa": flow.orifice_loss.value,
            "line_loss_pa": flow.line_loss.value,
            "check_valve_loss_pa": flow.check_valve_loss.value,
            "injector_loss_pa": flow.injector_loss.value,
            "line_velocity_m_per_s": flow.velocity.get::<meter_per_second>(),
            "gas": self.gases.as_ref().and_then(|gases| gases.lifts[n].as_ref()).map(|gases| GasFacts::of(gases, solved.manifold.risers()[n].site(), 1)),
            "choked": flow.choked,
        })
    }

    fn operation_json(&self) -> Value {
        let (Some(operation), Some(blowers)) = (&self.solved.operation, &self.supply.plant.blowers)
        else {
            return Value::Null;
        };
        let bleed = self.solved.bleed;
        json!({
            "running": blowers.running,
            "standby": blowers.standby,
            "unbled_air_mass_flow_kg_per_s": kg_per_s(operation.unbled.split.air),
            "unbled_rise_pa": operation.unbled_rise.value,
            "unbled_water_flow_m3_per_s": m3_per_s(operation.unbled.water_flow()),
            "surplus_air_mass_flow_kg_per_s": operation.surplus.map(kg_per_s),
            "shortfall_air_mass_flow_kg_per_s": operation.shortfall.map(kg_per_s),
            "bleed_hole_m": bleed.map(|bleed| bleed.orifice.diameter.get::<meter>()),
            "speed_over_table": operation.speed.map(|speed| speed.get::<ratio>()),
            "wire_power_w": operation.wire_power.map(watt),
            "one_less": operation.one_less.as_ref().map(|left| json!({
                "air_mass_flow_kg_per_s": kg_per_s(left.split.air),
                "water_flow_m3_per_s": m3_per_s(left.water_flow()),
            })),
        })
    }

    fn shift_json(&self, shift: &Shift) -> Value {
        let branches = &self.solved.manifold.header().branches;
        let name = |n: usize| branches.get(n).map(|branch| branch.name.as_str());
        let (code, lift, rise) = match shift.change {
            Change::AllLevels(rise) => ("all_levels", None, Some(rise)),
            Change::Level { lift, rise } => ("level", Some(lift), Some(rise)),
            Change::ValvedOff { lift } => ("valved_off", Some(lift), None),
            Change::Fouled { lift } => ("fouled", Some(lift), None),
        };
        let before = &self.solved.running;
        let hit = shift.hardest_hit(before);
        json!({
            "change": code,
            "lift": lift.and_then(name),
            "level_rise_m": rise.map(|rise| rise.get::<meter>()),
            "hardest_hit_lift": hit.and_then(|(n, _)| name(n)),
            "hardest_hit_water_over_before": hit.map(|(_, share)| share.get::<ratio>()),
            "hardest_hit_air_over_before": hit.and_then(|(n, _)| shift.air_shares(before)[n]).map(|share| share.get::<ratio>()),
            "water_over_before": shift.water_share(before).map(|share| share.get::<ratio>()),
            "stopped": shift.stopped(before).into_iter().filter_map(name).collect::<Vec<_>>(),
            "would_not_restart": shift.held().into_iter().filter_map(name).collect::<Vec<_>>(),
            "no_answer": shift.running.as_ref().err().map(ToString::to_string),
        })
    }

    fn depths_json(&self, problem: Option<&Problem>) -> Value {
        let (Some(depths), Some(problem)) = (&self.depths, problem) else {
            return Value::Null;
        };
        let design = |one: &BestDepth| {
            let best = &one.best;
            json!({
                "pipe": one.pipe.name,
                "lifts": one.lifts,
                "submergence_m": best.submergence.get::<meter>(),
                "air_mass_flow_kg_per_s": best.point.air.kg_per_s() * f64::from(one.lifts),
                "pressure_rise_pa": best.rise.value,
                "adiabatic_power_w": best.adiabatic_power.value,
                "wire_power_w": best.wire_power.map(watt),
                "power_against_present": depths.against_present(one, problem.duty.water_flow),
                "limit": <&str>::from(one.limit),
                "curve": one.curve.iter().map(|point| json!({
                    "submergence_m": point.submergence.get::<meter>(),
                    "adiabatic_power_w": point.adiabatic_power.value,
                })).collect::<Vec<_>>(),
            })
        };
        json!({
            "designs": depths.best.iter().map(design).collect::<Vec<_>>(),
            "supply_loss_pa": depths.air_side.loss.value,
            "present_adiabatic_power_w": depths.present.adiabatic_power.value,
            "present_wire_power_w": depths.present.wire_power.map(watt),
            "present_water_flow_m3_per_s": m3_per_s(depths.present_water),
        })
    }

    fn energy_json(&self) -> Value {
        let Some(energy) = &self.solved.energy else {
            return Value::Null;
        };
        json!({
            "wire_power_w": energy.wire_power.value,
            "ideal_power_w": energy.ideal_power.value,
            "useful_power_w": energy.useful_power.value,
            "air_side_efficiency": energy.air_side_efficiency().get::<ratio>(),
            "efficiency": energy.efficiency().get::<ratio>(),
            "per_day_kwh": energy.per_day().get::<kilowatt_hour>(),
            "per_year_kwh": energy.per_year().get::<kilowatt_hour>(),
            "per_1000_m3_kwh": energy.per_1000_m3().map(|each| each.get::<kilowatt_hour>()),
            "yearly_cost": self.solved.yearly_cost,
            "currency": self.supply.tariff.as_ref().map(|tariff| tariff.currency.as_str()),
        })
    }
}

fn state_json(state: &AirState) -> Value {
    json!({
        "temperature_k": state.temperature.get::<kelvin>(),
        "pressure_pa": state.pressure.pascal(),
        "humidity": state.humidity.get::<ratio>(),
    })
}

fn kg_per_s(air: AirFlow) -> f64 {
    air.kg_per_s()
}

fn m3_per_s(flow: VolumeRate) -> f64 {
    flow.get::<cubic_meter_per_second>()
}

fn watt(power: Power) -> f64 {
    power.value
}
