//! Line drawings of lifts and plants, not to scale: the labelled lift, and one sketch a worked case.
//!
//! Numbers in them are read from the files of the pages, so that a drawing follows its file.

use std::fmt::Write;

use super::patterns::Seeded;

/// Width of every sketch: what a telephone shows without scrolling.
const WIDTH: f64 = 480.0;
/// Colours: ground, water, lines and words, air. Each has a twin on a dark page.
const GROUND: &str = "#ffffff";
const WATER: &str = "#cfe3f2";
const INK: &str = "#1f3a4d";
const AIR: &str = "#d55e00";
/// Sizes of words.
const WORDS: f64 = 15.0;
const SMALL: f64 = 13.0;

type Point = (f64, f64);

/// On which side of its place a word stands.
#[derive(Clone, Copy)]
enum Side {
    Left,
    Right,
    Middle,
}

/// Every sketch: its file name and its text.
pub fn all() -> Vec<(&'static str, String)> {
    vec![
        ("sketch-lift.svg", labelled_lift()),
        ("sketch-bench-trial.svg", bench_trial()),
        ("sketch-larval-tank.svg", larval_tank()),
        ("sketch-fry-raceway.svg", fry_raceway()),
        ("sketch-biofilter-return.svg", biofilter_return()),
        ("sketch-sea-water.svg", sea_water()),
        ("sketch-twelve-lifts.svg", twelve_lifts()),
        ("sketch-six-tanks.svg", six_tanks()),
        ("sketch-tall-lift.svg", tall_lift()),
        ("sketch-retrofit.svg", retrofit()),
        ("sketch-whole-room.svg", whole_room()),
        ("sketch-nursery.svg", nursery()),
    ]
}

/// What a file gives a key, as a reader of the drawing has it.
fn said(file: &str, key: &str) -> String {
    let value = file
        .lines()
        .find_map(|line| line.strip_prefix(key)?.trim_start().strip_prefix('='));
    let value = value.unwrap_or_default().split('#').next();
    let value = value.unwrap_or_default().trim();
    value.replace(['"', '[', ']'], "").replace("degC", "°C")
}

/// A drawing under way.
struct Sketch(String);

impl Sketch {
    fn new(title: &str, height: f64) -> Self {
        Self(format!(
            concat!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" role="img" "#,
                r#"font-family="system-ui, sans-serif" stroke-linecap="round" stroke-linejoin="round">"#,
                r#"<title>{title}</title><rect width="{w}" height="{h}" fill="{g}"/>"#,
            ),
            w = WIDTH,
            h = height,
            title = title,
            g = GROUND
        ))
    }

    fn done(mut self) -> String {
        self.0.push_str("</svg>\n");
        self.0
    }

    /// Writing to a `String` cannot fail.
    fn put(&mut self, text: std::fmt::Arguments) {
        let _ = self.0.write_fmt(text);
    }

    fn area(&mut self, (x, y): Point, (width, height): Point, fill: &str) {
        self.put(format_args!(
            r#"<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{fill}"/>"#
        ));
    }

    fn fill(&mut self, d: &str, fill: &str) {
        self.put(format_args!(r#"<path d="{d}" fill="{fill}"/>"#));
    }

    fn path(&mut self, d: &str, ink: &str, thick: f64) {
        self.put(format_args!(
            r#"<path d="{d}" fill="none" stroke="{ink}" stroke-width="{thick}"/>"#
        ));
    }

    fn dashed(&mut self, d: &str) {
        self.put(format_args!(
            r#"<path d="{d}" fill="none" stroke="{INK}" stroke-width="1" stroke-dasharray="5 4"/>"#
        ));
    }

    #[allow(clippy::similar_names, reason = "side and size are both right")]
    fn say(&mut self, (x, y): Point, side: Side, size: f64, rows: &[&str]) {
        let anchor = match side {
            Side::Left => "end",
            Side::Right => "start",
            Side::Middle => "middle",
        };
        for (n, row) in rows.iter().enumerate() {
            let y = y + 1.2 * size * f64::from(u32::try_from(n).unwrap_or(0));
            self.put(format_args!(
                r#"<text x="{x}" y="{y:.1}" text-anchor="{anchor}" font-size="{size}" fill="{INK}">{row}</text>"#
            ));
        }
    }

    /// Words with a thin line to what they name.
    fn name(&mut self, (x, y): Point, side: Side, rows: &[&str], tip: Point) {
        let (from_x, from_y) = match side {
            Side::Left => (x + 5.0, y - 5.0),
            Side::Right => (x - 5.0, y - 5.0),
            Side::Middle if tip.1 > y => (x, y + 4.0),
            Side::Middle => (x, y - 15.0),
        };
        self.path(&format!("M{from_x} {from_y}L{} {}", tip.0, tip.1), INK, 0.8);
        self.put(format_args!(
            r#"<circle cx="{}" cy="{}" r="2" fill="{INK}"/>"#,
            tip.0, tip.1
        ));
        self.say((x, y), side, WORDS, rows);
    }

    fn arrow(&mut self, from: Point, to: Point, ink: &str, thick: f64) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        let (ux, uy) = (dx / length, dy / length);
        let head = 3.0 + 2.2 * thick;
        let (bx, by) = (to.0 - head * ux, to.1 - head * uy);
        let (sx, sy) = (-0.45 * head * uy, 0.45 * head * ux);
        self.path(
            &format!("M{} {}L{bx:.1} {by:.1}", from.0, from.1),
            ink,
            thick,
        );
        self.put(format_args!(
            r#"<path d="M{} {}L{:.1} {:.1}L{:.1} {:.1}z" fill="{ink}"/>"#,
            to.0,
            to.1,
            bx + sx,
            by + sy,
            bx - sx,
            by - sy
        ));
    }

    /// A height between two levels, with its name.
    fn height(&mut self, x: f64, (from, to): Point, side: Side, rows: &[&str]) {
        let middle = 0.5 * (from + to);
        for end in [from, to] {
            self.path(&format!("M{} {end}H{}", x - 5.0, x + 5.0), INK, 1.2);
            self.arrow((x, middle), (x, end), INK, 1.2);
        }
        let gap = if matches!(side, Side::Left) {
            -9.0
        } else {
            9.0
        };
        let up = 0.6 * WORDS * f64::from(u32::try_from(rows.len()).unwrap_or(1) - 1);
        self.say((x + gap, middle + 5.0 - up), side, WORDS, rows);
    }

    /// A water surface from left to right, with the mark of a level.
    fn level(&mut self, (from, to): Point, y: f64, mark: f64) {
        self.path(&format!("M{from} {y}H{to}"), INK, 1.2);
        self.put(format_args!(
            r#"<path d="M{mark} {y}l-6 -9h12z" fill="{GROUND}" stroke="{INK}" stroke-width="1.2"/>"#
        ));
    }

    /// An upright pipe with air and water in it from `inlet` to `top`, and water alone down to its end.
    fn riser(&mut self, place: Point, heights: (f64, f64, f64), seed: u64) {
        self.riser_of(place, heights, seed, 1.0);
    }

    /// The same with bubbles of another size.
    fn riser_of(
        &mut self,
        (left, width): Point,
        (top, inlet, end): (f64, f64, f64),
        seed: u64,
        size: f64,
    ) {
        self.area((left, top), (width, end - top), WATER);
        let mut seed = Seeded::new(seed);
        let mut placed: Vec<(f64, f64, f64)> = Vec::new();
        let largest = 0.16 * size * width;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of at least 40"
        )]
        let tries = 40.0_f64.max(0.5 * (inlet - top)) as usize * 4;
        for _ in 0..tries {
            let radius = seed.between(0.35 * largest, largest);
            let x = seed.between(left + radius + 3.0, left + width - radius - 3.0);
            let y = seed.between(top + radius + 3.0, inlet - radius);
            if placed
                .iter()
                .all(|(a, b, r)| (a - x).hypot(b - y) > r + radius + 2.5)
            {
                self.put(format_args!(
                    r#"<ellipse cx="{x:.1}" cy="{y:.1}" rx="{radius:.1}" ry="{:.1}" fill="{GROUND}" stroke="{AIR}" stroke-width="0.9"/>"#,
                    0.8 * radius
                ));
                placed.push((x, y, radius));
            }
        }
        for x in [left, left + width] {
            self.path(&format!("M{x} {top}V{end}"), INK, 3.0);
        }
    }

    /// Tank walls and floor.
    fn tank(&mut self, (left, right): Point, (rim, floor): Point) {
        self.path(&format!("M{left} {rim}V{floor}H{right}V{rim}"), INK, 3.5);
    }

    /// A machine that gives air.
    fn blower(&mut self, (x, y): Point) {
        self.put(format_args!(
            concat!(
                r#"<circle cx="{x}" cy="{y}" r="16" fill="{g}" stroke="{a}" stroke-width="2.2"/>"#,
                r#"<path d="M{x} {y}m-9 0a9 9 0 0 1 9 -9m9 9a9 9 0 0 1 -9 9" fill="none" stroke="{a}" stroke-width="2"/>"#,
            ),
            x = x,
            y = y,
            g = GROUND,
            a = AIR
        ));
    }
}

/// A lift with every word that the book begins with.
fn labelled_lift() -> String {
    let mut s = Sketch::new("An airlift pump and its words", 570.0);
    let (rim, rest, running, inlet, end, floor) = (170.0, 196.0, 216.0, 436.0, 474.0, 510.0);
    let outlet = 122.0;
    s.area((138.0, running), (214.0, floor - running), WATER);
    s.tank((138.0, 352.0), (rim, floor));
    s.level((138.0, 352.0), running, 324.0);
    s.dashed(&format!("M138 {rest}H352"));
    s.riser((213.0, 46.0), (outlet, inlet, end), 3);
    // What spills, and the gutter that takes it away.
    s.fill(
        "M259 122C276 116 284 128 286 146H452V156H272V144C272 134 268 130 259 128z",
        WATER,
    );
    s.path("M270 136V158H456", INK, 2.5);
    s.arrow((404.0, 151.0), (446.0, 151.0), INK, 1.8);
    // The air line.
    s.path("M166 58H176V436H211", AIR, 3.0);
    s.arrow((198.0, 436.0), (213.0, 436.0), AIR, 2.4);
    s.blower((150.0, 58.0));
    s.say(
        (128.0, 50.0),
        Side::Left,
        WORDS,
        &["blower,", "above the water"],
    );
    s.name((232.0, 80.0), Side::Right, &["air line"], (176.0, 90.0));
    // Water on its way.
    s.arrow((160.0, 492.0), (225.0, 484.0), INK, 1.8);
    s.arrow((312.0, 492.0), (247.0, 484.0), INK, 1.8);
    s.arrow((236.0, 470.0), (236.0, 444.0), INK, 1.8);
    s.arrow((236.0, 112.0), (236.0, 92.0), INK, 1.8);
    // Heights.
    for (y, from) in [(outlet, 211.0), (running, 136.0), (inlet, 211.0)] {
        s.dashed(&format!("M108 {y}H{from}"));
    }
    s.height(114.0, (outlet, running), Side::Left, &["lift", "H"]);
    s.height(114.0, (running, inlet), Side::Left, &["submergence", "S"]);
    // Names.
    s.name((364.0, 116.0), Side::Right, &["outlet"], (259.0, 122.0));
    s.say((364.0, rest - 2.0), Side::Right, WORDS, &["level at rest"]);
    s.say(
        (364.0, running + 9.0),
        Side::Right,
        WORDS,
        &["running level"],
    );
    s.name(
        (364.0, 290.0),
        Side::Right,
        &["riser: the pipe", "with air and", "water in it"],
        (259.0, 285.0),
    );
    s.path("M215 372H257", INK, 1.2);
    s.arrow((236.0, 372.0), (214.5, 372.0), INK, 1.2);
    s.arrow((236.0, 372.0), (257.5, 372.0), INK, 1.2);
    s.name((364.0, 377.0), Side::Right, &["bore D"], (250.0, 372.0));
    s.name((364.0, 430.0), Side::Right, &["air inlet"], (213.0, 436.0));
    s.name(
        (364.0, 492.0),
        Side::Right,
        &["foot: water", "enters"],
        (259.0, 474.0),
    );
    s.say(
        (240.0, 540.0),
        Side::Middle,
        WORDS,
        &[
            "submergence ratio: S / (S + H),",
            "the part of the riser that stands in water",
        ],
    );
    s.done()
}

/// A lift in its tank, the drum on its balance, the gas meter and the bottle.
fn bench_trial() -> String {
    let rig = include_str!("../src/case-bench-trial.in/rig.toml");
    let mut s = Sketch::new("One lift on the bench, and what measures it", 400.0);
    let (outlet, running, inlet, end, floor) = (150.0, 210.0, 330.0, 344.0, 366.0);
    s.area((90.0, running), (150.0, floor - running), WATER);
    s.tank((90.0, 240.0), (186.0, floor));
    s.level((90.0, 240.0), running, 218.0);
    s.riser((152.0, 26.0), (outlet, inlet, end), 5);
    // The spout to the drum.
    s.fill("M178 150L288 168V176L178 160z", WATER);
    s.path("M178 162L290 179", INK, 2.5);
    s.arrow((290.0, 170.0), (305.0, 200.0), INK, 1.8);
    s.area((282.0, 236.0), (72.0, 76.0), WATER);
    s.tank((282.0, 354.0), (206.0, 312.0));
    s.path(
        "M266 322H370M276 332H360M276 332V344M360 332V344M266 346H370",
        INK,
        3.0,
    );
    s.say(
        (318.0, 368.0),
        Side::Middle,
        WORDS,
        &["drum on", "a balance"],
    );
    // Air: meter, blower, line.
    s.arrow((22.0, 62.0), (50.0, 62.0), AIR, 2.4);
    s.put(format_args!(
        r#"<rect x="52" y="44" width="40" height="36" rx="4" fill="{GROUND}" stroke="{AIR}" stroke-width="2.2"/>"#
    ));
    s.path("M62 72L72 56M60 62A14 14 0 0 1 84 62", AIR, 1.6);
    s.path("M92 62H116M148 62H168V120M168 120H124V330H150", AIR, 3.0);
    s.blower((132.0, 62.0));
    s.arrow((140.0, 330.0), (152.0, 330.0), AIR, 2.4);
    s.say((40.0, 100.0), Side::Right, WORDS, &["gas meter"]);
    s.say((132.0, 34.0), Side::Middle, WORDS, &["blower"]);
    // The bottle, upside down in a bucket.
    s.area((404.0, 286.0), (64.0, 54.0), WATER);
    s.tank((404.0, 468.0), (270.0, 342.0));
    s.fill("M418 322V226H454V322z", GROUND);
    s.area((419.0, 262.0), (34.0, 60.0), WATER);
    s.path("M418 322V226H454V322", INK, 2.0);
    s.path("M436 322V236", AIR, 2.4);
    s.arrow((436.0, 250.0), (436.0, 232.0), AIR, 2.4);
    s.say(
        (474.0, 368.0),
        Side::Left,
        WORDS,
        &["bottle, to", "check the meter"],
    );
    // Heights.
    for (y, from) in [(outlet, 150.0), (running, 88.0), (inlet, 150.0)] {
        s.dashed(&format!("M66 {y}H{from}"));
    }
    s.height(72.0, (outlet, running), Side::Left, &["lift"]);
    s.height(
        72.0,
        (running, inlet),
        Side::Left,
        &[&said(rig, "submergences")],
    );
    s.say(
        (190.0, 118.0),
        Side::Right,
        WORDS,
        &[&format!(
            "bore {}; lift {}",
            said(rig, "bore"),
            said(rig, "lifts").replace(", ", ", then ")
        )],
    );
    s.name((196.0, 142.0), Side::Right, &["outlet"], (178.0, 150.0));
    s.done()
}

/// A round tank from above, and one of its lifts from the side.
#[allow(clippy::many_single_char_names, reason = "places on the drawing")]
fn larval_tank() -> String {
    let file = include_str!("../src/case-larval-tank.in/larval-tank.toml");
    let mut s = Sketch::new("A round larval tank with four lifts at its edge", 330.0);
    let (x, y, r) = (112.0, 160.0, 92.0);
    s.put(format_args!(
        r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{WATER}" stroke="{INK}" stroke-width="3.5"/>"#
    ));
    for quarter in 0..4 {
        let angle = std::f64::consts::FRAC_PI_2 * (f64::from(quarter) + 0.5);
        let at = |reach: f64, turn: f64| {
            let angle = angle + turn;
            (x + reach * angle.cos(), y + reach * angle.sin())
        };
        let (a, b) = at(72.0, 0.0);
        s.put(format_args!(
            concat!(
                r#"<circle cx="{a:.1}" cy="{b:.1}" r="14" fill="none" stroke="{i}" stroke-dasharray="3 3"/>"#,
                r#"<circle cx="{a:.1}" cy="{b:.1}" r="5.5" fill="{g}" stroke="{i}" stroke-width="2.5"/>"#,
            ),
            a = a,
            b = b,
            i = INK,
            g = GROUND
        ));
        let (start, end) = (at(80.0, 0.32), at(80.0, 0.95));
        s.arrow(start, end, INK, 1.8);
    }
    s.say(
        (x, 290.0),
        Side::Middle,
        WORDS,
        &["from above: the tank", "turns slowly"],
    );
    // From the side.
    let (outlet, running, inlet, end, floor) = (76.0, 92.0, 244.0, 256.0, 282.0);
    s.area((258.0, running), (208.0, floor - running), WATER);
    s.path("M466 60V282H258", INK, 3.5);
    s.level((258.0, 466.0), running, 290.0);
    s.riser((416.0, 20.0), (outlet, inlet, end), 7);
    s.path("M408 228V272H446V228", INK, 1.2);
    s.dashed("M408 228V272H446V228");
    s.path("M436 74C452 70 456 76 456 86", INK, 2.5);
    s.arrow((448.0, 84.0), (448.0, 108.0), INK, 1.8);
    s.path("M392 24V244H414", AIR, 2.4);
    s.arrow((404.0, 244.0), (417.0, 244.0), AIR, 2.0);
    s.say((384.0, 34.0), Side::Left, WORDS, &["air, by a valve"]);
    s.name(
        (370.0, 66.0),
        Side::Left,
        &[&format!("lift {}", said(file, "lift"))],
        (416.0, 76.0),
    );
    s.dashed("M312 244H414");
    s.height(
        318.0,
        (running, inlet),
        Side::Left,
        &[&said(file, "submergence")],
    );
    s.name(
        (382.0, 180.0),
        Side::Left,
        &["bore", &said(file, "bore")],
        (416.0, 176.0),
    );
    s.name((370.0, 270.0), Side::Left, &["screen"], (408.0, 264.0));
    s.say(
        (370.0, 308.0),
        Side::Middle,
        WORDS,
        &["one lift from the side"],
    );
    s.done()
}

/// A raceway from above, and its lower end from the side.
fn fry_raceway() -> String {
    let file = include_str!("../src/case-fry-raceway.in/fry-raceway.toml");
    let mut s = Sketch::new(
        "A raceway with lifts behind a screen at its lower end",
        420.0,
    );
    s.area((24.0, 46.0), (432.0, 84.0), WATER);
    s.area((24.0, 142.0), (432.0, 34.0), WATER);
    s.path(
        "M24 142V46H456V176H24V142M24 130H432M44 142H456M24 130V142",
        INK,
        3.0,
    );
    s.put(format_args!(
        r#"<rect x="25.5" y="129" width="18" height="15" fill="{WATER}"/>"#
    ));
    s.dashed("M384 46V130");
    s.dashed("M388 46V130");
    for n in 0..7 {
        s.put(format_args!(
            r#"<circle cx="410" cy="{}" r="4" fill="{GROUND}" stroke="{INK}" stroke-width="2"/>"#,
            54.0 + 11.3 * f64::from(n)
        ));
    }
    s.arrow((100.0, 88.0), (170.0, 88.0), INK, 2.0);
    s.arrow((240.0, 88.0), (310.0, 88.0), INK, 2.0);
    s.arrow((444.0, 100.0), (444.0, 160.0), INK, 2.0);
    s.arrow((190.0, 159.0), (130.0, 159.0), INK, 2.0);
    s.arrow((34.0, 160.0), (34.0, 112.0), INK, 2.0);
    s.say((206.0, 72.0), Side::Middle, WORDS, &["fry"]);
    s.say((200.0, 164.0), Side::Right, WORDS, &["tray of media"]);
    s.name((330.0, 30.0), Side::Middle, &["screen"], (384.0, 52.0));
    s.name((422.0, 30.0), Side::Middle, &["lifts"], (410.0, 54.0));
    s.say((24.0, 30.0), Side::Right, WORDS, &["from above"]);
    s.say((24.0, 200.0), Side::Right, SMALL, &["upper end"]);
    s.say((456.0, 200.0), Side::Left, SMALL, &["lower end"]);
    // The lower end from the side.
    let (outlet, running, inlet, end, floor) = (258.0, 282.0, 372.0, 380.0, 394.0);
    s.area((110.0, running), (220.0, floor - running), WATER);
    s.path("M110 394H330V268", INK, 3.5);
    s.level((110.0, 330.0), running, 132.0);
    s.dashed("M236 262V392");
    s.dashed("M240 262V392");
    s.riser((276.0, 22.0), (outlet, inlet, end), 11);
    s.fill("M298 258C312 254 314 262 316 268H440V280H304V272z", WATER);
    s.path("M306 268V282H444", INK, 2.5);
    s.arrow((386.0, 274.0), (430.0, 274.0), INK, 1.8);
    s.path("M258 226V372H274", AIR, 2.4);
    s.arrow((264.0, 372.0), (277.0, 372.0), AIR, 2.0);
    s.say((250.0, 238.0), Side::Left, WORDS, &["air"]);
    s.arrow((150.0, 340.0), (210.0, 340.0), INK, 2.0);
    for (y, from) in [(outlet, 274.0), (inlet, 274.0)] {
        s.dashed(&format!("M92 {y}H{from}"));
    }
    s.height(
        98.0,
        (outlet, running),
        Side::Left,
        &[&format!("lift {}", said(file, "lift"))],
    );
    s.height(
        98.0,
        (running, inlet),
        Side::Left,
        &[&said(file, "max_submergence")],
    );
    s.say(
        (360.0, 330.0),
        Side::Right,
        WORDS,
        &["the lower end,", "from the side"],
    );
    s.done()
}

/// A riser with elbow and level pipe, and the water at the brink.
fn biofilter_return() -> String {
    let file = include_str!("../src/case-biofilter-return.in/biofilter-return.toml");
    let mut s = Sketch::new("A riser that ends in an elbow and a level pipe", 430.0);
    let (invert, running, inlet, end, floor) = (178.0, 246.0, 364.0, 380.0, 404.0);
    let (left, bore) = (140.0, 40.0);
    s.area((100.0, running), (130.0, floor - running), WATER);
    s.path("M100 216V404H230V196", INK, 3.5);
    s.level((100.0, 230.0), running, 212.0);
    s.area((262.0, 292.0), (130.0, floor - 292.0), WATER);
    s.tank((262.0, 392.0), (240.0, floor));
    s.level((262.0, 392.0), 292.0, 372.0);
    s.riser((left, bore), (invert, inlet, end), 13);
    // Elbow and level pipe, with water that falls towards the brink.
    s.fill("M140 178C140 146 160 140 190 146C240 152 280 152 306 158C322 164 326 190 328 290H318C318 220 316 190 306 178H180z", WATER);
    s.path("M140 178V164Q140 138 166 138H306M180 178H306", INK, 3.0);
    s.arrow((200.0, 165.0), (244.0, 165.0), INK, 1.8);
    s.path("M76 60H116V364H138", AIR, 2.6);
    s.blower((60.0, 60.0));
    s.arrow((126.0, 364.0), (141.0, 364.0), AIR, 2.2);
    s.say((60.0, 34.0), Side::Middle, WORDS, &["air"]);
    s.name((132.0, 112.0), Side::Middle, &["elbow"], (146.0, 144.0));
    s.name(
        (236.0, 116.0),
        Side::Middle,
        &["level pipe"],
        (236.0, 138.0),
    );
    s.name((340.0, 178.0), Side::Right, &["brink"], (306.0, 172.0));
    s.name(
        (340.0, 210.0),
        Side::Right,
        &["invert: the pipe's", "lowest line"],
        (262.0, 178.0),
    );
    s.say(
        (166.0, 424.0),
        Side::Middle,
        SMALL,
        &["filter's last chamber"],
    );
    s.say((328.0, 424.0), Side::Middle, SMALL, &["tank"]);
    s.dashed("M64 178H138");
    s.dashed("M64 246H98");
    s.dashed("M64 364H138");
    s.height(
        72.0,
        (invert, running),
        Side::Left,
        &["lift", &said(file, "lift")],
    );
    s.height(
        72.0,
        (running, inlet),
        Side::Left,
        &[&said(file, "submergence")],
    );
    // The level pipe's section at the brink.
    let (x, y, r) = (392.0, 76.0, 44.0);
    let (surface, half) = (y - 10.0, 42.8);
    s.put(format_args!(
        r#"<path d="M{} {surface}A{r} {r} 0 1 0 {} {surface}z" fill="{WATER}"/>"#,
        x - half,
        x + half
    ));
    s.put(format_args!(
        r#"<circle cx="{x}" cy="{y}" r="{r}" fill="none" stroke="{INK}" stroke-width="3"/>"#
    ));
    s.path(&format!("M{} {surface}H{}", x - half, x + half), INK, 1.4);
    s.height(x, (surface, y + r), Side::Right, &["y"]);
    s.say((x, surface - 5.0), Side::Middle, WORDS, &["T"]);
    s.say((x - 22.0, y + 22.0), Side::Middle, WORDS, &["A"]);
    s.say((x, 20.0), Side::Middle, WORDS, &["at the brink"]);
    s.done()
}

/// The same riser by the sea and in the hills.
fn sea_water() -> String {
    let file = include_str!("../src/case-sea-water.in/broodstock.toml");
    let mut s = Sketch::new("The same riser at the coast and inland", 380.0);
    s.path("M240 20V360", INK, 0.8);
    let (outlet, running, inlet, end, floor) = (124.0, 146.0, 300.0, 312.0, 334.0);
    let places = [
        (
            0.0,
            21,
            0.55,
            "coast",
            [said(file, "temperature"), "cold and salt".to_owned()],
        ),
        (
            240.0,
            4,
            1.15,
            "inland, high up",
            ["warm and fresh".to_owned(), "thinner air".to_owned()],
        ),
    ];
    for (x, seed, size, place, words) in places {
        s.area((x + 96.0, running), (124.0, floor - running), WATER);
        s.tank((x + 96.0, x + 220.0), (130.0, floor));
        s.level((x + 96.0, x + 220.0), running, x + 204.0);
        s.riser_of((x + 144.0, 30.0), (outlet, inlet, end), seed, size);
        s.path(
            &format!("M{} 70H{}V300H{}", x + 76.0, x + 122.0, x + 142.0),
            AIR,
            2.6,
        );
        s.arrow((x + 132.0, 300.0), (x + 145.0, 300.0), AIR, 2.0);
        s.blower((x + 60.0, 70.0));
        s.say((x + 120.0, 32.0), Side::Middle, WORDS, &[place]);
        s.say(
            (x + 132.0, 66.0),
            Side::Right,
            WORDS,
            &[&words[0], &words[1]],
        );
        s.dashed(&format!("M{} {inlet}H{}", x + 80.0, x + 142.0));
        s.height(
            x + 84.0,
            (running, inlet),
            Side::Left,
            &[&said(file, "submergence")],
        );
        s.say(
            (x + 60.0, 108.0),
            Side::Middle,
            WORDS,
            &[&said(file, "mass_flow")],
        );
    }
    s.say((120.0, 362.0), Side::Middle, WORDS, &["small bubbles"]);
    s.say((360.0, 362.0), Side::Middle, WORDS, &["same mass, larger"]);
    s.done()
}

/// A header with its branches, orifices, blowers and intake filter.
fn twelve_lifts() -> String {
    let mut s = Sketch::new("Twelve lifts on one header with one blower", 360.0);
    s.path("M34 130H470", AIR, 4.0);
    s.path("M34 70V130M80 70V130M34 54V40M80 54V40M34 40H80", AIR, 3.0);
    s.blower((34.0, 76.0));
    s.blower((80.0, 76.0));
    s.fill("M42 22H72V42H42z", GROUND);
    s.path(
        "M42 22H72V42H42zM48 22V42M54 22V42M60 22V42M66 22V42",
        AIR,
        1.6,
    );
    s.name((120.0, 30.0), Side::Right, &["intake filter"], (73.0, 32.0));
    s.name(
        (120.0, 62.0),
        Side::Right,
        &["blower, and one standing by"],
        (96.0, 74.0),
    );
    s.name(
        (180.0, 104.0),
        Side::Right,
        &["header: one pressure for all"],
        (164.0, 130.0),
    );
    for n in 0_u32..12 {
        let x = 124.0 + 29.0 * f64::from(n);
        let (floor, inlet) = if n < 8 {
            (312.0, 300.0)
        } else {
            (286.0, 274.0)
        };
        s.path(&format!("M{x} 130V{inlet}"), AIR, 2.0);
        s.path(
            &format!("M{} 154H{}M{} 154H{}", x - 6.0, x - 1.5, x + 1.5, x + 6.0),
            INK,
            3.0,
        );
        s.area((x - 10.0, 214.0), (21.0, floor - 214.0), WATER);
        s.path(
            &format!("M{} 204V{floor}H{}V204", x - 10.0, x + 11.0),
            INK,
            2.0,
        );
        s.riser(
            (x + 1.0, 7.0),
            (200.0, inlet, inlet + 5.0),
            u64::from(40 + n),
        );
        s.path(&format!("M{x} 206V{inlet}"), AIR, 1.6);
    }
    s.name(
        (58.0, 190.0),
        Side::Middle,
        &["an orifice in", "each branch"],
        (118.0, 156.0),
    );
    s.arrow((18.0, 130.0), (4.0, 130.0), AIR, 2.0);
    s.say((8.0, 150.0), Side::Right, WORDS, &["bleed"]);
    s.path("M18 130H34", AIR, 2.6);
    s.say((222.0, 338.0), Side::Middle, WORDS, &["eight tanks"]);
    s.say((400.0, 338.0), Side::Middle, WORDS, &["four filters"]);
    s.done()
}

/// Tanks of unlike depth on one header.
fn six_tanks() -> String {
    let file = include_str!("../src/case-six-tanks.in/tanks.toml");
    let mut s = Sketch::new("Six unlike tanks on one header with one blower", 392.0);
    s.path("M30 56H430", AIR, 4.0);
    s.blower((446.0, 56.0));
    s.say((440.0, 28.0), Side::Middle, WORDS, &["blower"]);
    s.say(
        (240.0, 42.0),
        Side::Middle,
        WORDS,
        &["one header, one pressure"],
    );
    let duties = file.split("\n[[duty]]\n").skip(1);
    for (n, duty) in duties.enumerate() {
        let x = 42.0 + 79.0 * f64::from(u32::try_from(n).unwrap_or(0));
        let metres = |key: &str| {
            let said = said(duty, key);
            said.split(' ')
                .next()
                .and_then(|number| number.parse().ok())
                .unwrap_or(0.0)
        };
        let scale = 105.0;
        let (deep, lift): (f64, f64) = (metres("max_submergence"), metres("lift"));
        let level = 140.0;
        let (inlet, outlet) = (level + scale * deep, level - scale * lift);
        let floor = inlet + 14.0;
        s.area((x - 30.0, level), (62.0, floor - level), WATER);
        s.path(
            &format!(
                "M{} {}V{floor}H{}V{}",
                x - 30.0,
                level - 10.0,
                x + 32.0,
                level - 10.0
            ),
            INK,
            2.5,
        );
        s.riser(
            (x, 13.0),
            (outlet, inlet, inlet + 6.0),
            60 + u64::try_from(n).unwrap_or(0),
        );
        s.path(&format!("M{0} 56V{inlet}H{1}", x - 12.0, x - 1.0), AIR, 2.0);
        s.path(&format!("M{} 78l10 10m-10 0l10 -10", x - 17.0), AIR, 1.6);
        s.say(
            (x + 2.0, floor + 15.0),
            Side::Middle,
            12.0,
            &[&said(duty, "name")],
        );
        s.say(
            (x + 2.0, floor + 30.0),
            Side::Middle,
            12.0,
            &[&said(duty, "max_submergence")],
        );
    }
    s.say((40.0, 88.0), Side::Right, WORDS, &["valve"]);
    s.done()
}

/// A shaft well, its depths to scale.
fn tall_lift() -> String {
    let file = include_str!("../src/case-tall-lift.in/tower.toml");
    let mut s = Sketch::new("An airlift in a shaft well, its heights to scale", 560.0);
    let (ground, level, inlet, end) = (90.0, 246.0, 480.0, 496.0);
    s.area((186.0, level), (108.0, 524.0 - level), WATER);
    s.path("M20 90H186V524H294V116", INK, 3.5);
    s.level((186.0, 294.0), level, 276.0);
    s.riser((232.0, 24.0), (ground, inlet, end), 17);
    s.fill("M256 90C270 86 274 94 276 98H462V112H262V104z", WATER);
    s.path("M262 102V114H464", INK, 2.5);
    s.arrow((384.0, 105.0), (450.0, 105.0), INK, 1.8);
    s.say((456.0, 78.0), Side::Left, WORDS, &["to the tanks"]);
    s.path("M86 62H210V480H230", AIR, 3.0);
    s.arrow((220.0, 480.0), (233.0, 480.0), AIR, 2.2);
    s.blower((70.0, 62.0));
    s.say((70.0, 34.0), Side::Middle, WORDS, &["compressor"]);
    s.dashed("M116 246H184");
    s.dashed("M116 480H230");
    s.height(
        124.0,
        (ground, level),
        Side::Left,
        &["lift", &said(file, "lift")],
    );
    s.height(
        124.0,
        (level, inlet),
        Side::Left,
        &["submergence", &said(file, "submergence")],
    );
    s.say(
        (308.0, 240.0),
        Side::Right,
        WORDS,
        &["level while", "pumping"],
    );
    s.name(
        (316.0, 330.0),
        Side::Right,
        &[&said(file, "pipe").replace("ASTM D1785 Sch 40 ", "pipe of ")],
        (256.0, 326.0),
    );
    s.name((316.0, 484.0), Side::Right, &["air inlet"], (233.0, 480.0));
    s.say(
        (240.0, 548.0),
        Side::Middle,
        SMALL,
        &["heights to scale, widths not"],
    );
    s.done()
}

/// The old riser, and what may be changed.
fn retrofit() -> String {
    let file = include_str!("../src/case-retrofit-fails.in/retrofit.toml");
    let mut s = Sketch::new("An old riser in its tank, and what may be changed", 400.0);
    let (outlet, level, inlet, floor) = (112.0, 168.0, 294.0, 366.0);
    s.area((110.0, level), (250.0, floor - level), WATER);
    s.tank((110.0, 360.0), (150.0, floor));
    s.level((110.0, 360.0), level, 344.0);
    s.riser((180.0, 24.0), (outlet, inlet, inlet), 23);
    s.fill("M204 112C218 108 224 116 226 124H420V134H212V126z", WATER);
    s.path("M212 120V137H424", INK, 2.5);
    s.arrow((366.0, 129.0), (412.0, 129.0), INK, 1.8);
    s.path("M76 54H150V294H178", AIR, 3.0);
    s.arrow((168.0, 294.0), (181.0, 294.0), AIR, 2.2);
    s.blower((60.0, 54.0));
    s.say(
        (160.0, 46.0),
        Side::Right,
        WORDS,
        &[&format!(
            "blower: {}, holds {}",
            said(file, "flow"),
            said(file, "max_air_pressure")
        )],
    );
    s.dashed("M180 298V336H204V298");
    s.dashed("M270 112V336H294V112z");
    s.dashed("M206 150H266");
    s.name(
        (374.0, 206.0),
        Side::Right,
        &["a second", "riser?"],
        (294.0, 216.0),
    );
    s.name((374.0, 330.0), Side::Right, &["deeper?"], (204.0, 328.0));
    s.name((374.0, 262.0), Side::Right, &["wider?"], (204.0, 262.0));
    s.name((374.0, 100.0), Side::Right, &["lower?"], (226.0, 118.0));
    for (y, from) in [(outlet, 178.0), (level, 108.0), (inlet, 178.0)] {
        s.dashed(&format!("M84 {y}H{from}"));
    }
    s.height(
        92.0,
        (outlet, level),
        Side::Left,
        &["lift", &said(file, "lift")],
    );
    s.height(
        92.0,
        (level, inlet),
        Side::Left,
        &["depth", &said(file, "submergence")],
    );
    s.say(
        (235.0, 388.0),
        Side::Middle,
        SMALL,
        &["heights to scale, widths not"],
    );
    s.done()
}

/// The round of the water through a room.
fn whole_room() -> String {
    let file = include_str!("../src/case-whole-room.in/room.toml");
    let mut s = Sketch::new("The water of a room on its way round", 380.0);
    let level = 214.0;
    for (left, width) in [(20.0, 150.0), (196.0, 80.0), (302.0, 70.0)] {
        s.area((left, level), (width, 96.0), WATER);
        s.tank((left, left + width), (200.0, 310.0));
    }
    for x in [170.0, 276.0] {
        s.fill(&format!("M{x} 286H{}V302H{x}z", x + 26.0), WATER);
        s.path(
            &format!("M{x} 286H{}M{x} 302H{}", x + 26.0, x + 26.0),
            INK,
            2.0,
        );
        s.put(format_args!(
            r#"<rect x="{}" y="287" width="5" height="14" fill="{WATER}"/>"#,
            x - 2.5
        ));
        s.put(format_args!(
            r#"<rect x="{}" y="287" width="5" height="14" fill="{WATER}"/>"#,
            x + 23.5
        ));
        s.arrow((x + 1.0, 294.0), (x + 24.0, 294.0), INK, 1.8);
    }
    s.put(format_args!(
        r#"<path d="M206 240h60v50h-60z" fill="none" stroke="{INK}" stroke-dasharray="2 5" stroke-width="6"/>"#
    ));
    s.riser((322.0, 18.0), (178.0, 292.0, 300.0), 31);
    s.fill("M340 178C352 174 356 180 358 188H374V196H346V190z", WATER);
    s.area((374.0, 176.0), (84.0, 70.0), WATER);
    s.path("M374 206V246H458V160M374 160V178M342 196H374", INK, 3.0);
    s.path("M396 236V232M416 236V232M436 236V232", AIR, 3.0);
    for (x, y) in [
        (396.0, 220.0),
        (401.0, 204.0),
        (416.0, 214.0),
        (412.0, 196.0),
        (436.0, 222.0),
        (440.0, 202.0),
    ] {
        s.put(format_args!(
            r#"<circle cx="{x}" cy="{y}" r="3.5" fill="{GROUND}" stroke="{AIR}" stroke-width="1"/>"#
        ));
    }
    // Back to the tank, below all.
    s.fill("M420 244V346H50V308H60V336H410V244z", WATER);
    s.path("M420 248V346H50V312M410 248V336H60V312", INK, 2.0);
    for (x, y, width) in [(411.0, 243.0, 8.0), (51.0, 307.0, 8.0)] {
        s.area((x, y), (width, 6.0), WATER);
    }
    s.arrow((290.0, 341.0), (190.0, 341.0), INK, 1.8);
    s.arrow((55.0, 330.0), (55.0, 288.0), INK, 1.8);
    s.path("M76 50H312V292H320", AIR, 3.0);
    s.blower((60.0, 50.0));
    s.say((60.0, 88.0), Side::Middle, WORDS, &["blower"]);
    s.name((326.0, 70.0), Side::Right, &["air"], (312.0, 84.0));
    s.say(
        (95.0, 260.0),
        Side::Middle,
        WORDS,
        &["animals", &said(file, "biomass")],
    );
    s.say((95.0, 190.0), Side::Middle, WORDS, &["tank"]);
    s.say((236.0, 190.0), Side::Middle, WORDS, &["biofilter"]);
    s.name((352.0, 150.0), Side::Right, &["lifts"], (331.0, 178.0));
    s.say((416.0, 110.0), Side::Middle, WORDS, &["aeration", "basin"]);
    s.say((240.0, 364.0), Side::Middle, SMALL, &["not to scale"]);
    s.done()
}

/// Four tanks on one filter, from above.
fn nursery() -> String {
    let file = include_str!("../src/case-nursery.in/august.toml");
    let mut s = Sketch::new(
        "A nursery from above: four tanks, one filter, twelve lifts",
        340.0,
    );
    s.fill("M30 40H456V300H404V58H30z", WATER);
    s.path("M404 58H30V40H456V300H404V58", INK, 2.5);
    s.arrow((420.0, 49.0), (330.0, 49.0), INK, 1.8);
    s.say((240.0, 54.0), Side::Middle, SMALL, &["back to the tanks"]);
    let tanks = file.split("[[rearing_tank]]").skip(1);
    for (n, tank) in tanks.enumerate() {
        let x = 72.0 + 92.0 * f64::from(u32::try_from(n).unwrap_or(0));
        s.arrow((x, 60.0), (x, 84.0), INK, 1.8);
        s.put(format_args!(
            r#"<circle cx="{x}" cy="126" r="38" fill="{WATER}" stroke="{INK}" stroke-width="3"/>"#
        ));
        s.say(
            (x, 122.0),
            Side::Middle,
            WORDS,
            &[&said(tank, "name"), &said(tank, "biomass")],
        );
        s.arrow((x, 166.0), (x, 190.0), INK, 1.8);
    }
    s.fill("M30 192H388V208H30z", WATER);
    s.path("M30 192H388V208H30z", INK, 2.5);
    s.arrow((209.0, 208.0), (209.0, 232.0), INK, 1.8);
    s.area((110.0, 234.0), (200.0, 66.0), WATER);
    s.path("M110 234H310V300H110z", INK, 3.0);
    s.say(
        (210.0, 262.0),
        Side::Middle,
        WORDS,
        &["biofilter", &said(file, "area").replace("m2", "m²")],
    );
    s.path("M310 267H402", INK, 2.0);
    s.arrow((330.0, 267.0), (396.0, 267.0), INK, 2.0);
    for n in 0..12 {
        let (x, y) = (
            418.0 + 24.0 * f64::from(n % 2),
            96.0 + 36.0 * f64::from(n / 2),
        );
        s.put(format_args!(
            r#"<circle cx="{x}" cy="{y}" r="7" fill="{GROUND}" stroke="{INK}" stroke-width="2.5"/>"#
        ));
    }
    s.arrow((430.0, 84.0), (430.0, 52.0), INK, 1.8);
    s.say((398.0, 326.0), Side::Middle, WORDS, &["twelve lifts"]);
    s.done()
}
