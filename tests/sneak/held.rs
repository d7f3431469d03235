//! Relays held in: through a load, backwards through a wire, by their own contact.

use crate::build::{battery, control, lamp, plan, relay, switch};
use crate::{diode, load, resistor, severities, speaks, splice, survey, the};
use loomwright::behaviour::survey::HeldRelay;
use loomwright::findings::Severity;
use loomwright::plan::Plan;
use serde_json::{Value, json};

const CHECK: &str = "held relay";

/// A relay coil of 85 Ω fed by switch S1, and by switch S2 through something in series. Its contact feeds E1.
fn coil(series: Value, ends: (&str, &str)) -> Plan {
    plan(
        json!([control("a"), control("b")]),
        json!([
            battery(),
            switch("S1", "a"),
            switch("S2", "b"),
            relay("K1"),
            lamp("E1", 2.0),
            series
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "K1:86"),
            ("K1:85", "G1:-"),
            ("G1:+", "K1:30"),
            ("K1:87", "E1:1"),
            ("E1:31", "G1:-"),
            ("G1:+", "S2:82"),
            ("S2:82a", ends.0),
            (ends.1, "K1:86"),
        ],
        json!([{"id": "w1", "when": {}, "lamps": ["E1.main"], "show": "any"}]),
    )
}

/// By hand: coil volts = 12.6 V · 85/(85 + R). Pull-in 8 V at R = 48.9 Ω, drop-out 1.5 V at R = 629 Ω.
#[test]
fn pull_in_and_drop_out_are_the_bounds() {
    let with = |ohms: f64| coil(load("R9", ohms), ("R9:+", "R9:-"));
    for (ohms, said, volts) in [
        (48.0, vec![Severity::Fault], 8.05),
        (50.0, vec![Severity::Caution], 7.93),
        (620.0, vec![Severity::Caution], 1.52),
        (640.0, vec![], 0.0),
    ] {
        let plan = with(ohms);
        assert_eq!(severities(&plan, CHECK), said, "{ohms} Ω");
        if !said.is_empty() {
            let finding = the(&plan, CHECK);
            speaks(
                &finding,
                &["With b on", "through switch S2 and load R9 into relay K1"],
            );
            let held: &HeldRelay = &survey(&plan).held[0];
            assert!((held.volts - volts).abs() < 0.02, "{held:?}");
            assert_eq!(
                finding.measure.expect("a number").limit,
                "at most 1.5 V to let go"
            );
        }
    }
    // A resistor is put there to feed the coil.
    assert_eq!(
        severities(&coil(resistor("R9", 48.0), ("R9:1", "R9:2")), CHECK),
        []
    );
}

/// A relay on the ignition bus of the car whose brake switch leads back to it.
#[test]
fn a_coil_on_a_back_fed_bus_is_pulled_in() {
    let with = |between: &[(&str, &str)]| {
        let mut wires = vec![
            ("G1:+", "S1:82"),
            ("S1:82a", "X1:1"),
            ("X1:1", "K1:86"),
            ("K1:85", "G1:-"),
            ("X1:1", "S2:82"),
            ("G1:+", "S3:82"),
            ("S3:82a", "X2:1"),
            ("X2:1", "E1:1"),
            ("E1:31", "G1:-"),
        ];
        wires.extend(between);
        plan(
            json!([control("ignition"), control("brake"), control("hazard")]),
            json!([
                battery(),
                switch("S1", "ignition"),
                switch("S2", "brake"),
                switch("S3", "hazard"),
                relay("K1"),
                splice("X1"),
                splice("X2"),
                diode("V1"),
                lamp("E1", 2.0),
            ]),
            &wires,
            json!([{"id": "w1", "when": {}, "lamps": ["E1.main"], "show": "any"}]),
        )
    };
    let finding = the(&with(&[("S2:82a", "X2:1")]), CHECK);
    assert_eq!(finding.severity, Severity::Fault);
    speaks(
        &finding,
        &[
            "With brake on, hazard on",
            "backwards through wire W10",
            "backwards through wire W5",
        ],
    );
    assert_eq!(
        severities(&with(&[("S2:82a", "V1:A"), ("V1:K", "X2:1")]), CHECK),
        []
    );
}

/// A relay that feeds its own coil: told as a caution where a lamp is wrong by it, else as a note.
#[test]
fn a_latch_is_found_by_starting_from_pulled_in() {
    let with = |hold: &[(&str, &str)], show: &str| {
        let mut wires = vec![
            ("G1:+", "S1:82"),
            ("S1:82a", "K1:86"),
            ("K1:85", "G1:-"),
            ("G1:+", "K1:30"),
            ("K1:87", "E1:1"),
            ("E1:31", "G1:-"),
        ];
        wires.extend(hold);
        plan(
            json!([control("a")]),
            json!([battery(), switch("S1", "a"), relay("K1"), lamp("E1", 2.0)]),
            &wires,
            json!([
                {"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"},
                {"id": "w2", "when": {}, "lamps": ["E1.main"], "show": show},
            ]),
        )
    };
    let hold = [("K1:87", "K1:86")];
    let finding = the(&with(&hold, "off"), CHECK);
    assert_eq!(
        (finding.severity, &finding.about[..]),
        (Severity::Caution, &["K1".into(), "E1.main".into()][..])
    );
    speaks(
        &finding,
        &["pulled in with a on", "stays in with everything at rest"],
    );
    assert_eq!(the(&with(&hold, "any"), CHECK).severity, Severity::Note);
    assert_eq!(severities(&with(&[], "off"), CHECK), []);
}
