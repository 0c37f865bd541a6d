//! Numbers of 256 bits, of which every operation here keeps far more than 200.

use std::cell::RefCell;
use std::ops::{Add, Div, Mul, Neg, Sub};

use astro_float_num::{BigFloat, Consts, RoundingMode, Sign};

const BITS: usize = 256;
const ROUNDING: RoundingMode = RoundingMode::ToEven;

thread_local! {
    static CONSTS: RefCell<Consts> = RefCell::new(Consts::new().expect("memory for constants"));
}

fn with_consts<T>(run: impl FnOnce(&mut Consts) -> T) -> T {
    CONSTS.with(|consts| run(&mut consts.borrow_mut()))
}

#[derive(Debug, Clone)]
pub struct Big(BigFloat);

/// The number that an `f64` is.
pub fn big(value: f64) -> Big {
    assert!(value.is_finite(), "{value}");
    Big(BigFloat::from_f64(value, BITS))
}

/// A constant as it is printed, such as 2.457, which is no `f64`.
pub fn printed(text: &str) -> Big {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits: u64 = format!("{whole}{part}").parse().unwrap();
    let places = i32::try_from(part.len()).unwrap();
    Big(BigFloat::from_u64(digits, BITS)) / big(10f64.powi(places))
}

pub fn pi() -> Big {
    Big(with_consts(|consts| consts.pi(BITS, ROUNDING)))
}

/// 2^n
pub fn power_of_two(n: i32) -> Big {
    big(2f64.powi(n))
}

macro_rules! operator {
    ($trait:ident, $name:ident) => {
        impl $trait<&Big> for &Big {
            type Output = Big;
            fn $name(self, other: &Big) -> Big {
                Big(self.0.$name(&other.0, BITS, ROUNDING))
            }
        }
        impl $trait<Big> for Big {
            type Output = Big;
            fn $name(self, other: Big) -> Big {
                (&self).$name(&other)
            }
        }
        impl $trait<&Big> for Big {
            type Output = Big;
            fn $name(self, other: &Big) -> Big {
                (&self).$name(other)
            }
        }
        impl $trait<Big> for &Big {
            type Output = Big;
            fn $name(self, other: Big) -> Big {
                self.$name(&other)
            }
        }
    };
}

operator!(Add, add);
operator!(Sub, sub);
operator!(Mul, mul);
operator!(Div, div);

impl Neg for Big {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.neg())
    }
}

impl PartialEq for Big {
    fn eq(&self, other: &Self) -> bool {
        self.0.cmp(&other.0) == Some(0)
    }
}

impl PartialOrd for Big {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        self.0.cmp(&other.0).map(|order| order.cmp(&0))
    }
}

impl Big {
    pub fn sqrt(&self) -> Self {
        Self(self.0.sqrt(BITS, ROUNDING))
    }

    pub fn cbrt(&self) -> Self {
        Self(self.0.cbrt(BITS, ROUNDING))
    }

    pub fn ln(&self) -> Self {
        Self(with_consts(|consts| self.0.ln(BITS, ROUNDING, consts)))
    }

    pub fn exp(&self) -> Self {
        Self(with_consts(|consts| self.0.exp(BITS, ROUNDING, consts)))
    }

    pub fn sin(&self) -> Self {
        Self(with_consts(|consts| self.0.sin(BITS, ROUNDING, consts)))
    }

    pub fn cos(&self) -> Self {
        Self(with_consts(|consts| self.0.cos(BITS, ROUNDING, consts)))
    }

    pub fn acos(&self) -> Self {
        Self(with_consts(|consts| self.0.acos(BITS, ROUNDING, consts)))
    }

    /// x^n of a number above zero.
    pub fn power(&self, exponent: &Self) -> Self {
        (self.ln() * exponent).exp()
    }

    pub fn powi(&self, n: usize) -> Self {
        Self(self.0.powi(n, BITS, ROUNDING))
    }

    pub fn square(&self) -> Self {
        self * self
    }

    pub fn abs(&self) -> Self {
        Self(self.0.abs())
    }

    pub fn is_positive(&self) -> bool {
        self.0.is_positive() && !self.0.is_zero()
    }

    /// The nearest `f64`, to its last digit or two.
    pub fn rounded(&self) -> f64 {
        if self.0.is_zero() {
            return 0.0;
        }
        // 0.m₁m₂… × 2^e, the first word the last one of the list.
        let (words, _, sign, exponent, _) = self.0.as_raw_parts().expect("a number");
        #[allow(clippy::cast_precision_loss, reason = "the first word is rounded")]
        let first = *words.last().unwrap() as f64 / 2f64.powi(64);
        let size = if exponent < -1000 {
            0.0
        } else {
            first * 2f64.powi(exponent)
        };
        if sign == Sign::Neg { -size } else { size }
    }
}

/// The root near a start of a function that comes with its slope, to all digits: Newton's method doubles them.
pub fn newton(start: f64, f: impl Fn(&Big) -> (Big, Big)) -> Big {
    let mut x = big(start);
    for _ in 0..40 {
        let (value, slope) = f(&x);
        let step = value / slope;
        x = &x - &step;
        if step.abs() <= x.abs() * power_of_two(-220) {
            return x;
        }
    }
    panic!("no root near {start}");
}

#[test]
fn numbers_are_what_they_are_printed_as() {
    assert_eq!(printed("0.25"), big(0.25));
    assert!((printed("0.1") * big(10.0) - big(1.0)).abs() < power_of_two(-250));
    assert_eq!(big(-0.1).rounded(), -0.1);
    assert_eq!(pi().rounded(), std::f64::consts::PI);
    assert!((big(2.0).ln().exp() - big(2.0)).abs() < power_of_two(-250));
    let root = newton(1.4, |x| (x.square() - big(2.0), big(2.0) * x));
    assert!((root - big(2.0).sqrt()).abs() < power_of_two(-250));
}
