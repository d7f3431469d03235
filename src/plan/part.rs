//! Parts: the physical things with terminals, and what the rest of the plan sees of them.

use super::kinds::*;
use super::{LampId, PartId, PlaceId};
use crate::text::say;
use serde::{Deserialize, Serialize};

/// Fields a newer build wrote and this one does not know; kept and written back.
pub type Extra = serde_json::Map<String, serde_json::Value>;

/// A physical thing with terminals.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    /// Identity and reference designation.
    pub id: PartId,
    /// What people call it.
    #[serde(default)]
    pub label: String,
    /// Where on the vehicle it sits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<PlaceId>,
    /// Why it is there; generated parts always say so.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// Kind and ratings.
    #[serde(flatten)]
    pub kind: Kind,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Kind of a part with its ratings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "spec", rename_all = "kebab-case")]
pub enum Kind {
    /// Electrochemical source behind its internal resistance.
    Battery(Battery),
    /// Alternator or mains charger.
    Charger(Charger),
    /// DC/DC converter.
    Converter(Converter),
    /// Blade fuse or automatic circuit breaker.
    Fuse(Fuse),
    /// Contacts moved by a control.
    Switch(Switch),
    /// Two-terminal flasher unit in series with its lamps.
    Flasher(Flasher),
    /// Semiconductor diode.
    Diode(Diode),
    /// Filament lamp with one or two filaments.
    Lamp(Lamp),
    /// LED lamp with one or more circuits.
    LedLamp(LedLamp),
    /// Resistor.
    Resistor(Resistor),
    /// Any other consumer, solved as a constant resistance.
    Load(Load),
    /// Joint of wires.
    Splice(Splice),
    /// Plug and socket.
    Connector(Connector),
    /// Bolted joint to the chassis.
    Ground(Ground),
    /// Electromagnetic relay with one changeover contact.
    Relay(Relay),
}

/// One lamp circuit as the rest of the plan sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LampCircuit<'a> {
    /// Identity.
    pub id: LampId,
    /// What people call it: the part's label, and the filament's name where there are several.
    pub label: String,
    /// What it is for.
    pub duties: &'a [Duty],
    /// Colour of its light.
    pub light: Light,
}

impl Part {
    /// Names of the terminals, in drawing order.
    pub fn terminals(&self) -> Vec<String> {
        let fixed = |names: &[&str]| names.iter().map(|&name| name.to_owned()).collect();
        match &self.kind {
            Kind::Battery(_) | Kind::Charger(_) | Kind::Load(_) => fixed(&["+", "-"]),
            Kind::Converter(_) => fixed(&["in+", "in-", "out+", "out-"]),
            Kind::Fuse(_) | Kind::Resistor(_) => fixed(&["1", "2"]),
            Kind::Switch(switch) => {
                let mut names: Vec<String> = Vec::new();
                for name in switch
                    .contacts
                    .iter()
                    .flat_map(|contact| [&contact.from, &contact.to])
                {
                    if !names.contains(name) {
                        names.push(name.clone());
                    }
                }
                names
            }
            Kind::Flasher(_) => fixed(&["49", "49a"]),
            Kind::Diode(_) => fixed(&["A", "K"]),
            Kind::Lamp(lamp) => lamp
                .filaments
                .iter()
                .map(|filament| filament.terminal.clone())
                .chain([lamp.common.clone()])
                .collect(),
            Kind::LedLamp(lamp) => lamp
                .circuits
                .iter()
                .map(|circuit| circuit.terminal.clone())
                .chain([lamp.common.clone()])
                .collect(),
            Kind::Splice(_) => fixed(&["1"]),
            Kind::Connector(connector) => connector
                .ways
                .iter()
                .flat_map(|way| [format!("{way}a"), format!("{way}b")])
                .collect(),
            Kind::Ground(_) => fixed(&["31"]),
            Kind::Relay(_) => fixed(&["30", "86", "87", "87a", "85"]),
        }
    }

    /// The lamp circuits of this part; empty for anything that is no lamp.
    pub fn lamp_circuits(&self) -> Vec<LampCircuit<'_>> {
        let several = |n: usize, name: &str| {
            let label = if self.label.is_empty() {
                self.id.as_str()
            } else {
                &self.label
            };
            if n > 1 {
                format!("{label}, {name}")
            } else {
                label.to_owned()
            }
        };
        match &self.kind {
            Kind::Lamp(lamp) => lamp
                .filaments
                .iter()
                .map(|filament| LampCircuit {
                    id: LampId::new(&self.id, &filament.id),
                    label: several(lamp.filaments.len(), &filament.id),
                    duties: &filament.duties,
                    light: lamp.light,
                })
                .collect(),
            Kind::LedLamp(lamp) => lamp
                .circuits
                .iter()
                .map(|circuit| LampCircuit {
                    id: LampId::new(&self.id, &circuit.id),
                    label: several(lamp.circuits.len(), &circuit.id),
                    duties: &circuit.duties,
                    light: lamp.light,
                })
                .collect(),
            _ => Vec::new(),
        }
    }

    /// Kind, designation and label: `fuse F1 (Main fuse)`; the kind is not said twice: `F1 (Main fuse)`.
    pub fn with_kind(&self) -> String {
        let (kind, id) = (self.kind.text(), &self.id);
        if self.label.is_empty() {
            return format!("{kind} {id}");
        }
        // A label such as `Main fuse` or `Ground rear` says the kind itself.
        let label = self.label.to_lowercase();
        let says = |word: &str| label.contains(&word.to_lowercase());
        if kind.split(' ').any(says) {
            format!("{id} ({})", self.label)
        } else {
            format!("{kind} {id} ({})", self.label)
        }
    }

    /// Label, or the designation where no label was given.
    pub fn name(&self) -> &str {
        if self.label.is_empty() {
            self.id.as_str()
        } else {
            &self.label
        }
    }
}

impl Kind {
    /// The kind as words.
    pub fn text(&self) -> &'static str {
        match self {
            Kind::Battery(_) => say!("battery"),
            Kind::Charger(_) => say!("charger"),
            Kind::Converter(_) => say!("converter"),
            Kind::Fuse(fuse) => match fuse.body {
                FuseBody::Blade => say!("fuse"),
                FuseBody::Breaker => say!("circuit breaker"),
            },
            Kind::Switch(_) => say!("switch"),
            Kind::Flasher(_) => say!("flasher"),
            Kind::Diode(_) => say!("diode"),
            Kind::Lamp(_) => say!("lamp"),
            Kind::LedLamp(_) => say!("LED lamp"),
            Kind::Resistor(_) => say!("resistor"),
            Kind::Load(_) => say!("load"),
            Kind::Splice(_) => say!("splice"),
            Kind::Connector(_) => say!("connector"),
            Kind::Ground(_) => say!("ground point"),
            Kind::Relay(_) => say!("relay"),
        }
    }
}
