//! The drawing: its SVG is put in once per document, the live state is laid over it as classes.
//!
//! One listener serves every symbol: it reads `data-id` from what was hit. A tap on a switch moves its control, a tap on
//! anything else picks it.

use super::drawn::{Drawn, use_drawn};
use super::laid::use_laid;
use super::more::More;
use super::zoom::{Stage, Zoom, use_stage};
use crate::app::Dispatch;
use crate::app::overlay::{Handle, Overlay};
use crate::app::widgets::UndoBar;
use crate::plan::{History, Plan};
use crate::session::{Action, ByPtr, Pick};
use crate::text::say;
use web_sys::{Element, ScrollIntoViewOptions, ScrollLogicalPosition};
use yew::prelude::*;

/// How far beside a wire a finger still means it, in CSS pixels.
const REACH: [(f32, f32); 8] = [
    (0.0, -7.0),
    (0.0, 7.0),
    (-7.0, 0.0),
    (7.0, 0.0),
    (0.0, -14.0),
    (0.0, 14.0),
    (-14.0, 0.0),
    (14.0, 0.0),
];

/// What the pane needs.
#[derive(Properties, PartialEq)]
pub struct DrawingPaneProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Classes over the drawing, by group.
    pub overlay: ByPtr<Overlay>,
    /// Symbols that move a control.
    #[prop_or_else(|| ByPtr::new(Vec::new()))]
    pub handles: ByPtr<Vec<Handle>>,
    /// Group to bring into view, whenever it is another one.
    #[prop_or_default]
    pub show: Option<String>,
    /// For undo and redo; none where nothing can be changed.
    #[prop_or_default]
    pub history: Option<ByPtr<History>>,
}

/// The pane with its tools.
#[component]
pub fn DrawingPane(props: &DrawingPaneProps) -> Html {
    let alive = props.history.is_some();
    let (drawn, tidy) = use_drawn(&props.plan, alive);
    let stage = use_stage((drawn.scene.width, drawn.scene.height));
    let open = use_state(|| false);
    let dispatch = use_context::<Dispatch>();
    use_laid(&stage.sheet, &drawn, &props.overlay, &props.handles);
    use_effect_with((props.show.clone(), drawn.clone()), |(show, _)| {
        if let Some(group) = show {
            bring_into_view(group);
        }
    });
    let act = {
        let (dispatch, handles) = (dispatch, props.handles.clone());
        use_callback((dispatch, handles), |pick: Pick, (dispatch, handles)| {
            let Some(dispatch) = dispatch else { return };
            if let Pick::Part(id) = &pick {
                let own = |handle: &&Handle| handle.group.strip_prefix("part-") == Some(id);
                if let Some(handle) = handles.iter().find(own) {
                    dispatch.dispatch(Action::Operate(handle.control));
                }
            }
            dispatch.dispatch(Action::Pick(pick));
        })
    };
    let click = {
        let (act, stage) = (act.clone(), stage.clone());
        Callback::from(move |event: MouseEvent| {
            let at = (f64::from(event.client_x()), f64::from(event.client_y()));
            let found = hit(&event).or_else(|| near(at));
            let is_part = matches!(found, Some(Pick::Part(_)));
            if !is_part && stage.tapped(event.time_stamp(), at) {
                return;
            }
            found.iter().for_each(|pick| act.emit(pick.clone()));
        })
    };
    let key = {
        let stage = stage.clone();
        Callback::from(move |event: KeyboardEvent| {
            let plain = !(event.ctrl_key() || event.meta_key() || event.alt_key());
            if matches!(event.key().as_str(), " " | "Enter") {
                if let Some(pick) = hit(&event) {
                    event.prevent_default();
                    act.emit(pick);
                }
            } else if plain && stage.key(&event.key()) {
                event.prevent_default();
            }
        })
    };
    // A preview can stand over the drawing of the plan itself.
    let described = if alive {
        "drawing-desc"
    } else {
        "drawing-preview-desc"
    };
    let toggle = use_callback(open.clone(), |(): (), open| open.set(!**open));
    html! {
        <section class="drawing-view" aria-label={say!("Drawing")}>
            <div class="drawing-tools">
                { tools(&stage) }
                if let Some(history) = &props.history {
                    <UndoBar history={history.clone()} compact=true />
                    <button type="button" class="drawing-more-button" aria-expanded={open.to_string()}
                        aria-controls="drawing-more" onclick={toggle.reform(|_: MouseEvent| ())}>{ say!("More") }</button>
                }
            </div>
            if *open && alive {
                <More plan={props.plan.clone()} drawn={drawn.clone()} overlay={props.overlay.clone()} {tidy}
                    onclose={toggle} />
            }
            <p class="hidden" id={described}>
                { &drawn.scene.desc }{ say!(" The table under Behaviour says in words what every lamp does.") }
            </p>
            <div class="drawing-pane" ref={stage.pane.clone()} tabindex="0" role="group"
                aria-label={say!("Drawing; scrolls, plus and minus zoom")} aria-describedby={described}
                onclick={click} onkeydown={key}>
                <div class="drawing-sheet" ref={stage.sheet.clone()}>
                    <Sheet {drawn} />
                </div>
            </div>
        </section>
    }
}

fn tools(stage: &Stage) -> Html {
    let on = |act: fn(&Stage)| {
        let stage = stage.clone();
        Callback::from(move |_: MouseEvent| act(&stage))
    };
    let fits = stage.zoom == Zoom::Fit;
    html! {
        <>
            <button type="button" aria-label={say!("Smaller")} onclick={on(Stage::smaller)}>{ "−" }</button>
            <button type="button" aria-label={say!("Larger")} onclick={on(Stage::larger)}>{ "+" }</button>
            <button type="button" aria-label={if fits { say!("1:1, usual size") } else { say!("Fit, whole drawing") }}
                onclick={on(Stage::fit)}>{ if fits { "1:1" } else { say!("Fit") } }</button>
        </>
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

/// What an element of the drawing stands for: the closest ancestor that names a group.
fn picked(element: &Element) -> Option<Pick> {
    let element = element.closest(".drawing [data-id]").ok()??;
    let group = element.get_attribute("data-id")?;
    let (kind, id) = group.split_once('-')?;
    Some(match kind {
        "lamp" => Pick::Lamp(id.into()),
        "wire" => Pick::Wire(id.into()),
        "coupling" | "end" => return None,
        // A contact or a joint stands for its part: `S1.0`, `S2:82`.
        _ => Pick::Part(id.split(['.', ':']).next().unwrap_or(id).into()),
    })
}

/// What was hit.
fn hit(event: &Event) -> Option<Pick> {
    picked(&event.target_dyn_into::<Element>()?)
}

/// What lies nearest to a tap that hit nothing.
fn near((x, y): (f64, f64)) -> Option<Pick> {
    let document = gloo::utils::document();
    REACH.iter().find_map(|(dx, dy)| {
        let element = document.element_from_point(x as f32 + dx, y as f32 + dy);
        picked(&element?)
    })
}

/// Scrolls what a group shows into the middle of the view. A group of several symbols far apart, such as a ground point
/// with its chassis symbols, stays where it is: the wire before it led there.
fn bring_into_view(group: &str) {
    let document = gloo::utils::document();
    let selector = format!(".drawing [data-id=\"{}\"]", group.replace(['"', '\\'], ""));
    let found = document.query_selector(&selector).ok().flatten();
    let Some(element) = found else { return };
    let hits = element
        .query_selector_all(".hit")
        .map_or(0, |list| list.length());
    if hits > 1 {
        return;
    }
    let how = ScrollIntoViewOptions::new();
    how.set_block(ScrollLogicalPosition::Center);
    how.set_inline(ScrollLogicalPosition::Center);
    element.scroll_into_view_with_scroll_into_view_options(&how);
}
