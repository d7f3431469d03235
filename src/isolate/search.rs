//! The search: least sets of spots, tried, and what their failures teach, until one does not fail.

use super::forced::Forced;
use super::light::Lights;
use super::place::{Direction, Placement, Runs, edit};
use super::progress::{Doing, Watch};
use super::trial::{Trial, spot};
use crate::behaviour::{Cell, Table, Verdict, table};
use crate::circuit::{Circuit, State};
use crate::hitting::{Bits, Failed, Hitting};
use crate::plan::{Edit, LampId, Plan};
use crate::units::order::{OrdMap, OrdSet, Order};

/// States solved before sets are no longer sought to be least, and twice as many before the search is broken off.
const MAX_SOLVES: usize = 120_000;
/// Sets tried before the search is broken off.
const MAX_TRIALS: usize = 2000;
/// Branches looked at before sets are no longer sought to be least.
const MAX_BRANCHES: usize = 200_000;
/// Branches looked at for any set, however large.
const MAX_BRANCHES_FOR_SOME: usize = 20_000;

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
    /// The lamp circuit it lights, hides the flash of, or starves.
    pub lamp: LampId,
    /// Which of these.
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
    /// Nothing is lit that should be dark, no flash is hidden, and nothing starves for what drains its feed.
    Clean,
    /// Diodes that cut every path that diodes can cut, and the paths they cannot.
    Found {
        /// The diodes.
        cure: Box<Cure>,
        /// What they leave: it needs a relay or a changeover contact.
        uncut: Vec<Uncut>,
        /// No cure has fewer diodes than this; where it has just as many, it is the least.
        at_least: usize,
    },
    /// No diode helps; the proof, path by path.
    Impossible(Vec<Uncut>),
    /// The search was broken off before any set stood the trial of every state.
    Unproved {
        /// Trials made.
        trials: usize,
        /// A cure, if there is one, has no fewer diodes than this.
        at_least: usize,
        /// Paths that no diode can cut, as far as they were found.
        uncut: Vec<Uncut>,
    },
}

impl Isolation {
    /// Whether no smaller number of diodes can do what the ones found do.
    pub fn is_least(&self) -> bool {
        matches!(self, Isolation::Found { cure, at_least, .. } if *at_least == cure.diodes.len())
    }
}

/// Looks for the least set of diodes of a catalogue type that cures the plan's back-feed.
///
/// A lamp circuit that is dead or weak because its feed drains away through circuits that should be dark is cured
/// too; one that is so for other reasons may stay so.
pub fn isolate(plan: &Plan, model: &str) -> Isolation {
    let bare = table(plan, &[]);
    isolate_watched(plan, &bare, model, &mut Watch::new(&mut |_| {}))
}

/// The same with the behaviour of the plan known and every trial told.
pub(super) fn isolate_watched(
    plan: &Plan,
    bare: &Table,
    model: &str,
    watch: &mut Watch<'_>,
) -> Isolation {
    let fine = |verdict: Verdict| verdict == Verdict::AsWished;
    if bare
        .rows
        .iter()
        .flat_map(|row| &row.cells)
        .all(|cell| fine(cell.verdict))
    {
        return Isolation::Clean;
    }
    watch.begin(Doing::Diodes, None);
    Search::new(plan, bare, model, watch).run()
}

/// A cell that fails for want of a diode.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Failure {
    /// Row of the table.
    pub row: usize,
    /// Lamp circuit.
    pub lamp: usize,
    pub kind: Fault,
}

/// What current it is that should not run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fault {
    /// It lights what is to be dark.
    BackFed,
    /// It hides a flash.
    Masked,
    /// It hides a flash that has lost light to diodes.
    Dimmed,
    /// It adds to the light of a circuit that has its own.
    Overdriven,
    /// It starves a wished circuit by feeding others.
    Drained,
}

pub(super) struct Search<'a, 'w> {
    pub watch: &'a mut Watch<'w>,
    pub plan: &'a Plan,
    pub model: &'a str,
    pub runs: Runs,
    pub trial: Trial<'a>,
    pub bare: &'a Table,
    /// Rows in which wishes are looked after in every trial.
    pub sample: Vec<usize>,
    /// Rows that may show what sets still leave open.
    pub critical: Vec<usize>,
    /// Spots that starve no wish by themselves as far as known.
    pub open: Bits,
    /// For each spot the lamp circuit that a diode there leaves dark, where it does.
    pub harm: Vec<Option<usize>>,
    /// Spots at which a diode stops what runs from the supply end of the wire to its load end.
    pub stopping: Bits,
    pub hitting: Hitting,
    /// Sets that starve a lamp circuit together.
    pub starving: Vec<(Bits, usize)>,
    /// The failures behind the clauses.
    pub why: OrdMap<Bits, Failure>,
    pub forced: Forced,
    /// Cells (row, lamp circuit) that no diode can mend.
    pub hopeless: OrdSet<(usize, usize)>,
    /// Row, open spots and cells of the row that was last solved with all of them taken.
    pub with_all: Option<(usize, Bits, Vec<Cell>)>,
    /// By row, the wished circuits that are bad though nothing drains their feed.
    pub excused: OrdMap<usize, Bits>,
    pub uncut: Vec<Uncut>,
    /// Lamp circuits and verdicts of the paths among them.
    pub noted: OrdSet<(usize, Verdict)>,
    pub lights: Lights,
    /// Sets that the trial takes for cures and the table does not.
    barred: Vec<Bits>,
    at_least: usize,
    /// No set that hits all clauses is smaller.
    floor: usize,
    /// Whether what was learnt so far holds of every cure.
    pub sure: bool,
    work: usize,
    trials: usize,
}

impl<'a, 'w> Search<'a, 'w> {
    fn new(plan: &'a Plan, bare: &'a Table, model: &'a str, watch: &'a mut Watch<'w>) -> Self {
        let circuit = Circuit::new(plan, &[]);
        let runs = Runs::new(plan, &circuit);
        let forced = Forced::new(&circuit, bare);
        let trial = Trial::new(plan, circuit, &runs, model);
        let spots = trial.spots();
        let mut open = Bits::new(spots);
        (0..spots).for_each(|spot| open.insert(spot));
        let mut stopping = Bits::new(spots);
        (0..spots)
            .filter(|&number| runs.placement(plan, spot(number)).direction == Direction::Backward)
            .for_each(|number| stopping.insert(number));
        Self {
            watch,
            plan,
            model,
            runs,
            forced,
            trial,
            bare,
            sample: super::rows::sample(bare),
            critical: Vec::new(),
            open,
            harm: vec![None; spots],
            stopping,
            hitting: Hitting::new(spots),
            starving: Vec::new(),
            why: OrdMap::new(),
            hopeless: OrdSet::new(),
            with_all: None,
            excused: OrdMap::new(),
            uncut: Vec::new(),
            noted: OrdSet::new(),
            lights: Lights::default(),
            barred: Vec::new(),
            at_least: 0,
            floor: 0,
            sure: true,
            work: MAX_BRANCHES,
            trials: 0,
        }
    }

    fn run(mut self) -> Isolation {
        self.find_harm();
        self.look_at_lights();
        self.find_critical();
        let nothing = Bits::new(self.trial.spots());
        if self.critical.is_empty() && self.uncut.is_empty() {
            return Isolation::Clean;
        }
        // A cure that need not be the least, so that there is one.
        let mut some = self.plain_set();
        while self.trials < MAX_TRIALS && self.trial.solves < 2 * MAX_SOLVES {
            let exact = self.work > 0 && self.trial.solves < MAX_SOLVES;
            let found = if exact {
                match self.least() {
                    Ok(set) => Some(set),
                    Err(Failed::Broken(_)) => {
                        self.work = 0;
                        continue;
                    }
                    Err(Failed::None) => None,
                }
            } else if some.is_some() {
                some.clone()
            } else {
                let mut work = MAX_BRANCHES_FOR_SOME;
                self.hitting.some(&self.open, &mut work).ok()
            };
            let Some(mut set) = found else {
                if !self.give_up_a_cell(exact) {
                    break;
                }
                some = self.plain_set();
                continue;
            };
            match &some {
                Some(known) if known.len() == set.len() => set.clone_from(known),
                _ => {
                    self.trials += 1;
                    if self.fails(&set) {
                        continue;
                    }
                }
            }
            if set == nothing {
                return Isolation::Impossible(self.uncut);
            }
            let set = if exact { self.brightest(set) } else { set };
            let cure = self.build(&set);
            if self.stands(&set, &cure.table) {
                return Isolation::Found {
                    cure: Box::new(cure),
                    uncut: self.uncut,
                    at_least: if self.sure { self.at_least } else { 1 },
                };
            }
            some = self.plain_set();
        }
        Isolation::Unproved {
            trials: self.trials,
            at_least: if self.sure { self.at_least } else { 1 },
            uncut: self.uncut,
        }
    }

    /// A least set that hits all clauses known.
    fn least(&mut self) -> Result<Bits, Failed> {
        let sizes = self.floor..=usize::MAX;
        let (open, barred, work) = (&self.open, &self.barred, &mut self.work);
        let found = self.hitting.least(|_| true, open, barred, sizes, work);
        match &found {
            Ok(set) => (self.at_least, self.floor) = (set.len(), set.len()),
            Err(Failed::Broken(size)) => self.at_least = *size,
            Err(Failed::None) => {}
        }
        found
    }

    /// A small set that stands the trial and leads everywhere from supply to load, if there is one.
    fn plain_set(&mut self) -> Option<Bits> {
        while self.trials < MAX_TRIALS && self.trial.solves < MAX_SOLVES {
            let plain = self.open.without(&self.stopping);
            let mut work = MAX_BRANCHES_FOR_SOME;
            let all = 0..=usize::MAX;
            let set = match self
                .hitting
                .least(|_| true, &plain, &self.barred, all, &mut work)
            {
                Ok(set) => set,
                Err(Failed::None) => return None,
                Err(Failed::Broken(_)) => {
                    let mut work = MAX_BRANCHES_FOR_SOME;
                    self.hitting.some(&plain, &mut work).ok()?
                }
            };
            if self.barred.contains(&set) {
                return None;
            }
            self.trials += 1;
            if !self.fails(&set) {
                return Some(set);
            }
        }
        None
    }

    /// Tries a set in the rows that matter; whether it failed, and something was learnt of it.
    pub fn fails(&mut self, set: &Bits) -> bool {
        let mut thin = Vec::new();
        self.learn_apart(set, &mut thin) || self.learn_rows(set, thin)
    }

    /// Of the sets that are as small as `set`, the one that leaves most light to the dimmest circuit.
    fn brightest(&mut self, set: Bits) -> Bits {
        let mut best = (self.light_with(&set), set);
        let mut barred = self.barred.clone();
        barred.push(best.1.clone());
        for _ in 0..super::light::MAX_ALTERNATIVES {
            let brighter = self.brighter_spots(best.0);
            let size = best.1.len();
            let mut work = super::light::MAX_BRANCHES.min(self.work);
            let Ok(next) = self
                .hitting
                .least(|_| true, &brighter, &barred, size..=size, &mut work)
            else {
                break;
            };
            barred.push(next.clone());
            self.trials += 1;
            if next.len() == size && !self.fails(&next) {
                let light = self.light_with(&next);
                if light > best.0 {
                    best = (light, next);
                }
            }
        }
        best.1
    }

    fn build(&mut self, set: &Bits) -> Cure {
        let mut diodes: Vec<Placement> = set
            .iter()
            .map(|number| self.runs.placement(self.plan, spot(number)))
            .collect();
        diodes.order();
        let edit = edit(self.plan, &diodes, self.model);
        let mut after = self.plan.clone();
        // The edit was made for this plan, so it applies.
        let _ = edit.clone().apply(&mut after);
        self.watch.step();
        let table = table(&after, &[]);
        let least_light = super::light::least(&table);
        Cure {
            diodes,
            edit,
            table,
            least_light,
        }
    }

    /// Whether the table of a set leaves only what no diode can mend; otherwise learns from what it shows.
    fn stands(&mut self, set: &Bits, table: &Table) -> bool {
        let left = self.left_in(set, table);
        if left.is_empty() {
            return true;
        }
        let mut learnt = false;
        for row in left {
            learnt |= self.learn_row(set, row);
            if !self.critical.contains(&row) {
                self.critical.push(row);
            }
        }
        if !learnt {
            // The trial, in which a diode does not halve its wire, and the table lie on two sides of a threshold.
            self.barred.push(set.clone());
            self.sure = false;
        }
        false
    }

    /// No set hits all clauses: finds a cell that no set mends and lets its clauses go.
    fn give_up_a_cell(&mut self, exact: bool) -> bool {
        let mut failures: Vec<Failure> = self.why.values().copied().collect();
        failures.order();
        failures.dedup();
        for &failure in &failures {
            let of = |clause: &Bits| self.why.get(clause).is_some_and(|f| *f == failure);
            let all = 0..=usize::MAX;
            let asked = self.hitting.least(of, &self.open, &[], all, &mut self.work);
            if asked == Err(Failed::None) {
                self.release(failure);
                return true;
            }
        }
        // Each can be mended, but not all together.
        let last = exact.then(|| failures.last().copied()).flatten();
        self.sure = false;
        last.map(|failure| self.release(failure)).is_some()
    }

    /// Notes that no set mends a failure, and lets its clauses go.
    fn release(&mut self, failure: Failure) {
        (self.at_least, self.floor) = (1, 0);
        let clauses: Vec<Bits> = self
            .why
            .iter()
            .filter(|(_, f)| **f == failure)
            .map(|(clause, _)| clause.clone())
            .collect();
        for clause in clauses {
            self.why.remove(&clause);
            self.hitting.release(&clause);
            let most = self.open.without(&clause);
            self.no_diode_mends(failure, &most);
        }
    }
}
