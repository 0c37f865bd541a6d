//! Charts as SVG: plain numbers in, one self-contained picture out.
//!
//! [`Chart`] is the general core: bands, lines and marked points over two linear axes, in each
//! axis's own unit, which its label names, or over dates. [`FlowCurve`] is the figure of a riser: water flow
//! against air flow; [`TrialFigure`] is that of one that was measured. [`PressureFigure`] and [`AirShares`] are those of an air supply, [`TanksFigure`] is that of several tanks on one header, [`NeedFigure`] is that of a need of water over the dates. [`SearchMap`] shows a whole search.
//! [`DayFigure`] is that of a day of a loop of tanks.
//! [`LiftDrawing`] is a lift drawn to scale, [`ProfileFigure`] what changes on the way up in it.
//!
//! The picture is made for screen and paper. It has a white ground, sets text as text in the
//! reader's own sans-serif face, and holds no script, no style sheet and no ids, so that many fit
//! on one page. Series differ in dash and shape as well as in colour. Names stand beside what they
//! name, where they cover least; the others stand in a legend above the frame. The same input
//! gives the same text.

use crate::need::Date;

mod area;
mod bubbles;
mod dark;
mod dates;
mod day;
mod draw;
mod flow_curve;
mod head;
mod lift;
mod need;
mod place;
mod profile;
mod scale;
mod search_map;
mod shape;
mod supply;
mod tanks;
mod trial;

pub use dark::{dark_style, darkened};
pub use day::DayFigure;
pub use flow_curve::{DutyPoint, FlowBand, FlowCurve, FlowPoint, OtherCurve};
pub use lift::{DrawnOutlet, LiftDrawing};
pub use need::NeedFigure;
pub use profile::ProfileFigure;
pub use search_map::{MapCell, SearchMap};
pub(crate) use shape::clean;
pub use supply::{AirShares, LiftShares, PressureFigure, RisePoint};
pub use tanks::{TankBar, TanksFigure};
pub use trial::TrialFigure;

/// The largest magnitude that a chart draws.
pub const LARGEST: f64 = 1e300;

/// A picture of bands, lines and marked points over two linear axes.
///
/// # Examples
/// ```
/// use risewater::chart::{Axis, Chart, Ink, Label, Polyline, Marks, Shape, Stroke};
///
/// let chart = Chart {
///     title: "Predicted against measured".into(),
///     x: Axis { label: "measured (L/min)".into(), covers: vec![0.0], from: None },
///     y: Axis { label: "predicted (L/min)".into(), covers: vec![0.0], from: None },
///     lines: vec![Polyline {
///         label: Label::Beside("equal".into()),
///         points: vec![(0.0, 0.0), (60.0, 60.0)],
///         ink: Ink::Black,
///         stroke: Stroke::Dashed,
///     }],
///     marks: vec![Marks {
///         label: Label::Legend("38 mm bore".into()),
///         points: vec![(12.0, 13.5), (31.0, 29.0), (52.0, 50.5)],
///         ink: Ink::Blue,
///         shape: Shape::Disc,
///     }],
///     ..Chart::default()
/// };
/// assert!(chart.svg()?.starts_with("<svg"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Chart {
    /// Headline; also the picture's accessible name.
    pub title: String,
    /// Lines in smaller type under the title.
    pub notes: Vec<String>,
    /// What the picture shows, for a reader who cannot see it; made from the labels when empty.
    pub description: String,
    /// The horizontal axis.
    pub x: Axis,
    /// The vertical axis.
    pub y: Axis,
    /// Shaded bands, drawn first; bars of a single point, drawn under the marks.
    pub bands: Vec<Band>,
    /// Lines.
    pub lines: Vec<Polyline>,
    /// Marked points, drawn last.
    pub marks: Vec<Marks>,
}

impl Chart {
    /// The picture as an SVG document, nominally 800 by 500; taller when there is much to name.
    ///
    /// Empty series are left out, and a chart with no data shows bare axes. A range of no width is
    /// widened by a tenth of its value to either side.
    ///
    /// # Errors
    /// [`ChartError::NotFinite`] for NaN and infinities, [`ChartError::TooLarge`] beyond
    /// [`LARGEST`].
    pub fn svg(&self) -> Result<String, ChartError> {
        self.check()?;
        Ok(draw::document(self, &draw::WIDE))
    }

    /// The same for a narrow screen: nominally 380 by 440, with type of the same size.
    ///
    /// # Errors
    /// As [`Chart::svg`].
    pub fn narrow_svg(&self) -> Result<String, ChartError> {
        self.check()?;
        Ok(draw::document(self, &draw::NARROW))
    }

    /// The same for a column of a page: nominally 460 by 330, with the place of its frame, so that a reader can point into
    /// it.
    ///
    /// # Errors
    /// As [`Chart::svg`].
    ///
    /// # Examples
    /// ```
    /// use risewater::chart::{Chart, Polyline};
    ///
    /// let line = Polyline { points: vec![(0.0, 0.0), (8.0, 3.0)], ..Polyline::default() };
    /// let (svg, frame) = Chart { lines: vec![line], ..Chart::default() }.panel_svg()?;
    /// assert!(svg.starts_with("<svg") && frame.x == [0.0, 8.0]);
    /// # Ok::<(), risewater::chart::ChartError>(())
    /// ```
    pub fn panel_svg(&self) -> Result<(String, Frame), ChartError> {
        self.check()?;
        Ok(draw::framed(self, &draw::PANEL_SIZE))
    }

    fn check(&self) -> Result<(), ChartError> {
        for (i, axis) in [&self.x, &self.y].into_iter().enumerate() {
            for (j, &value) in axis.covers.iter().enumerate() {
                check(ChartPart::Axis, i, j, &[value])?;
            }
        }
        for (i, band) in self.bands.iter().enumerate() {
            for (j, p) in band.points.iter().enumerate() {
                check(ChartPart::Band, i, j, &[p.x, p.low, p.high])?;
            }
        }
        let lines = self
            .lines
            .iter()
            .enumerate()
            .map(|(i, l)| (ChartPart::Line, i, &l.points));
        let marks = self
            .marks
            .iter()
            .enumerate()
            .map(|(i, m)| (ChartPart::Marks, i, &m.points));
        for (part, i, points) in lines.chain(marks) {
            for (j, &(x, y)) in points.iter().enumerate() {
                check(part, i, j, &[x, y])?;
            }
        }
        Ok(())
    }
}

/// Refuses what cannot be drawn; series and points from zero.
fn check(part: ChartPart, series: usize, point: usize, values: &[f64]) -> Result<(), ChartError> {
    let (series, point) = (series + 1, point + 1);
    values.iter().try_for_each(|&value| match value {
        v if !v.is_finite() => Err(ChartError::NotFinite {
            part,
            series,
            point,
        }),
        v if v.abs() > LARGEST => Err(ChartError::TooLarge {
            part,
            series,
            point,
            value,
        }),
        _ => Ok(()),
    })
}

/// The frame of a picture: where its ends lie, and the values there.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Frame {
    /// Width and height of the picture.
    pub size: [f64; 2],
    /// Left and right end.
    pub across: [f64; 2],
    /// Lower and upper end, measured downwards from the top of the picture.
    pub up: [f64; 2],
    /// Values at the left and at the right end.
    pub x: [f64; 2],
    /// Values at the lower and at the upper end.
    pub y: [f64; 2],
}

/// One axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Axis {
    /// What it measures, with the unit.
    pub label: String,
    /// Values that it takes in whatever the data are, such as zero.
    pub covers: Vec<f64>,
    /// Where it shows dates: the one at whose start its values are zero; they count days.
    pub from: Option<Date>,
}

/// A shaded band between two curves; with a single point, an upright bar, such as that of an error.
///
/// The axes come from lines, marks and what they cover themselves. A band sets no axis: what leaves the frame is
/// cut off.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Band {
    /// Its name; a band is named in the legend only.
    pub label: String,
    /// The two edges, in the order of x.
    pub points: Vec<BandPoint>,
    /// Colour, drawn pale.
    pub ink: Ink,
}

/// Both edges of a [`Band`] at one x.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BandPoint {
    /// On the horizontal axis.
    pub x: f64,
    /// Lower edge.
    pub low: f64,
    /// Upper edge.
    pub high: f64,
}

/// A line through points.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Polyline {
    /// Its name.
    pub label: Label,
    /// Its corners as (x, y), in the order drawn.
    pub points: Vec<(f64, f64)>,
    /// Colour.
    pub ink: Ink,
    /// Dashes.
    pub stroke: Stroke,
}

/// Points of one shape.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Marks {
    /// Their name; [`Label::Beside`] stands beside the first.
    pub label: Label,
    /// The points as (x, y).
    pub points: Vec<(f64, f64)>,
    /// Colour.
    pub ink: Ink,
    /// Shape.
    pub shape: Shape,
}

/// Where the name of a series stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Label {
    /// Nowhere.
    #[default]
    None,
    /// Beside the series, where it covers least.
    Beside(String),
    /// As [`Label::Beside`], behind a piece of the line, for lines that lie close.
    Keyed(String),
    /// In the legend above the frame.
    Legend(String),
}

/// Colours that readers with any colour vision tell apart.
///
/// The first five are of the palette of Okabe & Ito (2008), "Color Universal Design (CUD): how to make figures
/// and presentations that are friendly to colorblind people", red-green-blue values from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum Ink {
    /// Black.
    #[default]
    Black,
    /// Blue.
    Blue,
    /// Vermilion.
    Vermilion,
    /// Bluish green.
    Green,
    /// Reddish purple.
    Purple,
    /// Grey, for what stands back.
    Grey,
}

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum Stroke {
    /// Unbroken.
    #[default]
    Solid,
    /// Dashes.
    Dashed,
    /// Thin dots.
    Dotted,
    /// Unbroken and thin.
    Thin,
}

/// Shape of a marked point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum Shape {
    /// Filled circle.
    #[default]
    Disc,
    /// Open circle.
    Ring,
    /// Filled square.
    Square,
    /// Filled square on its corner.
    Diamond,
    /// Filled triangle.
    Triangle,
    /// Filled triangle, small, on its point.
    Pointer,
}

/// A part of a chart that holds numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
#[non_exhaustive]
pub enum ChartPart {
    /// The values that an axis covers; the horizontal axis is the first.
    Axis,
    /// A band.
    Band,
    /// A line.
    Line,
    /// Marked points.
    Marks,
}

/// What a chart refuses. Series and points count from one.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ChartError {
    /// NaN or an infinity.
    #[error("point {point} of {part} {series} is not a finite number")]
    NotFinite {
        /// The kind of series.
        part: ChartPart,
        /// Which of that kind.
        series: usize,
        /// Which point of it.
        point: usize,
    },
    /// A magnitude beyond [`LARGEST`].
    #[error(
        "point {point} of {part} {series} is {value:e}; it must lie in -{LARGEST:e} to {LARGEST:e}"
    )]
    TooLarge {
        /// The kind of series.
        part: ChartPart,
        /// Which of that kind.
        series: usize,
        /// Which point of it.
        point: usize,
        /// The value given.
        value: f64,
    },
}
