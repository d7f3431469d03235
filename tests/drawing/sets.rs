//! Both sets of symbols: laid out alike, both clean, chosen by the plan or by the caller.

use super::*;
use loomwright::drawing::Symbols;

const IEEE: Options = Options {
    crossings: Crossings::Plain,
    symbols: Some(Symbols::Ieee),
};

#[test]
fn both_sets_are_clean_and_laid_out_alike() {
    for (name, plan) in plans() {
        let (iec, ieee) = (draw(&plan, &Options::default()), draw(&plan, &IEEE));
        assert_eq!(verify(&plan, &ieee), Vec::<String>::new(), "{name}");
        assert_eq!(iec.terminals, ieee.terminals, "{name}");
        assert_eq!((iec.width, iec.height), (ieee.width, ieee.height), "{name}");
    }
}

#[test]
fn the_plan_chooses_unless_the_caller_does() {
    let (mut plan, usual) = wagon();
    plan.settings.symbols = Symbols::Ieee;
    let chosen = draw(&plan, &Options::default());
    assert!(chosen.groups != usual.groups);
    assert!(chosen.groups == draw(&plan, &IEEE).groups);
    let iec = Options {
        symbols: Some(Symbols::Iec),
        ..IEEE
    };
    assert!(draw(&plan, &iec).groups == usual.groups);
    let text = file::write(&plan);
    assert!(text.contains("\"symbols\": \"ieee\""));
    assert_eq!(file::read(text.as_bytes()), Ok(plan.clone()));
    plan.settings.symbols = Symbols::Iec;
    assert!(
        !file::write(&plan).contains("symbols"),
        "the usual set is not written"
    );
}

#[test]
fn contacts_of_one_control_that_lie_apart_name_each_other() {
    let (mut plan, _) = wagon();
    let mut twin = plan
        .parts
        .iter()
        .find(|p| p.id.as_str() == "S1")
        .expect("part is there")
        .clone();
    twin.id = "S9".parse().expect("id");
    plan.parts.push(twin);
    let scene = draw(&plan, &Options::default());
    assert_eq!(verify(&plan, &scene), Vec::<String>::new());
    for (id, other) in [("part-S1", "moves with S9"), ("part-S9", "moves with S1")] {
        let group = scene
            .groups
            .iter()
            .find(|g| g.id == id)
            .expect("part is drawn");
        let said = group
            .shapes
            .iter()
            .any(|s| matches!(s, Shape::Text { text, .. } if text == other));
        assert!(said, "{id} does not say {other:?}");
    }
}

/// A number that fits is printed; every number printed is one of the standard's.
#[test]
fn terminal_numbers_are_shown() {
    let (_, scene) = wagon();
    let texts = |id: &str| -> Vec<String> {
        let group = scene
            .groups
            .iter()
            .find(|g| g.id == id)
            .expect("part is drawn");
        let texts = group.shapes.iter().filter_map(|s| match s {
            Shape::Text {
                role: Role::Note,
                text,
                ..
            } => Some(text.clone()),
            _ => None,
        });
        texts.collect()
    };
    assert_eq!(texts("part-K1"), ["49", "49a"]);
}
