//! Published tables, one file each: source, edition, page, units, range and mark beside the figures.
//!
//! A table answers a key with a row, or with `None` when the key is unknown; keys are ASCII, go into saved
//! plans and never change. The few functions beside a table evaluate the relation that its figures belong to.

pub mod ampacity;
pub mod ampacity_aircraft;
pub mod battery;
pub mod colour;
pub mod conductor;
pub mod diode;
pub mod drop_rule;
pub mod flasher;
pub mod fuse;
pub mod fuse_rule;
pub mod fuse_time;
pub mod lamp;
pub mod law;
pub mod led;
pub mod letter;
mod print;
pub mod relay;
pub mod switch_derating;
pub mod terminal;
pub mod transient;
pub mod tungsten;
pub mod wire_choice;

pub use print::Sheet;

use crate::text::mark;

/// How far a figure has been checked against its source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Read in a public copy of the source or of a page quoting it.
    Seen,
    /// Recalled and not checked in a page; printed as `from memory`.
    FromMemory,
    /// Worked out from other figures of this catalogue by a stated formula.
    Derived,
    /// A rule of the trade without a published source.
    CommonPractice,
}

impl Mark {
    /// The mark as printed beside a figure; empty where the figure was read in its source.
    pub const fn text(self) -> &'static str {
        match self {
            Mark::Seen => "",
            Mark::FromMemory => mark!("from memory"),
            Mark::Derived => mark!("worked out"),
            Mark::CommonPractice => mark!("common practice"),
        }
    }

    /// The mark as a word of its own, in a list of marks.
    pub const fn word(self) -> &'static str {
        match self {
            Mark::Seen => mark!("seen"),
            other => other.text(),
        }
    }
}

/// Where a table comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// Standard, law, handbook or book.
    pub title: &'static str,
    /// Edition or date.
    pub edition: &'static str,
    /// Table, paragraph or page.
    pub place: &'static str,
    /// Units, validity range and what happens outside it.
    pub range: &'static str,
    /// How far it was checked.
    pub mark: Mark,
}

/// A table of the catalogue.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// The name shown to the user.
    pub name: &'static str,
    /// Where its figures come from.
    pub sources: &'static [Source],
    /// The table as text.
    pub print: fn() -> Vec<Sheet>,
}

const fn table(name: &'static str, sources: &'static [Source], print: fn() -> Vec<Sheet>) -> Table {
    Table {
        name,
        sources,
        print,
    }
}

static TABLES: &[Table] = &[
    table(mark!("Wires"), conductor::SOURCES, print::conductors),
    table(mark!("Ampacity"), ampacity::SOURCES, print::ampacities),
    table(
        mark!("Ampacity, aircraft practice"),
        ampacity_aircraft::SOURCES,
        print::aircraft,
    ),
    table(mark!("Voltage drop"), drop_rule::SOURCES, print::drops),
    table(mark!("Fuses"), fuse::SOURCES, print::fuses),
    table(mark!("Fuse rules"), fuse_rule::SOURCES, print::fuse_rules),
    table(
        mark!("Fuse operating times"),
        fuse_time::SOURCES,
        print::fuse_times,
    ),
    table(mark!("Filament lamps"), lamp::SOURCES, print::lamps),
    table(mark!("Tungsten"), tungsten::SOURCES, print::tungsten_rows),
    table(mark!("LED lamps"), led::SOURCES, print::leds),
    table(mark!("Diodes"), diode::SOURCES, print::diodes),
    table(mark!("Relays"), relay::SOURCES, print::relays),
    table(mark!("Batteries"), battery::SOURCES, print::batteries),
    table(
        mark!("Switch ratings"),
        switch_derating::SOURCES,
        print::switches,
    ),
    table(
        mark!("Supply overvoltages"),
        transient::SOURCES,
        print::transients,
    ),
    table(mark!("Flashers"), flasher::SOURCES, print::flashers),
    table(mark!("Lighting law"), law::SOURCES, print::law_rows),
    table(
        mark!("Terminal numbers"),
        terminal::SOURCES,
        print::terminals,
    ),
    table(mark!("Colour codes"), colour::SOURCES, print::colours),
    table(mark!("Reference letters"), letter::SOURCES, print::letters),
];

/// Every table, in the order of the catalogue page.
pub const fn tables() -> &'static [Table] {
    TABLES
}

/// The row of `rows` whose key is `key`, outer blanks and letter case ignored.
fn by_key<T>(rows: &'static [T], key_of: impl Fn(&T) -> &str, key: &str) -> Option<&'static T> {
    let key = key.trim();
    rows.iter()
        .find(|row| key_of(row).eq_ignore_ascii_case(key))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Keys go into files: they must be ASCII, trimmed and unlike each other whatever their case.
    fn check_keys<'a>(table: &str, keys: impl Iterator<Item = &'a str>) {
        let mut seen: Vec<String> = Vec::new();
        for key in keys {
            let plain = key.to_ascii_lowercase();
            assert!(
                key.is_ascii() && key.trim() == key && !key.is_empty(),
                "{table}: {key:?}"
            );
            assert!(!seen.contains(&plain), "{table}: {key} twice");
            seen.push(plain);
        }
        assert!(!seen.is_empty(), "{table} has no rows");
    }

    #[test]
    fn keys_are_stable_ascii_and_unique() {
        check_keys("conductor", conductor::ROWS.iter().map(|row| row.key));
        check_keys("ampacity", ampacity::ROWS.iter().map(|row| row.key));
        check_keys(
            "ampacity_aircraft",
            ampacity_aircraft::ROWS.iter().map(|row| row.key),
        );
        check_keys("drop_rule", drop_rule::ROWS.iter().map(|row| row.key));
        check_keys("fuse_rule", fuse_rule::ROWS.iter().map(|row| row.key));
        check_keys("battery", battery::ROWS.iter().map(|row| row.key));
        check_keys(
            "switch_derating",
            switch_derating::ROWS.iter().map(|row| row.key),
        );
        check_keys("transient", transient::ROWS.iter().map(|row| row.key));
        check_keys("law", law::ROWS.iter().map(|row| row.key));
        check_keys("fuse", fuse::ROWS.iter().map(|row| row.key));
        check_keys("fuse_time", fuse_time::ROWS.iter().map(|row| row.key));
        check_keys("lamp", lamp::rows().map(|row| row.key));
        check_keys("led", led::ROWS.iter().map(|row| row.key));
        check_keys("led colours", led::COLOURS.iter().map(|row| row.key));
        check_keys("diode", diode::ROWS.iter().map(|row| row.key));
        check_keys("relay", relay::ROWS.iter().map(|row| row.key));
        check_keys("flasher", flasher::ROWS.iter().map(|row| row.key));
        check_keys("flash rates", flasher::RATES.iter().map(|row| row.key));
        check_keys("terminal", terminal::ROWS.iter().map(|row| row.key));
        check_keys("colour", colour::ROWS.iter().map(|row| row.key));
        check_keys("letter", letter::ROWS.iter().map(|row| row.key));
    }

    /// No file with figures is left out of the page.
    #[test]
    fn every_file_with_sources_is_listed() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/catalog");
        let files = std::fs::read_dir(folder).expect("the folder of tables");
        let with_sources = files
            .filter_map(|entry| Some(entry.ok()?.path()).filter(|path| !path.ends_with("mod.rs")))
            .filter_map(|path| std::fs::read_to_string(path).ok())
            .filter(|text| text.contains("pub const SOURCES: &[Source]"))
            .count();
        assert_eq!(with_sources, tables().len());
    }

    #[test]
    fn every_source_says_what_where_and_in_which_range() {
        for Table {
            name: table,
            sources,
            ..
        } in tables()
        {
            assert!(!sources.is_empty(), "{table}");
            for source in *sources {
                let texts = [source.title, source.edition, source.place, source.range];
                assert!(
                    texts.iter().all(|text| !text.is_empty()),
                    "{table}: {source:?}"
                );
            }
        }
    }
}
