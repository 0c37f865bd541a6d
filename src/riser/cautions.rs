//! What an operating point should be read with.

use super::{OperatingPoint, Outcome, Outlet, PartFull, Riser};
use crate::caution::Caution;
use crate::error::Range;
use crate::regime::FlowPattern;
use crate::slip::{Slip, smith_drift};
use crate::units::{base, liter_per_minute, millimeter, per_mille, ratio};

/// Submergence ratios of the published data that the other closures hold for.
const SUBMERGENCE_RATIO: Range = Range::new(0.4, 1.0, "");
/// Bores of the published data, with the small ones of the closures.
const BORE: Range = Range::new(10.0, 101.0, "mm");
/// Risers shorter than this many bores have no developed flow at all.
const SHORTEST_BORES: f64 = 5.0;
/// Salinity above which water is called salt here: brackish begins at 0.5 g/kg (common practice).
const FRESH_G_PER_KG: f64 = 0.5;

impl Riser {
    /// Everything that a result of this riser should be read with.
    #[must_use]
    pub fn cautions(&self, outcome: &Outcome) -> Vec<Caution> {
        let mut cautions = self.shape_cautions();
        if let Outcome::Choked(_) = outcome {
            cautions.push(Caution::Choked);
        }
        if let Some(point) = outcome.point() {
            self.point_cautions(point, &mut cautions);
        }
        cautions
    }

    fn shape_cautions(&self) -> Vec<Caution> {
        let mut cautions = Vec::new();
        let length = self.spec.length();
        let submergence_ratio = self.spec.submergence_ratio();
        let (lowest, closure) = match self.model.slip {
            Slip::SmithDrift => (smith_drift::SUBMERGENCE_RATIO.min, None),
            _ => (SUBMERGENCE_RATIO.min, Some(Slip::SmithDrift.name())),
        };
        if submergence_ratio < lowest {
            cautions.push(Caution::SubmergenceRatioLow {
                ratio: submergence_ratio,
                lowest,
                closure,
            });
        }
        let bore_mm = self.spec.free_bore().get::<millimeter>();
        if bore_mm < BORE.min {
            cautions.push(Caution::BoreSmall { bore_mm });
        }
        if bore_mm > BORE.max {
            cautions.push(Caution::BoreLarge { bore_mm });
        }
        let bores = (length / self.spec.free_bore()).get::<ratio>();
        if bores < SHORTEST_BORES {
            cautions.push(Caution::RiserShort { bores });
        }
        let salinity_g_per_kg = self.site.water.salinity().get::<per_mille>();
        if salinity_g_per_kg > FRESH_G_PER_KG {
            cautions.push(Caution::SaltWater { salinity_g_per_kg });
        }
        if self.spec.air_line.is_some() {
            cautions.push(Caution::AirLineInside);
        }
        if self.useful_lift() < base(0.0) {
            cautions.push(Caution::RunsByGravity);
        }
        match self.spec.outlet {
            Outlet::OpenTop { head, .. } if head == base(0.0) => {
                cautions.push(Caution::OutletHeadUnstated);
            }
            Outlet::Elbow { .. } => cautions.push(Caution::BrinkReading),
            _ => {}
        }
        cautions
    }

    fn point_cautions(&self, point: &OperatingPoint, cautions: &mut Vec<Caution>) {
        if point.top.pattern == FlowPattern::Annular {
            cautions.push(Caution::AnnularAtTop);
        }
        let validity = self.model.slip.validity();
        let closure = self.model.slip.name();
        let bore_mm = 1e3 * self.column.d_m;
        if !validity.bore.contains(bore_mm) {
            cautions.push(Caution::OutsideClosure {
                closure,
                what: "bore",
                value: bore_mm,
                range: validity.bore,
            });
        }
        let void_fraction = point.top.void_fraction.get::<ratio>();
        if !validity.void_fraction.contains(void_fraction) {
            let what = "void fraction at the top";
            cautions.push(Caution::OutsideClosure {
                closure,
                what,
                value: void_fraction,
                range: validity.void_fraction,
            });
        }
        if let Outlet::Elbow { bore, .. } = self.spec.outlet
            && let Ok(pipe) = PartFull::of_bore(bore.unwrap_or(self.spec.dimensions.bore))
            && point.water_flow > pipe.largest_flow()
        {
            cautions.push(Caution::OutletRunsFull {
                flow_l_per_min: point.water_flow.get::<liter_per_minute>(),
                limit_l_per_min: pipe.largest_flow().get::<liter_per_minute>(),
            });
        }
    }
}
