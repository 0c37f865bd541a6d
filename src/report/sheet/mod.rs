//! The sheets of an air supply and of a closed loop: one page of HTML to print, keep and read on a phone.
//!
//! A page holds its style and its pictures and asks for nothing from outside; it has no script and no date.
//! Its markup is well-formed XML as well as HTML. On paper it is always light; on a screen it follows the
//! reader's theme.

mod air;
mod blower;
mod build;
mod chain;
mod duty;
mod energy;
mod gases;
mod lifts;
mod loops;
mod markup;
mod notes;
mod optimum;
mod page;
mod riser;
mod search;
mod shifts;

pub use build::BuildPage;
pub use loops::LoopSheet;

use crate::answer::{CurveAnswer, CurveTerms, SizeAnswer, SupplyAnswer, Terms};
use crate::caution::Caution;
use crate::chart::{ChartError, PressureFigure};
use crate::error::Error;
use crate::report::UnitSystem;
use crate::supply::{SolvedSupply, Supply};
use crate::units::base;

/// Kinds of lifts of which one is drawn and its curve shown.
const SHOWN: usize = 4;
/// Points of a curve.
const POINTS: usize = 40;

/// What a design sheet is made of.
///
/// # Examples
/// ```
/// # use risewater::air::{AirFlow, AirState};
/// # use risewater::riser::{Dimensions, RiserSpec, Site};
/// # use risewater::supply::blower::Efficiency;
/// # use risewater::supply::{AirLine, Branch, Header, Manifold, Piping, Plant, PipeRun, Supply};
/// # use risewater::units::*;
/// # use risewater::{Model, Water};
/// use risewater::answer::{SupplyAnswer, SupplyTerms};
/// use risewater::report::DesignSheet;
///
/// # let m = Length::new::<meter>;
/// # let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?;
/// # let site = Site { water, atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE };
/// # let dimensions = Dimensions { bore: m(0.0762), submergence: m(1.2), lift: m(0.15) };
/// # let riser = RiserSpec::new(dimensions).build(&site, Model::default())?;
/// # let run = |length| PipeRun::new(m(0.02), m(length));
/// # let header = Header::new(AirLine::new(m(0.05), m(0.0)), vec![Branch::new("tank <1>", m(1.0), AirLine::new(m(0.02), m(2.0)))]);
/// # let supply = Supply {
/// #     plant: Plant {
/// #         manifold: Manifold::new(header, vec![riser])?,
/// #         design: vec![AirFlow::at(VolumeRate::new::<liter_per_minute>(60.0), &AirState::DRY_20_C)?],
/// #         main: AirLine::new(m(0.05), m(4.0)),
/// #         outside: AirState::DRY_20_C,
/// #         intake_loss: Pressure::new::<kilopascal>(0.5),
/// #         arrival: Some(ThermodynamicTemperature::new::<degree_celsius>(25.0)),
/// #         balancing: None,
/// #         efficiency: Efficiency::Unknown,
/// #         rise_margin: Ratio::new::<percent>(10.0),
/// #         blowers: None,
/// #     },
/// #     piping: Piping { main: run(4.0), header: run(1.0), branches: vec![run(2.0)], risers: vec![None] },
/// #     tariff: None,
/// #     stock: None,
/// #     blower_height: None,
/// #     wanted_main_loss: None,
/// #     level_changes: Vec::new(),
/// # };
/// let solved = supply.solve()?;
/// let answer = SupplyAnswer::of(&supply, &solved, &SupplyTerms::default())?;
/// let page = DesignSheet::of("Nursery", &supply, &solved, &answer)?.html()?;
/// assert!(page.contains("tank &lt;1&gt;"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct DesignSheet<'a> {
    /// Headline: what the design is called.
    pub title: &'a str,
    /// What the plant comes to.
    pub answer: &'a SupplyAnswer,
    /// The search that chose the lifts, where there was one.
    pub size: Option<&'a SizeAnswer>,
    /// Units of its numbers.
    pub units: UnitSystem,
    /// Curve of one lift of each of the first kinds; none where no water flows.
    curves: Vec<Option<CurveAnswer>>,
    pressure: PressureFigure,
}

impl<'a> DesignSheet<'a> {
    /// A sheet in metric units without a search: the answer, with the curves of its lifts and its blowers.
    ///
    /// # Errors
    /// As [`CurveAnswer::of`] and [`SolvedSupply::pressure_curves`].
    ///
    /// # Examples
    /// See [`DesignSheet`].
    pub fn of(
        title: &'a str,
        supply: &Supply,
        solved: &SolvedSupply,
        answer: &'a SupplyAnswer,
    ) -> Result<Self, Error> {
        let lifts = &supply.plant.manifold;
        let terms = Terms {
            law: lifts.law().clone(),
            ..Terms::default()
        };
        let kinds = supply.plant.kinds();
        let kinds = kinds.iter().zip(&answer.kinds).take(SHOWN);
        let curves = kinds.map(|(places, kind)| {
            let riser = &lifts.risers()[places[0]];
            let flow = kind
                .point
                .as_ref()
                .map(|point| base(point.water_flow_m3_per_s));
            flow.map(|flow| {
                let asked = CurveTerms {
                    points: POINTS,
                    wanted: Some(flow),
                    ..CurveTerms::default()
                };
                CurveAnswer::of(riser, &asked, &terms)
            })
            .transpose()
        });
        Ok(Self {
            title,
            answer,
            size: None,
            units: UnitSystem::Metric,
            curves: curves.collect::<Result<_, Error>>()?,
            pressure: PressureFigure::of(&supply.plant, solved)?,
        })
    }

    /// Every caution: of the answer, and of the search at low water.
    fn all_cautions(&self) -> impl Iterator<Item = &Caution> {
        let of_search = self.size.iter().flat_map(|size| &size.cautions);
        let low = of_search.filter(|one| matches!(one, Caution::ShortAtLowWater { .. }));
        self.answer.cautions.iter().chain(low)
    }

    /// The page.
    ///
    /// # Errors
    /// [`ChartError`] for numbers that no picture takes.
    ///
    /// # Examples
    /// See [`DesignSheet`].
    pub fn html(&self) -> Result<String, ChartError> {
        let sections = [
            chain::section(self),
            Some(duty::section(self)),
            Some(air::section(self)),
            riser::section(self)?,
            Some(blower::section(self)?),
            Some(lifts::section(self)?),
            gases::section(self),
            shifts::section(self),
            energy::section(self)?,
            Some(notes::parts(self)),
            Some(notes::cautions(self)),
            notes::assumptions(self),
            Some(notes::sources(&self.answer.sources)),
        ];
        let sections: Vec<_> = sections.into_iter().flatten().collect();
        Ok(page::page(&page::front(self), &sections))
    }
}
