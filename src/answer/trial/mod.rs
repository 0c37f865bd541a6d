//! Answers of the bench.

mod aeration;
mod comparison;
mod fit;
mod plan;
mod reduced;

pub use aeration::{AerationAnswer, ProbeFacts, RiserCoefficientFacts};
pub use comparison::{
    ComparedFlow, ComparedRun, ComparisonAnswer, Meaning, OverallFacts, OverallOf, PairFacts,
    PairsFacts, UnpairedRun,
};
pub use fit::{
    FitAnswer, FitRunFacts, TaughtFacts, TermFacts, WidthFacts, WithoutFacts, WithoutRun,
};
pub use plan::{
    LevelFacts, NextFacts, OrderFacts, PairsToTellFacts, PlanAnswer, PlannedFacts, TrialDuty,
};
pub use reduced::{
    BudgetFacts, MeasuredFacts, OutlierFacts, TrialAnswer, TrialFlow, TrialRun, TrialTerms,
};

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::{Remark, schema_as};
use crate::air::AirFlow;
use crate::trial::{Doubtful, LevelAdvice, PlanFlag, Unpaired, WrongWay};
use crate::units::{Length, Ratio};

facts! {
    /// A run: its setting and its air.
    pub struct RunFacts {
        /// name of the run
        pub run: String = run.to_owned(),
        /// depth of the air inlet below the running water level
        pub submergence_m: f64 = submergence.value,
        /// height of the outlet above that level
        pub lift_m: f64 = lift.value,
        /// dry air
        pub air_mass_flow_kg_per_s: f64 = air.kg_per_s(),
    }

    fn new(run: &str, [submergence, lift]: [Length; 2], air: AirFlow) -> Self {
    }
}

/// Both ends of limits that there may be.
fn ends(limits: Option<(Ratio, Ratio)>) -> [Option<f64>; 2] {
    let (low, high) = limits.unzip();
    [low, high].map(|end| end.map(|end| end.value))
}

/// What to do about a falling level.
#[derive(Serialize, JsonSchema)]
struct AdviceShape {
    /// `negligible`, `return`, `smaller` or `hold_level`
    advice: &'static str,
    /// with `smaller`, a container that is small enough
    container_m3: Option<f64>,
    /// the advice in words
    message: String,
}

/// A run that goes against expectation.
#[derive(Serialize, JsonSchema)]
struct WrongWayShape {
    /// the run before
    from: String,
    /// the run after
    to: String,
    /// what was expected, and what came
    message: String,
}

macro_rules! written_as {
    ($($name:ty: $shape:ty = $of:expr;)*) => {$(
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                let of: fn(&$name) -> $shape = $of;
                of(self).serialize(serializer)
            }
        }

        schema_as!($name: $shape;);
    )*};
}

written_as! {
    Doubtful: Remark = |it| Remark { code: it.code(), message: it.to_string() };
    PlanFlag: Remark = |it| Remark { code: it.code(), message: it.to_string() };
    Unpaired: Remark = |it| Remark { code: it.code(), message: it.to_string() };
    LevelAdvice: AdviceShape = |it| AdviceShape {
        advice: it.code(),
        container_m3: match it {
            LevelAdvice::Smaller { container } => Some(container.value),
            _ => None,
        },
        message: it.to_string(),
    };
    WrongWay: WrongWayShape = |it| WrongWayShape {
        from: it.from.clone(),
        to: it.to.clone(),
        message: it.to_string(),
    };
}
