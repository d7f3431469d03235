//! Flasher, turn and hazard switches.
//!
//! A flash and a steady stop signal on one lamp circuit need an order of priority. With contacts, the turn switch hands
//! the circuit over from stop to flasher, and the hazard switch behind it does so again; with relays, a relay for
//! each side does, its coil fed past the flasher. Contacts hand over whatever the
//! master switch says, so relays are taken where stop works in positions in which the flasher does not.

use super::build::{Build, COIL_AMPS, contact, round};
use super::nets::NetId;
use super::place::{Side, Spot};
use super::resolve::{Bus, Feed, When};
use super::signals::flashes;
use super::supply::SUPPLY;
use super::{Signal, TurnPriority};
use crate::plan::{Contact, Flasher, FlasherAction, Kind, PartId};
use crate::text::say;
use crate::units::{Amps, Milliohms, significant};

/// Both sides.
const SIDES: [Side; 2] = [Side::Left, Side::Right];

const fn letter(side: Side) -> &'static str {
    match side {
        Side::Right => "R",
        _ => "L",
    }
}

/// Wire colours of left and right after ISO 4141-3: yellow and green.
const fn side_colour(side: Side) -> &'static str {
    match side {
        Side::Right => "GN",
        _ => "YE",
    }
}

/// What the switches of the flashing side need to know.
struct Flashing {
    /// Net of the flasher's output.
    out: NetId,
    /// Net of the flasher's supply.
    supply: NetId,
    /// Whether contacts, not relays, give way to the flash.
    by_contacts: bool,
}

impl Build<'_> {
    /// Flasher, turn switch or switches, hazard switch, priority.
    pub fn flashing(&mut self) {
        let (want, brief) = (self.want, self.brief);
        let hazard = want.hazard(brief);
        let load = self.flash_load(None);
        let turn_bus = want.turn_bus;
        let hazard_bus = hazard.map_or(turn_bus, |_| want.hazard_bus);
        let what = if hazard.is_some() {
            say!("turn and hazard signals")
        } else {
            say!("turn signals")
        };
        let from_turn = self.branch(turn_bus, "flasher", what, load, SUPPLY);
        let rating = self.draft.fuse_of(from_turn);
        let handed_over = hazard_bus != turn_bus;
        let supply = if handed_over {
            let why = say!("supply of the flasher, from the hazard switch");
            self.draft
                .net("flasher supply", Spot::Dash, "RD", why, rating)
        } else {
            from_turn
        };
        let flasher = self.flasher();
        self.draft.load(supply, &flasher, "49", load);
        let why = say!("flashing feed of the switches");
        let out = self.draft.net("flash", Spot::Dash, "WH", why, rating);
        self.draft.feed(out, &flasher, "49a", load);
        let stop_bus = want
            .group_of(Signal::Stop)
            .map_or(Bus::Run, |g| want.groups[g].bus);
        let by_contacts = brief.priority == TurnPriority::Contacts && turn_bus <= stop_bus;
        let flashing = Flashing {
            out,
            supply,
            by_contacts,
        };
        self.flash_nets(&flashing, rating);
        self.turn_switches(&flashing);
        if let Some(hazard) = hazard {
            self.hazard_switch(hazard, &flashing, handed_over.then_some(from_turn));
        }
    }

    fn flasher(&mut self) -> PartId {
        let brief = self.brief;
        let most = self.flash_load(None);
        let hazard_only = self.load_of(Feed::FlashHazard);
        let sides = SIDES.map(|side| self.flash_load(Some(side)));
        let least = sides
            .into_iter()
            .chain([hazard_only])
            .filter(|&amps| amps > 0.0)
            .fold(most, f64::min);
        // LEDs take less than rated below their test voltage, filaments little less; where a stop feed hides the flash,
        // the flasher carries only what the stop feed leaves.
        let filaments = |lamp: &super::resolve::Lamp| lamp.fitting.has_filaments();
        let share = if self.stop_hides_flash() {
            0.0
        } else if self.sum(|lamp, c| !filaments(lamp) && c.ways.iter().any(flashes)) > 0.0 {
            0.4
        } else {
            0.6
        };
        let why = say!(
            "makes the lamps flash; choose a unit made for {} A to {} A",
            significant(least),
            significant(most)
        );
        let kind = Kind::Flasher(Flasher {
            action: brief.flasher,
            per_minute: 90,
            min_a: Amps::of(round(share * least)),
            max_a: Amps::of(round(1.3 * most)),
            closed_mohm: Milliohms::of(match brief.flasher {
                FlasherAction::Thermal => 50.0,
                FlasherAction::Electronic => 20.0,
            }),
            extra: crate::plan::Extra::new(),
        });
        self.draft
            .part("flasher", "K", say!("Flasher"), Spot::Dash, &why, kind)
    }

    /// Whether a steady feed can reach a circuit that flashes, in full.
    pub fn stop_hides_flash(&self) -> bool {
        self.want.circuits().any(|(_, circuit)| {
            let steady = |way: &super::resolve::Way| matches!(way.feed, Feed::Steady(_));
            circuit.ways.iter().any(flashes) && circuit.ways.iter().any(|w| steady(w) && !w.dim)
        })
    }

    /// Opens the nets of the flashing sides, and the relays that give way to them.
    fn flash_nets(&mut self, flashing: &Flashing, rating: f64) {
        let feeds: Vec<Feed> = self
            .want
            .circuits()
            .flat_map(|(_, circuit)| circuit.ways.iter().map(|way| way.feed))
            .collect();
        if feeds.contains(&Feed::FlashHazard) {
            let why = say!("flashes as hazard signal");
            let net = self.draft.net("feed:hazard", Spot::Dash, "WH", why, rating);
            self.feeds.insert(Feed::FlashHazard, net);
        }
        for side in SIDES {
            let (word, key) = (side.text(), side.key());
            let (plain, shared) = (Feed::Flash(side), Feed::StopOrFlash(side));
            let shared = feeds.contains(&shared).then_some(shared);
            if feeds.contains(&plain) {
                let role = format!("feed:turn {key}");
                let why = say!("feeds turn {word}");
                let net = self
                    .draft
                    .net(&role, Spot::Dash, side_colour(side), &why, rating);
                self.feeds.insert(plain, net);
            }
            if let Some(shared) = shared {
                let role = format!("feed:stop and turn {key}");
                let why = say!("feeds stop and turn {word}, turn first");
                let net = self
                    .draft
                    .net(&role, Spot::Dash, side_colour(side), &why, rating);
                self.feeds.insert(shared, net);
                if !flashing.by_contacts {
                    self.priority_relay(side, net, flashing.out);
                }
            }
        }
    }

    /// A relay that hands a side over from stop to flasher while that side is to flash.
    fn priority_relay(&mut self, side: Side, net: NetId, flash: NetId) {
        let word = side.text();
        let load = self.load_of(Feed::StopOrFlash(side));
        let why = say!("hands the {word} side over from stop to the flasher while it is to flash");
        let label = say!("Priority relay {word}");
        let name = format!("priority {}", side.key());
        let rating = self.draft.fuse_of(flash);
        let Some(relay) = self.relay(&name, &label, &why, rating) else {
            return;
        };
        let stop = self.want.group_of(Signal::Stop);
        if let Some(&stop) = stop.and_then(|group| self.feeds.get(&Feed::Steady(group))) {
            self.draft.load(stop, &relay, "87a", load);
        }
        self.draft.load(flash, &relay, "87", load);
        self.draft.feed(net, &relay, "30", load);
        let why = say!("coil feed of the priority relay {word}");
        let coil = self.draft.net(
            &format!("coil:{name}"),
            Spot::Dash,
            side_colour(side),
            &why,
            rating,
        );
        self.draft.load(coil, &relay, "86", COIL_AMPS);
        self.priority_coils.insert(side, coil);
    }

    /// The turn switch or switches: flash, hand-over from stop, coil feed.
    fn turn_switches(&mut self, flashing: &Flashing) {
        let mut by_control: Vec<(usize, Vec<(Side, When)>)> = Vec::new();
        for side in SIDES {
            if let Some(when) = self.want.turning(self.brief, side) {
                match by_control.iter_mut().find(|(c, _)| *c == when.control) {
                    Some((_, sides)) => sides.push((side, when)),
                    None => by_control.push((when.control, vec![(side, when)])),
                }
            }
        }
        let hazard = self.want.hazard(self.brief).is_some();
        for (control, sides) in by_control {
            let positions = self.want.controls[control].control.positions.clone();
            let mut contacts: Vec<Contact> = Vec::new();
            let mut outs: Vec<(NetId, String, f64)> = Vec::new();
            let (mut flash, mut stop, mut coil) = (0.0, 0.0, 0.0);
            for (side, when) in &sides {
                let at = [when.position.as_str()];
                let l = letter(*side);
                if let Some(&net) = self.feeds.get(&Feed::Flash(*side)) {
                    contacts.push(contact("49a", l, &at));
                    let load = self.flash_load(Some(*side));
                    outs.push((net, l.into(), load));
                    flash += load;
                }
                let shared = self.feeds.get(&Feed::StopOrFlash(*side)).copied();
                let Some(net) = shared else { continue };
                if flashing.by_contacts {
                    let rest: Vec<&str> = positions
                        .iter()
                        .map(String::as_str)
                        .filter(|p| *p != when.position)
                        .collect();
                    let out = format!("54{l}");
                    contacts.push(contact("49a", &out, &at));
                    contacts.push(contact("54", &out, &rest));
                    let load = self.load_of(Feed::StopOrFlash(*side));
                    let net = if hazard {
                        self.handed(*side, flashing)
                    } else {
                        net
                    };
                    outs.push((net, out, load));
                    flash += load;
                    stop += load;
                } else if let Some(&net) = self.priority_coils.get(side) {
                    let out = format!("81{l}");
                    contacts.push(contact("81", &out, &at));
                    outs.push((net, out, COIL_AMPS));
                    coil += COIL_AMPS;
                }
            }
            if contacts.is_empty() {
                continue;
            }
            let label = say!("{} switch", self.want.controls[control].control.label);
            let words: Vec<&str> = sides.iter().map(|(side, _)| side.text()).collect();
            let mut why = say!("makes the {} side flash", words.join(say!(" or ")));
            if stop > 0.0 {
                why.push_str(say!(", and takes the stop feed off that side meanwhile"));
            }
            let part = self.switch(control, &label, &why, contacts);
            if flash > 0.0 {
                self.draft.load(flashing.out, &part, "49a", flash);
            }
            if stop > 0.0 {
                self.stop_to(&part, stop);
            }
            if coil > 0.0 {
                self.draft.load(flashing.supply, &part, "81", coil);
            }
            for (net, out, load) in outs {
                self.draft.feed(net, &part, &out, load);
            }
        }
    }

    fn stop_to(&mut self, part: &PartId, load: f64) {
        let stop = self.want.group_of(Signal::Stop);
        if let Some(&net) = stop.and_then(|group| self.feeds.get(&Feed::Steady(group))) {
            self.draft.load(net, part, "54", load);
        }
    }

    /// The net from the turn switch to the hazard switch of a side.
    fn handed(&mut self, side: Side, flashing: &Flashing) -> NetId {
        if let Some(&net) = self.handed.get(&side) {
            return net;
        }
        let role = format!("turn switch to hazard switch {}", side.key());
        let rating = self.draft.fuse_of(flashing.out);
        let why = say!("stop or turn, before the hazard switch");
        let net = self
            .draft
            .net(&role, Spot::Dash, side_colour(side), why, rating);
        self.handed.insert(side, net);
        net
    }

    fn hazard_switch(&mut self, hazard: usize, flashing: &Flashing, from_turn: Option<NetId>) {
        let on = ["on"];
        let mut contacts: Vec<Contact> = Vec::new();
        let mut outs: Vec<(NetId, String, f64)> = Vec::new();
        let mut ins: Vec<(NetId, String, f64)> = Vec::new();
        let (mut flash, mut coil) = (0.0, 0.0);
        let load = self.flash_load(None);
        if let Some(from_turn) = from_turn {
            let bus = self.want.hazard_bus;
            let from_hazard = self.branch(bus, "flasher", say!("hazard signals"), load, SUPPLY);
            contacts.push(contact("15", "49", &["off"]));
            contacts.push(contact("30", "49", &on));
            ins.push((from_turn, "15".into(), load));
            ins.push((from_hazard, "30".into(), load));
            outs.push((flashing.supply, "49".into(), load));
        }
        for side in SIDES {
            let l = letter(side);
            if let Some(&net) = self.feeds.get(&Feed::Flash(side)) {
                contacts.push(contact("49a", l, &on));
                let load = self.flash_load(Some(side));
                outs.push((net, l.into(), load));
                flash += load;
            }
            let Some(&net) = self.feeds.get(&Feed::StopOrFlash(side)) else {
                continue;
            };
            if flashing.by_contacts {
                let (input, out) = (format!("54{l}"), format!("{l}54"));
                contacts.push(contact("49a", &out, &on));
                contacts.push(contact(&input, &out, &["off"]));
                let load = self.load_of(Feed::StopOrFlash(side));
                let handed = self.handed(side, flashing);
                ins.push((handed, input, load));
                outs.push((net, out, load));
                flash += load;
            } else if let Some(&net) = self.priority_coils.get(&side) {
                let out = format!("81{l}");
                contacts.push(contact("81", &out, &on));
                outs.push((net, out, COIL_AMPS));
                coil += COIL_AMPS;
            }
        }
        if let Some(&net) = self.feeds.get(&Feed::FlashHazard) {
            contacts.push(contact("49a", "H", &on));
            let load = self.load_of(Feed::FlashHazard);
            outs.push((net, "H".into(), load));
            flash += load;
        }
        let why = say!("makes all of them flash, whatever the turn switch says");
        let part = self.switch(hazard, say!("Hazard switch"), why, contacts);
        if flash > 0.0 {
            self.draft.load(flashing.out, &part, "49a", flash);
        }
        if coil > 0.0 {
            self.draft.load(flashing.supply, &part, "81", coil);
        }
        for (net, input, load) in ins {
            self.draft.load(net, &part, &input, load);
        }
        for (net, out, load) in outs {
            self.draft.feed(net, &part, &out, load);
        }
    }
}
