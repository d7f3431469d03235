//! Batteries side by side, chargers, converters: whole small plans against values worked by hand.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;

use build::{battery, control, file, lamp, plan, switch};
use loomwright::behaviour::{Analyser, Choice, Outcome, State, Table, table, table_within};
use loomwright::findings::Finding;
use loomwright::plan::{FuseBody, Kind, Plan, TerminalId, file as files};
use serde_json::{Value, json};

/// What the checks say but those on sizes and protection: these plans are bare circuits without fuses.
fn findings(plan: &Plan, table: &Table) -> Vec<Finding> {
    let mut found = loomwright::findings::findings(plan, table);
    let sizes = [
        "fuse in front",
        "short circuit",
        "wire current",
        "fuse load",
        "voltage drop",
        "wire size",
        "fuses in series",
        "joints",
        "brightness",
        "battery",
        "charge balance",
        "battery string",
    ];
    found.retain(|finding| !sizes.contains(&finding.check));
    found
}

/// A battery of these volts and milliohms.
fn cell(id: &str, volts: f64, mohm: f64) -> Value {
    json!({"id": id, "kind": "battery", "spec": {
        "chemistry": "flooded", "open_circuit_v": volts, "internal_mohm": mohm, "capacity_ah": 60,
    }})
}

/// A 10 A charger of 14.4 V and 50 mΩ.
fn charger(runs: Value) -> Value {
    let mut spec = json!({"output_v": 14.4, "internal_mohm": 50, "rated_a": 10});
    if !runs.is_null() {
        spec["runs"] = runs;
    }
    json!({"id": "G2", "kind": "charger", "spec": spec})
}

/// 48 V to 12.5 V, 10 A, 90 %, from 40 V on.
fn converter() -> Value {
    json!({"id": "T1", "kind": "converter", "spec": {
        "input_v": 48, "output_v": 12.5, "rated_a": 10, "internal_mohm": 40, "efficiency": 0.9, "starts_v": 40,
    }})
}

/// A resistance as a load of this current at 12 V.
fn load(id: &str, amps: f64) -> Value {
    json!({"id": id, "kind": "load", "spec": {"rated_v": 12, "rated_a": amps}})
}

/// Every wire shrunk to next to nothing, so that only the parts count.
fn short(mut plan: Plan) -> Plan {
    for wire in &mut plan.wires {
        wire.length_mm = loomwright::units::Millimetres::ZERO;
    }
    plan
}

struct Solved<'a> {
    analyser: Analyser<'a>,
    outcome: Outcome,
}

fn solve<'a>(plan: &'a Plan, state: &[u8]) -> Solved<'a> {
    let mut analyser = Analyser::new(plan, &[]);
    let outcome = analyser.solve(&State(state.to_vec()));
    assert!(
        outcome.converged() && outcome.chatter.is_empty(),
        "{outcome:?}"
    );
    Solved { analyser, outcome }
}

impl Solved<'_> {
    fn volts(&self, terminal: &str) -> f64 {
        let terminal: TerminalId = terminal.parse().unwrap();
        let node = *self
            .analyser
            .circuit()
            .terminals
            .get(&terminal)
            .expect("a terminal of the plan");
        self.outcome.on.volts(node).expect("no terminal floats")
    }

    /// Current along a wire, by its number.
    fn amps(&self, wire: usize) -> f64 {
        self.analyser.flows(&self.outcome)[wire - 1].on
    }
}

fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found} where {expected} was worked out"
    );
}

/// Two batteries feed one load. Millman's theorem (Kuphaldt, Lessons in Electric Circuits I, chapter 10): the volts of
/// the joint are the sum of the short-circuit currents over the sum of conductances,
/// with 0.1 mΩ for each wire (12.6/0.0201 + 12.2/0.0402) / (1/0.0201 + 1/0.0402 + 1/1.2001) = 930.3483 / 75.4601
/// = 12.32901 V. The second battery is charged by (12.32901 − 12.2)/0.0402 = 3.2092 A.
#[test]
fn two_batteries_in_parallel_stand_as_millman_says() {
    let plan = short(plan(
        json!([]),
        json!([
            cell("G1", 12.6, 20.0),
            cell("G2", 12.2, 40.0),
            load("E1", 10.0)
        ]),
        &[
            ("G1:+", "E1:+"),
            ("G2:+", "E1:+"),
            ("G2:-", "G1:-"),
            ("E1:-", "G1:-"),
        ],
        json!([]),
    ));
    let solved = solve(&plan, &[]);
    near(solved.volts("E1:+"), 12.32901, 1e-5);
    near(solved.amps(2), -3.2092, 3e-4);
    assert_eq!(solved.volts("G1:-"), 0.0);
    let told: Vec<&str> = findings(&plan, &table(&plan, &[]))
        .iter()
        .map(|finding| finding.check)
        .collect();
    // The second battery keeps the load live too, and the first one runs down into it.
    assert_eq!(told, ["other source", "other source"]);
}

/// Two 6 V batteries in series are a 12 V one.
#[test]
fn two_batteries_in_series_add() {
    let plan = short(plan(
        json!([]),
        json!([
            cell("G1", 6.3, 10.0),
            cell("G2", 6.3, 10.0),
            load("E1", 10.0)
        ]),
        &[("G1:+", "G2:-"), ("G2:+", "E1:+"), ("E1:-", "G1:-")],
        json!([]),
    ));
    let solved = solve(&plan, &[]);
    near(solved.volts("G2:+"), 12.6 * 1.2 / 1.22, 3e-3);
}

fn charging(volts: f64, mohm: f64) -> Plan {
    short(plan(
        json!([control("engine")]),
        json!([
            cell("G1", volts, mohm),
            charger(json!({"control": "engine", "positions": ["on"]}))
        ]),
        &[("G2:+", "G1:+"), ("G2:-", "G1:-")],
        json!([]),
    ))
}

/// The current is (14.4 − 12.6) over the resistance of the loop while that is below the limit, the limit where it
/// is not, and nothing while the engine stands or the battery stands higher.
#[test]
fn a_charger_feeds_up_to_its_limit_and_only_forwards() {
    // 50 + 310 mΩ and two wires of 0.1 mΩ: 1.8 V / 0.3602 Ω.
    let slow = charging(12.6, 310.0);
    near(solve(&slow, &[1]).amps(1), 1.8 / 0.3602, 1e-4);
    near(solve(&slow, &[0]).amps(1), 0.0, 0.0);
    // 1.8 V / 60 mΩ would be 30 A: it gives its 10 A, and the battery stands at 12.6 V + 10 A · 10 mΩ.
    let strong = charging(12.6, 10.0);
    let solved = solve(&strong, &[1]);
    near(solved.amps(1), 10.0, 1e-5);
    near(solved.volts("G1:+"), 12.7, 1e-4);
    // A battery just charged stands above it.
    let full = charging(14.8, 10.0);
    let back = solve(&full, &[1]).amps(1);
    assert!((-1e-6..=0.0).contains(&back), "{back}");
}

/// An alternator lights lamps without any battery; its negative is then what volts are taken against.
#[test]
fn a_charger_alone_feeds_a_plan() {
    let plan = short(plan(
        json!([]),
        json!([charger(Value::Null), load("E1", 5.0)]),
        &[("G2:+", "E1:+"), ("E1:-", "G2:-")],
        json!([]),
    ));
    // 14.4 V over 2.4 Ω and 50 mΩ.
    near(solve(&plan, &[]).volts("E1:+"), 14.4 * 2.4 / 2.45, 1e-3);
    assert_eq!(findings(&plan, &table(&plan, &[])), []);
}

fn cart(volts: f64, amps: f64) -> Plan {
    short(plan(
        json!([]),
        json!([cell("G1", volts, 20.0), converter(), load("E1", amps)]),
        &[
            ("G1:+", "T1:in+"),
            ("T1:in-", "G1:-"),
            ("T1:out+", "E1:+"),
            ("E1:-", "T1:out-"),
        ],
        json!([]),
    ))
}

/// Above its starting voltage the output gives volts behind 40 mΩ up to 10 A; below, nothing. The input takes
/// the power of the rated output, 12.5 V · 10 A / 0.9 at 48 V: a resistance of 48² · 0.9 / 125 = 16.5888 Ω.
#[test]
fn a_converter_works_from_its_starting_voltage_on() {
    let half = cart(48.0, 5.0);
    let solved = solve(&half, &[]);
    // 12.5 V over 2.4 Ω and 40.2 mΩ.
    near(solved.amps(3), 12.5 / 2.4402, 1e-4);
    near(solved.amps(1), 48.0 / (16.5888 + 0.0202), 1e-3);
    let over = cart(48.0, 40.0);
    near(solve(&over, &[]).amps(3), 10.0, 1e-5);

    let flat = cart(39.9, 5.0);
    let solved = solve(&flat, &[]);
    assert!(solved.amps(1) < 1e-4, "only its measuring circuit draws");
    near(solved.volts("T1:out+"), solved.volts("T1:out-"), 1e-6);
    near(solve(&cart(40.1, 5.0), &[]).amps(3), 12.5 / 2.4402, 1e-4);
    // The wrong way round it does not start.
    near(solve(&cart(-48.0, 5.0), &[]).amps(3), 0.0, 1e-4);
}

/// The output has no path to the 48 V side but 10 MΩ: what is loaded there leaves the 12 V side as it was, the two
/// negatives stand at one voltage, and the input current is that of rated output whatever the output gives.
#[test]
fn the_two_sides_of_a_converter_are_apart() {
    let with = |wanted: f64| {
        short(plan(
            json!([]),
            json!([
                cell("G1", 48.0, 20.0),
                converter(),
                load("E1", 5.0),
                load("E2", wanted)
            ]),
            &[
                ("G1:+", "T1:in+"),
                ("T1:in-", "G1:-"),
                ("T1:out+", "E1:+"),
                ("E1:-", "T1:out-"),
                ("G1:+", "E2:+"),
                ("E2:-", "G1:-"),
            ],
            json!([]),
        ))
    };
    let (idle, busy) = (with(1e-6), with(40.0));
    let (idle, busy) = (solve(&idle, &[]), solve(&busy, &[]));
    assert!(idle.volts("T1:in+") - busy.volts("T1:in+") > 2.0);
    let lamp_side = |solved: &Solved| solved.volts("E1:+") - solved.volts("E1:-");
    near(lamp_side(&busy), lamp_side(&idle), 1e-9);
    near(busy.volts("T1:out-"), busy.volts("T1:in-"), 1e-9);
    near(
        solve(&cart(48.0, 1e-6), &[]).amps(1),
        solve(&cart(48.0, 5.0), &[]).amps(1),
        1e-9,
    );
}

/// A feed so thin that the converter's own current takes away the voltage it starts at: it starts and stops.
#[test]
fn a_converter_on_a_thin_feed_is_reported() {
    let plan = short(plan(
        json!([]),
        json!([cell("G1", 48.0, 9000.0), converter(), load("E1", 5.0)]),
        &[
            ("G1:+", "T1:in+"),
            ("T1:in-", "G1:-"),
            ("T1:out+", "E1:+"),
            ("E1:-", "T1:out-"),
        ],
        json!([]),
    ));
    let found = findings(&plan, &table(&plan, &[]));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].text.starts_with("Converter T1 starts and stops"));
}

/// What no such part can have is named.
#[test]
fn impossible_ratings_and_missing_controls_are_named() {
    let mut parts = json!([
        battery(),
        charger(json!({"control": "ghost", "positions": ["on"]})),
        converter()
    ]);
    parts[1]["spec"]["rated_a"] = json!(-1);
    parts[2]["spec"]["efficiency"] = json!(1.2);
    parts[2]["spec"]["starts_v"] = json!(0);
    let plan = plan(json!([]), parts, &[], json!([]));
    let found = findings(&plan, &table(&plan, &[]));
    let text: String = found.into_iter().map(|f| f.text + "\n").collect();
    for expected in [
        "G2 is moved by ghost",
        "G2 has an impossible rated current",
        "T1 has an impossible efficiency",
        "T1 has an impossible starting voltage",
    ] {
        assert!(text.contains(expected), "missing: {expected}\nin: {text}");
    }
    // A relay that lets go above where it pulls in, or never, is none.
    for (pull_in, drop_out, told) in [(8.0, 1.5, 0), (1.5, 8.0, 1), (8.0, 8.0, 1), (8.0, -1.0, 1)] {
        let mut coil = build::relay("K1");
        coil["spec"]["pull_in_v"] = json!(pull_in);
        coil["spec"]["drop_out_v"] = json!(drop_out);
        let plan = build::plan(json!([]), json!([battery(), coil]), &[], json!([]));
        let found = findings(&plan, &table(&plan, &[])).into_iter();
        let count = found
            .filter(|f| f.text.contains("K1 has an impossible pull-in voltage"))
            .count();
        assert_eq!(count, told, "{pull_in} V and {drop_out} V");
    }
}

/// A breaker is solved as a blade of its rating is, has its own word, and a blade is written without one.
#[test]
fn a_breaker_differs_from_a_blade_in_name_only() {
    let with = |body: Option<&str>| {
        let mut fuse = json!({"id": "F1", "kind": "fuse", "spec": {"rating_a": 15}});
        if let Some(body) = body {
            fuse["spec"]["body"] = json!(body);
        }
        plan(
            json!([]),
            json!([battery(), fuse, lamp("E1", 2.0)]),
            &[("G1:+", "F1:1"), ("F1:2", "E1:1"), ("E1:31", "G1:-")],
            json!([]),
        )
    };
    let (blade, breaker) = (with(None), with(Some("breaker")));
    assert_eq!(solve(&blade, &[]).amps(2), solve(&breaker, &[]).amps(2));
    let words = |plan: &Plan| plan.parts[1].kind.text();
    assert_eq!(
        (words(&blade), words(&breaker)),
        ("fuse", "circuit breaker")
    );
    assert!(matches!(&breaker.parts[1].kind, Kind::Fuse(f) if f.body == FuseBody::Breaker));
    assert_eq!(with(Some("blade")), blade);
    assert!(!files::write(&blade).contains("body"));
    assert!(files::write(&breaker).contains("\"body\": \"breaker\""));
}

/// Eight switched lamps behind a converter with a switch in its feed, and a charger with a control of its own. Split
/// into groups, every lamp shows what it shows in the full table: the feed's switch counts for each of them.
#[test]
fn lamps_behind_a_converter_follow_the_switch_before_it() {
    let n = 8;
    let mut controls = vec![control("key"), control("mains")];
    let mut parts = vec![
        cell("G1", 48.0, 20.0),
        json!({"id": "G2", "kind": "charger", "spec": {"output_v": 56, "internal_mohm": 50, "rated_a": 10,
            "runs": {"control": "mains", "positions": ["on"]}}}),
        switch("S0", "key"),
        converter(),
    ];
    let mut wires = vec![
        ("G2:+".to_owned(), "G1:+".to_owned()),
        ("G2:-".to_owned(), "G1:-".to_owned()),
        ("G1:+".to_owned(), "S0:82".to_owned()),
        ("S0:82a".to_owned(), "T1:in+".to_owned()),
        ("T1:in-".to_owned(), "G1:-".to_owned()),
    ];
    let mut wishes = Vec::new();
    for i in 1..=n {
        controls.push(control(&format!("c{i}")));
        parts.push(switch(&format!("S{i}"), &format!("c{i}")));
        parts.push(lamp(&format!("E{i}"), 0.5));
        wires.push(("T1:out+".into(), format!("S{i}:82")));
        wires.push((format!("S{i}:82a"), format!("E{i}:1")));
        wires.push((format!("E{i}:31"), "T1:out-".into()));
        wishes.push(
            json!({"id": format!("w{i}"), "when": {format!("c{i}"): "on"},
            "lamps": [format!("E{i}.main")], "show": "steady"}),
        );
    }
    let wires: Vec<(&str, &str)> = wires
        .iter()
        .map(|(a, b)| (a.as_str(), b.as_str()))
        .collect();
    let plan = plan(json!(controls), json!(parts), &wires, json!(wishes));
    let all = table_within(&plan, &[], 4096);
    let some = table_within(&plan, &[], 400);
    assert_eq!((all.coverage.choice, all.rows.len()), (Choice::All, 1024));
    assert!(
        matches!(some.coverage.choice, Choice::Groups(_)),
        "{:?}",
        some.coverage
    );
    let verdicts = |table: &Table| -> Vec<std::collections::BTreeSet<_>> {
        let of = |lamp: usize| {
            table
                .rows
                .iter()
                .map(move |row| (row.cells[lamp].wish, row.cells[lamp].verdict))
        };
        (0..n).map(|lamp| of(lamp).collect()).collect()
    };
    assert_eq!(verdicts(&all), verdicts(&some));
    // With the key off the lamp is wished and dead: both verdicts must be seen.
    assert!(
        verdicts(&some).iter().all(|seen| seen.len() > 2),
        "{:?}",
        verdicts(&some)
    );
}

/// The fixture holds every new kind, and is read and written unchanged by `tests/plans.rs`.
#[test]
fn the_cart_fixture_works_as_wished() {
    let plan = file("tests/fixtures/cart-48-volts.json");
    let table = table(&plan, &[]);
    assert!(table.as_wished());
    let told: Vec<&str> = findings(&plan, &table)
        .iter()
        .map(|finding| finding.check)
        .collect();
    // Nothing but the ground keeps the filaments of a rear lamp apart; the charger is a second source.
    assert_eq!(told, ["lost ground", "lost ground", "other source"]);
}
