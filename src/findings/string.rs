//! Batteries in series (48 V of a cart): nothing may be fed from between two of them.
//!
//! A lamp on one battery of a string runs that one down alone; charged together with the others it stays low and ages, while
//! the others are overcharged. A converter takes from all of them alike.
//! Method: terminals that wires join are one net; a net with the plus of one battery and the minus of another is a tap.
//! What leads current on (fuses, contacts, diodes, plugs, grounds) is then followed from it to any part that uses current.

use super::{Check, Evidence, Finding, Remedy, Severity, listed};
use crate::catalog::{fuse_rule, transient};
use crate::plan::{
    Battery, Change, Converter, Edit, Extra, Fuse, FuseBody, Kind, Part, PartId, Plan, TerminalId,
    Wire,
};
use crate::text::{mark, say};
use crate::units::order::{OrdMap, OrdSet};
use crate::units::{Amps, Millimetres, Milliohms, Share, Volts};

pub(super) const CHECK: Check = Check {
    name: mark!("battery string"),
    what: mark!("Nothing is fed from between two batteries in series."),
    run,
};

const SOURCE: &str = mark!(
    "common practice: a 48 V cart feeds its lamps through a converter, never from one battery of the string"
);
/// Output of a converter for 12 V lamps, efficiency, and share of its input from which it works: common practice.
const OUTPUT_V: f64 = 12.5;
const EFFICIENCY: f64 = 0.88;
const STARTS_SHARE: f64 = 0.85;
/// Share of its rating that a converter is loaded to.
const LOAD: f64 = 0.8;
/// Ratings that converters are made in, in amperes.
const RATINGS: [f64; 7] = [5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0];
/// Wires added with a converter: to its fuse, and on, in millimetres.
const TO_FUSE_MM: f64 = 150.0;
const BESIDE_MM: f64 = 500.0;

/// Sets of terminals that are joined.
#[derive(Clone, Default)]
struct Nets {
    index: OrdMap<TerminalId, usize>,
    parent: Vec<usize>,
}

impl Nets {
    fn at(&mut self, terminal: &TerminalId) -> usize {
        let next = self.parent.len();
        let at = *self.index.entry(terminal.clone()).or_insert(next);
        if at == next {
            self.parent.push(next);
        }
        self.root(at)
    }

    fn root(&self, mut at: usize) -> usize {
        while self.parent[at] != at {
            at = self.parent[at];
        }
        at
    }

    fn join(&mut self, a: &TerminalId, b: &TerminalId) {
        let (a, b) = (self.at(a), self.at(b));
        self.parent[a.max(b)] = a.min(b);
    }
}

/// Pairs of a part's terminals that current passes from one to the other; `None` for what uses or makes current.
fn led_on(part: &Part) -> Option<Vec<(String, String)>> {
    let one = |a: &str, b: &str| Some(vec![(a.to_owned(), b.to_owned())]);
    match &part.kind {
        Kind::Fuse(_) => one("1", "2"),
        Kind::Flasher(_) => one("49", "49a"),
        Kind::Diode(_) => one("A", "K"),
        Kind::Switch(switch) => {
            let contacts = switch.contacts.iter();
            Some(contacts.map(|c| (c.from.clone(), c.to.clone())).collect())
        }
        Kind::Connector(plug) => {
            let ways = plug.ways.iter();
            Some(
                ways.map(|way| (format!("{way}a"), format!("{way}b")))
                    .collect(),
            )
        }
        Kind::Splice(_) | Kind::Ground(_) => Some(Vec::new()),
        Kind::Relay(_) => Some(vec![
            ("30".into(), "87".into()),
            ("30".into(), "87a".into()),
        ]),
        _ => None,
    }
}

fn batteries(plan: &Plan) -> impl Iterator<Item = (&Part, &Battery)> {
    plan.parts.iter().filter_map(|part| match &part.kind {
        Kind::Battery(battery) => Some((part, battery)),
        _ => None,
    })
}

fn end(part: &Part, name: &str) -> TerminalId {
    TerminalId::new(&part.id, name)
}

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    if batteries(plan).nth(1).is_none() {
        return;
    }
    let mut wired = Nets::default();
    for wire in &plan.wires {
        wired.join(&wire.from, &wire.to);
    }
    let mut led = wired.clone();
    let chassis: Vec<TerminalId> = plan
        .parts
        .iter()
        .filter(|part| matches!(part.kind, Kind::Ground(_)))
        .map(|part| end(part, "31"))
        .collect();
    for pair in chassis.windows(2) {
        led.join(&pair[0], &pair[1]);
    }
    for part in &plan.parts {
        for (a, b) in led_on(part).into_iter().flatten() {
            led.join(&end(part, &a), &end(part, &b));
        }
    }
    for (lower, _) in batteries(plan) {
        let net = wired.at(&end(lower, "+"));
        let upper = batteries(plan)
            .find(|(part, _)| part.id != lower.id && wired.at(&end(part, "-")) == net);
        let Some((upper, _)) = upper else { continue };
        let tap = led.at(&end(lower, "+"));
        let string = string(plan, &mut wired, lower, upper);
        let (Some(bottom), Some(top)) = (string.first(), string.last()) else {
            continue;
        };
        // Where switches join the tap to an end of the string (series and parallel by hand), nothing is said.
        if led.at(&end(top, "+")) == tap || led.at(&end(bottom, "-")) == tap {
            continue;
        }
        let ids: OrdSet<PartId> = string.iter().map(|part| part.id.clone()).collect();
        let uses = |part: &&Part| !ids.contains(&part.id) && led_on(part).is_none();
        let mut fed: Vec<String> = Vec::new();
        for part in plan.parts.iter().filter(uses) {
            if part
                .terminals()
                .iter()
                .any(|name| led.at(&end(part, name)) == tap)
            {
                fed.push(part.id.to_string());
            }
        }
        if fed.is_empty() {
            continue;
        }
        let leaves = |wire: &&Wire| {
            let ends = [&wire.from, &wire.to].map(|e| ids.contains(&e.part));
            ends[0] != ends[1]
                && [&wire.from, &wire.to].iter().any(|e| {
                    ids.contains(&e.part)
                        && wired.index.get(*e).is_some_and(|&at| wired.root(at) == net)
                })
        };
        let taps: Vec<&Wire> = plan.wires.iter().filter(leaves).collect();
        let amps: f64 = taps
            .iter()
            .filter_map(|tap| plan.wires.iter().position(|wire| wire.id == tap.id))
            .filter_map(|wire| evidence.loads.wire(wire))
            .map(|load| load.worst())
            .sum();
        let text = say!(
            "{} hang between {} and {}, on a part of the string of {} batteries: that part runs down alone, and charging overfills \
             the others. Feed them through a converter from the whole string.",
            listed(&fed),
            lower.id,
            upper.id,
            string.len(),
        );
        let mut about = vec![lower.id.to_string()];
        about.extend(fed);
        let cure = through_converter(plan, &string, lower, &taps, amps);
        out.push(
            Finding::new(&CHECK, Severity::Fault, about, text, SOURCE)
                .measured(Amps::of(amps).to_string(), "0 A".into())
                .cured_by([cure]),
        );
    }
}

/// The string that two batteries belong to, from its minus end to its plus end.
fn string<'a>(plan: &'a Plan, wired: &mut Nets, lower: &'a Part, upper: &'a Part) -> Vec<&'a Part> {
    let mut string = vec![lower, upper];
    loop {
        let known = |part: &Part, string: &[&Part]| string.iter().any(|other| other.id == part.id);
        let (bottom, top) = (
            wired.at(&end(string[0], "-")),
            wired.at(&end(string[string.len() - 1], "+")),
        );
        let below =
            batteries(plan).find(|(p, _)| !known(p, &string) && wired.at(&end(p, "+")) == bottom);
        let above =
            batteries(plan).find(|(p, _)| !known(p, &string) && wired.at(&end(p, "-")) == top);
        match (below, above) {
            (Some((part, _)), _) => string.insert(0, part),
            (None, Some((part, _))) => string.push(part),
            (None, None) => return string,
        }
    }
}

/// A converter from the whole string in the place of the tap; only where the tap's return is the end of the string.
fn through_converter(
    plan: &Plan,
    string: &[&Part],
    lower: &Part,
    taps: &[&Wire],
    amps: f64,
) -> Option<Remedy> {
    let (bottom, top) = (string.first()?, string.last()?);
    let model = taps.first().filter(|_| lower.id == bottom.id)?;
    let total: f64 = batteries(plan)
        .filter(|(part, _)| string.iter().any(|p| p.id == part.id))
        .map(|(_, battery)| battery.open_circuit_v.get())
        .sum();
    let input_v = transient::at(total).nominal_volts;
    let rated = RATINGS
        .into_iter()
        .find(|&rated| LOAD * rated >= 1.1 * amps)?;
    let input = rated * OUTPUT_V / EFFICIENCY / (STARTS_SHARE * input_v);
    let fuse_row = fuse_rule::fuse_for_load(Amps::of(input))?;
    let (fuse, converter) = (plan.free_part_id("F"), plan.free_part_id("T"));
    let part = |id: &PartId, label: &str, why: &str, kind| {
        Edit::add_part(Part {
            id: id.clone(),
            label: label.into(),
            place: lower.place.clone(),
            why: why.into(),
            kind,
            extra: Extra::new(),
        })
    };
    let mut edits = vec![
        part(
            &fuse,
            say!("Converter fuse"),
            say!("protects the wires to the converter"),
            Kind::Fuse(Fuse {
                rating_a: Amps::of(fuse_row.rating_amps),
                body: FuseBody::Blade,
                extra: Extra::new(),
            }),
        ),
        part(
            &converter,
            say!("Converter"),
            say!("feeds the lamps from all batteries alike"),
            Kind::Converter(Converter {
                input_v: Volts::of(input_v),
                output_v: Volts::of(OUTPUT_V),
                rated_a: Amps::of(rated),
                internal_mohm: Milliohms::of(10.0),
                efficiency: Share::of(EFFICIENCY),
                starts_v: Volts::of(STARTS_SHARE * input_v),
                extra: Extra::new(),
            }),
        ),
    ];
    let at = |name: &str| TerminalId::new(&converter, name);
    for tap in taps {
        let mut item = (*tap).clone();
        if string.iter().any(|part| part.id == item.from.part) {
            item.from = at("out+");
        } else {
            item.to = at("out+");
        }
        let id = tap.id.clone();
        edits.push(Edit::Wire(Change::Replace { id, item }));
    }
    let mut numbered = plan.clone();
    for (from, to, mm, why) in [
        (
            end(top, "+"),
            TerminalId::new(&fuse, "1"),
            TO_FUSE_MM,
            say!("string to fuse, kept short"),
        ),
        (
            TerminalId::new(&fuse, "2"),
            at("in+"),
            BESIDE_MM,
            say!("feed of the converter"),
        ),
        (
            at("in-"),
            end(bottom, "-"),
            BESIDE_MM,
            say!("return of the converter"),
        ),
        (
            at("out-"),
            end(bottom, "-"),
            BESIDE_MM,
            say!("return of the lamps"),
        ),
    ] {
        let wire = Wire {
            id: numbered.free_wire_id(),
            from,
            to,
            length_mm: Millimetres::of(mm),
            why: why.into(),
            ..(*model).clone()
        };
        numbered.wires.push(wire.clone());
        edits.push(Edit::add_wire(wire));
    }
    Some(Remedy {
        title: say!("Feed them through a converter of {}", Amps::of(rated)),
        edit: Edit::All(edits),
    })
}
