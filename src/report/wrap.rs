//! Lines as a console shows them.

/// Columns of a console line.
pub const CONSOLE_COLUMNS: usize = 92;

/// A label and the gap behind it end before this column.
const LABEL: usize = 24;

/// Units that stay with their number.
const UNITS: [&str; 40] = [
    "%", "um", "mm", "cm", "m", "m2", "m3", "in", "ft", "m/s", "ft/s", "mL", "L", "L/min", "m3/h",
    "Nm3/h", "gal", "gal/min", "cfm", "scfm", "Pa", "kPa", "bar", "psi", "W", "kW", "hp", "kWh",
    "degC", "degF", "g", "kg", "lb", "kg/h", "lb/h", "kg/d", "lb/d", "g/kg", "mg/L", "s",
];

/// A text whose lines of more than [`CONSOLE_COLUMNS`] columns are broken between words, but not between a number and its
/// unit.
///
/// What is broken off hangs below the words of its line: behind a label that two spaces or more part from them, else two
/// columns to the right of where the line starts.
///
/// ```
/// use risewater::report::wrapped;
///
/// let long = format!("  water each    {}", "word ".repeat(20).trim_end());
/// let text = wrapped(&long);
/// assert_eq!(text.lines().count(), 2);
/// assert!(text.lines().nth(1).is_some_and(|rest| rest.starts_with("                word")));
/// assert_eq!(wrapped("short\n"), "short\n");
/// ```
#[must_use]
pub fn wrapped(text: &str) -> String {
    let lines = text.split('\n').map(|line| {
        if line.chars().count() <= CONSOLE_COLUMNS {
            line.to_owned()
        } else {
            broken(line)
        }
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// One long line in several.
fn broken(line: &str) -> String {
    let (words, hang) = ends(line);
    let mut text: String = line.chars().take(words).collect();
    let rest: String = line.chars().skip(words).collect();
    let mut column = words;
    let mut fresh = true;
    for word in words_of(&rest) {
        let size = word.chars().count();
        if !fresh && column + 1 + size > CONSOLE_COLUMNS {
            text += "\n";
            text += &" ".repeat(hang);
            (column, fresh) = (hang, true);
        }
        if !fresh {
            text.push(' ');
            column += 1;
        }
        text += &word;
        column += size;
        fresh = false;
    }
    text
}

/// Words, each number with its unit as one.
fn words_of(line: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in line.split_whitespace() {
        let unit = word.trim_end_matches([',', ';', ':', '.', ')']);
        match words.last_mut() {
            Some(last) if UNITS.contains(&unit) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Where a line's words start, behind its label if it has one, and where what is broken off it starts.
fn ends(line: &str) -> (usize, usize) {
    let letters: Vec<char> = line.chars().take(LABEL).collect();
    let word = |from: usize| (from..letters.len()).find(|n| letters[*n] != ' ');
    let start = word(0).unwrap_or_default();
    let gap = letters[start..]
        .windows(2)
        .position(|two| two == [' ', ' ']);
    match gap.and_then(|gap| word(start + gap)) {
        Some(behind) => (behind, behind),
        None => (start, start + 2),
    }
}
