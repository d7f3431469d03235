//! What the JSON reader complains of, in our own words and in the language chosen.
//!
//! The reader's messages come in English and in its own terms ("invalid type: map, expected f64"). Their beginnings
//! have been the same since its first version, so they are told apart by these; what none fits is a message of our own
//! readers, which is said already, and stays.

use crate::text::say;

/// What is wrong with a file that is no JSON.
pub(super) fn damage(message: &str) -> String {
    let message = bare(message);
    let sentence = if message.starts_with("EOF") {
        say!("it ends too early")
    } else if message.starts_with("trailing characters") {
        say!("more follows after its end")
    } else {
        say!("JSON has no such sign in this place")
    };
    sentence.to_owned()
}

/// What is wrong with an entry.
pub(super) fn field(message: &str) -> String {
    let message = bare(message);
    if let Some(name) = message.strip_prefix("missing field ") {
        let name = name.trim_matches('`');
        return say!("the field {name} is missing");
    }
    if let Some(name) = message.strip_prefix("duplicate field ") {
        let name = name.trim_matches('`');
        return say!("the field {name} is there twice");
    }
    let two = |start: &str| message.strip_prefix(start)?.split_once(", expected ");
    if let Some((name, known)) = two("unknown variant ") {
        let name = name.trim_matches('`');
        let known = known.trim_start_matches("one of ").replace(" or ", ", ");
        let known = known.replace('`', "");
        return say!("{name} is not known here; known are {known}");
    }
    for start in ["invalid type: ", "invalid value: "] {
        if let Some((found, wanted)) = two(start) {
            let (found, wanted) = (found_in_words(found), wanted_in_words(wanted));
            return say!("{found} stands where {wanted} belongs");
        }
    }
    if let Some((found, _)) = two("invalid length ") {
        return say!("a list has {found} entries, which is not the number it must have");
    }
    message.to_owned()
}

/// A message without the position it repeats.
fn bare(message: &str) -> &str {
    let end = message.find(" at line ").unwrap_or(message.len());
    &message[..end]
}

fn found_in_words(found: &str) -> String {
    // `string "ten"`, "integer `3`", "floating point `2.5`", "boolean `true`".
    if let Some(text) = found.strip_prefix("string ") {
        return say!("the text {text}");
    }
    let (kind, value) = found.rsplit_once(' ').unwrap_or((found, ""));
    let value = value.trim_matches('`');
    match kind {
        "integer" | "floating point" => say!("the number {value}"),
        "boolean" => say!("the value {value}"),
        _ => match found {
            "map" => say!("a set of fields").to_owned(),
            "sequence" => say!("a list").to_owned(),
            _ => say!("no value").to_owned(),
        },
    }
}

fn wanted_in_words(wanted: &str) -> &'static str {
    match wanted.split(' ').next().unwrap_or_default() {
        "f64" | "f32" => say!("a number"),
        "u8" | "u16" | "u32" | "u64" | "usize" => say!("a whole number from 0 on"),
        "i8" | "i16" | "i32" | "i64" | "isize" => say!("a whole number"),
        "a" if wanted == "a string" => say!("a text"),
        "a" if wanted == "a boolean" => say!("true or false"),
        "a" if wanted == "a sequence" => say!("a list"),
        "a" if wanted == "a map" => say!("a set of fields"),
        "struct" | "map" => say!("a set of fields"),
        "variant" | "string" | "enum" => say!("one of the known words"),
        _ => say!("something else"),
    }
}
