//! Gases of the water of all lifts of a supply.

use super::super::gas::{LEAVES, assumed_text, gas_line};
use super::super::kind::Kind;
use super::super::number::{UnitSystem, short};
use crate::answer::{LiftFacts, RiserFacts, SupplyAnswer, SupplyGasFacts, TransferFacts};
use crate::units::base;

impl SupplyAnswer {
    /// The gases of the deepest lift's water in a line.
    pub(super) fn gas_line(&self, units: UnitSystem) -> String {
        let gas = self.gas.as_ref();
        gas.map_or_else(String::new, |gas| {
            let rises = self
                .kinds
                .iter()
                .any(|kind| kind.flow.level_rise_m > Some(0.0));
            format!("Gases   {}\n", gas_line(&gas.deepest, rises, units))
        })
    }
}

impl SupplyGasFacts {
    pub(super) fn text(&self, lifts: &[LiftFacts], units: UnitSystem) -> String {
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
            "\nGases\n  from depth    {bound}, limit {} ({}){LEAVES}\n",
            per_cent(deepest.total_gas_pressure_limit),
            deepest.limit_source
        );
        let (Some(added), Some(found)) = (self.oxygen_added_kg_per_s, &deepest.transfer) else {
            text += "  transfer      not known without [gas] transfer_coefficient, from an aeration test of such a riser\n";
            return text;
        };
        text += &leaving(lifts, units);
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
                "; {} of isothermal air power at the injection points, less for each kWh of electricity: the power at the wire is not known",
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

/// What leaves lifts of each riser, from the least to the most of them, in the order of the first of each.
fn leaving(lifts: &[LiftFacts], units: UnitSystem) -> String {
    let mut groups: Vec<(&RiserFacts, Vec<&TransferFacts>)> = Vec::new();
    for lift in lifts {
        let Some(found) = lift.gas.as_ref().and_then(|gas| gas.transfer.as_ref()) else {
            continue;
        };
        match groups.iter_mut().find(|(riser, _)| **riser == lift.riser) {
            Some((_, group)) => group.push(found),
            None => groups.push((&lift.riser, vec![found])),
        }
    }
    let mg_per_l = |kg_per_m3: f64| short(1e3 * kg_per_m3);
    let lines = groups.iter().map(|(riser, group)| {
        let span = |value: fn(&TransferFacts) -> f64, show: &dyn Fn(f64) -> String| {
            let values = || group.iter().map(|found| value(found));
            let low = show(values().fold(f64::INFINITY, f64::min));
            let high = show(values().fold(f64::NEG_INFINITY, f64::max));
            if low == high {
                low
            } else {
                format!("{low} to {high}")
            }
        };
        format!(
            "  {} x {} deep  leave with oxygen {} mg/L, CO2 {} mg/L, total gas pressure {} %\n",
            group.len(),
            units.say(Kind::Height, riser.submergence_m),
            span(|found| found.leaving.oxygen_kg_per_m3, &mg_per_l),
            span(|found| found.leaving.carbon_dioxide_kg_per_m3, &mg_per_l),
            span(|found| 100.0 * found.total_gas_pressure, &|p| format!(
                "{p:.1}"
            )),
        )
    });
    lines.collect()
}
