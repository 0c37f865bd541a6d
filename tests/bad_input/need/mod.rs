//! `risewater need`: broken sections and crops, and tanks that no flow can hold.

mod keys;

use risewater::design::{DesignFile, NEED_EXAMPLE};
use risewater::need::{DEMO, Gases};

use crate::tool::{answered, file, refused};

/// The example with one piece of text for another, and the line of it.
fn changed(from: &str, to: &str) -> (String, usize) {
    assert!(NEED_EXAMPLE.contains(from), "{from}");
    let before = NEED_EXAMPLE.split(from).next().unwrap();
    let line = 1 + before.matches('\n').count();
    (NEED_EXAMPLE.replacen(from, to, 1), line)
}

/// A file of the tool, with the crop beside it.
fn farm(name: &str, text: &str, crop: &str) -> String {
    let folder = format!("need/{name}");
    file(&folder, "crop.csv", crop);
    file(&folder, "farm.toml", text)
}

/// What stands in one place, through the library and the tool: status, key and words.
#[test]
fn sections() {
    let cases: [(&str, &str, &str, i32, &str, &str); 23] = [
        // Understood, but no flow does it.
        (
            "tight tan",
            "feed = \"1.2 kg/d\"",
            "feed = \"1.2 kg/d\"\nentering_tan = \"2.5 mg/L\"",
            1,
            "need.limits",
            "tank \"broodstock\": no flow holds the limit of total ammonia nitrogen of",
        ),
        (
            "tight oxygen",
            "least_oxygen = \"6 mg/L\"",
            "least_oxygen = \"6 mg/L\"\nentering_oxygen = \"5.5 mg/L\"",
            1,
            "rearing_tank 2.least_oxygen",
            "tank \"broodstock\": no flow holds the least dissolved oxygen of 6 mg/L: the oxygen of the water that enters the tank is 5.5 mg/L, 0.5 mg/L on its wrong side",
        ),
        (
            "above saturation",
            "least_oxygen = \"6 mg/L\"",
            "least_oxygen = \"12 mg/L\"",
            1,
            "rearing_tank 2.least_oxygen",
            "tank \"broodstock\": the limit of dissolved oxygen (12 mg/L) must be less than saturation",
        ),
        // Bad input.
        (
            "protein",
            "protein = \"42 %\"",
            "protein = 42",
            2,
            "need.protein",
            "protein in the feed is 42; it must lie in 0 to 1; for per cent write \"42 %\"",
        ),
        (
            "salt water",
            "salinity = \"0 g/kg\"",
            "salinity = \"32 g/kg\"",
            2,
            "need.limits",
            "set ammonia_limit to none",
        ),
        (
            "two feeds",
            "feed = \"1.2 kg/d\"",
            "feed = \"1.2 kg/d\"\nfeed_rate = \"1 %/d\"",
            2,
            "rearing_tank 2.feed_rate",
            "given beside its feed: give one of the two",
        ),
        (
            "two oxygens",
            "tan_removal = \"40 %\"",
            "reaeration = 0.5",
            2,
            "need.reaeration",
            "given beside its entering_saturation",
        ),
        (
            "two ammonias",
            "tan_removal = \"40 %\"",
            "tan_removal = 0.4\nentering_tan = \"1 mg/L\"",
            2,
            "need.tan_removal",
            "given beside its entering_tan",
        ),
        (
            "two carbon dioxides",
            "bacteria = true",
            "entering_carbon_dioxide = \"1 mg/L\"",
            2,
            "need.carbon_dioxide_removal",
            "given beside its entering_carbon_dioxide",
        ),
        (
            "cycle and animals",
            "cycle = \"crop.csv\"",
            "cycle = \"crop.csv\"\nbiomass = \"3 kg\"",
            2,
            "rearing_tank 3.biomass",
            "given beside the cycle",
        ),
        (
            "unknown key",
            "biomass = \"40 kg\"",
            "bio_mass = \"40 kg\"",
            2,
            "rearing_tank 1.bio_mass",
            "there is no key \"bio_mass\" in [[rearing_tank]]; did you mean \"biomass\"?",
        ),
        (
            "lifts of a tank",
            "biomass = \"40 kg\"",
            "biomass = \"40 kg\"\nlifts = 3",
            2,
            "rearing_tank 1.lifts",
            "there is no key \"lifts\"",
        ),
        (
            "one name twice",
            "name = \"broodstock\"",
            "name = \"nursery\"",
            2,
            "rearing_tank 2.name",
            "is the name of rearing_tank 1 already",
        ),
        (
            "no biomass",
            "biomass = \"120 kg\"\n",
            "",
            2,
            "rearing_tank 2.biomass",
            "missing: give the mass of the animals",
        ),
        (
            "no feed",
            "feed = \"1.2 kg/d\"\n",
            "",
            2,
            "rearing_tank 2.feed",
            "missing: give the feed of a day",
        ),
        (
            "no limits",
            "limits = \"warm_water\"",
            "# none",
            2,
            "rearing_tank 1.limits",
            "missing: give what the water must hold",
        ),
        (
            "no limit at all",
            "least_oxygen = \"6 mg/L\"",
            "limits = \"none\"",
            2,
            "rearing_tank 2.limits",
            "there is no limit",
        ),
        (
            "set of limits",
            "limits = \"warm_water\"",
            "limits = \"warm\"",
            2,
            "need.limits",
            "there are warm_water, salmonids, none",
        ),
        (
            "no volume",
            "volume = \"4 m3\"\n",
            "",
            2,
            "rearing_tank 1.turnover",
            "a turnover needs the volume of the tank",
        ),
        (
            "no animals",
            "biomass = \"120 kg\"",
            "biomass = \"0 kg\"",
            2,
            "rearing_tank 2.biomass",
            "give the animals, or no feed",
        ),
        (
            "half a makeup",
            "bacteria = true",
            "makeup_flow = \"5 L/min\"",
            2,
            "makeup_oxygen",
            "missing: give all of makeup_flow",
        ),
        (
            "no lift",
            "lifts = 12",
            "lifts = 0",
            2,
            "need.lifts",
            "number of lifts is 0 lifts; it must lie in 1 to 1000000 lifts",
        ),
        (
            "missing crop",
            "cycle = \"crop.csv\"",
            "cycle = \"corp.csv\"",
            2,
            "rearing_tank 3.cycle",
            "corp.csv: ",
        ),
    ];
    let mut failures = Vec::new();
    for (name, from, to, status, key, words) in cases {
        let (text, _) = changed(from, to);
        let read = DesignFile::parse(&text).and_then(|design| {
            let design = design.with_crop_table("crop.csv", DEMO);
            design.check()?;
            design.rearing()
        });
        let said = read.map_or_else(|error| error.to_string(), |_| String::new());
        let told = said
            .lines()
            .any(|line| line.contains(key) && line.contains(words));
        if !told {
            failures.push(format!("{name}: {key:?}, {words:?} wanted: {said}"));
        }
        let path = farm(name, &text, DEMO);
        let result = std::panic::catch_unwind(|| {
            refused(&["need", &path], status, "design_file", &[key, words]);
        });
        if let Err(panic) = result {
            let text = panic.downcast_ref::<String>().cloned();
            failures.push(format!("{name}: {}", text.unwrap_or_default()));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Faults of the crop's table, at the key that names it.
#[test]
fn crops() {
    let header = "date,biomass_kg,feed_kg_per_d,temperature_degC\n";
    let cases = [
        (
            "order",
            format!("{header}2026-03-02,10,0.2,25\n2026-03-01,11,0.2,25\n"),
            "row 2: 2026-03-01 comes after 2026-03-02",
        ),
        (
            "repeated",
            format!("{header}2026-03-02,10,0.2,25\n2026-03-02,11,0.2,25\n"),
            "row 2: 2026-03-02 is there already",
        ),
        ("no row", header.to_owned(), "crop.csv: "),
        ("empty", String::new(), "crop.csv: "),
        (
            "no date",
            format!("{header}March,10,0.2,25\n"),
            "crop.csv: line 2, date \"March\"",
        ),
        (
            "hot",
            format!("{header}2026-03-02,10,0.2,95\n"),
            "crop.csv: line 2, temperature_degC \"95\"",
        ),
    ];
    for (name, crop, words) in cases {
        let path = farm(name, NEED_EXAMPLE, &crop);
        let line = 1 + NEED_EXAMPLE
            .split("cycle = ")
            .next()
            .unwrap()
            .matches('\n')
            .count();
        let key = format!("line {line}, rearing_tank 3.cycle: crop.csv: ");
        for command in ["need", "check", "size"] {
            refused(&[command, &path], 2, "design_file", &[&key, words]);
        }
    }
}

/// A flow of [duty] and a need: one of the two.
#[test]
fn flow_and_need() {
    let (text, _) = changed(
        "lift = \"0.15 m\"",
        "lift = \"0.15 m\"\nwater_flow = \"100 L/min\"",
    );
    let path = farm("both", &text, DEMO);
    for command in ["size", "check"] {
        let words = ["duty.water_flow: given beside [need]"];
        refused(&[command, &path], 2, "design_file", &words);
    }
    let (neither, _) = changed("[need] ", "# [need]");
    let neither = neither.split("[need]").next().unwrap().to_owned()
        + "\n[duty]\nlift = \"0.15 m\"\n[limits]\nstandards = [\"ASTM D1785 Sch 40\"]\nmax_submergence = \"1 m\"\n";
    let path = farm("neither", &neither, DEMO);
    refused(
        &["size", &path],
        2,
        "design_file",
        &["duty.water_flow: missing"],
    );
}

/// Nobody to rear asks for no water, and there is nothing to size.
#[test]
fn no_need_at_all() {
    let text = "[water]\ntemperature = \"20 degC\"\n[need]\nlimits = \"warm_water\"\nbiomass = \"0 kg\"\nfeed = \"0 kg/d\"\nprotein = \"42 %\"\nph = 7\n[duty]\nlift = \"0.1 m\"\n[limits]\nstandards = [\"ASTM D1785 Sch 40\"]\nmax_submergence = \"1 m\"\n";
    let path = farm("nobody", text, DEMO);
    refused(
        &["size", &path],
        2,
        "design_file",
        &["needs no water at all"],
    );
}

/// A riser that does not pump is no lift to count with.
#[test]
fn a_lift_that_does_not_pump() {
    let text = "[water]\ntemperature = \"20 degC\"\n[need]\nlimits = \"warm_water\"\nbiomass = \"9 kg\"\nfeed = \"0.1 kg/d\"\nprotein = \"42 %\"\nph = 7\n[riser]\nbore = \"50 mm\"\nsubmergence = \"1 m\"\nlift = \"0.25 m\"\n[air]\nflow = \"1 L/min\"\nreference = \"dry_20_c\"\n";
    let path = farm("dry", text, DEMO);
    refused(
        &["need", &path],
        2,
        "design_file",
        &["air.flow", "does not pump"],
    );
}

/// The example as it is, what one key of it changes, and salt water with its limit left out.
#[test]
fn what_is_good() {
    let path = farm("good", NEED_EXAMPLE, DEMO);
    answered(&["need", &path]);
    answered(&["need", &path, "--set", "rearing_tank.2.biomass=150 kg"]);
    answered(&["need", &path, "--set", "need.reaeration=0.6"]);
    answered(&["need", &path, "--units", "us"]);
    answered(&["check", &path]);
    answered(&["size", &path]);
    answered(&["need"]);
    let salt = [
        "need",
        &path,
        "--set",
        "water.salinity=32 g/kg",
        "--set",
        "need.ammonia_limit=none",
        "--set",
        "rearing_tank.2.least_oxygen=5 mg/L",
    ];
    answered(&salt);
}

/// The flow for `size` is that of the need, and the lift that of the riser where no key says it.
#[test]
fn flows() {
    let read = |text: &str| {
        DesignFile::parse(text)
            .unwrap()
            .with_crop_table("crop.csv", DEMO)
    };
    let design = read(NEED_EXAMPLE);
    let flow = design.room_need().unwrap().flow();
    assert!(flow.value > 0.0);
    assert_eq!(design.problem().unwrap().duty.water_flow, flow);
    let rearing = design.rearing().unwrap();
    assert_eq!(rearing.room.need(Gases::of), Ok(rearing.need));
    assert!(!rearing.lift_is_riser);
    let riser = "[riser]\npipe = \"ASTM D1785 Sch 40 3 in\"\nsubmergence = \"1 m\"\nlift = \"0.1 m\"\n[air]\nflow = \"60 L/min\"\nreference = \"dry_20_c\"\n";
    let (without, _) = changed("lift_flow = \"150 L/min\"", "# lift_flow");
    let design = read(&format!("{without}\n{riser}"));
    let rearing = design.rearing().unwrap();
    assert!(rearing.lift_is_riser);
    let (riser, air) = design.riser_and_air().unwrap();
    let one = riser.operate(air).unwrap().water_flow();
    let alike = risewater::need::Installed::Alike {
        flow: one,
        count: Some(12),
    };
    assert_eq!(rearing.installed, Some(alike));
    let error = read(&without).rearing().unwrap_err().to_string();
    assert!(error.contains("need.lift_flow: missing"), "{error}");
}

/// Defaults are those that no key replaces.
#[test]
fn defaults_in_use() {
    let names = |text: &str| -> Vec<&str> {
        let design = DesignFile::parse(text)
            .unwrap()
            .with_crop_table("crop.csv", DEMO);
        let used = design.rearing().unwrap().defaults;
        used.iter().map(|one| one.name).collect()
    };
    let all = names(NEED_EXAMPLE);
    // Given by the file: what enters. Given by one tank of three: its oxygen.
    assert!(!all.contains(&"oxygen of the water that enters, over saturation"));
    assert!(all.contains(&"least dissolved oxygen, warm water"));
    assert!(all.contains(&"oxygen used by animals and bacteria, over the feed"));
    let (other, _) = changed(
        "bacteria = true",
        "oxygen_per_feed = 0.4\nleast_oxygen = \"5 mg/L\"",
    );
    let fewer = names(&other);
    assert!(!fewer.contains(&"least dissolved oxygen, warm water"));
    assert_eq!(fewer.len(), all.len() - 2);
}
