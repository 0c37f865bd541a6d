//! Gases of the water: what the depth allows, what the lifts add.

use super::DesignSheet;
use super::markup::{Section, facts};
use crate::gas::Gas;
use crate::report::number::short;
use crate::units::{milligram_per_liter, percent, ratio};

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let gases = sheet.gases?;
    let deepest = gases.deepest()?;
    let bound = deepest.bound.map_or_else(
        || "not known".to_owned(),
        |bound| format!("up to {:.1} %", bound.get::<percent>()),
    );
    let limit = format!(
        "most of the water that leaves the deepest lift, if it enters with no more; limit {:.1} %; measure it before stocking",
        deepest.limit.get::<percent>()
    );
    let mut rows = vec![("total gas pressure", bound, limit)];
    match gases.oxygen_added {
        None => rows.push((
            "oxygen added",
            "not known".to_owned(),
            "without a transfer coefficient, from an aeration test of such a riser".to_owned(),
        )),
        Some(added) => {
            let used = sheet.need.map(|need| need.load(|load| load.oxygen));
            let used = used.filter(|used| used.value > 0.0);
            let share = used.map_or_else(String::new, |used| {
                let share = 100.0 * (added / used).get::<ratio>();
                format!("{share:.0} % of what the animals use; other aeration gives the rest")
            });
            rows.push(("oxygen added", sheet.units.mass_flow(added.value), share));
            if let Some(energy) = gases.oxygen_per_wire_energy {
                let energy = sheet.units.mass_per_energy(energy);
                rows.push(("for the electricity", energy, String::new()));
            }
            for (gas, name) in [
                (Gas::Oxygen, "oxygen, deepest lift"),
                (Gas::CarbonDioxide, "CO2, deepest lift"),
            ] {
                if let Some((known, found)) = &deepest.transfer {
                    let enters = known.inlet.of(gas).get::<milligram_per_liter>();
                    let leaves = found.outlet.of(gas).get::<milligram_per_liter>();
                    let change = format!("{} to {} mg/L", short(enters), short(leaves));
                    rows.push((name, change, "entering to leaving".to_owned()));
                }
            }
        }
    }
    let rows = rows
        .iter()
        .map(|(name, value, remark)| (*name, value.clone(), remark.as_str()))
        .collect();
    Some(Section {
        id: "gases",
        title: "Gases of the water",
        body: facts("One pass", rows),
        new_page: false,
    })
}
