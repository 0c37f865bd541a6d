//! The blower: what to ask a maker for, what the one at hand does, and both as a picture.

use maud::html;

use super::markup::{Section, facts, figure};
use super::{DesignSheet, SheetError};
use crate::chart::PressureFigure;
use crate::supply::Operation;
use crate::supply::blower::Machine;
use crate::units::{Pressure, VolumeRate, pascal, percent, ratio, watt};

pub(super) fn section(sheet: &DesignSheet) -> Result<Section, SheetError> {
    let mut picture = PressureFigure::of(&sheet.supply.plant, sheet.solved)?;
    picture.units = sheet.units;
    let body = html! {
        (asked(sheet))
        @if let Some(operation) = &sheet.solved.operation { (given(sheet, operation)) }
        (figure(&picture.chart())?)
    };
    Ok(Section {
        id: "blower",
        title: "Blower",
        body,
        new_page: false,
    })
}

fn asked(sheet: &DesignSheet) -> maud::Markup {
    let (duty, units) = (&sheet.solved.duty, sheet.units);
    let specification = &duty.specification;
    let flow = |flow: VolumeRate| units.blower_air(flow);
    let us_flow = flow(specification.us_standard_flow);
    let margin = format!(
        "the larger of both, and {:.0} %",
        sheet.supply.plant.rise_margin.get::<percent>()
    );
    let rise = |rise: Pressure| units.pressure(rise.get::<pascal>());
    let mut rows = vec![
        (
            "flow at the inlet",
            flow(specification.inlet_flow),
            "in the state of the air there",
        ),
        (
            "normal flow",
            flow(specification.normal_flow),
            units.pick(
                "DIN 1343: 0 degC, 101.325 kPa, dry",
                "DIN 1343: 32 degF, 14.696 psi, dry",
            ),
        ),
        (
            "ISO 1217 flow",
            flow(specification.iso_1217_flow),
            units.pick("20 degC, 100 kPa, dry", "68 degF, 14.504 psi, dry"),
        ),
        (
            "US standard flow",
            us_flow,
            "68 degF, 14.696 psia, 36 % humidity",
        ),
        ("pressure rise, running", rise(duty.running_rise), ""),
        (
            "pressure rise, start-up",
            rise(duty.startup_rise),
            "pushes the water out of the deepest line",
        ),
        (
            "pressure rise to ask for",
            rise(specification.pressure_rise),
            margin.as_str(),
        ),
        (
            "adiabatic power",
            units.power(specification.adiabatic_power.get::<watt>()),
            "of the air, without exchange of heat, at the rise to ask for",
        ),
    ];
    if let Some(power) = specification.shaft_power {
        rows.push(("power at the shaft", units.power(power.get::<watt>()), ""));
    }
    if let Some(power) = specification.wire_power {
        rows.push((
            "power at the wire",
            units.power(power.get::<watt>()),
            "at the rise to ask for",
        ));
    }
    rows.push((
        "air at the discharge",
        units.temperature(sheet.solved.outlet_temperature),
        if sheet.solved.outlet_is_least {
            "as it runs; no less than this, since the efficiency is not known"
        } else {
            "as it runs; at most"
        },
    ));
    rows.push((
        "air at the header",
        units.temperature(sheet.solved.arrival_temperature),
        match sheet.supply.plant.arrival {
            Some(_) => "as given",
            None => "taken for that at the discharge, since none is given",
        },
    ));
    facts("To ask of a blower", rows)
}

fn given(sheet: &DesignSheet, operation: &Operation) -> maud::Markup {
    let (solved, units) = (sheet.solved, sheet.units);
    let air = |flow: crate::AirFlow| units.air(flow.volume_rate_at_20_c());
    let mut rows = Vec::new();
    if let Some(blowers) = &sheet.supply.plant.blowers {
        rows.push((
            "blowers",
            format!(
                "{} running, {} standing by",
                blowers.running, blowers.standby
            ),
            match operation.curve.machine() {
                Machine::Dynamic => "dynamic machines",
                Machine::PositiveDisplacement => "displacement machines",
            },
        ));
    }
    rows.push((
        "without bleed",
        format!(
            "{} at {}",
            air(operation.unbled.split.air),
            units.pressure(operation.unbled_rise.get::<pascal>())
        ),
        "where their curve meets the system's",
    ));
    if let Some(surplus) = operation.surplus {
        rows.push((
            "surplus to bleed",
            air(surplus),
            "so that the lifts have their design air",
        ));
    }
    if let Some(bleed) = &solved.bleed {
        rows.push((
            "hole of the bleed",
            units.bore(bleed.orifice.diameter),
            "from the discharge to the open, sharp-edged; better a valve set by a gauge there",
        ));
    }
    if let Some(shortfall) = operation.shortfall {
        rows.push((
            "air that is missing",
            air(shortfall),
            "at the design's pressure",
        ));
    }
    if let Some(speed) = operation.speed {
        rows.push((
            "speed without bleed",
            format!("{:.0} %", speed.get::<percent>()),
            "of that of the table: a frequency drive saves what a bleed throws away",
        ));
    }
    if let Some(power) = operation.wire_power {
        rows.push((
            "power at the wire",
            units.power(power.get::<watt>()),
            "all running blowers",
        ));
    }
    if let Some(starts) = solved.starts {
        rows.push((
            "start",
            if starts {
                "every lift starts"
            } else {
                "not every lift starts"
            }
            .to_owned(),
            "against risers full of water",
        ));
    }
    if let Some(left) = &operation.one_less {
        let share = left.water_flow() / solved.running.water_flow();
        let share = share.get::<ratio>();
        let share = if share.is_finite() {
            format!(", {:.0} %", 100.0 * share)
        } else {
            String::new()
        };
        rows.push((
            "one blower less",
            format!("{} of water{share}", units.water(left.water_flow())),
            "with no standby, nothing bled",
        ));
    }
    facts("The blowers at hand", rows)
}
