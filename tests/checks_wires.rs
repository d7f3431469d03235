//! Checks on wires and fuses: each with a figure published elsewhere, a plan that fails, remedies that cure it, and its
//! bound found from both sides.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;
#[path = "shared/sized.rs"]
mod sized;

use loomwright::behaviour::{Guard, Origin};
use loomwright::catalog::ampacity::Basis;
use loomwright::findings::Severity::{Caution, Fault, Note};
use loomwright::plan::{FuseBody, Kind, Rules};
use loomwright::units::{Amps, Celsius, Millimetres, Milliohms, Share, Volts};
use serde_json::json;
use sized::{at, cured, drawing, edge, kind, of, quiet, rate, sizes, sound, worked};

#[test]
fn sound_plans_are_quiet() {
    quiet(&sound());
    for name in ["parade-wagon", "ferry-slip-tractor", "orchard-float"] {
        let found = sized::all(&build::file(&format!("static/examples/{name}.json")));
        let faults = found.iter().filter(|f| f.severity == Fault);
        assert_eq!(faults.count(), 0, "{name}: {found:#?}");
    }
    // In the hand-drawn plans stop hides turn; nothing else is wrong with them.
    for name in [
        "wagon-four-turn-lamps",
        "tractor-shared-rear-lamps",
        "float-shared-front-and-rear-lamps",
    ] {
        let found = sized::all(&build::file(&format!("tests/fixtures/{name}.json")));
        let others = found
            .iter()
            .filter(|f| f.severity != Note && f.check != "wishes");
        assert_eq!(others.count(), 0, "{found:#?}");
    }
}

/// 18 AWG at 105 °C carries 20 A (33 CFR 183.425 Table 5).
#[test]
fn wire_current_ends_at_the_printed_ampacity() {
    let with = |amps: f64| {
        let mut plan = drawing(amps);
        rate(&mut plan, "F1", 30.0);
        sizes(&mut plan, "10 AWG");
        plan.wires[2].size = "18 AWG".into();
        plan.wires[2].length_mm = Millimetres::of(100.0);
        plan
    };
    let most = edge(15.0, 25.0, |amps| {
        !at(&with(amps), "wire current", Fault).is_empty()
    });
    assert!((most - 20.0).abs() < 1e-3, "{most}");
    let finding = cured(&with(22.0), "wire current", Fault);
    assert_eq!(finding.about, ["W3"]);
    let measure = finding.measure.expect("a number");
    assert_eq!(
        (measure.found.as_str(), measure.limit.as_str()),
        ("22 A", "20 A")
    );
}

#[test]
fn heat_bundles_and_the_strict_basis_take_ampacity() {
    let mut plan = drawing(9.0);
    rate(&mut plan, "F1", 15.0);
    sizes(&mut plan, "16 AWG");
    assert_eq!(of(&plan, "wire current"), []);
    // 25 A · √((105 − T)/75) is 9 A at 95.28 °C.
    let hot = edge(30.0, 104.0, |celsius| {
        let mut plan = plan.clone();
        plan.settings.sizing.ambient_c = Celsius::of(celsius);
        !at(&plan, "wire current", Fault).is_empty()
    });
    assert!(
        (hot - (105.0 - 75.0 * (9.0 / 25.0) * (9.0 / 25.0))).abs() < 0.01,
        "{hot}"
    );
    // Below 50 V a bundle is a matter of practice.
    plan.settings.sizing.bundle = 25;
    assert_eq!(of(&plan, "wire current"), []);
    let mut tight = plan.clone();
    *kind(&mut tight, "E1") = kind(&mut drawing(10.5), "E1").clone();
    assert_eq!(at(&tight, "wire current", Fault), []);
    assert_eq!(at(&tight, "wire current", Caution).len(), 5);
    // From 50 V on it is law (33 CFR 183.435).
    let volts = |volts: f64| {
        let mut plan = tight.clone();
        if let Kind::Battery(battery) = kind(&mut plan, "G1") {
            battery.open_circuit_v = Volts::of(volts);
        }
        at(&plan, "wire current", Fault).len()
    };
    assert_eq!((volts(49.9), volts(50.0)), (0, 5));
    // AC 43.13-1B Table 11-9 lets 10 A run through 3831 cmil only.
    plan.settings.sizing.bundle = 1;
    plan.settings.sizing.basis = Basis::Aircraft;
    let found = at(&plan, "wire current", Fault);
    assert_eq!(found.len(), 5);
    assert!(found.iter().all(|f| f.source.contains("11-9")));
    // A class below the table's lowest is said, not guessed.
    for wire in &mut plan.wires {
        wire.insulation_c = Celsius::of(90.0);
    }
    assert_eq!(at(&plan, "wire current", Fault), []);
    assert_eq!(at(&plan, "wire current", Caution).len(), 1);
}

/// A published example: 10 A over 11 ft and 10 ft back, 3 % of 12 V: 12 AWG does, 12 SAE does not, 10 SAE does.
#[test]
fn the_published_pump_passes_and_fails_as_printed() {
    let with = |size: &str, share: f64| {
        let mut plan = drawing(10.0);
        rate(&mut plan, "F1", 15.0);
        plan.settings.sizing.allowed_drop = Share::of(share);
        plan.settings.conductor_c = Celsius::of(30.0);
        sizes(&mut plan, size);
        for (wire, feet) in plan.wires.iter_mut().zip([0.25, 5.0, 5.75, 5.0, 5.0]) {
            wire.length_mm = Millimetres::of(304.8 * feet);
        }
        plan
    };
    let fails = |size, share| !at(&with(size, share), "voltage drop", Fault).is_empty();
    for (size, share, bad) in [
        ("12 AWG", 0.03, false),
        ("14 AWG", 0.03, true),
        ("12 SAE", 0.03, true),
        ("10 SAE", 0.03, false),
        ("16 AWG", 0.10, false),
        ("18 AWG", 0.10, true),
    ] {
        assert_eq!(fails(size, share), bad, "{size} at {share}");
    }
    let finding = cured(&with("14 AWG", 0.03), "voltage drop", Fault);
    assert_eq!(finding.measure.expect("a number").limit, "0.36 V");
    // ABYC E-11 at 16 AWG: 10.75 Ω·cmil/ft · 10 A · 21 ft / 2583 cmil is 0.874 V, 7.3 % of 12 V: above the 5 % of the road.
    assert_eq!(at(&with("16 AWG", 0.10), "voltage drop", Caution).len(), 1);
    let (_, loads) = worked(&with("16 AWG", 0.10));
    let (_, drop) = loads.lamps[0].drops.first().expect("it burns");
    assert!((drop.along_wires() / 0.874 - 1.0).abs() < 0.03, "{drop:?}");
    let sum = drop.feed + drop.joints + drop.diodes + drop.resistors + drop.back + drop.lamp;
    assert!((sum - drop.supply).abs() < 1e-9, "{drop:?}");
}

#[test]
fn a_fuse_stands_within_seven_inches_or_in_a_sheath() {
    let with = |mm: f64| {
        let mut plan = sound();
        plan.wires[0].length_mm = Millimetres::of(mm);
        plan
    };
    let far = edge(150.0, 400.0, |mm| {
        !at(&with(mm), "fuse in front", Caution).is_empty()
    });
    assert!((far - 177.8).abs() < 1e-6, "{far}");
    let fault = edge(400.0, 3000.0, |mm| {
        !at(&with(mm), "fuse in front", Fault).is_empty()
    });
    assert!((fault - 72.0 * 25.4).abs() < 1e-6, "{fault}");
    cured(&with(500.0), "fuse in front", Caution);
    cured(&with(2500.0), "fuse in front", Fault);
}

#[test]
fn a_plan_without_a_fuse_burns() {
    let mut plan = sound();
    plan.wires.remove(0);
    plan.parts.retain(|part| part.id.as_str() != "F1");
    plan.wires[0].from = "G1:+".parse().expect("a terminal");
    plan.wires[0].length_mm = Millimetres::of(2000.0);
    let finding = cured(&plan, "fuse in front", Fault);
    assert_eq!(finding.about, ["W2", "W3"], "return wires need none");
}

/// 33 CFR 183.455: 150 % of the ampacity; 18 AWG at 60 °C carries 10 A.
#[test]
fn a_fuse_may_have_half_as_much_again_as_the_wire() {
    let with = |amps: f64| {
        let mut plan = sound();
        sizes(&mut plan, "18 AWG");
        for wire in &mut plan.wires {
            wire.insulation_c = Celsius::of(60.0);
        }
        rate(&mut plan, "F1", amps);
        plan
    };
    let fault = edge(11.0, 20.0, |amps| {
        !at(&with(amps), "fuse in front", Fault).is_empty()
    });
    assert!((fault - 15.0).abs() < 1e-6, "{fault}");
    let caution = edge(8.0, 14.0, |amps| {
        !at(&with(amps), "fuse in front", Caution).is_empty()
    });
    assert!((caution - 10.0).abs() < 1e-6, "{caution}");
    let finding = cured(&with(20.0), "fuse in front", Fault);
    assert_eq!(finding.about[0], "F1");
    cured(&with(15.0), "fuse in front", Caution);
    // What the wire bears for good, 10 A, is said under every rule, and a fuse of that offered.
    for strict in [false, true] {
        for amps in [15.0, 20.0] {
            let mut plan = with(amps);
            plan.settings.sizing.strict_fuses = strict;
            let finding = of(&plan, "fuse in front").remove(0);
            assert!(finding.text.contains("(10 A at least)"), "{}", finding.text);
            finding.remedies[0]
                .edit
                .clone()
                .apply(&mut plan)
                .expect("a ready edit");
            let Kind::Fuse(fuse) = kind(&mut plan, "F1") else {
                panic!("a fuse")
            };
            assert_eq!(fuse.rating_a, Amps::of(10.0));
        }
    }
    // It is not offered where it would bear the lamp no longer: four fifths of its rating.
    let most = edge(7.0, 9.5, |amps| {
        let mut plan = with(20.0);
        *kind(&mut plan, "E1") = kind(&mut drawing(amps), "E1").clone();
        of(&plan, "fuse in front").remove(0).remedies.len() == 1
    });
    assert!((most - 8.0).abs() < 0.01, "{most}");
}

/// Two feeds of one lamp, one through a large fuse: what guards the lamp's wire is the larger one, but not behind a diode
/// that looks the other way.
#[test]
fn the_widest_way_guards_a_wire() {
    let plan = build::plan(
        json!([build::control("a")]),
        json!([
            build::battery(),
            sized::fuse("F1", 5.0),
            sized::fuse("F2", 20.0),
            {"id": "V1", "kind": "diode", "spec": {"model": "10A04"}},
            build::lamp("E1", 1.963),
            sized::ground("XG1"),
            sized::ground("XG2"),
            {"id": "X1", "kind": "splice", "spec": {}}
        ]),
        &[
            ("G1:+", "F1:1"),
            ("G1:+", "F2:1"),
            ("F1:2", "X1:1"),
            ("F2:2", "V1:A"),
            ("V1:K", "X1:1"),
            ("X1:1", "E1:1"),
            ("E1:31", "XG1:31"),
            ("XG2:31", "G1:-"),
        ],
        json!([]),
    );
    let guards = worked(&plan).1.guards.wires;
    let fuse = |part, amps| Guard::Fuse { part, amps };
    assert_eq!(guards[2], fuse(2, 20.0), "fed backwards through the joint");
    assert_eq!(guards[3], fuse(2, 20.0));
    assert_eq!(guards[5], fuse(2, 20.0));
    assert_eq!(guards[6], Guard::Return);
    let mut turned = plan.clone();
    turned.wires[3].to = "V1:K".parse().expect("a terminal");
    turned.wires[4].from = "V1:A".parse().expect("a terminal");
    let guards = worked(&turned).1.guards.wires;
    assert_eq!(guards[5], fuse(1, 5.0));
    assert_eq!(guards[3], fuse(2, 20.0));
}

/// A converter gives no more than its rated current: wire that bears two thirds of it needs no fuse, up to 7 in any wire.
#[test]
fn a_converter_limits_itself() {
    let with = |amps: f64, mm: f64| {
        let mut plan = build::plan(
            json!([build::control("a")]),
            json!([
                {"id": "G1", "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": 50.4,
                    "internal_mohm": 40, "capacity_ah": 100}},
                sized::fuse("F1", 10.0),
                {"id": "T1", "kind": "converter", "spec": {"input_v": 48, "output_v": 12.5, "rated_a": amps,
                    "internal_mohm": 20, "efficiency": 0.9, "starts_v": 40}},
                sized::fuse("F2", 5.0),
                build::switch("S1", "a"),
                build::lamp("E1", 1.963)
            ]),
            &[
                ("G1:+", "F1:1"),
                ("F1:2", "T1:in+"),
                ("T1:in-", "G1:-"),
                ("T1:out+", "F2:1"),
                ("F2:2", "S1:82"),
                ("S1:82a", "E1:1"),
                ("E1:31", "T1:out-"),
            ],
            json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
        );
        plan.wires[0].length_mm = Millimetres::of(150.0);
        plan.wires[3].length_mm = Millimetres::of(mm);
        plan.wires[3].size = "18 AWG".into();
        plan.wires[3].insulation_c = Celsius::of(60.0);
        plan
    };
    quiet(&with(10.0, 500.0));
    let most = edge(10.0, 20.0, |amps| {
        !at(&with(amps, 500.0), "fuse in front", Fault).is_empty()
    });
    assert!((most - 15.0).abs() < 1e-6, "{most}");
    let far = edge(100.0, 500.0, |mm| {
        !at(&with(20.0, mm), "fuse in front", Fault).is_empty()
    });
    assert!((far - 177.8).abs() < 1e-6, "{far}");
    cured(&with(20.0, 500.0), "fuse in front", Fault);
    // The drop counts against the 12 V of the converter, not the 48 V of the battery.
    let mut long = with(10.0, 150.0);
    for wire in &mut long.wires[4..] {
        wire.length_mm = Millimetres::of(10_000.0);
    }
    let found = at(&long, "voltage drop", Caution);
    assert!(
        found.len() == 1 && found[0].text.contains("of 12 V"),
        "{found:#?}"
    );
}

#[test]
fn a_fuse_bears_its_load_with_room_to_spare() {
    let with = |amps: f64| {
        let mut plan = drawing(amps);
        sizes(&mut plan, "4 mm2");
        plan
    };
    let caution = edge(7.0, 9.0, |amps| {
        !at(&with(amps), "fuse load", Caution).is_empty()
    });
    assert!((caution - 8.0).abs() < 1e-3, "{caution}");
    let fault = edge(9.0, 11.0, |amps| {
        !at(&with(amps), "fuse load", Fault).is_empty()
    });
    assert!((fault - 10.0).abs() < 1e-3, "{fault}");
    cured(&with(8.5), "fuse load", Caution);
    cured(&with(11.0), "fuse load", Fault);
}

/// A large lamp on a stiff battery behind thick wire: the fuse bears it for good, but hardly its inrush.
#[test]
fn the_inrush_of_cold_filaments_is_held_against_the_fuse() {
    let mut plan = sound();
    if let Kind::Lamp(lamp) = kind(&mut plan, "E1") {
        lamp.filaments[0].rated_a = Amps::of(7.6);
    }
    if let Kind::Battery(battery) = kind(&mut plan, "G1") {
        battery.internal_mohm = Milliohms::of(1.0);
    }
    if let Kind::Switch(switch) = kind(&mut plan, "S1") {
        switch.contact_mohm = Milliohms::of(1.0);
    }
    sizes(&mut plan, "10 mm2");
    let (_, loads) = worked(&plan);
    let load = loads.part(1).next().expect("the fuse");
    assert!(
        load.inrush > 6.0 * load.peak.value && load.inrush < 13.5 * load.peak.value,
        "{load:?}"
    );
    let found = of(&plan, "fuse load");
    assert!(
        found.iter().all(|f| f.severity == Caution) && found.len() == 1,
        "{found:#?}"
    );
    cured(&plan, "fuse load", Caution);
    assert_eq!(of(&sound(), "fuse load"), []);
}

#[test]
fn of_two_fuses_in_series_the_first_is_at_least_twice_the_second() {
    let with = |first: f64, second: f64| {
        let mut plan = sound();
        let fuse = plan.parts[1].clone();
        plan.parts.push(fuse);
        plan.parts[6].id = "F2".parse().expect("an identifier");
        rate(&mut plan, "F1", first);
        rate(&mut plan, "F2", second);
        plan.wires[1].to = "F2:1".parse().expect("a terminal");
        let mut wire = plan.wires[1].clone();
        wire.id = "W6".parse().expect("an identifier");
        (wire.from, wire.to) = (
            "F2:2".parse().expect("a terminal"),
            "S1:82".parse().expect("a terminal"),
        );
        plan.wires.push(wire);
        plan
    };
    let found = |first, second| {
        let found = of(&with(first, second), "fuses in series");
        found.iter().map(|f| f.severity).collect::<Vec<_>>()
    };
    assert_eq!(worked(&with(20.0, 10.0)).1.guards.series, [(1, 6)]);
    assert_eq!(found(20.0, 10.0), []);
    assert_eq!(found(15.0, 10.0), [Note]);
    assert_eq!(found(10.0, 10.0), [Caution]);
    assert_eq!(found(5.0, 10.0), [Caution]);
}

/// A textbook case: 230 V, 14 AWG there and back of 11.301 Ω, a short circuit at the far end draws 20.352 A.
#[test]
fn the_textbook_short_circuit_comes_out() {
    let mut plan = sound();
    let Kind::Battery(battery) = kind(&mut plan, "G1") else {
        panic!("a battery")
    };
    battery.open_circuit_v = Volts::of(230.0);
    plan.settings.sizing.charging_v = Some(Volts::of(230.0));
    sizes(&mut plan, "14 AWG");
    // 1.02 · 17.241/2.081 mΩ/m: so long that feed and return are 5.6506 Ω each.
    let mm = 5.6506 / (1.02 * 17.241e-3 / 2.081) * 1000.0;
    for (wire, share) in plan.wires.iter_mut().zip([0.0, 0.5, 0.5, 0.0, 1.0]) {
        wire.length_mm = Millimetres::of(share * mm);
    }
    let (_, loads) = worked(&plan);
    let short = loads.shorts[2].as_ref().expect("W3 is live");
    assert!((short.amps - 20.352).abs() < 0.1, "{short:?}");
    assert_eq!(short.fuses.len(), 1);
    assert!(loads.shorts[3].is_none() && loads.shorts[4].is_none());
}

/// A short circuit runs through the wires from the battery to its place, not through those of a lamp that burns meanwhile.
#[test]
fn a_short_circuit_runs_from_the_battery_to_its_place() {
    let mut plan = sound();
    let mut beside = plan.wires[2].clone();
    beside.id = plan.free_wire_id();
    beside.from = "F1:2".parse().expect("a terminal");
    plan.wires.push(beside);
    let second = plan.parts[3].clone();
    plan.parts.push(loomwright::plan::Part {
        id: "E2".parse().expect("an id"),
        ..second
    });
    plan.wires[5].to = "E2:1".parse().expect("a terminal");
    let mut back = plan.wires[3].clone();
    back.id = plan.free_wire_id();
    back.from = "E2:31".parse().expect("a terminal");
    plan.wires.push(back);
    let (_, loads) = worked(&plan);
    let at = |wire: usize| {
        loads.shorts[wire]
            .as_ref()
            .expect("a live wire")
            .wires
            .clone()
    };
    // Back to the battery it runs over the ground point of that side, `W5`.
    assert_eq!(at(2), [0, 1, 2, 4]);
    assert_eq!(at(5), [0, 4, 5]);
    assert_eq!(at(0), [0, 4]);
}

/// A lamp that two switches light, one over ten times the length: each way's wires take their own drop, also the way that
/// is not the worst.
#[test]
fn every_way_that_lights_a_lamp_has_its_drop() {
    let plan = |far: f64| {
        let mut plan = build::plan(
            json!([build::control("a"), build::control("b")]),
            json!([
                build::battery(),
                sized::fuse("F1", 10.0),
                build::switch("S1", "a"),
                build::switch("S2", "b"),
                build::lamp("E1", 1.963)
            ]),
            &[
                ("G1:+", "F1:1"),
                ("F1:2", "S1:82"),
                ("S1:82a", "E1:1"),
                ("F1:2", "S2:82"),
                ("S2:82a", "E1:1"),
                ("E1:31", "G1:-"),
            ],
            json!([
                {"id": "w1", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"},
                {"id": "w2", "when": {"b": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
        );
        plan.wires[4].length_mm = Millimetres::of(far);
        plan
    };
    let (_, loads) = worked(&plan(10_000.0));
    let own = |wire: usize| {
        let drops = loads.lamps[0]
            .drops
            .iter()
            .flat_map(|(_, drop)| &drop.wires);
        drops
            .filter(|&&(w, ..)| w == wire)
            .map(|&(_, volts, _)| volts)
            .fold(0.0, f64::max)
    };
    assert!(
        own(2) > 0.01 && (own(4) / own(2) - 10.0).abs() < 1.0,
        "{} {}",
        own(2),
        own(4)
    );
}

/// ISO 8820-3: from 135 % on a fuse must open, at 200 % within 5 s.
#[test]
fn long_thin_wires_do_not_open_their_fuse() {
    let with = |metres: f64| {
        let mut plan = sound();
        plan.wires[2].size = "0.22 mm2".into();
        plan.wires[2].length_mm = Millimetres::of(1000.0 * metres);
        rate(&mut plan, "F1", 5.0);
        plan
    };
    let never = |metres| !at(&with(metres), "short circuit", Fault).is_empty();
    let far = edge(1.0, 22.0, never);
    let amps = |metres| {
        let (_, loads) = worked(&with(metres));
        loads.shorts[2].as_ref().map_or(0.0, |short| short.amps)
    };
    assert!((amps(far) - 1.35 * 5.0).abs() < 0.05, "{}", amps(far));
    let slow = edge(1.0, far, |m| !of(&with(m), "short circuit").is_empty());
    assert!((amps(slow) - 2.0 * 5.0).abs() < 0.05, "{}", amps(slow));
    cured(&with(1.05 * far), "short circuit", Fault);
    // So long that the wire bears the current of its own short circuit for good: nothing burns.
    assert_eq!(of(&with(40.0), "short circuit"), []);
}

#[test]
fn smallest_wires_by_rule() {
    let with = |size: &str, rules| {
        let mut plan = sound();
        plan.settings.sizing.rules = rules;
        rate(&mut plan, "F1", 3.0);
        plan.wires[2].size = size.into();
        plan.wires[2].length_mm = Millimetres::of(300.0);
        plan
    };
    let worst = |size: &str, rules| {
        of(&with(size, rules), "wire size")
            .first()
            .map(|f| f.severity)
    };
    for (size, rules, expected) in [
        ("0.35 mm2", Rules::None, Some(Caution)),
        ("0.5 mm2", Rules::None, None),
        ("20 AWG", Rules::UsRoad, None),
        ("20 AWG", Rules::UsBoat, Some(Fault)),
        ("18 AWG", Rules::UsBoat, Some(Caution)),
        ("16 AWG", Rules::UsBoat, None),
        ("0.5 mm2", Rules::IsoBoat, Some(Fault)),
        ("0.75 mm2", Rules::IsoBoat, Some(Caution)),
        ("1 mm2", Rules::IsoBoat, None),
    ] {
        assert_eq!(worst(size, rules), expected, "{size} {rules:?}");
    }
    cured(&with("20 AWG", Rules::UsBoat), "wire size", Fault);
}

#[test]
fn gauges_of_two_systems_are_not_mixed_up() {
    let mut plan = sound();
    plan.wires[1].size = "14 AWG".into();
    assert_eq!(of(&plan, "wire size"), []);
    plan.wires[2].size = "14 SAE".into();
    let found = of(&plan, "wire size");
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].severity, &found[0].about[..]),
        (Note, &["W2".into(), "W3".into()][..])
    );
    // 14 A: 18 AWG at 75 °C bears a 15 A fuse (150 % of 10 A), 18 SAE (5 % less copper) no more.
    let mut plan = sound();
    rate(&mut plan, "F1", 15.0);
    plan.wires[2].size = "18 AWG".into();
    plan.wires[2].insulation_c = Celsius::of(75.0);
    let found = of(&plan, "wire size");
    assert!(
        found.len() == 1 && found[0].text.contains("SAE J1128"),
        "{found:#?}"
    );
}

#[test]
fn loads_are_those_of_the_worst_state() {
    let plan = build::file("tests/fixtures/tractor-shared-rear-lamps.json");
    let (table, loads) = worked(&plan);
    assert_eq!(
        loads.volts.map(|v| (10.0 * v).round()),
        [126.0, 110.0, 144.0]
    );
    let main = loads.wire(0).expect("W1");
    let worst = &table.rows[main.peak.row].state;
    assert_eq!(worst.moved(), 4, "everything on");
    assert!(main.charging.0 > main.peak.value && main.heat.value < main.peak.value);
    assert_eq!(
        loads
            .branches
            .iter()
            .filter(|l| matches!(l.origin, Origin::Wire(_)))
            .count(),
        30
    );
    // A table of another plan says nothing.
    let other = loomwright::behaviour::loads(&sound(), &table);
    assert!(other.branches.is_empty());
}

/// SAE J553 and (115·S)² of IEC 60364-4-43: a breaker lets 240 s times the square of its rating through, so wire of 1.5 mm² stands
/// one of 115 · 1.5/√240 = 11.13 A, whatever the short circuit draws.
#[test]
fn a_breaker_trips_before_its_wire_is_hurt() {
    let with = |amps: f64, body| {
        let mut plan = sound();
        if let Kind::Fuse(fuse) = kind(&mut plan, "F1") {
            fuse.rating_a = Amps::of(amps);
            fuse.body = body;
        }
        plan
    };
    let told = |amps: f64| !at(&with(amps, FuseBody::Breaker), "short circuit", Caution).is_empty();
    let bound = edge(8.0, 15.0, told);
    assert!(
        (bound - 115.0 * 1.5 / libm::sqrt(240.0)).abs() < 1e-6,
        "{bound}"
    );
    let finding = cured(&with(15.0, FuseBody::Breaker), "short circuit", Caution);
    assert_eq!(finding.remedies.len(), 2, "a blade, or thicker wire");
    assert_eq!(of(&with(15.0, FuseBody::Blade), "short circuit"), []);
}
