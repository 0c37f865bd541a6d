//! The plan of a trial: what it asks for is what the reduction then gives.

use risewater::Error;
use risewater::design::DesignFile;
use risewater::error::Input;
use risewater::trial::{
    Bench, DEMO_RIG, FEWEST_REPEATS, LevelAdvice, PlanFlag, parse_runs, reduce,
};
use risewater::units::{
    Area, Length, Ratio, Time, Volume, cubic_meter_per_second, liter, liter_per_minute, meter,
    percent, ratio, second, square_meter,
};

use crate::{fill, relative};

/// Smaller than the demo's, and large enough that every run can reach what is wanted.
const CONTAINER_L: f64 = 17.0;

/// The demo's bench, with a smaller container and bottle.
fn bench() -> Bench {
    let mut bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    bench.container = Volume::new::<liter>(CONTAINER_L);
    bench.bottle = Volume::new::<liter>(4.2);
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
    let bench = bench();
    for run in bench.plan().unwrap().runs {
        let advised = run.effort.unwrap().container.unwrap();
        let only = |container: Volume| {
            let mut bench =
                bench
                    .clone()
                    .with_runs(vec![run.submergence], vec![run.lift], vec![run.air]);
            bench.container = container;
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
        let mut bench = bench.clone();
        bench.container = container;
        let again = bench.plan().unwrap();
        let again = again
            .runs
            .iter()
            .find(|other| other.label == run.label)
            .unwrap();
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
        refused(|b| b.bottle = Volume::new::<liter>(0.0)),
        Input::BottleVolume
    );
    assert_eq!(
        refused(|b| b.container = Volume::new::<liter>(0.0)),
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
