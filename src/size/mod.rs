//! Standard sizes for wires, fuses, diodes and relays: the smallest that breaks no rule, and the recommended one.
//!
//! Method: fuses from their load, then wires from their current, their fuse and their share of the allowed drop, all in
//! closed form from the loads of the plan; the plan with these sizes is worked out again until nothing changes, since
//! thicker wires change currents. What a check still finds is cured by its own remedy. The smallest size of a
//! wire is found with everything else as recommended: one size thinner breaks a rule.

mod fuses;
mod others;
mod progress;
mod wires;

pub use progress::Step;

use crate::behaviour::{Loads, Table, loads, table};
use crate::catalog::{conductor, wire_choice};
use crate::findings::{Finding, SIZING, Severity, findings};
use crate::plan::{Change, Edit, Item, Kind, Part, Plan};
use crate::text::say;
use progress::Watch;
use serde::{Deserialize, Serialize};

/// Rounds of choosing and working out; currents settle in two.
const MAX_ROUNDS: usize = 4;
/// Rounds of remedies after that.
const MAX_CURES: usize = 24;

/// One wire or part before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its identity.
    pub id: String,
    /// The kind of thing, as words.
    pub kind: &'static str,
    /// What the plan has.
    pub now: String,
    /// The smallest that breaks no rule with everything else as recommended.
    pub smallest: String,
    /// The largest that breaks no rule, for a fuse; `None` where none of the list is too large, and for other things.
    pub largest: Option<String>,
    /// What it should be.
    pub recommended: String,
    /// How much more the recommended one bears than it has to, as a share: 0.25 for a quarter more. `None` where
    /// nothing limits it.
    pub margin: Option<f64>,
    /// What decides.
    pub reason: String,
}

impl Choice {
    /// Whether the plan has another one than recommended.
    pub fn changes(&self) -> bool {
        self.now != self.recommended
    }

    /// Before and after in words, with the smallest that does, what is to spare, and what decides.
    pub fn words(&self) -> String {
        let Choice {
            id,
            kind,
            now,
            smallest,
            recommended,
            reason,
            ..
        } = self;
        let change = if self.changes() {
            say!("{now} becomes {recommended}")
        } else {
            say!("stays {now}")
        };
        let spare = match self.margin {
            Some(margin) => say!(" with {:.0} % to spare", 100.0 * margin.max(0.0)),
            None => String::new(),
        };
        say!("{id}, {kind}: {change}{spare}, {smallest} at least; {reason}.")
    }
}

/// The list in words, what changes first.
pub fn lines(choices: &[Choice]) -> Vec<String> {
    let of = |changes: bool| choices.iter().filter(move |c| c.changes() == changes);
    of(true).chain(of(false)).map(Choice::words).collect()
}

/// The edit that turns every wire into the sizes the plan is bought in, none thinner than it was; `None` where nothing
/// changes.
pub fn rewrite(plan: &Plan) -> Option<Edit> {
    let gauge = plan.settings.sizing.gauge;
    let mut after = plan.wires.clone();
    for wire in &mut after {
        let Some(row) = conductor::find(&wire.size) else {
            continue;
        };
        let system = gauge.system(row.system);
        let same = |other: &&conductor::Row| {
            other.area_mm2 >= row.area_mm2 && other.ohms_per_km_20c <= row.ohms_per_km_20c
        };
        if let Some(other) = wire_choice::sizes(system)
            .find(same)
            .filter(|_| system != row.system)
        {
            wire.size = other.key.into();
        }
    }
    let edits = replaced(&plan.wires, &after, Edit::Wire);
    (!edits.is_empty()).then_some(Edit::All(edits))
}

/// Everything sized, as it is offered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sizes {
    /// What changes.
    pub edit: Edit,
    /// All wires, fuses, diodes and relays before and after, in words, what changes first.
    pub lines: Vec<String>,
}

impl Sizes {
    /// Worked out for a plan; each step is told.
    pub fn of(plan: &Plan, tell: &mut dyn FnMut(Step)) -> Self {
        let (edit, choices) = sized(plan, tell);
        let lines = lines(&choices);
        Self { edit, lines }
    }
}

/// Sizes everything: one edit of what changes, and the list of all wires, fuses, diodes and relays before and after.
pub fn size_all(plan: &Plan) -> (Edit, Vec<Choice>) {
    sized(plan, &mut |_| {})
}

fn sized(plan: &Plan, tell: &mut dyn FnMut(Step)) -> (Edit, Vec<Choice>) {
    let fuses = |part: &&Part| matches!(part.kind, Kind::Fuse(_));
    let of = plan.wires.len() + plan.parts.iter().filter(fuses).count();
    let mut watch = Watch::new(of, tell);
    let mut sized = plan.clone();
    let mut worked = work(&sized, &mut watch);
    for _ in 0..MAX_ROUNDS {
        let before = sized.clone();
        fuses::choose(&mut sized, &worked.1);
        others::choose(&mut sized, &worked.1);
        wires::choose(&mut sized, &worked.1);
        if sized == before {
            break;
        }
        worked = work(&sized, &mut watch);
    }
    for _ in 0..MAX_CURES {
        if !cure(&mut sized, &worked.0) {
            break;
        }
        worked = work(&sized, &mut watch);
    }
    let loads = &worked.1;
    let mut list = wires::list(plan, &sized, loads, &is_faultless, &mut watch);
    list.extend(fuses::list(plan, &sized, loads, &is_faultless, &mut watch));
    list.extend(others::list(plan, &sized, loads));
    let mut edits = replaced(&plan.wires, &sized.wires, Edit::Wire);
    edits.extend(replaced(&plan.parts, &sized.parts, Edit::Part));
    (Edit::All(edits), list)
}

fn work(plan: &Plan, watch: &mut Watch) -> (Table, Loads) {
    let table = table(plan, &[]);
    let loads = loads(plan, &table);
    watch.chosen();
    (table, loads)
}

/// Whether no check finds a fault in the sizes of a plan.
fn is_faultless(plan: &Plan) -> bool {
    let found = findings(plan, &table(plan, &[]));
    let fault = |f: &Finding| f.severity == Severity::Fault && SIZING.contains(&f.check);
    !found.iter().any(fault)
}

/// Takes the first remedy of a fault or caution on sizes that only resizes; whether there was one.
fn cure(plan: &mut Plan, table: &Table) -> bool {
    let found = findings(plan, table);
    let sizing =
        |finding: &&Finding| finding.severity != Severity::Note && SIZING.contains(&finding.check);
    let remedies = found.iter().filter(sizing).flat_map(|f| &f.remedies);
    for remedy in remedies.filter(|remedy| resizes(&remedy.edit)) {
        let before = plan.clone();
        if remedy.edit.clone().apply(plan).is_ok() && *plan != before {
            return true;
        }
    }
    false
}

/// Whether an edit puts wires and parts in the place of others and does nothing else.
fn resizes(edit: &Edit) -> bool {
    match edit {
        Edit::All(edits) => edits.iter().all(resizes),
        Edit::Wire(Change::Replace { .. }) | Edit::Part(Change::Replace { .. }) => true,
        _ => false,
    }
}

/// The edits that put what changed in the place of what was; both lists hold the same items in the same order.
fn replaced<T: Item + PartialEq>(
    before: &[T],
    after: &[T],
    edit: impl Fn(Change<T>) -> Edit,
) -> Vec<Edit> {
    let changed = before.iter().zip(after).filter(|(old, new)| old != new);
    changed
        .map(|(old, new)| {
            edit(Change::Replace {
                id: old.id().clone(),
                item: new.clone(),
            })
        })
        .collect()
}
