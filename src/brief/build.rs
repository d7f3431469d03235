//! From resolved answers to parts and nets: supply, fuses and the master or ignition switch.
//!
//! Method: battery, main fuse, then a bus for each position from which on something works, then a fuse for each
//! control that takes current. Controls that can light the same lamps share a fuse, so that pulling it makes them dead.

use super::nets::{Draft, NetId};
use super::place::{Side, Spot};
use super::resolve::{Bus, Circuit, Feed, Lamp, Resolved, capital, names};
use super::{Brief, ControlAnswer, Return, System, fitting};
use crate::catalog::relay;
use crate::plan::{Battery, Contact, Extra, Fuse, Ground, Kind, PartId, Plan, Relay, Switch};
use crate::units::{Milliohms, Ohms, Share, Volts};
use std::collections::BTreeMap;

/// Resistance of a switch contact, common practice.
const CONTACT_MOHM: f64 = 10.0;
/// Resistance of a bolted ground, common practice.
const GROUND_MOHM: f64 = 5.0;
/// Coil current of a relay for the choice of wires and fuses, above that of every catalogue row.
pub(super) const COIL_AMPS: f64 = 0.2;

/// From here on a lamp of a 6 V system counts as fully lit: contacts and diodes take twice the share of its volts that
/// they take at 12 V, so its lamps burn lower than the usual threshold (common practice).
const FULL_6V: f64 = 0.3;

/// A build in progress.
pub(super) struct Build<'a> {
    pub brief: &'a Brief,
    pub want: &'a Resolved,
    pub draft: Draft<'a>,
    /// Nets of the buses.
    buses: BTreeMap<Bus, NetId>,
    /// Nets behind the fuses, by name.
    branches: BTreeMap<(Bus, String), NetId>,
    /// Whether a single consumer makes the main fuse its own.
    single: bool,
    /// Nets of the feeds.
    pub feeds: BTreeMap<Feed, NetId>,
    /// Coil nets of the relays that spare a switch, by group.
    pub coils: BTreeMap<usize, NetId>,
    /// Coil nets of the relays that give way to a flash.
    pub priority_coils: BTreeMap<Side, NetId>,
    /// Nets from the turn switch to the hazard switch.
    pub handed: BTreeMap<Side, NetId>,
    /// The connector to the trailer and its return way.
    pub connector: Option<(PartId, &'static str)>,
    /// The net to the negative pole, with wired return.
    ground: Option<NetId>,
}

/// The plan that the answers ask for. Roles in `known` keep their identities; no new one is among `taken`.
pub(super) fn build(
    brief: &Brief,
    known: &BTreeMap<String, String>,
    taken: &[String],
) -> (Plan, BTreeMap<String, String>) {
    let want = Resolved::of(brief);
    let mut build = Build::of(brief, &want, known, taken);
    build.draft.plan.title.clone_from(&brief.title);
    build.draft.plan.notes = notes(brief);
    if brief.system == System::V6 {
        build.draft.plan.settings.full = Share::of(FULL_6V);
    }
    build.draft.plan.controls = want
        .controls
        .iter()
        .map(|moved| moved.control.clone())
        .collect();
    build.supply();
    build.signals();
    let lamps = build.lamps();
    super::wishes::wish(&mut build.draft.plan, brief, &want, &lamps);
    build.draft.finish()
}

fn notes(brief: &Brief) -> String {
    let mut notes = brief.notes.clone();
    if !notes.is_empty() {
        notes.push('\n');
    }
    notes.push_str(
        "Disconnect the battery before you work on the wiring. Filament lamps get hot. Road use needs the local code \
         and, where required, an inspection.",
    );
    notes
}

impl<'a> Build<'a> {
    /// Nothing built yet.
    pub fn of(
        brief: &'a Brief,
        want: &'a Resolved,
        known: &'a BTreeMap<String, String>,
        taken: &[String],
    ) -> Self {
        Self {
            brief,
            want,
            draft: Draft::new(brief, known, taken),
            buses: BTreeMap::new(),
            branches: BTreeMap::new(),
            single: false,
            feeds: BTreeMap::new(),
            coils: BTreeMap::new(),
            priority_coils: BTreeMap::new(),
            handed: BTreeMap::new(),
            connector: None,
            ground: None,
        }
    }

    /// Rated current of a lamp circuit.
    pub fn amps(&self, lamp: &Lamp, circuit: &Circuit) -> f64 {
        let index = lamp.circuits.iter().position(|c| core::ptr::eq(c, circuit));
        fitting::rating(self.brief, lamp, index.unwrap_or(0)).map_or(0.0, |rating| rating.amps)
    }

    /// Rated current of all circuits that a test picks.
    pub fn sum(&self, pick: impl Fn(&Lamp, &Circuit) -> bool) -> f64 {
        let circuits = self.want.circuits();
        let picked = circuits.filter(|(lamp, circuit)| pick(lamp, circuit));
        picked.map(|(lamp, circuit)| self.amps(lamp, circuit)).sum()
    }

    /// Rated current of a feed.
    pub fn load_of(&self, feed: Feed) -> f64 {
        let stop = self.want.group_of(super::Signal::Stop);
        self.sum(|_, circuit| {
            circuit.ways.iter().any(|way| {
                way.feed == feed
                    || matches!((feed, way.feed), (Feed::Steady(group), Feed::StopOrFlash(_)) if Some(group) == stop)
            })
        })
    }

    /// Rated current of all that flashes on a side, or at all.
    pub fn flash_load(&self, side: Option<Side>) -> f64 {
        self.sum(|_, circuit| {
            circuit.ways.iter().any(|way| match way.feed {
                Feed::Flash(s) | Feed::StopOrFlash(s) => side.is_none_or(|side| side == s),
                Feed::FlashHazard => side.is_none(),
                Feed::Steady(_) => false,
            })
        })
    }

    fn total(&self) -> f64 {
        self.sum(|_, _| true) + 2.0 * COIL_AMPS
    }

    /// Battery, main fuse, buses.
    fn supply(&mut self) {
        let brief = self.brief;
        let volts = brief.system.volts();
        // A full, rested lead-acid battery has 2.1 V a cell, a lithium iron phosphate one 3.3 V for every 3.2 V.
        let (open_circuit, internal) = match brief.chemistry {
            crate::plan::Chemistry::Lifepo4 => (volts * 13.2 / 12.0, volts / 12.0 * 8.0),
            _ => (volts * 1.05, volts / 12.0 * 10.0),
        };
        let kind = Kind::Battery(Battery {
            chemistry: brief.chemistry,
            open_circuit_v: Volts::of(round(open_circuit)),
            internal_mohm: Milliohms::of(round(internal)),
            capacity_ah: brief.capacity_ah,
            extra: Extra::new(),
        });
        let spot = Spot::BatteryBox;
        let battery = self
            .draft
            .part("battery", "G", "Battery", spot, "feeds everything", kind);
        let total = self.total();
        let rating = fitting::fuse_for(total).get();
        let main = self.fuse(
            "main",
            "Main fuse",
            spot,
            rating,
            &format!(
                "at the battery, opens before a shorted wire burns; all lamps together draw {} A",
                round(total)
            ),
        );
        let why = "battery to fuse, kept short";
        let net = self.draft.net("battery", spot, "RD", why, rating);
        self.draft.feed(net, &battery, "+", total);
        self.draft.load(net, &main, "1", total);
        let why = "fused supply";
        let supply = self.draft.net("supply", Spot::Dash, "RD", why, rating);
        self.draft.feed(supply, &main, "2", total);
        self.buses.insert(Bus::Always, supply);
        self.single = self.branch_names().len() <= 1;
        self.gate(supply, rating);
        self.battery_return(&battery, total);
    }

    fn battery_return(&mut self, battery: &PartId, total: f64) {
        let why = "takes the return current of all lamps";
        match self.brief.wiring {
            Return::Chassis => {
                let ground = self.ground_part("battery", "Battery ground", Spot::BatteryBox, why);
                let net = self
                    .draft
                    .net("return:battery", Spot::BatteryBox, "BK", why, 0.0);
                self.draft.feed(net, &ground, "31", total);
                self.draft.load(net, battery, "-", total);
            }
            Return::Wired => {
                let net = self.draft.net("return", Spot::BatteryBox, "BK", why, 0.0);
                self.draft.load(net, battery, "-", total);
                self.ground = Some(net);
            }
        }
    }

    /// Leads a terminal back to the battery.
    pub fn to_ground(&mut self, part: &PartId, terminal: &str, spot: Spot, amps: f64) {
        let why = format!("return of {part}");
        match self.ground {
            Some(net) => self.draft.feed(net, part, terminal, amps),
            None => {
                let role = format!("{}:{terminal}", self.draft.role_of(part));
                let takes = format!("takes the return of {part} to the chassis");
                let ground = self.ground_part(&role, &format!("Ground {part}"), spot, &takes);
                let net = self
                    .draft
                    .net(&format!("return:{role}"), spot, "BK", &why, 0.0);
                self.draft.feed(net, part, terminal, amps);
                self.draft.load(net, &ground, "31", amps);
            }
        }
    }

    fn ground_part(&mut self, role: &str, label: &str, spot: Spot, why: &str) -> PartId {
        let kind = Kind::Ground(Ground {
            joint_mohm: Milliohms::of(GROUND_MOHM),
            extra: Extra::new(),
        });
        self.draft
            .part(&format!("ground:{role}"), "XG", label, spot, why, kind)
    }

    /// The master or ignition switch and the buses behind it.
    fn gate(&mut self, supply: NetId, rating: f64) {
        let Some(gate) = self.want.gate(self.brief) else {
            return;
        };
        let moved = &self.want.controls[gate];
        let ignition = matches!(
            self.brief.controls[moved.answer],
            ControlAnswer::Ignition { .. }
        );
        let buses: Vec<Bus> = self
            .branch_names()
            .into_iter()
            .map(|(bus, _)| bus)
            .collect();
        let mut contacts = Vec::new();
        for (bus, out, positions) in [
            (Bus::Accessory, "75", &["accessory", "run"][..]),
            (Bus::Run, "15", if ignition { &["run"] } else { &["on"] }),
        ] {
            if buses.contains(&bus) {
                contacts.push((bus, contact("30", out, positions)));
            }
        }
        if contacts.is_empty() {
            return;
        }
        let label = format!("{} switch", moved.control.label);
        let why = "makes live what is not to work without it";
        let total = self.total();
        let list = contacts
            .iter()
            .map(|(_, contact)| contact.clone())
            .collect();
        let part = self.switch(gate, &label, why, list);
        self.draft.load(supply, &part, "30", total);
        for (bus, contact) in contacts {
            let (role, why) = match bus {
                Bus::Accessory => ("accessory", "supply from accessory on"),
                _ => ("switched", "switched supply"),
            };
            let net = self.draft.net(role, Spot::Dash, "RD", why, rating);
            self.draft.feed(net, &part, &contact.to, total);
            self.buses.insert(bus, net);
        }
    }

    /// A fuse.
    fn fuse(&mut self, role: &str, label: &str, spot: Spot, rating: f64, why: &str) -> PartId {
        let kind = Kind::Fuse(Fuse {
            rating_a: crate::units::Amps::of(rating),
            extra: Extra::new(),
        });
        self.draft
            .part(&format!("fuse:{role}"), "F", label, spot, why, kind)
    }

    /// A switch of a control, where a hand or foot reaches it.
    pub fn switch(
        &mut self,
        control: usize,
        label: &str,
        why: &str,
        contacts: Vec<Contact>,
    ) -> PartId {
        let moved = &self.want.controls[control];
        let pedal = matches!(
            self.brief.controls[moved.answer],
            ControlAnswer::Pedal { .. }
        );
        let spot = if pedal { Spot::Pedal } else { Spot::Dash };
        let role = format!("switch:{}", moved.control.id);
        let kind = Kind::Switch(Switch {
            control: moved.control.id.clone(),
            contacts,
            contact_mohm: Milliohms::of(CONTACT_MOHM),
            rating_a: None,
            extra: Extra::new(),
        });
        self.draft.part(&role, "S", label, spot, why, kind)
    }

    /// A changeover relay for the system's voltage, with its coil led to ground; `None` where the catalogue has none.
    pub fn relay(&mut self, role: &str, label: &str, spot: Spot, why: &str) -> Option<PartId> {
        let volts = self.brief.system.lamp_volts();
        let row = relay::ROWS
            .iter()
            .find(|row| row.coil_volts == volts && row.break_.is_some())?;
        let kind = Kind::Relay(Relay {
            model: Some(row.key.into()),
            coil_ohm: Ohms::of(row.coil_ohms),
            pull_in_v: Volts::of(row.operate_volts),
            drop_out_v: Volts::of(row.release_volts),
            contact_mohm: Milliohms::of(row.make.typical_milliohms),
            extra: Extra::new(),
        });
        let id = self
            .draft
            .part(&format!("relay:{role}"), "K", label, spot, why, kind);
        self.to_ground(&id, "85", spot, COIL_AMPS);
        Some(id)
    }

    /// The controls of a group share one fuse with all controls they share groups with: the first of them.
    pub fn root(&self, control: usize) -> usize {
        let mut members = vec![control];
        let mut i = 0;
        while i < members.len() {
            for group in &self.want.groups {
                if group.lit.iter().any(|when| when.control == members[i]) {
                    for when in &group.lit {
                        if !members.contains(&when.control) {
                            members.push(when.control);
                        }
                    }
                }
            }
            i += 1;
        }
        members.into_iter().min().unwrap_or(control)
    }

    /// Every consumer that has a fuse of its own.
    fn branch_names(&self) -> Vec<(Bus, String)> {
        let mut names: Vec<(Bus, String)> = Vec::new();
        for group in &self.want.groups {
            names.push((
                group.bus,
                self.branch_of(group.lit.first().map(|when| when.control)),
            ));
        }
        if self.flash_load(None) > 0.0 {
            names.push((self.want.turn_bus, "flasher".into()));
            if self.want.hazard(self.brief).is_some() {
                names.push((self.want.hazard_bus, "flasher".into()));
            }
        }
        names.sort();
        names.dedup();
        names
    }

    fn branch_of(&self, control: Option<usize>) -> String {
        match control {
            Some(control) => self.want.controls[self.root(control)]
                .control
                .id
                .to_string(),
            None => "lights".into(),
        }
    }

    /// The net behind the fuse of a control, or of what the master or ignition switch lights by itself.
    pub fn branch_for(&mut self, bus: Bus, control: Option<usize>) -> NetId {
        let name = self.branch_of(control);
        let (mut signals, mut load) = (Vec::new(), 0.0);
        for (index, group) in self.want.groups.iter().enumerate() {
            let own = self.branch_of(group.lit.first().map(|when| when.control)) == name;
            if group.bus == bus && own {
                signals.extend(group.signals.iter().copied());
                load += self.load_of(Feed::Steady(index));
            }
        }
        self.branch(bus, &name, &names(&signals), load)
    }

    /// The net behind the fuse of a consumer.
    pub fn branch(&mut self, bus: Bus, name: &str, what: &str, load: f64) -> NetId {
        if let Some(&net) = self.branches.get(&(bus, name.to_owned())) {
            return net;
        }
        let from = self.buses.get(&bus).or(self.buses.get(&Bus::Always));
        let Some(&from) = from else {
            // The supply is built first, so there is a bus; a net by itself carries nothing.
            return self.draft.net(name, Spot::Dash, "RD", what, 0.0);
        };
        let net = if self.single {
            from
        } else {
            let suffix = match bus {
                Bus::Always => "",
                Bus::Accessory => ":accessory",
                Bus::Run => ":switched",
            };
            let role = format!("{name}{suffix}");
            let rating = fitting::fuse_for(load).get();
            let why = format!("protects the wires of {what}; they draw {} A", round(load));
            let label = format!("{} fuse", capital(what));
            let fuse = self.fuse(&role, &label, Spot::Dash, rating, &why);
            self.draft.load(from, &fuse, "1", load);
            let why = format!("fused supply of {what}");
            let net = self
                .draft
                .net(&format!("fused:{role}"), Spot::Dash, "RD", &why, rating);
            self.draft.feed(net, &fuse, "2", load);
            net
        };
        self.branches.insert((bus, name.to_owned()), net);
        net
    }
}

/// Whether the catalogue has a changeover relay for the voltage of the lamps.
pub(super) fn has_relay(system: System) -> bool {
    relay::ROWS
        .iter()
        .any(|row| row.coil_volts == system.lamp_volts() && row.break_.is_some())
}

/// A contact closed in some positions.
pub(super) fn contact(from: &str, to: &str, closed_in: &[&str]) -> Contact {
    Contact {
        from: from.into(),
        to: to.into(),
        closed_in: closed_in.iter().map(|&p| p.to_owned()).collect(),
    }
}

/// Three significant digits, as a data sheet prints them.
pub(super) fn round(value: f64) -> f64 {
    crate::units::significant(value).parse().unwrap_or(value)
}
