//! Readings as words: shares of light, wires, places on a path. Plain functions from values to text.

use crate::behaviour::{Cell, Reading, Shows, Verdict};
use crate::catalog::{colour, conductor};
use crate::plan::{Plan, Wire};
use crate::text::{self, mark, say};
use crate::units::{Amps, Volts, significant};

/// A share of light in percent, e.g. `95 %`, `under 1 %`.
pub fn percent(level: f64) -> String {
    let percent = 100.0 * level;
    if percent <= 0.0 {
        "0 %".into()
    } else if percent < 0.05 {
        say!("under 0.1 %").into()
    } else if percent < 10.0 {
        format!("{} %", significant((percent * 10.0).round() / 10.0))
    } else {
        format!("{percent:.0} %")
    }
}

/// What is seen of a cell, with its amount: `flashing, 95 %`, `off`.
pub fn seen(cell: &Cell) -> String {
    match cell.shows {
        Shows::Off => Shows::Off.word().into(),
        shows => format!("{}, {}", shows.word(), percent(cell.bright().level)),
    }
}

/// A mark that stands beside the verdict's word.
pub const fn verdict_mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::AsWished => "✓",
        Verdict::BackFed => "◀",
        Verdict::Dead => "✕",
        Verdict::Weak => "▽",
        Verdict::Masked => "▣",
        Verdict::Overdriven => "▲",
    }
}

/// Volts of a reading.
pub fn volts(reading: Reading) -> String {
    Volts::of(reading.volts.abs()).to_string()
}

/// Amperes, milliamperes below a tenth.
pub fn amps(amps: f64) -> String {
    if amps.abs() < 0.1 {
        format!("{} mA", significant((amps.abs() * 1e4).round() / 10.0))
    } else {
        Amps::of((amps.abs() * 1e3).round() / 1e3).to_string()
    }
}

/// A wire's colour in words: `red`, `yellow with green stripe`; an unknown code stays as it is.
pub fn colour(code: &str) -> String {
    match colour::parse(code) {
        Some((base, None)) => text::of(base.name).into(),
        Some((base, Some(stripe))) => say!(
            "{} with {} stripe",
            text::of(base.name),
            text::of(stripe.name)
        ),
        None => code.into(),
    }
}

/// A size of wire as printed, in the sizes of the plan.
pub fn size(plan: &Plan, key: &str) -> String {
    conductor::find(key).map_or_else(|| key.into(), |row| plan.settings.sizing.size(row))
}

/// A wire in words, in the units of the plan: `red, 1.5 mm², 1.2 m`.
pub fn wire(plan: &Plan, wire: &Wire) -> String {
    format!(
        "{}, {}, {}",
        colour(&wire.colour),
        size(plan, &wire.size),
        plan.settings.sizing.length(wire.length_mm)
    )
}

/// A terminal as people find it: `F1:2 (Main fuse)`.
pub fn terminal(plan: &Plan, id: &crate::plan::TerminalId) -> String {
    match plan.part(&id.part) {
        Some(part) if !part.label.is_empty() => format!("{id} ({})", part.label),
        _ => id.to_string(),
    }
}

/// A lamp circuit's name without the comma before its filament, so that it can stand in a list.
pub fn lamp_name(label: &str) -> String {
    match label.rsplit_once(", ") {
        Some((lamp, filament)) => format!("{lamp} {filament}"),
        None => label.into(),
    }
}

/// Names as a list: `a, b and c`.
pub fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => say!("{} and {last}", most.join(", ")),
    }
}

/// `text` with its first letter a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// `text` with its first letter small, for the middle of a sentence; `LED lamp` stays, and so do the nouns of German.
pub fn small(text: &str) -> String {
    if text::language() == "de" {
        return text.into();
    }
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            format!("{}{}", first.to_lowercase(), letters.as_str())
        }
        _ => text.into(),
    }
}

/// A small number as a word.
pub fn count(n: usize) -> String {
    const WORDS: [&str; 6] = [
        mark!("one"),
        mark!("two"),
        mark!("three"),
        mark!("four"),
        mark!("five"),
        mark!("six"),
    ];
    n.checked_sub(1)
        .and_then(|i| WORDS.get(i))
        .map_or_else(|| n.to_string(), |word| text::of(word).into())
}
