//! Parts, cautions, assumptions, sources.

use maud::{Markup, html};

use super::DesignSheet;
use super::markup::{Section, given, signs};
use crate::answer::PartFacts;
use crate::caution::Caution;
use crate::references::Reference;
use crate::report::UnitSystem;
use crate::report::kind::Kind;

/// What to buy, by where it goes.
pub(super) fn parts_list(parts: &[PartFacts], units: UnitSystem) -> Markup {
    let mut places: Vec<(&str, Vec<&PartFacts>)> = Vec::new();
    for part in parts {
        match places.iter_mut().find(|(place, _)| *place == part.place) {
            Some((_, there)) => there.push(part),
            None => places.push((&part.place, vec![part])),
        }
    }
    let much = |part: &PartFacts| match (part.count, part.length_m) {
        (Some(count), _) => format!("{count} ×"),
        (None, Some(length)) => units.say(Kind::Height, length),
        (None, None) => String::new(),
    };
    html! {
        ul.places {
            @for (place, parts) in &places {
                li {
                    span.remark { (signs(place)) ": " }
                    @for (n, part) in parts.iter().enumerate() {
                        @if n > 0 { "; " }
                        b { (much(part)) } " " (signs(&part.part))
                    }
                }
            }
        }
    }
}

pub(super) fn parts(sheet: &DesignSheet) -> Section {
    let parts = sheet.answer.parts.said(sheet.units);
    Section {
        id: "parts",
        title: "Parts",
        body: html! {
            (parts_list(parts, sheet.units))
            p.remark { "Lengths are net: add for cutting. Mounts, cables, alarm and what stands below the air inlets are not in it." }
        },
        folded: false,
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
        (caution_list(sheet.all_cautions(), sheet.units))
    };
    Section {
        id: "cautions",
        title: "Cautions",
        body,
        folded: false,
    }
}

/// Cautions, each in full.
pub(super) fn caution_list<'a>(
    cautions: impl Iterator<Item = &'a Caution>,
    units: UnitSystem,
) -> Markup {
    html! {
        ul.cautions { @for caution in cautions { li { (signs(&caution.worded(units))) } } }
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
        folded: true,
    })
}

pub(super) fn sources<'a>(sources: impl IntoIterator<Item = &'a Reference>) -> Section {
    Section {
        id: "sources",
        title: "Sources",
        body: html! {
            p.remark { "Read: in the source or an open transcription of it. From memory: to be checked against the source. Own: the project's own fit or combination." }
            ul.sources {
                @for source in sources {
                    li {
                        (source.text)
                        " " span.remark { "For: " (signs(source.used_for)) " (" (source.trust) ")." }
                    }
                }
            }
        },
        folded: true,
    }
}
