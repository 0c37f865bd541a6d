//! Air supply: what a blower must give, what it does give at a site, and the power it takes.

pub mod blower;
mod compression;

pub use compression::{
    Compression, EFFICIENCY, INTAKE_PRESSURE, INTAKE_TEMPERATURE, PRESSURE_RISE,
};
