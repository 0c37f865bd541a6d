//! Links to the desk lead to its page from the page that holds the whole book too, where nothing can be asked.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// A chapter whose links to the desk mdBook leaves alone.
///
/// Of the page of the whole book mdBook makes each link to a chapter one to a place in that page, and a state of the
/// desk is no place. It knows a chapter by its address; a browser takes no account of the blank that is put before.
pub fn kept(markdown: &str) -> String {
    let mut out = String::with_capacity(markdown.len());
    let (mut done, mut open) = (0, None::<(String, usize)>);
    let options = Options::ENABLE_MATH | Options::ENABLE_TABLES;
    for (event, place) in Parser::new_ext(markdown, options).into_offset_iter() {
        match event {
            Event::Start(Tag::Link { dest_url, .. }) => {
                let state = dest_url.strip_prefix("desk.md");
                open = state
                    .filter(|state| state.is_empty() || state.starts_with('#'))
                    .map(|state| (escaped(state), place.start + 1));
            }
            Event::End(TagEnd::Link) => {
                if let Some((state, words)) = open.take() {
                    let link = &markdown[words..place.end];
                    let words = link.rfind("](").map_or(link, |end| &link[..end]);
                    out.push_str(&markdown[done..place.start]);
                    out.push_str("<a href=\" desk.html");
                    out.push_str(&state);
                    out.push_str("\">");
                    out.push_str(words);
                    out.push_str("</a>");
                    done = place.end;
                }
            }
            _ => {}
        }
    }
    out.push_str(&markdown[done..]);
    out
}

/// Text in an attribute.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_to_the_desk_are_kept() {
        assert_eq!(
            kept(
                "See [the *desk*](desk.md) and [this `lift`](desk.md#ask=size&x=1), [units](units.md).\n"
            ),
            "See <a href=\" desk.html\">the *desk*</a> and <a href=\" desk.html#ask=size&amp;x=1\">this `lift`</a>, [units](units.md).\n"
        );
        let code = "```markdown\n[the desk](desk.md)\n```\n";
        assert_eq!(kept(code), code);
    }
}
