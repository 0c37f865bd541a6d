//! The plan of a trial: what it asks for is what the reduction then gives.

use risewater::design::DesignFile;
use risewater::error::Input;
use risewater::trial::{
    AirGauge, Bench, COMMON_BOTTLES_GAL, COMMON_BOTTLES_L, COMMON_VESSELS_GAL, COMMON_VESSELS_L,
    DEMO_RIG, FEWEST_REPEATS, LevelAdvice, Plan, PlanFlag, parse_runs, reduce,
};
use risewater::units::{
    Area, Length, Ratio, Time, UnitSystem, Volume, VolumeRate, cubic_meter_per_second, liter,
    liter_per_minute, meter, percent, ratio, second, square_meter,
};
use risewater::{AirFlow, AirState, Error};

use crate::{fill, relative};

/// Smaller than the demo's, and so large that the fastest run, 136 L/min, takes over 10 s to fill it.
const CONTAINER_L: f64 = 24.0;

/// The demo's bench, with a smaller container and bottle.
fn bench() -> Bench {
    let mut bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    bench.container = Some(Volume::new::<liter>(CONTAINER_L));
    bench.bottle = Some(Volume::new::<liter>(8.4));
    bench
}

/// Without pulsation, n times that agree have the plan's uncertainty. The tolerance is the
/// second order of V/t, (u/Q)² = 2e-4 of it, that a budget by differences leaves out.
#[test]
fn the_expected_uncertainty_is_that_of_the_reduction() {
    let mut bench = bench();
    bench.pulsation = Ratio::new::<ratio>(0.0);
    for run in bench.plan().unwrap().runs {
        let effort = run.effort.unwrap();
        let t = run.fill_time.unwrap().get::<second>();
        let times = vec![t; effort.repeats.unwrap()];
        let reduced = fill(CONTAINER_L, &times)
            .water_flow(&bench.instruments)
            .unwrap();
        let off = relative(&reduced) / effort.expected.get::<ratio>() - 1.0;
        assert!(off.abs() < 2e-4, "{}: off by {off}", run.label);
    }
}

/// The container advised gives just the wanted uncertainty with the fewest repeats.
#[test]
fn the_container_advised_is_just_large_enough() {
    // So little that no container advised fills in under 10 s, where a common one takes its place.
    let mut bench = bench();
    bench.wanted = Ratio::new::<percent>(1.0);
    for run in bench.plan().unwrap().runs {
        let advised = run.effort.unwrap().container.unwrap();
        let only = |container: Volume| {
            let mut bench =
                bench
                    .clone()
                    .with_runs(vec![run.submergence], vec![run.lift], vec![run.air]);
            bench.container = Some(container);
            bench.plan().unwrap().runs[0].effort.unwrap()
        };
        assert_eq!(
            only(advised * 1.0001).repeats,
            Some(FEWEST_REPEATS),
            "{}",
            run.label
        );
        assert_ne!(
            only(advised * 0.9999).repeats,
            Some(FEWEST_REPEATS),
            "{}",
            run.label
        );
    }
}

/// Pulsation of 10 %, 2 % wanted: n = (0.1² + …)/(0.02² − …) is above 20, and no container helps.
#[test]
fn what_cannot_be_reached_is_said() {
    let mut bench = bench();
    bench.pulsation = Ratio::new::<percent>(10.0);
    for run in bench.plan().unwrap().runs {
        let effort = run.effort.unwrap();
        assert_eq!((effort.repeats, effort.container), (None, None));
        assert!(effort.expected > bench.wanted);
        assert!(run.flags.contains(&PlanFlag::OutOfReach));
    }
}

/// The level: solved here again at the middle of the fall, and advice by the size of the tank.
#[test]
fn the_level_budget() {
    // A tank of 1 m² falls by a millimetre for each litre.
    const FALL_M: f64 = CONTAINER_L / 1000.0;
    let of = |area: f64| {
        let bench = bench().with_tank_area(Area::new::<square_meter>(area));
        (bench.plan().unwrap(), bench)
    };
    let (plan, bench) = of(1.0);
    for run in &plan.runs {
        let level = run.level.unwrap();
        assert!((level.fall.get::<meter>() - FALL_M).abs() < 1e-12);
        let mut spec = bench.spec;
        let half = Length::new::<meter>(FALL_M / 2.0);
        spec.dimensions.submergence = run.submergence - half;
        spec.dimensions.lift = run.lift + half;
        let lower = spec.build(&bench.site, bench.model).unwrap();
        let lower = lower.operate(run.air).unwrap().water_flow();
        let bias = (lower / run.water_flow).get::<ratio>() - 1.0;
        assert!(bias < 0.0 && (level.bias.get::<ratio>() - bias).abs() < 1e-9);
        assert!(level.bias_without_return < level.bias);
    }
    let advice = |area| -> Vec<&str> {
        let runs = of(area).0.runs;
        runs.iter()
            .map(|run| run.level.unwrap().advice.code())
            .collect()
    };
    assert!(advice(1000.0).iter().all(|code| *code == "negligible"));
    assert!(advice(0.1).iter().all(|code| *code == "hold_level"));
    assert!(advice(20.0).contains(&"return"), "{:?}", advice(20.0));
    // A smaller container keeps to a third of what is wanted, as linear as the bias is: 2 %.
    let (plan, bench) = of(12.0);
    let mut smaller = 0;
    for run in &plan.runs {
        let LevelAdvice::Smaller { container } = run.level.unwrap().advice else {
            continue;
        };
        smaller += 1;
        // Alone, since it may be too small for other runs.
        let mut bench =
            bench
                .clone()
                .with_runs(vec![run.submergence], vec![run.lift], vec![run.air]);
        bench.container = Some(container);
        let again = &bench.plan().unwrap().runs[0];
        let share = again.level.unwrap().bias.get::<ratio>().abs() / bench.wanted.get::<ratio>();
        assert!((share * 3.0 - 1.0).abs() < 0.02, "{}: {share}", run.label);
    }
    assert!(smaller > 0);
}

/// A blank sheet, filled in with the predicted times, reads back to the predicted flows.
#[test]
fn a_blank_sheet_filled_in_reads_back() {
    let plan = bench().plan().unwrap();
    let blank = plan.blank_sheet();
    let mut filled = String::new();
    let mut header: Vec<String> = Vec::new();
    for line in blank.lines() {
        if line.starts_with('#') {
            filled += line;
        } else if header.is_empty() {
            header = line.split(',').map(str::to_owned).collect();
            filled += line;
        } else {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            let run = plan.runs.iter().find(|run| run.label == cells[0]).unwrap();
            for (cell, column) in cells.iter_mut().zip(&header) {
                let seconds = |time: Option<Time>| time.unwrap().get::<second>().to_string();
                match column.as_str() {
                    c if c.starts_with("water_time") => *cell = seconds(run.fill_time),
                    c if c.starts_with("air_time") => *cell = seconds(run.bottle_time),
                    "bottle_level_mm" => *cell = "0".into(),
                    "air_temperature_degC" => *cell = "14.5".into(),
                    _ => {}
                }
            }
            filled += &cells.join(",");
        }
        filled.push('\n');
    }
    let runs = parse_runs(&filled).unwrap_or_else(|error| panic!("{error}\n{filled}"));
    let reduced = reduce(&runs, &plan.bench.instruments).unwrap();
    assert_eq!(reduced.len(), plan.runs.len());
    for (run, planned) in reduced.iter().zip(&plan.runs) {
        let q = |flow: risewater::units::VolumeRate| flow.get::<cubic_meter_per_second>();
        let off = q(run.water_flow.value.value) / q(planned.water_flow) - 1.0;
        assert!(off.abs() < 1e-9, "{}: water off by {off}", run.label);
        let off = run.air.air_flow().dry_mass_rate() / planned.air.dry_mass_rate();
        assert!(
            (off.get::<ratio>() - 1.0).abs() < 1e-9,
            "{}: air {off:?}",
            run.label
        );
    }
    // As it is, every row lacks its readings, and nothing else is wrong.
    let error = parse_runs(&blank).unwrap_err().to_string();
    assert!(
        error.contains("no reading of the time of the water"),
        "{error}"
    );
    assert!(!error.contains("no such column"), "{error}");
}

#[test]
fn runs_without_water_are_told_and_not_in_the_sheet() {
    let plan = DesignFile::parse_with(DEMO_RIG, &["trial.air_flows=[\"2 L/min\"]".to_owned()])
        .unwrap()
        .bench()
        .unwrap()
        .plan()
        .unwrap();
    assert!(plan.runs[0].flags.contains(&PlanFlag::NoWater));
    assert_eq!(plan.runs[0].water_flow.get::<liter_per_minute>(), 0.0);
    let sheet = plan.blank_sheet();
    assert!(sheet.contains("# R01: no water predicted"), "{sheet}");
    assert!(!sheet.contains("\nR01,"), "{sheet}");
}

/// The demo's bench with nothing at hand, or with what is said.
fn at_hand(container: Option<f64>, bottle: Option<f64>, air: &[f64]) -> Plan {
    let mut bench = bench();
    bench.container = container.map(Volume::new::<liter>);
    bench.bottle = bottle.map(Volume::new::<liter>);
    let flow = |one: &f64| {
        let flow = VolumeRate::new::<liter_per_minute>(*one);
        AirFlow::at(flow, &AirState::DRY_20_C).unwrap()
    };
    bench.air_flows = air.iter().map(flow).collect();
    bench.plan().unwrap()
}

fn vessels(plan: &Plan) -> Vec<f64> {
    let all = plan
        .runs
        .iter()
        .map(|run| run.container.unwrap().get::<liter>());
    all.map(|volume| (1e6 * volume).round() / 1e6).collect()
}

/// By hand. Water: 136 L/min at most and 42 at least; 20 L fill in 8.8 s, which is too short, and 60 L in 26 to 86 s.
/// Air: 32 L/min, dry at 20 °C and 101.325 kPa, are 32 (101.325/97.55)(287.65/293.15) = 32.6 L/min, saturated at 14.5 °C
/// and 99.2 kPa, of which 1.65 kPa are vapour; 5 L fill in 9.2 s, which is too short, and 10 L in 18.4 s.
#[test]
fn common_vessels_are_named() {
    let plan = at_hand(None, None, &[32.0]);
    assert_eq!(vessels(&plan), [60.0; 9]);
    for run in &plan.runs {
        assert_eq!(
            run.air_gauge,
            Some(AirGauge::Bottle(Volume::new::<liter>(10.0)))
        );
        assert!((run.bottle_time.unwrap().get::<second>() - 18.4).abs() < 0.05);
        assert!(run.flags.is_empty(), "{:?}", run.flags);
        // Five minutes to settle, three fills of each with a minute.
        let seconds = |time: Time| time.get::<second>();
        let fills = 3.0 * (seconds(run.fill_time.unwrap()) + 60.0);
        let air = 3.0 * (seconds(run.bottle_time.unwrap()) + 60.0);
        assert!((seconds(run.duration) - 300.0 - fills - air).abs() < 1e-9);
    }
}

/// What is at hand is used where it does, and not where it fills in under 10 s: 22 L in 9.7 s, 23 L in 10.2 s.
#[test]
fn what_is_at_hand_comes_first() {
    assert_eq!(vessels(&at_hand(Some(1.0), Some(1.0), &[32.0])), [60.0; 9]);
    assert_eq!(vessels(&at_hand(Some(22.0), None, &[32.0])), [60.0; 9]);
    assert_eq!(vessels(&at_hand(Some(23.0), None, &[32.0])), [23.0; 9]);
    let bottle = |given| {
        at_hand(None, Some(given), &[32.0]).runs[0]
            .air_gauge
            .unwrap()
            .bottle()
    };
    assert_eq!(bottle(1.0), Some(Volume::new::<liter>(10.0)));
    assert_eq!(bottle(5.5), Some(Volume::new::<liter>(5.5)));
}

/// 20 L, the largest bottle, fill in 10 s at 118 L/min: more air takes a meter, whose lowest tenth cannot be read.
#[test]
fn much_air_takes_a_meter() {
    let scales = |air: &[f64]| -> Vec<f64> {
        let plan = at_hand(None, None, air);
        let runs = plan.runs[..air.len()].iter();
        runs.map(|run| {
            run.air_gauge
                .unwrap()
                .full_scale()
                .unwrap()
                .get::<liter_per_minute>()
        })
        .map(f64::round)
        .collect()
    };
    assert_eq!(scales(&[125.0]), [250.0]);
    assert_eq!(scales(&[30.0, 240.0]), [250.0, 250.0]);
    assert_eq!(scales(&[20.0, 240.0]), [25.0, 250.0]);
    let plan = at_hand(None, None, &[20.0, 240.0]);
    let run = &plan.runs[0];
    assert_eq!(
        (run.bottle_time, run.air_expected),
        (None, Some(plan.bench.instruments.air_meter))
    );
    let sheet = plan.blank_sheet();
    assert!(
        sheet.contains(",air_flow_L_per_min,air_reference,"),
        "{sheet}"
    );
    assert!(!sheet.contains("air_volume_L"), "{sheet}");
    let error = parse_runs(&sheet).unwrap_err().to_string();
    assert!(!error.contains("no such column"), "{error}");
}

/// Where no vessel does for all runs, each has its own: a trickle and a stream.
#[test]
fn each_run_may_have_its_own_vessel() {
    let mut bench = bench();
    (bench.container, bench.bottle) = (None, None);
    bench.submergences = [0.3, 2.0].map(Length::new::<meter>).to_vec();
    bench.lifts = vec![Length::new::<meter>(0.1)];
    let mut found = Vec::new();
    bench.air_flows.truncate(1);
    for run in bench.plan().unwrap().runs {
        let time = run.fill_time.unwrap().get::<second>();
        assert!((10.0..=300.0).contains(&time), "{}: {time} s", run.label);
        found.push(run.container.unwrap().get::<liter>().round());
    }
    assert!(found[0] < found[1], "{found:?}");
}

#[test]
fn what_cannot_be_planned() {
    let refused = |change: fn(&mut Bench)| {
        let mut bench = bench();
        change(&mut bench);
        match bench.plan() {
            Err(Error::OutOfRange { what, .. }) => what,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(refused(|b| b.lifts.clear()), Input::PlannedRuns);
    assert_eq!(
        refused(|b| b.bottle = Some(Volume::new::<liter>(0.0))),
        Input::BottleVolume
    );
    assert_eq!(
        refused(|b| b.container = Some(Volume::new::<liter>(0.0))),
        Input::WaterVolume
    );
    assert_eq!(
        refused(|b| b.tank_area = Some(Area::new::<square_meter>(0.0))),
        Input::TankArea
    );
    assert_eq!(
        refused(|b| b.wanted = Ratio::new::<ratio>(0.0)),
        Input::WantedUncertainty
    );
}

/// Who reads gallons has buckets of gallons: every vessel is one of that list, and none is one of litres.
#[test]
fn vessels_of_the_units_asked_for() {
    let mut bench = bench();
    bench.container = None;
    bench.bottle = None;
    // 3.785 411 784 L to the gallon.
    for (units, vessels, bottles, size_l) in [
        (UnitSystem::Metric, COMMON_VESSELS_L, COMMON_BOTTLES_L, 1.0),
        (
            UnitSystem::Us,
            COMMON_VESSELS_GAL,
            COMMON_BOTTLES_GAL,
            3.785_411_784,
        ),
    ] {
        let one_of = |common: &[f64], volume: Volume| {
            let size = volume.get::<liter>() / size_l;
            let near = |common: &f64| (size / common - 1.0).abs() < 1e-12;
            assert!(common.iter().any(near), "{units:?}: {size}");
        };
        let runs = bench.clone().with_units(units).plan().unwrap().runs;
        assert!(!runs.is_empty());
        for run in runs {
            one_of(&vessels, run.container.unwrap());
            one_of(&bottles, run.air_gauge.unwrap().bottle().unwrap());
        }
    }
}
