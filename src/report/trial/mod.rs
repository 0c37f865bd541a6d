//! Answers of the bench as texts, tables and pictures.

mod aeration;
mod comparison;
mod fit;
mod fit_figure;
mod oxygen;
mod plan;
mod reduced;
mod residuals;
