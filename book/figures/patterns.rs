//! Four pipes with the flow patterns that a window shows: a line drawing, no result of the library.

use std::fmt::Write;

use super::Picture;

/// Inside of a pipe, in units of the drawing.
const BORE: f64 = 90.0;
const TOP: f64 = 44.0;
const FOOT: f64 = 384.0;
/// Colours of water, air and lines.
const WATER: &str = "#cfe3f2";
const AIR: &str = "#ffffff";
const INK: &str = "#1f3a4d";

/// Name, what is seen, and what draws it from its left edge.
type Part = (&'static str, &'static str, fn(&mut String, f64));

/// A seeded sequence in 0 to 1, so that the drawing is the same each time (the multiplier is
/// Knuth's MMIX).
pub(super) struct Seeded(u64);

impl Seeded {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn draw(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 33).unwrap_or(0)) / f64::from(1_u32 << 31)
    }

    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.draw()
    }
}

/// The four beside each other, and two over two for a telephone.
pub(super) fn drawing() -> Picture {
    let [left, right] = [0.0, 200.0];
    let wide = [left, right, 400.0, 600.0].map(|x| [x, 0.0]);
    let narrow = [[left, 0.0], [right, 0.0], [left, 450.0], [right, 450.0]];
    Picture {
        wide: drawn([800.0, 450.0], wide),
        narrow: Some(drawn([400.0, 900.0], narrow)),
    }
}

/// The drawing, each part in a box of 200 by 450 from its upper left corner.
fn drawn([width, height]: [f64; 2], corners: [[f64; 2]; 4]) -> String {
    let mut out = String::new();
    put(
        &mut out,
        format_args!(
            concat!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0} {1}" role="img" "#,
                r#"font-family="system-ui, sans-serif"><title>Flow patterns in an upright pipe</title>"#,
                r##"<rect width="{0}" height="{1}" fill="#ffffff"/>"##,
            ),
            width, height
        ),
    );
    let parts: [Part; 4] = [
        ("bubbly", "small separate bubbles", bubbly),
        ("slug", "long bubbles, water between", slug),
        ("churn", "ragged masses of air", churn),
        ("annular", "core of air, film of water", annular),
    ];
    let left = (200.0 - BORE) / 2.0;
    for ([x, y], (name, what, inside)) in corners.into_iter().zip(parts) {
        let middle = left + BORE / 2.0;
        put(
            &mut out,
            format_args!(r#"<g transform="translate({x} {y})">"#),
        );
        put(
            &mut out,
            format_args!(
                r#"<rect x="{left}" y="{TOP}" width="{BORE}" height="{}" fill="{WATER}"/>"#,
                FOOT - TOP
            ),
        );
        inside(&mut out, left);
        for wall in [left, left + BORE] {
            put(
                &mut out,
                format_args!(r#"<path d="M{wall} {TOP}V{FOOT}" stroke="{INK}" stroke-width="4"/>"#),
            );
        }
        put(
            &mut out,
            format_args!(
                concat!(
                    r#"<path d="M{0} 34V14m-6 8l6-8l6 8" fill="none" stroke="{3}" stroke-width="2"/>"#,
                    r#"<text x="{0}" y="412" text-anchor="middle" font-size="20" fill="{3}">{1}</text>"#,
                    r##"<text x="{0}" y="434" text-anchor="middle" font-size="13" fill="#444444">{2}</text>"##,
                ),
                middle, name, what, INK
            ),
        );
        out.push_str("</g>");
    }
    out.push_str("</svg>\n");
    out
}

/// Writing to a `String` cannot fail.
fn put(out: &mut String, text: std::fmt::Arguments) {
    let _ = out.write_fmt(text);
}

fn ellipse(out: &mut String, (x, y): (f64, f64), (rx, ry): (f64, f64)) {
    put(
        out,
        format_args!(
            r#"<ellipse cx="{x:.1}" cy="{y:.1}" rx="{rx:.1}" ry="{ry:.1}" fill="{AIR}" stroke="{INK}"/>"#
        ),
    );
}

/// Bubbles that keep clear of each other, between two heights.
fn bubbles(
    out: &mut String,
    seed: &mut Seeded,
    left: f64,
    heights: (f64, f64),
    size: (f64, f64),
    wanted: usize,
) {
    let mut placed: Vec<(f64, f64, f64)> = Vec::new();
    for _ in 0..40 * wanted {
        let radius = seed.between(size.0, size.1);
        let x = seed.between(left + radius + 4.0, left + BORE - radius - 4.0);
        let y = seed.between(heights.0 + radius + 2.0, heights.1 - radius - 2.0);
        let clear = placed
            .iter()
            .all(|(a, b, r)| (a - x).hypot(b - y) > r + radius + 2.0);
        if clear && placed.len() < wanted {
            ellipse(out, (x, y), (radius, 0.8 * radius));
            placed.push((x, y, radius));
        }
    }
}

fn bubbly(out: &mut String, left: f64) {
    bubbles(out, &mut Seeded(1), left, (TOP, FOOT), (3.0, 6.5), 75);
}

fn slug(out: &mut String, left: f64) {
    let mut seed = Seeded(2);
    let (l, r) = (left + 8.0, left + BORE - 8.0);
    for (nose, tail) in [(60.0, 165.0), (240.0, 340.0)] {
        let shoulder = nose + 42.0;
        put(
            out,
            format_args!(
                concat!(
                    r#"<path d="M{l} {tail}V{shoulder}C{l} {nose} {r} {nose} {r} {shoulder}V{tail}"#,
                    r#"q-18 -9 -37 0t-37 0z" fill="{a}" stroke="{i}" stroke-width="1.5"/>"#,
                ),
                l = l,
                r = r,
                nose = nose - 12.0,
                shoulder = shoulder,
                tail = tail,
                a = AIR,
                i = INK
            ),
        );
        let end = if nose < 100.0 { 222.0 } else { FOOT };
        bubbles(out, &mut seed, left, (tail + 2.0, end), (2.0, 4.5), 26);
    }
}

/// A closed ragged outline about a point.
fn ragged(out: &mut String, seed: &mut Seeded, (x, y): (f64, f64), (rx, ry): (f64, f64)) {
    put(out, format_args!(r#"<path d=""#));
    for n in 0..18 {
        let angle = std::f64::consts::TAU * f64::from(n) / 18.0;
        let reach = seed.between(0.62, 1.0);
        let letter = if n == 0 { 'M' } else { 'L' };
        put(
            out,
            format_args!(
                "{letter}{:.1} {:.1}",
                x + rx * reach * angle.cos(),
                y + ry * reach * angle.sin()
            ),
        );
    }
    put(
        out,
        format_args!(
            r#"z" fill="{AIR}" stroke="{INK}" stroke-width="1.5" stroke-linejoin="round"/>"#
        ),
    );
}

fn churn(out: &mut String, left: f64) {
    let mut seed = Seeded(5);
    let middle = left + BORE / 2.0;
    for (aside, y, rx, ry) in [
        (-5.0, 88.0, 36.0, 40.0),
        (8.0, 168.0, 34.0, 38.0),
        (-8.0, 250.0, 34.0, 42.0),
        (4.0, 334.0, 38.0, 38.0),
    ] {
        ragged(out, &mut seed, (middle + aside, y), (rx, ry));
    }
    for y in [126.0, 205.0, 290.0] {
        bubbles(out, &mut seed, left, (y - 9.0, y + 13.0), (2.0, 4.0), 8);
    }
}

fn annular(out: &mut String, left: f64) {
    let mut seed = Seeded(7);
    let mut side = |x: f64, from: f64, to: f64| {
        let mut text = String::new();
        let steps = 17;
        for n in 0..=steps {
            let y = from + (to - from) * f64::from(n) / f64::from(steps);
            let wave = seed.between(-3.0, 3.0);
            put(&mut text, format_args!("L{:.1} {y:.1}", x + wave));
        }
        text
    };
    let (l, r) = (
        side(left + 14.0, TOP, FOOT),
        side(left + BORE - 14.0, FOOT, TOP),
    );
    put(
        out,
        format_args!(
            r#"<path d="M{}{}z" fill="{AIR}" stroke="{INK}" stroke-width="1.5" stroke-linejoin="round"/>"#,
            l.trim_start_matches('L'),
            r
        ),
    );
    for _ in 0..40 {
        let x = seed.between(left + 24.0, left + BORE - 24.0);
        let y = seed.between(TOP + 6.0, FOOT - 6.0);
        let radius = seed.between(1.2, 2.6);
        put(
            out,
            format_args!(
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="{radius:.1}" fill="{WATER}" stroke="{INK}" stroke-width="0.8"/>"#
            ),
        );
    }
}
