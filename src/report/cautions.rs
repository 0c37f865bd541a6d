//! Cautions as lines for people.

use super::number::UnitSystem;
use crate::caution::Caution;

/// A caution as it is printed in full, with its code.
#[must_use]
pub fn caution(caution: &Caution, units: UnitSystem) -> String {
    format!("caution: {} [{}]", caution.worded(units), caution.code())
}

/// Cautions as lines: those of the case itself each in full, and at the end one line that names the general ones
/// ([`Caution::in_short`]), which hold for every such plant; `in_full`, these each in full too.
///
/// ```
/// use risewater::Caution;
/// use risewater::report::caution_lines;
/// use risewater::units::UnitSystem;
///
/// let all = [Caution::LossOfAir, Caution::NoStandby, Caution::MainsNearWater];
/// let lines = caution_lines(&all, UnitSystem::Metric, false);
/// assert!(lines[0].ends_with("[no_standby]"));
/// assert!(lines[1].contains("loss of air") && lines[1].contains("mains near water"));
/// assert_eq!(caution_lines(&all, UnitSystem::Metric, true).len(), 3);
/// ```
#[must_use]
pub fn caution_lines<'a>(
    cautions: impl IntoIterator<Item = &'a Caution>,
    units: UnitSystem,
    in_full: bool,
) -> Vec<String> {
    let (mut lines, mut general) = (Vec::new(), Vec::new());
    for one in cautions {
        match one.in_short() {
            Some(words) if !in_full => general.push(words),
            _ => lines.push(caution(one, units)),
        }
    }
    if !general.is_empty() {
        lines.push(format!(
            "General cautions (-v, book: Safety): {}",
            general.join("; ")
        ));
    }
    lines
}
