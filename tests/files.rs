//! The file reader: what it refuses and in which words, what it keeps, and that nothing makes it panic.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use loomwright::plan::file::{self, FileError};
use loomwright::plan::mend;
use proptest::prelude::*;
use serde_json::{Value, json};

fn tractor() -> Value {
    let path = "tests/fixtures/tractor-shared-rear-lamps.json";
    serde_json::from_str(&file::write(&build::file(path))).expect("canonical form is JSON")
}

fn refused(value: &Value) -> String {
    match file::read(value.to_string().as_bytes()) {
        Ok(plan) => panic!("was taken: {}", plan.title),
        Err(error) => error.to_string(),
    }
}

/// Each complaint names what is wrong, where, and one way to mend it.
#[test]
fn complaints_say_what_where_and_how_to_mend() {
    let say = |bytes: &[u8]| file::read(bytes).expect_err("is no plan").to_string();
    assert!(say(b"\xff\xfe").contains("not text"));
    assert!(say(b"{\n  \"format\": oops").contains("damaged at line 2, column"));
    assert!(say(b"").contains("damaged at line 1"));
    assert!(say(b"[1, 2]").contains("not a Loomwright plan"));
    assert!(say(b"{\"format\": \"diary\"}").contains("not a Loomwright plan"));
    let large = vec![b' '; file::MAX_BYTES + 1];
    assert!(say(&large).contains("kB"));
    let deep = format!("{}{}", "[".repeat(5000), "]".repeat(5000));
    assert!(say(deep.as_bytes()).contains("lists in lists"));

    let mut newer = tractor();
    newer["version"] = json!(2);
    assert!(refused(&newer).contains("version 2") && refused(&newer).contains("reload"));
    newer["version"] = json!("one");
    assert!(refused(&newer).starts_with("version: must be a whole number"));

    let mut plan = tractor();
    plan["parts"][2]["spec"]["contact_mohm"] = json!("ten");
    let sentence = refused(&plan);
    assert!(sentence.starts_with("parts[2] (S1): "), "{sentence}");
    let mut plan = tractor();
    plan["wires"][0]["from"] = json!("G1+");
    assert!(refused(&plan).contains("wires[0] (W1)") && refused(&plan).contains("K1:49a"));
    let mut plan = tractor();
    plan["parts"][0]["id"] = json!("G 1");
    assert!(refused(&plan).contains("letters, digits"));
    let mut plan = tractor();
    plan["parts"][0]["kind"] = json!("time machine");
    assert!(refused(&plan).contains("time machine"));
    let mut plan = tractor();
    plan["wires"] = json!({"W1": 1});
    assert!(refused(&plan).starts_with("wires: must be a list"));
    let mut plan = tractor();
    plan["places"] = Value::Array(vec![json!({"id": "a", "label": ""}); file::MAX_ITEMS + 1]);
    assert_eq!(
        file::read(plan.to_string().as_bytes()),
        Err(FileError::TooMany {
            list: "places",
            len: file::MAX_ITEMS + 1
        })
    );
}

/// What the JSON reader complains of is said in plain words, without its own terms.
#[test]
fn the_readers_complaints_are_in_plain_words() {
    let say = |bytes: &[u8]| file::read(bytes).expect_err("is no plan").to_string();
    assert!(say(b"{\"format\": ").contains("(it ends too early)"));
    assert!(say(b"{} {}").contains("(more follows after its end)"));
    assert!(say(b"{\"format\": oops}").contains("(JSON has no such sign in this place)"));

    let with = |place: &str, value: Value| {
        let mut plan = tractor();
        *plan.pointer_mut(place).expect("the place is there") = value;
        refused(&plan)
    };
    let switch = "/parts/2/spec/contact_mohm";
    for (place, value, words) in [
        (
            switch,
            json!("ten"),
            "the text \"ten\" stands where a number belongs",
        ),
        (
            switch,
            json!(true),
            "the value true stands where a number belongs",
        ),
        (
            switch,
            json!({"a": 1}),
            "a set of fields stands where a number belongs",
        ),
        (switch, json!([1]), "a list stands where a number belongs"),
        (
            switch,
            json!(null),
            "no value stands where a number belongs",
        ),
        (
            "/parts/4/spec/per_minute",
            json!(-1.5),
            "the number -1.5 stands where a whole number from 0 on belongs",
        ),
        (
            "/parts/2/label",
            json!(7),
            "the number 7 stands where a text belongs",
        ),
        (
            "/controls/0/positions",
            json!("off"),
            "the text \"off\" stands where a list belongs",
        ),
        (
            "/parts/2/spec",
            json!(3),
            "the number 3 stands where a set of fields belongs",
        ),
        (
            "/wires/0/from",
            json!(5),
            "the number 5 stands where a text belongs",
        ),
        (
            "/wishes/0/show",
            json!("blinking"),
            "blinking is not known here; known are off, steady, flashing, any",
        ),
        (
            "/parts/0/spec/chemistry",
            json!(1),
            "stands where one of the known words belongs",
        ),
    ] {
        let sentence = with(place, value);
        assert!(sentence.contains(words), "{place}: {sentence}");
        assert!(!sentence.contains("expected"), "{sentence}");
    }
    let mut plan = tractor();
    plan["wires"][0]
        .as_object_mut()
        .expect("a wire")
        .remove("from");
    assert!(refused(&plan).contains("the field from is missing"));
}

/// What no plan needs is refused before it costs time, each limit from both sides.
#[test]
fn limits_are_named() {
    let taken = |plan: &Value| file::read(plan.to_string().as_bytes()).is_ok();
    let mut plan = tractor();
    let positions = |n: usize| json!((0..n).map(|n| format!("p{n}")).collect::<Vec<_>>());
    plan["controls"][0]["positions"] = positions(file::MAX_POSITIONS);
    assert!(taken(&plan));
    plan["controls"][0]["positions"] = positions(file::MAX_POSITIONS + 1);
    assert!(refused(&plan).contains("33 positions, more than the 32"));
    let mut plan = tractor();
    plan["notes"] = json!("x".repeat(file::MAX_TEXT));
    assert!(taken(&plan));
    plan["notes"] = json!("x".repeat(file::MAX_TEXT + 1));
    assert!(refused(&plan).starts_with("the plan: a text of 100001 bytes"));
    let mut plan = tractor();
    let lamp = plan["wishes"][0]["lamps"][0].clone();
    plan["wishes"][0]["lamps"] = Value::Array(vec![lamp.clone(); file::MAX_INNER]);
    assert!(taken(&plan));
    plan["wishes"][0]["lamps"] = Value::Array(vec![lamp; file::MAX_INNER + 1]);
    assert!(refused(&plan).contains("a list of 1001 entries"));
}

/// Every version ever shipped opens, with all it held; the newest is written as it was read.
#[test]
fn every_shipped_version_opens() {
    for version in 1..=file::VERSION {
        let path = format!("tests/fixtures/golden/version-{version}.json");
        let text = std::fs::read_to_string(&path).expect("a golden file for every version");
        let plan = file::read(text.as_bytes()).expect("it opens");
        let kinds: std::collections::BTreeSet<&str> =
            plan.parts.iter().map(|part| part.kind.text()).collect();
        assert_eq!(
            kinds.len(),
            16,
            "every kind of part, and both bodies of a fuse"
        );
        assert_eq!(mend(&plan).1, Vec::<String>::new());
        let written = file::write(&plan);
        assert_eq!(
            written.matches("zz_later").count(),
            text.matches("zz_later").count()
        );
        if version == file::VERSION {
            assert_eq!(written, text);
        }
    }
}

/// Each kind of broken reference is told once and mended; what is sound stays to the letter.
#[test]
fn broken_references_are_told_and_mended() {
    for name in [
        "tractor-shared-rear-lamps",
        "wagon-four-turn-lamps",
        "golden/version-1",
    ] {
        let plan = build::file(&format!("tests/fixtures/{name}.json"));
        assert_eq!(mend(&plan), (plan, Vec::new()), "{name}");
    }
    let breaks: [(&str, Value, &str); 9] = [
        ("/wires/0/from", json!("Z9:1"), "Wire W1 ends at Z9:1"),
        ("/wires/0/from", json!("G1:x"), "Wire W1 ends at G1:x"),
        (
            "/parts/0/place",
            json!("moon"),
            "the place moon, which the plan does not have: the place is added",
        ),
        (
            "/parts/1/id",
            json!("G1"),
            "Two parts carry the identity G1: the second becomes G1-1",
        ),
        (
            "/wires/1/id",
            json!("W1"),
            "Two wires carry the identity W1",
        ),
        ("/controls/0/positions", json!([]), "has no position"),
        (
            "/wishes/0/lamps",
            json!(["E3.major", "E9.x"]),
            "E9.x, which the plan does not have: left out of it",
        ),
        (
            "/wishes/0/when",
            json!({"moon": "full"}),
            "speaks of control moon at full",
        ),
        (
            "/controls/1/positions",
            json!(["off"]),
            "speaks of the position",
        ),
    ];
    for (at, with, sentence) in breaks {
        let mut value = tractor();
        *value.pointer_mut(at).expect("a place") = with;
        let plan = file::read(value.to_string().as_bytes()).expect("it reads");
        let (mended, told) = mend(&plan);
        assert!(
            told.iter().any(|told| told.contains(sentence)),
            "{at}: {told:?}"
        );
        assert_eq!(mend(&mended), (mended, Vec::new()), "{at}: mended for good");
    }
    // A switch whose control is missing gets one with the positions that it speaks of.
    let mut value = tractor();
    value["controls"] = json!([]);
    let plan = file::read(value.to_string().as_bytes()).expect("it reads");
    let (mended, told) = mend(&plan);
    assert!(
        told.iter()
            .any(|told| told.contains("is moved by the control")),
        "{told:?}"
    );
    assert!(
        mended.controls.len() >= 2
            && mended
                .controls
                .iter()
                .all(|control| control.positions.len() >= 2)
    );
    assert_eq!(mended.wires, plan.wires);
}

/// File names are safe on any system, whatever the title.
#[test]
fn titles_become_file_names() {
    for (title, name) in [
        ("Hay wagon", "hay-wagon.loomwright"),
        ("../../etc/passwd", "etc-passwd.loomwright"),
        (
            "a\\b:c*?\"<>|\u{0}\u{202e}gpj.exe",
            "a-b-c-gpj-exe.loomwright",
        ),
        ("  ", "plan.loomwright"),
        ("CON", "con-plan.loomwright"),
        ("lpt1", "lpt1-plan.loomwright"),
        ("Wägelchen", "wägelchen.loomwright"),
        ("=cmd|' /C calc'!A0", "cmd-c-calc-a0.loomwright"),
    ] {
        assert_eq!(file::name(title, file::EXTENSION), name);
    }
    assert!(file::name(&"x".repeat(500), "svg").len() < 80);
}

/// Found by fuzzing: a number may come back in its last bit changed, and then so does the plan.
#[test]
fn numbers_come_back_to_the_last_bit() {
    let long = format!("105{}", "3".repeat(125));
    for number in [
        "0.30000000000000004",
        "5e-324",
        "1.7976931348623157e308",
        "9007199254740993",
        "123456.78901234567",
        &long,
    ] {
        let text = file::write(&build::file("tests/fixtures/wagon-four-turn-lamps.json"));
        let text = text.replacen(
            "\"length_mm\": 150.0",
            &format!("\"length_mm\": {number}"),
            1,
        );
        let plan = file::read(text.as_bytes()).expect("a number");
        let read = plan.wires.iter().map(|wire| wire.length_mm.get());
        let meant: f64 = number.parse().expect("a number");
        assert!(read.into_iter().any(|read| read == meant), "{number}");
        assert_eq!(
            file::read(file::write(&plan).as_bytes()),
            Ok(plan),
            "{number}"
        );
    }
}

/// The small form is the same JSON.
#[test]
fn the_small_form_says_the_same() {
    let plan = build::file("tests/fixtures/golden/version-1.json");
    let (text, small) = (file::write(&plan), file::write_small(&plan));
    assert!(small.len() < text.len() * 3 / 4 && !small.contains('\n'));
    assert_eq!(file::read(small.as_bytes()).as_ref(), Ok(&plan));
    let value = |text: &str| serde_json::from_str::<Value>(text).expect("JSON");
    assert_eq!(value(&small), value(&text));
}

/// Fields of a newer build survive reading and writing, at every level.
#[test]
fn unknown_fields_are_kept() {
    let mut plan = tractor();
    let spots = [
        "",
        "/settings",
        "/controls/0",
        "/parts/0",
        "/parts/0/spec",
        "/wires/3",
        "/wishes/1",
    ];
    for spot in spots {
        let at = plan.pointer_mut(spot).expect("spot is there");
        at["zz_future"] = json!({"a": [1, null, "x"]});
    }
    let read = file::read(plan.to_string().as_bytes()).expect("unknown fields are no error");
    let written: Value = serde_json::from_str(&file::write(&read)).expect("is JSON");
    assert_eq!(written, plan);
}

/// A byte order mark and the order of keys make no difference.
#[test]
fn order_of_keys_and_byte_order_mark_do_not_matter() {
    let plan = build::file("tests/fixtures/wagon-four-turn-lamps.json");
    // `serde_json::Value` keeps its keys sorted, which is not the canonical order.
    let sorted: Value = serde_json::from_str(&file::write(&plan)).expect("is JSON");
    let text = format!("\u{feff}{sorted}");
    assert_eq!(
        file::read(text.as_bytes()).map(|p| file::write(&p)),
        Ok(file::write(&plan))
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    /// Any bytes, and any single damage to a good file, are read or refused with a sentence; what is read goes
    /// through the whole chain.
    #[test]
    fn damaged_files_never_panic(at in 0_usize..8000, byte in any::<u8>(), cut in 0_usize..8000, noise in any::<Vec<u8>>()) {
        let _ = file::read(&noise).map_err(|e| e.to_string());
        let mut bytes =
            file::write(&build::file("tests/fixtures/wagon-four-turn-lamps.json")).into_bytes();
        let at = at % bytes.len();
        bytes[at] = byte;
        if cut < 4000 {
            bytes.truncate(cut);
        }
        match file::read(&bytes) {
            Ok(plan) => {
                let table = loomwright::behaviour::table(&plan, &[]);
                let _ = loomwright::findings::findings(&plan, &table);
            }
            Err(error) => prop_assert!(error.to_string().len() > 20),
        }
    }
}

/// The installed page is offered for files as they are written, and asked in one window after the other.
#[test]
fn the_system_knows_our_files_by_ending_and_media_type() {
    let manifest = include_str!("../static/manifest.webmanifest");
    let manifest: Value = serde_json::from_str(manifest).expect("JSON");
    let handlers = manifest["file_handlers"].as_array().expect("a list");
    assert_eq!(handlers.len(), 1);
    let accept = json!({ file::MEDIA_TYPE: [format!(".{}", file::EXTENSION)] });
    assert_eq!(handlers[0]["accept"], accept);
    assert_eq!(handlers[0]["action"], manifest["scope"]);
}
