//! The bench column of Part I, and charts of a few lines.

use risewater::chart::{Axis, Chart, Ink, Label, Polyline, Stroke};
use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::two_phase::TwoPhase;
use risewater::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, SurfaceTension,
    ThermodynamicTemperature, Velocity, VolumeRate, degree_celsius, kilogram_per_cubic_meter,
    liter_per_minute, meter, meter_per_second, micrometer, millimeter, newton_per_meter,
    pascal_second,
};
use risewater::{AirFlow, AirState, Curve, Model, Water};

pub type Points = Vec<(f64, f64)>;

/// Density of water at 20 °C, kg/m³, as the chapters have it.
pub const RHO: f64 = 998.2;

/// A riser in fresh water of 20 °C at sea level.
pub fn riser(bore_mm: f64, submergence_m: f64, lift_m: f64) -> Result<Riser, risewater::Error> {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let dimensions = Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: Length::new::<meter>(submergence_m),
        lift: Length::new::<meter>(lift_m),
    };
    RiserSpec::new(dimensions).build(&site, Model::default())
}

pub fn bench() -> Result<Riser, risewater::Error> {
    riser(50.0, 1.0, 0.25)
}

pub fn air(l_min: f64) -> Result<AirFlow, risewater::Error> {
    AirFlow::at(
        VolumeRate::new::<liter_per_minute>(l_min),
        &AirState::DRY_20_C,
    )
}

/// Evenly spread values, both ends among them.
pub fn spread(from: f64, to: f64, count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(move |n| from + (to - from) * f64::from(n) / f64::from(count - 1))
}

/// Water against air, L/min.
pub fn flows(curve: &Curve) -> Points {
    let start = (
        curve
            .threshold
            .volume_rate_at_20_c()
            .get::<liter_per_minute>(),
        0.0,
    );
    let flow = |p: &risewater::OperatingPoint| {
        let air = p.air.volume_rate_at_20_c().get::<liter_per_minute>();
        (air, p.water_flow.get::<liter_per_minute>())
    };
    std::iter::once(start)
        .chain(curve.points.iter().map(flow))
        .collect()
}

pub fn axis(label: &str) -> Axis {
    Axis {
        label: label.to_owned(),
        covers: vec![0.0],
        ..Axis::default()
    }
}

pub fn line(label: &str, points: Points, ink: Ink, stroke: Stroke) -> Polyline {
    Polyline {
        label: Label::Legend(label.to_owned()),
        points,
        ink,
        stroke,
    }
}

pub fn chart(title: &str, note: &str, x: &str, y: &str, lines: Vec<Polyline>) -> Chart {
    Chart {
        title: title.to_owned(),
        notes: vec![note.to_owned()],
        x: axis(x),
        y: axis(y),
        lines,
        ..Chart::default()
    }
}

/// A cross-section with water and air of 20 °C.
pub fn section(bore_mm: f64, liquid_m_s: f64, gas_m_s: f64) -> TwoPhase {
    TwoPhase {
        bore: Length::new::<millimeter>(bore_mm),
        roughness: Length::new::<micrometer>(1.5),
        liquid_velocity: Velocity::new::<meter_per_second>(liquid_m_s),
        gas_velocity: Velocity::new::<meter_per_second>(gas_m_s),
        liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(RHO),
        gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.25),
        liquid_viscosity: DynamicViscosity::new::<pascal_second>(1.002e-3),
        gas_viscosity: DynamicViscosity::new::<pascal_second>(1.81e-5),
        surface_tension: SurfaceTension::new::<newton_per_meter>(0.0727),
    }
}
