//! The figure of several tanks on one header: pressure over air, so that areas are nearly power.

use super::flow_curve::{air_label, digits};
use super::{Axis, Band, BandPoint, Chart, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::units::{GaugePressure, Length, UnitSystem, VolumeRate};

/// A tank of the figure.
#[derive(Debug, Clone, PartialEq)]
pub struct TankBar {
    /// Its name.
    pub name: String,
    /// Depth of its injection points.
    pub submergence: Length,
    /// Air of its lifts as dry gas at 20 °C and 101.325 kPa.
    pub air_at_20_c: VolumeRate,
    /// Pressure at its injection points as the lifts run.
    pub running: GaugePressure,
}

/// Tanks on one header: a bar for each, as wide as its air and as high as the pressure that its lifts need, the
/// deepest first, under the pressure of the header.
///
/// # Examples
/// ```
/// use risewater::chart::{TankBar, TanksFigure};
/// use risewater::units::{GaugePressure, Length, VolumeRate, kilopascal, liter_per_minute, meter};
///
/// let tank = |name: &str, depth, air, running| TankBar {
///     name: name.to_owned(),
///     submergence: Length::new::<meter>(depth),
///     air_at_20_c: VolumeRate::new::<liter_per_minute>(air),
///     running: GaugePressure::new::<kilopascal>(running),
/// };
/// // Made-up tanks.
/// let figure = TanksFigure {
///     title: "Two tanks".into(),
///     tanks: vec![tank("fry", 0.6, 40.0, 5.6), tank("broodstock", 1.4, 60.0, 13.5)],
///     header: GaugePressure::new::<kilopascal>(13.7),
///     ..TanksFigure::default()
/// };
/// assert!(figure.chart().svg()?.contains("broodstock 1.4 m"));
/// # Ok::<(), risewater::chart::ChartError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct TanksFigure {
    /// Headline.
    pub title: String,
    /// Lines under the headline.
    pub notes: Vec<String>,
    /// The tanks, in any order.
    pub tanks: Vec<TankBar>,
    /// Pressure that the header holds.
    pub header: GaugePressure,
    /// Units of its numbers.
    pub units: UnitSystem,
}

impl Default for TanksFigure {
    fn default() -> Self {
        Self {
            title: String::new(),
            notes: Vec::new(),
            tanks: Vec::new(),
            header: GaugePressure::new::<crate::units::pascal>(0.0),
            units: UnitSystem::default(),
        }
    }
}

impl TanksFigure {
    /// The figure as a chart.
    #[must_use]
    pub fn chart(&self) -> Chart {
        let (size, unit) = self.units.pressure_unit();
        let air_size = self.units.air_unit().0;
        let header = self.header.0.value / size;
        let mut tanks: Vec<&TankBar> = self.tanks.iter().collect();
        tanks.sort_by(|a, b| b.running.0.value.total_cmp(&a.running.0.value));
        let (mut bands, mut lines, mut marks) = (Vec::new(), Vec::new(), Vec::new());
        let mut words = vec![format!("Pressure ({unit}) over the air of each tank")];
        let mut from = 0.0;
        for (n, tank) in tanks.iter().enumerate() {
            let to = from + tank.air_at_20_c.value / air_size;
            let own = tank.running.0.value / size;
            // Named once in the legend.
            let named = |name: &str| {
                if n == 0 {
                    name.to_owned()
                } else {
                    String::new()
                }
            };
            let band = |label, low, high, ink| Band {
                label,
                points: [from, to].map(|x| BandPoint { x, low, high }).to_vec(),
                ink,
            };
            bands.push(band(named("what the lifts need"), 0.0, own, Ink::Blue));
            bands.push(band(named("throttled off"), own, header, Ink::Vermilion));
            lines.push(Polyline {
                label: Label::None,
                points: vec![(from, 0.0), (from, own), (to, own), (to, 0.0)],
                ink: Ink::Blue,
                stroke: Stroke::Solid,
            });
            let (depth, depth_unit) = self.units.height_unit();
            let name = format!(
                "{} {} {depth_unit}",
                tank.name,
                crate::units::system::place(tank.submergence.value / depth)
            );
            words.push(format!("{name}, {} {unit}", digits(own)));
            marks.push(Marks {
                label: Label::Beside(name),
                points: vec![(0.5 * (from + to), own)],
                ink: Ink::Blue,
                shape: Shape::Disc,
            });
            from = to;
        }
        let name = format!("header {} {unit}", digits(header));
        words.push(name.clone());
        lines.push(Polyline {
            label: Label::Legend(name),
            points: vec![(0.0, header), (from, header)],
            ink: Ink::Black,
            stroke: Stroke::Dashed,
        });
        Chart {
            title: self.title.clone(),
            notes: self.notes.clone(),
            description: words.join("; "),
            x: Axis {
                label: air_label(self.units),
                covers: vec![0.0],
                from: None,
            },
            y: Axis {
                label: format!("Gauge pressure at the injection points ({unit})"),
                covers: vec![0.0, 1.05 * header],
                from: None,
            },
            bands,
            lines,
            marks,
        }
    }
}
