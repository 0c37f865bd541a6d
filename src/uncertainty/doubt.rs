//! What the law needs to know of one operating point.

use std::cell::RefCell;

use crate::air::AirFlow;
use crate::caution::Stretch;
use crate::error::Error;
use crate::model::{DEVELOPING_LENGTH, DevelopingLength};
use crate::riser::{Alike, InjectorKind, LOSS_COEFFICIENT, OperatingPoint, Riser, RiserSpec};
use crate::slip::Slip;
use crate::units::{GRAVITY_M_PER_S2, Length, Ratio, base, meter, millimeter, per_mille, ratio};

/// The rig's own error: our own prior.
const RIG: f64 = 0.13;
/// What an injector of a kind that none of the rigs had adds to it, in ln q: our own choice. A posted test of rings
/// has 13 % less water with the worst of them ([`AQUARIUM_RINGS`](crate::references::AQUARIUM_RINGS)), ln 0.87 = −0.14;
/// of the injectors of [`KASSAB_2022`](crate::references::KASSAB_2022) one gives 823 where another gives 928 kg/h, −0.12.
const INJECTOR: f64 = 0.14;
/// The shape's: our own fit.
const SHAPE: f64 = 0.15;
/// The shape's of the closure for low submergence ratios, at and below the lower of [`RAMP`]: our own fit to one riser.
const SHAPE_LOW: f64 = 0.3;
/// Submergence ratios between which it goes over from the one to the other.
const RAMP: [f64; 2] = [0.3, 0.4];
/// Reach of the shape's error in submergence ratio: our own fit.
const REACH_IN_DEPTH: f64 = 0.12;
/// Reach of the shape's error in the logarithm of the air's Froude number: our own fit.
const REACH_IN_AIR: f64 = 0.57;
/// Smallest logarithm of a ratio of flows that counts.
const LEAST: f64 = -2.0;
/// Bores up to this one are as wide as those behind the 8 bores, mm.
const WIDE_MM: f64 = 25.0;
/// Step of the entrance loss.
const ENTRANCE_STEP: f64 = 0.5;
/// Factor on an outlet's head: what the readings of a brink or a rim leave open.
const HEAD_FACTOR: f64 = 1.3;

/// A part of the error that has a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
#[non_exhaustive]
pub enum Cause {
    /// The developing length.
    #[strum(to_string = "developing length")]
    DevelopingLength,
    /// The rule of the developing length in wide pipe.
    #[strum(to_string = "wide pipe")]
    WidePipe,
    /// The entrance.
    Entrance,
    /// The outlet's head.
    Outlet,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::DevelopingLength,
        Self::WidePipe,
        Self::Entrance,
        Self::Outlet,
    ];

    /// Standard deviation before any trial, of what the point's slope is multiplied with.
    #[must_use]
    pub const fn prior(self) -> f64 {
        match self {
            Self::WidePipe => 0.5,
            Self::DevelopingLength | Self::Entrance | Self::Outlet => 1.0,
        }
    }
}

/// One operating point as the [law of error](crate::uncertainty) sees it.
///
/// ```
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::uncertainty::Doubt;
/// use risewater::units::*;
/// use risewater::{AirFlow, AirState, Model, Water};
///
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// let riser = RiserSpec::new(Dimensions {
///     bore: Length::new::<millimeter>(77.3),
///     submergence: Length::new::<meter>(1.2),
///     lift: Length::new::<meter>(0.15),
/// })
/// .build(&site, Model::default())?;
/// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(80.0), &AirState::DRY_20_C)?;
/// let outcome = riser.operate(air)?;
/// let point = outcome.point().ok_or("no water")?;
/// // An independent implementation of the law: 0.414492.
/// assert_eq!(format!("{:.3}", Doubt::of(&riser, point)?.standard()), "0.414");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    submergence_ratio: f64,
    ln_froude: f64,
    /// s₁
    shape: f64,
    slopes: [f64; 4],
    stretch: f64,
    /// s₀
    rig: f64,
}

impl Doubt {
    /// The doubt of an operating point of a riser.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn of(riser: &Riser, point: &OperatingPoint) -> Result<Self, Error> {
        Self::at(&Variants::of(riser, point.air, Some(point)))
    }

    /// The same of a riser at an air flow; where no water flows, what it goes to as the flow goes to none.
    pub(super) fn at(variants: &Variants) -> Result<Self, Error> {
        let (riser, air) = (variants.riser, variants.air);
        let flow = variants.point.map_or(0.0, |point| point.water_flow.value);
        let spec = riser.spec();
        let bore_m = spec.free_bore().get::<meter>();
        // Fr = Q_a/(A √(gD))
        let area = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
        let velocity = air.volume_rate_at_20_c().value / area;
        let froude = velocity / (GRAVITY_M_PER_S2 * bore_m).sqrt();
        let submergence_ratio = spec.submergence_ratio();
        Ok(Self {
            submergence_ratio,
            // Without air too there is a logarithm.
            ln_froude: froude.max(f64::MIN_POSITIVE).ln(),
            shape: shape(riser.model().slip, submergence_ratio),
            slopes: variants.slopes(flow)?,
            // F: the factors multiply.
            stretch: stretches(riser).map(|(_, factor)| factor).product(),
            rig: unlike_the_rigs(spec).map_or(RIG, |_| RIG.hypot(INJECTOR)),
        })
    }

    /// Submergence over riser length.
    #[must_use]
    pub fn submergence_ratio(&self) -> f64 {
        self.submergence_ratio
    }

    /// ln Fr, the logarithm of the air's Froude number.
    #[must_use]
    pub fn ln_froude(&self) -> f64 {
        self.ln_froude
    }

    /// F, by which the law widens beyond the rigs behind it.
    #[must_use]
    pub fn stretch(&self) -> f64 {
        self.stretch
    }

    /// s₀, the standard deviation of the rig's own error.
    pub(super) fn rig(&self) -> f64 {
        self.rig
    }

    /// Slope of the logarithm of the flow by a source.
    #[must_use]
    pub fn slope(&self, source: Cause) -> f64 {
        self.slopes[source as usize]
    }

    /// The slope as it enters the covariance.
    pub(super) fn scaled(&self, source: Cause) -> f64 {
        self.stretch * self.slope(source)
    }

    /// Covariance with another point of the same rig.
    pub(super) fn covariance(&self, other: &Self) -> f64 {
        let causes: f64 = Cause::ALL
            .iter()
            .map(|source| source.prior().powi(2) * self.scaled(*source) * other.scaled(*source))
            .sum();
        self.unexplained(other) + causes
    }

    /// The part of the covariance that has no cause: the rig's own error and the shape's.
    pub(super) fn unexplained(&self, other: &Self) -> f64 {
        self.stretch * other.stretch * self.rig * other.rig + self.shape_with(other)
    }

    /// The shape's part of the covariance.
    pub(super) fn shape_with(&self, other: &Self) -> f64 {
        let depth = (self.submergence_ratio - other.submergence_ratio) / REACH_IN_DEPTH;
        let air = (self.ln_froude - other.ln_froude) / REACH_IN_AIR;
        let alike = (-0.5 * (depth * depth + air * air)).exp();
        self.stretch * other.stretch * self.shape * other.shape * alike
    }

    /// Standard deviation of ln(true/predicted) before any trial.
    #[must_use]
    pub fn standard(&self) -> f64 {
        self.covariance(self).sqrt()
    }
}

/// s₁ of a closure at a submergence ratio.
fn shape(slip: Slip, submergence_ratio: f64) -> f64 {
    if slip != Slip::SmithDrift {
        return SHAPE;
    }
    let [low, high] = RAMP;
    let share = ((high - submergence_ratio) / (high - low)).clamp(0.0, 1.0);
    SHAPE + share * (SHAPE_LOW - SHAPE)
}

/// ln[q(b)/q(a)], not below [`LEAST`]; where nothing flows on either side, none.
fn change(a: f64, b: f64) -> f64 {
    if a > 0.0 && b > 0.0 {
        (b / a).ln().max(LEAST)
    } else if a > 0.0 {
        LEAST
    } else {
        0.0
    }
}

/// One uncertain thing set otherwise, to what can be.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Setting {
    DevelopingLength(Length),
    EntranceLoss(Ratio),
    /// Factor on the outlet's head.
    Head(f64),
    /// No developing length, entrance loss or head.
    Best,
}

impl Setting {
    /// The riser with it; none where it does not have such a thing.
    fn of(self, riser: &Riser) -> Option<Riser> {
        match self {
            Self::DevelopingLength(length) => Some(riser.with_developing_length(length)),
            Self::EntranceLoss(loss) => Some(riser.with_entrance_loss(loss)),
            Self::Head(factor) => riser.with_head_factor(factor),
            Self::Best => {
                let best = riser
                    .with_developing_length(base(0.0))
                    .with_entrance_loss(base(0.0));
                Some(best.with_head_factor(0.0).unwrap_or(best))
            }
        }
    }
}

/// The riser with one uncertain thing set otherwise, at one air flow.
pub(super) struct Variants<'a> {
    riser: &'a Riser,
    air: AirFlow,
    point: Option<&'a OperatingPoint>,
    alike: RefCell<Option<Alike>>,
}

impl<'a> Variants<'a> {
    /// Of a riser at an air flow; its own operating point, where it has one, is where solutions set out from.
    pub fn of(riser: &'a Riser, air: AirFlow, point: Option<&'a OperatingPoint>) -> Self {
        Self {
            riser,
            air,
            point,
            alike: RefCell::new(None),
        }
    }

    /// Water flow with a setting, m³/s; none where the riser has no such thing.
    fn with(&self, setting: Setting) -> Result<Option<f64>, Error> {
        let Some(riser) = setting.of(self.riser) else {
            return Ok(None);
        };
        let Some(point) = self.point else {
            return Ok(Some(riser.operate(self.air)?.water_flow().value));
        };
        let mut alike = self.alike.borrow_mut();
        let alike = alike.get_or_insert_with(|| self.riser.alike(point));
        riser.flow_among(alike).map(Some)
    }

    fn developing(&self) -> Length {
        let model = self.riser.model();
        model.developing_length.of(self.riser.spec().free_bore())
    }

    /// With a developing length, kept to what can be.
    fn with_developing(&self, length: Length) -> Result<Option<f64>, Error> {
        let length_m = length.get::<meter>().clamp(0.0, DEVELOPING_LENGTH.max);
        self.with(Setting::DevelopingLength(Length::new::<meter>(length_m)))
    }

    /// With the developing length so many times as long.
    fn times_developing(&self, factor: f64) -> Result<Option<f64>, Error> {
        self.with_developing(factor * self.developing())
    }

    /// With the developing length on the way from its own (0) to 8 bores (1); none in narrow pipe.
    fn toward_bores(&self, share: f64) -> Result<Option<f64>, Error> {
        let bore = self.riser.spec().free_bore();
        if bore.get::<millimeter>() <= WIDE_MM {
            return Ok(None);
        }
        let (own, bores) = (self.developing(), DevelopingLength::MOST_BORES * bore);
        self.with_developing(own + share * (bores - own))
    }

    /// With another entrance loss, kept to what can be.
    fn with_entrance(&self, loss: Ratio) -> Result<Option<f64>, Error> {
        let loss = base(loss.value.clamp(0.0, LOSS_COEFFICIENT.max));
        self.with(Setting::EntranceLoss(loss))
    }

    /// With the outlet's head so many times as high; none without such a head.
    fn times_head(&self, factor: f64) -> Result<Option<f64>, Error> {
        self.with(Setting::Head(factor))
    }

    /// Water flow with every source at the best that can be: no developing length, entrance loss or head.
    pub fn best(&self) -> Result<f64, Error> {
        Ok(self.with(Setting::Best)?.unwrap_or(0.0))
    }

    /// Slopes of ln q at a point, by [`Cause`].
    fn slopes(&self, own: f64) -> Result<[f64; 4], Error> {
        let developing = self
            .times_developing(0.5)?
            .map_or(0.0, |flow| change(flow, own));
        // 8 bores are the longer ones, and stop the flow first.
        let wide = match self.toward_bores(1.0)? {
            Some(flow) if flow > 0.0 => change(own, flow),
            Some(_) => LEAST,
            None => 0.0,
        };
        // From max(K_in − 0.5, 0) up to that + 0.5.
        let loss = self.riser.spec().entrance_loss;
        let low = (loss - base(ENTRANCE_STEP)).max(base(0.0));
        let entrance = |loss_there: Ratio| {
            if loss_there == loss {
                Ok(Some(own))
            } else {
                self.with_entrance(loss_there)
            }
        };
        let entrance = entrance(low)?
            .zip(entrance(low + base(ENTRANCE_STEP))?)
            .map_or(0.0, |(less, more)| change(less, more) / ENTRANCE_STEP);
        let outlet = self
            .times_head(HEAD_FACTOR)?
            .map_or(0.0, |flow| change(own, flow));
        Ok([developing, wide, entrance, outlet])
    }

    /// Water flows at both ends of a source that is uncertain by so many of its standard deviations before any
    /// trial; none where there is no such source.
    pub fn ends(&self, source: Cause, deviations: f64) -> Result<Option<[f64; 2]>, Error> {
        let shift = deviations * source.prior();
        let pair = |at: &dyn Fn(f64) -> Result<Option<f64>, Error>| {
            Ok(at(-shift)?.zip(at(shift)?).map(|(low, high)| [low, high]))
        };
        match source {
            // ln[q(ℓ)/q(ℓ/2)] stands for half of the length.
            Cause::DevelopingLength => pair(&|x| self.times_developing(1.0 + 0.5 * x)),
            Cause::WidePipe => pair(&|x| self.toward_bores(x)),
            Cause::Entrance => {
                let own = self.riser.spec().entrance_loss;
                pair(&|x| self.with_entrance(base(own.value + x)))
            }
            Cause::Outlet => pair(&|x| self.times_head(HEAD_FACTOR.powf(x))),
        }
    }
}

/// The injector of a riser, where it is of a kind that none of the rigs behind the law had.
pub(super) fn unlike_the_rigs(spec: &RiserSpec) -> Option<InjectorKind> {
    spec.injector.filter(|kind| !kind.is_of_the_rigs())
}

/// What makes the law wider than at the rigs behind it, each with its factor.
pub(super) fn stretches(riser: &Riser) -> impl Iterator<Item = (Stretch, f64)> {
    let bore = riser.spec().free_bore();
    let length = riser.spec().length();
    let bore_mm = bore.get::<millimeter>();
    let developing = riser.model().developing_length.of(bore);
    let bores = (length / bore).get::<ratio>();
    let salt = riser.site().water.salinity().get::<per_mille>();
    let factors = [
        (Stretch::Short, bores < 40.0, 1.4),
        (Stretch::Wide, bore_mm > 100.0, (bore_mm / 100.0).sqrt()),
        (Stretch::Salt, salt > 5.0, 1.2),
        (Stretch::MostlyDeveloping, developing > 0.5 * length, 1.4),
    ];
    factors
        .into_iter()
        .filter_map(|(what, applies, factor)| applies.then_some((what, factor)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Model;
    use crate::riser::{BrinkHead, Dimensions, Outlet, RiserSpec, Site};
    use crate::units::{AbsolutePressure, ThermodynamicTemperature, degree_celsius};
    use crate::water::Water;

    /// The best that can be is a riser built without developing length, entrance loss and head. An elbow's K of 1 is
    /// in its head.
    #[test]
    fn the_best_is_a_riser_built_without_losses() {
        let m = Length::new::<meter>;
        let k = Ratio::new::<ratio>;
        let site = Site {
            water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let build = |loss: f64, outlet: Outlet, model: Model| {
            let dimensions = Dimensions {
                bore: Length::new::<millimeter>(50.0),
                submergence: m(1.2),
                lift: m(0.3),
            };
            RiserSpec::new(dimensions)
                .with_entrance_loss(k(loss))
                .with_outlet(outlet)
                .build(&site, model)
                .unwrap()
        };
        let plain = Outlet::Plain { loss: k(0.0) };
        let spill = Outlet::OpenTop {
            head: m(0.04),
            loss: k(0.0),
        };
        let elbow = Outlet::Elbow {
            loss: k(1.0),
            bore: None,
            head: BrinkHead::Mixture,
        };
        let without = Model::default().with_developing_length(m(0.0));
        let built = build(0.0, plain, without);
        let threshold = |riser: &Riser| riser.threshold().unwrap().unwrap().kg_per_s();
        for outlet in [plain, spill, elbow] {
            let riser = build(1.5, outlet, Model::default());
            // Air that pumps, and air that does only where all is at its best.
            let (own, best) = (threshold(&riser), threshold(&built));
            for air in [10.0 * own, (own * best).sqrt()].map(AirFlow::from_kg_per_s) {
                let outcome = riser.operate(air).unwrap();
                assert_eq!(outcome.point().is_some(), air.kg_per_s() > own);
                let variants = Variants::of(&riser, air, outcome.point());
                let (best, built) = (variants.best().unwrap(), built.operate(air).unwrap());
                let built = built.water_flow().value;
                assert!(
                    (best / built - 1.0).abs() < 1e-5,
                    "{outlet}: {best}, built {built} m³/s"
                );
                assert!(best > outcome.water_flow().value, "{outlet}");
            }
        }
    }
}
