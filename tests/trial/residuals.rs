//! The picture of a comparison says what its table says.

use std::cell::Cell;

use risewater::answer::ComparisonAnswer;
use risewater::chart::Chart;
use risewater::design::DesignFile;
use risewater::report::UnitSystem;
use risewater::trial::{DEMO, DEMO_RIG, Instruments, Matching, parse_runs, reduce};

fn demo() -> (ComparisonAnswer, Chart) {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let runs = reduce(&parse_runs(DEMO).unwrap(), &Instruments::default()).unwrap();
    let runs = (&runs[..], &[][..]);
    let spec = |_: &str| bench.spec;
    let found = ComparisonAnswer::of(runs, bench.model, spec, None, Matching::default()).unwrap();
    let chart = found.chart(UnitSystem::Metric);
    (found, chart)
}

/// Agreement, pairs and wrong ways have the riser of a run in common.
#[test]
fn the_riser_of_a_run_is_asked_for_once() {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let runs = reduce(&parse_runs(DEMO).unwrap(), &Instruments::default()).unwrap();
    let asked = Cell::new(0);
    let spec = |_: &str| {
        asked.set(asked.get() + 1);
        bench.spec
    };
    let names = Some(["ring", "diffuser"]);
    let read = (&runs[..], &[][..]);
    ComparisonAnswer::of(read, bench.model, spec, names, Matching::default()).unwrap();
    assert_eq!(asked.get(), runs.len());
}

/// Theory is high in the demo, in the table and in the picture; each bar is the run's own limits.
#[test]
fn sign_and_bars_are_those_of_the_table() {
    let (found, chart) = demo();
    let mut points: Vec<(f64, f64)> = chart.marks.iter().flat_map(|m| m.points.clone()).collect();
    assert_eq!(points.len(), found.runs.len());
    for run in &found.runs {
        let read = run.measured.unwrap();
        let flow = 60e3 * run.predicted_water_flow_m3_per_s;
        let off = |quotient: f64| 100.0 * (quotient - 1.0);
        let expected = (flow, off(read.predicted_over_measured));
        let near =
            |p: (f64, f64)| (p.0 - expected.0).abs() < 1e-9 && (p.1 - expected.1).abs() < 1e-9;
        let place = points.iter().position(|p| near(*p)).unwrap();
        points.remove(place);
        let bars = chart.bands.iter().filter_map(|band| band.points.first());
        let bar = bars
            .into_iter()
            .find(|bar| (bar.x - expected.0).abs() < 1e-9)
            .unwrap();
        assert!((bar.low - off(read.predicted_over_measured_low.unwrap())).abs() < 1e-9);
        assert!((bar.high - off(read.predicted_over_measured_high.unwrap())).abs() < 1e-9);
    }
}

#[test]
fn each_configuration_has_its_own_mean() {
    let (found, chart) = demo();
    let means: Vec<f64> = found
        .by_configuration
        .iter()
        .map(|one| 100.0 * one.overall.bias)
        .collect();
    assert_eq!(means.len(), 2);
    // The first line is zero.
    let drawn: Vec<f64> = chart.lines[1..]
        .iter()
        .map(|line| line.points[0].1)
        .collect();
    assert_eq!(drawn.len(), means.len());
    for (drawn, mean) in drawn.iter().zip(&means) {
        assert!((drawn - mean).abs() < 1e-9, "{drawn} {mean}");
    }
    assert!(chart.svg().is_ok());
}
