//! What a table may hold, as data: its columns, and the keys above its header.

use super::TableProblem;
use crate::error::{Error, Input, Range};
use crate::name::nearest;
use crate::units::quantity::{self, Dimension, QuantityError, Unit, decimal_point, si_value};

/// One kind of table.
#[derive(Debug)]
pub(crate) struct Layout {
    /// What a row stands for.
    pub row: &'static str,
    /// A header that would do.
    pub example: &'static str,
    /// What lines above the header may give, each beside its name.
    pub keys: &'static [Column],
    pub columns: &'static [Column],
}

/// All that is known of a column, or of a key above the header.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Column {
    /// As headers write it, in front of the unit.
    pub name: &'static str,
    pub holds: Holds,
    /// What it holds, in words; of a key, what it takes.
    pub words: &'static str,
    needed: Needed,
    /// Columns that will do in its place.
    instead: &'static [Column],
    many: Many,
    range: Option<Range>,
    /// The inputs that its values become; the first names it in errors.
    inputs: &'static [Input],
    /// Where the table gives the state of a gas, for a flow of one.
    state: &'static str,
}

/// What stands in the cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Holds {
    /// A quantity, and the unit that an example has; an empty one for a number that has none.
    Number(Dimension, &'static str),
    Date,
    Text,
    /// Free text, in any number of columns; not read.
    Note,
}

/// Whether a table must have the column.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Needed {
    Yes,
    /// Where it has that one.
    With(&'static str),
    No,
    /// Nothing reads it: it is for people.
    Unread,
}

/// How many of a column there may be.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Many {
    One,
    /// One for each repeat, as `name_2_unit`.
    Numbered,
    /// One for each name, as `name_north_unit`, or this in place of both names.
    Named(&'static str),
}

impl Column {
    const fn new(name: &'static str, holds: Holds) -> Self {
        Self {
            name,
            holds,
            words: "free text",
            needed: Needed::No,
            instead: &[],
            many: Many::One,
            range: None,
            inputs: &[],
            state: "apart",
        }
    }

    pub const fn number(name: &'static str, (dimension, unit): (Dimension, &'static str)) -> Self {
        Self::new(name, Holds::Number(dimension, unit))
    }

    pub const fn date(name: &'static str) -> Self {
        Self::new(name, Holds::Date)
    }

    pub const fn text(name: &'static str) -> Self {
        Self::new(name, Holds::Text)
    }

    pub const fn note() -> Self {
        Self::new("note", Holds::Note)
    }

    pub const fn holds(self, words: &'static str) -> Self {
        Self { words, ..self }
    }

    /// Needed, if none of those that will do in its place is there.
    pub const fn needed(self, instead: &'static [Column]) -> Self {
        Self {
            needed: Needed::Yes,
            instead,
            ..self
        }
    }

    /// Needed likewise where the table has that one.
    pub const fn needed_with(self, other: &Column, instead: &'static [Column]) -> Self {
        Self {
            needed: Needed::With(other.name),
            instead,
            ..self
        }
    }

    pub const fn unread(self) -> Self {
        let needed = Needed::Unread;
        Self { needed, ..self }
    }

    pub const fn numbered(self) -> Self {
        let many = Many::Numbered;
        Self { many, ..self }
    }

    pub const fn named(self, plain: &'static str) -> Self {
        let many = Many::Named(plain);
        Self { many, ..self }
    }

    /// The inputs of the library that its values become.
    pub const fn of(self, inputs: &'static [Input]) -> Self {
        Self { inputs, ..self }
    }

    /// What each value is held against, as the first of its inputs.
    pub const fn within(self, range: Range, inputs: &'static [Input]) -> Self {
        let range = Some(range);
        Self {
            range,
            inputs,
            ..self
        }
    }

    pub const fn with_state(self, state: &'static str) -> Self {
        Self { state, ..self }
    }

    pub fn dimension(&self) -> Option<Dimension> {
        match self.holds {
            Holds::Number(dimension, _) => Some(dimension),
            _ => None,
        }
    }

    /// A header that would do, as "water_time_2_s".
    pub fn example(&self, number: &str) -> String {
        let unit = match self.holds {
            Holds::Number(_, unit) if !unit.is_empty() => format!("_{unit}"),
            _ => String::new(),
        };
        match self.many {
            Many::One => format!("{}{unit}", self.name),
            Many::Numbered => format!("{}_{number}{unit}", self.name),
            Many::Named(plain) => format!("{plain}{unit}"),
        }
    }

    /// The same as a list of columns has it.
    fn listed(&self) -> String {
        let one = self.example("1");
        match (self.many, one.split_once('_')) {
            (Many::Named(_), Some((_, unit))) => format!("{one}, {}_<name>_{unit}", self.name),
            _ => one,
        }
    }

    /// What it holds, and what will do in its place.
    fn expected(&self) -> String {
        let others: Vec<String> = self.instead.iter().map(|c| c.example("1")).collect();
        match &others[..] {
            [] => self.words.to_owned(),
            others => format!("{} (or {})", self.words, others.join(" or ")),
        }
    }

    pub fn problem(&self, error: QuantityError) -> TableProblem {
        let state = self.state;
        TableProblem::Quantity { error, state }
    }

    /// A text that is none of those that would do.
    pub fn word(&self) -> TableProblem {
        let expected = self.words;
        TableProblem::Word { expected }
    }

    /// The number of a text in SI units, in its range. `unit` is that of a number without one; a decimal
    /// comma is one where no comma separates cells.
    pub fn si(
        &self,
        text: &str,
        unit: Option<&'static Unit>,
        decimal_commas: bool,
    ) -> Result<f64, TableProblem> {
        let Some(dimension) = self.dimension() else {
            return Err(self.word());
        };
        let text = if decimal_commas {
            decimal_point(text)
        } else {
            text.into()
        };
        let si = if dimension == Dimension::Time && text.contains(':') {
            clock_s(&text).ok_or(TableProblem::Clock)?
        } else {
            si_value(&text, dimension, unit).map_err(|error| self.problem(error))?
        };
        Ok(self.checked(si)?)
    }

    /// A value in SI units that lies in the range.
    pub fn checked(&self, si: f64) -> Result<f64, Error> {
        let (Some(range), Some(input), Some(dimension)) =
            (self.range, self.inputs.first(), self.dimension())
        else {
            return Ok(si);
        };
        let number = match quantity::unit(range.unit, dimension) {
            Ok(unit) => si / unit.factor - unit.offset,
            Err(_) => si,
        };
        range.check(*input, number)?;
        Ok(si)
    }

    /// What a document says of it: header, what it holds, whether it is needed.
    #[cfg(test)]
    fn documented(&self) -> String {
        let shown = |column: &Column| {
            let heads = column.listed();
            let heads: Vec<String> = heads.split(", ").map(|head| format!("`{head}`")).collect();
            let more = if column.many == Many::Numbered {
                ", …"
            } else {
                ""
            };
            heads.join(", ") + more
        };
        let range = self.range.map(|range| format!("; {range}"));
        let unread = if self.needed == Needed::Unread {
            "; not read"
        } else {
            ""
        };
        let due = match self.needed {
            Needed::Yes => "yes".to_owned(),
            Needed::With(other) => format!("with `{other}`"),
            Needed::No | Needed::Unread => String::new(),
        };
        let or = self
            .instead
            .iter()
            .map(|other| format!(", or {}", shown(other)));
        format!(
            "| {} | {}{}{unread} | {due}{} |\n",
            shown(self),
            self.words,
            range.unwrap_or_default(),
            or.collect::<String>(),
        )
    }

    /// Both ends of its range as texts.
    #[cfg(test)]
    pub(super) fn ends(&self) -> Vec<String> {
        let ends = self
            .range
            .map(|range| [range.min, range.max].map(|end| format!("{end} {}", range.unit)));
        ends.into_iter().flatten().collect()
    }

    pub fn is_of(&self, input: Input) -> bool {
        self.inputs.contains(&input)
    }
}

/// A header understood.
#[derive(Debug)]
pub(crate) struct Head {
    pub column: &'static Column,
    /// As the file has it.
    pub text: String,
    /// Number of the repeat; 1 where there is none.
    pub(super) number: u32,
    /// The name that parts it from others of the column; empty where there is none.
    pub label: String,
    /// The unit of a number without one.
    pub(super) unit: Option<&'static Unit>,
}

impl Head {
    pub(super) fn of(column: &'static Column, text: &str) -> Self {
        Self {
            column,
            text: text.to_owned(),
            number: 1,
            label: String::new(),
            unit: None,
        }
    }

    /// Whether both say the same; free text may stand in many columns.
    pub(super) fn is_twin(&self, other: &Self) -> bool {
        let which = |head: &Self| (head.column.name, head.number);
        which(self) == which(other) && self.label == other.label && self.column.holds != Holds::Note
    }
}

impl Layout {
    /// The key of a name, whatever its case.
    pub(super) fn key(&self, name: &str) -> Option<&'static Column> {
        let mut keys = self.keys.iter();
        keys.find(|key| key.name.eq_ignore_ascii_case(name))
    }

    /// A header taken apart, and what is wrong with its unit; of names that start it, the longest.
    pub(super) fn take_apart(&self, text: &str) -> Option<(Head, Option<QuantityError>)> {
        let lower = text.to_ascii_lowercase();
        // Capitals alone say nothing of the prefixes of units.
        let header = if text.contains(char::is_lowercase) {
            text
        } else {
            &lower
        };
        let starts = |name: &str| {
            let rest = lower.strip_prefix(&name.to_ascii_lowercase());
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('_'))
        };
        let names = self.columns.iter().flat_map(|column| {
            let plain = match column.many {
                Many::Named(plain) => Some(plain),
                _ => None,
            };
            plain
                .into_iter()
                .chain([column.name])
                .map(move |name| (column, name))
        });
        let (column, name) = names
            .filter(|(_, name)| starts(name))
            .max_by_key(|(_, name)| name.len())?;
        if self.key(header).is_some() {
            return None;
        }
        let mut head = Head::of(column, text);
        let mut rest = header.get(name.len()..)?.strip_prefix('_');
        match (column.many, rest) {
            (Many::Numbered, Some(tail)) if tail.starts_with(|c: char| c.is_ascii_digit()) => {
                let (digits, unit) = tail.split_once('_').unwrap_or((tail, ""));
                head.number = digits.parse().ok()?;
                rest = Some(unit).filter(|_| digits.len() < tail.len());
            }
            (Many::Named(plain), _) if name == plain => plain.clone_into(&mut head.label),
            (Many::Named(_), tail) => {
                let (label, unit) = label_and_unit(tail?, column.dimension()?);
                head.label = label.to_lowercase();
                rest = unit;
            }
            _ => {}
        }
        let wrong = match (column.holds, rest) {
            (Holds::Number(_, "") | Holds::Date | Holds::Text, Some(_)) => return None,
            (Holds::Number(dimension, _), Some(unit)) => {
                let unit = unit_of(unit, dimension);
                head.unit = unit.as_ref().ok().copied();
                unit.err()
            }
            _ => None,
        };
        Some((head, wrong))
    }

    /// No column of this name, and what was probably meant.
    pub(super) fn unknown(&self, header: &str) -> TableProblem {
        /// Columns that a fault lists.
        const MOST: usize = 12;
        let digits: String = header.chars().filter(char::is_ascii_digit).collect();
        let number = if digits.is_empty() { "1" } else { &digits };
        let examples = self.columns.iter().map(|column| column.example(number));
        let bare = self.columns.iter().map(|column| column.name.to_owned());
        let few = self.columns.len() <= MOST;
        let listed = self.columns.iter().filter(|_| few).map(Column::listed);
        TableProblem::Unknown {
            what: "column",
            nearest: nearest(header, examples.chain(bare)),
            known: listed.collect::<Vec<_>>().join(", "),
        }
    }

    /// No key of this name.
    pub(super) fn unknown_key(&self, text: &str) -> TableProblem {
        let names = || self.keys.iter().map(|key| key.name);
        TableProblem::Unknown {
            what: "key above the header",
            nearest: nearest(text, names()),
            known: names().collect::<Vec<_>>().join(", "),
        }
    }

    /// The table of columns in documents, with that of the keys above it.
    #[cfg(test)]
    pub(super) fn documented(&self) -> String {
        let mut text = String::new();
        if !self.keys.is_empty() {
            text += "| key above the header | takes |\n|---|---|\n";
            let keys = self.keys.iter();
            text.extend(keys.map(|key| format!("| `{}` | {} |\n", key.name, key.words)));
            text += "\n";
        }
        text += "| column | holds | needed |\n|---|---|---|\n";
        text.extend(self.columns.iter().map(Column::documented));
        text
    }

    /// The columns that a table lacks, with what they hold.
    pub(super) fn missing(
        &self,
        has: impl Fn(&str) -> bool,
    ) -> impl Iterator<Item = (String, TableProblem)> {
        self.columns.iter().filter_map(move |column| {
            let due = match column.needed {
                Needed::Yes => true,
                Needed::With(other) => has(other),
                Needed::No | Needed::Unread => false,
            };
            let there = has(column.name) || column.instead.iter().any(|other| has(other.name));
            let expected = column.expected();
            let problem = TableProblem::MissingColumn { expected };
            (due && !there).then(|| (column.example("1"), problem))
        })
    }
}

/// The label and the unit of `north_mg_per_l`: the first end that spells a unit, or else the word before
/// `_per_` and what follows.
fn label_and_unit(tail: &str, dimension: Dimension) -> (&str, Option<&str>) {
    let ends = || {
        tail.match_indices('_')
            .map(|(at, _)| (&tail[..at], &tail[at + 1..]))
    };
    let mut spelled = ends().filter(|(_, unit)| unit_of(unit, dimension).is_ok());
    let of_per = || {
        let (before, _) = tail.rsplit_once("_per_")?;
        let (label, _) = before.rsplit_once('_')?;
        Some((label, &tail[label.len() + 1..]))
    };
    match spelled.next().or_else(of_per) {
        Some((label, unit)) => (label, Some(unit)),
        None => (tail, None),
    }
}

/// The unit of a header, as quantities spell it.
fn unit_of(text: &str, dimension: Dimension) -> Result<&'static Unit, QuantityError> {
    quantity::unit(&text.replace("_per_", "/"), dimension)
}

/// A time as m:ss or h:mm:ss, with decimals of the seconds or none, s.
fn clock_s(text: &str) -> Option<f64> {
    let (before, seconds) = text.trim().rsplit_once(':')?;
    let (hours, minutes) = before.split_once(':').unwrap_or(("0", before));
    let whole = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let (tens, decimals) = seconds.split_once('.').unwrap_or((seconds, "0"));
    let written = whole(hours) && whole(minutes) && whole(tens) && whole(decimals);
    let two = |text: &str| text.len() == 2;
    let minutes_fit = minutes.len() <= 2 || before == minutes;
    if !(written && two(tens) && minutes_fit && !decimals.is_empty()) {
        return None;
    }
    let [hours, minutes, seconds]: [f64; 3] = [
        hours.parse().ok()?,
        minutes.parse().ok()?,
        seconds.parse().ok()?,
    ];
    let below_60 = seconds < 60.0 && (before.find(':').is_none() || minutes < 60.0);
    below_60.then_some(3600.0 * hours + 60.0 * minutes + seconds)
}
