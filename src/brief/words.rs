//! Signals and roles of nets in words.
//!
//! A role is an identity and English in every language. Word by word it still tells what a joint serves, so it is
//! translated word by word; what is no word of a role, such as the number of a way, stays.

use super::Signal;
use crate::text::say;

/// Names of signals, `tail`, `tail and stop`, `tail, stop and fog`.
pub(super) fn names(signals: &[Signal]) -> String {
    let words: Vec<&str> = signals.iter().map(|signal| signal.text()).collect();
    match words.split_last() {
        None => say!("nothing").into(),
        Some((last, [])) => (*last).into(),
        Some((last, rest)) => say!("{} and {last}", rest.join(", ")),
    }
}

/// Names of signals in identities, whatever the language.
pub(super) fn name_keys(signals: &[Signal]) -> String {
    let words: Vec<&str> = signals.iter().map(|signal| signal.key()).collect();
    match words.split_last() {
        None => "nothing".into(),
        Some((last, [])) => (*last).into(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// With a capital letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or(String::new(), |first| first.to_uppercase().to_string())
        + letters.as_str()
}

/// The words of a role in the language chosen.
pub(super) fn role(role: &str) -> String {
    let words: Vec<String> = role.split([':', '-', ' ']).map(word).collect();
    words.join(" ")
}

fn word(word: &str) -> String {
    let stem = word.trim_end_matches(',');
    let said = match stem {
        "accessory" => say!("net" => "accessory"),
        "and" => say!("net" => "and"),
        "battery" => say!("net" => "battery"),
        "brake" => say!("net" => "brake"),
        "charging" => say!("net" => "charging"),
        "coil" => say!("net" => "coil"),
        "feed" => say!("net" => "feed"),
        "flash" => say!("net" => "flash"),
        "flasher" => say!("net" => "flasher"),
        "fog" => say!("fog"),
        "front" => say!("front"),
        "fused" => say!("net" => "fused"),
        "hazard" => say!("hazard"),
        "headlamp" => say!("headlamp"),
        "ignition" => say!("net" => "ignition"),
        "joint" => say!("net" => "joint"),
        "left" => say!("left"),
        "licence" => say!("licence"),
        "lights" => say!("net" => "lights"),
        "low" => say!("net" => "low"),
        "marker" => say!("marker"),
        "other" => say!("other"),
        "pedal" => say!("net" => "pedal"),
        "priority" => say!("net" => "priority"),
        "rear" => say!("rear"),
        "return" => say!("net" => "return"),
        "reverse" => say!("reverse"),
        "right" => say!("right"),
        "running" => say!("running"),
        "side" => say!("side"),
        "stop" => say!("stop"),
        "supply" => say!("net" => "supply"),
        "switch" => say!("net" => "switch"),
        "switched" => say!("net" => "switched"),
        "tail" => say!("tail"),
        "to" => say!("net" => "to"),
        "trailer" => say!("trailer"),
        "turn" => say!("turn"),
        "way" => say!("net" => "way"),
        "work" => say!("work"),
        other => other,
    };
    // Lists of signals have commas.
    said.to_owned() + &word[stem.len()..]
}
