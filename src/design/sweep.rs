//! Keys that vary: the section `[sweep]`, and values that stand in the place of its own.

use std::collections::HashSet;
use std::path::Path;

use toml_edit::{Document, Item, TableLike, Value as Toml};

use super::DesignFile;
use super::fault::{FileError, Place, Problem};
use super::read::{Reading, kind};
use super::sheet::{SWEEP, Sheet, one};
use crate::keys::{Holds, Row, Usual, Value, riser, section};
use crate::name::nearest;
use crate::sweep::{
    Axis, Given, KeyValues, Labels, MOST_VALUES, Sweep, VARIED, Values as AxisValues,
};
use crate::sweep::{shown, varied_rows, written};
use crate::units::quantity::{Dimension, Unit, number_and_unit, si_value};

/// How far from a whole number of steps a range may end: what f64 loses, and no more.
const WHOLE: f64 = 1e-6;

/// What is wrong with values that a key is to take.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SweptError {
    /// Nothing varies.
    #[error(
        "nothing varies: give values of a key, such as --vary riser.bore=\"40 mm..100 mm/5 mm\", or a section [sweep]"
    )]
    NothingVaries,
    /// A key of another question.
    #[error("one riser does not depend on it; keys of {} can vary", VARIED.map(|name| format!("[{name}]")).join(", "))]
    OtherQuestion,
    /// The same key twice.
    #[error("it varies twice: give all its values at once, with commas between")]
    GivenTwice,
    /// No value at all.
    #[error(
        "no value in {text:?}; give a list such as \"20 L/min, 40 L/min\", or a range from..to/step"
    )]
    Empty {
        /// The text given.
        text: String,
    },
    /// A range without steps.
    #[error(
        "{text:?} does not say the steps of its range: write from..to/step, from..to*factor or from..to:count"
    )]
    NoSteps {
        /// The text given.
        text: String,
    },
    /// A range of names.
    #[error("{text:?} is a range, and names have no ranges: list them, with commas between")]
    RangeOfNames {
        /// The text given.
        text: String,
    },
    /// A step that is not above zero.
    #[error(
        "the step of {text:?} must be more than zero; for a falling range, put the larger end first"
    )]
    NoStep {
        /// The text given.
        text: String,
    },
    /// Steps that do not lead from one end to the other.
    #[error(
        "the steps of {text:?} come to {before} and {after}, not to its end: change end or step, or give the number of values as from..to:count"
    )]
    Misses {
        /// The text given.
        text: String,
        /// The last value before the end.
        before: String,
        /// The first after it.
        after: String,
    },
    /// A factor that leads nowhere.
    #[error(
        "{text:?}: a factor is a number above zero other than one, between ends above zero; temperatures take steps"
    )]
    NoFactor {
        /// The text given.
        text: String,
    },
    /// A number of values that is none.
    #[error("{text:?}: the number of values must be whole, from 2 to {MOST_VALUES}")]
    NoCount {
        /// The text given.
        text: String,
    },
    /// More values than a key can take.
    #[error("{text:?} has more than {MOST_VALUES} values, the most that one key takes")]
    TooMany {
        /// The text given.
        text: String,
    },
    /// A value twice.
    #[error("{value:?} is there twice")]
    Twice {
        /// The value.
        value: String,
    },
    /// Numbers of bores beside lengths.
    #[error("a number of bores and a length are both given: give one of the two")]
    TwoKinds,
    /// Rows side by side with other numbers of values.
    #[error("each key that varies must have a value for each row")]
    Uneven,
    /// A row side by side whose name is none of those given.
    #[error("a row takes a name that is not among those given")]
    NoSuchName,
    /// More rows than can be counted.
    #[error("so many combinations cannot be counted: take fewer values")]
    TooManyRows,
}

/// A key and its values as text.
struct Varying {
    row: &'static Row,
    place: Place,
    text: String,
    elements: Vec<Element>,
    /// Values of rows side by side, which stand for the elements.
    given: Option<Given>,
}

/// One element of a list.
enum Element {
    Value(String),
    Range {
        text: String,
        from: String,
        to: String,
        by: By,
    },
}

enum By {
    Step(String),
    Factor(String),
    Count(String),
}

impl Element {
    fn first(&self) -> &str {
        match self {
            Self::Value(text) | Self::Range { from: text, .. } => text,
        }
    }
}

impl DesignFile {
    /// Every combination of values of keys: those of the section `[sweep]`, and `vary`, which speaks before it; values of a file as
    /// [`DesignFile::parse_with`] has them, whose folder may be needed for the tables that it names.
    ///
    /// Values are a list with commas between, of single ones and of ranges: `40 mm..100 mm/5 mm` by steps, `10 L/min..80 L/min*2` by
    /// a factor, `0.6 m..1.2 m:4` by a number of values. A range has both its ends.
    ///
    /// # Errors
    /// [`FileError::Faults`].
    ///
    /// # Examples
    /// See [`sweep`](crate::sweep).
    pub fn sweep(
        text: &str,
        replacements: &[String],
        vary: &[(&str, &str)],
        folder: &Path,
    ) -> Result<Sweep, FileError> {
        let file = Self::parse_with(text, replacements)?;
        let varying = file.varying(vary);
        file.sheet.verdict_and_forget()?;
        let varying = varying.unwrap_or_default();
        if varying.is_empty() {
            let problem = SweptError::NothingVaries.into();
            return Err(one(Place::Absent, "", problem));
        }
        let (read, axes) = Self::first_case(text, replacements, folder, &varying, true)?;
        let sweep = Sweep::new(read.values(), axes, read.gas()?);
        sweep.ok_or_else(|| one(Place::Absent, "", SweptError::TooManyRows.into()))
    }

    /// So many rows side by side, each with its own values of keys. What the file's section `[sweep]` says does not
    /// count. Each row needs an air flow where `needs_air` says so.
    ///
    /// # Errors
    /// [`FileError::Faults`]; a number out of its range makes its row one without results.
    ///
    /// # Examples
    /// See [`Sweep::solve`].
    pub fn side_by_side(
        text: &str,
        replacements: &[String],
        (rows, given): (u64, Vec<(&str, Given)>),
        needs_air: bool,
        folder: &Path,
    ) -> Result<Sweep, FileError> {
        let mut varying: Vec<Varying> = Vec::new();
        for (path, given) in given {
            let found = may_vary(path, &varying);
            let row = found.map_err(|problem| one(Place::Replaced, path, problem))?;
            if let Given::Names(names, places) = &given
                && places.iter().any(|place| *place as usize >= names.len())
            {
                return Err(one(Place::Replaced, path, SweptError::NoSuchName.into()));
            }
            varying.push(Varying::side_by_side(row, given));
        }
        let (read, axes) = Self::first_case(text, replacements, folder, &varying, needs_air)?;
        let sweep = Sweep::side_by_side(read.values(), axes, rows, read.gas()?);
        sweep.ok_or_else(|| one(Place::Absent, "", SweptError::Uneven.into()))
    }

    /// The file with the first value of each key that varies, and all values.
    fn first_case(
        text: &str,
        replacements: &[String],
        folder: &Path,
        varying: &[Varying],
        needs_air: bool,
    ) -> Result<(Self, Vec<Axis>), FileError> {
        // The file of the first case has its say on which keys go together.
        let firsts = varying.iter().filter_map(|one| {
            let first = one.elements.first()?;
            Some(replaced(one.row, first.first()))
        });
        let firsts: Vec<_> = replacements.iter().cloned().chain(firsts).collect();
        let parse = |replacements: &[String]| {
            Self::parse_with(text, replacements).map_err(|error| placed(error, varying))
        };
        let read = parse(&firsts)?.in_folder(folder);
        let axes: Vec<_> = varying.iter().map(|one| read.axis(one)).collect();
        read.sheet.verdict_and_forget()?;
        // Which outlet it is says which keys there may be.
        for one in varying
            .iter()
            .filter(|one| one.row.path == riser::OUTLET.path)
        {
            for element in &one.elements {
                let mut all = firsts.clone();
                all.push(replaced(one.row, element.first()));
                parse(&all)?;
            }
        }
        let found = if needs_air {
            read.riser_and_air().map(drop)
        } else {
            read.riser().map(drop)
        };
        // A case that cannot be is a row; a key that is missing is a fault.
        if let Err(FileError::Faults { faults }) = found
            && let (_, missing) = faults
                .into_iter()
                .partition::<Vec<_>, _>(|fault| matches!(fault.problem, Problem::Refused(_)))
            && !missing.is_empty()
        {
            return Err(FileError::Faults { faults: missing });
        }
        Ok((read, axes.into_iter().flatten().collect()))
    }

    /// Notes what is wrong with `[sweep]`.
    pub(super) fn check_sweep(&self) {
        for one in self.varying(&[]).iter().flatten() {
            self.axis(one);
        }
    }

    /// Whether keys of a section vary.
    pub(super) fn is_swept(&self, section: &str) -> bool {
        let of_section = |path: &str| path.split('.').next() == Some(section);
        self.sheet.swept().iter().any(|(path, ..)| of_section(path))
    }

    /// The keys that vary, in the order of the file and then of those given; faults are noted.
    fn varying(&self, given: &[(&str, &str)]) -> Option<Vec<Varying>> {
        let mut all = Vec::new();
        let mut whole = Some(());
        let in_file = self.sheet.swept();
        let speaks = |path: &str| {
            given.iter().any(|(other, _)| {
                let row = row(other.trim());
                other.trim() == path || row.is_some_and(|row| says_the_same(row, path))
            })
        };
        let own = in_file.into_iter().filter(|(path, ..)| !speaks(path));
        let given = given.iter().map(|(path, text)| {
            let text = Ok((*text).to_owned());
            (path.trim().to_owned(), text, Place::Varied)
        });
        for (path, text, place) in own.chain(given) {
            match one_varying(&path, text, place, &all) {
                Ok(one) => all.push(one),
                Err(problem) => {
                    self.sheet.fault(place, &path, problem);
                    whole = None;
                }
            }
        }
        whole.map(|()| all)
    }

    /// The values of a key; faults are noted.
    fn axis(&self, one: &Varying) -> Option<Axis> {
        let mut problems = Vec::new();
        let found = self.values_of(one, &mut |problem| problems.push(problem));
        for problem in problems {
            self.sheet.fault(one.place, one.row.path, problem);
        }
        let (values, labels) = found?;
        let values = match &one.given {
            None => AxisValues::Listed(values),
            Some(Given::Numbers(all)) => AxisValues::Numbers(all.clone(), one.row.ends_si()),
            Some(Given::Names(_, places)) => AxisValues::Named(values, places.clone()),
        };
        let path = if one.row.path == riser::PIPE.path {
            riser::BORE.path
        } else {
            one.row.path
        };
        let place = varied_rows().position(|row| row.path == path)?;
        Some(Axis::new(one.row, place, values, labels, one.text.clone()))
    }

    fn values_of(
        &self,
        one: &Varying,
        note: &mut dyn FnMut(Problem),
    ) -> Option<(Vec<Value>, Labels)> {
        let (own, _) = one.row.path.split_once('.')?;
        let row = self.sheet.at([own]).in_force(one.row);
        let mut values = Vec::new();
        // The dimension of numbers, and the unit of the first.
        let mut numbers: Option<(Dimension, Option<&'static Unit>)> = None;
        let mut names = Vec::new();
        for element in &one.elements {
            let first = self.read_as(&row, element.first(), note)?;
            let Some(dimension) = dimension(&row, &first) else {
                let (value, name) = self.named(&row, first, element.first())?;
                values.push(value);
                names.push(name);
                continue;
            };
            let (_, unit) = number_and_unit(element.first(), dimension, None).ok()?;
            let (known, _) = *numbers.get_or_insert((dimension, unit));
            if known != dimension {
                note(SweptError::TwoKinds.into());
                return None;
            }
            let Element::Range { text, from, to, by } = element else {
                values.push(first);
                continue;
            };
            let last = self.read_as(&row, to, note)?;
            if self::dimension(&row, &last) != Some(dimension) {
                note(SweptError::TwoKinds.into());
                return None;
            }
            let wrap = match first {
                Value::Bores(_) => Value::Bores,
                _ => Value::Number,
            };
            match between(dimension, text, [from, to], by) {
                Ok(all) => values.extend(all.into_iter().map(wrap)),
                Err(problem) => {
                    note(problem);
                    return None;
                }
            }
        }
        let labels = match numbers {
            Some((dimension, unit)) => Labels::Numbers(dimension, unit),
            None => Labels::Names(names),
        };
        let twice = match &labels {
            Labels::Numbers(..) => twice(values.iter().filter_map(number).map(f64::to_bits)),
            Labels::Names(names) => twice(names),
        };
        if values.len() > MOST_VALUES {
            let text = one.text.clone();
            note(SweptError::TooMany { text }.into());
            return None;
        }
        // Rows side by side may have a value under two names.
        if let Some(place) = twice.filter(|_| one.given.is_none()) {
            let value = match (&labels, values.get(place).and_then(number)) {
                (Labels::Numbers(dimension, unit), Some(si)) => shown(*dimension, *unit, si),
                (Labels::Names(names), _) => names[place].clone(),
                _ => String::new(),
            };
            note(SweptError::Twice { value }.into());
            return None;
        }
        Some((values, labels))
    }

    fn read_as(&self, row: &Row, text: &str, note: &mut dyn FnMut(Problem)) -> Option<Value> {
        let item = &item(text);
        let sheet = &self.sheet;
        Reading {
            sheet,
            row,
            item,
            note,
        }
        .value()
    }

    /// A value that is no number, and its name: of a pipe its bore.
    fn named(&self, row: &Row, value: Value, text: &str) -> Option<(Value, String)> {
        match (row.holds, value) {
            (Holds::Pipe, Value::Text(name)) => {
                let pipe = self.sheet.pipe(&name).ok()??;
                Some((Value::Number(pipe.bore().value), pipe.name.clone()))
            }
            (_, value) => Some((value, text.to_owned())),
        }
    }

    /// The values of all keys that can vary, read once.
    fn values(&self) -> KeyValues {
        let ignored = &mut |_| ();
        let mut given = Vec::new();
        for row in varied_rows() {
            let (own, _) = row.path.split_once('.').unwrap_or_default();
            let there = self.sheet.at([own]);
            let found = self.sheet.find(own, row.name);
            let own = found.and_then(|(item, _)| {
                let row = &there.in_force(row);
                let sheet = &self.sheet;
                Reading {
                    sheet,
                    row,
                    item,
                    note: ignored,
                }
                .value()
            });
            let bore = || self.bore().map(|bore| Value::Number(bore.value));
            let usual = match row.usual {
                Usual::Value(text, _) => self.read_as(row, text, ignored),
                _ => None,
            };
            given.push(if row.path == riser::BORE.path {
                [bore(), None]
            } else {
                [own, usual]
            });
        }
        KeyValues::of(varied_rows().zip(given))
    }
}

/// A key that may vary beside those before it.
fn may_vary(path: &str, before: &[Varying]) -> Result<&'static Row, Problem> {
    let row = row(path).ok_or_else(|| unknown(path))?;
    if before.iter().any(|other| other.row.path == row.path) {
        return Err(SweptError::GivenTwice.into());
    }
    if let Some(other) = before
        .iter()
        .find(|other| says_the_same(row, other.row.path))
    {
        let other = other.row.path;
        return Err(Problem::Contradiction { other });
    }
    Ok(row)
}

impl Varying {
    /// A key with a value for each row.
    fn side_by_side(row: &'static Row, given: Given) -> Self {
        let elements = match &given {
            Given::Numbers(all) => {
                // What the file of the first case is to hold is a value that can be.
                let first = all.iter().find(|si| row.check(**si).is_ok());
                vec![first.map_or_else(|| row.example.to_owned(), |si| row.si_text(*si))]
            }
            Given::Names(names, _) => names.clone(),
        };
        Self {
            row,
            place: Place::Replaced,
            text: String::new(),
            elements: elements.into_iter().map(Element::Value).collect(),
            given: Some(given),
        }
    }
}

/// A key and its values, of those that vary after others.
fn one_varying(
    path: &str,
    text: Result<String, &'static str>,
    place: Place,
    before: &[Varying],
) -> Result<Varying, Problem> {
    let row = may_vary(path, before)?;
    let expected = "a text, such as \"40 mm..100 mm/5 mm\",";
    let text = text.map_err(|found| Problem::WrongType { expected, found })?;
    let names = matches!(row.holds, Holds::Name(..) | Holds::Pipe | Holds::State);
    let elements: Result<Vec<_>, _> = split(&text)
        .into_iter()
        .filter(|text| !text.is_empty())
        .map(|text| element(row, &text, names))
        .collect();
    let elements = elements?;
    if elements.is_empty() {
        return Err(SweptError::Empty { text }.into());
    }
    Ok(Varying {
        row,
        place,
        text,
        elements,
        given: None,
    })
}

impl Sheet {
    /// What stands in `[sweep]`: of each key its path, its text or what stands there else, and its place.
    fn swept(&self) -> Vec<(String, Result<String, &'static str>, Place)> {
        let mut all = Vec::new();
        for (document, replaced) in self.tables() {
            let Some(table) = document.get(SWEEP).and_then(Item::as_table_like) else {
                continue;
            };
            let mut add = |path: String, table: &dyn TableLike, name: &str, item: &Item| {
                let span = item.span().or_else(|| table.key(name)?.span());
                let place = match span {
                    Some(span) if !replaced => self.line(span.start),
                    _ => Place::Replaced,
                };
                let text = item.as_str().map(str::to_owned).ok_or_else(|| kind(item));
                all.push((path, text, place));
            };
            for (name, item) in table.iter() {
                // riser.bore = "…" is a table in a table, "riser.bore" = "…" is not.
                match item.as_table_like() {
                    Some(inner) => {
                        for (key, item) in inner.iter() {
                            add(format!("{name}.{key}"), inner, key, item);
                        }
                    }
                    None => add(name.to_owned(), table, name, item),
                }
            }
        }
        all
    }
}

/// A key that can vary.
fn row(path: &str) -> Option<&'static Row> {
    varied_rows().find(|row| row.path == path)
}

/// Whether two keys say the same, so that there can be one of them alone.
fn says_the_same(one: &Row, path: &str) -> bool {
    let Some(other) = row(path) else {
        return false;
    };
    let section = |row: &Row| row.path.strip_suffix(row.name).map(str::to_owned);
    section(one) == section(other)
        && (one.instead.contains(&other.name) || other.instead.contains(&one.name))
}

/// Why a key cannot vary.
fn unknown(path: &str) -> Problem {
    let Some((name, key)) = path.split_once('.') else {
        let text = path.to_owned();
        return Problem::NoKey { text };
    };
    let Some(section) = section(name) else {
        return Problem::UnknownSection {
            name: name.to_owned(),
            nearest: nearest(name, VARIED),
        };
    };
    if VARIED.contains(&name) {
        let known: Vec<&str> = section.keys.iter().map(|row| row.name).collect();
        return Problem::UnknownKey {
            section: section.title(),
            name: key.to_owned(),
            nearest: nearest(key, &known),
            known,
        };
    }
    SweptError::OtherQuestion.into()
}

/// A value in the place of the file's, as an option has it.
fn replaced(row: &Row, text: &str) -> String {
    format!("{}={text}", row.path)
}

/// Faults of the first case stand where its values are given.
fn placed(error: FileError, varying: &[Varying]) -> FileError {
    match error {
        FileError::Faults { mut faults } => {
            for fault in &mut faults {
                let own = varying.iter().find(|one| one.row.path == fault.key);
                if let Some(own) = own.filter(|_| fault.place == Place::Replaced) {
                    fault.place = own.place;
                }
            }
            FileError::Faults { faults }
        }
        other => other,
    }
}

/// A list at its commas, but for those in quotes and brackets.
fn split(text: &str) -> Vec<String> {
    let (mut elements, mut depth, mut quoted) = (vec![String::new()], 0_i32, false);
    for c in text.chars() {
        match c {
            '"' => quoted = !quoted,
            '{' | '[' if !quoted => depth += 1,
            '}' | ']' if !quoted => depth -= 1,
            ',' if !quoted && depth == 0 => {
                elements.push(String::new());
                continue;
            }
            _ => {}
        }
        if let Some(last) = elements.last_mut() {
            last.push(c);
        }
    }
    let bare = |text: &String| {
        let text = text.trim();
        let inner = text
            .strip_prefix('"')
            .and_then(|text| text.strip_suffix('"'));
        inner.unwrap_or(text).to_owned()
    };
    elements.iter().map(bare).collect()
}

/// A value of a list, or a range.
fn element(row: &Row, text: &str, names: bool) -> Result<Element, SweptError> {
    let whole = || text.to_owned();
    let Some((from, rest)) = text.split_once("..") else {
        return Ok(Element::Value(whole()));
    };
    if names {
        // The name of a pipe may have two points in it.
        return if matches!(row.holds, Holds::Pipe) {
            Ok(Element::Value(whole()))
        } else {
            Err(SweptError::RangeOfNames { text: whole() })
        };
    }
    let parts = |(to, by): (&str, &str)| (to.trim().to_owned(), by.trim().to_owned());
    let (to, by) = if let Some((to, factor)) = rest.split_once('*').map(parts) {
        (to, By::Factor(factor))
    } else if let Some((to, count)) = rest.split_once(':').map(parts) {
        (to, By::Count(count))
    } else {
        // Units have strokes too: "80 L/min/20 L/min" parts where both sides start with a number.
        let starts = |text: &str| {
            text.trim_start()
                .starts_with(|c: char| "+-\u{2212}.0123456789".contains(c))
        };
        let mut strokes = rest
            .match_indices('/')
            .map(|(at, _)| (&rest[..at], &rest[at + 1..]));
        let found = strokes.find(|(_, step)| starts(step)).map(parts);
        let (to, step) = found.ok_or_else(|| SweptError::NoSteps { text: whole() })?;
        (to, By::Step(step))
    };
    Ok(Element::Range {
        text: whole(),
        from: from.trim().to_owned(),
        to,
        by,
    })
}

/// A value as TOML: a table where it is one, else a text.
fn item(text: &str) -> Item {
    let table = text
        .starts_with('{')
        .then(|| Document::parse(format!("value = {text}")).ok());
    let table = table
        .flatten()
        .and_then(|document| document.get("value").cloned());
    table.unwrap_or_else(|| Item::Value(Toml::from(text)))
}

/// The dimension of a value that is a number.
fn dimension(row: &Row, value: &Value) -> Option<Dimension> {
    match (row.holds, value) {
        (Holds::Quantity(dimension, _) | Holds::QuantityOrNone(dimension, _), Value::Number(_)) => {
            Some(dimension)
        }
        (Holds::BoresOrLength(..), Value::Bores(_)) => Some(Dimension::Ratio),
        (Holds::BoresOrLength(..), Value::Number(_)) => Some(Dimension::Length),
        _ => None,
    }
}

fn number(value: &Value) -> Option<f64> {
    match value {
        Value::Number(number) | Value::Bores(number) => Some(*number),
        _ => None,
    }
}

/// The place of the first value that was there before.
fn twice<T: std::hash::Hash + Eq>(values: impl IntoIterator<Item = T>) -> Option<usize> {
    let mut known = HashSet::new();
    values.into_iter().position(|value| !known.insert(value))
}

/// The dimension of differences, as steps are.
fn of_steps(dimension: Dimension) -> Dimension {
    match dimension {
        Dimension::Temperature => Dimension::TemperatureInterval,
        Dimension::AbsolutePressure | Dimension::GaugePressure => Dimension::Pressure,
        other => other,
    }
}

/// The numbers of a range in SI: both ends, and what lies between by its place, so that nothing adds up.
fn between(
    dimension: Dimension,
    text: &str,
    [from, to]: [&String; 2],
    by: &By,
) -> Result<Vec<f64>, Problem> {
    let text = || text.to_owned();
    let (a, unit) = number_and_unit(from, dimension, None)?;
    let si = |number: f64| unit.map_or(number, |unit| unit.si(number));
    let b_si = si_value(to, dimension, None)?;
    let b = match number_and_unit(to, dimension, None)? {
        (b, own) if own.map(Unit::name) == unit.map(Unit::name) => b,
        _ => unit.map_or(b_si, |unit| b_si / unit.factor - unit.offset),
    };
    // How many steps there are from end to end, and what lies at a share of the way.
    let even = |share: f64| a + (b - a) * share;
    let by_factor = |share: f64| a * (b / a).powf(share);
    let (steps, at): (f64, &dyn Fn(f64) -> f64) = match by {
        By::Step(step) => {
            let step = si_value(step, of_steps(dimension), None)?;
            let step = unit.map_or(step, |unit| step / unit.factor);
            if step <= 0.0 {
                return Err(SweptError::NoStep { text: text() }.into());
            }
            (((b - a) / step).abs(), &even)
        }
        By::Factor(factor) => {
            let factor: f64 = factor
                .parse()
                .ok()
                .filter(|factor: &f64| factor.is_finite())
                .unwrap_or(0.0);
            if factor <= 0.0
                || factor == 1.0
                || a <= 0.0
                || b <= 0.0
                || dimension == Dimension::Temperature
            {
                return Err(SweptError::NoFactor { text: text() }.into());
            }
            (((b / a).ln() / factor.ln()).abs(), &by_factor)
        }
        By::Count(count) => {
            let count: Option<usize> = count.parse().ok();
            let count = count.filter(|count| (2..=MOST_VALUES).contains(count));
            let count = count.ok_or_else(|| SweptError::NoCount { text: text() })?;
            ((count - 1) as f64, &even)
        }
    };
    if steps >= MOST_VALUES as f64 {
        return Err(SweptError::TooMany { text: text() }.into());
    }
    let whole = steps.round();
    if (steps - whole).abs() > WHOLE {
        let value = |count: f64| shown(dimension, unit, si(written(at(count / steps))));
        return Err(SweptError::Misses {
            text: text(),
            before: value(steps.floor()),
            after: value(steps.ceil()),
        }
        .into());
    }
    let mut all = vec![si(a)];
    let mut count = 1.0;
    while count < whole {
        all.push(si(written(at(count / whole))));
        count += 1.0;
    }
    if whole > 0.0 {
        all.push(b_si);
    }
    Ok(all)
}
