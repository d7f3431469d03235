//! Everything in German with a decimal comma: what people read is German, what machines read is as ever.
//!
//! Method: the catalogue of a run can be chosen once only, so these tests have a binary of their own. Drafts are
//! compared with the examples shipped, which were drafted in English.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::behaviour::table;
use loomwright::brief::form::{Form, Page, Row, Step, Topic};
use loomwright::brief::{Brief, ControlAnswer, Lit, Signal, Socket, draft, redraft};
use loomwright::drawing::{Options, Overlay, draw, escaped, export, plan_of};
use loomwright::findings::findings;
use loomwright::plan::{Kind, Plan, file};
use loomwright::share::page;
use loomwright::text::{self, Catalogue, po};
use loomwright::units::{AmpHours, Amps, Millimetres, Volts};
use serde_json::Value;

fn in_german() {
    let read = po::read(include_str!("../static/text/de.po"));
    assert!(read.unread.is_empty() && read.texts.len() > 1000);
    text::choose(Catalogue {
        language: "de".into(),
        decimal: ',',
        texts: read.texts,
    });
    assert_eq!((text::language(), text::decimal()), ("de", ','));
}

/// The saved answers by file name, with the example drafted from them.
const EXAMPLES: [(&str, &str); 3] = [
    ("01-parade-wagon", "parade-wagon"),
    ("02-ferry-slip-tractor", "ferry-slip-tractor"),
    ("03-orchard-float", "orchard-float"),
];

fn text_of(path: &str) -> String {
    let path = format!("{}/{path}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}

fn brief(name: &str) -> Brief {
    let text = text_of(&format!("tests/fixtures/briefs/{name}.json"));
    serde_json::from_str(&text).expect("a brief")
}

/// Takes out what is said in a language; how many words there were.
fn without_words(value: &mut Value) -> usize {
    match value {
        Value::Object(map) => {
            let words = ["label", "why", "notes", "language"];
            let said = words.iter().filter(|word| map.remove(**word).is_some());
            said.count() + map.values_mut().map(without_words).sum::<usize>()
        }
        Value::Array(list) => list.iter_mut().map(without_words).sum(),
        _ => 0,
    }
}

#[test]
fn a_draft_is_the_same_but_for_its_words_and_reads_back() {
    in_german();
    for (answers, example) in EXAMPLES {
        let plan = draft(&brief(answers));
        let written = file::write(&plan);
        let again = file::read(written.as_bytes()).expect("reads back");
        assert_eq!(again, plan, "{example}");
        let shipped = text_of(&format!("static/examples/{example}.json"));
        let mut german: Value = serde_json::from_str(&written).expect("JSON");
        let mut english: Value = serde_json::from_str(&shipped).expect("JSON");
        assert_ne!(german, english);
        // Both have the same words, but for the one that names the language.
        assert_eq!(
            without_words(&mut german),
            without_words(&mut english) + 1,
            "{example}"
        );
        assert_eq!(german, english, "{example}");
    }
}

#[test]
fn an_english_plan_is_drafted_anew_in_german_and_a_german_one_is_left_alone() {
    in_german();
    for (answers, example) in EXAMPLES {
        let answers = brief(answers);
        let shipped = text_of(&format!("static/examples/{example}.json"));
        let english = file::read(shipped.as_bytes()).expect("an example");
        let anew = redraft(&english, &answers);
        assert_eq!(anew.plan, draft(&answers), "{example}");
        assert!(anew.kept.is_empty(), "{:?}", anew.kept);
        assert_eq!(anew.lost.len(), 1, "{:?}", anew.lost);
        let once_more = redraft(&anew.plan, &answers);
        assert_eq!(once_more.plan, anew.plan);
        assert!(once_more.kept.is_empty() && once_more.lost.is_empty());
    }
}

/// The values of attributes that hold numbers.
fn numbers(svg: &str) -> Vec<&str> {
    let names = [
        "x",
        "y",
        "cx",
        "cy",
        "r",
        "d",
        "width",
        "height",
        "viewBox",
        "font-size",
        "stroke-width",
        "transform",
    ];
    let mut found = Vec::new();
    for name in names {
        let start = format!(" {name}=\"");
        for (at, _) in svg.match_indices(&start) {
            let from = &svg[at + start.len()..];
            found.push(&from[..from.find('"').expect("a closing mark")]);
        }
    }
    found
}

#[test]
fn no_number_of_a_drawing_has_a_comma_and_the_plan_in_it_reads_back() {
    in_german();
    let mut with_comma_in_text = 0;
    for (answers, example) in EXAMPLES {
        let plan = draft(&brief(answers));
        let scene = draw(&plan, &Options::default());
        let svg = export(&plan, &scene, &Overlay::new());
        let all = numbers(&svg);
        assert!(all.len() > 200, "{example}: {}", all.len());
        let wrong: Vec<&&str> = all.iter().filter(|text| text.contains(',')).collect();
        assert!(wrong.is_empty(), "{example}: {wrong:?}");
        assert_eq!(plan_of(&svg), Some(Ok(plan)), "{example}");
        with_comma_in_text += usize::from(svg.contains(">0,75<") || svg.contains(" 0,75<"));
    }
    assert!(
        with_comma_in_text > 0,
        "sizes of wires have the decimal comma"
    );
}

/// Answers with numbers that have decimals, and something on every page of the form.
fn full() -> Form {
    let mut brief = brief("03-orchard-float");
    brief.capacity_ah = AmpHours::of(7.2);
    brief.size.width_mm = Millimetres::of(987.0);
    brief.size.battery_to_dash_mm = Some(Millimetres::of(99.5));
    brief.size.dash_to_front_mm = Some(Millimetres::of(0.125));
    brief.socket = Some(Socket::FourWay);
    let lit = |name: &str, signal| Lit {
        name: name.into(),
        signals: vec![signal],
    };
    brief.controls.push(ControlAnswer::Selector {
        positions: vec![lit("first", Signal::Work), lit("second", Signal::Head)],
    });
    Form::checking(brief)
}

#[test]
fn every_row_of_the_form_reads_back_what_it_shows() {
    in_german();
    let form = full();
    let lamps = (0..form.brief.lamps.len()).map(Page::Lamp);
    let controls = (0..form.brief.controls.len()).map(Page::Control);
    let topics = Topic::ALL.into_iter().map(Page::Topic);
    let (mut fields, mut commas, mut choices, mut ticks) = (0, 0, 0, 0);
    for page in topics.chain(lamps).chain(controls) {
        let form = form.after(&Step::Open(page));
        for row in form.rows() {
            match row {
                Row::Field { name, value, .. } => {
                    assert_eq!(form.with(&name, &value), Ok(form.brief.clone()), "{value}");
                    fields += 1;
                    commas += usize::from(value.contains(','));
                }
                Row::One {
                    name,
                    value,
                    choices: all,
                    ..
                } => {
                    assert_eq!(form.with(&name, &value), Ok(form.brief.clone()), "{value}");
                    for choice in all {
                        let text = choice.value.clone();
                        let after = form.after(&Step::Set {
                            name: name.clone(),
                            text: text.clone(),
                        });
                        let shown = after.rows().into_iter().find(
                            |row| matches!(row, Row::One { name: known, .. } if *known == name),
                        );
                        let Some(Row::One { value, .. }) = shown else {
                            panic!("{name}: {shown:?}");
                        };
                        assert_eq!(value, text, "{name}");
                        choices += 1;
                    }
                }
                Row::Many { name, options, .. } => {
                    for (value, _, taken) in options {
                        let step = Step::Set {
                            name: name.clone(),
                            text: value.clone(),
                        };
                        let after = form.after(&step);
                        let shown = after.rows().into_iter().find_map(|row| match row {
                            Row::Many {
                                name: known,
                                options,
                                ..
                            } if known == name => Some(options),
                            _ => None,
                        });
                        let options = shown.unwrap_or_else(|| panic!("{name}"));
                        let now = options.iter().find(|(known, _, _)| *known == value);
                        assert!(
                            now.is_none_or(|(_, _, now)| *now != taken),
                            "{name} {value}"
                        );
                        ticks += 1;
                    }
                }
                Row::Item { .. } | Row::Add { .. } => {}
            }
        }
    }
    assert!(fields >= 8 && commas >= 3, "{fields} {commas}");
    assert!(choices > 60 && ticks > 60, "{choices} {ticks}");
}

/// English words that German does not have, as they stand between other words.
const ENGLISH: [&str; 24] = [
    "the", "and", "or", "is", "are", "of", "to", "at", "with", "from", "wire", "wires", "fuse",
    "lamp", "lamps", "switch", "battery", "ground", "take", "which", "by", "left", "right", "not",
];

/// English words in a text.
fn english_in(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| ENGLISH.contains(word))
        .collect()
}

/// Whether a number with this mark and decimals stands in the text, such as `1,5`.
fn has_decimal(text: &str, mark: char) -> bool {
    let letters: Vec<char> = text.chars().collect();
    letters
        .windows(3)
        .any(|w| w[0].is_ascii_digit() && w[1] == mark && w[2].is_ascii_digit())
}

/// A drafted plan with much wrong in it.
fn faulty() -> Plan {
    let mut answers = brief("02-ferry-slip-tractor");
    // What the user wrote is in the user's language.
    answers.notes.clear();
    answers.title = "Schlepper".into();
    let mut plan = draft(&answers);
    for part in &mut plan.parts {
        match &mut part.kind {
            Kind::Fuse(fuse) => fuse.rating_a = Amps::of(40.0),
            Kind::Battery(battery) => battery.open_circuit_v = Volts::of(13.7),
            _ => {}
        }
    }
    for wire in &mut plan.wires {
        wire.size = "0.5 mm2".into();
        wire.length_mm = Millimetres::of(7.0 * wire.length_mm.get());
    }
    let lost = plan.wires.iter().position(|wire| wire.to.terminal == "31");
    plan.wires.remove(lost.expect("a ground wire"));
    plan
}

#[test]
fn findings_and_the_shared_page_are_german_with_a_decimal_comma() {
    in_german();
    let plan = faulty();
    let table = table(&plan, &[]);
    let found = findings(&plan, &table);
    assert!(found.len() > 10, "{}", found.len());
    let mut commas = 0;
    for finding in &found {
        let remedies = finding.remedies.iter().map(|cure| cure.title.as_str());
        for text in core::iter::once(finding.text.as_str()).chain(remedies) {
            assert_eq!(english_in(text), Vec::<&str>::new(), "{text}");
            assert!(!has_decimal(text, '.'), "{text}");
            commas += usize::from(has_decimal(text, ','));
        }
    }
    assert!(commas > 3, "{commas}");
    let html = page(&plan, &table, &found);
    assert!(html.contains("<html lang=\"de\">") && html.contains("<h2>Leitungen</h2>"));
    let before = html
        .split("<svg")
        .next()
        .expect("what stands before the drawing");
    let after = html.split("</svg>").nth(1).expect("what stands behind it");
    let head = before.split("</style>").nth(1).expect("what is no style");
    for piece in head.split('<').chain(after.split('<')) {
        let words = piece.split_once('>').map_or("", |(_, words)| words);
        // Works that a rule comes from keep their titles.
        if !found
            .iter()
            .any(|finding| escaped(text::of(finding.source)) == words)
        {
            assert_eq!(english_in(words), Vec::<&str>::new(), "{words}");
        }
    }
}
