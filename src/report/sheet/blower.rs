//! The blower: what to ask a maker for, what the one at hand does, and both as a picture.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, beside, facts};
use crate::answer::OperationFacts;
use crate::chart::ChartError;
use crate::report::kind::Kind;
use crate::report::supply::air;
use crate::supply::blower::Machine;
use crate::units::base;

pub(super) fn section(sheet: &DesignSheet) -> Result<Section, ChartError> {
    let mut picture = sheet.pressure.clone();
    picture.units = sheet.units;
    let (asked, chart) = (asked(sheet), picture.chart());
    let body = match &sheet.answer.operation {
        Some(operation) => html! {
            (asked)
            (beside(&given(sheet, operation), &chart)?)
        },
        None => beside(&asked, &chart)?,
    };
    Ok(Section {
        id: "blower",
        title: "Blower",
        body,
        folded: false,
    })
}

fn asked(sheet: &DesignSheet) -> maud::Markup {
    let (answer, units) = (sheet.answer, sheet.units);
    let (duty, asked) = (&answer.duty, &answer.specification);
    let flow = |flow| units.say(Kind::BlowerAir, flow);
    let rise = |rise| units.say(Kind::Pressure, rise);
    let power = |power| units.say(Kind::Power, power);
    let temperature = |kelvin| units.temperature(base(kelvin));
    let margin = format!(
        "the larger of both, and {}",
        units.say(Kind::Percent(0), asked.rise_margin)
    );
    let mut rows = vec![
        (
            "flow at the inlet",
            flow(asked.inlet_flow_m3_per_s),
            "in the state of the air there",
        ),
        (
            "normal flow",
            flow(asked.normal_flow_m3_per_s),
            units.pick(
                "DIN 1343: 0 degC, 101.325 kPa, dry",
                "DIN 1343: 32 degF, 14.696 psi, dry",
            ),
        ),
        (
            "ISO 1217 flow",
            flow(asked.iso_1217_flow_m3_per_s),
            units.pick("20 degC, 100 kPa, dry", "68 degF, 14.504 psi, dry"),
        ),
        (
            "US standard flow",
            flow(asked.us_standard_flow_m3_per_s),
            "68 degF, 14.696 psia, 36 % humidity",
        ),
        ("pressure rise, running", rise(duty.running_rise_pa), ""),
        (
            "pressure rise, start-up",
            rise(duty.startup_rise_pa),
            "pushes the water out of the deepest line",
        ),
        (
            "pressure rise to ask for",
            rise(asked.pressure_rise_pa),
            margin.as_str(),
        ),
        (
            "adiabatic power",
            power(asked.adiabatic_power_w),
            "of the air, without exchange of heat, at the rise to ask for",
        ),
    ];
    if let Some(shaft) = asked.shaft_power_w {
        rows.push(("power at the shaft", power(shaft), ""));
    }
    if let Some(wire) = asked.wire_power_w {
        rows.push(("power at the wire", power(wire), "at the rise to ask for"));
    }
    rows.push((
        "air at the discharge",
        temperature(answer.outlet_temperature_k),
        if answer.outlet_is_least {
            "as it runs; no less than this, since the efficiency is not known"
        } else {
            "as it runs; at most"
        },
    ));
    rows.push((
        "air at the header",
        temperature(answer.arrival_temperature_k),
        if answer.arrival_is_given {
            "as given"
        } else {
            "taken for that at the discharge, since none is given"
        },
    ));
    facts("To ask of a blower", rows)
}

fn given(sheet: &DesignSheet, operation: &OperationFacts) -> maud::Markup {
    let units = sheet.units;
    let water = |flow| units.say(Kind::Water, flow);
    let mut rows = vec![
        (
            "blowers",
            operation.counted(),
            match operation.machine {
                Machine::Dynamic => "dynamic machines",
                Machine::PositiveDisplacement => "displacement machines",
            },
        ),
        (
            "without bleed",
            format!(
                "{} at {}",
                air(operation.unbled_air_mass_flow_kg_per_s, units),
                units.say(Kind::Pressure, operation.unbled_rise_pa)
            ),
            "where their curve meets the system's",
        ),
    ];
    if let Some(surplus) = operation.surplus_air_mass_flow_kg_per_s {
        rows.push((
            "surplus to bleed",
            air(surplus, units),
            "so that the lifts have their design air",
        ));
    }
    if let Some(hole) = operation.bleed_hole_m {
        rows.push((
            "hole of the bleed",
            units.say(Kind::Bore, hole),
            "from the discharge to the open, sharp-edged; better a valve set by a gauge there",
        ));
    }
    if let Some(shortfall) = operation.shortfall_air_mass_flow_kg_per_s {
        rows.push((
            "air that is missing",
            air(shortfall, units),
            "at the design's pressure",
        ));
    }
    if let Some(speed) = operation.speed_over_table {
        rows.push((
            "speed without bleed",
            units.say(Kind::Percent(0), speed),
            "of that of the table: a frequency drive saves what a bleed throws away",
        ));
    }
    if let Some(power) = operation.wire_power_w {
        rows.push((
            "power at the wire",
            units.say(Kind::Power, power),
            "all running blowers",
        ));
    }
    let starts = if operation.starts {
        "every lift starts"
    } else {
        "not every lift starts"
    };
    rows.push(("start", starts.to_owned(), "against risers full of water"));
    if let Some(left) = &operation.one_less {
        let share = left.water_flow_m3_per_s / sheet.answer.water_flow_m3_per_s;
        let share = if share.is_finite() {
            format!(", {}", units.say(Kind::Percent(0), share))
        } else {
            String::new()
        };
        rows.push((
            "one blower less",
            format!("{} of water{share}", water(left.water_flow_m3_per_s)),
            "with no standby, nothing bled",
        ));
    }
    facts("The blowers at hand", rows)
}
