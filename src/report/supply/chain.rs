//! From the animals to the power at the wire, through a plant as it runs.

use serde_json::{Value, json};

use super::super::number::{UnitSystem, short};
use crate::need::{Line, Load, RoomNeed};
use crate::supply::{SolvedSupply, Supply};
use crate::units::{
    MassRate, VolumeRate, kilogram, kilogram_per_hour, kilowatt_hour, liter_per_minute,
};

/// What animals need, and the plant that runs for them.
#[derive(Debug, Clone, Copy)]
pub struct SupplyChain<'a> {
    /// What they need.
    pub need: &'a RoomNeed,
    /// The plant.
    pub supply: &'a Supply,
    /// As it runs.
    pub solved: &'a SolvedSupply,
}

/// One link: what it is, its value, a remark.
pub(in crate::report) type Link = (&'static str, String, String);

/// Share of the need whose lack is not told of: less than a stop-watch and a container tell, our own choice.
const NEGLIGIBLE: f64 = 1e-3;

impl SupplyChain<'_> {
    /// Water that the plant lifts.
    #[must_use]
    pub fn given(&self) -> VolumeRate {
        self.solved.running.water_flow()
    }

    /// How much less water the plant lifts than the animals need; none when it is enough, to a thousandth.
    #[must_use]
    pub fn shortfall(&self) -> Option<VolumeRate> {
        let (needed, given) = (self.need.flow(), self.given());
        (given < needed * (1.0 - NEGLIGIBLE)).then(|| needed - given)
    }

    /// The shortfall in words; none when the water is enough.
    pub(in crate::report) fn warning(&self, units: UnitSystem) -> Option<String> {
        let short = self.shortfall()?;
        Some(format!(
            "The lifts give {} less than the animals need: bleed less air where there is a surplus, or more air or lifts, or fewer animals.",
            units.water(short)
        ))
    }

    /// Link by link.
    pub(in crate::report) fn links(&self, units: UnitSystem) -> Vec<Link> {
        let (need, solved) = (self.need, self.solved);
        let mass = |part: fn(&Load) -> MassRate| units.mass_a_day(need.load(part));
        let names: Vec<&str> = need.running_tanks().collect();
        let then = need
            .peak()
            .map_or_else(String::new, |day| format!("; on {}", day.date));
        let why = need.governing().map_or_else(
            || "no line asks for a flow".to_owned(),
            |line| format!("{line} governs"),
        );
        let when = need.peak().map_or_else(String::new, |day| {
            format!(", on {}, the largest day", day.date)
        });
        let running = solved.running.lifts.iter();
        let running = running.filter(|lift| lift.point().is_some()).count();
        let share = self.given().value / need.flow().value;
        let of_need = if share.is_finite() {
            format!("{:.1} % of what is needed", 100.0 * share)
        } else {
            String::new()
        };
        let mut links = vec![
            (
                "animals",
                units.mass(need.biomass()),
                format!("in {}{then}", names.join(", ")),
            ),
            ("feed", mass(|load| load.feed), String::new()),
            ("oxygen used", mass(|load| load.oxygen), String::new()),
            ("TAN given off", mass(|load| load.tan), String::new()),
            (
                "CO2 given off",
                mass(|load| load.carbon_dioxide),
                String::new(),
            ),
            (
                "water needed",
                units.water(need.flow()),
                format!("{why}{when}"),
            ),
            ("water given", units.water(self.given()), of_need),
            (
                "lifts",
                format!("{running} of {}", solved.running.lifts.len()),
                "pump".to_owned(),
            ),
            (
                "air",
                units.air(solved.running.split.air.volume_rate_at_20_c()),
                units
                    .pick(
                        "of all lifts, dry at 20 degC",
                        "of all lifts, dry at 68 degF",
                    )
                    .to_owned(),
            ),
            (
                "blower",
                units.pressure(solved.duty.specification.pressure_rise.value),
                self.blowers(),
            ),
        ];
        match &solved.energy {
            Some(energy) => links.extend([
                (
                    "electric power",
                    units.power(energy.wire_power.value),
                    "at the wire".to_owned(),
                ),
                (
                    "a year",
                    format!("{} kWh", short(energy.per_year().get::<kilowatt_hour>())),
                    self.cost(),
                ),
            ]),
            None => links.push((
                "air power",
                units.power(solved.duty.specification.isothermal_power.value),
                "isothermal, at the blower; the power at the wire is not known".to_owned(),
            )),
        }
        links
    }

    fn blowers(&self) -> String {
        let asked = "pressure rise to ask for";
        match &self.supply.plant.blowers {
            Some(blowers) => format!(
                "{asked}; {} running, {} standing by",
                blowers.running, blowers.standby
            ),
            None => asked.to_owned(),
        }
    }

    fn cost(&self) -> String {
        match (self.solved.yearly_cost, &self.supply.tariff) {
            (Some(cost), Some(tariff)) => format!("{cost:.0} {}", tariff.currency),
            _ => String::new(),
        }
    }

    pub(super) fn text(&self, units: UnitSystem) -> String {
        let mut text = "From the animals to the power\n".to_owned();
        for (name, value, remark) in self.links(units) {
            let gap = if remark.is_empty() { "" } else { ": " };
            text += &format!("  {name:<16}{value}{gap}{remark}\n");
        }
        if let Some(warning) = self.warning(units) {
            text += &format!("  {warning}\n");
        }
        text + "\n"
    }

    pub(super) fn json(&self) -> Value {
        let need = self.need;
        let kg_per_h = |part: fn(&Load) -> MassRate| need.load(part).get::<kilogram_per_hour>();
        let l_per_min = |flow: VolumeRate| flow.get::<liter_per_minute>();
        let energy = self.solved.energy.as_ref();
        json!({
            "tanks": need.tanks.iter().map(|tank| tank.name.as_str()).collect::<Vec<_>>(),
            "biomass_kg": need.biomass().get::<kilogram>(),
            "feed_kg_per_h": kg_per_h(|load| load.feed),
            "oxygen_kg_per_h": kg_per_h(|load| load.oxygen),
            "tan_kg_per_h": kg_per_h(|load| load.tan),
            "carbon_dioxide_kg_per_h": kg_per_h(|load| load.carbon_dioxide),
            "need_l_per_min": l_per_min(need.flow()),
            "governing": need.governing().map(Line::name),
            "largest_day": need.peak().map(|day| day.date.to_string()),
            "lifts": self.solved.running.lifts.iter().filter(|lift| lift.point().is_some()).count(),
            "water_flow_l_per_min_total": l_per_min(self.given()),
            "shortfall_l_per_min": self.shortfall().map(l_per_min),
            "air_flow_l_per_min_total": l_per_min(self.solved.running.split.air.volume_rate_at_20_c()),
            "pressure_rise_pa": self.solved.duty.specification.pressure_rise.value,
            "wire_power_w": energy.map(|energy| energy.wire_power.value),
            "per_year_kwh": energy.map(|energy| energy.per_year().get::<kilowatt_hour>()),
            "yearly_cost": self.solved.yearly_cost,
        })
    }
}
