//! What is written: pictures, pipes that close, disks that are full, tables.

use std::process::{Command, Stdio};
use std::sync::LazyLock;

use serde_json::Value;

use crate::good::all;
use crate::tool::{answered, file, place, refused};

/// Written once: a file that is being written again is empty for a moment.
fn good() -> String {
    static GOOD: LazyLock<String> = LazyLock::new(|| file("outputs", "good.toml", all()[0].text()));
    GOOD.clone()
}

#[test]
fn pictures() {
    let good = good();
    let folder = place("outputs");
    let at = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let _ = std::fs::remove_file(at("curve.svg"));
    for arguments in [&["curve", &good, "--svg"][..], &["size", &good, "--svg"]] {
        let with = |path: &str| {
            arguments
                .iter()
                .map(|word| (*word).to_owned())
                .chain([path.to_owned()])
                .collect::<Vec<_>>()
        };
        for path in [
            at("no/such/folder.svg"),
            folder.to_str().unwrap().to_owned(),
            format!("{good}/curve.svg"),
        ] {
            let words = with(&path);
            refused(
                &words.iter().map(String::as_str).collect::<Vec<_>>(),
                2,
                "write",
                &["cannot be written"],
            );
        }
        let words = with(&at("curve.svg"));
        answered(&words.iter().map(String::as_str).collect::<Vec<_>>());
        let drawn = std::fs::read_to_string(at("curve.svg")).unwrap();
        assert!(drawn.starts_with("<svg") && drawn.trim_end().ends_with("</svg>"));
        // A protected picture stays as it is, and nothing is left beside it.
        std::fs::write(at("kept.svg"), "mine").unwrap();
        let mut permissions = std::fs::metadata(at("kept.svg")).unwrap().permissions();
        permissions.set_readonly(true);
        std::fs::set_permissions(at("kept.svg"), permissions.clone()).unwrap();
        let words = with(&at("kept.svg"));
        refused(
            &words.iter().map(String::as_str).collect::<Vec<_>>(),
            2,
            "write",
            &["kept.svg: cannot be written"],
        );
        assert_eq!(std::fs::read_to_string(at("kept.svg")).unwrap(), "mine");
        #[allow(clippy::permissions_set_readonly_false, reason = "the test's own file")]
        permissions.set_readonly(false);
        std::fs::set_permissions(at("kept.svg"), permissions).unwrap();
    }
    // No answer, no picture.
    refused(
        &[
            "curve",
            &good,
            "--set",
            "riser.lift=900 m",
            "--svg",
            &at("none.svg"),
        ],
        1,
        "lift_out_of_reach",
        &[],
    );
    assert!(!folder.join("none.svg").exists());
    let left: Vec<_> = std::fs::read_dir(&folder)
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().into_string().ok())
        .collect();
    assert!(!left.iter().any(|name| name.contains(".part")), "{left:?}");
}

/// A picture goes through a link or into a device, and does not take its place.
#[cfg(unix)]
#[test]
fn pictures_through_links() {
    let good = good();
    let folder = place("links");
    let (target, link) = (folder.join("target.svg"), folder.join("link.svg"));
    let _ = std::fs::remove_file(&link);
    std::fs::write(&target, "old").unwrap();
    std::os::unix::fs::symlink(&target, &link).unwrap();
    answered(&["curve", &good, "--svg", link.to_str().unwrap()]);
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(
        std::fs::read_to_string(&target)
            .unwrap()
            .starts_with("<svg")
    );
    answered(&["curve", &good, "--svg", "/dev/null"]);
    assert!(!std::fs::metadata("/dev/null").unwrap().is_file());
}

/// A file that is written again keeps who may read it.
#[cfg(unix)]
#[test]
fn permissions_stay() {
    use std::os::unix::fs::PermissionsExt as _;

    let good = good();
    let folder = place("permissions");
    let sweep = ["sweep", &good, "--vary", "air.flow=50 L/min, 60 L/min"];
    for (name, arguments) in [
        ("a.svg", &["curve", &good, "--svg"][..]),
        ("b.csv", &[&sweep[..], &["--out"]].concat()),
    ] {
        let out = folder.join(name);
        std::fs::write(&out, "old").unwrap();
        std::fs::set_permissions(&out, std::fs::Permissions::from_mode(0o640)).unwrap();
        answered(&[arguments, &[out.to_str().unwrap()]].concat());
        let there = std::fs::metadata(&out).unwrap();
        assert_eq!(there.permissions().mode() & 0o777, 0o640, "{name}");
        assert!(there.len() > 3, "{name}");
    }
}

/// A folder in which nobody may make a file, the system's own.
#[cfg(target_os = "linux")]
#[test]
fn folders_that_take_no_file() {
    let good = good();
    for arguments in [
        &["curve", &good, "--svg", "/sys/curve.svg"][..],
        &["supply", "--html", "/sys/sheet.html"],
        &[
            "sweep",
            &good,
            "--vary",
            "air.flow=50 L/min, 60 L/min",
            "--out",
            "/sys/cases.csv",
        ],
        &[
            "sweep",
            &good,
            "--vary",
            "air.flow=50 L/min, 60 L/min",
            "--out",
            "/sys/cases.parquet",
        ],
        &[
            "trial",
            "fit",
            "--configuration",
            "ring",
            "--save",
            "/sys/calibration.toml",
        ],
    ] {
        refused(arguments, 2, "write", &["/sys/", "cannot be written"]);
    }
}

/// Two runs that write one file at once: the file of one of them, whole.
#[test]
fn two_runs_into_one_file() {
    let good = good();
    let folder = place("two_runs");
    let out = folder.join("cases.csv");
    let start = |vary: &str| {
        Command::new(env!("CARGO_BIN_EXE_risewater"))
            .args(["sweep", &good, "--vary", vary, "--out"])
            .arg(&out)
            .stdout(Stdio::null())
            .spawn()
            .unwrap()
    };
    let vary = [
        "air.flow=50 L/min..80 L/min:4000",
        "air.flow=60 L/min..90 L/min:5000",
    ];
    let alone = vary.map(|vary| {
        assert!(start(vary).wait().unwrap().success());
        std::fs::read(&out).unwrap()
    });
    for _ in 0..10 {
        let mut both = vary.map(start);
        for run in &mut both {
            assert!(run.wait().unwrap().success());
        }
        assert!(alone.contains(&std::fs::read(&out).unwrap()));
        assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1);
    }
}

/// A reader that goes away is no fault of the run.
#[cfg(unix)]
#[test]
fn closed_pipes() {
    let good = good();
    for arguments in [
        &["size", &good][..],
        &["flow", &good, "--json"],
        &["list", "pipes"],
        &["example"],
        &["man"],
        &["schema", "flow"],
        &["flow", "missing.toml"],
    ] {
        for both in [false, true] {
            let (reader, writer) = std::io::pipe().unwrap();
            drop(reader);
            let stderr: Stdio = if both {
                writer.try_clone().unwrap().into()
            } else {
                Stdio::piped()
            };
            let output = Command::new(env!("CARGO_BIN_EXE_risewater"))
                .args(arguments)
                .stdout(writer)
                .stderr(stderr)
                .output()
                .unwrap();
            let expected = if arguments.contains(&"missing.toml") {
                2
            } else {
                0
            };
            assert_eq!(
                output.status.code(),
                Some(expected),
                "{arguments:?}, {both}: {output:?}"
            );
            assert!(
                !String::from_utf8_lossy(&output.stderr).contains("panicked"),
                "{output:?}"
            );
        }
    }
}

/// A full disk is.
#[cfg(target_os = "linux")]
#[test]
fn full_disks() {
    let good = good();
    for json in [&[][..], &["--json"]] {
        let full = std::fs::File::options()
            .write(true)
            .open("/dev/full")
            .unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_risewater"))
            .args(["flow", &good])
            .args(json)
            .stdout(full)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2), "{output:?}");
        let text = String::from_utf8(output.stderr).unwrap();
        assert!(
            text.contains("standard output: cannot be written"),
            "{text}"
        );
        if !json.is_empty() {
            assert_eq!(
                serde_json::from_str::<Value>(&text).unwrap()["code"],
                "write"
            );
        }
    }
}

/// CSV has as many cells in every row as in its header, all finite numbers but for names.
#[test]
fn tables() {
    let good = good();
    for (arguments, words) in [
        (&["size", &good, "--csv"][..], &["pipe", "pareto"][..]),
        (&["curve", &good, "--csv"], &[]),
        (&["curve", &good, "--csv", "--units", "us"], &[]),
        (
            &["size", &good, "--csv", "--units", "us", "--top", "0"],
            &["pipe", "pareto"],
        ),
    ] {
        let text = answered(arguments);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().clone();
        let mut rows = 0;
        for row in reader.records() {
            rows += 1;
            for (cell, name) in row.unwrap().iter().zip(&header) {
                let is_word = words.contains(&name)
                    || name.contains("pattern")
                    || name.contains("choked")
                    || name.contains("basis");
                assert!(
                    is_word || cell.is_empty() || cell.parse::<f64>().is_ok_and(f64::is_finite),
                    "{arguments:?}, {name}: {cell:?}"
                );
            }
        }
        assert!(rows > 2, "{arguments:?}: {text}");
    }
}
