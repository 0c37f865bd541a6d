//! Laws that every riser must keep, on random risers.
//!
//! Bore 10 to 300 mm, submergence 0.2 to 60 m, submergence ratio 0.3 to 1, 0 to 40 °C, 60 to 105 kPa,
//! every pair of closures, developing length 0 and 8 bores, every outlet, air from a trace to far more
//! than the riser can take. The seeds are fixed: a failure is the same everywhere.

mod balances;
mod defects;
mod inputs;
mod limits;
mod monotone;
mod risers;
mod searches;
mod sizes;
