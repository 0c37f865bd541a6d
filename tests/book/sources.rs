//! Sources are cited, and nothing comes from elsewhere.

use std::collections::BTreeSet;

use risewater::references;

use super::{files, none, pages, read, root};

#[test]
fn every_source_is_cited() {
    let mut code = String::new();
    for path in files("src", &["rs"])
        .iter()
        .filter(|path| !path.ends_with("src/references.rs"))
    {
        code += &read(path);
    }
    let words: BTreeSet<&str> = code
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .collect();
    let book: String = pages().into_iter().map(|(_, text)| text).collect();
    let list = read("src/references.rs");
    let mut faults = Vec::new();
    let mut found = 0;
    for line in list.lines().filter(|line| !line.contains("#[")) {
        let Some((name, rest)) = line.trim().split_once(" = \"") else {
            continue;
        };
        let Some((key, _)) = rest.split_once('"') else {
            continue;
        };
        found += 1;
        if !words.contains(name) && !book.contains(key) {
            faults.push(format!("{name} ({key}) is cited nowhere"));
        }
    }
    assert_eq!(found, references::ALL.len(), "the list could not be read");
    none(&faults);
}

/// The built book reads without a network.
#[test]
fn nothing_comes_from_another_host() {
    let mut faults = Vec::new();
    let mut paths = files("book/src", &["md", "svg", "css", "js", "html"]);
    paths.push(root().join("book/style.css"));
    if root().join("book/theme").exists() {
        paths.extend(files("book/theme", &["hbs", "css", "js", "html"]));
    }
    for path in paths {
        let text = read(&path).to_lowercase();
        for start in ["](", "src=\"", "href=\"", "url(", "url(\"", "@import \""] {
            for scheme in ["http:", "https:", "//"] {
                if text.contains(&format!("{start}{scheme}")) {
                    faults.push(format!("{}: {start}{scheme}", path.display()));
                }
            }
        }
    }
    none(&faults);
}
