//! Published airlift experiments and how far predictions are from them.
//!
//! The measured points are embedded from `tests/data`, each file with its citation, and compared
//! with whatever [`Model`] is asked about: nothing here is a stored verdict. Rows taken are those
//! with water and air above zero, a submergence ratio of 0.4 or more, and water above 30 % of the
//! largest flow of their series (same rig, depth and lift). The water's temperature is not stated
//! in the sources; 20 °C and 101.325 kPa are assumed, with an entrance loss of 0.5 and no fitting at
//! the top.

mod known;

use std::sync::LazyLock;

pub use known::{Known, MOST_AIR, MOST_OFF, Tally};

use crate::air::{AirFlow, AirState};
use crate::error::Error;
use crate::model::Model;
use crate::regime::FlowPattern;
use crate::riser::{Dimensions, InjectorKind, Riser, RiserSpec, Site};
use crate::units::{
    AbsolutePressure, Length, MassRate, ThermodynamicTemperature, VolumeRate, degree_celsius,
    kilogram_per_hour, liter_per_minute, meter, millimeter,
};
use crate::water::Water;

/// Submergence ratio below which rows are left out.
pub const LOWEST_SUBMERGENCE_RATIO: f64 = 0.4;
/// Share of the largest flow of a series below which rows are left out.
pub const LOWEST_SHARE_OF_PEAK: f64 = 0.3;
/// A prediction below this share of the measured flow counts as this share: one that does not pump
/// at all would have an infinite logarithm.
pub const LOWEST_RATIO: f64 = 0.05;

/// One published test riser.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rig {
    /// Short name: author, year, bore and length.
    pub name: String,
    /// File of `tests/data` that holds its points, with the citation.
    pub file: &'static str,
    /// Bore.
    pub bore: Length,
    /// Length from injection to outlet.
    pub length: Length,
    /// Roughness: as the source says, or smooth.
    pub roughness: Length,
    /// Relative standard uncertainty of its readings: our own estimate.
    pub noise: f64,
    /// How the air got in, where the source says so.
    pub injector: Option<(InjectorKind, &'static str)>,
    /// The points that pass the row selection.
    pub points: Vec<PublishedPoint>,
}

/// One measured point.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PublishedPoint {
    /// Submergence.
    pub submergence: Length,
    /// Lift.
    pub lift: Length,
    /// Air flow.
    pub air: AirFlow,
    /// Water flow.
    pub water_flow: VolumeRate,
}

/// A measured point and its prediction.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Residual {
    /// Riser length in bores.
    pub length_in_bores: f64,
    /// Submergence over riser length.
    pub submergence_ratio: f64,
    /// Bore, mm.
    pub bore_mm: f64,
    /// Flow pattern at the mouth, of the measured flows at the atmosphere's pressure with the model's void
    /// fraction.
    pub pattern: FlowPattern,
    /// Measured water flow.
    pub measured: VolumeRate,
    /// Predicted over measured water flow.
    pub ratio: f64,
}

impl Residual {
    /// ln(predicted/measured), with [`LOWEST_RATIO`] as the lowest ratio.
    #[must_use]
    pub fn logarithm(&self) -> f64 {
        self.ratio.max(LOWEST_RATIO).ln()
    }
}

/// How well a model meets one rig.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Score {
    /// Number of points.
    pub points: usize,
    /// Share of the points within ±20 %.
    pub within_20_percent: f64,
    /// Mean of |predicted/measured − 1|.
    pub mean_absolute_error: f64,
    /// Mean of predicted/measured − 1.
    pub bias: f64,
    /// Root mean square of ln(predicted/measured).
    pub rms_log_error: f64,
}

impl Score {
    /// The score of some residuals; zeros for none.
    #[must_use]
    pub fn of(residuals: &[Residual]) -> Self {
        let n = residuals.len();
        let mean =
            |f: &dyn Fn(&Residual) -> f64| residuals.iter().map(f).sum::<f64>() / n.max(1) as f64;
        Self {
            points: n,
            within_20_percent: mean(&|r| f64::from(u8::from((r.ratio - 1.0).abs() <= 0.2))),
            mean_absolute_error: mean(&|r| (r.ratio - 1.0).abs()),
            bias: mean(&|r| r.ratio - 1.0),
            rms_log_error: mean(&|r| r.logarithm().powi(2)).sqrt(),
        }
    }
}

impl Rig {
    /// All rigs, in order of bore and length.
    #[must_use]
    pub fn all() -> &'static [Rig] {
        &RIGS
    }

    /// The residuals of a model on this rig.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a developing length out of range.
    pub fn residuals(&self, model: Model) -> Result<Vec<Residual>, Error> {
        let residual = |point: &PublishedPoint| {
            let riser = self.riser(point, model)?;
            let length = riser.spec().length();
            Ok(Residual {
                length_in_bores: (length / self.bore).value,
                submergence_ratio: riser.spec().submergence_ratio(),
                bore_mm: self.bore.get::<millimeter>(),
                pattern: riser.pattern_at_mouth(point.air, point.water_flow),
                measured: point.water_flow,
                ratio: (riser.operate(point.air)?.water_flow() / point.water_flow).value,
            })
        };
        self.points.iter().map(residual).collect()
    }

    /// The riser as it stood for a point.
    fn riser(&self, point: &PublishedPoint, model: Model) -> Result<Riser, Error> {
        let dimensions = Dimensions {
            bore: self.bore,
            submergence: point.submergence,
            lift: point.lift,
        };
        RiserSpec::new(dimensions)
            .with_roughness(self.roughness)
            .build(&site()?, model)
    }
}

/// Water and atmosphere that are taken for all rigs.
pub(crate) fn site() -> Result<Site, Error> {
    Ok(Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    })
}
/// Relative standard uncertainty of published readings.
const NOISE: f64 = 0.03;
/// That of Kassab's, whose points scatter more.
const SCATTERED: f64 = 0.05;

static RIGS: LazyLock<Vec<Rig>> = LazyLock::new(|| {
    let kassab = include_str!("../tests/data/kassab_2009.csv");
    let todoroki = include_str!("../tests/data/todoroki_1973.csv");
    let pickert = include_str!("../tests/data/pickert_1932.csv");
    let smooth = crate::pipe::losses::PVC_ROUGHNESS.value;
    let mut rigs = Vec::new();
    for length_m in [1.75, 2.75, 3.75] {
        rigs.push(rig(
            ("Kassab 2009", "kassab_2009.csv", kassab),
            length_m,
            smooth,
            (SCATTERED, Some("56 holes of 3 mm in 7 rows")),
        ));
    }
    // Roughness over bore about 0.002 (text of the paper).
    rigs.push(rig(
        ("Todoroki 1973", "todoroki_1973.csv", todoroki),
        6.8,
        Length::new::<millimeter>(0.002 * 50.6),
        (NOISE, Some("64 holes of 1 mm in 4 rows")),
    ));
    // Roughness not stated; new cast iron, 0.26 mm, is assumed by the paper that reports it.
    rigs.push(rig(
        ("Pickert 1932", "pickert_1932.csv", pickert),
        42.0,
        Length::new::<millimeter>(0.26),
        (NOISE, None),
    ));
    rigs
});

/// The rows of one riser length in a file.
fn rig(
    (author, file, text): (&str, &'static str, &str),
    length_m: f64,
    roughness: Length,
    (noise, holes): (f64, Option<&'static str>),
) -> Rig {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let header: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let column = |name: &str| header.iter().position(|cell| *cell == name);
    let mut rows: Vec<Row> = Vec::new();
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |name: &str| {
            column(name)
                .and_then(|n| cells.get(n))
                .and_then(|cell| cell.parse::<f64>().ok())
        };
        let air = match number("air_flow_kg_h") {
            Some(mass) => AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(mass)),
            None => AirFlow::at(
                VolumeRate::new::<liter_per_minute>(
                    number("air_flow_free_l_min_derived").unwrap_or_default(),
                ),
                &AirState::DRY_20_C,
            ),
        };
        let mass_water = number("water_flow_kg_h").map(|mass| mass / WATER_KG_PER_L / 60.0);
        let water = mass_water.or_else(|| number("water_flow_l_min_derived"));
        if let (
            Some(bore),
            Some(ratio),
            Some(submergence),
            Some(lift),
            Some(length),
            Some(water),
            Ok(air),
        ) = (
            number("pipe_id_mm"),
            number("submergence_ratio"),
            number("injection_depth_m"),
            number("lift_m"),
            number("total_length_m"),
            water,
            air,
        ) && length == length_m
        {
            rows.push(Row {
                bore,
                ratio,
                submergence,
                lift,
                air,
                water,
            });
        }
    }
    let bore = rows.first().map_or(0.0, |row| row.bore);
    let chosen = |row: &&Row| {
        let series = rows
            .iter()
            .filter(|other| other.submergence == row.submergence && other.lift == row.lift);
        let largest = series.map(|other| other.water).fold(0.0, f64::max);
        row.ratio >= LOWEST_SUBMERGENCE_RATIO
            && row.water > LOWEST_SHARE_OF_PEAK * largest
            && row.air.kg_per_s() > 0.0
    };
    let points = rows.iter().filter(chosen).map(|row| PublishedPoint {
        submergence: Length::new::<meter>(row.submergence),
        lift: Length::new::<meter>(row.lift),
        air: row.air,
        water_flow: VolumeRate::new::<liter_per_minute>(row.water),
    });
    Rig {
        name: format!("{author}, {bore} mm, {length_m} m"),
        file,
        bore: Length::new::<millimeter>(bore),
        length: Length::new::<meter>(length_m),
        roughness,
        noise,
        injector: holes.map(|holes| (InjectorKind::DrilledRing, holes)),
        points: points.collect(),
    }
}

/// Density by which the source's kg/h of water become litres: 998.2 kg/m³, water at 20 °C, as in the
/// data file's derived columns.
const WATER_KG_PER_L: f64 = 0.9982;

struct Row {
    bore: f64,
    ratio: f64,
    submergence: f64,
    lift: f64,
    air: AirFlow,
    water: f64,
}
