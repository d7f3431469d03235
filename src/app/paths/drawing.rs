//! The drawing: its SVG is put in once per document, the live state is laid over it as classes.
//!
//! Changing classes instead of the SVG keeps the keyboard's place and costs a few attributes per beat.
//! One listener serves every symbol: it reads `data-id` from what was hit.

use crate::app::Dispatch;
use crate::app::overlay::Overlay;
use crate::app::widgets::UndoBar;
use crate::drawing::{self, Options, Role, Shape, Style};
use crate::plan::{History, Plan};
use crate::session::{Action, ByPtr, Pick};
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

/// Widths of the drawing as a share of its pane.
const ZOOMS: [f64; 7] = [1.0, 1.3, 1.7, 2.2, 2.8, 3.6, 4.5];

/// A drawing that fits its pane is not blown up beyond this.
const LARGEST_FIT: f64 = 1.6;

/// What the pane needs.
#[derive(Properties, PartialEq)]
pub struct DrawingPaneProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Classes over the drawing, by group.
    pub overlay: ByPtr<Overlay>,
    /// For undo and redo; none where nothing can be changed.
    #[prop_or_default]
    pub history: Option<ByPtr<History>>,
}

/// The pane with its tools.
#[component]
pub fn DrawingPane(props: &DrawingPaneProps) -> Html {
    let zoom = use_state(|| 0_usize);
    let sheet = use_node_ref();
    let dispatch = use_context::<Dispatch>();
    let drawn = use_memo(props.plan.clone(), |plan| ByPtr::new(Drawn::new(plan)));
    {
        let sheet = sheet.clone();
        use_effect_with((*zoom, drawn.width), move |&(zoom, width)| {
            if let Some(sheet) = sheet.cast::<HtmlElement>() {
                let fit = format!("min(100%, {:.0}px)", LARGEST_FIT * width);
                let _ = sheet
                    .style()
                    .set_property("width", &format!("calc({fit} * {})", ZOOMS[zoom]));
            }
        });
    }
    use_overlay(&sheet, &drawn, &props.overlay);
    let click = use_callback(dispatch.clone(), |event: MouseEvent, dispatch| {
        if let (Some(pick), Some(dispatch)) = (hit(&event), dispatch) {
            dispatch.dispatch(Action::Pick(pick));
        }
    });
    let key = use_callback(dispatch, |event: KeyboardEvent, dispatch| {
        if matches!(event.key().as_str(), " " | "Enter")
            && let (Some(pick), Some(dispatch)) = (hit(&event), dispatch)
        {
            event.prevent_default();
            dispatch.dispatch(Action::Pick(pick));
        }
    });
    let to = |next: usize| {
        let zoom = zoom.setter();
        Callback::from(move |_: MouseEvent| zoom.set(next))
    };
    let (less, more) = (zoom.saturating_sub(1), (*zoom + 1).min(ZOOMS.len() - 1));
    html! {
        <section class="drawing-view" aria-label="Drawing">
            <div class="drawing-tools">
                <button type="button" aria-label="Smaller" onclick={to(less)} disabled={*zoom == less}>{ "−" }</button>
                <button type="button" aria-label="Larger" onclick={to(more)} disabled={*zoom == more}>{ "+" }</button>
                <button type="button" onclick={to(0)} disabled={*zoom == 0}>{ "Fit" }</button>
                if let Some(history) = &props.history {
                    <UndoBar history={history.clone()} compact=true />
                }
            </div>
            <div class="drawing-pane" data-zoomed={(*zoom > 0).then_some("true")} tabindex={(*zoom > 0).then_some("0")}
                role={(*zoom > 0).then_some("group")} aria-label={(*zoom > 0).then_some("Enlarged drawing, scrolls")}
                onclick={click} onkeydown={key}>
                <div class="drawing-sheet" ref={sheet}>
                    <Sheet drawn={(*drawn).clone()} />
                </div>
            </div>
        </section>
    }
}

/// A drawn document: its SVG, and the groups whose halo or glow lies under everything, in their order.
#[derive(Debug)]
struct Drawn {
    svg: AttrValue,
    /// Its own width in CSS pixels.
    width: f64,
    under: Vec<String>,
}

impl Drawn {
    fn new(plan: &Plan) -> Self {
        let scene = drawing::draw(plan, &Options::default());
        let svg = drawing::svg(&scene, &Overlay::new(), Style::Linked);
        let is_under = |shape: &Shape| matches!(shape.role(), Role::Halo | Role::Glow);
        let under = scene
            .groups
            .iter()
            .filter(|group| group.shapes.iter().any(is_under));
        // Texts of one symbol are words of their own, also for a reader that runs them together.
        let svg = svg.replace("</text>", "</text> ");
        Self {
            svg: svg.into(),
            width: scene.width,
            under: under.map(|group| group.id.clone()).collect(),
        }
    }
}

#[derive(Properties, PartialEq)]
struct SheetProps {
    drawn: ByPtr<Drawn>,
}

/// The SVG of one document, put in again only for another one.
#[component]
fn Sheet(props: &SheetProps) -> Html {
    html! { <>{ Html::from_html_unchecked(props.drawn.svg.clone()) }</> }
}

/// Elements of the drawing by group, and the classes laid over them.
#[derive(Default)]
struct Laid {
    of: Option<ByPtr<Drawn>>,
    elements: BTreeMap<String, Vec<Element>>,
    classes: Overlay,
}

impl Laid {
    /// Finds the elements of a drawing that was just put in.
    fn find(&mut self, sheet: &Element, drawn: &ByPtr<Drawn>) {
        *self = Self {
            of: Some(drawn.clone()),
            ..Self::default()
        };
        let all = |selector: &str| {
            let found = sheet.query_selector_all(selector).ok();
            let nodes = found
                .into_iter()
                .flat_map(|list| (0..list.length()).filter_map(move |i| list.item(i)));
            nodes
                .filter_map(|node| node.dyn_into::<Element>().ok())
                .collect::<Vec<_>>()
        };
        for element in all("[data-id]") {
            name_as_seen(&element);
            if let Some(id) = element.get_attribute("data-id") {
                self.elements.entry(id).or_default().push(element);
            }
        }
        for (id, element) in drawn.under.iter().zip(all("g.under")) {
            self.elements.entry(id.clone()).or_default().push(element);
        }
    }

    /// Takes the classes of one group from `from` to `to`.
    fn change(&self, group: &str, from: &str, to: &str) {
        for element in self.elements.get(group).into_iter().flatten() {
            let list = element.class_list();
            for class in from
                .split_whitespace()
                .filter(|c| !to.split(' ').any(|t| t == *c))
            {
                let _ = list.remove_1(class);
            }
            for class in to.split_whitespace() {
                let _ = list.add_1(class);
            }
        }
    }

    fn lay(&mut self, overlay: &Overlay) {
        for (group, classes) in &self.classes {
            let now = overlay.get(group).map_or("", String::as_str);
            if now != classes {
                self.change(group, classes, now);
            }
        }
        for (group, classes) in overlay {
            if !self.classes.contains_key(group) {
                self.change(group, "", classes);
            }
        }
        self.classes.clone_from(overlay);
    }
}

/// Puts the visible text of a symbol in front of its name where the name lacks it: who says aloud what he
/// reads on the drawing must hit that symbol.
fn name_as_seen(element: &Element) {
    let Some(name) = element.get_attribute("aria-label") else {
        return;
    };
    let text = element.text_content().unwrap_or_default();
    let seen = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if !seen.is_empty() && !name.contains(&seen) {
        let _ = element.set_attribute("aria-label", &format!("{seen}: {name}"));
    }
}

/// Lays the classes over the drawing; those of the last overlay go first.
#[hook]
fn use_overlay(sheet: &NodeRef, drawn: &ByPtr<Drawn>, overlay: &ByPtr<Overlay>) {
    let laid = use_mut_ref(Laid::default);
    let sheet = sheet.clone();
    use_effect_with((drawn.clone(), overlay.clone()), move |(drawn, overlay)| {
        let laid = &mut *laid.borrow_mut();
        let Some(sheet) = sheet.cast::<Element>() else {
            return;
        };
        if laid.of.as_ref() != Some(drawn) {
            laid.find(&sheet, drawn);
        }
        laid.lay(overlay);
    });
}

/// What was hit: the closest ancestor that names a group of the drawing.
fn hit(event: &Event) -> Option<Pick> {
    let element = event
        .target_dyn_into::<Element>()?
        .closest("[data-id]")
        .ok()??;
    let group = element.get_attribute("data-id")?;
    let (kind, id) = group.split_once('-')?;
    Some(match kind {
        "lamp" => Pick::Lamp(id.into()),
        "wire" => Pick::Wire(id.into()),
        // A contact or a joint stands for its part: `S1.0`, `S2:82`.
        _ => Pick::Part(id.split(['.', ':']).next().unwrap_or(id).into()),
    })
}
