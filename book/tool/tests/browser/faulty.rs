//! Pages made bad on purpose: every check must find its fault, and nothing else.

use std::collections::BTreeSet;
use std::path::PathBuf;

use crate::check;
use crate::chromium::Chromium;
use crate::scratch;

/// A page of this kind, its fault, and the body that has it.
const PAGES: &[(&str, &[&str], &str)] = &[
    (
        "good",
        &[],
        "<p><a href='good.html#top'>Up</a> <math><mfrac><mi>a</mi><mi>b</mi></mfrac></math></p>\
         <div style='overflow-x: auto'><div style='width: 2000px'>Scrolls in its own box</div></div>\
         <img src='legible.svg' alt='Words' width='100' height='50'>",
    ),
    ("index", &["search"], "<p>A book without a search box</p>"),
    (
        "scrolls",
        &["width"],
        "<div style='width: 2000px'>Too wide</div>",
    ),
    (
        "cut",
        &["width"],
        "<div style='overflow: hidden; width: 2000px'>Cut off by its own page</div>",
    ),
    (
        "pale",
        &["contrast"],
        "<p style='color: #999'>Pale grey on white</p>",
    ),
    (
        "faint",
        &["contrast"],
        "<p style='opacity: 0.4'>Black that shows through</p>",
    ),
    (
        "dim",
        &["contrast"],
        "<style>@media (prefers-color-scheme: dark) { p { background: #333 } }</style><p>Dark on dark</p>",
    ),
    (
        "drawn",
        &["contrast"],
        "<svg width='200' height='50' viewBox='0 0 200 50'><title>Box</title><rect width='200' height='50' fill='#444'/>\
         <text x='10' y='30'>Black on grey</text></svg>",
    ),
    (
        "picture",
        &["contrast"],
        "<img src='pale.svg' alt='Words' width='100' height='50'>",
    ),
    (
        "elsewhere",
        &["request"],
        "<img src='https://book.invalid/picture.png' alt='A picture' width='9' height='9'>",
    ),
    (
        "missing",
        &["request"],
        "<img src='missing.png' alt='A picture' width='9' height='9'>",
    ),
    (
        "logs",
        &["console"],
        "<script>console.error('made on purpose')</script>",
    ),
    ("throws", &["console"], "<script>nosuch()</script>"),
    ("raw", &["maths"], "<p>Raw $$ p = \\rho g S $$</p>"),
    ("dollars", &["maths"], "<p>Raw $p$ in a line</p>"),
    (
        "collapsed",
        &["maths"],
        "<p>Nothing <math style='display: inline-block; width: 0; overflow: hidden'><mi>a</mi></math></p>",
    ),
    (
        "flat",
        &["maths"],
        "<p><math><mfrac style='display: inline-flex'><mi>a</mi><mi>b</mi></mfrac></math></p>",
    ),
    (
        "error",
        &["maths"],
        "<p><math><merror><mtext>x</mtext></merror></math></p>",
    ),
    (
        "silent",
        &["alt"],
        "<img src='legible.svg' width='100' height='50'>",
    ),
    ("nowhere", &["link"], "<a href='nosuch.html'>Nowhere</a>"),
    ("lost", &["link"], "<a href='good.html#nosuch'>Nowhere</a>"),
    (
        "asks",
        &["link"],
        "<a href='#ask=size'>A state where no desk is</a>",
    ),
    (
        "made",
        &["scripts"],
        "<script>document.write('<p>Only with scripts</p>')</script>",
    ),
];

fn write() -> PathBuf {
    let folder = scratch("faulty");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let font = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../src/math/stix-two-math.woff2"
    );
    std::fs::copy(font, folder.join("font.woff2")).unwrap();
    for (name, _, body) in PAGES {
        let page = format!(
            "<!doctype html><html lang='en'><head><meta charset='utf-8'><title>{name}</title>\
             <meta name='viewport' content='width=device-width, initial-scale=1'><link rel='icon' href='data:,'>\
             <style>@font-face {{ font-family: F; src: url(font.woff2) }} math {{ font-family: F }}\
             body {{ background: white; color: black }}</style></head>\
             <body><main><h1 id='top'>Page</h1>{body}</main></body></html>"
        );
        std::fs::write(folder.join(format!("{name}.html")), page).unwrap();
    }
    for (name, ink) in [("legible", "#222"), ("pale", "#aaa")] {
        let picture = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='100' height='50' viewBox='0 0 100 50'>\
             <text x='5' y='30' fill='{ink}'>Words</text></svg>"
        );
        std::fs::write(folder.join(format!("{name}.svg")), picture).unwrap();
    }
    folder
}

#[test]
fn every_check_finds_its_fault_and_no_other() {
    let folder = write();
    let mut browser = Chromium::start(&scratch("profile-of-faulty"));
    let faults = check::look(&mut browser, &folder);
    for (name, kinds, _) in PAGES {
        let wanted: BTreeSet<&str> = kinds.iter().copied().collect();
        assert_eq!(
            faults.kinds(&format!("{name}.html")),
            wanted,
            "{name}\n{faults}"
        );
    }
}

#[test]
fn a_book_is_weighed_with_its_folders() {
    let folder = scratch("heavy");
    std::fs::create_dir_all(folder.join("within")).unwrap();
    std::fs::write(folder.join("within/page.html"), [b' '; 1000]).unwrap();
    std::fs::write(folder.join("page.html"), [b' '; 500]).unwrap();
    assert_eq!(check::size(&folder), 1500);
}
