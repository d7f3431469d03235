//! The rows of what belongs to the plan as a whole: title, notes, thresholds; and of a place.

use super::row::{Row, Set, name, number, set, share, value};
use crate::app::words;
use crate::plan::{Edit, Place, Plan, Settings};
use crate::text::say;
use crate::units::{Share, parse};
use std::rc::Rc;

/// Title, notes and thresholds.
pub fn rows(plan: &Plan) -> Vec<Row> {
    let settings = &plan.settings;
    let threshold = |name: &str,
                     label: &str,
                     hint: &'static str,
                     now: Share,
                     field: fn(&mut Settings) -> &mut Share| {
        Row::Text(
            value(
                name,
                label,
                hint,
                words::percent(now.get()),
                changed(settings, move |settings, text| {
                    *field(settings) = Share::of(share(text)?);
                    Ok(())
                }),
            ),
            "decimal",
        )
    };
    vec![
        Row::Text(
            value(
                "title",
                say!("Title"),
                "",
                &plan.title,
                Rc::new(|text: &str| {
                    Ok(Edit::Title(name(text, say!("a title such as Hay wagon"))?))
                }),
            ),
            "text",
        ),
        Row::Long(value(
            "notes",
            say!("Notes"),
            say!("Decisions, remarks, what is still open"),
            &plan.notes,
            Rc::new(|text: &str| Ok(Edit::Notes(text.into()))),
        )),
        Row::Heading(say!("Thresholds").into()),
        Row::Note(
            say!("Light is a share of rated light. They decide the words in the behaviour table.")
                .into(),
        ),
        threshold(
            "faint",
            say!("Faint from"),
            say!("A glow seen in the dark"),
            settings.faint,
            |s| &mut s.faint,
        ),
        threshold(
            "dim",
            say!("Dim from"),
            say!("Seen by day from close by"),
            settings.dim,
            |s| &mut s.dim,
        ),
        threshold(
            "full",
            say!("Fully lit from"),
            say!("A wished lamp below it is weak"),
            settings.full,
            |s| &mut s.full,
        ),
        threshold(
            "over",
            say!("Overdriven above"),
            say!("More light than the lamp is made for"),
            settings.overdriven,
            |s| &mut s.overdriven,
        ),
        Row::Text(
            value(
                "ratio",
                say!("Flash ratio"),
                say!(
                    "Bright phase over dark phase from which it is seen to flash; 3 after SAE J588"
                ),
                settings.flash_ratio.to_string(),
                changed(settings, |settings, text| {
                    settings.flash_ratio =
                        Share::of(number(text, say!("a ratio such as 3"))?.max(1.0));
                    Ok(())
                }),
            ),
            "decimal",
        ),
        Row::Text(
            value(
                "conductor",
                say!("Conductor temperature"),
                say!("Warm copper resists more; 20 °C is the standards' own"),
                settings.conductor_c.to_string(),
                changed(settings, |settings, text| {
                    settings.conductor_c =
                        parse::celsius(text).map_err(|error| error.to_string())?;
                    Ok(())
                }),
            ),
            "text",
        ),
    ]
}

fn changed(
    settings: &Settings,
    change: impl Fn(&mut Settings, &str) -> Result<(), String> + 'static,
) -> Set {
    let settings = settings.clone();
    Rc::new(move |text| {
        let mut settings = settings.clone();
        change(&mut settings, text)?;
        Ok(Edit::Settings(settings))
    })
}

/// The rows of `place`.
pub fn place_rows(place: &Place) -> Vec<Row> {
    vec![Row::Text(
        value(
            "label",
            say!("Name"),
            say!("For example Front left"),
            &place.label,
            set(place, |place, text| {
                place.label = name(text, say!("a name such as Front left"))?;
                Ok(())
            }),
        ),
        "text",
    )]
}
