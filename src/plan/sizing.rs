//! Conditions that wires, fuses and other parts are sized for. Left as they are, nothing is written into the file.

use super::Extra;
use crate::catalog::ampacity::{AMBIENT_C, Basis, Surroundings};
use crate::catalog::drop_rule::GENERAL_SHARE;
use crate::units::{Celsius, Share, Volts};
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
        let text = r#"{"sizing": {"rules": "us-road", "basis": "aircraft", "bundle": 5, "low_v": 11.5, "new": 1}}"#;
        let read: Settings = serde_json::from_str(text).expect("settings");
        let sizing = &read.sizing;
        assert_eq!((sizing.rules, sizing.bundle), (Rules::UsRoad, 5));
        assert_eq!(sizing.surroundings().basis, Basis::Aircraft);
        let again: Settings =
            serde_json::from_str(&serde_json::to_string(&read).expect("plain data"))
                .expect("again");
        assert_eq!(again, read);
        assert!(read.sizing.extra.contains_key("new"));
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
}
