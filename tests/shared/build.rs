//! Builds small plans for tests from JSON, through the file reader.
#![allow(dead_code, reason = "each test uses some of these")]

use loomwright::plan::{Plan, file};
use serde_json::{Value, json};

/// A plan from its lists; every wire is `["from", "to"]`, 1 m of 1.5 mm².
pub fn plan(controls: Value, parts: Value, wires: &[(&str, &str)], wishes: Value) -> Plan {
    let wires: Vec<Value> = wires
        .iter()
        .enumerate()
        .map(|(i, (from, to))| {
            json!({
                "id": format!("W{}", i + 1), "from": from, "to": to, "length_mm": 1000,
                "size": "1.5 mm2", "insulation_c": 105, "colour": "BK",
            })
        })
        .collect();
    let document = json!({
        "format": file::FORMAT, "version": 1, "title": "test", "controls": controls,
        "parts": parts, "wires": wires, "wishes": wishes,
    });
    file::read(document.to_string().as_bytes()).unwrap_or_else(|e| panic!("{e}"))
}

/// A 12.6 V battery `G1` of 10 mΩ.
pub fn battery() -> Value {
    json!({"id": "G1", "kind": "battery", "spec": {
        "chemistry": "agm", "open_circuit_v": 12.6, "internal_mohm": 10, "capacity_ah": 33,
    }})
}

/// A make contact `82`–`82a`, closed while `control` is `on`.
pub fn switch(id: &str, control: &str) -> Value {
    json!({"id": id, "kind": "switch", "spec": {
        "control": control, "contact_mohm": 10,
        "contacts": [{"from": "82", "to": "82a", "closed_in": ["on"]}],
    }})
}

/// A 13.5 V 21 W lamp with terminals `1` and `31` and the circuit `main`.
pub fn lamp(id: &str, amps: f64) -> Value {
    json!({"id": id, "kind": "lamp", "spec": {
        "light": "amber", "common": "31",
        "filaments": [{"id": "main", "terminal": "1", "rated_v": 13.5, "rated_a": amps}],
    }})
}

/// A latching control `off`/`on`.
pub fn control(id: &str) -> Value {
    json!({"id": id, "label": id, "action": "latching", "positions": ["off", "on"]})
}

/// A mini relay.
pub fn relay(id: &str) -> Value {
    json!({"id": id, "kind": "relay", "spec": {
        "coil_ohm": 85, "pull_in_v": 8, "drop_out_v": 1.5, "contact_mohm": 2,
    }})
}

/// A flasher with the load window 1 to 6 A.
pub fn flasher(id: &str, action: &str) -> Value {
    json!({"id": id, "kind": "flasher", "spec": {
        "action": action, "per_minute": 90, "min_a": 1, "max_a": 6, "closed_mohm": 20,
    }})
}

/// A plan file of the repository.
pub fn file(path: &str) -> Plan {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    file::read(&bytes).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}
