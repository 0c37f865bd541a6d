//! The report of a trial: JSON shape, CSV, text.

use risewater::answer::{Answer as _, TrialAnswer, TrialTerms};
use risewater::report::UnitSystem;
use risewater::trial::{DEMO, Instruments, parse_runs};
use risewater::units::{Ratio, percent};

fn demo() -> TrialAnswer {
    TrialAnswer::of(
        &parse_runs(DEMO).unwrap(),
        None,
        &Instruments::default(),
        TrialTerms::default(),
    )
    .unwrap()
}

#[test]
fn json() {
    let report = demo();
    let json = report.json();
    assert_eq!(json.as_object().unwrap().keys().next().unwrap(), "schema");
    assert_eq!(json["schema"], "risewater.trial/2");
    assert_eq!(json["runs"].as_array().unwrap().len(), 12);
    let run = &json["runs"][4];
    assert_eq!(run["run"], "R05");
    assert_eq!(run["flow"]["water"]["outliers"][0]["repeat"], 3);
    let number = |key: &str| run[key].as_f64().unwrap();
    let flow = |key: &str| run["flow"][key].as_f64().unwrap();
    let water = report.runs[4].flow.as_ref().unwrap().water_flow_m3_per_s;
    assert_eq!(flow("water_flow_m3_per_s"), water);
    assert!(flow("water_flow_low_m3_per_s") < water && water < flow("water_flow_high_m3_per_s"));
    let middle =
        0.5 * (number("air_mass_flow_low_kg_per_s") + number("air_mass_flow_high_kg_per_s"));
    assert!((middle / number("air_mass_flow_kg_per_s") - 1.0).abs() < 1e-12);
    for (fluid, told) in [("water", &run["flow"]["water"]), ("air", &run["air"])] {
        let budget = told["budget"].as_array().unwrap();
        let sum: f64 = budget
            .iter()
            .map(|part| part["share"].as_f64().unwrap())
            .sum();
        assert!((sum - 1.0).abs() < 1e-9, "{fluid}: {sum}");
    }
    assert!(!json.to_string().contains("NaN"));
}

#[test]
fn csv_has_its_units_and_is_whole() {
    let report = demo();
    for units in [UnitSystem::Metric, UnitSystem::Us] {
        let text = report.csv(units);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().clone();
        let place = |name: &str| {
            header
                .iter()
                .position(|h| h == name)
                .unwrap_or_else(|| panic!("{name} in {header:?}"))
        };
        let water = place(if units == UnitSystem::Metric {
            "water_l_per_min"
        } else {
            "water_gal_per_min"
        });
        let records: Vec<_> = reader.records().map(Result::unwrap).collect();
        assert_eq!(records.len(), 12);
        let size = if units == UnitSystem::Metric {
            1e-3 / 60.0
        } else {
            231.0 * 0.0254f64.powi(3) / 60.0
        };
        let first: f64 = records[0][water].parse().unwrap();
        let water = report.runs[0].flow.as_ref().unwrap().water_flow_m3_per_s;
        assert!((first * size / water - 1.0).abs() < 1e-12);
        assert_eq!(&records[4][place("outliers")], "1");
    }
}

#[test]
fn text() {
    let text = demo().text(UnitSystem::Metric);
    println!("{text}");
    assert!(text.contains("Run R05: water time 3"), "{text}");
    assert!(text.contains("it is kept"), "{text}");
    assert!(text.contains("For a standard uncertainty of 2 %"), "{text}");
    // Where the reading itself looks wrong no advice on repeats is given, whatever is wanted.
    assert!(!text.contains("Water, run R05 ("), "{text}");
    assert!(
        text.contains("Water, run R05: a reading looks wrong"),
        "{text}"
    );
}

#[test]
fn terms_that_cannot_be() {
    let runs = parse_runs(DEMO).unwrap();
    let kit = Instruments::default();
    let terms = TrialTerms {
        level: Ratio::new::<percent>(100.0),
        ..TrialTerms::default()
    };
    assert!(TrialAnswer::of(&runs, None, &kit, terms).is_err());
    let terms = TrialTerms {
        wanted: Ratio::new::<percent>(0.0),
        ..TrialTerms::default()
    };
    assert!(TrialAnswer::of(&runs, None, &kit, terms).is_err());
}
