//! Figures are fresh, and described.

use std::collections::BTreeSet;
use std::{fs, iter};

use super::{chapters, figures, files, none, read, root, split};

#[test]
fn figures_are_fresh() {
    let mut faults = Vec::new();
    let folder = root().join("book/src/figures");
    let mut drawn = BTreeSet::new();
    for (name, picture) in figures::all().unwrap() {
        let narrow = picture
            .narrow
            .map(|svg| (folder.join("narrow").join(name), svg));
        for (path, svg) in iter::once((folder.join(name), picture.wide)).chain(narrow) {
            if fs::read_to_string(&path).ok() != Some(svg) {
                faults.push(format!(
                    "{}: draw it again by cargo run -p risewater-book -- --figures",
                    path.display()
                ));
            }
            drawn.insert(path);
        }
    }
    for path in files("book/src/figures", &["svg"]) {
        if !drawn.contains(&path) {
            faults.push(format!("{} is drawn by nothing", path.display()));
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
