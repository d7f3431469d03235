//! The same plan with other names, its wires and parts in another order.

use crate::random::Random;
use loomwright::plan::{PartId, Plan};

/// The plan with its wires and parts in another order and every part and wire under another name.
pub fn shuffled(plan: &Plan, random: &mut Random) -> Plan {
    fn shuffle<T>(random: &mut Random, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, random.below(i + 1));
        }
    }
    let mut other = plan.clone();
    shuffle(random, &mut other.wires);
    shuffle(random, &mut other.parts);
    let names: Vec<PartId> = other.parts.iter().map(|part| part.id.clone()).collect();
    let new = |id: &PartId| -> PartId {
        let at = names.iter().position(|known| known == id).expect("known");
        format!("Q{at}x").parse().expect("an identity")
    };
    for part in &mut other.parts {
        part.id = new(&part.id);
    }
    for (i, wire) in other.wires.iter_mut().enumerate() {
        wire.id = format!("L{i}y").parse().expect("an identity");
        wire.from.part = new(&wire.from.part);
        wire.to.part = new(&wire.to.part);
    }
    for lamp in other.wishes.iter_mut().flat_map(|wish| &mut wish.lamps) {
        lamp.part = new(&lamp.part);
    }
    other
}
