//! Tables of `tests/data` for the unit tests: `#` lines are the citation, the next line the header.

/// All rows of a file.
pub fn rows(table: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/tests/data/{table}", env!("CARGO_MANIFEST_DIR"));
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap()
        .records()
        .map(Result::unwrap)
        .collect()
}
