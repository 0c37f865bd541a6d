//! Air in an upright pipe: of each pattern's own shapes, as much of the picture as of the pipe.

use std::f64::consts::{FRAC_PI_4, PI};

use svg::node::element::{Circle, Group, Path, Polygon};

use super::Ink;
use super::area::Point;
use super::draw::GROUND;
use super::shape::{color, path, round};
use crate::regime::FlowPattern;

/// Both walls of the pipe.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tube {
    pub left: f64,
    pub width: f64,
}

impl Tube {
    pub(super) fn right(&self) -> f64 {
        self.left + self.width
    }

    fn middle(&self) -> f64 {
        self.left + 0.5 * self.width
    }
}

/// Void fraction, pattern, and how much larger than at the foot bubbles are.
pub(super) type AirAt = (f64, FlowPattern, f64);

/// Where air is to be drawn: from the foot up to the mouth.
pub(super) struct Bubbles {
    pub tube: Tube,
    pub foot: f64,
    pub mouth: f64,
}

/// Width of a long bubble, and of the water between two of them, over the pipe's.
const LONG: f64 = 0.8;
const BRIDGE: f64 = 0.9;
/// The same in a froth, whose shapes fill so much of their rectangle.
const FROTH: f64 = 0.94;
const FROTH_BRIDGE: f64 = 0.35;
/// Radius of a bubble over the pipe's width.
const BUBBLE: f64 = 0.062;
/// Least and most of it, in units of the picture.
const RADIUS: (f64, f64) = (1.7, 5.0);
/// Void below which there is nothing to see.
const NONE: f64 = 0.002;

impl Bubbles {
    /// The air, by what there is of it at a height.
    pub(super) fn drawn(&self, at: &impl Fn(f64) -> AirAt) -> Group {
        let mut group = Group::new()
            .set("fill", GROUND)
            .set("stroke", color(Ink::Blue))
            .set("stroke-width", 0.9);
        let (mut y, mut count) = (self.foot, 0);
        let mut core: Vec<(f64, f64)> = Vec::new();
        while y - self.mouth > 2.0 {
            let (void, pattern, growth) = at(y);
            if pattern != FlowPattern::Annular {
                group = self.closed(group, &mut core);
            }
            let room = y - self.mouth;
            // What is left is too little for a shape of its own.
            let large = matches!(pattern, FlowPattern::Slug | FlowPattern::Churn);
            if large && count > 0 && room < 0.45 * self.tube.width {
                break;
            }
            let step = if void < NONE {
                4.0
            } else {
                match pattern {
                    FlowPattern::SinglePhase => 4.0,
                    FlowPattern::Bubbly => {
                        let (row, step) = self.row(y, void, growth, count);
                        for (place, radius) in row {
                            group = group.add(bubble(place, radius));
                        }
                        step
                    }
                    FlowPattern::Slug => {
                        let (shape, step) = self.long(y, void, room);
                        group = group.add(shape);
                        step
                    }
                    FlowPattern::Churn => {
                        let (shape, step) = self.froth(y, void, room, count);
                        group = group.add(shape);
                        step
                    }
                    FlowPattern::Annular => {
                        core.push((y, void));
                        5.0
                    }
                }
            };
            y -= step.max(0.5);
            count += 1;
        }
        self.closed(group, &mut core)
    }

    /// One row of bubbles, and the height that it stands for.
    fn row(&self, y: f64, void: f64, growth: f64, count: u32) -> (Vec<(Point, f64)>, f64) {
        let wide = self.tube.width;
        let radius = (BUBBLE * wide * growth).clamp(RADIUS.0, RADIUS.1);
        let area = PI * radius * radius;
        let most = (wide / (2.2 * radius)).floor().max(1.0);
        // So many that rows do not overlap.
        let least = (2.1 * radius * void * wide / area).ceil();
        let number = (wide / (area / void).sqrt())
            .round()
            .max(least)
            .clamp(1.0, most);
        let step = number * area / (void * wide);
        let cell = wide / number;
        let (side, up) = (
            (0.5 * cell - 1.15 * radius).max(0.0),
            (0.5 * step - radius).max(0.0),
        );
        let mut row = Vec::new();
        let mut n = 0.0;
        while n < number {
            let seed = f64::from(count) * 17.0 + n;
            // Sizes differ, and their squares on the average do not.
            let own = radius * (0.7 + 0.6 * scatter(seed, 0.569_840_3)).sqrt();
            let x =
                self.tube.left + cell * (n + 0.5) + side * (2.0 * scatter(seed, 0.754_877_7) - 1.0);
            let at = (y - 0.5 * step + up * (2.0 * scatter(seed, 0.618_034) - 1.0))
                .max(self.mouth + own);
            row.push(((x, at), own));
            n += 1.0;
        }
        (row, step)
    }

    /// One long bubble, round above and blunt below, and the height that it stands for.
    fn long(&self, y: f64, void: f64, room: f64) -> (Path, f64) {
        let wide = self.tube.width;
        let (body, bridge) = (LONG * wide, BRIDGE * wide);
        let cap = 0.5 * body;
        // body (long − cap) + body cap π/4 = void wide (long + bridge)
        let carried = void * wide;
        let missing = body * cap * (1.0 - FRAC_PI_4);
        let long = if carried < 0.95 * body {
            (carried * bridge + missing) / (body - carried)
        } else {
            20.0 * wide
        };
        let long = long.clamp(0.75 * body, 4.0 * wide);
        let step = ((body * long - missing) / carried).max(long + 2.0);
        let squeeze = (room / step).min(1.0);
        let (long, cap, step) = (squeeze * long, squeeze.max(0.4) * cap, squeeze * step);
        let cap = cap.min(long);
        let low = y - 0.5 * (step - long);
        let (left, right) = (
            self.tube.middle() - 0.5 * body,
            self.tube.middle() + 0.5 * body,
        );
        let shoulder = low - long + cap;
        let d = format!(
            "M{l},{b} V{s} A{rx},{ry} 0 0 1 {r},{s} V{b} Q{m},{u} {l},{b} Z",
            l = round(left),
            r = round(right),
            b = round(low),
            s = round(shoulder),
            rx = round(0.5 * body),
            ry = round(cap),
            m = round(self.tube.middle()),
            u = round(low - 3.0),
        );
        (Path::new().set("d", d), step)
    }

    /// One torn shape of a froth, and the height that it stands for.
    fn froth(&self, y: f64, void: f64, room: f64, count: u32) -> (Polygon, f64) {
        const POINTS: u32 = 8;
        let wide = self.tube.width;
        let (body, bridge) = (FROTH * wide, FROTH_BRIDGE * wide);
        let reach = |n: u32, side: f64| {
            // How far the edge reaches from the middle, as a share of half the body.
            let seed = f64::from(count * 31 + n) + side;
            let end = if n == 0 || n == POINTS { 0.35 } else { 0.78 };
            end + (0.98 - end) * scatter(seed, 0.618_034)
        };
        let half = 0.5 * body;
        let edge =
            |side: f64| -> Vec<f64> { (0..=POINTS).map(|n| half * reach(n, side)).collect() };
        let (left, right) = (edge(0.0), edge(0.37));
        let mean = |edge: &[f64]| -> f64 {
            let inner: f64 = edge.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).sum();
            inner / f64::from(POINTS)
        };
        let breadth = mean(&left) + mean(&right);
        let carried = void * wide;
        let long = if carried < 0.95 * breadth {
            carried * bridge / (breadth - carried)
        } else {
            4.0 * wide
        };
        let long = long.clamp(0.5 * wide, 2.2 * wide);
        let step = (breadth * long / carried).max(long + 1.5);
        let squeeze = (room / step).min(1.0);
        let (long, step) = (squeeze * long, squeeze * step);
        let low = y - 0.5 * (step - long);
        let at = |n: u32| low - long * f64::from(n) / f64::from(POINTS);
        let middle = self.tube.middle();
        let up = (0..=POINTS)
            .zip(&left)
            .map(|(n, reach)| (middle - reach, at(n)));
        let down = (0..=POINTS)
            .zip(&right)
            .map(|(n, reach)| (middle + reach, at(n)));
        let down: Vec<Point> = down.collect();
        let corners: Vec<Point> = up.chain(down.into_iter().rev()).collect();
        let shape = Polygon::new()
            .set("points", path(&corners))
            .set("stroke-linejoin", "round");
        (shape, step)
    }

    /// The core of gas through what was gathered, in a rippled film.
    fn closed(&self, group: Group, core: &mut Vec<(f64, f64)>) -> Group {
        let Some(&(last, void)) = core.last() else {
            return group;
        };
        core.push(((last - 5.0).max(self.mouth), void));
        let half = |y: f64, void: f64| {
            let film = 0.5 * self.tube.width * (1.0 - void);
            0.5 * self.tube.width * void + 0.5 * film * (0.35 * y).sin()
        };
        let middle = self.tube.middle();
        let up = core.iter().map(|&(y, void)| (middle - half(y, void), y));
        let down = core
            .iter()
            .rev()
            .map(|&(y, void)| (middle + half(y + 4.0, void), y));
        let corners: Vec<Point> = up.chain(down).collect();
        core.clear();
        group.add(Polygon::new().set("points", path(&corners)))
    }
}

fn bubble((x, y): Point, radius: f64) -> Circle {
    Circle::new()
        .set("cx", round(x))
        .set("cy", round(y))
        .set("r", round(radius))
}

/// A number from 0 to 1, spread evenly over the seeds: the same picture each time.
fn scatter(seed: f64, step: f64) -> f64 {
    (0.5 + seed * step).fract()
}
