//! What shifts when something changes.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, html_table};
use crate::report::supply::shift_columns;

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let answer = sheet.answer;
    if answer.shifts.is_empty() {
        return None;
    }
    Some(Section {
        id: "shifts",
        title: "What shifts when something changes",
        body: html! {
            (html_table("Against the lifts as they run", &shift_columns(), &answer.shifts, sheet.units))
            p.remark {
                @if answer.operation.is_none() { "The header's pressure is held at that of the design. " }
                @else { "On the blowers' curve, the bleed left as it is. " }
                "Hardest hit: the open lift that loses most water. A fouled diffuser or ring costs twice its loss."
            }
            @for note in answer.shift_notes(sheet.units) { p.remark { (note) } }
        },
        folded: false,
    })
}
