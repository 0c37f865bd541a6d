//! What running takes, beside what it could take.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, facts, given};
use crate::report::number::short;
use crate::units::{kilowatt_hour, percent, watt};

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let (solved, units) = (sheet.solved, sheet.units);
    let energy = solved.energy.as_ref()?;
    let kwh =
        |energy: crate::units::Energy| format!("{} kWh", short(energy.get::<kilowatt_hour>()));
    let ideal = format!(
        "{:.0} % of the wire's: what line, orifices, blower and motor leave",
        energy.air_side_efficiency().get::<percent>()
    );
    let useful = format!(
        "{:.1} % of the wire's: what lifting the water takes at 100 % efficiency",
        energy.efficiency().get::<percent>()
    );
    let (much, water) = units.much_water();
    let for_water = format!("{water} of water");
    let mut rows = vec![
        (
            "power at the wire",
            units.power(energy.wire_power.get::<watt>()),
            "without the margin on pressure",
        ),
        (
            "ideal power of the air",
            units.power(energy.ideal_power.get::<watt>()),
            ideal.as_str(),
        ),
        (
            "power of the lifted water",
            units.power(energy.useful_power.get::<watt>()),
            useful.as_str(),
        ),
        ("a day", kwh(energy.per_day()), ""),
        ("a year of 365 days", kwh(energy.per_year()), ""),
    ];
    if let Some(energy) = energy.per_1000_m3() {
        rows.push((&for_water, kwh(energy * much), ""));
    }
    let price;
    if let (Some(cost), Some(tariff)) = (solved.yearly_cost, &sheet.supply.tariff) {
        price = format!(
            "at {} {} a kilowatt-hour",
            given(tariff.price_per_kilowatt_hour),
            tariff.currency
        );
        rows.push((
            "cost of a year",
            format!("{cost:.0} {}", tariff.currency),
            &price,
        ));
    }
    Some(Section {
        id: "energy",
        title: "Energy and cost",
        body: html! { (facts("Running without pause", rows)) },
        new_page: false,
    })
}
