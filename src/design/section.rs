//! One section of a design file: keys by type, and every key that was not asked for.

use toml_edit::{Item, TableLike, Value};

use super::fault::{Place, Problem};
use super::quantity::{self, QuantityError};
use super::sheet::Sheet;
use crate::error::{Input, Range};
use crate::name::nearest;
use crate::units::{Ratio, ratio};

/// What a value must lie in: the input, its range, and its number in the range's unit.
pub(super) type Bound<T> = (Input, Range, fn(T) -> f64);

/// One section, whose keys are asked for one by one.
pub(super) struct Section<'a> {
    sheet: &'a Sheet,
    name: &'static str,
    known: Vec<&'static str>,
}

impl<'a> Section<'a> {
    pub fn new(sheet: &'a Sheet, name: &'static str) -> Self {
        Self {
            sheet,
            name,
            known: Vec::new(),
        }
    }

    fn find(&mut self, key: &'static str) -> Option<(&'a Item, Place)> {
        self.known.push(key);
        self.sheet.find(self.name, key)
    }

    /// Notes a fault at a key.
    pub fn fault(&self, key: &str, problem: Problem) {
        let path = format!("{}.{key}", self.name);
        self.sheet.fault(self.sheet.place(&path), &path, problem);
    }

    fn wrong<T>(&self, key: &str, expected: &'static str, item: &Item) -> Option<T> {
        self.fault(
            key,
            Problem::WrongType {
                expected,
                found: kind(item),
            },
        );
        None
    }

    /// A text with a unit, whose number lies within a bound.
    pub fn quantity<T: Copy>(
        &mut self,
        key: &'static str,
        parse: fn(&str) -> Result<T, QuantityError>,
        (what, range, number): Bound<T>,
    ) -> Option<T> {
        let quantity = self.text_with_unit(key, parse)?;
        range
            .check(what, number(quantity))
            .map_err(|error| self.fault(key, Problem::Refused(error)))
            .ok()?;
        Some(quantity)
    }

    fn text_with_unit<T>(
        &mut self,
        key: &'static str,
        parse: fn(&str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        let (item, _) = self.find(key)?;
        let text = match item.as_value() {
            Some(Value::String(text)) => text.value().clone(),
            // A bare number lacks its unit: let the parser say what would do.
            Some(Value::Integer(number)) => number.value().to_string(),
            Some(Value::Float(number)) => number.value().to_string(),
            _ => return self.wrong(key, "a text with a unit, such as \"76.2 mm\",", item),
        };
        parse(&text)
            .map_err(|problem| self.fault(key, problem.into()))
            .ok()
    }

    /// A plain number within a bound.
    pub fn number(&mut self, key: &'static str, what: Input, range: Range) -> Option<Ratio> {
        let (item, _) = self.find(key)?;
        match item.as_value() {
            Some(Value::Integer(_) | Value::Float(_) | Value::String(_)) => self.quantity(
                key,
                quantity::ratio,
                (what, range, |number| number.get::<ratio>()),
            ),
            _ => self.wrong(key, "a number", item),
        }
    }

    /// A whole number within a bound.
    pub fn count(&mut self, key: &'static str, what: Input, range: Range) -> Option<u32> {
        let (item, _) = self.find(key)?;
        let Some(count) = item.as_integer() else {
            return self.wrong(key, "a whole number", item);
        };
        #[allow(
            clippy::cast_precision_loss,
            reason = "exact wherever the range allows it"
        )]
        let number = count as f64;
        range
            .check(what, number)
            .map_err(|error| self.fault(key, Problem::Refused(error)))
            .ok()?;
        u32::try_from(count).ok()
    }

    /// A text.
    pub fn text(&mut self, key: &'static str) -> Option<&'a str> {
        let (item, _) = self.find(key)?;
        item.as_str().or_else(|| self.wrong(key, "a text", item))
    }

    /// A list of texts.
    pub fn texts(&mut self, key: &'static str) -> Option<Vec<&'a str>> {
        let (item, _) = self.find(key)?;
        let texts = item
            .as_array()
            .and_then(|array| array.iter().map(Value::as_str).collect::<Option<Vec<_>>>());
        texts.or_else(|| self.wrong(key, "a list of texts, such as [\"one\", \"two\"],", item))
    }

    /// A text, or a table of its own.
    pub fn text_or_table(
        &mut self,
        key: &'static str,
    ) -> Option<Result<&'a str, &'a dyn TableLike>> {
        let (item, _) = self.find(key)?;
        if let Some(text) = item.as_str() {
            return Some(Ok(text));
        }
        item.as_table_like()
            .map(Err)
            .or_else(|| self.wrong(key, "a name or a table", item))
    }

    /// Whether a key is there.
    pub fn has(&self, key: &str) -> bool {
        self.sheet.find(self.name, key).is_some()
    }

    /// Notes every key that was not asked for.
    pub fn close(self) {
        for (document, _) in self.sheet.tables() {
            let Some(table) = document.get(self.name).and_then(Item::as_table_like) else {
                continue;
            };
            for (name, _) in table.iter().filter(|(name, _)| !self.known.contains(name)) {
                let problem = Problem::UnknownKey {
                    section: self.name,
                    name: name.to_owned(),
                    nearest: nearest(name, &self.known),
                    known: self.known.clone(),
                };
                self.fault(name, problem);
            }
        }
    }
}

/// What stands at a key, in words.
pub(super) fn kind(item: &Item) -> &'static str {
    match item {
        Item::None => "nothing",
        Item::Value(Value::String(_)) => "a text",
        Item::Value(Value::Integer(_) | Value::Float(_)) => "a number",
        Item::Value(Value::Boolean(_)) => "true or false",
        Item::Value(Value::Datetime(_)) => "a date",
        Item::Value(Value::Array(_)) => "a list",
        Item::Value(Value::InlineTable(_)) | Item::Table(_) => "a table",
        Item::ArrayOfTables(_) => "a list of tables",
    }
}
