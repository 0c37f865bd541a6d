//! The trial sheet: what it takes; `refused` has each bad input by name.

mod refused;

use risewater::air::AirState;
use risewater::table::TableError;
use risewater::trial::{AirReading, DEMO, Instruments, Run, WaterReading, parse_runs, read_runs};
use risewater::units::{
    Time, kilogram, liter, liter_per_minute, meter, millimeter, per_mille, second,
};

const GOOD: &str = "\
# A sheet for these tests.
run,configuration,submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_volume_L,air_time_1_s,air_time_2_s,bottle_level_mm,air_temperature_degC,water_temperature_degC,barometer_kPa
A,ring,0.8,0.1,15,14.2,14.6,4,11.9,12.2,-5,17,16,98.6
B,ring,0.8,0.2,15,18.2,18.7,4,11.8,12.1,0,17,16,98.6
";

fn good(sheet: &str) -> Vec<Run> {
    parse_runs(sheet).unwrap_or_else(|error| panic!("{error}\n{sheet}"))
}

fn faults(sheet: &str) -> Vec<String> {
    match parse_runs(sheet) {
        Err(TableError::Faults { faults }) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}\n{sheet}"),
    }
}

/// Remark and header of the good sheet.
fn header() -> String {
    GOOD.lines()
        .take(2)
        .fold(String::new(), |text, line| text + line + "\n")
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
    times.iter().map(Time::get::<second>).collect()
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
        "put the unit in the header or in the cell: m, cm, mm, in or ft",
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

/// A row named "#3" is a run, not a remark.
#[test]
fn a_label_may_start_with_a_number_sign() {
    assert_eq!(good(&changed("A,ring", "#3,ring"))[0].label, "#3");
}

#[test]
fn files() {
    let folder = std::env::temp_dir().join(format!("risewater-trial-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("sheet.csv");
    let read = |bytes: &[u8]| {
        std::fs::write(&path, bytes).unwrap();
        read_runs(&path)
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
        read_runs(&path)
            .unwrap_err()
            .to_string()
            .ends_with("there is no such file")
    );
    assert!(
        read_runs(&folder)
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
    let mut read = 0;
    for _ in 0..3000 {
        let mut sheet: Vec<char> = GOOD.chars().collect();
        for _ in 0..=next(6) {
            let at = next(sheet.len());
            let end = (at + next(4)).min(sheet.len());
            sheet.splice(at..end, pieces[next(pieces.len())].chars());
        }
        let sheet: String = sheet.into_iter().collect();
        if let Ok(runs) = parse_runs(&sheet) {
            for run in runs {
                run.reduce(&Instruments::default()).unwrap();
            }
            read += 1;
        }
    }
    println!("{read} of 3000 could be read");
    assert!(100 * read > 3000, "{read}");
}

/// 40 kg and 8 L, and who measured the air, so that a reader of the demo finds what its remarks say.
#[test]
fn the_demo_s_vessels() {
    for run in good(DEMO) {
        let WaterReading::Weighed(drum) = &run.water else {
            panic!()
        };
        assert!((drum.mass.get::<kilogram>() - 40.0).abs() < 1e-9);
        match (&run.air, run.label.as_str()) {
            (AirReading::Displaced(bottle), "R12") => {
                assert!((bottle.volume.get::<liter>() - 8.0).abs() < 1e-9);
            }
            (AirReading::Metered(air), "R07" | "R08" | "R09") => {
                assert_eq!(air.state, AirState::DRY_20_C);
            }
            (AirReading::Metered(air), _) => {
                let room = AirState::dry(crate::celsius(18.5), run.site.atmosphere);
                assert_eq!(air.state, room);
            }
            other => panic!("{other:?}"),
        }
    }
}

/// Line ends of Windows and of old, and empty lines, change no line number.
#[test]
fn lines_are_counted_as_editors_do() {
    let sheet = changed("14.2", "0").replace("B,ring,0.8,0.2", "\n\nB,ring,0.8,x");
    let expected = ["line 3, water_time_1_s", "line 6, lift_m"];
    for end in ["\n", "\r\n", "\r"] {
        let found = faults(&sheet.replace('\n', end));
        assert_eq!(found.len(), 2, "{end:?} {found:#?}");
        for (found, start) in found.iter().zip(expected) {
            assert!(found.starts_with(start), "{end:?} {found}");
        }
    }
}

/// 1:05 and 0:50.4, and a decimal comma where cells are separated by semicolons or tabs.
#[test]
fn times_and_numbers_as_people_write_them() {
    let clocks = good(&changed("14.2,14.6", "0:14.2,0:14.6"));
    assert_eq!(clocks, good(GOOD));
    let long = good(&changed("14.2,14.6", "1:05,1:04.5"));
    assert_eq!(water_times(&long[0]), [65.0, 64.5]);
    let comma = |separator: &str| {
        let mut lines = GOOD.lines();
        let remark = lines.next().unwrap();
        let rows = lines.map(|line| line.replace(',', separator).replace('.', ","));
        rows.fold(format!("{remark}\n"), |text, row| text + &row + "\n")
    };
    assert_eq!(good(&comma(";")), good(GOOD));
    assert_eq!(good(&comma("\t")), good(GOOD));
    let mixed = comma(";")
        .replace("14,2", "0:14,2")
        .replace("0,1;", "10,0 cm;");
    assert_eq!(good(&mixed)[0], good(GOOD)[0]);
}
