//! `[riser]`: one riser, or what all candidates of a search share.

use super::needed;
use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::{Error, Input, NameKind, Range};
use crate::riser::{
    BrinkHead, Dimensions, LIFT, LOSS_COEFFICIENT, OUTLET_BORE, OUTLET_HEIGHT, Outlet, RiserSpec,
    SUBMERGENCE, SUCTION_LENGTH,
};
use crate::two_phase::{BORE, ROUGHNESS};
use crate::units::quantity;
use crate::units::{Length, Ratio, base, meter, millimeter};

/// Bores lost to fouling: none to all of it.
const LOST_BORE: Range = Range::new(0.0, BORE.max, BORE.unit);

/// `[riser]`.
#[derive(Debug, Default)]
pub struct GivenRiser {
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
    states_outlet: bool,
}

impl GivenRiser {
    pub fn read(sheet: &Sheet, mut riser: Section) -> Self {
        let mut given = Self {
            bore: riser.quantity("bore", quantity::length, in_mm(Input::Bore, BORE)),
            submergence: riser.quantity(
                "submergence",
                quantity::length,
                in_m(Input::Submergence, SUBMERGENCE),
            ),
            lift: riser.quantity("lift", quantity::length, in_m(Input::Lift, LIFT)),
            roughness: riser.quantity(
                "roughness",
                quantity::length,
                in_mm(Input::Roughness, ROUGHNESS),
            ),
            lost_bore: riser.quantity(
                "lost_bore",
                quantity::length,
                in_mm(Input::LostBore, LOST_BORE),
            ),
            suction_length: riser.quantity(
                "suction_length",
                quantity::length,
                in_m(Input::SuctionLength, SUCTION_LENGTH),
            ),
            entrance_loss: riser.number("entrance_loss", Input::EntranceLoss, LOSS_COEFFICIENT),
            injector_loss: riser.number("injector_loss", Input::InjectorLoss, LOSS_COEFFICIENT),
            air_line: riser.quantity(
                "air_line",
                quantity::length,
                in_mm(Input::AirLineDiameter, BORE),
            ),
            outlet: None,
            states_outlet: riser.has("outlet"),
        };
        if let Some(pipe) = riser.pipe("pipe", "bore", "riser.bore") {
            given.bore = Some(pipe.bore());
        }
        given.outlet = outlet(sheet, &mut riser);
        riser.close();
        given
    }

    /// Whether it says how the water leaves.
    pub fn states_outlet(&self) -> bool {
        self.states_outlet
    }

    /// Whether any of the keys is there that place one riser.
    pub fn is_placed(&self) -> bool {
        self.bore.is_some() || self.submergence.is_some() || self.lift.is_some()
    }

    /// One riser in its place.
    pub fn placed(&self, sheet: &Sheet) -> Option<RiserSpec> {
        let bore = needed(
            sheet,
            self.bore,
            "riser.bore",
            "the bore, such as \"76.2 mm\", or a pipe of `risewater list pipes`",
        );
        let submergence = needed(
            sheet,
            self.submergence,
            "riser.submergence",
            "the depth of the injection point, such as \"1.0 m\"",
        );
        let lift = needed(
            sheet,
            self.lift,
            "riser.lift",
            "the height of the outlet above the water, such as \"0.10 m\"",
        );
        Some(self.spec(Dimensions {
            bore: bore?,
            submergence: submergence?,
            lift: lift?,
        }))
    }

    /// A riser whose depth and lift are set elsewhere, with those of the file where there are any.
    #[cfg(feature = "trial")]
    pub fn movable(&self, sheet: &Sheet) -> Option<RiserSpec> {
        let bore = needed(
            sheet,
            self.bore,
            "riser.bore",
            "the bore, such as \"52 mm\", or a pipe of `risewater list pipes`",
        );
        Some(self.spec(Dimensions {
            bore: bore?,
            submergence: self.submergence.unwrap_or_default(),
            lift: self.lift.unwrap_or_default(),
        }))
    }

    /// Depth and lift, where the file has them.
    #[cfg(feature = "trial")]
    pub fn place(&self) -> (Option<Length>, Option<Length>) {
        (self.submergence, self.lift)
    }

    /// A riser with bore, submergence and lift of its own, each with its path, and the rest of this section.
    #[cfg(feature = "supply")]
    pub fn at(&self, sheet: &Sheet, own: [(Option<Length>, String); 3]) -> Option<RiserSpec> {
        let expected = [
            "its bore, such as \"76.2 mm\", or a pipe of `risewater list pipes`",
            "the depth of its injection point, such as \"1.0 m\"",
            "the height of its outlet above the water, such as \"0.10 m\"",
        ];
        let mut own = own.into_iter().zip(expected);
        let mut next = |shared: Option<Length>| {
            let ((own, path), expected) = own.next()?;
            needed(sheet, own.or(shared), &path, expected)
        };
        let (bore, submergence, lift) = (next(self.bore), next(self.submergence), next(self.lift));
        Some(self.spec(Dimensions {
            bore: bore?,
            submergence: submergence?,
            lift: lift?,
        }))
    }

    /// What all candidates of a search share; the dimensions are set by the search.
    pub fn shared(&self, lift: Length) -> RiserSpec {
        self.spec(Dimensions {
            bore: base(0.0),
            submergence: base(0.0),
            lift,
        })
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
    let loss = riser
        .number("outlet_loss", Input::OutletLoss, LOSS_COEFFICIENT)
        .unwrap_or_default();
    let bore = riser.quantity(
        "outlet_bore",
        quantity::length,
        in_mm(Input::OutletBore, OUTLET_BORE),
    );
    let brink = riser
        .text("outlet_brink")
        .map_or(Some(BrinkHead::default()), |name| {
            sheet.keep(name.parse(), "riser.outlet_brink")
        });
    let depth = riser.quantity(
        "outlet_depth",
        quantity::length,
        in_m(Input::OutletDepth, OUTLET_HEIGHT),
    );
    let head = riser.quantity(
        "outlet_head",
        quantity::length,
        in_m(Input::OutletHead, OUTLET_HEIGHT),
    );
    let own: [(&str, &str); 4] = [
        ("outlet_bore", "elbow"),
        ("outlet_brink", "elbow"),
        ("outlet_depth", "submerged"),
        ("outlet_head", "open_top"),
    ];
    let Some(&outlet) = Outlet::NAMES.iter().find(|known| **known == name) else {
        sheet.refused(
            Error::unknown_name(NameKind::Outlet, name, Outlet::NAMES),
            "riser.outlet",
        );
        return None;
    };
    for (key, belongs_to) in own {
        if riser.has(key) && outlet != belongs_to {
            riser.fault(key, Problem::OtherOutlet { belongs_to, outlet });
        }
    }
    Some(match outlet {
        "elbow" => Outlet::Elbow {
            loss,
            bore,
            head: brink?,
        },
        "submerged" => {
            if !riser.has("outlet_depth") {
                let expected =
                    "the depth of the mouth below the receiving level, such as \"50 mm\"";
                riser.fault("outlet_depth", Problem::Missing { expected });
            }
            Outlet::Submerged {
                depth: depth?,
                loss,
            }
        }
        "open_top" => Outlet::OpenTop {
            head: head.unwrap_or_default(),
            loss,
        },
        _ => Outlet::Plain { loss },
    })
}

fn in_m(what: Input, range: Range) -> Bound<Length> {
    (what, range, |length| length.get::<meter>())
}

fn in_mm(what: Input, range: Range) -> Bound<Length> {
    (what, range, |length| length.get::<millimeter>())
}
