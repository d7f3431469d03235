//! Ready edits that several checks offer: another wire size, another fuse, another part in the place of one.

use super::Remedy;
use crate::catalog::conductor::{self, Row};
use crate::catalog::{relay, wire_choice};
use crate::plan::{Change, Edit, Extra, Fuse, Kind, Part, Plan, Relay};
use crate::text::say;
use crate::units::{Amps, Milliohms, Ohms, Volts};

/// Most steps a search for thicker wires takes: every wire of a long path through every size.
const MAX_STEPS: usize = 400;

/// A wire (by index) in another size.
pub(super) fn resize(plan: &Plan, wire: usize, row: &Row) -> Option<Edit> {
    let mut item = plan.wires.get(wire)?.clone();
    if item.size == row.key {
        return None;
    }
    let id = item.id.clone();
    item.size = row.key.into();
    Some(Edit::Wire(Change::Replace { id, item }))
}

/// One remedy that takes each wire in its new size; `None` if there is nothing to change.
pub(super) fn wires(plan: &Plan, sizes: &[(usize, &Row)]) -> Option<Remedy> {
    let edits: Vec<Edit> = sizes
        .iter()
        .filter_map(|&(wire, row)| resize(plan, wire, row))
        .collect();
    let mut named: Vec<String> = sizes
        .iter()
        .filter_map(|&(wire, row)| {
            Some(say!(
                "{} in {}",
                plan.wires.get(wire)?.id,
                plan.settings.sizing.size(row)
            ))
        })
        .take(3)
        .collect();
    if sizes.len() > named.len() {
        named.push(say!("{} more", sizes.len() - named.len()));
    }
    (!edits.is_empty()).then(|| Remedy {
        title: say!("Take {}", named.join(", ")),
        edit: Edit::All(edits),
    })
}

/// A part with other ratings in its own place.
pub(super) fn part(plan: &Plan, index: usize, title: String, kind: Kind) -> Option<Remedy> {
    let part = plan.parts.get(index)?;
    let item = Part {
        kind,
        ..part.clone()
    };
    (item != *part).then(|| Remedy {
        title,
        edit: Edit::Part(Change::Replace {
            id: part.id.clone(),
            item,
        }),
    })
}

/// A relay of a type of the catalogue.
pub(super) fn relay_of(row: &relay::Row) -> Relay {
    Relay {
        model: Some(row.key.into()),
        coil_ohm: Ohms::of(row.coil_ohms),
        pull_in_v: Volts::of(row.operate_volts),
        drop_out_v: Volts::of(row.release_volts),
        contact_mohm: Milliohms::of(row.make.typical_milliohms),
        extra: Extra::new(),
    }
}

/// A fuse (by index of the part) with another rating.
pub(super) fn fuse(plan: &Plan, index: usize, amps: f64) -> Option<Remedy> {
    let Kind::Fuse(fuse) = &plan.parts.get(index)?.kind else {
        return None;
    };
    let rating_a = Amps::of(amps);
    let title = say!("Take {rating_a} for {}", plan.parts[index].id);
    let kind = Kind::Fuse(Fuse {
        rating_a,
        ..fuse.clone()
    });
    part(plan, index, title, kind)
}

/// The fewest steps to thicker wires after which their drops, given as (wire, volts), sum up to `limit`: the wire
/// that takes most goes one size up, again and again. `None` where even the thickest do not do.
pub(super) fn thicker<'a>(
    plan: &Plan,
    drops: &[(usize, f64)],
    limit: f64,
) -> Option<Vec<(usize, &'a Row)>> {
    let mut now: Vec<(usize, f64, &'static Row)> = drops
        .iter()
        .filter_map(|&(wire, volts)| {
            Some((wire, volts, conductor::find(&plan.wires.get(wire)?.size)?))
        })
        .collect();
    for _ in 0..MAX_STEPS {
        if now.iter().map(|&(_, volts, _)| volts).sum::<f64>() <= limit {
            break;
        }
        let (_, volts, row) = now
            .iter_mut()
            .filter(|(_, _, row)| wire_choice::thicker(row).is_some())
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        let next = wire_choice::thicker(row)?;
        *volts *= next.ohms_per_km_20c / row.ohms_per_km_20c;
        *row = next;
    }
    let changed = |&(wire, _, row): &(usize, f64, &'static Row)| {
        plan.wires.get(wire).is_some_and(|w| w.size != row.key)
    };
    Some(
        now.iter()
            .filter(|entry| changed(entry))
            .map(|&(wire, _, row)| (wire, row))
            .collect(),
    )
}
