//! Answers as data: one plain struct a question, which texts, tables, pages and pictures show.
//!
//! Numbers are in SI base units, with the unit at the end of the name: `water_flow_m3_per_s`. Shares have no unit. What there is
//! none of is `None`, in JSON `null`. [`Answer::json`] names the shape first, as `risewater.flow/4`; adding a field
//! keeps that number, a change of name, unit or meaning raises it. [`Answer::schema`] says all of it as a JSON Schema,
//! from which the book's tables come.

/// What answers tell: of each field its words, its type and what it is of the engine's, once. It becomes the struct, and what
/// makes one: `From`, with the lines of `where` before it, or a function that ends with it. Without values it is the struct alone.
macro_rules! facts {
    () => {};
    (@shape $(#[$meta:meta])* $name:ident {
        $($(#[$key:meta])* pub $field:ident: $kind:ty $(= $value:expr)?,)*
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
        pub struct $name {
            $($(#[$key])* pub $field: $kind,)*
        }
    };
    (@filled $($(#[$key:meta])* pub $field:ident: $kind:ty = $value:expr,)*) => {
        Self { $($field: $value,)* }
    };
    (@made Self $filled:expr) => { $filled };
    (@made Option $filled:expr) => { Some($filled) };
    (@made Result $filled:expr) => { Ok($filled) };
    (
        $(#[$meta:meta])*
        pub struct $name:ident from $of:tt: $engine:ty { $($fields:tt)* } where { $($first:tt)* }
        $($rest:tt)*
    ) => {
        facts! { @shape $(#[$meta])* $name { $($fields)* } }
        impl From<$engine> for $name {
            fn from($of: $engine) -> Self {
                $($first)*
                facts! { @filled $($fields)* }
            }
        }
        facts! { $($rest)* }
    };
    (
        $(#[$meta:meta])*
        pub struct $name:ident from $of:tt: $engine:ty { $($fields:tt)* }
        $($rest:tt)*
    ) => {
        facts! {
            $(#[$meta])*
            pub struct $name from $of: $engine { $($fields)* } where {}
            $($rest)*
        }
    };
    (
        $(#[$meta:meta])*
        pub struct $name:ident { $($fields:tt)* }
        $(#[$words:meta])*
        $vis:vis fn $make:ident $of:tt -> $made:ident $(<Self $(, $error:ty)?>)? { $($first:tt)* }
        $($rest:tt)*
    ) => {
        facts! { @shape $(#[$meta])* $name { $($fields)* } }
        impl $name {
            $(#[$words])*
            $vis fn $make $of -> $made $(<Self $(, $error)?>)? {
                $($first)*
                facts!(@made $made facts! { @filled $($fields)* })
            }
        }
        facts! { $($rest)* }
    };
    ($(#[$meta:meta])* pub struct $name:ident { $($fields:tt)* } $($rest:tt)*) => {
        facts! { @shape $(#[$meta])* $name { $($fields)* } }
        facts! { $($rest)* }
    };
}

mod check;
mod curve;
mod error;
mod existing;
mod facts;
mod flow;
#[cfg(feature = "files")]
mod keys;
mod load;
mod loops;
mod need;
mod size;
mod supply;
#[cfg(feature = "sweep")]
mod sweep;
mod tanks;
mod trial;
mod worded;

pub use check::CheckAnswer;
pub use curve::{CurveAnswer, CurvePoint, CurveTerms, LevelCurve, WantedFacts};
pub use error::ErrorAnswer;
pub use existing::{
    AdviceFacts, AskedFacts, BlowerCurveFacts, BlowerPointFacts, ExistingAnswer, ExistingTerms,
    RemedyFacts, StandingLevelFacts, StandingLiftFacts,
};
pub(crate) use facts::GIVEN;
pub use facts::{
    DissolvedFacts, EndFacts, GasFacts, IntervalFacts, PointFacts, RiserFacts, SiteFacts,
    StationFacts, SubmergenceFacts, TransferFacts, YieldFacts,
};
pub use flow::{FlowAnswer, PROFILE};
#[cfg(feature = "files")]
pub use keys::{KeyFacts, KeysAnswer};
pub use load::LoadFacts;
pub use loops::{
    LeastFacts, LoopAnswer, LoopBudgetFacts, LoopChangeFacts, LoopChoiceFacts, LoopLiftFacts,
    LoopLimitFacts, LoopSizeFacts, LoopTankFacts, LoopTerms, ShortageFacts, StockFacts,
};
pub use need::{
    DefaultFacts, FactorFacts, LineFacts, NeedAnswer, NeedFacts, NeedRangeFacts, RunningFacts,
    TankFacts, TankWeekFacts, WeekFacts,
};
pub use size::{
    BoreStepFacts, ChainFacts, DesignFacts, DetailFacts, DoubtFacts, DutyFacts, DutyMetFacts,
    MarginFacts, RejectedFacts, ShareFacts, SizeAnswer,
};
pub use supply::{
    AirDutyFacts, AirInPipe, AirStateFacts, AssumptionFacts, CatchFacts, DepthFacts, DepthPoint,
    DepthsFacts, DoubtCostFacts, EnergyFacts, KindFacts, LiftFacts, MainLinePipe, OneLessFacts,
    OperationFacts, PartFacts, ShiftFacts, SpecificationFacts, SupplyAnswer, SupplyChainFacts,
    SupplyGasFacts, SupplyTerms, TeeFacts, WithoutAirFacts,
};
#[cfg(feature = "sweep")]
pub use sweep::{RowCountFacts, SweepAnswer, SweptKeyFacts, SweptRowFacts, SweptValueFacts};
pub use tanks::{
    BindingFacts, HeaderTankFacts, MemberFacts, ShallowerFacts, SubmergenceLimitFacts,
    TankSetFacts, TanksAnswer, TwoBlowersFacts,
};
pub use trial::*;
pub use worded::Worded;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::caution::Caution;
use crate::model::Model;
use crate::references::Reference;
use crate::sizing::Reason;
use crate::transfer::GasTerms;
use crate::uncertainty::ErrorLaw;
use crate::units::Length;

/// What a question about risers is asked with.
#[derive(Debug, Clone, Default)]
pub struct Terms {
    /// How sure predicted flows are.
    pub law: ErrorLaw,
    /// What is known of the gases of the water.
    pub gas: GasTerms,
    /// Whether it is known how the water leaves; if not, an answer that hangs on it asks.
    pub states_outlet: bool,
    /// Fall of the water level below the running one, where it is known.
    pub level_fall: Option<Length>,
    /// Rise of the water level above it.
    pub level_rise: Option<Length>,
    /// Whether the profile up the riser is wanted.
    pub profile: bool,
}

/// An answer that has a name.
pub trait Answer: Serialize + JsonSchema + Sized {
    /// Name and number of its shape.
    const SCHEMA: &'static str;

    /// The answer as JSON, with the name of its shape first.
    fn json(&self) -> Value {
        #[derive(Serialize)]
        struct Named<'a, T> {
            schema: &'static str,
            #[serde(flatten)]
            answer: &'a T,
        }
        let named = Named {
            schema: Self::SCHEMA,
            answer: self,
        };
        // Keys are texts and numbers are JSON's or null: there is nothing to refuse.
        serde_json::to_value(named).unwrap_or_default()
    }

    /// Its shape as a JSON Schema, draft 2020-12; it refuses keys that the answer does not have.
    #[must_use]
    fn schema() -> Schema {
        let mut schema = SchemaSettings::draft2020_12()
            .for_serialize()
            .into_generator()
            .into_root_schema_for::<Self>();
        schema.insert("title".to_owned(), Self::SCHEMA.into());
        let root = schema.ensure_object();
        if let Some(Value::Object(keys)) = root.get_mut("properties") {
            keys.shift_insert(0, NAME.to_owned(), json!({ "const": Self::SCHEMA }));
        }
        if let Some(Value::Array(required)) = root.get_mut("required") {
            required.insert(0, NAME.into());
        }
        if let Some(Value::Object(parts)) = root.get_mut("$defs") {
            parts
                .values_mut()
                .filter_map(Value::as_object_mut)
                .for_each(close);
        }
        close(root);
        schema
    }
}

/// The key of the name of a shape.
const NAME: &str = "schema";

/// Lets an object have the keys of its shape alone.
/// Cautions of parts, each once with the names of those parts that it is of, none where it is of all of them; then those
/// of the whole.
fn remarks<'a, Of: IntoIterator<Item = &'a Caution>>(
    parts: impl IntoIterator<Item = (&'a str, Of)>,
    whole: impl IntoIterator<Item = &'a Caution>,
) -> Vec<(Vec<&'a str>, &'a Caution)> {
    let mut all: Vec<(Vec<&str>, &Caution)> = Vec::new();
    let mut count = 0;
    for (name, cautions) in parts {
        count += 1;
        for caution in cautions {
            match all.iter_mut().find(|(_, known)| *known == caution) {
                Some((names, _)) => names.push(name),
                None => all.push((vec![name], caution)),
            }
        }
    }
    for (names, _) in &mut all {
        if names.len() == count {
            names.clear();
        }
    }
    all.extend(whole.into_iter().map(|caution| (Vec::new(), caution)));
    all
}

fn close(shape: &mut Map<String, Value>) {
    if shape.contains_key("properties") {
        shape.insert("unevaluatedProperties".to_owned(), false.into());
    }
}

/// A name of an answer, and its shape.
pub type Shape = (&'static str, fn() -> Schema);

macro_rules! answers {
    ($($(#[$feature:meta])? $name:literal / $number:literal: $answer:ty,)*) => {
        $($(#[$feature])? impl Answer for $answer {
            const SCHEMA: &'static str = concat!("risewater.", $name, "/", $number);
        })*

        /// The answers by name, each with its shape: `flow` is that of `risewater.flow/4`.
        pub const SHAPES: &[Shape] = &[$($(#[$feature])? ($name, <$answer>::schema),)*];
    };
}

answers! {
    "flow"/4: FlowAnswer,
    "curve"/4: CurveAnswer,
    "size"/4: SizeAnswer,
    "tanks"/1: TanksAnswer,
    "need"/2: NeedAnswer,
    "supply"/4: SupplyAnswer,
    "existing"/1: ExistingAnswer,
    "loop"/1: LoopAnswer,
    #[cfg(feature = "sweep")]
    "sweep"/1: SweepAnswer,
    "trial"/2: TrialAnswer,
    "plan"/4: PlanAnswer,
    "comparison"/3: ComparisonAnswer,
    "fit"/2: FitAnswer,
    "aeration"/2: AerationAnswer,
    "check"/1: CheckAnswer,
    #[cfg(feature = "files")]
    "keys"/1: KeysAnswer,
    "error"/2: ErrorAnswer,
}

/// A caution, a reason or another remark, with a code for programs.
#[derive(Serialize, JsonSchema)]
struct Remark {
    /// code of the remark, which does not change
    code: &'static str,
    /// the remark in words, which may change
    message: String,
}

macro_rules! schema_as {
    ($($name:ty: $shape:ty;)*) => {$(
        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                <$shape>::inline_schema()
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                <$shape>::schema_name()
            }

            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                <$shape>::json_schema(generator)
            }
        }
    )*};
}
use schema_as;

// What the engine's types are in JSON: they serialise as these.
schema_as! {
    Caution: Remark;
    Reason: Remark;
    Model: String;
    Reference: String;
}
