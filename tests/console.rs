//! What a console shows: no line wider than it, no more of them than a person reads, and every danger named.

use std::process::Command;

use risewater::report::CONSOLE_COLUMNS;

/// Both streams of a command.
fn shown(arguments: &[&str]) -> String {
    let tool = env!("CARGO_BIN_EXE_risewater");
    let output = Command::new(tool).args(arguments).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    text(output.stdout) + &text(output.stderr)
}

fn too_wide(arguments: &[&str]) -> Vec<String> {
    let text = shown(arguments);
    assert!(!text.is_empty(), "{arguments:?}");
    let wide = text
        .lines()
        .filter(|line| line.chars().count() > CONSOLE_COLUMNS);
    wide.map(|line| format!("{}: {line}", arguments.join(" ")))
        .collect()
}

const UNITS: [&[&str]; 2] = [&[], &["--units", "us"]];

const ANSWERS: &[&[&str]] = &[
    &["size"],
    &["flow"],
    &["flow", "--set", "air.flow=10 L/min"],
    &["flow", "--want", "150 L/min"],
    &["flow", "--want", "150 L/min", "--by", "submergence"],
    &["curve"],
    &["supply"],
    &["need"],
    &["trial", "plan"],
    &["trial", "reduce"],
    &["trial", "compare"],
    &["trial", "fit", "--configuration", "ring"],
    &["trial", "aeration"],
];

#[test]
fn no_line_of_an_answer_is_wider_than_a_console() {
    let mut wide = Vec::new();
    for answer in ANSWERS {
        for units in UNITS {
            for verbose in [&[][..], &["-v"]] {
                wide.extend(too_wide(&[*answer, units, verbose].concat()));
            }
        }
    }
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

#[test]
fn nor_one_of_a_list() {
    let lists = [
        "pipes", "models", "sources", "keys", "units", "states", "losses", "fittings", "needs",
        "memory",
    ];
    let wide: Vec<String> = lists
        .iter()
        .flat_map(|what| too_wide(&["list", what]))
        .collect();
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

#[test]
fn nor_one_of_help_or_of_an_error() {
    let said: &[&[&str]] = &[
        &["--help"],
        &["size", "--help"],
        &["flow", "--help"],
        &["curve", "--help"],
        &["supply", "--help"],
        &["need", "--help"],
        &["check", "--help"],
        &["list", "--help"],
        &["schema", "--help"],
        &["example", "--help"],
        &["man", "--help"],
        &["trial", "--help"],
        &["trial", "plan", "--help"],
        &["trial", "reduce", "--help"],
        &["trial", "compare", "--help"],
        &["trial", "fit", "--help"],
        &["trial", "aeration", "--help"],
        // Long lists of what would do.
        &["list", "pipe"],
        &["schema", "designs"],
        &["flow", "--set", "riser.pipe=ASTM D1785 Sch 40 2 inches"],
        &["flow", "--set", "model.slip=nicklin"],
        &[
            "check",
            "--set",
            "riser.lfit=0.2 m",
            "--set",
            "air.flow=120",
        ],
        &["size", "--set", "duty.water_flow=60000 L/min"],
        &["trial", "fit"],
    ];
    let wide: Vec<String> = said.iter().flat_map(|said| too_wide(said)).collect();
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

/// Of the examples, and of files that ask more: both streams together.
#[test]
fn short_answers_are_short() {
    let of_size: &[&[&str]] = &[
        &[],
        &["--set", "duty.at_low_water=true"],
        &["--set", "duty.at_lower_end=true"],
        &["--set", "water.salinity=33 g/kg"],
        &["--set", "gas.transfer_coefficient=0.1 1/s"],
        &[
            "--set",
            "duty.water_flow=40 L/min",
            "--set",
            "tank.level_fall=0.2 m",
        ],
    ];
    let mut long = Vec::new();
    let mut count = |arguments: &[&str], most: usize| {
        let text = shown(arguments);
        let lines = text.lines().count();
        if lines > most {
            long.push(format!("{} lines: {}\n{text}", lines, arguments.join(" ")));
        }
    };
    for units in UNITS {
        for asked in of_size {
            count(&[&["size"], *asked, units].concat(), 25);
        }
        count(&[&["supply"], units].concat(), 45);
        count(&[&["need"], units].concat(), 25);
    }
    assert!(long.is_empty(), "{}", long.join("\n"));
}

/// What can hurt is named each time, and told in full when all is.
#[test]
fn a_short_answer_names_every_danger() {
    for (command, dangers) in [
        (
            "size",
            &[
                "loss of air",
                "supersaturation",
                "compressed air in plastic pipe",
                "siphon",
                "mains near water",
            ][..],
        ),
        (
            "supply",
            &[
                "loss of air",
                "supersaturation",
                "compressed air in plastic pipe",
                "check valves",
                "mains near water",
                "closed line",
            ],
        ),
        ("need", &["loss of air"]),
    ] {
        let (short, full) = (shown(&[command]), shown(&[command, "-v"]));
        let flat = short.split_whitespace().collect::<Vec<_>>().join(" ");
        for danger in dangers {
            assert!(flat.contains(danger), "{command}: {danger}\n{short}");
        }
        assert!(!full.contains("General cautions"), "{full}");
        assert!(
            full.contains("[loss_of_air]") || full.contains("[oxygen_runs_out]"),
            "{full}"
        );
    }
}

/// The first line is the answer, and the cautions stand behind it.
#[test]
fn the_answer_comes_first() {
    for (command, starts) in [
        (
            "size",
            "Best: 8 lifts of ASTM D1785 Sch 80 2-1/2 in, air let in 1.4 m deep",
        ),
        ("supply", "12 lifts on one header give "),
        ("need", "Need "),
        ("flow", "Water "),
    ] {
        for verbose in [&[][..], &["-v"]] {
            let text = shown(&[&[command], verbose].concat());
            assert!(text.starts_with(starts), "{text}");
        }
    }
}
