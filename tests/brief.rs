//! Drafted plans: whatever the answers, every lamp does what was wished in every state and no check finds a fault.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::behaviour::{Shows, table};
use loomwright::brief::turn::{Switching, System, TurnBrief, draft};
use loomwright::catalog::fuse;
use loomwright::findings::{Severity, findings};
use loomwright::plan::{FlasherAction, file};
use loomwright::units::{Amps, Millimetres};

/// Checks one draft and returns the number of its states.
#[track_caller]
fn sound(brief: &TurnBrief) -> usize {
    let plan = draft(brief);
    let table = table(&plan, &[]);
    let faults: Vec<String> = findings(&plan, &table)
        .into_iter()
        .filter(|finding| finding.severity == Severity::Fault)
        .map(|finding| finding.text)
        .collect();
    assert!(faults.is_empty(), "{brief:?}\n{faults:#?}");
    assert!(table.as_wished(), "{brief:?}");
    assert!(table.problems.is_empty(), "{:?}", table.problems);
    for part in &plan.parts {
        assert!(
            !part.why.is_empty(),
            "{} does not say why it is there",
            part.id
        );
    }
    assert_eq!(file::read(file::write(&plan).as_bytes()), Ok(plan));
    table.rows.len()
}

fn with_lamps(lamps: u8) -> TurnBrief {
    let has = |bit: u8| lamps >> bit & 1 == 1;
    TurnBrief {
        front_left: has(0),
        front_right: has(1),
        rear_left: has(2),
        rear_right: has(3),
        ..TurnBrief::default()
    }
}

#[test]
fn every_choice_of_lamps_switches_flasher_and_voltage_is_as_wished() {
    for lamps in 1..16 {
        for switching in [Switching::TwoSwitches, Switching::OneControl] {
            for flasher in [FlasherAction::Thermal, FlasherAction::Electronic] {
                for system in System::ALL {
                    let lamp = system.usual_lamp().to_owned();
                    let brief = TurnBrief {
                        switching,
                        flasher,
                        system,
                        lamp,
                        ..with_lamps(lamps)
                    };
                    let states = sound(&brief);
                    let (left, right) = brief.sides();
                    let expected = match switching {
                        Switching::OneControl => 3,
                        Switching::TwoSwitches => {
                            1 << (usize::from(left > 0) + usize::from(right > 0))
                        }
                    };
                    assert_eq!(states, expected, "{brief:?}");
                }
            }
        }
    }
}

#[test]
fn every_lamp_on_offer_gives_a_sound_plan() {
    for system in System::ALL {
        assert!(system.lamps().count() > 1, "{}", system.text());
        for row in system.lamps() {
            for flasher in [FlasherAction::Thermal, FlasherAction::Electronic] {
                let size = "2.5 mm2".to_owned();
                sound(&TurnBrief {
                    system,
                    flasher,
                    size,
                    lamp: row.key.into(),
                    ..TurnBrief::default()
                });
            }
        }
    }
}

#[test]
fn both_switches_on_make_all_four_lamps_flash() {
    let plan = draft(&TurnBrief::default());
    let table = table(&plan, &[]);
    let both = table.rows.last().expect("four states");
    assert_eq!(both.state.moved(), 2);
    assert_eq!(both.cells.len(), 4);
    assert!(both.cells.iter().all(|cell| cell.shows == Shows::Flashing));
}

/// Four lamps of 26.5 W at 13.5 V draw 7.85 A; over 0.75 that is 10.5 A, so 15 A. One side: 5.2 A, so 7.5 A.
#[test]
fn the_fuse_is_the_next_rating_above_the_load() {
    let four = TurnBrief::default();
    assert!((four.worst_load().get() - 4.0 * 26.5 / 13.5).abs() < 1e-9);
    assert_eq!(four.fuse_rating(), Amps::of(15.0));
    assert!(four.fuse_reason().contains("7.85 A") && four.fuse_reason().ends_with("15 A."));
    let side = TurnBrief {
        switching: Switching::OneControl,
        ..TurnBrief::default()
    };
    assert_eq!(side.fuse_rating(), Amps::of(7.5));
    let own = TurnBrief {
        fuse: Some(Amps::of(10.0)),
        ..TurnBrief::default()
    };
    assert_eq!(own.fuse_rating(), Amps::of(10.0));
    for lamps in 1..16 {
        let brief = with_lamps(lamps);
        let rating = brief.fuse_for_load();
        assert!(fuse::find_rating(rating).is_some(), "{rating}");
        assert!(rating.get() * fuse::CONTINUOUS_SHARE >= brief.worst_load().get());
    }
}

#[test]
fn answers_that_fit_nothing_still_give_a_plan() {
    let none = draft(&with_lamps(0));
    assert_eq!(table(&none, &[]).lamps.len(), 0);
    // A lamp of another voltage gives way to the usual one of the system.
    let odd = TurnBrief {
        system: System::V24,
        ..TurnBrief::default()
    };
    assert_eq!(odd.lamp_row().map(|row| row.nominal_volts), Some(24.0));
    sound(&odd);
    sound(&TurnBrief {
        dash_to_rear: Millimetres::ZERO,
        ..TurnBrief::default()
    });
}
