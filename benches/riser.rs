//! Times of the library's operations; see `benches/README.md`.

mod bare;
#[allow(
    dead_code,
    reason = "many air flows of one riser are counted, not timed"
)]
mod work;

use std::hint::black_box;
use std::time::Duration;

use bare::{Bare, reference_loop};
use criterion::{Criterion, criterion_group, criterion_main};
use risewater::Curve;
use risewater::need::Gases;
use risewater::sizing::size;
use risewater::supply::{AirFeed, best_depths};
use risewater::units::{VolumeRate, cubic_meter_per_second, liter_per_minute};
use work::Case;

/// Largest relative error of a water flow that a time is worth.
const LARGEST_ERROR: f64 = 1e-8;

/// The water flow must be right, or its time means nothing.
fn check(case: &Case) {
    let bare = Bare::of(&case.riser);
    let exact = bare.water_flow(bare.flux(case.air));
    let found = case
        .riser
        .operate(case.air)
        .unwrap()
        .water_flow()
        .get::<cubic_meter_per_second>();
    let error = (found / exact - 1.0).abs();
    println!(
        "{}: water flow {:.6} L/min, relative error {error:.1e}",
        case.name,
        6e4 * found
    );
    assert!(
        error < LARGEST_ERROR,
        "{}: relative error {error:e}",
        case.name
    );
}

fn measures(c: &mut Criterion) {
    c.bench_function("measure/reference loop", |b| {
        b.iter(|| black_box(reference_loop()));
    });
    let case = work::hatchery();
    let bare = Bare::of(&case.riser);
    let flux = bare.flux(case.air);
    c.bench_function("measure/bare cross-section", |b| {
        b.iter(|| black_box(bare.node(black_box(0.5), black_box(flux), black_box(105_000.0))));
    });
}

fn operate(c: &mut Criterion) {
    for case in [work::hatchery(), work::deep()] {
        check(&case);
        c.bench_function(&format!("operate/{}", case.name), |b| {
            b.iter(|| case.riser.operate(black_box(case.air)));
        });
    }
    // Many, so each is measured shortly.
    let mut group = c.benchmark_group("case");
    group
        .sample_size(20)
        .warm_up_time(Duration::from_millis(100))
        .measurement_time(Duration::from_millis(400));
    for case in work::riser_cases() {
        let expected = case.expected_l_per_min.unwrap();
        let found = case
            .riser
            .operate(case.air)
            .unwrap()
            .water_flow()
            .get::<liter_per_minute>();
        assert!(
            (found - expected).abs() < (1e-6 * expected).max(6e-5),
            "{}: {found} for {expected}",
            case.name
        );
        group.bench_function(&case.name, |b| {
            b.iter(|| case.riser.operate(black_box(case.air)));
        });
    }
}

fn searches(c: &mut Criterion) {
    let Case { riser, .. } = work::hatchery();
    c.bench_function("curve/hatchery, 20 points", |b| {
        b.iter(|| Curve::of(black_box(&riser), 20));
    });
    c.bench_function("peak/hatchery", |b| b.iter(|| black_box(&riser).peak()));
    let target = VolumeRate::new::<liter_per_minute>(120.0);
    c.bench_function("air_for/hatchery", |b| {
        b.iter(|| black_box(&riser).air_for(black_box(target)));
    });
}

fn sizing(c: &mut Criterion) {
    let problem = work::sizing();
    let found = size(&problem).unwrap();
    assert_eq!(found.solved, found.candidates);
    println!(
        "sizing: {} candidates, all solved, {} designs",
        found.candidates,
        found.designs.len()
    );
    let mut group = c.benchmark_group("sizing");
    group.sample_size(10);
    group.bench_function("example", |b| b.iter(|| size(black_box(&problem))));
}

/// 200 points of a made-up rig, four depths by fifty air flows, conditioned on; and a curve of 60 points
/// predicted by them, with its intervals.
fn calibration(c: &mut Criterion) {
    let trial = work::trial();
    println!("calibration: curve of {} points", trial.2.len());
    let mut group = c.benchmark_group("calibration");
    group.sample_size(20);
    group.bench_function("200 points, curve of 60", |b| {
        b.iter(|| work::predict(black_box(&trial)));
    });
}

fn supply(c: &mut Criterion) {
    let manifold = work::supply::two_hundred_lifts();
    let (curve, main) = work::supply::blower();
    let feed = AirFeed::Blower {
        curve: &curve,
        main: &main,
        bleed: None,
    };
    c.bench_function("supply/manifold of 200 lifts", |b| {
        b.iter(|| manifold.run(black_box(&feed)));
    });
    let (problem, air_side) = work::supply::optimum();
    c.bench_function("supply/depth and bore of least power", |b| {
        b.iter(|| best_depths(black_box(&problem), &air_side));
    });
}

fn need(c: &mut Criterion) {
    let cycle = work::need::five_years();
    c.bench_function("need/cycle of five years", |b| {
        b.iter(|| black_box(&cycle).needs(Gases::of));
    });
}

criterion_group!(
    benches,
    measures,
    operate,
    searches,
    sizing,
    calibration,
    supply,
    need
);
criterion_main!(benches);
