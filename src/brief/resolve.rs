//! What the answers come to: single lamps with their circuits, the feeds that light them, and when.
//!
//! A feed is what one hand movement makes live: a group of steady signals with the same controls, or a flashing side.
//! A lamp circuit is lit by a set of feeds; circuits with the same set can hang on the same wire. Where a strong and a
//! weak signal share a circuit, the weak one is dimmed.

use super::place::Side;
pub(super) use super::words::{capital, name_keys, names};
use super::{Across, Brief, ControlAnswer, End, Fitting, Signal, TurnPriority};
use crate::plan::{Action, Control, ControlId, Extra, Light};
use crate::text::say;
use crate::units::order::Order;

/// From which position of the master or ignition switch on something works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Bus {
    /// Whatever its position (terminal 30).
    Always,
    /// From `accessory` on (terminal 75).
    Accessory,
    /// In `run` or `on` only (terminal 15).
    Run,
}

/// What makes a lamp circuit live.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Feed {
    /// A group of steady signals, by index.
    Steady(usize),
    /// The flashing side, straight from the flasher.
    Flash(Side),
    /// All that flashes as hazard signal only.
    FlashHazard,
    /// Stop, and before it the flash of a side.
    StopOrFlash(Side),
}

/// A feed as it reaches a lamp circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Way {
    pub feed: Feed,
    /// Through a dropping resistor.
    pub dim: bool,
}

/// Position of a control, by the index of the control in `Resolved::controls`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct When {
    pub control: usize,
    pub position: String,
}

/// Steady signals that always go together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Group {
    pub signals: Vec<Signal>,
    pub bus: Bus,
    /// Positions that light it; empty for one that the master or ignition switch lights by itself.
    pub lit: Vec<When>,
}

/// One lamp circuit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Circuit {
    pub signals: Vec<Signal>,
    /// The ways in which it is fed, in order.
    pub ways: Vec<Way>,
}

/// One lamp.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Lamp {
    /// Group of the answers it comes from.
    pub group: usize,
    pub end: End,
    pub side: Side,
    pub fitting: Fitting,
    pub light: Light,
    pub circuits: Vec<Circuit>,
}

/// A control with the answer it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Moved {
    pub control: Control,
    pub answer: usize,
}

/// The answers, resolved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Resolved {
    pub controls: Vec<Moved>,
    pub groups: Vec<Group>,
    pub lamps: Vec<Lamp>,
    /// Bus of the turn signal and of the hazard signal.
    pub turn_bus: Bus,
    pub hazard_bus: Bus,
    /// Whether stop has to give way to the flash on a shared circuit.
    pub has_stop_or_flash: bool,
}

impl Resolved {
    pub fn of(brief: &Brief) -> Self {
        let controls = controls(brief);
        let groups = groups(brief, &controls);
        let turn_bus = bus(brief, Signal::Turn);
        let mut resolved = Self {
            hazard_bus: bus(brief, Signal::Hazard).min(turn_bus),
            turn_bus,
            controls,
            groups,
            lamps: Vec::new(),
            has_stop_or_flash: false,
        };
        resolved.lamps = resolved.list_lamps(brief);
        let shared = |way: &Way| matches!(way.feed, Feed::StopOrFlash(_));
        let is_shared = |(_, circuit): (&Lamp, &Circuit)| circuit.ways.iter().any(shared);
        let has_stop_or_flash = resolved.circuits().any(is_shared);
        Self {
            has_stop_or_flash,
            ..resolved
        }
    }

    /// Every circuit with its lamp.
    pub fn circuits(&self) -> impl Iterator<Item = (&Lamp, &Circuit)> {
        self.lamps
            .iter()
            .flat_map(|lamp| lamp.circuits.iter().map(move |circuit| (lamp, circuit)))
    }

    /// The group that holds a signal.
    pub fn group_of(&self, signal: Signal) -> Option<usize> {
        self.groups
            .iter()
            .position(|group| group.signals.contains(&signal))
    }

    /// Index of the control that an answer stands for; the first for a pair of switches.
    pub fn control_of(&self, answer: usize) -> Option<usize> {
        self.controls
            .iter()
            .position(|moved| moved.answer == answer)
    }

    /// The positions that make a side flash as turn signal.
    pub fn turning(&self, brief: &Brief, side: Side) -> Option<When> {
        let answer = brief
            .controls
            .iter()
            .position(|c| matches!(c, ControlAnswer::Turn | ControlAnswer::TurnPair))?;
        let first = self.control_of(answer)?;
        Some(match (&brief.controls[answer], side) {
            (ControlAnswer::TurnPair, Side::Right) => When {
                control: first + 1,
                position: "on".into(),
            },
            (ControlAnswer::TurnPair, _) => When {
                control: first,
                position: "on".into(),
            },
            (_, side) => When {
                control: first,
                position: side.key().into(),
            },
        })
    }

    /// Index of the hazard switch.
    pub fn hazard(&self, brief: &Brief) -> Option<usize> {
        let answer = brief
            .controls
            .iter()
            .position(|c| matches!(c, ControlAnswer::Hazard))?;
        self.control_of(answer)
    }

    /// Index of the master or ignition switch.
    pub fn gate(&self, brief: &Brief) -> Option<usize> {
        self.control_of(gate_answer(brief)?)
    }

    fn list_lamps(&self, brief: &Brief) -> Vec<Lamp> {
        let mut lamps = Vec::new();
        for (group, answer) in brief.lamps.iter().enumerate() {
            let sides: &[Side] = match answer.across {
                Across::Pair => &[Side::Left, Side::Right],
                Across::Left => &[Side::Left],
                Across::Right => &[Side::Right],
                Across::Centre => &[Side::Centre],
            };
            for &side in sides {
                let mut circuits = vec![self.circuit(brief, &answer.strong, side)];
                if answer.fitting.circuits() == 2 {
                    circuits.push(self.circuit(brief, &answer.weak, side));
                }
                lamps.push(Lamp {
                    group,
                    end: answer.end,
                    side,
                    fitting: answer.fitting,
                    light: answer.light,
                    circuits,
                });
            }
        }
        // Front first, left before right, as a plan is read.
        lamps.order_by_key(|lamp| (lamp.end, lamp.side == Side::Right, lamp.group));
        lamps
    }

    fn circuit(&self, brief: &Brief, signals: &[Signal], side: Side) -> Circuit {
        let mut ways: Vec<Way> = Vec::new();
        let strong_too = signals.iter().any(|signal| !signal.is_weak());
        let priority = brief.priority != TurnPriority::None
            && signals.contains(&Signal::Stop)
            && signals.contains(&Signal::Turn);
        for &signal in signals {
            let feed = match signal {
                Signal::Turn | Signal::Stop if priority => Feed::StopOrFlash(side),
                Signal::Turn => Feed::Flash(side),
                Signal::Hazard if signals.contains(&Signal::Turn) => continue,
                Signal::Hazard => Feed::FlashHazard,
                steady => match self.group_of(steady) {
                    Some(group) => Feed::Steady(group),
                    None => continue,
                },
            };
            let dim = signal.is_weak() && strong_too;
            ways.push(Way { feed, dim });
        }
        ways.order();
        // A feed that comes in full and dimmed comes in full: `false` sorts first.
        ways.dedup_by_key(|way| way.feed);
        Circuit {
            signals: signals.to_vec(),
            ways,
        }
    }
}

fn gate_answer(brief: &Brief) -> Option<usize> {
    let is_gate = |c: &ControlAnswer| {
        matches!(
            c,
            ControlAnswer::Master { .. } | ControlAnswer::Ignition { .. }
        )
    };
    brief.controls.iter().position(is_gate)
}

/// From where on a signal works.
pub(super) fn bus(brief: &Brief, signal: Signal) -> Bus {
    match gate_answer(brief).map(|answer| &brief.controls[answer]) {
        Some(ControlAnswer::Master { always, lights }) => {
            if always.contains(&signal) && !lights.contains(&signal) {
                Bus::Always
            } else {
                Bus::Run
            }
        }
        Some(ControlAnswer::Ignition {
            always,
            accessory,
            lights,
        }) => {
            if lights.contains(&signal) {
                Bus::Run
            } else if always.contains(&signal) {
                Bus::Always
            } else if accessory.contains(&signal) {
                Bus::Accessory
            } else {
                Bus::Run
            }
        }
        _ => Bus::Always,
    }
}

fn controls(brief: &Brief) -> Vec<Moved> {
    let mut controls: Vec<Moved> = Vec::new();
    for (answer, control) in brief.controls.iter().enumerate() {
        let mut add = |id: &str, label: String, action: Action, positions: &[&str]| {
            let taken = |id: &ControlId| controls.iter().any(|m: &Moved| m.control.id == *id);
            let id = match id.parse::<ControlId>() {
                Ok(id) if !taken(&id) => id,
                _ => crate::plan::free(id, taken),
            };
            controls.push(Moved {
                control: Control {
                    id,
                    label,
                    action,
                    positions: positions.iter().map(|&p| p.to_owned()).collect(),
                    extra: Extra::new(),
                },
                answer,
            });
        };
        let stem = |signals: &[Signal]| signals.first().map_or("switch", |signal| signal.key());
        match control {
            ControlAnswer::Switch { signals } => add(
                stem(signals),
                capital(&names(signals)),
                Action::Latching,
                &["off", "on"],
            ),
            ControlAnswer::Push { signals } => add(
                stem(signals),
                say!("{} button", capital(&names(signals))),
                Action::Momentary,
                &["released", "pressed"],
            ),
            ControlAnswer::Pedal { signals } => {
                let brake = signals.contains(&Signal::Stop);
                let (id, label) = if brake {
                    ("brake", say!("Brake").to_owned())
                } else {
                    ("pedal", say!("{} pedal", capital(&names(signals))))
                };
                add(id, label, Action::Momentary, &["released", "pressed"]);
            }
            ControlAnswer::Selector { positions } => {
                let mut all = vec!["off"];
                all.extend(positions.iter().map(|position| position.name.as_str()));
                add(
                    "lights",
                    say!("Light switch").into(),
                    Action::Latching,
                    &all,
                );
            }
            ControlAnswer::Turn => add(
                "turn",
                say!("control" => "Turn").into(),
                Action::Latching,
                &["off", "left", "right"],
            ),
            ControlAnswer::TurnPair => {
                add(
                    "left",
                    say!("Left").into(),
                    Action::Latching,
                    &["off", "on"],
                );
                add(
                    "right",
                    say!("Right").into(),
                    Action::Latching,
                    &["off", "on"],
                );
            }
            ControlAnswer::Hazard => {
                add(
                    "hazard",
                    say!("control" => "Hazard").into(),
                    Action::Latching,
                    &["off", "on"],
                );
            }
            ControlAnswer::Master { .. } => {
                add(
                    "master",
                    say!("control" => "Master").into(),
                    Action::Latching,
                    &["off", "on"],
                );
            }
            ControlAnswer::Ignition { .. } => add(
                "ignition",
                say!("control" => "Ignition").into(),
                Action::Latching,
                &["off", "accessory", "run"],
            ),
        }
    }
    controls
}

/// Positions that light a steady signal.
fn lit(brief: &Brief, controls: &[Moved], signal: Signal) -> Vec<When> {
    let mut lit = Vec::new();
    for (control, moved) in controls.iter().enumerate() {
        let mut at = |position: &str| {
            lit.push(When {
                control,
                position: position.into(),
            });
        };
        match &brief.controls[moved.answer] {
            ControlAnswer::Switch { signals } if signals.contains(&signal) => at("on"),
            ControlAnswer::Push { signals } | ControlAnswer::Pedal { signals }
                if signals.contains(&signal) =>
            {
                at("pressed");
            }
            ControlAnswer::Selector { positions } => {
                for position in positions.iter().filter(|p| p.signals.contains(&signal)) {
                    at(&position.name);
                }
            }
            _ => {}
        }
    }
    lit
}

/// Steady signals that some lamp shows and some control lights, those with the same controls together.
fn groups(brief: &Brief, controls: &[Moved]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for signal in Signal::ALL.into_iter().filter(|signal| !signal.flashes()) {
        let used = |lamps: &super::Lamps| {
            lamps.strong.contains(&signal)
                || (lamps.fitting.circuits() == 2 && lamps.weak.contains(&signal))
        };
        if !brief.lamps.iter().any(used) {
            continue;
        }
        let by_gate = match gate_answer(brief).map(|answer| &brief.controls[answer]) {
            Some(ControlAnswer::Master { lights, .. } | ControlAnswer::Ignition { lights, .. }) => {
                lights.contains(&signal)
            }
            _ => false,
        };
        let lit = if by_gate {
            Vec::new()
        } else {
            lit(brief, controls, signal)
        };
        if lit.is_empty() && !by_gate {
            continue;
        }
        let bus = bus(brief, signal);
        match groups
            .iter_mut()
            .find(|group| group.bus == bus && group.lit == lit)
        {
            Some(group) => group.signals.push(signal),
            None => groups.push(Group {
                signals: vec![signal],
                bus,
                lit,
            }),
        }
    }
    groups
}
