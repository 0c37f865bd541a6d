//! Parts, cautions, assumptions, sources.

use maud::html;

use super::DesignSheet;
use super::markup::{Column, Section, given, signs, table};
use crate::report::supply_sources;
use crate::units::{milligram_per_kilogram_hour, milligram_per_liter, minute};

pub(super) fn parts(sheet: &DesignSheet) -> Section {
    let units = sheet.units;
    let parts = sheet.supply.parts(sheet.solved, units);
    let rows = parts.iter().map(|part| {
        let amount = match (part.count, part.length) {
            (Some(count), _) => count.to_string(),
            (None, Some(length)) => units.height(length),
            (None, None) => String::new(),
        };
        vec![part.what.clone(), amount, part.place.clone()]
    });
    let heads = [
        ("part", Column::Words),
        ("amount", Column::Numbers),
        ("place", Column::Words),
    ];
    Section {
        id: "parts",
        title: "Parts",
        body: html! {
            (table("What to buy", &heads, rows))
            p.remark { "Lengths are net: add for cutting. Mounts, cables, alarm and what stands below the air inlets are not in it." }
        },
        new_page: false,
    }
}

pub(super) fn cautions(sheet: &DesignSheet) -> Section {
    let stock = sheet.supply.stock.zip(sheet.solved.time_to_limit);
    let body = html! {
        @if let Some((stock, time)) = stock {
            @let (much, density) = sheet.units.density(stock.density);
            p {
                strong { (format!("Loss of air: {:.0} min.", time.get::<minute>().floor())) }
                (signs(&format!(
                    " {} {density} of animals that take {} mg/(kg h) bring the oxygen from {} to {} mg/L in that time, with no other source of it.",
                    given(much),
                    given(stock.oxygen_use.get::<milligram_per_kilogram_hour>()),
                    given(stock.oxygen.get::<milligram_per_liter>()),
                    given(stock.limit.get::<milligram_per_liter>())
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
    (!sheet.assumptions.is_empty()).then(|| Section {
        id: "assumptions",
        title: "Assumptions",
        body: html! {
            ul { @for assumption in sheet.assumptions { li { (signs(assumption)) } } }
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
                @for source in supply_sources(sheet.supply) {
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
