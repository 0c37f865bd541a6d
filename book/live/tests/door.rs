//! Every question through the door, as a page asks it; what is refused; bytes that are no request.

use risewater::answer::{Answer, FlowAnswer, Terms};
use risewater::design::{DesignFile, EXAMPLE, with_values};
use risewater_live::{ask, reply, room};
use serde_json::{Value, json};

fn answered(request: &Value) -> Value {
    serde_json::from_slice(&reply(request.to_string().as_bytes())).expect("a reply is JSON")
}

fn good(request: &Value) -> Value {
    let reply = answered(request);
    assert!(reply["fault"].is_null(), "{request}: {}", reply["fault"]);
    assert!(reply["answer"].is_object(), "{request}");
    reply
}

/// What cannot be drawn leaves the picture out, and nothing else; a picture alone is refused.
#[test]
fn an_answer_stands_without_its_picture() {
    let set = json!({ "rearing_tank.1.biomass": "5000 kg" });
    let reply =
        good(&json!({ "ask": "loop", "set": set, "options": { "picture": "day", "text": true } }));
    assert!(reply["picture"].is_null());
    let why = reply["undrawn"].as_str().unwrap_or_default();
    assert!(why.contains("cannot balance"), "{why}");
    let text = reply["text"].as_str().unwrap_or_default();
    assert!(text.to_lowercase().contains("cannot balance"), "{text}");
    let (key, _) = refused(
        &json!({ "ask": "loop", "set": set, "options": { "picture": "day", "bare": true } }),
    );
    assert_eq!(key.as_deref(), Some("picture"));
}

/// The first fault: its key and its text.
fn refused(request: &Value) -> (Option<String>, String) {
    let reply = answered(request);
    let fault = &reply["fault"][0];
    assert!(reply["answer"].is_null(), "{request}");
    let text = fault["text"]
        .as_str()
        .unwrap_or_else(|| panic!("{request}: {reply}"));
    (fault["key"].as_str().map(str::to_owned), text.to_owned())
}

#[test]
fn every_question_is_answered_on_its_example() {
    let questions = [
        "flow", "curve", "lift", "size", "supply", "existing", "need", "loop",
    ];
    for ask in questions {
        for units in ["metric", "us"] {
            let options = json!({ "picture": true, "text": true });
            let reply = good(&json!({ "ask": ask, "units": units, "options": options }));
            assert!(
                reply["picture"]
                    .as_str()
                    .is_some_and(|svg| svg.starts_with("<svg")),
                "{ask}"
            );
            let text = reply["text"].as_str().unwrap_or_default();
            let plain = |text: &str| {
                let words: Vec<&str> = text.split_whitespace().collect();
                // A label may have a colon of its own, or one in the words alone.
                words.join(" ").replace(": ", " ")
            };
            let said = plain(reply["said"].as_str().unwrap_or_default());
            assert!(
                said.len() > 10 && plain(text).starts_with(&said),
                "{ask}: {said}"
            );
            assert!(reply["cautions"].is_array(), "{ask}");
        }
    }
    let readings = json!([
        { "air": "20 L/min", "water": "60 L/min" },
        { "air": "30 L/min", "water": "90 L/min" },
        { "air": "50 L/min", "water": "125 L/min" },
    ]);
    let reply = good(
        &json!({ "ask": "trial", "file": EXAMPLE, "options": { "readings": readings, "picture": true } }),
    );
    let width = |when: &str| {
        let interval = &reply[when]["interval"];
        interval["high_m3_per_s"].as_f64().unwrap() - interval["low_m3_per_s"].as_f64().unwrap()
    };
    assert!(
        width("after") < 0.7 * width("before"),
        "three readings close the interval"
    );
    assert!(reply["answer"]["next"].is_object());
    // What was measured counts in every other question too.
    let calibration = &reply["calibration"];
    for options in [
        json!({ "readings": readings }),
        json!({ "calibration": calibration }),
    ] {
        let reply = good(&json!({ "ask": "flow", "file": EXAMPLE, "options": options }));
        assert_eq!(reply["answer"]["interval"]["basis"], "bench trial");
    }
    let sheet = json!({ "sheet.csv": risewater::trial::DEMO });
    good(&json!({ "ask": "trial", "tables": sheet }));
}

#[test]
fn an_answer_is_that_of_the_library() {
    let set = json!({ "riser.bore": "60 mm", "air.flow": "25 L/min" });
    let fields = [
        "water_flow_m3_per_s",
        "interval",
        "point.efficiency",
        "point.nothing",
    ];
    let reply = good(&json!({ "ask": "flow", "set": set, "options": { "fields": fields } }));
    let set = [
        "riser.bore=60 mm".to_owned(),
        "air.flow=25 L/min".to_owned(),
    ];
    let (riser, air) = DesignFile::parse_with(EXAMPLE, &set)
        .unwrap()
        .riser_and_air()
        .unwrap();
    let found = FlowAnswer::of(&riser, air, &Terms::default()).unwrap();
    assert_eq!(
        reply["answer"]["water_flow_m3_per_s"],
        found.json()["water_flow_m3_per_s"]
    );
    let text = found.text(risewater::units::UnitSystem::Metric);
    let (flow, sure) = (&reply["fields"][fields[0]], &reply["fields"][fields[1]]);
    let line = format!("{}; {}", flow.as_str().unwrap(), sure.as_str().unwrap());
    assert!(
        text.replace('\n', " ")
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains(&line),
        "{line}\n{text}"
    );
    assert!(reply["fields"][fields[3]].is_null());
    // A picture alone is the same picture.
    let drawn =
        |options: Value| answered(&json!({ "ask": "curve", "options": options }))["picture"].take();
    let options = json!({ "picture": true, "most_air": "60 L/min" });
    let bare = json!({ "picture": true, "most_air": "60 L/min", "bare": true });
    assert_eq!(
        answered(&json!({ "ask": "curve", "options": bare }))["answer"],
        Value::Null
    );
    assert_eq!(drawn(bare), drawn(options));
}

#[test]
fn keys_and_values_are_told() {
    let reply = good(&json!({ "ask": "keys", "options": { "section": "riser" } }));
    let keys = reply["answer"]["keys"].as_array().unwrap();
    let bore = keys.iter().find(|key| key["key"] == "bore").unwrap();
    assert_eq!(
        (&bore["unit"], &bore["smallest"], &bore["largest"]),
        (&json!("mm"), &json!("1 mm"), &json!("3000 mm"))
    );
    let outlet = keys.iter().find(|key| key["key"] == "outlet").unwrap();
    assert!(
        outlet["names"]
            .as_array()
            .unwrap()
            .contains(&json!("elbow"))
    );

    let value =
        |key: &str, text: &str| json!({ "ask": "value", "options": { "key": key, "value": text } });
    assert_eq!(
        good(&value("riser.bore", "7.62 cm"))["answer"],
        json!({ "si": 0.0762, "text": "76.2 mm" })
    );
    let (key, text) = refused(&value("riser.bore", "3"));
    assert_eq!(key.as_deref(), Some("riser.bore"));
    assert!(text.contains("has no unit"), "{text}");

    let mut request = json!({ "ask": "format", "units": "us", "options": { "key": "riser.submergence", "si": 0.3048 } });
    assert_eq!(good(&request)["answer"]["text"], "1 ft");
    request["options"]["key"] = json!("air.flow");
    request["options"]["si"] = json!(0.001);
    assert_eq!(good(&request)["answer"]["text"], "2.1189 cfm");
    request["options"]["key"] = json!("water.temperature");
    request["options"]["si"] = json!(293.15);
    assert_eq!(good(&request)["answer"]["text"], "68 degF");

    let keys = [
        "riser.bore",
        "riser.entrance_loss",
        "riser.suction_length",
        "lift.1.bore",
    ];
    let reply = good(
        &json!({ "ask": "values", "set": { "riser.bore": "76.2 mm" }, "options": { "keys": keys } }),
    );
    assert_eq!(
        reply["answer"]["riser.bore"],
        json!({ "file": "76.2 mm", "text": "76.2 mm", "si": 0.0762 })
    );
    assert_eq!(reply["answer"]["riser.entrance_loss"]["si"], 0.5);
    assert!(reply["answer"]["lift.1.bore"].is_null());
}

/// A written file reads as the file does with the values set, keys that say the same and repeated sections among them.
#[test]
fn a_file_is_written_with_its_values() {
    let files = [
        (
            EXAMPLE,
            "flow",
            json!({ "riser.bore": "60 mm", "air.flow": "25 L/min", "tank.level_fall": "10 cm" }),
        ),
        (
            EXAMPLE,
            "flow",
            json!({ "riser.pipe": "ASTM D1785 Sch 40 3 in", "riser.entrance_loss": 0.3 }),
        ),
        (
            risewater::design::EXISTING_EXAMPLE,
            "existing",
            json!({ "lift.2.submergence": "0.9 m" }),
        ),
        (
            risewater::design::NEED_EXAMPLE,
            "need",
            json!({ "rearing_tank.1.volume": "9 m3" }),
        ),
    ];
    for (file, ask, set) in files {
        let tables = json!({ "crop.csv": risewater::need::DEMO });
        let written = good(&json!({ "ask": "file", "file": file, "set": set }));
        let written = &written["answer"]["file"];
        assert_ne!(written, file);
        let one = good(&json!({ "ask": ask, "file": file, "set": set, "tables": tables }));
        let other = good(&json!({ "ask": ask, "file": written, "tables": tables }));
        assert_eq!(one, other, "{written}");
    }
    assert!(with_values("[riser\n", &[]).is_err());
    let (_, text) = refused(&json!({ "ask": "file", "set": { "lift.9.bore": "60 mm" } }));
    assert!(text.contains("lift"), "{text}");
}

#[test]
fn what_cannot_be_is_refused_where_it_stands() {
    let set = |key: &str, value: &str| json!({ "ask": "flow", "set": { key: value } });
    let (key, text) = refused(&set("riser.bore", "-3 mm"));
    assert_eq!(key.as_deref(), Some("riser.bore"));
    assert!(text.contains("1 to 3000 mm"), "{text}");
    let (key, _) = refused(&set("riser.lift", "three"));
    assert_eq!(key.as_deref(), Some("riser.lift"));
    let reply = answered(&json!({ "ask": "flow", "file": "[riser]\nbore = 3\n" }));
    assert_eq!(
        (&reply["fault"][0]["key"], &reply["fault"][0]["line"]),
        (&json!("riser.bore"), &json!(2))
    );
    let (key, text) = refused(&json!({ "ask": "curve", "options": { "picture": "moon" } }));
    assert_eq!(
        (key.as_deref(), text.as_str()),
        (
            Some("picture"),
            "there is no picture \"moon\" of this; there is curve, panel"
        )
    );
    let (_, text) = refused(&json!({ "ask": "size", "set": { "duty.water_flow": "90000 L/min" } }));
    assert!(text.starts_with("no candidate meets the duty"), "{text}");
    let readings = json!([{ "air": "20 L/min", "water": "60 L/min" }, { "air": "30 L/min", "water": "-5 L/min" }]);
    let (key, text) =
        refused(&json!({ "ask": "trial", "file": EXAMPLE, "options": { "readings": readings } }));
    assert_eq!(key.as_deref(), Some("readings.2.water"), "{text}");
    let readings = json!([{ "air": "20", "water": "60 L/min" }]);
    let (key, text) =
        refused(&json!({ "ask": "trial", "file": EXAMPLE, "options": { "readings": readings } }));
    assert_eq!(key.as_deref(), Some("readings.1.air"), "{text}");
    assert!(text.contains("no unit"), "{text}");
    let (key, _) = refused(&json!({ "ask": "flow", "options": { "level": "7" } }));
    assert_eq!(key.as_deref(), Some("level"));
    let (key, _) = refused(&json!({ "ask": "supper" }));
    assert_eq!(key.as_deref(), Some("ask"));
    let file = risewater::design::SUPPLY_EXAMPLE;
    let (key, text) = refused(&json!({ "ask": "supply", "file": file }));
    assert_eq!(key.as_deref(), Some("blower.table"), "{text}");
    let (_, text) = refused(&json!({ "ask": "flow", "colour": "red" }));
    assert!(text.starts_with("this is no request"), "{text}");
}

/// Numbers of a sequence that is the same each time (Numerical Recipes' constants, from memory; any would do).
fn numbers(mut seed: u64) -> impl FnMut(usize) -> usize {
    move |below| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(seed >> 33).unwrap_or_default() % below
    }
}

#[test]
fn any_bytes_get_a_reply() {
    let mut next = numbers(7);
    let whole = [
        json!({ "ask": "flow", "file": EXAMPLE, "set": { "riser.bore": "60 mm" }, "options": { "level": "80 %" } }).to_string(),
        json!({ "ask": "file", "file": EXAMPLE, "set": { "riser.pipe": "x", "air.flow": "1 cfm" } }).to_string(),
        json!({ "ask": "value", "options": { "key": "riser.bore", "value": "3 in" } }).to_string(),
        json!({ "ask": "trial", "file": EXAMPLE, "options": { "readings": [{ "air": "30 L/min", "water": "90 L/min" }] } }).to_string(),
    ];
    for n in 0..800 {
        let mut bytes = whole[n % whole.len()].clone().into_bytes();
        for _ in 0..=next(4) {
            let at = next(bytes.len());
            match next(3) {
                0 => drop(bytes.remove(at)),
                1 => bytes[at] = b"\"{}[]=.-0123456789eEm \\\xff"[next(24)],
                _ => bytes.insert(at, b"9\n#'"[next(4)]),
            }
        }
        let reply: Value = serde_json::from_slice(&reply(&bytes)).expect("a reply is JSON");
        let told = reply["answer"].is_object() || reply["fault"][0]["text"].is_string();
        assert!(told, "{}: {reply}", String::from_utf8_lossy(&bytes));
    }
    let noise: Vec<u8> = (0..10_000)
        .map(|_| u8::try_from(next(256)).unwrap())
        .collect();
    for bytes in [
        &b""[..],
        b"null",
        b"[]",
        b"{}",
        &noise,
        &b"[".repeat(100_000),
        &b"{\"ask\":".repeat(9_000),
    ] {
        let reply: Value = serde_json::from_slice(&reply(bytes)).expect("a reply is JSON");
        assert!(reply["fault"][0]["text"].is_string(), "{reply}");
    }
}

/// The two functions of the module: a request in the place, its reply there, more than the place has refused.
#[test]
fn the_place_holds_request_and_reply() {
    let request = br#"{"ask": "keys"}"#;
    assert!(!room(request.len()).is_null());
    // Zeros are no request.
    let length = ask(request.len());
    assert!(length > 20);
    assert_eq!(room(0), room(length));
    assert!(ask(usize::MAX) > 20);
}
