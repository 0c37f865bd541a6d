//! The requests that the fuzz target `door` kept, asked again: what it does is in `tests/fuzz/door.rs`, and what it panics at.

#[path = "../../../tests/fuzz/door.rs"]
mod door;

use std::fs;
use std::path::Path;

#[test]
fn every_request_that_was_kept() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/fuzz/corpus/door");
    let mut files: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty(), "nothing to replay");
    for file in &files {
        // Told with a failure alone.
        println!("{}", file.display());
        door::door(&fs::read(file).unwrap());
    }
}
