//! The rows of what feeds and what protects: batteries, chargers, converters, fuses.

use super::row::{Row, options, plain, rating, set, share, value};
use crate::catalog::fuse_time::Body;
use crate::catalog::{battery, fuse};
use crate::plan::{Charger, Chemistry, FuseBody, Kind, Part, Plan, Runs, position_word};
use crate::text::{self, mark, say};
use crate::units::{Amps, Share, parse, significant};

/// Caution on everything that charges a battery.
const GAS: &str = mark!(
    "A charging battery gives off gas that burns: air the box, keep sparks away, connect the ground cable last."
);

/// The rows of a battery, charger, converter or fuse; none of anything else.
pub fn rows(plan: &Plan, part: &Part) -> Vec<Row> {
    match &part.kind {
        Kind::Battery(battery) => vec![
            Row::Caution(text::of(GAS)),
            Row::Choice(
                value(
                    "chemistry",
                    say!("Chemistry"),
                    "",
                    chemistry(battery.chemistry),
                    set(part, |part, text| {
                        if let Kind::Battery(battery) = &mut part.kind
                            && let Some(c) = CHEMISTRIES.into_iter().find(|c| chemistry(*c) == text)
                        {
                            battery.chemistry = c;
                        }
                        Ok(())
                    }),
                ),
                plain(CHEMISTRIES.map(chemistry)),
            ),
            rating!(
                part,
                Battery,
                open_circuit_v,
                say!("Volts without load"),
                say!("For example 12.6 V"),
                parse::volts
            ),
            rating!(
                part,
                Battery,
                internal_mohm,
                say!("Internal resistance"),
                say!("For example 10 mΩ"),
                parse::milliohms
            ),
            rating!(
                part,
                Battery,
                capacity_ah,
                say!("Capacity"),
                say!("For example 18 Ah"),
                parse::amp_hours
            ),
        ],
        Kind::Charger(charger) => {
            let mut rows = vec![
                Row::Caution(text::of(GAS)),
                rating!(
                    part,
                    Charger,
                    output_v,
                    say!("Charging volts"),
                    say!("For example 14.4 V"),
                    parse::volts
                ),
                rating!(
                    part,
                    Charger,
                    rated_a,
                    say!("Rated current"),
                    say!("The most it gives, for example 30 A"),
                    parse::amps
                ),
                rating!(
                    part,
                    Charger,
                    internal_mohm,
                    say!("Internal resistance"),
                    say!("For example 50 mΩ"),
                    parse::milliohms
                ),
            ];
            rows.extend(runs(plan, part, charger));
            rows
        }
        Kind::Converter(converter) => vec![
            rating!(
                part,
                Converter,
                input_v,
                say!("Input volts"),
                say!("For example 48 V"),
                parse::volts
            ),
            rating!(
                part,
                Converter,
                starts_v,
                say!("Starts at"),
                say!("Input volts, for example 36 V"),
                parse::volts
            ),
            rating!(
                part,
                Converter,
                output_v,
                say!("Output volts"),
                say!("For example 13 V"),
                parse::volts
            ),
            rating!(
                part,
                Converter,
                rated_a,
                say!("Rated output current"),
                say!("The most it gives, for example 10 A"),
                parse::amps
            ),
            rating!(
                part,
                Converter,
                internal_mohm,
                say!("Internal resistance"),
                say!("Of the output, for example 30 mΩ"),
                parse::milliohms
            ),
            Row::Text(
                value(
                    "efficiency",
                    say!("Efficiency"),
                    say!("At rated output, for example 90 %"),
                    format!("{} %", significant(100.0 * converter.efficiency.get())),
                    set(part, |part, text| {
                        let efficiency = share(text)?;
                        if let Kind::Converter(converter) = &mut part.kind {
                            converter.efficiency = Share::of(efficiency);
                        }
                        Ok(())
                    }),
                ),
                "decimal",
            ),
            Row::Note(say!("Its input is counted at rated output all the time it works.").into()),
        ],
        Kind::Fuse(fuse) => vec![
            Row::Caution(say!(
                "Fuse at the source: it sits at the battery, and every wire behind it must bear its rating."
            )),
            Row::Choice(
                value(
                    "rating",
                    say!("Rating"),
                    "",
                    fuse::find_rating(fuse.rating_a)
                        .map_or_else(|| fuse.rating_a.to_string(), |row| row.key.into()),
                    set(part, |part, text| {
                        if let (Kind::Fuse(fuse), Some(row)) = (&mut part.kind, fuse::find(text)) {
                            fuse.rating_a = Amps::of(row.rating_amps);
                        }
                        Ok(())
                    }),
                ),
                options(fuse::ROWS.iter().map(|row| {
                    (
                        row.key,
                        format!("{}, {}", Amps::of(row.rating_amps), text::of(row.colour)),
                    )
                })),
            ),
            Row::Choice(
                value(
                    "body",
                    say!("Make"),
                    say!("A breaker closes again by itself once it has cooled."),
                    body(fuse.body),
                    set(part, |part, text| {
                        if let Kind::Fuse(fuse) = &mut part.kind
                            && let Some(b) = BODIES.into_iter().find(|b| body(*b) == text)
                        {
                            fuse.body = b;
                        }
                        Ok(())
                    }),
                ),
                plain(BODIES.map(body)),
            ),
        ],
        _ => Vec::new(),
    }
}

/// What a charger runs by: always, or in some positions of a control.
fn runs(plan: &Plan, part: &Part, charger: &Charger) -> Vec<Row> {
    let now = charger.runs.as_ref();
    let controls = plan.controls.clone();
    let mut rows = vec![Row::Choice(
        value(
            "runs",
            say!("Runs by"),
            say!("The control that stands for the engine or the mains plug."),
            now.map_or("", |runs| runs.control.as_str()),
            set(part, move |part, text| {
                if let Kind::Charger(charger) = &mut part.kind {
                    let control = controls.iter().find(|c| c.id.as_str() == text);
                    charger.runs = control.map(|c| Runs {
                        control: c.id.clone(),
                        positions: c.positions.last().cloned().into_iter().collect(),
                    });
                }
                Ok(())
            }),
        ),
        options(
            [(String::new(), say!("always").to_owned())]
                .into_iter()
                .chain(
                    plan.controls
                        .iter()
                        .map(|c| (c.id.to_string(), c.label.clone())),
                ),
        ),
    )];
    if let Some((runs, control)) = now.and_then(|runs| Some((runs, plan.control(&runs.control)?))) {
        rows.push(Row::Checks(
            value(
                "runs-in",
                say!("Runs in"),
                "",
                "",
                set(part, |part, text| {
                    if let Kind::Charger(charger) = &mut part.kind
                        && let Some(runs) = &mut charger.runs
                    {
                        match runs.positions.iter().position(|p| p == text) {
                            Some(at) => drop(runs.positions.remove(at)),
                            None => runs.positions.push(text.into()),
                        }
                    }
                    Ok(())
                }),
            ),
            control
                .positions
                .iter()
                .map(|p| {
                    let word = position_word(p).to_owned();
                    (p.clone(), word, runs.positions.contains(p))
                })
                .collect(),
        ));
    }
    rows
}

const BODIES: [FuseBody; 2] = [FuseBody::Blade, FuseBody::Breaker];

const fn body(body: FuseBody) -> &'static str {
    match body {
        FuseBody::Blade => Body::Blade.name(),
        FuseBody::Breaker => Body::Breaker.name(),
    }
}

const CHEMISTRIES: [Chemistry; 4] = [
    Chemistry::Flooded,
    Chemistry::Agm,
    Chemistry::Gel,
    Chemistry::Lifepo4,
];

fn chemistry(chemistry: Chemistry) -> &'static str {
    battery::find(chemistry.key()).map_or("", |row| row.name)
}
