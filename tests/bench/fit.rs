//! What a trial has taught, and how it is told.

use risewater::Caution;
use risewater::answer::{Answer as _, FitAnswer};
use risewater::design::DesignFile;
use risewater::report::UnitSystem;
use risewater::trial::{DEMO, DEMO_RIG, Fit, Instruments, ReducedRun, parse_runs, reduce};
use risewater::uncertainty::{Calibration, ErrorLaw, MeasuredPoint, Term};
use risewater::units::{
    Length, Mass, Pressure, Ratio, TemperatureInterval, Time, Volume, meter, ratio,
};

fn demo(labels: &[&str]) -> Calibration {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let runs = reduce(&parse_runs(DEMO).unwrap(), &bench.instruments).unwrap();
    let wanted = |run: &&ReducedRun| labels.contains(&run.label.as_str());
    let runs: Vec<ReducedRun> = runs.iter().filter(wanted).cloned().collect();
    Calibration::of_runs(&runs, &bench.spec).unwrap()
}

fn fit(trial: Calibration) -> Fit {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    Fit::of(trial, bench.model, &ErrorLaw::default(), Some(&bench)).unwrap()
}

#[test]
fn three_points_are_told_on_one_screen() {
    let nine: Vec<String> = (1..=9).map(|n| format!("R0{n}")).collect();
    let nine: Vec<&str> = nine.iter().map(String::as_str).collect();
    for (labels, lines) in [
        (&["R04", "R05", "R06"][..], 23),
        (&["R05"], 23),
        (&nine, 30),
    ] {
        for units in [UnitSystem::Metric, UnitSystem::Us] {
            let text = FitAnswer::of(&fit(demo(labels))).text(units);
            assert!(text.lines().count() <= lines, "{text}");
            let widest = text.lines().map(|line| line.chars().count()).max().unwrap();
            assert!(widest <= 92, "{widest}:\n{text}");
        }
    }
}

#[test]
fn the_json_has_its_keys() {
    let json = FitAnswer::of(&fit(demo(&["R04", "R05", "R06"]))).json();
    let keys: Vec<&str> = json
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    assert_eq!(
        keys,
        [
            "schema",
            "level",
            "points",
            "points_used",
            "calibrated_over_predicted",
            "width_before",
            "width_after",
            "runs",
            "taught",
            "without",
            "next",
            "model",
            "cautions"
        ]
    );
    let run: Vec<&str> = json["runs"][0]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    assert_eq!(
        run,
        [
            "run",
            "submergence_m",
            "lift_m",
            "air_mass_flow_kg_per_s",
            "measured_water_flow_m3_per_s",
            "measured_relative_standard",
            "predicted_water_flow_m3_per_s",
            "interval_before",
            "calibrated_water_flow_m3_per_s",
            "interval_after",
            "deviations",
            "points",
            "unused"
        ]
    );
    assert_eq!(
        json["runs"][0]["interval_before"]["basis"],
        "published rigs"
    );
    assert_eq!(json["runs"][0]["interval_after"]["basis"], "bench trial");
    assert_eq!(json["taught"]["terms"][0]["term"], "rig");
    assert_eq!(json["next"]["duty"]["points"], 3);
}

/// By hand for a single reading: after² = σ² − σ⁴ g²/(k + u²), with σ² g² the term's part of k.
#[test]
fn one_reading_teaches_by_the_equation() {
    let found = fit(demo(&["R06"]));
    assert!(found.taught.len() >= 5);
    let k: f64 = found.taught.iter().map(|one| one.of_flow[0].powi(2)).sum();
    let u = found.runs[0].reading.unwrap();
    for one in &found.taught {
        let told = (one.before * one.of_flow[0]).powi(2) / (k + u * u);
        let after = (one.before.powi(2) - told).sqrt();
        assert!((one.after - after).abs() < 1e-9, "{one:?}, by hand {after}");
    }
    let names: Vec<Term> = found.taught.iter().map(|one| one.term).collect();
    assert_eq!(names[..2], [Term::Rig, Term::Shape]);
}

/// Nothing is uncertain but the tub's volume.
fn exact(tub: f64) -> Instruments {
    Instruments::default()
        .with_container_reading(Volume::default())
        .with_container_calibration(Ratio::new::<ratio>(tub))
        .with_water_density(share(0.0))
        .with_start_reaction(Time::default())
        .with_stop_reaction(Time::default())
        .with_watch_step(Time::default())
        .with_balance(Mass::default())
        .with_temperature(TemperatureInterval::default())
        .with_barometer(Pressure::default())
        .with_air_meter(share(0.0))
        .with_tape(Length::default())
}

/// So many runs at one setting, each of three times that agree.
fn repeated(runs: usize, kit: &Instruments) -> Calibration {
    let mut sheet = String::from(
        "run,submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,water_time_3_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa\n",
    );
    for n in 1..=runs {
        sheet += &format!("R{n},0.95,0.1,40,29,29,29,32,dry_20_c,14.5,99.2\n");
    }
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let runs = reduce(&parse_runs(&sheet).unwrap(), kit).unwrap();
    Calibration::of_runs(&runs, &bench.spec).unwrap()
}

/// Readings that share s and have u each of their own leave 1/√(1/k + 1/(s² + u²/n)) at their setting.
#[test]
fn a_tub_marked_wrong_stays_wrong() {
    const OWN: f64 = 0.01;
    for (tub, n) in [(0.05, 1), (0.05, 8), (0.0, 1), (0.0, 8)] {
        let found = fit(repeated(n, &exact(tub)));
        let half = |interval: Option<risewater::uncertainty::Interval>| {
            let interval = interval.unwrap();
            0.5 * (interval.high / interval.low).get::<ratio>().ln() / 1.281_551_565_545
        };
        let prior = half(found.runs[0].before);
        let shared = tub * tub + OWN * OWN / n as f64;
        let expected = (1.0 / (1.0 / prior.powi(2) + 1.0 / shared)).sqrt();
        let left = half(found.runs[0].after);
        assert!(
            (left / expected - 1.0).abs() < 1e-6,
            "{tub}, {n}: {left}, by hand {expected}"
        );
        let reading = found.runs[0].reading.unwrap();
        assert!((reading - tub.hypot(OWN)).abs() < 1e-9, "{reading}");
    }
}

/// Readings at one depth and lift, each 0.9 of the prediction but one.
fn with_slip(airs: &[f64], wrong: Option<usize>, slip: f64) -> Fit {
    use risewater::units::{VolumeRate, liter_per_minute};
    use risewater::{AirFlow, AirState};

    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let mut spec = bench.spec;
    spec.dimensions.submergence = Length::new::<meter>(0.95);
    spec.dimensions.lift = Length::new::<meter>(0.1);
    let riser = spec.build(&bench.site, bench.model).unwrap();
    let none = Length::default();
    let points = airs.iter().enumerate().map(|(n, air)| {
        let air = VolumeRate::new::<liter_per_minute>(*air);
        let air = AirFlow::at(air, &AirState::DRY_20_C).unwrap();
        let factor = if wrong == Some(n) { 0.9 * slip } else { 0.9 };
        MeasuredPoint {
            run: format!("R{}", n + 1),
            submergence: spec.dimensions.submergence,
            lift: spec.dimensions.lift,
            site: bench.site,
            air,
            water_flow: factor * riser.operate(air).unwrap().water_flow(),
            water_standard: share(0.01),
            air_standard: share(0.01),
            submergence_standard: none,
            lift_standard: none,
            repeats: 1,
            shared: Vec::new(),
        }
    });
    fit(Calibration::new(bench.spec, points.collect()).unwrap())
}

fn outstanding(found: &Fit) -> Vec<(String, usize)> {
    let one = |caution: &Caution| match caution {
        Caution::ReadingStandsOut { run, points, .. } => Some((run.clone(), *points)),
        _ => None,
    };
    found.cautions.iter().filter_map(one).collect()
}

#[test]
fn a_bad_reading_of_five_is_found_and_shown_both_ways() {
    let airs = [18.0, 24.0, 32.0, 42.0, 56.0];
    let sound = with_slip(&airs, None, 1.0);
    assert!(outstanding(&sound).is_empty() && sound.without.is_none());
    for wrong in 0..airs.len() {
        let found = with_slip(&airs, Some(wrong), 1.5);
        let name = format!("R{}", wrong + 1);
        assert_eq!(outstanding(&found), [(name.clone(), 5)]);
        let without = found.without.as_ref().unwrap();
        assert_eq!(without.left_out, [wrong]);
        // The true factor comes back, from four readings within the 3 % that they are held to be read to.
        let (with, left) = (found.change.unwrap().value, without.change.unwrap().value);
        assert!((left / 0.9 - 1.0).abs() < 0.03, "{left}");
        assert!(
            (left / 0.9 - 1.0).abs() < (with / 0.9 - 1.0).abs(),
            "{with}, {left}"
        );
        let text = FitAnswer::of(&found).text(UnitSystem::Metric);
        assert!(
            text.contains(&format!("Without run {name}, which stands out")),
            "{text}"
        );
        assert_eq!(found.runs.len(), 5);
    }
}

#[test]
fn three_readings_can_only_warn() {
    let found = with_slip(&[24.0, 32.0, 42.0], Some(1), 2.0);
    assert_eq!(outstanding(&found).len(), 1);
    assert!(found.without.is_none());
    let said: Vec<String> = found.cautions.iter().map(ToString::to_string).collect();
    assert!(
        said[0].ends_with("three readings cannot tell which of them is wrong, so repeat all"),
        "{said:?}"
    );
}

/// What cannot be used is said, and its run stays in the table.
#[test]
fn a_shallow_point_is_not_used_and_named() {
    let mut points = demo(&["R04", "R05"]).points().to_vec();
    points[1].lift = Length::new::<meter>(1.5);
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let found = fit(Calibration::new(bench.spec, points).unwrap());
    assert!(found.runs[1].unused.is_some() && found.runs[1].calibrated.is_none());
    let text = FitAnswer::of(&found).text(UnitSystem::Metric);
    assert!(text.starts_with("1 of 2 points: "), "{text}");
    assert!(text.contains("Not used: run R05, "), "{text}");
}

#[cfg(feature = "report")]
#[test]
fn the_picture_has_points_curves_and_both_intervals() {
    for labels in [&["R04", "R05", "R06"][..], &["R05"]] {
        let found = fit(demo(labels));
        let figure = found.figure(UnitSystem::Metric).unwrap();
        assert_eq!(figure.measured.len(), 1);
        assert_eq!(figure.bars.len(), 1);
        assert!(figure.after.len() > 40 && figure.before.len() > 40);
        // Nowhere is the band wider after the trial.
        for (before, after) in figure.before.iter().rev().zip(figure.after.iter().rev()) {
            assert_eq!(before.air_at_20_c, after.air_at_20_c);
            assert!(after.high / after.low <= before.high / before.low);
        }
        let svg = figure.chart().svg().unwrap();
        let parsed = roxmltree::Document::parse(&svg).unwrap();
        let words: Vec<&str> = parsed
            .descendants()
            .filter_map(|node| node.text().map(str::trim))
            .collect();
        for word in [
            "measured",
            "predicted",
            "calibrated",
            "interval before",
            "interval after",
        ] {
            assert!(words.contains(&word), "{word}");
        }
        let note = format!(
            "{} more runs, at other depths or lifts, are not drawn",
            labels.len() - 1
        );
        assert_eq!(words.contains(&note.as_str()), labels.len() > 2);
    }
}

fn share(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// However narrow an interval is, its ends are printed so finely that the calibrated flow stands between them.
#[test]
fn printed_ends_hold_the_printed_flow() {
    let labels: Vec<String> = (1..=9).map(|n| format!("R0{n}")).collect();
    let labels: Vec<&str> = labels.iter().map(String::as_str).collect();
    let text = FitAnswer::of(&fit(demo(&labels))).text(UnitSystem::Metric);
    let rows = text.lines().filter(|line| line.starts_with("R0"));
    let mut seen = 0;
    for row in rows {
        let cells: Vec<f64> = row
            .split(' ')
            .filter_map(|cell| cell.parse().ok())
            .collect();
        let [.., calibrated, low, high] = cells[..] else {
            panic!("{row}")
        };
        assert!(low < calibrated && calibrated < high, "{row}");
        seen += 1;
    }
    assert_eq!(seen, 9);
}
