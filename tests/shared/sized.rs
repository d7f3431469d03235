//! A small sound plan and the questions the tests of the checks ask of its variants.
#![allow(dead_code, reason = "each test uses some of these")]

use crate::build::{battery, control, flasher, lamp, plan, relay, switch};
use loomwright::behaviour::{Loads, Table, loads, table};
use loomwright::findings::{Finding, Severity, findings};
use loomwright::plan::{Extra, Kind, LedCircuit, LedDrive, LedLamp, Light, Plan, Rules};
use loomwright::units::{Amps, Millimetres, Volts};
use serde_json::{Value, json};

/// A fuse part.
pub fn fuse(id: &str, amps: f64) -> Value {
    json!({"id": id, "kind": "fuse", "spec": {"rating_a": amps}})
}

/// A ground point of 5 mΩ.
pub fn ground(id: &str) -> Value {
    json!({"id": id, "kind": "ground", "spec": {"joint_mohm": 5}})
}

/// Battery, 10 A fuse 150 mm from it, switch, 21 W lamp, grounds; 1 m wires of 1.5 mm². Wires: `W1` to the fuse, `W2` to the
/// switch, `W3` to the lamp, `W4` and `W5` back.
pub fn sound() -> Plan {
    let mut plan = plan(
        json!([control("a")]),
        json!([
            battery(),
            fuse("F1", 10.0),
            switch("S1", "a"),
            lamp("E1", 1.963),
            ground("XG1"),
            ground("XG2")
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "S1:82"),
            ("S1:82a", "E1:1"),
            ("E1:31", "XG1:31"),
            ("XG2:31", "G1:-"),
        ],
        json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
    );
    plan.wires[0].length_mm = Millimetres::of(150.0);
    plan
}

/// The kind of a part, to change it.
pub fn kind<'a>(plan: &'a mut Plan, id: &str) -> &'a mut Kind {
    let part = plan.parts.iter_mut().find(|part| part.id.as_str() == id);
    &mut part.unwrap_or_else(|| panic!("{id} is missing")).kind
}

/// Another rating for a fuse.
pub fn rate(plan: &mut Plan, id: &str, amps: f64) {
    match kind(plan, id) {
        Kind::Fuse(fuse) => fuse.rating_a = Amps::of(amps),
        other => panic!("{id} is a {}", other.text()),
    }
}

/// Table and loads of a plan.
pub fn worked(plan: &Plan) -> (Table, Loads) {
    let table = table(plan, &[]);
    let loads = loads(plan, &table);
    (table, loads)
}

/// What all checks say.
pub fn all(plan: &Plan) -> Vec<Finding> {
    findings(plan, &table(plan, &[]))
}

/// What one check says.
pub fn of(plan: &Plan, check: &str) -> Vec<Finding> {
    let mut found = all(plan);
    found.retain(|finding| finding.check == check);
    found
}

/// What one check says at this severity.
pub fn at(plan: &Plan, check: &str, severity: Severity) -> Vec<Finding> {
    let mut found = of(plan, check);
    found.retain(|finding| finding.severity == severity);
    found
}

/// The plan is without trouble.
#[track_caller]
pub fn quiet(plan: &Plan) {
    let mut found = all(plan);
    found.retain(|finding| finding.severity != Severity::Note);
    assert!(found.is_empty(), "{found:#?}");
}

/// The one finding of a check at a severity; each of its remedies, taken, leaves none of that check at that severity
/// or worse, brings no new fault, and can be taken back.
#[track_caller]
pub fn cured(plan: &Plan, check: &str, severity: Severity) -> Finding {
    let mut found = at(plan, check, severity);
    assert_eq!(found.len(), 1, "{check}: {:#?}", of(plan, check));
    let finding = found.remove(0);
    assert!(!finding.remedies.is_empty(), "no remedy: {finding:#?}");
    assert!(
        finding.measure.is_some() && !finding.about.is_empty(),
        "{finding:#?}"
    );
    let faults = |plan: &Plan| {
        let all = all(plan).into_iter();
        let faults: Vec<Finding> = all.filter(|f| f.severity == Severity::Fault).collect();
        faults
    };
    let before = faults(plan).len();
    for remedy in &finding.remedies {
        let mut changed = plan.clone();
        let inverse = remedy.edit.clone().apply(&mut changed);
        let left: Vec<Finding> = of(&changed, check)
            .into_iter()
            .filter(|f| f.severity <= severity)
            .collect();
        assert!(left.is_empty(), "{}: {left:#?}", remedy.title);
        let after = faults(&changed);
        assert!(after.len() <= before, "{}: {after:#?}", remedy.title);
        let back = inverse.and_then(|inverse| inverse.apply(&mut changed));
        assert!(back.is_ok() && changed == *plan, "{}", remedy.title);
    }
    finding
}

/// The value at which `is` becomes true, between one where it is not and one where it is.
#[track_caller]
pub fn edge(mut no: f64, mut yes: f64, is: impl Fn(f64) -> bool) -> f64 {
    assert!(!is(no), "already at {no}");
    assert!(is(yes), "not even at {yes}");
    for _ in 0..40 {
        let middle = (no + yes) / 2.0;
        if is(middle) {
            yes = middle;
        } else {
            no = middle;
        }
    }
    yes
}

/// The sound plan with a lamp of so many amperes instead, whatever the volts.
pub fn drawing(amps: f64) -> Plan {
    let mut plan = sound();
    *kind(&mut plan, "E1") = Kind::LedLamp(LedLamp {
        light: Light::White,
        circuits: vec![LedCircuit {
            id: "main".into(),
            terminal: "1".into(),
            rated_v: Volts::of(12.0),
            rated_a: Amps::of(amps),
            knee_v: Volts::of(5.0),
            drive: LedDrive::Regulated,
            duties: Vec::new(),
        }],
        common: "31".into(),
        extra: Extra::new(),
    });
    plan
}

pub fn sizes(plan: &mut Plan, size: &str) {
    for wire in &mut plan.wires {
        wire.size = size.into();
    }
}

/// Battery, fuse, diode and a lamp of so many amperes; the lamp always burns.
pub fn with_diode(model: &str, amps: f64) -> Plan {
    let mut plan = plan(
        json!([control("a")]),
        json!([
            battery(),
            fuse("F1", 20.0),
            switch("S1", "a"),
            {"id": "V1", "kind": "diode", "spec": {"model": model}},
            lamp("E1", amps),
            ground("XG1"),
            ground("XG2")
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "S1:82"),
            ("S1:82a", "V1:A"),
            ("V1:K", "E1:1"),
            ("E1:31", "XG1:31"),
            ("XG2:31", "G1:-"),
        ],
        json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
    );
    plan.wires[0].length_mm = Millimetres::of(150.0);
    plan
}

/// Battery, switch, relay; the relay's contact lights the lamp. The coil's feed has a resistor in it.
pub fn with_relay(coil_feed_ohms: f64) -> Plan {
    let mut plan = plan(
        json!([control("a")]),
        json!([
            battery(),
            fuse("F1", 10.0),
            switch("S1", "a"),
            relay("K1"),
            lamp("E1", 1.963),
            ground("XG1"),
            ground("XG2"),
            {"id": "R1", "kind": "resistor", "spec": {"ohms": coil_feed_ohms, "rating_w": 10}},
            {"id": "R2", "kind": "resistor", "spec": {"ohms": 680, "rating_w": 2}}
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "S1:82"),
            ("S1:82a", "R1:1"),
            ("R1:2", "K1:86"),
            ("K1:85", "XG1:31"),
            ("F1:2", "K1:30"),
            ("K1:87", "E1:1"),
            ("E1:31", "XG1:31"),
            ("XG2:31", "G1:-"),
            ("K1:86", "R2:1"),
            ("R2:2", "K1:85"),
        ],
        json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
    );
    plan.wires[0].length_mm = Millimetres::of(150.0);
    plan
}

/// Two 21 W lamps behind a flasher, always on.
pub fn flashing(action: &str) -> Plan {
    let mut plan = plan(
        json!([control("a")]),
        json!([
            battery(),
            fuse("F1", 10.0),
            switch("S1", "a"),
            flasher("K1", action),
            lamp("E1", 1.963),
            lamp("E2", 1.963),
            ground("XG1"),
            ground("XG2")
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "K1:49"),
            ("K1:49a", "S1:82"),
            ("S1:82a", "E1:1"),
            ("S1:82a", "E2:1"),
            ("E1:31", "XG1:31"),
            ("E2:31", "XG1:31"),
            ("XG2:31", "G1:-"),
        ],
        json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main", "E2.main"], "show": "flashing"}]),
    );
    plan.wires[0].length_mm = Millimetres::of(150.0);
    plan
}

pub fn window(action: &str, min: f64, max: f64) -> Plan {
    let mut plan = flashing(action);
    if let Kind::Flasher(unit) = kind(&mut plan, "K1") {
        (unit.min_a, unit.max_a) = (Amps::of(min), Amps::of(max));
    }
    plan
}

pub fn two_filaments(model: &str, stop_a: f64, tail_a: f64) -> Value {
    json!({"id": "E1", "kind": "lamp", "spec": {"model": model, "light": "red", "common": "31", "filaments": [
        {"id": "major", "terminal": "1", "rated_v": 13.5, "rated_a": stop_a, "duties": ["stop"]},
        {"id": "minor", "terminal": "58", "rated_v": 13.5, "rated_a": tail_a, "duties": ["tail"]}]}})
}

/// Stop and tail from one lamp of two filaments, the stop feed through so many ohms.
pub fn stop_and_tail(ohms: f64, rules: Rules) -> Plan {
    let mut plan = plan(
        json!([control("a"), control("b")]),
        json!([
            battery(),
            fuse("F1", 10.0),
            switch("S1", "a"),
            switch("S2", "b"),
            two_filaments("P21/5W", 1.963, 0.489),
            {"id": "R1", "kind": "resistor", "spec": {"ohms": ohms, "rating_w": 50}},
            ground("XG1"),
            ground("XG2")
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "S1:82"),
            ("F1:2", "S2:82"),
            ("S1:82a", "R1:1"),
            ("R1:2", "E1:1"),
            ("S2:82a", "E1:58"),
            ("E1:31", "XG1:31"),
            ("XG2:31", "G1:-"),
        ],
        json!([
            {"id": "w1", "when": {"a": "on"}, "lamps": ["E1.major"], "show": "steady", "at_least": 0.01},
            {"id": "w2", "when": {"b": "on"}, "lamps": ["E1.minor"], "show": "steady", "at_least": 0.01}]),
    );
    plan.wires[0].length_mm = Millimetres::of(150.0);
    plan.settings.sizing.rules = rules;
    plan
}
