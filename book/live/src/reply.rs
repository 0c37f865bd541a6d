//! What a page gets.

use risewater::answer::Answer;
use risewater::chart::ChartError;
use risewater::design::{FileError, Place};
use risewater::report::field;
use risewater::table::TableError;
use risewater::{Caution, Error};
use serde_json::{Map, Value, json};

use crate::request::Request;

/// The option that asks for a picture.
pub(crate) const PICTURE: &str = "picture";

/// Everything that is wrong with a request.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Faults(Vec<Value>);

impl Faults {
    /// One that is about no key.
    pub fn plain(text: impl Into<String>) -> Self {
        Self::at(None, text)
    }

    /// One about a key, or about an option by its name.
    pub fn at(key: Option<&str>, text: impl Into<String>) -> Self {
        Self(vec![
            json!({ "key": key, "line": null, "text": text.into() }),
        ])
    }

    /// Whether all of it is about the picture alone.
    fn of_picture(&self) -> bool {
        self.0.iter().all(|fault| fault["key"] == PICTURE)
    }

    /// All of it in words.
    fn text(&self) -> String {
        let words: Vec<&str> = self
            .0
            .iter()
            .filter_map(|fault| fault["text"].as_str())
            .collect();
        words.join("; ")
    }

    pub fn json(self) -> Value {
        json!({ "fault": self.0 })
    }
}

impl From<FileError> for Faults {
    fn from(error: FileError) -> Self {
        let FileError::Faults { faults } = error else {
            return Self::plain(error.to_string());
        };
        let one = |fault: &risewater::design::Fault| {
            let line = match fault.place {
                Place::Line(line) => Some(line),
                _ => None,
            };
            // As it is set: lift.3.bore.
            let key = Some(fault.key.replacen(' ', ".", 1)).filter(|key| !key.is_empty());
            json!({ "key": key, "line": line, "text": fault.problem.to_string() })
        };
        Self(faults.iter().map(one).collect())
    }
}

impl From<Error> for Faults {
    fn from(error: Error) -> Self {
        let key = error.input().map(risewater::error::Input::key);
        Self::at(key.filter(|key| !key.is_empty()), error.to_string())
    }
}

impl From<ChartError> for Faults {
    fn from(error: ChartError) -> Self {
        let text = format!("the picture cannot be drawn: {error}");
        Self::at(Some(PICTURE), text)
    }
}

impl From<TableError> for Faults {
    fn from(error: TableError) -> Self {
        Self::plain(error.to_string())
    }
}

/// A good reply, in the making.
pub(crate) struct Reply<'a> {
    request: &'a Request,
    json: Map<String, Value>,
}

impl<'a> Reply<'a> {
    /// With an answer of the library, unless its picture is to stand alone; its text and what to read it with.
    pub fn of<'c>(
        request: &'a Request,
        answer: &impl Answer,
        text: impl FnOnce() -> String,
        cautions: impl IntoIterator<Item = &'c Caution>,
    ) -> Self {
        if request.options.bare {
            let json = Map::new();
            return Self { request, json };
        }
        let mut reply = Self::plain(request, answer.json());
        if !request.options.wordless {
            let text = text();
            reply.put("said", said(&text));
            if request.options.text {
                reply.put("text", text);
            }
        }
        let caution = |one: &Caution| {
            json!({
                "code": one.code(),
                "grave": one.in_short().is_none(),
                "text": one.worded(request.units()),
            })
        };
        let cautions: Vec<Value> = cautions.into_iter().map(caution).collect();
        reply.put("cautions", cautions);
        reply
    }

    /// With an answer that has no words of its own.
    pub fn plain(request: &'a Request, answer: Value) -> Self {
        let mut reply = Self {
            request,
            json: Map::new(),
        };
        if !request.options.fields.is_empty() {
            let fields = request.options.fields.iter();
            let said =
                fields.map(|path| (path.clone(), field(&answer, path, request.units()).into()));
            reply.put("fields", said.collect::<Map<_, _>>());
        }
        reply.json.shift_insert(0, "answer".to_owned(), answer);
        reply
    }

    pub fn put(&mut self, name: &str, value: impl Into<Value>) {
        self.json.insert(name.to_owned(), value.into());
    }

    /// With its picture, where one is wanted: of the question's own by name, the usual one first.
    pub fn picture(
        mut self,
        known: &[&str],
        draw: impl FnOnce(&str, bool) -> Result<String, Faults>,
    ) -> Result<Self, Faults> {
        let usual = known.first().copied().unwrap_or_default();
        let Some(name) = self.request.picture(usual) else {
            return Ok(self);
        };
        if !known.contains(&name) {
            let text = format!(
                "there is no picture {name:?} of this; there is {}",
                known.join(", ")
            );
            return Err(Faults::at(Some(PICTURE), text));
        }
        match draw(name, self.request.options.narrow) {
            Ok(svg) => self.put("picture", svg),
            // What cannot be drawn leaves only the picture out, where there is an answer beside it.
            Err(why) if why.of_picture() && !self.request.options.bare => {
                self.put("undrawn", why.text());
            }
            Err(fault) => return Err(fault),
        }
        Ok(self)
    }

    pub fn json(self) -> Value {
        Value::Object(self.json)
    }
}

/// The first thing that a text says, with a colon behind its label: up to an empty line, or to the next label.
fn said(text: &str) -> String {
    let mut lines = text.trim().lines();
    let first = lines.next().unwrap_or_default().trim();
    let first = match first.split_once("  ") {
        Some((label, rest)) => format!("{label}: {}", rest.trim()),
        None => first.to_owned(),
    };
    let more = lines
        .map(str::trim)
        .take_while(|line| !line.is_empty() && !line.contains("  "));
    more.fold(first, |said, line| said + " " + line)
}

#[cfg(test)]
mod tests {
    use super::said;

    #[test]
    fn a_text_starts_with_its_answer() {
        assert_eq!(
            said("Water   3 L/min;\n        sure\nAir     4\n"),
            "Water: 3 L/min; sure"
        );
        assert_eq!(
            said("No water flows.\nMore air does it.\n\nAir  4"),
            "No water flows. More air does it."
        );
        assert_eq!(said(""), "");
    }
}
