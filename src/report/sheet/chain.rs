//! From the animals to the power of the air, one link a row.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, facts, signs};

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let links = sheet.answer.links(sheet.units)?;
    let rows = links
        .iter()
        .map(|(name, value, remark)| (*name, value.clone(), remark.as_str()))
        .collect();
    Some(Section {
        id: "chain",
        title: "From the animals to the power",
        body: html! {
            @if let Some(warning) = sheet.answer.shortfall_words(sheet.units) {
                p.alarm { strong { (signs(&warning)) } }
            }
            (facts("Link by link", rows))
        },
        folded: false,
    })
}
