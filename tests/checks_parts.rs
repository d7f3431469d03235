//! Checks on diodes, resistors, switches, relays, flashers, joints, light, battery and law: a plan that fails, remedies that
//! cure it, and the bound found from both sides.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;
#[path = "shared/every.rs"]
mod every;
#[path = "shared/sized.rs"]
mod sized;
#[path = "shared/sneaks.rs"]
mod sneaks;

use build::file;
use loomwright::findings::Severity::{Caution, Fault, Note};
use loomwright::plan::{Chemistry, Duty, FlasherAction, Kind, Light, Plan, Rules};
use loomwright::units::{AmpHours, Amps, Celsius, Milliohms, Volts};
use serde_json::json;
use sized::{
    at, cured, edge, flashing, kind, of, quiet, rate, sound, stop_and_tail, window, with_diode,
    with_relay, worked,
};

#[test]
fn sound_plans_are_quiet() {
    quiet(&with_diode("10A04", 1.963));
    quiet(&with_diode("1N5404", 1.0));
    quiet(&sound());
}

/// Data sheets: 1 A average for the 1N4004; a closed loom takes 60 % of it.
#[test]
fn diodes_carry_their_average_current() {
    let amps = |rated: f64| {
        let (_, loads) = worked(&with_diode("1N4004", rated));
        loads.part(3).next().map_or(0.0, |load| load.worst())
    };
    let has = |rated: f64, severity, words: &str| {
        let found = at(&with_diode("1N4004", rated), "diode", severity);
        found.iter().any(|f| f.text.contains(words))
    };
    let burns = edge(0.5, 2.0, |rated| has(rated, Fault, "on average"));
    assert!((amps(burns) - 1.0).abs() < 1e-6, "{}", amps(burns));
    let warm = edge(0.2, 1.0, |rated| has(rated, Caution, "on average"));
    assert!((amps(warm) - 0.6).abs() < 1e-6, "{}", amps(warm));
    cured(&with_diode("1N4004", 1.5), "diode", Fault);
    cured(&with_diode("1N4004", 0.8), "diode", Caution);
}

/// A junction at 20 K/W stands 20 times its watts above the air: a 10A04 with 5 A drops 0.84 V and reaches 84 K.
#[test]
fn diode_junctions_stay_below_their_limit() {
    let with = |celsius: f64| {
        let mut plan = with_diode("10A04", 5.0);
        plan.settings.sizing.ambient_c = Celsius::of(celsius);
        plan
    };
    let (_, loads) = worked(&with(30.0));
    let amps = loads.part(3).next().map_or(0.0, |load| load.worst());
    let hot = edge(30.0, 80.0, |c| {
        let found = at(&with(c), "diode", Caution);
        found.iter().any(|f| f.text.contains("junction"))
    });
    // Textbook curve of the 10A04: 0.8407 V at 5 A; near there n·VT·ln adds 53 mV for each factor of e.
    let volts = 0.8407 + 2.06 * 0.02585 * libm::log(amps / 5.0) + 0.00206 * (amps - 5.0);
    assert!((hot - (125.0 - 20.0 * amps * volts)).abs() < 0.1, "{hot}");
    assert_eq!(at(&with(hot + 1.0), "diode", Fault), []);
}

/// A 20 V Schottky diode does not stand the 24 V of a jump start; 40 V do. On a 24 V vehicle it blocks more than it stands.
#[test]
fn diodes_block_what_the_supply_brings() {
    assert_eq!(of(&with_diode("1N5822", 1.0), "diode"), []);
    let finding = cured(&with_diode("1N5820", 1.0), "diode", Caution);
    assert!(finding.remedies[0].title.contains("1N5822"));
    let mut plan = with_diode("1N5820", 1.0);
    for part in ["V1", "E1"] {
        // The diode stands the wrong way round: it blocks the whole battery.
        if part == "V1" {
            plan.wires[2].to = "V1:K".parse().expect("a terminal");
            plan.wires[3].from = "V1:A".parse().expect("a terminal");
        }
    }
    let volts = |volts: f64| {
        let mut plan = plan.clone();
        if let Kind::Battery(battery) = kind(&mut plan, "G1") {
            battery.open_circuit_v = Volts::of(volts);
        }
        plan
    };
    let most = edge(15.0, 25.0, |v| {
        let found = at(&volts(v), "diode", Fault);
        found.iter().any(|f| f.text.contains("block"))
    });
    assert!((most - 20.0).abs() < 0.01, "{most}");
}

#[test]
fn resistors_bear_their_heat() {
    let with = |watts: f64| {
        let mut plan = sound();
        *kind(&mut plan, "E1") = Kind::Splice(Default::default());
        plan.parts.push(
            serde_json::from_value(json!({"id": "R1", "kind": "resistor",
                "spec": {"ohms": 6.0, "rating_w": watts}}))
            .expect("a resistor"),
        );
        plan.wires[2].to = "R1:1".parse().expect("a terminal");
        plan.wires[3].from = "R1:2".parse().expect("a terminal");
        plan.wishes.clear();
        plan
    };
    // 6 Ω at 14.4 V of open-circuit volts: about 34 W.
    let fault = edge(60.0, 20.0, |w| {
        !at(&with(w), "resistor heat", Fault).is_empty()
    });
    assert!((33.0..35.0).contains(&fault), "{fault}");
    let caution = edge(100.0, 50.0, |w| !of(&with(w), "resistor heat").is_empty());
    assert!((caution / fault - 2.0).abs() < 1e-6);
    cured(&with(20.0), "resistor heat", Fault);
    cured(&with(50.0), "resistor heat", Caution);
}

/// AC 43.13-1B Table 11-4: a lamp of 2 A needs a contact of 10 A on 12 V.
#[test]
fn switches_are_derated_for_lamps() {
    let with = |rating: f64| {
        let mut plan = sound();
        if let Kind::Switch(switch) = kind(&mut plan, "S1") {
            switch.rating_a = Some(Amps::of(rating));
        }
        plan
    };
    let (_, loads) = worked(&with(20.0));
    let load = loads.part(2).next().expect("the contact");
    assert!(load.mix.lamp > 0.999, "{load:?}");
    let derated = edge(20.0, 3.0, |r| !of(&with(r), "switch rating").is_empty());
    assert!((derated - 5.0 * load.worst()).abs() < 1e-3, "{derated}");
    let burnt = edge(5.0, 1.0, |r| {
        !at(&with(r), "switch rating", Fault).is_empty()
    });
    assert!((burnt - load.worst()).abs() < 1e-6, "{burnt}");
    // Both remedies: a stronger switch, and a relay whose coil is all that the switch still carries.
    for (rating, severity) in [(6.0, Caution), (1.0, Fault)] {
        let finding = cured(&with(rating), "switch rating", severity);
        assert_eq!(finding.remedies.len(), 2, "{finding:#?}");
    }
    let mut relayed = with(6.0);
    let remedy = cured(&relayed, "switch rating", Caution).remedies[1].clone();
    remedy.edit.apply(&mut relayed).expect("a ready edit");
    let (table, loads) = worked(&relayed);
    assert!(table.as_wished(), "the relay still lights the lamp");
    let load = loads.part(2).next().expect("the contact");
    assert!(load.mix.coil > 0.999 && load.worst() < 0.2, "{load:?}");
}

/// 8 V cold at 23 °C are 8 · (1 + 0.00393 · 47) = 9.48 V at 70 °C.
#[test]
fn relays_pull_in_hot_with_a_low_battery() {
    quiet(&with_relay(0.1));
    assert_eq!(
        of(&with_relay(0.1), "relay coil"),
        [],
        "suppressed by 680 Ω"
    );
    let low = edge(1.0, 15.0, |r| !of(&with_relay(r), "relay coil").is_empty());
    let coil = |ohms: f64| worked(&with_relay(ohms)).1.coils[0];
    let hot = 8.0 * (1.0 + 0.00393 * 47.0);
    assert!((coil(low).held_low - hot).abs() < 1e-3, "{:?}", coil(low));
    assert_eq!(at(&with_relay(low + 0.1), "relay coil", Caution).len(), 1);
    let planned = edge(low, 40.0, |r| {
        !at(&with_relay(r), "relay coil", Fault).is_empty()
    });
    let held = coil(planned).held.map_or(0.0, |held| held.value);
    assert!((held - hot).abs() < 1e-3, "{held}");
}

#[test]
fn relays_let_go_and_are_suppressed() {
    let mut plan = with_relay(0.1);
    plan.wires.truncate(9);
    let bare = of(&plan, "relay coil");
    assert!(bare.len() == 1 && bare[0].severity == Note, "{bare:#?}");
    // 680 Ω across the coil is what suppressed relays of 12 V have built in.
    let remedy = bare[0].remedies.first().expect("a suppressor");
    assert!(
        remedy.title.contains("680 Ω across the coil of K1"),
        "{}",
        remedy.title
    );
    let mut mended = plan.clone();
    remedy
        .edit
        .clone()
        .apply(&mut mended)
        .expect("a ready edit");
    assert_eq!(of(&mended, "relay coil"), []);
    let coil = |plan: &Plan| worked(plan).1.coils[0].held_low;
    assert!(
        (coil(&mended) / coil(&plan) - 1.0).abs() < 1e-3,
        "beside the coil, not before it"
    );
    // A leak past the switch leaves volts on the coil: 85 Ω behind so many ohms.
    let with = |ohms: f64| {
        let mut plan = with_relay(0.1);
        plan.parts.push(
            serde_json::from_value(json!({"id": "R3", "kind": "resistor",
                "spec": {"ohms": ohms, "rating_w": 5}}))
            .expect("a resistor"),
        );
        for (id, from, to) in [("W20", "F1:2", "R3:1"), ("W21", "R3:2", "S1:82a")] {
            let mut wire = plan.wires[1].clone();
            wire.id = id.parse().expect("an identifier");
            wire.from = from.parse().expect("a terminal");
            wire.to = to.parse().expect("a terminal");
            plan.wires.push(wire);
        }
        plan
    };
    let stays = edge(2000.0, 200.0, |ohms| {
        !at(&with(ohms), "relay coil", Fault).is_empty()
    });
    let volts = worked(&with(stays)).1.coils[0].idle.value;
    assert!((volts - 1.5).abs() < 1e-3, "{volts}");
}

/// Data sheet of the mini relay: make contact 50 A at 23 °C, 35 A at 85 °C.
#[test]
fn relay_contacts_bear_their_current() {
    let with = |amps: f64| {
        let mut plan = with_relay(0.1);
        if let Kind::Relay(relay) = kind(&mut plan, "K1") {
            relay.model = Some("mini ISO 12 V".into());
        }
        if let Kind::Lamp(lamp) = kind(&mut plan, "E1") {
            lamp.filaments[0].rated_a = Amps::of(amps);
        }
        for wire in &mut plan.wires {
            wire.size = "35 mm2".into();
        }
        rate(&mut plan, "F1", 100.0);
        plan
    };
    let amps = |rated: f64| {
        let (_, loads) = worked(&with(rated));
        loads.part(3).nth(2).map_or(0.0, |load| load.worst())
    };
    let caution = |a: f64| {
        let found = of(&with(a), "relay contact");
        found
            .iter()
            .any(|f| f.severity == Caution && f.text.contains("engine space"))
    };
    let warm = edge(10.0, 42.0, caution);
    assert!((amps(warm) - 35.0).abs() < 1e-3, "{}", amps(warm));
    let burnt = edge(warm, 80.0, |a| {
        !at(&with(a), "relay contact", Fault).is_empty()
    });
    assert!((amps(burnt) - 50.0).abs() < 1e-3, "{}", amps(burnt));
    assert_eq!(of(&with(1.963), "relay contact"), []);
}

#[test]
fn flashers_keep_their_window_low_and_charging() {
    quiet(&window("electronic", 2.5, 6.0));
    let (_, loads) = worked(&window("electronic", 2.5, 6.0));
    let load = loads.flashers[0];
    assert!(load.least_low < load.least.value && load.least.value < load.least_charging);
    let (all, left) = load.one_out.expect("two lamps");
    assert!((left / all.value - 0.5).abs() < 0.01);
    let cautions = |min, max| at(&window("electronic", min, max), "flasher window", Caution).len();
    let low = edge(2.5, load.least.value, |min| cautions(min, 6.0) > 0);
    assert!((low - load.least_low).abs() < 1e-3);
    let high = edge(6.0, load.least.value, |max| cautions(2.5, max) > 0);
    assert!((high - load.most_charging.value).abs() < 1e-3);
    for action in ["electronic", "thermal"] {
        cured(
            &window(action, 0.99 * load.least.value, 6.0),
            "flasher window",
            Caution,
        );
    }
    cured(
        &window("electronic", 2.5, 1.01 * load.least.value),
        "flasher window",
        Caution,
    );
    // A window that one lamp still fills hides that the other is out.
    let notes = |min| at(&window("electronic", min, 6.0), "flasher window", Note).len();
    assert_eq!((notes(0.99 * left), notes(1.01 * left)), (1, 0));
}

/// 60 to 120 flashes per minute in every code; a fault where a road code is chosen.
#[test]
fn flash_rates_are_those_of_the_law() {
    let with = |per_minute: u16, rules| {
        let mut plan = window("electronic", 2.5, 6.0);
        if let Kind::Flasher(unit) = kind(&mut plan, "K1") {
            unit.per_minute = per_minute;
        }
        plan.settings.sizing.rules = rules;
        plan
    };
    for (per_minute, found) in [(59, 1), (60, 0), (120, 0), (121, 1)] {
        assert_eq!(
            at(&with(per_minute, Rules::None), "flasher window", Caution).len(),
            found
        );
        assert_eq!(
            at(&with(per_minute, Rules::UnRoad), "flasher window", Fault).len(),
            found
        );
    }
    cured(&with(150, Rules::UsRoad), "flasher window", Fault);
}

/// LED lamps draw too little for a thermal unit: it stays closed. An electronic unit for any load cures it.
#[test]
fn led_lamps_on_a_thermal_unit_burn_steadily() {
    let mut plan = window("thermal", 2.5, 6.0);
    for id in ["E1", "E2"] {
        if let Kind::Lamp(lamp) = kind(&mut plan, id) {
            lamp.filaments[0].rated_a = Amps::of(0.2);
        }
    }
    let finding = cured(&plan, "flasher load", Fault);
    assert_eq!(finding.about, ["K1"]);
    // The unit that is offered keeps its rate with a low and a charging battery too.
    let quiet_after = |plan: &Plan, finding: &loomwright::findings::Finding| {
        let mut mended = plan.clone();
        finding.remedies[0]
            .edit
            .clone()
            .apply(&mut mended)
            .expect("a ready edit");
        assert_eq!(
            at(&mended, "flasher window", Caution),
            [],
            "{}",
            finding.remedies[0].title
        );
    };
    quiet_after(&plan, &finding);
    let fast = window("electronic", 4.5, 6.0);
    quiet_after(&fast, &cured(&fast, "flasher load", Caution));
    let mut over = window("electronic", 0.5, 2.0);
    if let Kind::Flasher(unit) = kind(&mut over, "K1") {
        unit.action = FlasherAction::Thermal;
    }
    quiet_after(&over, &cured(&over, "flasher load", Fault));
}

/// What is sold for it: 6 Ω, 50 W across an LED lamp of each side, 2.1 A and 26 W of heat at 12.6 V. Where the unit could
/// not carry both sides at once with them, they are not offered.
#[test]
fn load_resistors_bring_led_lamps_into_the_window() {
    let with = |action: &str, min: f64, max: f64| {
        let mut plan = window(action, min, max);
        let sides = [("E1", Duty::TurnLeft), ("E2", Duty::TurnRight)];
        for (id, duty) in sides {
            let mut led = kind(&mut sized::drawing(0.2), "E1").clone();
            if let Kind::LedLamp(lamp) = &mut led {
                lamp.circuits[0].duties = vec![duty];
            }
            *kind(&mut plan, id) = led;
        }
        plan
    };
    let offered = |action: &str, min: f64, max: f64| {
        let finding = of(&with(action, min, max), "flasher load").remove(0);
        let remedies = finding.remedies.into_iter();
        let titles: Vec<String> = remedies.map(|remedy| remedy.title).collect();
        titles.into_iter().find(|title| title.contains(" Ω"))
    };
    for (action, severity) in [("thermal", Fault), ("electronic", Caution)] {
        let finding = cured(&with(action, 1.0, 6.0), "flasher load", severity);
        assert_eq!(finding.remedies.len(), 2, "{finding:#?}");
        let title = &finding.remedies[1].title;
        assert!(
            title.contains("1 × 6 Ω, 50 W across E1 and E2: 26.5 W"),
            "{title}"
        );
    }
    // Two 6 Ω beside the lamps draw 0.4 A + 2 · 2.1 A as planned, and 0.4 A + 2 · 2.4 A at 14.4 V.
    let most = edge(6.0, 4.0, |max| offered("electronic", 1.0, max).is_none());
    assert!((most - (0.4 + 2.0 * 14.4 / 6.0)).abs() < 0.1, "{most}");
    // One more amperes than 0.4 A + 1.65 A (nine tenths of one at 11 V) takes two of them, two of those a better unit.
    let each = 0.9 * 11.0 / 6.0;
    let count = |min: f64| offered("electronic", min, 60.0).map(|t| t.contains("2 × 6 Ω"));
    let two = edge(1.0, 3.0, |min| count(min) == Some(true));
    let none = edge(3.0, 6.0, |min| count(min).is_none());
    assert!(
        (two - (0.4 + each)).abs() < 0.05 && (none - (0.4 + 2.0 * each)).abs() < 0.05,
        "{two} {none}"
    );
}

/// A flasher's lamps are those behind it: with a flasher for each side, the larger lamp of the other side changes nothing.
#[test]
fn one_lamp_out_is_one_of_the_flasher_s_own() {
    let plan = build::plan(
        json!([build::control("a")]),
        json!([
            build::battery(),
            sized::fuse("F1", 20.0),
            build::switch("S1", "a"),
            build::switch("S2", "a"),
            build::flasher("K1", "electronic"),
            build::flasher("K2", "electronic"),
            build::lamp("E1", 1.0),
            build::lamp("E2", 1.0),
            build::lamp("E3", 4.0),
            build::lamp("E4", 0.5),
            sized::ground("XG1")
        ]),
        &[
            ("G1:+", "F1:1"),
            ("F1:2", "K1:49"),
            ("F1:2", "K2:49"),
            ("K1:49a", "S1:82"),
            ("K2:49a", "S2:82"),
            ("S1:82a", "E1:1"),
            ("S1:82a", "E2:1"),
            ("S2:82a", "E3:1"),
            ("S2:82a", "E4:1"),
            ("E1:31", "G1:-"),
            ("E2:31", "G1:-"),
            ("E3:31", "G1:-"),
            ("E4:31", "G1:-"),
        ],
        json!([{"id": "w", "when": {"a": "on"}, "lamps": ["E1.main", "E2.main", "E3.main", "E4.main"], "show": "flashing"}]),
    );
    let (_, loads) = worked(&plan);
    let shares: Vec<f64> = loads
        .flashers
        .iter()
        .map(|load| {
            let (all, left) = load.one_out.expect("two lamps");
            left / all.value
        })
        .collect();
    assert!(
        (shares[0] - 0.5).abs() < 0.01 && (shares[1] - 0.5 / 4.5).abs() < 0.01,
        "{shares:?}"
    );
}

/// Service manuals: 0.1 V for a ground or a connection, 0.3 V for a contact.
#[test]
fn joints_take_no_more_than_sound_ones() {
    let amps = worked(&sound()).1.part(4).next().map_or(0.0, |l| l.worst());
    let found = |id: &str, mohm: f64| {
        let mut plan = sound();
        match kind(&mut plan, id) {
            Kind::Ground(ground) => ground.joint_mohm = Milliohms::of(mohm),
            Kind::Switch(switch) => switch.contact_mohm = Milliohms::of(mohm),
            other => panic!("{}", other.text()),
        }
        at(&plan, "joints", Caution).len()
    };
    for (id, volts) in [("XG1", 0.1), ("S1", 0.3)] {
        let most = edge(5.0, 500.0, |mohm| found(id, mohm) > 0);
        // The joint's own resistance takes a little off the current.
        assert!(
            (most * amps / 1000.0 / volts - 1.0).abs() < 0.02,
            "{id}: {most}"
        );
    }
    let mut shared = flashing("electronic");
    if let Kind::Ground(ground) = kind(&mut shared, "XG1") {
        ground.joint_mohm = Milliohms::of(100.0);
    }
    let found = at(&shared, "joints", Caution);
    assert!(found[0].text.contains("2 wires share it"), "{found:#?}");
}

/// SAE J586: 5 times on the axis, 3 times everywhere. A P21/5W gives 12.6 at rated volts.
#[test]
fn stop_outshines_tail() {
    let with = stop_and_tail;
    let ratio = |ohms: f64| {
        let (table, _) = worked(&with(ohms, Rules::None));
        let level = |lamp: usize, pick: fn(f64, f64) -> f64, start: f64| {
            let rows = table.rows.iter().map(|row| row.cells[lamp].bright().level);
            rows.filter(|&l| l > 0.001).fold(start, pick)
        };
        440.0 / 35.0 * level(0, f64::min, f64::MAX) / level(1, f64::max, 0.0)
    };
    assert_eq!(
        of(&with(0.1, Rules::UsRoad), "stop to tail")
            .iter()
            .filter(|f| f.severity != Note)
            .count(),
        0
    );
    let five = edge(0.1, 5.0, |r| {
        let found = of(&with(r, Rules::UsRoad), "stop to tail");
        found.iter().any(|f| f.severity != Note)
    });
    assert!((ratio(five) - 5.0).abs() < 1e-3, "{}", ratio(five));
    let three = edge(five, 8.0, |r| {
        !at(&with(r, Rules::UsRoad), "stop to tail", Fault).is_empty()
    });
    assert!((ratio(three) - 3.0).abs() < 1e-3, "{}", ratio(three));
    assert_eq!(
        at(&with(three + 0.1, Rules::None), "stop to tail", Fault).len(),
        0
    );
}

/// Life goes with the −12th power of volts: a quarter is left at 12 % more; light with the 3.4th.
#[test]
fn lamps_are_looked_at_low_and_charging() {
    let with = |rated: f64| {
        let mut plan = sound();
        if let Kind::Lamp(lamp) = kind(&mut plan, "E1") {
            lamp.filaments[0].rated_v = Volts::of(rated);
        }
        plan
    };
    let says = |rated: f64, words: &str| {
        of(&with(rated), "brightness")
            .iter()
            .any(|f| f.text.contains(words))
    };
    let volts = |rated: f64| worked(&with(rated)).1.lamps[0].charging.1.volts;
    let life = edge(14.0, 12.2, |rated| says(rated, "rated life"));
    assert!((volts(life) / life - libm::pow(0.25, -1.0 / 12.0)).abs() < 1e-3);
    let over = edge(life, 11.0, |rated| says(rated, "burn out soon"));
    assert!((volts(over) / over - libm::pow(1.8, 1.0 / 3.4)).abs() < 1e-3);
    let weak = edge(13.5, 15.5, |rated| says(rated, "low battery"));
    let low = worked(&with(weak)).1.lamps[0].low.level;
    assert!((low - 0.4).abs() < 1e-3, "{low}");
}

/// 33 Ah, half of it, at 50 mA: two weeks of 336 h need no more than 49 mA.
#[test]
fn the_battery_is_not_drained_at_rest() {
    let with = |ohms: f64| {
        let mut plan = sound();
        plan.parts.push(
            serde_json::from_value(json!({"id": "R1", "kind": "resistor",
                "spec": {"ohms": ohms, "rating_w": 5}}))
            .expect("a resistor"),
        );
        for (id, from, to) in [("W8", "F1:2", "R1:1"), ("W9", "R1:2", "XG1:31")] {
            let mut wire = plan.wires[1].clone();
            wire.id = id.parse().expect("an identifier");
            wire.from = from.parse().expect("a terminal");
            wire.to = to.parse().expect("a terminal");
            plan.wires.push(wire);
        }
        plan.settings.sizing.ambient_c = Celsius::of(25.0);
        plan
    };
    let ohms = edge(1000.0, 50.0, |r| {
        !at(&with(r), "battery", Caution).is_empty()
    });
    let amps = 12.6 / ohms;
    assert!((amps - 0.5 * 33.0 / 336.0).abs() < 1e-4, "{amps}");
    assert_eq!(at(&sound(), "battery", Caution), []);
}

/// Resting volts: 12.30 V is half full, and run time follows Peukert: 20 h · (33/(I · 20))^1.1, half of it used.
#[test]
fn the_battery_says_how_full_it_is_and_how_long_it_lasts() {
    let with = |volts: f64| {
        let mut plan = sound();
        plan.settings.sizing.ambient_c = Celsius::of(25.0);
        if let Kind::Battery(battery) = kind(&mut plan, "G1") {
            battery.open_circuit_v = Volts::of(volts);
        }
        plan
    };
    let half = edge(12.6, 11.9, |v| !at(&with(v), "battery", Caution).is_empty());
    assert!((half - 12.3).abs() < 1e-6, "{half}");
    let mut plan = with(12.6);
    if let Kind::Battery(battery) = kind(&mut plan, "G1") {
        (battery.chemistry, battery.capacity_ah) = (Chemistry::Agm, AmpHours::of(10.0));
    }
    let (table, _) = worked(&plan);
    let amps = table.tally.draw[1];
    let hours = 0.5 * 20.0 * libm::pow(10.0 / (amps * 20.0), 1.1);
    let note = &at(&plan, "battery", Note)[0];
    let said = loomwright::units::significant(hours);
    assert!(
        note.text.contains(&format!("last {said} h")),
        "{} {said}",
        note.text
    );
}

#[test]
fn law_hints_speak_only_where_a_code_is_chosen() {
    let with = |light, duty, rules| {
        let mut plan = sound();
        if let Kind::Lamp(lamp) = kind(&mut plan, "E1") {
            lamp.light = light;
            lamp.filaments[0].duties = vec![duty];
        }
        plan.settings.sizing.rules = rules;
        at(&plan, "lighting law", Caution).len()
    };
    use Light::{Amber, Red, White};
    use Rules::{UnRoad, UsRoad};
    for (light, duty, us, un) in [
        (Red, Duty::TurnLeft, 0, 1),
        (Amber, Duty::TurnLeft, 0, 0),
        (White, Duty::TurnRight, 1, 1),
        (Red, Duty::Stop, 0, 0),
        (Amber, Duty::Stop, 1, 1),
        (White, Duty::Tail, 1, 1),
        (Amber, Duty::Running, 0, 0),
        (Red, Duty::Licence, 1, 1),
        (Amber, Duty::Work, 0, 0),
    ] {
        assert_eq!(with(light, duty, UsRoad), us, "{light:?} {duty:?} US");
        assert_eq!(with(light, duty, UnRoad), un, "{light:?} {duty:?} UN");
        assert_eq!(with(light, duty, Rules::None), 0);
    }
    let hints = |name: &str, rules| {
        let mut plan = file(name);
        plan.settings.sizing.rules = rules;
        of(&plan, "lighting law")
    };
    let tractor = "tests/fixtures/tractor-shared-rear-lamps.json";
    assert_eq!(hints(tractor, Rules::None), []);
    let us = hints(tractor, UsRoad);
    // Turn is masked by stop in both rear lamps; both sides on is a hazard signal.
    assert_eq!(
        us.iter().filter(|f| f.severity == Caution).count(),
        2,
        "{us:#?}"
    );
    assert!(
        us.iter()
            .all(|f| !f.text.contains("hazard") && f.source.contains("local code"))
    );
    // A turn lamp of one side alone asks for no hazard signal.
    let mut left = sound();
    if let Kind::Lamp(lamp) = kind(&mut left, "E1") {
        lamp.filaments[0].duties = vec![Duty::TurnLeft];
    }
    left.settings.sizing.rules = UnRoad;
    assert!(
        of(&left, "lighting law")
            .iter()
            .all(|f| !f.text.contains("hazard"))
    );
    let mut one = file("tests/fixtures/wagon-four-turn-lamps.json");
    one.settings.sizing.rules = UnRoad;
    one.wishes.truncate(1);
    assert!(
        of(&one, "lighting law")
            .iter()
            .any(|f| f.text.contains("hazard"))
    );
}

/// Peukert over the states: on half of the time it lasts twice as long; a converter takes what its output gives.
/// A mains plug is out while the vehicle is used; a switch that the charger follows as well is used like any other.
#[test]
fn a_control_that_only_charges_is_out_while_driving() {
    let share = |plan: &Plan| loomwright::findings::used_share(plan, 0, 1);
    let mut plan = sound();
    assert_eq!(share(&plan), 1.0);
    let charger = json!({"id": "G9", "kind": "charger", "spec": {
        "output_v": 14.4, "rated_a": 10, "internal_mohm": 10, "runs": {"control": "a", "positions": ["on"]}}});
    plan.parts
        .push(serde_json::from_value(charger).expect("a charger"));
    assert_eq!(share(&plan), 1.0);
    plan.parts
        .retain(|part| !matches!(part.kind, Kind::Switch(_)));
    assert_eq!(share(&plan), 0.0);
    plan.parts
        .retain(|part| !matches!(part.kind, Kind::Charger(_)));
    assert_eq!(share(&plan), 1.0);
}

/// A steady lamp behind a flasher goes dark in its pauses; a flashing one without a feed is dark.
#[test]
fn dead_lamps_are_told_as_they_are_seen() {
    let with = |show: &str, fed: bool| {
        let mut plan = flashing("electronic");
        plan.wishes[0].show = serde_json::from_value(json!(show)).expect("a show");
        if !fed {
            plan.wires.retain(|wire| wire.id.as_str() != "W4");
        }
        let found = of(&plan, "wishes").into_iter();
        found.map(|f| f.text).collect::<String>()
    };
    let (pauses, dark) = (
        "goes dark in the pauses of the flasher",
        "should be lit but is dark",
    );
    let steady = with("steady", true);
    assert!(
        steady.contains(pauses) && !steady.contains(dark),
        "{steady}"
    );
    for show in ["steady", "flashing"] {
        let unfed = with(show, false);
        assert!(unfed.contains(dark), "{unfed}");
    }
    assert!(!with("flashing", false).contains(pauses));
}

#[test]
fn run_time_follows_the_use() {
    let with = |share: Option<f64>| {
        let mut plan = sound();
        plan.settings.sizing.ambient_c = Celsius::of(25.0);
        if let Kind::Battery(battery) = kind(&mut plan, "G1") {
            battery.capacity_ah = AmpHours::of(10.0);
        }
        if let Some(share) = share {
            let used = plan
                .settings
                .sizing
                .used
                .entry("a".parse().expect("a name"))
                .or_default();
            used.insert("on".into(), loomwright::units::Share::of(share));
        }
        plan
    };
    let amps = worked(&with(None)).0.tally.draw[1];
    let hours = 0.5 * 20.0 * libm::pow(10.0 / (amps * 20.0), 1.1);
    for (share, times, profile) in [
        (None, 1.0, "a on 100 %"),
        (Some(0.5), 2.0, "a on 50 %"),
        (Some(0.25), 4.0, "a on 25 %"),
    ] {
        let found = at(&with(share), "battery", Note);
        let said = loomwright::units::significant(times * hours);
        let words = format!("As it is used, from full 10 Ah last {said} h");
        assert!(
            found
                .iter()
                .any(|f| f.text.contains(&words) && f.text.contains(profile)),
            "{words} {profile}: {found:#?}"
        );
    }
    // 1.9 A at 12.5 V and 90 % from 50.4 V, the sum of four batteries.
    let cart = every::cart(false);
    let given = worked(&cart).0.tally.converters[0].output[1];
    let draw = given * 12.5 / 0.9 / 50.4;
    let found = at(&cart, "battery", Note);
    let said = format!("({})", Amps::of((1000.0 * draw).round() / 1000.0));
    let number = |text: &str| {
        let (_, rest) = text.split_once('(').expect("amperes");
        rest.split_once(" A")
            .and_then(|(n, _)| n.parse::<f64>().ok())
            .expect("a number")
    };
    assert!(
        (number(&found[0].text) - draw).abs() < 0.01,
        "{said}: {}",
        found[0].text
    );
}

/// A lamp between the second and the third battery of a cart is told; which converter could feed it without a tap is not known.
#[test]
fn a_tap_higher_up_is_told_without_a_remedy() {
    let mut plan = every::cart(true);
    for wire in &mut plan.wires {
        if wire.from.to_string() == "G1:+" && wire.to.to_string() == "F1:1" {
            wire.from = "G3:+".parse().expect("a terminal");
        }
        if wire.to.to_string() == "G1:-" && wire.from.to_string() == "E1:31" {
            wire.to = "G3:-".parse().expect("a terminal");
        }
    }
    let found = at(&plan, "battery string", Fault);
    assert!(
        found.iter().all(|f| f.about.contains(&"E1".to_owned())),
        "{found:#?}"
    );
    assert!(!found.is_empty() && found.iter().all(|f| f.remedies.is_empty()));
    // Two batteries side by side are no string.
    assert_eq!(of(&every::two_batteries(60.0), "battery string"), []);
}

/// The whole load of a converter against its rating: 80 % of it is the bound, and a larger one cures it.
#[test]
fn converters_are_loaded_to_four_fifths() {
    let with = |amps: f64| {
        let mut plan = every::cart(false);
        if let Kind::Converter(converter) = kind(&mut plan, "T1") {
            converter.rated_a = Amps::of(amps);
        }
        plan
    };
    let given = worked(&with(10.0)).0.tally.converters[0].output[1];
    let bound = edge(10.0, 2.0, |amps| {
        !at(&with(amps), "charge balance", Caution).is_empty()
    });
    assert!((0.8 * bound / given - 1.0).abs() < 0.01, "{bound} {given}");
    cured(&with(2.2), "charge balance", Caution);
    // Below the bound it is told how much is left: four fifths of the rating.
    let told = |amps: f64| {
        let notes = at(&with(amps), "charge balance", Note).into_iter();
        let of_unit = notes.filter(|note| note.about == ["T1"]);
        let limits: Vec<String> = of_unit
            .filter_map(|note| Some(note.measure?.limit))
            .collect();
        limits
    };
    assert_eq!(
        (told(10.0), told(30.0)),
        (vec!["8 A".to_owned()], vec!["24 A".to_owned()])
    );
}

/// One filament that burns dimmed for tail and full for stop is held to the same ratio; LED lamps by their currents.
#[test]
fn stop_outshines_tail_in_led_lamps_and_dimmed_filaments() {
    let led = |tail: f64| {
        let mut plan = stop_and_tail(0.1, Rules::UsRoad);
        let lamp = json!({"id": "E1", "kind": "led-lamp", "spec": {"light": "red", "common": "31", "circuits": [
            {"id": "major", "terminal": "1", "rated_v": 12.0, "rated_a": 0.3, "knee_v": 8, "drive": "regulated", "duties": ["stop"]},
            {"id": "minor", "terminal": "58", "rated_v": 12.0, "rated_a": tail, "knee_v": 8, "drive": "regulated", "duties": ["tail"]}]}});
        let at = plan
            .parts
            .iter()
            .position(|part| part.id.as_str() == "E1")
            .expect("E1");
        plan.parts[at] = serde_json::from_value(lamp).expect("a lamp");
        plan
    };
    let five = edge(0.03, 0.2, |tail| !of(&led(tail), "stop to tail").is_empty());
    assert!((0.3 / five - 5.0).abs() < 1e-3, "{five}");
    let three = edge(five, 0.2, |tail| {
        !at(&led(tail), "stop to tail", Fault).is_empty()
    });
    assert!((0.3 / three - 3.0).abs() < 1e-3, "{three}");
    // The float's front lamps show turn and parking from one filament: 3 times is the bound there.
    let float = file("tests/fixtures/float-shared-front-and-rear-lamps.json");
    assert_eq!(of(&float, "stop to tail"), []);
    let found = of(
        &file("tests/fixtures/float-without-diodes.json"),
        "stop to tail",
    );
    assert!(
        found.iter().any(|f| f.text.contains("turn light of E1")),
        "{found:#?}"
    );
}
