//! The air supply: headers and lifts on them.

mod depths;
mod existing;
mod header;
mod lifts;
mod optimum;
mod rest;
#[path = "../table/mod.rs"]
mod table;
