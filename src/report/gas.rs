//! Gases of a lift's water as JSON and as text.

use serde_json::{Value, json};

use super::number::{UnitSystem, short};
use crate::gas::{Conditions, Dissolved, Gas, SHALLOW_TOTAL_GAS_PRESSURE_LIMIT, saturation};
use crate::references::{CCME_1999, WAC_173_201A};
use crate::riser::Site;
use crate::transfer::{GasTerms, LiftGases, Transferred};
use crate::units::{
    MassConcentration, Ratio, hertz, kilogram_per_hour, kilogram_per_kilowatt_hour,
    milligram_per_liter, percent, ratio,
};

/// Gases of one lift; of `lifts` equal ones where it says all.
pub(super) fn gas_json(gases: &LiftGases, lifts: u32) -> Value {
    let per_cent = |share: Ratio| share.get::<percent>();
    let dissolved = |all: &Dissolved| {
        let mg_per_l = |gas| all.of(gas).get::<milligram_per_liter>();
        json!({
            "oxygen_mg_per_l": mg_per_l(Gas::Oxygen),
            "nitrogen_mg_per_l": mg_per_l(Gas::Nitrogen),
            "argon_mg_per_l": mg_per_l(Gas::Argon),
            "carbon_dioxide_mg_per_l": mg_per_l(Gas::CarbonDioxide),
        })
    };
    let tank = |gas: Gas| gases.terms.tank[gas as usize].map(|c| c.get::<milligram_per_liter>());
    let known = gases.transfer.as_ref().map(|(known, _)| known);
    let found = gases.transfer.as_ref().map(|(_, found)| found);
    let added = found.map(|f| f.oxygen_added.get::<kilogram_per_hour>());
    json!({
        "total_gas_pressure_bound_percent": gases.bound.map(per_cent),
        "total_gas_pressure_limit_percent": per_cent(gases.limit),
        "total_gas_pressure_entering_percent": gases.entering.map(per_cent),
        "limit_source": source(gases),
        "transfer_coefficient_per_s": known.map(|k| k.coefficient.get::<hertz>()),
        "entering": known.map(|k| dissolved(&k.inlet)),
        "assumed_saturated": known.map(|_| gases.terms.assumed().iter().map(ToString::to_string).collect::<Vec<_>>()),
        "assumed_at_limits": known.map(|_| gases.terms.at_limits().iter().map(ToString::to_string).collect::<Vec<_>>()),
        "limit_of_oxygen_mg_per_l": tank(Gas::Oxygen),
        "limit_of_carbon_dioxide_mg_per_l": tank(Gas::CarbonDioxide),
        "leaving": found.map(|f| dissolved(&f.outlet)),
        "total_gas_pressure_percent": found.map(|f| per_cent(f.total_pressure.share())),
        "oxygen_added_kg_per_h_each": added,
        "oxygen_added_kg_per_h_total": added.map(|each| each * f64::from(lifts)),
        "carbon_dioxide_removed_kg_per_h_each": found.map(|f| f.carbon_dioxide_removed.get::<kilogram_per_hour>()),
        "carbon_dioxide_removal_ceiling": found.map(|f| f.removal_ceiling.get::<ratio>()),
        "oxygen_kg_per_kwh_of_air_power": gases.oxygen_per_air_energy.map(|e| e.get::<kilogram_per_kilowatt_hour>()),
    })
}

/// What the bound holds for.
pub(super) const LEAVES: &str = "                (the mean of foot and mouth, which water comes near pass after pass; it enters with no more)\n";

/// Where the limit of total gas pressure comes from.
pub(super) fn source(gases: &LiftGases) -> &'static str {
    if gases.terms.limit.is_some() {
        "given"
    } else {
        WAC_173_201A.key
    }
}

/// The block on gases; `lifts` equal ones stand in the site.
pub(super) fn gas_text(gases: &LiftGases, site: &Site, lifts: u32, units: UnitSystem) -> String {
    let limit = format!(
        "limit {:.1} % ({})",
        gases.limit.get::<percent>(),
        source(gases)
    );
    let shallow = if gases.terms.limit.is_some() {
        String::new()
    } else {
        format!(
            "; {:.0} % is advised where water\n                is shallower than {} ({}, from memory)",
            SHALLOW_TOTAL_GAS_PRESSURE_LIMIT.get::<percent>(),
            units.pick("1 m", "3.3 ft"),
            CCME_1999.key
        )
    };
    let mut text = match gases.bound {
        Some(bound) => format!(
            "\nGases\n  from depth    water leaves with up to {:.1} % total gas pressure, {limit}{shallow}\n{LEAVES}",
            bound.get::<percent>()
        ),
        None => {
            format!(
                "\nGases\n  from depth    no bound known below {} of water, {limit}{shallow}\n",
                units.pick("100 m", "328 ft")
            )
        }
    };
    let Some((known, found)) = &gases.transfer else {
        text += "  transfer      not known without [gas] transfer_coefficient, from an aeration test of such a riser\n";
        return text;
    };
    let air = Conditions::of(&site.water, site.atmosphere)
        .with_carbon_dioxide(known.carbon_dioxide_of_air);
    for (gas, name) in [(Gas::Oxygen, "oxygen"), (Gas::CarbonDioxide, "CO2")] {
        let full = saturation(gas, &air).map_or_else(
            |_| String::new(),
            |c| {
                format!(
                    " (saturation with air {})",
                    short(c.get::<milligram_per_liter>())
                )
            },
        );
        let limit =
            gases.terms.tank[gas as usize].map_or_else(String::new, |c| animals_limit(gas, c));
        text += &format!(
            "  {:<14}{} to {} mg/L{full}{limit}\n",
            name,
            short(known.inlet.of(gas).get::<milligram_per_liter>()),
            short(found.outlet.of(gas).get::<milligram_per_liter>()),
        );
    }
    if let Some(entering) = gases.entering {
        text += &format!(
            "  enters with   {:.1} % total gas pressure\n",
            entering.get::<percent>()
        );
    }
    text += &format!(
        "  leaves with   {:.1} % total gas pressure\n",
        found.total_pressure.share().get::<percent>()
    );
    text += &rates(gases, found, lifts, units);
    text += &assumed_text(&gases.terms);
    text
}

/// The need's own limit of a gas in the tanks.
pub(super) fn animals_limit(gas: Gas, limit: MassConcentration) -> String {
    let side = if gas == Gas::Oxygen { "least" } else { "most" };
    format!(
        ", {side} in the tanks {}",
        short(limit.get::<milligram_per_liter>())
    )
}

/// What was taken for the water that enters.
pub(super) fn assumed_text(terms: &GasTerms) -> String {
    let names = |gases: Vec<Gas>| {
        let names: Vec<String> = gases.iter().map(ToString::to_string).collect();
        names.join(" and ")
    };
    let (limits, air) = (names(terms.at_limits()), names(terms.assumed()));
    let words = match (limits.is_empty(), air.is_empty()) {
        (true, true) => return String::new(),
        (true, false) => format!("{air} at saturation with air"),
        (false, true) => format!("{limits} at the limits of [need]"),
        (false, false) => {
            format!(
                "{limits} at the limits of [need],\n                {air} at saturation with air"
            )
        }
    };
    format!("  assumed       the water enters with {words}\n")
}

fn rates(gases: &LiftGases, found: &Transferred, lifts: u32, units: UnitSystem) -> String {
    let added = found.oxygen_added.value;
    let all = if lifts > 1 {
        format!(
            ", {} by all lifts",
            units.mass_flow(added * f64::from(lifts))
        )
    } else {
        String::new()
    };
    let per_energy = gases.oxygen_per_air_energy.map_or_else(String::new, |e| {
        format!(
            "; {} of isothermal air power at the injection point,\n                less for each kWh of electricity",
            units.mass_per_energy(e)
        )
    });
    format!(
        "  oxygen added  {} each{all}{per_energy}\n  CO2 removed   {} each; this air can take at most {:.0} % of what is in the water in one pass\n",
        units.mass_flow(added),
        units.mass_flow(found.carbon_dioxide_removed.value),
        found.removal_ceiling.get::<percent>(),
    )
}
