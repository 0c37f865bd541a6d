//! The pressure that a plant asks for and the pressure that its blowers give, over the air flow.

use super::blower::SiteCurve;
use super::existing::{Existing, Steady};
use super::feed::AirFeed;
use super::line::AirLine;
use super::manifold::Manifold;
use super::plant::Plant;
use super::whole::SolvedSupply;
use crate::air::AirFlow;
use crate::error::{Error, Input, range};
use crate::units::{AbsolutePressure, Pressure};

range!(CURVE_POINTS, 2 to 10_000 "points", "Points that a curve can be asked for.");

/// The system's curve ends at this many times the largest air flow that is marked on it.
const BEYOND: f64 = 1.25;

/// Pressure rise at an air flow.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PressurePoint {
    /// Air flow.
    pub air: AirFlow,
    /// Pressure rise from the intake to the blower's discharge.
    pub rise: Pressure,
}

/// The curves whose crossing is what blowers and lifts do.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PressureCurves {
    /// What main line, header and running lifts need, with nothing bled.
    pub system: Vec<PressurePoint>,
    /// What the running blowers give together; empty without a table.
    pub blowers: Vec<PressurePoint>,
    /// What one blower less gives; empty when none is left.
    pub one_less: Vec<PressurePoint>,
}

impl Manifold {
    /// The pressure rise that pushes an air flow through a main line and these running lifts, over air flows
    /// evenly spaced up to the largest.
    ///
    /// Flows at which header and risers do not settle, as they may not below the threshold of some riser, are
    /// left out.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`CURVE_POINTS`].
    ///
    /// # Examples
    /// ```
    /// # use risewater::riser::{Dimensions, RiserSpec, Site};
    /// # use risewater::supply::{Branch, Header};
    /// # use risewater::{Model, Water};
    /// use risewater::air::{AirFlow, AirState};
    /// use risewater::supply::{AirLine, Manifold};
    /// use risewater::units::*;
    ///
    /// # let m = Length::new::<meter>;
    /// # let site = Site {
    /// #     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?,
    /// #     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    /// # };
    /// # let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.2), lift: m(0.15) })
    /// #     .build(&site, Model::default())?;
    /// # let drop = AirLine::new(Length::new::<millimeter>(10.0), m(2.5));
    /// # let header = Header::new(AirLine::new(m(0.0525), m(0.0)), vec![Branch::new("one", m(2.0), drop)]);
    /// # let manifold = Manifold::new(header, vec![riser])?;
    /// let main = AirLine::new(Length::new::<millimeter>(20.0), Length::new::<meter>(10.0));
    /// let largest = AirFlow::at(VolumeRate::new::<liter_per_minute>(200.0), &AirState::DRY_20_C)?;
    /// let curve = manifold.system_curve(&main, AbsolutePressure::STANDARD_ATMOSPHERE, largest, 4)?;
    /// // 1.2 m of water at 14 °C weigh 11.76 kPa; foam weighs less, but the lines cost.
    /// assert!(curve[0].rise < Pressure::new::<kilopascal>(12.5));
    /// assert!(curve[3].rise > curve[2].rise);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn system_curve(
        &self,
        main: &AirLine,
        intake: AbsolutePressure,
        largest: AirFlow,
        points: usize,
    ) -> Result<Vec<PressurePoint>, Error> {
        CURVE_POINTS.check(Input::CurvePoints, points as f64)?;
        let at = |n: usize| {
            let air = AirFlow::from_kg_per_s(largest.kg_per_s() * n as f64 / points as f64);
            let running = self.run(&AirFeed::Air(air))?;
            let discharge = main.inlet(air, running.split.pressure)?.inlet;
            let rise = discharge - intake;
            Ok::<_, Error>(PressurePoint { air, rise })
        };
        Ok((1..=points).filter_map(|n| at(n).ok()).collect())
    }
}

impl SiteCurve {
    /// The curve as points, evenly spaced from its smallest to its largest air flow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`CURVE_POINTS`].
    ///
    /// # Examples
    /// As [`Manifold::system_curve`].
    pub fn points(&self, points: usize) -> Result<Vec<PressurePoint>, Error> {
        CURVE_POINTS.check(Input::CurvePoints, points as f64)?;
        let (first, last) = self.flows_kg_per_s();
        let at = |n: usize| {
            let share = n as f64 / (points - 1) as f64;
            let air = AirFlow::from_kg_per_s(first + share * (last - first));
            let rise = self.rise(air)?;
            Ok(PressurePoint { air, rise })
        };
        (0..points).map(at).collect()
    }
}

impl Existing {
    /// The curves of a plant that runs: the system's from start to a quarter past the air of its lifts, and what the
    /// blowers leave them once some is bled; one blower less is not asked.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`CURVE_POINTS`].
    ///
    /// # Examples
    /// As [`Manifold::system_curve`].
    pub fn pressure_curves(&self, steady: &Steady, points: usize) -> Result<PressureCurves, Error> {
        let (first, last) = steady
            .curve
            .as_ref()
            .map_or((0.0, 0.0), SiteCurve::flows_kg_per_s);
        // Where no lift has air, that of the middle of the table.
        let air = match steady.running.split.air.kg_per_s() {
            0.0 => f64::midpoint(first, last),
            air => air,
        };
        let largest = AirFlow::from_kg_per_s(BEYOND * air);
        let system =
            steady
                .manifold
                .system_curve(&steady.main, steady.intake.pressure, largest, points)?;
        let blowers = match &steady.curve {
            Some(curve) => curve.points(points)?,
            None => Vec::new(),
        };
        let left = |point: PressurePoint| {
            let bled = self.bled(steady, point.air, point.rise).ok()?;
            let air = point.air.kg_per_s() - bled.kg_per_s();
            (air >= 0.0).then(|| PressurePoint {
                air: AirFlow::from_kg_per_s(air),
                ..point
            })
        };
        Ok(PressureCurves {
            system,
            blowers: blowers.into_iter().filter_map(left).collect(),
            one_less: Vec::new(),
        })
    }
}

impl SolvedSupply {
    /// The plant's curves: the system's from start to a quarter past the largest air flow of design, running
    /// blowers and bleed.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`CURVE_POINTS`], and as [`Blower::at`](super::blower::Blower::at).
    ///
    /// # Examples
    /// As [`Manifold::system_curve`].
    pub fn pressure_curves(&self, plant: &Plant, points: usize) -> Result<PressureCurves, Error> {
        let duty = &self.duty;
        let marked = [
            Some(duty.air),
            self.operation.as_ref().map(|o| o.unbled.split.air),
        ];
        let largest = marked
            .into_iter()
            .flatten()
            .map(AirFlow::kg_per_s)
            .fold(0.0, f64::max);
        let system = self.manifold.system_curve(
            &self.main,
            duty.intake.pressure,
            AirFlow::from_kg_per_s(BEYOND * largest),
            points,
        )?;
        let (mut blowers, mut one_less) = (Vec::new(), Vec::new());
        if let (Some(operation), Some(bank)) = (&self.operation, &plant.blowers) {
            blowers = operation.curve.points(points)?;
            if bank.running > 1 {
                let one = bank.blower.at(&duty.intake)?;
                one_less = one.in_parallel(bank.running - 1)?.points(points)?;
            }
        }
        Ok(PressureCurves {
            system,
            blowers,
            one_less,
        })
    }
}
