//! Where names stand: each is tried at many places and takes the one that covers least.

use super::area::{Area, Point};

/// A name's place, and the thread that ties it to a mark far away.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Place {
    pub area: Area,
    /// Which end of the text lies fast: -1 its right one, 0 its middle, 1 its left one.
    pub side: f64,
    pub thread: Option<[Point; 2]>,
}

/// A name that wants a place beside a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wish {
    pub mark: Point,
    pub width: f64,
    pub height: f64,
}

/// What names should not cover.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    pub frame: Area,
    /// Lines of the chart.
    pub lines: Vec<Vec<Point>>,
    /// Lines that may be covered at a small price.
    pub edges: Vec<Vec<Point>>,
    /// Middles of the marks.
    pub marks: Vec<Point>,
    /// Names that have their place.
    pub places: Vec<Place>,
}

impl Ground {
    /// Half the width of what a mark keeps clear.
    const CLEAR: f64 = 6.0;
    /// How far lines, marks and other names stay above and below a name.
    const BESIDE: f64 = 3.0;

    /// Gives each wish its best place, in two rounds: in the second, each name knows all others.
    pub(super) fn beside(&mut self, wishes: &[Wish]) -> Vec<Place> {
        let others = self.places.len();
        for wish in wishes {
            let place = self.best_beside(*wish);
            self.places.push(place);
        }
        for wish in wishes {
            // The oldest goes and comes back as the newest: after the round the order is the same.
            self.places.remove(others);
            let place = self.best_beside(*wish);
            self.places.push(place);
        }
        self.places[others..].to_vec()
    }

    fn best_beside(
        &self,
        Wish {
            mark,
            width,
            height,
        }: Wish,
    ) -> Place {
        const TOUCHING: f64 = 10.0;
        let middle = Area::around(mark, 0.5 * width, 0.5 * height);
        let mut best = Place {
            area: middle,
            side: 0.0,
            thread: None,
        };
        let mut least = f64::INFINITY;
        for distance in [TOUCHING, 18.0, 28.0, 42.0, 60.0, 84.0, 112.0, 144.0] {
            for (rank, (dx, dy)) in (0_u8..).zip(DIRECTIONS) {
                let tip = (mark.0 + distance * dx, mark.1 + distance * dy);
                let left = tip.0 - width * (0.5 - 0.5 * side(dx));
                let top = tip.1 - height * (0.5 - 0.5 * side(dy));
                let area = Area {
                    left,
                    top,
                    right: left + width,
                    bottom: top + height,
                };
                let thread = (distance > TOUCHING).then(|| thread(mark, area.nearest(mark)));
                let threaded = thread.map_or(0.0, |line| self.thread_price(&line));
                let apart = Area {
                    top: top - Self::BESIDE,
                    bottom: top + height + Self::BESIDE,
                    ..area
                };
                let bother = self.price(&apart) + self.doubt(&area, mark) + threaded;
                let price = bother + distance + 2.0 * f64::from(rank);
                if price < least {
                    least = price;
                    best = Place {
                        area,
                        side: side(dx),
                        thread,
                    };
                }
            }
        }
        best
    }

    /// Takes the best place above or below a line, the right end first.
    pub(super) fn along(&mut self, line: &[Point], width: f64, height: f64) -> Option<Area> {
        const GAP: f64 = 4.0;
        let (first, last) = (
            line.iter().map(|p| p.0).fold(f64::INFINITY, f64::min),
            line.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max),
        );
        let mut best: Option<(f64, Area)> = None;
        for step in 0_u8..=24 {
            let middle = last + (first - last) * f64::from(step) / 24.0;
            let left = (middle - 0.5 * width)
                .min(self.frame.right - width - GAP)
                .max(self.frame.left + GAP);
            let strip = Area {
                left,
                right: left + width,
                top: -1e6,
                bottom: 1e6,
            };
            let ys = || strip.clipped(line).flat_map(|(a, b)| [a.1, b.1]);
            let (high, low) = (
                ys().fold(f64::INFINITY, f64::min),
                ys().fold(f64::NEG_INFINITY, f64::max),
            );
            if high > low {
                continue;
            }
            for (rank, top) in [(0.0, high - GAP - height), (6.0, low + GAP)] {
                let area = Area {
                    left,
                    right: left + width,
                    top,
                    bottom: top + height,
                };
                let price = self.price(&area) + (low - high) + rank + 1.5 * f64::from(step);
                if best.is_none_or(|(least, _)| price < least) {
                    best = Some((price, area));
                }
            }
        }
        let (_, area) = best?;
        let place = Place {
            area,
            side: 0.0,
            thread: None,
        };
        self.places.push(place);
        Some(area)
    }

    fn price(&self, area: &Area) -> f64 {
        let outside = area.size() - area.shared(&self.frame);
        let taken: f64 = self.taken().map(|other| area.shared(&other)).sum();
        let threads = self
            .places
            .iter()
            .filter_map(|p| p.thread.as_ref().map(<[_; 2]>::as_slice));
        let lines = self.lines.iter().map(Vec::as_slice).chain(threads);
        let crossed = |length: f64| {
            if length > 0.0 {
                25.0 + 6.0 * length
            } else {
                0.0
            }
        };
        let lines: f64 = lines.map(|line| crossed(area.length_inside(line))).sum();
        let edges: f64 = self.edges.iter().map(|line| area.length_inside(line)).sum();
        10.0 * outside + 5.0 * taken + lines + 0.2 * edges
    }

    fn taken(&self) -> impl Iterator<Item = Area> + '_ {
        let marks = self
            .marks
            .iter()
            .map(|&mark| Area::around(mark, Self::CLEAR, Self::CLEAR));
        marks.chain(self.places.iter().map(|place| place.area))
    }

    /// The price of standing so near another mark that it seems to be the one named.
    fn doubt(&self, area: &Area, mark: Point) -> f64 {
        let near = |other: &&Point| {
            let (x, y) = area.nearest(**other);
            **other != mark && (x - other.0).hypot(y - other.1) < 18.0
        };
        self.marks
            .iter()
            .filter(near)
            .fold(0.0, |price, _| price + 60.0)
    }

    fn thread_price(&self, thread: &[Point; 2]) -> f64 {
        let others = self.places.iter().filter_map(|place| place.thread);
        let crossing = others.filter(|other| cross(thread, other)).count() as f64;
        let taken: f64 = self.taken().map(|other| other.length_inside(thread)).sum();
        // Less what its own mark takes.
        let taken = (taken - Self::CLEAR).max(0.0);
        8.0 + 20.0 * taken + 60.0 * crossing
    }
}

/// Unit steps from a mark, the best liked first.
const DIRECTIONS: [(f64, f64); 12] = [
    (1.0, 0.0),
    (0.7, 0.7),
    (0.7, -0.7),
    (0.0, -1.0),
    (0.0, 1.0),
    (-1.0, 0.0),
    (-0.7, -0.7),
    (-0.7, 0.7),
    (0.9, 0.4),
    (0.9, -0.4),
    (-0.9, -0.4),
    (-0.9, 0.4),
];

/// Whether two threads cross: the ends of each lie on both sides of the other.
fn cross(one: &[Point; 2], other: &[Point; 2]) -> bool {
    let parted = |[a, b]: &[Point; 2], ends: &[Point; 2]| {
        let [left, right] = ends.map(|p| (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0));
        left * right < 0.0
    };
    parted(one, other) && parted(other, one)
}

/// -1, 0 or 1: which way a name grows from its tip.
fn side(step: f64) -> f64 {
    if step.abs() < 0.5 { 0.0 } else { step.signum() }
}

/// From the mark to the name.
fn thread(mark: Point, to: Point) -> [Point; 2] {
    let length = (to.0 - mark.0).hypot(to.1 - mark.1).max(1e-9);
    let share = (3.0 / length).min(1.0);
    [
        (
            mark.0 + share * (to.0 - mark.0),
            mark.1 + share * (to.1 - mark.1),
        ),
        to,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_near_marks_stand_apart() {
        let frame = Area {
            left: 0.0,
            top: 0.0,
            right: 700.0,
            bottom: 350.0,
        };
        let line = vec![(0.0, 350.0), (300.0, 100.0), (700.0, 100.0)];
        let marks = vec![
            (300.0, 100.0),
            (304.0, 100.0),
            (315.0, 100.0),
            (690.0, 100.0),
        ];
        let wish = |&mark: &Point| Wish {
            mark,
            width: 180.0,
            height: 15.0,
        };
        let wishes: Vec<_> = marks.iter().map(wish).collect();
        let lines = vec![line.clone()];
        let mut ground = Ground {
            frame,
            lines,
            edges: vec![],
            marks,
            places: vec![],
        };
        ground.beside(&wishes);
        assert!(ground.along(&line, 180.0, 15.0).is_some());
        for (i, place) in ground.places.iter().enumerate() {
            assert!(
                place.area.length_inside(&line) == 0.0,
                "{place:?} covers the line"
            );
            assert!(
                place.area.size() - place.area.shared(&frame) < 1e-6,
                "{place:?} sticks out"
            );
            for other in &ground.places[..i] {
                assert!(
                    place.area.shared(&other.area) == 0.0,
                    "{place:?} covers {other:?}"
                );
            }
        }
    }
}
