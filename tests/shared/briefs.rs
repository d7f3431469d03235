//! Random briefs: lamps, signals and controls thrown together, mostly contradictory until they are mended.

#![allow(dead_code, reason = "each test uses some of these")]

use super::random::Random;
use loomwright::brief::{
    Across, Brief, Charging, ControlAnswer, End, Fitting, Lamps, Lit, Return, Signal, Socket,
    System, TurnPriority, contradictions,
};
use loomwright::plan::{FlasherAction, Light};

fn pick<T: Clone>(random: &mut Random, list: &[T]) -> T {
    list[random.below(list.len())].clone()
}

fn some(random: &mut Random, pool: &[Signal], most: usize) -> Vec<Signal> {
    let mut list = Vec::new();
    for _ in 0..=random.below(most) {
        let signal = pick(random, pool);
        if !list.contains(&signal) {
            list.push(signal);
        }
    }
    list
}

/// A brief as it comes.
pub fn random_brief(random: &mut Random) -> Brief {
    let systems = [
        System::V12,
        System::V12,
        System::V12,
        System::V24,
        System::V6,
        System::V48,
    ];
    let mut brief = Brief {
        system: pick(random, &systems),
        priority: pick(
            random,
            &[
                TurnPriority::Contacts,
                TurnPriority::Relays,
                TurnPriority::None,
            ],
        ),
        wiring: pick(random, &[Return::Chassis, Return::Wired]),
        flasher: pick(
            random,
            &[
                FlasherAction::Electronic,
                FlasherAction::Electronic,
                FlasherAction::Thermal,
            ],
        ),
        charging: pick(
            random,
            &[
                Charging::Elsewhere,
                Charging::Elsewhere,
                Charging::Elsewhere,
                Charging::Engine,
                Charging::Mains,
            ],
        ),
        socket: (random.unit() < 0.3).then(|| pick(random, &Socket::ALL)),
        lamps: Vec::new(),
        controls: Vec::new(),
        ..Brief::default()
    };
    for _ in 0..=random.below(5) {
        let lamps = random_lamps(random, brief.socket.is_some());
        brief.lamps.push(lamps);
    }
    random_controls(random, &mut brief);
    brief
}

fn random_lamps(random: &mut Random, trailer: bool) -> Lamps {
    let fitting = pick(random, &Fitting::ALL);
    let ends: &[End] = if trailer {
        &[End::Front, End::Rear, End::Trailer, End::Trailer]
    } else {
        &[End::Front, End::Side, End::Rear, End::Rear]
    };
    let pool: &[Signal] = match random.below(4) {
        0 => &[Signal::Stop, Signal::Turn, Signal::Tail],
        1 => &[Signal::Turn, Signal::Running],
        2 => &[Signal::Stop, Signal::Fog, Signal::Tail],
        _ => &Signal::ALL,
    };
    let weak = [
        Signal::Tail,
        Signal::Running,
        Signal::Marker,
        Signal::Licence,
    ];
    Lamps {
        end: pick(random, ends),
        across: pick(
            random,
            &[
                Across::Pair,
                Across::Pair,
                Across::Pair,
                Across::Left,
                Across::Right,
                Across::Centre,
            ],
        ),
        fitting,
        light: pick(random, &[Light::Red, Light::Amber, Light::White]),
        strong: some(random, pool, 3),
        weak: if fitting.circuits() == 2 {
            some(random, &weak, 2)
        } else {
            Vec::new()
        },
        model: None,
    }
}

fn random_controls(random: &mut Random, brief: &mut Brief) {
    let shows = |signal| {
        brief
            .lamps
            .iter()
            .any(|lamps| lamps.strong.contains(&signal) || lamps.weak.contains(&signal))
    };
    let (turn, hazard) = (shows(Signal::Turn), shows(Signal::Hazard));
    let mut left: Vec<Signal> = Signal::ALL
        .into_iter()
        .filter(|&signal| !signal.flashes() && shows(signal))
        .collect();
    if turn {
        brief.controls.push(pick(
            random,
            &[ControlAnswer::Turn, ControlAnswer::TurnPair],
        ));
    }
    if hazard || (turn && random.unit() < 0.6) {
        brief.controls.push(ControlAnswer::Hazard);
    }
    if random.unit() < 0.4 {
        let mut lights = Vec::new();
        if random.unit() < 0.4 && !left.is_empty() {
            lights.push(left.remove(random.below(left.len())));
        }
        let few = |random: &mut Random, lights: &[Signal]| -> Vec<Signal> {
            let all = Signal::ALL.into_iter();
            all.filter(|signal| !lights.contains(signal) && random.unit() < 0.3)
                .collect()
        };
        let always = few(random, &lights);
        brief.controls.push(if random.unit() < 0.5 {
            ControlAnswer::Master { always, lights }
        } else {
            let accessory = few(random, &lights);
            ControlAnswer::Ignition {
                always,
                accessory,
                lights,
            }
        });
    }
    while !left.is_empty() {
        let count = (1 + random.below(2)).min(left.len());
        let signals: Vec<Signal> = left.drain(..count).collect();
        brief.controls.push(match random.below(6) {
            0 => ControlAnswer::Pedal { signals },
            1 => ControlAnswer::Push { signals },
            2 => ControlAnswer::Selector {
                positions: vec![
                    Lit {
                        name: "park".into(),
                        signals: signals[..1].to_vec(),
                    },
                    Lit {
                        name: "drive".into(),
                        signals,
                    },
                ],
            },
            _ => ControlAnswer::Switch { signals },
        });
    }
    if random.unit() < 0.15 {
        let signals = vec![pick(random, &Signal::ALL)];
        brief.controls.push(ControlAnswer::Switch { signals });
    }
}

/// The brief with a mend taken for every contradiction, at random; and how many were taken.
pub fn mended(random: &mut Random, mut brief: Brief) -> (Brief, usize) {
    for taken in 0..80 {
        let found = contradictions(&brief);
        let Some(first) = found.first() else {
            return (brief, taken);
        };
        for contradiction in &found {
            assert!(!contradiction.mends.is_empty(), "{}", contradiction.text);
        }
        brief = first.mends[random.below(first.mends.len())].brief.clone();
    }
    panic!(
        "no end of mending: {:#?}\n{brief:?}",
        contradictions(&brief).first().map(|c| &c.text)
    );
}
