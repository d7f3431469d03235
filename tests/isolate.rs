//! Diodes that cure back-feed: least count against exhaustive search, and what they cannot do.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

#[path = "shared/lanes.rs"]
mod lanes;

#[path = "shared/random.rs"]
mod random;

#[path = "shared/shuffle.rs"]
mod shuffle;

use build::{battery, control, lamp, switch};
use lanes::Lanes;
use loomwright::behaviour::{Analyser, State, Table, Verdict, table};
use loomwright::isolate::{
    Arrangement, Direction, Doing, Isolation, Placement, Progress, advise, edit, isolate, priority,
};
use loomwright::plan::{Plan, WireId};
use random::Random;
use serde_json::json;
use shuffle::shuffled;
use std::collections::BTreeSet;

/// Generated plans that are compared with exhaustive search.
const EXHAUSTIVE_PLANS: usize = 300;

fn cured(plan: &Plan) -> (usize, Plan) {
    match isolate(plan, "10A04") {
        Isolation::Found { cure, .. } => {
            let mut after = plan.clone();
            cure.edit.apply(&mut after).expect("the edit fits its plan");
            (cure.diodes.len(), after)
        }
        other => panic!("{other:?}"),
    }
}

fn verdicts(plan: &Plan, verdict: Verdict) -> usize {
    let table = table(plan, &[]);
    table
        .rows
        .iter()
        .flat_map(|row| &row.cells)
        .filter(|c| c.verdict == verdict)
        .count()
}

#[test]
fn examples_without_diodes_are_cured() {
    for (path, diodes, masked) in [
        ("tests/fixtures/tractor-without-diodes.json", 4, 4),
        ("tests/fixtures/float-without-diodes.json", 8, 8),
    ] {
        let plan = build::file(path);
        let (count, after) = cured(&plan);
        assert_eq!(count, diodes, "{path}");
        assert_eq!(verdicts(&after, Verdict::BackFed), 0, "{path}");
        assert_eq!(verdicts(&after, Verdict::Dead), 0, "{path}");
        assert_eq!(verdicts(&after, Verdict::Weak), 0, "{path}");
        assert_eq!(verdicts(&after, Verdict::Masked), masked, "{path}");
    }
}

/// Whether diodes at these places leave every state as wished, masked cells apart.
fn cures(plan: &Plan, places: &[Placement]) -> bool {
    let mut after = plan.clone();
    edit(plan, places, "10A04")
        .apply(&mut after)
        .expect("the edit fits its plan");
    let table = table(&after, &[]);
    let fine = |v: Verdict| matches!(v, Verdict::AsWished | Verdict::Masked);
    table
        .rows
        .iter()
        .flat_map(|row| &row.cells)
        .all(|cell| fine(cell.verdict))
}

/// Whether any set of just `size` diodes in these wires cures the plan.
fn any_cures(plan: &Plan, wires: &[WireId], size: usize, chosen: &mut Vec<Placement>) -> bool {
    if size == 0 {
        return cures(plan, chosen);
    }
    let Some((wire, rest)) = wires.split_first() else {
        return false;
    };
    for direction in [Direction::Forward, Direction::Backward] {
        chosen.push(Placement {
            wire: wire.clone(),
            direction,
        });
        let found = any_cures(plan, rest, size - 1, chosen);
        chosen.pop();
        if found {
            return true;
        }
    }
    any_cures(plan, rest, size, chosen)
}

/// Exhaustive search: no three diodes anywhere on the supply side cure the tractor, so four are the least.
#[test]
fn no_three_diodes_cure_the_tractor() {
    let plan = build::file("tests/fixtures/tractor-without-diodes.json");
    // Wires of the stop and turn circuits; in the trunk and the tail circuit a diode only takes light away.
    let from = |wire: &&loomwright::plan::Wire| {
        let number: u32 = wire.id.as_str()[1..].parse().expect("W and a number");
        (10..=21).contains(&number) && number != 14
    };
    let wires: Vec<WireId> = plan
        .wires
        .iter()
        .filter(from)
        .map(|w| w.id.clone())
        .collect();
    assert_eq!(wires.len(), 11);
    for size in 0..=3 {
        assert!(
            !any_cures(&plan, &wires, size, &mut Vec::new()),
            "{size} diodes are enough"
        );
    }
}

/// Random plans of two or three switches, each wired straight to some of three lamps, and wishes to match:
/// the count is the least that exhaustive search finds.
#[test]
fn counts_equal_exhaustive_search_on_small_random_plans() {
    let mut r = Random(5);
    let (mut compared, mut with_diodes) = (0, 0);
    while compared < 60 {
        let switches = 2 + r.below(2);
        let mut parts = vec![battery()];
        let mut wires: Vec<(String, String)> = Vec::new();
        let mut wishes = Vec::new();
        for l in 0..3 {
            parts.push(lamp(&format!("E{l}"), 2.0));
            wires.push((format!("E{l}:31"), "G1:-".into()));
        }
        let mut controls = Vec::new();
        for s in 0..switches {
            controls.push(control(&format!("c{s}")));
            parts.push(switch(&format!("S{s}"), &format!("c{s}")));
            wires.push(("G1:+".into(), format!("S{s}:82")));
            let lit: Vec<usize> = (0..3).filter(|_| r.below(2) == 0).collect();
            for l in &lit {
                wires.push((format!("S{s}:82a"), format!("E{l}:1")));
            }
            let names: Vec<String> = lit.iter().map(|l| format!("E{l}.main")).collect();
            wishes.push(json!({"id": format!("w{s}"), "when": {format!("c{s}"): "on"}, "lamps": names, "show": "steady"}));
        }
        let ends: Vec<(&str, &str)> = wires
            .iter()
            .map(|(a, b)| (a.as_str(), b.as_str()))
            .collect();
        let plan = build::plan(json!(controls), json!(parts), &ends, json!(wishes));
        let feeds: Vec<WireId> = plan
            .wires
            .iter()
            .filter(|w| w.from.terminal == "82a")
            .map(|w| w.id.clone())
            .collect();
        compared += 1;
        let count = match isolate(&plan, "10A04") {
            Isolation::Clean => 0,
            Isolation::Found { cure, uncut, .. } => {
                assert_eq!(uncut, []);
                assert!(cures(&plan, &cure.diodes));
                cure.diodes.len()
            }
            other => panic!("{other:?}"),
        };
        with_diodes += usize::from(count > 0);
        for size in 0..count.min(4) {
            assert!(
                !any_cures(&plan, &feeds, size, &mut Vec::new()),
                "{size} instead of {count}"
            );
        }
    }
    assert!(with_diodes > 15, "only {with_diodes} plans needed diodes");
}

/// Cells that are not as wished, by state and lamp circuit.
fn amiss(table: &Table) -> BTreeSet<(State, usize)> {
    let cells = |row: &loomwright::behaviour::Row| -> Vec<(State, usize)> {
        let cells = row.cells.iter().enumerate();
        let amiss = cells.filter(|(_, cell)| cell.verdict != Verdict::AsWished);
        amiss.map(|(lamp, _)| (row.state.clone(), lamp)).collect()
    };
    table.rows.iter().flat_map(cells).collect()
}

/// Whether diodes at these places leave nothing amiss but what is `left`.
fn does_as_much(
    plan: &Plan,
    places: &[Placement],
    states: &[State],
    left: &BTreeSet<(State, usize)>,
) -> bool {
    let mut after = plan.clone();
    edit(plan, places, "10A04")
        .apply(&mut after)
        .expect("the edit fits its plan");
    let mut analyser = Analyser::new(&after, &[]);
    states.iter().all(|state| {
        let outcome = analyser.solve(state);
        let cells = analyser.cells(state, &outcome);
        let mut cells = cells.iter().enumerate();
        cells.all(|(lamp, cell)| {
            cell.verdict == Verdict::AsWished || left.contains(&(state.clone(), lamp))
        })
    })
}

/// Tries every set of `size` of the places; the first that does as much.
fn smaller(
    places: &[Placement],
    size: usize,
    chosen: &mut Vec<Placement>,
    tried: &mut usize,
    enough: &impl Fn(&[Placement]) -> bool,
) -> Option<Vec<Placement>> {
    if size == 0 {
        *tried += 1;
        return enough(chosen).then(|| chosen.clone());
    }
    for at in 0..places.len() {
        chosen.push(places[at].clone());
        let found = smaller(&places[at + 1..], size - 1, chosen, tried, enough);
        if found.is_some() {
            return found;
        }
        chosen.pop();
    }
    None
}

/// Plans of lanes with many shared lamps, some of them flashing: no smaller set of diodes in any wires of the supply side,
/// in either direction or in both, does as much as the one found, and that is said to be the least.
#[test]
fn counts_equal_exhaustive_search_on_plans_of_shared_lanes() {
    let (mut compared, mut tried) = (0, 0);
    let mut random = Random(40);
    while compared < EXHAUSTIVE_PLANS {
        let lanes = Lanes {
            controls: 2 + random.below(3),
            lamps: 2 + random.below(3),
            feeds: 4 + random.below(4),
            flashing: random.below(4),
        };
        let plan = lanes::plan(&mut random, lanes);
        let found = isolate(&plan, "10A04");
        let (least, left) = match &found {
            Isolation::Clean => continue,
            Isolation::Found { cure, .. } => {
                assert!(found.is_least(), "{lanes:?}");
                (cure.diodes.len(), amiss(&cure.table))
            }
            Isolation::Impossible(_) => (1, amiss(&table(&plan, &[]))),
            other => panic!("{lanes:?}: {other:?}"),
        };
        let supply = plan.wires.iter().filter(|wire| wire.to.terminal != "-");
        let places: Vec<Placement> = supply
            .flat_map(|wire| {
                [Direction::Forward, Direction::Backward].map(|direction| Placement {
                    wire: wire.id.clone(),
                    direction,
                })
            })
            .collect();
        if least > 5 || (least == 5 && places.len() > 20) {
            continue;
        }
        compared += 1;
        let states: Vec<State> = table(&plan, &[])
            .rows
            .into_iter()
            .map(|row| row.state)
            .collect();
        for size in 1..least {
            let enough = |places: &[Placement]| does_as_much(&plan, places, &states, &left);
            let better = smaller(&places, size, &mut Vec::new(), &mut tried, &enough);
            assert_eq!(better, None, "{lanes:?}: {least} diodes are not the least");
        }
    }
    println!("{compared} plans, {tried} smaller sets tried");
}

/// Too many places to prove the count in the time allowed: a cure that was solved in every state is offered all the same,
/// with the number of diodes below which there is none.
#[test]
fn large_plans_get_a_cure_and_are_told_what_is_not_proved() {
    let lanes = Lanes {
        controls: 8,
        lamps: 14,
        feeds: 60,
        flashing: 0,
    };
    let plan = lanes::plan(&mut Random(0), lanes);
    let found = isolate(&plan, "10A04");
    let Isolation::Found { cure, at_least, .. } = &found else {
        panic!("{found:?}")
    };
    assert!(cures(&plan, &cure.diodes));
    assert!(cure.table.as_wished());
    assert!(!found.is_least() && (10..cure.diodes.len()).contains(at_least));
    let advice = advise(&plan, "10A04", &mut |_| {});
    let count = cure.diodes.len();
    assert_eq!(
        advice.proposals[0].title,
        format!("{count} diodes, the fewest the search found")
    );
    assert!(!advice.proposals[0].least);
    let told = format!("No set of fewer than {at_least} diodes can do it");
    assert!(
        advice
            .remarks
            .iter()
            .any(|remark| remark.starts_with(&told))
    );
}

/// Shuffled wires and parts and other names give the same count, the same light and the same paths beyond diodes.
#[test]
fn order_and_names_change_nothing_on_shared_lanes() {
    let mut random = Random(8);
    for seed in 0..6 {
        let lanes = Lanes {
            controls: 5,
            lamps: 5,
            feeds: 12,
            flashing: [0, 3][seed % 2],
        };
        let plan = lanes::plan(&mut random, lanes);
        let facts = |plan: &Plan| match isolate(plan, "10A04") {
            Isolation::Found {
                cure,
                uncut,
                at_least,
            } => (cure.diodes.len(), at_least, uncut.len(), cure.least_light),
            other => panic!("{other:?}"),
        };
        let (count, at_least, uncut, light) = facts(&plan);
        assert_eq!(count, at_least);
        for _ in 0..3 {
            let other = facts(&shuffled(&plan, &mut random));
            assert_eq!((other.0, other.1, other.2), (count, at_least, uncut));
            assert!(
                (other.3 / light - 1.0).abs() < 1e-6,
                "{} and {light}",
                other.3
            );
        }
    }
}

/// Shuffled lists and other names give the same count and the same light.
#[test]
fn order_and_names_change_nothing() {
    let plan = build::file("tests/fixtures/float-without-diodes.json");
    let result = |plan: &Plan| match isolate(plan, "10A04") {
        Isolation::Found { cure, uncut, .. } => (cure.diodes.len(), cure.least_light, uncut.len()),
        other => panic!("{other:?}"),
    };
    let (count, light, uncut) = result(&plan);
    let mut r = Random(11);
    for round in 0..4 {
        let mut text = serde_json::to_string(&plan).expect("is JSON");
        // W7 becomes Q<round>x7 and so on; references change with it.
        text = text.replace("\"W", &format!("\"Q{round}x"));
        let mut other: Plan = serde_json::from_str(&text).expect("is a plan");
        for i in (1..other.wires.len()).rev() {
            other.wires.swap(i, r.below(i + 1));
        }
        for i in (1..other.parts.len()).rev() {
            other.parts.swap(i, r.below(i + 1));
        }
        let (other_count, other_light, other_uncut) = result(&other);
        assert_eq!((other_count, other_uncut), (count, uncut));
        assert!(
            (other_light - light).abs() < 0.01,
            "{other_light} and {light}"
        );
    }
}

/// Two switches feed one lamp, and it is to be dark when both are on: no diode can do that, and the proof
/// names what each would break.
#[test]
fn what_no_diode_can_do_is_proved() {
    let plan = build::plan(
        json!([control("a"), control("b")]),
        json!([
            battery(),
            switch("S1", "a"),
            switch("S2", "b"),
            lamp("E1", 2.0)
        ]),
        &[
            ("G1:+", "S1:82"),
            ("G1:+", "S2:82"),
            ("S1:82a", "E1:1"),
            ("S2:82a", "E1:1"),
            ("E1:31", "G1:-"),
        ],
        json!([
            {"id": "w1", "when": {"a": "on", "b": "on"}, "lamps": ["E1.main"], "show": "off"},
            {"id": "w2", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"},
            {"id": "w3", "when": {"b": "on"}, "lamps": ["E1.main"], "show": "steady"},
        ]),
    );
    let Isolation::Impossible(uncut) = isolate(&plan, "10A04") else {
        panic!("a cure was found")
    };
    assert_eq!(uncut.len(), 1);
    assert_eq!(
        (uncut[0].verdict, uncut[0].state.0.as_slice()),
        (Verdict::BackFed, &[1, 1][..])
    );
    assert!(
        uncut[0]
            .reasons
            .iter()
            .all(|(_, lamp)| lamp.to_string() == "E1.main")
    );
    assert!(!uncut[0].reasons.is_empty());
}

#[test]
fn a_sound_plan_needs_nothing() {
    let plan = build::file("tests/fixtures/wagon-four-turn-lamps.json");
    assert_eq!(isolate(&plan, "10A04"), Isolation::Clean);
}

/// Turn priority on the examples by both arrangements: no masked cell is left, every state as wished.
#[test]
fn turn_gets_priority_over_stop_by_both_arrangements() {
    for path in [
        "tests/fixtures/tractor-shared-rear-lamps.json",
        "tests/fixtures/float-shared-front-and-rear-lamps.json",
    ] {
        let plan = build::file(path);
        for arrangement in Arrangement::ALL {
            let found =
                priority(&plan, arrangement).unwrap_or_else(|| panic!("{path} {arrangement:?}"));
            let mut after = plan.clone();
            found
                .edit
                .apply(&mut after)
                .expect("the edit fits its plan");
            let table = table(&after, &[]);
            assert!(table.as_wished(), "{path} {arrangement:?}");
            assert_eq!(table, found.table);
            // A pole for each side; with relays also a relay and a ground for each.
            let each = if arrangement == Arrangement::Relay {
                3
            } else {
                1
            };
            assert_eq!(found.parts.len(), 2 * each, "{path} {arrangement:?}");
        }
    }
    let wagon = build::file("tests/fixtures/wagon-four-turn-lamps.json");
    assert!(
        Arrangement::ALL
            .iter()
            .all(|&a| priority(&wagon, a).is_none())
    );
}

/// What is offered on the fixture without diodes: diodes alone, then both arrangements, with numbers; each edit
/// does to the plan what its tally says.
#[test]
fn proposals_say_what_they_add_and_do_it() {
    let plan = build::file("tests/fixtures/tractor-without-diodes.json");
    let mut told: Vec<Progress> = Vec::new();
    let advice = advise(&plan, "10A04", &mut |progress| told.push(*progress));
    let titles: Vec<&str> = advice.proposals.iter().map(|p| p.title.as_str()).collect();
    assert_eq!(
        titles,
        [
            "4 diodes, the least that works",
            "Turn before stop by a second pole on the turn switch, with diodes",
            "Turn before stop by relays, with diodes",
        ]
    );
    let after: Vec<String> = advice.proposals.iter().map(|p| p.after.words()).collect();
    assert_eq!(after, ["4 masked", "all as wished", "all as wished"]);
    for proposal in &advice.proposals {
        let mut cured = plan.clone();
        let undo = proposal
            .edit
            .clone()
            .apply(&mut cured)
            .expect("the edit fits its plan");
        let words = loomwright::isolate::Tally::of(&table(&cured, &[])).words();
        assert_eq!(words, proposal.after.words());
        assert!(
            proposal
                .lines
                .iter()
                .any(|l| l.contains("diode 10A04 in wire")),
            "{:?}",
            proposal.lines
        );
        undo.apply(&mut cured).expect("the inverse fits");
        assert_eq!(cured, plan);
    }
    // The work is told as it goes on: what it is at, and every trial of it.
    let mut doing: Vec<Doing> = told.iter().map(|progress| progress.doing).collect();
    doing.dedup();
    assert_eq!(
        doing,
        [
            Doing::Behaviour,
            Doing::Diodes,
            Doing::Costs,
            Doing::SecondPole,
            Doing::Costs,
            Doing::Relay,
            Doing::Costs
        ]
    );
    for pair in told.windows(2) {
        let next = pair[1].doing == pair[0].doing && pair[1].done == pair[0].done + 1;
        assert!(next || pair[1].done == 0, "{pair:?}");
    }
    let trials = told.iter().filter(|p| p.doing == Doing::Diodes).count();
    assert!(trials > 4, "{trials} trials were told");
    // The proof for the masked lamps: each diode on the way of the stop feed would leave a stop lamp dark.
    assert!(
        advice
            .remarks
            .iter()
            .any(|r| r.contains("E3.major") && r.contains("would leave"))
    );
    println!("{:#?}", advice.proposals[0].lines);
}
