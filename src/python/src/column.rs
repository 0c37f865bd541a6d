//! Arguments: columns by name.

use numpy::PyReadonlyArray1;
use pyo3::prelude::*;
use risewater::design::Problem;
use risewater::keys::{self, Row};
use risewater::sweep::Given;

use crate::fault::{Fault, Found};

/// What Python gives for a key.
#[derive(FromPyObject)]
pub enum Column<'py> {
    /// A number a row, in SI.
    Numbers(PyReadonlyArray1<'py, f64>),
    /// Texts, and of each row which of them it has.
    Texts(Vec<String>, PyReadonlyArray1<'py, u32>),
    /// A number for all rows.
    Number(f64),
    /// A text for all rows, as a design file has it.
    Text(String),
}

/// The columns of a question, by key.
pub struct Question {
    /// Values for all rows, as `section.key=value`.
    pub set: Vec<String>,
    /// Values a row.
    pub rows: Vec<(&'static Row, Given)>,
}

impl Question {
    /// Keys by their columns.
    pub fn of(given: Vec<(String, Column)>) -> Found<Self> {
        let mut question = Self {
            set: Vec::new(),
            rows: Vec::new(),
        };
        for (name, column) in given {
            let row = keys::of_column(&name).ok_or_else(|| {
                let problem = Problem::NoKey { text: name };
                Fault::new("design_file", problem.to_string())
            })?;
            let path = row.path;
            match column {
                Column::Number(si) => question.set.push(format!("{path}={}", row.si_text(si))),
                Column::Text(text) => question.set.push(format!("{path}={text}")),
                Column::Numbers(all) => {
                    let numbers = Given::Numbers(all.as_array().to_vec());
                    question.rows.push((row, numbers));
                }
                Column::Texts(texts, places) => {
                    let names = Given::Names(texts, places.as_array().to_vec());
                    question.rows.push((row, names));
                }
            }
        }
        Ok(question)
    }

    /// All values of a row, as `section.key=value`.
    pub fn replacements(&self, row: usize) -> Vec<String> {
        let own = self.rows.iter().map(|(key, given)| {
            let text = match given {
                Given::Numbers(all) => key.si_text(all[row]),
                Given::Names(names, places) => names[places[row] as usize].clone(),
            };
            format!("{}={text}", key.path)
        });
        self.set.iter().cloned().chain(own).collect()
    }
}
