//! One lift of each kind: its curve, and how sure it is.

use maud::html;

use super::duty::kinds;
use super::markup::{Section, figure, signs};
use super::{DesignSheet, SheetError};
use crate::answer::{CurveAnswer, Terms};
use crate::report::interval::words;
use crate::riser::Outcome;
use crate::units::{percent, watt};

/// Kinds whose curve is shown.
const SHOWN: usize = 4;
/// Points of a curve.
const POINTS: usize = 40;

pub(super) fn section(sheet: &DesignSheet) -> Result<Option<Section>, SheetError> {
    let kinds = kinds(sheet);
    let mut bodies = Vec::new();
    for kind in kinds.iter().take(SHOWN) {
        let riser = &kind.riser;
        let law = sheet.solved.manifold.law();
        let predictor = law.on(riser)?;
        let found = predictor.predict(kind.air)?;
        let Some(point) = Outcome::point(&found.outcome) else {
            bodies.push(html! {
                h3 { "Kind " (kind.name) }
                p { "No water flows at its design air." }
            });
            continue;
        };
        let terms = Terms {
            law: law.clone(),
            ..Terms::default()
        };
        let report = CurveAnswer::of(riser, POINTS, Some(point.water_flow), &terms)?;
        let mut curve = report.figure(sheet.units);
        for note in &mut curve.notes {
            *note = signs(note);
        }
        curve.title = format!("Kind {}: {}", kind.name, curve.title);
        let chart = figure(&curve.chart())?;
        let after = predictor.after_three_readings(kind.air)?;
        let sure = words(
            found.interval.map(Into::into),
            after.map(|half| half.value),
            sheet.units,
        );
        let sure = sure.split_whitespace().collect::<Vec<_>>().join(" ");
        let air = sheet.units.air(kind.air.volume_rate_at_20_c());
        bodies.push(html! {
            h3 { "Kind " (kind.name) ": " (sheet.units.water(point.water_flow)) " at " (air) " of air" }
            p {
                "True flow: " (sure) "."
                (format!(
                    " Efficiency {:.1} % of the air's power at the injection point, {}.",
                    point.efficiency.get::<percent>(),
                    sheet.units.power(point.injection_power.get::<watt>())
                ))
            }
            (chart)
        });
    }
    if bodies.is_empty() {
        return Ok(None);
    }
    let others = kinds.len().saturating_sub(SHOWN);
    Ok(Some(Section {
        id: "riser",
        title: "One lift of each kind",
        body: html! {
            @for body in bodies { div.block { (body) } }
            @if let Some(cost) = &sheet.doubt_cost { p { "The doubt " (cost.words(sheet.units)) "." } }
            @if others > 0 { p { "Curves of " (others) " more kinds are not shown." } }
        },
        new_page: false,
    }))
}
