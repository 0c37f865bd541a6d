//! Runs in which no water came.

use risewater::answer::{Answer as _, ComparisonAnswer, TrialAnswer, TrialTerms};
use risewater::design::DesignFile;
use risewater::report::UnitSystem;
use risewater::trial::{
    DEMO, DEMO_RIG, Instruments, Matching, NoFlowRun, Run, RunAgreement, Verdict, no_flow,
    parse_runs, reduce,
};
use risewater::units::{Length, meter};

/// The demo with its first run without water.
fn sheet(mark: &str) -> String {
    let line = DEMO.lines().find(|line| line.starts_with("R01,")).unwrap();
    let times: Vec<&str> = line.split(',').skip(5).take(4).collect();
    let changed = line.replacen(&times.join(","), mark, 1);
    assert!(changed.starts_with(&format!("R01,ring,0.7,0.04,40,{mark},")));
    DEMO.replacen(line, &changed, 1)
}

fn runs(mark: &str) -> Vec<Run> {
    parse_runs(&sheet(mark)).unwrap()
}

#[test]
fn the_mark_is_read() {
    let kit = Instruments::default();
    for mark in ["no flow,,,", ",No Flow,,", "no_flow,no flow,no-flow,"] {
        let runs = runs(mark);
        assert_eq!(reduce(&runs, &kit).unwrap().len(), 11, "{mark}");
        let without = no_flow(&runs, &kit).unwrap();
        assert_eq!((without.len(), without[0].label.as_str()), (1, "R01"));
        assert!(runs[0].reduce(&kit).is_err());
    }
    for (mark, words) in [
        (
            "no flow,16.27,,",
            "water_time_2_s \"16.27\": given beside \"no flow\" in water_time_1_s",
        ),
        ("none,,,", "water_time_1_s \"none\": this is not a number"),
        (",,,", "where no water came, write \"no flow\""),
    ] {
        let said = parse_runs(&sheet(mark)).unwrap_err().to_string();
        assert!(said.contains(words), "{said}");
    }
}

/// Theory agrees where it lets none flow, however high the outlet.
#[test]
fn against_theory() {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let mut runs = runs("no flow,,,");
    let verdict = |runs: &[Run]| {
        let without = no_flow(runs, &bench.instruments).unwrap();
        RunAgreement::without_water(&without[0], &bench.spec, bench.model).unwrap()
    };
    let low = verdict(&runs);
    assert_eq!(low.verdict, Verdict::NoWaterMeasured);
    assert!(low.predicted.value > 0.0 && low.interval.unwrap().low.value > 0.0);
    runs[0].lift = Length::new::<meter>(2.0);
    let high = verdict(&runs);
    assert_eq!((high.verdict, high.predicted.value), (Verdict::Agrees, 0.0));
}

#[test]
fn in_reports() {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let kit = bench.instruments;
    let runs = runs("no flow,,,");
    let found = TrialAnswer::of(&runs, Some(&bench), &kit, TrialTerms::default()).unwrap();
    assert_eq!(found.json()["no_flow"][0]["run"], "R01");
    assert!(found.text(UnitSystem::Metric).contains("no flow"));
    let reduced = reduce(&runs, &kit).unwrap();
    let compare = |without: &[NoFlowRun]| {
        let runs = (&reduced[..], without);
        let spec = |_: &str| bench.spec;
        ComparisonAnswer::of(runs, bench.model, spec, None, Matching::default()).unwrap()
    };
    let compared = compare(&no_flow(&runs, &kit).unwrap());
    assert_eq!(
        compared.json()["no_flow"][0]["verdict"],
        "no_water_measured"
    );
    let text = compared.text(UnitSystem::Us);
    let words: Vec<&str> = text.split_whitespace().collect();
    let told = "no water measured (no water came and theory lets some flow";
    assert!(words.join(" ").contains(told), "{text}");
    for table in [found.csv(UnitSystem::Metric), compared.csv(UnitSystem::Us)] {
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert!(rows.len() == 12 && &rows[11][0] == "R01", "{table}");
    }
    // What is said of the others does not hang on it.
    let alone = compare(&[]);
    assert_eq!(
        (compared.runs.len(), compared.runs, compared.overall),
        (11, alone.runs, alone.overall)
    );
}

/// The sheet of a plan, with its containers filled in and no water in any run.
#[test]
fn in_a_blank_sheet() {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let blank = bench.plan().unwrap().blank_sheet();
    assert!(blank.contains("\"no flow\""), "{blank}");
    let filled = blank.replace(",40,,,,8,,,,,,", ",40,no flow,,,8,14.6,14.7,14.65,0,17,");
    let runs = parse_runs(&filled).unwrap();
    assert_eq!(no_flow(&runs, &bench.instruments).unwrap().len(), 9);
}
