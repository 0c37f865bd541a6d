//! Parts, cautions, assumptions, sources.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, given, html_table, signs};
use crate::answer::PartFacts;
use crate::report::kind::{Column, Kind};

const PARTS: [Column<PartFacts>; 3] = [
    Column::paged("part", Kind::Plain, |part, _| (&part.part).into()),
    Column::paged("amount", Kind::Count, |part, units| {
        match (part.count, part.length_m) {
            (Some(count), _) => count.into(),
            (None, length) => length.map(|length| units.say(Kind::Height, length)).into(),
        }
    }),
    Column::paged("place", Kind::Plain, |part, _| (&part.place).into()),
];

pub(super) fn parts(sheet: &DesignSheet) -> Section {
    let parts = sheet.answer.parts.said(sheet.units);
    Section {
        id: "parts",
        title: "Parts",
        body: html! {
            (html_table("What to buy", &PARTS, parts, sheet.units))
            p.remark { "Lengths are net: add for cutting. Mounts, cables, alarm and what stands below the air inlets are not in it." }
        },
        new_page: false,
    }
}

pub(super) fn cautions(sheet: &DesignSheet) -> Section {
    let body = html! {
        @if let Some(stop) = &sheet.answer.without_air {
            @let (much, density) = sheet.units.density(stop.density_kg_per_m3);
            p {
                strong { (format!("Loss of air: {:.0} min.", stop.minutes())) }
                (signs(&format!(
                    " {} {density} of animals that take {} mg/(kg h) bring the oxygen from {} to {} mg/L in that time, with no other source of it.",
                    given(much),
                    given(stop.oxygen_use_per_s * 1e6 * 3600.0),
                    given(1e3 * stop.oxygen_kg_per_m3),
                    given(1e3 * stop.oxygen_limit_kg_per_m3)
                )))
            }
        }
        ul.cautions {
            @for caution in sheet.all_cautions() { li { (signs(&caution.worded(sheet.units))) } }
        }
    };
    Section {
        id: "cautions",
        title: "Cautions",
        body,
        new_page: true,
    }
}

pub(super) fn assumptions(sheet: &DesignSheet) -> Option<Section> {
    let assumptions = sheet.answer.assumptions.said(sheet.units);
    (!assumptions.is_empty()).then(|| Section {
        id: "assumptions",
        title: "Assumptions",
        body: html! {
            ul { @for one in assumptions { li { (signs(&format!("{} = {}", one.key, one.value))) } } }
        },
        new_page: false,
    })
}

pub(super) fn sources(sheet: &DesignSheet) -> Section {
    Section {
        id: "sources",
        title: "Sources",
        body: html! {
            p.remark { "Read: in the source or an open transcription of it. From memory: to be checked against the source. Own: the project's own fit or combination." }
            ul.sources {
                @for source in &sheet.answer.sources {
                    li {
                        (source.text)
                        " " span.remark { "For: " (signs(source.used_for)) " (" (source.trust) ")." }
                    }
                }
            }
        },
        new_page: false,
    }
}
