//! `[[pipe]]`: a pipe of the user's own.

use std::sync::Arc;

use crate::design::fault::Problem;
use crate::design::section::Bound;
use crate::design::sheet::{OwnPipes, Sheet};
use crate::error::{Input, Range};
use crate::pipe::{OUTSIDE_DIAMETER, Pipe};
use crate::two_phase::BORE;
use crate::units::quantity;
use crate::units::{Length, millimeter};

/// What each key is, for those that must be there.
const NEEDED: [(&str, &str); 3] = [
    ("name", "what it is to be called, such as \"shop 63\""),
    ("bore", "its inside diameter, such as \"57 mm\""),
    (
        "outside_diameter",
        "its outside diameter, such as \"63 mm\"",
    ),
];

/// The pipes of `[[pipe]]`, in the file's order.
pub fn own_pipes(sheet: &Sheet) -> OwnPipes {
    let mut own = OwnPipes::default();
    for number in 1..=sheet.count("pipe") {
        let section = format!("pipe {number}");
        let mut pipe = sheet.numbered("pipe", number);
        let name = pipe.text("name").map(str::trim);
        let bore = pipe.quantity("bore", quantity::length, in_mm(Input::PipeBore, BORE));
        let outside = pipe.quantity(
            "outside_diameter",
            quantity::length,
            in_mm(Input::PipeOutsideDiameter, OUTSIDE_DIAMETER),
        );
        let pressure_pipe = pipe.yes_no("pressure_pipe").unwrap_or(true);
        for (key, expected) in NEEDED {
            if !pipe.has(key) || (key == "name" && name == Some("")) {
                pipe.fault(key, Problem::Missing { expected });
            }
        }
        let name = name.filter(|name| !name.is_empty());
        let taken = name.and_then(|name| match own.number(name) {
            Some(other) => Some(format!("pipe {other}")),
            None => Pipe::named(name)
                .ok()
                .map(|_| "a pipe of the catalogue".to_owned()),
        });
        let is_taken = taken.is_some();
        if let (Some(name), Some(other)) = (name, taken) {
            let name = name.to_owned();
            pipe.fault("name", Problem::NameTaken { name, other });
        }
        pipe.close();
        own.names.push(name.unwrap_or_default().to_owned());
        if let (Some(name), Some(bore), Some(outside), false) = (name, bore, outside, is_taken) {
            match Pipe::new(name, bore, outside) {
                Ok(mut pipe) => {
                    pipe.pressure_pipe = pressure_pipe;
                    own.pipes.push(Arc::new(pipe));
                }
                Err(error) => sheet.refused_in(&section, error, &format!("{section}.bore")),
            }
        }
    }
    own
}

fn in_mm(what: Input, range: Range) -> Bound<Length> {
    (what, range, |length| length.get::<millimeter>())
}
