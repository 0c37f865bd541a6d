//! Pages that compute: the module against the library, and every live figure as a reader moves it.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::RwLock;

use serde_json::{Value, json};

use crate::check::{self, PAGE, VIEWS};
use crate::chromium::Chromium;
use crate::faults::Faults;
use crate::{book, scratch};

/// Random designs on which the module is to be the library.
const DESIGNS: usize = 200;
/// Moves of a slider that are timed.
const MOVES: usize = 50;

/// Times are taken while nothing else runs here.
static ALONE: RwLock<()> = RwLock::new(());

/// Numbers in 0 to 1, the same sequence each time (constants of Numerical Recipes, from memory; any would do).
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or_default()) / f64::from(u32::MAX)
    }

    fn within(&mut self, least: f64, most: f64) -> f64 {
        // A number as people type it.
        let number = least * (most / least).powf(self.next());
        format!("{number:.2e}").parse().unwrap_or(number)
    }

    fn one_of<'a>(&mut self, all: &[&'a str]) -> &'a str {
        self.next();
        let n = usize::try_from(self.0 >> 33).unwrap_or_default();
        all[n % all.len()]
    }
}

/// Requests about risers and now and then a search, many of which do not pump or are refused.
fn requests() -> Vec<Value> {
    let mut random = Random(16);
    let request = |n: usize| {
        let unit = random.one_of(&["metric", "us"]);
        let mut set = json!({
            "riser.bore": format!("{} mm", random.within(15.0, 200.0)),
            "riser.submergence": format!("{} m", random.within(0.3, 4.0)),
            "riser.lift": format!("{} m", random.within(0.02, 2.0)),
            "riser.outlet": random.one_of(&["plain", "elbow"]),
            "air.flow": format!("{} L/min", random.within(2.0, 900.0)),
            "water.temperature": format!("{} degC", random.within(1.0, 35.0)),
            "water.salinity": format!("{} g/kg", random.within(1.0, 40.0)),
            "model.slip": random.one_of(&["bhagwat_ghajar_2014", "nicklin_1962", "smith_drift", "kataoka_ishii_1987"]),
        });
        let mut ask = random.one_of(&["flow", "flow", "curve", "existing"]);
        if n.is_multiple_of(25) {
            ask = "size";
            set = json!({
                "duty.water_flow": format!("{} L/min", random.within(20.0, 900.0)),
                "duty.lift": format!("{} m", random.within(0.05, 0.5)),
            });
        } else if ask == "existing" {
            set = json!({
                "riser.outlet": set["riser.outlet"],
                "blower.wire_efficiency": random.within(0.05, 0.6),
                "branch.length": format!("{} m", random.within(0.5, 9.0)),
                "lift.1.submergence": format!("{} m", random.within(0.6, 1.5)),
            });
        }
        let fields = [
            "water_flow_m3_per_s",
            "interval",
            "point.efficiency",
            "budget.weight_m",
        ];
        let options = json!({ "text": true, "fields": fields, "points": 12 });
        json!({ "ask": ask, "set": set, "units": unit, "options": options })
    };
    (0..DESIGNS).map(request).collect()
}

/// What is printed of a reply.
fn printed(reply: &Value) -> Value {
    let of = |name: &str| reply.get(name).cloned().unwrap_or_default();
    json!([
        of("text"),
        of("said"),
        of("fields"),
        of("cautions"),
        of("fault")
    ])
}

#[test]
fn the_module_is_the_library() {
    let _beside = ALONE.read();
    let page = format!("file://{}/introduction.html", book().display());
    let mut browser = Chromium::start(&scratch("profile-of-module"));
    browser.open(&page);
    browser.evaluate("Risewater.ready.then(() => true)");
    let mut kinds = BTreeSet::new();
    for request in requests() {
        let reply = risewater_live::reply(request.to_string().as_bytes());
        let native: Value = serde_json::from_slice(&reply).unwrap();
        let module = browser.evaluate(&format!("Risewater.ask({request})"));
        assert_eq!(printed(&module), printed(&native), "{request}");
        let kind = if native["fault"].is_array() {
            "refused"
        } else {
            request["ask"].as_str().unwrap_or_default()
        };
        kinds.insert(kind.to_owned());
        if native["answer"]["outcome"] == "below_threshold" {
            kinds.insert("still".to_owned());
        }
    }
    // The designs were worth comparing: each question, refusals and risers that do not pump among them.
    let wanted = ["curve", "existing", "flow", "refused", "size", "still"];
    assert_eq!(kinds, wanted.map(str::to_owned).into());
    // What would be no request anywhere does not stop the module.
    let reply = browser.evaluate("Risewater.ask(7)");
    assert!(reply["fault"][0]["text"].is_string(), "{reply}");
    // A worker answers as the page does, and its work can be stopped.
    let same = browser.evaluate(
        "(async () => {
            const worker = Risewater.worker(), request = { ask: 'size', options: { text: true } };
            const whole = (await worker.ask(request)).text === Risewater.ask(request).text;
            const stopped = worker.ask(request).then(() => 'answered', error => error.message);
            await new Promise(done => setTimeout(done, 20));
            worker.stop();
            return [whole, await stopped, (await worker.ask({ ask: 'flow' })).answer.outcome];
        })()",
    );
    assert_eq!(same, json!([true, "stopped", "pumping"]));
}

/// Pages with live figures, and the figures of each.
fn pages(book: &Path) -> Vec<(String, usize)> {
    let pages = std::fs::read_dir(book)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let pages = pages.filter(|page| {
        page.extension().is_some_and(|end| end == "html") && !page.ends_with("print.html")
    });
    let mut found: Vec<(String, usize)> = pages
        .map(|page| {
            let figures = std::fs::read_to_string(&page)
                .unwrap()
                .matches("<figure class=\"live\"")
                .count();
            (
                page.file_name().unwrap().to_string_lossy().into_owned(),
                figures,
            )
        })
        .filter(|(_, figures)| *figures > 0)
        .collect();
    found.sort();
    found
}

/// Moves every handle of every figure of a page, by a value that can be and one that cannot; tells what it saw.
const MOVED: &str = include_str!("live.js");

#[test]
fn every_live_figure_moves_and_refuses_in_place() {
    let _beside = ALONE.read();
    let book = book();
    let mut browser = Chromium::start(&scratch("profile-of-figures"));
    let mut faults = Faults::default();
    let mut moved = 0;
    for (page, figures) in pages(&book) {
        let url = format!("file://{}/{page}", book.display());
        browser.open(&url);
        let seen = browser.evaluate(&format!("({MOVED})()"));
        for fault in seen["faults"].as_array().into_iter().flatten() {
            faults.add(
                "figure",
                fault.as_str().unwrap_or_default(),
                &page,
                "1280 px",
            );
        }
        assert_eq!(seen["figures"], figures, "{page}");
        moved += figures;
        check::requests(
            browser.events(),
            &format!("file://{}/", book.display()),
            &page,
            &VIEWS[2],
            &mut faults,
        );
    }
    assert!(faults.is_empty(), "live figures have faults\n{faults}");
    println!("{moved} live figures moved");
    assert!(moved >= 20);
}

#[test]
fn live_figures_are_legible_in_every_view() {
    let _beside = ALONE.read();
    let book = book();
    let mut browser = Chromium::start(&scratch("profile-of-views"));
    let mut faults = Faults::default();
    let ready = "(async () => {
        for (const figure of document.querySelectorAll('figure.live')) {
            figure.scrollIntoView();
            for (let n = 0; n < 200 && !(figure.matches('.live-ready') && !figure.ariaBusy); n++) await new Promise(done => setTimeout(done, 20));
            // What is refused is to be legible too.
            const field = figure.querySelector('input[type=text]');
            if (field) { field.value = 'much'; field.dispatchEvent(new Event('input')); }
        }
        return [...document.querySelectorAll('figure.live')].every(figure => figure.matches('.live-ready'));
    })()";
    for view in VIEWS.iter().filter(|view| view.scripts) {
        let theme = check::set(&mut browser, view);
        for (page, _) in pages(&book) {
            browser.open(&format!("file://{}/{page}", book.display()));
            assert_eq!(browser.evaluate(ready), true, "{page} {}", view.name);
            let white = browser.evaluate(
                "[...document.querySelectorAll('.live-picture svg')].map(svg => getComputedStyle(svg.querySelector('rect')).fill === 'rgb(255, 255, 255)')",
            );
            let white = white.as_array().expect("it has figures");
            if white.contains(&json!(view.name.contains("dark"))) {
                faults.add(
                    "ground",
                    "the picture has the ground of the other theme",
                    &page,
                    view.name,
                );
            }
            let seen = browser.evaluate(&format!("({PAGE})({}, null)", view.width));
            for fault in seen["faults"].as_array().into_iter().flatten() {
                let text = |name: &str| fault[name].as_str().unwrap_or_default();
                faults.add(text("check"), text("text"), &page, view.name);
            }
        }
        check::unset(&mut browser, &theme);
    }
    assert!(faults.is_empty(), "live figures have faults\n{faults}");
}

/// How long it takes: told, and not held to a limit, since machines differ.
#[test]
fn how_quick_a_figure_is() {
    let _alone = ALONE.write();
    let book = book();
    let mut browser = Chromium::start(&scratch("profile-of-times"));
    let empty = scratch("empty.html");
    std::fs::write(&empty, "<!doctype html><title>Empty</title><p>Nothing").unwrap();
    let since = "(async () => {
        const figure = document.querySelector('figure.live');
        figure?.scrollIntoView();
        while (figure && !figure.matches('.live-ready')) await new Promise(done => setTimeout(done, 1));
        return performance.now();
    })()";
    let mut opened = Vec::new();
    for page in [empty, book.join("case-biofilter-return.html")] {
        browser.open(&format!("file://{}", page.display()));
        opened.push(browser.evaluate(since).as_f64().unwrap());
    }
    let moves = browser.evaluate(&format!(
        "(async () => {{
            const slider = document.querySelector('figure.live input[type=range]'), times = [];
            for (let n = 0; n < {MOVES}; n++) {{
                slider.value = n % slider.max;
                const began = performance.now();
                slider.dispatchEvent(new Event('input'));
                await new Promise(requestAnimationFrame);
                document.querySelector('figure.live').getBoundingClientRect();
                times.push(performance.now() - began);
            }}
            return [times, performance.getEntriesByName('live redraw').map(one => one.duration)];
        }})()"
    ));
    let median = |times: &Value| {
        let mut times: Vec<f64> = times
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_f64)
            .collect();
        times.sort_by(f64::total_cmp);
        times[times.len() / 2]
    };
    let sizing = browser.evaluate(
        "(async () => {
            const worker = Risewater.worker();
            await worker.ask({ ask: 'flow' });
            const began = performance.now();
            await worker.ask({ ask: 'size', options: { picture: true } });
            return performance.now() - began;
        })()",
    );
    println!(
        "empty page {:.0} ms, page with its figure alive {:.0} ms; a move {:.1} ms with the wait for its frame, {:.1} ms of it work; sizing the example in a worker {:.0} ms",
        opened[0],
        opened[1],
        median(&moves[0]),
        median(&moves[1]),
        sizing.as_f64().unwrap(),
    );
    assert_eq!(moves[0].as_array().map(Vec::len), Some(MOVES));
}
