//! Words of a plan that are identities and yet read by people.
//!
//! Positions of controls are kept by their names; those that drafts give are English in every plan, so that a plan
//! means the same in every language. They are translated where they are shown; a name that the user gave stays.

use crate::text::say;

/// The names of positions as people read them, with commas.
pub fn position_words(names: &[String]) -> String {
    let words: Vec<&str> = names.iter().map(|name| position_word(name)).collect();
    words.join(", ")
}

/// The name of a position as people read it.
pub fn position_word(name: &str) -> &str {
    match name {
        "off" => say!("position" => "off"),
        "on" => say!("position" => "on"),
        "left" => say!("left"),
        "right" => say!("right"),
        "released" => say!("released"),
        "pressed" => say!("pressed"),
        "accessory" => say!("position" => "accessory"),
        "run" => say!("position" => "run"),
        "first" => say!("position" => "first"),
        "second" => say!("position" => "second"),
        "third" => say!("position" => "third"),
        "fourth" => say!("position" => "fourth"),
        "stopped" => say!("stopped"),
        "running" => say!("engine" => "running"),
        "unplugged" => say!("unplugged"),
        "plugged" => say!("plugged"),
        name => name,
    }
}
