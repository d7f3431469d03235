//! The switches of the steady signals, and diodes between nets.
//!
//! Method: a net for each group of signals that always go together; a switch for each control with a contact for each
//! group it lights; a relay where the current is too much for a hand switch.

use super::build::{Build, COIL_AMPS, contact};
use super::nets::NetId;
use super::place::Spot;
use super::resolve::{Bus, Feed, names};
use super::{ControlAnswer, Signal, fitting};
use crate::plan::{Kind, PartId};
use crate::text::say;
use crate::units::order::Order;
use crate::units::significant;

/// Above this a hand switch is spared by a relay: the usual rating of small switches, common practice.
pub(super) const SWITCH_AMPS: f64 = 10.0;

/// Colour of the wires of a steady signal: those of ISO 4141-3 where it has one.
pub(super) const fn colour(signal: Signal) -> &'static str {
    match signal {
        Signal::Stop => "RD",
        Signal::Tail | Signal::Licence | Signal::Marker => "BN",
        Signal::Reverse => "PK",
        Signal::Fog => "BU",
        Signal::Running => "GY",
        Signal::Head => "WH",
        Signal::Work => "OG",
        _ => "VT",
    }
}

impl Build<'_> {
    /// All feeds, from the fuses to the nets the lamps hang on.
    pub fn signals(&mut self) {
        for group in 0..self.want.groups.len() {
            self.open_group(group);
        }
        let mut shared: Vec<usize> = Vec::new();
        for group in &self.want.groups {
            for when in &group.lit {
                if !shared.contains(&when.control) {
                    shared.push(when.control);
                }
            }
        }
        for control in shared {
            self.steady_switch(control);
        }
        if self.flash_load(None) > 0.0 {
            self.flashing();
        }
    }

    /// Opens the net of a group; behind a relay where its current is too much for a switch.
    fn open_group(&mut self, index: usize) {
        let group = &self.want.groups[index];
        let what = names(&group.signals);
        let first = group.lit.first().map(|when| when.control);
        let shade = colour(group.signals[0]);
        if first.is_none() {
            let net = self.branch_for(group.bus, None);
            self.feeds.insert(Feed::Steady(index), net);
            return;
        }
        let branch = self.branch_for(group.bus, first);
        let rating = self.draft.fuse_of(branch);
        let load = self.load_of(Feed::Steady(index));
        let role = format!("feed:{}", group.signals[0].key());
        let net = self
            .draft
            .net(&role, Spot::Dash, shade, &say!("feeds {what}"), rating);
        self.feeds.insert(Feed::Steady(index), net);
        if load <= SWITCH_AMPS {
            return;
        }
        let why = say!(
            "carries the {} A of {what}, more than a small switch bears",
            significant(load)
        );
        let label = say!("{} relay", super::resolve::capital(&what));
        let name = group.signals[0].key();
        if let Some(relay) = self.relay(name, &label, &why, rating) {
            self.draft.load(branch, &relay, "30", load);
            self.draft.feed(net, &relay, "87", load);
            let why = say!("coil feed of the {what} relay");
            let coil = self
                .draft
                .net(&format!("coil:{name}"), Spot::Dash, shade, &why, rating);
            self.draft.load(coil, &relay, "86", COIL_AMPS);
            self.coils.insert(index, coil);
        }
    }

    /// The switch of a control that lights steady signals.
    fn steady_switch(&mut self, control: usize) {
        let moved = &self.want.controls[control];
        let selector = matches!(
            self.brief.controls[moved.answer],
            ControlAnswer::Selector { .. }
        );
        // DIN 72552: 82 input of a make contact, 83 of a switch with several positions.
        let number = if selector { "83" } else { "82" };
        let own: Vec<usize> = (0..self.want.groups.len())
            .filter(|&g| self.want.groups[g].lit.iter().any(|w| w.control == control))
            .collect();
        let mut inputs: Vec<Bus> = own.iter().map(|&g| self.want.groups[g].bus).collect();
        inputs.order();
        inputs.dedup();
        let input = |bus: Bus| match (inputs.len(), bus) {
            (1, _) => number,
            (_, Bus::Always) => "30",
            (_, Bus::Accessory) => "75",
            (_, Bus::Run) => "15",
        };
        let letters = ["a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l"];
        let mut contacts = Vec::new();
        for (&group, letter) in own.iter().zip(letters) {
            let group = &self.want.groups[group];
            let positions: Vec<&str> = group
                .lit
                .iter()
                .filter(|when| when.control == control)
                .map(|when| when.position.as_str())
                .collect();
            contacts.push(contact(
                input(group.bus),
                &format!("{number}{letter}"),
                &positions,
            ));
        }
        let signals: Vec<Signal> = own
            .iter()
            .flat_map(|&g| self.want.groups[g].signals.iter().copied())
            .collect();
        let label = say!("{} switch", moved.control.label);
        let why = say!("lights {}", names(&signals));
        let part = self.switch(control, &label, &why, contacts.clone());
        for bus in inputs.clone() {
            let load = own
                .iter()
                .filter(|&&g| self.want.groups[g].bus == bus)
                .map(|&g| self.through_switch(g))
                .sum();
            let branch = self.branch_for(bus, Some(control));
            self.draft.load(branch, &part, input(bus), load);
        }
        for (&group, contact) in own.iter().zip(&contacts) {
            let amps = self.through_switch(group);
            let net = self.coils.get(&group).copied();
            let net = net.or_else(|| self.feeds.get(&Feed::Steady(group)).copied());
            if let Some(net) = net {
                self.draft.feed(net, &part, &contact.to, amps);
            }
        }
    }

    /// Current of a group through its switch: all of it, or that of a coil.
    fn through_switch(&self, group: usize) -> f64 {
        if self.coils.contains_key(&group) {
            COIL_AMPS
        } else {
            self.load_of(Feed::Steady(group))
        }
    }

    /// A diode from one net into another, for a current.
    pub fn diode(
        &mut self,
        name: &str,
        label: &str,
        spot: Spot,
        what: &str,
        lead: (NetId, NetId, f64),
    ) -> PartId {
        let (from, to, amps) = lead;
        let model = fitting::diode_for(self.brief, amps);
        let why = say!("keeps {what}");
        let kind = Kind::Diode(crate::plan::Diode {
            model: model.into(),
            extra: crate::plan::Extra::new(),
        });
        let role = format!("diode:{name}");
        let part = self.draft.part(&role, "V", label, spot, &why, kind);
        self.draft.load(from, &part, "A", amps);
        self.draft.feed(to, &part, "K", amps);
        part
    }
}

/// Whether a way brings a flash.
pub(super) fn flashes(way: &super::resolve::Way) -> bool {
    !matches!(way.feed, Feed::Steady(_))
}
