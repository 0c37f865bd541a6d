//! The kinds of wrong value, by what a key takes.

use crate::good::{Key, Takes};

/// One combination: what is wrong, the line that replaces the key's own, and what must be said.
pub struct Case {
    pub kind: &'static str,
    pub line: String,
    /// Words of the message; none when the value is legal.
    pub words: Option<Vec<String>>,
    /// Whether the message names the key as `section.key`.
    pub names_key: bool,
}

/// Values of another type than a key takes.
fn other_types(takes: Takes) -> Vec<(&'static str, String)> {
    let mut values = vec![
        ("a bool", "true"),
        ("a date", "1979-05-27"),
        ("a time", "07:32:00"),
        ("tables", "[{ a = 1 }]"),
    ];
    if takes != Takes::Texts {
        values.push(("a list", "[\"1 m\"]"));
    }
    if takes != Takes::State {
        values.push(("a table", "{ a = \"1 m\" }"));
    }
    if !matches!(
        takes,
        Takes::Number | Takes::BoresOrLength | Takes::Count | Takes::Unit(_)
    ) {
        values.extend([("a number", "5"), ("a number", "5.5"), ("a number", "nan")]);
    }
    values
        .into_iter()
        .map(|(kind, value)| (kind, value.to_owned()))
        .collect()
}

/// Wrong values, each with a word of the message.
fn wrong_values(key: &Key) -> Vec<(&'static str, String, &'static str)> {
    let text = |value: &str| format!("\"{value}\"");
    match key.takes {
        Takes::Unit(unit) => {
            let other = if unit == "degC" { "5 mm" } else { "5 degC" };
            let with = |number: &str| text(&format!("{number} {unit}"));
            let mut wrong = vec![
                ("no unit", "5".to_owned(), unit),
                ("no unit", "5.5".to_owned(), unit),
                ("no unit", text("5"), unit),
                ("no unit", text("-5.5e3"), unit),
                ("another quantity", text(other), unit),
                ("another quantity", text("5 kW"), unit),
                ("an unknown unit", text("5 furlongs"), unit),
                ("no number", text("wide"), unit),
                ("no number", text(unit), unit),
                ("empty", text(""), unit),
                ("blank", text("  "), unit),
                ("NaN", with("nan"), "finite"),
                ("NaN", "nan".to_owned(), "finite"),
                ("infinity", with("inf"), "finite"),
                ("infinity", "-inf".to_owned(), "finite"),
                ("overflow", with("1e400"), "finite"),
                ("huge", with("1e30"), "must lie in"),
                ("huge", with("-1e30"), "must lie in"),
                ("decimal comma", with("1,5"), "comma"),
                ("two numbers", with("1 2"), unit),
                ("a range", with("1-2"), unit),
            ];
            wrong.extend(
                [(!key.negative, "-1"), (!key.zero, "0")]
                    .into_iter()
                    .filter(|(bad, _)| *bad)
                    .map(|(_, number)| {
                        (
                            if number == "0" { "zero" } else { "negative" },
                            with(number),
                            "must lie in",
                        )
                    }),
            );
            wrong
        }
        Takes::BoresOrLength => [
            ("not finite", "nan", "finite"),
            ("not finite", "-inf", "finite"),
            ("not finite", "\"nan m\"", "finite"),
            ("out of range", "-0.001", "must lie in 0 to 100 bores"),
            ("out of range", "101", "must lie in 0 to 100 bores"),
            ("out of range", "\"-1 mm\"", "must lie in 0 to 25 m"),
            ("out of range", "\"26 m\"", "must lie in 0 to 25 m"),
            ("another quantity", "\"5 degC\"", "of length"),
            ("an unknown unit", "\"5 furlongs\"", "unit of length"),
            ("no number", "\"wide\"", "give the length"),
            ("empty", "\"\"", "give the length"),
            ("decimal comma", "\"0,5 m\"", "comma"),
        ]
        .map(|(kind, value, word)| (kind, value.to_owned(), word))
        .into(),
        Takes::Number => {
            let mut wrong: Vec<_> = ["nan", "inf", "-inf", "\"nan\"", "\"1e400\""]
                .map(|v| ("not finite", v.to_owned(), "finite"))
                .into();
            wrong.extend(
                ["1e30", "-1e30", "-1", "-0.001", "101"]
                    .map(|v| ("out of range", v.to_owned(), "must lie in")),
            );
            wrong.extend(
                ["\"5 mm\"", "\"wide\"", "\"\"", "\"5 furlongs\""]
                    .map(|v| ("no number", v.to_owned(), "plain number")),
            );
            wrong.push(("decimal comma", "\"0,5\"".to_owned(), "comma"));
            wrong
        }
        Takes::Count => {
            let mut wrong: Vec<_> = ["0", "-1", "1001", "1000000000", "9000000000000000000"]
                .map(|v| ("out of range", v.to_owned(), "must lie in"))
                .into();
            wrong.extend(
                ["2.5", "2.0", "nan", "inf", "\"2\"", "\"\""]
                    .map(|v| ("no whole number", v.to_owned(), "whole number")),
            );
            wrong
        }
        Takes::Text => vec![
            ("unknown", text("zebra"), "there is no"),
            ("empty", text(""), "there is no"),
            ("misspelt", format!("\"{}", &key.value[2..]), "did you mean"),
        ],
        Takes::Texts => vec![
            ("a text", text("ASTM D1785"), "list of texts"),
            ("mixed", "[\"ASTM D1785\", 3]".to_owned(), "list of texts"),
            ("numbers", "[3, 4]".to_owned(), "list of texts"),
            ("empty", "[]".to_owned(), "at least one"),
            ("empty name", "[\"\"]".to_owned(), "there is no"),
            ("unknown", "[\"zebra\"]".to_owned(), "there is no"),
            (
                "misspelt",
                format!("[\"{}", &key.value[3..]),
                "did you mean",
            ),
        ],
        Takes::State => [
            ("unknown", "\"zebra\"", "there is no"),
            ("empty", "\"\"", "there is no"),
            ("nothing in it", "{}", "temperature"),
            ("half of it", "{ temperature = \"20 degC\" }", "pressure"),
            ("half of it", "{ pressure = \"1 bar\" }", "temperature"),
            (
                "no unit",
                "{ temperature = 20, pressure = \"1 bar\" }",
                "degC",
            ),
            (
                "no unit",
                "{ temperature = \"20 degC\", pressure = 101325 }",
                "kPa",
            ),
            (
                "another quantity",
                "{ temperature = \"1 bar\", pressure = \"1 bar\" }",
                "degC",
            ),
            (
                "gauge pressure",
                "{ temperature = \"20 degC\", pressure = \"0.1 barg\" }",
                "absolute",
            ),
            (
                "unknown key",
                "{ temperature = \"20 degC\", pressure = \"1 bar\", wind = 3 }",
                "wind",
            ),
            (
                "misspelt key",
                "{ temperatur = \"20 degC\", pressure = \"1 bar\" }",
                "did you mean",
            ),
            (
                "another type",
                "{ temperature = [20], pressure = \"1 bar\" }",
                "degC",
            ),
            (
                "too hot",
                "{ temperature = \"1000 degC\", pressure = \"1 bar\" }",
                "must lie in",
            ),
            (
                "vacuum",
                "{ temperature = \"20 degC\", pressure = \"0 Pa\" }",
                "must lie in",
            ),
            (
                "negative pressure",
                "{ temperature = \"20 degC\", pressure = \"-1 bar\" }",
                "must lie in",
            ),
            (
                "too humid",
                "{ temperature = \"20 degC\", pressure = \"1 bar\", humidity = 1.5 }",
                "must lie in",
            ),
            (
                "not finite",
                "{ temperature = \"20 degC\", pressure = \"1 bar\", humidity = nan }",
                "finite",
            ),
            (
                "steam",
                "{ temperature = \"100 degC\", pressure = \"50 kPa\", humidity = 1 }",
                "must be more than",
            ),
        ]
        .map(|(kind, value, word)| (kind, value.to_owned(), word))
        .into(),
    }
}

/// All that is tried at one key.
pub fn cases(key: &Key) -> Vec<Case> {
    let name = key.name;
    let bad = |kind, line, words: &[&str], names_key| Case {
        kind,
        line,
        words: Some(words.iter().map(|word| (*word).to_owned()).collect()),
        names_key,
    };
    let mut cases = Vec::new();
    for (kind, value) in other_types(key.takes) {
        // Only a named state of air is a text among tables.
        cases.push(bad(
            kind,
            format!("{name} = {value}"),
            &["where", "is due"],
            true,
        ));
    }
    for (kind, value, word) in wrong_values(key) {
        cases.push(bad(kind, format!("{name} = {value}"), &[word], true));
    }
    if let Takes::Unit(unit) = key.takes {
        for (legal, number) in [(key.negative, "-1"), (key.zero, "0")] {
            if legal {
                cases.push(Case {
                    kind: "legal",
                    line: format!("{name} = \"{number} {unit}\""),
                    words: None,
                    names_key: false,
                });
            }
        }
        cases.push(bad(
            "no quotes",
            format!("{name} = 5 {unit}"),
            &["not TOML", name],
            false,
        ));
    }
    if key.takes == Takes::Number && key.zero {
        cases.push(Case {
            kind: "legal",
            line: format!("{name} = 0"),
            words: None,
            names_key: false,
        });
    }
    cases.push(Case {
        kind: "as it was",
        line: format!("{name} = {}", key.value),
        words: None,
        names_key: false,
    });
    cases.push(bad(
        "no value",
        format!("{name} ="),
        &["not TOML", name],
        false,
    ));
    cases.push(bad(
        "no equals sign",
        format!("{name} {}", key.value),
        &["not TOML", name],
        false,
    ));
    cases.push(bad(
        "open quote",
        format!("{name} = \"5"),
        &["not TOML", name],
        false,
    ));
    cases.push(bad(
        "duplicate key",
        format!("{name} = {0}\n{name} = {0}", key.value),
        &["duplicate key", name],
        false,
    ));
    let misspelt = format!("{name}x");
    cases.push(bad(
        "misspelt key",
        format!("{misspelt} = {}", key.value),
        &[&misspelt, "did you mean", name],
        false,
    ));
    let upper = name.to_uppercase();
    cases.push(bad(
        "key in capitals",
        format!("{upper} = {}", key.value),
        &[&upper, "did you mean", name],
        false,
    ));
    cases.push(bad(
        "unknown key",
        format!("zebra = {}", key.value),
        &["zebra", "there is no key"],
        false,
    ));
    cases.push(bad(
        "nested key",
        format!("{name}.more = {}", key.value),
        &[name],
        false,
    ));
    let zoo = format!("[zoo]\n{name} = {}", key.value);
    cases.push(bad("unknown section", zoo, &["no section [zoo]"], false));
    cases
}
