//! Drafted plans: whatever the answers, either a contradiction is named, or every lamp does in every state what was wished
//! and no check finds a fault; isolation finds the diodes again; changed answers keep what was changed by hand.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/briefs.rs"]
mod briefs;
#[path = "shared/random.rs"]
mod random;

#[path = "shared/shuffle.rs"]
mod shuffle;

use briefs::{mended, random_brief};
use loomwright::behaviour::{Analyser, Origin, Path, Verdict, table};
use loomwright::brief::{
    Brief, Charging, ControlAnswer, End, Fitting, Lamps, Return, Signal, Socket, System,
    TurnPriority, answers, contradictions, draft, redraft,
};
use loomwright::findings::{Severity, findings};
use loomwright::isolate::{Direction, Isolation, Placement, edit, isolate};
use loomwright::plan::{
    Change, Duty, Edit, FlasherAction, Kind, Light, PartId, Plan, TerminalId, Wire, file,
};
use loomwright::units::Millimetres;
use random::Random;
use shuffle::shuffled;
use std::collections::BTreeSet;

/// The saved briefs, by file name.
fn saved() -> Vec<(String, Brief)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/briefs");
    let mut all: Vec<(String, Brief)> = std::fs::read_dir(folder)
        .expect("folder of briefs")
        .map(|entry| {
            let path = entry.expect("entry").path();
            let text = std::fs::read_to_string(&path).expect("readable");
            let name = path.file_stem().expect("name").to_string_lossy().into();
            let brief = serde_json::from_str(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
            (name, brief)
        })
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

/// What is not as it should be in a drafted plan; empty for a sound one.
fn wrong(plan: &Plan) -> Vec<String> {
    let table = table(plan, &[]);
    let mut wrong: Vec<String> = findings(plan, &table)
        .into_iter()
        .filter(|finding| finding.severity == Severity::Fault)
        .map(|finding| finding.text)
        .collect();
    for row in &table.rows {
        for (cell, lamp) in row.cells.iter().zip(&table.lamps) {
            if cell.verdict != Verdict::AsWished {
                wrong.push(format!(
                    "{lamp} {} in {:?}: {:.3} bright, {:.3} dark",
                    cell.verdict.text(),
                    row.state.0,
                    cell.bright().level,
                    cell.dark().level
                ));
            }
        }
    }
    wrong.extend(table.problems.iter().map(|problem| format!("{problem:?}")));
    wrong.truncate(5);
    wrong
}

#[test]
fn saved_briefs_draft_to_sound_plans() {
    let all = saved();
    assert!(all.len() >= 25);
    for (name, brief) in &all {
        assert_eq!(contradictions(brief), [], "{name}");
        let plan = draft(brief);
        assert_eq!(wrong(&plan), [""; 0], "{name}");
        for part in &plan.parts {
            assert!(!part.why.is_empty(), "{name}: {} says no why", part.id);
        }
        for wire in &plan.wires {
            assert!(!wire.why.is_empty(), "{name}: {} says no why", wire.id);
        }
        let text = file::write(&plan);
        assert_eq!(file::read(text.as_bytes()).as_ref(), Ok(&plan), "{name}");
        assert_eq!(answers(&plan).as_ref(), Some(brief), "{name}");
    }
}

/// The way of a socket that lights a lamp of this duty on this side: SAE J1239 and J2863 (by colour), ISO 1724 and
/// ISO 11446 (by number).
fn way_by_standard(socket: Socket, duty: Duty, right: bool) -> &'static str {
    match (socket, duty) {
        (Socket::FourWay | Socket::SevenBlade, Duty::Stop | Duty::TurnLeft | Duty::TurnRight) => {
            if right {
                "GN"
            } else {
                "YE"
            }
        }
        (Socket::FourWay | Socket::SevenBlade, Duty::Tail | Duty::Marker | Duty::Licence) => "BN",
        (Socket::SevenBlade, Duty::Reverse) => "VT",
        (Socket::SevenPin | Socket::ThirteenPin, Duty::TurnLeft) => "1",
        (Socket::SevenPin | Socket::ThirteenPin, Duty::Fog) => "2",
        (Socket::SevenPin | Socket::ThirteenPin, Duty::TurnRight) => "4",
        (Socket::SevenPin | Socket::ThirteenPin, Duty::Tail | Duty::Marker | Duty::Licence) => {
            if right {
                "5"
            } else {
                "7"
            }
        }
        (Socket::SevenPin | Socket::ThirteenPin, Duty::Stop) => "6",
        (Socket::ThirteenPin, Duty::Reverse) => "8",
        other => panic!("no way for {other:?}"),
    }
}

#[test]
fn trailer_lamps_hang_on_the_ways_of_the_standards() {
    for (name, brief) in saved() {
        let Some(socket) = brief.socket else { continue };
        let plan = draft(&brief);
        let table = table(&plan, &[]);
        let circuits = plan.lamp_circuits();
        let mut analyser = Analyser::new(&plan, &[]);
        let mut seen = BTreeSet::new();
        for row in &table.rows {
            let outcome = analyser.solve(&row.state);
            for (lamp, (id, cell)) in table.lamps.iter().zip(&row.cells).enumerate() {
                // Phase 0: what a flasher feeds is lit.
                let path = (cell.on.level > 0.1)
                    .then(|| Path::trace(analyser.circuit(), &outcome, 0, lamp))
                    .flatten();
                let Some(path) = path else { continue };
                let what = circuits.iter().find(|c| c.id == *id).expect("a lamp");
                let place = plan.part(&id.part).and_then(|part| part.place.as_ref());
                let right = place.is_some_and(|place| place.as_str().ends_with("right"));
                for step in &path.steps[..path.lamp] {
                    let Origin::Part { part, branch } = step.origin else {
                        continue;
                    };
                    if let Kind::Connector(connector) = &plan.parts[part].kind {
                        for &duty in what.duties {
                            let way = connector.ways[branch].as_str();
                            assert_eq!(
                                way,
                                way_by_standard(socket, duty, right),
                                "{name}: {id} {duty:?}"
                            );
                            seen.insert(way.to_owned());
                        }
                    }
                }
            }
        }
        let least = if socket == Socket::FourWay { 3 } else { 4 };
        assert!(seen.len() >= least, "{name}: {seen:?}");
    }
}

/// Every kind of answer is in some saved brief.
#[test]
fn saved_briefs_cover_every_answer() {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for (_, brief) in saved() {
        seen.insert(format!("{:?}", brief.system));
        seen.insert(format!("{:?}", brief.charging));
        seen.insert(format!("{:?}", brief.priority));
        seen.insert(format!("{:?}", brief.wiring));
        seen.insert(format!("{:?}", brief.flasher));
        seen.extend(brief.socket.map(|socket| format!("{socket:?}")));
        for lamps in &brief.lamps {
            seen.insert(format!("{:?}", lamps.end));
            seen.insert(format!("{:?}", lamps.across));
            seen.insert(format!("{:?}", lamps.fitting));
            seen.insert(format!("{:?}", lamps.light));
            let signals = lamps.strong.iter().chain(&lamps.weak);
            seen.extend(signals.map(|signal| format!("{signal:?}")));
        }
        for control in &brief.controls {
            let words = format!("{control:?}");
            let name = words.split([' ', '{']).next().unwrap_or("");
            seen.insert(format!("control {name}"));
        }
    }
    let mut wanted: BTreeSet<String> = BTreeSet::new();
    wanted.extend(System::ALL.map(|x| format!("{x:?}")));
    wanted.extend(Fitting::ALL.map(|x| format!("{x:?}")));
    wanted.extend(Signal::ALL.map(|x| format!("{x:?}")));
    wanted.extend(End::ALL.map(|x| format!("{x:?}")));
    wanted.extend(Socket::ALL.map(|x| format!("{x:?}")));
    wanted.extend(loomwright::brief::Across::ALL.map(|x| format!("{x:?}")));
    wanted
        .extend([Charging::Elsewhere, Charging::Engine, Charging::Mains].map(|x| format!("{x:?}")));
    wanted.extend(
        [
            TurnPriority::Contacts,
            TurnPriority::Relays,
            TurnPriority::None,
        ]
        .map(|x| format!("{x:?}")),
    );
    wanted.extend([Return::Chassis, Return::Wired].map(|x| format!("{x:?}")));
    wanted.extend([FlasherAction::Electronic, FlasherAction::Thermal].map(|x| format!("{x:?}")));
    wanted.extend([Light::Red, Light::Amber, Light::White].map(|x| format!("{x:?}")));
    for control in [
        "Switch", "Push", "Pedal", "Selector", "Turn", "TurnPair", "Hazard", "Master", "Ignition",
    ] {
        wanted.insert(format!("control {control}"));
    }
    let missing: Vec<&String> = wanted.difference(&seen).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

/// Random answers are contradictory or draft to a sound plan; and every contradiction can be mended.
#[test]
fn random_briefs_are_sound_or_named() {
    let (mut contradictory, mut states) = (0, 0);
    for seed in 0..2500 {
        let mut random = Random(seed);
        let (brief, taken) = {
            let brief = random_brief(&mut random);
            mended(&mut random, brief)
        };
        contradictory += usize::from(taken > 0);
        let plan = draft(&brief);
        assert_eq!(wrong(&plan), [""; 0], "seed {seed}: {brief:?}");
        states += table(&plan, &[]).rows.len();
    }
    println!("{contradictory} of 2500 briefs had to be mended; {states} states solved");
    assert!(contradictory > 1000 && states > 50_000);
}

/// Answers that contradict each other give a plan too, with what cannot be left out.
#[test]
fn contradictory_briefs_draft_to_some_plan() {
    for seed in 0..3000 {
        let brief = random_brief(&mut Random(seed));
        let plan = draft(&brief);
        assert!(!plan.parts.is_empty());
        let after = redraft(&plan, &Brief::default());
        assert!(!after.plan.parts.is_empty());
    }
}

/// The plan with every diode replaced by a joint of the wires on both sides.
fn without_diodes(plan: &Plan) -> Plan {
    let mut bare = plan.clone();
    let diodes: Vec<PartId> = plan
        .parts
        .iter()
        .filter(|part| matches!(part.kind, Kind::Diode(_)))
        .map(|part| part.id.clone())
        .collect();
    for id in diodes {
        let cathode = TerminalId::new(&id, "K");
        let onward = bare.wires.iter().position(|wire| wire.from == cathode);
        let onward = onward.map(|at| bare.wires.remove(at));
        let anode = TerminalId::new(&id, "A");
        for wire in &mut bare.wires {
            if let (true, Some(onward)) = (wire.to == anode, &onward) {
                wire.to = onward.to.clone();
                wire.length_mm = Millimetres::of(wire.length_mm.get() + onward.length_mm.get());
            }
        }
        bare.parts.retain(|part| part.id != id);
    }
    bare
}

/// Whether filament and LED circuits both burn low for a weak signal.
fn burns_low_both_ways(brief: &Brief) -> bool {
    let low = |filaments: bool| {
        brief.lamps.iter().any(|lamps| {
            let weak = lamps
                .strong
                .iter()
                .filter(|signal| signal.is_weak())
                .count();
            lamps.fitting.has_filaments() == filaments && (1..lamps.strong.len()).contains(&weak)
        })
    };
    low(true) && low(false)
}

#[test]
fn isolation_finds_the_diodes_of_stripped_plans_again() {
    let random = (0..60).map(|seed| {
        let mut random = Random(9000 + seed);
        let brief = random_brief(&mut random);
        (format!("seed {seed}"), mended(&mut random, brief).0)
    });
    let (mut had, mut put) = (0, 0);
    for (name, brief) in saved().into_iter().chain(random) {
        let plan = draft(&brief);
        let count = |plan: &Plan| {
            let is = |part: &&loomwright::plan::Part| matches!(part.kind, Kind::Diode(_));
            plan.parts.iter().filter(is).count()
        };
        // 6 V: its plans need Schottky types of two sizes. LEDs and filaments that burn low side by side: without diodes
        // both hang on both resistors, and what is too dim then is not for want of a cut.
        if count(&plan) == 0 || brief.system == System::V6 || burns_low_both_ways(&brief) {
            continue;
        }
        let bare = without_diodes(&plan);
        // The largest type the draft used, so that losses are no larger than its own.
        let amps =
            |model: &str| loomwright::catalog::diode::find(model).map_or(0.0, |row| row.if_av_amps);
        let models = plan.parts.iter().filter_map(|part| match &part.kind {
            Kind::Diode(diode) => Some(diode.model.clone()),
            _ => None,
        });
        let model = models.max_by(|a, b| amps(a).total_cmp(&amps(b)));
        match isolate(&bare, &model.expect("a diode")) {
            Isolation::Clean => {
                assert!(table(&bare, &[]).as_wished(), "{name}");
                had += count(&plan);
            }
            Isolation::Found { cure, uncut, .. } => {
                assert!(uncut.is_empty(), "{name}: {uncut:?}");
                let mut cured = bare.clone();
                cure.edit.clone().apply(&mut cured).expect("applies");
                let after = table(&cured, &[]);
                assert!(after.as_wished(), "{name}: {:?}", wrong(&cured));
                assert!(
                    cure.diodes.len() <= count(&plan),
                    "{name}: {:?}",
                    cure.diodes
                );
                had += count(&plan);
                put += cure.diodes.len();
            }
            other => panic!("{name}: {other:?}"),
        }
    }
    println!("{had} diodes drafted, {put} needed");
    assert!(put > 20 && put <= had);
}

#[test]
fn both_arrangements_put_turn_before_stop() {
    for priority in [TurnPriority::Contacts, TurnPriority::Relays] {
        let brief = Brief {
            priority,
            ..Brief::default()
        };
        let plan = draft(&brief);
        let table = table(&plan, &[]);
        let masked = table
            .rows
            .iter()
            .flat_map(|row| &row.cells)
            .filter(|cell| cell.verdict == Verdict::Masked);
        assert_eq!(masked.count(), 0);
        assert!(table.as_wished());
        let relays = plan
            .parts
            .iter()
            .filter(|p| matches!(p.kind, Kind::Relay(_)));
        let expected = if priority == TurnPriority::Relays {
            2
        } else {
            0
        };
        assert_eq!(relays.count(), expected);
    }
}

fn rear_pair(strong: &[Signal], weak: &[Signal]) -> Lamps {
    Lamps {
        end: End::Rear,
        across: loomwright::brief::Across::Pair,
        fitting: Fitting::TwoFilaments,
        light: Light::Red,
        strong: strong.into(),
        weak: weak.into(),
        model: None,
    }
}

/// A three-way merge: what only one side changed is taken from it and only a change by hand is told; where both changed
/// it, the answers are taken, and that is told.
#[test]
fn a_title_comes_from_whoever_changed_it() {
    let brief = saved().remove(0).1;
    let old = draft(&brief).title;
    let merged = |by_hand: &str, answered: &str| {
        let mut plan = draft(&brief);
        plan.title = by_hand.to_owned();
        let redrafted = redraft(
            &plan,
            &Brief {
                title: answered.to_owned(),
                ..brief.clone()
            },
        );
        (
            redrafted.plan.title,
            redrafted.kept.len(),
            redrafted.lost.len(),
        )
    };
    let title = |text: &str| text.to_owned();
    assert_eq!(merged(&old, &old), (old.clone(), 0, 0));
    assert_eq!(merged(&old, "Answered"), (title("Answered"), 0, 0));
    assert_eq!(merged("By hand", &old), (title("By hand"), 1, 0));
    assert_eq!(merged("By hand", "Answered"), (title("Answered"), 0, 1));
    assert_eq!(merged("Agreed", "Agreed"), (title("Agreed"), 0, 0));
}

/// Where a socket has no way for what trailer lamps show, each mend that is offered is an end of it, and what the mend
/// does not name stays.
#[test]
fn a_signal_without_a_way_is_mended_and_the_rest_stays() {
    let trailer = |strong: &[Signal]| Lamps {
        end: End::Trailer,
        ..rear_pair(strong, &[Signal::Tail])
    };
    let brief = |socket: Socket, lamps: Lamps| Brief {
        socket: Some(socket),
        lamps: vec![
            rear_pair(&[Signal::Stop, Signal::Turn], &[Signal::Tail]),
            lamps,
        ],
        controls: vec![
            ControlAnswer::Switch {
                signals: vec![Signal::Tail],
            },
            ControlAnswer::Pedal {
                signals: vec![Signal::Stop],
            },
            ControlAnswer::Turn,
        ],
        ..Brief::default()
    };
    let cases = [
        (
            Socket::SevenPin,
            trailer(&[Signal::Stop, Signal::Turn]),
            "use a 4-way flat connector",
        ),
        (
            Socket::ThirteenPin,
            trailer(&[Signal::Stop, Signal::Turn]),
            "use a 4-way flat connector",
        ),
        (
            Socket::FourWay,
            trailer(&[Signal::Stop]),
            "show stop and turn on these lamps",
        ),
    ];
    for (socket, lamps, offer) in cases {
        let found = contradictions(&brief(socket, lamps));
        let found: Vec<_> = found
            .iter()
            .filter(|c| c.text.contains("has no way for"))
            .collect();
        assert_eq!(found.len(), 1, "{socket:?}: {found:#?}");
        assert!(
            found[0].mends.iter().any(|mend| mend.title == offer),
            "{socket:?}: {:#?}",
            found[0]
        );
        for mend in &found[0].mends {
            let left = contradictions(&mend.brief);
            let again = left.iter().filter(|c| c.text == found[0].text).count();
            assert_eq!(again, 0, "{socket:?}: {}", mend.title);
            let tail = mend
                .brief
                .lamps
                .iter()
                .any(|l| l.end == End::Trailer && l.weak == [Signal::Tail]);
            assert!(
                tail && mend.brief.socket.is_some(),
                "{socket:?}: {} takes the tail lamps away",
                mend.title
            );
        }
    }
}

#[test]
fn contradictions_name_what_and_mend_it() {
    let base = Brief::default;
    let cases: [(Brief, &str); 6] = [
        (
            Brief {
                controls: vec![ControlAnswer::Turn],
                lamps: vec![rear_pair(&[Signal::Stop, Signal::Turn], &[Signal::Tail])],
                ..base()
            },
            "Lamps show tail, but no control lights it.",
        ),
        (
            Brief {
                lamps: vec![rear_pair(&[Signal::Fog, Signal::Turn], &[Signal::Tail])],
                ..base()
            },
            "turn and fog cannot share a circuit",
        ),
        (
            Brief {
                socket: Some(Socket::SevenPin),
                lamps: vec![
                    rear_pair(&[Signal::Stop], &[Signal::Tail]),
                    Lamps {
                        end: End::Trailer,
                        ..rear_pair(&[Signal::Stop, Signal::Turn], &[Signal::Tail])
                    },
                ],
                controls: vec![
                    ControlAnswer::Switch {
                        signals: vec![Signal::Tail],
                    },
                    ControlAnswer::Pedal {
                        signals: vec![Signal::Stop],
                    },
                    ControlAnswer::Turn,
                ],
                ..base()
            },
            "has no way for stop and turn",
        ),
        (
            Brief {
                lamps: Vec::new(),
                ..base()
            },
            "There are no lamps.",
        ),
        (
            Brief {
                system: System::V6,
                lamps: vec![Lamps {
                    fitting: Fitting::TwoLeds,
                    ..rear_pair(&[Signal::Stop, Signal::Turn], &[Signal::Tail])
                }],
                controls: vec![
                    ControlAnswer::Switch {
                        signals: vec![Signal::Tail],
                    },
                    ControlAnswer::Pedal {
                        signals: vec![Signal::Stop],
                    },
                    ControlAnswer::Turn,
                ],
                ..base()
            },
            "no such LED lamp for 6 V",
        ),
        (
            Brief {
                capacity_ah: loomwright::units::AmpHours::of(0.0),
                ..base()
            },
            "out of range",
        ),
    ];
    for (brief, text) in cases {
        let found = contradictions(&brief);
        let hit = found.iter().find(|c| c.text.contains(text));
        let hit = hit.unwrap_or_else(|| panic!("{text}: {found:?}"));
        for mend in &hit.mends {
            let after = contradictions(&mend.brief);
            assert!(
                after.iter().all(|c| c.text != hit.text),
                "{} does not mend {text}",
                mend.title
            );
        }
    }
}

#[test]
fn an_answer_changed_and_changed_back_gives_the_same_plan() {
    for (name, brief) in saved() {
        let plan = draft(&brief);
        let same = redraft(&plan, &brief);
        assert_eq!((same.kept.len(), same.lost.len()), (0, 0), "{name}");
        assert_eq!(same.plan, plan, "{name}");
        let other = Brief {
            wiring: match brief.wiring {
                Return::Chassis => Return::Wired,
                Return::Wired => Return::Chassis,
            },
            ..brief.clone()
        };
        let there = redraft(&plan, &other);
        assert_eq!(there.lost, [""; 0], "{name}");
        assert_eq!(wrong(&there.plan), [""; 0], "{name}");
        // What serves the same purpose keeps its identity.
        for part in &plan.parts {
            if matches!(
                part.kind,
                Kind::Lamp(_) | Kind::LedLamp(_) | Kind::Switch(_)
            ) {
                let after = there.plan.part(&part.id).expect("still there");
                assert_eq!(after.kind, part.kind, "{name}");
            }
        }
        let back = redraft(&there.plan, &brief);
        assert_eq!(back.lost, [""; 0], "{name}");
        let (mut back, mut first) = (back.plan, plan);
        (back.drafted, first.drafted) = (None, None);
        assert_eq!(back, first, "{name}");
    }
}

#[test]
fn a_redraft_keeps_what_was_changed_by_hand_and_lists_what_it_could_not() {
    let brief = Brief::default();
    let mut plan = draft(&brief);
    // By hand: a longer wire, another colour, a load of its own with its wires, a lamp's label.
    let lamp = plan
        .parts
        .iter()
        .position(|part| part.label == "Front left")
        .expect("front left lamp");
    plan.parts[lamp].label = "Left lantern".into();
    let feed = plan
        .wires
        .iter()
        .position(|wire| wire.to.part == plan.parts[lamp].id && wire.to.terminal == "L")
        .expect("its feed");
    plan.wires[feed].length_mm = Millimetres::of(4321.0);
    plan.wires[feed].colour = "VT".into();
    let feed = plan.wires[feed].id.clone();
    let horn: PartId = "HORN".parse().expect("an identity");
    let load = loomwright::plan::Load {
        rated_v: loomwright::units::Volts::of(12.0),
        rated_a: loomwright::units::Amps::of(2.0),
        extra: loomwright::plan::Extra::new(),
    };
    let part = loomwright::plan::Part {
        id: horn.clone(),
        label: "Horn".into(),
        place: None,
        why: "by hand".into(),
        kind: Kind::Load(load),
        extra: loomwright::plan::Extra::new(),
    };
    let battery = plan.parts[0].id.clone();
    let own: Wire = Wire {
        id: "WH1".parse().expect("an identity"),
        from: TerminalId::new(&battery, "+"),
        to: TerminalId::new(&horn, "+"),
        ..plan.wires[0].clone()
    };
    Edit::All(vec![Edit::add_part(part), Edit::add_wire(own)])
        .apply(&mut plan)
        .expect("applies");

    let longer = Brief {
        size: loomwright::brief::Size {
            length_mm: Millimetres::of(3600.0),
            ..brief.size.clone()
        },
        ..brief.clone()
    };
    let after = redraft(&plan, &longer);
    let lamp = after
        .plan
        .parts
        .iter()
        .find(|part| part.label == "Left lantern");
    assert!(lamp.is_some(), "{:?}", after.lost);
    let wire = after.plan.wire(&feed).expect("its feed");
    assert_eq!(wire.colour, "VT");
    assert!(after.plan.part(&horn).is_some());
    assert!(after.plan.wires.iter().any(|wire| wire.to.part == horn));
    // The length was changed by hand and by the answers.
    assert!(
        after
            .lost
            .iter()
            .any(|text| text.contains(feed.as_str()) && text.contains("length")),
        "{:?}",
        after.lost
    );
    assert_eq!(wrong(&after.plan), [""; 0]);

    // Without the front lamps, the changed lamp and its wire are gone, and that is said.
    let mut less = brief.clone();
    less.lamps.remove(0);
    less.controls[0] = ControlAnswer::Switch {
        signals: vec![Signal::Tail],
    };
    let after = redraft(&plan, &less);
    assert!(
        after
            .lost
            .iter()
            .any(|text| text.contains("no longer there"))
    );
    assert!(after.plan.part(&horn).is_some());
    assert_eq!(wrong(&after.plan), [""; 0]);

    // One edit, and back.
    let mut there = plan.clone();
    let back = after.edit.apply(&mut there).expect("applies");
    assert_eq!(there, after.plan);
    back.apply(&mut there).expect("applies");
    assert_eq!(there, plan);
}

/// A plan that nobody drafted loses nothing when answers are given for it.
#[test]
fn a_plan_drawn_by_hand_is_kept_beside_a_draft() {
    let mut plan = draft(&Brief::default());
    plan.drafted = None;
    let count = plan.parts.len();
    let after = redraft(&plan, &Brief::default());
    assert!(after.plan.parts.len() > count);
    for part in &plan.parts {
        assert_eq!(after.plan.part(&part.id), Some(part));
    }
    // Taken out by hand stays out.
    let mut plan = draft(&Brief::default());
    let last = plan.wires.last().expect("a wire").id.clone();
    Edit::Wire(Change::Remove { id: last.clone() })
        .apply(&mut plan)
        .expect("applies");
    let after = redraft(&plan, &Brief::default());
    assert!(after.plan.wire(&last).is_none());
    assert!(after.kept.iter().any(|text| text.contains(last.as_str())));
}

/// The examples of the page are what three saved briefs draft to. `UPDATE_EXPECT=1` writes them.
#[test]
fn the_examples_are_drafts_of_saved_briefs() {
    for (brief, example) in [
        ("01-parade-wagon", "parade-wagon"),
        ("02-ferry-slip-tractor", "ferry-slip-tractor"),
        ("03-orchard-float", "orchard-float"),
    ] {
        let all = saved();
        let (_, answers) = all.iter().find(|(name, _)| name == brief).expect("saved");
        let text = file::write(&draft(answers));
        let path = format!(
            "{}/static/examples/{example}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::write(&path, &text).expect("can be written");
        }
        let shipped = std::fs::read_to_string(&path).expect("example is there");
        assert_eq!(
            shipped, text,
            "{example}: set UPDATE_EXPECT=1 and look at the change"
        );
    }
}

/// The large plan that the page is timed on is what its brief drafts to. `UPDATE_EXPECT=1` writes it.
#[test]
fn the_large_plan_is_the_draft_of_its_brief() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/large");
    let answers = std::fs::read_to_string(format!("{folder}/show-wagon.brief.json"));
    let answers: Brief = serde_json::from_str(&answers.expect("brief")).expect("reads");
    assert_eq!(contradictions(&answers), []);
    let plan = draft(&answers);
    assert_eq!(wrong(&plan), [""; 0]);
    // About sixty parts, and as many states as the page still works out at once.
    let states: usize = plan.controls.iter().map(|c| c.positions.len()).product();
    assert_eq!((plan.parts.len(), states), (61, 128));
    let path = format!("{folder}/show-wagon.json");
    let text = file::write(&plan);
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(&path, &text).expect("can be written");
    }
    let kept = std::fs::read_to_string(&path).expect("plan is there");
    assert_eq!(kept, text, "set UPDATE_EXPECT=1 and look at the change");
}

#[test]
fn order_and_names_change_nothing_in_a_cure_and_no_smaller_one_does() {
    let mut random = Random(77);
    let (mut cured, mut tried) = (0, 0);
    for (name, brief) in saved() {
        if brief.system == System::V6 {
            continue;
        }
        let bare = without_diodes(&draft(&brief));
        let model = "10A04";
        let Isolation::Found { cure, uncut, .. } = isolate(&bare, model) else {
            continue;
        };
        cured += 1;
        // No smaller set of diodes, in any wire and either direction, does as much.
        if cure.diodes.len() <= 2 && uncut.is_empty() {
            tried += 1;
            for wire in &bare.wires {
                for direction in [Direction::Forward, Direction::Backward] {
                    let place = Placement {
                        wire: wire.id.clone(),
                        direction,
                    };
                    let mut one = bare.clone();
                    edit(&bare, &[place], model)
                        .apply(&mut one)
                        .expect("applies");
                    let enough = table(&one, &[]).as_wished();
                    assert!(!enough || cure.diodes.len() == 1, "{name}: {}", wire.id);
                }
            }
        }
        for _ in 0..2 {
            let other = shuffled(&bare, &mut random);
            let Isolation::Found {
                cure: same,
                uncut: left,
                ..
            } = isolate(&other, model)
            else {
                panic!("{name}: no cure once shuffled");
            };
            assert_eq!(same.diodes.len(), cure.diodes.len(), "{name}");
            assert_eq!(left.len(), uncut.len(), "{name}");
            assert!(
                (same.least_light / cure.least_light - 1.0).abs() < 1e-6,
                "{name}: {} and {}",
                same.least_light,
                cure.least_light
            );
        }
    }
    assert!(
        cured >= 4 && tried >= 2,
        "{cured} plans were cured, {tried} tried"
    );
}
