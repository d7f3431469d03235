//! Parts: the physical things with terminals, one struct per kind with the ratings it is solved with.
//!
//! Ratings are kept in the plan itself, so a plan means the same under any later catalogue; `model`
//! remembers the catalogue row they were taken from. Terminal names follow DIN 72552 where it has one.

use super::{ControlId, LampId, PartId, PlaceId};
use crate::units::{AmpHours, Amps, Milliohms, Ohms, Volts, Watts};
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
    /// Blade fuse.
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

/// Chemistry of a battery; it decides charge state, charging volts and run time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Chemistry {
    /// Lead-acid with liquid electrolyte.
    Flooded,
    /// Lead-acid, absorbent glass mat.
    Agm,
    /// Lead-acid, gelled electrolyte.
    Gel,
    /// Lithium iron phosphate.
    Lifepo4,
}

/// Battery. Terminals `+` and `-`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Battery {
    /// Chemistry.
    pub chemistry: Chemistry,
    /// Open-circuit voltage at the charge planned for.
    pub open_circuit_v: Volts,
    /// Internal resistance.
    pub internal_mohm: Milliohms,
    /// Rated capacity at the 20 h rate.
    pub capacity_ah: AmpHours,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Blade fuse. Terminals `1` (supply side) and `2`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fuse {
    /// Rated current; the cold resistance follows from the catalogue.
    pub rating_a: Amps,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// One contact of a switch.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Contact {
    /// Terminal on the supply side.
    pub from: String,
    /// Terminal on the load side.
    pub to: String,
    /// Control positions in which the contact is closed.
    pub closed_in: Vec<String>,
}

/// Switch moved by a control; several switches may share one control. Terminals are those its contacts name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Switch {
    /// The control that moves it.
    pub control: ControlId,
    /// Contacts, any number.
    pub contacts: Vec<Contact>,
    /// Resistance of one closed contact.
    pub contact_mohm: Milliohms,
    /// Contact rating on resistive load, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating_a: Option<Amps>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// What makes a two-terminal flasher tick.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlasherAction {
    /// Bimetal heated by the lamp current: below its smallest load it stays closed.
    Thermal,
    /// Electronic, current-sensing: below its smallest load it flashes at twice the rate.
    Electronic,
}

/// Two-terminal flasher unit. Terminals `49` (supply) and `49a` (lamps).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Flasher {
    /// Working principle.
    pub action: FlasherAction,
    /// Flashes per minute inside the load window.
    pub per_minute: u16,
    /// Smallest load current of the window.
    pub min_a: Amps,
    /// Largest load current of the window.
    pub max_a: Amps,
    /// Resistance while closed.
    pub closed_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Diode. Terminals `A` (anode) and `K` (cathode).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Diode {
    /// Catalogue type.
    pub model: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// What a lamp circuit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Duty {
    Tail,
    Stop,
    TurnLeft,
    TurnRight,
    Hazard,
    Running,
    Reverse,
    Licence,
    Work,
    Marker,
    Fog,
    Head,
    Other,
}

impl Duty {
    /// Every duty, in the order forms list them.
    pub const ALL: [Duty; 13] = [
        Duty::Tail,
        Duty::Stop,
        Duty::TurnLeft,
        Duty::TurnRight,
        Duty::Hazard,
        Duty::Running,
        Duty::Reverse,
        Duty::Licence,
        Duty::Work,
        Duty::Marker,
        Duty::Fog,
        Duty::Head,
        Duty::Other,
    ];

    /// The duty as words.
    pub const fn text(self) -> &'static str {
        match self {
            Duty::Tail => "tail",
            Duty::Stop => "stop",
            Duty::TurnLeft => "turn left",
            Duty::TurnRight => "turn right",
            Duty::Hazard => "hazard",
            Duty::Running => "running",
            Duty::Reverse => "reverse",
            Duty::Licence => "licence",
            Duty::Work => "work",
            Duty::Marker => "marker",
            Duty::Fog => "fog",
            Duty::Head => "headlamp",
            Duty::Other => "other",
        }
    }
}

/// Colour of the light a lamp gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Light {
    Amber,
    Red,
    White,
}

/// One filament.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filament {
    /// Name within the lamp: `major`, `minor` or `main`.
    pub id: String,
    /// Its own terminal; the other end is the lamp's common terminal.
    pub terminal: String,
    /// Voltage at which current and light are rated.
    pub rated_v: Volts,
    /// Current at the rated voltage.
    pub rated_a: Amps,
    /// What it is for.
    #[serde(default)]
    pub duties: Vec<Duty>,
}

/// Filament lamp. Terminals: one per filament, and the common one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lamp {
    /// Catalogue category or trade number the ratings came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Colour of the light.
    pub light: Light,
    /// Filaments, one or two.
    pub filaments: Vec<Filament>,
    /// Terminal shared by all filaments.
    pub common: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// How an LED circuit limits its current.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LedDrive {
    /// Series resistor: current rises with voltage above the knee.
    Resistor,
    /// Regulated: constant current above the voltage where regulation starts.
    Regulated,
}

/// One group of LEDs with its own terminal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LedCircuit {
    /// Name within the lamp.
    pub id: String,
    /// Its positive terminal; the negative end is the lamp's common terminal.
    pub terminal: String,
    /// Voltage at which current and light are rated.
    pub rated_v: Volts,
    /// Current at the rated voltage.
    pub rated_a: Amps,
    /// With a resistor: forward voltage of the string at its rated current, below which there is next to no
    /// light. Regulated: voltage from which the current is constant.
    pub knee_v: Volts,
    /// Current limiter.
    pub drive: LedDrive,
    /// What it is for.
    #[serde(default)]
    pub duties: Vec<Duty>,
}

/// LED lamp. Terminals: one per circuit, and the common (negative) one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LedLamp {
    /// Colour of the light.
    pub light: Light,
    /// Circuits, one or more.
    pub circuits: Vec<LedCircuit>,
    /// Negative terminal shared by all circuits.
    pub common: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Resistor. Terminals `1` and `2`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Resistor {
    /// Resistance.
    pub ohms: Ohms,
    /// Power rating.
    pub rating_w: Watts,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// General load. Terminals `+` and `-`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Load {
    /// Voltage at which the current is rated.
    pub rated_v: Volts,
    /// Current at the rated voltage.
    pub rated_a: Amps,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Joint of any number of wires. Terminal `1`.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Splice {
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Plug and socket. Terminals: way name + `a` (supply side) and way name + `b` (load side).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Connector {
    /// Names of the ways.
    pub ways: Vec<String>,
    /// Resistance of one mated way.
    pub contact_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Ground point. Terminal `31`; its other side is the chassis.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ground {
    /// Resistance between terminal and chassis.
    pub joint_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Relay after ISO 7588: coil `85`/`86`, common `30`, working contact `87`, rest contact `87a`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Relay {
    /// Catalogue row the ratings came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Coil resistance.
    pub coil_ohm: Ohms,
    /// Coil voltage at which it pulls in.
    pub pull_in_v: Volts,
    /// Coil voltage at which it lets go.
    pub drop_out_v: Volts,
    /// Resistance of a closed contact.
    pub contact_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
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
            Kind::Battery(_) | Kind::Load(_) => fixed(&["+", "-"]),
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
    pub const fn text(&self) -> &'static str {
        match self {
            Kind::Battery(_) => "battery",
            Kind::Fuse(_) => "fuse",
            Kind::Switch(_) => "switch",
            Kind::Flasher(_) => "flasher",
            Kind::Diode(_) => "diode",
            Kind::Lamp(_) => "lamp",
            Kind::LedLamp(_) => "LED lamp",
            Kind::Resistor(_) => "resistor",
            Kind::Load(_) => "load",
            Kind::Splice(_) => "splice",
            Kind::Connector(_) => "connector",
            Kind::Ground(_) => "ground point",
            Kind::Relay(_) => "relay",
        }
    }
}
