//! Load of the flasher against its window, and the rate to expect.

use super::words::and;
use super::{Check, Evidence, Finding, Remedy, Severity, remedy, state_words};
use crate::behaviour::{Tick, Verdict};
use crate::catalog::flasher::{LOAD_RESISTOR_OHMS, LOAD_RESISTOR_WATTS};
use crate::plan::{
    Duty, Edit, Extra, Flasher, FlasherAction, Kind, Part, PartId, Resistor, Show, TerminalId, Wire,
};
use crate::text::{mark, say};
use crate::units::order::OrdMap;
use crate::units::{Amps, Millimetres, Ohms, Watts, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("flasher load"),
    what: mark!("A flasher carries a load inside its window in every state in which it works."),
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    // The first state (fewest controls moved) speaks for each kind of trouble of each flasher.
    let mut first: OrdMap<(usize, u8), (usize, f64, usize)> = OrdMap::new();
    for (i, row) in table.rows.iter().enumerate() {
        for run in &row.flashers {
            let kind = match run.tick {
                Tick::Idle | Tick::Normal => continue,
                // A trickle between grounds through lamps that nobody wants to flash is no load.
                Tick::Stuck if row.cells.iter().all(|c| c.verdict == Verdict::AsWished) => continue,
                Tick::Stuck => 0,
                Tick::Fast => 1,
                Tick::Overloaded => 2,
            };
            let entry = first.entry((run.part, kind)).or_insert((i, run.amps, 0));
            entry.2 += 1;
        }
    }
    for ((index, kind), (row, amps, count)) in first {
        let Some(part) = plan.parts.get(index) else {
            continue;
        };
        let Kind::Flasher(flasher) = &part.kind else {
            continue;
        };
        let state = state_words(plan, &table.rows[row].state);
        let amps = significant(amps);
        let id = &part.id;
        let (severity, text) = match kind {
            0 => (
                Severity::Fault,
                say!(
                    "{id} carries {amps} A with {state} ({count} states), below the {} it needs: it stays \
                     closed and the lamps burn steadily. Better use an electronic unit. Load resistors across a lamp of \
                     each side do too, but each turns some 25 W into heat.",
                    flasher.min_a
                ),
            ),
            1 => (
                Severity::Caution,
                say!(
                    "{id} carries {amps} A with {state} ({count} states), below its {}: expect about {} \
                     flashes per minute, the sign of a lamp out.",
                    flasher.min_a,
                    2 * flasher.per_minute
                ),
            ),
            _ => (
                Severity::Fault,
                say!(
                    "{id} carries {amps} A with {state} ({count} states), above its {}: use a unit for \
                     this load.",
                    flasher.max_a
                ),
            ),
        };
        let source = mark!("SAE J945 and J590 flasher classes; fixed-load behaviour from memory");
        let about = vec![id.to_string()];
        let limit = if kind == 2 {
            flasher.max_a
        } else {
            flasher.min_a
        };
        out.push(
            Finding::new(&CHECK, severity, about, text, source)
                .measured(format!("{amps} A"), limit.to_string())
                .cured_by([
                    fitting(evidence, index, flasher, kind == 0),
                    (kind < 2)
                        .then(|| resistors(evidence, index, flasher))
                        .flatten(),
                ]),
        );
    }
}

/// A unit whose window holds every load from a low to a charging battery; electronic where the load is small.
fn fitting(evidence: &Evidence, part: usize, flasher: &Flasher, small: bool) -> Option<Remedy> {
    /// Room below the smallest and above the largest load.
    const ROOM: f64 = 0.1;
    let load = evidence.loads.flashers.iter().find(|l| l.part == part)?;
    let round = |value: f64| Amps::of(crate::units::plain(value).parse().unwrap_or(value));
    let least = round((1.0 - ROOM) * load.least_low.min(load.least.value));
    let most = round((1.0 + ROOM) * load.most_charging.value);
    let action = if small {
        FlasherAction::Electronic
    } else {
        flasher.action
    };
    let unit = Flasher {
        action,
        min_a: flasher.min_a.min(least),
        max_a: flasher.max_a.max(most),
        ..flasher.clone()
    };
    let (min, max) = (unit.min_a, unit.max_a);
    let title = match action {
        FlasherAction::Electronic => say!("Take an electronic unit made for {min} to {max}"),
        FlasherAction::Thermal => say!("Take a thermal unit made for {min} to {max}"),
    };
    remedy::part(evidence.plan, part, title, Kind::Flasher(unit))
}

/// A load resistor across a lamp of each side that flashes, as many as bring the smallest load into the window.
fn resistors(evidence: &Evidence, index: usize, flasher: &Flasher) -> Option<Remedy> {
    /// Most resistors on one side; beyond that only a better unit makes sense.
    const MOST: usize = 2;
    let (plan, table) = (evidence.plan, evidence.table);
    let load = evidence.loads.flashers.iter().find(|l| l.part == index)?;
    let low = evidence.loads.volts[1];
    let lacks = flasher.min_a.get() - load.least_low.min(load.least.value);
    let each = low / LOAD_RESISTOR_OHMS;
    // The flasher's own drop and the wires take a little off.
    let count = libm::ceil(lacks / (0.9 * each)).max(1.0) as usize;
    let above = load.most_charging.value
        + count as f64 * 2.0 * evidence.loads.volts[2] / LOAD_RESISTOR_OHMS;
    if count > MOST || above > flasher.max_a.get() {
        return None;
    }
    // Lamp circuits that flash by themselves in the state of least load of each side.
    let mut across: Vec<(PartId, String, String)> = Vec::new();
    for duty in [Duty::TurnLeft, Duty::TurnRight] {
        let circuits = plan.lamp_circuits();
        let own = circuits.iter().find(|circuit| {
            let lamp = table.lamps.iter().position(|id| *id == circuit.id);
            circuit.duties.contains(&duty)
                && lamp.is_some_and(|lamp| {
                    table
                        .rows
                        .iter()
                        .any(|row| row.cells[lamp].wish == Show::Flashing)
                })
        });
        let ends = own.and_then(|circuit| {
            let part = plan.part(&circuit.id.part)?;
            let (terminal, common) = match &part.kind {
                Kind::Lamp(lamp) => {
                    let filament = lamp.filaments.iter().find(|f| f.id == circuit.id.circuit)?;
                    (&filament.terminal, &lamp.common)
                }
                Kind::LedLamp(lamp) => {
                    let led = lamp.circuits.iter().find(|c| c.id == circuit.id.circuit)?;
                    (&led.terminal, &lamp.common)
                }
                _ => return None,
            };
            Some((part.id.clone(), terminal.clone(), common.clone()))
        });
        across.extend(ends);
    }
    let watts = evidence.loads.volts[0] * evidence.loads.volts[0] / LOAD_RESISTOR_OHMS;
    let mut numbered = plan.clone();
    let mut edits = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for (lamp, terminal, common) in across {
        names.push(lamp.to_string());
        let end = |name: &str| TerminalId::new(&lamp, name);
        let hot = end(&terminal);
        let model = plan
            .wires
            .iter()
            .find(|wire| wire.to == hot || wire.from == hot)?;
        for _ in 0..count {
            let part = Part {
                id: numbered.free_part_id("R"),
                label: say!("Load resistor {lamp}"),
                place: plan.part(&lamp).and_then(|part| part.place.clone()),
                why: say!("keeps the load of the flasher in its window; mount it on metal").into(),
                kind: Kind::Resistor(Resistor {
                    ohms: Ohms::of(LOAD_RESISTOR_OHMS),
                    rating_w: Watts::of(LOAD_RESISTOR_WATTS),
                    extra: Extra::new(),
                }),
                extra: Extra::new(),
            };
            numbered.parts.push(part.clone());
            for (from, to) in [
                (hot.clone(), TerminalId::new(&part.id, "1")),
                (TerminalId::new(&part.id, "2"), end(&common)),
            ] {
                let wire = Wire {
                    id: numbered.free_wire_id(),
                    from,
                    to,
                    length_mm: Millimetres::of(200.0),
                    why: say!("load resistor beside {lamp}"),
                    ..model.clone()
                };
                numbered.wires.push(wire.clone());
                edits.push(Edit::add_wire(wire));
            }
            edits.insert(0, Edit::add_part(part));
        }
    }
    (!names.is_empty()).then(|| Remedy {
        title: say!(
            "Put {count} × {} Ω, {} W across {}: {} of heat each while lit",
            significant(LOAD_RESISTOR_OHMS),
            significant(LOAD_RESISTOR_WATTS),
            and(&names),
            Watts::of(watts)
        ),
        edit: Edit::All(edits),
    })
}
