//! Answers in words.

use crate::brief::place::end_word;
use crate::brief::{
    Across, Charging, ControlAnswer, End, Fitting, Lamps, Return, Signal, Socket, System,
    TurnPriority,
};
use crate::plan::{Chemistry, FlasherAction, Light};

pub const SYSTEMS: [(System, &str); 4] = [
    (System::V12, "12 V"),
    (System::V6, "6 V"),
    (System::V24, "24 V"),
    (System::V48, "48 V drive, lamps on 12 V from a converter"),
];

pub const CHEMISTRIES: [(Chemistry, &str); 4] = [
    (Chemistry::Agm, "lead-acid, absorbent mat (AGM)"),
    (Chemistry::Flooded, "lead-acid, liquid"),
    (Chemistry::Gel, "lead-acid, gel"),
    (Chemistry::Lifepo4, "lithium iron phosphate"),
];

pub const CHARGINGS: [(Charging, &str); 3] = [
    (Charging::Elsewhere, "taken out and charged elsewhere"),
    (Charging::Engine, "by the engine’s alternator"),
    (Charging::Mains, "by a mains charger on board"),
];

pub const FLASHERS: [(FlasherAction, &str); 2] = [
    (
        FlasherAction::Electronic,
        "electronic: flashes faster when a lamp is out",
    ),
    (
        FlasherAction::Thermal,
        "thermal: needs the load it is made for",
    ),
];

pub const PRIORITIES: [(TurnPriority, &str); 3] = [
    (
        TurnPriority::Contacts,
        "by a second contact in the turn switch",
    ),
    (TurnPriority::Relays, "by a relay for each side"),
    (TurnPriority::None, "not at all: stop hides the flash"),
];

pub const RETURNS: [(Return, &str); 2] = [
    (Return::Chassis, "through the vehicle’s metal"),
    (
        Return::Wired,
        "through wires of its own: wood, fibre, boats",
    ),
];

pub const SOCKETS: [(Socket, &str); 4] = [
    (Socket::FourWay, "4-way flat"),
    (Socket::SevenBlade, "7-way blade"),
    (Socket::SevenPin, "7-pin round"),
    (Socket::ThirteenPin, "13-pin round"),
];

pub const ENDS: [(End, &str); 4] = [
    (End::Front, "front"),
    (End::Side, "side"),
    (End::Rear, "rear"),
    (End::Trailer, "trailer"),
];

pub const ACROSS: [(Across, &str); 4] = [
    (Across::Pair, "a pair, left and right"),
    (Across::Left, "left only"),
    (Across::Right, "right only"),
    (Across::Centre, "in the middle"),
];

pub const FITTINGS: [(Fitting, &str); 5] = [
    (Fitting::Filament, "one filament"),
    (Fitting::TwoFilaments, "two filaments, strong and weak"),
    (Fitting::Led, "LED"),
    (Fitting::TwoLeds, "LED, strong and weak circuit"),
    (Fitting::RegulatedLed, "LED with a regulator"),
];

pub const LIGHTS: [(Light, &str); 3] = [
    (Light::Amber, "amber"),
    (Light::Red, "red"),
    (Light::White, "white"),
];

/// The words of a value in a list.
pub fn word<T: PartialEq>(list: &[(T, &'static str)], value: &T) -> &'static str {
    let found = list.iter().find(|(known, _)| known == value);
    found.map_or("", |(_, words)| words)
}

/// Signals with their words, of those given.
pub fn signals(list: &[Signal]) -> Vec<(Signal, &'static str)> {
    list.iter().map(|&signal| (signal, signal.text())).collect()
}

fn names(signals: &[Signal]) -> String {
    let words: Vec<&str> = signals.iter().map(|signal| signal.text()).collect();
    if words.is_empty() {
        "nothing".into()
    } else {
        words.join(", ")
    }
}

/// Lamps of one group, e.g. `Rear pair: stop, turn; weak: tail. Red, two filaments.`
pub fn lamps(lamps: &Lamps) -> String {
    let end = capital(end_word(lamps.end));
    let place = match lamps.across {
        Across::Pair => format!("{end} pair"),
        Across::Left => format!("{end} left"),
        Across::Right => format!("{end} right"),
        Across::Centre => format!("{end} middle"),
    };
    let mut text = format!("{place}: {}", names(&lamps.strong));
    if lamps.fitting.circuits() > 1 {
        text.push_str(&format!("; weak: {}", names(&lamps.weak)));
    }
    let short = match lamps.fitting {
        Fitting::TwoFilaments => "two filaments",
        Fitting::TwoLeds => "LED, two circuits",
        other => word(&FITTINGS, &other),
    };
    let light = capital(word(&LIGHTS, &lamps.light));
    text.push_str(&format!(". {light}, {short}."));
    text
}

/// A control, e.g. `Pedal: stop.`
pub fn control(control: &ControlAnswer) -> String {
    match control {
        ControlAnswer::Switch { signals } => format!("Switch: {}.", names(signals)),
        ControlAnswer::Push { signals } => format!("Push button: {}.", names(signals)),
        ControlAnswer::Pedal { signals } => format!("Pedal: {}.", names(signals)),
        ControlAnswer::Selector { positions } => {
            let each = positions
                .iter()
                .map(|p| format!("{}: {}", p.name, names(&p.signals)));
            format!("Selector: off; {}.", each.collect::<Vec<_>>().join("; "))
        }
        ControlAnswer::Turn => "Turn switch: left, off, right.".into(),
        ControlAnswer::TurnPair => "Two turn switches, left and right.".into(),
        ControlAnswer::Hazard => "Hazard switch: both sides flash.".into(),
        ControlAnswer::Master { always, lights } => format!(
            "Master switch: works without it: {}; it lights by itself: {}.",
            names(always),
            names(lights)
        ),
        ControlAnswer::Ignition {
            always,
            accessory,
            lights,
        } => format!(
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
