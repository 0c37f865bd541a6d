//! The test for repeats out of line keeps its rate of false alarms over whole sheets.
//!
//! Of 400 sheets without a slip at most 5 % may have a time marked: 20, and with 2.33 standard deviations
//! √(400 × 0.05 × 0.95) of such a count (1 %, one-sided) no more than 30.

use rand::SeedableRng;
use rand::rngs::StdRng;
use rand_distr::{Distribution, Normal};
use risewater::riser::Site;
use risewater::trial::{
    AirReading, DisplacedAir, Instruments, OUTLIER_RATE, Run, WaterReading, reduce,
};
use risewater::units::{Length, Time, meter, second};

use crate::{celsius, fill, fresh, kpa, liters, seconds};

const SHEETS: u64 = 400;
const MOST: usize = 30;
/// Mean times of the water of a bench with tub and watch, s.
const WATER: [f64; 12] = [
    16.5, 29.2, 55.1, 11.6, 14.7, 20.8, 9.5, 11.4, 15.2, 12.6, 16.2, 24.3,
];
const AIR: [f64; 12] = [9.0; 12];

/// How single times scatter.
#[derive(Clone, Copy)]
struct Noise {
    hand_s: f64,
    water: f64,
    air: f64,
}

/// Triples of water and air with normal scatter, and a slip in one time of the fifth run's water.
fn sheet(seed: u64, (water, air): ([f64; 12], [f64; 12]), noise: Noise, slip_s: f64) -> Vec<Run> {
    let mut rng = StdRng::seed_from_u64(seed);
    let mut times = |mean: f64, pulsation: f64| -> [f64; 3] {
        let scatter = Normal::new(mean, noise.hand_s.hypot(pulsation * mean)).unwrap();
        std::array::from_fn(|_| scatter.sample(&mut rng))
    };
    let runs = water.into_iter().zip(air).enumerate();
    runs.map(|(n, (water, air))| {
        let mut fills = times(water, noise.water);
        if n == 4 {
            fills[1] += slip_s;
        }
        let bottle = DisplacedAir::new(
            liters(4.2),
            seconds(&times(air, noise.air)),
            celsius(17.5),
            kpa(98.5),
            fresh(16.8),
        );
        Run {
            label: n.to_string(),
            configuration: String::new(),
            submergence: Length::new::<meter>(0.94),
            lift: Length::new::<meter>(0.1),
            site: Site {
                water: fresh(16.8),
                atmosphere: kpa(98.5),
            },
            water: WaterReading::Timed(fill(15.0, &fills)),
            air: AirReading::Displaced(bottle),
        }
    })
    .collect()
}

/// Run and repeat of each time of the water that is marked, and the number of those of the air.
fn marked(runs: &[Run], kit: &Instruments) -> (Vec<(usize, usize)>, usize) {
    let (mut water, mut air) = (Vec::new(), 0);
    for (n, run) in reduce(runs, kit).unwrap().iter().enumerate() {
        let of_water = &run.water_flow.repeats.as_ref().unwrap().outliers;
        assert!(of_water.iter().all(|o| o.chance.value < OUTLIER_RATE));
        water.extend(of_water.iter().map(|o| (n, o.repeat)));
        air += run.air.repeats.as_ref().unwrap().outliers.len();
    }
    (water, air)
}

fn alarms(seeds: u64, means: ([f64; 12], [f64; 12]), noise: Noise, kit: &Instruments) -> usize {
    let alarm = |seed: &u64| {
        let (water, air) = marked(&sheet(*seed, means, noise, 0.0), kit);
        !water.is_empty() || air > 0
    };
    (seeds..seeds + SHEETS).filter(alarm).count()
}

fn light_gate() -> Instruments {
    let none = Time::new::<second>(0.0);
    Instruments::default()
        .with_start_reaction(none)
        .with_stop_reaction(none)
}

/// Whatever the hand, the pulsation and what the instruments are said to be.
#[test]
fn clean_sheets_are_seldom_marked() {
    let noise = |hand_s, water, air| Noise { hand_s, water, air };
    for (n, (what, noise, kit)) in (0..).zip([
        (
            "as stated",
            noise(0.1, 0.008, 0.003),
            Instruments::default(),
        ),
        ("a slow hand", noise(0.3, 0.0, 0.0), Instruments::default()),
        ("pulsation", noise(0.1, 0.03, 0.03), Instruments::default()),
        ("a light gate", noise(0.0, 0.01, 0.01), light_gate()),
        ("a hand, not stated", noise(0.1, 0.008, 0.003), light_gate()),
    ]) {
        let found = alarms(1000 * n, (WATER, AIR), noise, &kit);
        println!("{what}: {found} of {SHEETS} clean sheets are marked");
        assert!(found <= MOST, "{what}: {found}");
    }
}

/// Where all fills are alike, the bound is nearly met: 20 ± 2.33 × 4.4 of 400.
#[test]
fn the_rate_is_that_stated_where_all_fills_are_alike() {
    let noise = Noise {
        hand_s: 0.1,
        water: 0.0,
        air: 0.0,
    };
    let found = alarms(7000, ([100.0; 12], [100.0; 12]), noise, &light_gate());
    println!("alike: {found} of {SHEETS} clean sheets are marked");
    assert!((10..=MOST).contains(&found), "{found}");
}

/// 2.4 s too long in 14.7 s, among triples that scatter by 0.1 s and 0.8 %.
#[test]
fn a_gross_slip_is_found_among_triples() {
    let noise = Noise {
        hand_s: 0.1,
        water: 0.008,
        air: 0.003,
    };
    for seed in 0..100 {
        let (water, _) = marked(
            &sheet(seed, (WATER, AIR), noise, 2.4),
            &Instruments::default(),
        );
        assert!(water.contains(&(4, 2)), "seed {seed}: {water:?}");
    }
}
