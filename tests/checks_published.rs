//! Published worked examples held against the tables and against whole plans: the nineteen of voltage drop, heat of
//! resistors, charging, leakage. Misprints of the sources are named and not used.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;
#[path = "shared/every.rs"]
mod every;
#[path = "shared/sized.rs"]
mod sized;
#[path = "shared/sneaks.rs"]
mod sneaks;

use build::plan;
use loomwright::behaviour::table;
use loomwright::catalog::ampacity_aircraft::{self, MM2_PER_CMIL};
use loomwright::catalog::conductor::{self, ALPHA20, System, ohms_at};
use loomwright::catalog::{diode, drop_rule, wire_choice};
use loomwright::findings::Severity::{Caution, Fault, Note};
use loomwright::plan::{Kind, Plan};
use loomwright::units::{AmpHours, Celsius, Millimetres, Ohms, Volts};
use serde_json::json;
use sized::{at, edge, kind, of};

#[track_caller]
fn near(what: &str, got: f64, printed: f64, within: f64) {
    assert!(
        (got - printed).abs() <= within,
        "{what}: {got} where {printed} is printed"
    );
}

/// FAA AC 43.13-1B Tables 11-7 and 11-8, wire by number, feet, amperes, printed volts. The third row prints 3.60 V for 3.555 V
/// (a rounded wire constant); the second of 11-8 prints 0.366 V for 0.491 V and is not used as printed.
#[test]
fn eight_drops_of_the_aircraft_handbook() {
    for (number, feet, volts, within) in [
        ("6", 107.0, 0.942, 0.001),
        ("4", 90.0, 0.504, 0.001),
        ("12", 88.0, 3.60, 0.046),
        ("14", 100.0, 6.12, 0.001),
        ("10", 39.0, 0.98, 0.004),
        ("10", 19.5, 0.4914, 0.001),
        ("10", 156.0, 3.93, 0.002),
        ("10", 273.0, 6.88, 0.002),
    ] {
        let row = ampacity_aircraft::find(number).expect("a wire number");
        near(
            number,
            row.ohms_per_kft / 1000.0 * feet * 20.0,
            volts,
            within,
        );
    }
}

/// AC 43.13-1B 11-68, example 1: 50 ft with the ground wire, 20 A, 28 V, continuous (1 V): between No. 10 and No. 8, so No. 8.
#[test]
fn the_first_example_of_the_handbook_takes_number_eight() {
    let allowed = drop_rule::ROWS[1].continuous_volts;
    let first = ampacity_aircraft::ROWS
        .iter()
        .find(|row| row.ohms_per_kft / 1000.0 * 50.0 * 20.0 <= allowed);
    assert_eq!(first.map(|row| row.key), Some("8"));
}

/// Example 2: 20 A through No. 14 that bears 47 A alone, times 0.6 and 0.91; in 50 °C air it stands at 182 °C, and 15.5 ft
/// count as 9.5 ft at 20 °C for the same drop.
#[test]
fn the_second_example_of_the_handbook_gets_hot() {
    let most = 0.6 * 0.91 * 47.0;
    near("bundled", most, 26.0, 0.4);
    let hot = 50.0 + 150.0 * libm::sqrt(20.0 / 26.0);
    near("temperature", hot, 182.0, 0.5);
    let cold = ohms_at(Ohms::of(1.0), Celsius::of(hot)).get();
    near("length", 15.5 / cold, 9.5, 0.05);
    near("form", cold, (234.5 + hot) / 254.5, 0.005);
}

/// 10 A pump over 11 ft and 10 ft back: 6270.8 cmil at 3 % (12 AWG has them, 12 SAE not), 1881.3 at 10 % (16 AWG).
#[test]
fn the_pump_in_circular_mils() {
    let strict = drop_rule::abyc_cmil(10.0, 21.0, 0.36);
    near("3 %", strict, 6270.8, 0.1);
    let general = drop_rule::abyc_cmil(10.0, 21.0, 1.2);
    near("10 %", general, 1881.3, 0.1);
    let least =
        |system, cmil: f64| wire_choice::at_least(system, cmil * MM2_PER_CMIL).map(|row| row.key);
    assert_eq!(least(System::Awg, strict), Some("12 AWG"));
    assert_eq!(least(System::Sae, strict), Some("10 SAE"));
    assert_eq!(least(System::Awg, general), Some("16 AWG"));
}

/// Lessons In Electric Circuits: 230 V, 25 A, 220 V at the load over 2300 ft each way: 0.2 Ω a wire, 116 035 cmil, 2/0. With 14
/// AWG a wire has 5.651 Ω, and a short circuit at the far end draws 20.352 A.
#[test]
fn the_long_line_of_the_textbook() {
    // The book's copper: 10.09 Ω·cmil/ft, 2.7 % better than IACS at 20 °C.
    let ohm_cmil_per_foot = 10.09;
    let cmil = ohm_cmil_per_foot * 2300.0 / ((230.0 - 220.0) / 2.0 / 25.0);
    near("circular mils", cmil, 116_035.0, 1.0);
    let row = wire_choice::at_least(System::Awg, cmil * MM2_PER_CMIL);
    assert_eq!(row.map(|row| row.key), Some("2/0 AWG"));
    let thin = conductor::find("14 AWG").expect("14 AWG");
    let ohms = ohm_cmil_per_foot * 2300.0 / (thin.area_mm2 / MM2_PER_CMIL);
    near("14 AWG", ohms, 5.651, 0.01);
    near("short circuit", 230.0 / (2.0 * ohms), 20.352, 0.04);
}

/// The aluminium bar of the book, 4 cm by 3 cm by 125 cm at 2.65 µΩ·cm: 27.6 µΩ by R = ρ·l/A, the relation of the conductors.
#[test]
fn the_bar_follows_the_relation_of_the_wires() {
    let micro_ohms = |rho: f64, cm: f64, cm2: f64| rho * cm / cm2;
    near("bar", micro_ohms(2.65, 125.0, 12.0), 27.6, 0.01);
    // 1 km of 1 mm² by the same relation and IACS copper is the least that any row of 1 mm² may have.
    let iacs = micro_ohms(1.7241, 1e5, 0.01) / 1e6;
    let row = conductor::find("1 mm2").expect("1 mm²");
    assert!(row.ohms_per_km_20c > iacs && row.ohms_per_km_20c < 1.16 * iacs);
}

/// 14 V, 15 Ω there and 15 Ω back at 20 °C, a load of 250 Ω: 12.5 V and 0.75 V in each; at 35 °C 12.42 V and 0.79 V (the book's
/// coefficient is 0.004041; 0.00393 gives the same two digits).
#[test]
fn warm_wires_take_more() {
    let with = |celsius: f64| {
        let mut plan = plan(
            json!([]),
            json!([
                {"id": "G1", "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": 14.0,
                    "internal_mohm": 0.1, "capacity_ah": 33}},
                {"id": "E1", "kind": "load", "spec": {"rated_v": 12.5, "rated_a": 0.05}}
            ]),
            &[("G1:+", "E1:+"), ("E1:-", "G1:-")],
            json!([]),
        );
        let row = conductor::find("0.75 mm2").expect("0.75 mm²");
        for wire in &mut plan.wires {
            wire.size = row.key.into();
            wire.length_mm = Millimetres::of(15.0 / row.ohms_per_km_20c * 1e6);
        }
        plan.settings.conductor_c = Celsius::of(celsius);
        let (_, loads) = sized::worked(&plan);
        let amps = loads.wire(0).map_or(0.0, |load| load.peak.value);
        (250.0 * amps, (14.0 - 250.0 * amps) / 2.0)
    };
    let (load, wire) = with(20.0);
    near("load at 20 °C", load, 12.5, 0.005);
    near("wire at 20 °C", wire, 0.75, 0.005);
    let (load, wire) = with(35.0);
    near("load at 35 °C", load, 12.42, 0.005);
    near("wire at 35 °C", wire, 0.79, 0.005);
    assert!((ALPHA20 - 0.004041).abs() < 2e-4);
}

/// OpenStax: 5 m of 12 AWG 0.025 Ω, 20 m 0.10 Ω; 12.0 V through 1.00 Ω into 6.00 Ω ∥ 13.0 Ω: 2.35 A, 2.35 V, 9.65 V.
#[test]
fn three_drops_of_openstax() {
    let row = conductor::find("12 AWG").expect("12 AWG");
    let ohms = |metres: f64| {
        row.resistance(Millimetres::of(1000.0 * metres), Celsius::of(20.0))
            .get()
    };
    // The book takes 1.68 µΩ·cm of solid wire; the table 1.72 and stranding, 4.7 % more.
    near("5 m", ohms(5.0), 0.025, 0.002);
    near("20 m", ohms(20.0), 0.10, 0.007);
    let plan = plan(
        json!([]),
        json!([
            {"id": "G1", "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": 12.0,
                "internal_mohm": 0.01, "capacity_ah": 33}},
            {"id": "R1", "kind": "resistor", "spec": {"ohms": 1.0, "rating_w": 50}},
            {"id": "E1", "kind": "load", "spec": {"rated_v": 6.0, "rated_a": 1.0}},
            {"id": "E2", "kind": "load", "spec": {"rated_v": 13.0, "rated_a": 1.0}}
        ]),
        &[
            ("G1:+", "R1:1"),
            ("R1:2", "E1:+"),
            ("R1:2", "E2:+"),
            ("E1:-", "G1:-"),
            ("E2:-", "G1:-"),
        ],
        json!([]),
    );
    let mut short = plan;
    for wire in &mut short.wires {
        wire.length_mm = Millimetres::ZERO;
    }
    let (_, loads) = sized::worked(&short);
    let amps = |part| loads.part(part).next().map_or(0.0, |load| load.peak.value);
    near("total", amps(1), 2.35, 0.005);
    near("load", 6.0 * amps(2), 9.65, 0.005);
    near("second", 13.0 * amps(3) * amps(3), 7.17, 0.02);
    near("first", amps(2), 1.61, 0.005);
}

/// Lessons In Electric Circuits: a LED of 1.6 V on 6 V at 20 mA needs 220 Ω, which turn 88 mW into heat.
#[test]
fn textbook_resistors_at_a_led_keep_cool() {
    let with = |watts: f64| {
        let mut plan = every::hot(watts);
        let volts = Volts::of(4.4);
        if let Kind::Battery(battery) = kind(&mut plan, "G1") {
            battery.open_circuit_v = volts;
        }
        plan.settings.sizing.charging_v = Some(volts);
        if let Kind::Resistor(resistor) = kind(&mut plan, "R1") {
            resistor.ohms = Ohms::of(220.0);
        }
        plan
    };
    let burns = edge(0.2, 0.05, |watts| {
        !at(&with(watts), "resistor heat", Fault).is_empty()
    });
    near("heat", burns, 0.088, 0.0005);
}

/// OpenStax: 12.0 V behind 0.400 Ω stands at 16.0 V while 10.0 A charge it; 12 V behind 0.050 Ω at 15.0 V with 60 A.
#[test]
fn published_emf_and_charging_current() {
    for (ohms, amps, volts) in [(0.4, 10.0, 16.0), (0.05, 60.0, 15.0)] {
        let mut plan = plan(
            json!([]),
            json!([
                {"id": "G1", "kind": "battery", "spec": {"chemistry": "agm", "open_circuit_v": 12.0,
                    "internal_mohm": 1000.0 * ohms, "capacity_ah": 1000}},
                {"id": "G2", "kind": "charger", "spec": {"output_v": 30.0, "internal_mohm": 10, "rated_a": amps}}
            ]),
            &[("G2:+", "G1:+"), ("G1:-", "G2:-")],
            json!([]),
        );
        for wire in &mut plan.wires {
            wire.length_mm = Millimetres::ZERO;
        }
        let draw = table(&plan, &[]).tally.draw[0];
        near("current", -draw, amps, 1e-3);
        near("terminal", 12.0 - draw * ohms, volts, 1e-3);
        assert_eq!(at(&plan, "charge balance", Caution), []);
    }
}

/// Lessons In Electric Circuits: 70 Ah are charged with 7 A in 10 h; so the half that is used comes back in 5 h.
#[test]
fn seven_amperes_fill_seventy_ampere_hours_in_ten() {
    let mut plan = every::charged(12.0);
    if let Kind::Battery(battery) = kind(&mut plan, "G1") {
        battery.capacity_ah = AmpHours::of(70.0);
    }
    // What is left of 12 A beside the lamp of 5 A.
    let found = at(&plan, "charge balance", Note);
    assert!(
        found.len() == 1 && found[0].text.contains("35 Ah come back in 5 h"),
        "{found:#?}"
    );
    let slow = of(&every::charged(4.0), "charge balance");
    assert!(
        slow[0].text.contains("1 A come from the battery"),
        "{slow:#?}"
    );
}

/// Data sheets: a 1N5822 leaks 20 mA at 100 °C and 40 V, a 10A04 100 µA.
#[test]
fn hot_leakage_is_that_of_the_sheets() {
    let row = |key| diode::find(key).unwrap_or_else(|| panic!("{key} is missing"));
    assert_eq!(row("1N5822").ir_hot_amps, Some(0.020));
    assert_eq!(row("10A04").ir_hot_amps, Some(100e-6));
    // Of its 40 V it blocks what the tally says; a thousandth of the lamp's current is what glows.
    let told = |amps: f64| of(&every::leaking(amps), "diode choice").len() == 1;
    let bound = edge(30.0, 0.3, told);
    let plan = every::leaking(bound);
    let index = plan
        .parts
        .iter()
        .position(|part| part.id.as_str() == "V1")
        .expect("V1");
    let (_, loads) = sized::worked(&plan);
    let blocked = loads
        .part(index)
        .next()
        .map_or(0.0, |load| load.blocked.value);
    assert!(blocked > 5.0);
    near("glow", bound, 1000.0 * 0.020 * blocked / 40.0, 1e-3);
}

/// By the sheets a 10A04 drops 0.77 V at 1.6 A and a 1N5822 0.42 V; with 0.35 V more a filament gives 10 % more light, and so it
/// does when the plan is solved with it. On higher volts it is no longer
/// worth a word.
#[test]
fn schottky_diodes_are_offered_for_their_light() {
    let level = |plan: &Plan| {
        let (table, loads) = sized::worked(plan);
        let (row, _) = loads.lamps[0].drops[0];
        table.rows[row].cells[0].bright().level
    };
    let mut plan = sized::with_diode("10A04", 1.7);
    if let Kind::Battery(battery) = kind(&mut plan, "G1") {
        battery.open_circuit_v = Volts::of(11.5);
    }
    let found = at(&plan, "diode choice", Note);
    assert!(found.len() == 1 && found[0].about[0] == "V1", "{found:#?}");
    let mut changed = plan.clone();
    found[0].remedies[0]
        .edit
        .clone()
        .apply(&mut changed)
        .expect("a ready edit");
    let gain = level(&changed) / level(&plan) - 1.0;
    assert!((0.09..0.13).contains(&gain), "{gain}");
    let said = format!("{:.0} % more", 100.0 * gain);
    assert!(found[0].text.contains(&said), "{said}: {}", found[0].text);
    assert_eq!(at(&changed, "diode choice", Note), []);
    // On 16 V the same 0.35 V are less of it.
    if let Kind::Battery(battery) = kind(&mut plan, "G1") {
        battery.open_circuit_v = Volts::of(16.0);
    }
    assert_eq!(at(&plan, "diode choice", Note), []);
}
