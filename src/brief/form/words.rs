//! Answers in words.

use crate::brief::place::end_word;
use crate::brief::{
    Across, Charging, ControlAnswer, End, Fitting, Lamps, Return, Signal, Socket, System,
    TurnPriority,
};
use crate::plan::{Chemistry, FlasherAction, Light, position_word};
use crate::text::{self, mark, say};

pub const SYSTEMS: [(System, &str); 4] = [
    (System::V12, "12 V"),
    (System::V6, "6 V"),
    (System::V24, "24 V"),
    (
        System::V48,
        mark!("48 V drive, lamps on 12 V from a converter"),
    ),
];

pub const CHEMISTRIES: [(Chemistry, &str); 4] = [
    (Chemistry::Agm, mark!("lead-acid, absorbent mat (AGM)")),
    (Chemistry::Flooded, mark!("lead-acid, liquid")),
    (Chemistry::Gel, mark!("lead-acid, gel")),
    (Chemistry::Lifepo4, mark!("lithium iron phosphate")),
];

pub const CHARGINGS: [(Charging, &str); 3] = [
    (
        Charging::Elsewhere,
        mark!("taken out and charged elsewhere"),
    ),
    (Charging::Engine, mark!("by the engine’s alternator")),
    (Charging::Mains, mark!("by a mains charger on board")),
];

pub const FLASHERS: [(FlasherAction, &str); 2] = [
    (
        FlasherAction::Electronic,
        mark!("electronic: flashes faster when a lamp is out"),
    ),
    (
        FlasherAction::Thermal,
        mark!("thermal: needs the load it is made for"),
    ),
];

pub const PRIORITIES: [(TurnPriority, &str); 3] = [
    (
        TurnPriority::Contacts,
        mark!("by a second contact in the turn switch"),
    ),
    (TurnPriority::Relays, mark!("by a relay for each side")),
    (
        TurnPriority::None,
        mark!("not at all: stop hides the flash"),
    ),
];

pub const RETURNS: [(Return, &str); 2] = [
    (Return::Chassis, mark!("through the vehicle’s metal")),
    (
        Return::Wired,
        mark!("through wires of its own: wood, fibre, boats"),
    ),
];

pub const SOCKETS: [(Socket, &str); 4] = [
    (Socket::FourWay, mark!("4-way flat")),
    (Socket::SevenBlade, mark!("7-way blade")),
    (Socket::SevenPin, mark!("7-pin round")),
    (Socket::ThirteenPin, mark!("13-pin round")),
];

pub const ENDS: [(End, &str); 4] = [
    (End::Front, mark!("front")),
    (End::Side, mark!("side")),
    (End::Rear, mark!("rear")),
    (End::Trailer, mark!("trailer")),
];

pub const ACROSS: [(Across, &str); 4] = [
    (Across::Pair, mark!("a pair, left and right")),
    (Across::Left, mark!("left only")),
    (Across::Right, mark!("right only")),
    (Across::Centre, mark!("in the middle")),
];

pub const FITTINGS: [(Fitting, &str); 5] = [
    (Fitting::Filament, mark!("one filament")),
    (
        Fitting::TwoFilaments,
        mark!("two filaments, strong and weak"),
    ),
    (Fitting::Led, mark!("LED")),
    (Fitting::TwoLeds, mark!("LED, strong and weak circuit")),
    (Fitting::RegulatedLed, mark!("LED with a regulator")),
];

pub const LIGHTS: [(Light, &str); 3] = [
    (Light::Amber, mark!("amber")),
    (Light::Red, mark!("red")),
    (Light::White, mark!("white")),
];

/// The words of a value in a list.
pub fn word<T: PartialEq>(list: &[(T, &'static str)], value: &T) -> &'static str {
    let found = list.iter().find(|(known, _)| known == value);
    found.map_or("", |(_, words)| text::of(words))
}

/// Signals with their words, of those given.
pub fn signals(list: &[Signal]) -> Vec<(Signal, &'static str)> {
    list.iter().map(|&signal| (signal, signal.text())).collect()
}

fn names(signals: &[Signal]) -> String {
    let words: Vec<&str> = signals.iter().map(|signal| signal.text()).collect();
    if words.is_empty() {
        say!("nothing").into()
    } else {
        words.join(", ")
    }
}

/// Lamps of one group, e.g. `Rear pair: stop, turn; weak: tail. Red, two filaments.`
pub fn lamps(lamps: &Lamps) -> String {
    let end = capital(end_word(lamps.end));
    let place = match lamps.across {
        Across::Pair => say!("{end} pair"),
        Across::Left => say!("{end} left"),
        Across::Right => say!("{end} right"),
        Across::Centre => say!("{end} middle"),
    };
    let mut text = format!("{place}: {}", names(&lamps.strong));
    if lamps.fitting.circuits() > 1 {
        text.push_str(&say!("; weak: {}", names(&lamps.weak)));
    }
    let short = match lamps.fitting {
        Fitting::TwoFilaments => say!("two filaments"),
        Fitting::TwoLeds => say!("LED, two circuits"),
        other => word(&FITTINGS, &other),
    };
    let light = capital(word(&LIGHTS, &lamps.light));
    text.push_str(&say!(". {light}, {short}."));
    text
}

/// A control, e.g. `Pedal: stop.`
pub fn control(control: &ControlAnswer) -> String {
    match control {
        ControlAnswer::Switch { signals } => say!("Switch: {}.", names(signals)),
        ControlAnswer::Push { signals } => say!("Push button: {}.", names(signals)),
        ControlAnswer::Pedal { signals } => say!("Pedal: {}.", names(signals)),
        ControlAnswer::Selector { positions } => {
            let each = positions
                .iter()
                .map(|p| format!("{}: {}", position_word(&p.name), names(&p.signals)));
            say!("Selector: off; {}.", each.collect::<Vec<_>>().join("; "))
        }
        ControlAnswer::Turn => say!("Turn switch: left, off, right.").into(),
        ControlAnswer::TurnPair => say!("Two turn switches, left and right.").into(),
        ControlAnswer::Hazard => say!("Hazard switch: both sides flash.").into(),
        ControlAnswer::Master { always, lights } => say!(
            "Master switch: works without it: {}; it lights by itself: {}.",
            names(always),
            names(lights)
        ),
        ControlAnswer::Ignition {
            always,
            accessory,
            lights,
        } => say!(
            "Ignition: works always: {}; from accessory on: {}; run lights by itself: {}.",
            names(always),
            names(accessory),
            names(lights)
        ),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
