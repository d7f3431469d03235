//! Where several feeds meet on one lamp circuit.
//!
//! A feed gets a diode if current of another could go back through it to something that is to stay dark: a lamp that
//! does not hang on that other feed, or a supply that the master switch has made dead. Weak signals on a strong
//! circuit get a dropping resistor.

use super::build::Build;
use super::nets::NetId;
use super::place::{Spot, end_key};
use super::resolve::{Bus, Circuit, Feed, Lamp, Way, capital, name_keys, names};
use super::{End, Signal, fitting, trailer};
use crate::plan::{Extra, Kind, Resistor};
use crate::text::say;
use crate::units::order::{OrdMap, Order};

/// Circuits that hang on one net: indices of lamp and circuit.
pub(super) type Members = Vec<(usize, usize)>;

/// Where a way comes in: straight from its feed, or through a way of the trailer's connector.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Source {
    /// Way of the connector, by index.
    pub pin: Option<usize>,
    pub way: Way,
}

impl Build<'_> {
    pub fn sources(&self, lamp: &Lamp, circuit: &Circuit) -> Vec<Source> {
        let pin = |way: &Way| {
            let socket = self.brief.socket.filter(|_| lamp.end == End::Trailer)?;
            trailer::pin(socket, self.want, lamp.side, circuit, way)
        };
        let mut sources: Vec<Source> = Vec::new();
        for &way in &circuit.ways {
            sources.push(Source {
                pin: pin(&way),
                way,
            });
        }
        sources.order();
        sources
    }

    /// The net on which circuits with these sources hang.
    pub fn meet(
        &mut self,
        sources: &[Source],
        members: &Members,
        pins: &OrdMap<usize, NetId>,
    ) -> Option<NetId> {
        // Ways that come through one pin are one already.
        let mut inputs: Vec<(NetId, Vec<Way>)> = Vec::new();
        for source in sources {
            let net = match source.pin {
                Some(pin) => pins.get(&pin).copied(),
                None => self.feeds.get(&source.way.feed).copied(),
            }?;
            match inputs.iter_mut().find(|(known, _)| *known == net) {
                Some((_, ways)) => ways.push(source.way),
                None => inputs.push((net, vec![source.way])),
            }
        }
        // A circuit that nothing feeds hangs on nothing.
        let &(first_input, _) = inputs.first()?;
        let &(l, _) = members.first()?;
        let lamp = &self.want.lamps[l];
        let spot = Spot::Lamps(lamp.end, lamp.side);
        if let [(net, ways)] = &inputs[..]
            && !ways.iter().all(|way| way.dim)
        {
            return Some(*net);
        }
        let amps: f64 = members
            .iter()
            .map(|&(l, c)| self.amps(&self.want.lamps[l], &self.want.lamps[l].circuits[c]))
            .sum();
        let signals = &self.want.lamps[l].circuits[members[0].1].signals;
        let mut role = format!("{} {}", name_keys(signals), end_key(lamp.end));
        if members
            .iter()
            .all(|&(m, _)| self.want.lamps[m].side == lamp.side)
        {
            role = format!("{role} {}", lamp.side.key());
        }
        let role = self.draft.free_net_role(&role);
        let rating = inputs
            .iter()
            .map(|(net, _)| self.draft.fuse_of(*net))
            .fold(0.0, f64::max);
        let colour = self.draft.colour_of(first_input);
        let why = say!("joins the feeds of {}", names(signals));
        let meeting = self.draft.net(&role, spot, colour, &why, rating);
        self.join(&role, &inputs, meeting, members, amps);
        Some(meeting)
    }

    /// Leads inputs into a net, each with the diode and the resistor it needs.
    pub fn join(
        &mut self,
        role: &str,
        inputs: &[(NetId, Vec<Way>)],
        meeting: NetId,
        members: &Members,
        amps: f64,
    ) {
        let place = members.first().map(|&(l, _)| self.want.lamps[l].end);
        let spot = if place == Some(End::Trailer) {
            Spot::Plug
        } else {
            Spot::Dash
        };
        let led = members
            .first()
            .is_some_and(|&(l, _)| !self.want.lamps[l].fitting.has_filaments());
        let all: Vec<Way> = inputs.iter().flat_map(|(_, ways)| ways.clone()).collect();
        let dims: Vec<usize> = (0..inputs.len())
            .filter(|&i| inputs[i].1.iter().all(|way| way.dim))
            .collect();
        let mut dim_net = None;
        if !dims.is_empty() {
            let (ohms, watts) = self.dropper(members);
            let weak: Vec<Signal> = members
                .iter()
                .flat_map(|&(l, c)| self.want.lamps[l].circuits[c].signals.clone())
                .filter(|signal| signal.is_weak())
                .collect();
            let mut weak_names = weak;
            weak_names.order();
            weak_names.dedup();
            let what = names(&weak_names);
            let why = say!(
                "makes {what} burn low, so that the stronger signal on the same circuit stands out; it gets hot"
            );
            let kind = Kind::Resistor(Resistor {
                ohms,
                rating_w: watts,
                extra: Extra::new(),
            });
            let label = say!("{} dropper", capital(&what));
            let resistor =
                self.draft
                    .part(&format!("dropper:{role}"), "R", &label, spot, &why, kind);
            self.draft.feed(meeting, &resistor, "2", amps);
            let rating = self.draft.fuse_of(inputs[dims[0]].0);
            let colour = self.draft.colour_of(inputs[dims[0]].0);
            let net = self
                .draft
                .net(&format!("{role}:low"), spot, colour, &why, rating);
            self.draft.load(net, &resistor, "1", amps);
            dim_net = Some((net, resistor));
        }
        for (i, (net, ways)) in inputs.iter().enumerate() {
            let to = if dims.contains(&i) {
                dim_net.as_ref().map(|(net, _)| *net)
            } else {
                None
            };
            let to = to.unwrap_or(meeting);
            let others = || all.iter().filter(|way| !ways.contains(way));
            let blocked: Vec<&Way> = others()
                .filter(|g| ways.iter().any(|f| self.leaks(f.feed, g, led)))
                .collect();
            if blocked.is_empty() {
                self.draft.bridge(*net, to, amps);
                continue;
            }
            let name = format!("{role} {}", self.feed_key(ways[0].feed));
            let what = say!(
                "{} out of what {} feeds",
                self.feed_words(blocked[0].feed),
                self.feed_words(ways[0].feed)
            );
            let label = say!("{} diode", capital(&self.feed_words(ways[0].feed)));
            self.diode(&name, &label, spot, &what, (*net, to, amps));
        }
    }

    fn dropper(&self, members: &Members) -> (crate::units::Ohms, crate::units::Watts) {
        let ratings: Vec<fitting::Rating> = members
            .iter()
            .filter_map(|&(l, c)| fitting::rating(self.brief, &self.want.lamps[l], c))
            .collect();
        fitting::dropper(self.brief, &ratings)
    }

    /// What a feed carries, in words.
    fn feed_words(&self, feed: Feed) -> String {
        match feed {
            Feed::Steady(group) => names(&self.want.groups[group].signals),
            Feed::Flash(side) => say!("turn {}", side.text()),
            Feed::FlashHazard => say!("hazard").into(),
            Feed::StopOrFlash(side) => say!("stop and turn {}", side.text()),
        }
    }

    /// What a feed carries, in identities, whatever the language.
    fn feed_key(&self, feed: Feed) -> String {
        match feed {
            Feed::Steady(group) => name_keys(&self.want.groups[group].signals),
            Feed::Flash(side) => format!("turn {}", side.key()),
            Feed::FlashHazard => "hazard".into(),
            Feed::StopOrFlash(side) => format!("stop and turn {}", side.key()),
        }
    }

    /// Rated currents that may go through one diode: of circuits on which several
    /// feeds meet, each with its signals.
    pub fn through_diodes(&self) -> Vec<(Vec<Signal>, f64)> {
        let mut loads: Vec<(Vec<Source>, Vec<Signal>, f64)> = Vec::new();
        for (lamp, circuit) in self.want.circuits() {
            let sources = self.sources(lamp, circuit);
            if sources.len() < 2 {
                continue;
            }
            let amps = self.amps(lamp, circuit);
            match loads.iter_mut().find(|(known, ..)| *known == sources) {
                Some((_, _, sum)) => *sum += amps,
                None => loads.push((sources, circuit.signals.clone(), amps)),
            }
        }
        loads
            .into_iter()
            .map(|(_, signals, amps)| (signals, amps))
            .collect()
    }

    /// Whether current of `g` on an LED or filament circuit that came back through `f` would light or feed what is to
    /// stay dark, or what hangs on a resistor for lamps of the other kind.
    fn leaks(&self, f: Feed, g: &Way, led: bool) -> bool {
        let (_, latest) = self.works(f);
        let (earliest, _) = self.works(g.feed);
        if earliest < latest {
            return true;
        }
        let stop = self.want.group_of(Signal::Stop).map(Feed::Steady);
        let flash = |feed: Feed| !matches!(feed, Feed::Steady(_));
        // With turn before stop, contacts join stop and flash; the sides always meet at the flasher.
        let cluster =
            |feed: Feed| flash(feed) || (self.want.has_stop_or_flash && Some(feed) == stop);
        let reached = |feed: Feed| feed == f || (cluster(f) && cluster(feed));
        self.want.circuits().any(|(lamp, circuit)| {
            let alike = !g.dim || lamp.fitting.has_filaments() != led;
            circuit.ways.iter().any(|way| reached(way.feed)) && !(circuit.ways.contains(g) && alike)
        })
    }

    /// The bus from which on a feed may be live, and the one from which on its supply surely is.
    fn works(&self, feed: Feed) -> (Bus, Bus) {
        let want = self.want;
        let stop = want
            .group_of(Signal::Stop)
            .map_or(Bus::Always, |group| want.groups[group].bus);
        match feed {
            Feed::Steady(group) => (want.groups[group].bus, want.groups[group].bus),
            Feed::Flash(_) | Feed::FlashHazard => (want.hazard_bus, want.turn_bus),
            Feed::StopOrFlash(_) => (want.hazard_bus.min(stop), want.turn_bus.max(stop)),
        }
    }
}
