//! The published JSON Schema against the plan files: all that is written fits it, word for word, and what the reader
//! refuses it refuses. Checked by a validator of its own (`boon`).
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use boon::{Compiler, SchemaIndex, Schemas};
use loomwright::brief::{Brief, draft};
use loomwright::plan::file;
use serde_json::{Value, json};
use std::fs;

const PUBLISHED: &str = include_str!("../static/plan.schema.json");

/// A schema ready for use.
struct Checker(Schemas, SchemaIndex);

impl Checker {
    fn new(schema: Value) -> Self {
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        compiler
            .add_resource("urn:loomwright:plan:1", schema)
            .expect("a resource");
        let index = compiler
            .compile("urn:loomwright:plan:1", &mut schemas)
            .expect("a sound schema");
        Self(schemas, index)
    }

    fn published() -> Self {
        Self::new(serde_json::from_str(PUBLISHED).expect("JSON"))
    }

    /// The same, but no field may be there that it does not name.
    fn strict() -> Self {
        let mut schema: Value = serde_json::from_str(PUBLISHED).expect("JSON");
        close(&mut schema);
        Self::new(schema)
    }

    fn complaint(&self, plan: &Value) -> Option<String> {
        self.0
            .validate(plan, self.1)
            .err()
            .map(|error| error.to_string())
    }
}

/// Closes every object that names its fields.
fn close(schema: &mut Value) {
    match schema {
        Value::Object(map) => {
            if map.get("type") == Some(&json!("object")) && map.get("properties").is_some() {
                map.insert("additionalProperties".into(), json!(false));
            }
            map.values_mut().for_each(close);
        }
        Value::Array(list) => list.iter_mut().for_each(close),
        _ => {}
    }
}

fn json_files(folder: &str) -> Vec<String> {
    let mut paths: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .path()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|path| path.ends_with(".json"))
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "{folder}");
    paths
}

fn value(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn every_saved_plan_fits_and_has_no_field_that_is_not_described() {
    let (open, strict) = (Checker::published(), Checker::strict());
    let folders = ["tests/fixtures", "static/examples", "tests/fixtures/golden"];
    for path in folders.iter().flat_map(|folder| json_files(folder)) {
        let text = fs::read_to_string(&path).expect("a file");
        assert_eq!(open.complaint(&value(&text)), None, "{path}");
        let written = file::write(&build::file(&path));
        if !path.contains("golden") {
            assert_eq!(strict.complaint(&value(&written)), None, "{path}");
        }
    }
}

#[test]
fn every_drafted_plan_fits_word_for_word() {
    let strict = Checker::strict();
    for path in json_files("tests/fixtures/briefs") {
        let brief: Brief =
            serde_json::from_str(&fs::read_to_string(&path).expect("a file")).expect("a brief");
        let written = file::write(&draft(&brief));
        assert_eq!(strict.complaint(&value(&written)), None, "{path}");
    }
}

#[test]
fn what_the_reader_refuses_does_not_fit() {
    let open = Checker::published();
    let sound = value(&file::write(&build::file(
        "tests/fixtures/tractor-shared-rear-lamps.json",
    )));
    let wrong: [(&str, Value); 14] = [
        ("/format", json!("diary")),
        ("/version", json!(0)),
        ("/version", json!(2)),
        ("/title", json!(7)),
        ("/parts", json!({})),
        ("/parts/0/id", json!("G 1")),
        ("/parts/0/id", json!("x".repeat(41))),
        ("/parts/0/kind", json!("time machine")),
        ("/parts/0/spec/open_circuit_v", json!("12")),
        ("/parts/2/spec/contacts", json!(null)),
        ("/wires/0/from", json!("G1+")),
        ("/wires/0/length_mm", json!(null)),
        ("/wishes/0/show", json!("blinking")),
        ("/controls/0/action", json!("sometimes")),
    ];
    for (at, with) in wrong {
        let mut plan = sound.clone();
        *plan.pointer_mut(at).expect("a place") = with.clone();
        assert!(
            file::read(plan.to_string().as_bytes()).is_err(),
            "the reader takes {with} at {at}"
        );
        assert!(
            open.complaint(&plan).is_some(),
            "the schema takes {with} at {at}"
        );
    }
    for (at, field) in [
        ("/parts/0", "kind"),
        ("/parts/0/spec", "chemistry"),
        ("/wires/0", "size"),
        ("", "title"),
    ] {
        let mut plan = sound.clone();
        let object = plan
            .pointer_mut(at)
            .and_then(Value::as_object_mut)
            .expect("an object");
        assert!(object.remove(field).is_some());
        assert!(
            file::read(plan.to_string().as_bytes()).is_err(),
            "the reader misses no {field}"
        );
        assert!(
            open.complaint(&plan).is_some(),
            "the schema misses no {field}"
        );
    }
}

#[test]
fn fields_of_a_newer_build_fit() {
    let open = Checker::published();
    let mut plan = value(&file::write(&build::file(
        "tests/fixtures/tractor-shared-rear-lamps.json",
    )));
    for at in [
        "",
        "/settings",
        "/controls/0",
        "/parts/0",
        "/parts/0/spec",
        "/wires/3",
        "/wishes/1",
    ] {
        plan.pointer_mut(at).expect("a place")["zz_future"] = json!({"a": [1, null]});
    }
    assert_eq!(open.complaint(&plan), None);
}
