//! Losses where a line changes its bore at once, both on the velocity head in the narrow pipe.
//!
//! # Validity
//! [`BORE`]: what is computed. Single-phase, turbulent flow.
//!
//! # References
//! Borda & Carnot's [`enlargement`] follows from momentum alone; [`contraction`] is from
//! [Crane TP-410](crate::references::CRANE_TP410).

use super::BORE;
use crate::error::{Error, Input};
use crate::units::{Length, Ratio, millimeter, ratio};

/// Loss of a sudden enlargement, on the velocity head in the narrow pipe, after Borda & Carnot.
///
/// ```text
/// K = (1 − β²)²        β = d/D
/// ```
///
/// # Errors
/// Outside [`BORE`]; [`Error::Inconsistent`] where `wide` is not the wider bore.
///
/// # Examples
/// ```
/// use risewater::pipe::bore_change::enlargement;
/// use risewater::units::{Length, millimeter, ratio};
///
/// // (1 − 1/4)², by hand.
/// let loss = enlargement(Length::new::<millimeter>(25.0), Length::new::<millimeter>(50.0))?;
/// assert_eq!(format!("{:.4}", loss.get::<ratio>()), "0.5625");
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn enlargement(narrow: Length, wide: Length) -> Result<Ratio, Error> {
    let lost = 1.0 - area_ratio(narrow, wide)?;
    Ok(Ratio::new::<ratio>(lost * lost))
}

/// Loss of a sudden contraction, on the velocity head in the narrow pipe.
///
/// ```text
/// K = 0.5 (1 − β²)        β = d/D
/// ```
///
/// An upper bound for a moulded reducer, whose shoulder is not square.
///
/// # Errors
/// Outside [`BORE`]; [`Error::Inconsistent`] where `wide` is not the wider bore.
///
/// # Examples
/// ```
/// use risewater::pipe::bore_change::contraction;
/// use risewater::units::{Length, millimeter, ratio};
///
/// // 0.5 (1 − 1/4), by hand.
/// let loss = contraction(Length::new::<millimeter>(25.0), Length::new::<millimeter>(50.0))?;
/// assert_eq!(format!("{:.4}", loss.get::<ratio>()), "0.3750");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Crane TP-410](crate::references::CRANE_TP410), from memory.
pub fn contraction(narrow: Length, wide: Length) -> Result<Ratio, Error> {
    Ok(Ratio::new::<ratio>(0.5 * (1.0 - area_ratio(narrow, wide)?)))
}

/// β² of two bores, the second the wider.
fn area_ratio(narrow: Length, wide: Length) -> Result<f64, Error> {
    let narrow = BORE.check(Input::FittingBore, narrow.get::<millimeter>())?;
    let wide = BORE.check(Input::FittingBore, wide.get::<millimeter>())?;
    if narrow > wide {
        return Err(Error::Inconsistent {
            larger: Input::WiderBore,
            larger_value: wide,
            smaller: Input::FittingBore,
            smaller_value: narrow,
            unit: BORE.unit,
        });
    }
    Ok((narrow / wide).powi(2))
}
