//! Edits: every one can be taken back and done again, and a failed one leaves no trace.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use loomwright::plan::{Change, Edit, EditError, History, Plan};
use loomwright::units::Share;
use proptest::prelude::*;

fn float() -> Plan {
    build::file("tests/fixtures/float-shared-front-and-rear-lamps.json")
}

/// An edit chosen by numbers; some of them name what is not there or is there already.
fn edit(plan: &Plan, kind: u8, i: usize, j: usize) -> Edit {
    let part = plan.parts[i % plan.parts.len().max(1)..].first().cloned();
    let wire = plan.wires[i % plan.wires.len().max(1)..].first().cloned();
    let wish = plan.wishes[i % plan.wishes.len().max(1)..].first().cloned();
    match (kind % 12, part, wire, wish) {
        (0, Some(part), ..) => Edit::remove_part(plan, &part.id),
        (1, Some(mut part), ..) => {
            let id = part.id.clone();
            part.label = format!("part {j}");
            Edit::Part(Change::Replace { id, item: part })
        }
        (2, Some(mut part), ..) => {
            part.id = plan.free_part_id("Z");
            Edit::Part(Change::Insert { at: j, item: part })
        }
        // Taken identity: must fail.
        (3, Some(part), ..) => Edit::Part(Change::Insert { at: 0, item: part }),
        (4, Some(part), ..) => Edit::Part(Change::Move {
            id: part.id,
            to: j % 40,
        }),
        (5, _, Some(mut wire), _) => {
            let id = wire.id.clone();
            wire.size = format!("{j} AWG");
            Edit::Wire(Change::Replace { id, item: wire })
        }
        (6, _, Some(wire), _) => Edit::Wire(Change::Remove { id: wire.id }),
        (7, _, _, Some(mut wish)) => {
            let id = wish.id.clone();
            wish.at_least = Share::new(j as f64 / 10.0).ok();
            Edit::Wish(Change::Replace { id, item: wish })
        }
        // All or none: the second of the two fails.
        (8, Some(part), ..) => Edit::All(vec![
            Edit::Title("half done".into()),
            Edit::Part(Change::Insert { at: 0, item: part }),
        ]),
        (9, ..) => Edit::Whole(Box::default()),
        _ => Edit::Title(format!("title {j}")),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn undo_and_redo_restore_every_step(steps in prop::collection::vec((any::<u8>(), 0_usize..60, 0_usize..60), 1..60)) {
        let mut plan = float();
        let mut history = History::default();
        let mut states = vec![plan.clone()];
        for (kind, i, j) in steps {
            let before = plan.clone();
            match history.apply(&mut plan, edit(&before, kind, i, j), "step", "") {
                Ok(()) => states.push(plan.clone()),
                Err(_) => prop_assert_eq!(&plan, &before),
            }
        }
        let last = states.len() - 1;
        prop_assert_eq!(history.len(), last);
        for state in states[..last].iter().rev() {
            prop_assert!(history.undo(&mut plan).is_some());
            prop_assert_eq!(&plan, state);
        }
        prop_assert!(history.undo(&mut plan).is_none());
        // The history survives being written down and read back.
        let text = serde_json::to_string(&history).unwrap();
        let mut history: History = serde_json::from_str(&text).unwrap();
        for state in &states[1..] {
            prop_assert!(history.redo(&mut plan).is_some());
            prop_assert_eq!(&plan, state);
        }
        prop_assert!(history.redo(&mut plan).is_none());
    }
}

#[test]
fn changes_of_one_field_merge_into_one_step() {
    let mut plan = float();
    let title = plan.title.clone();
    let mut history = History::default();
    for new in ["F", "Fl", "Float 2"] {
        history
            .apply(
                &mut plan,
                Edit::Title(new.into()),
                format!("Title {new}"),
                "title",
            )
            .unwrap();
    }
    assert_eq!(
        (history.len(), history.undo_label()),
        (1, Some("Title Float 2"))
    );
    history
        .apply(&mut plan, Edit::Notes("n".into()), "Notes", "notes")
        .unwrap();
    history.undo(&mut plan);
    history.undo(&mut plan);
    assert_eq!((plan.title, history.is_empty()), (title, true));
}

#[test]
fn deleting_a_part_takes_its_wires_and_wishes_along() {
    let mut plan = float();
    let id = "E1".parse().unwrap();
    Edit::remove_part(&plan, &id).apply(&mut plan).unwrap();
    assert!(plan.part(&id).is_none());
    assert!(
        plan.wires
            .iter()
            .all(|w| w.from.part != id && w.to.part != id)
    );
    assert!(
        plan.wishes
            .iter()
            .flat_map(|w| &w.lamps)
            .all(|lamp| lamp.part != id)
    );
    let twice = Edit::remove_part(&plan, &id).apply(&mut plan);
    assert_eq!(
        twice,
        Err(EditError::Missing {
            word: "part",
            id: "E1".into()
        })
    );
}
