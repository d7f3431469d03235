//! Exported drawings carry their plan, whatever is written in it.

use super::*;
use loomwright::drawing::{export, plan_of};

#[test]
fn an_exported_drawing_holds_its_plan() {
    for (name, plan) in plans() {
        let scene = draw(&plan, &Options::default());
        let text = export(&plan, &scene, &Overlay::new());
        assert!(text.contains("<style>"), "{name} needs no other file");
        assert!(!text.contains("href"), "{name} names another file");
        assert_eq!(plan_of(&text), Some(Ok(plan)), "{name}");
    }
}

/// A file answers no taps: it lacks the places for fingers, and nothing else that the page shows.
#[test]
fn a_file_shows_what_the_page_shows_without_places_to_tap() {
    let (plan, scene) = wagon();
    let page = svg(&scene, &Overlay::new(), Style::Linked);
    let file = export(&plan, &scene, &Overlay::new());
    let taps = |text: &str| {
        (
            text.matches("class=\"hit\"").count(),
            text.matches("role=\"button\"").count(),
        )
    };
    let (hits, buttons) = taps(&page);
    assert!(hits > 10 && buttons > 10, "{hits} {buttons}");
    assert_eq!(taps(&file), (0, 0));
    let shapes = |text: &str| {
        ["<text", "<path", "<rect", "<circle", "<line"].map(|tag| text.matches(tag).count())
    };
    let (on_page, in_file): (usize, usize) =
        (shapes(&page).iter().sum(), shapes(&file).iter().sum());
    assert_eq!(on_page - hits, in_file);
}

#[test]
fn hostile_text_comes_back_to_the_last_character() {
    let evil = [
        "</metadata><script>alert(1)</script>",
        "]]>&amp;&#39;&lt;",
        "\u{0}\u{1f}\u{7f}\u{85}\u{fffe} \t\n\r\u{2028}",
        "\\\" \\u0041 &#x26; \u{1f4a1} \u{202e}",
    ];
    for text in evil {
        let (mut plan, _) = wagon();
        plan.title = text.to_owned();
        plan.notes = text.to_owned();
        plan.wires[0].colour = text.to_owned();
        plan.parts[0].label = text.to_owned();
        let scene = draw(&plan, &Options::default());
        let out = export(&plan, &scene, &Overlay::new());
        assert!(!out.contains("<script"), "markup got through");
        assert_eq!(out.matches("</metadata>").count(), 1);
        let forbidden = |c: char| (c < ' ' && c != '\n') || ('\u{7f}'..='\u{9f}').contains(&c);
        assert!(
            !out.contains(forbidden),
            "a character XML forbids got through"
        );
        assert_eq!(plan_of(&out), Some(Ok(plan)));
    }
}

#[test]
fn other_files_hold_no_plan_and_damaged_ones_say_so() {
    assert_eq!(plan_of(""), None);
    assert_eq!(plan_of("<svg><metadata>{}</metadata></svg>"), None);
    assert_eq!(plan_of("<metadata id=\"loomwright-plan\">{"), None);
    let damaged = plan_of("<metadata id=\"loomwright-plan\">{</metadata>");
    assert!(matches!(damaged, Some(Err(_))));
}
