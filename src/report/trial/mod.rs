//! Answers of the bench as texts, tables and pictures.

mod aeration;
mod comparison;
mod fit;
#[cfg(feature = "chart")]
mod fit_figure;
#[cfg(feature = "chart")]
mod oxygen;
mod plan;
mod reduced;
#[cfg(feature = "chart")]
mod residuals;
