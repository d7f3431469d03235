//! The page of one lamp group, and the groups that can be added ready-made.

use super::words::{ACROSS, ENDS, FITTINGS, LIGHTS, signals};
use super::{Choice, Row, many, one, take, toggle};
use crate::brief::fitting::lamp_row;
use crate::brief::{Across, Brief, End, Fitting, Lamps, Signal};
use crate::catalog::lamp;
use crate::plan::Light;
use crate::text::{self, mark, say};

/// A lamp group of the trade.
struct Ready {
    words: &'static str,
    end: End,
    across: Across,
    fitting: Fitting,
    light: Light,
    strong: &'static [Signal],
    weak: &'static [Signal],
}

const READY: [Ready; 11] = [
    ready(
        mark!("front pair: turn and running"),
        End::Front,
        Light::Amber,
        &[Signal::Turn],
        &[Signal::Running],
    ),
    ready(
        mark!("rear pair: stop, turn and tail"),
        End::Rear,
        Light::Red,
        &[Signal::Stop, Signal::Turn],
        &[Signal::Tail],
    ),
    ready(
        mark!("rear pair: stop and tail"),
        End::Rear,
        Light::Red,
        &[Signal::Stop],
        &[Signal::Tail],
    ),
    ready(
        mark!("rear pair: turn"),
        End::Rear,
        Light::Amber,
        &[Signal::Turn],
        &[],
    ),
    ready(
        mark!("front pair: headlamps"),
        End::Front,
        Light::White,
        &[Signal::Head],
        &[],
    ),
    ready(
        mark!("side pair: markers"),
        End::Side,
        Light::Amber,
        &[Signal::Marker],
        &[],
    ),
    middle(
        mark!("rear: licence plate lamp"),
        Light::White,
        Signal::Licence,
    ),
    middle(mark!("rear: reversing lamp"), Light::White, Signal::Reverse),
    middle(mark!("rear: work lamp"), Light::White, Signal::Work),
    middle(mark!("rear: fog lamp"), Light::Red, Signal::Fog),
    ready(
        mark!("trailer pair: stop, turn and tail"),
        End::Trailer,
        Light::Red,
        &[Signal::Stop, Signal::Turn],
        &[Signal::Tail],
    ),
];

const fn ready(
    words: &'static str,
    end: End,
    light: Light,
    strong: &'static [Signal],
    weak: &'static [Signal],
) -> Ready {
    let fitting = if weak.is_empty() {
        Fitting::Filament
    } else {
        Fitting::TwoFilaments
    };
    Ready {
        words,
        end,
        across: Across::Pair,
        fitting,
        light,
        strong,
        weak,
    }
}

const fn middle(words: &'static str, light: Light, signal: Signal) -> Ready {
    let strong: &'static [Signal] = match signal {
        Signal::Licence => &[Signal::Licence],
        Signal::Reverse => &[Signal::Reverse],
        Signal::Work => &[Signal::Work],
        _ => &[Signal::Fog],
    };
    Ready {
        across: Across::Centre,
        ..ready(words, End::Rear, light, strong, &[])
    }
}

/// What can be added, by place in the list.
pub fn to_add() -> Vec<(String, String)> {
    let listed = READY.iter().enumerate();
    listed
        .map(|(i, ready)| (i.to_string(), text::of(ready.words).to_owned()))
        .collect()
}

/// Adds a ready-made group by its place in the list.
pub fn add(brief: &mut Brief, text: &str) {
    let Some(ready) = text.parse::<usize>().ok().and_then(|i| READY.get(i)) else {
        return;
    };
    brief.lamps.push(Lamps {
        end: ready.end,
        across: ready.across,
        fitting: ready.fitting,
        light: ready.light,
        strong: ready.strong.into(),
        weak: ready.weak.into(),
        model: None,
    });
}

/// The rows of a group's page.
pub fn rows(brief: &Brief, at: usize) -> Vec<Row> {
    let Some(lamps) = brief.lamps.get(at) else {
        return Vec::new();
    };
    let two = lamps.fitting.circuits() > 1;
    let strong = if two {
        say!("The strong circuit tells")
    } else {
        say!("They tell")
    };
    let mut rows = vec![
        one("end", say!("Where"), lamps.end, None, &ENDS),
        one("across", say!("How many"), lamps.across, None, &ACROSS),
        many("strong", strong, &lamps.strong, signals(&Signal::ALL)),
        one(
            "fitting",
            say!("Light from"),
            lamps.fitting,
            None,
            &FITTINGS,
        ),
    ];
    if two {
        rows.insert(
            3,
            many(
                "weak",
                say!("The weak circuit tells"),
                &lamps.weak,
                signals(&Signal::ALL),
            ),
        );
    }
    rows.push(one(
        "light",
        say!("Colour of the light"),
        lamps.light,
        None,
        &LIGHTS,
    ));
    if lamps.fitting.has_filaments() {
        rows.push(model(brief, lamps));
    }
    rows
}

fn model(brief: &Brief, lamps: &Lamps) -> Row {
    let unanswered = Lamps {
        model: None,
        ..lamps.clone()
    };
    let usual = lamp_row(brief, &unanswered).map_or("", |row| row.key);
    let volts = brief.system.lamp_volts();
    let fits = |row: &&lamp::Row| {
        row.nominal_volts == volts && row.filaments.len() == lamps.fitting.circuits()
    };
    Row::One {
        name: "model".into(),
        label: say!("Lamp type").into(),
        value: lamp_row(brief, lamps).map_or("", |row| row.key).into(),
        choices: lamp::rows()
            .filter(fits)
            .map(|row| Choice {
                value: row.key.into(),
                words: row.key.into(),
                usual: row.key == usual,
            })
            .collect(),
    }
}

/// Takes an answer of the page.
pub fn set(brief: &mut Brief, at: usize, name: &str, text: &str) {
    let Some(lamps) = brief.lamps.get_mut(at) else {
        return;
    };
    match name {
        "end" => take(&mut lamps.end, text),
        "across" => take(&mut lamps.across, text),
        "strong" => toggle(&mut lamps.strong, text),
        "weak" => toggle(&mut lamps.weak, text),
        "light" => take(&mut lamps.light, text),
        "fitting" => {
            take(&mut lamps.fitting, text);
            lamps.model = None;
            if lamps.fitting.circuits() == 1 {
                // What both circuits told, the one tells.
                let weak = core::mem::take(&mut lamps.weak);
                let new = weak.into_iter().filter(|s| !lamps.strong.contains(s));
                let new: Vec<Signal> = new.collect();
                lamps.strong.extend(new);
            }
        }
        "model" => {
            lamps.model = None;
            let usual = lamp_row(brief, &brief.lamps[at].clone()).map(|row| row.key);
            brief.lamps[at].model = (usual != Some(text)).then(|| text.to_owned());
        }
        _ => {}
    }
}

/// The signals that lamps show, then those of `also`.
pub fn shown(brief: &Brief, also: &[Signal]) -> Vec<Signal> {
    let shows = |signal: &Signal| {
        let mut all = brief
            .lamps
            .iter()
            .flat_map(|l| l.strong.iter().chain(&l.weak));
        all.any(|s| s == signal) || also.contains(signal)
    };
    Signal::ALL.into_iter().filter(shows).collect()
}
