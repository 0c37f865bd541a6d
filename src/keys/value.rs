//! Values of keys, whatever file they are from.

use crate::air::AirState;
use crate::friction::Friction;
use crate::model::DevelopingLength;
use crate::riser::{BrinkHead, InjectorKind};
use crate::sizing::Objective;
use crate::slip::Slip;
use crate::units::{AbsolutePressure, GaugePressure, base};

/// A value, read and checked.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Value {
    /// A quantity or a number, in SI base units.
    Number(f64),
    /// Several.
    Numbers(Vec<f64>),
    /// A number of bores.
    Bores(f64),
    /// A whole number.
    Whole(u32),
    /// True or false.
    Truth(bool),
    /// A text.
    Text(String),
    /// Several.
    Texts(Vec<String>),
    /// Names with whole numbers.
    Counts(Vec<(String, u32)>),
    /// Pairs, in SI base units.
    Pairs(Vec<[f64; 2]>),
    /// A state of air.
    State(AirState),
    /// Outspoken "none".
    Nothing,
}

/// A quantity, or "none" said in so many words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrNone<T>(pub Option<T>);

/// A type that a value can be.
pub(crate) trait Held: Sized {
    fn held(value: Value) -> Option<Self>;
}

macro_rules! held {
    ($($(<$generic:ident $(: $bound:path)?>)? $type:ty: $pattern:pat => $made:expr;)*) => {
        $(impl$(<$generic $(: $bound)?>)? Held for $type {
            fn held(value: Value) -> Option<Self> {
                match value {
                    $pattern => $made,
                    _ => None,
                }
            }
        })*
    };
}

held! {
    f64: Value::Number(number) => Some(number);
    AbsolutePressure: Value::Number(pa) => Some(Self(base(pa)));
    GaugePressure: Value::Number(pa) => Some(Self(base(pa)));
    u32: Value::Whole(count) => Some(count);
    bool: Value::Truth(truth) => Some(truth);
    String: Value::Text(text) => Some(text);
    Vec<String>: Value::Texts(texts) => Some(texts);
    Vec<(String, u32)>: Value::Counts(counts) => Some(counts);
    Vec<[f64; 2]>: Value::Pairs(pairs) => Some(pairs);
    AirState: Value::State(state) => Some(state);
    Slip: Value::Text(name) => name.parse().ok();
    Friction: Value::Text(name) => name.parse().ok();
    Objective: Value::Text(name) => name.parse().ok();
    BrinkHead: Value::Text(name) => name.parse().ok();
    InjectorKind: Value::Text(name) => name.parse().ok();
}

impl<D: uom::si::Dimension + ?Sized> Held for uom::si::Quantity<D, uom::si::SI<f64>, f64> {
    fn held(value: Value) -> Option<Self> {
        f64::held(value).map(base)
    }
}

impl<D: uom::si::Dimension + ?Sized> Held for Vec<uom::si::Quantity<D, uom::si::SI<f64>, f64>> {
    fn held(value: Value) -> Option<Self> {
        match value {
            Value::Numbers(all) => Some(all.into_iter().map(base).collect()),
            _ => None,
        }
    }
}

impl<T: Held> Held for OrNone<T> {
    fn held(value: Value) -> Option<Self> {
        match value {
            Value::Nothing => Some(Self(None)),
            value => T::held(value).map(|one| Self(Some(one))),
        }
    }
}

impl Held for DevelopingLength {
    fn held(value: Value) -> Option<Self> {
        match value {
            Value::Bores(bores) => Some(base::<uom::si::ratio::Dimension>(bores).into()),
            Value::Number(length) => Some(base::<uom::si::length::Dimension>(length).into()),
            _ => None,
        }
    }
}
