//! From the animals to the power at the wire, through a plant as it runs.

use super::super::kind::Kind;
use super::super::number::UnitSystem;
use super::air;
use crate::answer::{SupplyAnswer, SupplyChainFacts};
use crate::units::base;

/// One link: what it is, its value, a remark.
pub(in crate::report) type Link = (&'static str, String, String);

impl SupplyAnswer {
    /// What is missing to the need, in words; none when the water is enough.
    pub(in crate::report) fn shortfall_words(&self, units: UnitSystem) -> Option<String> {
        let short = self.chain.as_ref()?.shortfall_m3_per_s?;
        Some(format!(
            "The lifts give {} less than the animals need: bleed less air where there is a surplus, or more air or lifts, or fewer animals.",
            units.say(Kind::Water, short)
        ))
    }

    /// Link by link; none without a need.
    pub(in crate::report) fn links(&self, units: UnitSystem) -> Option<Vec<Link>> {
        let SupplyChainFacts { load, lifts, .. } = self.chain.as_ref()?;
        let mass = |kg_per_s: f64| units.mass_a_day(base(kg_per_s));
        let on = load.largest_day.as_ref();
        let then = on.map_or_else(String::new, |day| format!("; on {day}"));
        let when = on.map_or_else(String::new, |day| format!(", on {day}, the largest day"));
        let why = load.governing.map_or_else(
            || "no line asks for a flow".to_owned(),
            |line| format!("{line} governs"),
        );
        let none = String::new;
        let share = self.water_flow_m3_per_s / load.need_m3_per_s;
        let of_need = if share.is_finite() {
            format!("{:.1} % of what is needed", 100.0 * share)
        } else {
            none()
        };
        let rise = self.specification.pressure_rise_pa;
        let asked = "pressure rise to ask for".to_owned();
        let mut links = vec![
            (
                "animals",
                units.mass(base(load.biomass_kg)),
                format!("in {}{then}", load.running_tanks.join(", ")),
            ),
            ("feed", mass(load.feed_kg_per_s), none()),
            ("oxygen used", mass(load.oxygen_kg_per_s), none()),
            ("TAN given off", mass(load.tan_kg_per_s), none()),
            ("CO2 given off", mass(load.carbon_dioxide_kg_per_s), none()),
            (
                "water needed",
                units.say(Kind::Water, load.need_m3_per_s),
                format!("{why}{when}"),
            ),
            (
                "water given",
                units.say(Kind::Water, self.water_flow_m3_per_s),
                of_need,
            ),
            (
                "lifts",
                format!("{lifts} of {}", self.lifts.len()),
                "pump".to_owned(),
            ),
            (
                "air",
                air(self.air_mass_flow_kg_per_s, units),
                units
                    .pick(
                        "of all lifts, dry at 20 degC",
                        "of all lifts, dry at 68 degF",
                    )
                    .to_owned(),
            ),
            (
                "blower",
                units.say(Kind::Pressure, rise),
                match &self.operation {
                    Some(blowers) => format!("{asked}; {}", blowers.counted()),
                    None => asked,
                },
            ),
        ];
        match &self.energy {
            Some(energy) => links.extend([
                (
                    "electric power",
                    units.say(Kind::Power, energy.wire_power_w),
                    "at the wire".to_owned(),
                ),
                (
                    "a year",
                    units.say(Kind::Energy, energy.yearly_energy_j),
                    energy.cost_of_a_year().unwrap_or_default(),
                ),
            ]),
            None => links.push((
                "air power",
                units.say(Kind::Power, self.specification.isothermal_power_w),
                "isothermal, at the blower; the power at the wire is not known".to_owned(),
            )),
        }
        Some(links)
    }

    pub(super) fn chain_text(&self, units: UnitSystem) -> String {
        let Some(links) = self.links(units) else {
            return String::new();
        };
        let mut text = "From the animals to the power\n".to_owned();
        for (name, value, remark) in links {
            let gap = if remark.is_empty() { "" } else { ": " };
            text += &format!("  {name:<16}{value}{gap}{remark}\n");
        }
        if let Some(warning) = self.shortfall_words(units) {
            text += &format!("  {warning}\n");
        }
        text + "\n"
    }
}
