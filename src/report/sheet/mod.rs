//! The design sheet of an air supply: one page of HTML to print, keep and read on a phone.
//!
//! The page holds its style and its pictures and asks for nothing from outside; it has no script and no date.
//! Its markup is well-formed XML as well as HTML. On paper it is always light; on a screen it follows the
//! reader's theme.

mod air;
mod blower;
mod chain;
mod duty;
mod energy;
mod gases;
mod lifts;
mod markup;
mod notes;
mod optimum;
mod page;
mod riser;
mod shifts;

use crate::answer::SizeAnswer;
use crate::caution::Caution;
use crate::chart::ChartError;
use crate::error::Error;
use crate::need::RoomNeed;
use crate::report::{DoubtCost, SupplyGases, UnitSystem};
use crate::supply::{BestDepth, SolvedSupply, Supply};

/// What a design sheet is made of.
///
/// # Examples
/// ```
/// # use risewater::air::{AirFlow, AirState};
/// # use risewater::riser::{Dimensions, RiserSpec, Site};
/// # use risewater::supply::blower::Efficiency;
/// # use risewater::supply::{AirLine, Branch, Header, Manifold, Piping, Plant, Run, Supply};
/// # use risewater::units::*;
/// # use risewater::{Model, Water};
/// use risewater::report::DesignSheet;
///
/// # let m = Length::new::<meter>;
/// # let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0))?;
/// # let site = Site { water, atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE };
/// # let dimensions = Dimensions { bore: m(0.0762), submergence: m(1.2), lift: m(0.15) };
/// # let riser = RiserSpec::new(dimensions).build(&site, Model::default())?;
/// # let run = |length| Run::new(m(0.02), m(length));
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
/// #     piping: Piping { main: run(4.0), header: run(1.0), branches: vec![run(2.0)] },
/// #     tariff: None,
/// #     stock: None,
/// #     blower_height: None,
/// #     wanted_main_loss: None,
/// #     level_changes: Vec::new(),
/// # };
/// let solved = supply.solve()?;
/// let page = DesignSheet::new("Nursery", &supply, &solved).html()?;
/// assert!(page.contains("tank &lt;1&gt;"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct DesignSheet<'a> {
    /// Headline: what the design is called.
    pub title: &'a str,
    /// The plant and what was asked.
    pub supply: &'a Supply,
    /// Its solution.
    pub solved: &'a SolvedSupply,
    /// The search that chose the lifts, where there was one.
    pub size: Option<&'a SizeAnswer>,
    /// What the animals need, where that is known.
    pub need: Option<&'a RoomNeed>,
    /// Gases of the water, where a file tells of them.
    pub gases: Option<&'a SupplyGases>,
    /// Depths of least power, the best first; none where they were not searched.
    pub optimum: &'a [BestDepth],
    /// What the doubt about the lifts costs, where it was asked for.
    pub doubt_cost: Option<DoubtCost>,
    /// What was taken for granted, in words.
    pub assumptions: &'a [String],
    /// Cautions beside those of the solution.
    pub cautions: &'a [Caution],
    /// Units of its numbers.
    pub units: UnitSystem,
}

/// Why there is no sheet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// Something could not be solved.
    #[error(transparent)]
    Solve(#[from] Error),
    /// A picture could not be drawn.
    #[error(transparent)]
    Chart(#[from] ChartError),
}

impl<'a> DesignSheet<'a> {
    /// A sheet in metric units with neither search nor assumptions.
    #[must_use]
    pub fn new(title: &'a str, supply: &'a Supply, solved: &'a SolvedSupply) -> Self {
        Self {
            title,
            supply,
            solved,
            size: None,
            need: None,
            gases: None,
            optimum: &[],
            doubt_cost: None,
            assumptions: &[],
            cautions: &[],
            units: UnitSystem::Metric,
        }
    }

    /// Every caution: of the solution, those beside it, and of the search at low water.
    fn all_cautions(&self) -> impl Iterator<Item = Caution> {
        let low = self.size.and_then(|size| {
            size.cautions
                .iter()
                .find(|one| matches!(one, Caution::ShortAtLowWater { .. }))
        });
        let told = self.solved.cautions.iter().chain(self.cautions);
        told.chain(low).cloned()
    }

    /// The page.
    ///
    /// # Errors
    /// [`SheetError::Solve`] as [`CurveReport::of`](crate::answer::CurveAnswer::of) and
    /// [`SolvedSupply::pressure_curves`], [`SheetError::Chart`] for numbers that no picture takes.
    ///
    /// # Examples
    /// See [`DesignSheet`].
    pub fn html(&self) -> Result<String, SheetError> {
        let sections = [
            chain::section(self),
            Some(duty::section(self)),
            riser::section(self)?,
            Some(air::section(self)?),
            Some(blower::section(self)?),
            Some(lifts::section(self)?),
            gases::section(self),
            shifts::section(self),
            optimum::section(self)?,
            energy::section(self),
            Some(notes::parts(self)),
            Some(notes::cautions(self)),
            notes::assumptions(self),
            Some(notes::sources(self)),
        ];
        Ok(page::page(
            self,
            &sections.into_iter().flatten().collect::<Vec<_>>(),
        ))
    }
}
