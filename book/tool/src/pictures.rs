//! Pictures of a chapter in two dresses: as drawn for a light page, and in the colours of a dark one; each also for a
//! telephone, where it is drawn for one.

use std::fmt::Write;
use std::path::Path;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use risewater::chart::darkened;

/// Colours of line drawings that no chart has, and their twins on a dark page.
const OF_DRAWINGS: &[(&str, &str)] = &[("#cfe3f2", "#23445c"), ("#1f3a4d", "#c9d6df")];

/// Folder, beside that of the pictures, of those for a telephone.
pub const NARROW: &str = "narrow";

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
    let read = |file: &str| {
        std::fs::read_to_string(folder.join(file)).map_err(|error| format!("{file}: {error}"))
    };
    let own = file.rsplit_once('/');
    let narrow = own.map(|(shelf, name)| format!("{shelf}/{NARROW}/{name}"));
    let narrow = narrow.filter(|file| folder.join(file).is_file());
    let words = words
        .replace('&', "&amp;")
        .replace('"', "&quot;")
        .replace('<', "&lt;");
    let stands = |class: &str, wide: &str, narrow: Option<String>| {
        let image = format!("<img class=\"{class}\" src=\"{wide}\" alt=\"{words}\">");
        match narrow {
            Some(narrow) => format!(
                "<picture><source media=\"(max-width: 600px)\" srcset=\"{narrow}\">{image}</picture>"
            ),
            None => image,
        }
    };
    let dark = for_dark_page(&read(file)?);
    let dark_narrow = narrow.as_deref().map(read).transpose()?;
    // Addresses of a set end at a blank.
    let dark_narrow = dark_narrow.map(|svg| for_dark_page(&svg).replace(' ', "%20"));
    Ok(stands("on-light", file, narrow) + &stands("on-dark", &dark, dark_narrow))
}

/// The twin of a picture for a dark page, as the address of an image.
fn for_dark_page(svg: &str) -> String {
    let mut dark = darkened(svg);
    for (light, twin) in OF_DRAWINGS {
        dark = dark.replace(light, twin);
    }
    format!("data:image/svg+xml,{}", escaped(&dark))
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
            "Before\n\n<picture><source media=\"(max-width: 600px)\" srcset=\"figures/narrow/one-riser.svg\"><img class=\"on-light\" src=\"figures/one-riser.svg\" alt=\"A riser\"></picture>"
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
