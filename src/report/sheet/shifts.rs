//! What shifts when something changes.

use maud::html;

use super::super::supply::shift_notes;
use super::DesignSheet;
use super::markup::{Section, numbers, table};
use crate::supply::{Branch, Change};
use crate::units::percent;

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let solved = sheet.solved;
    if solved.shifts.is_empty() {
        return None;
    }
    let branches = &solved.manifold.header().branches;
    let rows = solved.shifts.iter().map(|shift| {
        let what = shift.change.words(branches, sheet.units);
        if let Err(error) = &shift.running {
            return vec![
                what,
                "no answer".to_owned(),
                error.to_string(),
                String::new(),
            ];
        }
        let water = shift.water_share(&solved.running);
        let own = match shift.change {
            Change::Level { lift, .. } | Change::Fouled { lift } => shift
                .air_shares(&solved.running)
                .get(lift)
                .copied()
                .flatten(),
            _ => None,
        };
        let percents = |share: f64| format!("{share:.1} %");
        vec![
            what,
            water.map_or_else(
                || "none".to_owned(),
                |share| percents(share.get::<percent>()),
            ),
            own.map_or_else(String::new, |share| percents(share.get::<percent>())),
            shift
                .hardest_hit(&solved.running)
                .map_or_else(String::new, |(lift, share)| {
                    format!(
                        "{}: {}",
                        name(branches, lift),
                        percents(share.get::<percent>())
                    )
                }),
        ]
    });
    let heads = numbers(
        "change",
        &[
            "water of all lifts",
            "its own air",
            "water of the hardest hit",
        ],
    );
    let regulated = solved.operation.is_none();
    let outside = sheet.supply.plant.outside.pressure;
    let mut notes = Vec::new();
    for shift in &solved.shifts {
        for note in shift_notes(solved, outside, shift, sheet.units) {
            notes.push(format!(
                "With {}, {note}.",
                shift.change.words(branches, sheet.units)
            ));
        }
    }
    Some(Section {
        id: "shifts",
        title: "What shifts when something changes",
        body: html! {
            (table("Against the lifts as they run", &heads, rows))
            p.remark {
                @if regulated { "The header's pressure is held at that of the design. " }
                @else { "On the blowers' curve, the bleed left as it is. " }
                "Hardest hit: the open lift that loses most water. A fouled diffuser or ring costs twice its loss."
            }
            @for note in &notes { p.remark { (note) } }
        },
        new_page: false,
    })
}

fn name(branches: &[Branch], lift: usize) -> &str {
    branches.get(lift).map_or("", |branch| branch.name.as_str())
}
