//! Each bad input by name: line, column, value, and what would do.

use risewater::table::{TableError, TableProblem};
use risewater::trial::parse_runs;

use super::{GOOD, changed, faults, good, header, one};

#[test]
fn zero_and_negative_times() {
    one(
        &changed("14.2", "0"),
        "line 3, water_time_1_s \"0\": time of the water is 0 s",
        "must lie in 0.1 to 86400 s",
    );
    one(
        &changed("14.2", "-14.2"),
        "line 3, water_time_1_s \"-14.2\"",
        "time of the water is -14.2 s",
    );
    one(
        &changed("11.8", "0.0 s"),
        "line 4, air_time_1_s",
        "time of the air is 0 s",
    );
}

#[test]
fn one_repeat() {
    one(
        &changed("14.2,14.6", "14.2,"),
        "line 3, water_time_1_s \"14.2\": one time tells nothing of its scatter",
        "\"water_repeatability\"",
    );
    one(
        &changed("11.9,12.2", ",12.2"),
        "line 3, air_time_2_s \"12.2\": one time",
        "\"air_repeatability\"",
    );
}

#[test]
fn no_repeat() {
    one(
        &changed("14.2,14.6", ","),
        "line 3, water_time_1_s: no reading of the time of the water",
        "water_time_1, water_clock_1",
    );
}

#[test]
fn a_bottle_of_zero_volume() {
    one(
        &changed(",4,11.9", ",0,11.9"),
        "line 3, air_volume_L \"0\": volume of air in the bottle is 0 L",
        "0.01 to 100000 L",
    );
}

#[test]
fn a_running_watch_that_goes_back() {
    let clock = GOOD
        .replace("water_time", "water_clock")
        .replace("14.2,14.6", "14.2,28.8");
    one(
        &clock.replace("18.2,18.7", "18.2,17.0"),
        "line 4, water_clock_2_s \"17.0\": a running watch must go on: the reading before is 18.2 s",
        "name the column \"water_time\"",
    );
    one(
        &clock.replace("18.2,18.7", "18.2,18.2"),
        "line 4, water_clock_2_s",
        "must go on",
    );
    one(
        &clock.replace("18.2,18.7", "18.2,18.25"),
        "line 4, water_clock_2_s",
        "must lie in 0.1",
    );
}

/// Where commas separate cells a decimal comma is not told from them; elsewhere not from thousands.
#[test]
fn decimal_commas() {
    let semicolons = GOOD.replace(',', ";");
    one(
        &semicolons.replace("14.2", "1.014,2"),
        "line 3, water_time_1_s \"1.014,2\": a decimal comma; write a decimal point, and nothing between thousands",
        "",
    );
    one(
        &changed("14.2", "14,2"),
        "line 3: 15 cells under 14 columns; a decimal comma",
        "or separate cells by semicolons",
    );
    one(
        &changed("14.2", "\"14,2\""),
        "line 3, water_time_1_s",
        "a decimal comma",
    );
}

#[test]
fn minutes_and_seconds() {
    for text in ["1:5", "1:75", "1:05 s", ":05"] {
        one(
            &changed("14.2", text),
            &format!("line 3, water_time_1_s {text:?}: minutes and seconds are written 1:05"),
            "two digits",
        );
    }
    one(
        &changed("0.8,", "0:08,"),
        "line 3, submergence_m \"0:08\": this is not a number",
        "",
    );
}

#[test]
fn wrong_dimensions_and_unknown_units() {
    one(
        &changed("14.2", "14.2 L"),
        "line 3, water_time_1_s \"14.2 L\": L is a unit of volume, not of time; use s, min, ms or h",
        "",
    );
    one(
        &changed("0.8,", "0.8 s,"),
        "line 3, submergence_m",
        "s is a unit of time, not of length",
    );
    one(
        &changed("98.6", "98.6 L/min"),
        "line 3, barometer_kPa",
        "not of absolute pressure",
    );
    one(
        &changed("14.2", "14.2 sek"),
        "line 3, water_time_1_s",
        "did you mean sec",
    );
    one(
        &GOOD.replace("lift_m", "lift_kPa"),
        "line 2, lift_kPa: kPa is a unit of pressure, not of length",
        "",
    );
    one(
        &GOOD.replace("water_volume_L", "water_volume_Ltr"),
        "line 2, water_volume_Ltr: \"Ltr\" is no known unit of volume",
        "",
    );
}

#[test]
fn what_is_no_number() {
    for text in ["fourteen", "#DIV/0!", "14.2.1", "~14"] {
        one(
            &changed("14.2", text),
            "line 3, water_time_1_s",
            "this is not a number; give the time",
        );
    }
    for text in ["NaN", "inf", "1e999"] {
        one(
            &changed("14.2", text),
            "line 3, water_time_1_s",
            "not a finite number",
        );
    }
}

#[test]
fn values_that_cannot_be() {
    one(
        &changed("0.8,", "-0.8,"),
        "line 3, submergence_m \"-0.8\": submergence is -0.8 m",
        "",
    );
    one(
        &changed("17,16,98.6", "17,160,98.6"),
        "line 3, water_temperature_degC",
        "0 to 40 degC",
    );
    one(
        &changed("17,16,98.6", "-1,16,98.6"),
        "line 3, air_temperature_degC",
        "0 to 60 degC",
    );
    one(
        &changed("98.6", "986"),
        "line 3, barometer_kPa \"986\": station barometer is 986 kPa",
        "30 to 120 kPa",
    );
    one(
        &changed("-5,17", "-5000,17"),
        "line 3, bottle_level_mm",
        "-3 to 3 m",
    );
    let emptied = changed("-5,17,16,98.6", "2900,60,16,40");
    one(
        &emptied,
        "line 3, barometer_kPa \"40\": station barometer (40 kPa) must be more than vapour pressure and suction",
        "",
    );
}

#[test]
fn columns_renamed_missing_and_twice() {
    one(
        &GOOD.replace("submergence_m", "submergance_m"),
        "line 2, submergance_m: there is no such column; did you mean \"submergence_m\"?",
        "",
    );
    one(
        &GOOD.replace("water_time_2_s", "water_tme_2_s"),
        "line 2, water_tme_2_s",
        "did you mean \"water_time_2_s\"",
    );
    one(
        &GOOD.replace("run,", "weather,"),
        "line 2, weather: there is no such column; free text goes into a column named note",
        "",
    );
    one(
        &GOOD.replace("water_time_2_s", "water_time_1_min"),
        "line 2, water_time_1_min: column 7 says what column 6 (water_time_1_s) says already",
        "",
    );
    one(
        &GOOD.replace("water_time_2_s", "water_time_1_s"),
        "line 2, water_time_1_s: column 7",
        "",
    );
    // The whole column is gone: one fault, not one in each row.
    let without = |sheet: &str, place: usize| -> String {
        let cut = |line: &str| {
            let cells = line
                .split(',')
                .enumerate()
                .filter(|(n, _)| *n != place)
                .map(|(_, cell)| cell);
            cells.collect::<Vec<_>>().join(",") + "\n"
        };
        sheet
            .lines()
            .map(|line| {
                if line.starts_with('#') {
                    format!("{line}\n")
                } else {
                    cut(line)
                }
            })
            .collect()
    };
    one(
        &without(GOOD, 2),
        "line 2, submergence_m: this column is missing; it holds the depth",
        "",
    );
    one(
        &without(GOOD, 4),
        "line 2, water_volume_L: this column is missing",
        "water_mass_kg",
    );
    one(
        &without(GOOD, 7),
        "line 2, air_volume_L: this column is missing",
        "air_flow_L_per_min",
    );
    one(
        &without(GOOD, 10),
        "line 2, bottle_level_mm: this column is missing",
        "",
    );
    one(
        &without(GOOD, 13),
        "line 2, barometer_kPa: this column is missing",
        "not reduced to sea level",
    );
    one(
        &GOOD
            .replace("barometer_kPa", "barometer_kPa,")
            .replacen("98.6", "98.6,x", 1),
        "line 3 \"x\": column 15 has no name in the header",
        "",
    );
}

#[test]
fn empty_cells() {
    one(
        &changed(",0.1,", ",,"),
        "line 3, lift_m: the cell is empty; give the length",
        "",
    );
    one(
        &changed("ring,0.8,0.1,15", "ring,0.8,0.1,"),
        "line 3, water_volume_L: no reading of the water caught",
        "water_volume, water_mass",
    );
    // A row that ends early lacks what it lacks.
    one(
        &changed("16,98.6\nB", "16\nB"),
        "line 3, barometer_kPa: the cell is empty",
        "",
    );
}

#[test]
fn two_readings_of_the_same_thing() {
    let both = GOOD
        .replace("run,", "water_mass_kg,")
        .replace("A,", "14,")
        .replace("B,", ",");
    one(
        &both,
        "line 3, water_volume_L \"15\": given beside water_mass",
        "",
    );
    let both = GOOD
        .replace("run,", "water_clock_1_s,")
        .replace("A,", "14,")
        .replace("B,", ",");
    one(
        &both,
        "line 3, water_time_1_s \"14.2\": given beside water_clock_1_s",
        "",
    );
}

#[test]
fn references_of_metered_air() {
    let sheet = |air: &str| {
        format!(
            "submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa\n0.8,0.1,15,14.2,14.6,{air},16,98.6\n"
        )
    };
    assert_eq!(good(&sheet("20,dry_20_c")).len(), 1);
    one(
        &sheet("20,dry_20"),
        "line 2, air_reference \"dry_20\": there is no reference state of air named",
        "did you mean \"dry_20_c\"",
    );
    one(
        &sheet("20,"),
        "line 2, air_reference: the cell is empty; give the state",
        "",
    );
    one(
        &sheet("20,as_read"),
        "line 2, air_temperature_degC: this column is missing",
        "as_read",
    );
    one(
        &sheet("0,dry_20_c"),
        "line 2, air_flow_L_per_min \"0\": air flow is 0 L/min",
        "",
    );
}

#[test]
fn nothing_there() {
    for sheet in ["", "\n\n", "# remark\n", "\u{feff}"] {
        let faults = faults(sheet);
        assert_eq!(faults.len(), 1);
        assert!(faults[0].contains("there is no header"), "{faults:?}");
    }
    one(&header(), "line 2: there is no run below the header", "");
}

/// Faults of all rows are told together, by line.
#[test]
fn all_faults_at_once() {
    let sheet = GOOD
        .replace("14.2", "0")
        .replace("0.8,0.2", "0.8 kg,x")
        .replace("run,", "runn,");
    let faults = faults(&sheet);
    let starts = [
        "line 2, runn",
        "line 3, water_time_1_s",
        "line 4, submergence_m",
        "line 4, lift_m",
    ];
    assert_eq!(faults.len(), starts.len(), "{faults:#?}");
    assert!(
        faults
            .iter()
            .zip(starts)
            .all(|(fault, start)| fault.starts_with(start)),
        "{faults:#?}"
    );
    let TableError::Faults { faults } = parse_runs(&sheet).unwrap_err() else {
        panic!()
    };
    assert!(
        matches!(&faults[0].problem, TableProblem::Unknown { nearest: Some(near), .. } if near == "run")
    );
}

#[test]
fn a_list_of_faults_ends() {
    let rows = "C,ring,x,0.1,15,14.2,14.6,4,11.9,12.2,-5,17,16,98.6\n".repeat(200);
    let text = parse_runs(&(header() + &rows)).unwrap_err().to_string();
    assert!(text.ends_with("and 150 more"), "{text}");
    assert_eq!(text.lines().count(), 51);
}
