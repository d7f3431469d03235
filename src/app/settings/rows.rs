//! The rows of the settings: each turns a text into an edit of the plan's settings.

use crate::app::build::row::{Row, Set, options, share, value};
use crate::app::words;
use crate::catalog::ampacity::Basis;
use crate::findings::used_share;
use crate::plan::{Edit, Gauge, Plan, Rules, Sizing, position_word};
use crate::size::rewrite;
use crate::text::{self, mark, say};
use crate::units::{Celsius, Share, Volts, parse, significant};
use std::rc::Rc;

const BASES: [(Basis, &str, &str); 2] = [
    (Basis::Boats, "boats", "33 CFR 183.425, 30 °C"),
    (
        Basis::Aircraft,
        "aircraft",
        mark!("AC 43.13-1B, large harness"),
    ),
];
const RULES: [(Rules, &str, &str); 5] = [
    (Rules::None, "none", mark!("None in particular")),
    (Rules::UsRoad, "us-road", mark!("United States, road")),
    (Rules::UnRoad, "un-road", mark!("UN regulations, road")),
    (Rules::UsBoat, "us-boat", mark!("United States, boats")),
    (Rules::IsoBoat, "iso-boat", mark!("Small craft, ISO 10133")),
];
const GAUGES: [(Gauge, &str, &str); 4] = [
    (Gauge::AsIs, "as-is", mark!("Each wire as it is")),
    (Gauge::Metric, "metric", "mm²"),
    (Gauge::Awg, "awg", "AWG"),
    (Gauge::Sae, "sae", "SAE"),
];
const DROPS: [(f64, &str, &str); 3] = [
    (0.03, "0.03", mark!("3 %: feeders, navigation lights")),
    (0.05, "0.05", mark!("5 %: road lamps")),
    (0.10, "0.1", mark!("10 %: general lighting")),
];
const FUSES: [(bool, &str, &str); 2] = [
    (false, "150", mark!("150 % of the wire’s ampacity")),
    (true, "100", mark!("Not above its ampacity")),
];
const ENGINE: [(bool, &str, &str); 2] = [
    (false, "no", mark!("No")),
    (true, "yes", mark!("Yes, 50 °C at least")),
];
const LENGTHS: [(bool, &str, &str); 2] = [
    (false, "metres", mark!("Metres")),
    (true, "feet", mark!("Feet and inches")),
];

/// A setter that changes a copy of the sizing settings.
fn changed(plan: &Plan, change: impl Fn(&mut Sizing, &str) -> Result<(), String> + 'static) -> Set {
    let settings = plan.settings.clone();
    Rc::new(move |text| {
        let mut settings = settings.clone();
        change(&mut settings.sizing, text)?;
        Ok(Edit::Settings(settings))
    })
}

/// One of a list: what it stands for, its value, its words.
fn choice<T: Copy + PartialEq + 'static, const N: usize>(
    plan: &Plan,
    (name, label, hint): (&str, &str, &'static str),
    list: &'static [(T, &'static str, &'static str); N],
    now: T,
    field: fn(&mut Sizing) -> &mut T,
) -> Row {
    let known = list.iter().find(|(item, ..)| *item == now);
    let set = changed(plan, move |sizing, text| {
        if let Some((item, ..)) = list.iter().find(|(_, key, _)| *key == text) {
            *field(sizing) = *item;
        }
        Ok(())
    });
    let shown = known.map_or("", |(_, key, _)| key);
    Row::Choice(
        value(name, label, hint, shown, set),
        options(list.iter().map(|&(_, key, words)| (key, text::of(words)))),
    )
}

/// Volts that may be left to the chemistry of the battery.
fn level(
    plan: &Plan,
    name: &str,
    label: &str,
    now: Option<Volts>,
    field: fn(&mut Sizing) -> &mut Option<Volts>,
) -> Row {
    let set = changed(plan, move |sizing, text| {
        *field(sizing) = match text.trim() {
            "" => None,
            text => Some(parse::volts(text).map_err(|error| error.to_string())?),
        };
        Ok(())
    });
    let shown = now.map_or_else(String::new, |volts| volts.to_string());
    Row::Text(
        value(name, label, say!("Empty: by its chemistry"), shown, set),
        "decimal",
    )
}

/// Every row.
pub fn rows(plan: &Plan) -> Vec<Row> {
    let sizing = &plan.settings.sizing;
    let mut rows = vec![
        Row::Heading(say!("Rules").into()),
        choice(
            plan,
            (
                "rules",
                say!("Jurisdiction"),
                say!("Hints only: local code and inspection decide"),
            ),
            &RULES,
            sizing.rules,
            |s| &mut s.rules,
        ),
        choice(
            plan,
            ("basis", say!("Ampacity of wires"), ""),
            &BASES,
            sizing.basis,
            |s| &mut s.basis,
        ),
        Row::Choice(
            value(
                "drop",
                say!("Largest voltage drop"),
                say!("Along the wires of a lamp, there and back"),
                sizing.allowed_drop.get().to_string(),
                changed(plan, |sizing, text| {
                    let known = DROPS.iter().find(|(_, key, _)| *key == text);
                    known
                        .iter()
                        .for_each(|(share, ..)| sizing.allowed_drop = Share::of(*share));
                    Ok(())
                }),
            ),
            options(DROPS.map(|(_, key, words)| (key, text::of(words)))),
        ),
        choice(
            plan,
            (
                "fuses",
                say!("Largest fuse"),
                say!("150 % by 33 CFR 183.455; not above by AC 43.13-1B"),
            ),
            &FUSES,
            sizing.strict_fuses,
            |s| &mut s.strict_fuses,
        ),
        Row::Heading(say!("Surroundings").into()),
        Row::Text(
            value(
                "ambient",
                say!("Air around wires and parts"),
                say!("30 °C is the tables' own"),
                sizing.ambient_c.to_string(),
                changed(plan, |sizing, text| {
                    let read = parse::celsius(text).map_err(|error| error.to_string())?;
                    sizing.ambient_c = read.clamp(Celsius::of(-60.0), Celsius::of(150.0));
                    Ok(())
                }),
            ),
            "text",
        ),
        choice(
            plan,
            ("engine", say!("Through an engine space"), ""),
            &ENGINE,
            sizing.engine_space,
            |s| &mut s.engine_space,
        ),
        Row::Text(
            value(
                "bundle",
                say!("Wires in the fullest bundle"),
                say!("That carry current at the same time"),
                sizing.bundle.to_string(),
                changed(plan, |sizing, text| {
                    let read = text
                        .trim()
                        .parse::<u16>()
                        .ok()
                        .filter(|n| (1..=500).contains(n));
                    sizing.bundle = read.ok_or_else(|| {
                        say!(
                            "‘{}’ does not read as a count; enter a number such as 4.",
                            text.trim()
                        )
                    })?;
                    Ok(())
                }),
            ),
            "numeric",
        ),
        Row::Heading(say!("Units").into()),
        choice(
            plan,
            (
                "gauge",
                say!("Sizes of wire"),
                say!("‘Size everything’ chooses from these"),
            ),
            &GAUGES,
            sizing.gauge,
            |s| &mut s.gauge,
        ),
        choice(
            plan,
            ("lengths", say!("Lengths"), ""),
            &LENGTHS,
            sizing.feet,
            |s| &mut s.feet,
        ),
    ];
    if let Some(edit) = rewrite(plan) {
        rows.push(Row::Button(
            say!("Change every wire to these sizes, none thinner").into(),
            edit,
        ));
    }
    rows.push(Row::Heading(say!("Battery").into()));
    rows.push(level(
        plan,
        "low",
        say!("Volts when it is low"),
        sizing.low_v,
        |s| &mut s.low_v,
    ));
    rows.push(level(
        plan,
        "charging",
        say!("Volts while it is charged"),
        sizing.charging_v,
        |s| &mut s.charging_v,
    ));
    rows.push(Row::Heading(say!("How it is used").into()));
    rows.push(Row::Note(
        say!("The share of time each control is moved while the vehicle is in use; run time of the battery follows from it.").into(),
    ));
    for (c, control) in plan.controls.iter().enumerate() {
        for (p, position) in control.positions.iter().enumerate().skip(1) {
            let (id, key) = (control.id.clone(), position.clone());
            rows.push(Row::Text(
                value(
                    &format!("used-{id}-{p}"),
                    &words::capital(&format!("{} {}", control.label, position_word(position))),
                    "",
                    format!("{} %", significant(100.0 * used_share(plan, c, p))),
                    changed(plan, move |sizing, text| {
                        let read = share(text)?.min(1.0);
                        sizing
                            .used
                            .entry(id.clone())
                            .or_default()
                            .insert(key.clone(), Share::of(read));
                        Ok(())
                    }),
                ),
                "decimal",
            ));
        }
    }
    rows
}
