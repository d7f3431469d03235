//! The session's reducer: what an action changes, and what it leaves alone.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::plan::file;
use loomwright::session::{Action, Pick, Screen, Session};

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
    };
    let session = tractor()
        .reduce(Action::Show(Screen::Behaviour))
        .reduce(look);
    assert_eq!(session.ui.positions, [1, 0, 0, 1]);
    assert_eq!(session.ui.screen, Screen::Paths);
    assert_eq!(session.ui.pick, Pick::Lamp("E3.major".into()));
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
        };
        tractor().reduce(action).ui.positions.clone()
    };
    assert_eq!(look(&[9, 1]), [0, 1, 0, 0]);
    assert_eq!(look(&[0, 0, 0, 0, 1, 1]), [0, 0, 0, 0]);
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
