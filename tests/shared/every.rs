//! Plans that break one rule each, with the number that decides as their argument.
#![allow(dead_code, reason = "each test uses some of these")]

use crate::build::{battery, control, lamp, plan, relay, switch};
use crate::sized::{drawing, fuse, kind, rate, sizes, sound, window, with_relay};
use crate::sneaks;
use loomwright::plan::{Duty, FlasherAction, Kind, Light, Plan, Rules};
use loomwright::units::{Amps, Celsius, Millimetres, Milliohms, Share, Volts};
use serde_json::{Value, json};

fn part(plan: &mut Plan, part: Value) {
    plan.parts
        .push(serde_json::from_value(part).unwrap_or_else(|e| panic!("{e}")));
}

/// A wire like the second one of the plan.
fn wire(plan: &mut Plan, from: &str, to: &str) {
    let mut wire = plan.wires[1].clone();
    wire.id = plan.free_wire_id();
    wire.from = from.parse().expect("a terminal");
    wire.to = to.parse().expect("a terminal");
    plan.wires.push(wire);
}

fn splice(id: &str) -> Value {
    json!({"id": id, "kind": "splice", "spec": {}})
}

fn resistor(id: &str, ohms: f64) -> Value {
    json!({"id": id, "kind": "resistor", "spec": {"ohms": ohms, "rating_w": 50}})
}

/// The feed of the lamp ends on this terminal.
pub fn loose_end(to: &str) -> Plan {
    let mut plan = sound();
    plan.wires[2].to = to.parse().expect("a terminal");
    plan
}

/// So many switches side by side light one lamp: they cannot be parted into groups.
pub fn many_controls(count: usize) -> Plan {
    let mut plan = sound();
    for n in 1..count {
        let id = format!("c{n}");
        plan.controls
            .push(serde_json::from_value(control(&id)).expect("a control"));
        let name = format!("S{}", n + 1);
        part(&mut plan, switch(&name, &id));
        wire(&mut plan, "F1:2", &format!("{name}:82"));
        wire(&mut plan, &format!("{name}:82a"), "E1:1");
    }
    plan
}

/// The lamp is lit, and nobody wished it.
pub fn unwished() -> Plan {
    let mut plan = sound();
    plan.wishes.clear();
    plan
}

/// A filament for so many volts.
pub fn rated_volts(volts: f64) -> Plan {
    let mut plan = sound();
    if let Kind::Lamp(lamp) = kind(&mut plan, "E1") {
        lamp.filaments[0].rated_v = Volts::of(volts);
    }
    plan
}

/// So many millimetres from the battery to the fuse.
pub fn lead(mm: f64) -> Plan {
    let mut plan = sound();
    plan.wires[0].length_mm = Millimetres::of(mm);
    plan
}

/// A feed of 0.22 mm² of so many metres.
pub fn long(metres: f64) -> Plan {
    let mut plan = sound();
    plan.wires[2].size = "0.22 mm2".into();
    plan.wires[2].length_mm = Millimetres::of(1000.0 * metres);
    rate(&mut plan, "F1", 5.0);
    plan
}

/// So many amperes through 100 mm of 18 AWG.
pub fn thin(amps: f64) -> Plan {
    let mut plan = drawing(amps);
    rate(&mut plan, "F1", 30.0);
    sizes(&mut plan, "10 AWG");
    plan.wires[2].size = "18 AWG".into();
    plan.wires[2].length_mm = Millimetres::of(100.0);
    plan
}

/// So many amperes through a fuse of 10 A.
pub fn fused(amps: f64) -> Plan {
    let mut plan = drawing(amps);
    sizes(&mut plan, "4 mm2");
    plan
}

/// 10 A over so many metres of 14 AWG and back, 3 % allowed.
pub fn away(metres: f64) -> Plan {
    let mut plan = drawing(10.0);
    rate(&mut plan, "F1", 15.0);
    plan.settings.sizing.allowed_drop = Share::of(0.03);
    sizes(&mut plan, "14 AWG");
    for (wire, share) in plan.wires.iter_mut().zip([0.0, 0.25, 0.25, 0.25, 0.25]) {
        wire.length_mm = Millimetres::of(150.0 + 1000.0 * metres * share);
    }
    plan.wires[0].length_mm = Millimetres::of(150.0);
    plan
}

/// 300 mm of the feed in this size, behind 3 A.
pub fn with_size(size: &str) -> Plan {
    let mut plan = sound();
    rate(&mut plan, "F1", 3.0);
    plan.wires[2].size = size.into();
    plan.wires[2].length_mm = Millimetres::of(300.0);
    plan
}

/// Two fuses one behind the other, in thick wire.
pub fn series(first: f64, second: f64) -> Plan {
    let mut plan = sound();
    sizes(&mut plan, "4 mm2");
    part(&mut plan, fuse("F2", second));
    rate(&mut plan, "F1", first);
    plan.wires[1].to = "F2:1".parse().expect("a terminal");
    wire(&mut plan, "F2:2", "S1:82");
    plan
}

/// Two lamps behind a switch each, joined by a Schottky diode that blocks from the second to the first, an LED lamp of so many
/// amperes.
pub fn leaking(amps: f64) -> Plan {
    let mut plan = sound();
    *kind(&mut plan, "E1") = kind(&mut drawing(amps), "E1").clone();
    sizes(&mut plan, "35 mm2");
    rate(&mut plan, "F1", 40.0);
    plan.controls
        .push(serde_json::from_value(control("b")).expect("a control"));
    part(&mut plan, switch("S2", "b"));
    part(
        &mut plan,
        json!({"id": "V1", "kind": "diode", "spec": {"model": "1N5822"}}),
    );
    part(&mut plan, lamp("E2", 0.5));
    part(&mut plan, splice("X1"));
    wire(&mut plan, "F1:2", "S2:82");
    wire(&mut plan, "S2:82a", "X1:1");
    wire(&mut plan, "X1:1", "E2:1");
    wire(&mut plan, "E2:31", "XG1:31");
    wire(&mut plan, "E1:1", "V1:A");
    wire(&mut plan, "V1:K", "X1:1");
    plan.wishes.insert(
        0,
        serde_json::from_value(
            json!({"id": "w2", "when": {}, "lamps": ["E2.main"], "show": "any"}),
        )
        .expect("a wish"),
    );
    plan
}

/// A 6 Ω resistor of so many watts.
pub fn hot(watts: f64) -> Plan {
    let mut plan = sound();
    *kind(&mut plan, "E1") = Kind::Splice(Default::default());
    part(
        &mut plan,
        json!({"id": "R1", "kind": "resistor", "spec": {"ohms": 6.0, "rating_w": watts}}),
    );
    plan.wires[2].to = "R1:1".parse().expect("a terminal");
    plan.wires[3].from = "R1:2".parse().expect("a terminal");
    plan.wishes.clear();
    plan
}

/// A switch of so many amperes.
pub fn switching(amps: f64) -> Plan {
    let mut plan = sound();
    if let Kind::Switch(switch) = kind(&mut plan, "S1") {
        switch.rating_a = Some(Amps::of(amps));
    }
    plan
}

/// A relay whose coil is fed from here.
pub fn buzzer(feed: &str) -> Plan {
    plan(
        json!([control("a")]),
        json!([battery(), fuse("F1", 10.0), relay("K1"), lamp("E1", 1.963)]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "K1:30"),
            (feed, "K1:86"),
            ("K1:85", "G1:-"),
            ("K1:87", "E1:1"),
            ("E1:31", "G1:-"),
        ],
        json!([{"id": "w", "when": {}, "lamps": ["E1.main"], "show": "any"}]),
    )
}

/// So many amperes through the contact of a small lamp relay.
pub fn contact(amps: f64) -> Plan {
    let mut plan = with_relay(0.1);
    if let Kind::Relay(relay) = kind(&mut plan, "K1") {
        relay.model = Some("lamp relay PCB 12 V".into());
    }
    // A regulated lamp has no inrush.
    *kind(&mut plan, "E1") = kind(&mut drawing(amps), "E1").clone();
    sizes(&mut plan, "35 mm2");
    rate(&mut plan, "F1", 100.0);
    plan
}

/// Two turn lamps of so many amperes on a thermal unit made for 3 to 6 A.
pub fn led_turns(amps: f64) -> Plan {
    let mut plan = window("thermal", 3.0, 12.0);
    for (id, duty) in [("E1", Duty::TurnLeft), ("E2", Duty::TurnRight)] {
        if let Kind::Lamp(lamp) = kind(&mut plan, id) {
            lamp.filaments[0].rated_a = Amps::of(amps);
            lamp.filaments[0].duties = vec![duty];
        }
    }
    if let Kind::Flasher(unit) = kind(&mut plan, "K1") {
        unit.action = FlasherAction::Thermal;
    }
    plan
}

/// A unit of so many flashes a minute.
pub fn beats(per_minute: u16) -> Plan {
    let mut plan = window("electronic", 2.5, 6.0);
    if let Kind::Flasher(unit) = kind(&mut plan, "K1") {
        unit.per_minute = per_minute;
    }
    plan
}

/// A relay that a load of so many ohms feeds from a second switch.
pub fn held(ohms: f64) -> Plan {
    plan(
        json!([control("a"), control("b")]),
        json!([
            battery(),
            switch("S1", "a"),
            switch("S2", "b"),
            relay("K1"),
            lamp("E1", 2.0),
            {"id": "R9", "kind": "load", "spec": {"rated_v": 12, "rated_a": 12.0 / ohms}}
        ]),
        &[
            ("G1:+", "S1:82"),
            ("S1:82a", "K1:86"),
            ("K1:85", "G1:-"),
            ("G1:+", "K1:30"),
            ("K1:87", "E1:1"),
            ("E1:31", "G1:-"),
            ("G1:+", "S2:82"),
            ("S2:82a", "R9:+"),
            ("R9:-", "K1:86"),
        ],
        json!([{"id": "w1", "when": {}, "lamps": ["E1.main"], "show": "any"}]),
    )
}

/// The textbook bridge with so many ohms between, its upper arms exchanged by a switch.
pub fn bridge(ohms: f64) -> Plan {
    sneaks::bridge(24.0, ohms, 1.0, 250.0)
}

/// Two fused circuits, with a switch between them or without.
pub fn joined(tied: bool) -> Plan {
    let mut wires = vec![
        ("G1:+", "F1:1"),
        ("G1:+", "F2:1"),
        ("F1:2", "S1:82"),
        ("F2:2", "S2:82"),
        ("S1:82a", "E1:1"),
        ("S2:82a", "E2:1"),
        ("E1:31", "G1:-"),
        ("E2:31", "G1:-"),
    ];
    if tied {
        wires.extend([("E1:1", "S3:82"), ("S3:82a", "E2:1")]);
    }
    plan(
        json!([control("a"), control("b"), control("c")]),
        json!([
            battery(),
            fuse("F1", 10.0),
            fuse("F2", 10.0),
            switch("S1", "a"),
            switch("S2", "b"),
            switch("S3", "c"),
            lamp("E1", 2.0),
            lamp("E2", 2.0)
        ]),
        &wires,
        json!([{"id": "w1", "when": {}, "lamps": ["E1.main", "E2.main"], "show": "any"}]),
    )
}

/// Two lamps that meet before their ground, with a switch in it or without.
pub fn common(switched: bool) -> Plan {
    let to_ground: &[(&str, &str)] = if switched {
        &[("X1:1", "S3:82"), ("S3:82a", "G1:-")]
    } else {
        &[("X1:1", "G1:-")]
    };
    sneaks::common(lamp("E2", 2.0), to_ground)
}

/// 24 V and 12 V joined through so many ohms.
pub fn two_batteries(ohms: f64) -> Plan {
    let cell = |id: &str, volts: f64| {
        json!({"id": id, "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": volts,
            "internal_mohm": 0.1, "capacity_ah": 33}})
    };
    plan(
        json!([]),
        json!([cell("G1", 24.0), cell("G2", 12.0), resistor("R1", ohms)]),
        &[("G1:+", "R1:1"), ("R1:2", "G2:+"), ("G2:-", "G1:-")],
        json!([]),
    )
}

/// The lamp's ground has so many milliohms.
pub fn ground_of(mohm: f64) -> Plan {
    let mut plan = sound();
    if let Kind::Ground(ground) = kind(&mut plan, "XG1") {
        ground.joint_mohm = Milliohms::of(mohm);
    }
    plan
}

/// A filament for so many volts at the end of thin wires.
pub fn far_lamp(volts: f64) -> Plan {
    let mut plan = rated_volts(volts);
    sizes(&mut plan, "0.75 mm2");
    for wire in &mut plan.wires[1..3] {
        wire.length_mm = Millimetres::of(2500.0);
    }
    plan
}

/// So many ohms draw current at rest.
pub fn leak(ohms: f64) -> Plan {
    let mut plan = sound();
    part(
        &mut plan,
        json!({"id": "R1", "kind": "resistor", "spec": {"ohms": ohms, "rating_w": 25}}),
    );
    wire(&mut plan, "F1:2", "R1:1");
    wire(&mut plan, "R1:2", "XG1:31");
    plan.settings.sizing.ambient_c = Celsius::of(25.0);
    plan
}

/// A charger of so many amperes feeds 5 A of lamps beside the battery.
pub fn charged(amps: f64) -> Plan {
    let mut plan = drawing(5.0);
    sizes(&mut plan, "4 mm2");
    part(
        &mut plan,
        json!({"id": "G2", "kind": "charger", "spec": {"output_v": 14.4, "internal_mohm": 50, "rated_a": amps}}),
    );
    part(&mut plan, fuse("F2", 15.0));
    wire(&mut plan, "G1:+", "F2:1");
    wire(&mut plan, "G2:+", "F2:2");
    wire(&mut plan, "G2:-", "G1:-");
    for wire in plan.wires.iter_mut().rev().take(3) {
        wire.length_mm = Millimetres::of(150.0);
    }
    plan
}

/// Four batteries of 12.6 V in series, the lamp on the lowest or on a converter from all of them.
pub fn cart(tapped: bool) -> Plan {
    let cell = |id: &str| {
        json!({"id": id, "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": 12.6,
            "internal_mohm": 10, "capacity_ah": 100}})
    };
    let mut wires = vec![
        ("G2:-", "G1:+"),
        ("G3:-", "G2:+"),
        ("G4:-", "G3:+"),
        ("F1:2", "S1:82"),
        ("S1:82a", "E1:1"),
    ];
    if tapped {
        wires.extend([("G1:+", "F1:1"), ("E1:31", "G1:-")]);
    } else {
        wires.extend([
            ("G4:+", "F2:1"),
            ("F2:2", "T1:in+"),
            ("T1:in-", "G1:-"),
            ("T1:out+", "F1:1"),
            ("E1:31", "T1:out-"),
        ]);
    }
    let mut plan = plan(
        json!([control("a")]),
        json!([
            cell("G1"), cell("G2"), cell("G3"), cell("G4"),
            fuse("F1", 5.0), switch("S1", "a"), lamp("E1", 1.963),
            fuse("F2", 5.0),
            {"id": "T1", "kind": "converter", "spec": {"input_v": 48, "output_v": 12.5, "rated_a": 10,
                "internal_mohm": 10, "efficiency": 0.9, "starts_v": 40}}
        ]),
        &wires,
        json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main"], "show": "steady"}]),
    );
    for wire in &mut plan.wires {
        wire.length_mm = Millimetres::of(150.0);
    }
    plan
}

/// A stop lamp of this colour where US law is chosen.
pub fn shown(light: Light) -> Plan {
    let mut plan = sound();
    if let Kind::Lamp(lamp) = kind(&mut plan, "E1") {
        lamp.light = light;
        lamp.filaments[0].duties = vec![Duty::Stop];
    }
    plan.settings.sizing.rules = Rules::UsRoad;
    plan
}
