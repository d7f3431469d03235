//! Colours of wires: letter codes after IEC 60757 and the colour each is shown in.
//!
//! Codes from memory; that several colours are written as codes side by side was seen. The screen colours are
//! Loomwright's own, chosen to differ from each other; the code is always printed too, so colour is never the only
//! carrier. A colour says nothing about a wire's function: trailer colour codes contradict each other.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// IEC 60757.
pub const SOURCE: Source = Source {
    title: "IEC 60757 Code for designation of colours",
    edition: mark!("1983 and 2021"),
    place: mark!("table of letter codes; rule for combinations"),
    range: mark!("one base colour and at most one stripe"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// One colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Two-letter code.
    pub key: &'static str,
    /// English name.
    pub name: &'static str,
    /// Screen colour, sRGB.
    pub hex: &'static str,
    /// How far the code was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, name: &'static str, hex: &'static str) -> Row {
    Row {
        key,
        name,
        hex,
        mark: Mark::FromMemory,
    }
}

/// All colours, in the order of the standard.
pub const ROWS: &[Row] = &[
    row("BK", mark!("black"), "#22272c"),
    row("BN", mark!("brown"), "#8a5a34"),
    row("RD", mark!("red"), "#e23b3b"),
    row("OG", mark!("orange"), "#f08a1d"),
    row("YE", mark!("yellow"), "#f4c400"),
    row("GN", mark!("green"), "#1d9a4e"),
    row("BU", mark!("blue"), "#2f6fd6"),
    row("VT", mark!("violet"), "#7d4bc4"),
    row("GY", mark!("grey"), "#8b949c"),
    row("WH", mark!("white"), "#ececec"),
    row("PK", mark!("pink"), "#f29cb7"),
    row("GD", mark!("gold"), "#b8963c"),
    row("SR", mark!("silver"), "#b8bcc4"),
    row("TQ", mark!("turquoise"), "#2bb5b5"),
];

/// The row of one colour's code.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// Base colour and stripe of a code: `RD`, `YEGN`, `gn-ye`, `BK/RD`; `None` for anything else.
pub fn parse(code: &str) -> Option<(&'static Row, Option<&'static Row>)> {
    let code = code.trim();
    let (base, rest) = code.split_at_checked(2)?;
    let base = find_exact(base)?;
    if rest.is_empty() {
        return Some((base, None));
    }
    let stripe = find_exact(rest.trim_start_matches([' ', '/', '-']))?;
    Some((base, Some(stripe)))
}

/// Like `find`, but `R ` must not read as a code for want of its second letter.
fn find_exact(key: &str) -> Option<&'static Row> {
    if key.len() == 2 { find(key) } else { None }
}

/// The code of a base colour with a stripe, as printed on paper: `YEGN`.
pub fn code(base: &Row, stripe: Option<&Row>) -> String {
    format!("{}{}", base.key, stripe.map_or("", |row| row.key))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(text: &str) -> Option<(&'static str, Option<&'static str>)> {
        parse(text).map(|(base, stripe)| (base.key, stripe.map(|row| row.key)))
    }

    #[test]
    fn codes_are_read_with_and_without_a_stripe() {
        assert_eq!(keys("RD"), Some(("RD", None)));
        assert_eq!(keys("YEGN"), Some(("YE", Some("GN"))));
        assert_eq!(keys(" gn-ye "), Some(("GN", Some("YE"))));
        assert_eq!(keys("bk/rd"), Some(("BK", Some("RD"))));
        for text in ["", "R", "RDX", "RDBUGN", "XX", "RD/", "é", "rö", "RDé"] {
            assert_eq!(keys(text), None, "{text}");
        }
    }

    #[test]
    fn every_pair_of_colours_reads_back() {
        for base in ROWS {
            for stripe in ROWS {
                assert_eq!(parse(&code(base, Some(stripe))), Some((base, Some(stripe))));
            }
            assert_eq!(parse(&code(base, None)), Some((base, None)));
        }
    }

    /// Eight-bit channels of a hex colour.
    fn channels(hex: &str) -> [i32; 3] {
        let value = u32::from_str_radix(&hex[1..], 16).expect("six hex digits");
        [16, 8, 0].map(|shift| i32::try_from(value >> shift & 255).expect("a byte"))
    }

    #[test]
    fn screen_colours_differ_from_each_other() {
        for (at, a) in ROWS.iter().enumerate() {
            assert_eq!(a.hex.len(), 7);
            for b in &ROWS[at + 1..] {
                let far: i32 = channels(a.hex)
                    .iter()
                    .zip(channels(b.hex))
                    .map(|(a, b)| (a - b).abs())
                    .sum();
                assert!(far >= 90, "{} and {}: {far}", a.name, b.name);
            }
        }
    }
}
