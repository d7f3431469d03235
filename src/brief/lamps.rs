//! Lamps, the trailer's connector, and returns.
//!
//! Circuits lit by the same feeds hang on one net; each lamp is grounded where it sits, or shares a return wire with its
//! neighbours.

use super::build::Build;
use super::nets::NetId;
use super::place::{Spot, end_key, end_word};
use super::resolve::{Lamp, Way, capital, names};
use super::{End, Return, Signal, fitting, trailer};
use crate::plan::Connector;
use crate::plan::{Extra, Kind, LampId, PartId};
use crate::text::{self, say};
use crate::units::Milliohms;
use crate::units::order::{OrdMap, Order};

/// Resistance of a mated pin, common practice.
const PIN_MOHM: f64 = 5.0;

/// A lamp that wants a return wire.
struct Back {
    part: PartId,
    spot: Spot,
    amps: f64,
    fuse_a: f64,
}

use super::meeting::{Members, Source};

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
        let mut keys: OrdMap<(Vec<Source>, bool), Members> = OrdMap::new();
        for (l, lamp) in want.lamps.iter().enumerate() {
            for (c, circuit) in lamp.circuits.iter().enumerate() {
                let sources = self.sources(lamp, circuit);
                let dim = sources.iter().any(|source| source.way.dim);
                let led = dim && !lamp.fitting.has_filaments();
                keys.entry((sources, led)).or_default().push((l, c));
            }
        }
        let mut fuses = vec![0.0_f64; parts.len()];
        for ((sources, _), members) in keys {
            let net = self.meet(&sources, &members, &pins);
            for &(l, c) in &members {
                let lamp = &want.lamps[l];
                let (Some(part), Some(net)) = (&parts[l], net) else {
                    continue;
                };
                let amps = self.amps(lamp, &lamp.circuits[c]);
                fuses[l] = fuses[l].max(self.draft.fuse_of(net));
                self.draft
                    .load(net, part, fitting::terminal_of(lamp, c), amps);
            }
        }
        self.returns(&parts, &fuses);
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
        // The place is name enough where one lamp sits; the first signal tells several apart.
        let place = format!("{} {}", end_word(lamp.end), lamp.side.text());
        let here = |other: &&Lamp| (other.end, other.side) == (lamp.end, lamp.side);
        let alone = self.want.lamps.iter().filter(here).count() == 1;
        let label = match signals.first() {
            Some(first) if !alone => format!("{} {place}", capital(first.text())),
            _ => capital(&place),
        };
        // The count tells lamps of one place apart that other answers may add to.
        let same = |other: &&Lamp| {
            (other.end, other.side, other.fitting) == (lamp.end, lamp.side, lamp.fitting)
        };
        let before = self.want.lamps[..index].iter().filter(same).count();
        let role = format!("lamp:{}:{:?}:{before}", spot.id(), lamp.fitting);
        let why = say!("shows {what}");
        Some(self.draft.part(&role, "E", &label, spot, &why, kind))
    }

    /// The connector to the trailer: the net behind each way in use.
    fn connector(&mut self) -> OrdMap<usize, NetId> {
        let mut nets = OrdMap::new();
        let Some(socket) = self.brief.socket else {
            return nets;
        };
        let want = self.want;
        // For each way what comes in, and the circuits behind it.
        let mut uses: OrdMap<usize, (Vec<Way>, Members)> = OrdMap::new();
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
            ways.order();
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
                let why = say!("feeds way {} of the socket", row.name);
                let net = self
                    .draft
                    .net(&role, Spot::Socket, row.colour, &why, rating);
                self.join(&role, &inputs, net, &Vec::new(), amps);
                net
            };
            self.draft
                .load(into, &part, &format!("{}a", row.name), amps);
            let why = say!("way {} behind the plug: {}", row.name, text::of(row.what));
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
        let label = say!("Trailer connector, {}", socket.text());
        let why = say!("lets the trailer be unhitched; only the ways in use are drawn");
        let part = self
            .draft
            .part("connector", "X", &label, Spot::Socket, why, kind);
        self.connector = back.map(|back| (part.clone(), ways[back].name));
        part
    }

    /// Returns of all lamps.
    fn returns(&mut self, parts: &[Option<PartId>], fuses: &[f64]) {
        let want = self.want;
        let mut ends: OrdMap<End, Vec<Back>> = OrdMap::new();
        for ((lamp, part), &fuse_a) in want.lamps.iter().zip(parts).zip(fuses) {
            let Some(part) = part else { continue };
            let amps = lamp.circuits.iter().map(|c| self.amps(lamp, c)).sum();
            let spot = Spot::Lamps(lamp.end, lamp.side);
            let wired = self.brief.wiring == Return::Wired || lamp.end == End::Trailer;
            if wired {
                let list = ends.entry(lamp.end).or_default();
                list.push(Back {
                    part: part.clone(),
                    spot,
                    amps,
                    fuse_a,
                });
            } else {
                self.ground(part, "31", spot, amps, fuse_a);
            }
        }
        for (end, list) in ends {
            let amps: f64 = list.iter().map(|back| back.amps).sum();
            let fuse_a = list.iter().map(|back| back.fuse_a).fold(0.0, f64::max);
            if end == End::Trailer {
                self.trailer_return(&list, amps, fuse_a);
                continue;
            }
            let Some(first) = list.first() else { continue };
            // Neighbours share a joint and a wire to the battery.
            if list.len() == 1 {
                self.ground(&first.part, "31", first.spot, amps, fuse_a);
                continue;
            }
            let why = say!("takes the return of the {} lamps", end_word(end));
            let label = say!("Return joint {}", end_word(end));
            let role = format!("return joint:{}", end_key(end));
            let kind = Kind::Splice(crate::plan::Splice::default());
            let joint = self.draft.part(&role, "X", &label, first.spot, &why, kind);
            for back in &list {
                let role = format!("return:{}", self.draft.role_of(&back.part));
                let why = say!("return of {}", back.part);
                let net = self.draft.net(&role, back.spot, "BK", &why, back.fuse_a);
                self.draft.feed(net, &back.part, "31", back.amps);
                self.draft.load(net, &joint, "1", back.amps);
            }
            self.ground(&joint, "1", first.spot, amps, fuse_a);
        }
    }

    fn trailer_return(&mut self, list: &[Back], amps: f64, fuse_a: f64) {
        let Some((connector, way)) = self.connector.clone() else {
            return;
        };
        let why = say!("return of the trailer's lamps");
        let colour = trailer::RETURN_COLOUR;
        let net = self
            .draft
            .net("return:trailer", Spot::Plug, colour, why, fuse_a);
        for back in list {
            self.draft.feed(net, &back.part, "31", back.amps);
        }
        self.draft.load(net, &connector, &format!("{way}b"), amps);
        self.ground(&connector, &format!("{way}a"), Spot::Socket, amps, fuse_a);
    }
}
