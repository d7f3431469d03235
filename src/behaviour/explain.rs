//! Why a lamp circuit is not as wished: which wish it breaks, through which hand or part the current comes, and where
//! it runs backwards. Read off the path that was traced in the solved state.

use super::{Cell, Path, Verdict};
use crate::circuit::Origin;
use crate::plan::{Kind, Plan, WireId, Wish, position_word};
use crate::text::say;

/// An explanation of one cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explanation {
    /// The wish that decides, and how it is broken or kept: a sentence.
    pub wish: String,
    /// How the current comes: a sentence; empty where there is nothing to say.
    pub cause: String,
    /// Wires along the path whose current runs against their intended direction.
    pub backwards: Vec<WireId>,
}

impl Explanation {
    /// Explains a cell. `wish` is the one that decides it, if any speaks; `path` what lights the circuit, or for a
    /// masked one `hiding` the steady feed.
    pub(super) fn new(
        plan: &Plan,
        cell: &Cell,
        wish: Option<&Wish>,
        path: Option<&Path>,
        hiding: Option<&Path>,
    ) -> Self {
        let path = hiding.filter(|_| cell.verdict == Verdict::Masked).or(path);
        let backwards: Vec<WireId> = path
            .iter()
            .flat_map(|path| path.reversed_wires())
            .filter_map(|wire| Some(plan.wires.get(wire)?.id.clone()))
            .collect();
        Self {
            wish: wish_words(plan, cell, wish),
            cause: cause(plan, cell.verdict, path, &backwards),
            backwards,
        }
    }
}

fn wish_words(plan: &Plan, cell: &Cell, wish: Option<&Wish>) -> String {
    let keeps = cell.verdict == Verdict::AsWished;
    let Some(wish) = wish else {
        return if keeps {
            say!("Keeps the rule that what no wish names stays off.").into()
        } else {
            say!("Breaks the rule that what no wish names stays off.").into()
        };
    };
    let label = |id: &crate::plan::ControlId| {
        let known = plan.controls.iter().find(|control| control.id == *id);
        known.map_or_else(|| id.to_string(), |control| control.label.clone())
    };
    let when: Vec<String> = wish
        .when
        .iter()
        .map(|(id, position)| format!("{} {}", label(id), position_word(position)))
        .collect();
    let when = if when.is_empty() {
        say!("always").into()
    } else {
        say!("with {}", when.join(", "))
    };
    let number = plan.wishes.iter().take_while(|w| w.id != wish.id).count() + 1;
    let show = wish.show.text();
    if keeps {
        say!("Keeps wish {number}: {show} {when}.")
    } else {
        say!("Breaks wish {number}: {show} {when}.")
    }
}

fn cause(plan: &Plan, verdict: Verdict, path: Option<&Path>, backwards: &[WireId]) -> String {
    let Some(path) = path else {
        return match verdict {
            Verdict::Dead | Verdict::Weak => say!("No current reaches it in this state.").into(),
            _ => String::new(),
        };
    };
    let through = match feeders(plan, path).as_slice() {
        [] => String::new(),
        some => say!(" through {}", some.join(", ")),
    };
    let names: Vec<String> = backwards.iter().map(WireId::to_string).collect();
    let back = match names.as_slice() {
        [] => String::new(),
        [one] => say!(" and runs backwards in wire {one}"),
        some => say!(" and runs backwards in wires {}", some.join(", ")),
    };
    match verdict {
        Verdict::BackFed if names.is_empty() => {
            say!(
                "Its current comes{through}. No wire carries it backwards: this feed itself reaches the lamp."
            )
        }
        Verdict::BackFed => say!("Its current comes{through}{back}."),
        Verdict::Masked => say!(
            "The feed{through} stays on in the pauses of the flasher{back}: it hides the flash."
        ),
        _ => say!("Its current comes{through}{back}."),
    }
}

/// Contacts the current passes before it reaches the lamp: switches with the control that moves them, relays.
fn feeders(plan: &Plan, path: &Path) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for step in path.steps.iter().take(path.lamp) {
        let Origin::Part { part, .. } = step.origin else {
            continue;
        };
        let Some(part) = plan.parts.get(part) else {
            continue;
        };
        let words = match &part.kind {
            Kind::Switch(switch) => {
                let control = plan.controls.iter().find(|c| c.id == switch.control);
                let label = control.map_or(part.label.as_str(), |c| c.label.as_str());
                format!("{label} ({})", part.id)
            }
            Kind::Relay(_) => say!("relay {}", part.id),
            Kind::Flasher(_) => say!("flasher {}", part.id),
            _ => continue,
        };
        if !found.contains(&words) {
            found.push(words);
        }
    }
    found
}
