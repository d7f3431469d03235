//! From resolved answers to a plan: the build in progress, its loads, and parts that several steps add.

use super::nets::{Draft, NetId};
use super::place::{Side, Spot};
use super::resolve::{Bus, Circuit, Feed, Lamp, Resolved};
use super::{Brief, ControlAnswer, System, fitting};
use crate::catalog::relay;
use crate::plan::{Contact, Extra, Kind, PartId, Plan, Relay, Switch};
use crate::text::say;
use crate::units::order::OrdMap;
use crate::units::{Milliohms, Ohms, Share, Volts};

/// Resistance of a switch contact, common practice.
const CONTACT_MOHM: f64 = 10.0;
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
    pub buses: OrdMap<Bus, NetId>,
    /// Nets behind the fuses, by name.
    pub branches: OrdMap<(Bus, String), NetId>,
    /// Whether a single consumer makes the main fuse its own.
    pub single: bool,
    /// Nets of the feeds.
    pub feeds: OrdMap<Feed, NetId>,
    /// Coil nets of the relays that spare a switch, by group.
    pub coils: OrdMap<usize, NetId>,
    /// Coil nets of the relays that give way to a flash.
    pub priority_coils: OrdMap<Side, NetId>,
    /// Nets from the turn switch to the hazard switch.
    pub handed: OrdMap<Side, NetId>,
    /// The connector to the trailer and its return way.
    pub connector: Option<(PartId, &'static str)>,
    /// The net to the negative pole, with wired return.
    pub ground: Option<NetId>,
}

/// The plan that the answers ask for. Roles in `known` keep their identities; no new one is among `taken`.
pub(super) fn build(
    brief: &Brief,
    known: &OrdMap<String, String>,
    taken: &[String],
) -> (Plan, OrdMap<String, String>) {
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
    super::wishes::wish(&mut build.draft, brief, &want, &lamps);
    build.draft.finish()
}

fn notes(brief: &Brief) -> String {
    let mut notes = brief.notes.clone();
    if !notes.is_empty() {
        notes.push('\n');
    }
    notes.push_str(
        say!("Disconnect the battery before you work on the wiring. Filament lamps get hot. Road use needs the local code \
         and, where required, an inspection."),
    );
    notes
}

impl<'a> Build<'a> {
    /// Nothing built yet.
    pub fn of(
        brief: &'a Brief,
        want: &'a Resolved,
        known: &'a OrdMap<String, String>,
        taken: &[String],
    ) -> Self {
        Self {
            brief,
            want,
            draft: Draft::new(brief, known, taken),
            buses: OrdMap::new(),
            branches: OrdMap::new(),
            single: false,
            feeds: OrdMap::new(),
            coils: OrdMap::new(),
            priority_coils: OrdMap::new(),
            handed: OrdMap::new(),
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

    /// Current of everything lit at once, with the coils of two relays.
    pub fn total(&self) -> f64 {
        self.sum(|_, _| true) + 2.0 * COIL_AMPS
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
    pub fn relay(&mut self, role: &str, label: &str, why: &str, fuse_a: f64) -> Option<PartId> {
        let spot = Spot::Dash;
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
        self.ground(&id, "85", spot, COIL_AMPS, fuse_a);
        Some(id)
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
    crate::units::plain(value).parse().unwrap_or(value)
}
