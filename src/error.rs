//! What can go wrong, as data: the quantity, the value given, the range allowed.
//!
//! Two tiers. What cannot be (a negative bore, a flow above the peak) is an [`Error`]. What lies
//! outside the data behind a formula gives a result with a [`Caution`](crate::caution::Caution).

mod aeration;
mod blower;
mod input;
mod name_kind;
mod need;
mod recirculation;
mod solve;

use std::fmt;

use strum::VariantNames;

use crate::name::nearest;
use crate::units::{
    AbsolutePressure, Length, Pressure, ThermodynamicTemperature, VolumeRate, degree_celsius,
    kilopascal, liter_per_minute, meter, millimeter,
};
pub use aeration::AerationError;
pub use blower::BlowerError;
pub use input::Input;
pub use name_kind::NameKind;
pub(crate) use name_kind::{among, from_name};
pub use need::NeedError;
pub use recirculation::RecirculationError;
pub use solve::Solve;

/// A closed interval in a stated unit. The one place that code, documents, error text and test
/// generators read a bound from.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Range {
    /// Smallest value allowed.
    pub min: f64,
    /// Largest value allowed.
    pub max: f64,
    /// The unit of both, as printed.
    pub unit: &'static str,
}

/// A public [`Range`], with what it is of; its page ends with the numbers.
macro_rules! range {
    ($name:ident, $min:literal to $max:literal $($unit:literal)?, $what:literal) => {
        #[doc = concat!($what, " From ", $min, " to ", $max, $(" ", $unit,)? ".")]
        pub const $name: $crate::error::Range =
            $crate::error::Range::new($min as f64, $max as f64, concat!($($unit)?));
    };
}
pub(crate) use range;

impl Range {
    /// A range in a unit; the unit is empty for a bare number.
    #[must_use]
    pub const fn new(min: f64, max: f64, unit: &'static str) -> Self {
        Self { min, max, unit }
    }

    /// Whether the value lies in the range; never for NaN.
    #[must_use]
    pub fn contains(&self, value: f64) -> bool {
        (self.min..=self.max).contains(&value)
    }

    /// The value itself when it is finite and in range.
    ///
    /// # Errors
    /// [`Error::NotFinite`] for NaN and infinities, [`Error::OutOfRange`] outside the range.
    pub fn check(&self, what: Input, value: f64) -> Result<f64, Error> {
        if !value.is_finite() {
            Err(Error::NotFinite { what })
        } else if self.contains(value) {
            Ok(value)
        } else {
            Err(Error::OutOfRange {
                what,
                value,
                range: *self,
            })
        }
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {}", Short(self.min), Short(self.max))?;
        if !self.unit.is_empty() {
            write!(f, " {}", self.unit)?;
        }
        Ok(())
    }
}

/// A number without the noise of its binary form: seven digits, powers of ten where they are shorter.
pub(crate) struct Short(pub(crate) f64);

impl fmt::Display for Short {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = format!("{:.6e}", self.0);
        let rounded = digits.parse().unwrap_or(self.0);
        if rounded == 0.0 || (1e-7..1e9).contains(&rounded.abs()) {
            write!(f, "{rounded}")
        } else {
            write!(f, "{rounded:e}")
        }
    }
}

/// Everything that the library refuses.
#[derive(
    Debug,
    Clone,
    PartialEq,
    thiserror::Error,
    strum::IntoStaticStr,
    strum::VariantNames,
    serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
// Its fields, which `Serialize` below calls the details.
#[serde(untagged, remote = "Self")]
#[non_exhaustive]
pub enum Error {
    /// A value outside what can be.
    #[error("{what} is {}{}{}; it must lie in {range}", Short(*value), if range.unit.is_empty() { "" } else { " " }, range.unit)]
    OutOfRange {
        /// The input.
        #[serde(rename = "key")]
        what: Input,
        /// The value given, in the range's unit.
        value: f64,
        /// What is allowed.
        #[serde(flatten)]
        range: Range,
    },
    /// NaN or an infinity.
    #[error("{what} is not a finite number")]
    NotFinite {
        /// The input.
        #[serde(rename = "key")]
        what: Input,
    },
    /// Two inputs that exclude each other: `larger` must be above `smaller`.
    #[error("{larger} ({} {unit}) must be more than {smaller} ({} {unit})", Short(*larger_value), Short(*smaller_value))]
    Inconsistent {
        /// The input that must be the larger one.
        #[serde(rename = "key")]
        larger: Input,
        /// Its value.
        #[serde(rename = "value")]
        larger_value: f64,
        /// The input that must be the smaller one.
        #[serde(rename = "other_key")]
        smaller: Input,
        /// Its value.
        #[serde(rename = "other_value")]
        smaller_value: f64,
        /// The unit of both.
        unit: &'static str,
    },
    /// The wanted water flow lies above the peak of the curve.
    #[error(
        "a water flow of {:.4} L/min is above the peak of this riser, {:.4} L/min at {:.4} L/min of air (dry, 20 degC, 101.325 kPa); use a wider bore, more submergence, less lift or more lifts",
        target.get::<liter_per_minute>(), peak_flow.get::<liter_per_minute>(),
        peak_air.get::<liter_per_minute>()
    )]
    AbovePeak {
        /// Water flow asked for.
        #[serde(rename = "target_m3_per_s")]
        target: VolumeRate,
        /// Largest water flow of the curve.
        #[serde(rename = "peak_m3_per_s")]
        peak_flow: VolumeRate,
        /// Air flow there, dry at 20 degC and 101.325 kPa.
        #[serde(rename = "peak_air_m3_per_s")]
        peak_air: VolumeRate,
    },
    /// More than the wanted water flow runs without any air.
    #[error(
        "without air {:.4} L/min already flow, more than the {:.4} L/min wanted: throttle the outlet or raise it",
        free_flow.get::<liter_per_minute>(), target.get::<liter_per_minute>()
    )]
    RunsWithoutAir {
        /// Water flow asked for.
        #[serde(rename = "target_m3_per_s")]
        target: VolumeRate,
        /// Water flow without air.
        #[serde(rename = "free_flow_m3_per_s")]
        free_flow: VolumeRate,
    },
    /// No air flow lifts the water that high.
    #[error(
        "no amount of air lifts the water {:.4} m at this submergence; it reaches {:.4} m at best: add submergence or lower the outlet",
        lift.get::<meter>(), reached.get::<meter>()
    )]
    LiftOutOfReach {
        /// Lift asked for.
        #[serde(rename = "lift_m")]
        lift: Length,
        /// Highest level that water reaches at zero flow, over the air flows tried.
        #[serde(rename = "reached_m")]
        reached: Length,
    },
    /// No submergence within the range tried gives the wanted flow.
    #[error(
        "no submergence from {:.4} m to {:.4} m gives a water flow of {:.4} L/min with this air flow",
        shallowest.get::<meter>(), deepest.get::<meter>(), target.get::<liter_per_minute>()
    )]
    SubmergenceOutOfReach {
        /// Water flow asked for.
        #[serde(rename = "target_m3_per_s")]
        target: VolumeRate,
        /// Smallest submergence tried.
        #[serde(rename = "shallowest_m")]
        shallowest: Length,
        /// Largest submergence tried.
        #[serde(rename = "deepest_m")]
        deepest: Length,
    },
    /// One reading, with nothing said of how readings scatter.
    #[error(
        "{what}: one reading tells nothing of its scatter; repeat it, or state the standard deviation of a single time from earlier repeats"
    )]
    OneReading {
        /// The reading.
        #[serde(rename = "reading", serialize_with = "shown")]
        what: Input,
    },
    /// No reading at all.
    #[error("{what}: there is no reading")]
    NoReading {
        /// The reading.
        #[serde(rename = "reading", serialize_with = "shown")]
        what: Input,
    },
    /// The law of error does not hold at a low submergence ratio, so there is no lower end of an interval.
    #[error(
        "at a submergence ratio of {submergence_ratio:.3} no interval is known (the law of error holds from 0.4 up): put the air in deeper, or choose model.slip = \"smith_drift\""
    )]
    NoInterval {
        /// Submergence over riser length.
        submergence_ratio: f64,
    },
    /// More air than a line can carry from a pressure.
    #[error(
        "an air line of {:.4} mm bore and {:.4} m cannot carry {:.4} L/min of air (dry, 20 degC, 101.325 kPa) from {:.4} kPa absolute: use a wider line or a higher pressure",
        bore.get::<millimeter>(), length.get::<meter>(),
        air.get::<liter_per_minute>(), inlet.get::<kilopascal>()
    )]
    LineTooNarrow {
        /// Its bore.
        #[serde(rename = "bore_m")]
        bore: Length,
        /// Its length.
        #[serde(rename = "length_m")]
        length: Length,
        /// Air flow asked for, dry at 20 degC and 101.325 kPa.
        #[serde(rename = "air_m3_per_s")]
        air: VolumeRate,
        /// Pressure at its inlet.
        #[serde(rename = "inlet_pa")]
        inlet: AbsolutePressure,
    },
    /// An orifice wider than the pipe that it sits in.
    #[error(
        "the orifice of {branch} is {:.4} mm wide, its line only {:.4} mm: use a smaller orifice or a wider line",
        diameter.get::<millimeter>(), bore.get::<millimeter>()
    )]
    HoleTooWide {
        /// The branch.
        #[serde(rename = "lift")]
        branch: String,
        /// Diameter of its orifice.
        #[serde(rename = "hole_m")]
        diameter: Length,
        /// Bore of its line.
        #[serde(rename = "bore_m")]
        bore: Length,
    },
    /// Air hotter at a blower's outlet than lines are computed for.
    #[error(
        "the air would leave the blower at {:.0} degC or more, and lines are computed up to {} degC: use wider lines, which cost less pressure, or a blower with less loss, or give the temperature at the header as blower.arrival_temperature",
        temperature.get::<degree_celsius>(), range.max
    )]
    OutletTooHot {
        /// Its temperature, the pressure for lines so hot not yet counted.
        #[serde(rename = "temperature_k")]
        temperature: ThermodynamicTemperature,
        /// What lines are computed for.
        #[serde(skip)]
        range: Range,
    },
    /// A blower that pushes no air into any branch.
    #[error(
        "the blower gives {:.4} kPa at most and the header needs {:.4} kPa before any lift gets air: {:.4} kPa are missing; use another blower or less depth",
        highest.get::<kilopascal>(), needed.get::<kilopascal>(),
        (*needed - *highest).get::<kilopascal>()
    )]
    BlowerTooWeak {
        /// Pressure rise at which the first branch opens.
        #[serde(rename = "needed_pa")]
        needed: Pressure,
        /// Highest pressure rise of the blower.
        #[serde(rename = "highest_pa")]
        highest: Pressure,
    },
    /// A header that would take more air than a blower's table holds.
    #[error(
        "the header takes more air than the blower's table holds: at its last point, {:.4} L/min (dry, 20 degC, 101.325 kPa), the blower gives {:.4} kPa and the header needs only {:.4} kPa; give more of the table, close a valve or use fewer blowers",
        air.get::<liter_per_minute>(), rise.get::<kilopascal>(),
        needed.get::<kilopascal>()
    )]
    BeyondBlower {
        /// Largest air flow of the table, dry at 20 degC and 101.325 kPa.
        #[serde(rename = "air_m3_per_s")]
        air: VolumeRate,
        /// Pressure rise of the blower there.
        #[serde(rename = "rise_pa")]
        rise: Pressure,
        /// Pressure rise that the header needs there.
        #[serde(rename = "needed_pa")]
        needed: Pressure,
    },
    /// A header that takes less air than a blower's table holds.
    #[error(
        "the header takes only {:.4} L/min of air (dry, 20 degC, 101.325 kPa), and the blower's table starts at {:.4} L/min: bleed {:.4} L/min or more, or use a smaller blower",
        air.get::<liter_per_minute>(), first.get::<liter_per_minute>(),
        (*first - *air).get::<liter_per_minute>()
    )]
    BelowBlower {
        /// Air flow that the header takes, dry at 20 degC and 101.325 kPa.
        #[serde(rename = "air_m3_per_s")]
        air: VolumeRate,
        /// Smallest air flow of the table, likewise.
        #[serde(rename = "first_m3_per_s")]
        first: VolumeRate,
    },
    /// Not as many risers as branches.
    #[error("{risers} risers for {branches} branches of the header: each branch ends in one riser")]
    RiserMissing {
        /// Branches.
        branches: usize,
        /// Risers.
        risers: usize,
    },
    /// A loss curve whose flow does not rise from point to point, or whose loss falls.
    #[error(
        "point {point} of the loss curve does not continue the one before: its air flow must be larger and its loss not smaller"
    )]
    CurveNotRising {
        /// The point, counted from 1.
        point: usize,
    },
    /// A name that is in no list of ours.
    #[error("there is no {kind} named \"{name}\"{}", match nearest { Some(n) => format!("; did you mean \"{n}\"?"), None => kind.advice(known) })]
    UnknownName {
        /// What kind of thing was looked up.
        #[serde(serialize_with = "shown")]
        kind: NameKind,
        /// The name given.
        name: String,
        /// The nearest name that exists, if one is near.
        nearest: Option<String>,
        /// All names where there are few; empty otherwise.
        #[serde(skip)]
        known: Vec<String>,
    },
    /// A blower's table that cannot be, or a duty outside it.
    #[error(transparent)]
    Blower(BlowerError),
    /// An aeration test that cannot tell what is asked of it.
    #[error(transparent)]
    Aeration(AerationError),
    /// A need of water that cannot be met, or a cycle of production that cannot be.
    #[error(transparent)]
    Need(NeedError),
    /// A closed loop that cannot be.
    #[error(transparent)]
    Recirculation(RecirculationError),
    /// An iteration did not settle. This is a defect of the library: please report the inputs.
    #[error(
        "{what} did not settle after {iterations} iterations between {low} and {high}: residual {residual:e}"
    )]
    NotConverged {
        /// The number sought.
        #[serde(serialize_with = "shown")]
        what: Solve,
        /// Iterations spent.
        iterations: usize,
        /// What was left of the equation, dimensionless.
        residual: f64,
        /// Lower end of the last bracket, in the solver's variable.
        low: f64,
        /// Upper end of the last bracket.
        high: f64,
    },
}

impl Error {
    /// Every code.
    pub const CODES: &[&str] = Self::VARIANTS;

    /// The stable code: the variant's name in snake case.
    #[must_use]
    pub fn code(&self) -> &'static str {
        self.into()
    }

    /// A name that is in no list, with the nearest that is.
    pub(crate) fn unknown_name<S: AsRef<str>>(
        kind: NameKind,
        name: &str,
        known: impl IntoIterator<Item = S>,
    ) -> Self {
        let mut known: Vec<String> = known
            .into_iter()
            .map(|one| one.as_ref().to_owned())
            .collect();
        let nearest = nearest(name, &known);
        if !kind.has_few() {
            known.clear();
        }
        Self::UnknownName {
            kind,
            name: name.to_owned(),
            nearest,
            known,
        }
    }
}

/// Its code, its words in metric units, and its numbers in SI as details.
impl serde::Serialize for Error {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        struct Details<'a>(&'a Error);
        impl serde::Serialize for Details<'_> {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                Error::serialize(self.0, serializer)
            }
        }
        let mut error = serializer.serialize_struct("Error", 3)?;
        error.serialize_field("code", self.code())?;
        error.serialize_field("message", &self.to_string())?;
        error.serialize_field("details", &Details(self))?;
        error.end()
    }
}

/// A value as it displays.
pub(crate) fn shown<T: fmt::Display, S: serde::Serializer>(
    value: &T,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}
