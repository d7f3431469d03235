//! Another source than the first battery: what it keeps live when that is disconnected or the master switch is off,
//! and a battery that runs down into another.
//!
//! A charger, or a battery with circuits of its own, is a note, so that it is stopped or disconnected too before work. A
//! second battery is a caution where it keeps live what the first one feeds as well, and any source is where a master
//! switch that is off has live wires behind it.

use super::words::{and, origin_id, part_id, part_name, row_words};
use super::{Check, Evidence, Finding, Measure, Severity};
use crate::behaviour::survey::{DRAIN_AMPS, Drain, LiveBehind, OtherSource};
use crate::plan::Kind;
use crate::text::{mark, say};
use crate::units::Amps;

pub(super) const CHECK: Check = Check {
    name: mark!("other source"),
    what: mark!(
        "What is off is dead: no second source feeds it, and no battery runs down into another."
    ),
    run,
};

const SOURCE: &str = mark!(
    "Sneak Circuit Analysis Handbook D2-118341-1 (1970), clues label says off but a source remains, \
                      unlike voltages joined: from memory; threshold common practice"
);

/// Most loads named one by one.
const MAX_NAMED: usize = 6;

fn run(evidence: &Evidence<'_>, out: &mut Vec<Finding>) {
    let sources = &evidence.survey.sources;
    out.extend(sources.behind.iter().map(|live| behind(evidence, live)));
    out.extend(sources.others.iter().map(|other| remains(evidence, other)));
    out.extend(sources.drains.iter().map(|drain| drains(evidence, drain)));
}

fn behind(evidence: &Evidence<'_>, live: &LiveBehind) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let way: Vec<String> = live.way.iter().map(|&o| origin_id(plan, o)).collect();
    let text = say!(
        "With {}: {} is off, but behind it {} keeps live what it should cut off (by {}). A diode in that way, or a \
         second pole on the switch, keeps it dead.",
        row_words(plan, table, live.at.0, live.at.1),
        part_name(plan, live.switch),
        part_name(plan, live.source),
        way.join(" → ")
    );
    let about = vec![part_id(plan, live.switch), part_id(plan, live.source)];
    Finding::new(&CHECK, Severity::Caution, about, text, SOURCE)
}

fn remains(evidence: &Evidence<'_>, other: &OtherSource) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let (source, battery) = (part_name(plan, other.part), part_name(plan, other.battery));
    let named = |parts: &[usize]| {
        let mut names: Vec<String> = parts.iter().map(|&part| part_id(plan, part)).collect();
        let more = names.len().saturating_sub(MAX_NAMED);
        names.truncate(MAX_NAMED);
        if more > 0 {
            names.push(say!("{more} more"));
        }
        and(&names)
    };
    let part = plan.parts.get(other.part);
    let stores = part.is_some_and(|part| matches!(part.kind, Kind::Battery(_)));
    let advice = if stores {
        say!("Disconnect both before work, and say so on the label.")
    } else {
        say!("Stop or unplug it before work, and never take the battery off while it runs.")
    };
    let mut text = say!(
        "With {}: when {battery} is disconnected, {source} still keeps {} live. {advice}",
        row_words(plan, table, other.at.0, other.at.1),
        named(&other.loads)
    );
    let severity = if stores && !other.shared.is_empty() {
        text.push_str(&say!(" Both feed {}.", named(&other.shared)));
        Severity::Caution
    } else {
        Severity::Note
    };
    let about = vec![part_id(plan, other.part), part_id(plan, other.battery)];
    Finding::new(&CHECK, severity, about, text, SOURCE)
}

fn drains(evidence: &Evidence<'_>, drain: &Drain) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let amps = Amps::of(drain.amps);
    let text = say!(
        "With {}: {} runs down into {} at {amps}, with nothing charging. Part them by a switch, a relay or a diode, or \
         take batteries of one kind, age and charge.",
        row_words(plan, table, drain.at.0, drain.at.1),
        part_name(plan, drain.from),
        part_name(plan, drain.into)
    );
    let about = vec![part_id(plan, drain.from), part_id(plan, drain.into)];
    let mut finding = Finding::new(&CHECK, Severity::Caution, about, text, SOURCE);
    finding.measure = Some(Measure {
        found: amps.to_string(),
        limit: say!("below {}", Amps::of(DRAIN_AMPS)),
    });
    finding
}
