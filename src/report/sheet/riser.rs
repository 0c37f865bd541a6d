//! One lift of each kind: its curve, and how sure it is.

use maud::html;

use super::duty::kinds;
use super::markup::{Section, figure, signs};
use super::{DesignSheet, SheetError};
use crate::report::{CurveReport, UnitSystem};
use crate::spread::{SHARE, Spread, SpreadKind};
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
        let outcome = riser.operate(kind.air)?;
        let Some(point) = outcome.point() else {
            bodies.push(html! {
                h3 { "Kind " (kind.name) }
                p { "No water flows at its design air." }
            });
            continue;
        };
        let report = CurveReport::of(riser, POINTS, sheet.evidence)?;
        let mut curve = report.figure(riser, Some(point.water_flow), sheet.units)?;
        for note in &mut curve.notes {
            *note = signs(note);
        }
        curve.title = format!("Kind {}: {}", kind.name, curve.title);
        let chart = figure(&curve.chart())?;
        let spread = Spread::of(riser, kind.air, sheet.evidence)?;
        let air = sheet.units.air(kind.air.volume_rate_at_20_c());
        bodies.push(html! {
            h3 { "Kind " (kind.name) ": " (sheet.units.water(point.water_flow)) " at " (air) " of air" }
            p {
                (words(&spread, sheet.units))
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
            @if others > 0 { p { "Curves of " (others) " more kinds are not shown." } }
        },
        new_page: false,
    }))
}

/// How sure a flow is, in a sentence.
fn words(spread: &Spread, units: UnitSystem) -> String {
    let range = format!(
        "{} to {}",
        units.water(spread.low),
        units.water(spread.high)
    );
    match spread.kind {
        SpreadKind::PublishedResiduals { points } => format!(
            "Expect {range}: {:.0} % of {points} published points on like risers lie within.",
            100.0 * SHARE
        ),
        SpreadKind::Calibration { points } => format!(
            "Expect {range}: a 95 % interval for one measured flow, by a calibration on {points} points."
        ),
        SpreadKind::Scenario { variants } => format!(
            "Expect {range}, over {variants} variants of what the physics leaves open: neither a confidence interval nor a worst case. The riser is outside the published data, so test one on a bench."
        ),
    }
}
