//! Pipes of the user's own: what is wrong with them, and with what names them.

use crate::tool::{answered, file, refused, refuses};

/// A file in which nothing is wrong.
const GOOD: &str = r#"[water]
temperature = "14 degC"
[[pipe]]
name = "shop 63"
bore = "57 mm"
outside_diameter = "63 mm"
[[pipe]]
name = "shop 75"
bore = "67.8 mm"
outside_diameter = "75 mm"
pressure_pipe = false
[riser]
pipe = "shop 63"
submergence = "1.2 m"
lift = "0.15 m"
[air]
flow = "60 L/min"
reference = "dry_20_c"
[duty]
water_flow = "120 L/min"
lift = "0.15 m"
[limits]
pipes = ["shop 63", "SHOP75"]
max_submergence = "1.2 m"
[main_line]
pipe = "shop 75"
length = "10 m"
[header]
pipe = "shop 75"
[branch]
pipe = "shop 63"
length = "2 m"
[[lift]]
at = "2 m"
pipe = "shop 75"
line_pipe = "shop 63"
water_flow = "100 L/min"
"#;

#[test]
fn own_pipes_go_everywhere() {
    let path = file("pipes", "good.toml", GOOD);
    for command in ["check", "flow", "curve", "size", "supply"] {
        answered(&[command, &path]);
    }
}

/// Text, what stands in its place, and the line that must be said.
#[test]
fn bad_pipes() {
    let cases: [(&str, &str, &str); 17] = [
        (
            "name = \"shop 63\"\n",
            "",
            "line 3, pipe 1.name: missing: give what it is to be called",
        ),
        (
            "name = \"shop 63\"",
            "name = \"  \"",
            "line 4, pipe 1.name: missing: give what it is to be called",
        ),
        (
            "bore = \"57 mm\"\n",
            "",
            "line 3, pipe 1.bore: missing: give its inside diameter",
        ),
        (
            "outside_diameter = \"75 mm\"\n",
            "",
            "line 7, pipe 2.outside_diameter: missing: give its outside diameter",
        ),
        (
            "\"57 mm\"",
            "\"63 mm\"",
            "line 6, pipe 1.outside_diameter: outside diameter of the pipe (63 mm) must be more than bore of the pipe (63 mm)",
        ),
        (
            "\"75 mm\"",
            "\"7 m\"",
            "line 10, pipe 2.outside_diameter: outside diameter of the pipe is 7000 mm; it must lie in 1 to 6000 mm",
        ),
        ("\"57 mm\"", "57", "line 5, pipe 1.bore: \"57\" has no unit"),
        (
            "name = \"shop 75\"",
            "name = \"Shop63\"",
            "line 8, pipe 2.name: \"Shop63\" is the name of pipe 1 already",
        ),
        (
            "name = \"shop 75\"",
            "name = \"astm d1785 sch40 2in\"",
            "line 8, pipe 2.name: \"astm d1785 sch40 2in\" is the name of a pipe of the catalogue already",
        ),
        (
            "pressure_pipe = false",
            "pressure_pipe = \"no\"",
            "line 11, pipe 2.pressure_pipe: a text where true or false is due",
        ),
        (
            "pressure_pipe = false",
            "presure_pipe = false",
            "line 11, pipe 2.presure_pipe: there is no key \"presure_pipe\" in [[pipe]]; did you mean \"pressure_pipe\"?",
        ),
        (
            "[riser]\npipe = \"shop 63\"",
            "[riser]\npipe = \"shop 36\"",
            "line 13, riser.pipe: there is no pipe named \"shop 36\"; did you mean \"shop 63\"?",
        ),
        (
            "[riser]\npipe",
            "[riser]\nbore = \"60 mm\"\npipe",
            "line 14, riser.pipe: given beside riser.bore",
        ),
        (
            "SHOP75",
            "shop 57",
            "line 23, limits.pipes: there is no pipe named \"shop 57\"; did you mean \"shop 75\"?",
        ),
        (
            "[main_line]\npipe = \"shop 75\"",
            "[main_line]\npipe = \"shop 7.5\"",
            "line 26, main_line.pipe: there is no pipe named \"shop 7.5\"; did you mean \"shop 75\"?",
        ),
        (
            "line_pipe = \"shop 63\"",
            "line_pipe = \"sop 63\"",
            "line 36, lift 1.line_pipe: there is no pipe named \"sop 63\"; did you mean \"shop 63\"?",
        ),
        (
            "[[pipe]]\nname = \"shop 63\"\nbore = \"57 mm\"\noutside_diameter = \"63 mm\"\n[[pipe]]",
            "[pipe]",
            "line 3, pipe: a table where [[pipe]], once for each pipe and with two brackets each side, is due",
        ),
    ];
    let mut failures = Vec::new();
    for (from, to, words) in cases {
        assert!(GOOD.contains(from), "{from}");
        let path = file("pipes", "bad.toml", GOOD.replacen(from, to, 1));
        for command in ["check", "size", "supply"] {
            failures.extend(refuses(&[command, &path], 2, "design_file", &[words]).err());
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// A pipe with a fault is not said to be missing as well.
#[test]
fn a_fault_is_told_once() {
    let path = file("pipes", "once.toml", GOOD.replace("\"57 mm\"", "\"57\""));
    let (text, _) = crate::tool::refusal(&["check", &path], 2).unwrap();
    assert_eq!(text.matches("line ").count(), 1, "{text}");
}

#[test]
fn replaced_values_of_pipes() {
    let path = file("pipes", "replaced.toml", GOOD);
    let wider = answered(&["size", &path, "--json", "--set", "pipe.1.bore=60 mm"]);
    assert!(wider.contains("\"bore_m\": 0.06"), "{wider}");
    for (set, words) in [
        (
            "pipe.3.bore=60 mm",
            "there is no pipe 3: the file has 2 of [[pipe]]",
        ),
        ("pipe.1.bore=60 kg", "replaced value, pipe 1.bore: "),
        (
            "pipe.1.bore=70 mm",
            "must be more than bore of the pipe (70 mm)",
        ),
    ] {
        refused(&["size", &path, "--set", set], 2, "design_file", &[words]);
    }
}
