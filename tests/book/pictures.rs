//! Figures are fresh, and described.

use std::collections::BTreeSet;
use std::fs;

use super::{chapters, figures, files, none, read, root, split};

#[test]
fn figures_are_fresh() {
    let mut faults = Vec::new();
    let mut names = BTreeSet::new();
    for (name, svg) in figures::all().unwrap() {
        names.insert(name.to_owned());
        if fs::read_to_string(root().join("book/src/figures").join(name)).ok() != Some(svg) {
            faults.push(format!(
                "{name}: draw it again by cargo run -p risewater-book -- --figures"
            ));
        }
    }
    for path in files("book/src/figures", &["svg"]) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if !names.contains(&name) {
            faults.push(format!("{name} is drawn by nothing"));
        }
    }
    none(&faults);
}

#[test]
fn pictures_are_there_and_described() {
    let mut faults = Vec::new();
    for chapter in chapters() {
        let text = read(format!("book/src/{chapter}"));
        for image in split(&text).0.split("![").skip(1) {
            let (words, rest) = image.split_once("](").unwrap();
            let file = rest.split_once(')').unwrap().0;
            if words.len() < 40 || !root().join("book/src").join(file).is_file() {
                faults.push(format!(
                    "{chapter}: {file} is missing, or has no description"
                ));
            }
        }
    }
    none(&faults);
}
