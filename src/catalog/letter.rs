//! Class letters of reference designations: `E1` a lamp, `F3` a fuse, `S2` a switch.
//!
//! The letters follow the older IEC 60750 and DIN 40719-2, which vehicle diagrams still use (from memory). IEC
//! 81346-2:2009 agrees for F, K and S but would give a diode R (restricting flow) and has no letter V for it; V keeps
//! diodes apart from resistors on a phone screen, so V it is. Under IEC 81346-2 a charger would be T, as a converter is here;
//! DIN 40719-2 has U for converters.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// DIN 40719-2.
pub const SOURCE: Source = Source {
    title: "DIN 40719-2 and IEC 60750 Item designation; compared with IEC 81346-2",
    edition: mark!("1978; 1983; 2009 (letters F and K seen in a digest)"),
    place: mark!("class letters"),
    range: mark!("the kinds of part that a plan can hold"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// The letter of one kind of part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Kind of part, in the words of a plan.
    pub key: &'static str,
    /// Class letter.
    pub letter: char,
    /// What the letter stands for.
    pub class: &'static str,
    /// How far it was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, letter: char, class: &'static str, mark: Mark) -> Row {
    Row {
        key,
        letter,
        class,
        mark,
    }
}

/// All kinds of part.
pub const ROWS: &[Row] = &[
    row(
        mark!("battery"),
        'G',
        mark!("generators and supplies"),
        Mark::FromMemory,
    ),
    row(
        mark!("charger"),
        'G',
        mark!("generators and supplies"),
        Mark::FromMemory,
    ),
    row(mark!("fuse"), 'F', mark!("protective devices"), Mark::Seen),
    row(
        mark!("breaker"),
        'F',
        mark!("protective devices"),
        Mark::Seen,
    ),
    row(
        mark!("switch"),
        'S',
        mark!("switches and push-buttons"),
        Mark::FromMemory,
    ),
    row(mark!("flasher"), 'K', mark!("relays"), Mark::Seen),
    row(mark!("relay"), 'K', mark!("relays"), Mark::Seen),
    row(
        mark!("diode"),
        'V',
        mark!("semiconductors"),
        Mark::FromMemory,
    ),
    row(
        mark!("lamp"),
        'E',
        mark!("lighting and heating"),
        Mark::FromMemory,
    ),
    row(
        mark!("LED lamp"),
        'E',
        mark!("lighting and heating"),
        Mark::FromMemory,
    ),
    row(
        mark!("general load"),
        'E',
        mark!("lighting and heating"),
        Mark::FromMemory,
    ),
    row(
        mark!("converter"),
        'T',
        mark!("transformers and converters"),
        Mark::FromMemory,
    ),
    row(mark!("resistor"), 'R', mark!("resistors"), Mark::FromMemory),
    row(
        mark!("splice"),
        'X',
        mark!("terminals, plugs and sockets"),
        Mark::FromMemory,
    ),
    row(
        mark!("connector"),
        'X',
        mark!("terminals, plugs and sockets"),
        Mark::FromMemory,
    ),
    row(
        mark!("ground point"),
        'X',
        mark!("terminals, plugs and sockets"),
        Mark::FromMemory,
    ),
    row(
        mark!("wire"),
        'W',
        mark!("conductors and cables"),
        Mark::FromMemory,
    ),
];

/// The row of a kind of part.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 81346-2 (digest seen): F protection, K relays; both older and newer practice agree on these.
    #[test]
    fn letters_that_both_standards_share_are_marked_seen() {
        for row in ROWS {
            assert_eq!(
                row.mark == Mark::Seen,
                matches!(row.letter, 'F' | 'K'),
                "{}",
                row.key
            );
            // I and O are not used, so that no letter reads as a digit.
            assert!(row.letter.is_ascii_uppercase() && !matches!(row.letter, 'I' | 'O'));
        }
    }

    #[test]
    fn a_letter_stands_for_one_class() {
        for a in ROWS {
            for b in ROWS {
                assert_eq!(
                    a.letter == b.letter,
                    a.class == b.class,
                    "{} and {}",
                    a.key,
                    b.key
                );
            }
        }
        assert_eq!(find("Diode").map(|row| row.letter), Some('V'));
    }
}
