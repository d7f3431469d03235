//! Published tables, one file each: source, edition, page, units, range and mark beside the figures.
//!
//! Nothing here computes; a table answers a key with a row or with `None` when the key is unknown.

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
            Mark::FromMemory => "from memory",
            Mark::Derived => "worked out",
            Mark::CommonPractice => "common practice",
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
