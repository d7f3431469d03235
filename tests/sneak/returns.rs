//! Switched grounds beside switched feeds.

use crate::build::{battery, control, lamp, plan, switch};
use crate::sneaks::common;
use crate::{severities, speaks, splice, the};
use loomwright::behaviour::table;
use loomwright::findings::Severity;
use serde_json::json;

const CHECK: &str = "switched ground";

/// By hand: with S1 closed and S3 open the three equal lamps are in series on 12.6 V, 4.2 V each, (4.2/13.5)^3.4 = 1.89 %
/// of rated light in each; the wires take 0.04 V.
#[test]
fn an_open_common_puts_three_lamps_in_series() {
    let failing = common(lamp("E2", 2.0), &[("X1:1", "S3:82"), ("S3:82a", "G1:-")]);
    let table = table(&failing, &[]);
    let row = table
        .rows
        .iter()
        .find(|r| r.state.0 == [1, 0, 0])
        .expect("listed");
    for cell in &row.cells {
        assert!((cell.on.volts.abs() - 4.2).abs() < 0.05, "{cell:?}");
        assert!((cell.on.level - 0.0189).abs() < 8e-4, "{cell:?}");
    }
    assert!(row.cells[1].on.volts < 0.0, "E2 runs backwards");

    let finding = the(&failing, CHECK);
    assert_eq!(finding.severity, Severity::Caution);
    assert_eq!(finding.about, ["E1.main", "E2.main", "S3"]);
    speaks(
        &finding,
        &[
            "through lamp E1 to the common point",
            "backwards through lamp E2 and through lamp E3",
        ],
    );
    // The same is an H pattern with the lamp E2 in its cross-bar.
    let h = crate::said(&failing, "H pattern");
    assert!(
        h.iter()
            .any(|f| f.about.iter().any(|id| id == "E2") && f.severity == Severity::Caution)
    );

    let cured = common(lamp("E2", 2.0), &[("X1:1", "G1:-")]);
    assert_eq!(severities(&cured, CHECK), []);
    assert_eq!(severities(&cured, "H pattern"), []);
}

/// An LED lamp lets no current back, so there is no detour: what is left is a note.
#[test]
fn an_led_lamp_blocks_the_detour() {
    let led = json!({"id": "E2", "kind": "led-lamp", "spec": {"light": "red", "common": "31", "circuits": [
        {"id": "main", "terminal": "1", "rated_v": 13.5, "rated_a": 0.3, "knee_v": 8, "drive": "resistor"}]}});
    let plan = common(led, &[("X1:1", "S3:82"), ("S3:82a", "G1:-")]);
    assert_eq!(the(&plan, CHECK).severity, Severity::Note);
}

/// A lamp switched to ground beside lamps switched in their feed share nothing but the battery: a note. Switched
/// alike, or behind one master switch, there is nothing to say.
#[test]
fn switched_in_different_places_is_a_note() {
    let with = |wires: &[(&str, &str)]| {
        plan(
            json!([control("a"), control("b"), control("m")]),
            json!([
                battery(),
                switch("S1", "a"),
                switch("S2", "b"),
                switch("S3", "m"),
                splice("X1"),
                lamp("E1", 2.0),
                lamp("E2", 2.0),
            ]),
            wires,
            json!([{"id": "w1", "when": {}, "lamps": ["E1.main", "E2.main"], "show": "any"}]),
        )
    };
    let mixed = with(&[
        ("G1:+", "E1:1"),
        ("E1:31", "S1:82"),
        ("S1:82a", "G1:-"),
        ("G1:+", "S2:82"),
        ("S2:82a", "E2:1"),
        ("E2:31", "G1:-"),
    ]);
    let finding = the(&mixed, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    speaks(
        &finding,
        &[
            "E1.main is switched between lamp and ground, by switch S1",
            "E2.main in the feed",
        ],
    );

    let alike = with(&[
        ("G1:+", "S3:82"),
        ("S3:82a", "X1:1"),
        ("X1:1", "E1:1"),
        ("E1:31", "S1:82"),
        ("S1:82a", "G1:-"),
        ("X1:1", "E2:1"),
        ("E2:31", "S2:82"),
        ("S2:82a", "G1:-"),
    ]);
    assert_eq!(severities(&alike, CHECK), []);

    let both = with(&[
        ("G1:+", "S3:82"),
        ("S3:82a", "E1:1"),
        ("E1:31", "S1:82"),
        ("S1:82a", "G1:-"),
        ("G1:+", "E2:1"),
        ("E2:31", "G1:-"),
    ]);
    let finding = the(&both, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    speaks(&finding, &["E1.main also in the feed, by switch S3"]);
}
