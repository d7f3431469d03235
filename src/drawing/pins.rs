//! Numbers of terminals, where the standard gives one and there is room beside the terminal.
//!
//! Precondition: wire labels are placed; they come first. Postcondition: a number touches nothing. Relays and flashers
//! carry their numbers in the symbol; the number of a chassis symbol is always 31 and left out.

use super::label::{Area, Line, area};
use super::scene::{Anchor, Leaves, Role, Shape, Terminal, text_width};
use crate::catalog::terminal;
use crate::plan::{Kind, Plan};

/// Numbers by the group they belong to. `taken` is what they keep clear of.
pub(super) fn numbers(
    plan: &Plan,
    terminals: &[Terminal],
    mut taken: Vec<Area>,
) -> Vec<(String, Shape)> {
    let mut out = Vec::new();
    for terminal in terminals.iter().filter(|t| !t.wires.is_empty()) {
        let Some(side) = terminal.leaves else {
            continue;
        };
        let Some(text) = shown(plan, terminal) else {
            continue;
        };
        let width = text_width(&text, false);
        let (x, y) = (terminal.at.0 as i32, terminal.at.1 as i32);
        let left = match side {
            Leaves::Left => x - 3 - width,
            Leaves::Right => x + 3,
        };
        let line = [y - 5, y + 13].into_iter().find_map(|y| {
            let line: Line = ((left, y), text.clone());
            let own = area(&line);
            (!taken.iter().any(|other| other.meets(own))).then_some(line)
        });
        if let Some(line) = line {
            taken.push(area(&line));
            let shape = Shape::Text {
                role: Role::Note,
                at: (f64::from(line.0.0), f64::from(line.0.1)),
                anchor: Anchor::Start,
                text: line.1,
            };
            out.push((terminal.group.clone(), shape));
        }
    }
    out
}

/// What is printed at a terminal: its number after DIN 72552, or the way of a connector.
fn shown(plan: &Plan, at: &Terminal) -> Option<String> {
    let (part, name) = at.name.split_once(':')?;
    let part = plan.parts.iter().find(|p| p.id.as_str() == part)?;
    match &part.kind {
        Kind::Connector(_) => name
            .strip_suffix('a')
            .map(|way| super::symbol::clipped(way, 24, false)),
        Kind::Switch(_) | Kind::Lamp(_) | Kind::LedLamp(_) => {
            terminal::find(name).map(|row| row.key.to_owned())
        }
        _ => None,
    }
}
