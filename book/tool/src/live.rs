//! Live figures: what `book/live/figures.toml` says of each, with its first state drawn, so that a page without scripts shows it.
//!
//! A page has `<div class="live" data-case="NAME"></div>`. The tool puts a figure there: picture and sentences as the library
//! gives them, and what `book/live/figures.js` needs to ask it again.

use std::collections::BTreeMap;
use std::path::Path;

use risewater::chart::dark_style;
use risewater_live::reply;
use serde::Deserialize;
use serde_json::{Map, Value, json};

/// How a figure begins in the page.
const FIGURE: &str = "<figure class=\"live\"";

/// A figure.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Figure {
    /// Its design file, below `book/src`; without one, the tool's example of the question.
    file: Option<String>,
    /// Tables that the file names, beside it; also `sheet.csv`, the readings of a trial, from the file that stands behind it.
    #[serde(default)]
    tables: BTreeMap<String, String>,
    /// Values to start from, where the file has none or others.
    #[serde(default)]
    set: Map<String, Value>,
    /// What is asked.
    ask: String,
    /// Options of that.
    #[serde(default)]
    options: Map<String, Value>,
    /// What the picture is asked of, unless it is the same.
    draw: Option<String>,
    /// The name of the picture, unless it is the usual one.
    picture: Option<String>,
    /// Options of the picture.
    #[serde(default)]
    draw_options: Map<String, Value>,
    /// What its reader is to find by moving it.
    question: String,
    /// Sentences with values of the answer by their paths; one is left out where it has none of a value.
    say: Vec<String>,
    /// What can be moved.
    handle: Vec<Handle>,
}

/// What can be moved.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Handle {
    /// The key that it sets.
    key: String,
    /// Ends of its slider, and the steps between; none for a name, or a text.
    slide: Option<[String; 2]>,
    #[serde(default)]
    steps: u32,
    /// What it is, where the words of the key table do not do here.
    words: Option<String>,
}

/// The figures of the book.
pub struct Figures {
    all: BTreeMap<String, Figure>,
    folder: std::path::PathBuf,
}

impl Figures {
    /// Reads them; `root` is the folder that holds book.toml.
    pub fn read(root: &Path) -> Result<Self, String> {
        let path = root.join("live/figures.toml");
        let text = std::fs::read_to_string(&path)
            .map_err(|error| format!("{}: {error}", path.display()))?;
        let all = toml_edit::de::from_str(&text)
            .map_err(|error| format!("{}: {error}", path.display()))?;
        Ok(Self {
            all,
            folder: root.join("src"),
        })
    }

    /// A page with its figures in their places.
    pub fn place(&self, page: &str) -> Result<String, String> {
        let mut lines = Vec::new();
        for line in page.lines() {
            let name = line.strip_prefix("<div class=\"live\" data-case=\"");
            lines.push(match name.and_then(|rest| rest.strip_suffix("\"></div>")) {
                Some(name) => {
                    let figure = self.all.get(name);
                    let figure = figure
                        .ok_or_else(|| format!("live/figures.toml has no figure {name:?}"))?;
                    self.html(figure)
                        .map_err(|fault| format!("the live figure {name:?}: {fault}"))?
                }
                None => line.to_owned(),
            });
        }
        if lines.iter().any(|line| line.starts_with(FIGURE)) {
            // The library knows its pictures' colours for the dark.
            let dark = dark_style(":is(.navy, .coal, .ayu) .live-picture").replace('\n', " ");
            lines.push(format!("\n<style>@media screen {{ {dark}}}</style>"));
        }
        Ok(lines.join("\n") + "\n")
    }

    fn html(&self, figure: &Figure) -> Result<String, String> {
        let mut base = Map::new();
        let text = |file: &String| {
            let path = self.folder.join(file);
            std::fs::read_to_string(&path).map_err(|error| format!("{}: {error}", path.display()))
        };
        if let Some(file) = &figure.file {
            base.insert("file".to_owned(), text(file)?.into());
        } else {
            let example =
                asked(&json!({ "ask": "example", "options": { "section": figure.ask } }))?;
            base.insert("file".to_owned(), example["answer"]["file"].clone());
            base.insert("tables".to_owned(), example["answer"]["tables"].clone());
        }
        if !figure.tables.is_empty() {
            let tables = figure
                .tables
                .iter()
                .map(|(name, file)| Ok((name.clone(), text(file)?.into())));
            base.insert(
                "tables".to_owned(),
                Value::Object(tables.collect::<Result<_, String>>()?),
            );
        }
        let mut options = figure.options.clone();
        options.insert("fields".to_owned(), fields(&figure.say).into());
        let picture: Value = figure.picture.clone().map_or(true.into(), Into::into);
        let mut asks = vec![(figure.ask.clone(), options)];
        if let Some(draw) = &figure.draw {
            let mut options = figure.draw_options.clone();
            options.insert("picture".to_owned(), picture);
            options.insert("bare".to_owned(), true.into());
            asks.push((draw.clone(), options));
        } else {
            asks[0].1.insert("picture".to_owned(), picture);
        }
        let mut replies = Vec::new();
        for (ask, options) in &asks {
            let mut request = base.clone();
            request.insert("ask".to_owned(), ask.clone().into());
            request.insert("set".to_owned(), figure.set.clone().into());
            request.insert("options".to_owned(), options.clone().into());
            replies.push(asked(&Value::Object(request))?);
        }
        let handles = figure
            .handle
            .iter()
            .map(|handle| self::handle(handle, &base, &figure.set));
        let handles = handles.collect::<Result<Vec<_>, _>>()?;
        let data = json!({
            "base": base,
            "set": figure.set,
            "asks": asks.iter().map(|(ask, options)| json!({ "ask": ask, "options": options })).collect::<Vec<_>>(),
            "say": figure.say,
            "handles": handles,
        });
        let svg = replies
            .last()
            .and_then(|reply| reply["picture"].as_str())
            .unwrap_or_default();
        // On one line, since an empty one would end the HTML for Markdown.
        let svg = svg.replace('\n', " ");
        let said = said(&figure.say, &replies[0]);
        Ok(format!(
            "{FIGURE} data-live=\"{}\"><p class=\"live-question\">{}</p><div class=\"live-picture\">{svg}</div><p class=\"live-said\">{}</p></figure>",
            escaped(&data.to_string()),
            escaped(&figure.question),
            escaped(&said),
        ))
    }
}

/// A reply of the library, or what it refuses.
fn asked(request: &Value) -> Result<Value, String> {
    let reply = reply(request.to_string().as_bytes());
    let reply: Value = serde_json::from_slice(&reply).map_err(|error| error.to_string())?;
    match reply.get("fault") {
        Some(fault) => Err(format!("{}: {fault}", request["ask"])),
        None => Ok(reply),
    }
}

/// What the key table says of a handle, and where it stands.
fn handle(
    handle: &Handle,
    base: &Map<String, Value>,
    set: &Map<String, Value>,
) -> Result<Value, String> {
    let key = handle.key.as_str();
    let section = key.split('.').next();
    let keys = asked(&json!({ "ask": "keys", "options": { "section": section } }))?;
    let rows = keys["answer"]["keys"].as_array().into_iter().flatten();
    let mut rows = rows.filter(|row| row["key"].as_str() == key.rsplit('.').next());
    let row = rows
        .next()
        .ok_or_else(|| format!("there is no key {key:?}"))?;
    let value = |text: &String| {
        let found = asked(&json!({ "ask": "value", "options": { "key": key, "value": text } }))?;
        Ok::<_, String>(found["answer"]["si"].clone())
    };
    let slide = handle
        .slide
        .as_ref()
        .map(|ends| ends.iter().map(value).collect::<Result<Vec<_>, _>>());
    let mut request = base.clone();
    request.insert("ask".to_owned(), "values".into());
    request.insert("set".to_owned(), set.clone().into());
    request.insert("options".to_owned(), json!({ "keys": [key] }));
    let stands = asked(&Value::Object(request))?["answer"][key].clone();
    // `riser.bore` as words, and what the table says of it up to its first remark.
    let words = row["meaning"].as_str().unwrap_or_default();
    let words = words.split([';', ':']).next().unwrap_or_default();
    let name = key.replace(['.', '_'], " ");
    let words = words.strip_prefix(name.as_str()).unwrap_or(words).trim();
    Ok(json!({
        "key": key,
        "name": name,
        "words": handle.words.as_deref().unwrap_or(words),
        "holds": row["holds"],
        "names": row["names"],
        "slide": slide.transpose()?,
        "steps": handle.steps,
        "text": stands["file"],
        "si": stands["si"],
    }))
}

/// Parts of a sentence: words, and the paths between braces.
fn parts(sentence: &str) -> impl Iterator<Item = (&str, Option<&str>)> {
    sentence.split('}').map(|part| match part.split_once('{') {
        Some((words, path)) => (words, Some(path)),
        None => (part, None),
    })
}

/// The paths that sentences name.
fn fields(say: &[String]) -> Vec<&str> {
    let all = say.iter().flat_map(|sentence| parts(sentence));
    all.filter_map(|(_, path)| path).collect()
}

/// The sentences with the values of a reply; its own first words where none of them can be said.
fn said(say: &[String], reply: &Value) -> String {
    let filled = say.iter().filter_map(|sentence| {
        let parts = parts(sentence).map(|(words, path)| {
            Some(words.to_owned() + path.map_or(Some(""), |path| reply["fields"][path].as_str())?)
        });
        parts.collect::<Option<String>>()
    });
    let text = filled.collect::<Vec<_>>().join(" ");
    if text.is_empty() {
        return reply["said"]
            .as_str()
            .unwrap_or_default()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
    }
    text
}

/// Text in HTML, and in an attribute.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_are_filled_or_left_out() {
        let say = [
            "It gives {a}.".to_owned(),
            "It takes {b.c}, {a}.".to_owned(),
        ];
        assert_eq!(fields(&say), ["a", "b.c", "a"]);
        let mut reply = json!({ "said": "Nothing\nflows.", "fields": { "a": "3 m", "b.c": null } });
        assert_eq!(said(&say, &reply), "It gives 3 m.");
        reply["fields"]["a"] = Value::Null;
        assert_eq!(said(&say, &reply), "Nothing flows.");
    }
}
