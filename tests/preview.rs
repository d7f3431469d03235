//! What is shown of an edit before it is taken, and of a cell that is not as wished.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use build::{battery, control, lamp, switch};
use loomwright::behaviour::{Analyser, Path, State, Verdict, compare, table};
use loomwright::findings::{findings, news};
use loomwright::isolate::{Costs, advise};
use loomwright::plan::{Change, Edit, Plan, difference};
use serde_json::json;

const BARE: &str = "tests/fixtures/tractor-without-diodes.json";

fn with(plan: &Plan, edit: &Edit) -> Plan {
    let mut after = plan.clone();
    edit.clone()
        .apply(&mut after)
        .expect("the edit fits its plan");
    after
}

#[test]
fn a_diode_changes_just_the_cells_it_darkens() {
    let plan = build::file(BARE);
    let edit = advise(&plan, "10A04", &mut |_| {}).proposals[0]
        .edit
        .clone();
    let after = with(&plan, &edit);
    let (now, then) = (table(&plan, &[]), table(&after, &[]));
    let pairs = compare(&now, &then);
    assert_eq!(pairs.len(), then.rows.len());
    let differing: Vec<_> = pairs
        .iter()
        .flat_map(|pair| pair.cells.iter().filter(|cells| cells.differs()))
        .collect();
    let verdict = |cell: &Option<_>| cell.map(|cell: loomwright::behaviour::Cell| cell.verdict);
    let freed = differing
        .iter()
        .filter(|cells| verdict(&cells.before) == Some(Verdict::BackFed));
    let back_fed = now
        .rows
        .iter()
        .flat_map(|row| &row.cells)
        .filter(|cell| cell.verdict == Verdict::BackFed)
        .count();
    assert_eq!(freed.count(), back_fed);
    assert!(
        differing
            .iter()
            .all(|cells| verdict(&cells.after) != Some(Verdict::BackFed))
    );
    // The same table beside itself differs nowhere.
    assert!(compare(&now, &now).iter().all(|pair| !pair.differs()));
}

/// States keep their partner when an edit adds a control in front and takes out a lamp.
#[test]
fn states_are_matched_by_the_identity_of_their_controls() {
    let plan = build::plan(
        json!([control("a"), control("b")]),
        json!([
            battery(),
            switch("S1", "a"),
            switch("S2", "b"),
            lamp("E1", 2.0),
            lamp("E2", 2.0)
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "E1:1"),
            ("E1:31", "G1:-"),
            ("G1:+", "S2:82"),
            ("S2:82a", "E2:1"),
            ("E2:31", "G1:-"),
        ],
        json!([]),
    );
    let mut after = plan.clone();
    after.controls.insert(
        0,
        serde_json::from_value(control("new")).expect("a control"),
    );
    let after = with(
        &after,
        &Edit::remove_part(&after, &"E2".parse().expect("an identity")),
    );
    let (now, then) = (table(&plan, &[]), table(&after, &[]));
    for pair in compare(&now, &then) {
        let (new, a) = (pair.state.position(0), pair.state.position(1));
        let kept = &pair.cells[0];
        assert_eq!(kept.lamp.to_string(), "E1.main");
        assert_eq!(kept.before.is_some(), new == 0, "{:?}", pair.state);
        if let Some(before) = kept.before {
            assert_eq!(before.bright().level > 0.5, a == 1, "{:?}", pair.state);
        }
        let gone = &pair.cells[1];
        assert_eq!(gone.lamp.to_string(), "E2.main");
        assert!(gone.after.is_none());
    }
}

#[test]
fn what_differs_is_named_by_parts_and_wires() {
    let plan = build::file(BARE);
    let edit = advise(&plan, "10A04", &mut |_| {}).proposals[0]
        .edit
        .clone();
    let after = with(&plan, &edit);
    let found = difference(&plan, &after);
    assert_eq!(found.new_parts.len(), 4);
    assert_eq!((found.new_wires.len(), found.moved_wires.len()), (4, 4));
    assert!(found.gone_parts.is_empty() && found.gone_wires.is_empty());
    assert!(found.changed_parts.is_empty() && found.changed_wires.is_empty());
    let lines = found.lines(&after);
    assert!(lines[0].starts_with("4 new parts: V"), "{lines:?}");
    assert!(lines.iter().any(|l| l.contains("now runs")), "{lines:?}");
    assert_eq!(found.groups().len(), 12);

    let mut thicker = plan.wires[0].clone();
    thicker.size = "4 mm2".into();
    let edit = Edit::Wire(Change::Replace {
        id: thicker.id.clone(),
        item: thicker.clone(),
    });
    let found = difference(&plan, &with(&plan, &edit));
    assert_eq!(found.changed_wires, [thicker.id]);
    assert!(found.moved_wires.is_empty());
    assert_eq!(
        difference(&plan, &plan).lines(&plan),
        ["No part and no wire changes."]
    );
}

fn figure(costs: &Costs, what: &str, column: usize) -> f64 {
    let (_, figures) = costs
        .rows
        .iter()
        .find(|(name, _)| name.starts_with(what))
        .unwrap_or_else(|| panic!("no row {what} in {costs:#?}"));
    let number = figures[column].split('\u{a0}').next().unwrap_or("");
    number.parse().unwrap_or_else(|_| panic!("{figures:?}"))
}

/// Both kinds are solved: a Schottky type drops less, stays cooler and leaves more light, whichever was chosen.
#[test]
fn costs_set_silicon_beside_schottky() {
    let plan = build::file(BARE);
    for (chosen, silicon, schottky) in [("10A04", 1, 2), ("SB540", 2, 1)] {
        let advice = advise(&plan, chosen, &mut |_| {});
        let costs = &advice.proposals[0].costs;
        assert_eq!(costs.heads[0], "Now");
        assert!(costs.heads[silicon].starts_with("Silicon"), "{costs:?}");
        assert!(costs.heads[schottky].starts_with("Schottky"), "{costs:?}");
        assert!(costs.heads[1].ends_with(chosen));
        let drop = |column| figure(costs, "Drop and heat of V", column);
        assert!(drop(silicon) > drop(schottky));
        let light = |column| figure(costs, "Light of E", column);
        assert!(light(0) > light(schottky) && light(schottky) > light(silicon));
        // Diodes in the feeds of some lamps leave the light of the others alone.
        assert_eq!(
            costs.rows.last().map(|(what, _)| what.as_str()),
            Some("Light of all others")
        );
    }
}

fn explained(plan: &Plan, positions: &[u8], lamp: &str) -> (Verdict, String, String, Vec<String>) {
    let state = State(positions.to_vec());
    let mut analyser = Analyser::new(plan, &[]);
    let outcome = analyser.solve(&state);
    let cells = analyser.cells(&state, &outcome);
    let circuit = analyser.circuit();
    let index = circuit
        .lamps
        .iter()
        .position(|known| known.id.to_string() == lamp)
        .expect("a lamp of the plan");
    let paths = [0, 1].map(|phase| Path::trace(circuit, &outcome, phase, index));
    let why = analyser.explain(
        &state,
        index,
        &cells[index],
        paths[0].as_ref(),
        paths[1].as_ref(),
    );
    let back = why.backwards.iter().map(ToString::to_string).collect();
    (cells[index].verdict, why.wish, why.cause, back)
}

#[test]
fn a_back_fed_lamp_names_the_feed_and_the_wire_that_runs_backwards() {
    // Switch a feeds E1 and, through W4 meant the other way, E2, which no wish lights with a.
    let plan = build::plan(
        json!([control("a"), control("b")]),
        json!([
            battery(),
            switch("S1", "a"),
            switch("S2", "b"),
            lamp("E1", 2.0),
            lamp("E2", 2.0)
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "E1:1"),
            ("G1:+", "S2:82"),
            ("S2:82a", "S1:82a"),
            ("S2:82a", "E2:1"),
            ("E1:31", "G1:-"),
            ("E2:31", "G1:-"),
        ],
        json!([
            {"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"},
            {"id": "w2", "when": {"b": "on"}, "lamps": ["E1.main", "E2.main"], "show": "steady"},
        ]),
    );
    let (verdict, wish, cause, back) = explained(&plan, &[1, 0], "E2.main");
    assert_eq!(verdict, Verdict::BackFed);
    assert_eq!(wish, "Breaks the rule that what no wish names stays off.");
    assert_eq!(
        cause,
        "Its current comes through a (S1) and runs backwards in wire W4."
    );
    assert_eq!(back, ["W4"]);
    let (verdict, wish, _, back) = explained(&plan, &[0, 1], "E2.main");
    assert_eq!(verdict, Verdict::AsWished);
    assert_eq!(wish, "Keeps wish 2: steady with b on.");
    assert!(back.is_empty());
    let found = findings(&plan, &table(&plan, &[]));
    let seen = found
        .iter()
        .find(|f| f.about.first().is_some_and(|id| id == "E2.main"));
    assert_eq!(
        seen.and_then(|f| f.seen_in.clone()),
        Some(State(vec![1, 0]))
    );
}

#[test]
fn a_masked_lamp_names_the_feed_that_hides_its_flash() {
    let plan = build::file("tests/fixtures/tractor-shared-rear-lamps.json");
    let table = table(&plan, &[]);
    let (row, lamp) = table
        .rows
        .iter()
        .find_map(|row| {
            let at = row
                .cells
                .iter()
                .position(|cell| cell.verdict == Verdict::Masked)?;
            Some((row, at))
        })
        .expect("a masked cell");
    let (verdict, wish, cause, _) = explained(&plan, &row.state.0, &table.lamps[lamp].to_string());
    assert_eq!(verdict, Verdict::Masked);
    assert!(
        wish.starts_with("Breaks wish ") && wish.contains(": flashing with "),
        "{wish}"
    );
    assert!(
        cause.contains("Brake") && cause.ends_with("it hides the flash."),
        "{cause}"
    );
}

#[test]
fn a_change_that_makes_something_new_to_look_at_says_so() {
    let plan = build::file("tests/fixtures/tractor-shared-rear-lamps.json");
    let diode = plan
        .parts
        .iter()
        .find(|part| part.kind.text() == "diode")
        .map(|part| part.id.clone())
        .expect("a diode");
    let after = with(&plan, &Edit::remove_part(&plan, &diode));
    let all = |plan: &Plan| findings(plan, &table(plan, &[]));
    let (now, then) = (all(&plan), all(&after));
    let new = news(&now, &then);
    assert!(!new.is_empty());
    assert!(new.iter().all(|finding| then.contains(finding)));
    assert!(news(&now, &now).is_empty());
}
