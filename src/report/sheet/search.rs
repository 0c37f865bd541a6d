//! The search behind the lifts, and the margins of its best design.

use maud::{Markup, html};

use super::DesignSheet;
use super::markup::{numbers, signs, table};
use crate::report::number::{place, short};
use crate::report::size::margin_words;
use crate::sizing::{Design, MarginCase};
use crate::units::{ratio, watt};

/// Designs that are shown.
const SHOWN: usize = 5;

/// The search behind the lifts, and the margins of its best design.
pub(super) fn search(sheet: &DesignSheet) -> Markup {
    let Some((problem, report)) = sheet.size else {
        return html! {};
    };
    let units = sheet.units;
    let row = |design: &Design| {
        vec![
            design.pipe.name.clone(),
            design.lifts.to_string(),
            place(design.submergence.value / units.height_unit().0),
            short(design.point.air.volume_rate_at_20_c().value / units.air_unit().0),
            short(design.point.water_flow.value / units.water_unit().0),
            short(design.injection_power_total().get::<watt>() / units.power_unit().0),
        ]
    };
    let heads = [
        "lifts".to_owned(),
        format!("submergence ({})", units.height_unit().1),
        format!("air each ({})", units.air_unit().1),
        format!("water each ({})", units.water_unit().1),
        format!("air power, all ({})", units.power_unit().1),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let heads = numbers("pipe", &heads);
    let best = report.sizing.best();
    let margins = report.margins.iter().filter_map(|margin| {
        let winner = best?;
        let flow = margin.outcome.water_flow();
        Some(vec![
            margin_words(margin.case).to_owned(),
            units.water(flow),
            crate::report::number::change((flow / winner.point.water_flow).get::<ratio>() - 1.0),
            match (margin.case, margin.air_needed) {
                (MarginCase::LessAir | MarginCase::MoreAir, _) => String::new(),
                (_, Some(air)) => units.air(air.volume_rate_at_20_c()),
                (_, None) => "out of reach".to_owned(),
            },
        ])
    });
    let caption = format!(
        "The search: {} candidates, {} meet the duty, best first by least {}",
        report.sizing.candidates,
        report.sizing.designs.len(),
        problem.objective.name().replace('_', " ")
    );
    html! {
        (table(&caption, &heads, report.sizing.designs.iter().take(SHOWN).map(row)))
        @if !report.margins.is_empty() {
            (table(
                "Margins of the best design, each lift alone at its design air",
                &numbers("change", &["water each", "against the design", "air that meets the duty"]),
                margins,
            ))
        }
        @if best.is_none() { p { (signs("No candidate meets the duty.")) } }
    }
}
