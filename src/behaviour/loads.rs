//! What wires and parts have to bear, worked out once per table for the checks on sizes and protection.
//!
//! The tally of the table says in which state each current is largest. Those states are solved again with the
//! battery charging and low, and with every filament cold; each wire's far end is bridged to the chassis in the state in
//! which the wire is live. Relays and flashers are held where the plain state has them while a
//! filament is cold or a wire is shorted: both last shorter than a relay needs, and a held contact is the worse case.

mod at_level;
mod bench;
mod drop;
mod flashers;
mod lamps;
mod mix;

pub use drop::Drop;
pub use mix::Mix;

use super::{Analyser, Guards, Most, Outcome, Reading, Table};
use crate::circuit::{Circuit, Origin};
use crate::plan::{Level, Plan};
use at_level::Solved;
use bench::Bench;
use std::collections::BTreeMap;

/// One branch under load, in amperes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// The wire or inner branch of a part.
    pub origin: Origin,
    /// Largest current, with the row of the table in which it runs.
    pub peak: Most,
    /// Largest heating current (root mean square of the two phases of a flasher).
    pub heat: Most,
    /// The same two while the battery is charged.
    pub charging: (f64, f64),
    /// Current in the row of `peak` while every filament is cold.
    pub inrush: f64,
    /// Largest volts it has to block (diodes).
    pub blocked: Most,
    /// What the current of `peak` feeds (contacts).
    pub mix: Mix,
}

impl Load {
    /// The largest current, charging or not.
    pub fn worst(&self) -> f64 {
        self.peak.value.max(self.charging.0)
    }

    /// The largest heating current, charging or not.
    pub fn worst_heat(&self) -> f64 {
        self.heat.value.max(self.charging.1)
    }
}

/// One lamp circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct LampLoad {
    /// Index of the lamp circuit in the table.
    pub lamp: usize,
    /// For each combination of controls that lights it by itself the row in which it is lowest, with its drop there; the
    /// lowest of all first. Empty if it is never lit.
    pub drops: Vec<(usize, Drop)>,
    /// Its reading in the first of these rows with the battery low.
    pub low: Reading,
    /// Row in which it is brightest, and the reading there while the battery is charged.
    pub charging: (usize, Reading),
}

/// One flasher.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlasherLoad {
    /// Index of its part.
    pub part: usize,
    /// Smallest load of a row in which it works, in amperes.
    pub least: Most,
    /// The same with the battery low.
    pub least_low: f64,
    /// The same while it is charged.
    pub least_charging: f64,
    /// Smallest load of a row in which two or more lamp circuits flash as they should, and what is left of it with the
    /// largest of them out; `None` where it never feeds two.
    pub one_out: Option<(Most, f64)>,
    /// Largest load, while the battery is charged.
    pub most_charging: Most,
}

/// A relay's coil with the battery low.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilLoad {
    /// Index of its part.
    pub part: usize,
    /// Least volts that hold it, as planned; `None` if it is never pulled in.
    pub held: Option<Most>,
    /// Volts in that row with the battery low and the relay held.
    pub held_low: f64,
    /// Most volts in a row in which it is not pulled in.
    pub idle: Most,
}

/// A short circuit at the load end of a wire.
#[derive(Debug, Clone, PartialEq)]
pub struct Short {
    /// Row of the table in which the wire is live.
    pub row: usize,
    /// Current through the wire in amperes.
    pub amps: f64,
    /// Fuses (parts by index) that carry some of it, with their currents.
    pub fuses: Vec<(usize, f64)>,
    /// Wires (by index) that carry half of it or more, there and back.
    pub wires: Vec<usize>,
}

/// Everything the checks on sizes and protection read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Loads {
    /// Open-circuit volts of the first battery: as planned, low, charging.
    pub volts: [f64; 3],
    /// One per branch of the circuit.
    pub branches: Vec<Load>,
    /// One per lamp circuit.
    pub lamps: Vec<LampLoad>,
    /// Flashers that work in some state.
    pub flashers: Vec<FlasherLoad>,
    /// One per relay.
    pub coils: Vec<CoilLoad>,
    /// What guards each wire.
    pub guards: Guards,
    /// One per wire; `None` for return wires and such as are never live.
    pub shorts: Vec<Option<Short>>,
}

impl Loads {
    /// The load of a wire (by index).
    pub fn wire(&self, wire: usize) -> Option<&Load> {
        self.branches
            .iter()
            .find(|load| load.origin == Origin::Wire(wire))
    }

    /// The loads of a part's inner branches, in their order.
    pub fn part(&self, index: usize) -> impl Iterator<Item = &Load> {
        self.branches
            .iter()
            .filter(move |load| matches!(load.origin, Origin::Part { part, .. } if part == index))
    }
}

/// Works out what the wires and parts of a plan bear, from its table.
pub fn loads(plan: &Plan, table: &Table) -> Loads {
    let mut planned = Analyser::new(plan, &[]);
    let circuit = planned.circuit().clone();
    // A table of another plan has nothing to say here.
    let tally = &table.tally;
    if tally.branches.len() != circuit.branches.len() || tally.live.len() != plan.wires.len() {
        return Loads::default();
    }
    let codes = lamps::Codes::new(table);
    let lowest: Vec<Vec<usize>> = (0..table.lamps.len())
        .map(|l| lamps::lowest(table, &codes, l))
        .collect();
    let brightest: Vec<usize> = (0..table.lamps.len())
        .map(|l| lamps::brightest(table, l))
        .collect();
    let flashers = flashers::rows(table);

    let mut solved: BTreeMap<usize, Outcome> = BTreeMap::new();
    // Where a branch carries nothing, its row says nothing.
    let peaks = table.peaks.iter().map(|peaks| peaks.largest());
    let of_peaks = peaks.filter(|peak| peak.value > 0.0).map(|peak| peak.row);
    let of_coils = tally.coils.iter().filter_map(|c| c.held.map(|m| m.row));
    // A short circuit asks the plain state for its relays only.
    let of_live = tally.live.iter().flatten().copied();
    let of_live = of_live.filter(|_| !circuit.relays.is_empty());
    let rows = of_peaks
        .chain(of_coils)
        .chain(of_live)
        .chain(lowest.iter().flatten().copied());
    for row in rows {
        if let Some(found) = table.rows.get(row) {
            solved
                .entry(row)
                .or_insert_with(|| planned.solve(&found.state));
        }
    }

    let charging_plan = plan.at_level(Level::Charging);
    let mut charging = Solved::new(&charging_plan, table);
    let low_plan = plan.at_level(Level::Low);
    let mut low = Solved::new(&low_plan, table);
    let mut bench = Bench::new(&circuit);

    let branches = branch_loads(&circuit, table, &solved, &mut charging, &mut bench);
    let lamps = (0..table.lamps.len())
        .map(|lamp| LampLoad {
            lamp,
            drops: lowest[lamp]
                .iter()
                .filter_map(|&row| {
                    let cell = &table.rows[row].cells[lamp];
                    let phase = usize::from(cell.off.level > cell.on.level);
                    Some((
                        row,
                        Drop::of(plan, &circuit, solved.get(&row)?, phase, lamp)?,
                    ))
                })
                .collect(),
            low: lowest[lamp]
                .first()
                .map_or_else(Reading::default, |&row| low.reading(row, lamp)),
            charging: (brightest[lamp], charging.reading(brightest[lamp], lamp)),
        })
        .collect();
    let flashers = flashers
        .into_iter()
        .map(|(part, (least, most))| FlasherLoad {
            part,
            least,
            least_low: low.flasher(least.row, part),
            least_charging: charging.flasher(least.row, part),
            one_out: flashers::one_out(&circuit, table, &mut planned, part),
            most_charging: Most {
                value: charging.flasher(most.row, part).max(most.value),
                row: most.row,
            },
        })
        .collect();
    let coils = circuit
        .relays
        .iter()
        .zip(&tally.coils)
        .map(|(relay, coil)| CoilLoad {
            part: relay.part,
            held: coil.held,
            held_low: coil.held.map_or(0.0, |held| {
                low.coil(held.row, relay.branch, solved.get(&held.row))
            }),
            idle: coil.idle,
        })
        .collect();
    let guards = Guards::new(plan, &circuit);
    let shorts = bench::shorts(plan, &circuit, table, &guards, &solved);
    Loads {
        volts: [Level::Planned, Level::Low, Level::Charging]
            .map(|level| plan.volts_at(level).get()),
        branches,
        lamps,
        flashers,
        coils,
        guards,
        shorts,
    }
}

fn branch_loads(
    circuit: &Circuit,
    table: &Table,
    solved: &BTreeMap<usize, Outcome>,
    charging: &mut Solved<'_>,
    bench: &mut Bench,
) -> Vec<Load> {
    let mut cold: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    let mut mixes: BTreeMap<usize, Vec<Mix>> = BTreeMap::new();
    let tallies = table.peaks.iter().zip(&table.tally.branches);
    let branches = circuit.branches.iter().zip(tallies);
    branches
        .enumerate()
        .map(|(i, (branch, (peaks, tally)))| {
            let peak = peaks.largest();
            let outcome = solved.get(&peak.row);
            let state = table.rows.get(peak.row).map(|row| &row.state);
            let inrush = match (outcome, state) {
                (Some(outcome), Some(state)) if peak.value > 0.0 => {
                    let amps = cold
                        .entry(peak.row)
                        .or_insert_with(|| bench.cold(circuit, state, outcome));
                    amps.get(i).copied().unwrap_or(0.0).abs()
                }
                _ => 0.0,
            };
            let mix = outcome.map_or_else(Mix::default, |outcome| {
                let of_row = mixes
                    .entry(peak.row)
                    .or_insert_with(|| mix::of_branches(circuit, outcome));
                of_row.get(i).copied().unwrap_or_default()
            });
            Load {
                origin: branch.origin,
                peak,
                heat: tally.heat,
                charging: (charging.peak(peak.row, i), charging.heat(tally.heat.row, i)),
                inrush,
                blocked: tally.blocked,
                mix,
            }
        })
        .collect()
}
