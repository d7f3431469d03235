//! One row for every check: a plan that fails, what cures it, a sound plan it is silent on, its bound from both sides, and
//! the tests that hold it against something published. A check without a row fails here.
#![cfg(not(target_arch = "wasm32"))]

#[path = "shared/build.rs"]
mod build;
#[path = "shared/every.rs"]
mod every;
#[path = "shared/sized.rs"]
mod sized;
#[path = "shared/sneaks.rs"]
mod sneaks;

use every::*;
use loomwright::findings::Severity::{self, Caution, Fault, Note};
use loomwright::findings::{CHECKS, Count, Finding};
use loomwright::plan::{Plan, Rules};
use sized::{at, cured, drawing, edge, of, sound, stop_and_tail, window, with_diode, with_relay};
use sneaks::rear;

/// What takes a finding away.
enum Cure {
    /// Each of its ready edits.
    Ready,
    /// No edit can know it: the finding says in words what to do (these), and the plan so changed is silent.
    Words(&'static str, fn() -> Plan),
}
use Cure::{Ready, Words};

/// Where a rule ends.
enum Bound {
    /// At a number: silent at the first, told at the second, and in between at one value from both sides.
    At(f64, f64, fn(f64) -> Plan),
    /// Between two plans: silent on the first, told on the second.
    Between(fn() -> Plan, fn() -> Plan),
}
use Bound::{At, Between};

struct Row {
    check: &'static str,
    severity: Severity,
    fails: fn() -> Plan,
    cure: Cure,
    silent: fn() -> Plan,
    bound: Bound,
    /// Tests with published figures; for a rule that nothing is published on, why.
    published: Published,
}

enum Published {
    In(&'static [&'static str]),
    None(&'static str),
}
use Published::In;

#[rustfmt::skip]
fn rows() -> Vec<Row> {
    vec![
        Row {
            check: "structure", severity: Fault, fails: || loose_end("E9:1"), silent: sound,
            cure: Words("choose a terminal", || loose_end("E1:1")),
            bound: Between(|| loose_end("E1:31"), || loose_end("E1:9")),
            published: Published::None("how a plan is read is its own rule"),
        },
        Row {
            check: "coverage", severity: Caution, fails: || many_controls(13), silent: sound,
            cure: Words("in pairs", || many_controls(5)),
            bound: Between(|| many_controls(12), || many_controls(13)),
            published: Published::None("the count of states that are solved is this program's own"),
        },
        Row {
            check: "wishes", severity: Fault, fails: unwished, silent: sound,
            cure: Words("No wish lights it", sound),
            bound: At(13.5, 20.0, rated_volts),
            published: In(&["filament_currents_by_the_published_exponent", "a_lost_ground_puts_both_filaments_in_series"]),
        },
        Row {
            check: "fuse in front", severity: Caution, fails: || lead(500.0), silent: sound, cure: Ready,
            bound: At(150.0, 400.0, lead),
            published: In(&["a_fuse_stands_within_seven_inches_or_in_a_sheath", "a_fuse_may_have_half_as_much_again_as_the_wire"]),
        },
        Row {
            check: "short circuit", severity: Fault, fails: || long(20.0), silent: sound, cure: Ready,
            bound: At(1.0, 20.0, long),
            published: In(&["the_textbook_short_circuit_comes_out", "upper_limits_agree_with_a_relay_made_to_outlive_the_fuse"]),
        },
        Row {
            check: "wire current", severity: Fault, fails: || thin(22.0), silent: sound, cure: Ready,
            bound: At(15.0, 25.0, thin),
            published: In(&["wire_current_ends_at_the_printed_ampacity"]),
        },
        Row {
            check: "fuse load", severity: Caution, fails: || fused(8.5), silent: sound, cure: Ready,
            bound: At(7.0, 9.0, fused),
            published: In(&["ratings_on_both_sides_of_their_bounds", "the_least_energy_is_that_at_three_and_a_half_times_the_rating"]),
        },
        Row {
            check: "voltage drop", severity: Fault, fails: || away(11.0), silent: sound, cure: Ready,
            bound: At(1.0, 11.0, away),
            published: In(&["the_published_pump_passes_and_fails_as_printed", "aircraft_drop_examples_without_their_misprints"]),
        },
        Row {
            check: "wire size", severity: Caution, fails: || with_size("0.35 mm2"), silent: sound, cure: Ready,
            bound: Between(|| with_size("0.5 mm2"), || with_size("0.35 mm2")),
            published: In(&["smallest_wires_by_rule", "gauges_of_two_systems_are_not_mixed_up"]),
        },
        Row {
            check: "fuses in series", severity: Caution, fails: || series(10.0, 10.0), silent: sound, cure: Ready,
            bound: At(20.0, 10.0, |first| series(first, 10.0)),
            published: Published::None("common practice: twice the rating"),
        },
        Row {
            check: "diode", severity: Fault, fails: || with_diode("1N4004", 1.5), silent: sound, cure: Ready,
            bound: At(0.2, 1.5, |amps| with_diode("1N4004", amps)),
            published: In(&["diodes_carry_their_average_current", "diode_junctions_stay_below_their_limit"]),
        },
        Row {
            check: "diode choice", severity: Note, fails: || leaking(0.3), silent: || with_diode("1N5822", 1.0), cure: Ready,
            bound: At(30.0, 0.3, leaking),
            published: In(&["hot_leakage_is_that_of_the_sheets"]),
        },
        Row {
            check: "resistor heat", severity: Caution, fails: || hot(50.0), silent: || hot(100.0), cure: Ready,
            bound: At(100.0, 50.0, hot),
            published: In(&["textbook_resistors_at_a_led_keep_cool"]),
        },
        Row {
            check: "switch rating", severity: Caution, fails: || switching(6.0), silent: || switching(15.0), cure: Ready,
            bound: At(20.0, 3.0, switching),
            published: In(&["switches_are_derated_for_lamps"]),
        },
        Row {
            check: "relay chatter", severity: Fault, fails: || buzzer("K1:87a"), silent: || with_relay(0.1),
            cure: Words("Feed the coil from before the contact", || buzzer("F1:2")),
            bound: Between(|| buzzer("F1:2"), || buzzer("K1:87a")),
            published: Published::None("a fixed point of the relay itself"),
        },
        Row {
            check: "relay coil", severity: Caution, fails: || with_relay(18.0), silent: || with_relay(0.1), cure: Ready,
            bound: At(1.0, 18.0, with_relay),
            published: In(&["coil_power_follows_from_voltage_and_resistance", "relays_pull_in_hot_with_a_low_battery"]),
        },
        Row {
            check: "relay contact", severity: Fault, fails: || contact(32.0), silent: || with_relay(0.1), cure: Ready,
            bound: At(10.0, 32.0, contact),
            published: In(&["relay_contacts_bear_their_current"]),
        },
        Row {
            check: "flasher load", severity: Fault, fails: || led_turns(0.3), silent: || window("electronic", 2.5, 6.0), cure: Ready,
            bound: At(2.0, 0.3, led_turns),
            published: In(&["led_lamps_on_a_thermal_unit_burn_steadily"]),
        },
        Row {
            check: "flasher window", severity: Caution, fails: || beats(130), silent: || beats(90), cure: Ready,
            bound: Between(|| beats(120), || beats(121)),
            published: In(&["flash_rates_are_those_of_the_law"]),
        },
        Row {
            check: "held relay", severity: Caution, fails: || held(100.0), silent: || with_relay(0.1),
            cure: Words("diode", || held(2000.0)),
            bound: At(2000.0, 100.0, held),
            published: In(&["pull_in_and_drop_out_are_the_bounds"]),
        },
        Row {
            check: "H pattern", severity: Note, fails: || bridge(100.0), silent: sound,
            cure: Words("backwards", || bridge(1e6)),
            bound: At(1e6, 100.0, bridge),
            published: In(&["published_bridge_turns_its_current"]),
        },
        Row {
            check: "joined feeds", severity: Caution, fails: || joined(true), silent: sound,
            cure: Words("Keep the feeds apart", || joined(false)),
            bound: Between(|| joined(false), || joined(true)),
            published: In(&["a_tie_switch_joins_two_fuses"]),
        },
        Row {
            check: "switched ground", severity: Caution, fails: || common(true), silent: sound,
            cure: Words("ground", || common(false)),
            bound: Between(|| common(false), || common(true)),
            published: In(&["an_open_common_puts_three_lamps_in_series"]),
        },
        Row {
            check: "lost ground", severity: Caution, fails: || rear(0), silent: sound, cure: Words("second ground", || rear(2)),
            bound: Between(|| rear(2), || rear(1)),
            published: In(&["a_lost_ground_puts_both_filaments_in_series"]),
        },
        Row {
            check: "other source", severity: Caution, fails: || two_batteries(60.0), silent: sound,
            cure: Words("switch, a relay or a diode", || two_batteries(1e5)),
            bound: At(1e5, 60.0, two_batteries),
            published: In(&["published_loop_runs_into_the_smaller_battery", "published_two_source_network_charges_the_weaker"]),
        },
        Row {
            check: "joints", severity: Caution, fails: || ground_of(100.0), silent: sound, cure: Ready,
            bound: At(5.0, 500.0, ground_of),
            published: In(&["joints_take_no_more_than_sound_ones"]),
        },
        Row {
            check: "stop to tail", severity: Caution, fails: || stop_and_tail(1.75, Rules::UsRoad),
            silent: || stop_and_tail(0.1, Rules::UsRoad), cure: Ready,
            bound: At(0.1, 2.6, |ohms| stop_and_tail(ohms, Rules::UsRoad)),
            published: In(&["stop_outshines_tail", "two_filament_lamps_keep_the_ratio_at_their_rating"]),
        },
        Row {
            check: "brightness", severity: Note, fails: || far_lamp(13.9), silent: sound, cure: Ready,
            bound: At(13.0, 13.9, far_lamp),
            published: In(&["lamps_are_looked_at_low_and_charging"]),
        },
        Row {
            check: "battery", severity: Caution, fails: || leak(200.0), silent: sound, cure: Ready,
            bound: At(1000.0, 50.0, leak),
            published: In(&["run_time_follows_the_twenty_hour_convention", "charge_runs_through_the_printed_volts"]),
        },
        Row {
            check: "charge balance", severity: Caution, fails: || charged(3.0), silent: || charged(12.0), cure: Ready,
            bound: At(12.0, 3.0, charged),
            published: In(&["published_emf_and_charging_current", "seven_amperes_fill_seventy_ampere_hours_in_ten"]),
        },
        Row {
            check: "battery string", severity: Fault, fails: || cart(true), silent: || cart(false), cure: Ready,
            bound: Between(|| cart(false), || cart(true)),
            published: Published::None("common practice"),
        },
        Row {
            check: "lighting law", severity: Caution, fails: || shown(loomwright::plan::Light::White), silent: sound, cure: Ready,
            bound: Between(|| shown(loomwright::plan::Light::Red), || shown(loomwright::plan::Light::White)),
            published: In(&["red_rear_turn_is_the_difference"]),
        },
    ]
}

/// Told at this severity or a worse one.
fn tells(plan: &Plan, row: &Row) -> bool {
    of(plan, row.check)
        .iter()
        .any(|f| f.severity <= row.severity)
}

#[test]
fn notes_are_counted_apart_from_what_is_to_be_looked_at() {
    let said = |severities: &[Severity]| {
        let finding = |severity: &Severity| {
            Finding::new(&CHECKS[0], *severity, Vec::new(), String::new(), "")
        };
        let findings: Vec<Finding> = severities.iter().map(finding).collect();
        Count::of(&findings).words()
    };
    assert_eq!(said(&[]), "0 to look at");
    assert_eq!(said(&[Note]), "0 to look at, 1 note");
    assert_eq!(said(&[Fault, Caution, Caution]), "3 to look at");
    assert_eq!(said(&[Fault, Caution, Note, Note]), "2 to look at, 2 notes");
}

#[test]
fn every_check_has_a_row_and_every_row_a_check() {
    let mut named: Vec<&str> = rows().iter().map(|row| row.check).collect();
    let mut known: Vec<&str> = CHECKS.iter().map(|check| check.name).collect();
    named.sort_unstable();
    known.sort_unstable();
    assert_eq!(named, known);
}

#[test]
fn every_failing_plan_is_told_and_cured() {
    for row in rows() {
        let plan = (row.fails)();
        let found = at(&plan, row.check, row.severity);
        assert!(
            !found.is_empty(),
            "{}: {:#?}",
            row.check,
            of(&plan, row.check)
        );
        match &row.cure {
            Ready => {
                cured(&plan, row.check, row.severity);
            }
            Words(words, by_hand) => {
                assert!(
                    found.iter().all(|f| f.text.contains(words)),
                    "{}: {found:#?}",
                    row.check
                );
                assert!(
                    !tells(&by_hand(), &row),
                    "{}: {:#?}",
                    row.check,
                    of(&by_hand(), row.check)
                );
            }
        }
    }
}

#[test]
fn every_check_is_silent_on_a_sound_plan() {
    for row in rows() {
        let told = of(&(row.silent)(), row.check);
        let troubles = told.iter().filter(|f| f.severity <= row.severity);
        // Run times and charge balance are always worth a note.
        let troubles: Vec<_> = troubles
            .filter(|f| f.severity != Note || row.severity == Note)
            .collect();
        assert!(troubles.is_empty(), "{}: {troubles:#?}", row.check);
    }
}

#[test]
fn every_bound_is_found_from_both_sides() {
    for row in rows() {
        match row.bound {
            At(no, yes, plan) => {
                // Where a rule has two steps, the first is the bound: all that is told counts.
                let told = |x: f64| {
                    let found = of(&plan(x), row.check);
                    found
                        .iter()
                        .any(|f| f.severity != Note || row.severity == Note)
                };
                let bound = edge(no, yes, told);
                let step = (yes - no) * 1e-6;
                assert!(
                    told(bound + step) && !told(bound - step),
                    "{} at {bound}",
                    row.check
                );
            }
            Between(no, yes) => {
                assert!(
                    !tells(&no(), &row),
                    "{}: {:#?}",
                    row.check,
                    of(&no(), row.check)
                );
                assert!(tells(&yes(), &row), "{}", row.check);
            }
        }
    }
}

/// The tests that are said to hold something published are there.
#[test]
fn every_published_example_has_its_test() {
    let mut sources = String::new();
    for folder in ["tests", "src"] {
        gather(
            &std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
            &mut sources,
        );
    }
    let mut held = 0;
    for row in rows() {
        match row.published {
            In(names) => {
                assert!(!names.is_empty());
                for name in names {
                    assert!(
                        sources.contains(&format!("fn {name}(")),
                        "{}: {name} is missing",
                        row.check
                    );
                    held += 1;
                }
            }
            Published::None(why) => assert!(!why.is_empty()),
        }
    }
    assert!(held > 30);
}

fn gather(folder: &std::path::Path, into: &mut String) {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut paths: Vec<_> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    paths.sort();
    for path in paths {
        if path.is_dir() && !path.ends_with("node_modules") {
            gather(&path, into);
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            into.push_str(&std::fs::read_to_string(&path).unwrap_or_default());
        }
    }
}

/// A regulated lamp takes the same from any volts: the sound plan with it is what the others vary.
#[test]
fn the_plan_that_is_varied_is_sound() {
    sized::quiet(&sound());
    sized::quiet(&drawing(2.0));
}
