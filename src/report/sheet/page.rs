//! A page of HTML, and that around the sections: head, headline, key figures, contents.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::DesignSheet;
use super::markup::{Section, signs};
use crate::chart::{clean, dark_style};
use crate::report::kind::Kind;
use crate::report::supply::air;

const STYLE: &str = include_str!("sheet.css");

/// What an alarm says where the minutes are not known.
pub(super) const AIR_STOPS: &str =
    "If the air stops, the water stops, and the animals' oxygen with it.";

/// What made the page.
pub(super) const GENERATOR: &str = concat!("risewater ", env!("CARGO_PKG_VERSION"));

/// A page of HTML with its style in it; what is in its body is escaped already.
pub(super) fn document(title: &str, style: &str, body: &Markup) -> String {
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
                title { (title) }
                style { (PreEscaped(style)) (PreEscaped(dark)) }
            }
            body { (body) }
        }
    };
    let mut text = clean(&page.into_string());
    text.push('\n');
    text
}

/// What stands on a sheet before its sections.
pub(super) struct Front<'a> {
    pub title: &'a str,
    /// What sheet it is.
    pub kind: &'static str,
    /// What to do before one trusts its numbers.
    pub first: &'static str,
    /// What one wants to see first: names and values.
    pub figures: Vec<(String, String)>,
    /// What happens when the air stops.
    pub alarm: String,
    /// How many cautions apply, and to what.
    pub cautions: (usize, &'static str),
}

pub(super) fn page(front: &Front, sections: &[Section]) -> String {
    let (cautions, what) = front.cautions;
    let body = html! {
        header {
            p.kind { (front.kind) }
            h1 { (front.title) }
            p.remark { "Computed with " (GENERATOR) ". Predictions, not measurements: " (front.first) "." }
        }
        dl.key {
            @for (name, value) in &front.figures {
                div { dt { (signs(name)) } dd { (signs(value)) } }
            }
        }
        p.alarm {
            strong { (signs(&front.alarm)) }
            " " a href="#cautions" { (cautions) " cautions apply to this " (what) } "."
        }
        nav aria-label="Contents" {
            ol { @for section in sections { li { a href={ "#" (section.id) } { (section.title) } } } }
        }
        main {
            @for section in sections {
                section id=(section.id) {
                    @if section.folded {
                        details {
                            summary { h2 { (section.title) } }
                            (section.body)
                        }
                    } @else {
                        h2 { (section.title) }
                        (section.body)
                    }
                }
            }
        }
    };
    document(front.title, STYLE, &body)
}

/// That of a design sheet.
pub(super) fn front<'a>(sheet: &DesignSheet<'a>) -> Front<'a> {
    Front {
        title: sheet.title,
        kind: "Airlift design sheet",
        first: "test one lift before building many",
        figures: key_figures(sheet),
        alarm: alarm(sheet),
        cautions: (sheet.all_cautions().count(), "design"),
    }
}

/// That the air does not do, where it does not; what happens when it stops.
fn alarm(sheet: &DesignSheet) -> String {
    let stops = match &sheet.answer.without_air {
        Some(stop) => format!(
            "If the air stops, oxygen falls to the animals' limit in {:.0} min.",
            stop.minutes()
        ),
        None => AIR_STOPS.to_owned(),
    };
    let operation = sheet.answer.operation.as_ref();
    let lacks = operation.and_then(|blowers| blowers.lacks(sheet.units));
    lacks.map_or(stops.clone(), |words| format!("{words} {stops}"))
}

fn key_figures(sheet: &DesignSheet) -> Vec<(String, String)> {
    let (answer, units) = (sheet.answer, sheet.units);
    let mut figures = vec![
        (
            "water of all lifts",
            units.say(Kind::Water, answer.water_flow_m3_per_s),
        ),
        ("lifts", answer.lifts.len().to_string()),
        (
            units.pick(
                "air of all lifts, dry at 20 degC",
                "air of all lifts, dry at 68 degF",
            ),
            air(answer.air_mass_flow_kg_per_s, units),
        ),
        (
            "pressure to ask of a blower",
            units.say(Kind::Pressure, answer.specification.pressure_rise_pa),
        ),
    ];
    let for_water;
    if let Some(energy) = &answer.energy {
        figures.push((
            "power at the wire",
            units.say(Kind::Power, energy.wire_power_w),
        ));
        if let Some((joule, water)) = energy.for_water(units) {
            for_water = format!("for {water} of water");
            figures.push((&for_water, format!("{:.2} kWh", joule / 3.6e6)));
        }
        figures.extend(
            energy
                .cost_of_a_year()
                .map(|cost| ("a year of electricity", cost)),
        );
    }
    let owned = |(name, value): (&str, String)| (name.to_owned(), value);
    figures.into_iter().map(owned).collect()
}
