//! From the answers to the parts, wires, controls, wishes and places.

use super::{Switching, System, TurnBrief};
use crate::catalog::lamp;
use crate::plan::{
    Action, Battery, Chemistry, Contact, Control, ControlId, Duty, Extra, Filament, Flasher,
    FlasherAction, Fuse, Ground, Kind, Lamp, LampId, Light, Part, PartId, Place, PlaceId, Plan,
    Settings, Show, Splice, Switch, TerminalId, Wire, Wish,
};
use crate::units::{AmpHours, Amps, Celsius, Millimetres, Milliohms, Volts, significant};
use core::str::FromStr;

/// A blade fuse sits this far from the battery, in millimetres along the wire.
const FUSE_MM: f64 = 150.0;
/// Lamp or battery to its ground point.
const GROUND_MM: f64 = 200.0;
/// Between neighbours on the dash.
const DASH_MM: f64 = 200.0;

/// The plan that the answers ask for.
pub fn draft(brief: &TurnBrief) -> Plan {
    let mut plan = Plan {
        title: brief.title.clone(),
        notes: "Disconnect the battery before you wire. Filament lamps get hot. Road use needs the local code and, where \
                required, an inspection."
            .into(),
        settings: Settings::default(),
        ..Plan::default()
    };
    for (id, label) in [
        ("front-left", "Front left"),
        ("front-right", "Front right"),
        ("rear-left", "Rear left"),
        ("rear-right", "Rear right"),
        ("dash", "Dash"),
        ("battery-box", "Battery box"),
    ] {
        plan.places.extend(id.parse().ok().map(|id: PlaceId| Place {
            id,
            label: label.into(),
            extra: Extra::new(),
        }));
    }
    let mut drafting = Drafting { brief, plan };
    drafting.supply();
    let left = drafting.switches();
    drafting.side(left.0, true);
    drafting.side(left.1, false);
    drafting.battery_ground();
    drafting.plan
}

/// A plan in the making.
struct Drafting<'a> {
    brief: &'a TurnBrief,
    plan: Plan,
}

/// Terminal that feeds each side, left and right; `None` for a side without lamps.
type Feeds = (Option<TerminalId>, Option<TerminalId>);

impl Drafting<'_> {
    fn part(&mut self, stem: &str, label: &str, place: &str, why: &str, kind: Kind) -> PartId {
        let id = self.plan.free_part_id(stem);
        self.plan.parts.push(Part {
            id: id.clone(),
            label: label.into(),
            place: place.parse().ok(),
            why: why.into(),
            kind,
            extra: Extra::new(),
        });
        id
    }

    fn wire(
        &mut self,
        from: TerminalId,
        to: TerminalId,
        length: Millimetres,
        colour: &str,
        why: &str,
    ) {
        let id = self.plan.free_wire_id();
        self.plan.wires.push(Wire {
            id,
            from,
            to,
            length_mm: length,
            size: self.brief.size.clone(),
            insulation_c: Celsius::of(105.0),
            colour: colour.into(),
            why: why.into(),
            extra: Extra::new(),
        });
    }

    /// Battery, fuse and flasher, one behind the other.
    fn supply(&mut self) {
        let brief = self.brief;
        // Full and rested lead-acid battery: 2.1 V a cell; a small one has some milliohms.
        let (open_circuit, internal) = match brief.system {
            System::V6 => (6.3, 8.0),
            System::V12 => (12.6, 10.0),
            System::V24 => (25.2, 20.0),
        };
        let battery = Kind::Battery(Battery {
            chemistry: Chemistry::Agm,
            open_circuit_v: Volts::of(open_circuit),
            internal_mohm: Milliohms::of(internal),
            capacity_ah: AmpHours::of(18.0),
            extra: Extra::new(),
        });
        let battery = self.part("G", "Battery", "battery-box", "feeds everything", battery);
        let rating = brief.fuse_rating();
        let why = format!(
            "at the battery, opens before a shorted wire burns; {}",
            if brief.fuse.is_some() {
                format!(
                    "{rating} as answered, {} would be enough",
                    brief.fuse_for_load()
                )
            } else {
                brief.fuse_reason()
            }
        );
        let fuse = Kind::Fuse(Fuse {
            body: Default::default(),
            rating_a: rating,
            extra: Extra::new(),
        });
        let fuse = self.part("F", "Main fuse", "battery-box", &why, fuse);
        let (least, most) = (brief.least_load(), brief.worst_load());
        let why = format!("makes the turn lamps flash; choose a unit made for {least} to {most}");
        let flasher = Kind::Flasher(Flasher {
            action: brief.flasher,
            per_minute: 90,
            // Wide enough for lamps at low and at charging voltage, narrow enough to tell a lamp out of two.
            min_a: Amps::of(round(0.6 * least.get())),
            max_a: Amps::of(round(1.3 * most.get())),
            closed_mohm: Milliohms::of(match brief.flasher {
                FlasherAction::Thermal => 50.0,
                FlasherAction::Electronic => 20.0,
            }),
            extra: Extra::new(),
        });
        let flasher = self.part("K", "Flasher", "dash", &why, flasher);
        let at = TerminalId::new;
        self.wire(
            at(&battery, "+"),
            at(&fuse, "1"),
            Millimetres::of(FUSE_MM),
            "RD",
            "battery to fuse, kept short",
        );
        self.wire(
            at(&fuse, "2"),
            at(&flasher, "49"),
            brief.battery_to_dash,
            "RD",
            "fused supply of the flasher",
        );
    }

    /// The control or controls with their switches, wired to the flasher.
    fn switches(&mut self) -> Feeds {
        let (left, right) = self.brief.sides();
        let out: Option<PartId> = self
            .plan
            .parts
            .iter()
            .find(|part| matches!(part.kind, Kind::Flasher(_)))
            .map(|part| part.id.clone());
        let Some(flasher) = out else {
            return (None, None);
        };
        let out = TerminalId::new(&flasher, "49a");
        match self.brief.switching {
            Switching::TwoSwitches => {
                let mut feed = out;
                let mut one = |this: &mut Self, lamps: usize, side: &str, label: &str| {
                    let control: ControlId = (lamps > 0).then(|| side.parse().ok()).flatten()?;
                    this.control(&control, label, &["off", "on"]);
                    let contacts = vec![contact("82", "82a", "on")];
                    let why = format!("lights the {side} turn lamps");
                    let part = this.switch(&format!("{label} switch"), &why, control, contacts);
                    let input = TerminalId::new(&part, "82");
                    let to = input.clone();
                    let from = core::mem::replace(&mut feed, input);
                    this.wire(
                        from,
                        to,
                        Millimetres::of(DASH_MM),
                        "WH",
                        "flashing feed of the switches",
                    );
                    Some(TerminalId::new(&part, "82a"))
                };
                let left = one(self, left, "left", "Left");
                let right = one(self, right, "right", "Right");
                (left, right)
            }
            Switching::OneControl => {
                let Some(control) = id::<ControlId>("turn") else {
                    return (None, None);
                };
                self.control(&control, "Turn", &["off", "left", "right"]);
                let mut contacts = Vec::new();
                contacts.extend((left > 0).then(|| contact("49a", "L", "left")));
                contacts.extend((right > 0).then(|| contact("49a", "R", "right")));
                let part = self.switch(
                    "Turn switch",
                    "lights the turn lamps of one side",
                    control,
                    contacts,
                );
                let input = TerminalId::new(&part, "49a");
                self.wire(
                    out,
                    input,
                    Millimetres::of(DASH_MM),
                    "WH",
                    "flashing feed of the switch",
                );
                let side =
                    |lamps: usize, name: &str| (lamps > 0).then(|| TerminalId::new(&part, name));
                (side(left, "L"), side(right, "R"))
            }
        }
    }

    fn control(&mut self, id: &ControlId, label: &str, positions: &[&str]) {
        self.plan.controls.push(Control {
            id: id.clone(),
            label: label.into(),
            action: Action::Latching,
            positions: positions.iter().map(|&p| p.to_owned()).collect(),
            extra: Extra::new(),
        });
    }

    fn switch(
        &mut self,
        label: &str,
        why: &str,
        control: ControlId,
        contacts: Vec<Contact>,
    ) -> PartId {
        let kind = Kind::Switch(Switch {
            control,
            contacts,
            contact_mohm: Milliohms::of(10.0),
            rating_a: None,
            extra: Extra::new(),
        });
        self.part("S", label, "dash", why, kind)
    }

    /// The lamps of a side with their joint, wires and wish.
    fn side(&mut self, feed: Option<TerminalId>, is_left: bool) {
        let brief = self.brief;
        let Some(mut feed) = feed else { return };
        let (front, rear, side, colour, duty) = if is_left {
            (
                brief.front_left,
                brief.rear_left,
                "left",
                "YE",
                Duty::TurnLeft,
            )
        } else {
            (
                brief.front_right,
                brief.rear_right,
                "right",
                "GN",
                Duty::TurnRight,
            )
        };
        if front && rear {
            let why = format!("feeds both {side} lamps");
            let joint = self.part(
                "X",
                &format!("Joint {side}"),
                "dash",
                &why,
                Kind::Splice(Splice::default()),
            );
            let joint = TerminalId::new(&joint, "1");
            self.wire(feed, joint.clone(), Millimetres::of(DASH_MM), colour, &why);
            feed = joint;
        }
        let mut lamps = Vec::new();
        for (wanted, end, length) in [
            (front, "front", brief.dash_to_front),
            (rear, "rear", brief.dash_to_rear),
        ] {
            let Some(row) = brief.lamp_row().filter(|_| wanted) else {
                continue;
            };
            let place = format!("{end}-{side}");
            let lamp = self.part(
                "E",
                &format!("Turn {end} {side}"),
                &place,
                &format!("shows turn {side}"),
                lamp_kind(row, duty),
            );
            let ground = Kind::Ground(Ground {
                joint_mohm: Milliohms::of(5.0),
                extra: Extra::new(),
            });
            let ground = self.part(
                "XG",
                &format!("Ground {lamp}"),
                &place,
                &format!("takes the return of {lamp} to the chassis"),
                ground,
            );
            self.wire(
                feed.clone(),
                TerminalId::new(&lamp, "1"),
                length,
                colour,
                &format!("feeds {lamp}"),
            );
            self.wire(
                TerminalId::new(&lamp, "31"),
                TerminalId::new(&ground, "31"),
                Millimetres::of(GROUND_MM),
                "BK",
                &format!("return of {lamp}"),
            );
            lamps.push(LampId::new(
                &lamp,
                row.filaments.first().map_or("main", |f| f.name),
            ));
        }
        let when = match brief.switching {
            Switching::TwoSwitches => id(side).map(|control| (control, "on".to_owned())),
            Switching::OneControl => id("turn").map(|control| (control, side.to_owned())),
        };
        self.plan
            .wishes
            .extend(id(&format!("wish-{side}")).map(|id| Wish {
                id,
                when: when.into_iter().collect(),
                lamps,
                show: Show::Flashing,
                at_least: None,
                extra: Extra::new(),
            }));
    }

    fn battery_ground(&mut self) {
        let ground = Kind::Ground(Ground {
            joint_mohm: Milliohms::of(2.0),
            extra: Extra::new(),
        });
        let why = "takes the return current of all lamps from the chassis";
        let ground = self.part("XG", "Battery ground", "battery-box", why, ground);
        let battery = self
            .plan
            .parts
            .iter()
            .find(|part| matches!(part.kind, Kind::Battery(_)));
        if let Some(battery) = battery.map(|part| TerminalId::new(&part.id, "-")) {
            self.wire(
                TerminalId::new(&ground, "31"),
                battery,
                Millimetres::of(GROUND_MM),
                "BK",
                why,
            );
        }
    }
}

fn contact(from: &str, to: &str, closed_in: &str) -> Contact {
    Contact {
        from: from.into(),
        to: to.into(),
        closed_in: vec![closed_in.into()],
    }
}

fn lamp_kind(row: &lamp::Row, duty: Duty) -> Kind {
    let filament = |(i, filament): (usize, &lamp::Filament)| Filament {
        id: filament.name.into(),
        terminal: (i + 1).to_string(),
        rated_v: Volts::of(filament.design_volts),
        rated_a: Amps::of(round(filament.amps)),
        duties: if i == 0 { vec![duty] } else { Vec::new() },
    };
    Kind::Lamp(Lamp {
        model: Some(row.key.into()),
        light: Light::Amber,
        filaments: row.filaments.iter().enumerate().map(filament).collect(),
        common: "31".into(),
        extra: Extra::new(),
    })
}

fn id<Id: FromStr>(text: &str) -> Option<Id> {
    text.parse().ok()
}

/// Three significant digits, as a data sheet prints them.
fn round(value: f64) -> f64 {
    significant(value).parse().unwrap_or(value)
}
