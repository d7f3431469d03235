//! The rows of a wire's form.

use super::row::{Row, options, set, value};
use crate::app::words;
use crate::catalog::{colour, conductor};
use crate::plan::{Plan, Wire};
use crate::text::{self, mark, say};
use crate::units::Celsius;
use yew::AttrValue;

/// Temperature classes of vehicle wire insulation, ISO 6722 classes A to E and the common 105 °C.
const CLASSES: [(f64, &str); 7] = [
    (70.0, "70 °C"),
    (85.0, mark!("85 °C (class A)")),
    (100.0, mark!("100 °C (class B)")),
    (105.0, "105 °C"),
    (125.0, mark!("125 °C (class C)")),
    (150.0, mark!("150 °C (class D)")),
    (175.0, mark!("175 °C (class E)")),
];

/// Every terminal of the plan, as options.
pub fn terminals(plan: &Plan) -> Vec<(AttrValue, AttrValue)> {
    let of_part = |part: &crate::plan::Part| {
        let name = part.label.clone();
        let id = part.id.clone();
        part.terminals().into_iter().map(move |terminal| {
            let id = format!("{id}:{terminal}");
            let text = if name.is_empty() {
                id.clone()
            } else {
                format!("{id} ({name})")
            };
            (id, text)
        })
    };
    options(plan.parts.iter().flat_map(of_part))
}

/// Every conductor size, as options.
pub fn sizes(plan: &Plan) -> Vec<(AttrValue, AttrValue)> {
    options(
        conductor::ROWS
            .iter()
            .map(|row| (row.key, plan.settings.sizing.size(row))),
    )
}

/// The rows of `wire`.
pub fn rows(plan: &Plan, wire: &Wire) -> Vec<Row> {
    let colours = || {
        colour::ROWS
            .iter()
            .map(|row| (row.key, format!("{} {}", row.key, text::of(row.name))))
    };
    let (base, stripe) = match colour::parse(&wire.colour) {
        Some((base, stripe)) => (base.key, stripe.map_or("", |row| row.key)),
        None => (wire.colour.as_str(), ""),
    };
    let mut rows = vec![
        Row::Choice(
            value(
                "from",
                say!("From (supply side)"),
                "",
                wire.from.to_string(),
                set(wire, |wire, text| {
                    wire.from = text
                        .parse()
                        .map_err(|error: crate::plan::BadId| error.to_string())?;
                    Ok(())
                }),
            ),
            terminals(plan),
        ),
        Row::Choice(
            value(
                "to",
                say!("To (load side)"),
                "",
                wire.to.to_string(),
                set(wire, |wire, text| {
                    wire.to = text
                        .parse()
                        .map_err(|error: crate::plan::BadId| error.to_string())?;
                    Ok(())
                }),
            ),
            terminals(plan),
        ),
        Row::Text(
            value(
                "length",
                say!("Length"),
                say!("Along the loom: 1500 mm, 1,5 m or 5 ft"),
                plan.settings.sizing.length_text(wire.length_mm),
                {
                    let sizing = plan.settings.sizing.clone();
                    set(wire, move |wire, text| {
                        wire.length_mm = sizing
                            .read_length(text)
                            .map_err(|error| error.to_string())?;
                        Ok(())
                    })
                },
            ),
            "text",
        ),
        Row::Choice(
            value(
                "size",
                say!("Size"),
                "",
                &wire.size,
                set(wire, |wire, text| {
                    wire.size = text.into();
                    Ok(())
                }),
            ),
            sizes(plan),
        ),
        Row::Choice(
            value(
                "colour",
                say!("Colour"),
                say!("Code after IEC 60757."),
                base,
                set(wire, |wire, text| {
                    let stripe = colour::parse(&wire.colour).and_then(|(_, stripe)| stripe);
                    wire.colour = format!("{text}{}", stripe.map_or("", |row| row.key));
                    Ok(())
                }),
            ),
            options(colours()),
        ),
        Row::Choice(
            value(
                "stripe",
                say!("Stripe"),
                "",
                stripe,
                set(wire, |wire, text| {
                    let base = colour::parse(&wire.colour).map_or("BK", |(base, _)| base.key);
                    wire.colour = format!("{base}{text}");
                    Ok(())
                }),
            ),
            options(
                [("", say!("stripe" => "none").to_owned())]
                    .into_iter()
                    .chain(colours()),
            ),
        ),
        Row::Choice(
            value(
                "insulation",
                say!("Insulation"),
                say!("Highest conductor temperature it bears."),
                format!("{}", wire.insulation_c.get()),
                set(wire, |wire, text| {
                    if let Ok(celsius) = text.parse() {
                        wire.insulation_c = Celsius::of(celsius);
                    }
                    Ok(())
                }),
            ),
            options(CLASSES.map(|(celsius, text)| (celsius.to_string(), text::of(text)))),
        ),
        Row::Text(
            value(
                "why",
                say!("Why it is there"),
                "",
                &wire.why,
                set(wire, |wire, text| {
                    wire.why = text.trim().into();
                    Ok(())
                }),
            ),
            "text",
        ),
    ];
    rows.insert(0, Row::Note(words::capital(&words::wire(plan, wire))));
    rows
}
