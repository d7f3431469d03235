//! Lost grounds, one at a time: what lights, dims or loses its beat that should not.
//!
//! That a lamp goes dark without its ground is plain and not told. Each case names the worst state found.

use super::words::{lamp_ids, lamp_name, or, origin_id, percent, row_words};
use super::{Check, Evidence, Finding, Measure, Remedy, Severity};
use crate::behaviour::Origin;
use crate::behaviour::survey::{DIMS_BELOW, Effect, Harm, LostReturn};
use crate::plan::{Edit, Extra, Ground, Kind, Part, Plan, TerminalId, Wire};
use crate::text::{mark, say};
use crate::units::order::Order;
use crate::units::{Millimetres, Milliohms};

pub(super) const CHECK: Check = Check {
    name: mark!("lost ground"),
    what: mark!("A ground that comes loose leaves its own lamps dark and does nothing else."),
    run,
};

const SOURCE: &str = mark!(
    "Sneak Circuit Analysis Handbook D2-118341-1 (1970), clue open ground creating a series path: \
                      from memory; effects worked out with non-linear lamps"
);

/// Most lamp circuits told of one by one.
const MAX_NAMED: usize = 4;
/// Length proposed for a second ground wire, in millimetres: lamp to the nearest sound metal.
const SECOND_GROUND_MM: f64 = 300.0;
/// Resistance of a clean bolted ground, in milliohms, common practice.
const JOINT_MOHM: f64 = 5.0;

fn run(evidence: &Evidence<'_>, out: &mut Vec<Finding>) {
    for lost in &evidence.survey.lost {
        out.push(finding(evidence, lost));
    }
    if evidence.survey.lost_unlooked > 0 {
        let text = say!(
            "{} more grounds and return wires were not tried: the plan has too many that several lamps share.",
            evidence.survey.lost_unlooked
        );
        out.push(Finding::new(
            &CHECK,
            Severity::Note,
            Vec::new(),
            text,
            SOURCE,
        ));
    }
}

fn finding(evidence: &Evidence<'_>, lost: &LostReturn) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let mut breaks: Vec<String> = lost.breaks.iter().map(|&b| origin_id(plan, b)).collect();
    breaks.order();
    breaks.dedup();
    let say = |effect: &Effect| {
        let name = lamp_name(plan, table, effect.lamp);
        let (before, after) = (percent(effect.before), percent(effect.after));
        match effect.harm {
            Harm::Lights => say!("{name} lights at {after} though it should be dark"),
            Harm::Dims => say!("{name} dims from {before} to {after}"),
            Harm::Rhythm if effect.flashes => {
                say!("{name} flashes at {after} instead of burning at {before}")
            }
            Harm::Rhythm => say!("{name} burns at {after} instead of flashing at {before}"),
        }
    };
    let mut effects: Vec<String> = lost.effects.iter().take(MAX_NAMED).map(say).collect();
    let more = lost.effects.len().saturating_sub(MAX_NAMED);
    if more > 0 {
        effects.push(say!("and {more} more lamp circuits go wrong"));
    }
    let text = say!(
        "If {} comes loose: with {}, {}. Something goes wrong in {} of {} states looked at. A second ground wire \
         there prevents it; diodes in the feeds would too.",
        or(&breaks),
        row_words(plan, table, lost.row, 0),
        effects.join("; "),
        lost.harmed,
        lost.looked
    );
    let lamps: Vec<usize> = lost.effects.iter().map(|effect| effect.lamp).collect();
    let mut about = breaks;
    about.extend(lamp_ids(table, &lamps));
    // That the lamp itself goes odd is how a bad ground shows, and known to whoever mends lamps; what it does to others is not.
    let own = |effect: &Effect| {
        let part = table.lamps.get(effect.lamp).map(|lamp| &lamp.part);
        effect.harm != Harm::Lights
            && part.is_some()
            && part == lost.keep.as_ref().map(|keep| &keep.part)
    };
    let severity = if lost.effects.iter().all(own) {
        Severity::Note
    } else {
        Severity::Caution
    };
    let mut finding = Finding::new(&CHECK, severity, about, text, SOURCE);
    finding.measure = lost.effects.first().map(|effect| measure(plan, effect));
    finding.remedies = second_ground(plan, lost).into_iter().collect();
    finding
}

fn measure(plan: &Plan, effect: &Effect) -> Measure {
    let limit = match effect.harm {
        Harm::Lights => say!("below {}", percent(plan.settings.faint.get())),
        Harm::Dims => say!("at least {}", percent(DIMS_BELOW * effect.before)),
        Harm::Rhythm => say!("as built, {}", percent(effect.before)),
    };
    Measure {
        found: say!("{} of rated light", percent(effect.after)),
        limit,
    }
}

/// A second way to ground for the lamp, wired like the first: to a ground point of its own, or where the chassis is
/// no ground to the battery.
fn second_ground(plan: &Plan, lost: &LostReturn) -> Option<Remedy> {
    let lamp: &TerminalId = lost.keep.as_ref()?;
    let like = lost.breaks.iter().find_map(|origin| match origin {
        Origin::Wire(wire) => plan.wires.get(*wire),
        Origin::Part { .. } => None,
    })?;
    let why = say!(
        "keeps {} on ground when the first one comes loose",
        lamp.part
    );
    let way = lost.way.iter().filter_map(|&wire| plan.wires.get(wire));
    let mut edits = Vec::new();
    let (to, length_mm) = match &lost.sink {
        Some(battery) => {
            let length: f64 = way.map(|wire| wire.length_mm.get()).sum();
            (battery.clone(), Millimetres::of(length))
        }
        None => {
            let ground = Part {
                id: plan.free_part_id("XG"),
                label: say!("Second ground {}", lamp.part),
                place: plan.part(&lamp.part).and_then(|part| part.place.clone()),
                why: why.clone(),
                kind: Kind::Ground(Ground {
                    joint_mohm: Milliohms::of(JOINT_MOHM),
                    extra: Extra::new(),
                }),
                extra: Extra::new(),
            };
            let to = TerminalId::new(&ground.id, "31");
            edits.push(Edit::add_part(ground));
            (to, Millimetres::of(SECOND_GROUND_MM))
        }
    };
    edits.push(Edit::add_wire(Wire {
        id: plan.free_wire_id(),
        from: lamp.clone(),
        to,
        length_mm,
        why,
        extra: Extra::new(),
        ..like.clone()
    }));
    Some(Remedy {
        title: say!("Second ground for {}", lamp.part),
        edit: Edit::All(edits),
    })
}
