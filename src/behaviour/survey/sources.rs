//! What stays live from another source: with the first battery disconnected, with the master switch off; and one
//! battery running down into another.
//!
//! The first two are searches of the graph, from the sources that work in a state; a converter works while its
//! input is reached. The third is read off the largest currents and solved once more in the states in which nothing
//! charges.

use super::wiring::{Leads, Reach, Way, conducting};
use super::{MAX_SEARCHES, Scene, Survey};
use crate::behaviour::Analyser;
use crate::circuit::{Gate, Origin};
use crate::plan::Kind;
use crate::units::order::OrdSet;

/// From this many amperes on a battery runs down: it empties 36 Ah in a month. Common practice.
pub const DRAIN_AMPS: f64 = 0.05;
/// Most states solved to find a battery that runs down into another.
const MAX_DRAIN_STATES: usize = 64;

/// A source that keeps things live when the first battery is disconnected.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherSource {
    /// Index of its part.
    pub part: usize,
    /// Index of the first battery.
    pub battery: usize,
    /// Row and phase of the first state in which both feed the same, else of the first in which it feeds anything.
    pub at: (usize, usize),
    /// Parts (by index) that use current and are live then.
    pub loads: Vec<usize>,
    /// Those of them that the first battery feeds too in that state.
    pub shared: Vec<usize>,
}

/// A master switch behind which it is live while it is off.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveBehind {
    /// Index of the switch.
    pub switch: usize,
    /// Index of the source.
    pub source: usize,
    /// Row and phase of the first state that shows it.
    pub at: (usize, usize),
    /// The way from the source to the load end of the switch.
    pub way: Vec<Origin>,
}

/// A battery that runs down into another one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drain {
    /// Index of the battery that gives.
    pub from: usize,
    /// Index of the battery that takes.
    pub into: usize,
    /// Row and phase of the first state that shows it.
    pub at: (usize, usize),
    /// Amperes taken.
    pub amps: f64,
}

/// What other sources do.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sources {
    /// What is live without the first battery.
    pub others: Vec<OtherSource>,
    /// What is live behind a master switch that is off.
    pub behind: Vec<LiveBehind>,
    /// Batteries that run down into one another.
    pub drains: Vec<Drain>,
}

impl Survey {
    pub(super) fn other_sources(&mut self, scene: &Scene<'_>, analyser: &mut Analyser<'_>) {
        let mut searches = MAX_SEARCHES;
        self.sources.behind = scene.live_behind(&mut searches);
        if let Some(first) = scene.first_source() {
            self.sources.others = scene.live_without_battery(first, &mut searches);
        }
        self.drains(scene, analyser);
    }

    fn drains(&mut self, scene: &Scene<'_>, analyser: &mut Analyser<'_>) {
        let batteries = scene.batteries();
        for &into in &batteries {
            if batteries.len() < 2 || scene.table.peaks[into].forward.amps < DRAIN_AMPS {
                continue;
            }
            for row in scene.rows(MAX_DRAIN_STATES) {
                let solved = &scene.table.rows[row];
                let conducts = conducting(&scene.circuit, solved, 0);
                let charges = |i: &usize| !batteries.contains(i) && conducts[*i];
                if scene.sources().iter().any(charges) {
                    continue;
                }
                let outcome = analyser.solve(&solved.state);
                self.solves += 1;
                let phases = [&outcome.on, &outcome.off];
                let found = phases
                    .iter()
                    .position(|point| point.converged && point.amps[into] >= DRAIN_AMPS);
                let Some(phase) = found else {
                    continue;
                };
                let amps = &phases[phase].amps;
                let gives = |&&i: &&usize| i != into;
                let most = |a: &&usize, b: &&usize| amps[**b].total_cmp(&amps[**a]);
                if let Some(&from) = batteries.iter().filter(gives).max_by(most) {
                    self.sources.drains.push(Drain {
                        from: scene.part_of(from),
                        into: scene.part_of(into),
                        at: (row, phase),
                        amps: amps[into],
                    });
                }
                break;
            }
        }
    }
}

impl Scene<'_> {
    /// Branches of all sources.
    fn sources(&self) -> Vec<usize> {
        let branches = 0..self.circuit.branches.len();
        branches
            .filter(|&i| self.circuit.branches[i].is_source())
            .collect()
    }

    /// Branches of the batteries.
    fn batteries(&self) -> Vec<usize> {
        let is_battery = |&i: &usize| {
            let part = self.plan.parts.get(self.part_of(i));
            part.is_some_and(|part| matches!(part.kind, Kind::Battery(_)))
        };
        self.sources().into_iter().filter(is_battery).collect()
    }

    /// Branch of the first battery, or of the first source where there is none.
    pub(super) fn first_source(&self) -> Option<usize> {
        let batteries = self.batteries();
        batteries.first().or(self.sources().first()).copied()
    }

    /// A source and the converters, which go along with whatever feeds them.
    pub(super) fn with_converters(&self, source: Option<usize>) -> Vec<usize> {
        let along = |&i: &usize| Some(i) == source || self.is_converter(i);
        self.sources().into_iter().filter(along).collect()
    }

    /// Whether a source is the output of a converter.
    fn is_converter(&self, source: usize) -> bool {
        matches!(self.circuit.branches[source].gate, Gate::Relay { .. })
    }

    fn part_of(&self, branch: usize) -> usize {
        match self.circuit.branches[branch].origin {
            Origin::Part { part, .. } => part,
            Origin::Wire(_) => usize::MAX,
        }
    }

    /// What some sources keep live where these branches conduct. A source behind a relay's gate is the output of a
    /// converter: it joins in once the branch that measures its input is reached.
    pub(super) fn live(&self, sources: &[usize], conducts: &[bool]) -> Reach {
        let (converters, mut working): (Vec<usize>, Vec<usize>) = sources
            .iter()
            .filter(|&&i| conducts[i])
            .partition(|&&i| self.is_converter(i));
        loop {
            let starts: Vec<_> = working
                .iter()
                .map(|&i| self.circuit.branches[i].from)
                .collect();
            let reach = self
                .wiring
                .search(&self.circuit, &starts, Way::Down, |i| conducts[i]);
            let fed = |i: usize| match self.circuit.branches[i].gate {
                Gate::Relay { relay, .. } => {
                    let input = self.circuit.relays[relay].branch;
                    reach.has(self.circuit.branches[input].from)
                }
                _ => false,
            };
            let joins = |i: &&usize| !working.contains(i) && fed(**i);
            match converters.iter().find(joins) {
                Some(&converter) => working.push(converter),
                None => return reach,
            }
        }
    }

    fn live_without_battery(&self, first: usize, searches: &mut usize) -> Vec<OtherSource> {
        let mut found = Vec::new();
        for other in self.sources() {
            if other == first || self.is_converter(other) {
                continue;
            }
            let [ours, theirs] = [other, first].map(|i| self.with_converters(Some(i)));
            // A state in which both feed the same says more than one in which the other source feeds alone.
            let mut alone: Option<OtherSource> = None;
            for row in 0..self.table.rows.len() {
                if *searches < 2 {
                    break;
                }
                *searches -= 2;
                let conducts = conducting(&self.circuit, &self.table.rows[row], 0);
                if !conducts[other] {
                    continue;
                }
                let here = self.live(&ours, &conducts);
                let there = self.live(&theirs, &conducts);
                let seen = OtherSource {
                    part: self.part_of(other),
                    battery: self.part_of(first),
                    at: (row, 0),
                    loads: self.loads(|n| here.has(n)),
                    shared: self.loads(|n| here.has(n) && there.has(n)),
                };
                if !seen.shared.is_empty() {
                    alone = Some(seen);
                    break;
                }
                if !seen.loads.is_empty() && alone.is_none() {
                    alone = Some(seen);
                }
            }
            found.extend(alone);
        }
        found
    }

    fn live_behind(&self, searches: &mut usize) -> Vec<LiveBehind> {
        let mut found = Vec::new();
        for switch in self.masters() {
            let contacts: Vec<usize> = (0..self.circuit.branches.len())
                .filter(|&i| self.wiring.leads[i] != Leads::Not && self.part_of(i) == switch)
                .collect();
            let of = |i: usize| contacts.contains(&i);
            // Whether it can be live at all, with every other contact closed.
            let closed: Vec<bool> = (0..self.circuit.branches.len()).map(|i| !of(i)).collect();
            let sources = self.sources();
            let ends: OrdSet<_> = contacts
                .iter()
                .map(|&i| self.circuit.branches[i].to)
                .collect();
            let end = |reach: &Reach| ends.iter().copied().find(|&node| reach.has(node));
            if end(&self.live(&sources, &closed)).is_none() {
                continue;
            }
            for row in 0..self.table.rows.len() {
                let conducts = conducting(&self.circuit, &self.table.rows[row], 0);
                if contacts.iter().any(|&i| conducts[i]) {
                    continue;
                }
                if *searches == 0 {
                    break;
                }
                *searches -= 1;
                let reach = self.live(&sources, &conducts);
                let Some(node) = end(&reach) else {
                    continue;
                };
                let way = reach.way(node);
                let start = way.first().map_or(node, |&i| {
                    let b = &self.circuit.branches[i];
                    let starts = |n| sources.iter().any(|&s| self.circuit.branches[s].from == n);
                    if starts(b.from) { b.from } else { b.to }
                });
                let source = sources
                    .iter()
                    .find(|&&i| self.circuit.branches[i].from == start);
                if let Some(&source) = source {
                    found.push(LiveBehind {
                        switch,
                        source: self.part_of(source),
                        at: (row, 0),
                        way: way
                            .iter()
                            .map(|&i| self.circuit.branches[i].origin)
                            .collect(),
                    });
                }
                break;
            }
        }
        found
    }
}
