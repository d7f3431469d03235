//! Conditions that wires, fuses and other parts are sized for. Left as they are, nothing is written into the file.

use super::{ControlId, Extra};
use crate::catalog::ampacity::{AMBIENT_C, Basis, Surroundings};
use crate::catalog::conductor::{self, System};
use crate::catalog::drop_rule::GENERAL_SHARE;
use crate::catalog::wire_choice;
use crate::text::{decimal, say};
use crate::units::order::OrdMap;
use crate::units::parse::{self, LengthUnit, ParseError};
use crate::units::{Celsius, Millimetres, Share, Volts, significant};
use serde::{Deserialize, Serialize};

/// Whose rules the plan is held against, beside good practice.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rules {
    /// None in particular: private ground, a workshop.
    #[default]
    None,
    /// United States, road: 49 CFR 571.108 and the SAE standards in it.
    UsRoad,
    /// UN regulations for road vehicles (R48, R53, R86).
    UnRoad,
    /// United States, boats: 33 CFR 183.
    UsBoat,
    /// Small craft after ISO 10133.
    IsoBoat,
}

/// The sizes that wires are bought in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Gauge {
    /// Each wire as it is: nothing is turned into another system.
    #[default]
    AsIs,
    /// Square millimetres.
    Metric,
    /// American wire gauge.
    Awg,
    /// SAE J1128, 5 to 11 % thinner than AWG of the same number.
    Sae,
}

impl Gauge {
    /// The system of sizes to choose from, given that of the wire.
    pub const fn system(self, of_wire: System) -> System {
        match self {
            Gauge::AsIs => of_wire,
            Gauge::Metric => System::Metric,
            Gauge::Awg => System::Awg,
            Gauge::Sae => System::Sae,
        }
    }

    const fn is_usual(&self) -> bool {
        matches!(self, Gauge::AsIs)
    }
}

const fn is_no(yes: &bool) -> bool {
    !*yes
}

/// What the parts of a plan are sized for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Sizing {
    /// Table for the ampacity of wires.
    pub basis: Basis,
    /// Temperature of the air around wires and parts.
    pub ambient_c: Celsius,
    /// Whether the wires run through an engine space (50 °C at least).
    pub engine_space: bool,
    /// Current-carrying wires that lie together in the fullest bundle.
    pub bundle: u16,
    /// Largest drop along the wires of a lamp circuit, there and back, as a share of the battery's volts.
    pub allowed_drop: Share,
    /// Rules held against.
    pub rules: Rules,
    /// Open-circuit volts of the battery when it is low; by its chemistry where not given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_v: Option<Volts>,
    /// Volts of the battery while it is charged; by its chemistry where not given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charging_v: Option<Volts>,
    /// A fuse may not be larger than the ampacity of the wires behind it (FAA AC 43.13-1B), rather than 150 % of it.
    #[serde(skip_serializing_if = "is_no")]
    pub strict_fuses: bool,
    /// Sizes that wires are bought in.
    #[serde(skip_serializing_if = "Gauge::is_usual")]
    pub gauge: Gauge,
    /// Lengths in feet and inches rather than metres.
    #[serde(skip_serializing_if = "is_no")]
    pub feet: bool,
    /// How the vehicle is used: of each control the share of time it stands in each of its positions beside rest. What is
    /// not named here is by common practice.
    #[serde(skip_serializing_if = "OrdMap::is_empty")]
    pub used: OrdMap<ControlId, OrdMap<String, Share>>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Default for Sizing {
    /// Single wires in air of 30 °C after 33 CFR 183.425, and 10 % of drop (ABYC E-11, general lighting).
    fn default() -> Self {
        Self {
            basis: Basis::Boats,
            ambient_c: Celsius::of(AMBIENT_C),
            engine_space: false,
            bundle: 1,
            allowed_drop: Share::of(GENERAL_SHARE),
            rules: Rules::None,
            low_v: None,
            charging_v: None,
            strict_fuses: false,
            gauge: Gauge::AsIs,
            feet: false,
            used: OrdMap::new(),
            extra: Extra::new(),
        }
    }
}

impl Sizing {
    /// Whether everything is left as it is by default.
    pub fn is_default(&self) -> bool {
        *self == Self::default()
    }

    /// What surrounds the wires, for the ampacity tables.
    pub const fn surroundings(&self) -> Surroundings {
        Surroundings {
            basis: self.basis,
            ambient: self.ambient_c,
            engine_space: self.engine_space,
            bundle: self.bundle,
        }
    }

    /// A length as people say it: `150 mm`, `1.2 m`; in feet `6 in`, `4.92 ft`.
    pub fn length(&self, length: Millimetres) -> String {
        let mm = length.get();
        let (value, unit) = match (self.feet, mm) {
            (true, mm) if mm >= 304.8 => (mm / 304.8, "ft"),
            (true, mm) => (mm / 25.4, "in"),
            (false, mm) if mm >= 1000.0 => (mm / 1000.0, "m"),
            (false, mm) => (mm, "mm"),
        };
        format!("{} {unit}", significant(value))
    }

    /// A length as it stands in a field: whole millimetres, or feet.
    pub fn length_text(&self, length: Millimetres) -> String {
        if self.feet {
            self.length(length)
        } else {
            length.to_string()
        }
    }

    /// Reads a length; a bare number counts millimetres, or feet where lengths are in feet.
    pub fn read_length(&self, text: &str) -> Result<Millimetres, ParseError> {
        let unit = if self.feet {
            LengthUnit::Foot
        } else {
            LengthUnit::Millimetre
        };
        parse::length(text, unit)
    }

    /// A size of wire as a drawing has room for it: `1.0` (square millimetres) or `18 AWG`. Where the sizes of the plan are
    /// others, the area of a gauge, or the gauge the wire is just thicker than: `>18 AWG`.
    pub fn short_size(&self, row: &conductor::Row) -> String {
        let area = || {
            let number = significant(row.area_mm2);
            let mark = decimal();
            if number.contains(mark) {
                number
            } else {
                format!("{number}{mark}0")
            }
        };
        match self.gauge.system(row.system) {
            System::Metric => area(),
            system if system == row.system => row.label.into(),
            system => match gauge_below(system, row) {
                Some(other) => format!(">{}", other.label),
                None if row.system == System::Metric => area(),
                None => row.label.into(),
            },
        }
    }

    /// A size of wire by its name, with what it is in the sizes of the plan where those are others: the area of a gauge, or
    /// the gauge that is just not thicker.
    pub fn size(&self, row: &conductor::Row) -> String {
        let system = self.gauge.system(row.system);
        if system == row.system {
            row.name()
        } else if system == System::Metric {
            format!("{} ({} mm²)", row.name(), significant(row.area_mm2))
        } else {
            match gauge_below(system, row) {
                Some(other) => say!("{} (above {})", row.name(), other.name()),
                None => row.name(),
            }
        }
    }

    /// Temperature of the air around a part: that of the engine space at least where there is one.
    pub fn part_ambient(&self) -> Celsius {
        if self.engine_space {
            self.ambient_c
                .max(Celsius::of(crate::catalog::ampacity::ENGINE_C))
        } else {
            self.ambient_c
        }
    }
}

/// The thickest size of a system that is not thicker.
fn gauge_below(system: System, row: &conductor::Row) -> Option<&'static conductor::Row> {
    wire_choice::sizes(system).rfind(|other| other.area_mm2 <= row.area_mm2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Settings;

    #[test]
    fn old_settings_read_the_same_and_defaults_are_not_written() {
        let old = r#"{"conductor_c": 25.0, "faint": 0.002}"#;
        let read: Settings = serde_json::from_str(old).expect("old settings");
        assert!(read.sizing.is_default() && read.faint == Share::of(0.002));
        let text = serde_json::to_string(&read).expect("plain data");
        assert!(!text.contains("sizing"), "{text}");
    }

    #[test]
    fn what_is_set_comes_back_with_what_a_newer_build_added() {
        let text = r#"{"sizing": {"rules": "us-road", "basis": "aircraft", "bundle": 5, "low_v": 11.5,
            "strict_fuses": true, "gauge": "awg", "feet": true, "used": {"brake": {"pressed": 0.2}}, "new": 1}}"#;
        let read: Settings = serde_json::from_str(text).expect("settings");
        let sizing = &read.sizing;
        assert_eq!((sizing.rules, sizing.bundle), (Rules::UsRoad, 5));
        assert_eq!(sizing.surroundings().basis, Basis::Aircraft);
        let again: Settings =
            serde_json::from_str(&serde_json::to_string(&read).expect("plain data"))
                .expect("again");
        assert_eq!(again, read);
        assert!(read.sizing.extra.contains_key("new"));
        assert!(sizing.strict_fuses && sizing.feet && sizing.gauge == Gauge::Awg);
        let brake: ControlId = "brake".parse().expect("an identity");
        let used = sizing.used.get(&brake).and_then(|by| by.get("pressed"));
        assert_eq!(used, Some(&Share::of(0.2)));
    }

    #[test]
    fn lengths_and_sizes_are_said_as_liked() {
        let mut sizing = Sizing::default();
        let said = |sizing: &Sizing| [177.8, 1500.0].map(|mm| sizing.length(Millimetres::of(mm)));
        let size = |sizing: &Sizing, key: &str| {
            sizing.size(conductor::find(key).unwrap_or_else(|| panic!("{key} is missing")))
        };
        assert_eq!(said(&sizing), ["178 mm", "1.5 m"]);
        assert_eq!(size(&sizing, "18 AWG"), "18 AWG");
        sizing.feet = true;
        sizing.gauge = Gauge::Metric;
        assert_eq!(said(&sizing), ["7 in", "4.92 ft"]);
        // ASTM B258: 18 AWG is 0.823 mm².
        assert_eq!(size(&sizing, "18 AWG"), "18 AWG (0.823 mm²)");
        assert_eq!(size(&sizing, "1 mm2"), "1 mm²");
        sizing.gauge = Gauge::Awg;
        // A 1.0 mm² wire has 24 % less copper than 16 AWG, though shop tables set them equal.
        assert_eq!(size(&sizing, "1 mm2"), "1 mm² (above 18 AWG)");
        assert_eq!(size(&sizing, "0.22 mm2"), "0.22 mm² (above 24 AWG)");
    }

    #[test]
    fn an_engine_space_is_fifty_degrees_at_least() {
        let mut sizing = Sizing::default();
        assert_eq!(sizing.part_ambient(), Celsius::of(30.0));
        sizing.engine_space = true;
        assert_eq!(sizing.part_ambient(), Celsius::of(50.0));
        sizing.ambient_c = Celsius::of(70.0);
        assert_eq!(sizing.part_ambient(), Celsius::of(70.0));
    }

    #[test]
    fn fields_and_drawings_say_the_same_in_little_room() {
        let mut sizing = Sizing::default();
        let of = |sizing: &Sizing, keys: &[&str]| -> Vec<String> {
            let row =
                |key: &&str| conductor::find(key).unwrap_or_else(|| panic!("{key} is missing"));
            keys.iter().map(|key| sizing.short_size(row(key))).collect()
        };
        let keys = ["1 mm2", "1.5 mm2", "18 AWG", "18 SAE"];
        assert_eq!(of(&sizing, &keys), ["1.0", "1.5", "18 AWG", "18 SAE"]);
        assert_eq!(sizing.length_text(Millimetres::of(2500.0)), "2500 mm");
        assert_eq!(sizing.read_length("2500"), Ok(Millimetres::of(2500.0)));
        sizing.gauge = Gauge::Metric;
        // ASTM B258: 18 AWG is 0.823 mm²; SAE J1128: 18 is 0.76 mm² at least.
        assert_eq!(of(&sizing, &keys[..3]), ["1.0", "1.5", "0.823"]);
        sizing.gauge = Gauge::Awg;
        // 1.0 mm² lies between 18 (0.823) and 17 AWG, 1.5 mm² between 16 (1.309) and 15 AWG.
        assert_eq!(of(&sizing, &keys[..3]), [">18 AWG", ">16 AWG", "18 AWG"]);
        sizing.feet = true;
        assert_eq!(sizing.length_text(Millimetres::of(2438.4)), "8 ft");
        assert_eq!(sizing.read_length("8"), Ok(Millimetres::of(2438.4)));
        assert_eq!(sizing.read_length("2500 mm"), Ok(Millimetres::of(2500.0)));
    }
}
