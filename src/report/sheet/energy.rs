//! What running takes, beside what it could take, and at which depth it takes least.

use maud::{Markup, html};

use super::DesignSheet;
use super::markup::{Section, beside, facts, figure, given};
use super::optimum::optimum;
use crate::chart::ChartError;
use crate::report::kind::Kind;

pub(super) fn section(sheet: &DesignSheet) -> Result<Option<Section>, ChartError> {
    let (title, body) = match (running(sheet), optimum(sheet)) {
        (None, None) => return Ok(None),
        (Some(running), None) => ("Energy and cost", running),
        (None, Some((table, chart))) => {
            ("Depth of least power", html! { (table) (figure(&chart)?) })
        }
        (Some(running), Some((table, chart))) => (
            "Energy, cost and depth",
            html! { (beside(&running, &chart)?) (table) },
        ),
    };
    Ok(Some(Section {
        id: "energy",
        title,
        body,
        folded: false,
    }))
}

fn running(sheet: &DesignSheet) -> Option<Markup> {
    let (energy, units) = (sheet.answer.energy.as_ref()?, sheet.units);
    let power = |watt| units.say(Kind::Power, watt);
    let joule = |joule| units.say(Kind::Energy, joule);
    let ideal = format!(
        "{} of the wire's: what line, orifices, blower and motor leave",
        units.say(Kind::Percent(0), energy.air_side_efficiency)
    );
    let useful = format!(
        "{} of the wire's: what lifting the water takes at 100 % efficiency",
        units.say(Kind::Percent(1), energy.efficiency)
    );
    let mut rows = vec![
        (
            "power at the wire",
            power(energy.wire_power_w),
            "without the margin on pressure",
        ),
        (
            "ideal power of the air",
            power(energy.ideal_power_w),
            ideal.as_str(),
        ),
        (
            "power of the lifted water",
            power(energy.useful_power_w),
            useful.as_str(),
        ),
        ("a day", joule(energy.daily_energy_j), ""),
        ("a year of 365 days", joule(energy.yearly_energy_j), ""),
    ];
    let for_water;
    if let Some((much, water)) = energy.for_water(units) {
        for_water = format!("{water} of water");
        rows.push((&for_water, joule(much), ""));
    }
    let at_price;
    if let (Some(cost), Some(price)) = (energy.cost_of_a_year(), energy.price_per_kwh) {
        let currency = energy.currency.as_deref().unwrap_or_default();
        at_price = format!("at {} {currency} a kilowatt-hour", given(price));
        rows.push(("cost of a year", cost, &at_price));
    }
    Some(facts("Running without pause", rows))
}
