//! The figure of a search: pipes across, depths up, how much each takes, why the others do not.

use svg::node::element::{Description, Group, Rectangle, Title};
use svg::{Document, Node};

use super::draw::{GROUND, RULE, THREAD};
use super::head::Head;
use super::shape::{
    LARGE, MEDIUM, SMALL, TEXT_INK, clean, color, mark, round, segment, text, width,
};
use super::{Frame, Ink, Shape};

/// What a search found at one depth in one pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MapCell {
    /// It meets the duty, and takes so much more than the best of all: 0.1 is a tenth more.
    Meets(f64),
    /// It does not, for one of [`SearchMap::reasons`].
    Fails(usize),
}

/// A whole search in one picture: the pipes across by their bore, the depths up, how much the best number of lifts
/// takes there, and where none meets the duty, why.
///
/// # Examples
/// ```
/// use risewater::chart::{MapCell, SearchMap};
///
/// let map = SearchMap {
///     title: "A made-up search".into(),
///     across: "bore (mm)".into(),
///     up: "depth (m)".into(),
///     measure: "air power".into(),
///     columns: vec!["40".into(), "50".into()],
///     rows: vec!["0.8".into(), "1.0".into()],
///     cells: vec![
///         vec![MapCell::Fails(0), MapCell::Meets(0.2)],
///         vec![MapCell::Meets(0.07), MapCell::Meets(0.0)],
///     ],
///     reasons: vec!["the duty is above the peak".into()],
///     chosen: Some((1, 1)),
///     ..SearchMap::default()
/// };
/// assert_eq!(
///     map.text(),
///     "depth (m)\n\
///      1.0  2 *\n\
///      0.8  a 3\n     \
///           4 5\n     \
///           0 0  bore (mm)\n\
///      * the best; of air power 1 takes up to 5 % more, 2 up to 10 % more, 3 up to 25 % more,\n\
///      4 up to 50 % more, 5 more than that\n\
///      a the duty is above the peak\n"
/// );
/// assert!(map.svg().contains("the duty is above the peak"));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SearchMap {
    /// Headline; also the picture's accessible name.
    pub title: String,
    /// Lines under the headline.
    pub notes: Vec<String>,
    /// What the columns are, with the unit.
    pub across: String,
    /// What the rows are, with the unit.
    pub up: String,
    /// What is compared.
    pub measure: String,
    /// The columns, from the left.
    pub columns: Vec<String>,
    /// The rows, from below.
    pub rows: Vec<String>,
    /// What was found, row by row.
    pub cells: Vec<Vec<MapCell>>,
    /// Why cells fail.
    pub reasons: Vec<String>,
    /// Row and column of the best design.
    pub chosen: Option<(usize, usize)>,
}

/// Steps of what a cell takes over the best: up to so much more, with the opacity of its colour.
const STEPS: [(f64, f64); 5] = [
    (0.05, 1.0),
    (0.10, 0.72),
    (0.25, 0.48),
    (0.50, 0.28),
    (f64::INFINITY, 0.12),
];

fn step(excess: f64) -> usize {
    let within = |(most, _): &(f64, f64)| excess <= *most;
    STEPS.iter().position(within).unwrap_or(STEPS.len() - 1)
}

/// What a step means.
fn words(step: usize) -> String {
    let (most, _) = STEPS[step];
    if most.is_finite() {
        format!("up to {:.0} % more", 100.0 * most)
    } else {
        "more than that".to_owned()
    }
}

/// The letter of a reason.
fn letter(reason: usize) -> char {
    char::from(b"abcdefghijklmnopqrstuvwxyz"[reason % 26])
}

impl SearchMap {
    /// The map in signs, at most 92 wide: `*` the best, digits for what the others take, letters for why not.
    #[must_use]
    pub fn text(&self) -> String {
        /// Columns side by side.
        const SIDE_BY_SIDE: usize = 38;
        let label = self.rows.iter().map(String::len).max().unwrap_or(0);
        let places: Vec<usize> = (0..self.columns.len()).collect();
        let mut text = format!("{}\n", self.up);
        for block in places.chunks(SIDE_BY_SIDE) {
            for (row, name) in self.rows.iter().enumerate().rev() {
                let signs = block.iter().map(|column| self.sign(row, *column));
                text += format!("{name:>label$} {}", spaced(signs)).trim_end();
                text.push('\n');
            }
            let tall = block.iter().map(|c| self.columns[*c].len()).max();
            let tall = tall.unwrap_or(0);
            for line in 0..tall {
                let signs = block.iter().map(|column| {
                    let name = format!("{:>tall$}", self.columns[*column]);
                    name.chars().nth(line).unwrap_or(' ')
                });
                let axis = if line + 1 == tall {
                    format!("  {}", self.across)
                } else {
                    String::new()
                };
                text += format!("{:label$} {}{axis}", "", spaced(signs)).trim_end();
                text.push('\n');
            }
        }
        if self
            .cells
            .iter()
            .flatten()
            .any(|cell| matches!(cell, MapCell::Meets(_)))
        {
            text += &format!(
                "* the best; of {} 1 takes {}, 2 {}, 3 {},\n4 {}, 5 {}\n",
                self.measure,
                words(0),
                words(1),
                words(2),
                words(3),
                words(4)
            );
        }
        for (n, reason) in self.reasons.iter().enumerate() {
            text += &format!("{} {reason}\n", letter(n));
        }
        text
    }

    fn sign(&self, row: usize, column: usize) -> char {
        if self.chosen == Some((row, column)) {
            return '*';
        }
        match self.cells[row][column] {
            MapCell::Meets(excess) => char::from(b"12345"[step(excess)]),
            MapCell::Fails(reason) => letter(reason),
        }
    }

    /// The picture as an SVG document, nominally 800 wide.
    #[must_use]
    pub fn svg(&self) -> String {
        self.draw(800.0, 400.0).0
    }

    /// The same for a narrow screen: nominally 380 wide.
    #[must_use]
    pub fn narrow_svg(&self) -> String {
        self.draw(380.0, 320.0).0
    }

    /// The same for a column of a page: nominally 460 wide, with the place of its cells, so that a reader can point at one. Values
    /// count columns and rows.
    #[must_use]
    pub fn panel_svg(&self) -> (String, Frame) {
        self.draw(460.0, 320.0)
    }

    fn draw(&self, wide: f64, tall: f64) -> (String, Frame) {
        const EDGE: f64 = 16.0;
        let label = |names: &[String]| names.iter().map(|n| width(n, SMALL)).fold(0.0, f64::max);
        let left = EDGE + 1.4 * MEDIUM + 8.0 + label(&self.rows) + 6.0;
        let right = wide - EDGE;
        let mut head = Head {
            left,
            right,
            bottom: EDGE,
            group: Group::new().set("fill", TEXT_INK),
        };
        head.paragraph(&self.title, LARGE, true);
        for note in &self.notes {
            head.paragraph(note, MEDIUM, false);
        }
        self.legend(&mut head);
        #[expect(clippy::cast_precision_loss, reason = "a few hundred at most")]
        let (columns, rows) = (
            self.columns.len().max(1) as f64,
            self.rows.len().max(1) as f64,
        );
        let size = ((right - left) / columns, (tall / rows).clamp(3.0, 26.0));
        let top = head.bottom + 14.0;
        let bottom = top + rows * size.1;
        #[expect(clippy::cast_precision_loss, reason = "a few hundred at most")]
        let corner = |row: usize, column: usize| {
            (
                left + column as f64 * size.0,
                bottom - (row + 1) as f64 * size.1,
            )
        };
        let document = Document::new()
            .set("viewBox", format!("0 0 {wide} {}", round(bottom + 58.0)))
            .set("width", wide)
            .set("height", round(bottom + 58.0))
            .set("style", "max-width:100%;height:auto")
            .set("role", "img")
            .set("font-family", "sans-serif")
            .add(Title::new(clean(&self.title)))
            .add(Description::new().add(svg::node::Text::new(clean(&self.description()))))
            .add(
                Rectangle::new()
                    .set("width", wide)
                    .set("height", round(bottom + 58.0))
                    .set("fill", GROUND),
            )
            .add(head.group)
            .add(self.filled(size, corner))
            .add(self.borders(size, corner))
            .add(self.letters(size, corner))
            .add(self.axes((left, bottom, right), size, corner));
        let document = match self.chosen {
            Some((row, column)) => {
                let (x, y) = corner(row, column);
                document.add(mark(
                    (x + 0.5 * size.0, y + 0.5 * size.1),
                    Shape::Ring,
                    Ink::Vermilion,
                ))
            }
            None => document,
        };
        let frame = Frame {
            size: [wide, round(bottom + 58.0)],
            across: [left, right],
            up: [bottom, top],
            x: [0.0, columns],
            y: [0.0, rows],
        };
        (format!("{document}\n"), frame)
    }

    /// The steps as samples of their colour, then the reasons by their letters.
    fn legend(&self, head: &mut Head) {
        const SAMPLE: f64 = 20.0;
        let there = |cell: &MapCell| matches!(cell, MapCell::Meets(_));
        if self.cells.iter().flatten().any(there) {
            head.paragraph(
                &format!("Colour: {}, against the best", self.measure),
                MEDIUM,
                false,
            );
            let mut x = f64::INFINITY;
            for (n, (_, opacity)) in STEPS.iter().enumerate() {
                let name = words(n);
                let wide = SAMPLE + 6.0 + width(&name, SMALL) + 14.0;
                if x + wide > head.right {
                    x = head.left;
                    head.bottom += 1.6 * MEDIUM;
                }
                head.group.append(
                    Rectangle::new()
                        .set("x", round(x))
                        .set("y", round(head.bottom - SMALL))
                        .set("width", SAMPLE)
                        .set("height", SMALL)
                        .set("fill", color(Ink::Blue))
                        .set("fill-opacity", *opacity)
                        .set("stroke", THREAD)
                        .set("stroke-width", 0.5),
                );
                let at = (x + SAMPLE + 6.0, head.bottom - 1.5);
                head.group
                    .append(text(at, &name, "start").set("font-size", SMALL));
                x += wide;
            }
            head.bottom += 4.0;
        }
        for (n, reason) in self.reasons.iter().enumerate() {
            head.paragraph(&format!("{}  {reason}", letter(n)), SMALL, false);
        }
    }

    fn filled(&self, (w, h): (f64, f64), corner: impl Fn(usize, usize) -> (f64, f64)) -> Group {
        let mut group = Group::new().set("fill", color(Ink::Blue));
        for (row, cells) in self.cells.iter().enumerate() {
            for (column, cell) in cells.iter().enumerate() {
                if let MapCell::Meets(excess) = cell {
                    let (x, y) = corner(row, column);
                    group = group.add(
                        Rectangle::new()
                            .set("x", round(x))
                            .set("y", round(y))
                            .set("width", round(w))
                            .set("height", round(h))
                            .set("fill-opacity", STEPS[step(*excess)].1),
                    );
                }
            }
        }
        group
    }

    /// What a cell is one of: that it meets the duty, or its reason.
    fn kind(&self, row: usize, column: usize) -> Option<usize> {
        match self.cells[row][column] {
            MapCell::Meets(_) => None,
            MapCell::Fails(reason) => Some(reason),
        }
    }

    /// Lines between what meets the duty and what does not, and between reasons; the frame.
    fn borders(&self, (w, h): (f64, f64), corner: impl Fn(usize, usize) -> (f64, f64)) -> Group {
        let mut group = Group::new().set("stroke", RULE).set("stroke-width", 1);
        let (rows, columns) = (self.rows.len(), self.columns.len());
        for row in 0..rows {
            for column in 0..columns {
                let (x, y) = corner(row, column);
                let kind = self.kind(row, column);
                if column + 1 == columns || self.kind(row, column + 1) != kind {
                    group = group.add(segment((x + w, y), (x + w, y + h)));
                }
                if row + 1 == rows || self.kind(row + 1, column) != kind {
                    group = group.add(segment((x, y), (x + w, y)));
                }
                if column == 0 {
                    group = group.add(segment((x, y), (x, y + h)));
                }
                if row == 0 {
                    group = group.add(segment((x, y + h), (x + w, y + h)));
                }
            }
        }
        group
    }

    /// The letter of each region that fails, where the region is widest.
    fn letters(&self, (w, h): (f64, f64), corner: impl Fn(usize, usize) -> (f64, f64)) -> Group {
        let mut group = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
        let (rows, columns) = (self.rows.len(), self.columns.len());
        let mut seen = vec![vec![false; columns]; rows];
        for start in (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))) {
            let Some(reason) = self.kind(start.0, start.1) else {
                continue;
            };
            if seen[start.0][start.1] {
                continue;
            }
            seen[start.0][start.1] = true;
            let (mut region, mut next) = (vec![start], 0);
            while let Some(&(row, column)) = region.get(next) {
                next += 1;
                let around = [
                    (row.wrapping_sub(1), column),
                    (row + 1, column),
                    (row, column.wrapping_sub(1)),
                    (row, column + 1),
                ];
                for (r, c) in around {
                    if r < rows && c < columns && !seen[r][c] && self.kind(r, c) == Some(reason) {
                        seen[r][c] = true;
                        region.push((r, c));
                    }
                }
            }
            // The middle of the largest square of the region, the nearest to the middle of all of it.
            let room = |(row, column): (usize, usize)| {
                let free = |reach: usize| {
                    (row.checked_sub(reach).zip(column.checked_sub(reach))).is_some_and(
                        |(r0, c0)| {
                            (r0..=row + reach)
                                .flat_map(|r| (c0..=column + reach).map(move |c| (r, c)))
                                .all(|place| region.contains(&place))
                        },
                    )
                };
                (1..rows.max(columns))
                    .take_while(|reach| free(*reach))
                    .count()
            };
            let sum = region
                .iter()
                .fold((0, 0), |sum, place| (sum.0 + place.0, sum.1 + place.1));
            let off = |(row, column): (usize, usize)| {
                (row * region.len()).abs_diff(sum.0) + (column * region.len()).abs_diff(sum.1)
            };
            let key = |place: &(usize, usize)| (room(*place), usize::MAX - off(*place));
            let widest = region.iter().copied().max_by_key(key);
            let roomy = w.min(h) >= 8.0 || widest.is_some_and(|place| room(place) > 0);
            if let Some((row, column)) = widest.filter(|_| roomy) {
                let (x, y) = corner(row, column);
                let at = (x + 0.5 * w, y + 0.5 * h + 0.36 * SMALL);
                group = group.add(text(at, &letter(reason).to_string(), "middle"));
            }
        }
        group
    }

    fn axes(
        &self,
        (left, bottom, right): (f64, f64, f64),
        (w, h): (f64, f64),
        corner: impl Fn(usize, usize) -> (f64, f64),
    ) -> Group {
        let mut ticks = Group::new().set("fill", TEXT_INK).set("font-size", SMALL);
        let widest = self
            .columns
            .iter()
            .map(|n| width(n, SMALL))
            .fold(0.0, f64::max);
        let mut free = f64::NEG_INFINITY;
        for (n, name) in self.columns.iter().enumerate() {
            let x = corner(0, n).0 + 0.5 * w;
            if x - 0.5 * widest >= free {
                ticks = ticks.add(text((x, bottom + 16.0), name, "middle"));
                free = x + 0.5 * widest + 4.0;
            }
        }
        let mut free = f64::INFINITY;
        for (n, name) in self.rows.iter().enumerate() {
            let y = corner(n, 0).1 + 0.5 * h;
            if y + 0.6 * SMALL <= free {
                ticks = ticks.add(text((left - 6.0, y + 0.36 * SMALL), name, "end"));
                free = y - 0.6 * SMALL - 2.0;
            }
        }
        let top = corner(self.rows.len().saturating_sub(1), 0).1;
        let (beside, centre) = (16.0 + MEDIUM, 0.5 * (top + bottom));
        let names = Group::new()
            .set("fill", TEXT_INK)
            .set("font-size", MEDIUM)
            .add(text(
                (0.5 * (left + right), bottom + 40.0),
                &self.across,
                "middle",
            ))
            .add(text((beside, centre), &self.up, "middle").set(
                "transform",
                format!("rotate(-90 {} {})", round(beside), round(centre)),
            ));
        Group::new().add(ticks).add(names)
    }

    /// For a reader who cannot see it.
    fn description(&self) -> String {
        let all = self.cells.iter().map(Vec::len).sum::<usize>();
        let mut words = vec![format!("{} over {}, {all} cells", self.up, self.across)];
        if let Some((row, column)) = self.chosen {
            words.push(format!(
                "the best at {} {} and {} {}",
                self.up, self.rows[row], self.across, self.columns[column]
            ));
        }
        for (n, reason) in self.reasons.iter().enumerate() {
            let fails = |cell: &&MapCell| **cell == MapCell::Fails(n);
            let number = self.cells.iter().flatten().filter(fails).count();
            words.push(format!("{number} cells: {reason}"));
        }
        words.join("; ")
    }
}

/// Signs with a space before each.
fn spaced(signs: impl Iterator<Item = char>) -> String {
    signs.flat_map(|sign| [' ', sign]).collect()
}
