//! What a built book must be, and what falls short of it, in words for whoever writes its pages.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::Duration;

use serde_json::{Value, json};

use crate::chromium::Chromium;
use crate::faults::Faults;
use crate::server::serve;

/// Most that a built book may weigh, in bytes.
pub const LARGEST: u64 = 15_000_000;

/// The page with which a book opens.
const START: &str = "index.html";

/// The page of the desk.
const DESK: &str = "desk.html";

/// Looks at a page from within.
pub const PAGE: &str = include_str!("page.js");

/// How a reader has the page before him. The last one is a browser that runs no scripts.
pub const VIEWS: [View; 5] = [
    View::new("390 px light", 390, "light"),
    View::new("390 px dark", 390, "navy"),
    View::new("1280 px light", 1280, "light"),
    View::new("1280 px dark", 1280, "navy"),
    View {
        scripts: false,
        ..View::new("1280 px without scripts", 1280, "light")
    },
];

pub struct View {
    pub name: &'static str,
    pub width: u32,
    theme: &'static str,
    pub scripts: bool,
}

impl View {
    const fn new(name: &'static str, width: u32, theme: &'static str) -> Self {
        Self {
            name,
            width,
            theme,
            scripts: true,
        }
    }
}

/// What the script found in a page, kept for what takes more than one page to judge.
#[derive(Default)]
struct Found {
    links: BTreeSet<(String, String)>,
    ids: BTreeSet<String>,
    pictures: BTreeSet<(String, String)>,
    text: Vec<String>,
    title: String,
}

/// Opens every page of the book in `root`, in every view.
pub fn look(browser: &mut Chromium, root: &Path) -> Faults {
    let home = serve(root);
    let mut faults = Faults::default();
    let mut book: BTreeMap<String, Found> = pages(root, root)
        .into_iter()
        .map(|page| (page, Found::default()))
        .collect();
    for view in &VIEWS {
        let theme = set(browser, view);
        for (page, found) in &mut book {
            let url = format!("{home}{page}");
            browser.open(&url);
            let seen = browser.evaluate(&format!("({PAGE})({}, null)", view.width));
            keep(&seen, found, page, view, &mut faults);
            requests(browser.events(), &home, page, view, &mut faults);
        }
        if view.scripts {
            search(browser, &book, &home, view, &mut faults);
        }
        unset(browser, &theme);
    }
    links(&book, root, &home, &mut faults);
    pictures(browser, &book, &home, &mut faults);
    faults
}

/// Bytes of all files of a folder.
pub fn size(folder: &Path) -> u64 {
    files(folder)
        .iter()
        .filter_map(|file| file.metadata().ok())
        .map(|data| data.len())
        .sum()
}

/// Types a word of a title into the search box, wants its page among the results, and looks at them.
fn search(
    browser: &mut Chromium,
    book: &BTreeMap<String, Found>,
    home: &str,
    view: &View,
    faults: &mut Faults,
) {
    let words = book
        .iter()
        .filter(|(page, _)| !["print.html", "404.html", START].contains(&page.as_str()));
    let words = words.flat_map(|(page, found)| {
        let words = found.title.split(|c: char| !c.is_alphabetic());
        words.map(move |word| (word.to_lowercase(), page))
    });
    let Some((word, page)) = words.max_by_key(|(word, _)| word.len()) else {
        return faults.add(
            "search",
            "no page has a title to search for",
            START,
            view.name,
        );
    };
    browser.open(&format!("{home}{START}"));
    key(browser, "s");
    let ready =
        "document.activeElement?.id === 'mdbook-searchbar' && !document.activeElement.disabled";
    if !wait(browser, ready) {
        return faults.add("search", "the key S opens no search box", START, view.name);
    }
    word.chars()
        .for_each(|letter| key(browser, &letter.to_string()));
    let found = format!(
        "[...document.querySelectorAll('#mdbook-searchresults a')].some(a => a.href.includes({}))",
        json!(page)
    );
    if !wait(browser, &found) {
        let fault = format!("\"{word}\" was typed and {page}, whose title has it, was not found");
        return faults.add("search", fault, START, view.name);
    }
    let seen = browser.evaluate(&format!("({PAGE})({}, null)", view.width));
    keep(
        &seen,
        &mut Found::default(),
        "results of a search",
        view,
        faults,
    );
}

/// Whether a condition in the page comes true within three seconds.
fn wait(browser: &mut Chromium, condition: &str) -> bool {
    (0..60).any(|_| {
        let met = browser.evaluate(condition) == true;
        if !met {
            std::thread::sleep(Duration::from_millis(50));
        }
        met
    })
}

fn key(browser: &mut Chromium, letter: &str) {
    // mdBook reads the letter, browsers before it the code.
    let code = u32::from(letter.to_uppercase().chars().next().unwrap_or(' '));
    for (kind, text) in [("keyDown", letter), ("keyUp", "")] {
        let press =
            json!({"type": kind, "key": letter, "text": text, "windowsVirtualKeyCode": code});
        browser.call("Input.dispatchKeyEvent", &press);
    }
}

/// Prepares the tab; the result is for `unset`.
pub fn set(browser: &mut Chromium, view: &View) -> Value {
    let size = json!({"width": view.width, "height": 900, "deviceScaleFactor": 1, "mobile": view.width < 600});
    browser.call("Emulation.setDeviceMetricsOverride", &size);
    let scheme = if view.theme == "light" {
        "light"
    } else {
        "dark"
    };
    let media = json!({"features": [{"name": "prefers-color-scheme", "value": scheme}]});
    browser.call("Emulation.setEmulatedMedia", &media);
    browser.call(
        "Emulation.setScriptExecutionDisabled",
        &json!({"value": !view.scripts}),
    );
    // The page that holds the whole book asks for the printer.
    let before = format!(
        "localStorage.setItem('mdbook-theme', '{}'); window.print = () => {{}};",
        view.theme
    );
    browser.call(
        "Page.addScriptToEvaluateOnNewDocument",
        &json!({"source": before}),
    )
}

pub fn unset(browser: &mut Chromium, theme: &Value) {
    browser.call("Page.removeScriptToEvaluateOnNewDocument", theme);
    browser.call(
        "Emulation.setScriptExecutionDisabled",
        &json!({"value": false}),
    );
}

/// Takes over what the script saw.
fn keep(seen: &Value, found: &mut Found, page: &str, view: &View, faults: &mut Faults) {
    let strings = |name: &str| -> Vec<String> {
        let list = seen[name].as_array().into_iter().flatten();
        list.filter_map(Value::as_str).map(str::to_owned).collect()
    };
    let pairs = |name: &str| -> Vec<(String, String)> {
        let list = seen[name].as_array().into_iter().flatten();
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        list.map(|pair| (text(&pair[0]), text(&pair[1]))).collect()
    };
    for fault in seen["faults"].as_array().into_iter().flatten() {
        let text = |name: &str| fault[name].as_str().unwrap_or_default();
        faults.add(text("check"), text("text"), page, view.name);
    }
    found.links.extend(pairs("links"));
    found.ids.extend(strings("ids"));
    found.pictures.extend(pairs("pictures"));
    let text = strings("text");
    if view.scripts {
        found.text = text;
        seen["title"]
            .as_str()
            .unwrap_or_default()
            .clone_into(&mut found.title);
    } else if let Some(lost) = found.text.iter().find(|part| !text.contains(part)) {
        let lost: String = lost.chars().take(60).collect();
        let fault = format!("not on the page without scripts: \"{lost}\"");
        faults.add("scripts", fault, page, view.name);
    }
}

/// The console and the network while a page was opened.
pub fn requests(events: &[Value], home: &str, page: &str, view: &View, faults: &mut Faults) {
    let mut urls = BTreeMap::new();
    for event in events {
        let about = &event["params"];
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let mut add = |check: &str, fault: String| faults.add(check, fault, page, view.name);
        match event["method"].as_str().unwrap_or_default() {
            "Runtime.consoleAPICalled"
                if ["error", "assert"].contains(&text(&about["type"]).as_str()) =>
            {
                let said = &about["args"][0];
                let said = said["value"].as_str().or(said["description"].as_str());
                add("console", format!("error: {}", said.unwrap_or_default()));
            }
            "Runtime.exceptionThrown" => {
                let thrown = &about["exceptionDetails"];
                let what = thrown["exception"]["description"]
                    .as_str()
                    .or(thrown["text"].as_str());
                add(
                    "console",
                    format!("exception: {}", what.unwrap_or_default()),
                );
            }
            // Those of the network come with their address below.
            "Log.entryAdded"
                if about["entry"]["level"] == "error" && about["entry"]["source"] != "network" =>
            {
                add("console", text(&about["entry"]["text"]));
            }
            "Network.requestWillBeSent" => {
                let url = text(&about["request"]["url"]);
                let own = [home, "data:", "blob:"]
                    .iter()
                    .any(|start| url.starts_with(start));
                if !own {
                    add(
                        "request",
                        format!("to another host, {url}; keep a copy in book/src"),
                    );
                }
                urls.insert(text(&about["requestId"]), url);
            }
            "Network.responseReceived" if about["response"]["status"].as_u64() >= Some(400) => {
                let url = text(&about["response"]["url"]);
                // The browser asks for this one by itself, of a page without an icon.
                if !url.ends_with("/favicon.ico") {
                    let file = url.trim_start_matches(home);
                    add("request", format!("no such file: {file}"));
                }
            }
            "Network.loadingFailed" if about["canceled"] != true => {
                let url = urls
                    .get(&text(&about["requestId"]))
                    .cloned()
                    .unwrap_or_default();
                add(
                    "request",
                    format!(
                        "failed with {}: {}",
                        text(&about["errorText"]),
                        url.trim_start_matches(home)
                    ),
                );
            }
            _ => {}
        }
    }
}

/// Every link within the book leads to a file and, in a page, to a heading or another named place.
fn links(book: &BTreeMap<String, Found>, root: &Path, home: &str, faults: &mut Faults) {
    // The page for a wrong address stands anywhere: mdBook gives it a base, which leads its own anchors away.
    for (page, found) in book.iter().filter(|(page, _)| *page != "404.html") {
        for (url, words) in &found.links {
            let Some(target) = url.strip_prefix(home) else {
                continue;
            };
            let (file, place) = target.split_once('#').unwrap_or((target, ""));
            let file = if file.is_empty() { START } else { file };
            let link = format!("[{words}]({target})");
            let fault = match book.get(file) {
                None if !root.join(file).is_file() => format!("{link} leads to no file"),
                // A state of the desk is no place; `tests/book/links.rs` opens those.
                Some(_) if file == DESK && place.contains('=') => continue,
                Some(to) if !place.is_empty() && !to.ids.contains(place) => {
                    format!("{link}: {file} has no heading #{place}")
                }
                _ => continue,
            };
            faults.add("link", fault, page, "every view");
        }
    }
}

/// Pictures opened by themselves, on the ground that they have in the page.
fn pictures(
    browser: &mut Chromium,
    book: &BTreeMap<String, Found>,
    home: &str,
    faults: &mut Faults,
) {
    let mut of_pages: BTreeMap<&(String, String), &str> = BTreeMap::new();
    for (page, found) in book {
        for picture in found.pictures.iter().filter(|(url, _)| {
            url.starts_with(home) && Path::new(url).extension().is_some_and(|end| end == "svg")
        }) {
            of_pages.entry(picture).or_insert(page);
        }
    }
    for ((url, ground), page) in of_pages {
        browser.open(url);
        let seen = browser.evaluate(&format!("({PAGE})(1280, {})", json!(ground)));
        for fault in seen["faults"].as_array().into_iter().flatten() {
            let text = |name: &str| fault[name].as_str().unwrap_or_default();
            let text = format!("{}: {}", url.trim_start_matches(home), text("text"));
            faults.add(
                fault["check"].as_str().unwrap_or_default(),
                text,
                page,
                "its picture",
            );
        }
    }
}

fn pages(folder: &Path, root: &Path) -> Vec<String> {
    let html = files(folder)
        .into_iter()
        .filter(|file| file.extension().is_some_and(|end| end == "html"));
    html.filter_map(|file| Some(file.strip_prefix(root).ok()?.to_str()?.to_owned()))
        .collect()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
    paths
        .flat_map(|path| {
            if path.is_dir() {
                files(&path)
            } else {
                vec![path]
            }
        })
        .collect()
}
