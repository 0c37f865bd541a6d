//! Arbitrary and damaged text: never a panic, never a value other than the one given.

use proptest::prelude::*;
use risewater::design::{DesignFile, EXAMPLE};
use risewater::units::{liter_per_minute, meter, millimeter, ratio};

/// Reads a text and asks everything of it; whether it could be read.
fn ask(text: &str) -> bool {
    let Ok(design) = DesignFile::parse(text) else {
        return false;
    };
    let _ = (
        design.check(),
        design.site(),
        design.problem(),
        design.duty_flow(),
    );
    if let (Ok(riser), Ok(air)) = (design.riser(), design.air()) {
        let _ = riser.operate(air);
    }
    true
}

/// One damage to a text.
#[derive(Debug, Clone)]
pub enum Damage {
    Flip(usize, u8),
    Delete(usize, usize),
    Repeat(usize),
    Swap(usize, usize),
    Insert(usize, String),
}

pub fn damage() -> impl Strategy<Value = Damage> {
    prop_oneof![
        (any::<usize>(), any::<u8>()).prop_map(|(at, byte)| Damage::Flip(at, byte)),
        (any::<usize>(), 1..20_usize).prop_map(|(at, count)| Damage::Delete(at, count)),
        any::<usize>().prop_map(Damage::Repeat),
        (any::<usize>(), any::<usize>()).prop_map(|(a, b)| Damage::Swap(a, b)),
        (any::<usize>(), "[-+.,0-9a-z\"'\\[\\]{}=# \n]{1,6}")
            .prop_map(|(at, text)| Damage::Insert(at, text)),
    ]
}

pub fn damaged(text: &str, damages: &[Damage]) -> String {
    let mut text = text.to_owned();
    for damage in damages {
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let count = lines.len().max(1);
        let mut bytes = text.clone().into_bytes();
        let size = bytes.len().max(1);
        let by_line = match damage {
            Damage::Repeat(line) if !lines.is_empty() => {
                lines.insert(line % count, lines[line % count].clone());
                true
            }
            Damage::Swap(a, b) if !lines.is_empty() => {
                lines.swap(a % count, b % count);
                true
            }
            Damage::Flip(at, byte) if !bytes.is_empty() => {
                bytes[at % size] = *byte;
                false
            }
            Damage::Delete(at, length) => {
                let start = at % size;
                bytes.drain(start.min(bytes.len())..(start + length).min(bytes.len()));
                false
            }
            Damage::Insert(at, piece) => {
                let start = (at % size).min(bytes.len());
                bytes.splice(start..start, piece.bytes());
                false
            }
            _ => false,
        };
        text = if by_line {
            lines.join("\n")
        } else {
            String::from_utf8_lossy(&bytes).into_owned()
        };
    }
    text
}

/// A number as people write it, often at the edge of what can be.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        -1e4..1e4,
        0.0..1.0,
        -1e-3..1e-3,
        any::<f64>(),
        Just(0.0),
        Just(1.0),
        Just(1000.0)
    ]
}

pub fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// So many cases that could be read, of so many draws at most.
fn read(cases: u32, draws: u32) -> ProptestConfig {
    ProptestConfig {
        max_global_rejects: draws - cases,
        ..config(cases)
    }
}

proptest! {
    #![proptest_config(config(2000))]

    #[test]
    fn any_text(text in any::<String>()) {
        ask(&text);
    }

    #[test]
    fn text_that_looks_like_a_design(text in "(\\[(water|riser|air|limits)\\]\n|(bore|lift|flow|pipe|reference|standards) ?= ?(\"[-0-9.e]{0,4} ?(mm|m|L/min|degC|kPa)?\"|[-0-9.]{1,3}|\\[\"ASTM D1785\"\\]|\\{\\})\n){0,8}") {
        ask(&text);
    }

    #[test]
    fn any_replacement(text in ".{0,30}", key in "(riser|air|limits|zoo)\\.(lift|bore|flow|standards|zoo)=") {
        for replacement in [text.clone(), key + &text] {
            let _ = DesignFile::parse_with(EXAMPLE, &[replacement]);
        }
    }
}

proptest! {
    #![proptest_config(read(500, 4000))]

    /// A value is read as it is given, or refused: none is moved to the nearest that would do.
    #[test]
    fn no_value_is_clamped(x in number(), key in 0..7_usize) {
        let replacement = match key {
            0 => format!("riser.submergence={x} m"),
            1 => format!("riser.lift={x} m"),
            2 => format!("riser.lost_bore={x} mm"),
            3 => format!("riser.entrance_loss={x}"),
            4 => format!("limits.peak_reserve={x}"),
            5 => format!("duty.water_flow={x} L/min"),
            _ => format!("limits.max_lifts={x}"),
        };
        let design = DesignFile::parse_with(EXAMPLE, std::slice::from_ref(&replacement));
        prop_assume!(design.is_ok());
        let design = design.unwrap();
        let spec = design.riser().map(|riser| *riser.spec());
        let problem = design.problem();
        let read = match key {
            0 => spec.ok().map(|spec| spec.dimensions.submergence.get::<meter>()),
            1 => spec.ok().map(|spec| spec.dimensions.lift.get::<meter>()),
            2 => spec.ok().map(|spec| spec.lost_bore.get::<millimeter>()),
            3 => spec.ok().map(|spec| spec.entrance_loss.get::<ratio>()),
            4 => problem.ok().map(|problem| problem.peak_reserve.get::<ratio>()),
            5 => problem.ok().map(|problem| problem.duty.water_flow.get::<liter_per_minute>()),
            _ => problem.ok().map(|problem| f64::from(problem.max_lifts)),
        };
        prop_assume!(read.is_some());
        let read = read.unwrap();
        prop_assert!((read - x).abs() <= 1e-12 * x.abs() + f64::MIN_POSITIVE, "{replacement}: {read}");
    }
}

proptest! {
    #![proptest_config(read(300, 4000))]

    #[test]
    fn damaged_examples(damages in prop::collection::vec(damage(), 1..6)) {
        prop_assume!(ask(&damaged(EXAMPLE, &damages)));
    }
}
