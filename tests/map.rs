//! The map in DEVELOPERS.md is true: each module of the library has its place in it, each name in it is a
//! module, and no module reads one that comes after it. Comments, text and what is compiled for tests alone
//! do not count.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Texts of source files, by path.
type Sources = BTreeMap<String, String>;

/// The one module that is a program: it reads the library by its name.
const PROGRAM: (&str, &str) = ("bin/risewater", "src/bin/risewater/main.rs");

#[test]
fn no_module_reads_one_after_it() {
    let developers = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let found = faults(&fs::read_to_string(developers).unwrap(), &sources());
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// The macro `range!` alone makes them, which ends their documentation with the numbers.
#[test]
fn every_public_range_shows_its_numbers() {
    for (file, text) in sources() {
        let code = Code::of(&text);
        for (at, words) in code.words.windows(3).enumerate() {
            let mut kind = code.words[at..].iter().take_while(|word| **word != "=");
            if let ["pub", "const", name] = words
                && !matches!(*name, "name" | "fn")
            {
                assert!(!kind.any(|word| *word == "Range"), "{file}: {name}");
            }
        }
    }
}

fn sources() -> Sources {
    let mut sources = Sources::new();
    collect(Path::new(env!("CARGO_MANIFEST_DIR")), "src", &mut sources);
    sources
}

fn collect(root: &Path, folder: &str, sources: &mut Sources) {
    for entry in fs::read_dir(root.join(folder)).unwrap() {
        let entry = entry.unwrap();
        let path = format!("{folder}/{}", entry.file_name().to_str().unwrap());
        if entry.path().is_dir() {
            collect(root, &path, sources);
        } else if entry.path().extension().is_some_and(|end| end == "rs") {
            sources.insert(path, fs::read_to_string(entry.path()).unwrap());
        }
    }
}

/// Everything in which map and sources differ, each with file and line.
fn faults(developers: &str, sources: &Sources) -> Vec<String> {
    let mut faults = Vec::new();
    let library = Code::of(&sources["src/lib.rs"]);
    let mut modules = library.modules();
    if sources.contains_key(PROGRAM.1) {
        modules.push((1, PROGRAM.0));
    }
    let map = map(developers);
    let mut order: BTreeMap<&str, usize> = BTreeMap::new();
    for (line, name) in &map {
        if modules.iter().all(|(_, module)| module != name) {
            faults.push(format!("DEVELOPERS.md:{line}: `{name}` is no module"));
        }
        if order.contains_key(name) {
            faults.push(format!("DEVELOPERS.md:{line}: `{name}` stands here again"));
        } else {
            order.insert(name, order.len());
        }
    }
    for (line, module) in &modules {
        if !order.contains_key(module) {
            faults.push(format!("src/lib.rs:{line}: `{module}` is not in the map"));
        }
    }
    let mut arrows = Vec::new();
    for (_, module) in &modules {
        let start = Start::of(module);
        let path = Vec::from_iter(start.file.is_none().then(|| (*module).to_owned()));
        read(sources, &start, path, &mut arrows);
    }
    let exported = library.exported();
    for (from, file, line, name) in &arrows {
        let to = exported
            .get(name.as_str())
            .copied()
            .unwrap_or(name.as_str());
        let place = |name: &str| order.get(name).copied();
        match (place(from), place(to)) {
            (Some(from_place), Some(to_place)) if from_place < to_place => faults.push(format!(
                "{file}:{line}: `{from}` reads `{to}`, which comes after it in the map"
            )),
            (_, None) if modules.iter().all(|(_, module)| *module != to) => {
                faults.push(format!("{file}:{line}: `{name}` belongs to no module"));
            }
            _ => {}
        }
    }
    faults
}

/// The names in the first column of the map's table, in order, with their lines.
fn map(developers: &str) -> Vec<(usize, &str)> {
    let lines = (1..).zip(developers.lines());
    let section = lines.skip_while(|(_, line)| *line != "## Map").skip(1);
    let rows = section
        .take_while(|(_, line)| !line.starts_with("## "))
        .filter_map(|(number, line)| Some((number, line.strip_prefix("| `")?.split('|').next()?)));
    // Of "`a`, `b` |" without its first mark: every other piece is a name.
    rows.flat_map(|(number, cell)| cell.split('`').step_by(2).map(move |name| (number, name)))
        .filter(|(_, name)| !name.trim().is_empty())
        .collect()
}

/// Where the modules under a name of the map begin.
struct Start<'a> {
    name: &'a str,
    folder: &'a str,
    /// The file of the root, where that is a program's.
    file: Option<&'a str>,
    /// What paths from the library's root start with.
    root: &'a str,
}

impl<'a> Start<'a> {
    fn of(name: &'a str) -> Self {
        let is_program = name == PROGRAM.0;
        Self {
            name,
            folder: if is_program {
                "src/bin/risewater"
            } else {
                "src"
            },
            file: is_program.then_some(PROGRAM.1),
            root: if is_program { "risewater" } else { "crate" },
        }
    }
}

/// Module of the map, file, line, and the name at the library's root that is read there.
type Arrow = (String, String, usize, String);

/// Reads a module's file and those of the modules in it.
fn read(sources: &Sources, start: &Start, path: Vec<String>, arrows: &mut Vec<Arrow>) {
    let stem = format!("{}/{}", start.folder, path.join("/"));
    let file = match start.file {
        Some(file) if path.is_empty() => file.to_owned(),
        _ => [format!("{stem}.rs"), format!("{stem}/mod.rs")]
            .into_iter()
            .find(|file| sources.contains_key(file))
            .unwrap_or_else(|| panic!("no file of {stem}")),
    };
    let code = Code::of(&sources[&file]);
    let is_library = start.file.is_none();
    let (mut path, mut depth, mut inline) = (path, 0_usize, Vec::new());
    let mut at = 0;
    while at < code.words.len() {
        match &code.words[at..] {
            ["mod", name, ";", ..] => {
                let child = path.iter().cloned().chain([(*name).to_owned()]);
                read(sources, start, child.collect(), arrows);
            }
            ["mod", name, "{", ..] => {
                path.push((*name).to_owned());
                inline.push(depth);
            }
            ["{", ..] => depth += 1,
            ["}", ..] => {
                depth = depth.saturating_sub(1);
                if inline.last() == Some(&depth) {
                    inline.pop();
                    path.pop();
                }
            }
            [word, "::", ..] if *word == start.root || *word == "super" => {
                let mut up = 0;
                while let ["super", "::", ..] = &code.words[at..] {
                    up += 1;
                    at += 2;
                }
                at += if up == 0 { 2 } else { 0 };
                if up == 0 || is_library && up >= path.len() {
                    arrows.extend(code.names(at).into_iter().map(|(line, name)| {
                        let name = name.to_owned();
                        (start.name.to_owned(), file.clone(), line, name)
                    }));
                }
                continue;
            }
            _ => {}
        }
        at += 1;
    }
}

/// Words and marks of a source text without comments, text and what is for tests alone.
struct Code<'a> {
    words: Vec<&'a str>,
    lines: Vec<usize>,
}

impl<'a> Code<'a> {
    fn of(text: &'a str) -> Self {
        let (mut words, mut lines) = (Vec::new(), Vec::new());
        let (mut rest, mut line) = (text, 1);
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        while let Some(first) = rest.chars().next() {
            let silent = silent(rest);
            let length = silent.unwrap_or_else(|| {
                if is_word(first) {
                    rest.find(|c| !is_word(c)).unwrap_or(rest.len())
                } else if rest.starts_with("::") {
                    2
                } else {
                    first.len_utf8()
                }
            });
            let (word, after) = rest.split_at(length);
            // What a macro names may be a module as any other: `mod $name {`.
            if silent.is_none() && word != "$" {
                words.push(word);
                lines.push(line);
            }
            line += word.matches('\n').count();
            rest = after;
        }
        let mut code = Self { words, lines };
        code.leave_out_tests();
        code
    }

    fn leave_out_tests(&mut self) {
        let mut at = 0;
        while at < self.words.len() {
            match &self.words[at..] {
                ["#", "[", "cfg", "(", "test", ..]
                | ["#", "[", "cfg", "(", "all", "(", "test", ..] => {
                    let end = self.end_of_item(at);
                    self.words.drain(at..end);
                    self.lines.drain(at..end);
                }
                _ => at += 1,
            }
        }
    }

    /// One past the item whose attributes start at a place.
    fn end_of_item(&self, mut at: usize) -> usize {
        let mut depth = 0_usize;
        while at < self.words.len() {
            match self.words[at] {
                "(" | "[" | "{" => depth += 1,
                ")" | "]" | "}" if depth == 0 => return at,
                "}" if depth == 1 => return at + 1,
                ")" | "]" | "}" => depth -= 1,
                ";" if depth == 0 => return at + 1,
                _ => {}
            }
            at += 1;
        }
        at
    }

    /// The first names of a path, or of each path in braces, at a place.
    fn names(&self, at: usize) -> Vec<(usize, &'a str)> {
        if self.words.get(at) != Some(&"{") {
            return Vec::from_iter(self.words.get(at).map(|name| (self.lines[at], *name)));
        }
        let mut names = Vec::new();
        let (mut depth, mut starts) = (0_usize, false);
        for (word, line) in self.words[at..].iter().zip(&self.lines[at..]) {
            match *word {
                "{" => {
                    depth += 1;
                    starts = depth == 1;
                }
                "}" => depth -= 1,
                "," => starts = depth == 1,
                name if starts => {
                    names.push((*line, name));
                    starts = false;
                }
                _ => {}
            }
            if depth == 0 {
                break;
            }
        }
        names
    }

    /// Modules in files of their own, with their lines.
    fn modules(&self) -> Vec<(usize, &'a str)> {
        let threes = self.words.windows(3).zip(&self.lines);
        threes
            .filter_map(|(words, line)| match words {
                ["mod", name, ";"] => Some((*line, *name)),
                _ => None,
            })
            .collect()
    }

    /// The names that stand at the root besides, with the modules that they are from.
    fn exported(&self) -> BTreeMap<&'a str, &'a str> {
        let mut exported = BTreeMap::new();
        for (at, words) in self.words.windows(4).enumerate() {
            if let ["pub", "use", module, "::"] = words {
                let path = self.words[at..].split(|word| *word == ";").next();
                let ends = path
                    .unwrap_or_default()
                    .split(|word| matches!(*word, "," | "}"));
                exported.extend(ends.filter_map(|end| Some((*end.last()?, *module))));
            }
        }
        exported
    }
}

/// The length of white space, a comment or a literal in quotes at the start of a text.
fn silent(text: &str) -> Option<usize> {
    let up_to = |from: usize, end: &str| {
        let found = text.get(from..).and_then(|rest| rest.find(end));
        Some(found.map_or(text.len(), |at| from + at + end.len()))
    };
    if text.starts_with(char::is_whitespace) {
        return text.chars().next().map(char::len_utf8);
    }
    if text.starts_with("//") {
        return up_to(2, "\n");
    }
    if text.starts_with("/*") {
        return up_to(2, "*/");
    }
    let plain = text.strip_prefix('b').unwrap_or(text);
    let before = text.len() - plain.len();
    if let Some(raw) = plain.strip_prefix('r') {
        let marks = raw.len() - raw.trim_start_matches('#').len();
        if raw[marks..].starts_with('"') {
            return up_to(before + 2 + marks, &format!("\"{}", "#".repeat(marks)));
        }
    }
    if let Some(inner) = plain.strip_prefix('"') {
        let mut escaped = false;
        let end = inner.find(|c| {
            let ends = c == '"' && !escaped;
            escaped = c == '\\' && !escaped;
            ends
        });
        return Some(end.map_or(text.len(), |end| before + end + 2));
    }
    let inner = plain.strip_prefix('\'')?;
    if inner.starts_with('\\') {
        return up_to(before + 3, "'");
    }
    // Else a lifetime.
    let length = inner.chars().next()?.len_utf8();
    inner[length..]
        .starts_with('\'')
        .then_some(before + length + 2)
}

/// A library of three modules, `low`, `mid` and `high`, and the faults of another text of `mid`.
fn faults_of_mid(mid: &str) -> Vec<String> {
    let map = "## Map\n\n| module | |\n|---|---|\n| `low`, `mid` | |\n| `high` | |\n\n## Else\n| `other` |\n";
    let library = "pub mod high;\npub mod low;\nmod mid;\npub use high::{High, inner::Tall as Taller};\npub use low::Low;\n";
    let sources = [
        ("src/lib.rs", library),
        ("src/low.rs", ""),
        ("src/mid/mod.rs", mid),
        (
            "src/mid/part.rs",
            "fn f() {\n    super::super::high::f();\n}\n",
        ),
        ("src/high.rs", "use crate::{low, mid};\n"),
    ];
    faults(map, &texts(sources))
}

fn texts<const N: usize>(files: [(&str, &str); N]) -> Sources {
    files
        .map(|(path, text)| (path.to_owned(), text.to_owned()))
        .into()
}

/// What `mid` reads of `high` at these lines of its file.
fn upward(lines: &[usize]) -> Vec<String> {
    let fault = "`mid` reads `high`, which comes after it in the map";
    lines
        .iter()
        .map(|line| format!("src/mid/mod.rs:{line}: {fault}"))
        .collect()
}

#[test]
fn an_arrow_against_the_map_is_seen() {
    for (mid, lines) in [
        ("use crate::high::High;\n", &[1][..]),
        (
            "use crate::low::{self, a};\n\npub(crate) use crate::{\n    low::b,\n    high::{c, d},\n};\n",
            &[5],
        ),
        ("fn f() -> u8 {\n    crate::high::f()\n}\n", &[2]),
        ("use super::high;\n", &[1]),
        (
            "mod inner {\n    use super::super::high;\n}\nuse super::high;\n",
            &[2, 4],
        ),
        ("use crate::High;\ntype T = crate::Taller;\n", &[1, 2]),
        ("macro_rules! m { () => { $crate::high::f() } }\n", &[1]),
        (
            "const QUOTE: char = '\"';\nuse crate::high;\nconst END: char = '\"';\n",
            &[2],
        ),
        (
            "#[cfg(test)]\nuse std::fmt;\n#[cfg(not(test))]\nuse crate::high;\n",
            &[4],
        ),
    ] {
        assert_eq!(faults_of_mid(mid), upward(lines), "{mid}");
    }
    let part = "src/mid/part.rs:2: `mid` reads `high`, which comes after it in the map";
    assert_eq!(faults_of_mid("mod part;\n"), [part]);
}

#[test]
fn what_is_no_arrow_is_not() {
    for mid in [
        "use crate::low::{self, High};\nuse crate::{Low, low::high};\nuse crate::mid::high;\n",
        "//! [`high`](crate::high)\n/// crate::high\nfn f() {} // crate::high\n/* crate::high */\n",
        "const A: &str = \"\\\"crate::high\";\nconst B: &str = r#\"\"crate::high\"#;\n",
        "#[cfg(test)]\nmod tests {\n    use crate::high;\n    fn f() {}\n}\n",
        "#[cfg(all(test, feature = \"x\"))]\n#[allow(dead_code)]\nmod part;\n",
        "#[cfg(test)]\nfn f() -> u8 {\n    crate::high::f()\n}\n",
        "mod inner {\n    use super::high;\n    pub(super) fn f<'a>(a: &'a str) {}\n}\n",
        "macro_rules! m { ($m:ident) => { mod $m {\n    use super::*;\n} } }\n",
    ] {
        assert_eq!(faults_of_mid(mid), [""; 0], "{mid}");
    }
}

#[test]
fn a_name_of_no_module_is_seen() {
    let fault = "src/mid/mod.rs:1: `Nothing` belongs to no module";
    assert_eq!(faults_of_mid("use crate::Nothing;\n"), [fault]);
    let fault = "src/mid/mod.rs:1: `*` belongs to no module";
    assert_eq!(faults_of_mid("use crate::*;\n"), [fault]);
}

#[test]
fn a_map_that_misses_or_invents_a_module_is_seen() {
    let sources = [
        ("src/lib.rs", "mod low;\nmod high;\n"),
        ("src/low.rs", ""),
        ("src/high.rs", "use crate::low;\n"),
    ];
    let sources = texts(sources);
    for (rows, fault) in [
        ("| `low` | |", "src/lib.rs:2: `high` is not in the map"),
        (
            "| `low` | |\n| `gone`, `high` | |",
            "DEVELOPERS.md:3: `gone` is no module",
        ),
        (
            "| `low` | |\n| `high`, `low` | |",
            "DEVELOPERS.md:3: `low` stands here again",
        ),
    ] {
        assert_eq!(
            faults(&format!("## Map\n{rows}\n"), &sources),
            [fault],
            "{rows}"
        );
    }
}

/// The program reads the library by its name, and its own modules as `crate`.
#[test]
fn the_program_has_its_place() {
    let sources = [
        ("src/lib.rs", "mod low;\n"),
        ("src/low.rs", ""),
        (
            PROGRAM.1,
            "mod args;\nuse risewater::low;\nuse crate::args;\n",
        ),
        (
            "src/bin/risewater/args.rs",
            "use super::low;\nuse risewater::low;\n",
        ),
    ];
    let sources = texts(sources);
    assert_eq!(
        faults("## Map\n| `low` | |\n| `bin/risewater` | |\n", &sources),
        [""; 0]
    );
    let fault = |file: &str, line| {
        format!(
            "src/bin/risewater/{file}:{line}: `bin/risewater` reads `low`, which comes after it in the map"
        )
    };
    let found = faults("## Map\n| `bin/risewater` | |\n| `low` | |\n", &sources);
    assert_eq!(found, [fault("args.rs", 2), fault("main.rs", 2)]);
}
