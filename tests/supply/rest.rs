//! Pressure of water at rest, rows S073 to S078 of `tests/data/air_supply.csv`.

use risewater::riser::{Dimensions, RiserSpec, Site};
use risewater::supply::{AirLine, Branch, Header, Manifold};
use risewater::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, Ratio, SurfaceTension,
    ThermodynamicTemperature, degree_celsius, kilogram_per_cubic_meter, meter, newton_per_meter,
    pascal, pascal_second, ratio,
};
use risewater::water::WaterProperties;
use risewater::{Model, Water};

use crate::table::rows;

#[test]
fn startup_pressure_is_the_depth() {
    let mut compared = 0;
    for row in rows("air_supply.csv") {
        if row.text("quantity") != "static_back_pressure" {
            continue;
        }
        let inputs = row.text("inputs");
        let input = |name: &str| -> f64 {
            let of = |part: &str| {
                let (key, value) = part.trim().split_once('=')?;
                (key == name).then(|| value.split(' ').next().unwrap().parse().unwrap())
            };
            inputs.split(';').find_map(of).unwrap()
        };
        // Only the density counts; the rest is that of water at 20 °C, about.
        let water = Water::from_properties(WaterProperties {
            temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
            salinity: Ratio::new::<ratio>(0.0),
            density: MassDensity::new::<kilogram_per_cubic_meter>(input("rho")),
            viscosity: DynamicViscosity::new::<pascal_second>(1.0e-3),
            surface_tension: SurfaceTension::new::<newton_per_meter>(0.0727),
            vapour_pressure: AbsolutePressure::new::<pascal>(2339.0),
        })
        .unwrap();
        let m = Length::new::<meter>;
        let site = Site {
            water,
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let riser = RiserSpec::new(Dimensions {
            bore: m(0.05),
            submergence: m(input("h")),
            lift: m(0.1),
        })
        .build(&site, Model::default())
        .unwrap();
        let line = AirLine::new(m(0.02), m(1.0));
        let header = Header::new(line, vec![Branch::new("lift", m(0.0), line)]);
        let manifold = Manifold::new(header, vec![riser]).unwrap();
        let rise = manifold.startup_pressure().unwrap() - AbsolutePressure::STANDARD_ATMOSPHERE;
        let (expected, got) = (row.number("value"), rise.get::<pascal>());
        // Half a unit of the eighth digit.
        assert!(
            (got / expected - 1.0).abs() < 5.1e-8,
            "{}: {got}",
            row.text("id")
        );
        compared += 1;
    }
    assert_eq!(compared, 6);
}
