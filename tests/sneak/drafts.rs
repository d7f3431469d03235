//! Drafted plans in which every lamp does what was wished: no sneak check finds a fault in them, and every second ground
//! that is offered quiets the lost ground it is offered for.

use crate::SNEAKS;
use crate::random::Random;
use loomwright::behaviour::table;
use loomwright::brief::{
    Across, Brief, ControlAnswer, End, Fitting, Lamps, Return, Signal, TurnPriority,
    contradictions, draft,
};
use loomwright::findings::{Severity, findings};
use loomwright::plan::Light;

/// Mends tried until the answers agree.
const MENDS: usize = 20;

fn answers(random: &mut Random) -> Brief {
    let signals = |random: &mut Random| -> Vec<Signal> {
        let n = 1 + random.below(2);
        (0..n).map(|_| Signal::ALL[random.below(12)]).collect()
    };
    let lamps = |random: &mut Random| {
        let fitting = Fitting::ALL[random.below(5)];
        Lamps {
            end: End::ALL[random.below(3)],
            across: Across::ALL[random.below(4)],
            fitting,
            light: Light::Amber,
            strong: signals(random),
            weak: vec![Signal::Tail; fitting.circuits() - 1],
            model: None,
        }
    };
    let position = [
        Signal::Running,
        Signal::Tail,
        Signal::Licence,
        Signal::Marker,
    ];
    let mut controls = vec![
        [ControlAnswer::Turn, ControlAnswer::TurnPair][random.below(2)].clone(),
        ControlAnswer::Pedal {
            signals: vec![Signal::Stop],
        },
        ControlAnswer::Switch {
            signals: position.to_vec(),
        },
        ControlAnswer::Switch {
            signals: vec![Signal::Work],
        },
    ];
    if random.below(2) == 0 {
        controls.push(ControlAnswer::Hazard);
    }
    if random.below(2) == 0 {
        controls.push(ControlAnswer::Master {
            always: Vec::new(),
            lights: vec![Signal::Tail],
        });
    }
    let n = 1 + random.below(4);
    let mut brief = Brief {
        lamps: (0..n).map(|_| lamps(random)).collect(),
        controls,
        priority: [
            TurnPriority::Contacts,
            TurnPriority::Relays,
            TurnPriority::None,
        ][random.below(3)],
        wiring: [Return::Chassis, Return::Wired][random.below(2)],
        ..Brief::default()
    };
    for _ in 0..MENDS {
        let Some(first) = contradictions(&brief).into_iter().next() else {
            break;
        };
        brief = first.mends[0].brief.clone();
    }
    brief
}

#[test]
fn second_grounds_quiet_what_they_are_offered_for() {
    let mut random = Random(12);
    let (mut sound, mut offered) = (0, 0);
    for _ in 0..400 {
        let brief = answers(&mut random);
        if !contradictions(&brief).is_empty() {
            continue;
        }
        let plan = draft(&brief);
        let before = table(&plan, &[]);
        if !before.as_wished() {
            continue;
        }
        sound += 1;
        for finding in findings(&plan, &before) {
            let sneak = SNEAKS.contains(&finding.check);
            assert!(!sneak || finding.severity != Severity::Fault, "{finding:?}");
            if finding.check != "lost ground" {
                continue;
            }
            let mut mended = plan.clone();
            let edit = finding.remedies[0].edit.clone();
            edit.apply(&mut mended).expect("the edit fits");
            let after = table(&mended, &[]);
            assert!(after.as_wished());
            let left = findings(&mended, &after);
            assert!(
                !left
                    .iter()
                    .any(|f| f.check == finding.check && f.about[0] == finding.about[0]),
                "{finding:?}"
            );
            offered += 1;
        }
    }
    assert!(sound > 200 && offered > 20, "{sound} {offered}");
}
