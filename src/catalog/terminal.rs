//! Terminal numbers of vehicle parts after DIN 72552, with their meanings.
//!
//! The list of numbers was seen in public digests; meanings are from memory except where marked. Terminal 87 was an
//! input in older relays and is an output in relays after ISO 7588.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// DIN 72552.
pub const SOURCE: Source = Source {
    title: "DIN 72552 Terminal markings for motor vehicles",
    edition: mark!("parts 1 to 4, as digested in public lists"),
    place: mark!("number and meaning"),
    range: mark!("the numbers used in lighting; wiper and radio numbers are left out"),
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
    row("15", mark!("switched plus, after the ignition switch")),
    row("15a", mark!("switched plus, after a ballast")),
    seen("30", mark!("plus direct from the battery")),
    seen(
        "30a",
        mark!("plus from the second battery (12/24 V changeover)"),
    ),
    seen("30b", mark!("plus through the hazard switch")),
    seen("31", mark!("battery minus, vehicle ground")),
    seen("31a", mark!("minus of the second battery")),
    seen("31b", mark!("switched ground")),
    row("49", mark!("flasher input, plus")),
    row("49a", mark!("flasher output")),
    row("49b", mark!("flasher output, second circuit")),
    row("49c", mark!("flasher output, third circuit")),
    seen("50", mark!("starter control")),
    row("C", mark!("turn pilot lamp, vehicle")),
    row("C2", mark!("turn pilot lamp, trailer")),
    row("C3", mark!("turn pilot lamp, second trailer")),
    row("L", mark!("left turn lamps")),
    row("R", mark!("right turn lamps")),
    row("54", mark!("stop lamps")),
    row("L54", mark!("combined stop and turn lamp, left")),
    row("R54", mark!("combined stop and turn lamp, right")),
    row("55", mark!("fog lamps")),
    row("56", mark!("headlamps")),
    row("56a", mark!("high beam and its pilot lamp")),
    row("56b", mark!("low beam")),
    row("56d", mark!("headlamp flash")),
    row("57", mark!("side lamp of motorcycles")),
    row("57a", mark!("parking lamp")),
    row("57L", mark!("parking lamp, left")),
    row("57R", mark!("parking lamp, right")),
    row("58", mark!("side, tail, licence and instrument lamps")),
    row("58L", mark!("side and tail lamps, left")),
    row("58R", mark!("side and tail lamps, right")),
    row("58d", mark!("dimmed instrument lamps")),
    row("58K", mark!("licence lamp")),
    row("59", mark!("alternating current output of an alternator")),
    row("61", mark!("charge warning lamp")),
    row("71", mark!("horn")),
    row("81", mark!("changeover switch: input")),
    row("81a", mark!("changeover switch: first output, break side")),
    row("81b", mark!("changeover switch: second output, break side")),
    row("82", mark!("make switch: input")),
    row("82a", mark!("make switch: first output")),
    row("82b", mark!("make switch: second output")),
    row("82z", mark!("make switch: first input")),
    row("82y", mark!("make switch: second input")),
    row("83", mark!("multi-position switch: input")),
    row("83a", mark!("multi-position switch: output, position 1")),
    row("83b", mark!("multi-position switch: output, position 2")),
    row("83L", mark!("multi-position switch: output, left")),
    row("83R", mark!("multi-position switch: output, right")),
    row("84", mark!("current relay: input of coil and contact")),
    row("84a", mark!("current relay: output of the coil")),
    row("84b", mark!("current relay: output of the contact")),
    seen("85", mark!("relay coil, end (minus)")),
    seen("86", mark!("relay coil, start (plus)")),
    row("86a", mark!("relay coil, start of the first winding")),
    row("86b", mark!("relay coil, tap or second winding")),
    seen(
        "87",
        mark!("relay make contact, output (an input in older relays)"),
    ),
    seen("87a", mark!("relay break contact, output")),
    row("87b", mark!("relay contact, second output")),
    row("87c", mark!("relay contact, third output")),
    row("88", mark!("relay make contact: input")),
    row("88a", mark!("relay make contact: first output")),
    row("88b", mark!("relay make contact: second output")),
    row("88z", mark!("relay make contact: first input")),
    row("B+", mark!("battery plus")),
    row("B-", mark!("battery minus")),
    row("D+", mark!("dynamo plus")),
    row("D-", mark!("dynamo minus")),
    row("DF", mark!("dynamo field")),
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
