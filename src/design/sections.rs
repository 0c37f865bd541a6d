//! What each section of a design file says, before it is known what the file is for.

use std::str::FromStr;

use super::fault::Problem;
use super::quantity;
use super::sheet::{Section, Sheet};
use crate::air::{AirFlow, AirState, pressure_at_altitude};
use crate::error::{Error, NameKind};
use crate::model::Model;
use crate::pipe::Pipe;
use crate::riser::{BrinkHead, Dimensions, Outlet, RiserSpec, Site};
use crate::sizing::{Duty, Objective, depths};
use crate::units::{
    AbsolutePressure, DynamicViscosity, GaugePressure, Length, MassDensity, MassRate, Ratio,
    SurfaceTension, ThermodynamicTemperature, VolumeRate, base,
};
use crate::water::{Water, WaterProperties};

/// Everything that a file gives.
#[derive(Debug, Default)]
pub(super) struct Given {
    temperature: Option<ThermodynamicTemperature>,
    salinity: Option<Ratio>,
    outright: Option<Outright>,
    pressure: Option<AbsolutePressure>,
    pub riser: GivenRiser,
    air: GivenAir,
    pub model: Model,
    pub water_flow: Option<VolumeRate>,
    lift: Option<Length>,
    pub objective: Objective,
    pub limits: GivenLimits,
    pub level_fall: Option<Length>,
    pub level_rise: Option<Length>,
}

/// Water properties given outright.
#[derive(Debug, Clone, Copy)]
struct Outright {
    density: MassDensity,
    viscosity: DynamicViscosity,
    surface_tension: SurfaceTension,
    vapour_pressure: AbsolutePressure,
}

/// `[riser]`.
#[derive(Debug, Default)]
pub(super) struct GivenRiser {
    bore: Option<Length>,
    submergence: Option<Length>,
    lift: Option<Length>,
    roughness: Option<Length>,
    lost_bore: Option<Length>,
    suction_length: Option<Length>,
    entrance_loss: Option<Ratio>,
    injector_loss: Option<Ratio>,
    air_line: Option<Length>,
    outlet: Option<Outlet>,
}

#[derive(Debug, Default, Clone, Copy)]
struct GivenAir {
    flow: Option<VolumeRate>,
    reference: Option<AirState>,
    mass: Option<MassRate>,
}

/// `[limits]` as given.
#[derive(Debug, Default)]
pub(super) struct GivenLimits {
    pipes: Option<Vec<&'static Pipe>>,
    min_submergence: Option<Length>,
    max_submergence: Option<Length>,
    step: Option<Length>,
    max_lifts: Option<u32>,
    max_air_pressure: Option<GaugePressure>,
    peak_reserve: Option<Ratio>,
    fouling: Option<Length>,
}

/// `[limits]` with its defaults.
pub(super) struct Limits {
    pub pipes: Vec<&'static Pipe>,
    pub submergences: Vec<Length>,
    pub max_lifts: u32,
    pub max_air_pressure: Option<GaugePressure>,
    pub peak_reserve: Ratio,
    pub fouling: Option<Length>,
}

impl Given {
    pub fn read(sheet: &Sheet) -> Self {
        let mut given = Self::default();
        given.read_water(sheet.section("water"));
        given.read_site(sheet, sheet.section("site"));
        given.riser = GivenRiser::read(sheet, sheet.section("riser"));
        given.air = GivenAir::read(sheet, sheet.section("air"));
        given.read_model(sheet, sheet.section("model"));
        given.read_duty(sheet, sheet.section("duty"));
        given.limits = GivenLimits::read(sheet, sheet.section("limits"));
        let mut tank = sheet.section("tank");
        given.level_fall = tank.quantity("level_fall", quantity::length);
        given.level_rise = tank.quantity("level_rise", quantity::length);
        tank.close();
        given
    }

    fn read_water(&mut self, mut water: Section) {
        self.temperature = water.quantity("temperature", quantity::temperature);
        self.salinity = water.quantity("salinity", quantity::mass_fraction);
        let density = water.quantity("density", quantity::density);
        let viscosity = water.quantity("viscosity", quantity::dynamic_viscosity);
        let surface_tension = water.quantity("surface_tension", quantity::surface_tension);
        let vapour_pressure = water.quantity("vapour_pressure", quantity::absolute_pressure);
        if let (Some(density), Some(viscosity), Some(surface_tension), Some(vapour_pressure)) =
            (density, viscosity, surface_tension, vapour_pressure)
        {
            self.outright = Some(Outright { density, viscosity, surface_tension, vapour_pressure });
        } else if let Some(key) = OUTRIGHT.iter().find(|key| water.has(key)) {
            let expected = "all of density, viscosity, surface_tension and vapour_pressure, or none of them";
            if OUTRIGHT.iter().any(|key| !water.has(key)) {
                water.fault(key, Problem::Missing { expected });
            }
        }
        water.close();
    }

    fn read_site(&mut self, sheet: &Sheet, mut site: Section) {
        self.pressure = site.quantity("pressure", quantity::absolute_pressure);
        let altitude = site.quantity("altitude", quantity::length);
        if site.has("pressure") && site.has("altitude") {
            site.fault("altitude", Problem::Contradiction { other: "site.pressure" });
        } else if let Some(altitude) = altitude {
            self.pressure = sheet.keep(pressure_at_altitude(altitude), "site.altitude");
        }
        site.close();
    }

    fn read_model(&mut self, sheet: &Sheet, mut model: Section) {
        let named = |text: Option<&str>, key| text.map(|name| (name.to_owned(), key));
        if let Some((name, key)) = named(model.text("slip"), "model.slip") {
            self.model.slip = sheet.keep(FromStr::from_str(&name), key).unwrap_or_default();
        }
        if let Some((name, key)) = named(model.text("friction"), "model.friction") {
            self.model.friction = sheet.keep(FromStr::from_str(&name), key).unwrap_or_default();
        }
        if let Some(bores) = model.number("developing_length") {
            self.model.developing_length = bores;
            sheet.keep(self.model.bores(), "model.developing_length");
        }
        model.close();
    }

    fn read_duty(&mut self, sheet: &Sheet, mut duty: Section) {
        self.water_flow = duty.quantity("water_flow", quantity::volume_rate);
        self.lift = duty.quantity("lift", quantity::length);
        if let Some(name) = duty.text("objective") {
            self.objective = sheet.keep(Objective::from_str(name), "duty.objective").unwrap_or_default();
        }
        duty.close();
    }

    pub fn site(&self, sheet: &Sheet) -> Option<Site> {
        let temperature = needed(sheet, self.temperature, "water.temperature", "the water's temperature, such as \"14 degC\"")?;
        let salinity = self.salinity.unwrap_or_default();
        let water = match self.outright {
            None => Water::new(temperature, salinity),
            Some(Outright { density, viscosity, surface_tension, vapour_pressure }) => {
                Water::from_properties(WaterProperties { temperature, salinity, density, viscosity, surface_tension, vapour_pressure })
            }
        };
        let water = sheet.keep(water, "water")?;
        Some(Site { water, atmosphere: self.pressure.unwrap_or(AbsolutePressure::STANDARD_ATMOSPHERE) })
    }

    pub fn air(&self, sheet: &Sheet) -> Option<AirFlow> {
        let GivenAir { flow, reference, mass } = self.air;
        if let Some(mass) = mass {
            return sheet.keep(AirFlow::from_dry_mass(mass), "air.mass_flow");
        }
        let flow = needed(sheet, flow, "air.flow", "the air flow, such as \"100 L/min\"")?;
        let reference = needed(
            sheet,
            reference,
            "air.reference",
            "the state that the air flow is counted at, such as { temperature = \"20 degC\", pressure = \"101.325 kPa\" }",
        )?;
        sheet.keep(AirFlow::at(flow, &reference), "air.flow")
    }

    pub fn duty(&self, sheet: &Sheet) -> Option<Duty> {
        let water_flow = needed(sheet, self.water_flow, "duty.water_flow", "the water flow wanted, such as \"600 L/min\"");
        let lift = needed(sheet, self.lift, "duty.lift", "the lift wanted, such as \"0.15 m\"");
        Some(Duty { water_flow: water_flow?, lift: lift? })
    }
}

const OUTRIGHT: [&str; 4] = ["density", "viscosity", "surface_tension", "vapour_pressure"];

/// The value, or a fault that says what is missing.
fn needed<T>(sheet: &Sheet, value: Option<T>, key: &str, expected: &'static str) -> Option<T> {
    if value.is_none() {
        sheet.fault(sheet.place(key), key, Problem::Missing { expected });
    }
    value
}

impl GivenRiser {
    fn read(sheet: &Sheet, mut riser: Section) -> Self {
        let mut given = Self {
            bore: riser.quantity("bore", quantity::length),
            submergence: riser.quantity("submergence", quantity::length),
            lift: riser.quantity("lift", quantity::length),
            roughness: riser.quantity("roughness", quantity::length),
            lost_bore: riser.quantity("lost_bore", quantity::length),
            suction_length: riser.quantity("suction_length", quantity::length),
            entrance_loss: riser.number("entrance_loss"),
            injector_loss: riser.number("injector_loss"),
            air_line: riser.quantity("air_line", quantity::length),
            outlet: None,
        };
        if let Some(name) = riser.text("pipe") {
            if riser.has("bore") {
                riser.fault("pipe", Problem::Contradiction { other: "riser.bore" });
            } else {
                given.bore = sheet.keep(Pipe::named(name), "riser.pipe").map(Pipe::bore);
            }
        }
        given.outlet = outlet(sheet, &mut riser);
        riser.close();
        given
    }

    /// Whether any of the keys is there that place one riser.
    pub fn is_placed(&self) -> bool {
        self.bore.is_some() || self.submergence.is_some() || self.lift.is_some()
    }

    /// One riser in its place.
    pub fn placed(&self, sheet: &Sheet) -> Option<RiserSpec> {
        let bore = needed(sheet, self.bore, "riser.bore", "the bore, such as \"76.2 mm\", or a pipe of `risewater list pipes`");
        let submergence = needed(sheet, self.submergence, "riser.submergence", "the depth of the injection point, such as \"1.0 m\"");
        let lift = needed(sheet, self.lift, "riser.lift", "the height of the outlet above the water, such as \"0.10 m\"");
        Some(self.spec(Dimensions { bore: bore?, submergence: submergence?, lift: lift? }))
    }

    /// What all candidates of a search share; the dimensions are set by the search.
    pub fn shared(&self, lift: Length) -> RiserSpec {
        self.spec(Dimensions { bore: base(0.0), submergence: base(0.0), lift })
    }

    fn spec(&self, dimensions: Dimensions) -> RiserSpec {
        let mut spec = RiserSpec::new(dimensions);
        spec.roughness = self.roughness.unwrap_or(spec.roughness);
        spec.lost_bore = self.lost_bore.unwrap_or(spec.lost_bore);
        spec.suction_length = self.suction_length.unwrap_or(spec.suction_length);
        spec.entrance_loss = self.entrance_loss.unwrap_or(spec.entrance_loss);
        spec.injector_loss = self.injector_loss.unwrap_or(spec.injector_loss);
        spec.air_line = self.air_line;
        spec.outlet = self.outlet.unwrap_or(spec.outlet);
        spec
    }
}

/// The outlet and its own keys.
fn outlet(sheet: &Sheet, riser: &mut Section) -> Option<Outlet> {
    let name = riser.text("outlet").unwrap_or("plain");
    let loss = riser.number("outlet_loss").unwrap_or_default();
    let bore = riser.quantity("outlet_bore", quantity::length);
    let brink = riser.text("outlet_brink");
    let depth = riser.quantity("outlet_depth", quantity::length);
    let head = riser.quantity("outlet_head", quantity::length);
    let own: [(&str, &str); 4] =
        [("outlet_bore", "elbow"), ("outlet_brink", "elbow"), ("outlet_depth", "submerged"), ("outlet_head", "open_top")];
    let Some(outlet) = Outlet::NAMES.into_iter().find(|known| *known == name) else {
        sheet.refused(Error::unknown_name(NameKind::Outlet, name, Outlet::NAMES), "riser.outlet");
        return None;
    };
    for (key, belongs_to) in own {
        if riser.has(key) && outlet != belongs_to {
            riser.fault(key, Problem::OtherOutlet { belongs_to, outlet });
        }
    }
    Some(match outlet {
        "elbow" => {
            let head = match brink {
                None | Some("mixture") => BrinkHead::Mixture,
                Some("clear_water") => BrinkHead::ClearWater,
                Some(_) => {
                    riser.fault("outlet_brink", Problem::WrongType { expected: "\"mixture\" or \"clear_water\"", found: "another text" });
                    return None;
                }
            };
            Outlet::Elbow { loss, bore, head }
        }
        "submerged" => {
            let depth = needed(sheet, depth, "riser.outlet_depth", "the depth of the mouth below the receiving level")?;
            Outlet::Submerged { depth, loss }
        }
        "open_top" => Outlet::OpenTop { head: head.unwrap_or_default(), loss },
        _ => Outlet::Plain { loss },
    })
}

impl GivenAir {
    fn read(sheet: &Sheet, mut air: Section) -> Self {
        let given = Self {
            flow: air.quantity("flow", quantity::volume_rate),
            mass: air.quantity("mass_flow", quantity::mass_rate),
            reference: reference(sheet, &mut air),
        };
        if air.has("mass_flow") && air.has("flow") {
            air.fault("mass_flow", Problem::Contradiction { other: "air.flow" });
        }
        air.close();
        given
    }
}

/// The reference state: a name, or a table of temperature, pressure and humidity.
fn reference(sheet: &Sheet, air: &mut Section) -> Option<AirState> {
    let table = match air.text_or_table("reference")? {
        Ok(name) => return sheet.keep(AirState::named(name), "air.reference"),
        Err(table) => table,
    };
    let mut faulty = false;
    let mut fault = |problem| {
        air.fault("reference", problem);
        faulty = true;
    };
    for (name, _) in table.iter().filter(|(name, _)| !STATE.contains(name)) {
        let nearest = crate::name::nearest(name, STATE);
        fault(Problem::UnknownKey { section: "air.reference", name: name.to_owned(), nearest });
    }
    let mut text = |key: &str, expected: &'static str| match table.get(key).map(|item| (item, item.as_str())) {
        Some((_, Some(text))) => Some(text.to_owned()),
        Some((item, None)) => Some(item.to_string().trim().to_owned()),
        None if key == "humidity" => None,
        None => {
            fault(Problem::Missing { expected });
            None
        }
    };
    let temperature = text("temperature", "the temperature of the reference state, such as \"20 degC\"");
    let pressure = text("pressure", "the absolute pressure of the reference state, such as \"101.325 kPa\"");
    let humidity = text("humidity", "");
    let mut keep = |problem: quantity::QuantityError| fault(problem.into());
    let temperature = temperature.and_then(|t| quantity::temperature(&t).map_err(&mut keep).ok());
    let pressure = pressure.and_then(|t| quantity::absolute_pressure(&t).map_err(&mut keep).ok());
    let humidity = humidity.map_or(Some(base(0.0)), |t| quantity::ratio(&t).map_err(&mut keep).ok());
    if faulty {
        return None;
    }
    Some(AirState { temperature: temperature?, pressure: pressure?, humidity: humidity? })
}

const STATE: [&str; 3] = ["temperature", "pressure", "humidity"];

impl GivenLimits {
    fn read(sheet: &Sheet, mut limits: Section) -> Self {
        let standards = limits.texts("standards");
        let names = limits.texts("pipes");
        let given = Self {
            pipes: pipes(sheet, standards, names),
            min_submergence: limits.quantity("min_submergence", quantity::length),
            max_submergence: limits.quantity("max_submergence", quantity::length),
            step: limits.quantity("submergence_step", quantity::length),
            max_lifts: limits.count("max_lifts"),
            max_air_pressure: limits.quantity("max_air_pressure", quantity::gauge_pressure),
            peak_reserve: limits.number("peak_reserve"),
            fouling: limits.quantity("fouling", quantity::length),
        };
        limits.close();
        given
    }

    pub fn complete(&self, sheet: &Sheet) -> Option<Limits> {
        let pipes = needed(
            sheet,
            self.pipes.clone(),
            "limits.standards",
            "the pipe standards to search, such as [\"ASTM D1785\"] (`risewater list pipes` has them all)",
        );
        let deepest = needed(sheet, self.max_submergence, "limits.max_submergence", "the depth of water that you have, such as \"1.4 m\"");
        let submergences = sheet.keep(depths(self.min_submergence, deepest?, self.step), "limits.max_submergence");
        Some(Limits {
            pipes: pipes?,
            submergences: submergences?,
            max_lifts: self.max_lifts.unwrap_or(1),
            max_air_pressure: self.max_air_pressure,
            peak_reserve: self.peak_reserve.unwrap_or_default(),
            fouling: self.fouling,
        })
    }
}

/// The pipes of standards and of names, each once.
fn pipes(sheet: &Sheet, standards: Option<Vec<&str>>, names: Option<Vec<&str>>) -> Option<Vec<&'static Pipe>> {
    if standards.is_none() && names.is_none() {
        return None;
    }
    let mut all = sheet.keep(Pipe::of_standards(&standards.unwrap_or_default()), "limits.standards")?;
    for name in names.unwrap_or_default() {
        let pipe = sheet.keep(Pipe::named(name), "limits.pipes")?;
        if !all.iter().any(|known| known.name == pipe.name) {
            all.push(pipe);
        }
    }
    Some(all)
}
