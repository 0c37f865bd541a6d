//! Gases of the water of all lifts of a supply.

use super::super::gas::{LEAVES, assumed_text};
use super::super::kind::Kind;
use super::super::number::{UnitSystem, short};
use crate::answer::{GasGroupFacts, SupplyGasFacts};
use crate::units::base;

impl SupplyGasFacts {
    pub(super) fn text(&self, units: UnitSystem) -> String {
        let deepest = &self.deepest;
        let per_cent = |share| units.say(Kind::Percent(1), share);
        let bound = deepest.total_gas_pressure_bound.map_or_else(
            || {
                format!(
                    "no bound known below {} of water",
                    units.pick("100 m", "328 ft")
                )
            },
            |bound| {
                format!(
                    "water leaves the deepest lift with up to {} total gas pressure",
                    per_cent(bound)
                )
            },
        );
        let mut text = format!(
            "\nGases\n  from depth    {bound}, limit {} ({})\n{LEAVES}",
            per_cent(deepest.total_gas_pressure_limit),
            deepest.limit_source
        );
        let (Some(added), Some(found)) = (self.oxygen_added_kg_per_s, &deepest.transfer) else {
            text += "  transfer      not known without [gas] transfer_coefficient, from an aeration test of such a riser\n";
            return text;
        };
        for group in &self.groups {
            text += &group.text(units);
        }
        let mg_per_l = |kg_per_m3: f64| short(1e3 * kg_per_m3);
        for (name, enters, side, limit) in [
            (
                "oxygen",
                found.entering.oxygen_kg_per_m3,
                "least",
                deepest.limit_of_oxygen_kg_per_m3,
            ),
            (
                "CO2",
                found.entering.carbon_dioxide_kg_per_m3,
                "most",
                deepest.limit_of_carbon_dioxide_kg_per_m3,
            ),
        ] {
            if let Some(limit) = limit {
                text += &format!(
                    "  {name:<14}{} mg/L enter, {side} in the tanks {}\n",
                    mg_per_l(enters),
                    mg_per_l(limit)
                );
            }
        }
        let per_energy = |e| units.mass_per_energy(base(e));
        let energy = match (
            self.oxygen_per_wire_energy_kg_per_j,
            self.oxygen_per_air_energy_kg_per_j,
        ) {
            (Some(wire), _) => format!("; {} of electricity", per_energy(wire)),
            (None, Some(air)) => format!(
                "; {} of isothermal air power at the injection points,\n                less for each kWh of electricity: the power at the wire is not known",
                per_energy(air)
            ),
            (None, None) => String::new(),
        };
        text += &format!(
            "  oxygen added  {} by all lifts{energy}\n",
            units.mass_flow(added)
        );
        text + &assumed_text(&deepest.assumed_saturated, &deepest.assumed_at_limits)
    }
}

impl GasGroupFacts {
    fn text(&self, units: UnitSystem) -> String {
        let span = |low: String, high: String| {
            if low == high {
                low
            } else {
                format!("{low} to {high}")
            }
        };
        let mg_per_l = |low: f64, high: f64| span(short(1e3 * low), short(1e3 * high));
        let percent = |share: f64| format!("{:.1}", 100.0 * share);
        format!(
            "  {} x {} deep  leave with oxygen {} mg/L, CO2 {} mg/L, total gas pressure {} %\n",
            self.lifts,
            units.say(Kind::Height, self.submergence_m),
            mg_per_l(self.oxygen_low_kg_per_m3, self.oxygen_high_kg_per_m3),
            mg_per_l(
                self.carbon_dioxide_low_kg_per_m3,
                self.carbon_dioxide_high_kg_per_m3
            ),
            span(
                percent(self.total_gas_pressure_low),
                percent(self.total_gas_pressure_high)
            ),
        )
    }
}
