//! Signals that no control lights, and controls that light nothing.

use super::{Found, drop_signal, shows};
use crate::brief::resolve::{Bus, bus};
use crate::brief::{Brief, ControlAnswer, Lit, Signal, TurnPriority, build};
use crate::text::say;

pub(super) fn check(found: &mut Found) {
    only_one(found);
    for (i, control) in found.brief.controls.iter().enumerate() {
        lists(found, i, control);
    }
    for signal in Signal::ALL {
        if shows(found.brief, signal) {
            is_lit(found, signal);
        } else {
            has_lamp(found, signal);
        }
    }
    gate(found);
    relays(found);
}

/// A list of signals of a control, by its place among the answers.
fn listed(control: &ControlAnswer) -> Vec<&Vec<Signal>> {
    match control {
        ControlAnswer::Switch { signals }
        | ControlAnswer::Push { signals }
        | ControlAnswer::Pedal { signals } => vec![signals],
        ControlAnswer::Selector { positions } => positions.iter().map(|p| &p.signals).collect(),
        ControlAnswer::Master { lights, .. } | ControlAnswer::Ignition { lights, .. } => {
            vec![lights]
        }
        _ => Vec::new(),
    }
}

fn listed_mut(control: &mut ControlAnswer) -> Vec<&mut Vec<Signal>> {
    match control {
        ControlAnswer::Switch { signals }
        | ControlAnswer::Push { signals }
        | ControlAnswer::Pedal { signals } => vec![signals],
        ControlAnswer::Selector { positions } => {
            positions.iter_mut().map(|p| &mut p.signals).collect()
        }
        ControlAnswer::Master { lights, .. } | ControlAnswer::Ignition { lights, .. } => {
            vec![lights]
        }
        _ => Vec::new(),
    }
}

/// Takes a signal off all controls and removes switches that are left with nothing to do.
fn unlist(brief: &mut Brief, signal: Signal) {
    for control in &mut brief.controls {
        for list in listed_mut(control) {
            list.retain(|&s| s != signal);
        }
    }
    tidy(brief);
}

/// Removes controls that light nothing.
fn tidy(brief: &mut Brief) {
    for control in &mut brief.controls {
        if let ControlAnswer::Selector { positions } = control {
            positions.retain(|position| !position.signals.is_empty());
        }
    }
    brief.controls.retain(|control| match control {
        ControlAnswer::Switch { signals }
        | ControlAnswer::Push { signals }
        | ControlAnswer::Pedal { signals } => !signals.is_empty(),
        ControlAnswer::Selector { positions } => !positions.is_empty(),
        _ => true,
    });
}

/// Controls of which there can be one only.
fn only_one(found: &mut Found) {
    type Test = fn(&ControlAnswer) -> bool;
    let kinds: [(&str, Test); 3] = [
        (say!("turn switch"), |c| {
            matches!(c, ControlAnswer::Turn | ControlAnswer::TurnPair)
        }),
        (say!("hazard switch"), |c| {
            matches!(c, ControlAnswer::Hazard)
        }),
        (say!("master or ignition switch"), |c| {
            matches!(
                c,
                ControlAnswer::Master { .. } | ControlAnswer::Ignition { .. }
            )
        }),
    ];
    for (word, is) in kinds {
        let places: Vec<usize> = (0..found.brief.controls.len())
            .filter(|&i| is(&found.brief.controls[i]))
            .collect();
        if let [_, .., last] = places[..] {
            let mend = found.mend(say!("leave the last one out"), |b| {
                drop(b.controls.remove(last))
            });
            found.say(say!("There is more than one {word}."), vec![mend]);
        }
    }
}

/// What a single control lists.
fn lists(found: &mut Found, i: usize, control: &ControlAnswer) {
    let plain = !matches!(
        control,
        ControlAnswer::Master { .. } | ControlAnswer::Ignition { .. }
    );
    let lists = listed(control);
    let empty = lists.iter().any(|list| list.is_empty())
        || matches!(control, ControlAnswer::Selector { positions } if positions.is_empty());
    if plain
        && empty
        && !matches!(
            control,
            ControlAnswer::Turn | ControlAnswer::TurnPair | ControlAnswer::Hazard
        )
    {
        let off = found.mend(say!("leave it out"), |b| {
            if let ControlAnswer::Selector { positions } = &mut b.controls[i] {
                positions.retain(|position| !position.signals.is_empty());
                if !positions.is_empty() {
                    return;
                }
            }
            b.controls.remove(i);
        });
        let text = say!("A control, or a position of one, lights nothing.");
        found.say(text.into(), vec![off]);
    }
    for flash in [Signal::Turn, Signal::Hazard] {
        if !lists.iter().any(|list| list.contains(&flash)) {
            continue;
        }
        let (word, kind) = match flash {
            Signal::Turn => (say!("a turn switch"), ControlAnswer::Turn),
            _ => (say!("a hazard switch"), ControlAnswer::Hazard),
        };
        let mend = found.mend(say!("use {word}"), |b| {
            unlist(b, flash);
            if !b.controls.contains(&kind) {
                b.controls.push(kind);
            }
        });
        let text = say!(
            "{} flashes, so a plain switch cannot light it.",
            flash.text()
        );
        found.say(text, vec![mend]);
    }
    let ControlAnswer::Selector { positions } = control else {
        return;
    };
    for (k, position) in positions.iter().enumerate() {
        let name = position.name.trim();
        let before = positions[..k].iter().any(|p| p.name == position.name);
        if name.is_empty() || name == "off" || before {
            let mend = found.mend(say!("number the positions"), |b| {
                if let ControlAnswer::Selector { positions } = &mut b.controls[i] {
                    number(positions);
                }
            });
            let text =
                say!("Two positions of the light switch have the same name, or one has none.");
            found.say(text.into(), vec![mend]);
        }
    }
}

fn number(positions: &mut [Lit]) {
    for (k, position) in positions.iter_mut().enumerate() {
        position.name = (k + 1).to_string();
    }
}

fn has_turn(brief: &Brief) -> bool {
    let is = |c: &ControlAnswer| matches!(c, ControlAnswer::Turn | ControlAnswer::TurnPair);
    brief.controls.iter().any(is)
}

/// A signal that lamps show and nothing lights.
fn is_lit(found: &mut Found, signal: Signal) {
    let brief = found.brief;
    let lit = match signal {
        Signal::Turn => has_turn(brief),
        Signal::Hazard => brief.controls.contains(&ControlAnswer::Hazard),
        steady => brief
            .controls
            .iter()
            .flat_map(listed)
            .any(|list| list.contains(&steady)),
    };
    if lit {
        return;
    }
    let (word, kind) = match signal {
        Signal::Turn => (say!("add a turn switch"), ControlAnswer::Turn),
        Signal::Hazard => (say!("add a hazard switch"), ControlAnswer::Hazard),
        Signal::Stop => (
            say!("add a pedal"),
            ControlAnswer::Pedal {
                signals: vec![signal],
            },
        ),
        _ => (
            say!("add a switch"),
            ControlAnswer::Switch {
                signals: vec![signal],
            },
        ),
    };
    let add = found.mend(word, |b| b.controls.push(kind));
    let off = found.mend(say!("take it off the lamps"), |b| drop_signal(b, signal));
    let text = say!("Lamps show {}, but no control lights it.", signal.text());
    found.say(text, vec![add, off]);
}

/// A signal that a control lights and no lamp shows.
fn has_lamp(found: &mut Found, signal: Signal) {
    let brief = found.brief;
    let useless = match signal {
        Signal::Turn => has_turn(brief),
        // Turn lamps flash as hazard signal too.
        Signal::Hazard => {
            brief.controls.contains(&ControlAnswer::Hazard) && !shows(brief, Signal::Turn)
        }
        steady => brief
            .controls
            .iter()
            .flat_map(listed)
            .any(|list| list.contains(&steady)),
    };
    if !useless {
        return;
    }
    let mend = found.mend(say!("take it off the controls"), |b| match signal {
        Signal::Turn => b
            .controls
            .retain(|c| !matches!(c, ControlAnswer::Turn | ControlAnswer::TurnPair)),
        Signal::Hazard => b.controls.retain(|c| *c != ControlAnswer::Hazard),
        steady => unlist(b, steady),
    });
    let text = say!("A control lights {}, but no lamp shows it.", signal.text());
    found.say(text, vec![mend]);
}

/// Master and ignition switch.
fn gate(found: &mut Found) {
    let brief = found.brief;
    for (i, control) in brief.controls.iter().enumerate() {
        let (lights, exempt) = match control {
            ControlAnswer::Master { always, lights } => (lights, always.clone()),
            ControlAnswer::Ignition {
                always,
                accessory,
                lights,
            } => (lights, [always.clone(), accessory.clone()].concat()),
            _ => continue,
        };
        for &signal in lights {
            let by_hand = brief.controls.iter().enumerate().any(|(k, other)| {
                k != i && listed(other).iter().any(|list| list.contains(&signal))
            });
            if by_hand {
                let mend = found.mend(say!("let only its own control light it"), |b| {
                    for list in listed_mut(&mut b.controls[i]) {
                        list.retain(|&s| s != signal);
                    }
                });
                let other = found.mend(
                    say!("let only the master or ignition switch light it"),
                    |b| {
                        for (k, control) in b.controls.iter_mut().enumerate() {
                            if k != i {
                                for list in listed_mut(control) {
                                    list.retain(|&s| s != signal);
                                }
                            }
                        }
                        tidy(b);
                    },
                );
                let text = say!(
                    "The master or ignition switch lights {} by itself, so its own control would change nothing.",
                    signal.text()
                );
                found.say(text, vec![mend, other]);
            }
            if exempt.contains(&signal) {
                let mend = found.mend(say!("let it work with the switch on only"), |b| {
                    exempt_not(&mut b.controls[i], signal);
                });
                let text = say!(
                    "{} is to work without the master or ignition switch, and to be lit by it.",
                    signal.text()
                );
                found.say(text, vec![mend]);
            }
        }
        let gated = Signal::ALL
            .into_iter()
            .any(|signal| shows(brief, signal) && bus(brief, signal) != Bus::Always);
        let only_hazard = Signal::ALL
            .into_iter()
            .filter(|&signal| shows(brief, signal) && bus(brief, signal) != Bus::Always)
            .all(|signal| signal == Signal::Hazard && shows(brief, Signal::Turn));
        if !gated || only_hazard {
            let mend = found.mend(say!("leave it out"), |b| drop(b.controls.remove(i)));
            let text =
                say!("Everything works without the master or ignition switch, so it does nothing.");
            found.say(text.into(), vec![mend]);
        }
    }
}

fn exempt_not(control: &mut ControlAnswer, signal: Signal) {
    match control {
        ControlAnswer::Master { always, .. } => always.retain(|&s| s != signal),
        ControlAnswer::Ignition {
            always, accessory, ..
        } => {
            always.retain(|&s| s != signal);
            accessory.retain(|&s| s != signal);
        }
        _ => {}
    }
}

/// Turn before stop by relays where there is no relay.
fn relays(found: &mut Found) {
    let brief = found.brief;
    let shared = brief
        .lamps
        .iter()
        .any(|lamps| lamps.strong.contains(&Signal::Turn) && lamps.strong.contains(&Signal::Stop));
    if !shared || brief.priority == TurnPriority::None || build::has_relay(brief.system) {
        return;
    }
    let system = super::volts_word(brief.system);
    if brief.priority == TurnPriority::Relays {
        let mend = found.mend(say!("use contacts of the switches"), |b| {
            b.priority = TurnPriority::Contacts;
        });
        let text =
            say!("The catalogue has no relay for {system}, so relays cannot put turn before stop.");
        found.say(text, vec![mend]);
    } else if bus(brief, Signal::Turn) > bus(brief, Signal::Stop) {
        let mend = found.mend(say!("let stop work where turn works"), |b| {
            for control in &mut b.controls {
                exempt_not(control, Signal::Stop);
            }
        });
        let text = say!(
            "Stop works where turn does not; putting turn before stop then takes relays, and the catalogue has none for {system}."
        );
        found.say(text, vec![mend]);
    }
}
