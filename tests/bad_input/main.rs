//! Broken input: whatever a design file or a command line says, the tool ends with the status that it
//! documents, names what is wrong and where, and never panics.
//!
//! Exit status: 0 done, 1 understood but without an answer, 2 bad input.

#![allow(clippy::too_many_lines, reason = "lists of cases")]

mod aeration;
mod arbitrary;
mod bench;
mod calibration;
mod command_line;
mod every_key;
mod files;
mod good;
mod keys;
mod killed;
mod kinds;
mod need;
mod outputs;
mod pipes;
mod supply;
mod together;
mod tool;
mod trial;
