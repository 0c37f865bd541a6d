//! The lines of a text that say something, as cells.

/// One row of cells.
#[derive(Debug, Default)]
pub(super) struct Record {
    /// Its line, or the first of them, counted from 1.
    pub line: usize,
    /// Without white space around.
    pub cells: Vec<String>,
}

/// Goes through a text with one kind of line end.
#[derive(Debug)]
pub(super) struct Records<'a> {
    rest: &'a str,
    /// The line that `rest` begins with, counted from 1.
    pub line: usize,
    delimiter: Option<u8>,
    /// Whether a number sign starts a row's first cell, as in "#3", and no remark.
    pub number_signs: bool,
}

/// A text without byte order mark, with line feeds alone at the ends of lines.
pub(super) fn plain_lines(text: &str) -> String {
    let text = text.trim_start_matches('\u{feff}');
    text.replace("\r\n", "\n").replace('\r', "\n")
}

impl<'a> Records<'a> {
    pub fn of(text: &'a str) -> Self {
        Self {
            rest: text,
            line: 1,
            delimiter: None,
            number_signs: false,
        }
    }

    /// What separates cells.
    pub fn delimiter(&self) -> u8 {
        self.delimiter.unwrap_or(b',')
    }

    fn go_on(&mut self, bytes: usize) {
        let (passed, rest) = self.rest.split_at_checked(bytes).unwrap_or((self.rest, ""));
        self.line += passed.matches('\n').count();
        self.rest = rest;
    }

    /// The cells of the record that begins here; a quote may take lines below into one.
    fn take(&mut self) -> Record {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.delimiter())
            .buffer_capacity(512)
            .from_reader(self.rest.as_bytes());
        let (mut record, line) = (csv::StringRecord::new(), self.line);
        // Text in UTF-8 and rows of any length: the reader has nothing to object to.
        let _ = reader.read_record(&mut record);
        let end = usize::try_from(reader.position().byte());
        self.go_on(end.unwrap_or(usize::MAX).max(1));
        let cells = record.iter().map(|cell| cell.trim().to_owned()).collect();
        Record { line, cells }
    }
}

impl Iterator for Records<'_> {
    type Item = Record;

    fn next(&mut self) -> Option<Record> {
        while !self.rest.is_empty() {
            let line = self.rest.split('\n').next().unwrap_or_default();
            // A spreadsheet may have put a remark in quotes or filled it up with separators.
            let start = line.trim_start_matches(|c: char| c.is_whitespace() || ",;".contains(c));
            let remark = start.trim_start_matches('"').starts_with('#') && !self.number_signs;
            let separator = line.trim().strip_prefix("sep=");
            match separator.filter(|_| self.delimiter.is_none()) {
                Some(separator) => {
                    self.delimiter = separator.bytes().find(u8::is_ascii_punctuation);
                }
                None if start.is_empty() || remark => {}
                None => {
                    self.delimiter.get_or_insert_with(|| delimiter(line));
                    let record = self.take();
                    let mut filled = record.cells.iter().filter(|cell| !cell.is_empty());
                    let (first, other) = (filled.next(), filled.next());
                    let remark = other.is_none() && first.is_some_and(|c| c.starts_with('#'));
                    if first.is_some() && !remark {
                        return Some(record);
                    }
                    continue;
                }
            }
            self.go_on(line.len() + 1);
        }
        None
    }
}

/// The separator of the first line that says something: semicolon or tab if it has one, else a comma.
fn delimiter(line: &str) -> u8 {
    let mut candidates = [b';', b'\t'].into_iter();
    let found = candidates.find(|delimiter| line.bytes().any(|byte| byte == *delimiter));
    found.unwrap_or(b',')
}
