//! The form of the brief: pages in their order, what a tap does, and that every answer can be reached and changed.
#![cfg(not(target_arch = "wasm32"))]

use loomwright::behaviour::table;
use loomwright::brief::form::{Form, Page, Row, Step, Topic};
use loomwright::brief::{Brief, ControlAnswer, End, Fitting, Signal, contradictions, draft};
use loomwright::plan::{Duty, Gauge, Sizing};
use loomwright::units::Millimetres;
use std::collections::BTreeSet;

fn set(form: &Form, name: &str, text: &str) -> Form {
    form.after(&Step::Set {
        name: name.into(),
        text: text.into(),
    })
}

fn at(topic: Topic) -> Form {
    Form::new(Brief::default()).after(&Step::Open(Page::Topic(topic)))
}

#[test]
fn next_leads_through_every_page_to_the_check_and_back_again() {
    let mut form = Form::new(Brief::default());
    assert!(form.is_first());
    let mut seen = Vec::new();
    while form.page != Page::Check {
        let (number, all) = form.progress();
        seen.push(form.page);
        assert_eq!(number, seen.len());
        assert!(number < all);
        form = form.after(&Step::Next);
    }
    let (number, all) = form.progress();
    assert_eq!((number, all), (seen.len() + 1, seen.len() + 1));
    // The default has no trailer.
    assert!(!seen.contains(&Page::Topic(Topic::Trailer)));
    assert_eq!(form.answers().len(), seen.len());
    assert!(form.answers().iter().all(|answer| answer.usual));
    for page in seen.iter().rev() {
        form = form.after(&Step::Back);
        assert_eq!(form.page, *page);
    }
    assert!(form.is_first());
}

#[test]
fn a_changed_answer_leads_back_to_the_check_and_is_no_longer_usual() {
    let form = Form::checking(Brief::default()).after(&Step::Open(Page::Topic(Topic::Wiring)));
    let form = set(&form, "wiring", "wired").after(&Step::Next);
    assert_eq!(form.page, Page::Check);
    let changed: Vec<_> = form.answers().into_iter().filter(|a| !a.usual).collect();
    assert_eq!(changed.len(), 1);
    assert_eq!(changed[0].page, Page::Topic(Topic::Wiring));
}

/// Every choice of every page is taken over as it is shown, and the usual one is among them.
#[test]
fn every_choice_can_be_taken() {
    let mut taken = 0;
    let lists = [Page::Lamp(0), Page::Lamp(1), Page::Control(0)];
    let topics = Topic::ALL.into_iter().map(Page::Topic);
    for page in topics.chain(lists) {
        let form = Form::new(Brief::default()).after(&Step::Open(page));
        for row in form.rows() {
            match row {
                Row::One {
                    name,
                    value,
                    choices,
                    ..
                } => {
                    assert!(choices.iter().any(|c| c.value == value), "{page:?} {name}");
                    for choice in choices {
                        let after = set(&form, &name, &choice.value);
                        let now = after.rows().into_iter().find_map(|row| match row {
                            Row::One { name: n, value, .. } if n == name => Some(value),
                            _ => None,
                        });
                        assert_eq!(now, Some(choice.value), "{page:?} {name}");
                        taken += 1;
                    }
                }
                Row::Many { name, options, .. } => {
                    for (value, _, on) in options {
                        let twice = set(&set(&form, &name, &value), &name, &value);
                        let once = set(&form, &name, &value);
                        assert_ne!(once.brief, form.brief, "{page:?} {name} {value}");
                        let is_on = |form: &Form| {
                            form.rows().iter().any(|row| matches!(row, Row::Many { name: n, options, .. }
                                if *n == name && options.iter().any(|(v, _, on)| *v == value && *on)))
                        };
                        assert_eq!(is_on(&once), !on, "{page:?} {name} {value}");
                        assert_eq!(is_on(&twice), on, "{page:?} {name} {value}");
                        taken += 1;
                    }
                }
                Row::Field { name, value, .. } => {
                    assert_eq!(
                        form.with(&name, &value).map(|_| ()),
                        Ok(()),
                        "{page:?} {name}"
                    );
                }
                Row::Item { .. } | Row::Add { .. } => {}
            }
        }
    }
    assert!(taken > 80, "{taken}");
}

#[test]
fn numbers_read_as_people_write_them_and_a_slip_is_named() {
    let size = at(Topic::Size);
    let brief = size.with("length", "8 ft").expect("feet read");
    assert!((brief.size.length_mm.get() - 2438.4).abs() < 1e-9);
    let brief = size.with("dash-to-rear", "1,5 m").expect("metres read");
    assert!(brief.size.dash_to_rear_mm.is_some());
    let emptied = set(&set(&size, "dash-to-rear", "1,5 m"), "dash-to-rear", " ");
    assert_eq!(emptied.brief, size.brief);
    assert!(size.with("length", "long").is_err());
    assert_eq!(set(&size, "length", "long"), size);
    assert!(at(Topic::Name).with("title", "  ").is_err());
    assert!(at(Topic::Battery).with("capacity", "33 V").is_err());
}

#[test]
fn lamps_and_controls_are_added_changed_and_taken_out() {
    let lamps = at(Topic::Lamps);
    let options = |form: &Form| match form.rows().pop() {
        Some(Row::Add { options, .. }) => options,
        other => panic!("{other:?}"),
    };
    for (value, words) in options(&lamps) {
        let more = set(&lamps, "add", &value);
        assert_eq!(more.brief.lamps.len(), 3, "{words}");
        let page = Page::Lamp(2);
        assert!(!more.after(&Step::Open(page)).rows().is_empty(), "{words}");
        assert_eq!(more.after(&Step::Drop(page)).brief, lamps.brief);
        assert_eq!(
            more.after(&Step::Open(page)).after(&Step::Next).page,
            lamps.page
        );
    }
    let controls = at(Topic::Controls);
    for (value, words) in options(&controls) {
        let more = set(&controls, "add", &value);
        assert_eq!(more.brief.controls.len(), 5, "{words}");
        assert!(
            !more.after(&Step::Open(Page::Control(4))).rows().is_empty(),
            "{words}"
        );
    }
    // One filament takes over what the weak circuit told.
    let rear = lamps.after(&Step::Open(Page::Lamp(1)));
    let single = set(&rear, "fitting", "filament");
    assert_eq!(single.brief.lamps[1].fitting, Fitting::Filament);
    assert_eq!(
        single.brief.lamps[1].strong,
        [Signal::Stop, Signal::Turn, Signal::Tail]
    );
    // A new switch lights what nothing lights yet.
    let work = set(&lamps, "add", "8");
    assert_eq!(work.brief.lamps[2].strong, [Signal::Work]);
    let lit = set(
        &work.after(&Step::Open(Page::Topic(Topic::Controls))),
        "add",
        "switch",
    );
    assert_eq!(
        lit.brief.controls.last(),
        Some(&ControlAnswer::Switch {
            signals: vec![Signal::Work]
        })
    );
    assert!(contradictions(&lit.brief).is_empty());
    let trailer = set(&lamps, "add", "10");
    assert_eq!(trailer.brief.lamps[2].end, End::Trailer);
    assert_eq!(trailer.progress().1, lamps.progress().1 + 1);
}

#[test]
fn a_contradiction_is_mended_by_one_step() {
    // A work lamp without a control.
    let form = set(&at(Topic::Lamps), "add", "8").after(&Step::Check);
    let found = contradictions(&form.brief);
    assert_eq!(found.len(), 1);
    for how in 0..found[0].mends.len() {
        let mended = form.after(&Step::Mend(0, how));
        assert_eq!(mended.page, Page::Check);
        assert!(contradictions(&mended.brief).is_empty());
    }
    assert_eq!(form.after(&Step::Mend(9, 0)), form);
}

#[test]
fn steps_beyond_the_lists_change_nothing() {
    let form = at(Topic::Lamps);
    for page in [Page::Lamp(99), Page::Control(99), Page::Check] {
        assert_eq!(form.after(&Step::Drop(page)), form);
        let open = form.after(&Step::Open(page));
        assert!(open.rows().is_empty());
        assert_eq!(set(&open, "end", "rear").brief, form.brief);
    }
}

#[test]
fn the_form_as_it_stands_drafts_every_usual_duty_as_wished() {
    let plan = draft(&Form::new(Brief::default()).brief);
    assert!(table(&plan, &[]).as_wished());
    let circuits = plan.lamp_circuits();
    let duties: BTreeSet<&str> = circuits
        .iter()
        .flat_map(|lamp| lamp.duties.iter().map(|duty| duty.text()))
        .collect();
    for duty in [
        Duty::Tail,
        Duty::Stop,
        Duty::TurnLeft,
        Duty::TurnRight,
        Duty::Running,
    ] {
        assert!(duties.contains(duty.text()), "{duties:?}");
    }
    assert!(plan.controls.iter().any(|c| c.label.contains("azard")));
}

#[test]
fn the_form_speaks_in_the_units_of_the_plan() {
    let sizing = Sizing {
        feet: true,
        gauge: Gauge::Awg,
        ..Sizing::default()
    };
    let form = at(Topic::Size).in_units_of(&sizing);
    let Row::Field { value, hint, .. } = &form.rows()[0] else {
        panic!("a length is a field");
    };
    // 2500 mm are 8.2 ft (one foot is 304.8 mm by definition).
    assert_eq!((value.as_str(), hint.as_str()), ("8.2 ft", "Usual: 8.2 ft"));
    let form = set(&form, "length", "10");
    assert_eq!(form.brief.size.length_mm, Millimetres::of(3048.0));
    let form = set(&form, "width", "1300 mm");
    assert_eq!(form.brief.size.width_mm, Millimetres::of(1300.0));
    let answers = form.after(&Step::Check).answers();
    let of = |topic: Topic| {
        let answer = answers.iter().find(|a| a.page == Page::Topic(topic));
        answer.expect("an answer").lines.clone()
    };
    assert_eq!(of(Topic::Size), ["10 ft long, 4.27 ft wide"]);
    // ASTM B258: 20 AWG is 0.518 mm², 19 AWG 0.653 mm².
    assert_eq!(of(Topic::Thinnest), ["0.75 mm² (above 20 AWG)"]);
    let sizes = form.after(&Step::Open(Page::Topic(Topic::Thinnest))).rows();
    let Row::One { choices, value, .. } = &sizes[0] else {
        panic!("a size is one of several");
    };
    // Said otherwise, kept the same.
    assert_eq!(value, "0.75 mm2");
    assert!(choices.iter().all(|choice| choice.words.contains("AWG")));
}
