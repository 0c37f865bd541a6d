//! Default coefficients and limits, with their sources and spread.
//!
//! None is a law. The animals, their age, the feed and the care of the water move the coefficients by as
//! much as [`NeedDefault::low`] and [`NeedDefault::high`] show, and more; a limit is what a species and a
//! stage bear, which [Colt (2006)](crate::references::COLT_2006) warns not to take from a general table.
//! Most reached us from memory, as [`NeedDefault::trust`] says of each.
//!
//! # References
//! [Timmons & Ebeling](crate::references::TIMMONS_EBELING),
//! [Losordo & Hobbs (2000)](crate::references::LOSORDO_HOBBS_2000),
//! [Colt (2006)](crate::references::COLT_2006), [Meade (1985)](MEADE_1985),
//! [EIFAC](crate::references::EIFAC) and [CCME](crate::references::CCME).

use super::Line;
use crate::references::{
    COLT_2006, LOSORDO_HOBBS_2000, MEADE_1985, Reference, TIMMONS_EBELING, Trust,
};
use crate::units::{Frequency, MassConcentration, Ratio, base};

/// A default with its spread and source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeedDefault<Q> {
    /// What it is for.
    pub name: &'static str,
    /// The default.
    pub value: Q,
    /// Smallest of the values at hand.
    pub low: Q,
    /// Largest of the values at hand.
    pub high: Q,
    /// The unit that it is printed in.
    pub unit: &'static str,
    /// Where the default is from; none where it is our own choice or arithmetic, or common practice.
    pub reference: Option<Reference>,
    /// How it reached us.
    pub trust: Trust,
    /// What the number holds for, and whose values the spread covers.
    pub note: &'static str,
}

/// One mg/L in SI.
const MG_L: f64 = 1e-3;
/// Once an hour in SI.
const PER_HOUR: f64 = 1.0 / 3600.0;
/// A ratio in SI.
const ONE: f64 = 1.0;

macro_rules! defaults {
    ($($name:ident: $quantity:ty = $words:literal, $unit:literal, $si:ident,
        $value:literal, $low:literal to $high:literal, $reference:expr, $trust:ident, $note:literal;)*) => {
        $(
            pub(crate) const $name: NeedDefault<$quantity> = NeedDefault {
                name: $words,
                value: base($value * $si),
                low: base($low * $si),
                high: base($high * $si),
                unit: $unit,
                reference: $reference,
                trust: Trust::$trust,
                note: $note,
            };
        )*
        /// Every default as a number in its unit, to print.
        ///
        $(#[doc = concat!("- ", $words, ": ", $value, " ", $unit, " (", $low, " to ", $high, "); ", $note)])*
        ///
        /// ```
        /// use risewater::need::defaults;
        ///
        /// for one in defaults::ALL {
        ///     let source = one.reference.map_or("no source", |source| source.key);
        ///     println!("{}: {} {} ({source}, {})", one.name, one.value, one.unit, one.trust);
        /// }
        /// // Oxygen that animals use: 0.25 kg for a kilogram of feed.
        /// assert_eq!(defaults::ALL[0].value, 0.25);
        /// ```
        pub const ALL: &[NeedDefault<f64>] = &[$(NeedDefault {
            name: $words,
            value: $value,
            low: $low,
            high: $high,
            unit: $unit,
            reference: $reference,
            trust: Trust::$trust,
            note: $note,
        }),*];
    };
}

defaults! {
    OXYGEN_ANIMALS: Ratio = "oxygen used by the animals, over the feed", "kg/kg", ONE,
        0.25, 0.2 to 0.6, Some(TIMMONS_EBELING), Memory,
        "animals alone, as in water that passes once; 0.2 to 0.6 in use";
    OXYGEN_WITH_BACTERIA: Ratio = "oxygen used by animals and bacteria, over the feed", "kg/kg", ONE,
        0.5, 0.5 to 1.0, Some(LOSORDO_HOBBS_2000), Memory,
        "animals 0.25, nitrifying bacteria 0.12, others 0.13, as in water that is used again; also Timmons & Ebeling; 1.0 where solids stay in the water";
    TAN_PER_PROTEIN: Ratio = "total ammonia nitrogen, over the protein fed", "kg/kg", ONE,
        0.092, 0.092 to 0.144, Some(TIMMONS_EBELING), Memory,
        "0.16 nitrogen in protein × 0.80 assimilated × 0.80 excreted × 0.90 as TAN = 0.09216; 0.144 for shrimp without water exchange was seen in secondary use only";
    CARBON_DIOXIDE_PER_OXYGEN: Ratio = "carbon dioxide, over the oxygen used", "kg/kg", ONE,
        1.375, 0.96 to 1.375, None, Own,
        "molar masses 44.01/32.00 at a respiratory quotient of 1; 0.96 at 0.7, as animals that burn fat (from memory)";
    SOLIDS_PER_FEED: Ratio = "suspended solids, over the feed", "kg/kg", ONE,
        0.25, 0.2 to 0.4, Some(TIMMONS_EBELING), Memory,
        "dry mass";
    NITRIFICATION_OXYGEN: Ratio = "oxygen for nitrification, over the ammonia nitrogen", "kg/kg", ONE,
        4.57, 4.57 to 4.57, None, Own,
        "molar masses 2 × 31.998/14.007 = 4.569; less with the growth of cells";
    NITRIFICATION_ALKALINITY: Ratio = "alkalinity for nitrification as CaCO3, over the ammonia nitrogen", "kg/kg", ONE,
        7.14, 7.05 to 7.14, None, Own,
        "molar masses 100.09/14.007 = 7.146; 7.05 with the growth of cells (from memory)";
    ENTERING_SATURATION: Ratio = "oxygen of the water that enters, over saturation", "", ONE,
        0.9, 0.7 to 1.0, None, Own,
        "an assumption for aerated water; measure it";
    ENTERING_TAN: MassConcentration = "total ammonia nitrogen of the water that enters", "mg/L", MG_L,
        0.0, 0.0 to 0.5, None, Own,
        "an assumption for clean new water; measure it";
    ENTERING_CARBON_DIOXIDE: MassConcentration = "carbon dioxide of the water that enters", "mg/L", MG_L,
        1.0, 0.4 to 20.0, None, Own,
        "an assumption for aerated water, near equilibrium with air; groundwater can carry tens of mg/L; measure it";
    OXYGEN_WARM: MassConcentration = "least dissolved oxygen, warm water", "mg/L", MG_L,
        5.0, 4.7 to 5.0, Some(TIMMONS_EBELING), Memory,
        "grow-out, larvae need more; also Colt (2006); 60 % of saturation, the other form of it, is 4.7 mg/L at 28 degC";
    OXYGEN_COOL: MassConcentration = "least dissolved oxygen, salmonids", "mg/L", MG_L,
        7.0, 6.0 to 7.0, Some(COLT_2006), Memory,
        "6 to 7 mg/L, the stricter one taken";
    TAN_WARM: MassConcentration = "most total ammonia nitrogen, warm water", "mg/L", MG_L,
        2.0, 2.0 to 3.0, Some(TIMMONS_EBELING), Memory,
        "2 to 3 mg/L, the stricter one taken; what harms is the un-ionised part, which rises with pH";
    TAN_COOL: MassConcentration = "most total ammonia nitrogen, cool water", "mg/L", MG_L,
        1.0, 1.0 to 1.0, Some(TIMMONS_EBELING), Memory,
        "what harms is the un-ionised part, which rises with pH";
    AMMONIA_WARM: MassConcentration = "most un-ionised ammonia nitrogen, warm water", "mg/L", MG_L,
        0.025, 0.025 to 0.05, Some(TIMMONS_EBELING), Memory,
        "0.025 to 0.05 mg/L, the stricter one taken";
    AMMONIA_COOL: MassConcentration = "most un-ionised ammonia nitrogen, salmonids", "mg/L", MG_L,
        0.0125, 0.0125 to 0.0206, Some(MEADE_1985), Memory,
        "what fish culturists commonly accept, as that abstract says; that it is for salmonids and as nitrogen is from memory (Timmons & Ebeling); for wild life CCME has 0.019 mg/L of NH3, which is 0.0156 mg/L as nitrogen, and EIFAC 0.025 mg/L of NH3, which is 0.0206 mg/L as nitrogen";
    CARBON_DIOXIDE_WARM: MassConcentration = "most carbon dioxide, warm water", "mg/L", MG_L,
        20.0, 15.0 to 40.0, Some(COLT_2006), Memory,
        "15 to 20 mg/L in common, tilapia to 30 to 40; also Timmons & Ebeling";
    CARBON_DIOXIDE_COOL: MassConcentration = "most carbon dioxide, salmonids", "mg/L", MG_L,
        15.0, 10.0 to 20.0, Some(COLT_2006), Memory,
        "10 to 15 mg/L for salmonids, 15 to 20 in common; also Timmons & Ebeling";
    TURNOVER_GROW_OUT: Frequency = "turnover of grow-out tanks", "1/h", PER_HOUR,
        1.0, 0.5 to 2.0, None, Memory,
        "a rule of thumb, no limit";
    TURNOVER_LARVAE: Frequency = "turnover of larval tanks", "1/h", PER_HOUR,
        0.5, 0.1 to 1.0, None, Memory,
        "a rule of thumb, no limit; from the low end up as larvae grow";
    TURNOVER_RACEWAY: Frequency = "turnover of raceways", "1/h", PER_HOUR,
        4.0, 3.0 to 6.0, None, Memory,
        "a rule of thumb, no limit";
}

/// What the load of oxygen rests on.
const OXYGEN_LOAD: &[&str] = &[OXYGEN_ANIMALS.name, OXYGEN_WITH_BACTERIA.name];

impl<Q> NeedDefault<Q> {
    /// Whether the flow of a line rests on it.
    ///
    /// # Examples
    /// ```
    /// use risewater::need::{Line, defaults};
    ///
    /// // The oxygen that animals use: carbon dioxide comes by it, and turnover does not.
    /// assert!(defaults::ALL[0].serves(Line::CarbonDioxide));
    /// assert!(!defaults::ALL[0].serves(Line::Turnover));
    /// ```
    #[must_use]
    pub fn serves(&self, line: Line) -> bool {
        let own: &[&str] = match line {
            Line::Oxygen => &[ENTERING_SATURATION.name, OXYGEN_WARM.name, OXYGEN_COOL.name],
            Line::Ammonia => &[
                TAN_PER_PROTEIN.name,
                ENTERING_TAN.name,
                TAN_WARM.name,
                TAN_COOL.name,
                AMMONIA_WARM.name,
                AMMONIA_COOL.name,
            ],
            Line::CarbonDioxide => &[
                CARBON_DIOXIDE_PER_OXYGEN.name,
                ENTERING_CARBON_DIOXIDE.name,
                CARBON_DIOXIDE_WARM.name,
                CARBON_DIOXIDE_COOL.name,
            ],
            Line::Turnover => &[
                TURNOVER_GROW_OUT.name,
                TURNOVER_LARVAE.name,
                TURNOVER_RACEWAY.name,
            ],
        };
        let by_oxygen = matches!(line, Line::Oxygen | Line::CarbonDioxide);
        own.contains(&self.name) || (by_oxygen && OXYGEN_LOAD.contains(&self.name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{milligram_per_liter, per_hour};

    #[test]
    fn each_default_lies_in_its_spread() {
        for one in ALL {
            assert!(
                one.low <= one.value && one.value <= one.high,
                "{}",
                one.name
            );
            assert!(!one.name.is_empty() && !one.note.is_empty());
        }
    }

    #[test]
    fn what_has_no_source_does_not_claim_to_be_read() {
        for one in ALL {
            let sourced = one.reference.is_some();
            assert!(sourced || one.trust != Trust::Read, "{}", one.name);
            assert!(!sourced || one.trust != Trust::Own, "{}", one.name);
        }
    }

    #[test]
    fn numbers_and_quantities_agree() {
        let limit = CARBON_DIOXIDE_WARM.value.get::<milligram_per_liter>();
        assert!((limit - 20.0).abs() < 1e-12);
        assert!((TURNOVER_RACEWAY.value.get::<per_hour>() - 4.0).abs() < 1e-12);
        assert!((0.16 * 0.80 * 0.80 * 0.90 - 0.092_16_f64).abs() < 1e-15);
    }
}
