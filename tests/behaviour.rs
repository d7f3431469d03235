//! Behaviour of whole plans: the examples, the fixtures without diodes, relays, flashers, faults.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/big.rs"]
mod big;
#[path = "shared/build.rs"]
mod build;

use build::{battery, control, file, flasher, lamp, plan, relay, switch};
use loomwright::behaviour::{
    Analyser, Choice, Fault, Path, Shows, State, Subject, Table, Tick, Verdict, table,
};
use loomwright::findings::{Finding, Severity};
use loomwright::plan::{Plan, Show};
use serde_json::json;
use std::collections::BTreeSet;

/// What the checks say.
fn findings(plan: &Plan, table: &Table) -> Vec<Finding> {
    loomwright::findings::findings(plan, table)
}

/// Faults and cautions.
fn troubles(plan: &Plan, table: &Table) -> Vec<Finding> {
    let mut found = findings(plan, table);
    found.retain(|finding| finding.severity != Severity::Note);
    found
}

/// Cells with a verdict, as (controls away from rest, lamp circuit).
fn cells_with(plan: &Plan, table: &Table, verdict: Verdict) -> BTreeSet<(String, String)> {
    let mut found = BTreeSet::new();
    for row in &table.rows {
        let moved: Vec<&str> = (0..plan.controls.len())
            .filter(|&i| row.state.position(i) != 0)
            .map(|i| plan.controls[i].id.as_str())
            .collect();
        for (cell, lamp) in row.cells.iter().zip(&table.lamps) {
            if cell.verdict == verdict {
                found.insert((moved.join("+"), lamp.to_string()));
            }
        }
    }
    found
}

#[test]
fn wagon_is_as_wished_in_every_state() {
    let plan = file("tests/fixtures/wagon-four-turn-lamps.json");
    let table = table(&plan, &[]);
    assert_eq!(table.rows.len(), 4);
    assert!(table.as_wished());
    assert_eq!(troubles(&plan, &table), []);
}

/// Turn has priority over stop in the wishes; with diodes alone the steady stop feed hides the flash, in just
/// the states where brake and the turn switch of that side are on. Everything else is as wished.
#[test]
fn shared_rear_lamps_are_masked_only_while_brake_and_turn_meet() {
    for (path, extra) in [
        ("tests/fixtures/tractor-shared-rear-lamps.json", None),
        (
            "tests/fixtures/float-shared-front-and-rear-lamps.json",
            Some("running"),
        ),
    ] {
        let plan = file(path);
        let table = table(&plan, &[]);
        let mut expected = BTreeSet::new();
        for running in [false, true] {
            if running && extra.is_none() {
                continue;
            }
            for (left, right) in [(true, false), (false, true), (true, true)] {
                let mut on = vec!["master"];
                on.extend(left.then_some("left"));
                on.extend(right.then_some("right"));
                on.extend(running.then_some("running"));
                on.push("brake");
                let on = on.join("+");
                for (side, lamp) in [(left, "E3.major"), (right, "E4.major")] {
                    if side {
                        expected.insert((on.clone(), lamp.to_owned()));
                    }
                }
            }
        }
        assert_eq!(
            cells_with(&plan, &table, Verdict::Masked),
            expected,
            "{path}"
        );
        let others = [
            Verdict::BackFed,
            Verdict::Dead,
            Verdict::Weak,
            Verdict::Overdriven,
        ];
        for verdict in others {
            assert_eq!(
                cells_with(&plan, &table, verdict),
                BTreeSet::new(),
                "{path}: {verdict:?}"
            );
        }
        assert!(plan.notes.contains("masked"));
        let list = troubles(&plan, &table);
        assert!(
            list.iter()
                .all(|f| f.text.contains("a steady feed hides it")),
            "{list:?}"
        );
        // The path named is that of the feed that hides the flash: through the brake switch.
        assert!(list.iter().all(|f| f.text.contains("→ S4 →")), "{list:?}");
    }
}

/// Without diodes the stop, left and right feeds are one net, so with the master on any of them lights all of
/// the four 21 W circuits. By that Boolean rule, apart from any solver, every back-feed is known.
#[test]
fn without_diodes_every_back_feed_is_found_with_its_path() {
    for (path, running) in [
        ("tests/fixtures/tractor-without-diodes.json", false),
        ("tests/fixtures/float-without-diodes.json", true),
    ] {
        let plan = file(path);
        let table = table(&plan, &[]);
        let mut expected = BTreeSet::new();
        for bits in 0..16_u32 {
            let on = |bit: u32| bits >> bit & 1 == 1;
            let (left, right, brake, lights) = (on(0), on(1), on(2), on(3));
            if lights && !running {
                continue;
            }
            let lit = left || right || brake;
            let names = [
                ("left", left),
                ("right", right),
                ("running", lights),
                ("brake", brake),
            ];
            let mut moved = vec!["master"];
            moved.extend(names.iter().filter(|n| n.1).map(|n| n.0));
            for (lamp, wished) in [
                ("E1.main", left || lights),
                ("E2.main", right || lights),
                ("E3.major", left || brake),
                ("E4.major", right || brake),
            ] {
                if lit && !wished {
                    expected.insert((moved.join("+"), lamp.to_owned()));
                }
            }
        }
        assert_eq!(
            cells_with(&plan, &table, Verdict::BackFed),
            expected,
            "{path}"
        );
        assert_eq!(expected.len(), if running { 10 } else { 8 });
        // Each has a path that starts and ends at the battery, meets the fuse, and runs backwards somewhere.
        for (i, row) in table.rows.iter().enumerate() {
            for (lamp, cell) in row.cells.iter().enumerate() {
                if cell.verdict != Verdict::BackFed {
                    continue;
                }
                let evidence = table.evidence.iter().find(|e| e.row == i && e.lamp == lamp);
                let path = &evidence.expect("a back-fed cell has its path").path;
                let words = path.words(&plan);
                assert!(
                    words.starts_with("G1 → W1 → F1 →") && words.ends_with("→ G1"),
                    "{words}"
                );
                assert!(path.reversed_wires().count() > 0, "{words}");
            }
        }
        let list = findings(&plan, &table);
        let named = list
            .iter()
            .filter(|f| f.text.contains("though it should be off"));
        assert!(
            named
                .clone()
                .all(|f| f.severity == Severity::Fault && f.text.contains("Path: G1"))
        );
        assert!(named.count() >= 6);
    }
}

/// Brake pressed in the tractor: battery 12.6 V behind 10 mΩ, about 4 A through fuse, wires, one diode each:
/// the hand calculation of the loop gives the solver's lamp voltage within 20 mV.
#[test]
fn brake_voltage_agrees_with_a_hand_calculation() {
    let plan = file("tests/fixtures/tractor-shared-rear-lamps.json");
    let mut analyser = Analyser::new(&plan, &[]);
    let state = State(vec![1, 0, 0, 1]);
    let row = analyser.row(&state);
    let names: Vec<String> = table(&plan, &[])
        .lamps
        .iter()
        .map(|l| l.to_string())
        .collect();
    let cell = &row.cells[names.iter().position(|n| n == "E3.major").unwrap()];
    let (lamp, minor) = (cell.on.amps, 0.465);
    let total = 2.0 * lamp + 2.0 * minor;
    // IEC 60228 class 5: 2.5 mm² 7.98, 1.5 mm² 13.3, 1 mm² 19.5 mΩ/m. Blade fuse 15 A: 4.8 mΩ cold and two
    // clips of 2 mΩ. 10A04 at 1.8 A: 2.06·25.85 mV·ln(1.8/844 nA) + 2 mΩ·1.8 A = 0.780 V.
    let shared = 0.010 + 0.15 * 7.98e-3 + 8.8e-3 + 1.1 * 7.98e-3 + 0.010 + 0.12 * 7.98e-3;
    let stop = 0.7 * 13.3e-3 + 0.010 + 0.1 * 13.3e-3;
    let own = (0.2 + 2.2 + 0.12) * 19.5e-3;
    let returns = lamp * (0.15 * 19.5e-3 + 0.005) + total * (0.002 + 0.25 * 4.95e-3);
    let volts = 12.6 - total * shared - 2.0 * lamp * stop - lamp * own - 0.780 - returns;
    assert!(
        (cell.on.volts - volts).abs() < 0.02,
        "{} and {volts}",
        cell.on.volts
    );
    assert_eq!(
        (cell.shows, cell.verdict),
        (Shows::Steady, Verdict::AsWished)
    );
}

#[test]
fn paths_name_every_part_on_the_way() {
    let plan = file("tests/fixtures/tractor-shared-rear-lamps.json");
    let mut analyser = Analyser::new(&plan, &[]);
    let outcome = analyser.solve(&State(vec![1, 1, 0, 0]));
    let lamp = analyser
        .circuit()
        .lamps
        .iter()
        .position(|l| l.id.to_string() == "E3.major")
        .unwrap();
    let path = Path::trace(analyser.circuit(), &outcome, 0, lamp).unwrap();
    assert_eq!(
        path.words(&plan),
        "G1 → W1 → F1 → W2 → S1 → W3 → W7 → K1 → W8 → S2 → W10 → W16 → V1 → W17 → W24 → E3 → W28 → XG3 \
         → chassis → XG5 → W30 → G1"
    );
    assert!(Path::trace(analyser.circuit(), &outcome, 1, lamp).is_none());
}

/// A relay: 12.6 V on an 85 Ω coil pulls in and moves the lamp's feed from the rest to the working contact.
#[test]
fn relay_changes_over() {
    let plan = plan(
        json!([control("a")]),
        json!([
            battery(),
            switch("S1", "a"),
            relay("K1"),
            lamp("E1", 2.0),
            lamp("E2", 2.0)
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "K1:86"),
            ("K1:85", "G1:-"),
            ("G1:+", "K1:30"),
            ("K1:87", "E1:1"),
            ("K1:87a", "E2:1"),
            ("E1:31", "G1:-"),
            ("E2:31", "G1:-"),
        ],
        json!([
            {"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"},
            {"id": "w2", "when": {"a": "off"}, "lamps": ["E2.main"], "show": "steady"},
        ]),
    );
    assert!(table(&plan, &[]).as_wished());
    // A coil behind 100 Ω sees 12.6·85/185 = 5.8 V, below its 8 V: it stays at rest.
    let corroded = [Fault::Ohms(Subject::Wire("W2".parse().unwrap()), 100.0)];
    let table = table(&plan, &corroded);
    assert_eq!(table.rows[1].cells[0].verdict, Verdict::Dead);
    assert_eq!(table.rows[1].cells[1].verdict, Verdict::BackFed);
}

/// A relay that keeps itself in through its own contact stays out when nothing starts it, and one that cuts
/// its own coil off never settles.
#[test]
fn relay_feeding_itself_and_relay_cutting_itself_off() {
    let parts = json!([battery(), switch("S1", "a"), relay("K1"), lamp("E1", 2.0)]);
    let wishes = json!([{"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]);
    let holding = plan(
        json!([control("a")]),
        parts.clone(),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "K1:86"),
            ("K1:85", "G1:-"),
            ("G1:+", "K1:30"),
            ("K1:87", "K1:86"),
            ("K1:87", "E1:1"),
            ("E1:31", "G1:-"),
        ],
        wishes.clone(),
    );
    let result = table(&holding, &[]);
    assert!(result.as_wished() && result.chatter.is_empty());

    let buzzer = plan(
        json!([control("a")]),
        parts,
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "K1:30"),
            ("K1:87a", "K1:86"),
            ("K1:85", "G1:-"),
            ("G1:+", "E1:1"),
            ("E1:31", "G1:-"),
        ],
        wishes,
    );
    let result = table(&buzzer, &[]);
    let found = findings(&buzzer, &result);
    assert!(
        found
            .iter()
            .any(|f| f.check == "relay chatter" && f.about == ["K1"]),
        "{found:?}"
    );
}

/// Load windows on both sides: 1 A to 6 A.
#[test]
fn flasher_in_below_and_above_its_window() {
    let with = |action: &str, amps: f64| {
        plan(
            json!([control("a")]),
            json!([
                battery(),
                flasher("K1", action),
                switch("S1", "a"),
                lamp("E1", amps)
            ]),
            &[
                ("G1:+", "K1:49"),
                ("K1:49a", "S1:82"),
                ("S1:82a", "E1:1"),
                ("E1:31", "G1:-"),
            ],
            json!([{"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "flashing"}]),
        )
    };
    for (action, amps, tick, rate, shows, verdict) in [
        (
            "thermal",
            2.0,
            Tick::Normal,
            90.0,
            Shows::Flashing,
            Verdict::AsWished,
        ),
        (
            "thermal",
            1.05,
            Tick::Normal,
            90.0,
            Shows::Flashing,
            Verdict::AsWished,
        ),
        (
            "thermal",
            0.95,
            Tick::Stuck,
            0.0,
            Shows::Steady,
            Verdict::Masked,
        ),
        (
            "electronic",
            0.5,
            Tick::Fast,
            180.0,
            Shows::Flashing,
            Verdict::AsWished,
        ),
        (
            "electronic",
            7.0,
            Tick::Overloaded,
            90.0,
            Shows::Flashing,
            Verdict::AsWished,
        ),
    ] {
        let plan = with(action, amps);
        let table = table(&plan, &[]);
        let row = &table.rows[1];
        assert_eq!(
            (row.flashers[0].tick, row.flashers[0].per_minute),
            (tick, rate),
            "{action} {amps}"
        );
        assert_eq!(
            (row.cells[0].shows, row.cells[0].verdict),
            (shows, verdict),
            "{action} {amps}"
        );
        assert_eq!(table.rows[0].flashers[0].tick, Tick::Idle);
        let found = findings(&plan, &table);
        let spoken = found.iter().any(|f| f.check == "flasher load");
        assert_eq!(spoken, tick != Tick::Normal, "{found:?}");
    }
}

/// A lost ground: without diodes the tail filament returns through its own stop filament and three other
/// 21 W filaments to ground. Worked apart by bisection on the power-law lamps in series.
#[test]
fn lost_ground_returns_through_the_other_filament() {
    let plan = file("tests/fixtures/tractor-without-diodes.json");
    let lost = [Fault::Open(Subject::Wire("W24".parse().unwrap()))];
    assert_eq!(plan.wires[23].from.to_string(), "E3:31");
    let mut analyser = Analyser::new(&plan, &lost);
    let row = analyser.row(&State(vec![1, 0, 0, 0]));
    let names: Vec<String> = analyser
        .circuit()
        .lamps
        .iter()
        .map(|l| l.id.to_string())
        .collect();
    let at = |name: &str| &row.cells[names.iter().position(|n| n == name).unwrap()];

    let power_law = |amps: f64, i: f64| 13.5 * libm::pow(i / amps, 1.0 / 0.55);
    let (mut low, mut high) = (0.0, 0.489);
    for _ in 0..60 {
        let i = 0.5 * (low + high);
        let volts = power_law(0.489, i) + power_law(1.963, i) + power_law(3.0 * 1.963, i);
        if volts < 12.5 { low = i } else { high = i }
    }
    let minor = at("E3.minor");
    assert!(
        (minor.on.amps - low).abs() < 0.01,
        "{} and {low}",
        minor.on.amps
    );
    // The current runs backwards through the stop filament and gives no light there.
    let major = at("E3.major");
    assert!(major.on.amps < -0.4 && major.on.level < 1e-3, "{major:?}");
    assert_eq!(minor.wish, Show::Steady);
    // With the diodes in place there is no way back at all: the lamp is dead.
    let plan = file("tests/fixtures/tractor-shared-rear-lamps.json");
    let lost = [Fault::Open(Subject::Part("XG3".parse().unwrap()))];
    let mut analyser = Analyser::new(&plan, &lost);
    let row = analyser.row(&State(vec![1, 0, 0, 0]));
    assert_eq!(
        row.cells[names.iter().position(|n| n == "E3.minor").unwrap()].verdict,
        Verdict::Dead
    );
}

/// A broken plan gives findings, never a panic or a made-up number.
#[test]
fn broken_plans_are_reported() {
    let mut plan = plan(
        json!([control("a"), control("a")]),
        json!([
            battery(),
            battery(),
            switch("S1", "ghost"),
            lamp("E1", -2.0),
            lamp("E2", 2.0)
        ]),
        &[
            ("G1:+", "S1:99"),
            ("S1:82a", "E1:1"),
            ("E1:31", "E1:31"),
            ("X9:1", "G1:-"),
        ],
        json!([{"id": "w1", "when": {"b": "on"}, "lamps": ["E7.main"], "show": "steady"}]),
    );
    plan.wires[0].size = "a bit thick".into();
    let table = table(&plan, &[]);
    let text: Vec<String> = findings(&plan, &table)
        .into_iter()
        .map(|f| f.text)
        .collect();
    let text = text.join("\n");
    for expected in [
        "Two parts are called G1",
        "Two controls are called a",
        "S1:99, which does not exist",
        "moved by ghost",
        "impossible rated current",
        "starts and ends on the same terminal",
        "X9:1, which does not exist",
        "E7.main, which does not exist",
        "the control b, which does not exist",
        "\"a bit thick\"",
    ] {
        assert!(text.contains(expected), "missing: {expected}\nin: {text}");
    }
    let empty = Plan::default();
    let found = findings(&empty, &loomwright::behaviour::table(&empty, &[]));
    assert!(found.iter().any(|f| f.text.contains("no battery")));
}

/// Thirty controls have 2^30 states. Their lanes are independent, so every verdict is decided by far fewer; each
/// row is a real state, and cells drawn at random from all states are found among the rows' verdicts.
#[test]
fn thirty_controls_fall_into_groups() {
    let plan = big::plan(30);
    let table = table(&plan, &[]);
    assert_eq!(table.coverage.total, 1 << 30);
    assert!(
        matches!(table.coverage.choice, Choice::Groups(20..=30)),
        "{:?}",
        table.coverage
    );
    assert!(table.rows.len() < 400, "{}", table.rows.len());
    assert_eq!(table.solve.missed, 0);

    // The full table of a smaller plan of the same kind gives every lamp the same verdicts as its groups do.
    let small = big::plan(12);
    let all = loomwright::behaviour::table_within(&small, &[], 4096);
    let some = loomwright::behaviour::table_within(&small, &[], 200);
    assert!(
        matches!(some.coverage.choice, Choice::Groups(_)),
        "{:?}",
        some.coverage
    );
    let verdicts = |table: &Table| -> Vec<BTreeSet<(Show, Verdict)>> {
        (0..table.lamps.len())
            .map(|lamp| {
                table
                    .rows
                    .iter()
                    .map(|r| (r.cells[lamp].wish, r.cells[lamp].verdict))
                    .collect()
            })
            .collect()
    };
    assert_eq!(verdicts(&all), verdicts(&some));
}

/// With a master switch before everything and a back-feed in one lane, the groups still show it.
#[test]
fn a_back_feed_is_found_among_many_controls() {
    let mut plan = big::plan(16);
    // A wire instead of a diode: lane 3 now also feeds back from the lamp of lane 2.
    let wire = plan
        .wires
        .iter()
        .position(|w| w.to.to_string() == "V3b:A")
        .unwrap();
    plan.wires[wire].to = "E2:1".parse().unwrap();
    let table = table(&plan, &[]);
    assert!(
        matches!(table.coverage.choice, Choice::Groups(_)),
        "{:?}",
        table.coverage
    );
    let lamp = table
        .lamps
        .iter()
        .position(|l| l.to_string() == "E3.main")
        .unwrap();
    let fed = table
        .rows
        .iter()
        .filter(|row| row.cells[lamp].verdict == Verdict::BackFed)
        .count();
    assert!(fed > 0);
    assert!(!table.as_wished());
}
