//! The page of one control, and the controls that can be added.

use super::lamp::shown;
use super::words::signals;
use super::{Choice, Row, many, toggle};
use crate::brief::{Brief, ControlAnswer, Lit, Signal};
use crate::plan::position_word;
use crate::text::{self, mark, say};

/// Kinds of controls: the word they are kept under, and what they are.
const KINDS: [(&str, &str); 9] = [
    ("switch", mark!("switch, off and on")),
    ("pedal", mark!("pedal, lit while pressed")),
    ("push", mark!("push button, lit while pressed")),
    ("selector", mark!("switch with several positions")),
    ("turn", mark!("turn switch: left, off, right")),
    ("turn-pair", mark!("two turn switches, left and right")),
    ("hazard", mark!("hazard switch")),
    ("master", mark!("master switch")),
    ("ignition", mark!("ignition switch: off, accessory, run")),
];
/// Names of the positions of a new selector.
const POSITIONS: [&str; 4] = ["first", "second", "third", "fourth"];

/// What can be added.
pub fn to_add() -> Vec<(String, String)> {
    KINDS
        .map(|(kind, words)| (kind.to_owned(), text::of(words).to_owned()))
        .into()
}

/// Adds a control of a kind, for the signals that no control lights yet where it lights some.
pub fn add(brief: &mut Brief, text: &str) {
    let unlit: Vec<Signal> = shown(brief, &[])
        .into_iter()
        .filter(|signal| !signal.flashes() && !brief.controls.iter().any(|c| lights(c, *signal)))
        .collect();
    if let Some(control) = of_kind(text, unlit) {
        brief.controls.push(control);
    }
}

fn lights(control: &ControlAnswer, signal: Signal) -> bool {
    match control {
        ControlAnswer::Selector { positions } => {
            positions.iter().any(|p| p.signals.contains(&signal))
        }
        other => direct(other).is_some_and(|signals| signals.contains(&signal)),
    }
}

/// What a control lights without positions of its own.
fn direct(control: &ControlAnswer) -> Option<&Vec<Signal>> {
    match control {
        ControlAnswer::Switch { signals }
        | ControlAnswer::Push { signals }
        | ControlAnswer::Pedal { signals } => Some(signals),
        ControlAnswer::Master { lights, .. } | ControlAnswer::Ignition { lights, .. } => {
            Some(lights)
        }
        _ => None,
    }
}

fn kind(control: &ControlAnswer) -> &'static str {
    match control {
        ControlAnswer::Switch { .. } => "switch",
        ControlAnswer::Push { .. } => "push",
        ControlAnswer::Pedal { .. } => "pedal",
        ControlAnswer::Selector { .. } => "selector",
        ControlAnswer::Turn => "turn",
        ControlAnswer::TurnPair => "turn-pair",
        ControlAnswer::Hazard => "hazard",
        ControlAnswer::Master { .. } => "master",
        ControlAnswer::Ignition { .. } => "ignition",
    }
}

fn of_kind(kind: &str, signals: Vec<Signal>) -> Option<ControlAnswer> {
    Some(match kind {
        "switch" => ControlAnswer::Switch { signals },
        "push" => ControlAnswer::Push { signals },
        "pedal" => ControlAnswer::Pedal { signals },
        "selector" => ControlAnswer::Selector {
            positions: vec![position(0, signals.clone()), position(1, signals)],
        },
        "turn" => ControlAnswer::Turn,
        "turn-pair" => ControlAnswer::TurnPair,
        "hazard" => ControlAnswer::Hazard,
        "master" => ControlAnswer::Master {
            always: vec![],
            lights: vec![],
        },
        "ignition" => ControlAnswer::Ignition {
            always: vec![],
            accessory: vec![],
            lights: vec![],
        },
        _ => return None,
    })
}

fn position(at: usize, signals: Vec<Signal>) -> Lit {
    Lit {
        name: POSITIONS
            .get(at)
            .map_or_else(|| (at + 1).to_string(), |&name| name.into()),
        signals,
    }
}

/// The rows of a control's page.
pub fn rows(brief: &Brief, at: usize) -> Vec<Row> {
    let Some(control) = brief.controls.get(at) else {
        return Vec::new();
    };
    let choice = |(value, words): (&str, &'static str)| Choice {
        value: value.into(),
        words: text::of(words).into(),
        usual: false,
    };
    let mut rows = vec![Row::One {
        name: "kind".into(),
        label: say!("What it is").into(),
        value: kind(control).into(),
        choices: KINDS.map(choice).into(),
    }];
    let list = |name: &str, label: &str, now: &[Signal]| {
        many(name, label, now, signals(&shown(brief, now)))
    };
    match control {
        ControlAnswer::Switch { signals } => rows.push(list("signals", say!("Lights"), signals)),
        ControlAnswer::Push { signals } | ControlAnswer::Pedal { signals } => {
            rows.push(list("signals", say!("Lights while pressed"), signals));
        }
        ControlAnswer::Selector { positions } => {
            for (i, lit) in positions.iter().enumerate() {
                let label = say!("Position “{}” lights", position_word(&lit.name));
                rows.push(list(&format!("position-{i}"), &label, &lit.signals));
            }
            let mut options = Vec::new();
            if positions.len() < POSITIONS.len() {
                options.push(("more".to_owned(), say!("one more position").to_owned()));
            }
            if positions.len() > 1 {
                options.push(("fewer".to_owned(), say!("one position fewer").to_owned()));
            }
            rows.push(Row::Add {
                name: "positions".into(),
                label: say!("Positions").into(),
                options,
            });
        }
        ControlAnswer::Turn | ControlAnswer::TurnPair | ControlAnswer::Hazard => {}
        ControlAnswer::Master { always, lights } => {
            rows.push(list("always", say!("Works without it"), always));
            rows.push(list("signals", say!("It lights by itself"), lights));
        }
        ControlAnswer::Ignition {
            always,
            accessory,
            lights,
        } => {
            rows.push(list("always", say!("Works in every position"), always));
            rows.push(list(
                "accessory",
                say!("Works from accessory on"),
                accessory,
            ));
            rows.push(list("signals", say!("Run lights by itself"), lights));
        }
    }
    rows
}

/// Takes an answer of the page.
pub fn set(brief: &mut Brief, at: usize, name: &str, text: &str) {
    let Some(control) = brief.controls.get_mut(at) else {
        return;
    };
    if name == "kind" && text == kind(control) {
        // Chosen again: what it lights stays.
        return;
    }
    match (name, &mut *control) {
        ("kind", _) => {
            let signals = direct(control).cloned().unwrap_or_default();
            if let Some(other) = of_kind(text, signals) {
                *control = other;
            }
        }
        (
            "signals",
            ControlAnswer::Switch { signals }
            | ControlAnswer::Push { signals }
            | ControlAnswer::Pedal { signals }
            | ControlAnswer::Master {
                lights: signals, ..
            }
            | ControlAnswer::Ignition {
                lights: signals, ..
            },
        ) => toggle(signals, text),
        (
            "always",
            ControlAnswer::Master { always, .. } | ControlAnswer::Ignition { always, .. },
        ) => toggle(always, text),
        ("accessory", ControlAnswer::Ignition { accessory, .. }) => toggle(accessory, text),
        ("positions", ControlAnswer::Selector { positions }) => match text {
            "more" => positions.push(position(positions.len(), Vec::new())),
            _ if positions.len() > 1 => drop(positions.pop()),
            _ => {}
        },
        (name, ControlAnswer::Selector { positions }) => {
            let index = name
                .strip_prefix("position-")
                .and_then(|i| i.parse::<usize>().ok());
            if let Some(lit) = index.and_then(|i| positions.get_mut(i)) {
                toggle(&mut lit.signals, text);
            }
        }
        _ => {}
    }
}
