//! What the law needs to know of one operating point.

use std::fmt;

use crate::error::Error;
use crate::model::DevelopingLength;
use crate::riser::{OperatingPoint, Riser, RiserSpec};
use crate::slip::Slip;
use crate::units::{GRAVITY_M_PER_S2, Length, Ratio, base, meter, millimeter, per_mille, ratio};

/// The rig's own error: our own prior.
const RIG: f64 = 0.13;
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Source {
    /// The developing length.
    DevelopingLength,
    /// The rule of the developing length in wide pipe.
    WidePipe,
    /// The entrance.
    Entrance,
    /// The outlet's head.
    Outlet,
}

impl Source {
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

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::DevelopingLength => "developing length",
            Self::WidePipe => "wide pipe",
            Self::Entrance => "entrance",
            Self::Outlet => "outlet",
        })
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
}

impl Doubt {
    /// The doubt of an operating point of a riser.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn of(riser: &Riser, point: &OperatingPoint) -> Result<Self, Error> {
        let spec = riser.spec();
        let (bore, length) = (spec.free_bore(), spec.length());
        let bore_m = bore.get::<meter>();
        // Fr = Q_a/(A √(gD))
        let area = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
        let velocity = point.air.volume_rate_at_20_c().value / area;
        let submergence_ratio = spec.submergence_ratio();
        Ok(Self {
            submergence_ratio,
            ln_froude: (velocity / (GRAVITY_M_PER_S2 * bore_m).sqrt()).ln(),
            shape: shape(riser.model().slip, submergence_ratio),
            slopes: slopes(riser, point)?,
            stretch: stretch(riser, length, bore),
        })
    }

    /// Slope of the logarithm of the flow by a source.
    #[must_use]
    pub fn slope(&self, source: Source) -> f64 {
        self.slopes[source as usize]
    }

    /// The slope as it enters the covariance.
    #[cfg(feature = "trial")]
    pub(super) fn scaled_slope(&self, source: Source) -> f64 {
        self.stretch * self.slope(source)
    }

    /// Covariance with another point of the same rig.
    pub(super) fn covariance(&self, other: &Self) -> f64 {
        let near = |distance: f64, reach: f64| (-0.5 * (distance / reach).powi(2)).exp();
        let alike = near(
            self.submergence_ratio - other.submergence_ratio,
            REACH_IN_DEPTH,
        ) * near(self.ln_froude - other.ln_froude, REACH_IN_AIR);
        let causes: f64 = Source::ALL
            .iter()
            .map(|source| source.prior().powi(2) * self.slope(*source) * other.slope(*source))
            .sum();
        self.stretch * other.stretch * (RIG * RIG + self.shape * other.shape * alike + causes)
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

fn slopes(riser: &Riser, point: &OperatingPoint) -> Result<[f64; 4], Error> {
    let (spec, model) = (riser.spec(), riser.model());
    let bore = spec.free_bore();
    let own = point.water_flow.value;
    let flow = |riser: Riser| Ok::<f64, Error>(riser.operate(point.air)?.water_flow().value);
    let with_length =
        |length: DevelopingLength| flow(riser.with_model(model.with_developing_length(length))?);
    let with_spec = |spec: RiserSpec| flow(riser.with_spec(spec)?);

    let half = 0.5 * model.developing_length.of(bore);
    let developing = change(with_length(half.into())?, own);
    let wide = if bore.get::<millimeter>() > WIDE_MM {
        let bores = Ratio::new::<ratio>(DevelopingLength::MOST_BORES);
        change(own, with_length(bores.into())?)
    } else {
        0.0
    };
    // From max(K_in − 0.5, 0) up to that + 0.5.
    let low = (spec.entrance_loss - base(ENTRANCE_STEP)).max(base(0.0));
    let entrance = |loss: Ratio| {
        if loss == spec.entrance_loss {
            Ok(own)
        } else {
            with_spec(spec.with_entrance_loss(loss))
        }
    };
    let entrance = change(entrance(low)?, entrance(low + base(ENTRANCE_STEP))?) / ENTRANCE_STEP;
    let outlet = match riser.with_head_factor(HEAD_FACTOR) {
        Some(higher) => change(own, flow(higher)?),
        None => 0.0,
    };
    Ok([developing, wide, entrance, outlet])
}

/// F: where the law reaches beyond the rigs behind it.
fn stretch(riser: &Riser, length: Length, bore: Length) -> f64 {
    let bore_mm = bore.get::<millimeter>();
    let developing = riser.model().developing_length.of(bore);
    let factors = [
        ((length / bore).get::<ratio>() < 40.0, 1.4),
        (bore_mm > 100.0, (bore_mm / 100.0).sqrt()),
        (riser.site().water.salinity().get::<per_mille>() > 5.0, 1.2),
        (developing > 0.5 * length, 1.4),
    ];
    factors
        .into_iter()
        .filter_map(|(applies, factor)| applies.then_some(factor))
        .product()
}
