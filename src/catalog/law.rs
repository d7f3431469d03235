//! Lighting law in hints: colours by duty, brightness ratio of stop to tail, in the United States and under UN regulations.
//!
//! Hints only: editions change, states and countries differ, and the local code with its inspection decides. Colours
//! are from memory; the brightness ratio and the rule for shared stop and turn lamps were read in
//! letters of interpretation. Flash rates stand in [`flasher`](super::flasher).

use super::{Mark, Source, by_key};
use crate::text::mark;

/// United States, colours.
pub const SOURCE_US: Source = Source {
    title: "49 CFR 571.108 (FMVSS 108)",
    edition: mark!("current text not read"),
    place: mark!("table I: colours of required lamps"),
    range: mark!("United States, road; a hint, local code and inspection decide"),
    mark: Mark::FromMemory,
};
/// United States, stop and turn.
pub const SOURCE_US_SHARED: Source = Source {
    title: "SAE J586 and J588 in FMVSS 108",
    edition: mark!("February and November 1984, as quoted in letters of interpretation"),
    place: mark!(
        "5.4.2: an optically combined stop signal must not come on while the turn signal flashes; stop at least 3 times, on axis 5 times as bright as tail"
    ),
    range: mark!("lamps in one compartment, or with axes less than 560 mm apart"),
    mark: Mark::Seen,
};
/// UN.
pub const SOURCE_UN: Source = Source {
    title: "UN Regulations 48, 53 and 86",
    edition: mark!("current text not read"),
    place: mark!("colours of lamps"),
    range: mark!("countries that apply UN regulations; a hint, local code and inspection decide"),
    mark: Mark::FromMemory,
};
/// Slow vehicles.
pub const SOURCE_SLOW: Source = Source {
    title: "49 CFR 562 with ANSI/ASAE S279 and S276; UN Regulation 86",
    edition: mark!("2016; the standards not read"),
    place: mark!("lighting and marking of agricultural equipment, slow-moving vehicle emblem"),
    range: mark!("tractors and slow vehicles on the road"),
    mark: Mark::Seen,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE_US, SOURCE_US_SHARED, SOURCE_UN, SOURCE_SLOW];

/// Least ratio of stop to tail light at every test point.
pub const STOP_TO_TAIL: f64 = 3.0;
/// Least ratio on the axis.
pub const STOP_TO_TAIL_ON_AXIS: f64 = 5.0;

/// Colours allowed for one duty, as letters: A amber, R red, W white.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Key: the duty, with `front` or `rear` where they differ.
    pub key: &'static str,
    /// United States.
    pub us: &'static str,
    /// UN regulations.
    pub un: &'static str,
    /// How far the row was checked.
    pub mark: Mark,
}

const fn row(key: &'static str, us: &'static str, un: &'static str) -> Row {
    let mark = Mark::FromMemory;
    Row { key, us, un, mark }
}

/// All duties with a prescribed colour. What sits in front is white or amber, what sits at the rear is red, so
/// lamps of both ends are told apart by their other duties only; a duty without an end allows both.
pub const ROWS: &[Row] = &[
    row(mark!("front turn"), "A", "A"),
    row(mark!("rear turn"), "AR", "A"),
    row(mark!("stop"), "R", "R"),
    row(mark!("tail"), "R", "R"),
    row(mark!("front position"), "WA", "WA"),
    row(mark!("side marker"), "AR", "AR"),
    row(mark!("licence"), "W", "W"),
    row(mark!("reversing"), "W", "W"),
    row(mark!("headlamp"), "W", "W"),
    row(mark!("rear fog"), "R", "R"),
    row(mark!("hazard"), "AR", "A"),
];

/// The row of a duty.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::lamp;

    /// A combined red stop and turn lamp is legal in the United States and not under UN regulations.
    #[test]
    fn red_rear_turn_is_the_difference() {
        let rear = find("rear turn").map(|row| (row.us, row.un));
        assert_eq!(rear, Some(("AR", "A")));
        for row in ROWS {
            let known = |text: &str| !text.is_empty() && text.chars().all(|c| "ARW".contains(c));
            assert!(known(row.us) && known(row.un), "{}", row.key);
            // Whatever UN regulations allow is allowed in the United States.
            assert!(row.un.chars().all(|c| row.us.contains(c)), "{}", row.key);
        }
    }

    /// Two-filament lamps were made for the ratio: 1157 10.7, 2057 16, P21/5W 12.6.
    #[test]
    fn two_filament_lamps_keep_the_ratio_at_their_rating() {
        for (key, printed) in [("1157", 10.7), ("2057", 16.0), ("P21/5W", 12.6)] {
            let row = lamp::find(key).unwrap_or_else(|| panic!("{key} is missing"));
            let lumens = |i: usize| row.filaments[i].light.lumens().map_or(0.0, |l| l.get());
            let ratio = lumens(0) / lumens(1);
            assert!((ratio - printed).abs() < 0.05, "{key}: {ratio}");
            assert!(ratio > STOP_TO_TAIL_ON_AXIS);
        }
    }
}
