//! Every key of a design file, each once: what it is, what it holds, within what range, its default, an
//! example, and the keys that say the same.
//!
//! Reading a file, its faults, the lists of the tool, the tables of the book and the schema for editors all
//! follow from [`SECTIONS`]. Nothing here knows of a format: values reach a key as [`Value`], and a column of
//! a table can have a key as a file of TOML does.
//!
//! ```
//! use risewater::keys;
//!
//! let riser = keys::section("riser").expect("there is one");
//! let bore = riser.row("bore").expect("it has one");
//! assert_eq!(bore.value_words(), "length, 1 to 3000 mm");
//! assert_eq!(bore.instead, ["pipe"]);
//! ```

mod bench;
pub(crate) mod described;
mod loops;
mod one_riser;
mod rearing;
mod search;
mod supply;
mod value;

use std::borrow::Cow;
use std::marker::PhantomData;
use std::ops::Deref;

pub(crate) use bench::{aeration, trial};
pub(crate) use loops::{closed_loop, filter, timer};
pub(crate) use one_riser::{air, model, pipe, riser, site, state, water};
pub(crate) use rearing::{need, rearing_tank};
pub(crate) use search::{duty, gas, limits, tank};
pub(crate) use supply::{balance, blower, branch, header, lift, main_line, stock, tariff};
pub(crate) use value::Held;
pub use value::{OrNone, Value};

#[cfg(feature = "sweep")]
use crate::error::Error;
use crate::error::{Input, NameKind, Range};
use crate::units::UnitSystem;
use crate::units::quantity::{Dimension, Unit};

/// A section of a design file.
#[derive(Debug, Clone, Copy)]
pub struct Section {
    /// Its name, as in `[riser]`.
    pub name: &'static str,
    /// Whether there may be several, as `[[lift]]`.
    pub repeated: bool,
    /// Whether it may stand once without a number, as `[riser]`; `[duty]` may, and be given several times as well.
    pub single: bool,
    /// Its keys.
    pub keys: &'static [Row],
}

impl Section {
    /// A key by its name.
    #[must_use]
    pub fn row(&self, name: &str) -> Option<&'static Row> {
        self.keys.iter().find(|row| row.name == name)
    }

    /// As a file writes it: `[riser]`, `[[lift]]`.
    #[must_use]
    pub fn title(&self) -> String {
        if self.single {
            format!("[{}]", self.name)
        } else {
            format!("[[{}]]", self.name)
        }
    }
}

const fn one(name: &'static str, keys: &'static [Row]) -> Section {
    Section {
        name,
        repeated: false,
        single: true,
        keys,
    }
}

const fn several(name: &'static str, keys: &'static [Row]) -> Section {
    Section {
        single: false,
        ..either(name, keys)
    }
}

const fn either(name: &'static str, keys: &'static [Row]) -> Section {
    Section {
        repeated: true,
        ..one(name, keys)
    }
}

/// The sections of a design file, in the order that faults of replaced values are told in.
pub const SECTIONS: [Section; 25] = [
    one("water", water::ALL),
    one("site", site::ALL),
    several("pipe", pipe::ALL),
    one("riser", riser::ALL),
    one("air", air::ALL),
    one("model", model::ALL),
    either("duty", duty::ALL),
    one("limits", limits::ALL),
    one("gas", gas::ALL),
    one("tank", tank::ALL),
    one("trial", trial::ALL),
    one("main_line", main_line::ALL),
    one("blower", blower::ALL),
    one("header", header::ALL),
    one("branch", branch::ALL),
    one("balance", balance::ALL),
    one("tariff", tariff::ALL),
    one("stock", stock::ALL),
    several("lift", lift::ALL),
    one("need", need::ALL),
    several("rearing_tank", rearing_tank::ALL),
    one("loop", closed_loop::ALL),
    one("filter", filter::ALL),
    several("timer", timer::ALL),
    one("aeration", aeration::ALL),
];

/// The keys of the table that `air.reference` may be.
pub const STATE: Section = one("air.reference", state::ALL);

/// The keys of a section, or of all.
pub(crate) fn rows(name: Option<&str>) -> impl Iterator<Item = (&'static Section, &'static Row)> {
    const ALL: &[Section] = &SECTIONS;
    let asked = move |section: &&Section| name.is_none_or(|name| section.name == name);
    let sections = ALL.iter().filter(asked);
    sections.flat_map(|section| section.keys.iter().map(move |row| (section, row)))
}

/// Words without the marks of the book.
pub(crate) fn plain(words: &str) -> String {
    words.replace(['`', '*'], "").replace("<sub>L</sub>", "L")
}

/// A section by its name.
#[must_use]
pub fn section(name: &str) -> Option<&'static Section> {
    const ALL: &[Section] = &SECTIONS;
    ALL.iter().find(|section| section.name == name)
}

/// A key by what [`Row::column`] calls it.
#[cfg(feature = "sweep")]
#[must_use]
pub fn of_column(column: &str) -> Option<&'static Row> {
    let mut all = rows(None).map(|(_, row)| row);
    all.find(|row| row.column() == column)
}

impl Input {
    /// The key in a design file, as `section.key`; empty for what files do not carry.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.keys().next().unwrap_or_default()
    }

    /// The keys of a file that carry it, the usual one first.
    pub(crate) fn keys(self) -> impl Iterator<Item = &'static str> {
        let rows = SECTIONS.iter().flat_map(|section| section.keys);
        let blamed = rows
            .filter(move |row| row.speaks && row.input == Some(self) || row.also.contains(&self));
        blamed.map(|row| row.path)
    }
}

/// What a key holds.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum Holds {
    /// A quantity within a range; of a ratio a plain number will do.
    Quantity(Dimension, Range),
    /// The same, or "none".
    QuantityOrNone(Dimension, Range),
    /// Several, as a list or evenly spaced.
    Quantities(Dimension, Range),
    /// A number of bores, or a length.
    BoresOrLength(Range, Range),
    /// A number that is no share.
    Number(Range),
    /// A whole number.
    Whole(Range),
    /// True or false.
    Truth,
    /// A text.
    Text,
    /// The name of a file.
    File,
    /// One of a few names.
    Name(NameKind, fn() -> Vec<&'static str>),
    /// The name of a pipe.
    Pipe,
    /// Names of pipes.
    Pipes,
    /// Names of standards of pipes.
    Standards,
    /// Fittings with their numbers.
    Fittings(Range),
    /// Pairs of quantities, each with the input that it is.
    Pairs([(Dimension, Input, Range); 2]),
    /// A reference state of air: a name, or a table of [`STATE`].
    State,
}

/// What is taken where a key is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Usual {
    /// Nothing: it must be given, in these words.
    Needed(&'static str),
    /// A value, with a remark that may be empty.
    Value(&'static str, &'static str),
    /// What these words say.
    Words(&'static str),
}

/// What is known of one key.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Row {
    /// Section and name, as `riser.bore`; a key of several sections has that of the first.
    pub path: &'static str,
    /// Its name in its section.
    pub name: &'static str,
    /// What it is, as the book has it.
    pub words: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// What is taken where it is left out.
    pub usual: Usual,
    /// A value, as [`Row::literal`] writes it.
    pub example: &'static str,
    /// How it is asked for, before and after the example.
    ask: [&'static str; 2],
    /// What refusals call it.
    pub input: Option<Input>,
    /// Whether a refusal of that input blames this key.
    speaks: bool,
    /// Whether its list may be empty.
    pub empty: bool,
    /// Other inputs whose refusals blame it.
    also: &'static [Input],
    /// Keys of its section that say the same.
    pub instead: &'static [&'static str],
    /// Keys that it must not stand beside, as its section has them, with their words in a fault.
    pub beside: &'static [(&'static str, &'static str)],
    /// The outlet or injector that it belongs to; empty for all.
    pub of: &'static str,
}

impl Row {
    /// The example, or another value of the key, as TOML.
    #[must_use]
    pub fn literal(text: &str) -> String {
        let bare = text.parse::<f64>().is_ok()
            || matches!(text, "true" | "false")
            || text.starts_with(['[', '{']);
        if bare {
            text.to_owned()
        } else {
            format!("\"{text}\"")
        }
    }

    /// What to give, with an example.
    pub(crate) fn asked(&self) -> Cow<'static, str> {
        self.asked_with(self.example)
    }

    /// The same with another example.
    pub(crate) fn asked_with(&self, example: &str) -> Cow<'static, str> {
        let [ask, after] = self.ask;
        let example = Self::literal(example);
        let ask = if ask.is_empty() { self.words } else { ask };
        match after {
            "." => ask.into(),
            after => format!("{ask}, such as {example}{after}").into(),
        }
    }

    /// What it holds, in words, with its range.
    #[must_use]
    pub fn value_words(&self) -> String {
        let of = |dimension: Dimension, range: Range| {
            let range = range.to_string();
            format!("{dimension}, {}", range.trim_end_matches(" gauge"))
        };
        let number = |words: &str, range: Range| {
            let unit = "";
            format!("{words}, {}", Range { unit, ..range })
        };
        match self.holds {
            Holds::Quantity(Dimension::Ratio, range) | Holds::Number(range) => {
                number("number", range)
            }
            Holds::Quantity(dimension, range) => of(dimension, range),
            Holds::QuantityOrNone(dimension, range) => {
                format!("`\"none\"`, or {}", of(dimension, range))
            }
            Holds::Quantities(Dimension::Ratio, range) => number("list of numbers", range),
            Holds::Quantities(dimension, range) => {
                format!("list of {dimension}s, {range}")
            }
            Holds::BoresOrLength(bores, length) => format!(
                "{}, or {}",
                number("number", bores),
                of(Dimension::Length, length)
            ),
            Holds::Whole(range) => number("whole number", range),
            Holds::Truth => "true or false".to_owned(),
            Holds::Text => "text".to_owned(),
            Holds::File => "file name".to_owned(),
            Holds::Name(..) | Holds::Pipe => "name".to_owned(),
            Holds::Pipes | Holds::Standards => "list of names".to_owned(),
            Holds::Fittings(range) => number("table of names and whole numbers", range),
            Holds::Pairs([(one, ..), (other, ..)]) => format!("list of pairs of {one} and {other}"),
            Holds::State => "name, or table".to_owned(),
        }
    }

    /// Its default, in words.
    #[must_use]
    pub fn usual_words(&self) -> String {
        match self.usual {
            Usual::Needed(words) | Usual::Words(words) => words.to_owned(),
            Usual::Value(value, remark) => {
                let mark = if self.names().is_empty() { "" } else { "`" };
                format!("{mark}{value}{mark}{remark}")
            }
        }
    }

    /// The one quantity or number that it holds, with its range; none where it holds something else.
    fn measured(&self) -> Option<(Option<Dimension>, Range)> {
        match self.holds {
            Holds::Quantity(dimension, range) | Holds::QuantityOrNone(dimension, range) => {
                Some((Some(dimension), range))
            }
            Holds::BoresOrLength(_, range) => Some((Some(Dimension::Length), range)),
            Holds::Number(range) | Holds::Whole(range) => Some((None, range)),
            _ => None,
        }
    }

    /// The quantity that it holds; none where it holds a number without a unit, or something else.
    #[must_use]
    pub fn dimension(&self) -> Option<Dimension> {
        self.measured()?.0
    }

    /// What tables and programs call it: section and key, and the SI base unit of a quantity, as `riser_bore_m`.
    ///
    /// ```
    /// let rows = risewater::keys::section("air").expect("there is one").keys;
    /// let columns: Vec<_> = rows.iter().map(risewater::keys::Row::column).collect();
    /// assert_eq!(columns, ["air_flow_m3_per_s", "air_mass_flow_kg_per_s", "air_reference"]);
    /// ```
    #[cfg(feature = "sweep")]
    #[must_use]
    pub fn column(&self) -> String {
        self.column_of(self.dimension())
    }

    /// The same for values of a dimension, or for names.
    #[cfg(feature = "sweep")]
    pub(crate) fn column_of(&self, dimension: Option<Dimension>) -> String {
        let name = self.path.replace('.', "_");
        match dimension.map_or("", Dimension::si_key) {
            "" => name,
            unit => format!("{name}_{unit}"),
        }
    }

    /// A number in SI base units as a file has it.
    #[cfg(feature = "sweep")]
    #[must_use]
    pub fn si_text(&self, si: f64) -> String {
        let Some(dimension) = self.dimension().filter(|one| !one.takes_plain_number()) else {
            return si.to_string();
        };
        let base = |unit: &&Unit| unit.factor == 1.0 && unit.offset == 0.0;
        let unit = dimension.units().find(base);
        match unit.or_else(|| dimension.units().next()) {
            Some(unit) => format!("{} {}", si / unit.factor - unit.offset, unit.name()),
            None => si.to_string(),
        }
    }

    /// Whether a number in SI base units is within its range.
    #[cfg(feature = "sweep")]
    pub(crate) fn check(&self, si: f64) -> Result<(), Error> {
        if let (Some((dimension, range)), Some(input)) = (self.measured(), self.input) {
            let number = dimension.map_or(si, |one| one.number(si, range.unit));
            range.check(input, number)?;
        }
        Ok(())
    }

    /// The ends of its range in SI base units, as far as f64 has them; nothing lies between them where it has no range.
    #[cfg(feature = "sweep")]
    pub(crate) fn ends_si(&self) -> [f64; 2] {
        let Some((dimension, range)) = self.measured() else {
            return [f64::INFINITY, f64::NEG_INFINITY];
        };
        let si = |number| dimension.map_or(number, |one| one.si_of(number, range.unit));
        [si(range.min), si(range.max)]
    }

    /// The unit that its values are written in; none where it holds no quantity, or one without a unit.
    #[must_use]
    pub fn unit(&self, units: UnitSystem) -> Option<&'static Unit> {
        let (dimension, range) = self.measured()?;
        dimension?.unit_in(range.unit, units, self.input == Some(Input::AirFlow))
    }

    /// A value in SI base units as a file has it, to five digits; none where it holds no one quantity.
    ///
    /// ```
    /// use risewater::keys;
    /// use risewater::units::UnitSystem;
    ///
    /// let bore = keys::section("riser").and_then(|riser| riser.row("bore")).expect("it is there");
    /// assert_eq!(bore.text(0.0762, UnitSystem::Metric).as_deref(), Some("76.2 mm"));
    /// assert_eq!(bore.text(0.0762, UnitSystem::Us).as_deref(), Some("3 in"));
    /// ```
    #[must_use]
    pub fn text(&self, si: f64, units: UnitSystem) -> Option<String> {
        self.measured()?;
        let plain = Unit {
            spellings: &[""],
            factor: 1.0,
            offset: 0.0,
        };
        let text = self.unit(units).unwrap_or(&plain).text(si);
        Some(text.trim_end().to_owned())
    }

    /// The smallest and the largest value that it takes, as [`Row::text`] has them; none likewise.
    #[must_use]
    pub fn ends(&self, units: UnitSystem) -> Option<[String; 2]> {
        let (_, range) = self.measured()?;
        let metric = self.unit(UnitSystem::Metric);
        let text = |end: f64| self.text(metric.map_or(end, |unit| unit.si(end)), units);
        Some([text(range.min)?, text(range.max)?])
    }

    /// The names that it may hold; none where it holds something else, or one of many names.
    #[must_use]
    pub fn names(&self) -> Vec<&'static str> {
        match self.holds {
            Holds::Name(_, names) => names(),
            _ => Vec::new(),
        }
    }
}

/// A key whose values are of one type.
#[derive(Debug)]
pub(crate) struct Key<T> {
    pub row: Row,
    held: PhantomData<fn() -> T>,
}

impl<T> Deref for Key<T> {
    type Target = Row;

    fn deref(&self) -> &Row {
        &self.row
    }
}

/// What a table of keys says of each.
macro_rules! setters {
    ($($(#[$doc:meta])* $name:ident($($given:ident: $type:ty),*) { $($field:ident = $value:expr),* })*) => {
        $($(#[$doc])* const fn $name(mut self $(, $given: $type)*) -> Self {
            $(self.row.$field = $value;)*
            self
        })*
    };
}

impl<T> Key<T> {
    const fn new(holds: Holds, input: Option<Input>) -> Self {
        let row = Row {
            path: "",
            name: "",
            words: "",
            holds,
            usual: Usual::Words("none"),
            example: "",
            ask: [""; 2],
            input,
            speaks: input.is_some(),
            empty: false,
            also: &[],
            instead: &[],
            beside: &[],
            of: "",
        };
        Self {
            row,
            held: PhantomData,
        }
    }

    const fn at(mut self, path: &'static str, name: &'static str) -> Self {
        (self.row.path, self.row.name) = (path, name);
        self
    }

    setters! {
        /// What it is, with an example.
        is(text: &'static str, value: &'static str) { words = text, example = value }
        /// Its default, by a value.
        or(value: &'static str) { usual = Usual::Value(value, "") }
        /// The same with a remark, which starts with its mark.
        or_with(value: &'static str, remark: &'static str) { usual = Usual::Value(value, remark) }
        /// Its default, in words.
        else_(text: &'static str) { usual = Usual::Words(text) }
        /// It must be given.
        due() { usual = Usual::Needed("must be given") }
        /// The same in other words.
        due_as(text: &'static str) { usual = Usual::Needed(text) }
        /// How it is asked for, before and after the example; without the example where a full stop comes after.
        ask(before: &'static str, after: &'static str) { ask = [before, after] }
        /// Refusals blame another key, or none.
        silent() { speaks = false }
        /// Its list may be empty.
        or_none() { empty = true }
        /// What else it is to blame for.
        also(inputs: &'static [Input]) { also = inputs }
        /// What a refusal calls it.
        about(what: Input) { input = Some(what), speaks = true }
        /// Other keys that say the same.
        instead(keys: &'static [&'static str]) { instead = keys }
        /// Keys that it must not stand beside, with their words in a fault.
        beside(keys: &'static [(&'static str, &'static str)]) { beside = keys }
        /// The outlet or injector that it belongs to.
        of(owner: &'static str) { of = owner }
    }
}

/// Keys of one quantity each.
macro_rules! quantities {
    ($($name:ident: $dimension:ident -> $type:ident;)*) => {
        $(pub(super) const fn $name(input: Input, range: Range) -> Key<$crate::units::$type> {
            Key::new(Holds::Quantity(Dimension::$dimension, range), Some(input))
        })*
    };
}

/// What keys hold, for their tables.
mod holds {
    use super::{Dimension, Held, Holds, Input, Key, NameKind, OrNone, Range};

    quantities! {
        length: Length -> Length;
        pressure: Pressure -> Pressure;
        absolute_pressure: AbsolutePressure -> AbsolutePressure;
        gauge_pressure: GaugePressure -> GaugePressure;
        volume_rate: VolumeRate -> VolumeRate;
        mass_rate: MassRate -> MassRate;
        temperature: Temperature -> ThermodynamicTemperature;
        ratio: Ratio -> Ratio;
        mass_fraction: MassFraction -> Ratio;
        density: Density -> MassDensity;
        viscosity: DynamicViscosity -> DynamicViscosity;
        surface_tension: SurfaceTension -> SurfaceTension;
        power: Power -> Power;
        volume: Volume -> Volume;
        mass: Mass -> Mass;
        concentration: Concentration -> MassConcentration;
        oxygen_use: OxygenUse -> SpecificOxygenUse;
        rate: Rate -> Frequency;
        share_of_day: ShareOfDay -> Frequency;
    }

    quantities! {
        time: Time -> Time;
        area: Area -> Area;
        mass_flux: MassFlux -> MassFlux;
        temperature_interval: TemperatureInterval -> TemperatureInterval;
    }

    pub(super) const fn or_none<T: Held>(
        dimension: Dimension,
        input: Input,
        range: Range,
    ) -> Key<OrNone<T>> {
        Key::new(Holds::QuantityOrNone(dimension, range), Some(input))
    }

    pub(super) const fn number(input: Input, range: Range) -> Key<f64> {
        Key::new(Holds::Number(range), Some(input))
    }

    pub(super) const fn whole(input: Input, range: Range) -> Key<u32> {
        Key::new(Holds::Whole(range), Some(input))
    }

    pub(super) const fn truth() -> Key<bool> {
        Key::new(Holds::Truth, None)
    }

    pub(super) const fn text() -> Key<String> {
        Key::new(Holds::Text, None)
    }

    pub(super) const fn file() -> Key<String> {
        Key::new(Holds::File, None)
    }

    pub(super) const fn name<T>(kind: NameKind, names: fn() -> Vec<&'static str>) -> Key<T> {
        Key::new(Holds::Name(kind, names), None)
    }

    pub(super) const fn several<T>(
        dimension: Dimension,
        input: Input,
        range: Range,
    ) -> Key<Vec<T>> {
        Key::new(Holds::Quantities(dimension, range), Some(input))
    }

    /// A pipe, in place of a bore.
    pub(super) const fn pipe() -> Key<String> {
        Key::new(Holds::Pipe, None).is(
            "a pipe of the catalogue or of `[[pipe]]`, for its bore; not beside `bore`",
            "ASTM D1785 Sch 40 3 in",
        )
    }
}

/// The module of a section: its keys, each with the type that it reads to, and the table of all that it takes.
macro_rules! keys {
    ($(#[$doc:meta])* $module:ident $section:literal
        $($name:ident $key:literal: $type:ty = $holds:expr;)* => $all:expr) => {
        $(#[$doc])*
        pub(crate) mod $module {
            use super::*;

            $(pub(crate) const $name: Key<$type> = $holds.at(concat!($section, ".", $key), $key);)*
            pub(crate) const ALL: &[Row] = $all;
        }
    };
    ($(#[$doc:meta])* $module:ident $section:literal
        $($name:ident $key:literal: $type:ty = $holds:expr;)*) => {
        keys! { $(#[$doc])* $module $section $($name $key: $type = $holds;)* => &[$($name.row),*] }
    };
}
use keys;
