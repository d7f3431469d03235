//! How many rows are drawn after one change: one changed row draws one row. Tests only; the page has no trace of it.
//!
//! A row's component notes each of its renders here, also one that changes nothing on the screen. The tests run the open
//! plan in a browser, press its buttons, and compare what was drawn with what they changed.

use super::plan::{PlanHost, PlanHostProps};
use super::root::Opened;
use crate::plan::{Control, Plan, Show, Wish, file};
use crate::session::ByPtr;
use std::cell::RefCell;
use std::time::Duration;
use wasm_bindgen::JsCast;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::{Element, Event, EventInit, HtmlElement, HtmlInputElement};
use yew::Callback;

wasm_bindgen_test_configure!(run_in_browser);

thread_local! {
    static DRAWN: RefCell<Vec<String>> = const { RefCell::new(Vec::new()) };
}

/// Notes that a row is drawn.
pub fn note(row: &str) {
    DRAWN.with_borrow_mut(|drawn| drawn.push(row.to_owned()));
}

/// 61 parts, 65 wires, 128 states.
fn large() -> Plan {
    let text = include_str!("../../tests/fixtures/large/show-wagon.json");
    file::read(text.as_bytes()).expect("the plan reads")
}

/// An open plan in an element of its own.
struct Page {
    root: Element,
    app: Option<yew::AppHandle<PlanHost>>,
}

impl Page {
    async fn open(plan: Plan) -> Self {
        let document = gloo::utils::document();
        let root = document.create_element("div").expect("an element");
        gloo::utils::body().append_child(&root).expect("a place");
        let props = PlanHostProps {
            opened: ByPtr::new(Opened::fresh(plan)),
            go: Callback::noop(),
        };
        let app = yew::Renderer::<PlanHost>::with_root_and_props(root.clone(), props).render();
        let page = Self {
            root,
            app: Some(app),
        };
        page.settle().await;
        page
    }

    /// Lets the page draw, and what that sets off.
    async fn settle(&self) {
        for _ in 0..3 {
            gloo::timers::future::sleep(Duration::from_millis(30)).await;
        }
    }

    fn find(&self, selector: &str) -> HtmlElement {
        let found = self.root.query_selector(selector).expect("a selector");
        let found = found.unwrap_or_else(|| panic!("nothing at {selector}"));
        found.dyn_into().expect("an element of HTML")
    }

    fn texts(&self, selector: &str) -> Vec<String> {
        let all = self.root.query_selector_all(selector).expect("a selector");
        let text = |i| all.item(i)?.text_content();
        (0..all.length()).filter_map(text).collect()
    }

    async fn tap(&self, selector: &str) {
        self.find(selector).click();
        self.settle().await;
    }

    /// Writes into a field and leaves it.
    async fn write(&self, selector: &str, text: &str) {
        let field: HtmlInputElement = self.find(selector).unchecked_into();
        field.set_value(text);
        for kind in ["input", "focusout", "blur"] {
            let how = EventInit::new();
            how.set_bubbles(kind != "blur");
            let event = Event::new_with_event_init_dict(kind, &how).expect("an event");
            field.dispatch_event(&event).expect("sent");
            self.settle().await;
        }
    }

    /// The rows that are drawn when something is tapped.
    async fn drawn_by(&self, selector: &str) -> Vec<String> {
        DRAWN.take();
        self.tap(selector).await;
        DRAWN.take()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        if let Some(app) = self.app.take() {
            app.destroy();
        }
        self.root.remove();
    }
}

const UNDO: &str = "[aria-label^='Undo: ']";
const REDO: &str = "[aria-label^='Redo: ']";

/// Changes a field of one thing in a list, and takes it back and does it again while the list is shown.
async fn one_of_a_list(tab: &str, id: &str, field: &str, text: &str) {
    let page = Page::open(large()).await;
    page.tap("[data-show=build]").await;
    DRAWN.take();
    page.tap(&format!("[data-tab={tab}]")).await;
    let before = page.texts(".build-item");
    assert!(before.len() >= 60, "{} rows", before.len());
    page.tap(&format!("[data-item={id}]")).await;
    page.write(field, text).await;
    let all = page.drawn_by(".form-end button").await;
    assert_eq!(
        all.len(),
        before.len(),
        "a list that is opened is drawn whole"
    );
    let after = page.texts(".build-item");
    assert_eq!(differences(&before, &after), 1, "{after:?}");

    assert_eq!(page.drawn_by(UNDO).await, [id]);
    assert_eq!(page.texts(".build-item"), before);
    assert_eq!(page.drawn_by(REDO).await, [id]);
    assert_eq!(page.texts(".build-item"), after);
}

fn differences(before: &[String], after: &[String]) -> usize {
    assert_eq!(before.len(), after.len());
    before.iter().zip(after).filter(|(a, b)| a != b).count()
}

#[wasm_bindgen_test]
async fn one_changed_part_draws_one_row() {
    one_of_a_list("Parts", "F1", "#f-label", "Chief fuse").await;
}

#[wasm_bindgen_test]
async fn one_changed_wire_draws_one_row() {
    one_of_a_list("Wires", "W7", "#f-length", "1234 mm").await;
}

#[wasm_bindgen_test]
async fn one_changed_state_draws_one_row_of_the_table() {
    let mut plan = large();
    // First of all wishes: in one state alone a lamp is to be dark that is lit there, or lit that is dark.
    let position = |(i, control): (usize, &Control)| {
        let at = usize::from(i == 0);
        (control.id.clone(), control.positions[at].clone())
    };
    let wish = Wish {
        id: "only-here".parse().expect("an identity"),
        when: plan.controls.iter().enumerate().map(position).collect(),
        lamps: vec![plan.lamp_circuits()[0].id.clone()],
        show: Show::Flashing,
        at_least: None,
        extra: Default::default(),
    };
    plan.wishes.insert(0, wish);
    let page = Page::open(plan).await;
    page.tap("[data-show=build]").await;
    page.tap("[data-tab=Wishes]").await;
    page.tap("[data-item=only-here]").await;
    page.tap(".form-end .danger").await;
    let mut all = page.drawn_by("[data-show=behaviour]").await;
    assert!(
        all.len() >= 8,
        "what a phone shows is there first: {}",
        all.len()
    );
    // The rest is drawn some rows at a time.
    for _ in 0..100 {
        if page.texts("tbody tr").len() == 64 {
            break;
        }
        page.settle().await;
    }
    all.append(&mut DRAWN.take());
    assert_eq!((all.len(), page.texts("tbody tr").len()), (64, 64));

    let before = page.texts("tbody tr");
    let drawn = page.drawn_by(UNDO).await;
    let after = page.texts("tbody tr");
    assert_eq!(
        (drawn.len(), differences(&before, &after)),
        (1, 1),
        "{drawn:?}"
    );
    assert!(
        after
            .iter()
            .any(|text| text.starts_with(&drawn[0]) && !before.contains(text))
    );
    assert_eq!(page.drawn_by(REDO).await, drawn);
    assert_eq!(page.texts("tbody tr"), before);
}

#[wasm_bindgen_test]
async fn a_pressed_control_draws_the_lamps_whose_reading_changed() {
    let page = Page::open(large()).await;
    let lamps = |page: &Page| {
        let all = page.root.query_selector_all(".chip").expect("a selector");
        let chips = (0..all.length()).filter_map(|i| all.item(i)?.dyn_into::<Element>().ok());
        chips
            .map(|chip| {
                let id = chip.get_attribute("data-lamp").unwrap_or_default();
                (id, chip.outer_html())
            })
            .collect::<Vec<_>>()
    };
    // Under more load every lamp is a little dimmer; with little changed, few are drawn.
    let (mut fewest, mut presses) = (usize::MAX, 0);
    for control in large().controls {
        let button = format!("button.switch[data-control={}]", control.id);
        if page.root.query_selector(&button).ok().flatten().is_none() {
            continue;
        }
        let before = lamps(&page);
        let mut drawn = page.drawn_by(&button).await;
        let after = lamps(&page);
        let mut changed: Vec<String> = before
            .iter()
            .zip(&after)
            .filter(|(a, b)| a != b)
            .map(|(_, (id, _))| id.clone())
            .collect();
        drawn.sort();
        changed.sort();
        assert_eq!(drawn, changed, "{}", control.label);
        if !changed.is_empty() {
            fewest = fewest.min(changed.len());
            presses += 1;
        }
    }
    let all = lamps(&page).len();
    assert!(
        presses >= 3 && fewest < all / 2,
        "{presses} presses, {fewest} of {all}"
    );
}
