//! The search behind the lifts, and the margins of its best design.

use maud::{Markup, html};

use super::DesignSheet;
use super::markup::html_table;
use crate::air::at_20_c;
use crate::answer::{DesignFacts, MarginFacts, SizeAnswer, SupplyAnswer};
use crate::report::kind::{Cell, Column, Kind};
use crate::report::number::change;
use crate::report::size::margin_words;
use crate::sizing::MarginCase;

/// Designs that are shown.
const SHOWN: usize = 5;

const DESIGNS: [Column<DesignFacts>; 6] = [
    Column::paged("pipe", Kind::Plain, |one, _| (&one.pipe).into()),
    Column::paged("lifts", Kind::Count, |one, _| one.lifts.into()),
    Column::paged("submergence", Kind::Height, |one, _| {
        one.submergence_m.into()
    }),
    Column::paged("air each", Kind::Air, |one, _| {
        at_20_c(one.each.air_mass_flow_kg_per_s).into()
    }),
    Column::paged("water each", Kind::Water, |one, _| {
        one.each.water_flow_m3_per_s.into()
    }),
    Column::paged("air power, all", Kind::Power, |one, _| {
        one.injection_power_total_w.into()
    }),
];

/// A margin, and the water of each lift by design.
fn margins<'a>() -> [Column<(&'a MarginFacts, f64)>; 4] {
    [
        Column::paged("change", Kind::Plain, |(one, _), _| {
            margin_words(one.case).into()
        }),
        Column::paged("water each", Kind::Count, |(one, _), units| {
            units.say(Kind::Water, one.water_flow_each_m3_per_s).into()
        }),
        Column::paged("against the design", Kind::Count, |(one, design), _| {
            change(one.water_flow_each_m3_per_s / design - 1.0).into()
        }),
        Column::paged(
            "air that meets the duty",
            Kind::Count,
            |(one, _), units| match (one.case, one.air_needed_each_kg_per_s) {
                (MarginCase::LessAir | MarginCase::MoreAir, _) => Cell::Empty,
                (_, Some(air)) => units.say(Kind::Air, at_20_c(air)).into(),
                (_, None) => "out of reach".into(),
            },
        ),
    ]
}

/// Whether the lifts are those of the search's best design; the search for others is told by the depth of least power.
fn chose(size: &SizeAnswer, answer: &SupplyAnswer) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let all = |best: &DesignFacts| {
        let mut lifts = answer.lifts.iter();
        u32::try_from(lifts.len()).is_ok_and(|lifts| lifts == best.lifts)
            && lifts.all(|lift| {
                lift.pipe.as_ref() == Some(&best.pipe)
                    && near(lift.riser.submergence_m, best.submergence_m)
            })
    };
    size.best().is_some_and(all)
}

pub(super) fn search(sheet: &DesignSheet) -> Markup {
    let Some(size) = sheet.size.filter(|size| chose(size, sheet.answer)) else {
        return html! {};
    };
    let caption = format!(
        "The search: {} candidates, {} meet the duty, best first by least {}",
        size.candidates,
        size.designs.len(),
        size.duty.objective.replace('_', " ")
    );
    let best = size.best();
    let each = best.map_or(f64::NAN, |best| best.each.water_flow_m3_per_s);
    let rows: Vec<_> = size.margins.iter().map(|margin| (margin, each)).collect();
    html! {
        (html_table(&caption, &DESIGNS, size.designs.iter().take(SHOWN), sheet.units))
        @if !rows.is_empty() {
            (html_table("Margins of the best design, each lift alone at its design air", &margins(), &rows, sheet.units))
        }
    }
}
