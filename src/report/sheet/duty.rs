//! What the lifts do together, and of what kinds they are.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, facts, html_table};
use super::search::search;
use crate::air::at_20_c;
use crate::answer::KindFacts;
use crate::report::kind::{Column, Kind};
use crate::report::number::place;
use crate::report::supply::air;
use crate::units::base;

pub(super) fn section(sheet: &DesignSheet) -> Section {
    let (answer, units) = (sheet.answer, sheet.units);
    let temperature = |kelvin| units.temperature(base(kelvin));
    let state = format!("dry, at {}, as everywhere on this sheet", units.air_state());
    let mut rows = Vec::new();
    if let Some(size) = sheet.size {
        rows.push((
            "water wanted",
            format!(
                "{} over a lift of {}",
                units.say(Kind::Water, size.duty.water_flow_m3_per_s),
                units.say(Kind::Height, size.duty.lift_m)
            ),
            if size.duty.at_low_water {
                "at low water too: the air is what that takes, all else holds at the normal level"
            } else {
                ""
            },
        ));
    }
    let outside = &answer.outside;
    rows.extend([
        (
            "water given",
            units.say(Kind::Water, answer.water_flow_m3_per_s),
            match &answer.operation {
                Some(blowers) if blowers.surplus_air_mass_flow_kg_per_s.is_some() => {
                    "on the blowers, their surplus bled"
                }
                Some(_) => "on the blowers",
                None => "at the header pressure of the design",
            },
        ),
        (
            "air of the design",
            format!(
                "{}, {}",
                air(answer.duty.air_mass_flow_kg_per_s, units),
                units.mass_flow(answer.duty.air_mass_flow_kg_per_s)
            ),
            state.as_str(),
        ),
        (
            "water",
            format!(
                "{}, salinity {:.1} g/kg",
                temperature(answer.site.water_temperature_k),
                1e3 * answer.site.salinity
            ),
            "",
        ),
        (
            "air outside",
            format!(
                "{}, {} humidity, {} absolute",
                temperature(outside.temperature_k),
                units.say(Kind::Percent(0), outside.humidity),
                units.say(Kind::Pressure, outside.pressure_pa)
            ),
            "",
        ),
    ]);
    let body = html! {
        (facts("Duty and site", rows))
        (kinds_table(sheet))
        (search(sheet))
    };
    Section {
        id: "duty",
        title: "Duty and lifts",
        body,
        folded: false,
    }
}

/// A kind, the size of the unit of lifts, and the pressure of the air at the site.
type Row<'a> = (&'a KindFacts, f64, f64);

/// Lifts below a foot are in inches.
fn columns<'a>(lift: Kind) -> [Column<Row<'a>>; 9] {
    [
        Column::paged("kind", Kind::Plain, |(one, ..), _| (&one.name).into()),
        Column::paged("lifts", Kind::Count, |(one, ..), _| one.lifts.into()),
        Column::paged("bore", Kind::Bore, |(one, ..), _| one.riser.bore_m.into()),
        Column::paged("submergence", Kind::Height, |(one, ..), _| {
            one.riser.submergence_m.into()
        }),
        Column::paged("lift", lift, |(one, unit, _), _| {
            place(one.riser.lift_m / unit).into()
        }),
        Column::paged("outlet", Kind::Plain, |(one, ..), _| {
            (&one.riser.outlet).into()
        }),
        Column::paged("air each", Kind::Air, |(one, ..), _| {
            at_20_c(one.design_air_mass_flow_kg_per_s).into()
        }),
        Column::paged("water each", Kind::Water, |(one, ..), _| {
            let point = one.point.as_ref();
            point.map_or(0.0, |point| point.water_flow_m3_per_s).into()
        }),
        Column::paged("at the injector", Kind::Pressure, |(one, _, outside), _| {
            let point = one.point.as_ref();
            point
                .map(|point| point.injection_pressure_pa - outside)
                .into()
        }),
    ]
}

fn kinds_table(sheet: &DesignSheet) -> maud::Markup {
    let (answer, units) = (sheet.answer, sheet.units);
    let lifts = answer.kinds.iter().map(|kind| kind.riser.lift_m);
    let unit = units.small_height_unit(base(lifts.fold(0.0, f64::max)));
    let lift = if unit == units.height_unit() {
        Kind::Height
    } else {
        Kind::Bore
    };
    let outside = answer.site.atmospheric_pressure_pa;
    let kinds = answer.kinds.iter();
    let rows: Vec<Row> = kinds.map(|kind| (kind, unit.0, outside)).collect();
    html! {
        (html_table("The lifts, at their design air", &columns(lift), &rows, units))
        p.remark { "Submergence: depth of the air inlet below the running water level. Lift: from that level to the outlet. Pressures are over that of the air outside." }
    }
}
