//! The inputs that the fuzz targets kept, asked again: what each target does is in `tests/fuzz/targets.rs`, and what it panics at.

#[path = "fuzz/targets.rs"]
mod targets;

use std::fs;
use std::path::Path;

/// Every input of a target, by name.
fn replay(name: &str, target: fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fuzz/corpus")
        .join(name);
    let mut files: Vec<_> = fs::read_dir(&folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|file| file.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{}: nothing to replay", folder.display());
    for file in &files {
        // Told with a failure alone.
        println!("{}", file.display());
        target(&fs::read(file).unwrap());
    }
}

macro_rules! replayed {
    ($($name:ident)*) => { $(
        #[test]
        fn $name() {
            replay(stringify!($name), targets::$name);
        }
    )* };
}

replayed! { design crop blower readings calibration set units solver }
