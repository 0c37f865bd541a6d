//! A calibration as serde sees it: SI numbers, the unit in every key.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use super::calibration::{Calibration, MeasuredPoint, SharedError};
use crate::air::AirFlow;
use crate::error::{Error, NameKind, among};
use crate::riser::{BrinkHead, Dimensions, InjectorKind, Outlet, RiserSpec, Site};
use crate::units::{
    AbsolutePressure, Length, Ratio, base, kelvin, meter, pascal, per_mille, ratio,
};
use crate::water::Water;

/// What a file of measured points is.
const SCHEMA: &str = "risewater.calibration/2";

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Record {
    #[serde(deserialize_with = "known_schema")]
    schema: String,
    rig: RigRecord,
    point: Vec<PointRecord>,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RigRecord {
    bore_m: f64,
    roughness_m: f64,
    #[serde(default, skip_serializing_if = "is_zero")]
    lost_bore_m: f64,
    #[serde(default, skip_serializing_if = "is_zero")]
    suction_length_m: f64,
    entrance_loss: f64,
    #[serde(default, skip_serializing_if = "is_zero")]
    injector_loss: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    air_line_m: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    injector: Option<InjectorKind>,
    outlet: OutletRecord,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case", tag = "kind")]
enum OutletRecord {
    Plain {
        loss: f64,
    },
    Elbow {
        loss: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        bore_m: Option<f64>,
        clear_water: bool,
    },
    Submerged {
        depth_m: f64,
        loss: f64,
    },
    OpenTop {
        head_m: f64,
        loss: f64,
    },
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PointRecord {
    run: String,
    submergence_m: f64,
    lift_m: f64,
    air_kg_per_s: f64,
    water_m3_per_s: f64,
    water_relative_standard: f64,
    air_relative_standard: f64,
    submergence_standard_m: f64,
    lift_standard_m: f64,
    repeats: u32,
    water_temperature_k: f64,
    salinity_g_per_kg: f64,
    atmosphere_pa: f64,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    shared: Vec<SharedRecord>,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SharedRecord {
    of: String,
    #[serde(default, skip_serializing_if = "is_zero")]
    water: f64,
    #[serde(default, skip_serializing_if = "is_zero")]
    air: f64,
}

fn known_schema<'de, D: Deserializer<'de>>(schema: D) -> Result<String, D::Error> {
    let name = String::deserialize(schema)?;
    among(NameKind::Schema, &name, &[SCHEMA], |known| known).map_err(D::Error::custom)?;
    Ok(name)
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "as serde asks")]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

impl From<Calibration> for Record {
    fn from(calibration: Calibration) -> Self {
        Self {
            schema: SCHEMA.to_owned(),
            rig: calibration.rig().into(),
            point: calibration.points().iter().map(Into::into).collect(),
        }
    }
}

impl TryFrom<Record> for Calibration {
    type Error = Error;

    fn try_from(record: Record) -> Result<Self, Error> {
        let points = record.point.into_iter().map(TryInto::try_into);
        Self::new(record.rig.into(), points.collect::<Result<_, Error>>()?)
    }
}

impl From<&RiserSpec> for RigRecord {
    fn from(spec: &RiserSpec) -> Self {
        Self {
            bore_m: spec.dimensions.bore.get::<meter>(),
            roughness_m: spec.roughness.get::<meter>(),
            lost_bore_m: spec.lost_bore.get::<meter>(),
            suction_length_m: spec.suction_length.get::<meter>(),
            entrance_loss: spec.entrance_loss.get::<ratio>(),
            injector_loss: spec.injector_loss.get::<ratio>(),
            air_line_m: spec.air_line.map(|line| line.get::<meter>()),
            injector: spec.injector,
            outlet: spec.outlet.into(),
        }
    }
}

impl From<RigRecord> for RiserSpec {
    fn from(rig: RigRecord) -> Self {
        let mut spec = Self::new(Dimensions {
            bore: base(rig.bore_m),
            submergence: base(0.0),
            lift: base(0.0),
        });
        spec.roughness = base(rig.roughness_m);
        spec.lost_bore = base(rig.lost_bore_m);
        spec.suction_length = base(rig.suction_length_m);
        spec.entrance_loss = base(rig.entrance_loss);
        spec.injector_loss = base(rig.injector_loss);
        spec.air_line = rig.air_line_m.map(base);
        spec.injector = rig.injector;
        spec.outlet = rig.outlet.into();
        spec
    }
}

impl From<Outlet> for OutletRecord {
    fn from(outlet: Outlet) -> Self {
        let number = |loss: Ratio| loss.get::<ratio>();
        match outlet {
            Outlet::Plain { loss } => Self::Plain { loss: number(loss) },
            Outlet::Elbow { loss, bore, head } => Self::Elbow {
                loss: number(loss),
                bore_m: bore.map(|bore| bore.get::<meter>()),
                clear_water: head == BrinkHead::ClearWater,
            },
            Outlet::Submerged { depth, loss } => Self::Submerged {
                depth_m: depth.get::<meter>(),
                loss: number(loss),
            },
            Outlet::OpenTop { head, loss } => Self::OpenTop {
                head_m: head.get::<meter>(),
                loss: number(loss),
            },
        }
    }
}

impl From<OutletRecord> for Outlet {
    fn from(outlet: OutletRecord) -> Self {
        match outlet {
            OutletRecord::Plain { loss } => Self::Plain { loss: base(loss) },
            OutletRecord::Elbow {
                loss,
                bore_m,
                clear_water,
            } => Self::Elbow {
                loss: base(loss),
                bore: bore_m.map(base),
                head: if clear_water {
                    BrinkHead::ClearWater
                } else {
                    BrinkHead::Mixture
                },
            },
            OutletRecord::Submerged { depth_m, loss } => Self::Submerged {
                depth: base(depth_m),
                loss: base(loss),
            },
            OutletRecord::OpenTop { head_m, loss } => Self::OpenTop {
                head: base(head_m),
                loss: base(loss),
            },
        }
    }
}

impl From<&MeasuredPoint> for PointRecord {
    fn from(point: &MeasuredPoint) -> Self {
        let shared = point.shared.iter().map(|error| SharedRecord {
            of: error.of.clone(),
            water: error.water.get::<ratio>(),
            air: error.air.get::<ratio>(),
        });
        Self {
            run: point.run.clone(),
            submergence_m: point.submergence.get::<meter>(),
            lift_m: point.lift.get::<meter>(),
            air_kg_per_s: point.air.kg_per_s(),
            water_m3_per_s: point.water_flow.value,
            water_relative_standard: point.water_standard.get::<ratio>(),
            air_relative_standard: point.air_standard.get::<ratio>(),
            submergence_standard_m: point.submergence_standard.get::<meter>(),
            lift_standard_m: point.lift_standard.get::<meter>(),
            repeats: point.repeats,
            water_temperature_k: point.site.water.temperature().get::<kelvin>(),
            salinity_g_per_kg: point.site.water.salinity().get::<per_mille>(),
            atmosphere_pa: point.site.atmosphere.get::<pascal>(),
            shared: shared.collect(),
        }
    }
}

impl TryFrom<PointRecord> for MeasuredPoint {
    type Error = Error;

    fn try_from(point: PointRecord) -> Result<Self, Error> {
        let length = Length::new::<meter>;
        let shared = point.shared.into_iter().map(|error| SharedError {
            of: error.of,
            water: base(error.water),
            air: base(error.air),
        });
        Ok(Self {
            run: point.run,
            submergence: length(point.submergence_m),
            lift: length(point.lift_m),
            site: Site {
                water: Water::new(
                    base(point.water_temperature_k),
                    Ratio::new::<per_mille>(point.salinity_g_per_kg),
                )?,
                atmosphere: AbsolutePressure(base(point.atmosphere_pa)),
            },
            air: AirFlow::from_dry_mass(base(point.air_kg_per_s))?,
            water_flow: base(point.water_m3_per_s),
            water_standard: base(point.water_relative_standard),
            air_standard: base(point.air_relative_standard),
            submergence_standard: length(point.submergence_standard_m),
            lift_standard: length(point.lift_standard_m),
            repeats: point.repeats,
            shared: shared.collect(),
        })
    }
}
