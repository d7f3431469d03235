//! Symbols: how much room each takes, its text, and its groups. The symbol numbers in `glyph`
//! are those of the 1996 edition, from memory.
//!
//! A symbol is drawn about its column's middle line; its slots lie on the lanes given to it, however far apart.

use super::graph::{What, ports};
use super::scene::{Anchor, Group, Role, Shape, text_width};
use crate::plan::{Duty, Kind, Part, Plan, Symbols};
use crate::text::{self, mark, say};
use crate::units::significant;

/// Widest name line.
const LINE: i32 = 96;
/// Widest name of a lamp that stays in one line: lamps stand side by side with their chassis symbols.
const LAMP_LINE: i32 = 76;
/// Base line of the lowest name line, above the lane.
pub(super) const NAME_RISE: i32 = 21;
/// Distance of name lines.
const LEADING: i32 = 12;

/// Half the width of a relay: leads long enough for their terminal numbers.
pub(super) const RELAY: i32 = 38;

/// Opens the note that names a switch's partners.
pub(super) const MOVES_WITH: &str = mark!("moves with ");

/// Right end of the captions of further lamp circuits: left of the line that joins them.
const BUS: i32 = 17;

/// Room about the middle line and the first and last lane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Extent {
    pub left: i32,
    pub right: i32,
    /// Half the widest text.
    pub text: i32,
    pub up: i32,
    pub down: i32,
}

/// Text above one slot.
pub(super) type Caption = Vec<(Role, String)>;

/// Room a node takes.
pub(super) fn extent(plan: &Plan, what: &What, mirrored: bool) -> Extent {
    let (left, right, down) = match what {
        What::Pass(_) => (0, 0, 6),
        What::Loose(_) => (4, 4, 6),
        What::Ground(_) if mirrored => (9, 0, 16),
        What::Ground(_) => (0, 9, 16),
        What::Part(index) => match plan.parts.get(*index).map(|part| &part.kind) {
            Some(Kind::Battery(_)) => (6, 6, 14),
            Some(Kind::Fuse(_) | Kind::Resistor(_)) => (14, 14, 8),
            Some(Kind::Switch(_)) => (17, 17, 8),
            Some(Kind::Flasher(_)) => (23, 23, 18),
            Some(Kind::Load(_)) => (16, 16, 15),
            Some(Kind::Diode(_)) => (9, 9, 10),
            Some(Kind::Lamp(lamp)) if lamp.filaments.len() > 1 => (13, 20, 14),
            Some(Kind::LedLamp(lamp)) if lamp.circuits.len() > 1 => (13, 20, 14),
            Some(Kind::Connector(_)) => (10, 10, 8),
            Some(Kind::Relay(_)) => (RELAY, RELAY, 12),
            Some(Kind::Charger(_)) => (16, 16, 15),
            Some(Kind::Converter(_)) => (20, 20, 15),
            Some(Kind::Splice(_) | Kind::Ground(_)) => (9, 9, 15),
            _ => (13, 13, 14),
        },
    };
    let captions = captions(plan, what);
    let text = captions
        .iter()
        .enumerate()
        .flat_map(|(slot, lines)| lines.iter().map(move |line| (slot, line)))
        .map(|(slot, (role, text))| {
            let width = text_width(text, *role == Role::Name);
            let half = (width + 1) / 2;
            if slot == 0 {
                half
            } else {
                half.max(width - BUS)
            }
        })
        .max()
        .unwrap_or(0)
        + text_offset(what, mirrored).abs();
    let lines = captions.first().map_or(0, Vec::len) as i32;
    let up = if lines == 0 {
        6
    } else {
        NAME_RISE + (lines - 1) * LEADING + super::scene::TEXT_RISE
    };
    Extent {
        left,
        right,
        text,
        up,
        down,
    }
}

/// Text above each slot.
pub(super) fn captions(plan: &Plan, what: &What) -> Vec<Caption> {
    let name = |text: String| (Role::Name, text);
    match what {
        What::Pass(_) => Vec::new(),
        What::Loose(text) => vec![vec![(Role::Note, clipped(text, LINE, false))]],
        What::Ground(index) => plan.parts.get(*index).map_or(Vec::new(), |part| {
            vec![vec![(Role::Note, clipped(part.id.as_str(), 40, false))]]
        }),
        What::Part(index) => {
            let Some(part) = plan.parts.get(*index) else {
                return Vec::new();
            };
            let single = if part.lamp_circuits().is_empty() {
                LINE - 6
            } else {
                LAMP_LINE
            };
            let lines = wrapped(&title(part), single);
            let mut first: Caption = lines.into_iter().map(name).collect();
            first.extend(partners(plan, *index).map(|text| (Role::Note, text)));
            let duties = duties(part);
            if duties.len() < 2 {
                return vec![first];
            }
            let mut out: Vec<Caption> = duties
                .into_iter()
                .map(|duty| vec![(Role::Note, clipped(&duty, LINE, false))])
                .collect();
            if let Some(slot) = out.first_mut() {
                first.append(slot);
                *slot = first;
            }
            out
        }
    }
}

/// Designation, then whatever of rating and label says more.
fn title(part: &Part) -> String {
    let id = part.id.as_str();
    if let Kind::Fuse(fuse) = &part.kind {
        return format!("{id} {} A", significant(fuse.rating_a.get()));
    }
    let kind = part.kind.text();
    let words: Vec<&str> = part
        .label
        .split_whitespace()
        .filter(|word| !word.eq_ignore_ascii_case(kind) && *word != id)
        .collect();
    if words.is_empty() {
        id.to_owned()
    } else {
        format!("{id} {}", words.join(" "))
    }
}

/// The other switches that the same control moves: contacts that lie apart name each other.
fn partners(plan: &Plan, index: usize) -> Option<String> {
    let control = |part: &Part| match &part.kind {
        Kind::Switch(switch) => Some(switch.control.clone()),
        _ => None,
    };
    let own = control(plan.parts.get(index)?)?;
    let others: Vec<&str> = plan
        .parts
        .iter()
        .enumerate()
        .filter(|(other, part)| *other != index && control(part).as_ref() == Some(&own))
        .map(|(_, part)| part.id.as_str())
        .collect();
    // As many names as have room, then how many more there are.
    let moves_with = text::of(MOVES_WITH);
    let text = |shown: usize| {
        let names = others[..shown].join(", ");
        match others.len() - shown {
            0 => format!("{moves_with}{names}"),
            more => format!("{moves_with}{names} +{more}"),
        }
    };
    let fits = |text: &String| text_width(text, false) <= LINE;
    let all = (1..=others.len()).rev().map(text).find(fits);
    let first = others.first()?;
    Some(all.unwrap_or_else(|| clipped(&format!("{moves_with}{first}"), LINE, false)))
}

/// Duties of each lamp circuit, short.
fn duties(part: &Part) -> Vec<String> {
    part.lamp_circuits()
        .iter()
        .map(|circuit| {
            let mut words: Vec<&str> = circuit
                .duties
                .iter()
                .map(|duty| match duty {
                    Duty::TurnLeft | Duty::TurnRight => say!("turn"),
                    other => other.text(),
                })
                .collect();
            words.dedup();
            if words.is_empty() {
                circuit.id.circuit.clone()
            } else {
                words.join("·")
            }
        })
        .collect()
}

/// The text, cut to a width.
pub(super) fn clipped(text: &str, width: i32, bold: bool) -> String {
    if text_width(text, bold) <= width {
        return text.to_owned();
    }
    let mut out = String::new();
    for c in text.chars() {
        let longer = format!("{out}{c}…");
        if text_width(&longer, bold) > width {
            break;
        }
        out.push(c);
    }
    format!("{}…", out.trim_end())
}

/// At most two lines of about equal width; one if that is no wider than `single`.
fn wrapped(text: &str, single: i32) -> Vec<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    if text_width(text, true) <= single || words.len() < 2 {
        return vec![clipped(&words.join(" "), LINE, true)];
    }
    let (_, at) = (1..words.len())
        .map(|at| {
            let width = |part: &[&str]| text_width(&part.join(" "), true);
            (width(&words[..at]).max(width(&words[at..])), at)
        })
        .min()
        .unwrap_or((0, 1));
    vec![
        clipped(&words[..at].join(" "), LINE, true),
        clipped(&words[at..].join(" "), LINE, true),
    ]
}

/// Where a symbol is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot<'a> {
    /// Middle line.
    pub x: i32,
    /// Lane of each slot.
    pub ys: &'a [i32],
    /// Whether a chassis symbol or open end takes its wire on the right.
    pub mirrored: bool,
}

/// Text of a node, slot by slot.
pub(super) fn text(plan: &Plan, what: &What, spot: Spot<'_>) -> Vec<Vec<Shape>> {
    captions(plan, what)
        .into_iter()
        .zip(spot.ys)
        .enumerate()
        .map(|(slot, (lines, &y))| {
            let n = lines.len() as i32;
            let (dx, anchor) = if slot == 0 {
                (text_offset(what, spot.mirrored), Anchor::Middle)
            } else {
                (BUS, Anchor::End)
            };
            (0..)
                .zip(lines)
                .map(|(i, (role, text))| Shape::Text {
                    role,
                    at: (
                        f64::from(spot.x + dx),
                        f64::from(y - NAME_RISE - (n - 1 - i) * LEADING),
                    ),
                    anchor,
                    text,
                })
                .collect()
        })
        .collect()
}

const fn text_offset(what: &What, mirrored: bool) -> i32 {
    match what {
        What::Ground(_) if mirrored => -3,
        What::Ground(_) => 3,
        _ => 0,
    }
}

/// Draws one part: its own group first, then its lamp circuits or contacts. `suffix` makes the ids of a
/// second part with the same designation differ.
pub(super) fn draw(
    plan: &Plan,
    index: usize,
    suffix: &str,
    spot: Spot<'_>,
    set: Symbols,
) -> Vec<Group> {
    let Some(part) = plan.parts.get(index) else {
        return Vec::new();
    };
    let id = format!("{}{suffix}", part.id);
    let mut own = Group {
        id: format!("part-{id}"),
        class: "part",
        label: format!("{} {}, {}", part.id, part.name(), part.kind.text()),
        shapes: Vec::new(),
    };
    let mut more = Vec::new();
    let (x, y) = (spot.x, spot.ys.first().copied().unwrap_or(0));
    super::glyph::shapes(part, &id, (x, y), spot.ys, set, &mut own, &mut more);
    links(part, spot, &mut own);
    own.shapes
        .extend(text(plan, &What::Part(index), spot).into_iter().flatten());
    let mut out = vec![own];
    out.append(&mut more);
    out
}

/// Contacts and circuits that name a terminal again are joined to it inside the symbol.
fn links(part: &Part, spot: Spot<'_>, own: &mut Group) {
    let known = ports(part);
    let ends: Vec<(usize, &String, bool)> = match &part.kind {
        Kind::Switch(switch) => (0..)
            .zip(&switch.contacts)
            .flat_map(|(slot, c)| [(slot, &c.from, true), (slot, &c.to, false)])
            .collect(),
        Kind::Lamp(lamp) => (0..)
            .zip(&lamp.filaments)
            .map(|(slot, f)| (slot, &f.terminal, true))
            .collect(),
        Kind::LedLamp(lamp) => (0..)
            .zip(&lamp.circuits)
            .map(|(slot, c)| (slot, &c.terminal, true))
            .collect(),
        _ => return,
    };
    let reach = if matches!(part.kind, Kind::Switch(_)) {
        14
    } else {
        12
    };
    let at = |slot: usize, left: bool| {
        let y = spot.ys.get(slot).or(spot.ys.last()).copied().unwrap_or(0);
        let x = if left { spot.x - reach } else { spot.x + reach };
        (f64::from(x), f64::from(y))
    };
    for (slot, name, left) in ends {
        let home = known.iter().find(|(known, ..)| known == name);
        if let Some((_, side, first)) = home {
            let from = at(*first, *side == super::graph::Side::Left);
            let to = at(slot, left);
            if from != to {
                own.shapes.push(Shape::lines(Role::Line, &[from, to]));
            }
        }
    }
}
