//! The H pattern: published bridge, the car radio that pulses with the hazard flasher, rings, wires entered backwards.

use crate::build::{battery, control, flasher, lamp, plan, switch};
use crate::sneaks;
use crate::{diode, fuse, severities, speaks, splice, survey, the, two_filaments};
use loomwright::findings::Severity;
use loomwright::plan::Plan;
use serde_json::json;

const CHECK: &str = "H pattern";

/// With 250 Ω below.
fn bridge(volts: f64, between: f64, scale: f64) -> Plan {
    sneaks::bridge(volts, between, scale, 250.0)
}

/// Backwards 16.552 mA as published; with the arms exchanged the node equations give 23.547 mA forward.
#[test]
fn published_bridge_turns_its_current() {
    let plan = bridge(24.0, 100.0, 1.0);
    let [crossbar] = &survey(&plan).crossbars[..] else {
        panic!("one cross-bar")
    };
    let forward = crossbar.forward.as_ref().expect("both ways");
    assert!((crossbar.backward.amps - 0.016_552).abs() < 2e-5);
    assert!((forward.amps - 0.023_547).abs() < 2e-5);
    assert_eq!((crossbar.backward.row, forward.row), (0, 1));
    let finding = the(&plan, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    assert_eq!(finding.about, ["W7", "W8", "R3"]);
    speaks(&finding, &["a on", "everything at rest", "backwards"]);
}

/// 4 V behind 141.67 Ω drive the smaller of the two currents: 1 mA at 3858 Ω.
#[test]
fn a_milliampere_is_the_bound() {
    assert_eq!(
        severities(&bridge(24.0, 3820.0, 1.0), CHECK),
        [Severity::Note]
    );
    assert_eq!(severities(&bridge(24.0, 3900.0, 1.0), CHECK), []);
}

/// The lower arm near its balance at 100 Ω makes the one current small: at 105.2 Ω 1.145 mA against 52.2 mA, at
/// 104.65 Ω 1.029 mA against 52.4 mA, both by the node equations.
#[test]
fn a_fiftieth_of_the_other_current_is_the_bound() {
    let told = |below| severities(&sneaks::bridge(24.0, 100.0, 1.0, below), CHECK);
    assert_eq!(told(105.2), [Severity::Note]);
    assert_eq!(told(104.65), []);
}

/// Node 3 stands at 0.8046 of the battery's volts: half a volt at 0.6214 V.
#[test]
fn half_a_volt_is_the_bound() {
    assert_eq!(
        severities(&bridge(0.628, 100.0, 0.1), CHECK),
        [Severity::Note]
    );
    assert_eq!(severities(&bridge(0.615, 100.0, 0.1), CHECK), []);
}

/// The textbook car: a radio on the ignition bus, stop lamps from there through the brake switch, the hazard flasher
/// from the battery to the same lamps. `between` leads from the brake switch to the lamps.
pub fn car(between: &[(&str, &str)]) -> Plan {
    let mut wires = vec![
        ("G1:+", "F1:1"),
        ("F1:2", "S1:82"),
        ("S1:82a", "X1:1"),
        ("X1:1", "E9:1"),
        ("X1:1", "S2:82"),
        ("G1:+", "F2:1"),
        ("F2:2", "K1:49"),
        ("K1:49a", "S3:82"),
        ("S3:82a", "X2:1"),
        ("X2:1", "E1:1"),
        ("X2:1", "E2:1"),
        ("E1:31", "G1:-"),
        ("E2:31", "G1:-"),
        ("E9:31", "G1:-"),
    ];
    wires.extend(between);
    let on = |names: &[&str]| -> serde_json::Map<String, serde_json::Value> {
        names
            .iter()
            .map(|n| ((*n).to_owned(), json!("on")))
            .collect()
    };
    let both = ["E1.main", "E2.main"];
    plan(
        json!([control("ignition"), control("brake"), control("hazard")]),
        json!([
            battery(),
            fuse("F1"),
            fuse("F2"),
            splice("X1"),
            splice("X2"),
            diode("V1"),
            switch("S1", "ignition"),
            switch("S2", "brake"),
            switch("S3", "hazard"),
            flasher("K1", "electronic"),
            lamp("E1", 1.963),
            lamp("E2", 1.963),
            lamp("E9", 0.2),
        ]),
        &wires,
        json!([
            {"id": "w1", "when": on(&["ignition", "brake", "hazard"]), "lamps": both, "show": "any"},
            {"id": "w2", "when": on(&["hazard"]), "lamps": both, "show": "flashing"},
            {"id": "w3", "when": on(&["ignition", "brake"]), "lamps": both, "show": "steady"},
            {"id": "w4", "when": on(&["ignition"]), "lamps": ["E9.main"], "show": "steady"},
        ]),
    )
}

#[test]
fn the_radio_pulses_with_the_hazard_flasher() {
    let failing = car(&[("S2:82a", "X2:1")]);
    let finding = the(&failing, CHECK);
    assert_eq!(finding.severity, Severity::Caution);
    assert_eq!(finding.about, ["W5", "W15", "S2", "E9.main"]);
    speaks(
        &finding,
        &[
            "with ignition on, brake on (lit by it: E1.main and E2.main)",
            "backwards with brake on, hazard on (lit by it: E9.main)",
            "E9.main should be dark then",
            "joins what fuse F1 feeds with what fuse F2 feeds",
        ],
    );
    let cured = car(&[("S2:82a", "V1:A"), ("V1:K", "X2:1")]);
    assert_eq!(severities(&cured, CHECK), []);
}

/// Two loads on a ring of wires: behind a switch the far side of the ring turns its current, which harms nobody.
#[test]
fn a_ring_is_a_note_behind_a_switch_and_nothing_in_the_trunk() {
    let ring = |feed: &[(&str, &str)]| {
        let mut wires = vec![
            ("X1:1", "X2:1"),
            ("X1:1", "X3:1"),
            ("X2:1", "X3:1"),
            ("X2:1", "S2:82"),
            ("X3:1", "S3:82"),
            ("S2:82a", "E2:1"),
            ("S3:82a", "E3:1"),
            ("E2:31", "G1:-"),
            ("E3:31", "G1:-"),
        ];
        wires.extend(feed);
        plan(
            json!([control("a"), control("b"), control("c")]),
            json!([
                battery(),
                switch("S1", "a"),
                switch("S2", "b"),
                switch("S3", "c"),
                splice("X1"),
                splice("X2"),
                splice("X3"),
                lamp("E2", 2.0),
                lamp("E3", 2.0),
            ]),
            &wires,
            json!([{"id": "w1", "when": {}, "lamps": ["E2.main", "E3.main"], "show": "any"}]),
        )
    };
    let behind = ring(&[("G1:+", "S1:82"), ("S1:82a", "X1:1")]);
    let finding = the(&behind, CHECK);
    assert_eq!(
        (finding.severity, &finding.about[..]),
        (Severity::Note, &["W3".to_owned()][..])
    );
    assert_eq!(severities(&ring(&[("G1:+", "X1:1")]), CHECK), []);
}

/// A wire whose ends were entered the wrong way round: told with the edit that swaps them.
#[test]
fn a_wire_entered_backwards_is_swapped_by_its_remedy() {
    let mut failing = plan(
        json!([control("a")]),
        json!([battery(), switch("S1", "a"), lamp("E1", 2.0)]),
        &[("G1:+", "S1:82"), ("E1:1", "S1:82a"), ("E1:31", "G1:-")],
        json!([{"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
    );
    let finding = the(&failing, CHECK);
    assert_eq!(
        (finding.severity, &finding.about[..]),
        (Severity::Note, &["W2".to_owned()][..])
    );
    finding.remedies[0]
        .edit
        .clone()
        .apply(&mut failing)
        .expect("the edit fits");
    assert_eq!(failing.wires[1].from.to_string(), "S1:82a");
    assert_eq!(severities(&failing, CHECK), []);
}

/// Tail and stop filaments on one ground each, as in any car: the tail current's drop along a poor ground drives
/// nearly 0.1 A back through the cold stop filaments, at less than half a volt, and nothing comes of it.
#[test]
fn unequal_grounds_are_no_h_pattern() {
    let grounds = |milliohms: f64| {
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
                crate::ground("XG1", 2.0),
                crate::ground("XG2", milliohms),
                crate::ground("XG3", 2.0),
            ]),
            &[
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
            ],
            json!([
                {"id": "w1", "when": {"tail": "on"}, "lamps": ["E1.minor", "E2.minor"], "show": "any"},
                {"id": "w2", "when": {"brake": "on"}, "lamps": ["E1.major", "E2.major"], "show": "any"},
            ]),
        )
    };
    assert_eq!(severities(&grounds(200.0), CHECK), []);
    // A ground of 3 Ω is as good as lost: now it is told.
    assert!(!severities(&grounds(3000.0), CHECK).is_empty());
}
