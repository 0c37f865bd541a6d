//! What the values of keys come to: a site, a riser, its air, its model. It is the same whatever holds the values.

use super::{Held, Key, air, model, riser, site, water};
use crate::air::{AirFlow, pressure_at_altitude};
use crate::error::Error;
use crate::model::Model;
use crate::riser::{BrinkHead, Dimensions, Outlet, RiserSpec, Site};
use crate::units::{AbsolutePressure, Length};
use crate::water::{Water, WaterProperties};

/// Holds values of keys.
pub(crate) trait Given {
    /// The value of a key, where it is given.
    fn get<T: Held>(&self, key: &Key<T>) -> Option<T>;

    /// The same, or the key's default where that is a value.
    fn usual<T: Held>(&self, key: &Key<T>) -> Option<T>;
}

/// Water and atmosphere; none without the water's temperature.
pub(crate) fn site(own: &impl Given, air: &impl Given) -> Option<Result<Site, Error>> {
    let temperature = own.get(&water::TEMPERATURE)?;
    let salinity = own.usual(&water::SALINITY)?;
    let outright = || {
        Some(WaterProperties {
            temperature,
            density: own.get(&water::DENSITY)?,
            viscosity: own.get(&water::VISCOSITY)?,
            surface_tension: own.get(&water::SURFACE_TENSION)?,
            vapour_pressure: own.get(&water::VAPOUR_PRESSURE)?,
            salinity,
        })
    };
    let water =
        outright().map_or_else(|| Water::new(temperature, salinity), Water::from_properties);
    let atmosphere = atmosphere(air);
    Some(water.map(|water| Site { water, atmosphere }))
}

/// The pressure of the air at the site.
pub(crate) fn atmosphere(own: &impl Given) -> AbsolutePressure {
    let altitude = || pressure_at_altitude(own.get(&site::ALTITUDE)?).ok();
    let given = own.get(&site::PRESSURE).or_else(altitude);
    given.unwrap_or(AbsolutePressure::STANDARD_ATMOSPHERE)
}

/// The closures.
pub(crate) fn model(own: &impl Given) -> Model {
    let mut found = Model::default();
    set(&mut found.slip, own.get(&model::SLIP));
    set(&mut found.friction, own.get(&model::FRICTION));
    set(
        &mut found.developing_length,
        own.get(&model::DEVELOPING_LENGTH),
    );
    found
}

/// A riser of a bore, in its place; all else is what the values say of it.
pub(crate) fn spec(own: &impl Given, [bore, submergence, lift]: [Length; 3]) -> RiserSpec {
    let mut spec = RiserSpec::new(Dimensions {
        bore,
        submergence,
        lift,
    });
    set(&mut spec.roughness, own.get(&riser::ROUGHNESS));
    set(&mut spec.lost_bore, own.get(&riser::LOST_BORE));
    set(&mut spec.suction_length, own.get(&riser::SUCTION_LENGTH));
    set(&mut spec.entrance_loss, own.get(&riser::ENTRANCE_LOSS));
    set(&mut spec.injector_loss, own.get(&riser::INJECTOR_LOSS));
    spec.air_line = own.get(&riser::AIR_LINE);
    spec.injector = own.get(&riser::INJECTOR);
    set(&mut spec.outlet, outlet(own));
    spec
}

/// The outlet.
fn outlet(own: &impl Given) -> Option<Outlet> {
    let loss = own.usual(&riser::OUTLET_LOSS)?;
    Some(match own.usual(&riser::OUTLET)?.as_str() {
        "elbow" => Outlet::Elbow {
            loss,
            bore: own.get(&riser::OUTLET_BORE),
            head: own.usual::<BrinkHead>(&riser::OUTLET_BRINK)?,
        },
        "submerged" => Outlet::Submerged {
            depth: own.get(&riser::OUTLET_DEPTH)?,
            loss,
        },
        "open_top" => Outlet::OpenTop {
            head: own.usual(&riser::OUTLET_HEAD)?,
            loss,
        },
        _ => Outlet::Plain { loss },
    })
}

/// The air flow, as a mass of dry air; none where it is not given, or not the state that it is counted at.
pub(crate) fn air_flow(own: &impl Given) -> Option<Result<AirFlow, Error>> {
    if let Some(mass) = own.get(&air::MASS_FLOW) {
        return Some(AirFlow::from_dry_mass(mass));
    }
    let (flow, reference) = (own.get(&air::FLOW)?, own.get(&air::REFERENCE)?);
    Some(AirFlow::at(flow, &reference))
}

/// Puts a value where there is one.
pub(crate) fn set<T>(field: &mut T, given: Option<T>) {
    if let Some(value) = given {
        *field = value;
    }
}
