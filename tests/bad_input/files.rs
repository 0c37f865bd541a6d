//! Files as files: empty, binary, too large, not there; and sections that are no sections.

use std::fmt::Write;
use std::path::Path;

use risewater::design::{AERATION_EXAMPLE, DesignFile, NEED_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::gas::aeration::DEMO_READINGS;
use risewater::{need, supply};

use crate::good::all;
use crate::tool::{answered, file, place, refusal, refused, run};

fn good() -> String {
    all()[0].text()
}

#[test]
fn files_that_are_none() {
    let empty = &["nothing is given here; `risewater example` prints a file to start from"];
    for (name, content) in [
        ("empty", ""),
        ("blank", " \n\n\t\n"),
        ("comments", "# one\n# two\n"),
        ("mark alone", "\u{feff}"),
    ] {
        let path = file("files", name, content);
        for command in ["check", "flow", "curve", "size"] {
            refused(&[command, &path], 2, "design_file", empty);
        }
    }
    let binary = file("files", "binary", [0x7f, b'E', 0xff, 0xfe, 0]);
    let latin = file("files", "latin", b"[riser]\n# gr\xfc\xdfe\n");
    let wide = file("files", "wide", [0xff, 0xfe, b'[', 0, b'r', 0]);
    for path in [&binary, &latin, &wide] {
        refused(
            &["flow", path],
            2,
            "unreadable",
            &["not a text file in UTF-8", path],
        );
    }
    let large = file(
        "files",
        "large",
        "# all comment\n".repeat(2 << 20 >> 4) + &"#".repeat(1 << 20),
    );
    refused(&["check", &large], 2, "unreadable", &["larger than 1 MiB"]);
    let folder = place("files").to_str().unwrap().to_owned();
    refused(
        &["size", &folder],
        2,
        "unreadable",
        &["a directory, not a file", &folder],
    );
    refused(
        &["curve", "no/such/file.toml"],
        2,
        "unreadable",
        &["no/such/file.toml: there is no such file"],
    );
    refused(
        &["check", &format!("{latin}/below")],
        2,
        "unreadable",
        &[&latin],
    );
}

/// A file that another names is opened once, whatever is asked: after the first question it may go.
#[test]
fn a_named_file_is_opened_once() {
    for (example, name, table) in [
        (NEED_EXAMPLE, "crop.csv", need::DEMO),
        (SUPPLY_EXAMPLE, "blower.csv", supply::blower::DEMO),
        (AERATION_EXAMPLE, "aeration.csv", DEMO_READINGS),
    ] {
        for (text, is_good) in [(table, true), ("nothing,of,use\n1,2,3\n", false)] {
            let folder = format!("once/{name}/{is_good}");
            let named = file(&folder, name, text);
            let design = file(&folder, "design.toml", example);
            let design = DesignFile::read(Path::new(&design)).unwrap();
            let first = design.check();
            assert_eq!(first.is_ok(), is_good, "{first:?}");
            std::fs::remove_file(named).unwrap();
            assert_eq!(design.check(), first);
            let elsewhere = design.in_folder(Path::new("no/such"));
            let error = elsewhere.check().unwrap_err().to_string();
            assert!(error.contains("there is no such file"), "{error}");
        }
    }
}

/// Ten million rows are refused before they are read, in each place of a table and of a design.
#[test]
fn files_of_ten_million_rows() {
    let many = "12.5,3\n".repeat(10_000_000);
    let many = file("many_rows", "many.csv", many);
    for arguments in [
        &["check", &many][..],
        &["size", &many],
        &["trial", "reduce", &many],
    ] {
        refused(arguments, 2, "unreadable", &["larger than 1 MiB"]);
    }
    for (example, name) in [
        (NEED_EXAMPLE, "crop.csv"),
        (SUPPLY_EXAMPLE, "blower.csv"),
        (AERATION_EXAMPLE, "aeration.csv"),
    ] {
        let design = file(
            "many_rows",
            "design.toml",
            example.replace(name, "many.csv"),
        );
        refused(
            &["check", &design],
            2,
            "design_file",
            &["larger than 1 MiB"],
        );
    }
    std::fs::remove_file(many).unwrap();
}

/// A file that another program writes anew while the tool reads it: an answer or a refusal.
#[test]
fn a_file_that_changes_while_it_is_read() {
    let whole = good();
    let path = file("changing", "design.toml", &whole);
    let stop = std::sync::atomic::AtomicBool::new(false);
    let relaxed = std::sync::atomic::Ordering::Relaxed;
    std::thread::scope(|scope| {
        scope.spawn(|| {
            // Half of it, none of it, twice of it, and the whole.
            let texts = [&whole[..whole.len() / 2], "", &whole.repeat(2), &whole];
            while !stop.load(relaxed) {
                for text in texts {
                    std::fs::write(&path, text).unwrap();
                }
            }
        });
        let ends: Vec<_> = (0..100).map(|_| run(&["flow", &path])).collect();
        stop.store(true, relaxed);
        for end in ends {
            let is_answer = end.status == Some(0) && end.stdout.starts_with("Water");
            let is_refusal =
                end.status == Some(2) && end.stdout.is_empty() && end.stderr.starts_with("error:");
            assert!(
                (is_answer || is_refusal) && !end.stderr.contains("panicked"),
                "{end:?}"
            );
        }
    });
}

/// Air is its flow and the state that counts it: one run asks for both.
#[test]
fn air_that_is_missing_is_asked_for_whole() {
    let text = "[water]\ntemperature = \"12 degC\"\n[riser]\nbore = \"60 mm\"\nsubmergence = \"1 m\"\nlift = \"0.1 m\"\n";
    let path = file("air", "none.toml", text);
    refused(
        &["flow", &path],
        2,
        "design_file",
        &["air.flow", "air.reference"],
    );
}

/// Who saved an example without its table is told the command that prints the table, and that command does.
#[test]
fn a_missing_table_of_an_example_is_told_how_to_get() {
    for (example, name, question) in [
        (SUPPLY_EXAMPLE, "blower.csv", &["supply"][..]),
        (NEED_EXAMPLE, "crop.csv", &["need"]),
        (AERATION_EXAMPLE, "aeration.csv", &["trial", "aeration"]),
    ] {
        let folder = format!("absent/{name}");
        let design = file(&folder, "design.toml", example);
        let table = place(&folder).join(name);
        if table.exists() {
            std::fs::remove_file(&table).unwrap();
        }
        let asked = [question, &[&design]].concat();
        let (text, _) = refusal(&asked, 2).unwrap();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let command = text.split('`').nth(1).expect("a command is told");
        let words: Vec<&str> = command.split(' ').collect();
        let ["risewater", "example", what, ">", saved] = words[..] else {
            panic!("{command}");
        };
        assert_eq!(saved, name);
        file(&folder, saved, answered(&["example", what]));
        answered(&asked);
    }
}

#[test]
fn other_line_ends_and_marks() {
    for (name, text) in [
        ("mark", format!("\u{feff}{}", good())),
        ("returns", good().replace('\n', "\r\n")),
        ("both", format!("\u{feff}{}", good().replace('\n', "\r\n"))),
        ("no last line end", good().trim_end().to_owned()),
        ("tables in one line", "water = { temperature = \"14 degC\" }\nduty.lift = \"1 m\"\nduty.water_flow = \"9 L/min\"\nlimits = { standards = [\"ASTM D1785\"], max_submergence = \"1 m\" }\n".to_owned()),
        ("a section for the state", good().replace("reference = {", "[air.reference]\n").replace(", ", "\n").replace("0.5 }", "0.5")),
    ] {
        let path = file("files", name, &text);
        assert!(answered(&["check", &path]).contains("nothing wrong found"));
        let wrong = file("files", "with a fault", text.replace("14 degC", "14 mm"));
        refused(&["check", &wrong], 2, "design_file", &[&format!("line {}", if text.contains("water =") { 1 } else { 2 }), "water.temperature"]);
    }
    let path = file(
        "files",
        "a lone return",
        "[riser]\nbore = \"1 m\"\rlift = \"1 m\"",
    );
    refused(
        &["check", &path],
        2,
        "design_file",
        &["line 2: this is not TOML"],
    );
}

#[test]
fn sections_that_are_none() {
    for (text, words) in [
        ("[riser\nbore = \"76 mm\"", ["line 1", "not TOML", "[riser"]),
        (
            "riser = 5",
            ["line 1", "riser", "a number where a section is due"],
        ),
        (
            "[[riser]]\nbore = \"76 mm\"",
            ["line 1", "riser", "a list of tables where a section is due"],
        ),
        (
            "[water]\n[riser]\n[water]",
            ["line 3", "not TOML", "[water]"],
        ),
        (
            "bore = \"76 mm\"",
            ["line 1", "\"bore\"", "outside any section"],
        ),
        (
            "[Riser]\nbore = \"76 mm\"",
            ["line 1", "[Riser]", "did you mean \"riser\""],
        ),
        ("[risr]", ["line 1", "[risr]", "did you mean \"riser\""]),
        ("\n\n[pump]", ["line 3", "[pump]", "no section"]),
        ("[[pumps]]", ["line 1", "[pumps]", "no section"]),
        (
            "[riser.bore]\nmm = 5",
            ["line 1, riser.bore", "a table where a text", "is due"],
        ),
        ("[riser]\n\"\" = 5", ["line 2, riser.", "\"\"", "no key"]),
        (
            "[riser]\n\"a.b\" = 5",
            ["line 2, riser.a.b", "\"a.b\"", "no key"],
        ),
        (
            "[riser]\n\"\\u0000\\u001b[31m\" = 5",
            ["line 2", "\\u{1b}[31m", "no key"],
        ),
        (
            "[air.reference]\ntemperature = \"20 degC\"",
            ["line 1, air.reference", "pressure", "missing"],
        ),
        (
            "[air]\nreference.temperature = \"20 degC\"",
            ["line 2, air.reference", "pressure", "missing"],
        ),
    ] {
        refused(
            &["check", &file("files", "sections.toml", text)],
            2,
            "design_file",
            &words,
        );
    }
}

/// Sizes that would bring a careless reader down.
#[test]
fn files_without_measure() {
    for (open, close) in [("[", "]"), ("[", ""), ("{ a = ", "}")] {
        let text = format!(
            "[riser]\nbore = {}{}",
            open.repeat(100_000),
            close.repeat(100_000)
        );
        refused(
            &["check", &file("files", "deep", text)],
            2,
            "design_file",
            &["line 2", "not TOML"],
        );
    }
    for text in [
        format!("riser.{}c = 1", "b.".repeat(200_000)),
        format!("[riser.{}c]", "b.".repeat(200_000)),
    ] {
        refused(
            &["check", &file("files", "dotted", text)],
            2,
            "design_file",
            &["not TOML"],
        );
    }
    let mut many = String::from("[riser]\n");
    for n in 0..20_000 {
        writeln!(many, "key{n} = 1").unwrap();
    }
    refused(
        &["check", &file("files", "many", &many)],
        2,
        "design_file",
        &[
            "line 2, riser.key0: ",
            "line 51, riser.key49: ",
            "and 19950 more",
        ],
    );
    for key in ["bore", "pipe", "outlet"] {
        let text = format!("[riser]\n{key} = \"{}\"", "ab ".repeat(300_000));
        refused(
            &["check", &file("files", "long value", text)],
            2,
            "design_file",
            &["line 2, riser."],
        );
    }
    refused(
        &[
            "check",
            &file(
                "files",
                "long key",
                format!("[riser]\n{} = 1", "k".repeat(900_000)),
            ),
        ],
        2,
        "design_file",
        &["line 2, riser."],
    );
}
