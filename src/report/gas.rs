//! Gases of a lift's water as text.

use super::kind::Kind;
use super::number::{UnitSystem, short};
use crate::answer::{GIVEN, GasFacts, TransferFacts};
use crate::gas::SHALLOW_TOTAL_GAS_PRESSURE_LIMIT;
use crate::references::CCME_1999;
use crate::units::base;

/// What the bound holds for.
pub(super) const LEAVES: &str =
    " (the mean of foot and mouth, which water comes near pass after pass; it enters with no more)";

/// The gases in a line or two: what water leaves with, and its limit; where the level rises, with it at its highest.
pub(super) fn gas_line(gas: &GasFacts, rises: bool, units: UnitSystem) -> String {
    let per_cent = |share| units.say(Kind::Percent(1), share);
    let mg_per_l = |kg_per_m3: f64| short(1e3 * kg_per_m3);
    let limit = per_cent(gas.total_gas_pressure_limit);
    let mut text = match gas.total_gas_pressure_bound {
        Some(bound) => format!(
            "up to {} total gas pressure {}, limit {limit} ({})",
            per_cent(bound),
            if rises {
                "at high water"
            } else {
                "from this depth"
            },
            gas.limit_source
        ),
        None => format!(
            "no bound of total gas pressure is known below {} of water, limit {limit}",
            units.pick("100 m", "328 ft")
        ),
    };
    if let Some(found) = &gas.transfer {
        let (enters, leaves) = (&found.entering, &found.leaving);
        text += &format!(
            "; oxygen {} to {} mg/L, CO2 {} to {} mg/L, {} as it runs",
            mg_per_l(enters.oxygen_kg_per_m3),
            mg_per_l(leaves.oxygen_kg_per_m3),
            mg_per_l(enters.carbon_dioxide_kg_per_m3),
            mg_per_l(leaves.carbon_dioxide_kg_per_m3),
            per_cent(found.total_gas_pressure)
        );
    }
    text
}

/// The block on gases; `lifts` equal ones stand in the site.
pub(super) fn gas_text(gas: &GasFacts, lifts: u32, units: UnitSystem) -> String {
    let per_cent = |share| units.say(Kind::Percent(1), share);
    let given = gas.limit_source == GIVEN;
    let limit = format!(
        "limit {} ({})",
        per_cent(gas.total_gas_pressure_limit),
        gas.limit_source
    );
    let shallow = if given {
        String::new()
    } else {
        format!(
            "; {} is advised where water is shallower than {} ({}, from memory)",
            units.say(Kind::Percent(0), SHALLOW_TOTAL_GAS_PRESSURE_LIMIT.value),
            units.pick("1 m", "3.3 ft"),
            CCME_1999.key
        )
    };
    let mut text = match gas.total_gas_pressure_bound {
        Some(bound) => format!(
            "\nGases\n  from depth    water leaves with up to {} total gas pressure, {limit}{shallow}{LEAVES}\n",
            per_cent(bound)
        ),
        None => format!(
            "\nGases\n  from depth    no bound known below {} of water, {limit}{shallow}\n",
            units.pick("100 m", "328 ft")
        ),
    };
    let Some(found) = &gas.transfer else {
        text += "  transfer      not known without [gas] transfer_coefficient, from an aeration test of such a riser\n";
        return text;
    };
    let (enters, leaves) = (&found.entering, &found.leaving);
    let rows = [
        (
            "oxygen",
            [enters.oxygen_kg_per_m3, leaves.oxygen_kg_per_m3],
            found.oxygen_saturation_kg_per_m3,
            ("least", gas.limit_of_oxygen_kg_per_m3),
        ),
        (
            "CO2",
            [
                enters.carbon_dioxide_kg_per_m3,
                leaves.carbon_dioxide_kg_per_m3,
            ],
            found.carbon_dioxide_saturation_kg_per_m3,
            ("most", gas.limit_of_carbon_dioxide_kg_per_m3),
        ),
    ];
    for (name, [enters, leaves], full, (side, limit)) in rows {
        let mg_per_l = |kg_per_m3: f64| short(1e3 * kg_per_m3);
        let full = full.map_or_else(String::new, |full| {
            format!(" (saturation with air {})", mg_per_l(full))
        });
        let limit = limit.map_or_else(String::new, |limit| {
            format!(", {side} in the tanks {}", mg_per_l(limit))
        });
        text += &format!(
            "  {name:<14}{} to {} mg/L{full}{limit}\n",
            mg_per_l(enters),
            mg_per_l(leaves)
        );
    }
    if let Some(entering) = gas.total_gas_pressure_entering {
        text += &format!(
            "  enters with   {} total gas pressure\n",
            per_cent(entering)
        );
    }
    text += &format!(
        "  leaves with   {} total gas pressure\n",
        per_cent(found.total_gas_pressure)
    );
    text += &rates(found, lifts, units);
    text += &assumed_text(&gas.assumed_saturated, &gas.assumed_at_limits);
    text
}

/// What was taken for the water that enters: gases at saturation with air, and at the animals' limits.
pub(super) fn assumed_text(saturated: &[String], at_limits: &[String]) -> String {
    let (limits, air) = (at_limits.join(" and "), saturated.join(" and "));
    let words = match (limits.is_empty(), air.is_empty()) {
        (true, true) => return String::new(),
        (true, false) => format!("{air} at saturation with air"),
        (false, true) => format!("{limits} at the limits of [need]"),
        (false, false) => {
            format!("{limits} at the limits of [need], {air} at saturation with air")
        }
    };
    format!("  assumed       the water enters with {words}\n")
}

fn rates(found: &TransferFacts, lifts: u32, units: UnitSystem) -> String {
    let all = if lifts > 1 {
        let added = units.mass_flow(found.oxygen_added_total_kg_per_s);
        format!(", {added} by all lifts")
    } else {
        String::new()
    };
    let per_energy = found.oxygen_per_air_energy_kg_per_j.map_or_else(String::new, |e| {
        format!(
            "; {} of isothermal air power at the injection point, less for each kWh of electricity",
            units.mass_per_energy(base(e))
        )
    });
    format!(
        "  oxygen added  {} each{all}{per_energy}\n  CO2 removed   {} each; this air can take at most {} of what is in the water in one pass\n",
        units.mass_flow(found.oxygen_added_each_kg_per_s),
        units.mass_flow(found.carbon_dioxide_removed_each_kg_per_s),
        units.say(Kind::Percent(0), found.carbon_dioxide_removal_ceiling),
    )
}
