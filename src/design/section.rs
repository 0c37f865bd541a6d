//! One section of a design file: keys by type, and every key that was not asked for.

#[cfg(feature = "trial")]
use std::ops::{Add, Mul, Sub};
use std::sync::Arc;

use toml_edit::{Item, TableLike, Value};

use super::fault::{Place, Problem};
use super::sheet::Sheet;
use crate::error::{Input, Range};
use crate::model::{DEVELOPING_BORES, DEVELOPING_LENGTH, DevelopingLength};
use crate::name::nearest;
use crate::pipe::Pipe;
use crate::units::quantity::{self, QuantityError};
use crate::units::{Length, Ratio, meter, ratio};

/// What a value must lie in: the input, its range, and its number in the range's unit.
pub(super) type Bound<T> = (Input, Range, fn(T) -> f64);

/// Values of a range `{ from, to, count }`.
#[cfg(feature = "trial")]
pub(super) const RANGE_COUNT: Range = Range::new(2.0, 100.0, "");

/// One section, whose keys are asked for one by one.
pub(super) struct Section<'a> {
    sheet: &'a Sheet,
    /// As the sheet looks it up: `riser`, or `lift 3`.
    name: String,
    /// As the file writes it between its brackets.
    title: &'static str,
    known: Vec<&'static str>,
}

impl<'a> Section<'a> {
    pub fn new(sheet: &'a Sheet, name: &'static str) -> Self {
        Self {
            sheet,
            name: name.to_owned(),
            title: name,
            known: Vec::new(),
        }
    }

    /// One of several sections of a name.
    pub fn numbered(sheet: &'a Sheet, name: &'static str, number: usize) -> Self {
        Self {
            sheet,
            name: format!("{name} {number}"),
            // With the brackets that surround it: [[lift]].
            title: match name {
                "pipe" => "[pipe]",
                "lift" => "[lift]",
                "rearing_tank" => "[rearing_tank]",
                _ => name,
            },
            known: Vec::new(),
        }
    }

    /// The path of a key, as faults name it.
    pub fn path(&self, key: &str) -> String {
        format!("{}.{key}", self.name)
    }

    fn knows(&mut self, key: &'static str) {
        if !self.known.contains(&key) {
            self.known.push(key);
        }
    }

    fn find(&mut self, key: &'static str) -> Option<(&'a Item, Place)> {
        self.knows(key);
        self.sheet.find(&self.name, key)
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

    /// The same, or "none" where nothing of the kind is asked.
    #[cfg(feature = "supply")]
    #[allow(clippy::option_option, reason = "none at all is an answer")]
    pub fn quantity_or_none<T: Copy>(
        &mut self,
        key: &'static str,
        parse: fn(&str) -> Result<T, QuantityError>,
        bound: Bound<T>,
    ) -> Option<Option<T>> {
        let (item, _) = self.sheet.find(&self.name, key).or_else(|| {
            self.knows(key);
            None
        })?;
        if item.as_str() == Some("none") {
            self.knows(key);
            return Some(None);
        }
        self.quantity(key, parse, bound).map(Some)
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

    /// Several quantities: a list of texts with units, or a range `{ from, to, count }`, evenly
    /// spaced; each within the bound.
    #[cfg(feature = "trial")]
    pub fn quantities<T>(
        &mut self,
        key: &'static str,
        parse: fn(&str) -> Result<T, QuantityError>,
        (what, range, number): Bound<T>,
    ) -> Option<Vec<T>>
    where
        T: Copy + Add<Output = T> + Sub<Output = T> + Mul<f64, Output = T>,
    {
        const EXPECTED: &str = "a list such as [\"0.6 m\", \"0.9 m\"], or { from = \"0.6 m\", to = \"1.2 m\", count = 3 },";
        let (item, _) = self.find(key)?;
        let mut texts = Vec::new();
        let mut count = None;
        if let Some(list) = item.as_array() {
            for value in list {
                let Some(text) = value.as_str() else {
                    return self.wrong(key, EXPECTED, item);
                };
                texts.push(text);
            }
            if texts.is_empty() {
                let expected = "at least one value, or leave the key out";
                self.fault(key, Problem::Missing { expected });
                return None;
            }
        } else if let Some(table) = item.as_table_like() {
            let text = |name| table.get(name).and_then(Item::as_str);
            let whole = table.get("count").and_then(Item::as_integer);
            let (Some(from), Some(to), Some(whole), 3) =
                (text("from"), text("to"), whole, table.len())
            else {
                return self.wrong(key, EXPECTED, item);
            };
            texts.extend([from, to]);
            RANGE_COUNT
                .check(Input::RangeCount, whole as f64)
                .map_err(|error| self.fault(key, Problem::Refused(error)))
                .ok()?;
            count = u32::try_from(whole).ok();
        } else {
            return self.wrong(key, EXPECTED, item);
        }
        let mut found = Vec::new();
        for text in texts {
            let read = parse(text).map_err(|problem| self.fault(key, problem.into()));
            let value = read.ok()?;
            range
                .check(what, number(value))
                .map_err(|error| self.fault(key, Problem::Refused(error)))
                .ok()?;
            found.push(value);
        }
        Some(match (count, &found[..]) {
            (Some(count), &[from, to]) => (0..count)
                .map(|n| from + (to - from) * (f64::from(n) / f64::from(count - 1)))
                .collect(),
            _ => found,
        })
    }

    /// A plain number within a bound.
    pub fn number(&mut self, key: &'static str, what: Input, range: Range) -> Option<Ratio> {
        let (item, _) = self.find(key)?;
        let bare = item.as_float().or(item.as_integer().map(|n| n as f64));
        if let Some(percent) = bare
            && range.unit.is_empty()
            && percent > range.max
            && range.contains(percent / 100.0)
            && let Err(error) = range.check(what, percent)
        {
            self.fault(key, Problem::PercentMeant { error, percent });
            return None;
        }
        match item.as_value() {
            Some(Value::Integer(_) | Value::Float(_) | Value::String(_)) => self.quantity(
                key,
                quantity::ratio,
                (what, range, |number| number.get::<ratio>()),
            ),
            _ => self.wrong(key, "a number", item),
        }
    }

    /// The developing length of a model: a number of bores, or a text with a unit of length.
    pub fn developing_length(&mut self) -> Option<DevelopingLength> {
        const KEY: &str = "developing_length";
        const EXPECTED: &str =
            "a number of bores, or a text with a unit of length, such as \"0.2 m\",";
        let (item, _) = self.find(KEY)?;
        let Some(text) = item.as_str() else {
            let bores = self.number(KEY, Input::DevelopingLength, DEVELOPING_BORES);
            return bores.map(Into::into);
        };
        match quantity::length(text) {
            Err(QuantityError::NotANumber { .. } | QuantityError::Empty { .. }) => {
                self.wrong(KEY, EXPECTED, item)
            }
            Err(QuantityError::MissingUnit { .. }) => self
                .number(KEY, Input::DevelopingLength, DEVELOPING_BORES)
                .map(Into::into),
            _ => {
                let bound: Bound<Length> = (Input::DevelopingLength, DEVELOPING_LENGTH, |length| {
                    length.get::<meter>()
                });
                self.quantity(KEY, quantity::length, bound).map(Into::into)
            }
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

    /// A pipe by its name, in place of a bore that faults name in these words.
    pub fn pipe(
        &mut self,
        key: &'static str,
        bore: &str,
        other: &'static str,
    ) -> Option<Arc<Pipe>> {
        let pipe = self.sheet.pipe(self.text(key)?, &self.path(key));
        if self.has(bore) {
            self.fault(key, Problem::Contradiction { other });
            return None;
        }
        pipe
    }

    /// Yes or no.
    pub fn yes_no(&mut self, key: &'static str) -> Option<bool> {
        let (item, _) = self.find(key)?;
        item.as_bool()
            .or_else(|| self.wrong(key, "true or false", item))
    }

    /// A plain number that is no share: a price.
    #[cfg(feature = "supply")]
    pub fn plain_number(&mut self, key: &'static str, what: Input, range: Range) -> Option<f64> {
        let (item, _) = self.find(key)?;
        let number = match item.as_value() {
            Some(Value::Float(number)) => *number.value(),
            Some(Value::Integer(number)) => *number.value() as f64,
            _ => return self.wrong(key, "a number", item),
        };
        range
            .check(what, number)
            .map_err(|error| self.fault(key, Problem::Refused(error)))
            .ok()
    }

    /// Names with whole numbers: `{ elbow_90_threaded = 3 }`.
    #[cfg(feature = "supply")]
    pub fn counts(
        &mut self,
        key: &'static str,
        what: Input,
        range: Range,
    ) -> Option<Vec<(String, u32)>> {
        const EXPECTED: &str =
            "a table of names and whole numbers, such as { elbow_90_threaded = 3 },";
        let (item, _) = self.find(key)?;
        let Some(table) = item.as_table_like() else {
            return self.wrong(key, EXPECTED, item);
        };
        let mut counts = Vec::new();
        for (name, count) in table.iter() {
            let Some(count) = count.as_integer() else {
                return self.wrong(key, EXPECTED, count);
            };
            range
                .check(what, count as f64)
                .map_err(|error| self.fault(key, Problem::Refused(error)))
                .ok()?;
            counts.push((name.to_owned(), u32::try_from(count).ok()?));
        }
        Some(counts)
    }

    /// Pairs of texts: `[["20 L/min", "1.5 kPa"], ["40 L/min", "2.1 kPa"]]`.
    #[cfg(feature = "supply")]
    pub fn pairs(&mut self, key: &'static str) -> Option<Vec<[&'a str; 2]>> {
        const EXPECTED: &str =
            "a list of pairs, such as [[\"20 L/min\", \"1.5 kPa\"], [\"40 L/min\", \"2.1 kPa\"]],";
        let (item, _) = self.find(key)?;
        let pair = |value: &'a Value| {
            let pair = value.as_array().filter(|pair| pair.len() == 2)?;
            Some([pair.get(0)?.as_str()?, pair.get(1)?.as_str()?])
        };
        let pairs = item
            .as_array()
            .and_then(|list| list.iter().map(pair).collect::<Option<Vec<_>>>());
        pairs.or_else(|| self.wrong(key, EXPECTED, item))
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
        self.sheet.find(&self.name, key).is_some()
    }

    /// Notes every key that was not asked for.
    pub fn close(self) {
        for (document, _) in self.sheet.tables() {
            let Some(table) = Sheet::table(document, &self.name) else {
                continue;
            };
            for (name, _) in table.iter().filter(|(name, _)| !self.known.contains(name)) {
                let problem = Problem::UnknownKey {
                    section: self.title,
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
