//! Blade fuses (standard size): colour, cold resistance and drop at rating.
//!
//! Colours after ISO 8820-3, DIN 72581-3 and SAE J1284 (from memory; 1 to 4 A also seen in a trade chart; a trade
//! chart that gives tan to 1 A is wrong against all others). Resistance and drop are typical of common data
//! sheets (from memory): of the right size for a drop budget, not a maximum.
//! Between ratings the resistance is interpolated on logarithmic axes; outside 1 to 40 A the end row holds.

use super::{Mark, Source, by_key};
use crate::text::mark;
use crate::units::{Amps, Milliohms};

/// ISO 8820-3 and typical data sheets.
pub const SOURCE: Source = Source {
    title: "ISO 8820-3 Road vehicles, fuse-links with tabs (blade type); SAE J1284; typical data sheets",
    edition: "2015",
    place: mark!(
        "colour code by rating; typical cold resistance and drop at rated current, standard size"
    ),
    range: mark!("1 to 40 A, 32 V; interpolated between ratings, held outside"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE];

/// Resistance that a fuse holder adds for each of its two clips, in mΩ: 1 to 3, here the middle; from memory.
pub const CLIP_MILLIOHMS: f64 = 2.0;
/// Highest system voltage of the usual blade fuse, in volts; ISO 8820-3 scope, seen.
pub const RATED_VOLTS: f64 = 32.0;
/// Short-circuit current a blade fuse can break, in amperes; ISO 8820-3 scope, seen.
pub const BREAKING_AMPS: f64 = 1000.0;
/// Largest continuous load as a share of the rating at 25 °C; 0.75 to 0.80 in the trade, from memory.
pub const CONTINUOUS_SHARE: f64 = 0.75;

/// One rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key in saved plans.
    pub key: &'static str,
    /// Rated current.
    pub rating_amps: f64,
    /// Body colour.
    pub colour: &'static str,
    /// Typical resistance near no load, at room temperature.
    pub cold_milliohms: f64,
    /// Typical drop at rated current, when the element is hot.
    pub drop_at_rating_mv: f64,
    /// How far the row was checked.
    pub mark: Mark,
}

const fn row(
    key: &'static str,
    rating_amps: f64,
    colour: &'static str,
    cold_milliohms: f64,
    drop_at_rating_mv: f64,
) -> Row {
    Row {
        key,
        rating_amps,
        colour,
        cold_milliohms,
        drop_at_rating_mv,
        mark: Mark::FromMemory,
    }
}

/// All ratings, rising.
pub const ROWS: &[Row] = &[
    row("1 A", 1.0, mark!("black"), 123.0, 176.0),
    row("2 A", 2.0, mark!("grey"), 53.5, 141.0),
    row("3 A", 3.0, mark!("violet"), 31.1, 137.0),
    row("4 A", 4.0, mark!("pink"), 22.8, 136.0),
    row("5 A", 5.0, mark!("tan"), 17.9, 128.0),
    row("7.5 A", 7.5, mark!("brown"), 10.9, 116.0),
    row("10 A", 10.0, mark!("red"), 7.7, 109.0),
    row("15 A", 15.0, mark!("light blue"), 4.8, 102.0),
    row("20 A", 20.0, mark!("yellow"), 3.4, 98.0),
    row("25 A", 25.0, mark!("clear"), 2.5, 92.0),
    row("30 A", 30.0, mark!("light green"), 2.0, 84.0),
    row("35 A", 35.0, mark!("blue-green"), 1.6, 87.0),
    row("40 A", 40.0, mark!("amber"), 1.4, 96.0),
];

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// The row of a rating; `None` for a rating that blade fuses are not made in.
pub fn find_rating(rating: Amps) -> Option<&'static Row> {
    ROWS.iter().find(|row| row.rating_amps == rating.get())
}

/// Typical cold resistance of a fuse of any rating: interpolated on logarithmic axes, held outside 1 to 40 A.
pub fn cold_milliohms(rating: Amps) -> Milliohms {
    let rating = rating.get();
    let after = ROWS.partition_point(|row| row.rating_amps < rating);
    let (Some(low), Some(high)) = (ROWS.get(after.saturating_sub(1)), ROWS.get(after)) else {
        return Milliohms::of(ROWS.last().map_or(0.0, |row| row.cold_milliohms));
    };
    if rating == high.rating_amps || after == 0 {
        return Milliohms::of(high.cold_milliohms);
    }
    let share = libm::log(rating / low.rating_amps) / libm::log(high.rating_amps / low.rating_amps);
    let fall = libm::log(high.cold_milliohms / low.cold_milliohms);
    Milliohms::of(low.cold_milliohms * libm::exp(share * fall))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resistance_runs_through_the_rows_and_falls_between_them() {
        for row in ROWS {
            assert_eq!(
                cold_milliohms(Amps::of(row.rating_amps)).get(),
                row.cold_milliohms
            );
        }
        let twelve = cold_milliohms(Amps::of(12.0)).get();
        assert!((4.8..7.7).contains(&twelve), "{twelve}");
        // On logarithmic axes the geometric mean of two ratings has the geometric mean resistance.
        let middle = cold_milliohms(Amps::of(libm::sqrt(150.0))).get();
        assert!((middle - libm::sqrt(7.7 * 4.8)).abs() < 1e-9, "{middle}");
    }

    #[test]
    fn outside_the_table_the_end_rows_hold() {
        for (rating, mohm) in [
            (-5.0, 123.0),
            (0.0, 123.0),
            (0.5, 123.0),
            (60.0, 1.4),
            (1e300, 1.4),
        ] {
            assert_eq!(cold_milliohms(Amps::of(rating)).get(), mohm, "{rating}");
        }
    }

    /// A metal element resists more when hot, and about 0.1 V is lost at rating (trade rule).
    #[test]
    fn the_hot_element_resists_more_than_the_cold_one() {
        for row in ROWS {
            assert!(
                row.drop_at_rating_mv / row.rating_amps > row.cold_milliohms,
                "{}",
                row.key
            );
            assert!(
                (80.0..180.0).contains(&row.drop_at_rating_mv),
                "{}",
                row.key
            );
        }
    }

    #[test]
    fn ratings_and_colours_are_found() {
        assert_eq!(
            find_rating(Amps::of(7.5)).map(|row| row.colour),
            Some("brown")
        );
        assert_eq!(
            find_rating(Amps::of(5.0)).map(|row| row.colour),
            Some("tan")
        );
        assert_eq!(find_rating(Amps::of(6.0)), None);
        assert_eq!(find(" 15 a ").map(|row| row.colour), Some("light blue"));
        let mut colours: Vec<_> = ROWS.iter().map(|row| row.colour).collect();
        colours.sort_unstable();
        colours.dedup();
        assert_eq!(colours.len(), ROWS.len());
    }
}
