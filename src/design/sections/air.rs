//! `[air]`: a volume flow with its reference state, or a mass flow.

use super::needed;
use crate::air::{AIR_FLOW, AirFlow, AirState};
use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::{Input, Range};
use crate::units::quantity;
use crate::units::{MassRate, VolumeRate, base, kilogram_per_second, liter_per_minute};

/// Volume flows that are read; the mass of dry air has its own range.
pub(super) const VOLUME_FLOW: Range = Range::new(0.0, 1e8, "L/min");

/// `[air]` as given.
#[derive(Debug, Default, Clone, Copy)]
pub struct GivenAir {
    flow: Option<VolumeRate>,
    reference: Option<AirState>,
    mass: Option<MassRate>,
}

impl GivenAir {
    pub fn read(sheet: &Sheet, mut air: Section) -> Self {
        let volume: Bound<VolumeRate> = (Input::AirFlow, VOLUME_FLOW, |flow| {
            flow.get::<liter_per_minute>()
        });
        let mass: Bound<MassRate> = (Input::AirFlow, AIR_FLOW, |flow| {
            flow.get::<kilogram_per_second>()
        });
        let given = Self {
            flow: air.quantity("flow", quantity::volume_rate, volume),
            mass: air.quantity("mass_flow", quantity::mass_rate, mass),
            reference: reference(sheet, &mut air),
        };
        for other in ["flow", "reference"] {
            if air.has("mass_flow") && air.has(other) {
                air.fault(
                    other,
                    Problem::Contradiction {
                        other: "air.mass_flow",
                    },
                );
            }
        }
        air.close();
        given
    }

    /// The flow, as a mass of dry air.
    pub fn flow(&self, sheet: &Sheet) -> Option<AirFlow> {
        let GivenAir {
            flow,
            reference,
            mass,
        } = *self;
        if let Some(mass) = mass {
            return sheet.keep(AirFlow::from_dry_mass(mass), "air.mass_flow");
        }
        let flow = needed(
            sheet,
            flow,
            "air.flow",
            "the air flow, such as \"100 L/min\"",
        )?;
        counted(sheet, reference, flow, "air.flow")
    }

    /// Whether there is one.
    #[cfg(feature = "trial")]
    pub fn is_given(&self) -> bool {
        self.flow.is_some() || self.mass.is_some()
    }

    /// A volume flow at the reference.
    #[cfg(any(feature = "trial", feature = "supply"))]
    pub fn counted(&self, sheet: &Sheet, flow: VolumeRate, key: &str) -> Option<AirFlow> {
        counted(sheet, self.reference, flow, key)
    }
}

fn counted(
    sheet: &Sheet,
    reference: Option<AirState>,
    flow: VolumeRate,
    key: &str,
) -> Option<AirFlow> {
    let reference = needed(
        sheet,
        reference,
        "air.reference",
        "the state that the air flow is counted at, such as { temperature = \"20 degC\", pressure = \"101.325 kPa\" }",
    )?;
    sheet.keep(AirFlow::at(flow, &reference), key)
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
        fault(Problem::UnknownKey {
            section: "air.reference",
            name: name.to_owned(),
            nearest,
            known: STATE.to_vec(),
        });
    }
    let mut text = |key: &str, expected: &'static str| match table
        .get(key)
        .map(|item| (item, item.as_str()))
    {
        Some((_, Some(text))) => Some(text.to_owned()),
        Some((item, None)) => Some(item.to_string().trim().to_owned()),
        None if key == "humidity" => None,
        None => {
            fault(Problem::Missing { expected });
            None
        }
    };
    let temperature = text(
        "temperature",
        "the temperature of the reference state, such as \"20 degC\"",
    );
    let pressure = text(
        "pressure",
        "the absolute pressure of the reference state, such as \"101.325 kPa\"",
    );
    let humidity = text("humidity", "");
    let mut keep = |problem: quantity::QuantityError| fault(problem.into());
    let temperature = temperature.and_then(|t| quantity::temperature(&t).map_err(&mut keep).ok());
    let pressure = pressure.and_then(|t| quantity::absolute_pressure(&t).map_err(&mut keep).ok());
    let humidity = humidity.map_or(Some(base(0.0)), |t| {
        quantity::ratio(&t).map_err(&mut keep).ok()
    });
    if faulty {
        return None;
    }
    let state = AirState {
        temperature: temperature?,
        pressure: pressure?,
        humidity: humidity?,
    };
    // No flow at all says whether the state can be.
    sheet
        .keep(AirFlow::at(base(0.0), &state), "air.reference")
        .map(|_| state)
}

const STATE: [&str; 3] = ["temperature", "pressure", "humidity"];
