//! Joined feeds: by contacts, through diodes, past the fuse.

use crate::build::{battery, control, lamp, plan, switch};
use crate::crossbar::car;
use crate::{diode, fuse, severities, speaks, splice, survey, the};
use loomwright::findings::Severity;
use loomwright::plan::Plan;
use serde_json::json;

const CHECK: &str = "joined feeds";

/// Two fused circuits, each a switch and a lamp, and what else is wired between them.
fn two_circuits(between: &[(&str, &str)]) -> Plan {
    let mut wires = vec![
        ("G1:+", "F0:1"),
        ("F0:2", "X0:1"),
        ("X0:1", "F1:1"),
        ("X0:1", "F2:1"),
        ("F1:2", "S1:82"),
        ("F2:2", "S2:82"),
        ("S1:82a", "X1:1"),
        ("S2:82a", "X2:1"),
        ("X1:1", "E1:1"),
        ("X2:1", "E2:1"),
        ("E1:31", "G1:-"),
        ("E2:31", "G1:-"),
        ("E3:31", "G1:-"),
    ];
    wires.extend(between);
    plan(
        json!([control("a"), control("b"), control("c")]),
        json!([
            battery(),
            fuse("F0"),
            fuse("F1"),
            fuse("F2"),
            splice("X0"),
            splice("X1"),
            splice("X2"),
            switch("S1", "a"),
            switch("S2", "b"),
            switch("S3", "c"),
            diode("V1"),
            diode("V2"),
            lamp("E1", 2.0),
            lamp("E2", 2.0),
            lamp("E3", 2.0),
        ]),
        &wires,
        json!([{"id": "w1", "when": {}, "lamps": ["E1.main", "E2.main", "E3.main"], "show": "any"}]),
    )
}

/// Worked by hand: with F1 out its load end is fed by F2, S2, S3, S1, so all three switches must be closed.
#[test]
fn a_tie_switch_joins_two_fuses() {
    let failing = two_circuits(&[("X1:1", "S3:82"), ("S3:82a", "X2:1")]);
    let ties = survey(&failing).ties;
    assert_eq!(ties.len(), 2);
    assert!(ties.iter().all(|tie| !tie.one_way && tie.at == (7, 0)));
    let finding = the(&failing, CHECK);
    assert_eq!(finding.severity, Severity::Caution);
    assert_eq!(finding.about, ["F1", "F2"]);
    speaks(
        &finding,
        &[
            "With a on, b on, c on",
            "pulling one fuse leaves both live",
            "S2",
            "S3",
        ],
    );
    // Without the tie: a main fuse before both is no second feed.
    assert_eq!(severities(&two_circuits(&[]), CHECK), []);
}

/// Through one diode only one of the circuits stays live.
#[test]
fn a_diode_between_is_a_note() {
    let failing = two_circuits(&[("X2:1", "V1:A"), ("V1:K", "X1:1")]);
    let finding = the(&failing, CHECK);
    assert_eq!(
        (finding.severity, &finding.about[..]),
        (Severity::Note, &["F1".into(), "F2".into()][..])
    );
    speaks(
        &finding,
        &["With a on, b on", "through fuse F2 and a diode"],
    );
}

/// A lamp fed from both through a diode each is not fed back, but it has two fuses.
#[test]
fn diodes_of_two_feeds_are_a_note_that_names_the_lamp() {
    let shared = two_circuits(&[
        ("X1:1", "V1:A"),
        ("X2:1", "V2:A"),
        ("V1:K", "E3:1"),
        ("V2:K", "E3:1"),
    ]);
    let finding = the(&shared, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    assert_eq!(finding.about, ["F1", "F2", "E3"]);
    speaks(&finding, &["With a on, b on", "both fuses must be out"]);
}

#[test]
fn a_way_past_the_fuse_is_found() {
    let failing = two_circuits(&[("X0:1", "S3:82"), ("S3:82a", "X1:1")]);
    let finding = the(&failing, CHECK);
    assert_eq!(
        (finding.severity, &finding.about[..]),
        (Severity::Caution, &["F1".into(), "F0".into()][..])
    );
    // Past both fuses nothing protects it any more.
    let failing = two_circuits(&[("G1:+", "S3:82"), ("S3:82a", "X1:1")]);
    let finding = crate::said(&failing, CHECK);
    assert!(finding.iter().all(|f| f.severity == Severity::Caution));
    assert!(
        finding
            .iter()
            .any(|f| f.text.contains("a way without any fuse leads there"))
    );
}

/// The car of the H pattern: with ignition, brake and hazard on its two fuses are joined; the diode that cures the
/// back-feed leaves the lamps on two fuses.
#[test]
fn the_car_is_joined_until_the_diode_is_in() {
    let failing = car(&[("S2:82a", "X2:1")]);
    assert_eq!(the(&failing, CHECK).severity, Severity::Caution);
    let cured = car(&[("S2:82a", "V1:A"), ("V1:K", "X2:1")]);
    let finding = the(&cured, CHECK);
    assert_eq!(finding.severity, Severity::Note);
}

/// A fuse between two batteries is live at both ends by its nature.
#[test]
fn a_fuse_between_two_batteries_is_no_tie() {
    let second = json!({"id": "G2", "kind": "battery", "spec": {
        "chemistry": "agm", "open_circuit_v": 12.6, "internal_mohm": 10, "capacity_ah": 33}});
    let plan = plan(
        json!([]),
        json!([battery(), second, fuse("F1")]),
        &[("G1:+", "F1:1"), ("F1:2", "G2:+"), ("G2:-", "G1:-")],
        json!([]),
    );
    assert_eq!(severities(&plan, CHECK), []);
}
