//! Relays: coil resistance, operate and release voltages, contact resistance and limits.
//!
//! From data sheets of the mini ISO relay and of a printed-circuit lamp relay (seen). Coil figures hold at 23 °C:
//! copper adds 0.39 % per kelvin to the coil resistance and the operate voltage. Terminals after ISO 7588-1:
//! 30 common, 87 make, 87a break, 85 and 86 coil; 86 takes the plus where a diode is built in.

use super::{Mark, Source, by_key};
use crate::text::mark;

/// Mini ISO relays.
pub const SOURCE_MINI: Source = Source {
    title: mark!("Data sheets of mini ISO relays, terminals after ISO 7588-1"),
    edition: mark!("as printed by a distributor"),
    place: mark!("coil table; contact ratings; drop at 10 A"),
    range: mark!("coil at 23 °C; contacts at 23, 85 and 125 °C; 12 V and 24 V coils"),
    mark: Mark::Seen,
};
/// Printed-circuit lamp relay.
pub const SOURCE_PCB: Source = Source {
    title: mark!("Data sheet of a 12 V printed-circuit lamp relay"),
    edition: mark!("as printed by a directory"),
    place: mark!("coil table; contact rating"),
    range: mark!("coil at 23 °C; 10 to 16 V"),
    mark: Mark::Seen,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE_MINI, SOURCE_PCB];

/// Coil rise of resistance and operate voltage per kelvin (copper).
pub const COIL_PER_KELVIN: f64 = super::conductor::ALPHA20;

/// Contact current limits at three ambient temperatures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Continuous current at 23 °C.
    pub amps_23c: f64,
    /// Continuous current at 85 °C, where given.
    pub amps_85c: Option<f64>,
    /// Continuous current at 125 °C, where given.
    pub amps_125c: Option<f64>,
    /// Typical resistance, from the drop at 10 A.
    pub typical_milliohms: f64,
    /// Largest resistance, from the largest drop at 10 A, where given.
    pub max_milliohms: Option<f64>,
}

/// One relay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key in saved plans.
    pub key: &'static str,
    /// Name on screen and paper.
    pub label: &'static str,
    /// Nominal coil voltage.
    pub coil_volts: f64,
    /// Coil resistance, ±10 %.
    pub coil_ohms: f64,
    /// Rated coil power as printed.
    pub coil_watts: f64,
    /// The relay has pulled in at this voltage.
    pub operate_volts: f64,
    /// The relay has dropped out at this voltage.
    pub release_volts: f64,
    /// Make contact, 30 to 87.
    pub make: Contact,
    /// Break contact, 30 to 87a, of a changeover relay.
    pub break_: Option<Contact>,
    /// Largest current the make contact may close on (lamp inrush), where given.
    pub making_amps: Option<f64>,
    /// Largest current the make contact may interrupt, where given.
    pub breaking_amps: Option<f64>,
    /// How far the row was checked.
    pub mark: Mark,
    /// Where the figures come from.
    pub source: &'static Source,
}

const MINI_MAKE: Contact = Contact {
    amps_23c: 50.0,
    amps_85c: Some(35.0),
    amps_125c: Some(15.0),
    typical_milliohms: 1.5,
    max_milliohms: Some(20.0),
};
const MINI_BREAK: Contact = Contact {
    amps_23c: 35.0,
    amps_85c: Some(25.0),
    amps_125c: Some(10.0),
    typical_milliohms: 2.0,
    max_milliohms: Some(25.0),
};

const MINI_12: Row = Row {
    key: "mini ISO 12 V",
    label: mark!("mini relay, 12 V, changeover"),
    coil_volts: 12.0,
    coil_ohms: 85.0,
    coil_watts: 1.7,
    operate_volts: 8.0,
    release_volts: 1.5,
    make: MINI_MAKE,
    break_: Some(MINI_BREAK),
    making_amps: Some(120.0),
    breaking_amps: Some(30.0),
    mark: Mark::Seen,
    source: &SOURCE_MINI,
};

/// All relays.
pub const ROWS: &[Row] = &[
    MINI_12,
    Row {
        key: "mini ISO 12 V sensitive",
        label: mark!("mini relay, 12 V, changeover, early operate"),
        coil_ohms: 75.0,
        coil_watts: 1.9,
        operate_volts: 6.5,
        release_volts: 1.0,
        ..MINI_12
    },
    Row {
        key: "mini ISO 24 V",
        label: mark!("mini relay, 24 V, changeover"),
        coil_volts: 24.0,
        coil_ohms: 255.0,
        coil_watts: 2.3,
        operate_volts: 16.0,
        release_volts: 3.0,
        // The making and breaking limits are printed for 12 V only.
        making_amps: None,
        breaking_amps: None,
        ..MINI_12
    },
    Row {
        key: "lamp relay PCB 12 V",
        label: mark!("small lamp relay for boards, 12 V, make contact"),
        coil_volts: 12.0,
        coil_ohms: 300.0,
        coil_watts: 0.48,
        operate_volts: 7.0,
        release_volts: 0.5,
        // Drop not printed: the mini relay's typical figure stands in.
        make: Contact {
            amps_23c: 30.0,
            amps_85c: None,
            amps_125c: None,
            max_milliohms: None,
            ..MINI_MAKE
        },
        break_: None,
        making_amps: None,
        breaking_amps: None,
        // Seen, but for the stand-in.
        mark: Mark::Derived,
        source: &SOURCE_PCB,
    },
];

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coil_power_follows_from_voltage_and_resistance() {
        for row in ROWS {
            let watts = row.coil_volts * row.coil_volts / row.coil_ohms;
            assert!(
                (watts - row.coil_watts).abs() < 0.06,
                "{}: {watts}",
                row.key
            );
        }
    }

    /// The rule the sheets share: pull-in at or below 60–70 % of nominal; release 4–15 %, far below pull-in.
    #[test]
    fn relays_pull_in_well_below_nominal_and_hold_well_below_that() {
        for row in ROWS {
            assert!(
                (0.5..=0.7).contains(&(row.operate_volts / row.coil_volts)),
                "{}",
                row.key
            );
            assert!(
                (0.04..=0.15).contains(&(row.release_volts / row.coil_volts)),
                "{}",
                row.key
            );
        }
    }

    /// Sheet: typical 15 mV, at most 200 mV on the make contact at 10 A; 20 and 250 mV on the break contact.
    #[test]
    fn contact_resistance_gives_the_printed_drop_at_ten_amps() {
        let row = find("MINI iso 12 v").expect("the standard relay is listed");
        assert_eq!(row.make.typical_milliohms * 10.0, 15.0);
        assert_eq!(row.make.max_milliohms, Some(200.0 / 10.0));
        assert_eq!(
            row.break_.map(|contact| contact.typical_milliohms * 10.0),
            Some(20.0)
        );
        assert_eq!(
            row.break_.and_then(|contact| contact.max_milliohms),
            Some(250.0 / 10.0)
        );
        assert!(
            row.make.amps_85c < Some(row.make.amps_23c) && row.make.amps_125c < row.make.amps_85c
        );
    }
}
