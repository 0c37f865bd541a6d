//! What stands at a key, read as its row says.

use toml_edit::{Item, Value as Toml};

use super::fault::Problem;
use super::sheet::Sheet;
use crate::air::{AirFlow, AirState};
use crate::error::{Error, Input, Range};
use crate::keys::{Holds, Row, STATE, Value, state};
use crate::name::nearest;
use crate::pipe::Pipe;
use crate::pipe::fittings::Fitting;
use crate::units::quantity::{Dimension, QuantityError, si_value};
use crate::units::{AbsolutePressure, base};

/// Values of a range `{ from, to, count }`.
const RANGE_COUNT: Range = Range::new(2.0, 100.0, "");

const SEVERAL: &str =
    "a list such as [\"0.6 m\", \"0.9 m\"], or { from = \"0.6 m\", to = \"1.2 m\", count = 3 },";
const COUNTS: &str = "a table of names and whole numbers, such as { elbow_90_threaded = 3 },";
const PAIRS: &str =
    "a list of pairs, such as [[\"20 L/min\", \"1.5 kPa\"], [\"40 L/min\", \"2.1 kPa\"]],";

/// One item, and where its faults go.
pub(super) struct Reading<'a> {
    pub sheet: &'a Sheet,
    pub row: &'a Row,
    pub item: &'a Item,
    pub note: &'a mut dyn FnMut(Problem),
}

impl Reading<'_> {
    /// The value, or none with what is wrong noted.
    pub fn value(&mut self) -> Option<Value> {
        match self.row.holds {
            Holds::Quantity(Dimension::Ratio, range) => self.share(range),
            Holds::QuantityOrNone(..) if self.item.as_str() == Some("none") => Some(Value::Nothing),
            Holds::Quantity(dimension, range) | Holds::QuantityOrNone(dimension, range) => {
                self.quantity(dimension, range).map(Value::Number)
            }
            Holds::Quantities(dimension, range) => self.quantities(dimension, range),
            Holds::BoresOrLength(bores, length) => self.bores_or_length(bores, length),
            Holds::Number(range) => {
                let number = self.bare();
                let number = number.or_else(|| self.wrong("a number"))?;
                self.within(self.row.input, range, number)
                    .map(Value::Number)
            }
            Holds::Whole(range) => self
                .whole(range, self.item, "a whole number")
                .map(Value::Whole),
            Holds::Truth => {
                let truth = self.item.as_bool();
                truth
                    .or_else(|| self.wrong("true or false"))
                    .map(Value::Truth)
            }
            Holds::Text | Holds::File => self.text().map(Value::Text),
            Holds::Name(kind, names) => {
                let (text, names) = (self.text()?, names());
                if names.contains(&text.as_str()) {
                    return Some(Value::Text(text));
                }
                self.keep(Err(Error::unknown_name(kind, &text, names)))
            }
            Holds::Pipe => {
                let name = self.text()?;
                self.keep(self.sheet.pipe(&name))?;
                Some(Value::Text(name))
            }
            Holds::Pipes => self.names(|sheet, name| sheet.pipe(name).map(drop)),
            Holds::Standards => self.names(|_, name| Pipe::of_standards(&[name]).map(drop)),
            Holds::Fittings(range) => self.fittings(range),
            Holds::Pairs(pair) => self.pairs(pair),
            Holds::State => self.state().map(Value::State),
        }
    }

    fn note<T>(&mut self, problem: impl Into<Problem>) -> Option<T> {
        (self.note)(problem.into());
        None
    }

    fn keep<T>(&mut self, found: Result<T, Error>) -> Option<T> {
        found.map_or_else(|error| self.note(error), Some)
    }

    fn wrong<T>(&mut self, expected: &'static str) -> Option<T> {
        self.wrong_at(self.item, expected)
    }

    fn wrong_at<T>(&mut self, item: &Item, expected: &'static str) -> Option<T> {
        let found = kind(item);
        self.note(Problem::WrongType { expected, found })
    }

    fn within(&mut self, what: Option<Input>, range: Range, number: f64) -> Option<f64> {
        match what {
            Some(what) => self.keep(range.check(what, number)),
            None => Some(number),
        }
    }

    fn text(&mut self) -> Option<String> {
        let text = self.item.as_str().map(str::to_owned);
        text.or_else(|| self.wrong("a text"))
    }

    fn bare(&self) -> Option<f64> {
        let whole = self.item.as_integer().map(|n| n as f64);
        self.item.as_float().or(whole)
    }

    /// A text as a quantity within a range, in SI base units.
    fn read(
        &mut self,
        text: &str,
        (dimension, what, range): (Dimension, Option<Input>, Range),
    ) -> Option<f64> {
        let si = match si_value(text, dimension, None) {
            Ok(si) => si,
            Err(problem) => return self.note(problem),
        };
        self.within(what, range, dimension.number(si, range.unit))?;
        Some(si)
    }

    fn quantity(&mut self, dimension: Dimension, range: Range) -> Option<f64> {
        let text = match self.item.as_value() {
            Some(Toml::String(text)) => text.value().clone(),
            // A bare number lacks its unit: let the parser say what would do.
            Some(Toml::Integer(number)) => number.value().to_string(),
            Some(Toml::Float(number)) => number.value().to_string(),
            _ => return self.wrong("a text with a unit, such as \"76.2 mm\","),
        };
        self.read(&text, (dimension, self.row.input, range))
    }

    /// A plain number, or a text in per cent.
    fn share(&mut self, range: Range) -> Option<Value> {
        if let (Some(percent), Some(what)) = (self.bare(), self.row.input)
            && percent > range.max
            && range.contains(percent / 100.0)
            && let Err(error) = range.check(what, percent)
        {
            return self.note(Problem::PercentMeant { error, percent });
        }
        match self.item.as_value() {
            Some(Toml::Integer(_) | Toml::Float(_) | Toml::String(_)) => {
                self.quantity(Dimension::Ratio, range).map(Value::Number)
            }
            _ => self.wrong("a number"),
        }
    }

    /// A list of texts with units, or a range `{ from, to, count }`, evenly spaced.
    fn quantities(&mut self, dimension: Dimension, range: Range) -> Option<Value> {
        let mut texts = Vec::new();
        let mut count = None;
        if let Some(list) = self.item.as_array() {
            for value in list {
                let text = match value {
                    Toml::String(text) => Some(text.value().clone()),
                    Toml::Integer(number) if dimension == Dimension::Ratio => {
                        Some(number.value().to_string())
                    }
                    Toml::Float(number) if dimension == Dimension::Ratio => {
                        Some(number.value().to_string())
                    }
                    _ => None,
                };
                let Some(text) = text else {
                    return self.wrong(SEVERAL);
                };
                texts.push(text);
            }
            if texts.is_empty() && !self.row.empty {
                let expected = "at least one value, or leave the key out".into();
                return self.note(Problem::Missing { expected });
            }
        } else if let Some(table) = self.item.as_table_like() {
            let text = |name| table.get(name).and_then(Item::as_str);
            let whole = table.get("count").and_then(Item::as_integer);
            let (Some(from), Some(to), Some(whole), 3) =
                (text("from"), text("to"), whole, table.len())
            else {
                return self.wrong(SEVERAL);
            };
            texts.extend([from.to_owned(), to.to_owned()]);
            self.keep(RANGE_COUNT.check(Input::RangeCount, whole as f64))?;
            count = u32::try_from(whole).ok();
        } else {
            return self.wrong(SEVERAL);
        }
        let read = |text: String| self.read(&text, (dimension, self.row.input, range));
        let found: Vec<f64> = texts.into_iter().map(read).collect::<Option<_>>()?;
        Some(Value::Numbers(match (count, &found[..]) {
            (Some(count), &[from, to]) => (0..count)
                .map(|n| from + (to - from) * (f64::from(n) / f64::from(count - 1)))
                .collect(),
            _ => found,
        }))
    }

    /// A number of bores, or a text with a unit of length.
    fn bores_or_length(&mut self, bores: Range, length: Range) -> Option<Value> {
        const EXPECTED: &str =
            "a number of bores, or a text with a unit of length, such as \"0.2 m\",";
        let number = |value| match value {
            Value::Number(number) => Value::Bores(number),
            other => other,
        };
        let Some(text) = self.item.as_str() else {
            return self.plain_share(bores).map(number);
        };
        match si_value(text, Dimension::Length, None) {
            Err(QuantityError::NotANumber { .. } | QuantityError::Empty { .. }) => {
                self.wrong(EXPECTED)
            }
            Err(QuantityError::MissingUnit { .. }) => self.plain_share(bores).map(number),
            _ => self.quantity(Dimension::Length, length).map(Value::Number),
        }
    }

    /// A share whose range has a name for what it counts, so that none is taken for per cent.
    fn plain_share(&mut self, range: Range) -> Option<Value> {
        match self.item.as_value() {
            Some(Toml::Integer(_) | Toml::Float(_) | Toml::String(_)) => {
                self.quantity(Dimension::Ratio, range).map(Value::Number)
            }
            _ => self.wrong("a number"),
        }
    }

    fn whole(&mut self, range: Range, item: &Item, expected: &'static str) -> Option<u32> {
        let Some(count) = item.as_integer() else {
            return self.wrong_at(item, expected);
        };
        self.within(self.row.input, range, count as f64)?;
        u32::try_from(count).ok()
    }

    /// Texts, each of which must be known.
    fn names(&mut self, known: fn(&Sheet, &str) -> Result<(), Error>) -> Option<Value> {
        let texts = self.item.as_array().and_then(|array| {
            let texts = array.iter().map(|one| one.as_str().map(str::to_owned));
            texts.collect::<Option<Vec<_>>>()
        });
        let texts = texts.or_else(|| self.wrong("a list of texts, such as [\"one\", \"two\"],"))?;
        if texts.is_empty() {
            let expected = "at least one name, or leave the key out".into();
            return self.note(Problem::Missing { expected });
        }
        let mut all = Some(());
        for name in &texts {
            all = self.keep(known(self.sheet, name)).and(all);
        }
        all.map(|()| Value::Texts(texts))
    }

    /// Names with whole numbers: `{ elbow_90_threaded = 3 }`.
    fn fittings(&mut self, range: Range) -> Option<Value> {
        let Some(table) = self.item.as_table_like() else {
            return self.wrong(COUNTS);
        };
        let mut counts = Vec::new();
        for (name, count) in table.iter() {
            counts.push((name.to_owned(), self.whole(range, count, COUNTS)?));
        }
        for (name, _) in &counts {
            self.keep(name.parse::<Fitting>())?;
        }
        Some(Value::Counts(counts))
    }

    fn pairs(&mut self, [one, other]: [(Dimension, Input, Range); 2]) -> Option<Value> {
        let pair = |value: &Toml| {
            let pair = value.as_array().filter(|pair| pair.len() == 2)?;
            Some([pair.get(0)?, pair.get(1)?].map(|text| text.as_str().map(str::to_owned)))
        };
        let list = self.item.as_array();
        let pairs = list.and_then(|list| list.iter().map(pair).collect::<Option<Vec<_>>>());
        let Some(pairs) = pairs.filter(|pairs| pairs.iter().flatten().all(Option::is_some)) else {
            return self.wrong(PAIRS);
        };
        let mut found = Vec::new();
        for texts in pairs {
            let mut numbers = [0.0; 2];
            for ((number, text), (dimension, input, range)) in
                numbers.iter_mut().zip(texts).zip([one, other])
            {
                *number = self.read(&text?, (dimension, Some(input), range))?;
            }
            found.push(numbers);
        }
        Some(Value::Pairs(found))
    }

    /// A reference state: a name, or a table of temperature, pressure and humidity.
    fn state(&mut self) -> Option<AirState> {
        if let Some(name) = self.item.as_str() {
            return self.keep(AirState::named(name));
        }
        let Some(table) = self.item.as_table_like() else {
            return self.wrong("a name or a table");
        };
        let known: Vec<&str> = STATE.keys.iter().map(|row| row.name).collect();
        let mut whole = Some(());
        for (name, _) in table.iter().filter(|(name, _)| !known.contains(name)) {
            whole = self.note(Problem::UnknownKey {
                section: STATE.title(),
                name: name.to_owned(),
                nearest: nearest(name, &known),
                known: known.clone(),
            });
        }
        let mut texts = Vec::new();
        for row in STATE.keys {
            let text = table.get(row.name).map(|item| match item.as_str() {
                Some(text) => text.to_owned(),
                None => item.to_string().trim().to_owned(),
            });
            if text.is_none() && row.name != state::HUMIDITY.name {
                let expected = row.asked();
                whole = self.note(Problem::Missing { expected });
            }
            texts.push((row, text));
        }
        let mut numbers = [0.0; 3];
        for (number, (row, text)) in numbers.iter_mut().zip(texts) {
            let (Holds::Quantity(dimension, _), Some(text)) = (row.holds, text) else {
                continue;
            };
            match si_value(&text, dimension, None) {
                Ok(si) => *number = si,
                Err(problem) => whole = self.note(problem),
            }
        }
        whole?;
        let [temperature, pressure, humidity] = numbers;
        let state = AirState {
            temperature: base(temperature),
            pressure: AbsolutePressure(base(pressure)),
            humidity: base(humidity),
        };
        // No flow at all says whether the state can be.
        self.keep(AirFlow::at(base(0.0), &state)).map(|_| state)
    }
}

/// What stands at a key, in words.
pub(super) fn kind(item: &Item) -> &'static str {
    match item {
        Item::None => "nothing",
        Item::Value(Toml::String(_)) => "a text",
        Item::Value(Toml::Integer(_) | Toml::Float(_)) => "a number",
        Item::Value(Toml::Boolean(_)) => "true or false",
        Item::Value(Toml::Datetime(_)) => "a date",
        Item::Value(Toml::Array(_)) => "a list",
        Item::Value(Toml::InlineTable(_)) | Item::Table(_) => "a table",
        Item::ArrayOfTables(_) => "a list of tables",
    }
}
