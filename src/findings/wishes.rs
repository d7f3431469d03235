//! Cells that are not as wished, grouped by lamp circuit, verdict and path, each with its path in words.

use super::words::{and, lamp_name, percent};
use super::{Check, Evidence, Finding, Severity, state_words};
use crate::behaviour::{Cell, Path, Table, Verdict};
use crate::plan::{Part, Plan, Show, Wish};
use crate::text::{mark, say};
use crate::units::Volts;
use crate::units::order::OrdSet;

pub(super) const CHECK: Check = Check {
    name: mark!("wishes"),
    what: mark!("Every lamp circuit shows in every state what was wished."),
    run,
};

/// Most states named one by one in a finding.
const MAX_NAMED: usize = 6;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    const TROUBLES: [Verdict; 5] = [
        Verdict::BackFed,
        Verdict::Masked,
        Verdict::Dead,
        Verdict::Weak,
        Verdict::Overdriven,
    ];
    let (plan, table) = (evidence.plan, evidence.table);
    // Most cells are as wished: one pass finds what there is to group.
    let mut there = vec![[false; TROUBLES.len()]; table.lamps.len()];
    let troubled = |cell: &Cell| cell.verdict != Verdict::AsWished;
    let rows = table.rows.iter().map(|row| &row.cells);
    for cells in rows.filter(|cells| cells.iter().any(troubled)) {
        for (there, cell) in there.iter_mut().zip(cells) {
            if let Some(at) = TROUBLES.iter().position(|&verdict| verdict == cell.verdict) {
                there[at] = true;
            }
        }
    }
    for (lamp, there) in there.iter().enumerate() {
        for (verdict, _) in TROUBLES.into_iter().zip(there).filter(|&(_, there)| *there) {
            group(plan, table, lamp, verdict, out);
        }
    }
}

/// Cells of one lamp circuit with one verdict, one finding for each distinct path.
fn group(plan: &Plan, table: &Table, lamp: usize, verdict: Verdict, out: &mut Vec<Finding>) {
    let mut groups: Vec<(Option<&Path>, Vec<usize>)> = Vec::new();
    for (i, row) in table.rows.iter().enumerate() {
        if row.cells[lamp].verdict != verdict {
            continue;
        }
        let path = table.path(i, lamp);
        let same = |known: &Option<&Path>| match (known, path) {
            (Some(known), Some(path)) => known.same_way(path),
            (None, None) => true,
            _ => false,
        };
        match groups.iter_mut().find(|(known, _)| same(known)) {
            Some((_, rows)) => rows.push(i),
            None => groups.push((path, vec![i])),
        }
    }
    for (path, rows) in groups {
        let mut about = vec![table.lamps[lamp].to_string()];
        let backwards: Vec<String> = path
            .iter()
            .flat_map(|path| path.reversed_wires())
            .filter_map(|wire| plan.wires.get(wire))
            .map(|wire| wire.id.to_string())
            .collect();
        about.extend(backwards.iter().cloned());
        let cell = &table.rows[rows[0]].cells[lamp];
        let wishes = ruling(plan, table, lamp, &rows);
        about.extend(wishes.iter().map(|(_, wish)| wish.id.to_string()));
        let mut text = say!(
            "{}. In {}.{}",
            reading(plan, table, lamp, cell),
            states(plan, table, &rows),
            broken(verdict, &wishes)
        );
        if let Some(path) = path {
            text.push_str(&way(plan, verdict, path));
            text.push_str(&say!(" Path: {}.", path.words(plan)));
        }
        if !backwards.is_empty() && verdict == Verdict::BackFed {
            text.push_str(&say!(
                " The current runs backwards through {}: a diode there, or a separate feed, stops it.",
                backwards.join(", ")
            ));
        }
        let severity = match verdict {
            Verdict::Weak | Verdict::Overdriven => Severity::Caution,
            _ => Severity::Fault,
        };
        let source = mark!("the wishes and thresholds of this plan");
        out.push(Finding {
            seen_in: Some(table.rows[rows[0]].state.clone()),
            ..Finding::new(&CHECK, severity, about, text, source)
        });
    }
}

/// The wishes that decide the cells of a lamp circuit in some rows, each with its number in the list, from 1.
fn ruling<'p>(
    plan: &'p Plan,
    table: &Table,
    lamp: usize,
    rows: &[usize],
) -> Vec<(usize, &'p Wish)> {
    let by: OrdSet<usize> = rows
        .iter()
        .filter_map(|&row| table.rows[row].cells[lamp].ruled_by)
        .collect();
    by.into_iter()
        .filter_map(|i| Some((i + 1, plan.wishes.get(i)?)))
        .collect()
}

/// Which wishes the cells break, as a sentence with its blank before it.
fn broken(verdict: Verdict, wishes: &[(usize, &Wish)]) -> String {
    let numbers: Vec<String> = wishes
        .iter()
        .map(|(number, _)| number.to_string())
        .collect();
    match (verdict, numbers.as_slice()) {
        (Verdict::BackFed, []) => say!(" No wish lights it there.").into(),
        (Verdict::BackFed, [one]) => say!(" This breaks wish {one}, which wants it dark."),
        (Verdict::BackFed, many) => {
            say!(" This breaks wishes {}, which want it dark.", and(many))
        }
        (Verdict::Masked | Verdict::Dead | Verdict::Weak, [one]) => {
            say!(" This breaks wish {one}.")
        }
        (Verdict::Masked | Verdict::Dead | Verdict::Weak, many @ [_, ..]) => {
            say!(" This breaks wishes {}.", and(many))
        }
        _ => String::new(),
    }
}

/// The way the current takes, in plain words, as a sentence with its blank before it.
fn way(plan: &Plan, verdict: Verdict, path: &Path) -> String {
    let feed = path.feed(plan).map(Part::with_kind);
    let sentence = path.sentence(plan);
    match (verdict, feed) {
        (Verdict::Masked, Some(feed)) => {
            say!(
                " The feed by way of {feed} stays on in the pauses of the flasher: current runs {sentence}."
            )
        }
        (Verdict::BackFed, _) => say!(" The current creeps in {sentence}."),
        _ => say!(" The current runs {sentence}."),
    }
}

fn states(plan: &Plan, table: &Table, rows: &[usize]) -> String {
    let named: Vec<String> = rows
        .iter()
        .take(MAX_NAMED)
        .map(|&row| state_words(plan, &table.rows[row].state))
        .collect();
    let more = rows.len().saturating_sub(MAX_NAMED);
    let tail = if more > 0 {
        say!("; and {more} more")
    } else {
        String::new()
    };
    let (count, all, named) = (rows.len(), table.rows.len(), named.join("; "));
    if count == 1 {
        say!("{count} state of {all}: {named}{tail}")
    } else {
        say!("{count} states of {all}: {named}{tail}")
    }
}

fn reading(plan: &Plan, table: &Table, lamp: usize, cell: &Cell) -> String {
    let name = lamp_name(plan, table, lamp);
    let bright = cell.bright();
    let share = |level: f64| say!("{} of rated light", percent(level));
    let volts = Volts::of(bright.volts);
    match cell.verdict {
        Verdict::BackFed => {
            say!(
                "{name} is lit ({volts}, {}) though it should be off",
                share(bright.level)
            )
        }
        Verdict::Masked => say!(
            "{name} should flash, but a steady feed hides it: {} bright and {} dark",
            share(bright.level),
            share(cell.dark().level)
        ),
        Verdict::Dead if cell.wish == Show::Steady && bright.level > 0.01 => {
            say!("{name} should burn steadily but goes dark in the pauses of the flasher")
        }
        Verdict::Dead => say!("{name} should be lit but is dark ({volts})"),
        Verdict::Weak => say!("{name} is lit too low: {volts}, {}", share(bright.level)),
        Verdict::Overdriven => say!("{name} is overdriven: {volts}, {}", share(bright.level)),
        Verdict::AsWished => name,
    }
}
