//! Sneak circuits: for every check a worked example, a plan that fails, the same plan cured, and both sides of the
//! bounds; silence on sound plans.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/big.rs"]
mod big;
#[path = "shared/briefs.rs"]
mod briefs;
#[path = "shared/build.rs"]
mod build;
#[path = "shared/random.rs"]
mod random;
#[path = "shared/sneaks.rs"]
mod sneaks;

#[path = "sneak/crossbar.rs"]
mod crossbar;
#[path = "sneak/drafts.rs"]
mod drafts;
#[path = "sneak/feeds.rs"]
mod feeds;
#[path = "sneak/grounds.rs"]
mod grounds;
#[path = "sneak/held.rs"]
mod held;
#[path = "sneak/paths.rs"]
mod paths;
#[path = "sneak/returns.rs"]
mod returns;
#[path = "sneak/sources.rs"]
mod sources;

use loomwright::behaviour::survey::Survey;
use loomwright::behaviour::table;
use loomwright::findings::{Finding, Severity, findings};
use loomwright::plan::Plan;
use serde_json::{Value, json};

/// What one check says of a plan.
fn said(plan: &Plan, check: &str) -> Vec<Finding> {
    let table = table(plan, &[]);
    let mut all = findings(plan, &table);
    all.retain(|finding| finding.check == check);
    all
}

fn survey(plan: &Plan) -> Survey {
    Survey::new(plan, &table(plan, &[]))
}

/// The severities of what one check says.
fn severities(plan: &Plan, check: &str) -> Vec<Severity> {
    said(plan, check).iter().map(|f| f.severity).collect()
}

/// The one thing a check says.
#[track_caller]
fn the(plan: &Plan, check: &str) -> Finding {
    let mut all = said(plan, check);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

/// The finding speaks of all these words.
#[track_caller]
fn speaks(finding: &Finding, words: &[&str]) {
    for word in words {
        assert!(finding.text.contains(word), "{word:?} in {}", finding.text);
    }
}

fn fuse(id: &str) -> Value {
    json!({"id": id, "kind": "fuse", "spec": {"rating_a": 10}})
}

fn splice(id: &str) -> Value {
    json!({"id": id, "kind": "splice", "spec": {}})
}

fn diode(id: &str) -> Value {
    json!({"id": id, "kind": "diode", "spec": {"model": "10A04"}})
}

fn ground(id: &str, milliohms: f64) -> Value {
    json!({"id": id, "kind": "ground", "spec": {"joint_mohm": milliohms}})
}

fn resistor(id: &str, ohms: f64) -> Value {
    json!({"id": id, "kind": "resistor", "spec": {"ohms": ohms, "rating_w": 50}})
}

/// A constant resistance that uses current.
fn load(id: &str, ohms: f64) -> Value {
    json!({"id": id, "kind": "load", "spec": {"rated_v": 12, "rated_a": 12.0 / ohms}})
}

fn source(volts: f64, milliohms: f64) -> Value {
    json!({"id": "G1", "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": volts,
        "internal_mohm": milliohms, "capacity_ah": 33}})
}

/// A lamp with the filaments `major` (terminal `54`) and `minor` (terminal `58`), each rated (volts, amperes).
fn lamp_with(id: &str, major: (f64, f64), minor: (f64, f64)) -> Value {
    json!({"id": id, "kind": "lamp", "spec": {"light": "red", "common": "31", "filaments": [
        {"id": "major", "terminal": "54", "rated_v": major.0, "rated_a": major.1},
        {"id": "minor", "terminal": "58", "rated_v": minor.0, "rated_a": minor.1}]}})
}

/// The same with 21 W and 5 W.
fn two_filaments(id: &str) -> Value {
    lamp_with(id, (13.5, 1.963), (13.5, 0.489))
}

const SNEAKS: [&str; 6] = [
    "H pattern",
    "joined feeds",
    "switched ground",
    "lost ground",
    "held relay",
    "other source",
];

/// The hand-drawn plans are sound but for the masked cells the wishes tell of; no sneak check has anything to add.
#[test]
fn sound_plans_are_silent() {
    let mut plans: Vec<Plan> = [
        "static/examples/parade-wagon.json",
        "tests/fixtures/wagon-four-turn-lamps.json",
        "tests/fixtures/tractor-shared-rear-lamps.json",
        "tests/fixtures/float-shared-front-and-rear-lamps.json",
    ]
    .iter()
    .map(|path| build::file(path))
    .collect();
    plans.push(big::plan(12));
    plans.push(big::plan(30));
    for plan in &plans {
        for check in SNEAKS {
            assert_eq!(said(plan, check), [], "{}", plan.title);
        }
    }
}

/// In the other two examples the turn signal has priority by contacts, and nothing but the ground keeps the filaments of a
/// rear lamp apart: without it the tail filament flashes along by way of the front turn lamp. That is told, nothing
/// else, and the second grounds quiet it.
#[test]
fn the_examples_with_priority_tell_of_their_rear_grounds_only() {
    for name in ["ferry-slip-tractor", "orchard-float"] {
        let mut plan = build::file(&format!("static/examples/{name}.json"));
        let told: Vec<Finding> = SNEAKS.iter().flat_map(|check| said(&plan, check)).collect();
        assert_eq!(told.len(), 2, "{told:#?}");
        for (finding, lamp) in told.iter().zip(["E3.minor", "E4.minor"]) {
            assert_eq!(
                (finding.check, finding.severity),
                ("lost ground", Severity::Note)
            );
            speaks(finding, &[lamp, "flashes at 4", "instead of burning at 7"]);
        }
        for check in ["first", "second"] {
            let finding = said(&plan, "lost ground").remove(0);
            let edit = finding.remedies[0].edit.clone();
            edit.apply(&mut plan)
                .unwrap_or_else(|e| panic!("{check}: {e}"));
        }
        assert!(SNEAKS.iter().all(|check| said(&plan, check).is_empty()));
    }
}

/// The survey of sound plans solves nothing again, and a table of another plan gives an empty one.
#[test]
fn the_work_is_bounded() {
    assert_eq!(survey(&big::plan(12)).solves, 0);
    let plan = build::file("tests/fixtures/tractor-without-diodes.json");
    assert!(survey(&plan).solves < 100);
    let other = table(&big::plan(5), &[]);
    assert_eq!(Survey::new(&plan, &other), Survey::default());
}
