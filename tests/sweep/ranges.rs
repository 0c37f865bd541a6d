//! What values a text says, and what is wrong with one that says none.

use std::path::Path;

use risewater::design::{DesignFile, EXAMPLE, FileError};
use risewater::sweep::Sweep;

fn sweep(vary: &[(&str, &str)]) -> Result<Sweep, FileError> {
    DesignFile::sweep(EXAMPLE, &[], vary, Path::new(""))
}

/// The values of one key, in words.
fn said(key: &str, text: &str) -> Vec<String> {
    let sweep = sweep(&[(key, text)]).unwrap_or_else(|error| panic!("{key} = {text}: {error}"));
    let value = |row| sweep.case(row)[0].1.clone();
    (0..sweep.rows()).map(value).collect()
}

#[test]
fn lists_and_ranges_have_their_values_and_both_ends() {
    for (key, text, due) in [
        (
            "riser.bore",
            "40 mm..100 mm/20 mm",
            "40 mm|60 mm|80 mm|100 mm",
        ),
        (
            "riser.bore",
            "40 mm .. 0.1 m / 2 cm",
            "40 mm|60 mm|80 mm|100 mm",
        ),
        ("riser.bore", "100 mm..40 mm/30 mm", "100 mm|70 mm|40 mm"),
        ("riser.bore", "50 mm", "50 mm"),
        ("riser.bore", "50 mm..50 mm/5 mm", "50 mm"),
        ("riser.bore", "2 in, 3 in..4 in:3", "2 in|3 in|3.5 in|4 in"),
        (
            "air.flow",
            "20 L/min..80 L/min/20 L/min",
            "20 L/min|40 L/min|60 L/min|80 L/min",
        ),
        (
            "air.flow",
            "10 L/min..80 L/min*2",
            "10 L/min|20 L/min|40 L/min|80 L/min",
        ),
        (
            "air.flow",
            "80 L/min..10 L/min*2",
            "80 L/min|40 L/min|20 L/min|10 L/min",
        ),
        ("air.flow", "20 L/min,40 L/min", "20 L/min|40 L/min"),
        ("air.flow", "20 L/min, 40 L/min,", "20 L/min|40 L/min"),
        (
            "water.temperature",
            "10 degC..20 degC/5 K",
            "10 degC|15 degC|20 degC",
        ),
        (
            "water.salinity",
            "0 g/kg..30 g/kg/15 g/kg",
            "0 g/kg|15 g/kg|30 g/kg",
        ),
        ("riser.entrance_loss", "0.4..1/0.2", "0.4|0.6|0.8|1"),
        ("riser.lift", "-0.1 m..0.1 m/0.1 m", "-0.1 m|0 m|0.1 m"),
        (
            "site.pressure",
            "90 kPa..100 kPa/5 kPa",
            "90 kPa|95 kPa|100 kPa",
        ),
        (
            "model.slip",
            "bhagwat_ghajar_2014, smith_drift",
            "bhagwat_ghajar_2014|smith_drift",
        ),
        ("model.developing_length", "4..8:3", "4|6|8"),
        ("model.developing_length", "0.1 m..0.2 m:2", "0.1 m|0.2 m"),
        (
            "riser.pipe",
            "ASTM D1785 Sch 40 3 in, ASTM D1785 Sch 40 4 in",
            "ASTM D1785 Sch 40 3 in|ASTM D1785 Sch 40 4 in",
        ),
        (
            "air.reference",
            "{ temperature = \"0 degC\", pressure = \"101.325 kPa\" }, dry_20_c",
            "{ temperature = \"0 degC\", pressure = \"101.325 kPa\" }|dry_20_c",
        ),
    ] {
        let due: Vec<_> = due.split('|').collect();
        assert_eq!(said(key, text), due, "{key} = {text}");
    }
}

/// Steps are counted: a thousand steps of a tenth end where they should, and no value has noise in its last digits.
#[test]
fn steps_do_not_add_up() {
    let all = said("riser.submergence", "0.1 m..100.1 m/0.1 m");
    assert_eq!(all.len(), 1001);
    for (n, value) in all.iter().enumerate() {
        let tenths = n + 1;
        let due = format!("{}.{}", tenths / 10, tenths % 10);
        assert_eq!(*value, format!("{} m", due.trim_end_matches(".0")));
    }
}

/// Keys, values, and what is wrong with them.
const FAULTS: &[(&str, &str, &str)] = &[
    (
        "riser.bore",
        "40 mm..100 mm/7 mm",
        "the steps of \"40 mm..100 mm/7 mm\" come to 96 mm and 103 mm, not to its end",
    ),
    (
        "air.flow",
        "10 L/min..70 L/min*2",
        "come to 40 L/min and 80 L/min",
    ),
    (
        "riser.bore",
        "100 mm..40 mm/7 mm",
        "come to 44 mm and 37 mm",
    ),
    (
        "riser.bore",
        "40 mm..100 mm",
        "does not say the steps of its range",
    ),
    ("riser.bore", "40 mm..100 mm/0 mm", "must be more than zero"),
    (
        "riser.bore",
        "40 mm..100 mm/-5 mm",
        "must be more than zero",
    ),
    ("riser.bore", "40 mm..100 mm/5", "\"5\" has no unit"),
    ("riser.bore", "40 mm..100 mm/5 kPa", "kPa is a unit of"),
    ("riser.bore", "40..100 mm/5 mm", "\"40\" has no unit"),
    (
        "riser.bore",
        "40 mm..100 mm:1",
        "must be whole, from 2 to 1000000",
    ),
    ("riser.bore", "40 mm..100 mm:2.5", "must be whole"),
    (
        "riser.bore",
        "40 mm..100 mm:9999999",
        "must be whole, from 2 to 1000000",
    ),
    (
        "riser.bore",
        "40 mm..100 mm/1e-9 mm",
        "has more than 1000000 values",
    ),
    ("riser.lift", "0 m..1 m*2", "between ends above zero"),
    (
        "air.flow",
        "10 L/min..80 L/min*1",
        "a number above zero other than one",
    ),
    (
        "air.flow",
        "10 L/min..80 L/min*two",
        "a number above zero other than one",
    ),
    (
        "water.temperature",
        "10 degC..20 degC*2",
        "temperatures take steps",
    ),
    ("riser.bore", "", "no value in \"\""),
    ("riser.bore", " , ", "no value in"),
    (
        "riser.bore",
        "40 mm, 50 mm, 4 cm",
        "\"40 mm\" is there twice",
    ),
    (
        "riser.bore",
        "40 mm..60 mm/10 mm, 50 mm",
        "\"50 mm\" is there twice",
    ),
    (
        "model.slip",
        "smith_drift, smith_drift",
        "\"smith_drift\" is there twice",
    ),
    (
        "model.slip",
        "bubbly..smith_drift",
        "and names have no ranges",
    ),
    ("model.slip", "smit_drift", "did you mean \"smith_drift\""),
    (
        "model.developing_length",
        "4, 0.2 m",
        "a number of bores and a length are both given",
    ),
    ("riser.pipe", "no such pipe", "no such pipe"),
    (
        "riser.bore",
        "40 mm, 4 furlong",
        "is no known unit of length",
    ),
    ("riser.bore", "0.1 mm..40 mm:3", "must lie in 1 to 3000 mm"),
    ("riser.bore", "40 mm..9 m:3", "must lie in 1 to 3000 mm"),
    ("riser.bor", "40 mm", "did you mean \"bore\""),
    ("rise.bore", "40 mm", "did you mean \"riser\""),
    (
        "limits.max_lifts",
        "1, 2",
        "one riser does not depend on it",
    ),
    (
        "duty.water_flow",
        "1 L/min",
        "one riser does not depend on it",
    ),
    ("bore", "40 mm", "does not name a key"),
    // A plain outlet has no such bore.
    (
        "riser.outlet_bore",
        "80 mm, 100 mm",
        "this key belongs to outlet = \"elbow\"",
    ),
    (
        "water.density",
        "990 kg/m3, 1000 kg/m3",
        "all of density, viscosity",
    ),
];

#[test]
fn what_is_wrong_is_said() {
    for &(key, text, words) in FAULTS {
        match sweep(&[(key, text)]) {
            Ok(_) => panic!("{key} = {text} is taken"),
            Err(error) => {
                let told = error.to_string();
                assert!(told.contains(words), "{key} = {text}: {told}");
                assert!(told.starts_with("--vary"), "{key} = {text}: {told}");
            }
        }
    }
}

#[test]
fn keys_that_say_the_same_are_refused() {
    let told = |vary: &[(&str, &str)]| sweep(vary).unwrap_err().to_string();
    let bore = ("riser.bore", "40 mm, 50 mm");
    assert!(told(&[bore, bore]).contains("it varies twice"));
    let pipe = ("riser.pipe", "ASTM D1785 Sch 40 3 in");
    assert!(told(&[bore, pipe]).contains("given beside riser.bore"));
    let air = ("air.flow", "40 L/min");
    assert!(told(&[air, ("air.mass_flow", "3 kg/h")]).contains("given beside air.flow"));
    assert!(told(&[]).contains("nothing varies"));
    let many = "0.1 m..1 m:100000";
    let keys = [
        "riser.bore",
        "riser.submergence",
        "riser.lift",
        "riser.suction_length",
    ];
    let all = keys.map(|key| (key, many));
    assert!(told(&all).contains("cannot be counted"));
}

/// A file's section has its say, in either spelling of TOML, and options stand in its place.
#[test]
fn the_section_of_a_file_and_options() {
    let text = format!(
        "{EXAMPLE}\n[sweep]\nriser.bore = \"40 mm..60 mm/10 mm\"\n\"air.flow\" = \"20 L/min, 40 L/min\"\n"
    );
    let of = |vary: &[(&str, &str)]| DesignFile::sweep(&text, &[], vary, Path::new(""));
    let keys = |sweep: &Sweep| -> Vec<_> {
        let axes = sweep.axes().iter();
        axes.map(|axis| format!("{} {}", axis.key(), axis.len()))
            .collect()
    };
    assert_eq!(keys(&of(&[]).unwrap()), ["riser.bore 3", "air.flow 2"]);
    let other = of(&[("air.flow", "20 L/min"), ("riser.lift", "0.1 m, 0.2 m")]).unwrap();
    assert_eq!(keys(&other), ["riser.bore 3", "riser.lift 2", "air.flow 1"]);
    // A pipe stands in the place of a bore.
    let pipe = of(&[("riser.pipe", "ASTM D1785 Sch 40 3 in")]).unwrap();
    assert_eq!(keys(&pipe), ["riser.pipe 1", "air.flow 2"]);
    // Faults have their line, here and in `check`; other questions pass over the section.
    let bad = text.replace("40 mm..60 mm/10 mm", "40 mm..60 mm/7 mm");
    let line = 1 + bad
        .lines()
        .position(|line| line.starts_with("riser.bore"))
        .unwrap();
    let due = format!("line {line}, riser.bore: the steps of");
    let told = DesignFile::sweep(&bad, &[], &[], Path::new(""))
        .unwrap_err()
        .to_string();
    assert!(told.starts_with(&due), "{told}");
    let read = DesignFile::parse(&bad).unwrap();
    let told = read.check().unwrap_err().to_string();
    assert!(told.starts_with(&due), "{told}");
    assert!(read.riser_and_air().is_ok());
    let number = text.replace("\"40 mm..60 mm/10 mm\"", "40");
    let told = DesignFile::parse(&number)
        .unwrap()
        .check()
        .unwrap_err()
        .to_string();
    assert!(told.contains("a number where a text"), "{told}");
    let none = format!("{EXAMPLE}\n[sweep]\nriser.bor = \"1 m\"\n");
    let told = DesignFile::parse(&none)
        .unwrap()
        .check()
        .unwrap_err()
        .to_string();
    assert!(told.contains("did you mean \"bore\""), "{told}");
}

/// A file whose section alone says bore and air is whole.
#[test]
fn a_section_gives_what_the_file_does_not() {
    let text = EXAMPLE
        .replace("pipe = \"ASTM D1785 Sch 40 3 in\"", "")
        .replace("flow = \"120 L/min\"", "");
    let text = format!("{text}\n[sweep]\nriser.bore = \"20 mm, 3 in\"\nair.flow = \"1 cfm\"\n");
    DesignFile::parse(&text).unwrap().check().unwrap();
    let sweep = DesignFile::sweep(&text, &[], &[], Path::new("")).unwrap();
    let bore = |row| sweep.case(row)[0].1.clone();
    // In the unit of the first; 1 in is 25.4 mm.
    assert_eq!([bore(0), bore(1)], ["20 mm", "76.2 mm"]);
}

/// What the file lacks is asked for; a case that cannot be is a row of its own.
#[test]
fn what_is_missing_is_asked_for() {
    let text = EXAMPLE.replace("submergence = \"1.2 m\"", "");
    let of = |vary: &[(&str, &str)]| DesignFile::sweep(&text, &[], vary, Path::new(""));
    let told = of(&[("riser.lift", "0.1 m")]).unwrap_err().to_string();
    assert!(told.contains("riser.submergence: missing"), "{told}");
    assert!(of(&[("riser.submergence", "1 m")]).is_ok());
    let told = sweep(&[("riser.outlet", "plain, submerged")]).unwrap_err();
    let due = "riser.outlet_depth: missing: give the depth of the mouth below the receiving level";
    assert!(told.to_string().starts_with(due), "{told}");
}
