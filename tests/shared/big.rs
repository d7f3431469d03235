//! A generated plan of about 60 parts: a trunk with a fuse, a flasher and a switched lane per control.

#![allow(dead_code, reason = "each test uses some of these")]

use loomwright::plan::{Plan, file};
use serde_json::{Value, json};

/// A plan with `lanes` two-way controls; every third lane flashes, every fourth shares a lamp through diodes.
pub fn plan(lanes: usize) -> Plan {
    let mut parts = vec![
        json!({"id": "G1", "kind": "battery", "spec": {
            "chemistry": "agm", "open_circuit_v": 12.6, "internal_mohm": 8, "capacity_ah": 60}}),
        json!({"id": "F1", "kind": "fuse", "spec": {"rating_a": 30}}),
        json!({"id": "K1", "kind": "flasher", "spec": {
            "action": "electronic", "per_minute": 90, "min_a": 1, "max_a": 30, "closed_mohm": 20}}),
        json!({"id": "X1", "kind": "splice", "spec": {}}),
        json!({"id": "X2", "kind": "splice", "spec": {}}),
        json!({"id": "XG0", "kind": "ground", "spec": {"joint_mohm": 2}}),
    ];
    let mut wires: Vec<(String, String)> = [
        ("G1:+", "F1:1"),
        ("F1:2", "X1:1"),
        ("X1:1", "K1:49"),
        ("K1:49a", "X2:1"),
        ("XG0:31", "G1:-"),
    ]
    .map(|(a, b)| (a.to_owned(), b.to_owned()))
    .into();
    let (mut controls, mut wishes) = (Vec::new(), Vec::new());
    for i in 0..lanes {
        let (id, flashes) = (format!("c{i}"), i % 3 == 0);
        controls.push(json!({
            "id": id, "label": format!("Switch {i}"), "action": "latching",
            "positions": ["off", "on"]}));
        parts.push(json!({"id": format!("S{i}"), "kind": "switch", "spec": {
            "control": id, "contact_mohm": 10,
            "contacts": [{"from": "82", "to": "82a", "closed_in": ["on"]}]}}));
        parts.push(json!({"id": format!("E{i}"), "kind": "lamp", "spec": {
            "light": "amber", "common": "31", "filaments": [
                {"id": "main", "terminal": "1", "rated_v": 13.5, "rated_a": 1.963}]}}));
        parts.push(json!({"id": format!("XG{}", i + 1), "kind": "ground",
            "spec": {"joint_mohm": 5}}));
        let rail = if flashes { "X2:1" } else { "X1:1" };
        wires.push((rail.into(), format!("S{i}:82")));
        if i % 4 == 3 {
            // This lane also lights the lamp of the one before, each through a diode of its own.
            for (diode, lamp) in [(format!("V{i}a"), i), (format!("V{i}b"), i - 1)] {
                parts.push(json!({"id": diode, "kind": "diode", "spec": {"model": "10A04"}}));
                wires.push((format!("S{i}:82a"), format!("{diode}:A")));
                wires.push((format!("{diode}:K"), format!("E{lamp}:1")));
            }
        } else {
            parts.push(json!({"id": format!("V{i}"), "kind": "diode", "spec": {"model": "10A04"}}));
            wires.push((format!("S{i}:82a"), format!("V{i}:A")));
            wires.push((format!("V{i}:K"), format!("E{i}:1")));
        }
        wires.push((format!("E{i}:31"), format!("XG{}:31", i + 1)));
        let show = if flashes { "flashing" } else { "steady" };
        let mut lamps = vec![format!("E{i}.main")];
        if i % 4 == 3 {
            lamps.push(format!("E{}.main", i - 1));
        }
        wishes
            .push(json!({"id": format!("w{i}"), "when": {id: "on"}, "lamps": lamps, "show": show}));
    }
    let wires: Vec<[String; 2]> = wires.into_iter().map(|(from, to)| [from, to]).collect();
    document(&controls, &parts, &wires, &wishes)
}

/// A plan with `lamps` lamps of two filaments and a ground each, without diodes: switch `i` feeds the weak filament of
/// lamp `i` and the strong one of the next, and every fourth switch does so through a relay.
pub fn shared_grounds(lamps: usize, controls: usize) -> Plan {
    let mut parts = vec![
        json!({"id": "G1", "kind": "battery", "spec": {
            "chemistry": "agm", "open_circuit_v": 12.6, "internal_mohm": 8, "capacity_ah": 60}}),
        json!({"id": "X0", "kind": "splice", "spec": {}}),
        json!({"id": "XG0", "kind": "ground", "spec": {"joint_mohm": 2}}),
    ];
    let mut wires: Vec<[String; 2]> = vec![
        ["G1:+".into(), "X0:1".into()],
        ["XG0:31".into(), "G1:-".into()],
    ];
    for i in 0..lamps {
        parts.push(json!({"id": format!("S{i}"), "kind": "switch", "spec": {
            "control": format!("c{}", i % controls), "contact_mohm": 10,
            "contacts": [{"from": "82", "to": "82a", "closed_in": ["on"]}]}}));
        parts.push(json!({"id": format!("E{i}"), "kind": "lamp", "spec": {
            "light": "red", "common": "31", "filaments": [
                {"id": "major", "terminal": "54", "rated_v": 13.5, "rated_a": 1.963},
                {"id": "minor", "terminal": "58", "rated_v": 13.5, "rated_a": 0.489}]}}));
        parts.push(json!({"id": format!("XG{}", i + 1), "kind": "ground",
            "spec": {"joint_mohm": 2}}));
        let mut out = format!("S{i}:82a");
        wires.push(["X0:1".into(), format!("S{i}:82")]);
        if i % 4 == 3 {
            parts.push(json!({"id": format!("K{i}"), "kind": "relay", "spec": {
                "coil_ohm": 85, "pull_in_v": 8, "drop_out_v": 1.5, "contact_mohm": 2}}));
            wires.push([out, format!("K{i}:86")]);
            wires.push([format!("K{i}:85"), "G1:-".into()]);
            wires.push(["X0:1".into(), format!("K{i}:30")]);
            out = format!("K{i}:87");
        }
        wires.push([out.clone(), format!("E{i}:58")]);
        wires.push([out, format!("E{}:54", (i + 1) % lamps)]);
        wires.push([format!("E{i}:31"), format!("XG{}:31", i + 1)]);
    }
    let controls: Vec<Value> = (0..controls)
        .map(|i| {
            json!({"id": format!("c{i}"), "label": format!("Switch {i}"), "action": "latching",
                "positions": ["off", "on"]})
        })
        .collect();
    document(&controls, &parts, &wires, &[])
}

fn document(controls: &[Value], parts: &[Value], wires: &[[String; 2]], wishes: &[Value]) -> Plan {
    let wires: Vec<Value> = wires
        .iter()
        .enumerate()
        .map(|(i, [from, to])| {
            json!({"id": format!("W{i}"), "from": from, "to": to, "length_mm": 1500,
                "size": "1.5 mm2", "insulation_c": 105, "colour": "RD"})
        })
        .collect();
    let document = json!({
        "format": file::FORMAT, "version": 1, "title": "generated", "controls": controls,
        "parts": parts, "wires": wires, "wishes": wishes});
    file::read(document.to_string().as_bytes()).unwrap_or_else(|e| panic!("{e}"))
}
