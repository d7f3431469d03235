//! The live screen: the drawing with the current in it, the controls, and what the lamps do in words.

mod controls;
mod drawing;
mod explain;
mod lamps;
mod phase;
mod sentence;
mod trace;

use super::live::Live;
use super::overlay::with_pick;
use super::words;
use super::{Dispatch, live};
use crate::behaviour::Verdict;
use crate::plan::{History, Plan};
use crate::session::{Action, ByPtr, Pick, Ui};
use controls::Controls;
pub use drawing::DrawingPane;
use explain::Explain;
use lamps::Lamps;
use phase::use_phase;
use sentence::{Sentence, SentenceProps};
use trace::Trace;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct PathsProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Screen state.
    pub ui: ByPtr<Ui>,
    /// For undo and redo beside the drawing.
    pub history: ByPtr<History>,
}

/// The live screen.
#[component]
pub fn Paths(props: &PathsProps) -> Html {
    let PathsProps { plan, ui, history } = props;
    let dispatch = use_context::<Dispatch>();
    let live = use_memo((plan.clone(), ui.positions.clone()), |(plan, positions)| {
        ByPtr::new(Live::new(plan, positions))
    });
    let live = (*live).clone();
    let paused = use_state(|| false);
    let phase = use_phase(live.per_minute, *paused);
    let overlays = use_memo(
        (live.clone(), ui.pick.clone(), ui.explain, plan.clone()),
        |(live, pick, explain, plan)| {
            let lamp = lamp_of(live, pick);
            let group = group_of(pick);
            let marked =
                |i: usize| with_pick(&live.overlays[i], plan, group.as_deref(), lamp, *explain);
            [0, 1].map(|i| ByPtr::new(marked(i)))
        },
    );
    let pause = use_callback(paused.clone(), |_: MouseEvent, paused| {
        paused.set(!**paused)
    });
    let unpick = use_callback(dispatch.clone(), |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Pick(Pick::Nothing)));
    });
    let why = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Explain(true)));
    });
    let to_trace = use_callback((), |_: MouseEvent, ()| {
        let trace = gloo::utils::document().get_element_by_id("trace");
        if let Some(trace) = trace.and_then(|trace| trace.dyn_into::<HtmlElement>().ok()) {
            trace.scroll_into_view();
            let _ = trace.focus();
        }
    });
    let picked = picked_words(plan, &live, &ui.pick);
    let lamp = lamp_of(&live, &ui.pick);
    let troubled = lamp.is_some_and(|lamp| lamp.cell.verdict != Verdict::AsWished);
    if let (true, Some(lamp)) = (ui.explain, lamp) {
        return html! {
            <div class="paths" data-explain="true">
                <h2 class="hidden">{ "Paths" }</h2>
                <DrawingPane plan={plan.clone()} overlay={overlays[phase.index()].clone()} history={history.clone()} />
                <div class="paths-dock">
                    <Explain plan={plan.clone()} live={live.clone()} lamp={lamp.clone()} />
                </div>
            </div>
        };
    }
    html! {
        <div class="paths">
            <h2 class="hidden">{ "Paths" }</h2>
            <DrawingPane plan={plan.clone()} overlay={overlays[phase.index()].clone()} history={history.clone()} />
            <div class="paths-dock">
                <Sentence ..SentenceProps::new(live.clone(), phase, *paused, pause) />
                if let Some((name, words)) = picked {
                    <div class="picked">
                        <p><strong>{ format!("{name} ") }</strong>{ words }</p>
                        if troubled {
                            <button type="button" class="small" onclick={why}>{ "Why?" }</button>
                        }
                        if lamp.is_some() {
                            <button type="button" class="small" onclick={to_trace}>{ "Path" }</button>
                        }
                        <button type="button" class="small" aria-label="Let go of the picked part" onclick={unpick}>
                            { "✕" }
                        </button>
                    </div>
                }
                <Controls plan={plan.clone()} ui={ui.clone()} />
            </div>
            <div class="paths-more">
                if let Some(lamp) = lamp {
                    <Trace plan={plan.clone()} lamp={lamp.clone()} />
                }
                <Lamps live={live.clone()} pick={ui.pick.clone()} />
            </div>
        </div>
    }
}

/// The lamp circuit that is picked; a lamp with one circuit can be picked as a part.
fn lamp_of<'a>(live: &'a Live, pick: &Pick) -> Option<&'a live::LampNow> {
    match pick {
        Pick::Lamp(id) => live.lamp(id),
        Pick::Part(id) => {
            let mut own = live
                .lamps
                .iter()
                .filter(|lamp| lamp.id.split('.').next() == Some(id));
            own.next().filter(|_| own.next().is_none())
        }
        _ => None,
    }
}

/// Group of the drawing that is picked.
fn group_of(pick: &Pick) -> Option<String> {
    match pick {
        Pick::Nothing => None,
        Pick::Part(id) => Some(format!("part-{id}")),
        Pick::Wire(id) => Some(format!("wire-{id}")),
        Pick::Lamp(id) => Some(format!("lamp-{id}")),
    }
}

/// Name of what is picked and a sentence about it.
fn picked_words(plan: &Plan, live: &Live, pick: &Pick) -> Option<(String, String)> {
    if let Some(lamp) = lamp_of(live, pick) {
        return Some((lamp.label.clone(), lamp.short()));
    }
    match pick {
        Pick::Part(id) => {
            let part = plan.parts.iter().find(|part| part.id.as_str() == id)?;
            let why = if part.why.is_empty() {
                String::new()
            } else {
                format!(": {}", part.why)
            };
            Some((id.clone(), format!("{}{why}.", live::part_words(part))))
        }
        Pick::Wire(id) => {
            let wire = plan.wires.iter().find(|wire| wire.id.as_str() == id)?;
            let ends = format!(
                "from {} to {}",
                words::terminal(plan, &wire.from),
                words::terminal(plan, &wire.to)
            );
            let amps = live.flow_words(id);
            Some((
                id.clone(),
                format!("{}, {ends}. {amps}", words::wire(plan, wire)),
            ))
        }
        _ => None,
    }
}
