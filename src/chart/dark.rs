//! The colours of pictures on a dark page.

use super::shape::{TEXT_INK, color};
use super::{Ink, draw};

/// Light twins of the colours that stand on white: each is told from the others as well as its twin is.
const ON_DARK: &[(&str, &str)] = &[
    (draw::GROUND, "#1b1f23"),
    (TEXT_INK, "#e3e6e8"),
    (draw::GRID, "#3a4148"),
    (draw::RULE, "#aab2b9"),
    (draw::THREAD, "#8f989f"),
];

const INKS_ON_DARK: &[(Ink, &str)] = &[
    (Ink::Black, "#f2f4f5"),
    (Ink::Blue, "#56b4e9"),
    (Ink::Vermilion, "#ff8f4a"),
    (Ink::Green, "#3ccf9b"),
    (Ink::Purple, "#e6a3c8"),
    (Ink::Grey, "#80878d"),
];

/// Each colour and its twin on a dark page.
fn twins() -> impl Iterator<Item = (&'static str, &'static str)> {
    let inks = INKS_ON_DARK.iter().map(|(ink, dark)| (color(*ink), *dark));
    ON_DARK.iter().copied().chain(inks)
}

/// A picture as it stands on a dark page, for where no style sheet reaches it, as in an image.
///
/// ```
/// use risewater::chart::darkened;
/// assert_eq!(darkened(r##"<path stroke="#0072b2"/>"##), r##"<path stroke="#56b4e9"/>"##);
/// ```
#[must_use]
pub fn darkened(svg: &str) -> String {
    let mut parts = svg.split('"');
    let mut dark = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let twin = twins().find(|(light, _)| *light == part);
        dark.push('"');
        dark += twin.map_or(part, |(_, twin)| twin);
    }
    dark
}

/// Rules of a style sheet that turn the pictures within an element dark, for a page that has a dark theme.
///
/// ```
/// let rules = risewater::chart::dark_style("figure");
/// assert!(rules.starts_with("figure svg"));
/// ```
#[must_use]
pub fn dark_style(within: &str) -> String {
    twins()
        .flat_map(|(light, dark)| {
            ["fill", "stroke"]
                .map(|what| format!("{within} svg [{what}=\"{light}\"]{{{what}:{dark}}}\n"))
        })
        .collect()
}
