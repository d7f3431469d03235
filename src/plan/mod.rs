//! The saved document: parts, wires, controls, wishes, places, notes; edits with their inverse; the file format.
//!
//! A plan may be half finished or contradictory: nothing here refuses it. What it means electrically
//! is worked out by `circuit`, what is wrong with it is said by `findings`.

use crate::text::{self, mark};
use crate::units::order::OrdMap;
use crate::units::{Celsius, Millimetres, Share};
use serde::{Deserialize, Serialize};

mod complaint;
mod difference;
mod edit;
pub mod file;
mod history;
mod id;
mod kinds;
mod level;
mod mend;
mod part;
mod sizing;
mod words;

pub use difference::{Difference, difference};
pub use edit::{Change, Edit, EditError, Item};
pub use history::{History, Step};
pub use id::{BadId, ControlId, LampId, MAX_ID, PartId, PlaceId, TerminalId, WireId, WishId};
pub use kinds::*;
pub use level::Level;
pub use mend::mend;
pub use part::{Extra, Kind, LampCircuit, Part};
pub use sizing::{Gauge, Rules, Sizing};
pub use words::{position_word, position_words};

/// The whole document.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// What people call it.
    pub title: String,
    /// Free text: decisions, remarks, what is still open.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Thresholds and conditions the plan is judged under.
    #[serde(default)]
    pub settings: Settings,
    /// Places on the vehicle.
    #[serde(default)]
    pub places: Vec<Place>,
    /// Controls.
    #[serde(default)]
    pub controls: Vec<Control>,
    /// Parts.
    #[serde(default)]
    pub parts: Vec<Part>,
    /// Wires.
    #[serde(default)]
    pub wires: Vec<Wire>,
    /// Wishes; the first that fits a state and a lamp circuit decides, and what no wish names is to stay off.
    #[serde(default)]
    pub wishes: Vec<Wish>,
    /// What the plan was drafted from, if it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drafted: Option<Drafted>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// What a plan was drafted from; with it a later change of an answer can tell what was changed by hand.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drafted {
    /// The answers, as `brief` writes and reads them.
    pub answers: Extra,
    /// Identities by role: what a part, wire or wish is for.
    #[serde(default)]
    pub ids: OrdMap<String, String>,
    /// The language of its names and reasons, as a tag of BCP 47; English where not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub language: Option<String>,
}

/// The set of graphical symbols a plan is drawn in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Symbols {
    /// After IEC 60617.
    #[default]
    Iec,
    /// Shapes that readers of IEEE 315 are used to.
    Ieee,
}

impl Symbols {
    /// Whether it is the usual set; files then leave it out.
    pub const fn is_usual(&self) -> bool {
        matches!(self, Symbols::Iec)
    }
}

/// Thresholds and conditions; all are shares of rated light unless said otherwise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Temperature of the conductors, for their resistance.
    pub conductor_c: Celsius,
    /// From here on a lamp counts as lit at all: a glow seen in the dark.
    pub faint: Share,
    /// From here on it is dim rather than faint: seen by day close by.
    pub dim: Share,
    /// From here on it is fully lit; a wished lamp below it is weak unless its wish asks for less.
    pub full: Share,
    /// Above this share a lamp is overdriven.
    pub overdriven: Share,
    /// Light of the bright phase over light of the dark phase from which on a lamp is seen to flash.
    pub flash_ratio: Share,
    /// What wires, fuses and the rest are sized for.
    #[serde(skip_serializing_if = "Sizing::is_default")]
    pub sizing: Sizing,
    /// The set of symbols it is drawn in.
    #[serde(skip_serializing_if = "Symbols::is_usual")]
    pub symbols: Symbols,
    /// Revision mark of its printed sheets.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub revision: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Default for Settings {
    /// Conductors at 20 °C, the temperature the standards state resistance at. `flash_ratio` 3: SAE J588
    /// wants a signal at least three times as bright as the lamp it shares. `overdriven` 1.8: an excess of
    /// 19 % in volts, at the end of the re-rating law's range. The others are common practice: `faint` is
    /// 13 % of rated volts by that law, `dim` 41 %, `full` 76 %.
    fn default() -> Self {
        Self {
            conductor_c: Celsius::of(20.0),
            faint: Share::of(0.001),
            dim: Share::of(0.05),
            full: Share::of(0.4),
            overdriven: Share::of(1.8),
            flash_ratio: Share::of(3.0),
            sizing: Sizing::default(),
            symbols: Symbols::default(),
            revision: String::new(),
            extra: Extra::new(),
        }
    }
}

/// A place on the vehicle.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// Identity.
    pub id: PlaceId,
    /// What people call it.
    pub label: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Whether a control stays where it is put.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Action {
    /// Stays where it is put.
    Latching,
    /// Goes back to its first position when let go.
    Momentary,
}

/// What a hand or foot moves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Control {
    /// Identity.
    pub id: ControlId,
    /// What people call it.
    pub label: String,
    /// Whether it stays where it is put.
    pub action: Action,
    /// Names of its positions; the first is the position at rest.
    pub positions: Vec<String>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// A wire. It runs from its supply end to its load end: that is its intended direction of current.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wire {
    /// Identity.
    pub id: WireId,
    /// Supply end.
    pub from: TerminalId,
    /// Load end.
    pub to: TerminalId,
    /// Length along the loom.
    pub length_mm: Millimetres,
    /// Catalogue key of the conductor size.
    pub size: String,
    /// Temperature class of the insulation.
    pub insulation_c: Celsius,
    /// IEC 60757 colour code, base colour first.
    pub colour: String,
    /// Why it is there.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// What the owner wants to see.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Show {
    /// Dark.
    Off,
    /// Lit without a break.
    Steady,
    /// Flashing.
    Flashing,
    /// Whatever comes.
    Any,
}

impl Show {
    /// The wish as one word.
    pub fn text(self) -> &'static str {
        text::of(self.key())
    }

    /// The wish in identities, whatever the language.
    pub const fn key(self) -> &'static str {
        match self {
            Show::Off => mark!("off"),
            Show::Steady => mark!("steady"),
            Show::Flashing => mark!("flashing"),
            Show::Any => mark!("any"),
        }
    }
}

/// One wish: while all named controls stand as said, these lamp circuits shall show this.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wish {
    /// Identity.
    pub id: WishId,
    /// Control positions under which it holds; a control left out may stand anywhere.
    pub when: OrdMap<ControlId, String>,
    /// Lamp circuits it speaks of.
    pub lamps: Vec<LampId>,
    /// What they shall show.
    pub show: Show,
    /// Smallest share of rated light that satisfies it; `Settings::full` where not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<Share>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Plan {
    /// The part with this identity.
    pub fn part(&self, id: &PartId) -> Option<&Part> {
        self.parts.iter().find(|part| part.id == *id)
    }

    /// The wire with this identity.
    pub fn wire(&self, id: &WireId) -> Option<&Wire> {
        self.wires.iter().find(|wire| wire.id == *id)
    }

    /// The control with this identity.
    pub fn control(&self, id: &ControlId) -> Option<&Control> {
        self.controls.iter().find(|control| control.id == *id)
    }

    /// The place with this identity.
    pub fn place(&self, id: &PlaceId) -> Option<&Place> {
        self.places.iter().find(|place| place.id == *id)
    }

    /// Every lamp circuit, in the order of the parts.
    pub fn lamp_circuits(&self) -> Vec<LampCircuit<'_>> {
        self.parts.iter().flat_map(Part::lamp_circuits).collect()
    }

    /// The first of `stem`1, `stem`2 … that no part carries.
    pub fn free_part_id(&self, stem: &str) -> PartId {
        free(stem, |id: &PartId| self.part(id).is_some())
    }

    /// The first of W1, W2 … that no wire carries.
    pub fn free_wire_id(&self) -> WireId {
        free("W", |id: &WireId| self.wire(id).is_some())
    }
}

/// The first of `stem`1, `stem`2 … that is not taken; a stem that is no identifier gives way to `X`.
pub(crate) fn free<Id: core::str::FromStr>(stem: &str, taken: impl Fn(&Id) -> bool) -> Id {
    let mut stem = stem;
    let mut n = 1_u64;
    loop {
        match format!("{stem}{n}").parse::<Id>() {
            Ok(id) if !taken(&id) => return id,
            Ok(_) => n += 1,
            Err(_) => stem = "X",
        }
    }
}
