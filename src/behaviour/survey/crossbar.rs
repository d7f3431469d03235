//! The cross-bar of the H pattern: a run through which current goes one way in one state and back in another.
//!
//! The largest currents of every branch come with the table; branches in series (joined at nodes where nothing
//! else ends) make one run. Runs within the trunk or within the ground side are left out: a source that is
//! being charged and a ring of wires turn the current there without feeding anything that is switched off.

use super::feeds::FuseBranch;
use super::{Scene, Survey};
use crate::behaviour::{Analyser, Outcome, Peak, RUNNING_AMPS, Verdict};
use crate::circuit::{Circuit, Origin};
use crate::network::NodeId;
use crate::plan::{Kind, TerminalId};
use crate::units::order::{OrdMap, OrdSet, Order};
use petgraph::unionfind::UnionFind;

/// Most states tried to find one that shows the harm of a run.
const MAX_TRIED: usize = 4;
/// Most paths of back-fed lamps read to find such a state; those with few controls moved come first.
const MAX_PATHS: usize = 512;
/// A run feeds a lamp when this share of the lamp's current came through it: more than the drops along shared wires
/// move to and fro. Common practice.
const FEEDS_SHARE: f64 = 0.05;
/// Where nothing is lit that should be dark, a run turns its current when the smaller of its largest currents is this
/// share of the other: the drops along shared wires push less to and fro between lamps fed alike. Common practice.
pub const TURN_SHARE: f64 = 0.02;
/// Currents below this many amperes are not followed.
const TRACE_AMPS: f64 = 1e-6;

/// Current through a run in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Row of the table.
    pub row: usize,
    /// Phase of the flashers: 0 closed, 1 open.
    pub phase: usize,
    /// Amperes.
    pub amps: f64,
    /// Lamp circuits (by index) that are lit, at least in part, by the current behind it.
    pub lamps: Vec<usize>,
    /// Those of them that should be dark.
    pub unwished: Vec<usize>,
}

/// A run of branches in series whose current turns, or only runs against the intended direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Crossbar {
    /// Its wires and parts; the directions below are those of the first.
    pub members: Vec<Origin>,
    /// A state in which current runs as intended; `None` when there is none.
    pub forward: Option<Run>,
    /// A state in which it runs against that.
    pub backward: Run,
    /// Two fuses (parts by index) of which one feeds one end and the other feeds the other.
    pub fuses: Option<[usize; 2]>,
}

impl Survey {
    pub(super) fn crossbars<'a>(&mut self, scene: &Scene<'a>, analyser: &mut Analyser<'a>) {
        let runs = runs(&scene.circuit);
        let mut found: OrdMap<usize, Vec<usize>> = OrdMap::new();
        for (i, peaks) in scene.table.peaks.iter().enumerate() {
            let b = &scene.circuit.branches[i];
            let within =
                |side: &[bool]| side[b.from as usize] && side[b.to as usize] && !b.is_source();
            let inner = within(&scene.wiring.trunk) || within(&scene.wiring.ground);
            let wrong = peaks.only_backward()
                && !within(&scene.wiring.trunk)
                && scene.is_directed(b.origin);
            let turns = peaks.reverses() && !inner && !b.is_source();
            if turns || wrong {
                found.entry(runs.find(i)).or_default().push(i);
            }
        }
        let mut replay = Replay {
            scene,
            analyser,
            known: OrdMap::new(),
        };
        let crossbars = found.into_values().filter_map(|run| replay.crossbar(run));
        self.crossbars = crossbars.collect();
        self.solves += replay.known.len();
    }
}

/// Rows solved again, each once: at most [`MAX_TRIED`] and two more for a run.
struct Replay<'r, 'a> {
    scene: &'r Scene<'a>,
    analyser: &'r mut Analyser<'a>,
    known: OrdMap<usize, Outcome>,
}

impl Replay<'_, '_> {
    fn crossbar(&mut self, mut branches: Vec<usize>) -> Option<Crossbar> {
        let scene = self.scene;
        // The first wire stands for the run: its direction is known.
        let is_wire = |&i: &usize| matches!(scene.circuit.branches[i].origin, Origin::Wire(_));
        branches.order_by_key(|i| (!is_wire(i), *i));
        let stands = *branches.first()?;
        let peaks = &scene.table.peaks[stands];
        let members: Vec<Origin> = branches
            .iter()
            .map(|&i| scene.circuit.branches[i].origin)
            .collect();
        // States whose back-fed lamps are known to be lit through this run come first.
        let paths = scene.table.evidence.iter().take(MAX_PATHS);
        let through = paths.filter(|evidence| {
            let verdict = scene.table.rows[evidence.row].cells[evidence.lamp].verdict;
            let steps = &evidence.path.steps;
            verdict == Verdict::BackFed && steps.iter().any(|step| members.contains(&step.origin))
        });
        let blamed: OrdSet<usize> = through.map(|evidence| evidence.row).collect();
        let mut tried = blamed.into_iter().take(MAX_TRIED).flat_map(|row| {
            let runs = [0, 1].map(|phase| (row, phase));
            runs.into_iter()
        });
        let harm = tried.find_map(|at| {
            let (amps, run) = self.run(stands, at);
            (amps <= -RUNNING_AMPS && !run.unwished.is_empty()).then_some(run)
        });
        let mut at = |first: Option<(usize, usize)>| first.map(|first| self.run(stands, first).1);
        let (most, least) = (
            peaks.forward.amps.max(peaks.backward.amps),
            peaks.forward.amps.min(peaks.backward.amps),
        );
        let turns = peaks.only_backward() || least >= TURN_SHARE * most;
        if harm.is_none() && !turns {
            return None;
        }
        let first = |peak: &Peak| peak.first_live.or(peak.first);
        let forward = at(first(&peaks.forward));
        let backward = harm.or_else(|| at(first(&peaks.backward)))?;
        Some(Crossbar {
            members,
            forward,
            backward,
            fuses: fuses(scene, &branches),
        })
    }

    /// Current of a branch in a row and phase, and what it feeds.
    fn run(&mut self, branch: usize, (row, phase): (usize, usize)) -> (f64, Run) {
        let scene = self.scene;
        let solved = &scene.table.rows[row];
        let analyser = &mut *self.analyser;
        let outcome = self.known.entry(row);
        let outcome = outcome.or_insert_with(|| analyser.solve(&solved.state));
        let cells = &solved.cells;
        let faint = scene.plan.settings.faint.get();
        let lit = |&lamp: &usize| {
            let cell = &cells[lamp];
            let reading = if phase == 0 { cell.on } else { cell.off };
            reading.level >= faint
        };
        let mut lamps = fed_by(&scene.circuit, outcome, phase, branch);
        lamps.retain(lit);
        let unwished = |&lamp: &usize| cells[lamp].verdict == Verdict::BackFed;
        let amps = amps(outcome, phase)[branch];
        let run = Run {
            row,
            phase,
            amps: amps.abs(),
            unwished: lamps.iter().copied().filter(unwished).collect(),
            lamps,
        };
        (amps, run)
    }
}

impl Scene<'_> {
    /// Whether a branch can be said to run the wrong way for good: a wire, but not one at a source, whose current may
    /// run either way, and no part.
    fn is_directed(&self, origin: Origin) -> bool {
        let Origin::Wire(wire) = origin else {
            return false;
        };
        let wire = &self.plan.wires[wire];
        let at_source = |end: &TerminalId| {
            let part = self.plan.part(&end.part);
            part.is_some_and(|part| {
                matches!(
                    part.kind,
                    Kind::Battery(_) | Kind::Charger(_) | Kind::Converter(_)
                )
            })
        };
        !at_source(&wire.from) && !at_source(&wire.to)
    }
}

fn amps(outcome: &Outcome, phase: usize) -> &[f64] {
    if phase == 0 {
        &outcome.on.amps
    } else {
        &outcome.off.amps
    }
}

/// Branches in series, as sets: those that meet at a node where nothing else ends.
fn runs(circuit: &Circuit) -> UnionFind<usize> {
    let mut ends: Vec<Vec<usize>> = vec![Vec::new(); circuit.nodes];
    for (i, b) in circuit.branches.iter().enumerate() {
        for end in [b.from, b.to] {
            ends[end as usize].push(i);
        }
    }
    let mut runs = UnionFind::new(circuit.branches.len());
    for at in ends {
        if let [a, b] = at[..] {
            runs.union(a, b);
        }
    }
    runs
}

/// Lamp circuits of whose current at least [`FEEDS_SHARE`] came through a branch, where currents that meet at a node
/// are taken to mix.
fn fed_by(circuit: &Circuit, outcome: &Outcome, phase: usize, branch: usize) -> Vec<usize> {
    let point = if phase == 0 {
        &outcome.on
    } else {
        &outcome.off
    };
    let volts: Vec<f64> = (0..circuit.nodes as NodeId)
        .map(|node| point.across(node, circuit.datum))
        .collect();
    // Outside a source current only runs towards lower voltage: branch by branch from the highest tail down, each
    // node has all it gets before it passes anything on.
    let mut running: Vec<(NodeId, NodeId, usize)> = Vec::new();
    let (mut all, mut through) = (vec![0.0; circuit.nodes], vec![0.0; circuit.nodes]);
    for (i, b) in circuit.branches.iter().enumerate() {
        let amps = point.amps[i];
        let (tail, head) = if amps >= 0.0 {
            (b.from, b.to)
        } else {
            (b.to, b.from)
        };
        if b.is_source() {
            all[head as usize] += amps.abs();
        } else if amps.abs() >= TRACE_AMPS {
            running.push((tail, head, i));
        }
    }
    running.order_by(|a, b| {
        let (high, low) = (volts[a.0 as usize], volts[b.0 as usize]);
        low.total_cmp(&high).then(a.2.cmp(&b.2))
    });
    let mut share = vec![0.0; circuit.branches.len()];
    for (tail, head, i) in running {
        let tail = tail as usize;
        share[i] = match (i == branch, all[tail] > 0.0) {
            (true, _) => 1.0,
            (false, true) => through[tail] / all[tail],
            (false, false) => 0.0,
        };
        let amps = point.amps[i].abs();
        all[head as usize] += amps;
        through[head as usize] += share[i] * amps;
    }
    (0..circuit.lamps.len())
        .filter(|&lamp| share[circuit.lamps[lamp].branch] >= FEEDS_SHARE)
        .collect()
}

/// Two fuses of which one feeds one end of a run and the other the other end, in any position of the switches.
fn fuses(scene: &Scene<'_>, run: &[usize]) -> Option<[usize; 2]> {
    // The ends of the run are the nodes at which only one of its branches ends.
    let mut ends: OrdMap<NodeId, usize> = OrdMap::new();
    for &i in run {
        let b = &scene.circuit.branches[i];
        *ends.entry(b.from).or_default() += 1;
        *ends.entry(b.to).or_default() += 1;
    }
    ends.retain(|_, count| *count == 1);
    let mut ends = ends.into_keys();
    let ends = [ends.next()?, ends.next()?];
    let fed = ends.map(|end| -> OrdSet<usize> {
        let feeds = |fuse: &&FuseBranch| scene.behind(fuse, |i| !run.contains(&i)).has(end);
        let fuses = scene.fuses.iter().filter(feeds);
        fuses.map(|fuse| fuse.part).collect()
    });
    let one = fed[0].difference(&fed[1]).next()?;
    let other = fed[1].difference(&fed[0]).next()?;
    Some([*one, *other])
}
