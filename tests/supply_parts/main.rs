//! Parts of an air supply against tables of other code and against what must hold: friction factor, fittings,
//! drills, orifice plate.
//!
//! Values are rounded to the digits printed, and that sets the tolerance.

mod drills;
#[path = "../table/mod.rs"]
mod table;
#[path = "../closures/verdict.rs"]
mod verdict;

use risewater::error::{Error, Input};
use risewater::pipe::bore_change::{contraction, enlargement};
use risewater::pipe::colebrook_factor;
use risewater::pipe::fittings::Fitting;
use risewater::references::Trust;
use risewater::units::{Length, Ratio, inch, millimeter, ratio};
use table::rows;
use verdict::{EIGHT_DIGITS, Verdict};

fn bare(number: f64) -> Ratio {
    Ratio::new::<ratio>(number)
}

fn mm(number: f64) -> Length {
    Length::new::<millimeter>(number)
}

/// Half a unit of the last digit that a table prints to eight, less where trailing zeros are not printed.
fn printed(text: &str) -> f64 {
    EIGHT_DIGITS * text.parse::<f64>().unwrap() + f64::EPSILON
}

/// Left out: Haaland (a first guess here, two rows in its own file), Swamee & Jain and Blasius, which nothing uses.
#[test]
fn colebrook_and_laminar_factors() {
    let mut verdict = Verdict::default();
    for row in rows("friction.csv") {
        let tolerance = match row.text("quantity") {
            "darcy_f_colebrook" | "darcy_f_clamond" => EIGHT_DIGITS,
            "darcy_f_laminar" => f64::EPSILON,
            _ => continue,
        };
        let eps = row.optional("eD").unwrap_or(0.0);
        let got = colebrook_factor(bare(row.number("Re")), bare(eps)).unwrap();
        let what = format!("{} Re {} ε/D {eps}", row.text("id"), row.text("Re"));
        verdict.relative(&what, row.number("value"), got.get::<ratio>(), tolerance);
    }
    verdict.finish(2 * 30 + 3);
}

/// The library's label of a fitting, and ours. Its "Elbow, Used as" and "Elbow, Elbow" are tees used as elbows.
const LABELS: &[(&str, Fitting)] = &[
    (
        "Elbow, 90°, Standard (R/D = 1), Screwed",
        Fitting::Elbow90Threaded,
    ),
    (
        "Elbow, 90°, Standard (R/D = 1), Flanged/welded",
        Fitting::Elbow90Flanged,
    ),
    (
        "Elbow, 90°, Long-radius (R/D = 1.5), All types",
        Fitting::Elbow90LongRadius,
    ),
    (
        "Elbow, Used as, Standard, Screwed",
        Fitting::TeeBranchThreaded,
    ),
    (
        "Elbow, Elbow, Long-radius, Screwed",
        Fitting::TeeBranchLongRadius,
    ),
    (
        "Elbow, Elbow, Standard, Flanged/welded",
        Fitting::TeeBranchFlanged,
    ),
    (
        "Elbow, Elbow, Stub-in type branch",
        Fitting::TeeBranchStubIn,
    ),
    ("Tee, Run, Screwed", Fitting::TeeRunThreaded),
    ("Tee, Through, Flanged or welded", Fitting::TeeRunFlanged),
    ("Tee, Tee, Stub-in type branch", Fitting::TeeRunStubIn),
    (
        "Elbow, 90°, threaded, standard, (r/D = 1)",
        Fitting::Elbow90Threaded,
    ),
    (
        "Elbow, 90°, flanged, welded, bends, (r/D = 1)",
        Fitting::Elbow90Flanged,
    ),
    (
        "Tee, Through-branch, (as elbow), threaded, (r/D = 1)",
        Fitting::TeeBranchThreaded,
    ),
    (
        "Tee, Through-branch,(as elbow), (r/D = 1.5)",
        Fitting::TeeBranchLongRadius,
    ),
    (
        "Tee, Through-branch, (as elbow), flanged, (r/D = 1)",
        Fitting::TeeBranchFlanged,
    ),
    (
        "Tee, Through-branch, (as elbow), stub-in branch",
        Fitting::TeeBranchStubIn,
    ),
    (
        "Tee, Run-through, threaded, (r/D = 1)",
        Fitting::TeeRunThreaded,
    ),
    (
        "Tee, Run-through, flanged, (r/D = 1)",
        Fitting::TeeRunFlanged,
    ),
    ("Tee, Run-through, stub-in branch", Fitting::TeeRunStubIn),
];

/// Rows of `friction.csv` on losses that are not Hooper's or Darby's, with their number and why they are not here.
const LEFT_OUT: &[(&str, usize, &str)] = &[
    ("K_entrance_sharp_flush", 6, "in tests/pipes.rs"),
    ("K_entrance_reentrant", 25, "in tests/pipes.rs"),
    ("K_entrance_rounded", 3, "in tests/pipes.rs"),
    ("K_exit_to_tank", 1, "in tests/pipes.rs"),
    ("K_mitre_90", 1, "in tests/pipes.rs"),
    (
        "K_entrance_flush_pipe_oblique",
        5,
        "no such inlet in the library",
    ),
    (
        "K_Crane",
        9,
        "from memory, and a third method for the same elbows and tees",
    ),
    (
        "K_bend90_smooth",
        3,
        "r/D = 0.5 in tests/pipes.rs; the library has no other bend",
    ),
];

#[test]
fn every_fitting_of_the_table() {
    let mut verdict = Verdict::default();
    let mut left_out = vec![0; LEFT_OUT.len()];
    for row in rows("friction.csv") {
        let quantity = row.text("quantity");
        if !quantity.starts_with("K_") {
            continue;
        }
        if let Some(at) = LEFT_OUT
            .iter()
            .position(|(start, ..)| quantity.starts_with(start))
        {
            left_out[at] += 1;
            continue;
        }
        let (method, rest) = quantity.split_once('[').unwrap();
        let (label, size) = rest.rsplit_once(']').unwrap();
        let (_, fitting) = *LABELS
            .iter()
            .find(|(of_table, _)| *of_table == label)
            .unwrap_or_else(|| panic!("{label}"));
        let size_in: f64 = size
            .split_once('=')
            .unwrap()
            .1
            .trim_end_matches("in")
            .parse()
            .unwrap();
        let (reynolds, size) = (bare(row.number("Re")), Length::new::<inch>(size_in));
        let got = match method {
            "K_Hooper2K" => fitting.loss(reynolds, size),
            "K_Darby3K" => fitting.three_k().unwrap().loss(reynolds, size),
            _ => panic!("{method}"),
        };
        let what = format!("{} {quantity}", row.text("id"));
        let got = got.unwrap().get::<ratio>();
        let half = printed(row.text("value"));
        let expected = row.number("value");
        verdict.within(&what, expected - half, got, expected + half);
    }
    verdict.finish(30 + 27);
    for ((start, count, why), found) in LEFT_OUT.iter().zip(left_out) {
        assert_eq!(found, *count, "{start}: {why}");
    }
}

/// Examples in the documentation of `fluids`: Hooper's globe valve, 6.15 at 2 in and Re = 1e4.
#[test]
fn a_valve_of_other_code() {
    let globe = Fitting::GlobeValve.loss(bare(1e4), Length::new::<inch>(2.0));
    approx::assert_relative_eq!(globe.unwrap().get::<ratio>(), 6.15, max_relative = 1e-12);
}

#[test]
fn fittings_are_named_and_fall_with_flow_and_size() {
    for (n, fitting) in Fitting::ALL.iter().enumerate() {
        assert_eq!(fitting.name().parse(), Ok(*fitting));
        assert!(
            Fitting::ALL[..n]
                .iter()
                .all(|other| other.name() != fitting.name())
        );
        let loss = |re, bore| fitting.loss(bare(re), mm(bore)).unwrap().get::<ratio>();
        assert!(loss(1e3, 25.0) >= loss(1e5, 25.0) && loss(1e5, 25.0) >= loss(1e5, 100.0));
        assert!(loss(1e5, 25.0) > 0.0);
        assert!(fitting.reference().trust == Trust::Read || !fitting.name().starts_with("tee"));
    }
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        assert!(Fitting::GateValve.loss(bare(bad), mm(50.0)).is_err());
        assert!(Fitting::GateValve.loss(bare(1e5), mm(bad)).is_err());
        assert!(
            Fitting::GateValve
                .three_k()
                .unwrap()
                .loss(bare(1e5), mm(bad))
                .is_err()
        );
        assert!(contraction(mm(bad), mm(50.0)).is_err() && enlargement(mm(20.0), mm(bad)).is_err());
    }
    // The same bore loses nothing; from a wide tank a contraction is a flush entrance.
    assert_eq!(contraction(mm(50.0), mm(50.0)).unwrap().get::<ratio>(), 0.0);
    assert_eq!(enlargement(mm(50.0), mm(50.0)).unwrap().get::<ratio>(), 0.0);
    assert!((contraction(mm(1.0), mm(3000.0)).unwrap().get::<ratio>() - 0.5).abs() < 1e-6);
    assert!(matches!(
        enlargement(mm(50.0), mm(20.0)),
        Err(Error::Inconsistent {
            larger: Input::WiderBore,
            ..
        })
    ));
}
