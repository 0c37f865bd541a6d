//! From the animals to the power of the air, one link a line.

use serde_json::{Value, json};

use super::number::UnitSystem;
use crate::need::{Line, Load, RoomNeed};
use crate::sizing::{Design, Problem};
use crate::units::{
    MassRate, kilogram, kilogram_per_hour, liter_per_minute, meter, millimeter, pascal, watt,
};

/// What animals need, and the lifts that give it.
#[derive(Debug, Clone, Copy)]
pub struct Chain<'a> {
    /// What they need.
    pub need: &'a RoomNeed,
    /// The lifts.
    pub design: &'a Design,
    /// What the lifts were asked for.
    pub problem: &'a Problem,
}

impl Chain<'_> {
    /// As in `chain` of the JSON shape of a sizing.
    #[must_use]
    pub fn json(&self) -> Value {
        let kg_per_h =
            |part: fn(&Load) -> MassRate| self.need.load(part).get::<kilogram_per_hour>();
        let design = self.design;
        json!({
            "tanks": self.need.tanks.iter().map(|tank| tank.name.as_str()).collect::<Vec<_>>(),
            "biomass_kg": self.need.biomass().get::<kilogram>(),
            "feed_kg_per_h": kg_per_h(|load| load.feed),
            "oxygen_kg_per_h": kg_per_h(|load| load.oxygen),
            "tan_kg_per_h": kg_per_h(|load| load.tan),
            "carbon_dioxide_kg_per_h": kg_per_h(|load| load.carbon_dioxide),
            "need_l_per_min": self.need.flow().get::<liter_per_minute>(),
            "governing": self.need.governing().map(Line::name),
            "largest_day": self.need.peak().map(|day| day.date.to_string()),
            "duty_l_per_min": self.problem.duty.water_flow.get::<liter_per_minute>(),
            "lift_m": self.problem.duty.lift.get::<meter>(),
            "lifts": design.lifts,
            "pipe": design.pipe.name,
            "bore_mm": design.pipe.bore().get::<millimeter>(),
            "submergence_m": design.submergence.get::<meter>(),
            "water_flow_l_per_min_total": design.water_flow_total().get::<liter_per_minute>(),
            "air_flow_l_per_min_total": design.air_flow_total_at_20_c().get::<liter_per_minute>(),
            "injection_pressure_pa_gauge": design.injection_pressure().get::<pascal>(),
            "injection_power_w_total": design.injection_power_total().get::<watt>(),
        })
    }

    /// One link a line.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mass = |part: fn(&Load) -> MassRate| units.mass_a_day(self.need.load(part));
        let names: Vec<&str> = self.need.running_tanks().collect();
        let (design, duty) = (self.design, &self.problem.duty);
        let why = self
            .need
            .governing()
            .map_or_else(String::new, |line| format!(", {line} governs"));
        let when = self.need.peak().map_or_else(String::new, |day| {
            format!(" on {}, the largest day", day.date)
        });
        let each = design.point;
        format!(
            "Chain\n  animals       {} in {}: feed {}\n  they need     oxygen {}; they give TAN {}, carbon dioxide {}\n  flow          {} needed{when}{why}; {} asked\n  lift          {}\n  lifts         {} x {} at {}: {} each, {} in all\n  air           {} each, {} in all, at {} gauge\n  air power     {} in all, isothermal at the injection points\n\n",
            units.mass(self.need.biomass()),
            names.join(", "),
            mass(|load| load.feed),
            mass(|load| load.oxygen),
            mass(|load| load.tan),
            mass(|load| load.carbon_dioxide),
            units.water(self.need.flow()),
            units.water(duty.water_flow),
            units.height(duty.lift),
            design.lifts,
            design.pipe.name,
            units.height(design.submergence),
            units.water(each.water_flow),
            units.water(design.water_flow_total()),
            units.air(each.air.volume_rate_at_20_c()),
            units.air(design.air_flow_total_at_20_c()),
            units.pressure(design.injection_pressure().get::<pascal>()),
            units.power(design.injection_power_total().get::<watt>()),
        )
    }
}
