//! Supply: battery, main fuse, the master or ignition switch, a fuse for each control, returns.
//!
//! Method: battery, main fuse, then a bus for each position from which on something works, then a fuse for each
//! control that takes current. Controls that can light the same lamps share a fuse, so that pulling it makes them dead.

use super::build::{Build, contact};
use super::nets::NetId;
use super::place::Spot;
use super::resolve::{Bus, Feed, capital, names};
use super::source::Source;
use super::{ControlAnswer, Return, System, fitting};
use crate::catalog::fuse;
use crate::plan::{Extra, Fuse, FuseBody, Ground, Kind, PartId};
use crate::text::say;
use crate::units::order::Order;
use crate::units::{Amps, Milliohms, significant};

/// Resistance of a bolted ground, common practice.
const GROUND_MOHM: f64 = 5.0;

/// Colour of supply wires.
pub(super) const SUPPLY: &str = "RD";

impl Build<'_> {
    /// Battery, main fuse, buses.
    pub fn supply(&mut self) {
        let spot = Spot::BatteryBox;
        let total = self.total();
        self.single = self.branch_names().len() <= 1;
        let rating = self.main_rating(total);
        let source = self.source(total, rating);
        let main = self.fuse(
            "main",
            say!("Main fuse"),
            spot,
            rating,
            &say!(
                "at the battery, opens before a shorted wire burns; all lamps together draw {} A",
                significant(total)
            ),
        );
        let why = say!("battery or converter to fuse, kept short");
        let net = self.draft.net("battery", spot, "RD", why, rating);
        self.draft.trunk(net);
        self.draft.feed(net, &source.part, source.plus, total);
        self.draft.load(net, &main, "1", total);
        let why = say!("fused supply");
        let supply = self.draft.net("supply", Spot::Dash, "RD", why, rating);
        self.draft.trunk(supply);
        self.draft.feed(supply, &main, "2", total);
        self.buses.insert(Bus::Always, supply);
        self.gate(supply, rating);
        self.source_return(&source, total, rating);
    }

    /// Rating of the main fuse: for all lamps together, and twice the largest fuse behind it, so that that one opens first.
    /// A converter cannot give so much: there it is for the lamps alone.
    fn main_rating(&self, total: f64) -> f64 {
        let for_load = fitting::fuse_for(total).get();
        if self.single || self.brief.system == System::V48 {
            return for_load;
        }
        let names = self.branch_names();
        let behind = names
            .iter()
            .map(|(bus, name)| fitting::fuse_for(self.branch_load(*bus, name)).get());
        let twice = 2.0 * behind.fold(0.0, f64::max);
        let row = fuse::ROWS.iter().find(|row| row.rating_amps >= twice);
        row.or(fuse::ROWS.last())
            .map_or(for_load, |row| row.rating_amps.max(for_load))
    }

    fn source_return(&mut self, source: &Source, total: f64, rating: f64) {
        let why = say!("takes the return current of all lamps");
        match self.brief.wiring {
            Return::Chassis => {
                let ground =
                    self.ground_part("battery", say!("Battery ground"), Spot::BatteryBox, why);
                let net = self
                    .draft
                    .net("return:battery", Spot::BatteryBox, "BK", why, rating);
                self.draft.feed(net, &ground, "31", total);
                self.draft.trunk(net);
                self.draft.load(net, &source.part, source.minus, total);
            }
            Return::Wired => {
                let net = self
                    .draft
                    .net("return", Spot::BatteryBox, "BK", why, rating);
                self.draft.trunk(net);
                self.draft.load(net, &source.part, source.minus, total);
                self.ground = Some(net);
            }
        }
    }

    /// Leads a terminal back to the battery; `fuse_a` is the rating of the fuse in front of it.
    pub fn ground(&mut self, part: &PartId, terminal: &str, spot: Spot, amps: f64, fuse_a: f64) {
        let why = say!("return of {part}");
        match self.ground {
            Some(net) => self.draft.feed(net, part, terminal, amps),
            None => {
                let role = format!("{}:{terminal}", self.draft.role_of(part));
                let takes = say!("takes the return of {part} to the chassis");
                let ground = self.ground_part(&role, &say!("Ground {part}"), spot, &takes);
                let net = self
                    .draft
                    .net(&format!("return:{role}"), spot, "BK", &why, fuse_a);
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
        let label = say!("{} switch", moved.control.label);
        let why = say!("makes live what is not to work without it");
        let total = self.total();
        let list = contacts
            .iter()
            .map(|(_, contact)| contact.clone())
            .collect();
        let part = self.switch(gate, &label, why, list);
        self.draft.load(supply, &part, "30", total);
        for (bus, contact) in contacts {
            let (role, why) = match bus {
                Bus::Accessory => ("accessory", say!("supply from accessory on")),
                _ => ("switched", say!("switched supply")),
            };
            let net = self.draft.net(role, Spot::Dash, "RD", why, rating);
            self.draft.trunk(net);
            self.draft.feed(net, &part, &contact.to, total);
            self.buses.insert(bus, net);
        }
    }

    /// A fuse.
    pub fn fuse(&mut self, role: &str, label: &str, spot: Spot, rating: f64, why: &str) -> PartId {
        let kind = Kind::Fuse(Fuse {
            rating_a: Amps::of(rating),
            body: FuseBody::Blade,
            extra: Extra::new(),
        });
        self.draft
            .part(&format!("fuse:{role}"), "F", label, spot, why, kind)
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
        names.order();
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

    /// Rated current of what hangs on a fuse of a bus.
    fn branch_load(&self, bus: Bus, name: &str) -> f64 {
        if name == "flasher" {
            return self.flash_load(None);
        }
        let groups = self.want.groups.iter().enumerate();
        let own = groups.filter(|(_, group)| {
            group.bus == bus && self.branch_of(group.lit.first().map(|when| when.control)) == name
        });
        own.map(|(index, _)| self.load_of(Feed::Steady(index)))
            .sum()
    }

    /// The net behind the fuse of a control, or of what the master or ignition switch lights by itself.
    pub fn branch_for(&mut self, bus: Bus, control: Option<usize>) -> NetId {
        let name = self.branch_of(control);
        let load = self.branch_load(bus, &name);
        let mut signals = Vec::new();
        for group in &self.want.groups {
            let own = self.branch_of(group.lit.first().map(|when| when.control)) == name;
            if group.bus == bus && own {
                signals.extend(group.signals.iter().copied());
            }
        }
        // What the master lights by itself hangs straight on its fuse, so the wires there have the lamps' colour.
        let colour = match (control, signals.first()) {
            (None, Some(&signal)) => super::signals::colour(signal),
            _ => SUPPLY,
        };
        self.branch(bus, &name, &names(&signals), load, colour)
    }

    /// The net behind the fuse of a consumer.
    pub fn branch(
        &mut self,
        bus: Bus,
        name: &str,
        what: &str,
        load: f64,
        colour: &'static str,
    ) -> NetId {
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
            let why = say!(
                "protects the wires of {what}; they draw {} A",
                significant(load)
            );
            let label = say!("{} fuse", capital(what));
            let fuse = self.fuse(&role, &label, Spot::Dash, rating, &why);
            self.draft.load(from, &fuse, "1", load);
            let why = say!("fused supply of {what}");
            let net = self
                .draft
                .net(&format!("fused:{role}"), Spot::Dash, colour, &why, rating);
            self.draft.feed(net, &fuse, "2", load);
            net
        };
        self.branches.insert((bus, name.to_owned()), net);
        net
    }
}
