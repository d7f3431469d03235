//! Terminal numbers of vehicle parts after DIN 72552, with their meanings.
//!
//! The list of numbers was seen in public digests; meanings are from memory except where marked. Terminal 87 was an
//! input in older relays and is an output in relays after ISO 7588.

use super::{Mark, Source, by_key};

/// DIN 72552.
pub const SOURCE: Source = Source {
    title: "DIN 72552 Terminal markings for motor vehicles",
    edition: "parts 1 to 4, as digested in public lists",
    place: "number and meaning",
    range: "the numbers used in lighting; wiper and radio numbers are left out",
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// One number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// The number as printed on the part.
    pub key: &'static str,
    /// What is connected there.
    pub meaning: &'static str,
    /// How far the meaning was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, meaning: &'static str) -> Row {
    Row {
        key,
        meaning,
        mark: Mark::FromMemory,
    }
}

const fn seen(key: &'static str, meaning: &'static str) -> Row {
    Row {
        key,
        meaning,
        mark: Mark::Seen,
    }
}

/// All numbers, in the order of the standard.
pub const ROWS: &[Row] = &[
    row("15", "switched plus, after the ignition switch"),
    row("15a", "switched plus, after a ballast"),
    seen("30", "plus direct from the battery"),
    seen("30a", "plus from the second battery (12/24 V changeover)"),
    seen("30b", "plus through the hazard switch"),
    seen("31", "battery minus, vehicle ground"),
    seen("31a", "minus of the second battery"),
    seen("31b", "switched ground"),
    row("49", "flasher input, plus"),
    row("49a", "flasher output"),
    row("49b", "flasher output, second circuit"),
    row("49c", "flasher output, third circuit"),
    seen("50", "starter control"),
    row("C", "turn pilot lamp, vehicle"),
    row("C2", "turn pilot lamp, trailer"),
    row("C3", "turn pilot lamp, second trailer"),
    row("L", "left turn lamps"),
    row("R", "right turn lamps"),
    row("54", "stop lamps"),
    row("L54", "combined stop and turn lamp, left"),
    row("R54", "combined stop and turn lamp, right"),
    row("55", "fog lamps"),
    row("56", "headlamps"),
    row("56a", "high beam and its pilot lamp"),
    row("56b", "low beam"),
    row("56d", "headlamp flash"),
    row("57", "side lamp of motorcycles"),
    row("57a", "parking lamp"),
    row("57L", "parking lamp, left"),
    row("57R", "parking lamp, right"),
    row("58", "side, tail, licence and instrument lamps"),
    row("58L", "side and tail lamps, left"),
    row("58R", "side and tail lamps, right"),
    row("58d", "dimmed instrument lamps"),
    row("58K", "licence lamp"),
    row("59", "alternating current output of an alternator"),
    row("61", "charge warning lamp"),
    row("71", "horn"),
    row("81", "changeover switch: input"),
    row("81a", "changeover switch: first output, break side"),
    row("81b", "changeover switch: second output, break side"),
    row("82", "make switch: input"),
    row("82a", "make switch: first output"),
    row("82b", "make switch: second output"),
    row("82z", "make switch: first input"),
    row("82y", "make switch: second input"),
    row("83", "multi-position switch: input"),
    row("83a", "multi-position switch: output, position 1"),
    row("83b", "multi-position switch: output, position 2"),
    row("83L", "multi-position switch: output, left"),
    row("83R", "multi-position switch: output, right"),
    row("84", "current relay: input of coil and contact"),
    row("84a", "current relay: output of the coil"),
    row("84b", "current relay: output of the contact"),
    seen("85", "relay coil, end (minus)"),
    seen("86", "relay coil, start (plus)"),
    row("86a", "relay coil, start of the first winding"),
    row("86b", "relay coil, tap or second winding"),
    seen(
        "87",
        "relay make contact, output (an input in older relays)",
    ),
    seen("87a", "relay break contact, output"),
    row("87b", "relay contact, second output"),
    row("87c", "relay contact, third output"),
    row("88", "relay make contact: input"),
    row("88a", "relay make contact: first output"),
    row("88b", "relay make contact: second output"),
    row("88z", "relay make contact: first input"),
    row("B+", "battery plus"),
    row("B-", "battery minus"),
    row("D+", "dynamo plus"),
    row("D-", "dynamo minus"),
    row("DF", "dynamo field"),
];

/// The row of a number: `49a`, `58l`, ` 30 `.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_found_whatever_their_case() {
        assert_eq!(find("49A").map(|row| row.meaning), Some("flasher output"));
        assert_eq!(find(" 58l ").map(|row| row.key), Some("58L"));
        assert_eq!(find("99"), None);
        // A digit more is another terminal, not a longer spelling.
        assert_ne!(find("31"), find("31b"));
    }

    /// ISO 7588-1 puts these five on a changeover relay.
    #[test]
    fn relay_terminals_were_read_in_a_source() {
        for key in ["30", "85", "86", "87", "87a"] {
            assert_eq!(find(key).map(|row| row.mark), Some(Mark::Seen), "{key}");
        }
    }
}
