//! Which run to make next: against brute force, which conditions on readings as if they had been made.

use risewater::design::DesignFile;
use risewater::riser::Site;
use risewater::trial::{Bench, DutyAir, Plan, PlannedRun};
use risewater::uncertainty::{Calibration, ErrorLaw, MeasuredPoint};
use risewater::units::{Length, Ratio, VolumeRate, liter_per_minute, meter, ratio};

/// A riser of our own; its duty lies between the runs that the bench can make.
const RIG: &str = r#"
    [water]
    temperature = "17 degC"
    [riser]
    bore = "34 mm"
    submergence = "0.9 m"
    [duty]
    lift = "0.15 m"
    [air]
    reference = "dry_20_c"
    flow = "11 L/min"
    [trial]
    submergences = ["0.5 m", "0.85 m", "0.95 m"]
    lifts = ["0.10 m", "0.20 m"]
    air_flows = ["7 L/min", "9 L/min", "14 L/min", "20 L/min"]
    container = "20 L"
    bottle = "5 L"
"#;

fn bench() -> Bench {
    DesignFile::parse(RIG).unwrap().bench().unwrap()
}

/// A reading of a planned run that gives what was predicted, read once.
fn made(run: &PlannedRun, site: Site) -> MeasuredPoint {
    let exact = Length::new::<meter>(0.0);
    MeasuredPoint {
        run: run.label.clone(),
        submergence: run.submergence,
        lift: run.lift,
        site,
        air: run.air,
        water_flow: run.water_flow,
        water_standard: Ratio::new::<ratio>(0.0),
        air_standard: Ratio::new::<ratio>(0.0),
        submergence_standard: exact,
        lift_standard: exact,
        repeats: 1,
        shared: Vec::new(),
    }
}

/// Half of the interval's width at the duty after these runs.
fn width_after(plan: &Plan, runs: &[usize]) -> f64 {
    let points = runs.iter().map(|n| made(&plan.runs[*n], plan.bench.site));
    let trial = Calibration::new(plan.bench.spec, points.collect()).unwrap();
    let law = ErrorLaw::default().with_calibration(trial);
    let riser = plan
        .order
        .riser
        .build(&plan.bench.site, plan.bench.model)
        .unwrap();
    let found = law.on(&riser).unwrap().predict(plan.order.air).unwrap();
    let found = found.interval.unwrap();
    (0.5 * (found.high / found.low).get::<ratio>().ln()).exp_m1()
}

/// Runs of the duty's rig: those 0.85 and 0.95 m deep, of 0.95 to 1.15 m; the duty's riser is 1.05 m long.
fn of_the_rig(plan: &Plan) -> Vec<usize> {
    let deep = |n: &usize| plan.runs[*n].submergence > Length::new::<meter>(0.8);
    (0..plan.runs.len()).filter(deep).collect()
}

#[test]
fn each_step_is_the_best_by_brute_force() {
    let plan = bench().plan().unwrap();
    assert!(!plan.order.near_threshold);
    let mut before: Vec<usize> = Vec::new();
    for next in plan.order.runs.iter().take(4) {
        let with = |n: usize| [&before[..], &[n]].concat();
        let rest = of_the_rig(&plan)
            .into_iter()
            .filter(|n| !before.contains(n));
        let best = rest
            .map(|n| width_after(&plan, &with(n)))
            .fold(f64::INFINITY, f64::min);
        let half = next.half_width.get::<ratio>();
        let own = width_after(&plan, &with(next.run));
        assert!((half - own).abs() < 1e-9, "{half} is {own}");
        assert!(own <= best * (1.0 + 1e-9), "{own}, but {best} can be had");
        before.push(next.run);
    }
}

#[test]
fn the_width_falls_with_every_run() {
    let order = bench().plan().unwrap().order;
    let mut last = order.half_width.unwrap();
    assert_eq!(order.runs.len(), 16);
    for next in &order.runs {
        assert!(next.half_width < last);
        last = next.half_width;
    }
    let enough = order.enough.unwrap();
    let wanted = Ratio::new::<ratio>(0.1);
    assert!(order.runs[enough - 1].half_width <= wanted);
    assert!(enough == 1 || order.runs[enough - 2].half_width > wanted);
}

/// Taken one by one they need not be the best three, but few of all 560 are better, and none by a tenth.
#[test]
fn the_first_three_are_among_the_best_of_all_triples() {
    let plan = bench().plan().unwrap();
    let runs = plan.order.runs.iter().take(3);
    let own = width_after(&plan, &runs.map(|next| next.run).collect::<Vec<_>>());
    let all = of_the_rig(&plan);
    let mut widths = Vec::new();
    for (n, &a) in all.iter().enumerate() {
        for (m, &b) in all.iter().enumerate().skip(n + 1) {
            let rest = all.iter().skip(m + 1);
            widths.extend(rest.map(|&c| width_after(&plan, &[a, b, c])));
        }
    }
    assert_eq!(widths.len(), 560);
    let better = widths
        .iter()
        .filter(|width| **width < own * (1.0 - 1e-9))
        .count();
    let best = widths.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(
        better <= 28 && best > 0.9 * own,
        "{better} better, {best} against {own}"
    );
}

#[test]
fn another_rig_teaches_nothing_and_is_named() {
    let plan = bench().plan().unwrap();
    let shallow: Vec<usize> = (0..8).collect();
    assert_eq!(plan.order.another_rig, shallow);
    let before = plan.order.half_width.unwrap().get::<ratio>();
    assert!((width_after(&plan, &shallow) - before).abs() < 1e-12);
}

#[test]
fn what_was_measured_counts_as_made() {
    let plan = bench().plan().unwrap();
    let first = plan.order.runs[0];
    let point = made(&plan.runs[first.run], plan.bench.site);
    let trial = Calibration::new(plan.bench.spec, vec![point]).unwrap();
    let law = ErrorLaw::default().with_calibration(trial);
    let again = bench().with_law(law).plan().unwrap();
    assert_eq!(again.order.measured, 1);
    let half = again.order.half_width.unwrap() - first.half_width;
    assert!(half.get::<ratio>().abs() < 1e-12);
    // The run that came second is the first now.
    assert_eq!(again.order.runs[0].run, plan.order.runs[1].run);
}

#[test]
fn the_duty_is_what_the_file_says_or_the_middle() {
    let duty = |text: &str| {
        let order = DesignFile::parse(text)
            .unwrap()
            .bench()
            .unwrap()
            .plan()
            .unwrap()
            .order;
        let at = order.riser.dimensions;
        let air = order.air.volume_rate_at_20_c().get::<liter_per_minute>();
        let place = [at.submergence, at.lift].map(|length| length.get::<meter>());
        (
            place,
            (air * 1e6).round() / 1e6,
            order.air_from,
            order.now.outcome.water_flow(),
        )
    };
    let (place, air, from, _) = duty(RIG);
    assert_eq!((place, air, from), ([0.9, 0.15], 11.0, DutyAir::Given));
    let without = RIG
        .replace("    submergence = \"0.9 m\"\n", "")
        .replace("    flow = \"11 L/min\"\n", "")
        .replace("[duty]\n    lift = \"0.15 m\"\n", "");
    // The lower of the two middle ones.
    let (place, air, from, _) = duty(&without);
    assert_eq!((place, air, from), ([0.85, 0.1], 9.0, DutyAir::Middle));
    let water = |flow: &str| {
        RIG.replace("    flow = \"11 L/min\"\n", "").replace(
            "[duty]\n",
            &format!("[duty]\n    water_flow = \"{flow}\"\n"),
        )
    };
    let (_, _, from, flow) = duty(&water("20 L/min"));
    assert_eq!(from, DutyAir::ForWater);
    assert!((flow / VolumeRate::new::<liter_per_minute>(20.0)).value - 1.0 < 1e-5);
    // No riser of this bore gives that much.
    assert_eq!(duty(&water("900 L/min")).2, DutyAir::Middle);
}
