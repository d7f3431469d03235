//! Relay coils: whether they pull in hot with a low battery, let go when they should, and are suppressed.
//!
//! A coil is copper: 0.39 % more resistance, and so more volts to pull in, per kelvin above the 23 °C of the sheet. A
//! coil that has been on stands about 40 K above its surroundings (common practice).

use super::remedy::relay_of;
use super::{Check, Evidence, Finding, Remedy, Severity, listed, remedy, row_words};
use crate::catalog::relay::{self, COIL_PER_KELVIN};
use crate::plan::{Edit, Extra, Kind, Part, Plan, Relay, Resistor, TerminalId, Wire};
use crate::text::{self, mark, say};
use crate::units::{Millimetres, Ohms, Volts, Watts};

pub(super) const CHECK: Check = Check {
    name: mark!("relay coil"),
    what: mark!(
        "Every relay pulls in hot with a low battery, lets go when switched off, and its coil is suppressed."
    ),
    run,
};

const HOT: &str = mark!(
    "coil figures of the data sheet at 23 °C; copper adds 0.39 % per kelvin (IEC 60028, from memory)"
);
const GHOST: &str = mark!("drop-out volts of the data sheet");
const SPARK: &str = mark!("common practice: diode or resistor across the coil (from memory)");
/// Resistor across a coil of 12 V, its rating, and the length of its leads: common practice. At 48 V it takes 3.4 W.
const SUPPRESSOR_OHMS: f64 = 680.0;
const SUPPRESSOR_WATTS: f64 = 5.0;
const SUPPRESSOR_MM: f64 = 50.0;
/// Temperature of the data sheet in °C.
const SHEET_C: f64 = 23.0;
/// A coil that has been on is warmer than its surroundings by so many kelvin.
const WARMING_K: f64 = 40.0;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let warm = plan.settings.sizing.part_ambient().get() + WARMING_K;
    let factor = 1.0 + COIL_PER_KELVIN * (warm - SHEET_C).max(0.0);
    let mut bare: Vec<String> = Vec::new();
    for coil in &evidence.loads.coils {
        let Some(part) = plan.parts.get(coil.part) else {
            continue;
        };
        let Kind::Relay(relay) = &part.kind else {
            continue;
        };
        let id = &part.id;
        let about = || vec![id.to_string()];
        let hot = factor * relay.pull_in_v.get();
        if let Some(held) = coil.held {
            let state = row_words(evidence, held.row);
            let (volts, severity) = if held.value < hot {
                (held.value, Severity::Fault)
            } else if coil.held_low < hot {
                (coil.held_low, Severity::Caution)
            } else {
                (hot, Severity::Note)
            };
            if severity != Severity::Note {
                let (gets, needs, cold) = (Volts::of(volts), Volts::of(hot), relay.pull_in_v);
                let text = if severity == Severity::Fault {
                    say!(
                        "{id} gets {gets} with the battery as planned with {state}; hot it needs {needs} to pull in \
                         ({cold} cold). Take thicker wire to the coil, or a relay that operates earlier."
                    )
                } else {
                    say!(
                        "{id} gets {gets} with a low battery with {state}; hot it needs {needs} to pull in ({cold} \
                         cold). Take thicker wire to the coil, or a relay that operates earlier."
                    )
                };
                out.push(
                    Finding::new(&CHECK, severity, about(), text, HOT)
                        .measured(Volts::of(volts).to_string(), Volts::of(hot).to_string())
                        .cured_by([earlier(plan, coil.part, relay, volts / factor)]),
                );
            }
        }
        if coil.held.is_some() && coil.idle.value > relay.drop_out_v.get() {
            let text = say!(
                "{} stand on the coil of {id} with {} though it should be off: once pulled in it stays in, since it lets go \
                 below {} only. Find what leaks there: a diode in the feed of the coil, or an own feed, keeps it off.",
                Volts::of(coil.idle.value),
                row_words(evidence, coil.idle.row),
                relay.drop_out_v,
            );
            out.push(
                Finding::new(&CHECK, Severity::Fault, about(), text, GHOST).measured(
                    Volts::of(coil.idle.value).to_string(),
                    relay.drop_out_v.to_string(),
                ),
            );
        }
        if !suppressed(plan, coil.part) {
            bare.push(id.to_string());
        }
    }
    if !bare.is_empty() {
        let text = say!(
            "Nothing suppresses the coil of {}: as it is switched off it throws some hundred volts at the contact that \
             switches it. Take relays with a built-in resistor or diode, or put 680 Ω across 85 and 86.",
            listed(&bare)
        );
        let cure = across(plan, &bare);
        out.push(Finding::new(&CHECK, Severity::Note, bare, text, SPARK).cured_by([cure]));
    }
}

/// A relay of the same coil volts that operates at these volts (cold).
fn earlier(plan: &Plan, index: usize, now: &Relay, volts: f64) -> Option<Remedy> {
    let model = now.model.as_deref().and_then(relay::find);
    // Relays of a plan may name no type; then their pull-in tells the system.
    let system = model.map_or(now.pull_in_v.get() / 0.6, |row| row.coil_volts);
    let fits = |row: &&relay::Row| {
        (row.coil_volts / system - 1.0).abs() < 0.3
            && row.operate_volts < volts
            && row.break_.is_some()
    };
    let row = relay::ROWS.iter().find(fits)?;
    let kind = Kind::Relay(relay_of(row));
    remedy::part(
        plan,
        index,
        say!(
            "Take a {} for {}",
            text::of(row.label),
            plan.parts[index].id
        ),
        kind,
    )
}

/// 680 Ω across the coil of each of these relays.
fn across(plan: &Plan, relays: &[String]) -> Option<Remedy> {
    let mut numbered = plan.clone();
    let mut edits = Vec::new();
    for id in relays {
        let part = plan.parts.iter().find(|part| part.id.as_str() == id)?;
        let wired = |name: &str| {
            let end = TerminalId::new(&part.id, name);
            plan.wires
                .iter()
                .find(|wire| wire.from == end || wire.to == end)
        };
        let model = wired("86").or(wired("85"))?;
        let resistor = Part {
            id: numbered.free_part_id("R"),
            label: say!("Suppressor of {id}"),
            place: part.place.clone(),
            why: say!("takes the spark when the coil of {id} is switched off"),
            kind: Kind::Resistor(Resistor {
                ohms: Ohms::of(SUPPRESSOR_OHMS),
                rating_w: Watts::of(SUPPRESSOR_WATTS),
                extra: Extra::new(),
            }),
            extra: Extra::new(),
        };
        numbered.parts.push(resistor.clone());
        edits.push(Edit::add_part(resistor.clone()));
        for (from, to) in [
            (
                TerminalId::new(&part.id, "86"),
                TerminalId::new(&resistor.id, "1"),
            ),
            (
                TerminalId::new(&resistor.id, "2"),
                TerminalId::new(&part.id, "85"),
            ),
        ] {
            let wire = Wire {
                id: numbered.free_wire_id(),
                from,
                to,
                length_mm: Millimetres::of(SUPPRESSOR_MM),
                why: say!("suppressor of {id}"),
                ..model.clone()
            };
            numbered.wires.push(wire.clone());
            edits.push(Edit::add_wire(wire));
        }
    }
    Some(Remedy {
        title: say!(
            "Put {SUPPRESSOR_OHMS} Ω across the coil of {}",
            listed(relays)
        ),
        edit: Edit::All(edits),
    })
}

/// Whether a diode or resistor lies across the coil of a relay (by index), through wires and splices.
fn suppressed(plan: &Plan, relay: usize) -> bool {
    let Some(id) = plan.parts.get(relay).map(|part| &part.id) else {
        return false;
    };
    let joined = |start: TerminalId| -> Vec<TerminalId> {
        let mut found = vec![start];
        let mut next = 0;
        while next < found.len() {
            let here = found[next].clone();
            next += 1;
            for wire in &plan.wires {
                for (a, b) in [(&wire.from, &wire.to), (&wire.to, &wire.from)] {
                    if *a == here && !found.contains(b) {
                        found.push(b.clone());
                    }
                }
            }
        }
        found
    };
    let (plus, minus) = (
        joined(TerminalId::new(id, "86")),
        joined(TerminalId::new(id, "85")),
    );
    plan.parts.iter().any(|part| {
        let across = |a: &str, b: &str| {
            let (a, b) = (TerminalId::new(&part.id, a), TerminalId::new(&part.id, b));
            (plus.contains(&a) && minus.contains(&b)) || (plus.contains(&b) && minus.contains(&a))
        };
        match part.kind {
            Kind::Diode(_) => across("A", "K"),
            Kind::Resistor(_) => across("1", "2"),
            _ => false,
        }
    })
}
