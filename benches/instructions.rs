//! One operation, a given number of times, for an instruction counter: see `benches/README.md`.

#[allow(dead_code, reason = "only the cross-section is counted here")]
mod bare;
#[allow(dead_code, reason = "only the clock needs names and expected values")]
mod work;

use std::hint::black_box;

use bare::{Bare, reference_loop};
use risewater::Curve;
use risewater::sizing::size;
use risewater::supply::{AirFeed, best_depths};
use risewater::units::{Pressure, VolumeRate, kilopascal, liter_per_minute};
use work::Case;

const OPERATIONS: &str = "reference | cross_section | hatchery | deep | cases | points | points_one_by_one | air_for | peak | curve | interval_curve | sizing | \
     header | manifold | optimum | cycle | trial | loop_day | loop_day_ten_timetables";

#[allow(clippy::too_many_lines, reason = "one arm an operation")]
fn main() {
    // Cargo adds options of its own.
    let words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    let [operation, times] = words.as_slice() else {
        println!("usage: instructions <operation> <times>, with operation one of {OPERATIONS}");
        return;
    };
    let times: usize = times.parse().unwrap();
    let Case { riser, air, .. } = work::hatchery();
    match operation.as_str() {
        "reference" => repeat(times, reference_loop),
        "cross_section" => {
            let bare = Bare::of(&riser);
            let flux = bare.flux(air);
            repeat(times, || {
                bare.node(black_box(0.5), black_box(flux), black_box(105_000.0))
            });
        }
        "hatchery" => operate(times, &[work::hatchery()]),
        "deep" => operate(times, &[work::deep()]),
        "cases" => operate(times, &work::riser_cases()),
        "points" => {
            let air = work::two_hundred_flows();
            repeat(times, || riser.operate_all(black_box(&air)));
        }
        "points_one_by_one" => {
            let air = work::two_hundred_flows();
            repeat(times, || {
                let outcomes = black_box(&air).iter().map(|air| riser.operate(*air));
                outcomes.collect::<Result<Vec<_>, _>>()
            });
        }
        "air_for" => {
            let target = VolumeRate::new::<liter_per_minute>(120.0);
            repeat(times, || riser.air_for(black_box(target)));
        }
        "peak" => repeat(times, || riser.peak()),
        "curve" => repeat(times, || Curve::of(&riser, 20)),
        "interval_curve" => repeat(times, || work::curve_with_intervals(&riser, 20)),
        "sizing" => {
            let problem = work::sizing();
            repeat(times, || size(black_box(&problem)));
        }
        "header" => {
            let manifold = work::supply::two_hundred_lifts();
            let water = manifold.water_at_rest();
            let pressure = water[0] + Pressure::new::<kilopascal>(3.0);
            repeat(times, || {
                manifold.header().split_at(black_box(pressure), &water)
            });
        }
        "manifold" => {
            let manifold = work::supply::two_hundred_lifts();
            let (curve, main) = work::supply::blower();
            let feed = AirFeed::Blower {
                curve: &curve,
                main: &main,
                bleed: None,
            };
            let running = manifold.run(&feed).unwrap();
            println!(
                "{:.1} L/min of water, {:.1} L/min of air",
                running.water_flow().get::<liter_per_minute>(),
                running
                    .split
                    .air
                    .volume_rate_at_20_c()
                    .get::<liter_per_minute>()
            );
            repeat(times, || manifold.run(black_box(&feed)));
        }
        "optimum" => {
            let (problem, air_side) = work::supply::optimum();
            let best = best_depths(&problem, &air_side).unwrap();
            println!(
                "{} x {} at {:?}",
                best[0].lifts, best[0].pipe.name, best[0].limit
            );
            repeat(times, || best_depths(black_box(&problem), &air_side));
        }
        "cycle" => {
            let cycle = work::need::five_years();
            let needs = cycle.needs(risewater::need::Gases::of).unwrap();
            println!(
                "{} days, {:.1} L/min at most",
                needs.days.len(),
                needs.peak().unwrap().need.flow().get::<liter_per_minute>()
            );
            repeat(times, || {
                black_box(&cycle).needs(risewater::need::Gases::of)
            });
        }
        "loop_day" | "loop_day_ten_timetables" => {
            let tables = if operation == "loop_day" { 1 } else { 10 };
            let (tanks, plan) = work::recirculation::ten_tanks(tables);
            let outcome = tanks.day(&plan).unwrap();
            let day = outcome.day().unwrap();
            let (tank, least) = day.least_oxygen();
            println!(
                "{} days, straight to {:.1e}, least oxygen {:.4} mg/L in tank {tank} at {:.4} h",
                day.days,
                day.straightness.value,
                1e3 * least.value.value,
                least.at.value / 3600.0
            );
            repeat(times, || black_box(&tanks).day(&plan));
        }
        "trial" => {
            let trial = work::trial();
            repeat(times, || work::predict(black_box(&trial)));
        }
        other => panic!("{other:?} is none of {OPERATIONS}"),
    }
}

fn operate(times: usize, cases: &[Case]) {
    for case in cases {
        repeat(times, || case.riser.operate(black_box(case.air)));
    }
}

fn repeat<T>(times: usize, operation: impl Fn() -> T) {
    for _ in 0..times {
        black_box(operation());
    }
}
