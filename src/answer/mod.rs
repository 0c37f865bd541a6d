//! Answers as data: one plain struct a question, which texts, tables, pages and pictures show.
//!
//! Numbers are in SI base units, with the unit at the end of the name: `water_flow_m3_per_s`. Shares have no unit. What there is
//! none of is `None`, in JSON `null`. [`Answer::json`] names the shape first, as `risewater.flow/4`; adding a field
//! keeps that number, a change of name, unit or meaning raises it. [`Answer::schema`] says all of it as a JSON Schema,
//! from which the book's tables come.

mod curve;
mod facts;
mod flow;
mod load;
mod size;
mod supply;
mod worded;

pub use curve::{CurveAnswer, CurvePoint, WantedFacts};
pub(crate) use facts::GIVEN;
pub use facts::{
    EndFacts, GasFacts, GasesOf, IntervalFacts, PointFacts, RiserFacts, SiteFacts, TransferFacts,
};
pub use flow::FlowAnswer;
pub use load::LoadFacts;
pub use size::{
    BoreStepFacts, ChainFacts, DesignFacts, DetailFacts, DoubtFacts, DutyFacts, MarginFacts,
    MetFacts, RejectedFacts, ShareFacts, SizeAnswer,
};
pub use supply::{
    AirDutyFacts, AirStateFacts, AssumptionFacts, DepthFacts, DepthPoint, DepthsFacts,
    DoubtCostFacts, EnergyFacts, KindFacts, LiftFacts, LineFacts, MainLinePipe, OneLessFacts,
    OperationFacts, PartFacts, ShiftFacts, SpecificationFacts, SupplyAnswer, SupplyChainFacts,
    SupplyGasFacts, SupplyTerms, TeeFacts, WithoutAirFacts,
};
pub use worded::Worded;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use serde_json::Value;

use crate::caution::Caution;
use crate::model::Model;
use crate::references::Reference;
use crate::sizing::Reason;
use crate::transfer::GasTerms;
use crate::uncertainty::ErrorLaw;

/// What a question about risers is asked with.
#[derive(Debug, Clone, Default)]
pub struct Terms {
    /// How sure predicted flows are.
    pub law: ErrorLaw,
    /// What is known of the gases of the water.
    pub gas: GasTerms,
    /// Whether it is known how the water leaves; if not, an answer that hangs on it asks.
    pub states_outlet: bool,
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

    /// Its shape as a JSON Schema, draft 2020-12.
    #[must_use]
    fn schema() -> Schema {
        let mut schema = SchemaSettings::draft2020_12()
            .for_serialize()
            .into_generator()
            .into_root_schema_for::<Self>();
        schema.insert("title".to_owned(), Self::SCHEMA.into());
        schema
    }
}

/// The answers by name, each with its shape: `flow` is that of `risewater.flow/4`.
pub const SHAPES: &[(&str, fn() -> Schema)] = &[
    ("flow", FlowAnswer::schema),
    ("curve", CurveAnswer::schema),
    ("size", SizeAnswer::schema),
];

/// What is to be known, with a code for programs.
#[derive(JsonSchema)]
#[allow(dead_code, reason = "the shape of what serde writes")]
struct Remark {
    /// Which remark: it does not change.
    code: String,
    /// The same in words, which may.
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

            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                <$shape>::json_schema(generator)
            }
        }
    )*};
}

// What the engine's types are in JSON: they serialise as these.
schema_as! {
    Caution: Remark;
    Reason: Remark;
    Model: String;
    Reference: String;
}
