//! Pictures of a chapter in two dresses: as drawn for a light page, and in the colours of a dark one.

use std::fmt::Write;
use std::path::Path;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use risewater::chart::darkened;

/// Colours of line drawings that no chart has, and their twins on a dark page.
const OF_DRAWINGS: &[(&str, &str)] = &[("#cfe3f2", "#23445c"), ("#1f3a4d", "#c9d6df")];

/// A chapter in which each picture of its folder stands twice; the style sheet shows the one that fits the page.
///
/// # Errors
/// The name of a picture that cannot be read.
pub fn in_both(markdown: &str, folder: &Path) -> Result<String, String> {
    let mut out = String::with_capacity(markdown.len());
    let (mut done, mut open) = (0, None::<(String, usize, String)>);
    let options = Options::ENABLE_TABLES;
    for (event, place) in Parser::new_ext(markdown, options).into_offset_iter() {
        match event {
            Event::Start(Tag::Image { dest_url, .. }) if dest_url.ends_with(".svg") => {
                open = Some((dest_url.into_string(), place.start, String::new()));
            }
            Event::Text(text) | Event::Code(text) => {
                if let Some((_, _, words)) = &mut open {
                    words.push_str(&text);
                }
            }
            Event::SoftBreak => {
                if let Some((_, _, words)) = &mut open {
                    words.push(' ');
                }
            }
            Event::End(TagEnd::Image) => {
                if let Some((file, start, words)) = open.take() {
                    out.push_str(&markdown[done..start]);
                    out.push_str(&pair(&file, &words, folder)?);
                    done = place.end;
                }
            }
            _ => {}
        }
    }
    out.push_str(&markdown[done..]);
    Ok(out)
}

fn pair(file: &str, words: &str, folder: &Path) -> Result<String, String> {
    let svg =
        std::fs::read_to_string(folder.join(file)).map_err(|error| format!("{file}: {error}"))?;
    let mut dark = darkened(&svg);
    for (light, twin) in OF_DRAWINGS {
        dark = dark.replace(light, twin);
    }
    let words = words
        .replace('&', "&amp;")
        .replace('"', "&quot;")
        .replace('<', "&lt;");
    Ok(format!(
        "<img class=\"on-light\" src=\"{file}\" alt=\"{words}\"><img class=\"on-dark\" src=\"data:image/svg+xml,{}\" alt=\"{words}\">",
        escaped(&dark)
    ))
}

/// The text of a picture as the address of an image has it.
fn escaped(svg: &str) -> String {
    let mut text = String::with_capacity(svg.len() + svg.len() / 4);
    for byte in svg.bytes() {
        match byte {
            b'"' => text.push('\''),
            b'a'..=b'z'
            | b'A'..=b'Z'
            | b'0'..=b'9'
            | b' '
            | b'-'
            | b'.'
            | b'/'
            | b'='
            | b':'
            | b','
            | b'('
            | b')' => {
                text.push(char::from(byte));
            }
            _ => {
                let _ = write!(text, "%{byte:02X}");
            }
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_stands_twice() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../src");
        let page = in_both(
            "Before\n\n![A riser](figures/one-riser.svg)\n\nAfter",
            &folder,
        )
        .unwrap();
        assert!(page.starts_with(
            "Before\n\n<img class=\"on-light\" src=\"figures/one-riser.svg\" alt=\"A riser\">"
        ));
        assert_eq!(page.matches("<img").count(), 2);
        assert!(
            page.ends_with("\n\nAfter")
                && !page.contains("%230072b2")
                && page.contains("%2356b4e9")
        );
        assert!(
            in_both("![A riser](figures/none.svg)", &folder)
                .unwrap_err()
                .contains("none.svg")
        );
    }
}
