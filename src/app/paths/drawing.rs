//! The drawing: its SVG is put in once per document, the live state is laid over it as classes.
//!
//! Changing classes instead of the SVG keeps the keyboard's place and costs a few attributes per beat.
//! One listener serves every symbol: it reads `data-id` from what was hit.

use crate::app::Dispatch;
use crate::app::live::Overlay;
use crate::app::widgets::UndoBar;
use crate::plan::{History, Plan};
use crate::session::{Action, ByPtr, Pick};
use std::collections::BTreeMap;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

/// Widths of the drawing as a share of its pane.
const ZOOMS: [f64; 7] = [1.0, 1.3, 1.7, 2.2, 2.8, 3.6, 4.5];

/// What the pane needs.
#[derive(Properties, PartialEq)]
pub struct DrawingPaneProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Classes over the drawing, by group.
    pub overlay: ByPtr<Overlay>,
    /// For undo and redo.
    pub history: ByPtr<History>,
}

/// The pane with its tools.
#[component]
pub fn DrawingPane(props: &DrawingPaneProps) -> Html {
    let zoom = use_state(|| 0_usize);
    let sheet = use_node_ref();
    let dispatch = use_context::<Dispatch>();
    {
        let sheet = sheet.clone();
        use_effect_with(*zoom, move |&zoom| {
            if let Some(sheet) = sheet.cast::<HtmlElement>() {
                let width = format!("{:.0}%", 100.0 * ZOOMS[zoom]);
                let _ = sheet.style().set_property("width", &width);
            }
        });
    }
    use_overlay(&props.plan, &props.overlay);
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
                <UndoBar history={props.history.clone()} compact=true />
            </div>
            <div class="drawing-pane" data-zoomed={(*zoom > 0).then_some("true")} tabindex={(*zoom > 0).then_some("0")}
                role={(*zoom > 0).then_some("group")} aria-label={(*zoom > 0).then_some("Enlarged drawing, scrolls")}
                onclick={click} onkeydown={key}>
                <div class="drawing-sheet" ref={sheet}>
                    <Sheet plan={props.plan.clone()} />
                </div>
            </div>
        </section>
    }
}

#[derive(Properties, PartialEq)]
struct SheetProps {
    plan: ByPtr<Plan>,
}

/// The SVG of one document, drawn again only for another one.
#[component]
fn Sheet(props: &SheetProps) -> Html {
    let svg = use_memo(props.plan.clone(), |plan| svg_of(plan));
    html! { <>{ Html::from_html_unchecked(AttrValue::from((*svg).clone())) }</> }
}

fn svg_of(plan: &Plan) -> String {
    format!(
        "<svg viewBox=\"0 0 10 10\"><title>{}</title></svg>",
        plan.parts.len()
    )
}

/// Lays the classes over the drawing; those of the last overlay go first.
#[hook]
fn use_overlay(plan: &ByPtr<Plan>, overlay: &ByPtr<Overlay>) {
    let shown = use_mut_ref(|| (None::<ByPtr<Plan>>, BTreeMap::<String, String>::new()));
    use_effect_with((plan.clone(), overlay.clone()), move |(plan, overlay)| {
        let (of, before) = &mut *shown.borrow_mut();
        if of.as_ref() != Some(plan) {
            // Another SVG carries no class of ours.
            before.clear();
            *of = Some(plan.clone());
        }
        let document = gloo::utils::document();
        let change = |group: &str, from: &str, to: &str| {
            let Some(element) = document.get_element_by_id(group) else {
                return;
            };
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
        };
        for (group, classes) in before.iter() {
            let now = overlay.get(group).map_or("", String::as_str);
            if now != classes {
                change(group, classes, now);
            }
        }
        for (group, classes) in overlay.iter() {
            if before.get(group) != Some(classes) {
                let from = before.get(group).map_or("", String::as_str);
                change(group, from, classes);
            }
        }
        before.clone_from(overlay);
    });
}

/// What was hit: the closest ancestor that names something of the plan.
fn hit(event: &Event) -> Option<Pick> {
    let element = event
        .target_dyn_into::<Element>()?
        .closest("[data-id]")
        .ok()??;
    let id = element.get_attribute("data-id")?;
    let group = element.id();
    Some(match group.split_once('-') {
        Some(("lamp", _)) => Pick::Lamp(id),
        Some(("wire", _)) => Pick::Wire(id),
        _ => Pick::Part(id),
    })
}
