//! The session's reducer: what an action changes, and what it leaves alone.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::plan::{Edit, PartId, file};
use loomwright::session::{Action, Pick, Proposed, Screen, Session};

fn tractor() -> Session {
    let text = include_bytes!("../tests/fixtures/tractor-shared-rear-lamps.json");
    Session::open(file::read(text).expect("the example opens"))
}

/// The brake is the fourth control and goes back when let go.
const BRAKE: usize = 3;

#[test]
fn looking_at_a_state_moves_the_controls_and_holds_the_pedal() {
    let look = Action::Look {
        positions: vec![1, 0, 0, 1],
        pick: Pick::Lamp("E3.major".into()),
        explain: true,
    };
    let session = tractor()
        .reduce(Action::Show(Screen::Behaviour))
        .reduce(look);
    assert_eq!(session.ui.positions, [1, 0, 0, 1]);
    assert_eq!(session.ui.screen, Screen::Paths);
    assert_eq!(session.ui.pick, Pick::Lamp("E3.major".into()));
    assert!(session.ui.explain);
    // An explanation is of a lamp circuit; it ends with the pick of anything else.
    let other = session.reduce(Action::Pick(Pick::Wire("W1".into())));
    assert!(!other.ui.explain);
    // Nobody's foot is on it, so it must be held to stay down.
    let let_go = session.reduce(Action::LetGo(BRAKE));
    assert_eq!(let_go.ui.positions[BRAKE], 1);
    assert_eq!(let_go.reduce(Action::Latch(BRAKE)).ui.positions[BRAKE], 0);
}

#[test]
fn looking_at_a_state_that_does_not_fit_leaves_controls_at_rest() {
    let look = |positions: &[u8]| {
        let action = Action::Look {
            positions: positions.to_vec(),
            pick: Pick::Nothing,
            explain: true,
        };
        tractor().reduce(action).ui.positions.clone()
    };
    assert_eq!(look(&[9, 1]), [0, 1, 0, 0]);
    assert_eq!(look(&[0, 0, 0, 0, 1, 1]), [0, 0, 0, 0]);
}

#[test]
fn one_tap_moves_a_control_on_and_holds_a_pedal() {
    let (master, turn) = (0, 1);
    let on = tractor().reduce(Action::Operate(master));
    assert_eq!(on.ui.positions[master], 1);
    assert_eq!(on.reduce(Action::Operate(master)).ui.positions[master], 0);
    // Through all its positions and back to the first.
    let positions = tractor().plan.controls[turn].positions.len();
    let mut session = tractor();
    let mut seen = Vec::new();
    for _ in 0..positions {
        session = session.reduce(Action::Operate(turn));
        seen.push(usize::from(session.ui.positions[turn]));
    }
    let wanted: Vec<usize> = (1..positions).chain([0]).collect();
    assert_eq!(seen, wanted);
    let held = tractor().reduce(Action::Operate(BRAKE));
    assert_eq!(held.reduce(Action::LetGo(BRAKE)).ui.positions[BRAKE], 1);
    assert_eq!(held.reduce(Action::Operate(BRAKE)).ui.positions[BRAKE], 0);
    let unknown = tractor();
    assert!(unknown.reduce(Action::Operate(99)).same(&unknown));
}

#[test]
fn a_path_is_followed_until_something_else_is_looked_at() {
    let follow = |step| Action::Follow(Some(("E3.major".to_owned(), step)));
    let session = tractor().reduce(Action::Explain(true)).reduce(follow(4));
    assert_eq!(session.ui.step, Some(4));
    assert_eq!(session.ui.pick, Pick::Lamp("E3.major".into()));
    assert!(!session.ui.explain);
    // Moving a control leaves the place; picking something, or another screen, ends it.
    let moved = session.reduce(Action::Operate(0));
    assert_eq!(moved.ui.step, Some(4));
    let picked = session.reduce(Action::Pick(Pick::Wire("W1".into())));
    assert_eq!(picked.ui.step, None);
    assert_eq!(session.reduce(Action::Show(Screen::Build)).ui.step, None);
    let ended = session.reduce(Action::Follow(None));
    assert_eq!(ended.ui.step, None);
    assert_eq!(ended.ui.pick, Pick::Lamp("E3.major".into()));
}

#[test]
fn a_pedal_follows_the_foot_and_a_switch_stays() {
    let pressed = tractor().reduce(Action::Move {
        control: BRAKE,
        position: 1,
    });
    assert_eq!(pressed.ui.positions[BRAKE], 1);
    assert_eq!(pressed.reduce(Action::LetGo(BRAKE)).ui.positions[BRAKE], 0);
    let master = tractor().reduce(Action::Move {
        control: 0,
        position: 1,
    });
    assert_eq!(master.reduce(Action::LetGo(0)).ui.positions[0], 1);
}

#[test]
fn an_action_that_changes_nothing_gives_the_same_session() {
    let session = tractor();
    assert!(session.same(&session.reduce(Action::Rest)));
    assert!(session.same(&session.reduce(Action::Move {
        control: 0,
        position: 7
    })));
    assert!(session.same(&session.reduce(Action::LetGo(99))));
    assert!(!session.same(&session.reduce(Action::Move {
        control: 0,
        position: 1
    })));
}

/// A proposal to take out a part with its wires.
fn without(session: &Session, part: &str) -> Box<Proposed> {
    let id: PartId = part.parse().expect("an identity");
    Box::new(Proposed {
        title: format!("Take out {part}"),
        edit: Edit::remove_part(&session.plan, &id),
        lines: Vec::new(),
        heads: Vec::new(),
        costs: Vec::new(),
    })
}

#[test]
fn a_proposal_is_looked_at_then_taken_and_undone() {
    let session = tractor();
    let looked = session.reduce(Action::Propose(without(&session, "V1")));
    assert!(looked.ui.proposed.is_some());
    assert_eq!(looked.plan, session.plan);
    assert!(looked.reduce(Action::Leave).ui.proposed.is_none());
    assert!(
        looked
            .reduce(Action::Show(Screen::Build))
            .ui
            .proposed
            .is_none()
    );
    let taken = looked.reduce(Action::Take);
    assert!(taken.ui.proposed.is_none());
    assert_eq!(taken.plan.parts.len(), session.plan.parts.len() - 1);
    assert_eq!(taken.history.undo_label(), Some("Take out V1"));
    assert_eq!(*taken.reduce(Action::Undo).plan, *session.plan);
    // Nothing is looked at: nothing is taken.
    assert!(session.same(&session.reduce(Action::Take)));
}

#[test]
fn a_proposal_that_does_not_fit_says_why_and_one_of_another_document_is_dropped() {
    let session = tractor();
    let proposed = without(&session, "V1");
    let taken = session
        .reduce(Action::Propose(proposed.clone()))
        .reduce(Action::Take);
    let refused = taken.reduce(Action::Propose(proposed.clone()));
    assert!(refused.ui.proposed.is_none());
    assert!(refused.ui.message.starts_with("The plan has no wire"));
    let undone = session
        .reduce(Action::Edit {
            edit: Box::new(Edit::Title("Other".into())),
            label: "Title".into(),
            key: String::new(),
        })
        .reduce(Action::Propose(proposed))
        .reduce(Action::Undo);
    assert!(undone.ui.proposed.is_none());
}
