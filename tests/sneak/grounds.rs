//! Lost grounds: the worked example of the dual-filament lamp, what lights, dims or flashes wrongly, the second ground.

use crate::big;
use crate::build::{battery, control, file, flasher, plan, switch};
use crate::sneaks::rear;
use crate::{
    ground, lamp_with, resistor, said, severities, source, speaks, splice, survey, the,
    two_filaments,
};
use loomwright::behaviour::survey::{DIMS_BELOW, Harm, MAX_SOLVES, Survey};
use loomwright::behaviour::{Analyser, Fault, State, Subject};
use loomwright::findings::Severity;
use loomwright::plan::Plan;
use loomwright::units::Millimetres;
use serde_json::{Value, json};

const CHECK: &str = "lost ground";

/// A lamp whose `minor` is fed by switch S1 while its `major` hangs by `ohms` on another ground.
fn through_its_own_major(lamp: Value, volts: f64, ohms: f64) -> Plan {
    let mut plan = plan(
        json!([control("tail")]),
        json!([
            source(volts, 0.1),
            switch("S1", "tail"),
            lamp,
            resistor("R1", ohms),
            ground("XG1", 1.0),
            ground("XG2", 1.0),
            ground("XG3", 1.0),
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "E1:58"),
            ("E1:54", "R1:1"),
            ("R1:2", "XG2:31"),
            ("E1:31", "XG1:31"),
            ("XG3:31", "G1:-"),
        ],
        json!([{"id": "w1", "when": {"tail": "on"}, "lamps": ["E1.minor"], "show": "steady"}]),
    );
    // The figures leave the wires out: they are as short as they can be.
    for wire in &mut plan.wires {
        wire.length_mm = Millimetres::of(1.0);
    }
    plan
}

/// Trade number 1157 on 13.5 V: minor 0.59 A at 14 V returns through the major of 2.1 A at 12.8 V. Worked out with
/// power-law lamps: 0.5513 A, 12.375 V at the minor with 66 % flux, 1.125 V at the major with 2.6e-4.
#[test]
fn a_lost_ground_puts_both_filaments_in_series() {
    let lamp = lamp_with("E1", (12.8, 2.1), (14.0, 0.59));
    let plan = through_its_own_major(lamp, 13.5, 1e-3);
    let lost = [Fault::Open(Subject::Part("XG1".parse().expect("an id")))];
    let row = Analyser::new(&plan, &lost).row(&State(vec![1]));
    let [major, minor] = [row.cells[0].on, row.cells[1].on];
    assert!((minor.amps - 0.5513).abs() < 5e-4, "{minor:?}");
    assert!((minor.volts - 12.375).abs() < 0.02, "{minor:?}");
    assert!((minor.level - 0.66).abs() < 5e-3, "{minor:?}");
    assert!((major.volts + 1.125).abs() < 0.01, "{major:?}");
    assert!((major.level - 2.6e-4).abs() < 1e-5, "{major:?}");

    let found = survey(&plan).lost;
    let [lost] = &found[..] else {
        panic!("{found:?}")
    };
    let [effect] = &lost.effects[..] else {
        panic!("{lost:?}")
    };
    assert_eq!(
        (effect.lamp, effect.harm, lost.harmed, lost.looked),
        (1, Harm::Dims, 1, 2)
    );
    assert!((effect.after - minor.level).abs() < 1e-9);
    let finding = the(&plan, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    speaks(
        &finding,
        &[
            "If W5 or XG1 comes loose: with tail on, E1.minor",
            "from 88.",
            "to 65.",
        ],
    );
}

/// Both sides of the bound on dimming, the resistance worked out for it from the power laws.
#[test]
fn a_fifth_of_the_light_is_the_bound() {
    let power_law = |volts: f64, amps: f64, v: f64| amps * libm::pow(v / volts, 0.55);
    let at_minor = 12.6 * libm::pow(DIMS_BELOW, 1.0 / 3.4);
    let amps = power_law(13.5, 0.489, at_minor);
    let at_major = 13.5 * libm::pow(amps / 5.0, 1.0 / 0.55);
    let ohms = (12.6 - at_minor - at_major) / amps;
    let with = |ohms| {
        let lamp = lamp_with("E1", (13.5, 5.0), (13.5, 0.489));
        through_its_own_major(lamp, 12.6, ohms)
    };
    assert_eq!(severities(&with(1.1 * ohms), CHECK), [Severity::Note]);
    assert_eq!(severities(&with(0.7 * ohms), CHECK), []);
    // So much resistance that it goes dark is what a lost ground does anyway.
    assert_eq!(severities(&with(1e6), CHECK), []);
}

/// With the brake on and the tail lamps off, the stop current of the lamp without ground goes back through its tail
/// filament and lights the tail lamp of the other side.
#[test]
fn the_brake_lights_the_tail_lamps_and_a_second_ground_prevents_it() {
    let mut plan = rear(0);
    let found = said(&plan, CHECK);
    assert_eq!(found.len(), 2);
    for finding in &found {
        assert_eq!(finding.severity, Severity::Caution);
        speaks(
            finding,
            &["with brake on", "lights at", "though it should be dark"],
        );
        assert!(finding.measure.is_some());
    }
    let finding = &found[0];
    speaks(finding, &["W9 or XG1", "E1.minor", "E2.minor"]);
    finding.remedies[0]
        .edit
        .clone()
        .apply(&mut plan)
        .expect("the edit fits");
    assert!(
        plan.wires
            .iter()
            .any(|w| w.from.to_string() == "E1:31" && w.to.to_string() == "XG6:31")
    );
    assert_eq!(said(&plan, CHECK).len(), 1);
    let second = the(&plan, CHECK).remedies[0].edit.clone();
    second.apply(&mut plan).expect("the edit fits");
    assert_eq!(said(&plan, CHECK), []);
    assert_eq!(severities(&rear(2), CHECK), []);
}

/// The flashing front lamp without ground pulls its own parking filament along.
#[test]
fn a_steady_lamp_takes_up_the_beat() {
    let plan = plan(
        json!([control("park"), control("left")]),
        json!([
            battery(),
            switch("S1", "park"),
            switch("S2", "left"),
            flasher("K1", "electronic"),
            splice("X1"),
            two_filaments("E1"),
            crate::build::lamp("E2", 1.963),
            ground("XG1", 2.0),
            ground("XG2", 2.0),
            ground("XG3", 2.0),
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "E1:58"),
            ("G1:+", "K1:49"),
            ("K1:49a", "S2:82"),
            ("S2:82a", "X1:1"),
            ("X1:1", "E1:54"),
            ("X1:1", "E2:1"),
            ("E1:31", "XG1:31"),
            ("E2:31", "XG2:31"),
            ("XG3:31", "G1:-"),
        ],
        json!([
            {"id": "w1", "when": {"park": "on"}, "lamps": ["E1.minor"], "show": "steady"},
            {"id": "w2", "when": {"left": "on"}, "lamps": ["E1.major", "E2.main"], "show": "flashing"},
        ]),
    );
    let finding = the(&plan, CHECK);
    assert_eq!(finding.severity, Severity::Note);
    let effects = &survey(&plan).lost[0].effects;
    assert!(
        effects
            .iter()
            .any(|e| e.lamp == 1 && e.harm == Harm::Rhythm),
        "{effects:?}"
    );
    speaks(&finding, &["with park on, left on, E1.minor"]);
}

/// With diodes in the feeds the examples go dark and nothing else; without them two lamps speak up.
#[test]
fn diodes_keep_a_lost_ground_quiet() {
    assert_eq!(
        said(
            &file("tests/fixtures/tractor-shared-rear-lamps.json"),
            CHECK
        ),
        []
    );
    let without = file("tests/fixtures/tractor-without-diodes.json");
    assert_eq!(said(&without, CHECK).len(), 2);
}

/// Twelve controls and as many lamps with two filaments: 4096 states and 12 grounds stay within the bound. With more
/// grounds than the bound allows for, the rest is counted.
#[test]
fn many_grounds_share_one_budget() {
    let looked = |survey: &Survey| survey.lost.iter().map(|lost| lost.looked).sum::<usize>();
    let twelve = survey(&big::shared_grounds(12, 12));
    assert_eq!((twelve.lost.len(), twelve.lost_unlooked), (12, 0));
    assert!((MAX_SOLVES * 4 / 5..=MAX_SOLVES).contains(&looked(&twelve)));
    let many = big::shared_grounds(70, 4);
    let seventy = survey(&many);
    assert_eq!((seventy.lost.len(), seventy.lost_unlooked), (63, 7));
    assert!(looked(&seventy) <= MAX_SOLVES);
    assert!(
        said(&many, CHECK)
            .iter()
            .any(|f| f.text.starts_with("7 more grounds"))
    );
}
