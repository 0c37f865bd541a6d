//! One lift of each kind: drawn to scale, its curve, and how sure it is.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, pair};
use crate::chart::ChartError;
use crate::report::interval::words;
use crate::report::kind::Kind;
use crate::report::supply::air;

pub(super) fn section(sheet: &DesignSheet) -> Result<Option<Section>, ChartError> {
    let (kinds, units) = (&sheet.answer.kinds, sheet.units);
    let mut bodies = Vec::new();
    for (kind, curve) in kinds.iter().zip(&sheet.curves) {
        let (Some(point), Some(curve)) = (&kind.point, curve) else {
            bodies.push(html! {
                h3 { "Kind " (kind.name) }
                p { "No water flows at its design air." }
            });
            continue;
        };
        let mut curve = curve.figure(units);
        // The duty has the site, the table of kinds the riser.
        curve.notes.clear();
        curve.title = format!("Kind {}", kind.name);
        let mut drawing = kind.flow.drawing(units);
        drawing.title = format!("Kind {}, heights to scale", kind.name);
        drawing.notes.clear();
        let pictures = pair(&drawing, &curve.chart())?;
        let sure = words(
            kind.interval,
            [kind.after_one_reading, kind.after_three_readings],
            units,
        );
        let sure = sure.split_whitespace().collect::<Vec<_>>().join(" ");
        let air = air(kind.design_air_mass_flow_kg_per_s, units);
        bodies.push(html! {
            h3 { "Kind " (kind.name) ": " (units.say(Kind::Water, point.water_flow_m3_per_s)) " at " (air) " of air" }
            p {
                "True flow: " (sure) "."
                (format!(
                    " Efficiency {} of the air's power at the injection point, {}.",
                    units.say(Kind::Percent(1), point.efficiency),
                    units.say(Kind::Power, point.injection_power_w)
                ))
            }
            (pictures)
        });
    }
    if bodies.is_empty() {
        return Ok(None);
    }
    let others = kinds.len() - bodies.len();
    Ok(Some(Section {
        id: "riser",
        title: "One lift of each kind",
        body: html! {
            @for body in bodies { div.block { (body) } }
            p.remark { "Computed by " (sheet.answer.model.worded(units)) "." }
            @if let Some(cost) = &sheet.answer.doubt_cost { p { (cost.words(units)) "." } }
            @if others > 0 { p { "Pictures of " (others) " more kinds are not shown." } }
        },
        folded: false,
    }))
}
