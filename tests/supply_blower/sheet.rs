//! The table as CSV: what is read, and what is refused with its line and column.

use crate::{blower, intake};
use risewater::air::AirState;
use risewater::supply::blower::{
    Blower, DEMO, Machine, PowerKind, Stated, TableError, parse_table, read_table,
};
use std::path::Path;

fn faults(text: &str) -> String {
    parse_table(text, &Stated::default())
        .unwrap_err()
        .to_string()
}

/// The points to a mPa, a mm³/s: units leave the last bits open.
fn shown(blower: &Blower) -> Vec<String> {
    let rated = blower.rating().points.iter();
    rated
        .map(|point| {
            let (p, q) = (point.pressure_rise.value, point.inlet_flow.value);
            let power = point.power.map(|power| power.value);
            format!("{p:.3} {q:.9} {power:?}")
        })
        .collect()
}

#[test]
fn the_demo_is_the_table_it_says() {
    assert_eq!(
        parse_table(DEMO, &Stated::default()),
        Ok(blower(Machine::Dynamic))
    );
    assert!(DEMO.starts_with("# An invented"));
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/supply/blower/demo.csv");
    assert_eq!(
        read_table(&path, &Stated::default()),
        Ok(blower(Machine::Dynamic))
    );
    let missing = read_table(Path::new("no_such.csv"), &Stated::default()).unwrap_err();
    assert_eq!(missing.to_string(), "no_such.csv: there is no such file");
    assert!(matches!(missing, TableError::Unreadable { .. }));
}

#[test]
fn spreadsheets_write_it_their_way() {
    let demo = blower(Machine::Dynamic);
    let quoted = DEMO.replace(
        "# An invented side-channel blower: no such machine was built or measured.",
        "\"# invented; in quotes\",,",
    );
    let padded: String = DEMO
        .lines()
        .map(|line| format!("{line},,\r\n\r\n"))
        .collect();
    for text in [
        format!("\u{feff}{DEMO}"),
        DEMO.replace('\n', "\r\n"),
        DEMO.replace('\n', "\r"),
        DEMO.replace(',', ";"),
        format!("sep=;\n{}", DEMO.replace(',', ";")),
        DEMO.replace(',', "\t"),
        quoted,
        padded,
        DEMO.replace("pressure_rise_kPa", "Pressure_Rise_mbar")
            .replace("22.0,", "220 mbar,")
            .replace("18.6,", "186,")
            .replace("15.0,", "150,")
            .replace("11.0,", "11 kPa,")
            .replace("6.2,", "62,"),
        DEMO.replace("dry_20_c", "dry_20_c\n# a remark\n\n"),
        DEMO.replace(
            "intake_state,dry_20_c",
            "intake_temperature,20 degC\nintake_pressure,101.325 kPa\nintake_humidity,0 %",
        ),
    ] {
        let read = parse_table(&text, &Stated::default());
        assert_eq!(shown(&read.unwrap()), shown(&demo), "{text}");
    }
}

#[test]
fn what_the_file_leaves_to_the_caller() {
    let bare: String = DEMO
        .lines()
        .skip(5)
        .map(|line| format!("{line}\n"))
        .collect();
    let stated = Stated {
        conditions: Some(AirState::DRY_20_C),
        machine: Some(Machine::Dynamic),
        power_kind: Some(PowerKind::Wire),
    };
    assert_eq!(parse_table(&bare, &stated), Ok(blower(Machine::Dynamic)));
    assert_eq!(parse_table(DEMO, &stated), Ok(blower(Machine::Dynamic)));
    assert_eq!(
        faults(&bare),
        "not in the file, intake_state: missing: give the state at the intake that the table holds for: intake_state with a name of `risewater list states`, or intake_temperature, intake_pressure and intake_humidity\n\
         not in the file, machine: missing: give machine,dynamic (side-channel, centrifugal) or machine,positive_displacement\n\
         not in the file, power_kind: missing: give power_kind,shaft or power_kind,wire (from the mains)"
    );
    let other = Stated {
        conditions: Some(intake(15.0, 101.325)),
        machine: Some(Machine::PositiveDisplacement),
        power_kind: Some(PowerKind::Shaft),
    };
    assert_eq!(
        parse_table(DEMO, &other).unwrap_err().to_string(),
        "line 3, intake_state \"dry_20_c\": the file says so, but something else was given beside it; keep one of the two\n\
         line 4, machine \"dynamic\": the file says so, but something else was given beside it; keep one of the two\n\
         line 5, power_kind \"wire\": the file says so, but something else was given beside it; keep one of the two"
    );
}

const HEADER: &str = "pressure_rise_kPa,inlet_flow_m3_per_h,power_W";

/// What is replaced in the demo, by what, and how its faults begin.
const FAULTS: &[(&str, &str, &str)] = &[
    (
        "15.0,60",
        "19,60",
        "line 9, pressure_rise_kPa \"19\": point 3: the pressure rise must fall",
    ),
    (
        "15.0,60",
        "15.0,30",
        "line 9, inlet_flow_m3_per_h \"30\": points 2 and 3 are at the same flow",
    ),
    (
        "15.0,60",
        "-15.0,60",
        "line 9, pressure_rise_kPa \"-15.0\": point 3: pressure rise of the blower is -15 kPa",
    ),
    (
        "15.0,60",
        "15.0,-60",
        "line 9, inlet_flow_m3_per_h \"-60\": point 3: volume flow",
    ),
    (
        "15.0,60",
        "NaN,60",
        "line 9, pressure_rise_kPa \"NaN\": this is not a finite number",
    ),
    (
        "15.0,60",
        ",60",
        "line 9, pressure_rise_kPa: the cell is empty; give the pressure, in the column's unit or with its own",
    ),
    (
        "15.0,60",
        "15,0,60",
        "line 9: 4 cells under 3 columns; a decimal comma or a comma in a text does that",
    ),
    (
        "15.0,60",
        "\"15,0\",60",
        "line 9, pressure_rise_kPa \"15,0\": a decimal comma; write a decimal point",
    ),
    (
        "15.0,60",
        "15 m,60",
        "line 9, pressure_rise_kPa \"15 m\": m is a unit of length",
    ),
    (
        "60,880",
        "60,",
        "line 9, power_W: point 3 has no power, though others have",
    ),
    (
        "60,880",
        "60,-880",
        "line 9, power_W \"-880\": point 3: power of the blower is -880 W",
    ),
    (
        HEADER,
        "pressure_rise_kPa,power_W,note",
        "line 6, inlet_flow_m3_per_h: this column is missing; it holds the volume flow in the state at the intake",
    ),
    (
        HEADER,
        "pressure_rise_kPa,inlet_flow_Nm3_per_h,power_W",
        "line 6, inlet_flow_Nm3_per_h: Nm3/h is a flow of gas at a state",
    ),
    (
        HEADER,
        "pressure_rise_kPa,inlet_flow_kPa,power_W",
        "line 6, inlet_flow_kPa: kPa is a unit of pressure",
    ),
    (
        HEADER,
        "pressure_rise_kPa,inlet_flow,power_W",
        "line 7, inlet_flow \"0\": a number without a unit; put the unit in the header or in the cell: L/min",
    ),
    (
        HEADER,
        "pressure_rise_kPa,inlet_flw_m3_per_h,power_W",
        "line 6, inlet_flw_m3_per_h: there is no such column; did you mean \"inlet_flow_m3_per_h\"?",
    ),
    (
        HEADER,
        "pressure_rise_kPa,inlet_flow_m3_per_h,power_W,power_kW",
        "line 6, power_kW: column 4 says what column 3 (power_W) says already",
    ),
    (
        "machine,dynamic",
        "machine,rotary",
        "line 4, machine \"rotary\": give dynamic or positive_displacement",
    ),
    (
        "machine,dynamic",
        "machine",
        "line 4, machine: a key takes one value",
    ),
    (
        "machine,dynamic",
        "machne,dynamic",
        "line 4, machne: there is no such key above the header; did you mean \"machine\"?",
    ),
    (
        "machine,dynamic",
        "power_kind,shaft",
        "line 5, power_kind: given before, in line 4",
    ),
    (
        "dry_20_c",
        "dry_20",
        "line 3, intake_state \"dry_20\": there is no reference state of air named \"dry_20\"",
    ),
    (
        "intake_state,dry_20_c",
        "intake_temperature,20 degC",
        "not in the file, intake_pressure: missing: give an absolute pressure, such as 101.325 kPa\nnot in the file, intake_humidity: missing",
    ),
    (
        "intake_state,dry_20_c",
        "intake_temperature,20\nintake_pressure,1 atm\nintake_humidity,0",
        "line 3, intake_temperature \"20\": give a temperature, such as 20 degC",
    ),
    (
        "intake_state,dry_20_c",
        "intake_temperature,90 degC\nintake_pressure,1 atm\nintake_humidity,0",
        "line 3, intake_temperature \"90 degC\": temperature at the blower's intake is 90 degC",
    ),
    (
        "intake_state,dry_20_c",
        "intake_state,dry_20_c\nintake_pressure,1 atm",
        "line 4, intake_pressure \"1 atm\": given before, in intake_state",
    ),
    (
        "0,150,560",
        "0,150,560\nmachine,dynamic",
        "line 13, machine: this key stands below the header",
    ),
];

#[test]
fn faults_name_line_and_column() {
    for (from, to, text) in FAULTS {
        assert!(DEMO.contains(from), "{from}");
        let got = faults(&DEMO.replacen(from, to, 1));
        assert!(
            got.starts_with(text),
            "{to}\nexpected {text}\ngot      {got}"
        );
    }
}

#[test]
fn lines_count_blank_ones_and_remarks() {
    let text = DEMO
        .replace("22.0,0,1150\n", "\n# shut-off was not measured\n\n")
        .replace("15.0,60", "19,60");
    assert!(
        faults(&text).starts_with("line 11, pressure_rise_kPa \"19\": point 2"),
        "{}",
        faults(&text)
    );
}

#[test]
fn files_without_a_table() {
    let keys: String = DEMO
        .lines()
        .take(5)
        .map(|line| format!("{line}\n"))
        .collect();
    let header: String = DEMO
        .lines()
        .take(6)
        .map(|line| format!("{line}\n"))
        .collect();
    let one: String = DEMO
        .lines()
        .take(7)
        .map(|line| format!("{line}\n"))
        .collect();
    assert!(faults(&keys).starts_with("line 5: there is no header; it names the columns"));
    assert_eq!(
        faults(&header),
        "line 6: there is no point below the header"
    );
    assert_eq!(
        faults(&one),
        "line 7: a table of 1 point(s) is no curve: at least 2 are needed"
    );
    for text in ["", "\n\n", "# nothing\n", "\u{feff}", ",,,\n", "\"", "a\0b"] {
        assert!(
            faults(text).contains("there is no header"),
            "{text:?}: {}",
            faults(text)
        );
    }
}
