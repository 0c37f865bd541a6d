//! What the bacteria of a filter take and give for the ammonia that they oxidise.

use crate::error::{Error, Input, range};
use crate::units::{Ratio, base, ratio};

range!(CELL_YIELD, 0 to 0.3, "Moles of cells for a mole of nitrogen: above 2/7 no oxygen would be taken.");
range!(RESPIRATORY_QUOTIENT, 0.5 to 1.5, "Moles of carbon dioxide for a mole of oxygen.");

// g/mol, rounded to the digits that balances of water treatment use: H, C, N, O, Ca.
const H: f64 = 1.008;
const C: f64 = 12.011;
const N: f64 = 14.007;
const O: f64 = 15.999;
const CA: f64 = 40.078;

const OXYGEN: f64 = 2.0 * O;
const CARBON_DIOXIDE: f64 = C + 2.0 * O;
const CALCIUM_CARBONATE: f64 = CA + C + 3.0 * O;
/// C₅H₇O₂N.
const CELLS: f64 = 5.0 * C + 7.0 * H + 2.0 * O + N;

/// Carbon dioxide that a mass of nitrogen binds when animals excrete it as NH₃, a base:
/// NH₃ + CO₂ + H₂O → NH₄⁺ + HCO₃⁻.
pub(super) const BOUND_PER_NITROGEN: f64 = CARBON_DIOXIDE / N;

/// The base that makes the alkalinity good, which nitrification uses up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Base {
    /// Sodium bicarbonate, or alkalinity that comes with new water: brings its carbon along.
    Bicarbonate,
    /// Sodium or calcium carbonate: takes up half a mole of carbon dioxide for a mole of alkalinity.
    Carbonate,
    /// Sodium or calcium hydroxide: takes up one mole.
    Hydroxide,
}

impl Base {
    /// Moles of carbon dioxide taken up for a mole of alkalinity.
    const fn takes(self) -> f64 {
        match self {
            Self::Bicarbonate => 0.0,
            Self::Carbonate => 0.5,
            Self::Hydroxide => 1.0,
        }
    }
}

/// Moles for one mole of nitrogen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moles {
    /// Oxygen taken.
    pub oxygen: f64,
    /// Bicarbonate taken.
    pub bicarbonate: f64,
    /// Cells made.
    pub cells: f64,
    /// Nitrate made.
    pub nitrate: f64,
    /// Carbon dioxide given off.
    pub carbon_dioxide: f64,
}

/// Masses for a mass of nitrogen that is oxidised.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Nitrification {
    /// Oxygen.
    pub oxygen: Ratio,
    /// Alkalinity as CaCO₃, of the filter by itself.
    pub alkalinity: Ratio,
    /// The same of the loop: the animals' ammonia gave one of two back when it was excreted.
    pub alkalinity_of_loop: Ratio,
    /// Cells, dry.
    pub cells: Ratio,
    /// Nitrogen that becomes nitrate.
    pub nitrate: Ratio,
    /// Carbon dioxide of the filter by itself, all of its alkalinity made good by a base: for ammonia that comes
    /// from elsewhere than from breathing animals.
    pub carbon_dioxide: Ratio,
    /// The same of the loop, on top of the animals' respiration in full.
    pub carbon_dioxide_of_loop: Ratio,
}

/// What a filter takes and gives for a mass of nitrogen, as its balance in a loop has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PerNitrogen {
    /// Oxygen taken.
    pub oxygen: Ratio,
    /// Carbon dioxide given off at the filter, where the excretion of the nitrogen has bound one already.
    pub carbon_dioxide: Ratio,
    /// Alkalinity as CaCO₃ that the loop loses; nothing of the other balances follows from it.
    pub alkalinity: Ratio,
}

impl Nitrification {
    /// From the cells that grow.
    ///
    /// ```text
    /// NH₄⁺ + (2−7y) O₂ + (2−y) HCO₃⁻ → y C₅H₇O₂N + (1−y) NO₃⁻ + (3−4y) H₂O + (2−6y) CO₂
    /// ```
    ///
    /// The default yield is [`CELLS_PER_NITROGEN`](super::defaults::CELLS_PER_NITROGEN).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`CELL_YIELD`], [`Error::NotFinite`].
    ///
    /// # Examples
    /// ```
    /// use risewater::recirculation::{Base, Nitrification};
    /// use risewater::units::{Ratio, ratio};
    ///
    /// // Without growth 2 × 31.998/14.007
    /// let nitrification = Nitrification::with_cells(Ratio::new::<ratio>(0.0), Base::Bicarbonate)?;
    /// assert_eq!(format!("{:.3}", nitrification.oxygen.get::<ratio>()), "4.569");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// The balance of elements and charge; cells by [Ebeling et al. (2006)](crate::references::EBELING_2006).
    pub fn with_cells(cells_per_nitrogen: Ratio, alkalinity: Base) -> Result<Self, Error> {
        let y = CELL_YIELD.check(Input::CellYield, cells_per_nitrogen.get::<ratio>())?;
        let moles = Moles {
            oxygen: 2.0 - 7.0 * y,
            bicarbonate: 2.0 - y,
            cells: y,
            nitrate: 1.0 - y,
            carbon_dioxide: 2.0 - 6.0 * y,
        };
        Ok(Self::of(&moles, alkalinity))
    }

    /// From an equation as it is printed.
    #[must_use]
    pub fn of(moles: &Moles, alkalinity: Base) -> Self {
        let takes = alkalinity.takes();
        // Excretion gave one mole of alkalinity, and bound one mole of carbon dioxide.
        let (lost, lost_of_loop) = (moles.bicarbonate, moles.bicarbonate - 1.0);
        let of_nitrogen = |mol: f64, g_per_mol: f64| base(mol * g_per_mol / N);
        Self {
            oxygen: of_nitrogen(moles.oxygen, OXYGEN),
            alkalinity: of_nitrogen(0.5 * lost, CALCIUM_CARBONATE),
            alkalinity_of_loop: of_nitrogen(0.5 * lost_of_loop, CALCIUM_CARBONATE),
            cells: of_nitrogen(moles.cells, CELLS),
            nitrate: base(moles.nitrate),
            carbon_dioxide: of_nitrogen(moles.carbon_dioxide - takes * lost, CARBON_DIOXIDE),
            carbon_dioxide_of_loop: of_nitrogen(
                moles.carbon_dioxide - 1.0 - takes * lost_of_loop,
                CARBON_DIOXIDE,
            ),
        }
    }

    /// What the balance of a loop takes: the loop's figure, and what the excretion bound.
    #[must_use]
    pub fn at_filter(&self) -> PerNitrogen {
        PerNitrogen {
            oxygen: self.oxygen,
            carbon_dioxide: self.carbon_dioxide_of_loop + base(BOUND_PER_NITROGEN),
            alkalinity: self.alkalinity_of_loop,
        }
    }
}

/// Carbon dioxide over oxygen, by mass, of animals or bacteria that breathe.
///
/// ```text
/// q = RQ · 44.009/31.998
/// ```
///
/// RQ is 0.7 on fat and 1 on carbohydrate; 0.85 to 0.9 are usual, from memory.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`RESPIRATORY_QUOTIENT`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::recirculation::respired;
/// use risewater::units::{Ratio, ratio};
///
/// let q = respired(Ratio::new::<ratio>(1.0))?;
/// assert_eq!(format!("{:.4}", q.get::<ratio>()), "1.3754");
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn respired(respiratory_quotient: Ratio) -> Result<Ratio, Error> {
    let quotient = respiratory_quotient.get::<ratio>();
    RESPIRATORY_QUOTIENT.check(Input::RespiratoryQuotient, quotient)?;
    Ok(base(quotient * CARBON_DIOXIDE / OXYGEN))
}
