//! The file reader: what it refuses and in which words, what it keeps, and that nothing makes it panic.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use loomwright::plan::file::{self, FileError};
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
    assert!(say(deep.as_bytes()).contains("damaged at line 1"));

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
