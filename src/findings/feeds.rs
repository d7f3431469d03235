//! Feeds joined from two fuses: pulling one leaves the circuit live.
//!
//! Joined by contacts alone it is a caution: either fuse may carry both circuits, and neither label tells the truth.
//! Through a diode nothing is fed back into the other circuit, but the load stays live: a note, so that the
//! label names both fuses.

use super::words::{and, origin_id, part_id, part_name, row_words};
use super::{Check, Evidence, Finding, Severity};
use crate::behaviour::survey::{Shared, Tie};
use crate::text::{mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("joined feeds"),
    what: mark!("With its fuse pulled, every circuit is dead in every state."),
    run,
};

const SOURCE: &str = mark!(
    "Sneak Circuit Analysis Handbook D2-118341-1 (1970), clue power-to-power path: heading seen, \
                      \"fuse removed leaves a path from another fuse\" from memory"
);

fn run(evidence: &Evidence<'_>, out: &mut Vec<Finding>) {
    let ties = &evidence.survey.ties;
    let mirrors = |a: &Tie, b: &Tie| {
        a.other == Some(b.fuse) && b.other == Some(a.fuse) && a.one_way == b.one_way
    };
    for (i, tie) in ties.iter().enumerate() {
        let told = ties[..i].iter().any(|earlier| mirrors(earlier, tie));
        if !told {
            let both = ties[i..].iter().any(|later| mirrors(tie, later));
            out.push(tied(evidence, tie, both));
        }
    }
    for shared in &evidence.survey.shared {
        out.push(fed_by_two(evidence, shared));
    }
}

fn tied(evidence: &Evidence<'_>, tie: &Tie, both: bool) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let state = row_words(plan, table, tie.at.0, tie.at.1);
    let way: Vec<String> = tie
        .way
        .iter()
        .map(|&origin| origin_id(plan, origin))
        .collect();
    let fuse = part_name(plan, tie.fuse);
    let mut about = vec![part_id(plan, tie.fuse)];
    let text = match (tie.other, tie.one_way) {
        (None, _) => say!(
            "With {state}: the circuit behind {fuse} stays live when the fuse is pulled, and nothing protects it: \
             a way without any fuse leads there, {}. Take that way out.",
            way.join(" → ")
        ),
        (Some(other), false) => {
            about.push(part_id(plan, other));
            let other = part_name(plan, other);
            let which = if both {
                say!(
                    "the circuits behind {fuse} and {other} are joined: pulling one fuse leaves both live"
                )
            } else {
                say!(
                    "the circuit behind {fuse} stays live when the fuse is pulled, through {other}"
                )
            };
            say!(
                "With {state}: {which} (by {}). Either fuse may then carry both. Keep the feeds apart, or take \
                 both from one fuse.",
                way.join(" → ")
            )
        }
        (Some(other), true) => {
            about.push(part_id(plan, other));
            say!(
                "With {state}: the circuit behind {fuse} stays live through {} and a diode when the fuse is \
                 pulled (by {}). Say so on the label: both fuses must be out before work.",
                part_name(plan, other),
                way.join(" → ")
            )
        }
    };
    let diode = tie.one_way && tie.other.is_some();
    let severity = if diode {
        Severity::Note
    } else {
        Severity::Caution
    };
    Finding::new(&CHECK, severity, about, text, SOURCE)
}

fn fed_by_two(evidence: &Evidence<'_>, shared: &Shared) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let loads: Vec<String> = shared.loads.iter().map(|&p| part_name(plan, p)).collect();
    let text = say!(
        "With {}: {} and {} both feed {}, each by a way of its own: with one of them pulled it stays live. \
         Say so on the label: both fuses must be out before work.",
        row_words(plan, table, shared.at.0, shared.at.1),
        part_name(plan, shared.fuses[0]),
        part_name(plan, shared.fuses[1]),
        and(&loads)
    );
    let parts = shared.fuses.iter().chain(&shared.loads);
    let about = parts.map(|&part| part_id(plan, part)).collect();
    Finding::new(&CHECK, Severity::Note, about, text, SOURCE)
}
