//! Cures as they are offered: what is added, what it costs, what it changes; each with its edit.

use super::cost::{self, Costs};
use super::priority::priority_watched;
use super::progress::{Doing, Progress, Watch};
use super::search::isolate_watched;
use super::{Arrangement, Isolation, Priority};
use crate::behaviour::{Table, Verdict, table};
use crate::plan::{Edit, PartId, Plan};
use crate::text::say;
use serde::{Deserialize, Serialize};

/// A cure to choose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Proposal {
    /// What it is, in a few words.
    pub title: String,
    /// What it adds, a sentence each.
    pub lines: Vec<String>,
    /// Whether it is proved that fewer diodes cannot do it.
    pub least: bool,
    /// What that costs: drop, heat, light.
    pub costs: Costs,
    /// Cells that are not as wished now.
    pub before: Tally,
    /// Cells that are not as wished with it.
    pub after: Tally,
    /// The edit that builds it.
    pub edit: Edit,
}

/// Number of cells by verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tally {
    counts: [(Verdict, usize); 5],
}

impl Tally {
    /// Counts the cells of a table.
    pub fn of(table: &Table) -> Self {
        let verdicts = [
            Verdict::BackFed,
            Verdict::Masked,
            Verdict::Dead,
            Verdict::Weak,
            Verdict::Overdriven,
        ];
        let cells = || table.rows.iter().flat_map(|row| &row.cells);
        Self {
            counts: verdicts.map(|v| (v, cells().filter(|cell| cell.verdict == v).count())),
        }
    }

    /// In words, e.g. `8 back-fed, 4 masked` or `all as wished`.
    pub fn words(&self) -> String {
        let some = self.counts.iter().filter(|(_, count)| *count > 0);
        let words: Vec<String> = some
            .map(|(verdict, count)| format!("{count} {}", verdict.word()))
            .collect();
        if words.is_empty() {
            say!("all as wished").into()
        } else {
            words.join(", ")
        }
    }
}

/// The cures of a plan, simplest first, and what has to be said where there is none.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Advice {
    /// Cures, each solved in every state.
    pub proposals: Vec<Proposal>,
    /// What diodes cannot do here, and why.
    pub remarks: Vec<String>,
}

/// Works out the cures of a plan with diodes of a catalogue type; `watch` is told of every trial and table.
pub fn advise(plan: &Plan, model: &str, watch: &mut dyn FnMut(&Progress)) -> Advice {
    let mut watch = Watch::new(watch);
    watch.begin(Doing::Behaviour, None);
    let now = table(plan, &[]);
    let before = Tally::of(&now);
    let mut advice = Advice {
        proposals: Vec::new(),
        remarks: Vec::new(),
    };
    let isolation = isolate_watched(plan, &now, model, &mut watch);
    let least = isolation.is_least();
    let (uncut, base) = match isolation {
        Isolation::Clean => return advice,
        Isolation::Unproved {
            trials,
            at_least,
            uncut,
        } => {
            advice.remarks.push(say!(
                "The search was broken off after {trials} trials. If diodes cure this plan, it takes at least \
                 {at_least}; whether they do is left unproved. Split the plan."
            ));
            (uncut, None)
        }
        Isolation::Impossible(uncut) => (uncut, None),
        Isolation::Found {
            cure,
            uncut,
            at_least,
        } => {
            let mut after = plan.clone();
            // The edit was made for this plan, so it applies.
            let _ = cure.edit.clone().apply(&mut after);
            let count = cure.diodes.len();
            let lines = diode_lines(plan, &after, &cure.table);
            watch.begin(Doing::Costs, None);
            let costs = cost::costs(plan, &now, &after, &cure.table);
            advice.proposals.push(Proposal {
                title: match (least, count) {
                    (true, 1) => say!("{count} diode, the least that works"),
                    (true, _) => say!("{count} diodes, the least that works"),
                    (false, 1) => say!("{count} diode, the fewest the search found"),
                    (false, _) => say!("{count} diodes, the fewest the search found"),
                },
                least,
                lines,
                costs,
                before,
                after: Tally::of(&cure.table),
                edit: cure.edit.clone(),
            });
            if !least {
                advice.remarks.push(say!(
                    "No set of fewer than {at_least} diodes can do it; whether fewer than {count} can is left \
                     unproved."
                ));
            }
            (uncut, Some((cure.edit, after, cure.table)))
        }
    };
    for path in &uncut {
        let (lamp, way) = (&path.lamp, &path.path);
        let mut text = match path.verdict {
            Verdict::Masked => {
                say!("No diode can stop the feed that hides the flash of {lamp}: path {way}.")
            }
            Verdict::Dead | Verdict::Weak => {
                say!("No diode can keep the current of {lamp}: path {way}.")
            }
            _ => say!("No diode can keep dark {lamp}: path {way}."),
        };
        let reasons: Vec<String> = path
            .reasons
            .iter()
            .map(|(place, lamp)| say!("in {} {lamp}", place.wire))
            .collect();
        if !reasons.is_empty() {
            text.push_str(&say!(
                " A diode would leave a lamp dark: {}.",
                reasons.join(", ")
            ));
        }
        advice.remarks.push(text);
    }
    let (edit, start, begun) =
        base.unwrap_or_else(|| (Edit::All(Vec::new()), plan.clone(), now.clone()));
    for arrangement in Arrangement::ALL {
        if let Some(found) = priority_watched(&start, &begun, arrangement, &mut watch) {
            watch.begin(Doing::Costs, None);
            advice
                .proposals
                .push(with_priority(plan, &start, &edit, found, before, &now));
        }
    }
    advice
}

fn with_priority(
    plan: &Plan,
    start: &Plan,
    edit: &Edit,
    found: Priority,
    before: Tally,
    now: &Table,
) -> Proposal {
    let mut after = start.clone();
    let _ = found.edit.clone().apply(&mut after);
    let what = match found.arrangement {
        Arrangement::SecondPole => say!("Turn before stop by a second pole on the turn switch"),
        Arrangement::Relay => say!("Turn before stop by relays"),
    };
    let mut lines: Vec<String> = found
        .parts
        .iter()
        .filter_map(|id| part_line(&after, id))
        .collect();
    let diodes = diode_lines(plan, &after, &found.table);
    let title = if diodes.is_empty() {
        what.to_owned()
    } else {
        say!("{what}, with diodes")
    };
    lines.extend(diodes);
    Proposal {
        title,
        least: false,
        lines,
        costs: cost::costs(plan, now, &after, &found.table),
        before,
        after: Tally::of(&found.table),
        edit: Edit::All(vec![edit.clone(), found.edit]),
    }
}

fn part_line(plan: &Plan, id: &PartId) -> Option<String> {
    let part = plan.part(id)?;
    Some(format!("{id}, {}: {}.", part.kind.text(), part.why))
}

/// A line for each diode that `after` has and `plan` has not: where it sits and what it carries.
fn diode_lines(plan: &Plan, after: &Plan, table: &Table) -> Vec<String> {
    let line = |diode: cost::Working| {
        let cost::Working {
            id,
            model,
            wire,
            amps,
            ..
        } = diode;
        say!("{id}, diode {model} in wire {wire}: carries at most {amps}.")
    };
    let diodes = cost::new_diodes(plan, after, table);
    diodes.into_iter().map(line).collect()
}
