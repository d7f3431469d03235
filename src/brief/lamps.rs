//! Lamps, what joins several feeds on one lamp circuit, the trailer's connector, and returns.
//!
//! Circuits lit by the same feeds hang on one net. Where several feeds meet, a feed gets a diode if current of another
//! could go back through it to something that is to stay dark: a lamp that does not hang on that other feed, or a
//! supply that the master switch has made dead. Weak signals on a strong circuit get a dropping resistor.

use super::build::Build;
use super::nets::NetId;
use super::place::{Side, Spot, end_word};
use super::resolve::{Bus, Circuit, Feed, Lamp, Way, capital, names};
use super::{End, Return, Signal, fitting, trailer};
use crate::plan::Connector;
use crate::plan::{Extra, Kind, LampId, PartId, Resistor};
use crate::units::Milliohms;
use std::collections::BTreeMap;

/// Resistance of a mated pin, common practice.
const PIN_MOHM: f64 = 5.0;

/// Circuits that hang on one net: indices of lamp and circuit.
type Members = Vec<(usize, usize)>;

/// Where a way comes in: straight from its feed, or through a way of the trailer's connector.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Source {
    /// Way of the connector, by index.
    pin: Option<usize>,
    way: Way,
}

impl Build<'_> {
    /// Every lamp with its feeds and its return; the lamp circuits with their indices.
    pub fn lamps(&mut self) -> Vec<(LampId, usize, usize)> {
        let want = self.want;
        let mut parts: Vec<Option<PartId>> = Vec::new();
        let mut ids = Vec::new();
        for (index, lamp) in want.lamps.iter().enumerate() {
            let part = self.lamp(index, lamp);
            let kind = part.as_ref().and_then(|id| self.draft.plan.part(id));
            if let Some(part) = kind {
                for circuit in 0..lamp.circuits.len() {
                    let name = fitting::circuit_name(&part.kind, circuit).unwrap_or("main");
                    ids.push((LampId::new(&part.id, name), index, circuit));
                }
            }
            parts.push(part);
        }
        let pins = self.connector();
        // Circuits behind one dropping resistor must be alike, or the weaker take the voltage of the stronger.
        let mut keys: BTreeMap<(Vec<Source>, bool), Members> = BTreeMap::new();
        for (l, lamp) in want.lamps.iter().enumerate() {
            for (c, circuit) in lamp.circuits.iter().enumerate() {
                let sources = self.sources(lamp, circuit);
                let dim = sources.iter().any(|source| source.way.dim);
                let led = dim && !lamp.fitting.has_filaments();
                keys.entry((sources, led)).or_default().push((l, c));
            }
        }
        for ((sources, _), members) in keys {
            let net = self.meet(&sources, &members, &pins);
            for &(l, c) in &members {
                let lamp = &want.lamps[l];
                let (Some(part), Some(net)) = (&parts[l], net) else {
                    continue;
                };
                let amps = self.amps(lamp, &lamp.circuits[c]);
                self.draft
                    .load(net, part, fitting::terminal_of(lamp, c), amps);
            }
        }
        self.returns(&parts);
        ids
    }

    fn lamp(&mut self, index: usize, lamp: &Lamp) -> Option<PartId> {
        let kind = fitting::lamp_kind(self.brief, lamp)?;
        let mut signals: Vec<Signal> = Vec::new();
        for circuit in &lamp.circuits {
            signals.extend(&circuit.signals);
        }
        let spot = Spot::Lamps(lamp.end, lamp.side);
        let what = names(&signals);
        let label = format!(
            "{} {} {}",
            capital(&what),
            end_word(lamp.end),
            lamp.side.text()
        );
        // The count tells lamps of one place apart that other answers may add to.
        let same = |other: &&Lamp| {
            (other.end, other.side, other.fitting) == (lamp.end, lamp.side, lamp.fitting)
        };
        let before = self.want.lamps[..index].iter().filter(same).count();
        let role = format!("lamp:{}:{:?}:{before}", spot.id(), lamp.fitting);
        let why = format!("shows {what}");
        Some(self.draft.part(&role, "E", &label, spot, &why, kind))
    }

    fn sources(&self, lamp: &Lamp, circuit: &Circuit) -> Vec<Source> {
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
        sources.sort();
        sources
    }

    /// The net on which circuits with these sources hang.
    fn meet(
        &mut self,
        sources: &[Source],
        members: &Members,
        pins: &BTreeMap<usize, NetId>,
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
        let mut role = format!("{} {}", names(signals), end_word(lamp.end));
        if members
            .iter()
            .all(|&(m, _)| self.want.lamps[m].side == lamp.side)
        {
            role = format!("{role} {}", lamp.side.text());
        }
        let role = self.draft.free_net_role(&role);
        let rating = inputs
            .iter()
            .map(|(net, _)| self.draft.fuse_of(*net))
            .fold(0.0, f64::max);
        let colour = self.draft.colour_of(inputs[0].0);
        let why = format!("joins the feeds of {}", names(signals));
        let meeting = self.draft.net(&role, spot, colour, &why, rating);
        self.join(&role, &inputs, meeting, members, amps);
        Some(meeting)
    }

    /// Leads inputs into a net, each with the diode and the resistor it needs.
    fn join(
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
            weak_names.sort();
            weak_names.dedup();
            let what = names(&weak_names);
            let why = format!(
                "makes {what} burn low, so that the stronger signal on the same circuit stands out; it gets hot"
            );
            let kind = Kind::Resistor(Resistor {
                ohms,
                rating_w: watts,
                extra: Extra::new(),
            });
            let label = format!("Dropper {role}");
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
            let name = format!("{role} {}", self.feed_words(ways[0].feed));
            let what = format!(
                "{} out of what {} feeds",
                self.feed_words(blocked[0].feed),
                self.feed_words(ways[0].feed)
            );
            self.diode(&name, spot, &what, *net, to, amps);
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
            Feed::Flash(side) => format!("turn {}", side.text()),
            Feed::FlashHazard => "hazard".into(),
            Feed::StopOrFlash(side) => format!("stop and turn {}", side.text()),
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

    /// The connector to the trailer: the net behind each way in use.
    fn connector(&mut self) -> BTreeMap<usize, NetId> {
        let mut nets = BTreeMap::new();
        let Some(socket) = self.brief.socket else {
            return nets;
        };
        let want = self.want;
        // For each way what comes in, and the circuits behind it.
        let mut uses: BTreeMap<usize, (Vec<Way>, Members)> = BTreeMap::new();
        for (l, lamp) in want.lamps.iter().enumerate() {
            for (c, circuit) in lamp.circuits.iter().enumerate() {
                if lamp.end != End::Trailer {
                    continue;
                }
                for way in &circuit.ways {
                    let Some(pin) = trailer::pin(socket, want, lamp.side, circuit, way) else {
                        continue;
                    };
                    let (ways, members) = uses.entry(pin).or_default();
                    let full = Way { dim: false, ..*way };
                    if !ways.contains(&full) {
                        ways.push(full);
                    }
                    members.push((l, c));
                }
            }
        }
        if uses.is_empty() {
            return nets;
        }
        let part = self.connector_part(socket, uses.keys().copied().collect());
        for (pin, (mut ways, members)) in uses {
            ways.sort();
            let row = &trailer::ways(socket)[pin];
            let amps: f64 = members
                .iter()
                .map(|&(l, c)| self.amps(&want.lamps[l], &want.lamps[l].circuits[c]))
                .sum();
            let inputs: Vec<(NetId, Vec<Way>)> = ways
                .iter()
                .filter_map(|way| Some((*self.feeds.get(&way.feed)?, vec![*way])))
                .collect();
            let Some(&(first, _)) = inputs.first() else {
                continue;
            };
            let rating = inputs
                .iter()
                .map(|(net, _)| self.draft.fuse_of(*net))
                .fold(0.0, f64::max);
            let into = if inputs.len() == 1 {
                first
            } else {
                let role = format!("way {}", row.name);
                let why = format!("feeds way {} of the socket", row.name);
                let net = self
                    .draft
                    .net(&role, Spot::Socket, row.colour, &why, rating);
                self.join(&role, &inputs, net, &Vec::new(), amps);
                net
            };
            self.draft
                .load(into, &part, &format!("{}a", row.name), amps);
            let why = format!("way {} behind the plug: {}", row.name, row.what);
            let role = format!("trailer way {}", row.name);
            let net = self.draft.net(&role, Spot::Plug, row.colour, &why, rating);
            self.draft.feed(net, &part, &format!("{}b", row.name), amps);
            nets.insert(pin, net);
        }
        nets
    }

    fn connector_part(&mut self, socket: super::Socket, used: Vec<usize>) -> PartId {
        let ways = trailer::ways(socket);
        let back = trailer::return_way(socket);
        let listed = ways.iter().enumerate();
        let names = listed.filter(|(i, _)| used.contains(i) || Some(*i) == back);
        let kind = Kind::Connector(Connector {
            ways: names.map(|(_, row)| row.name.into()).collect(),
            contact_mohm: Milliohms::of(PIN_MOHM),
            extra: Extra::new(),
        });
        let label = format!("Trailer connector, {}", socket.text());
        let why = "lets the trailer be unhitched; only the ways in use are drawn";
        let part = self
            .draft
            .part("connector", "X", &label, Spot::Socket, why, kind);
        self.connector = back.map(|back| (part.clone(), ways[back].name));
        part
    }

    /// Returns of all lamps.
    fn returns(&mut self, parts: &[Option<PartId>]) {
        let want = self.want;
        let mut trailer_amps = 0.0;
        let mut ends: BTreeMap<End, Vec<(PartId, Spot, f64)>> = BTreeMap::new();
        for (lamp, part) in want.lamps.iter().zip(parts) {
            let Some(part) = part else { continue };
            let amps = lamp.circuits.iter().map(|c| self.amps(lamp, c)).sum();
            let spot = Spot::Lamps(lamp.end, lamp.side);
            let wired = self.brief.wiring == Return::Wired || lamp.end == End::Trailer;
            if wired {
                let list = ends.entry(lamp.end).or_default();
                list.push((part.clone(), spot, amps));
                if lamp.end == End::Trailer {
                    trailer_amps += amps;
                }
            } else {
                self.to_ground(part, "31", spot, amps);
            }
        }
        for (end, list) in ends {
            let amps: f64 = list.iter().map(|(_, _, amps)| amps).sum();
            if end == End::Trailer {
                self.trailer_return(&list, trailer_amps);
                continue;
            }
            // Neighbours share a joint and a wire to the battery.
            if let [(part, spot, amps)] = &list[..] {
                self.to_ground(part, "31", *spot, *amps);
                continue;
            }
            let why = format!("takes the return of the {} lamps", end_word(end));
            let spot = Spot::Lamps(end, Side::Left);
            let spot = list.first().map_or(spot, |(_, spot, _)| *spot);
            let label = format!("Return joint {}", end_word(end));
            let role = format!("return joint:{}", end_word(end));
            let kind = Kind::Splice(crate::plan::Splice::default());
            let joint = self.draft.part(&role, "X", &label, spot, &why, kind);
            for (part, spot, amps) in list {
                let role = format!("return:{}", self.draft.role_of(&part));
                let net = self
                    .draft
                    .net(&role, spot, "BK", &format!("return of {part}"), 0.0);
                self.draft.feed(net, &part, "31", amps);
                self.draft.load(net, &joint, "1", amps);
            }
            self.to_ground(&joint, "1", spot, amps);
        }
    }

    fn trailer_return(&mut self, list: &[(PartId, Spot, f64)], amps: f64) {
        let Some((connector, way)) = self.connector.clone() else {
            return;
        };
        let why = "return of the trailer's lamps";
        let colour = trailer::RETURN_COLOUR;
        let net = self
            .draft
            .net("return:trailer", Spot::Plug, colour, why, 0.0);
        for (part, _, amps) in list {
            self.draft.feed(net, part, "31", *amps);
        }
        self.draft.load(net, &connector, &format!("{way}b"), amps);
        self.to_ground(&connector, &format!("{way}a"), Spot::Socket, amps);
    }
}
