//! Keys of the water, the site, pipes, one riser, its air and its model.

use super::holds::{
    self, absolute_pressure, density, length, mass_fraction, mass_rate, name, ratio,
    surface_tension, temperature, text, truth, viscosity, volume_rate,
};
use super::{Holds, Key, Row, keys};
use crate::air::AirState;
use crate::error::{Input, NameKind, Range};
use crate::friction::Friction;
use crate::model::DevelopingLength;
use crate::riser::{BrinkHead, InjectorKind, LOSS_COEFFICIENT, Outlet};
use crate::slip::Slip;
use crate::two_phase;
use crate::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, MassRate, Ratio, SurfaceTension,
    ThermodynamicTemperature, VolumeRate,
};

/// Bores lost to fouling: none to all of it.
const LOST: Range = Range::new(0.0, two_phase::BORE.max, two_phase::BORE.unit);
/// Volume flows that are read; the mass of dry air has its own range.
pub(super) const VOLUME_FLOW: Range = Range::new(0.0, 1e8, "L/min");
const ABOVE: &str = "from temperature and salinity";
const MASS: &[(&str, &str)] = &[("mass_flow", "air.mass_flow")];

keys! {
    /// `[water]`.
    water "water"
        TEMPERATURE "temperature": ThermodynamicTemperature = temperature(Input::WaterTemperature, crate::water::TEMPERATURE)
            .is("of the water", "14 degC").due().ask("the water's temperature", "");
        SALINITY "salinity": Ratio = mass_fraction(Input::Salinity, crate::water::SALINITY)
            .is("salt per mass of water with its salt", "35 g/kg").or("0 g/kg");
        DENSITY "density": MassDensity = density(Input::WaterDensity, crate::water::GIVEN_DENSITY)
            .is("density of the water; give it together with the three keys below, or none of the four", "998.2 kg/m3").else_(ABOVE);
        VISCOSITY "viscosity": DynamicViscosity = viscosity(Input::WaterViscosity, crate::water::GIVEN_VISCOSITY)
            .is("dynamic viscosity of the water", "1.002 mPa s").else_(ABOVE);
        SURFACE_TENSION "surface_tension": SurfaceTension = surface_tension(Input::SurfaceTension, crate::water::GIVEN_SURFACE_TENSION)
            .is("surface tension between water and air", "72.7 mN/m").else_(ABOVE);
        VAPOUR_PRESSURE "vapour_pressure": AbsolutePressure = absolute_pressure(Input::VapourPressure, crate::water::GIVEN_VAPOUR_PRESSURE)
            .is("of the water", "2.34 kPa").else_(ABOVE);
}

keys! {
    /// `[site]`.
    site "site"
        PRESSURE "pressure": AbsolutePressure = absolute_pressure(Input::AtmosphericPressure, crate::riser::ATMOSPHERE)
            .is("pressure of the atmosphere; not beside `altitude`", "98.5 kPa").or("101.325 kPa").instead(&["altitude"]);
        ALTITUDE "altitude": Length = length(Input::Altitude, crate::air::ALTITUDE)
            .is("the tool takes the standard atmosphere (ISO 2533:1975) at this altitude", "240 m").else_("sea level")
            .also(&[Input::AtmosphericPressure]).instead(&["pressure"]).beside(&[("pressure", "site.pressure")]);
}

keys! {
    /// `[[pipe]]`.
    pipe "pipe"
        NAME "name": String = text().due().ask("what it is to be called", "")
            .is("what it is called: a name of its own, which no pipe of the catalogue has", "shop 63");
        BORE "bore": Length = length(Input::PipeBore, two_phase::BORE)
            .is("inside diameter", "57 mm").due().ask("its inside diameter", "");
        OUTSIDE_DIAMETER "outside_diameter": Length = length(Input::PipeOutsideDiameter, crate::pipe::OUTSIDE_DIAMETER)
            .is("outside diameter", "63 mm").due().ask("its outside diameter", "");
        PRESSURE_PIPE "pressure_pipe": bool = truth().or("true")
            .is("whether it is made for pressure. Write `false` for drain, sewer and waste pipe; a design with such pipe gets a caution", "false");
}

/// The kind of an injector.
pub(super) const fn injector() -> Key<InjectorKind> {
    name(NameKind::Injector, || {
        InjectorKind::ALL.iter().map(|kind| kind.name()).collect()
    })
}

keys! {
    /// `[riser]`.
    riser "riser"
        BORE "bore": Length = length(Input::Bore, two_phase::BORE)
            .is("inside diameter", "76.2 mm").due_as("must be given, or `pipe`").instead(&["pipe"])
            .ask("the bore", ", or a pipe of `risewater list pipes`");
        SUBMERGENCE "submergence": Length = length(Input::Submergence, crate::riser::SUBMERGENCE)
            .is("depth of the injection point below the running water level", "1.0 m").due()
            .ask("the depth of the injection point", "");
        LIFT "lift": Length = length(Input::Lift, crate::riser::LIFT)
            .is("height of the outlet above that level: to the rim, to the invert of an elbow's horizontal pipe, or to a mouth under water (then below zero)", "0.10 m")
            .due().ask("the height of the outlet above the water", "");
        ROUGHNESS "roughness": Length = length(Input::Roughness, two_phase::ROUGHNESS)
            .is("of the wall; the default is smooth plastic", "0.05 mm").or("1.5 um");
        LOST_BORE "lost_bore": Length = length(Input::LostBore, LOST)
            .is("bore lost to fouling", "2 mm").or("0 mm");
        SUCTION_LENGTH "suction_length": Length = length(Input::SuctionLength, crate::riser::SUCTION_LENGTH)
            .is("length of pipe below the injection point, which carries water alone", "0.3 m").or("0 m");
        ENTRANCE_LOSS "entrance_loss": Ratio = ratio(Input::EntranceLoss, LOSS_COEFFICIENT)
            .is("loss coefficient of entrance and injector; see `risewater list losses`", "0.8").or("0.5");
        INJECTOR_LOSS "injector_loss": Ratio = ratio(Input::InjectorLoss, LOSS_COEFFICIENT)
            .is("loss coefficient of an injector that stands in the water's way, for the velocity head in the riser", "0.3").or("0");
        INJECTOR "injector": InjectorKind = injector()
            .is("how the air gets in. The interval is wider for a kind that no published rig had. A lift on a header takes the kind of its branch", "diffuser").else_("that of `[branch]`; else not known");
        AIR_LINE "air_line": Length = length(Input::AirLineDiameter, two_phase::BORE)
            .is("outside diameter of an air line that runs down inside the riser", "20 mm");
        PIPE "pipe": String = holds::pipe().about(Input::Bore).instead(&["bore"]).beside(&[("bore", "riser.bore")]);
        OUTLET "outlet": String = name(NameKind::Outlet, || Outlet::NAMES.to_vec())
            .is("how the water leaves", "elbow").or("plain");
        OUTLET_LOSS "outlet_loss": Ratio = ratio(Input::OutletLoss, LOSS_COEFFICIENT)
            .is("loss coefficient of the fittings. With an elbow only the part above one counts, since the head at its brink already holds one velocity head", "1.2").or("0");
        OUTLET_BORE "outlet_bore": Length = length(Input::OutletBore, crate::riser::OUTLET_BORE)
            .is("bore of the horizontal pipe", "100 mm").else_("the riser's own").of("elbow");
        OUTLET_BRINK "outlet_brink": BrinkHead = name(NameKind::Brink, || vec!["mixture", "clear_water"])
            .is("whether the head at the brink is a height of `mixture` or of `clear_water`", "clear_water").or("mixture").of("elbow");
        OUTLET_DEPTH "outlet_depth": Length = length(Input::OutletDepth, crate::riser::OUTLET_HEIGHT)
            .is("depth of the mouth below the receiving level", "50 mm").due().of("submerged")
            .ask("the depth of the mouth below the receiving level", "");
        OUTLET_HEAD "outlet_head": Length = length(Input::OutletHead, crate::riser::OUTLET_HEIGHT)
            .is("height above the rim that the mixture needs to spill: measure it", "20 mm").or_with("0 m", ", with a caution").of("open_top");
}

keys! {
    /// `[air]`.
    air "air"
        FLOW "flow": VolumeRate = volume_rate(Input::AirFlow, VOLUME_FLOW)
            .is("air flow of the riser, counted at `reference`", "100 L/min").due_as("must be given, or `mass_flow`")
            .ask("the air flow", "").instead(&["mass_flow"]).beside(MASS);
        MASS_FLOW "mass_flow": MassRate = mass_rate(Input::AirFlow, crate::air::AIR_FLOW)
            .is("air flow as mass of dry air; not beside `flow`", "7.2 kg/h").instead(&["flow"]);
        REFERENCE "reference": AirState = Key::new(Holds::State, None)
            .is("state of the air at which the flow is counted", "{ temperature = \"20 degC\", pressure = \"101.325 kPa\" }")
            .due_as("must be given with `flow`").ask("the state that the air flow is counted at", "")
            .also(&[Input::AirTemperature, Input::AirPressure, Input::AirHumidity]).instead(&["mass_flow"]).beside(MASS);
}

keys! {
    /// The table of `air.reference`.
    state "air.reference"
        TEMPERATURE "temperature": ThermodynamicTemperature = temperature(Input::AirTemperature, crate::air::AIR_TEMPERATURE)
            .is("temperature of the reference state", "20 degC").due().ask("the temperature of the reference state", "");
        PRESSURE "pressure": AbsolutePressure = absolute_pressure(Input::AirPressure, crate::air::AIR_PRESSURE)
            .is("its pressure", "101.325 kPa").due().ask("the absolute pressure of the reference state", "");
        HUMIDITY "humidity": Ratio = ratio(Input::AirHumidity, crate::air::HUMIDITY).is("its relative humidity", "50 %").or("0");
}

keys! {
    /// `[model]`.
    model "model"
        SLIP "slip": Slip = name(NameKind::Slip, || Slip::ALL.iter().map(|slip| slip.name()).collect())
            .is("law of the void fraction, from `risewater list models`; take `smith_drift` for little submergence", "smith_drift").or("bhagwat_ghajar_2014");
        FRICTION "friction": Friction = name(NameKind::Friction, || Friction::ALL.iter().map(|friction| friction.name()).collect())
            .is("law of the friction at the wall", "friedel_1979").or("homogeneous");
        DEVELOPING_LENGTH "developing_length": DevelopingLength = Key::new(Holds::BoresOrLength(crate::model::DEVELOPING_BORES, crate::model::DEVELOPING_LENGTH), Some(Input::DevelopingLength))
            .is("length over which the flow develops, as a number of bores or as a length; the default is the project's own fit", "0.2 m").else_("the shorter of 0.2 m and 8 bores");
}
