//! The search: paths to cut, sets of spots that cut them, least sets first.

use super::place::{Placement, Runs, Spot, edit};
use super::progress::{Doing, Watch};
use crate::behaviour::{Analyser, Cell, Outcome, Path, Table, Verdict, table, table_within};
use crate::circuit::{Circuit, State};
use crate::plan::{Edit, LampId, Plan, Show};
use std::collections::{BTreeMap, BTreeSet};

/// States gone through while searching; the proposals themselves are solved in all of them.
const SEARCH_STATES: usize = 512;
/// Tables worked out before the search is broken off.
const MAX_TABLES: usize = 4000;
/// Sets of the least size that are compared for the light they leave.
const MAX_ALTERNATIVES: usize = 24;

/// A circuit that is to be dark and carries this many amperes takes them from one that starves: far above the
/// leakage of a diode, far below the current of a lamp.
const DRAIN_AMPS: f64 = 0.01;
/// Share of the largest drain from which on another one counts beside it.
const DRAIN_SHARE: f64 = 0.25;

/// A set of diodes that cures all back-feed that diodes can cure.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// Where they go.
    pub diodes: Vec<Placement>,
    /// The edit that puts them in.
    pub edit: Edit,
    /// The behaviour with them, in every state.
    pub table: Table,
    /// Least light of any lamp circuit that is wished lit, as a share of rated light.
    pub least_light: f64,
}

/// A path that no diode can cut, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncut {
    /// The lamp circuit it lights or hides the flash of.
    pub lamp: LampId,
    /// Whether it lights what should be dark or hides a flash.
    pub verdict: Verdict,
    /// A state in which it does.
    pub state: State,
    /// The path in words.
    pub path: String,
    /// For each wire of the path in which a diode could stand, a lamp circuit that it would leave dark.
    pub reasons: Vec<(Placement, LampId)>,
}

/// What came of looking for diodes.
#[derive(Debug, Clone, PartialEq)]
pub enum Isolation {
    /// Nothing is lit that should be dark, and no flash is hidden.
    Clean,
    /// The least number of diodes that cuts every path that diodes can cut, and the paths they cannot.
    Found {
        /// The diodes.
        cure: Box<Cure>,
        /// What they leave: it needs a relay or a changeover contact.
        uncut: Vec<Uncut>,
    },
    /// No diode helps; the proof, path by path.
    Impossible(Vec<Uncut>),
    /// The search was broken off after so many tables; nothing is proved.
    Unproved {
        /// Tables worked out.
        tables: usize,
    },
}

/// Looks for the least set of diodes of a catalogue type that cures the plan's back-feed.
///
/// A lamp circuit that is dead or weak because its feed drains away through circuits that should be dark is cured
/// too; one that is so for other reasons may stay so.
pub fn isolate(plan: &Plan, model: &str) -> Isolation {
    isolate_watched(plan, model, &mut Watch::new(&mut |_| {}))
}

/// The same, with every trial told.
pub(super) fn isolate_watched(plan: &Plan, model: &str, watch: &mut Watch<'_>) -> Isolation {
    watch.begin(Doing::Diodes, None);
    let circuit = Circuit::new(plan, &[]);
    let runs = Runs::new(plan, &circuit);
    let bare = table_within(plan, &[], SEARCH_STATES);
    let states: Vec<State> = bare.rows.iter().map(|row| row.state.clone()).collect();
    let mut search = Search {
        watch,
        plan,
        model,
        runs,
        excused: unfed(plan, &states),
        states,
        clauses: BTreeSet::new(),
        exclusions: BTreeSet::new(),
        harm: BTreeMap::new(),
        uncut: Vec::new(),
        lamps: bare.lamps.clone(),
        tables: 1,
    };
    let unwished = |v: Verdict| matches!(v, Verdict::BackFed | Verdict::Masked);
    if !bare
        .rows
        .iter()
        .flat_map(|row| &row.cells)
        .any(|cell| unwished(cell.verdict))
    {
        return Isolation::Clean;
    }
    search.learn(&[], &bare);
    match search.least() {
        None => Isolation::Unproved {
            tables: search.tables,
        },
        Some(sets) => match sets.into_iter().next() {
            Some(set) if !set.is_empty() => {
                let diodes = search.placements(&set);
                let edit = edit(plan, &diodes, model);
                let mut after = plan.clone();
                let _ = edit.clone().apply(&mut after);
                let table = table(&after, &[]);
                let least_light = least_light(&table);
                let cure = Cure {
                    diodes,
                    edit,
                    table,
                    least_light,
                };
                Isolation::Found {
                    cure: Box::new(cure),
                    uncut: search.uncut,
                }
            }
            _ => Isolation::Impossible(search.uncut),
        },
    }
}

/// Cells that no diode is the cure of: (state, lamp).
type Cells = BTreeSet<(State, usize)>;

fn is_bad(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Dead | Verdict::Weak | Verdict::Overdriven)
}

fn bad_cells(table: &Table) -> Cells {
    let mut cells = Cells::new();
    for row in &table.rows {
        for (lamp, cell) in row.cells.iter().enumerate() {
            if is_bad(cell.verdict) {
                cells.insert((row.state.clone(), lamp));
            }
        }
    }
    cells
}

/// Cells of wished circuits that are bad though no circuit that is to be dark takes anything: no cut mends those, and a
/// diode that adds to them stands in the feed of a wish.
fn unfed(plan: &Plan, states: &[State]) -> Cells {
    let mut analyser = Analyser::new(plan, &[]).only_wished();
    let mut outcome = Outcome::default();
    let mut cells = Cells::new();
    for state in states {
        analyser.solve_into(state, &mut outcome);
        for (lamp, cell) in analyser.cells(state, &outcome).iter().enumerate() {
            if cell.wish != Show::Off && is_bad(cell.verdict) {
                cells.insert((state.clone(), lamp));
            }
        }
    }
    cells
}

/// Light of the dimmest circuit that is lit as wished; infinite where none is.
fn least_light(table: &Table) -> f64 {
    let lit = |v: Verdict| matches!(v, Verdict::AsWished | Verdict::Masked);
    let wished = |show: Show| matches!(show, Show::Steady | Show::Flashing);
    let cells = table.rows.iter().flat_map(|row| &row.cells);
    cells
        .filter(|cell| lit(cell.verdict) && wished(cell.wish))
        .map(|cell| cell.bright().level)
        .fold(f64::INFINITY, f64::min)
}

struct Search<'a, 'w> {
    watch: &'a mut Watch<'w>,
    plan: &'a Plan,
    model: &'a str,
    runs: Runs,
    /// The states gone through.
    states: Vec<State>,
    /// Cells that are bad for reasons no diode can mend.
    excused: Cells,
    /// One of each set must be taken.
    clauses: BTreeSet<BTreeSet<Spot>>,
    /// Not all of a set may be taken.
    exclusions: BTreeSet<BTreeSet<Spot>>,
    /// For each spot tried alone, the lamp circuit a diode there leaves dark, if any.
    harm: BTreeMap<Spot, Option<LampId>>,
    uncut: Vec<Uncut>,
    /// Lamp circuits, in the order of the cells.
    lamps: Vec<LampId>,
    tables: usize,
}

impl Search<'_, '_> {
    fn placements(&self, set: &[Spot]) -> Vec<Placement> {
        let mut placements: Vec<Placement> = set
            .iter()
            .map(|&spot| self.runs.placement(self.plan, spot))
            .collect();
        placements.sort();
        placements
    }

    /// The plan with diodes at a set of spots. Wires keep their index; the new halves come after them.
    fn with(&self, set: &[Spot]) -> Plan {
        let mut plan = self.plan.clone();
        // The edit was made for this plan, so it applies.
        let _ = edit(self.plan, &self.placements(set), self.model).apply(&mut plan);
        plan
    }

    fn table(&mut self, set: &[Spot]) -> Table {
        self.tables += 1;
        self.watch.step();
        table_within(&self.with(set), &[], SEARCH_STATES)
    }

    /// The lamp circuit that a diode at a spot alone leaves dark or too weak.
    fn harm(&mut self, spot: Spot) -> Option<LampId> {
        if let Some(known) = self.harm.get(&spot) {
            return known.clone();
        }
        self.tables += 1;
        self.watch.step();
        let unfed = unfed(&self.with(&[spot]), &self.states);
        let harm = unfed
            .difference(&self.excused)
            .next()
            .map(|&(_, lamp)| self.lamps[lamp].clone());
        self.harm.insert(spot, harm.clone());
        harm
    }

    /// Takes in the paths that the table of a set shows to be still open; whether any of them is new.
    ///
    /// A path that makes a circuit glow may live on what other open paths do to the grounds it shares with them, and go
    /// out with them. So strong paths are taken in first, and faint ones only once no strong one is left.
    fn learn(&mut self, set: &[Spot], table: &Table) -> bool {
        let dim = self.plan.settings.dim.get();
        let mut new = false;
        for strong in [true, false] {
            for evidence in &table.evidence {
                let (state, cell) = {
                    let row = &table.rows[evidence.row];
                    (&row.state, &row.cells[evidence.lamp])
                };
                let unwished = matches!(cell.verdict, Verdict::BackFed | Verdict::Masked);
                if unwished && strong == (cell.bright().level >= dim) {
                    new |= self.cut(
                        &table.lamps[evidence.lamp],
                        cell.verdict,
                        state,
                        &evidence.path,
                    );
                }
            }
            if new {
                return true;
            }
            if strong && self.learn_drains(set, table) {
                return true;
            }
        }
        false
    }

    /// The same for paths that starve a wished circuit without lighting an unwished one.
    fn learn_drains(&mut self, set: &[Spot], table: &Table) -> bool {
        let starved = bad_cells(table);
        if starved.is_subset(&self.excused) {
            return false;
        }
        let plan = self.with(set);
        let mut analyser = Analyser::new(&plan, &[]);
        let mut new = false;
        let states: BTreeSet<State> = starved.iter().map(|(state, _)| state.clone()).collect();
        for state in states {
            let outcome = analyser.solve(&state);
            let cells = analyser.cells(&state, &outcome);
            let mut drained = false;
            // Small currents between grounds are no drain: only those count that take about as much as the largest.
            let taken = |cell: &Cell| cell.on.amps.abs().max(cell.off.amps.abs());
            let dark = || cells.iter().filter(|cell| cell.wish == Show::Off);
            let largest = dark().map(taken).fold(0.0, f64::max);
            let least = DRAIN_AMPS.max(DRAIN_SHARE * largest);
            for (lamp, cell) in cells.iter().enumerate() {
                for (phase, reading) in [cell.on, cell.off].into_iter().enumerate() {
                    if cell.wish != Show::Off || reading.amps.abs() < least {
                        continue;
                    }
                    if let Some(path) = Path::trace(analyser.circuit(), &outcome, phase, lamp) {
                        drained |= self.cut(&table.lamps[lamp], cell.verdict, &state, &path);
                    }
                }
            }
            new |= drained;
        }
        new
    }

    /// Takes in one path; whether it is new and can be cut.
    fn cut(&mut self, lamp: &LampId, verdict: Verdict, state: &State, path: &Path) -> bool {
        // Diodes put in while searching split wires: steps through new ones name no spot of the plan.
        let spots: BTreeSet<Spot> = path
            .steps
            .iter()
            .filter_map(|step| self.runs.against(step))
            .collect();
        let harms: Vec<(Spot, Option<LampId>)> =
            spots.iter().map(|&spot| (spot, self.harm(spot))).collect();
        let open: BTreeSet<Spot> = harms
            .iter()
            .filter(|(_, harm)| harm.is_none())
            .map(|&(spot, _)| spot)
            .collect();
        if !open.is_empty() {
            return self.clauses.insert(open);
        }
        if !self
            .uncut
            .iter()
            .any(|u| u.lamp == *lamp && u.verdict == verdict)
        {
            let reason = |(spot, harm): &(Spot, Option<LampId>)| {
                Some((self.runs.placement(self.plan, *spot), harm.clone()?))
            };
            self.uncut.push(Uncut {
                lamp: lamp.clone(),
                verdict,
                state: state.clone(),
                path: path.words(self.plan),
                reasons: harms.iter().filter_map(reason).collect(),
            });
        }
        false
    }

    /// The sets of least size that cut every path and leave every wish fed, best light first.
    fn least(&mut self) -> Option<Vec<Vec<Spot>>> {
        let most = self.runs.spots().len();
        let mut size = 0;
        'larger: while size <= most {
            let mut found: Vec<(f64, Vec<Spot>)> = Vec::new();
            let mut tried = BTreeSet::new();
            loop {
                let mut sets = Vec::new();
                self.hit(&mut Vec::new(), size, &mut sets, &tried);
                let Some(set) = sets.into_iter().next() else {
                    break;
                };
                tried.insert(set.clone());
                if self.tables > MAX_TABLES {
                    return None;
                }
                let table = self.table(&set);
                if self.learn(&set, &table) {
                    continue;
                }
                if bad_cells(&table).is_subset(&self.excused) {
                    found.push((least_light(&table), set));
                    if found.len() == MAX_ALTERNATIVES {
                        break;
                    }
                } else {
                    self.exclusions.insert(set.into_iter().collect());
                }
            }
            // A path learnt late may rule out what was found before it.
            found.retain(|(_, set)| self.cuts(set));
            if found.is_empty() {
                size += 1;
                continue 'larger;
            }
            found.sort_by(|a, b| b.0.total_cmp(&a.0));
            return Some(found.into_iter().map(|(_, set)| set).collect());
        }
        Some(Vec::new())
    }

    fn cuts(&self, set: &[Spot]) -> bool {
        self.clauses
            .iter()
            .all(|clause| clause.iter().any(|spot| set.contains(spot)))
    }

    /// Finds one untried set of at most `left` more spots that hits every clause.
    fn hit(
        &self,
        set: &mut Vec<Spot>,
        left: usize,
        out: &mut Vec<Vec<Spot>>,
        tried: &BTreeSet<Vec<Spot>>,
    ) {
        if !out.is_empty() {
            return;
        }
        let open = self
            .clauses
            .iter()
            .filter(|c| !c.iter().any(|spot| set.contains(spot)));
        let Some(clause) = open.min_by_key(|clause| clause.len()) else {
            let mut sorted = set.clone();
            sorted.sort_unstable();
            let inside = |e: &BTreeSet<Spot>| e.iter().all(|spot| sorted.contains(spot));
            if !tried.contains(&sorted) && !self.exclusions.iter().any(inside) {
                out.push(sorted);
            }
            return;
        };
        if left == 0 {
            return;
        }
        for &spot in clause {
            set.push(spot);
            self.hit(set, left - 1, out, tried);
            set.pop();
        }
    }
}
