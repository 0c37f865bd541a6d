//! Values that are fine alone and cannot be together, or have no answer: who refuses them, and how.

use crate::good::{Good, all};
use crate::tool::{answered, file, refused, refuses, run};

const COMMANDS: [&str; 4] = ["check", "flow", "curve", "size"];

/// A good file with lines in place of keys' own; what has no key there is added to its section.
fn changed(good: &str, changes: &[(&str, &str)]) -> String {
    let good: Good = all().into_iter().find(|file| file.name == good).unwrap();
    let mut rest: Vec<_> = changes.to_vec();
    let mut lines: Vec<String> = Vec::new();
    for key in &good.keys {
        let path = format!("{}.{}", key.section, key.name);
        match rest.iter().position(|(changed, _)| *changed == path) {
            Some(n) => lines.push(format!("{path} = {}", rest.remove(n).1)),
            None => lines.push(format!("{path} = {}", key.value)),
        }
    }
    lines.extend(rest.iter().map(|(path, value)| format!("{path} = {value}")));
    lines.retain(|line| !line.ends_with("= -"));
    lines.join("\n")
}

/// Status of `check`, `flow`, `curve` and `size`, and words of every refusal.
type Case = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
    [i32; 4],
    &'static [&'static str],
);

const CASES: &[Case] = &[
    (
        "two bores",
        "plain",
        &[("riser.pipe", "\"ASTM D1785 Sch 40 3 in\"")],
        [2; 4],
        &["riser.pipe: given beside riser.bore"],
    ),
    (
        "two pressures",
        "plain",
        &[("site.pressure", "\"98 kPa\"")],
        [2; 4],
        &["site.altitude: given beside site.pressure"],
    ),
    (
        "two air flows",
        "plain",
        &[("air.mass_flow", "\"1 kg/h\"")],
        [2; 4],
        &["air.flow: given beside air.mass_flow"],
    ),
    (
        "a state of no volume",
        "elbow",
        &[("air.reference", "\"normal_din_1343\"")],
        [2; 4],
        &["air.reference: given beside air.mass_flow"],
    ),
    (
        "half the properties",
        "plain",
        &[("water.density", "\"999 kg/m3\"")],
        [2; 4],
        &["water.density: missing: give all of"],
    ),
    (
        "another outlet's bore",
        "plain",
        &[("riser.outlet_bore", "\"80 mm\"")],
        [2; 4],
        &["riser.outlet_bore: this key belongs to outlet = \"elbow\""],
    ),
    (
        "another outlet's brink",
        "plain",
        &[("riser.outlet_brink", "\"mixture\"")],
        [2; 4],
        &["riser.outlet_brink: this key belongs"],
    ),
    (
        "another outlet's depth",
        "elbow",
        &[("riser.outlet_depth", "\"80 mm\"")],
        [2; 4],
        &["belongs to outlet = \"submerged\""],
    ),
    (
        "another outlet's head",
        "submerged",
        &[("riser.outlet_head", "\"80 mm\"")],
        [2; 4],
        &["belongs to outlet = \"open_top\""],
    ),
    (
        "the default outlet",
        "elbow",
        &[("riser.outlet", "-")],
        [2; 4],
        &["the outlet here is \"plain\""],
    ),
    (
        "shallower than shallowest",
        "plain",
        &[("limits.max_submergence", "\"1 m\"")],
        [2; 4],
        &[
            "limits.max_submergence: largest submergence (1 m) must be more than smallest submergence (1.1 m)",
        ],
    ),
    (
        "a million depths",
        "plain",
        &[
            ("limits.submergence_step", "\"1 mm\""),
            ("limits.max_submergence", "\"1000 m\""),
        ],
        [2; 4],
        &["limits.submergence_step: number of depths"],
    ),
    // What goes together with what depends on what the file is for.
    (
        "below its foot",
        "plain",
        &[("riser.lift", "\"-1.3 m\"")],
        [2, 2, 2, 0],
        &[
            "riser.submergence: submergence (1.2 m, downwards) must be more than lift (1.3 m, downwards)",
        ],
    ),
    (
        "duty below the foot",
        "plain",
        &[("duty.lift", "\"-1.5 m\"")],
        [2, 0, 0, 2],
        &[
            "limits.max_submergence: largest submergence (1.4 m, downwards) must be more than lift of the duty",
        ],
    ),
    (
        "an air line as wide as the bore",
        "plain",
        &[("riser.air_line", "\"76.2 mm\"")],
        [2, 2, 2, 0],
        &["riser.bore: bore (75.2 mm) must be more than outside diameter of the air line"],
    ),
    (
        "an air line wider than any pipe",
        "plain",
        &[("riser.air_line", "\"0.4 m\"")],
        [2; 4],
        &["must be more than outside diameter of the air line (400 mm)"],
    ),
    (
        "fouling of the whole bore",
        "plain",
        &[("riser.lost_bore", "\"76.2 mm\"")],
        [2, 2, 2, 0],
        &["riser.bore: bore (76.2 mm) must be more than bore lost to fouling"],
    ),
    (
        "fouling of a catalogue pipe",
        "elbow",
        &[("riser.lost_bore", "\"80 mm\"")],
        [2, 2, 2, 0],
        &["riser.pipe: bore (77.2668 mm) must be more than bore lost"],
    ),
    (
        "fouling of every pipe",
        "plain",
        &[("limits.fouling", "\"400 mm\"")],
        [2, 0, 0, 2],
        &[
            "limits.standards: bore of the widest pipe",
            "bore lost to fouling (401 mm)",
        ],
    ),
    (
        "rougher than the pipe",
        "plain",
        &[
            ("riser.roughness", "\"20 mm\""),
            ("riser.bore", "\"100 mm\""),
        ],
        [2, 2, 2, 0],
        &["riser.bore: bore (99 mm, ten times over)"],
    ),
    (
        "boiling",
        "submerged",
        &[("water.vapour_pressure", "\"100 kPa\"")],
        [2; 4],
        &[
            "water.vapour_pressure: atmospheric pressure (101.325 kPa, by a tenth) must be more than vapour pressure (100 kPa",
        ],
    ),
    (
        "dry at low water",
        "plain",
        &[("tank.level_fall", "\"1.4 m\"")],
        [2, 0, 0, 2],
        &[
            "limits.max_submergence: largest submergence (1.4 m) must be more than fall of the tank's water level (1.4 m)",
        ],
    ),
    (
        "a crowd",
        "plain",
        &[
            ("limits.max_lifts", "1000"),
            ("limits.submergence_step", "\"1 mm\""),
        ],
        [2, 0, 0, 2],
        &["limits.max_lifts: number of candidates"],
    ),
    // Understood, and without an answer.
    (
        "lift out of reach",
        "plain",
        &[("riser.lift", "\"900 m\"")],
        [0, 0, 1, 0],
        &["no amount of air lifts the water 900.0000 m"],
    ),
    (
        "a duty out of reach",
        "plain",
        &[("duty.water_flow", "\"1e6 L/min\"")],
        [0, 0, 0, 1],
        &["no candidate meets the duty"],
    ),
    (
        "a lift out of reach of all",
        "plain",
        &[("duty.lift", "\"900 m\"")],
        [0, 0, 0, 1],
        &["no candidate meets the duty"],
    ),
    (
        "a weak blower",
        "plain",
        &[("limits.max_air_pressure", "\"1 kPa\"")],
        [0, 0, 0, 1],
        &["no candidate meets the duty"],
    ),
    // No water is a result.
    (
        "no air",
        "plain",
        &[("air.flow", "\"0 L/min\"")],
        [0; 4],
        &[],
    ),
    (
        "air line thicker than small pipes",
        "plain",
        &[("riser.air_line", "\"40 mm\"")],
        [0; 4],
        &[],
    ),
    (
        "dry at low water in part",
        "plain",
        &[
            ("tank.level_fall", "\"1.2 m\""),
            ("duty.water_flow", "\"50 L/min\""),
        ],
        [0; 4],
        &[],
    ),
    (
        "a hand's depth",
        "plain",
        &[
            ("limits.max_submergence", "\"20 mm\""),
            ("limits.min_submergence", "-"),
            ("limits.submergence_step", "-"),
            ("tank.level_fall", "-"),
            ("duty.lift", "\"0 m\""),
            ("duty.water_flow", "\"0.1 L/min\""),
        ],
        [0; 4],
        &[],
    ),
];

#[test]
fn what_cannot_be_together() {
    let mut failures = Vec::new();
    for (name, good, changes, statuses, words) in CASES {
        let path = file("together", &format!("{name}.toml"), changed(good, changes));
        for (command, status) in COMMANDS.iter().zip(statuses) {
            let arguments: &[&str] = if *command == "curve" {
                &["curve", &path, "--points", "2"]
            } else {
                &[command, &path]
            };
            let code = match (status, *command) {
                (1, "size") => "no_design",
                (1, _) => "lift_out_of_reach",
                _ => "design_file",
            };
            if *status == 0 {
                let ending = run(arguments);
                failures.extend(
                    (ending.status != Some(0)).then(|| format!("{name}, {command}: {ending:?}")),
                );
            } else {
                failures.extend(refuses(arguments, *status, code, words).err());
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Not pumping is a result with status 0, and says what would have to be.
#[test]
fn not_pumping_is_a_result() {
    let path = file(
        "together",
        "tall.toml",
        changed("plain", &[("riser.lift", "\"900 m\"")]),
    );
    let ending = run(&["flow", &path]);
    assert_eq!(ending.status, Some(0), "{ending:?}");
    assert!(
        ending.stdout.to_lowercase().contains("no water"),
        "{}",
        ending.stdout
    );
    let json: serde_json::Value =
        serde_json::from_str(&answered(&["flow", &path, "--json"])).unwrap();
    assert!(
        json["schema"]
            .as_str()
            .unwrap()
            .starts_with("risewater.flow/"),
        "{json}"
    );
}

/// Everything that is wrong is reported at once, by line.
#[test]
fn faults_come_together() {
    let changes = [
        ("water.temperature", "\"-5 degC\""),
        ("riser.bore", "76.2"),
        ("riser.entrance_loss", "-1"),
        ("riser.wind", "3"),
        ("air.flow", "\"120 scfm\""),
        ("limits.max_lifts", "0"),
        ("limits.standards", "[\"ASTM D1784\", \"oak\"]"),
        ("model.slip", "\"nicklin\""),
    ];
    let path = file("together", "all at once.toml", changed("plain", &changes));
    let keys = [
        "water.temperature: water temperature is -5 degC; it must lie in 0 to 40 degC",
        "riser.bore: \"76.2\" has no unit; give the length in m, cm, mm, in or ft",
        "riser.entrance_loss: entrance loss coefficient is -1; it must lie in 0 to 100",
        "riser.wind: there is no key \"wind\" in [riser]",
        "air.flow: \"120 scfm\": scfm is a flow of gas at a state that differs from one text to the next",
        "limits.max_lifts: largest number of lifts is 0 lifts; it must lie in 1 to 1000 lifts",
        "limits.standards: there is no pipe standard named \"ASTM D1784\"; did you mean \"ASTM D1785\"?",
        "limits.standards: there is no pipe standard named \"oak\"",
        "model.slip: there is no slip closure named \"nicklin\"",
    ];
    for command in COMMANDS {
        refused(&[command, &path], 2, "design_file", &keys);
    }
    // Missing keys too, of the riser as of the site.
    let path = file(
        "together",
        "nothing given.toml",
        "[riser]\nroughness = \"2 um\"\n",
    );
    refused(
        &["flow", &path],
        2,
        "design_file",
        &[
            "riser.bore: missing",
            "riser.submergence: missing",
            "riser.lift: missing",
            "water.temperature: missing",
            "air.flow: missing",
        ],
    );
}
