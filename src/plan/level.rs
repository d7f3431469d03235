//! The battery as planned, low and charging: the volts that parts have to work between.

use super::{Battery, Kind, Plan};
use crate::catalog::battery as table;
use crate::units::Volts;

/// How full the battery is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// As the plan says.
    Planned,
    /// Nearly empty.
    Low,
    /// While it is charged.
    Charging,
}

impl Battery {
    /// Open-circuit volts at a level, by the chemistry and the number of cells. A battery planned emptier than
    /// low or fuller than charging stays as planned.
    pub fn volts_at(&self, level: Level) -> Volts {
        let planned = self.open_circuit_v;
        let Some(row) = table::find(self.chemistry.key()) else {
            return planned;
        };
        let cells = row.cells(planned.get());
        match level {
            Level::Planned => planned,
            Level::Low => Volts::of(cells * row.low_cell_volts).min(planned),
            Level::Charging => Volts::of(cells * row.charging_cell_volts).max(planned),
        }
    }
}

impl Plan {
    /// The first battery.
    pub fn battery(&self) -> Option<&Battery> {
        self.parts.iter().find_map(|part| match &part.kind {
            Kind::Battery(battery) => Some(battery),
            _ => None,
        })
    }

    /// Open-circuit volts of the first battery at a level; the settings go before its chemistry. Zero without one.
    pub fn volts_at(&self, level: Level) -> Volts {
        let by_chemistry = || self.battery().map_or(Volts::ZERO, |b| b.volts_at(level));
        self.set_volts(level).unwrap_or_else(by_chemistry)
    }

    const fn set_volts(&self, level: Level) -> Option<Volts> {
        match level {
            Level::Planned => None,
            Level::Low => self.settings.sizing.low_v,
            Level::Charging => self.settings.sizing.charging_v,
        }
    }

    /// The plan with its batteries at a level. What is set for the first battery holds for others in proportion.
    pub fn at_level(&self, level: Level) -> Plan {
        let mut plan = self.clone();
        let first = self.battery().map_or(0.0, |b| b.open_circuit_v.get());
        let set = self.set_volts(level).filter(|_| first != 0.0);
        for part in &mut plan.parts {
            if let Kind::Battery(battery) = &mut part.kind {
                battery.open_circuit_v = match set {
                    Some(volts) => Volts::of(battery.open_circuit_v.get() * (volts.get() / first)),
                    None => battery.volts_at(level),
                };
            }
        }
        plan
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Chemistry, Extra, Part};
    use crate::units::{AmpHours, Milliohms};

    fn battery(id: &str, chemistry: Chemistry, volts: f64) -> Part {
        Part {
            id: id.parse().expect("an identifier"),
            label: String::new(),
            place: None,
            why: String::new(),
            kind: Kind::Battery(Battery {
                chemistry,
                open_circuit_v: Volts::of(volts),
                internal_mohm: Milliohms::of(10.0),
                capacity_ah: AmpHours::of(33.0),
                extra: Extra::new(),
            }),
            extra: Extra::new(),
        }
    }

    fn volts(plan: &Plan) -> Vec<f64> {
        let of = |part: &Part| match &part.kind {
            Kind::Battery(battery) => battery.open_circuit_v.get(),
            _ => 0.0,
        };
        plan.parts.iter().map(of).collect()
    }

    /// SAE J590 tests flashers down to 11.0 V; a 12 V lead-acid battery is charged with 14.4 V.
    #[test]
    fn levels_follow_the_chemistry_and_the_number_of_cells() {
        let plan = Plan {
            parts: vec![
                battery("G1", Chemistry::Agm, 12.6),
                battery("G2", Chemistry::Flooded, 25.2),
                battery("G3", Chemistry::Lifepo4, 13.2),
                battery("G4", Chemistry::Agm, 10.9),
            ],
            ..Plan::default()
        };
        let close = |got: Vec<f64>, wanted: [f64; 4]| {
            assert!(
                got.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9),
                "{got:?}"
            );
        };
        close(volts(&plan.at_level(Level::Low)), [11.0, 22.0, 12.0, 10.9]);
        close(
            volts(&plan.at_level(Level::Charging)),
            [14.4, 28.8, 14.4, 14.4],
        );
        assert_eq!(plan.at_level(Level::Planned), plan);
        assert_eq!(Plan::default().volts_at(Level::Low), Volts::ZERO);
    }

    #[test]
    fn settings_go_before_the_chemistry_and_hold_in_proportion() {
        let mut plan = Plan {
            parts: vec![
                battery("G1", Chemistry::Agm, 12.0),
                battery("G2", Chemistry::Agm, 24.0),
            ],
            ..Plan::default()
        };
        plan.settings.sizing.charging_v = Some(Volts::of(15.0));
        assert_eq!(plan.volts_at(Level::Charging), Volts::of(15.0));
        assert_eq!(volts(&plan.at_level(Level::Charging)), [15.0, 30.0]);
    }
}
