//! Runs that are killed while they write, and disks that fill up on the way: the old file whole, or the new one.
#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};

use crate::good::all;
use crate::tool::{file, place};

/// The tool on a question that writes a long file.
fn tool(question: &[&str], out: &Path) -> Command {
    let mut tool = Command::new(env!("CARGO_BIN_EXE_risewater"));
    tool.args(question)
        .arg(out)
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    tool
}

/// Nothing that it had begun may stand at the place of the file.
#[test]
fn killed_at_any_moment() {
    const TIMES: usize = 200;
    let good = file("killed", "good.toml", all()[0].text());
    let folder = place("killed");
    let mut random = StdRng::seed_from_u64(20_261_129);
    let questions: [&[&str]; 4] = [
        &["curve", &good, "--points", "1000", "--svg"],
        &["flow", &good, "--profile", "--svg"],
        &["supply", "--html"],
        &[
            "sweep",
            &good,
            "--vary",
            "air.flow=10 L/min..200 L/min:3000",
            "--out",
        ],
    ];
    let (mut old, mut new) = (0, 0);
    for (number, question) in questions.iter().enumerate() {
        let out = folder.join(["a.svg", "b.svg", "c.html", "d.csv"][number]);
        let _ = fs::remove_file(&out);
        let start = Instant::now();
        assert!(
            tool(question, &out).status().unwrap().success(),
            "{question:?}"
        );
        let whole_run = start.elapsed();
        let whole = fs::read(&out).unwrap();
        for _ in 0..TIMES / questions.len() {
            fs::write(&out, "old").unwrap();
            let mut child = tool(question, &out).spawn().unwrap();
            std::thread::sleep(whole_run.mul_f64(random.random_range(0.0..1.3)));
            let _ = child.kill();
            child.wait().unwrap();
            let found = fs::read(&out).unwrap();
            if found == b"old" {
                old += 1;
            } else {
                assert!(
                    found == whole,
                    "{question:?}: half a file of {} bytes",
                    found.len()
                );
                new += 1;
            }
        }
        // What a killed run left beside it is in nobody's way.
        assert!(
            tool(question, &out).status().unwrap().success(),
            "{question:?}"
        );
        assert!(fs::read(&out).unwrap() == whole);
    }
    println!("killed {TIMES} times: {old} old files, {new} new ones");
    assert!(
        old > 0 && new > 0,
        "{old} old, {new} new: not killed at any moment"
    );
}

/// A disk that is full after some blocks, as a limit of the size of a file makes it.
#[test]
fn full_on_the_way() {
    let good = file("full", "good.toml", all()[0].text());
    let folder = place("full");
    for (name, question) in [
        ("a.svg", &["curve", &good, "--points", "1000", "--svg"][..]),
        (
            "b.csv",
            &[
                "sweep",
                &good,
                "--vary",
                "air.flow=10 L/min..200 L/min:3000",
                "--out",
            ],
        ),
    ] {
        let out = folder.join(name);
        fs::write(&out, "old").unwrap();
        let output = Command::new("sh")
            .args(["-c", "trap '' XFSZ; ulimit -f 8; exec \"$@\"", "sh"])
            .arg(env!("CARGO_BIN_EXE_risewater"))
            .args(question)
            .arg(&out)
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(
            said.contains(name) && said.contains("cannot be written"),
            "{said}"
        );
        assert_eq!(fs::read(&out).unwrap(), b"old");
        fs::remove_file(&out).unwrap();
        for entry in fs::read_dir(&folder).unwrap() {
            let name = entry.unwrap().file_name();
            assert!(name == "good.toml", "{name:?} is left");
        }
    }
}
