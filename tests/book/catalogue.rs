//! Codes of errors and cautions in the catalogue.

use risewater::trial::Suspicion;
use risewater::{Caution, Error};
use strum::VariantNames;

use super::{none, read};

#[test]
fn every_code_is_in_the_catalogue() {
    let page = read("book/src/errors.md");
    let (of_errors, of_cautions) = page.split_once("## Cautions").unwrap();
    let mut faults = Vec::new();
    for (codes, table) in [
        (Error::CODES, of_errors),
        (Caution::CODES, of_cautions),
        (Suspicion::VARIANTS, of_cautions),
    ] {
        for code in codes {
            if !table.contains(&format!("`{code}`")) {
                faults.push(format!("{code} is not in errors.md"));
            }
        }
    }
    none(&faults);
}
