//! What a picked part shows: its terminals with volts and wires in the state shown, the lamps whose current runs through
//! it, and what the checks say of it. Prepared rows for the screen.

use super::live::{Live, lines};
use super::overlay::LIVE_AMPS;
use super::words;
use crate::catalog::terminal;
use crate::findings::Finding;
use crate::plan::{Part, Plan, TerminalId};
use crate::text::{self, say};
use crate::units::Volts;

/// One terminal of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct TerminalRow {
    /// Its name on the part.
    pub name: String,
    /// What DIN 72552 connects there, where it is one of its numbers.
    pub meaning: &'static str,
    /// Volts against battery negative.
    pub volts: String,
    /// Its wires, each with its identity, colour and size, and the current into or out of the part.
    pub wires: Vec<(String, String)>,
}

/// A lamp circuit whose current runs through the part.
#[derive(Debug, Clone, PartialEq)]
pub struct Fed {
    /// Identity of the lamp circuit.
    pub lamp: String,
    /// What people call it.
    pub label: String,
    /// Place of the part on its path.
    pub step: usize,
}

/// Terminals of a part, in its order.
pub fn terminals(plan: &Plan, live: &Live, part: &Part) -> Vec<TerminalRow> {
    let row = |name: String| {
        let id = TerminalId {
            part: part.id.clone(),
            terminal: name.clone(),
        };
        let wires = plan.wires.iter().filter_map(|wire| {
            let out = wire.from == id;
            (out || wire.to == id).then(|| {
                let amps = live.flow(wire.id.as_str());
                let what = format!("{} {}", wire.colour, words::size(plan, &wire.size));
                (
                    wire.id.to_string(),
                    format!("{what}, {}", current([amps.on, amps.off], out, live.solved)),
                )
            })
        });
        TerminalRow {
            meaning: terminal::find(&name).map_or("", |row| text::of(row.meaning)),
            volts: volts(live.volts(&id), live.solved),
            wires: wires.collect(),
            name,
        }
    };
    part.terminals().into_iter().map(row).collect()
}

/// Volts in both phases as one text.
fn volts([on, off]: [Option<f64>; 2], solved: bool) -> String {
    if !solved {
        return say!("not solved").into();
    }
    let one = |volts: Option<f64>| {
        volts.map_or_else(
            || say!("no reading: joined to nothing").to_owned(),
            |volts| {
                // Hundredths are what a meter shows; no minus sign in front of nothing.
                let hundredths = (volts * 100.0).round() / 100.0;
                Volts::of(if hundredths == 0.0 { 0.0 } else { hundredths }).to_string()
            },
        )
    };
    phases(one(on), one(off))
}

/// Current of a wire as seen from the part; `out`: the wire's intended direction leads away from it.
fn current(amps: [f64; 2], out: bool, solved: bool) -> String {
    if !solved {
        return say!("not solved").into();
    }
    let one = |amps: f64| {
        if amps.abs() < LIVE_AMPS {
            say!("no current").to_owned()
        } else if (amps > 0.0) == out {
            say!("{} out", words::amps(amps))
        } else {
            say!("{} in", words::amps(amps))
        }
    };
    phases(one(amps[0]), one(amps[1]))
}

fn phases(on: String, off: String) -> String {
    if on == off {
        on
    } else {
        say!("{on} lit, {off} dark")
    }
}

/// The lamp circuits whose path runs through a part.
pub fn fed(plan: &Plan, live: &Live, part: &Part) -> Vec<Fed> {
    let group = format!("part-{}", part.id);
    let through = live.lamps.iter().filter_map(|lamp| {
        let path = lines(plan, lamp.path()?);
        let step = path.iter().position(|line| line.group == group)?;
        Some(Fed {
            lamp: lamp.id.clone(),
            label: lamp.label.clone(),
            step,
        })
    });
    through.collect()
}

/// What the checks say of a part or wire: severity and text.
pub fn findings_about<'a>(findings: &'a [Finding], id: &str) -> Vec<(&'static str, &'a str)> {
    let own = |about: &String| about == id || about.split(['.', ':']).next() == Some(id);
    findings
        .iter()
        .filter(|finding| finding.about.iter().any(own))
        .map(|finding| (finding.severity.word(), finding.text.as_str()))
        .collect()
}
