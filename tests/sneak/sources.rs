//! Second sources: what they keep live, and batteries that run down into one another.

use crate::build::{battery, control, lamp, plan, switch};
use crate::{diode, fuse, load, resistor, said, severities, source, speaks, splice, survey, the};
use loomwright::findings::{Finding, Severity};
use loomwright::plan::Plan;
use serde_json::{Value, json};

const CHECK: &str = "other source";

fn second(volts: f64, milliohms: f64) -> Value {
    let mut battery = source(volts, milliohms);
    battery["id"] = json!("G2");
    battery
}

/// What is said of a plan with these words.
fn told(plan: &Plan, words: &str) -> Vec<Finding> {
    let mut all = said(plan, CHECK);
    all.retain(|finding| finding.text.contains(words));
    all
}

/// 24 V against 12 V through 10 Ω, 30 Ω and `ohms`.
fn loop_of_two(ohms: f64) -> Plan {
    plan(
        json!([]),
        json!([
            source(24.0, 0.1),
            second(12.0, 0.1),
            resistor("R1", 10.0),
            resistor("R2", 30.0),
            resistor("R3", ohms)
        ]),
        &[
            ("G1:+", "R1:1"),
            ("R1:2", "R2:1"),
            ("R2:2", "R3:1"),
            ("R3:2", "G2:+"),
            ("G2:-", "G1:-"),
        ],
        json!([]),
    )
}

/// Open textbook: 24 V opposing 12 V carry 0.20 A; 0.40, 1.20 and 0.80 W in the resistors (so 10, 30 and 20 Ω) and 2.40 W
/// into the 12 V battery.
#[test]
fn published_loop_runs_into_the_smaller_battery() {
    let plan = loop_of_two(20.0);
    let drains = survey(&plan).sources.drains;
    let [drain] = &drains[..] else {
        panic!("{drains:?}")
    };
    assert!((drain.amps - 0.20).abs() < 3e-4, "{drain:?}");
    assert!((12.0 * drain.amps - 2.40).abs() < 4e-3);
    assert_eq!((drain.from, drain.into), (0, 1));
    assert_eq!(told(&plan, "runs down into battery G2 at 0.2 A").len(), 1);
}

/// Open textbook: 28 V behind 4 Ω, 2 Ω to ground, 7 V behind 1 Ω: the node stands at 8 V and 1 A runs back into the 7 V.
#[test]
fn published_two_source_network_charges_the_weaker() {
    let plan = plan(
        json!([]),
        json!([
            source(28.0, 4000.0),
            second(7.0, 1000.0),
            load("R1", 2.0),
            splice("X1")
        ]),
        &[
            ("G1:+", "X1:1"),
            ("X1:1", "R1:+"),
            ("X1:1", "G2:+"),
            ("R1:-", "G1:-"),
            ("G2:-", "G1:-"),
        ],
        json!([]),
    );
    let drains = survey(&plan).sources.drains;
    assert_eq!(drains.len(), 1);
    // Four wires of 13 mΩ beside 7 Ω.
    assert!((drains[0].amps - 1.0).abs() < 0.02, "{drains:?}");
}

/// 12 V drive 50 mA through 240 Ω.
#[test]
fn fifty_milliamperes_are_the_bound() {
    let told = |ohms: f64| told(&loop_of_two(ohms - 40.0), "runs down into").len();
    assert_eq!((told(238.0), told(242.0)), (1, 0));
}

/// A main battery behind master switch S1, a second one that `wires` join to the plan. E2 hangs on splice X2.
fn two_batteries(wires: &[(&str, &str)]) -> Plan {
    let mut all = vec![
        ("G1:+", "F1:1"),
        ("F1:2", "S1:82"),
        ("S1:82a", "X1:1"),
        ("X1:1", "S2:82"),
        ("S2:82a", "E1:1"),
        ("E1:31", "G1:-"),
        ("E2:31", "G1:-"),
        ("G2:-", "G1:-"),
        ("X2:1", "E2:1"),
    ];
    all.extend(wires);
    plan(
        json!([control("master"), control("lights"), control("split")]),
        json!([
            battery(),
            second(12.6, 10.0),
            fuse("F1"),
            switch("S1", "master"),
            switch("S2", "lights"),
            switch("S3", "split"),
            splice("X1"),
            splice("X2"),
            diode("V1"),
            lamp("E1", 2.0),
            lamp("E2", 2.0),
        ]),
        &all,
        json!([{"id": "w1", "when": {}, "lamps": ["E1.main", "E2.main"], "show": "any"}]),
    )
}

#[test]
fn a_second_battery_with_its_own_lamp_is_a_note() {
    let own = two_batteries(&[("G2:+", "X2:1")]);
    let finding = the(&own, CHECK);
    assert_eq!(
        (finding.severity, &finding.about[..]),
        (Severity::Note, &["G2".into(), "G1".into()][..])
    );
    speaks(
        &finding,
        &["when battery G1 is disconnected, battery G2 still keeps E2 live"],
    );
    // One battery, or a second one that feeds nothing, is nothing to tell.
    assert_eq!(severities(&two_batteries(&[]), CHECK), []);
}

/// The split-charge switch joins both behind the master switch: live with the master off, and by both.
#[test]
fn a_master_switch_with_a_second_battery_behind_it_lies() {
    let failing = two_batteries(&[("G2:+", "X2:1"), ("X2:1", "S3:82"), ("S3:82a", "X1:1")]);
    let found = told(&failing, "is off, but behind it");
    assert_eq!(found.len(), 1);
    speaks(&found[0], &["With split on: switch S1 is off"]);

    let joined = |way: &[(&str, &str)]| {
        let mut wires = vec![("X1:1", "X2:1")];
        wires.extend(way);
        two_batteries(&wires)
    };
    let failing = joined(&[("G2:+", "S3:82"), ("S3:82a", "X1:1")]);
    let found = told(&failing, "is off, but behind it");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].severity, Severity::Caution);
    assert_eq!(found[0].about, ["S1", "G2"]);
    speaks(&found[0], &["With split on: switch S1", "battery G2", "S3"]);
    let both = told(&failing, "Both feed E2.");
    assert_eq!((both.len(), both[0].severity), (1, Severity::Caution));
    // Led to the supply side of the master switch, it is cut off with it.
    let cured = joined(&[("G2:+", "S3:82"), ("S3:82a", "S1:82")]);
    assert_eq!(told(&cured, "is off, but behind it").len(), 0);
}

/// A 14.4 V charger that runs while the control `engine` is `on`, wired past or before the master switch S1.
fn charged(to: &str, wishes: &str) -> Plan {
    let charger = json!({"id": "G2", "kind": "charger", "spec": {"output_v": 14.4, "internal_mohm": 50,
        "rated_a": 10, "runs": {"control": "engine", "positions": ["on"]}}});
    plan(
        json!([control("master"), control("engine"), control("lights")]),
        json!([
            battery(),
            charger,
            fuse("F1"),
            switch("S1", "master"),
            switch("S2", "lights"),
            splice("X1"),
            splice("X2"),
            lamp("E1", 2.0),
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "X2:1"),
            ("X2:1", "S1:82"),
            ("S1:82a", "X1:1"),
            ("X1:1", "S2:82"),
            ("S2:82a", "E1:1"),
            ("E1:31", "G1:-"),
            ("G2:+", to),
            ("G2:-", "G1:-"),
        ],
        json!([{"id": "w1", "when": {}, "lamps": ["E1.main"], "show": wishes}]),
    )
}

/// An alternator at the battery is told of as a note; behind the master switch it also keeps live what is off, but only
/// while it runs. It never runs down, and it charging the battery is no battery running down into another.
#[test]
fn a_charger_is_a_note_and_behind_the_master_switch_a_caution() {
    let before = charged("X2:1", "any");
    let finding = the(&before, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    assert_eq!(finding.about, ["G2", "G1"]);
    speaks(
        &finding,
        &[
            "With master on, engine on, lights on",
            "charger G2 still keeps E1 live",
            "Stop or unplug it",
        ],
    );
    let behind = charged("X1:1", "any");
    let found = told(&behind, "is off, but behind it");
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].severity, &found[0].about[..]),
        (Severity::Caution, &["S1".into(), "G2".into()][..])
    );
    speaks(&found[0], &["With engine on: switch S1 is off"]);
}

/// A converter dies with the battery that feeds it, so it is no second source; its side has grounds of its own.
#[test]
fn a_converter_is_no_second_source() {
    let converter = json!({"id": "T1", "kind": "converter", "spec": {"input_v": 48, "output_v": 12.5,
        "rated_a": 10, "internal_mohm": 40, "efficiency": 0.9, "starts_v": 40}});
    let plan = plan(
        json!([control("master"), control("lights"), control("brake")]),
        json!([
            source(51.2, 20.0),
            converter,
            switch("S1", "master"),
            switch("S2", "lights"),
            switch("S3", "brake"),
            splice("X1"),
            splice("X2"),
            splice("X3"),
            crate::two_filaments("E1"),
            crate::two_filaments("E2"),
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "T1:in+"),
            ("T1:in-", "G1:-"),
            ("T1:out+", "X1:1"),
            ("X1:1", "S2:82"),
            ("X1:1", "S3:82"),
            ("S2:82a", "X2:1"),
            ("S3:82a", "X3:1"),
            ("X2:1", "E1:58"),
            ("X2:1", "E2:58"),
            ("X3:1", "E1:54"),
            ("X3:1", "E2:54"),
            ("E1:31", "T1:out-"),
            ("E2:31", "T1:out-"),
        ],
        json!([{"id": "w1", "when": {"lights": "on"}, "lamps": ["E1.minor", "E2.minor"], "show": "any"},
            {"id": "w2", "when": {"brake": "on"}, "lamps": ["E1.major", "E2.major"], "show": "any"}]),
    );
    assert_eq!(severities(&plan, CHECK), []);
    // Lost grounds are looked for on the converter's side too, and the second wire leads back to the converter.
    let lost = said(&plan, "lost ground");
    assert_eq!(lost.len(), 2);
    let mut mended = plan.clone();
    lost[0].remedies[0]
        .edit
        .clone()
        .apply(&mut mended)
        .expect("the edit fits");
    let added = mended.wires.last().expect("a wire");
    assert_eq!(
        (added.from.to_string(), added.to.to_string()),
        ("E1:31".into(), "T1:out-".into())
    );
    assert_eq!(said(&mended, "lost ground").len(), 1);
}
