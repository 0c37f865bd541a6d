//! Every published rig: calibrated on every third point of one series, held against the rest.
//!
//! A series is the points of one depth and lift; the one with the most points is taken (the first of
//! equals). The terms were chosen on the same rigs (`process.rs`), so this is no blind test.

use risewater::Model;
use risewater::published::Rig;
use risewater::trial::{Calibration, FitPoint, FitTerms};

/// What is printed and what the book says.
struct Score {
    rms: f64,
    /// Share within 10 %.
    near: f64,
}

fn score(errors: &[f64]) -> Score {
    let n = errors.len() as f64;
    let near = errors.iter().filter(|e| (e.exp() - 1.0).abs() <= 0.1);
    Score {
        rms: (errors.iter().map(|e| e * e).sum::<f64>() / n).sqrt(),
        near: near.count() as f64 / n,
    }
}

/// One series of a rig fitted: the points fitted, and the untouched before and after.
struct Case {
    name: String,
    submergence_ratio: f64,
    series: usize,
    gate: bool,
    fit: Calibration,
    untouched: usize,
    before: Score,
    after: Score,
}

fn cases(terms: &FitTerms) -> Vec<Case> {
    let mut cases = Vec::new();
    for rig in Rig::all() {
        let all: Vec<FitPoint> = rig
            .points
            .iter()
            .map(|point| FitPoint::of_published(rig, point).unwrap())
            .collect();
        let before: Vec<f64> = rig
            .residuals(Model::default())
            .unwrap()
            .iter()
            .map(risewater::published::Residual::logarithm)
            .collect();
        let same = |a: &FitPoint, b: &FitPoint| a.spec.dimensions == b.spec.dimensions;
        let mut series: Vec<Vec<usize>> = Vec::new();
        for n in 0..all.len() {
            match series.iter_mut().find(|s| same(&all[s[0]], &all[n])) {
                Some(s) => s.push(n),
                None => series.push(vec![n]),
            }
        }
        let longest = series.iter().map(Vec::len).max().unwrap();
        let first = series.iter().position(|s| s.len() == longest).unwrap();
        for (n, members) in series.iter().enumerate() {
            let chosen: Vec<usize> = members.iter().copied().step_by(3).collect();
            let fitted: Vec<FitPoint> = chosen.iter().map(|n| all[*n].clone()).collect();
            let rest: Vec<usize> = (0..all.len()).filter(|n| !chosen.contains(n)).collect();
            let points: Vec<FitPoint> = rest.iter().map(|n| all[*n].clone()).collect();
            let fit = Calibration::best(&fitted, Model::default(), terms).unwrap();
            let untouched: Vec<f64> = rest.iter().map(|n| before[*n]).collect();
            cases.push(Case {
                name: rig.name.clone(),
                submergence_ratio: fit.settings[0].place.submergence_ratio.value,
                series: members.len(),
                gate: n == first,
                untouched: rest.len(),
                before: score(&untouched),
                after: score(&fit.errors_on(&points).unwrap()),
                fit,
            });
        }
    }
    cases
}

/// A table of the book: its cells by row.
fn book_table(header: &str) -> Vec<Vec<String>> {
    let book = include_str!("../../book/src/bench.md");
    let lines = book.lines().skip_while(|line| !line.starts_with(header));
    lines
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| {
            let cells = line.trim_matches('|').split('|');
            cells.map(|cell| cell.trim().to_owned()).collect()
        })
        .collect()
}

#[test]
fn a_few_points_better_the_rest_of_the_rig() {
    let mut failures = Vec::new();
    let mut rows = Vec::new();
    let (mut better, mut tried) = (0, 0);
    let mut worst: f64 = 1.0;
    for case in cases(&FitTerms::cautious()) {
        let improves = case.after.rms < case.before.rms;
        tried += 1;
        worst = worst.max(case.after.rms / case.before.rms);
        better += usize::from(improves);
        println!(
            "{}{}, S {:.3}, {} points, {} fitted: error {:+.3} +/- {:.3}, {} untouched: rms {:.4} -> {:.4}, within 10 % {:.0} % -> {:.0} %{}",
            if case.gate { "* " } else { "  " },
            case.name,
            case.submergence_ratio,
            case.series,
            case.fit.points,
            case.fit.settings[0].error.value,
            case.fit.settings[0].standard.value,
            case.untouched,
            case.before.rms,
            case.after.rms,
            100.0 * case.before.near,
            100.0 * case.after.near,
            if improves { "" } else { "  WORSE" },
        );
        // One setting moves no parameter.
        assert!(case.fit.fitted.is_empty());
        if case.gate {
            rows.push(vec![
                case.name.clone(),
                case.fit.points.to_string(),
                case.untouched.to_string(),
                format!("{:.4}", case.before.rms),
                format!("{:.4}", case.after.rms),
                format!("{:.0} %", 100.0 * case.before.near),
                format!("{:.0} %", 100.0 * case.after.near),
            ]);
            if !improves {
                failures.push(format!(
                    "{}: {:.4} -> {:.4}",
                    case.name, case.before.rms, case.after.rms
                ));
            }
        }
    }
    println!("{better} of {tried} series better the rest of their rig");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert_eq!(book_table("| rig | fitted |"), rows);
    let book = include_str!("../../book/src/bench.md");
    assert!(book.contains(&format!("{better} of all {tried} series")));
    let worse = format!("worse by up to {:.0} %", 100.0 * (worst - 1.0));
    assert!(book.replace('\n', " ").contains(&worse), "{worse}");
}

/// What the book says of longer reaches: one rig does not bear them.
#[test]
fn a_longer_reach_makes_one_rig_worse() {
    let terms = FitTerms {
        reach: risewater::units::Ratio::new::<risewater::units::ratio>(0.4),
        ..FitTerms::cautious()
    };
    let worse: Vec<String> = cases(&terms)
        .into_iter()
        .filter(|case| case.gate && case.after.rms > case.before.rms)
        .map(|case| case.name)
        .collect();
    assert_eq!(worse, ["Kassab 2009, 25.4 mm, 2.75 m"]);
}

/// Every published point in use is above 30 % of its series' peak: that is how they are selected.
#[test]
fn the_points_in_use_are_all_above_a_third_of_the_peak() {
    let mut all = 0;
    let mut above = 0;
    for rig in Rig::all() {
        for point in &rig.points {
            let alike = |other: &&risewater::published::Measured| {
                (other.submergence, other.lift) == (point.submergence, point.lift)
            };
            let flows = rig.points.iter().filter(alike).map(|p| p.water_flow.value);
            let peak = flows.fold(0.0, f64::max);
            all += 1;
            above += usize::from(point.water_flow.value > 0.3 * peak);
        }
    }
    println!("{above} of {all} points above 30 % of their series' peak");
    assert_eq!(above, all);
}
