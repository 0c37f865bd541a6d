//! Points and upright rectangles of a picture.

/// A point of the picture, in its own units, y downwards.
pub(super) type Point = (f64, f64);

/// An upright rectangle of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    pub(super) fn around((x, y): Point, half_width: f64, half_height: f64) -> Self {
        Self {
            left: x - half_width,
            top: y - half_height,
            right: x + half_width,
            bottom: y + half_height,
        }
    }

    pub(super) fn shared(&self, other: &Self) -> f64 {
        let width = self.right.min(other.right) - self.left.max(other.left);
        let height = self.bottom.min(other.bottom) - self.top.max(other.top);
        width.max(0.0) * height.max(0.0)
    }

    pub(super) fn size(&self) -> f64 {
        (self.right - self.left) * (self.bottom - self.top)
    }

    /// The part of a segment that lies inside (Liang and Barsky's clipping).
    pub(super) fn clip(&self, a: Point, b: Point) -> Option<(Point, Point)> {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (p, q) in [
            (-dx, a.0 - self.left),
            (dx, self.right - a.0),
            (-dy, a.1 - self.top),
            (dy, self.bottom - a.1),
        ] {
            if p == 0.0 {
                if q < 0.0 {
                    return None;
                }
            } else if p < 0.0 {
                from = from.max(q / p);
            } else {
                to = to.min(q / p);
            }
        }
        let along = |share: f64| (a.0 + share * dx, a.1 + share * dy);
        (from <= to).then(|| (along(from), along(to)))
    }

    pub(super) fn clipped<'a>(
        &'a self,
        line: &'a [Point],
    ) -> impl Iterator<Item = (Point, Point)> + 'a {
        line.windows(2)
            .filter_map(|ends| self.clip(ends[0], ends[1]))
    }

    /// The part of a polygon that lies inside (Sutherland and Hodgman's clipping).
    pub(super) fn clip_polygon(&self, corners: &[Point]) -> Vec<Point> {
        // How far a point is inside of each edge.
        let edges: [&dyn Fn(Point) -> f64; 4] = [
            &|p| p.0 - self.left,
            &|p| self.right - p.0,
            &|p| p.1 - self.top,
            &|p| self.bottom - p.1,
        ];
        let mut kept = corners.to_vec();
        for inside in edges {
            let mut next = Vec::new();
            for (n, &to) in kept.iter().enumerate() {
                let from = kept[(n + kept.len() - 1) % kept.len()];
                let (a, b) = (inside(from), inside(to));
                if (a < 0.0) != (b < 0.0) {
                    let share = a / (a - b);
                    next.push((
                        from.0 + share * (to.0 - from.0),
                        from.1 + share * (to.1 - from.1),
                    ));
                }
                if b >= 0.0 {
                    next.push(to);
                }
            }
            kept = next;
        }
        kept
    }

    pub(super) fn length_inside(&self, line: &[Point]) -> f64 {
        self.clipped(line)
            .map(|(a, b)| (b.0 - a.0).hypot(b.1 - a.1))
            .sum()
    }

    pub(super) fn nearest(&self, (x, y): Point) -> Point {
        (
            x.clamp(self.left, self.right),
            y.clamp(self.top, self.bottom),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNIT: Area = Area {
        left: 0.0,
        top: 0.0,
        right: 10.0,
        bottom: 10.0,
    };

    /// By hand: a triangle that leaves by the top loses its tip there, and its legs are cut half way.
    #[test]
    fn a_polygon_is_cut_at_the_edge() {
        let cut = UNIT.clip_polygon(&[(2.0, 10.0), (5.0, -10.0), (8.0, 10.0)]);
        assert_eq!(cut, [(2.0, 10.0), (3.5, 0.0), (6.5, 0.0), (8.0, 10.0)]);
        let within = [(1.0, 1.0), (9.0, 1.0), (9.0, 9.0)];
        assert_eq!(UNIT.clip_polygon(&within), within);
        assert!(
            UNIT.clip_polygon(&[(1.0, 11.0), (9.0, 12.0), (9.0, 20.0)])
                .is_empty()
        );
        assert!(UNIT.clip_polygon(&[]).is_empty());
    }
}
