//! A plain `mdbook build book` calls the tool as a preprocessor and gives the same pages; in the page of the whole book
//! every link has its target.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use mdbook_driver::MDBook;

/// The pages of a plain build; it is done once.
fn plain() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let plain = Path::new(env!("CARGO_TARGET_TMPDIR")).join("plain");
        let mut book = MDBook::load(root()).unwrap();
        book.config.build.build_dir.clone_from(&plain);
        book.build().unwrap();
        plain
    })
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

#[test]
fn a_plain_build_gives_the_same_pages() {
    let own = Command::new(env!("CARGO_BIN_EXE_risewater-book")).status();
    assert!(own.expect("the tool runs").success());
    let mut pages = 0;
    for entry in std::fs::read_dir(plain()).unwrap() {
        let page = entry.unwrap().path();
        if page.extension().is_some_and(|end| end == "html") {
            let other = root().join("book").join(page.file_name().unwrap());
            let same = std::fs::read(&page).unwrap() == std::fs::read(&other).unwrap();
            assert!(same, "{} and {} differ", page.display(), other.display());
            pages += 1;
        }
    }
    assert!(pages > 0);
}

/// Values of an attribute in a page.
fn values<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    let opening = format!(" {name}=\"");
    let parts = page.split(opening.as_str()).skip(1);
    let ends = parts.filter_map(|rest| rest.split('"').next());
    ends.map(str::trim).collect()
}

/// Links of a page to places that it has not.
fn lost(page: &str) -> Vec<&str> {
    let places: BTreeSet<&str> = values(page, "id").into_iter().collect();
    let links = values(page, "href").into_iter();
    let own = links.filter_map(|link| link.strip_prefix('#'));
    own.filter(|place| !places.contains(place)).collect()
}

#[test]
fn links_of_the_printed_book_have_their_targets() {
    assert_eq!(
        lost("<h1 id=\"top\"><a href=\"#top\">Top</a></h1><a href=\"#ask=size\">Ask</a>"),
        ["ask=size"]
    );
    let page = std::fs::read_to_string(plain().join("print.html")).unwrap();
    assert_eq!(lost(&page), Vec::<&str>::new());
    // Those to the desk leave the page, with all that they set.
    let links = values(&page, "href");
    let asks = links
        .iter()
        .filter_map(|link| link.strip_prefix("desk.html"));
    let (bare, set): (Vec<&str>, Vec<&str>) = asks.partition(|state| state.is_empty());
    assert!(bare.len() > 1 && set.len() > 9, "{bare:?} {set:?}");
    assert!(set.iter().all(|state| state.starts_with('#')), "{set:?}");
    for link in links.iter().filter(|link| !link.contains(':')) {
        let file = link.split('#').next().unwrap_or_default();
        assert!(plain().join(file).exists(), "{link}");
    }
}
