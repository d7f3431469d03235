//! Flashers: flash rates the law asks for, and how the common types behave with their load.
//!
//! Rates are quoted with jurisdiction and mark; section numbers of current law must be read again before they are
//! relied on. Behaviour by type is trade knowledge (from memory), except that an electronic flasher doubles
//! its rate when a lamp is out (seen).

use super::{Mark, Source, by_key};
use crate::text::mark;

/// United States, hazard.
pub const SOURCE_SAE_J945: Source = Source {
    title: "SAE J945 Vehicular hazard warning signal flashers, incorporated in FMVSS 108",
    edition: mark!("February 1966, as quoted in a letter of interpretation"),
    place: mark!("flash rate, normally open and normally closed"),
    range: mark!("flashes per minute, averaged over at least 3 cycles after 5"),
    mark: Mark::Seen,
};
/// United States, turn and hazard.
pub const SOURCE_FMVSS_108: Source = Source {
    title: "49 CFR 571.108 (FMVSS 108)",
    edition: mark!("current text not read"),
    place: mark!("figure 2, turn signal and hazard flasher"),
    range: mark!("flashes per minute and on-time in percent"),
    mark: Mark::FromMemory,
};
/// UN and Switzerland.
pub const SOURCE_UN_R48: Source = Source {
    title: "Swiss ordinance 741.41 article 79, same figures as UN Regulation 48",
    edition: mark!("as printed in the bilingual edition"),
    place: mark!("direction indicators"),
    range: mark!("90 ± 30 per minute; first light within 1 s"),
    mark: Mark::Seen,
};
/// United Kingdom.
pub const SOURCE_UK: Source = Source {
    title: "MOT inspection manual, section 1.5",
    edition: mark!("as quoted on a public page"),
    place: mark!("direction indicators"),
    range: mark!("flashes per minute"),
    mark: Mark::Seen,
};
/// New South Wales.
pub const SOURCE_NSW: Source = Source {
    title: "New South Wales vehicle standards, clause 114A",
    edition: mark!("as quoted on a public page"),
    place: mark!("direction indicators"),
    range: mark!("flashes per minute, all together"),
    mark: Mark::Seen,
};
/// Types.
pub const SOURCE_TYPES: Source = Source {
    title: mark!("Trade knowledge of flasher types; SAE J590 for the drop"),
    edition: mark!("common figures"),
    place: mark!("load, behaviour with a lamp out, drop"),
    range: mark!("12 V systems"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[
    SOURCE_SAE_J945,
    SOURCE_FMVSS_108,
    SOURCE_UN_R48,
    SOURCE_UK,
    SOURCE_NSW,
    SOURCE_TYPES,
];

/// A legal flash rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Key of the rule.
    pub key: &'static str,
    /// Where it holds and for what.
    pub scope: &'static str,
    /// Slowest rate.
    pub min_per_minute: f64,
    /// Fastest rate.
    pub max_per_minute: f64,
    /// Shortest and longest on-time as a percentage of the cycle, where given.
    pub on_percent: Option<(f64, f64)>,
    /// First light after switching on, where given.
    pub first_light_s: Option<f64>,
    /// How far it was checked.
    pub mark: Mark,
    /// Where it is printed.
    pub source: &'static Source,
}

const fn rate(
    key: &'static str,
    scope: &'static str,
    (min_per_minute, max_per_minute): (f64, f64),
    source: &'static Source,
) -> Rate {
    let mark = source.mark;
    Rate {
        key,
        scope,
        min_per_minute,
        max_per_minute,
        on_percent: None,
        first_light_s: None,
        mark,
        source,
    }
}

/// Legal flash rates.
pub const RATES: &[Rate] = &[
    Rate {
        on_percent: Some((30.0, 75.0)),
        ..rate(
            "US",
            mark!("United States: turn signal and hazard flashers"),
            (60.0, 120.0),
            &SOURCE_FMVSS_108,
        )
    },
    rate(
        "US hazard variable load",
        mark!("United States: hazard flasher, normally open"),
        (60.0, 120.0),
        &SOURCE_SAE_J945,
    ),
    rate(
        "US hazard fixed load",
        mark!("United States: hazard flasher, normally closed"),
        (90.0, 120.0),
        &SOURCE_SAE_J945,
    ),
    Rate {
        first_light_s: Some(1.0),
        ..rate(
            "UN",
            mark!("UN R48 and R53, Switzerland: direction indicators"),
            (60.0, 120.0),
            &SOURCE_UN_R48,
        )
    },
    rate(
        "UK",
        mark!("United Kingdom: direction indicators"),
        (60.0, 120.0),
        &SOURCE_UK,
    ),
    rate(
        "NSW",
        mark!("New South Wales: direction indicators"),
        (60.0, 120.0),
        &SOURCE_NSW,
    ),
];

/// The narrowest window that every rule for ordinary indicators shares: slowest and fastest per minute.
pub const USUAL_PER_MINUTE: (f64, f64) = (60.0, 120.0);

/// What happens when one lamp of the rated load is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outage {
    /// The heating current is too small: slower, or steady without a flash.
    SlowsOrStops,
    /// The measured current is too small: about twice the rate.
    DoublesRate,
    /// No difference: the driver is not told.
    NoSign,
}

/// A type of flasher.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key in saved plans.
    pub key: &'static str,
    /// Name on screen and paper.
    pub label: &'static str,
    /// Whether the load current itself heats the contact strip (thermal) or a circuit times it.
    pub thermal: bool,
    /// Terminals after DIN 72552.
    pub terminals: &'static [&'static str],
    /// Load it is made for, in watts at 12 V: two signal lamps and a side lamp; `None` for any load.
    pub load_watts: Option<f64>,
    /// Below this load it shows an outage, in watts: midway between one and two lamps out of two.
    pub outage_below_watts: Option<f64>,
    /// Smallest load at which it flashes at all, in watts.
    pub min_load_watts: f64,
    /// Largest drop across the closed contact.
    pub drop_volts: f64,
    /// Flashes per minute at its load: the middle of the legal window.
    pub per_minute: f64,
    /// What a missing lamp does.
    pub outage: Outage,
    /// How far the row was checked.
    pub mark: Mark,
}

/// 2 × 21 W and a 5 W side lamp.
const FIXED_LOAD_WATTS: f64 = 47.0;
/// Midway between 21 + 5 W and 42 + 5 W.
const FIXED_OUTAGE_WATTS: f64 = 36.5;
/// Midway between no and one signal lamp, for a type that still flashes with one lamp.
const ONE_LAMP_WATTS: f64 = 10.5;

/// Types of flasher.
pub const ROWS: &[Row] = &[
    Row {
        key: "thermal 2x21 W",
        label: mark!("thermal flasher, 2 × 21 W + 5 W"),
        thermal: true,
        terminals: &["49", "49a"],
        load_watts: Some(FIXED_LOAD_WATTS),
        outage_below_watts: Some(FIXED_OUTAGE_WATTS),
        min_load_watts: FIXED_OUTAGE_WATTS,
        drop_volts: 0.8,
        per_minute: 90.0,
        outage: Outage::SlowsOrStops,
        mark: Mark::CommonPractice,
    },
    Row {
        key: "electronic 2-pin 2x21 W",
        label: mark!("electronic flasher, two terminals, 2 × 21 W + 5 W"),
        thermal: false,
        terminals: &["49", "49a"],
        load_watts: Some(FIXED_LOAD_WATTS),
        outage_below_watts: Some(FIXED_OUTAGE_WATTS),
        min_load_watts: ONE_LAMP_WATTS,
        drop_volts: 0.8,
        per_minute: 90.0,
        outage: Outage::DoublesRate,
        mark: Mark::CommonPractice,
    },
    Row {
        key: "electronic 3-pin 2x21 W",
        label: mark!("electronic flasher, three terminals, 2 × 21 W + 5 W"),
        thermal: false,
        terminals: &["49", "49a", "31"],
        load_watts: Some(FIXED_LOAD_WATTS),
        outage_below_watts: Some(FIXED_OUTAGE_WATTS),
        min_load_watts: 0.0,
        drop_volts: 0.8,
        per_minute: 90.0,
        outage: Outage::DoublesRate,
        mark: Mark::CommonPractice,
    },
    Row {
        key: "electronic 3-pin any load",
        label: mark!("electronic flasher for LED lamps, three terminals, any load"),
        thermal: false,
        terminals: &["49", "49a", "31"],
        load_watts: None,
        outage_below_watts: None,
        min_load_watts: 0.0,
        drop_volts: 0.8,
        per_minute: 90.0,
        outage: Outage::NoSign,
        mark: Mark::CommonPractice,
    },
];

/// Load resistor that makes an LED lamp look like a filament to a fixed-load flasher: ohms; from memory.
pub const LOAD_RESISTOR_OHMS: f64 = 6.0;
/// Rating of that resistor in watts; it gives off about 30 W while lit and gets too hot to touch. From memory.
pub const LOAD_RESISTOR_WATTS: f64 = 50.0;

/// The type of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// The rate rule of a key.
pub fn find_rate(key: &str) -> Option<&'static Rate> {
    by_key(RATES, |row| row.key, key)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// UN R48 says 90 ± 30; every rule for ordinary indicators lies in the usual window.
    #[test]
    fn the_usual_window_is_ninety_plus_minus_thirty() {
        assert_eq!(
            find_rate("un").map(|r| (r.min_per_minute, r.max_per_minute)),
            Some((90.0 - 30.0, 90.0 + 30.0))
        );
        for rate in RATES {
            let inside = rate.min_per_minute >= USUAL_PER_MINUTE.0
                && rate.max_per_minute <= USUAL_PER_MINUTE.1;
            assert!(
                inside && rate.min_per_minute < rate.max_per_minute,
                "{}",
                rate.key
            );
        }
        for row in ROWS {
            // 90 per minute is legal everywhere, also for the fixed-load hazard flasher (90 to 120).
            assert!(
                RATES
                    .iter()
                    .all(|r| (r.min_per_minute..=r.max_per_minute).contains(&row.per_minute))
            );
        }
    }

    #[test]
    fn one_lamp_out_of_two_is_below_the_outage_load_and_both_are_above() {
        for row in ROWS {
            let Some(limit) = row.outage_below_watts else {
                continue;
            };
            assert!(21.0 + 5.0 < limit && limit < 2.0 * 21.0, "{}", row.key);
            assert!(
                row.min_load_watts <= limit && row.load_watts > Some(limit),
                "{}",
                row.key
            );
        }
    }

    /// 2 A at 12 to 12.8 V, 27 to 30 W at running voltage with 12.8 to 13.5 V.
    #[test]
    fn the_load_resistor_draws_a_lamp_current_within_its_rating() {
        let amps = 12.8 / LOAD_RESISTOR_OHMS;
        assert!((2.0..2.2).contains(&amps));
        let watts = 13.5 * 13.5 / LOAD_RESISTOR_OHMS;
        assert!((27.0..31.0).contains(&watts) && watts < LOAD_RESISTOR_WATTS);
    }

    #[test]
    fn terminals_are_din_numbers() {
        for number in ROWS.iter().flat_map(|row| row.terminals) {
            assert!(super::super::terminal::find(number).is_some(), "{number}");
        }
    }
}
