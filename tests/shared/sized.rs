//! A small sound plan and the questions the tests of the checks ask of its variants.
#![allow(dead_code, reason = "each test uses some of these")]

use crate::build::{battery, control, lamp, plan, switch};
use loomwright::behaviour::{Loads, Table, loads, table};
use loomwright::findings::{Finding, Severity, findings};
use loomwright::plan::{Kind, Plan};
use loomwright::units::{Amps, Millimetres};
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
