//! Plans with a sneak circuit: the bridge, the common ground, lamps that lose their ground.
#![allow(dead_code, reason = "each test uses some of these")]

use crate::build::{battery, control, lamp, plan, switch};
use loomwright::plan::Plan;
use serde_json::{Value, json};

fn splice(id: &str) -> Value {
    json!({"id": id, "kind": "splice", "spec": {}})
}

fn resistor(id: &str, ohms: f64) -> Value {
    json!({"id": id, "kind": "resistor", "spec": {"ohms": ohms, "rating_w": 50}})
}

fn ground(id: &str) -> Value {
    json!({"id": id, "kind": "ground", "spec": {"joint_mohm": 2}})
}

/// 21 W on terminal `54` and 5 W on terminal `58`.
fn two_filaments(id: &str) -> Value {
    json!({"id": id, "kind": "lamp", "spec": {"light": "red", "common": "31", "filaments": [
        {"id": "major", "terminal": "54", "rated_v": 13.5, "rated_a": 1.963},
        {"id": "minor", "terminal": "58", "rated_v": 13.5, "rated_a": 0.489}]}})
}

/// The unbalanced bridge of an open textbook (24 V; 150 Ω and 50 Ω above, 300 Ω and 250 Ω below, 100 Ω between:
/// 16.552 mA from node 3 to node 2), with a switch that exchanges the upper arms. All arms `scale` times as large.
pub fn bridge(volts: f64, between: f64, scale: f64, below: f64) -> Plan {
    let contact = |from, to, at| json!({"from": from, "to": to, "closed_in": [at]});
    plan(
        json!([control("a")]),
        json!([
            {"id": "G1", "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": volts,
                "internal_mohm": 0.1, "capacity_ah": 33}},
            resistor("R1", 150.0 * scale),
            resistor("R2", 50.0 * scale),
            resistor("R3", between * scale),
            resistor("R4", 300.0 * scale),
            resistor("R5", below * scale),
            splice("X2"),
            splice("X3"),
            {"id": "S1", "kind": "switch", "spec": {"control": "a", "contact_mohm": 0.1, "contacts": [
                contact("1", "x2", "off"), contact("2", "x3", "off"),
                contact("1", "x3", "on"), contact("2", "x2", "on")]}},
        ]),
        &[
            ("G1:+", "R1:1"),
            ("G1:+", "R2:1"),
            ("R1:2", "S1:1"),
            ("R2:2", "S1:2"),
            ("S1:x2", "X2:1"),
            ("S1:x3", "X3:1"),
            ("X2:1", "R3:1"),
            ("R3:2", "X3:1"),
            ("X2:1", "R4:1"),
            ("X3:1", "R5:1"),
            ("R4:2", "G1:-"),
            ("R5:2", "G1:-"),
        ],
        json!([]),
    )
}

/// E1 by switch S1, E2 and E3 by switch S2; E1 and E2 meet at X1, from where `to_ground` leads on; E3 has its own ground.
pub fn common(second: Value, to_ground: &[(&str, &str)]) -> Plan {
    let mut wires = vec![
        ("G1:+", "S1:82"),
        ("G1:+", "S2:82"),
        ("S1:82a", "E1:1"),
        ("S2:82a", "X2:1"),
        ("X2:1", "E2:1"),
        ("X2:1", "E3:1"),
        ("E1:31", "X1:1"),
        ("E2:31", "X1:1"),
        ("E3:31", "G1:-"),
    ];
    wires.extend(to_ground);
    plan(
        json!([control("a"), control("b"), control("c")]),
        json!([
            battery(),
            switch("S1", "a"),
            switch("S2", "b"),
            switch("S3", "c"),
            splice("X1"),
            splice("X2"),
            lamp("E1", 2.0),
            second,
            lamp("E3", 2.0),
        ]),
        &wires,
        json!([
            {"id": "w1", "when": {"a": "on", "c": "on"}, "lamps": ["E1.main"], "show": "steady"},
            {"id": "w2", "when": {"b": "on"}, "lamps": ["E2.main", "E3.main"], "show": "any"},
        ]),
    )
}

/// Two rear lamps on common feeds without diodes; the first so many have a second ground.
pub fn rear(second_grounds: usize) -> Plan {
    let mut wires = vec![
        ("G1:+", "S1:82"),
        ("G1:+", "S2:82"),
        ("S1:82a", "X1:1"),
        ("S2:82a", "X2:1"),
        ("X1:1", "E1:58"),
        ("X1:1", "E2:58"),
        ("X2:1", "E1:54"),
        ("X2:1", "E2:54"),
        ("E1:31", "XG1:31"),
        ("E2:31", "XG2:31"),
        ("XG3:31", "G1:-"),
    ];
    wires.extend(
        [("E1:31", "XG4:31"), ("E2:31", "XG5:31")]
            .iter()
            .take(second_grounds),
    );
    plan(
        json!([control("tail"), control("brake")]),
        json!([
            battery(),
            switch("S1", "tail"),
            switch("S2", "brake"),
            splice("X1"),
            splice("X2"),
            two_filaments("E1"),
            two_filaments("E2"),
            ground("XG1"),
            ground("XG2"),
            ground("XG3"),
            ground("XG4"),
            ground("XG5")
        ]),
        &wires,
        json!([
            {"id": "w1", "when": {"tail": "on"}, "lamps": ["E1.minor", "E2.minor"], "show": "steady"},
            {"id": "w2", "when": {"brake": "on"}, "lamps": ["E1.major", "E2.major"], "show": "steady"}]),
    )
}
