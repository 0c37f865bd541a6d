//! Gases of the water: what the depth allows, what the lifts add.

use super::DesignSheet;
use super::markup::{Section, facts};
use crate::report::kind::Kind;
use crate::report::number::short;
use crate::units::base;

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let (gas, units) = (sheet.answer.gas.as_ref()?, sheet.units);
    let per_cent = |share| units.say(Kind::Percent(1), share);
    let deepest = &gas.deepest;
    let bound = deepest.total_gas_pressure_bound.map_or_else(
        || "not known".to_owned(),
        |bound| format!("up to {}", per_cent(bound)),
    );
    let limit = format!(
        "most of the water that leaves the deepest lift, if it enters with no more; limit {}; measure it before stocking",
        per_cent(deepest.total_gas_pressure_limit)
    );
    let mut rows = vec![("total gas pressure", bound, limit.as_str())];
    let share;
    match gas.oxygen_added_kg_per_s {
        None => rows.push((
            "oxygen added",
            "not known".to_owned(),
            "without a transfer coefficient, from an aeration test of such a riser",
        )),
        Some(added) => {
            let chain = sheet.answer.chain.as_ref();
            let used = chain.map(|chain| chain.load.oxygen_kg_per_s);
            share = used.filter(|used| *used > 0.0).map(|used| {
                format!(
                    "{} of what the animals use; other aeration gives the rest",
                    units.say(Kind::Percent(0), added / used)
                )
            });
            let remark = share.as_deref().unwrap_or_default();
            rows.push(("oxygen added", units.mass_flow(added), remark));
            if let Some(energy) = gas.oxygen_per_wire_energy_kg_per_j {
                let energy = units.mass_per_energy(base(energy));
                rows.push(("for the electricity", energy, ""));
            }
            if let Some(found) = &deepest.transfer {
                let (enters, leaves) = (&found.entering, &found.leaving);
                for (name, enters, leaves) in [
                    (
                        "oxygen, deepest lift",
                        enters.oxygen_kg_per_m3,
                        leaves.oxygen_kg_per_m3,
                    ),
                    (
                        "CO2, deepest lift",
                        enters.carbon_dioxide_kg_per_m3,
                        leaves.carbon_dioxide_kg_per_m3,
                    ),
                ] {
                    let change = format!("{} to {} mg/L", short(1e3 * enters), short(1e3 * leaves));
                    rows.push((name, change, "entering to leaving"));
                }
            }
        }
    }
    Some(Section {
        id: "gases",
        title: "Gases of the water",
        body: facts("One pass", rows),
        folded: false,
    })
}
