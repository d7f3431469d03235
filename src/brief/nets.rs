//! The plan in the making: parts by role, and nets that become wires and joints at the end.
//!
//! A net collects the terminals that belong together. Two become one wire; more meet in a joint, and far ones that sit
//! together share a trunk to a joint of their own. Every part and wire has a role, a name of what it is for that stays
//! the same when other answers change; by it a new draft finds the identities of an old one.

use super::Brief;
use super::place::{Spot, length};
use super::size;
use crate::catalog::conductor;
use crate::plan::{Extra, Kind, Part, PartId, Place, Plan, Splice, TerminalId, Wire, WireId, free};
use crate::text::say;
use crate::units::order::{OrdMap, OrdSet, Order};

/// Far terminals from this number on share a trunk.
const TRUNK: usize = 2;

/// A net by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct NetId(usize);

struct End {
    terminal: TerminalId,
    spot: Spot,
    /// Role of the part.
    role: String,
    /// Whether current comes from here.
    gives: bool,
    amps: f64,
}

struct Net {
    role: String,
    spot: Spot,
    colour: &'static str,
    why: String,
    /// Rating of the fuse in front.
    fuse_a: f64,
    ends: Vec<End>,
    /// The joint all ends meet in, where there has to be one.
    joint: Option<PartId>,
    /// Whether it carries the current of everything: its wires are of one size.
    is_trunk: bool,
}

/// A plan in the making.
pub(super) struct Draft<'a> {
    pub brief: &'a Brief,
    pub plan: Plan,
    nets: Vec<Net>,
    /// Identities that roles had before.
    known: &'a OrdMap<String, String>,
    /// Identities that may not be given to new roles.
    taken: OrdSet<String>,
    /// Wires that carry the current of everything, by index, with that current.
    trunk: Vec<(usize, f64)>,
    /// Identities of the roles of this draft.
    pub roles: OrdMap<String, String>,
}

impl<'a> Draft<'a> {
    pub fn new(brief: &'a Brief, known: &'a OrdMap<String, String>, taken: &[String]) -> Self {
        Self {
            brief,
            plan: Plan::default(),
            nets: Vec::new(),
            known,
            taken: known.values().chain(taken).cloned().collect(),
            trunk: Vec::new(),
            roles: OrdMap::new(),
        }
    }

    /// Adds a part. Its role must be its own.
    pub fn part(
        &mut self,
        role: &str,
        stem: &str,
        label: &str,
        spot: Spot,
        why: &str,
        kind: Kind,
    ) -> PartId {
        let known = self.known.get(role).and_then(|id| id.parse().ok());
        let id =
            known.unwrap_or_else(|| free(stem, |id: &PartId| self.taken.contains(id.as_str())));
        self.taken.insert(id.to_string());
        self.roles.insert(role.into(), id.to_string());
        self.plan.parts.push(Part {
            id: id.clone(),
            label: label.into(),
            place: spot.id().parse().ok(),
            why: why.into(),
            kind,
            extra: Extra::new(),
        });
        id
    }

    /// An identity for a role: the one it had, else the first free one.
    pub fn identity<Id: core::str::FromStr + core::fmt::Display>(
        &mut self,
        role: &str,
        stem: &str,
    ) -> Id {
        let known = self.known.get(role).and_then(|id| id.parse().ok());
        let id: Id =
            known.unwrap_or_else(|| free(stem, |id: &Id| self.taken.contains(&id.to_string())));
        self.taken.insert(id.to_string());
        self.roles.insert(role.into(), id.to_string());
        id
    }

    /// Opens a net behind a fuse of this rating.
    pub fn net(
        &mut self,
        role: &str,
        spot: Spot,
        colour: &'static str,
        why: &str,
        fuse_a: f64,
    ) -> NetId {
        self.nets.push(Net {
            role: role.into(),
            spot,
            colour,
            why: why.into(),
            fuse_a,
            ends: Vec::new(),
            joint: None,
            is_trunk: false,
        });
        NetId(self.nets.len() - 1)
    }

    /// Makes a net part of the trunk between battery and fuses.
    pub fn trunk(&mut self, net: NetId) {
        self.nets[net.0].is_trunk = true;
    }

    /// Rating of the fuse in front of a net.
    pub fn fuse_of(&self, net: NetId) -> f64 {
        self.nets[net.0].fuse_a
    }

    /// Colour of the wires of a net.
    pub fn colour_of(&self, net: NetId) -> &'static str {
        self.nets[net.0].colour
    }

    /// `role`, with a number behind it where another net has it.
    pub fn free_net_role(&self, role: &str) -> String {
        let taken = |role: &str| self.nets.iter().any(|net| net.role == role);
        let mut free = role.to_owned();
        let mut n = 1;
        while taken(&free) {
            n += 1;
            free = format!("{role} {n}");
        }
        free
    }

    /// Leads one net into another without a part between them.
    pub fn bridge(&mut self, from: NetId, to: NetId, amps: f64) {
        let joint = match self.nets[to.0].joint.clone() {
            Some(joint) => joint,
            None => {
                let net = &self.nets[to.0];
                let (role, spot, why) = (net.role.clone(), net.spot, net.why.clone());
                let joint = self.joint(&role, spot, &why);
                self.nets[to.0].joint = Some(joint.clone());
                joint
            }
        };
        self.load(from, &joint, "1", amps);
    }

    /// Joins a terminal that current comes from.
    pub fn feed(&mut self, net: NetId, part: &PartId, terminal: &str, amps: f64) {
        self.end(net, part, terminal, amps, true);
    }

    /// Joins a terminal that takes current.
    pub fn load(&mut self, net: NetId, part: &PartId, terminal: &str, amps: f64) {
        self.end(net, part, terminal, amps, false);
    }

    fn end(&mut self, net: NetId, part: &PartId, terminal: &str, amps: f64, gives: bool) {
        let role = self.role_of(part);
        let spot = self.spot_of(part);
        self.nets[net.0].ends.push(End {
            terminal: TerminalId::new(part, terminal),
            spot,
            role: format!("{role}:{terminal}"),
            gives,
            amps,
        });
    }

    /// Role of a part.
    pub fn role_of(&self, part: &PartId) -> String {
        let is = |(_, id): &(&String, &String)| id.as_str() == part.as_str();
        self.roles
            .iter()
            .find(is)
            .map_or_else(String::new, |(role, _)| role.clone())
    }

    fn spot_of(&self, part: &PartId) -> Spot {
        let place = self.plan.part(part).and_then(|part| part.place.as_ref());
        Spot::all()
            .into_iter()
            .find(|spot| place.is_some_and(|place| place.as_str() == spot.id()))
            .unwrap_or(Spot::Dash)
    }

    /// Turns the nets into wires and joints and lists the places in use.
    pub fn finish(mut self) -> (Plan, OrdMap<String, String>) {
        for net in core::mem::take(&mut self.nets) {
            self.lay(net);
        }
        self.even_trunk();
        for spot in Spot::all() {
            let id = spot.id();
            let used = |part: &Part| part.place.as_ref().is_some_and(|p| p.as_str() == id);
            if self.plan.parts.iter().any(used) {
                self.plan.places.extend(id.parse().ok().map(|id| Place {
                    id,
                    label: spot.label(),
                    extra: Extra::new(),
                }));
            }
        }
        (self.plan, self.roles)
    }

    /// Gives the wires that carry everything the size of the thickest of them.
    fn even_trunk(&mut self) {
        let most = self.trunk.iter().map(|(_, amps)| *amps).fold(0.0, f64::max);
        let whole = |(_, amps): &&(usize, f64)| *amps >= 0.99 * most;
        let wires: Vec<usize> = self.trunk.iter().filter(whole).map(|(at, _)| *at).collect();
        let area = |size: &str| conductor::find(size).map_or(0.0, |row| row.area_mm2);
        let sizes = wires.iter().map(|&at| self.plan.wires[at].size.clone());
        let Some(thickest) = sizes.max_by(|a, b| area(a).total_cmp(&area(b))) else {
            return;
        };
        for at in wires {
            self.plan.wires[at].size.clone_from(&thickest);
        }
    }

    fn lay(&mut self, mut net: Net) {
        // What gives comes first, so that wires are listed from the supply on.
        net.ends.order_by_key(|end| !end.gives);
        let forced = net.joint.take();
        if net.ends.is_empty() || (net.ends.len() < 2 && forced.is_none()) {
            return;
        }
        if let ([first, last], None) = (&net.ends[..], &forced) {
            let amps = first.amps.max(last.amps);
            let role = format!("wire:{}", net.role);
            let ends = [(&first.terminal, first.spot), (&last.terminal, last.spot)];
            self.wire(&role, ends, &net, amps);
            return;
        }
        let takers: Vec<Spot> = net
            .ends
            .iter()
            .filter(|end| !end.gives)
            .map(|end| end.spot)
            .collect();
        // Where all that is fed sits at one end of the vehicle, the joint sits there too.
        if let Some(&first) = takers.first()
            && takers.iter().all(|spot| same_end(*spot, first))
            && takers.len() >= TRUNK
            && forced.is_none()
        {
            net.spot = first;
        }
        let role = net.role.clone();
        let joint = forced.unwrap_or_else(|| self.joint(&role, net.spot, &net.why));
        let joint = TerminalId::new(&joint, "1");
        let mut done = vec![false; net.ends.len()];
        for i in 0..net.ends.len() {
            if core::mem::replace(&mut done[i], true) {
                continue;
            }
            let end = &net.ends[i];
            let together = |k: &usize| {
                let other = &net.ends[*k];
                !other.gives && same_end(other.spot, end.spot)
            };
            let group: Vec<usize> = (i..net.ends.len()).filter(together).collect();
            if end.gives || same_end(end.spot, net.spot) || group.len() < TRUNK {
                self.tie(&net, &role, (&joint, net.spot), end);
                continue;
            }
            let end_role = format!("{role}:{}", end.spot.id());
            let far = self.joint(&end_role, end.spot, &net.why);
            let far = TerminalId::new(&far, "1");
            let amps = group.iter().map(|&k| net.ends[k].amps).sum();
            let ends = [(&joint, net.spot), (&far, end.spot)];
            self.wire(&format!("wire:{end_role}"), ends, &net, amps);
            for k in group {
                done[k] = true;
                self.tie(&net, &end_role, (&far, end.spot), &net.ends[k]);
            }
        }
    }

    fn joint(&mut self, role: &str, spot: Spot, why: &str) -> PartId {
        let label = say!("Joint {}", super::words::role(role));
        let kind = Kind::Splice(Splice::default());
        self.part(&format!("joint:{role}"), "X", &label, spot, why, kind)
    }

    fn tie(&mut self, net: &Net, role: &str, joint: (&TerminalId, Spot), end: &End) {
        let role = format!("wire:{role}:{}", end.role);
        let mut ends = [(&end.terminal, end.spot), joint];
        if !end.gives {
            ends.swap(0, 1);
        }
        self.wire(&role, ends, net, end.amps);
    }

    fn wire(&mut self, role: &str, ends: [(&TerminalId, Spot); 2], net: &Net, amps: f64) {
        let brief = self.brief;
        let [(from, from_spot), (to, to_spot)] = ends;
        let length = length(brief, from_spot, to_spot);
        let id: WireId = self.identity(role, "W");
        if net.is_trunk {
            self.trunk.push((self.plan.wires.len(), amps));
        }
        self.plan.wires.push(Wire {
            id,
            from: from.clone(),
            to: to.clone(),
            length_mm: length,
            size: size::wire(brief, amps, net.fuse_a, length).into(),
            insulation_c: size::INSULATION,
            colour: net.colour.into(),
            why: net.why.clone(),
            extra: Extra::new(),
        });
    }
}

/// Whether two places are neighbours: lamps of one end, or the middle of the vehicle.
fn same_end(a: Spot, b: Spot) -> bool {
    match (a, b) {
        (Spot::Lamps(a, _), Spot::Lamps(b, _)) => a == b,
        (Spot::Lamps(..), _) | (_, Spot::Lamps(..)) => false,
        (a, b) => a == b,
    }
}
