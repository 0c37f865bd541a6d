//! How many columns are evaluated for an answer: what guesses and steps are worth. A guess that leads nowhere changes no
//! answer; it shows here alone.

use std::cell::Cell;

use super::above::Above;
use super::agreement::{CLASSES, Draw, column};
use super::column::{AT_REST, Carried, Column};
use super::search::Onset;
use super::velocity::Path;
use crate::error::Solve;

/// What is asked of a column with the air fluxes of its threshold and peak.
type Ask = fn(&Column, f64, f64);

thread_local! {
    static COLUMNS: Cell<usize> = const { Cell::new(0) };
}

/// One column more.
pub(super) fn count() {
    COLUMNS.set(COLUMNS.get() + 1);
}

/// How many columns something takes.
fn of<T>(what: impl FnOnce() -> T) -> usize {
    let before = COLUMNS.get();
    what();
    COLUMNS.get() - before
}

/// Columns of a class with the air fluxes of their threshold and peak.
fn columns(class: usize, count: usize) -> Vec<(Column, f64, f64)> {
    let mut draw = Draw(2026);
    let all = (0..count).filter_map(|_| {
        let column = column(&CLASSES[class], &mut draw);
        let threshold = column.onset(AT_REST, Solve::Threshold, None).unwrap();
        match (threshold, column.peak().unwrap()) {
            (Onset::At(threshold), Onset::At(peak)) => Some((column, threshold, peak)),
            _ => None,
        }
    });
    all.collect()
}

/// The counts of November 2026, of 60 hatchery risers and of 60 wells. A hundredth more fails: another maths library may
/// take a step more here and there.
#[test]
fn no_answer_takes_more_columns_than_it_did() {
    let asked: [(&str, [usize; 2], Ask); 6] = [
        ("threshold", [511, 567], |column, _, _| {
            column.onset(AT_REST, Solve::Threshold, None).unwrap();
        }),
        ("peak", [2031, 2059], |column, _, _| {
            column.peak().unwrap();
        }),
        ("best efficiency", [2354, 2890], |column, threshold, _| {
            let merit = |flux: f64, j_l: f64, carried: &Carried| {
                j_l / (flux * (carried.p0 / column.p_a).ln())
            };
            column.best(threshold, merit).unwrap();
        }),
        (
            "points by themselves",
            [1754, 1535],
            |column, threshold, peak| {
                for flux in fluxes(threshold, peak, 5) {
                    column.water_velocity(flux).unwrap();
                }
            },
        ),
        (
            "points of a series",
            [7621, 7809],
            |column, threshold, peak| {
                let mut path = Path::default();
                for flux in fluxes(threshold, peak, 40) {
                    path.next(column, flux).unwrap();
                }
            },
        ),
        (
            "points of risers that differ below",
            [3090, 2138],
            |column, threshold, peak| {
                for flux in fluxes(threshold, peak, 5) {
                    let solved = column.water_velocity(flux).unwrap();
                    let Some((j_l, Some((foot, _)))) =
                        solved.map(|(j_l, carried)| (j_l, carried.ends))
                    else {
                        continue;
                    };
                    let Some(mut above) = Above::of(column, flux, j_l, foot.p) else {
                        continue;
                    };
                    for developing_m in [0.0, 0.1, 0.3] {
                        let other = Column {
                            developing_m,
                            ..*column
                        };
                        above.water_velocity(&other).unwrap();
                    }
                }
            },
        ),
    ];
    let classes = [columns(0, 60), columns(1, 60)];
    let mut more = Vec::new();
    for (name, limits, ask) in asked {
        for (limit, class) in limits.into_iter().zip(&classes) {
            let each = class
                .iter()
                .map(|(column, threshold, peak)| of(|| ask(column, *threshold, *peak)));
            let taken: usize = each.sum();
            println!(
                "{name}: {taken} of {} risers, {limit} at first",
                class.len()
            );
            if 100 * taken > 101 * limit {
                more.push(format!("{name}: {taken}, {limit} at first"));
            }
        }
    }
    assert!(more.is_empty(), "{}", more.join("\n"));
}

/// From just above the threshold to three times the peak's.
fn fluxes(threshold: f64, peak: f64, count: u8) -> impl Iterator<Item = f64> {
    let (low, high) = (1.01 * threshold, 3.0 * peak);
    (0..count).map(move |n| low * (high / low).powf(f64::from(n) / f64::from(count - 1)))
}
