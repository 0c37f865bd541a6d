//! From the animals to the power of the air, one link a row.

use maud::html;

use super::DesignSheet;
use super::markup::{Section, facts};
use crate::report::SupplyChain;

pub(super) fn section(sheet: &DesignSheet) -> Option<Section> {
    let chain = SupplyChain {
        need: sheet.need?,
        supply: sheet.supply,
        solved: sheet.solved,
    };
    let links = chain.links(sheet.units);
    let rows = links
        .iter()
        .map(|(name, value, remark)| (*name, value.clone(), remark.as_str()))
        .collect();
    Some(Section {
        id: "chain",
        title: "From the animals to the power",
        body: html! {
            @if let Some(warning) = chain.warning(sheet.units) {
                p.alarm { strong { (super::markup::signs(&warning)) } }
            }
            (facts("Link by link", rows))
        },
        new_page: false,
    })
}
