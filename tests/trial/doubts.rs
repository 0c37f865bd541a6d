//! Readings that look wrong: each slip that people make is told with what was probably meant, and the
//! data goes on.

use risewater::design::DesignFile;
use risewater::trial::{Bench, Doubtful, Fluid, Instruments, Run, doubts, parse_runs, reduce};

const HEADER: &str = "run,submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,water_time_3_s,air_volume_L,air_time_1_s,air_time_2_s,air_time_3_s,bottle_level_mm,air_temperature_degC,water_temperature_degC,barometer_kPa\n";
/// Three runs of the rig below: 28, 24 and 19 L/min of water, near its predictions.
const ROWS: &str = "\
R1,0.85,0.1,30,64.0,65.1,64.6,2,12.1,12.2,12.0,0,18,16,100.1
R2,0.85,0.15,30,75.1,74.2,74.9,2,12.0,12.2,12.1,0,18,16,100.1
R3,0.85,0.2,30,95.8,94.9,95.2,2,12.1,12.1,12.2,0,18,16,100.1
";
const RIG: &str = "\
[water]
temperature = \"16 degC\"

[riser]
bore = \"38 mm\"

[air]
reference = \"dry_20_c\"

[trial]
submergences = [\"0.85 m\"]
lifts = [\"0.10 m\", \"0.15 m\", \"0.20 m\"]
air_flows = [\"10 L/min\"]
container = \"30 L\"
bottle = \"2 L\"
";

fn bench() -> Bench {
    DesignFile::parse(RIG).unwrap().bench().unwrap()
}

fn runs(change: &[(&str, &str)]) -> Vec<Run> {
    let mut rows = ROWS.to_owned();
    for (from, to) in change {
        assert!(rows.contains(from), "{from}");
        rows = rows.replacen(from, to, 1);
    }
    parse_runs(&format!("{HEADER}{rows}")).unwrap()
}

/// What is doubted without and with the plan.
fn both(change: &[(&str, &str)]) -> [Vec<Doubtful>; 2] {
    let runs = runs(change);
    // Nothing is dropped for it.
    assert_eq!(reduce(&runs, &Instruments::default()).unwrap().len(), 3);
    [None, Some(&bench())].map(|bench| doubts(&runs, bench).unwrap())
}

/// One doubt of this code, which says this.
#[track_caller]
fn one(found: &[Doubtful], code: &str, words: &[&str]) {
    assert_eq!(found.len(), 1, "{found:#?}");
    let said = found[0].to_string();
    assert_eq!(found[0].code(), code, "{said}");
    assert!(include_str!("../../book/src/errors.md").contains(&format!("`{code}`")));
    for word in words {
        assert!(said.contains(word), "{said}");
    }
}

#[track_caller]
fn one_of_both(change: &[(&str, &str)], code: &str, words: &[&str]) {
    for found in both(change) {
        one(&found, code, words);
    }
}

#[test]
fn good_readings_are_not_doubted() {
    assert_eq!(both(&[]), [vec![], vec![]]);
    // Nor is a scatter of a third, though the uncertainty is wide.
    assert_eq!(both(&[("64.0,65.1", "64.0,80.1")]), [vec![], vec![]]);
}

#[test]
fn minutes_and_seconds_with_a_point() {
    one_of_both(
        &[("65.1", "1.05")],
        "time_out_of_line",
        &["run R1: water time 2, 1.05 s", "was it 1:05", "write 1:05"],
    );
    // The wrong ones in the majority.
    let two = both(&[("64.0,65.1", "1.04,1.05")]);
    for found in &two {
        assert_eq!(found.len(), 2, "{found:#?}");
        assert!(found[0].to_string().contains("was it 1:04"), "{}", found[0]);
    }
    // All times of a run.
    let all = both(&[("64.0,65.1,64.6", "1.04,1.05,1.05")]);
    one(
        &all[0],
        "times_of_other_size",
        &["by the other runs 65 s", "was it 1:05"],
    );
    one(
        &all[1],
        "times_of_other_size",
        &["by the plan 65 s", "was it 1:05"],
    );
}

#[test]
fn other_units_of_time() {
    one_of_both(
        &[("75.1,74.2", "1.25,74.2")],
        "time_out_of_line",
        &["was it 1:25"],
    );
    one_of_both(
        &[("75.1,74.2", "75.1,0.742")],
        "time_out_of_line",
        &["water time 2, 0.742 s"],
    );
    one_of_both(
        &[("75.1", "751")],
        "time_out_of_line",
        &["did the decimal point slip? 75.1 s would fit"],
    );
    // 1:05 typed into a spreadsheet and saved as 1:05:00.
    one_of_both(
        &[("65.1", "1:05:00")],
        "time_out_of_line",
        &["was it 1:05, of which a spreadsheet made hours"],
    );
    one_of_both(
        &[("74.9", "33.3")],
        "time_out_of_line",
        &["water time 3, 33.3 s", "no scatter"],
    );
}

#[test]
fn a_watch_left_running() {
    one_of_both(
        &[("64.0,65.1,64.6", "64.0,129.1,193.7")],
        "watch_left_running",
        &["64, 129.1, 193.7 s", "name the columns water_clock_1_s"],
    );
    one_of_both(
        &[("12.1,12.2,12.0", "12.1,24.3,")],
        "watch_left_running",
        &["air_clock_1_s"],
    );
}

#[test]
fn water_and_air_swapped() {
    let found = both(&[(
        "64.0,65.1,64.6,2,12.1,12.2,12.0",
        "12.1,12.2,12.0,2,64.0,65.1,64.6",
    )]);
    one(
        &found[0],
        "times_swapped",
        &["by the other runs", "swapped?"],
    );
    one(&found[1], "times_swapped", &["by the plan", "swapped?"]);
    assert!(found[0][0].is_of("R1", Fluid::Air) && !found[0][0].is_of("R2", Fluid::Air));
    // In every run: the others cannot tell.
    let swap = |row: &str| {
        let cells: Vec<&str> = row.split(',').collect();
        [
            &cells[..4],
            &cells[8..11],
            &cells[7..8],
            &cells[4..7],
            &cells[11..],
        ]
        .concat()
        .join(",")
    };
    let rows: Vec<String> = ROWS.lines().map(swap).collect();
    let runs = parse_runs(&format!("{HEADER}{}\n", rows.join("\n"))).unwrap();
    assert_eq!(doubts(&runs, None).unwrap(), []);
    let found = doubts(&runs, Some(&bench())).unwrap();
    assert!(
        found.len() == 3 && found.iter().all(|d| d.code() == "times_swapped"),
        "{found:#?}"
    );
}

#[test]
fn milliliters_for_liters() {
    let found = both(&[("64.6,2,", "64.6,2000,")]);
    one(
        &found[0],
        "amount_unit",
        &["2000 L of air", "by the other runs it is 2 L", "2000 mL"],
    );
    one(
        &found[1],
        "amount_unit",
        &["by the plan it is 2 L", "2000 mL"],
    );
    // In every run: no hand turns such a bottle.
    let rows = ROWS.replace(",2,12", ",2000,12");
    let runs = parse_runs(&format!("{HEADER}{rows}")).unwrap();
    let found = doubts(&runs, None).unwrap();
    one(
        &found,
        "amount_unit",
        &["runs R1, R2, R3", "too much for a bottle", "2000 mL"],
    );
    one_of_both(
        &[(",30,64", ",30000,64")],
        "amount_unit",
        &["30000 L of water", "30000 mL"],
    );
}

#[test]
fn lengths_in_centimeters() {
    let found = both(&[("0.85,0.1,", "0.85,10,")]);
    one(
        &found[0],
        "length_unit",
        &["a lift of 10 m", "other runs", "\"10 cm\""],
    );
    one(
        &found[1],
        "length_unit",
        &["a lift of 10 m", "plan", "\"10 cm\""],
    );
    one_of_both(
        &[("0.85,0.1,", "85,0.1,")],
        "length_unit",
        &["a submergence of 85 m", "\"85 cm\""],
    );
    one_of_both(
        &[("0.85,0.1,", "0.85,100,")],
        "length_unit",
        &["\"100 mm\""],
    );
    // In every run: no airlift of that submergence lifts so high.
    let rows = ROWS
        .replace(",0.1,", ",10,")
        .replace(",0.15,", ",15,")
        .replace(",0.2,", ",20,");
    let runs = parse_runs(&format!("{HEADER}{rows}")).unwrap();
    let found = doubts(&runs, None).unwrap();
    assert!(
        found.len() == 3
            && found[0]
                .to_string()
                .contains("more than this submergence lifts"),
        "{found:#?}"
    );
}

/// A container of 30 L written as 5: no slip of the times explains it, but the plan does not expect it.
#[test]
fn a_flow_that_the_plan_does_not_expect() {
    let found = both(&[(",30,64", ",5,64")]);
    assert_eq!(found[0], []);
    one(
        &found[1],
        "flow_unexpected",
        &["L/min of water, where the plan expects"],
    );
}
