//! Stop against tail, and turn against parking, where one lamp shows both: the signal has to stand out.
//!
//! Light of two filaments by their flux in the catalogue; of two circuits of an LED lamp by their rated currents, to which
//! flux is nearly proportional; of one circuit that burns dimmed for tail and full for stop by its own levels.
//! Each at its worst: the signal at its lowest, the other at its brightest, over all states.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy};
use crate::behaviour::{Cell, Table};
use crate::catalog::lamp;
use crate::catalog::law::{STOP_TO_TAIL, STOP_TO_TAIL_ON_AXIS};
use crate::plan::{Duty, Kind, Lamp, LampId, Part, Rules, Show};
use crate::text::{mark, say};
use crate::units::{Amps, Volts, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("stop to tail"),
    what: mark!("Where one lamp shows both, stop outshines tail and turn outshines parking."),
    run,
};

const RATIO: &str = mark!(
    "SAE J586 in FMVSS 108: stop at least 3 times, on axis 5 times as bright as tail; turn against parking from memory"
);
/// A signal that has to stand out.
struct Pair {
    /// Whether it is stop over tail; else turn over parking.
    is_stop: bool,
    bright: &'static [Duty],
    /// What it must outshine.
    dim: &'static [Duty],
    /// How many times.
    least: f64,
}

/// A flash stands out by itself, so it is held to the smaller ratio.
const PAIRS: [Pair; 2] = [
    Pair {
        is_stop: true,
        bright: &[Duty::Stop],
        dim: &[Duty::Tail],
        least: STOP_TO_TAIL_ON_AXIS,
    },
    Pair {
        is_stop: false,
        bright: &[Duty::TurnLeft, Duty::TurnRight],
        dim: &[Duty::Tail, Duty::Running],
        least: STOP_TO_TAIL,
    },
];

/// A circuit of a lamp: its name, its duties, its light at its rating in a unit of the lamp's own.
struct Circuit<'a> {
    id: &'a str,
    duties: &'a [Duty],
    light: Option<f64>,
}

fn circuits(part: &Part) -> Vec<Circuit<'_>> {
    match &part.kind {
        Kind::Lamp(lamp) => {
            let row = lamp.model.as_deref().and_then(lamp::find);
            let filaments = lamp.filaments.iter().enumerate();
            filaments
                .map(|(i, filament)| Circuit {
                    id: &filament.id,
                    duties: &filament.duties,
                    light: row.and_then(|row| Some(row.filaments.get(i)?.light.lumens()?.get())),
                })
                .collect()
        }
        Kind::LedLamp(lamp) => {
            let circuits = lamp.circuits.iter();
            circuits
                .map(|circuit| Circuit {
                    id: &circuit.id,
                    duties: &circuit.duties,
                    light: Some(circuit.rated_a.get()),
                })
                .collect()
        }
        _ => Vec::new(),
    }
}

/// The lowest and the highest level of a lamp circuit over the cells in which it is wished lit and `picked`.
fn lit(table: &Table, id: &LampId, picked: impl Fn(&Cell) -> bool) -> Option<(f64, f64)> {
    let lamp = table.lamps.iter().position(|l| l == id)?;
    let cells = table.rows.iter().filter_map(|row| row.cells.get(lamp));
    let levels = cells
        .filter(|cell| matches!(cell.wish, Show::Steady | Show::Flashing) && picked(cell))
        .map(|cell| cell.bright().level)
        .filter(|&level| level > 0.0);
    levels.fold(None, |range, level| match range {
        None => Some((level, level)),
        Some((low, high)) => Some((f64::min(low, level), f64::max(high, level))),
    })
}

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let table = evidence.table;
    for part in &evidence.plan.parts {
        let circuits = circuits(part);
        let id = |circuit: &Circuit| LampId::new(&part.id, circuit.id);
        for pair in &PAIRS {
            let (bright, dim) = (pair.bright, pair.dim);
            let has = |circuit: &Circuit, duties: &[Duty]| {
                duties.iter().any(|d| circuit.duties.contains(d))
            };
            let own = circuits.iter().find(|c| has(c, bright) && !has(c, dim));
            let dimmed = circuits.iter().find(|c| has(c, dim) && !has(c, bright));
            if let (Some(own), Some(dimmed)) = (own, dimmed) {
                let (Some(much), Some(little)) = (own.light, dimmed.light) else {
                    continue;
                };
                let all = |_: &Cell| true;
                let (Some((low, _)), Some((_, high))) =
                    (lit(table, &id(own), all), lit(table, &id(dimmed), all))
                else {
                    continue;
                };
                let ratio = low * much / (high * little).max(1e-9);
                say(evidence, part, pair, ratio, out);
            }
            // One circuit for both: what asks for less than full light is the dim one.
            for shared in circuits.iter().filter(|c| has(c, bright) && has(c, dim)) {
                let wants_less = |cell: &Cell| {
                    let wish = cell
                        .ruled_by
                        .and_then(|wish| evidence.plan.wishes.get(wish));
                    wish.and_then(|wish| wish.at_least)
                        .is_some_and(|least| least < evidence.plan.settings.full)
                };
                let full = lit(table, &id(shared), |cell| !wants_less(cell));
                if let (Some((low, _)), Some((_, high))) =
                    (full, lit(table, &id(shared), wants_less))
                {
                    say(evidence, part, pair, low / high.max(1e-9), out);
                }
            }
        }
    }
}

fn say(evidence: &Evidence, part: &Part, pair: &Pair, ratio: f64, out: &mut Vec<Finding>) {
    let &Pair { is_stop, least, .. } = pair;
    if ratio >= least {
        return;
    }
    let plan = evidence.plan;
    let road = plan.settings.sizing.rules == Rules::UsRoad;
    let severity = if ratio < STOP_TO_TAIL && road {
        Severity::Fault
    } else {
        Severity::Caution
    };
    let (id, times) = (&part.id, significant(ratio));
    let text = if is_stop {
        say!(
            "The stop light of {id} is only {times} times as bright as its tail light: who follows may not see the \
             difference. Give the stop feed thicker wire and clean joints, dim the tail light more, or take a lamp with \
             more between its two lights."
        )
    } else {
        say!(
            "The turn light of {id} is only {times} times as bright as its parking light: who follows may not see the \
             difference. Give the turn feed thicker wire and clean joints, dim the parking light more, or take a lamp \
             with more between its two lights."
        )
    };
    let index = plan.parts.iter().position(|p| p.id == part.id);
    let cure = match (&part.kind, index) {
        (Kind::Lamp(lamp), Some(index)) => wider(evidence, index, lamp, ratio / least),
        _ => None,
    };
    out.push(
        Finding::new(&CHECK, severity, vec![part.id.to_string()], text, RATIO)
            .measured(
                format!("{} : 1", significant(ratio)),
                format!("{least} : 1"),
            )
            .cured_by([cure]),
    );
}

/// A lamp of the same cap and volts whose two filaments differ so much more that the ratio, now at this share of what is
/// asked for, comes out.
fn wider(evidence: &Evidence, index: usize, now: &Lamp, share: f64) -> Option<Remedy> {
    /// Room for the currents, which differ a little between lamps.
    const ROOM: f64 = 1.05;
    let row = lamp::find(now.model.as_deref()?)?;
    let of = |row: &lamp::Row| match row.filaments {
        [major, minor] => Some(major.light.lumens()?.get() / minor.light.lumens()?.get()),
        _ => None,
    };
    let needed = ROOM * of(row)? / share;
    let fits = |other: &&lamp::Row| {
        other.cap.is_some()
            && other.cap == row.cap
            && other.nominal_volts == row.nominal_volts
            && of(other).is_some_and(|ratio| ratio >= needed)
    };
    let other = lamp::rows().find(fits)?;
    let mut new = now.clone();
    new.model = Some(other.key.into());
    for (filament, rating) in new.filaments.iter_mut().zip(other.filaments) {
        filament.rated_v = Volts::of(rating.design_volts);
        filament.rated_a = Amps::of(rating.amps);
    }
    let title = say!("Take a {} for {}", other.key, evidence.plan.parts[index].id);
    remedy::part(evidence.plan, index, title, Kind::Lamp(new))
}
