//! A plain `mdbook build book` calls the tool as a preprocessor and gives the same pages.

use std::path::Path;
use std::process::Command;

use mdbook_driver::MDBook;

#[test]
fn a_plain_build_gives_the_same_pages() {
    let own = Command::new(env!("CARGO_BIN_EXE_risewater-book")).status();
    assert!(own.expect("the tool runs").success());
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let plain = Path::new(env!("CARGO_TARGET_TMPDIR")).join("plain");
    let mut book = MDBook::load(&root).unwrap();
    book.config.build.build_dir.clone_from(&plain);
    book.build().unwrap();

    let mut pages = 0;
    for entry in std::fs::read_dir(&plain).unwrap() {
        let page = entry.unwrap().path();
        if page.extension().is_some_and(|end| end == "html") {
            let other = root.join("book").join(page.file_name().unwrap());
            let same = std::fs::read(&page).unwrap() == std::fs::read(&other).unwrap();
            assert!(same, "{} and {} differ", page.display(), other.display());
            pages += 1;
        }
    }
    assert!(pages > 0);
}
