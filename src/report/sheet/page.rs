//! The page around the sections: head, headline, key figures, contents.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::DesignSheet;
use super::markup::{Section, signs};
use crate::chart::{clean, dark_style};
use crate::units::{kilowatt_hour, minute, watt};

const STYLE: &str = include_str!("sheet.css");

pub(super) fn page(sheet: &DesignSheet, sections: &[Section]) -> String {
    // Written out, since HTML leaves these tags open and XML does not.
    let metas = concat!(
        "<meta charset=\"utf-8\"/>",
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>",
        "<meta name=\"color-scheme\" content=\"light dark\"/>",
        "<meta name=\"generator\" content=\"risewater ",
        env!("CARGO_PKG_VERSION"),
        "\"/>",
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\"/>",
    );
    let dark = format!(
        "@media screen and (prefers-color-scheme: dark){{\n{}}}\n",
        dark_style("figure")
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                (PreEscaped(metas))
                title { (sheet.title) }
                style { (PreEscaped(STYLE)) (PreEscaped(dark)) }
            }
            body {
                header {
                    p.kind { "Airlift design sheet" }
                    h1 { (sheet.title) }
                    p.remark { "Computed with risewater " (env!("CARGO_PKG_VERSION")) ". Predictions, not measurements: test one lift before building many." }
                }
                (key_figures(sheet))
                (alarm(sheet))
                nav aria-label="Contents" {
                    ol { @for section in sections { li { a href={ "#" (section.id) } { (section.title) } } } }
                }
                main {
                    @for section in sections {
                        section id=(section.id) class=[section.new_page.then_some("page")] {
                            h2 { (section.title) }
                            (section.body)
                        }
                    }
                }
            }
        }
    };
    let mut text = clean(&page.into_string());
    text.push('\n');
    text
}

/// What one wants to see first.
fn key_figures(sheet: &DesignSheet) -> Markup {
    let (solved, units) = (sheet.solved, sheet.units);
    let lifts = solved.manifold.risers().len();
    let (much, water) = units.much_water();
    let for_water = format!("for {water} of water");
    let mut figures = vec![
        (
            "water of all lifts",
            units.water(solved.running.water_flow()),
        ),
        ("lifts", lifts.to_string()),
        (
            units.pick(
                "air of all lifts, dry at 20 degC",
                "air of all lifts, dry at 68 degF",
            ),
            units.air(solved.running.split.air.volume_rate_at_20_c()),
        ),
        (
            "pressure to ask of a blower",
            units.pressure(solved.duty.specification.pressure_rise.value),
        ),
    ];
    if let Some(power) = solved.wire_power {
        figures.push(("power at the wire", units.power(power.get::<watt>())));
    }
    if let Some(energy) = solved.energy.and_then(|energy| energy.per_1000_m3()) {
        let energy = much * energy.get::<kilowatt_hour>();
        figures.push((&for_water, format!("{energy:.2} kWh")));
    }
    if let (Some(cost), Some(tariff)) = (solved.yearly_cost, &sheet.supply.tariff) {
        figures.push((
            "a year of electricity",
            format!("{cost:.0} {}", tariff.currency),
        ));
    }
    html! {
        dl.key {
            @for (name, value) in figures {
                div { dt { (signs(name)) } dd { (signs(&value)) } }
            }
        }
    }
}

/// What happens when the air stops, before anything else.
fn alarm(sheet: &DesignSheet) -> Markup {
    let cautions = sheet.all_cautions().count();
    html! {
        p.alarm {
            strong {
                @match sheet.solved.time_to_limit {
                    Some(time) => { (format!("If the air stops, oxygen falls to the animals' limit in {:.0} min.", time.get::<minute>().floor())) }
                    None => { "If the air stops, the water stops, and the animals' oxygen with it." }
                }
            }
            " " a href="#cautions" { (cautions) " cautions apply to this design" } "."
        }
    }
}
