//! The trial sheet: what it takes, and each bad input by name.

use risewater::air::AirState;
use risewater::trial::{
    AirReading, DEMO, Instruments, Run, SheetError, SheetProblem, WaterReading, parse_sheet,
    read_sheet,
};
use risewater::units::{kilogram, liter, liter_per_minute, meter, millimeter, per_mille, second};

const GOOD: &str = "\
# A sheet for these tests.
run,configuration,submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_volume_L,air_time_1_s,air_time_2_s,bottle_level_mm,air_temperature_degC,water_temperature_degC,barometer_kPa
A,ring,0.8,0.1,15,14.2,14.6,4,11.9,12.2,-5,17,16,98.6
B,ring,0.8,0.2,15,18.2,18.7,4,11.8,12.1,0,17,16,98.6
";

fn good(sheet: &str) -> Vec<Run> {
    parse_sheet(sheet).unwrap_or_else(|error| panic!("{error}\n{sheet}"))
}

fn faults(sheet: &str) -> Vec<String> {
    match parse_sheet(sheet) {
        Err(SheetError::Faults { faults }) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}\n{sheet}"),
    }
}

fn changed(from: &str, to: &str) -> String {
    assert!(GOOD.contains(from), "{from}");
    GOOD.replacen(from, to, 1)
}

/// Exactly one fault, that starts and contains as said.
#[track_caller]
fn one(sheet: &str, start: &str, part: &str) {
    let faults = faults(sheet);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(
        faults[0].starts_with(start) && faults[0].contains(part),
        "{}",
        faults[0]
    );
}

fn water_times(run: &Run) -> Vec<f64> {
    let times = match &run.water {
        WaterReading::Timed(timed) => &timed.times,
        WaterReading::Weighed(weighed) => &weighed.times,
        other => panic!("{other:?}"),
    };
    times.iter().map(|t| t.get::<second>()).collect()
}

#[test]
fn a_good_sheet() {
    let runs = good(GOOD);
    assert_eq!(runs.len(), 2);
    assert_eq!(
        (runs[0].label.as_str(), runs[0].configuration.as_str()),
        ("A", "ring")
    );
    assert_eq!(
        (
            runs[1].submergence.get::<meter>(),
            runs[1].lift.get::<meter>()
        ),
        (0.8, 0.2)
    );
    assert_eq!(water_times(&runs[0]), [14.2, 14.6]);
    let AirReading::Displaced(bottle) = &runs[0].air else {
        panic!()
    };
    assert!((bottle.level_difference.get::<millimeter>() + 5.0).abs() < 1e-12);
    assert!(
        runs.iter()
            .all(|run| run.reduce(&Instruments::default()).is_ok())
    );
}

#[test]
fn spreadsheets_may_save_it_as_they_like() {
    let runs = good(GOOD);
    let same = [
        GOOD.replace(',', ";"),
        GOOD.replace(',', "\t"),
        GOOD.replace('\n', "\r\n"),
        format!("\u{feff}{GOOD}"),
        format!("{GOOD},,,,,,,,,,,,,\n\n   \n"),
        GOOD.replace("A,ring", "\n\nA,ring"),
        GOOD.replace("A,ring", "\"A\",\"ring\""),
        format!("sep=;\n{}", GOOD.replace(',', ";")),
        GOOD.replace(
            "# A sheet for these tests.",
            "\"# A sheet, for these tests.\",,,,",
        ),
        GOOD.replace("98.6\n", "98.6,,\n")
            .replace("barometer_kPa\n", "barometer_kPa,,\n"),
        GOOD.trim_end().to_owned(),
        GOOD.replace("run,", "Run,").replace("lift_m", " lift_m "),
    ];
    for sheet in &same {
        assert_eq!(good(sheet), runs, "{sheet}");
    }
}

/// Columns in any order, of any unit, and cells with their own.
#[test]
fn units_are_converted() {
    let runs = good(GOOD);
    let cells = changed("0.8,0.1,15,14.2", "800 mm,10 cm,15000 mL,14200 ms");
    assert_eq!(good(&cells)[0].submergence, runs[0].submergence);
    assert!((water_times(&good(&cells)[0])[0] - 14.2).abs() < 1e-12);
    let header = GOOD
        .replace("submergence_m", "submergence_mm")
        .replace(",0.8,", ",800,");
    assert!((good(&header)[1].submergence.get::<meter>() - 0.8).abs() < 1e-12);
    let barometer = GOOD
        .replace("barometer_kPa", "barometer_hPa")
        .replace("98.6", "986");
    assert!(
        (good(&barometer)[0]
            .site
            .atmosphere
            .get::<risewater::units::kilopascal>()
            - 98.6)
            .abs()
            < 1e-9
    );
    // A header without a unit will do where every cell has one.
    let bare = GOOD
        .replace("lift_m", "lift")
        .replace("0.8,0.1", "0.8,4 in")
        .replace("0.8,0.2", "0.8,8 in");
    assert!((good(&bare)[1].lift.get::<meter>() - 0.2032).abs() < 1e-12);
    one(
        &GOOD
            .replace("lift_m", "lift")
            .replace("0.8,0.1", "0.8,4 in"),
        "line 4, lift \"0.2\"",
        "put the unit in the header or in the cell: m, cm, mm or in",
    );
}

#[test]
fn weighed_water_metered_air_and_a_running_watch() {
    let sheet = "\
water_mass_kg,water_clock_1_s,water_clock_2_s,water_clock_3_s,air_flow_L_per_min,air_reference,air_temperature_degC,submergence_m,lift_m,water_temperature_degC,barometer_kPa,salinity_g_per_kg,note
14.9,14.0,28.5,42.25,20,normal_din_1343,,0.8,0.1,16,98.6,32,fine
14.9,14.0,28.5,,0.7 cfm,as_read,18,0.8,0.1,16,98.6,32,\"windy, cold\"
";
    let runs = good(sheet);
    assert_eq!(water_times(&runs[0]), [14.0, 14.5, 13.75]);
    assert_eq!(water_times(&runs[1]), [14.0, 14.5]);
    assert_eq!(runs[0].label, "1");
    let WaterReading::Weighed(water) = &runs[0].water else {
        panic!()
    };
    assert_eq!(water.mass.get::<kilogram>(), 14.9);
    assert!((water.water.salinity().get::<per_mille>() - 32.0).abs() < 1e-12);
    let metered = |run: &Run| match run.air {
        AirReading::Metered(air) => air,
        _ => panic!(),
    };
    assert_eq!(metered(&runs[0]).state, AirState::NORMAL_DIN_1343);
    assert!((metered(&runs[0]).volume_rate.get::<liter_per_minute>() - 20.0).abs() < 1e-12);
    assert_eq!(
        metered(&runs[1]).state,
        AirState::dry(crate::celsius(18.0), crate::kpa(98.6))
    );
}

#[test]
fn one_time_with_its_repeatability() {
    let header = GOOD.replace("water_time_2_s", "water_repeatability_s");
    let sheet = header
        .replace("14.2,14.6", "14.2,0.3")
        .replace("18.2,18.7", "18.2,0.3");
    assert_eq!(water_times(&good(&sheet)[0]), [14.2]);
}

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

#[test]
fn decimal_commas() {
    let semicolons = GOOD.replace(',', ";");
    one(
        &semicolons.replace("14.2", "14,2"),
        "line 3, water_time_1_s \"14,2\": a decimal comma; write a decimal point",
        "language",
    );
    one(
        &changed("14.2", "14,2"),
        "line 3: 15 cells under 14 columns; a decimal comma",
        "write a decimal point",
    );
    one(
        &changed("14.2", "\"14,2\""),
        "line 3, water_time_1_s",
        "a decimal comma",
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
        "line 2, lift_kPa: kPa is a unit of absolute pressure, not of length",
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
    for text in ["fourteen", "#DIV/0!", "14:20", "14.2.1", "~14"] {
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
        "line 2, water_time_1_min: column 7 says what column 6 says already",
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
    let header: String = GOOD
        .lines()
        .take(2)
        .map(|line| format!("{line}\n"))
        .collect();
    one(&header, "line 2: there is no run below the header", "");
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
    let SheetError::Faults { faults } = parse_sheet(&sheet).unwrap_err() else {
        panic!()
    };
    assert!(
        matches!(&faults[0].problem, SheetProblem::UnknownColumn { nearest: Some(near) } if near == "run")
    );
}

/// A row named "#3" is a run, not a remark.
#[test]
fn a_label_may_start_with_a_number_sign() {
    assert_eq!(good(&changed("A,ring", "#3,ring"))[0].label, "#3");
}

#[test]
fn a_list_of_faults_ends() {
    let rows: String = (0..200)
        .map(|n| format!("{n},ring,x,0.1,15,14.2,14.6,4,11.9,12.2,-5,17,16,98.6\n"))
        .collect();
    let header: String = GOOD
        .lines()
        .take(2)
        .map(|line| format!("{line}\n"))
        .collect();
    let text = parse_sheet(&(header + &rows)).unwrap_err().to_string();
    assert!(text.ends_with("and 150 more"), "{text}");
    assert_eq!(text.lines().count(), 51);
}

#[test]
fn files() {
    let folder = std::env::temp_dir().join(format!("risewater-trial-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("sheet.csv");
    let read = |bytes: &[u8]| {
        std::fs::write(&path, bytes).unwrap();
        read_sheet(&path)
    };
    assert_eq!(read(DEMO.as_bytes()).unwrap(), good(DEMO));
    let latin_1 = read(b"run,\xe9\n").unwrap_err().to_string();
    assert!(
        latin_1.ends_with("this is not a text file in UTF-8; in a spreadsheet, save as CSV UTF-8"),
        "{latin_1}"
    );
    let utf_16: Vec<u8> = GOOD.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(
        read(&[&[0xff, 0xfe][..], &utf_16].concat())
            .unwrap_err()
            .to_string()
            .contains("CSV UTF-8")
    );
    std::fs::remove_file(&path).unwrap();
    assert!(
        read_sheet(&path)
            .unwrap_err()
            .to_string()
            .ends_with("there is no such file")
    );
    assert!(
        read_sheet(&folder)
            .unwrap_err()
            .to_string()
            .contains("directory")
    );
    std::fs::remove_dir(&folder).unwrap();
}

/// Whatever is typed, reading ends without a panic.
#[test]
fn any_text_is_read_or_refused() {
    let mut seed = 7u64;
    let mut next = |n: usize| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % n
    };
    let pieces = [
        ",",
        ";",
        "\"",
        "\n",
        "-",
        "1e308",
        "é",
        "\u{feff}",
        "#",
        "_",
        "s",
        " ",
        "0",
        "NaN",
        "water_time_99999999999_s",
        "\t",
        "\r",
    ];
    for _ in 0..3000 {
        let mut sheet: Vec<char> = GOOD.chars().collect();
        for _ in 0..=next(6) {
            let at = next(sheet.len());
            let end = (at + next(4)).min(sheet.len());
            sheet.splice(at..end, pieces[next(pieces.len())].chars());
        }
        let sheet: String = sheet.into_iter().collect();
        if let Ok(runs) = parse_sheet(&sheet) {
            for run in runs {
                run.reduce(&Instruments::default()).unwrap();
            }
        }
    }
}

/// 15 L and 4.2 L, so that a reader of the demo finds what its remarks say.
#[test]
fn the_demo_s_vessels() {
    for run in good(DEMO) {
        let (WaterReading::Timed(tub), AirReading::Displaced(jar)) = (&run.water, &run.air) else {
            panic!()
        };
        assert!((tub.volume.get::<liter>() - 15.0).abs() < 1e-9);
        assert!((jar.volume.get::<liter>() - 4.2).abs() < 1e-9);
    }
}
