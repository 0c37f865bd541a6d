//! Sweeps that end before their time: whole rows or no file, whole parts, and how it goes on.
#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::{done, folder, names, refused, tool};

/// A sweep of three parts and some; each takes its time.
const WORDS: [&str; 4] = [
    "--vary",
    "riser.submergence=0.8 m, 1 m, 1.2 m, 1.4 m",
    "--vary",
    "air.flow=10 L/min..800 L/min:50000",
];

fn start(folder: &Path, words: &[&str]) -> Child {
    let mut tool = tool(folder, words);
    tool.stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Waits until something is so, as long as the child runs.
fn wait(child: &mut Child, is_so: impl Fn() -> bool) {
    let start = Instant::now();
    while !is_so() {
        assert!(
            child.try_wait().unwrap().is_none(),
            "it ended before it was interrupted"
        );
        assert!(
            start.elapsed() < Duration::from_mins(5),
            "it does not come so far"
        );
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// Interrupts the child, and gives what it says.
fn interrupt(child: Child) -> String {
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-INT", &id])
            .status()
            .unwrap()
            .success()
    );
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr).unwrap()
}

fn size(path: &Path) -> u64 {
    fs::metadata(path).map_or(0, |there| there.len())
}

/// Largest memory that a process had so far, kB.
#[cfg(target_os = "linux")]
fn most_memory_kb(child: &Child) -> u64 {
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .unwrap();
    line.trim().trim_end_matches(" kB").parse().unwrap()
}

/// A sweep of a million million rows: it holds no more in memory after four parts than after one, and leaves no file.
#[test]
fn csv_is_whole_or_not_there_and_memory_does_not_grow() {
    let folder = folder("csv");
    let words = [
        "--vary",
        "riser.submergence=0.8 m..1.4 m:1000000",
        "--vary",
        "air.flow=10 L/min..800 L/min:1000000",
        "--out",
        "cases.csv",
    ];
    let mut child = start(&folder, &words);
    let part = folder.join(format!("cases.csv.{}.part", child.id()));
    // A row takes some 200 bytes, a part of 65,536 rows 13 MB.
    wait(&mut child, || size(&part) > 14_000_000);
    #[cfg(target_os = "linux")]
    let before = most_memory_kb(&child);
    wait(&mut child, || size(&part) > 54_000_000);
    #[cfg(target_os = "linux")]
    {
        let after = most_memory_kb(&child);
        println!("{before} kB, later {after} kB");
        // 40 MB were written in between: less than a part of it may have stayed.
        assert!(after < before + 13_000, "{before} kB, later {after} kB");
    }
    let told = interrupt(child);
    assert!(told.contains("interrupted: no file is written"), "{told}");
    assert!(names(&folder).is_empty(), "{:?}", names(&folder));
}

#[test]
fn parts_are_whole_and_are_gone_on_with() {
    let folder = folder("parquet");
    let out = |name: &'static str| [&WORDS[..], &["--out", name]].concat();
    let whole = done(&folder, &out("whole.parquet"));
    let mut child = start(&folder, &out("cases.parquet"));
    let first = folder.join("cases.parquet/part-00000.parquet");
    wait(&mut child, || first.exists());
    let told = interrupt(child);
    assert!(
        told.contains("whole parts; the same command with --resume"),
        "{told}"
    );
    let there = names(&folder.join("cases.parquet"));
    let all = names(&folder.join("whole.parquet"));
    assert_eq!(all.len(), 5);
    assert!(there.len() > 1 && there.len() < all.len(), "{there:?}");
    let bytes = |folder: &Path, name: &str| fs::read(folder.join(name)).unwrap();
    let same = |name: &String| {
        bytes(&folder.join("whole.parquet"), name) == bytes(&folder.join("cases.parquet"), name)
    };
    assert!(there.iter().all(same), "{there:?}");

    // Not without --resume, and not another sweep.
    let (status, told) = refused(&folder, &out("cases.parquet"));
    assert!(
        status == 2 && told.contains("or go on with the same sweep\n  by --resume"),
        "{told}"
    );
    let resume = [&out("cases.parquet")[..], &["--resume"]].concat();
    for other in [
        &["--set", "riser.lift=0.2 m"][..],
        &["--interval"],
        &["--vary", "riser.bore=50 mm"],
        &["--set", "gas.total_gas_pressure_limit=1.2"],
    ] {
        let (status, told) = refused(&folder, &[&resume, other].concat());
        assert!(
            status == 2 && told.contains("of another sweep"),
            "{other:?}: {told}"
        );
    }
    assert_eq!(names(&folder.join("cases.parquet")), there);

    // A part that is cut off, and one that was not whole when the machine stopped, are made again.
    let cut = bytes(&folder.join("cases.parquet"), "part-00000.parquet");
    fs::write(&first, &cut[..cut.len() / 2]).unwrap();
    fs::write(folder.join("cases.parquet/part-00003.parquet.part"), "PAR1").unwrap();
    let told = done(&folder, &[&resume[..], &["--threads", "3"]].concat());
    assert_eq!(names(&folder.join("cases.parquet")), all);
    assert!(all.iter().all(same), "{all:?}");
    // It says the same of all rows.
    let rest = |told: &str| told.split_once('\n').unwrap().1.to_owned();
    assert_eq!(rest(&told), rest(&whole));
    // Once more there is nothing left to do.
    let again = done(&folder, &resume);
    assert!(
        again.starts_with("200,000 rows in cases.parquet, 4 of 4 parts from a run before\n"),
        "{again}"
    );
    assert_eq!(rest(&again), rest(&whole));
}
