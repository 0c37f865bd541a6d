//! What is worded in a system of units.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};

use crate::units::UnitSystem;

/// Words with numbers in them, in each system of units; JSON has the metric ones.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worded<T> {
    metric: T,
    us: T,
}

impl<T> Worded<T> {
    /// Says it in each system.
    pub fn of(say: impl Fn(UnitSystem) -> T) -> Self {
        Self {
            metric: say(UnitSystem::Metric),
            us: say(UnitSystem::Us),
        }
    }

    /// As one of them has it.
    pub fn said(&self, units: UnitSystem) -> &T {
        units.pick(&self.metric, &self.us)
    }
}

impl<T: Serialize> Serialize for Worded<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.metric.serialize(serializer)
    }
}

impl<T: JsonSchema> JsonSchema for Worded<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}
