//! Operating times of fuses: how soon a fuse may, and how late it must, open at a multiple of its rating.
//!
//! Blade types C and F after ISO 8820-3 (from memory; the upper limits at 135, 200, 350 and 600 % agree with the
//! overload list of a relay data sheet that names the standard), glass fuses after SAE J554 (from memory).
//! Room temperature. Between the listed multiples the limits are read at the row on the safe side.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// ISO 8820-3.
pub const SOURCE_BLADE: Source = Source {
    title: "ISO 8820-3 Road vehicles, fuse-links with tabs (blade type)",
    edition: "2015",
    place: mark!("operating time limits, types C and F"),
    range: mark!("110 to 600 % of rating at room temperature; none below, held above"),
    mark: Mark::FromMemory,
};
/// SAE J554.
pub const SOURCE_GLASS: Source = Source {
    title: "SAE J554 Electric fuses (cartridge type)",
    edition: mark!("edition not known"),
    place: mark!("time limits at 110, 135 and 200 %"),
    range: mark!("110 to 200 % of rating at room temperature; none below, held above"),
    mark: Mark::FromMemory,
};
/// SAE J553.
pub const SOURCE_BREAKER: Source = Source {
    title: "SAE J553 Circuit breakers",
    edition: mark!("edition not known; to be checked against the breaker's own sheet"),
    place: mark!(
        "ultimate trip within 1 h at 135 %, within 60 s at 200 %; above that heat I²·t held constant (worked out)"
    ),
    range: mark!("135 % of rating and up at room temperature; none below"),
    mark: Mark::FromMemory,
};
/// Heat that insulation stands.
pub const SOURCE_HEAT: Source = Source {
    title: "IEC 60364-4-43 Protection against overcurrent",
    edition: mark!("edition not known"),
    place: mark!("434.5: I²·t at most (k·S)², k 115 for copper in PVC, S in mm²"),
    range: mark!(
        "short circuits, where the wire has no time to give off heat; larger k for better insulation"
    ),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE_BLADE, SOURCE_GLASS, SOURCE_BREAKER, SOURCE_HEAT];

/// k of the rule (k·S)² for copper in PVC, in A·√s/mm².
pub const HEAT_K: f64 = 115.0;

/// Body of the fuse.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// Blade fuse, standard and mini.
    Blade,
    /// Glass cartridge.
    Glass,
    /// Circuit breaker that closes again by itself.
    Breaker,
}

impl Body {
    /// Name for people, a text of its own (`text::of`).
    pub const fn name(self) -> &'static str {
        match self {
            Body::Blade => mark!("blade fuse"),
            Body::Glass => mark!("glass fuse"),
            Body::Breaker => mark!("automatic circuit breaker"),
        }
    }
}

/// Limits at one multiple of the rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key of the row.
    pub key: &'static str,
    /// Body of the fuse.
    pub body: Body,
    /// Current as a percentage of the rating.
    pub percent_of_rating: f64,
    /// The fuse holds at least this long; `None` where the standard sets no lower limit.
    pub holds_s: Option<f64>,
    /// The fuse has opened after this time; `None` where it need not open.
    pub opens_within_s: Option<f64>,
    /// How far the lower limit was checked.
    pub holds_mark: Mark,
    /// How far the upper limit was checked.
    pub opens_mark: Mark,
}

const fn row(
    key: &'static str,
    body: Body,
    percent_of_rating: f64,
    holds_s: Option<f64>,
    opens_within_s: Option<f64>,
    opens_mark: Mark,
) -> Row {
    Row {
        key,
        body,
        percent_of_rating,
        holds_s,
        opens_within_s,
        holds_mark: Mark::FromMemory,
        opens_mark,
    }
}

/// All limits; each body by rising current.
pub const ROWS: &[Row] = &[
    row(
        "blade 110",
        Body::Blade,
        110.0,
        Some(360_000.0),
        None,
        Mark::FromMemory,
    ),
    row(
        "blade 135",
        Body::Blade,
        135.0,
        Some(0.75),
        Some(1800.0),
        Mark::Seen,
    ),
    row(
        "blade 160",
        Body::Blade,
        160.0,
        Some(0.25),
        Some(50.0),
        Mark::FromMemory,
    ),
    row(
        "blade 200",
        Body::Blade,
        200.0,
        Some(0.15),
        Some(5.0),
        Mark::Seen,
    ),
    row(
        "blade 350",
        Body::Blade,
        350.0,
        Some(0.04),
        Some(0.5),
        Mark::Seen,
    ),
    row(
        "blade 600",
        Body::Blade,
        600.0,
        Some(0.02),
        Some(0.1),
        Mark::Seen,
    ),
    row(
        "glass 110",
        Body::Glass,
        110.0,
        Some(14_400.0),
        None,
        Mark::FromMemory,
    ),
    row(
        "glass 135",
        Body::Glass,
        135.0,
        None,
        Some(3600.0),
        Mark::FromMemory,
    ),
    row(
        "glass 200",
        Body::Glass,
        200.0,
        None,
        Some(10.0),
        Mark::FromMemory,
    ),
    row(
        "breaker 135",
        Body::Breaker,
        135.0,
        None,
        Some(3600.0),
        Mark::FromMemory,
    ),
    row(
        "breaker 200",
        Body::Breaker,
        200.0,
        None,
        Some(60.0),
        Mark::FromMemory,
    ),
];

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// Seconds after which the fuse has opened for certain, at `ratio` times its rating.
///
/// Read at the next listed current below, so the fuse may be quicker but not slower. `None` below the lowest
/// current at which the fuse must open (135 %): it may carry such a current for ever.
pub fn opens_within_s(body: Body, ratio: f64) -> Option<f64> {
    let row = rows(body).rfind(|row| row.percent_of_rating <= 100.0 * ratio)?;
    let listed = row.opens_within_s?;
    // A bimetal trips by its heat; its last listed limit goes down with the square of the current.
    let over = 100.0 * ratio / row.percent_of_rating;
    if body == Body::Breaker && row.percent_of_rating >= 200.0 {
        Some(listed / (over * over))
    } else {
        Some(listed)
    }
}

/// Seconds that the fuse is sure to hold at `ratio` times its rating.
///
/// Read at the next listed current above, so the fuse may hold longer but not shorter. `None` above the table
/// or where the standard sets no lower limit.
pub fn holds_s(body: Body, ratio: f64) -> Option<f64> {
    rows(body)
        .find(|row| row.percent_of_rating >= 100.0 * ratio)
        .and_then(|row| row.holds_s)
}

fn rows(body: Body) -> impl DoubleEndedIterator<Item = &'static Row> {
    ROWS.iter().filter(move |row| row.body == body)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Overload list of a relay data sheet after ISO 8820-3, for a 35 A contact: 1.35 × 1800 s, 2 × 5 s,
    /// 3.5 × 0.5 s, 6 × 0.1 s. The relay must outlive the fuse, so the times are the fuse's upper limits.
    #[test]
    fn upper_limits_agree_with_a_relay_made_to_outlive_the_fuse() {
        for (ratio, seconds) in [(1.35, 1800.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1)] {
            assert_eq!(opens_within_s(Body::Blade, ratio), Some(seconds), "{ratio}");
        }
    }

    #[test]
    fn between_rows_the_safe_side_is_read() {
        assert_eq!(opens_within_s(Body::Blade, 1.34), None);
        assert_eq!(opens_within_s(Body::Blade, 3.0), Some(5.0));
        assert_eq!(opens_within_s(Body::Blade, 100.0), Some(0.1));
        assert_eq!(opens_within_s(Body::Blade, f64::NAN), None);
        assert_eq!(holds_s(Body::Blade, 1.0), Some(360_000.0));
        assert_eq!(holds_s(Body::Blade, 3.0), Some(0.04));
        assert_eq!(holds_s(Body::Blade, 7.0), None);
        assert_eq!(opens_within_s(Body::Glass, 2.0), Some(10.0));
        // A breaker: 60 s at twice, a quarter of it at four times, nothing certain below 135 %.
        let breaker = |ratio| opens_within_s(Body::Breaker, ratio);
        assert_eq!(
            [1.34, 1.9, 2.0, 4.0].map(breaker),
            [None, Some(3600.0), Some(60.0), Some(15.0)]
        );
    }

    #[test]
    fn more_current_never_opens_a_fuse_later() {
        for body in [Body::Blade, Body::Glass, Body::Breaker] {
            let rows: Vec<_> = rows(body).collect();
            for pair in rows.windows(2) {
                assert!(pair[0].percent_of_rating < pair[1].percent_of_rating);
                let late = pair[0].opens_within_s.unwrap_or(f64::INFINITY);
                assert!(
                    pair[1].opens_within_s.is_some_and(|next| next < late),
                    "{}",
                    pair[1].key
                );
            }
            for row in rows {
                let opens = row.opens_within_s.unwrap_or(f64::INFINITY);
                assert!(row.holds_s.is_none_or(|holds| holds < opens), "{}", row.key);
            }
        }
    }
}
