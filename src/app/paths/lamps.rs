//! Every lamp circuit as a chip with what it does now; tap one for its path.

use crate::app::Dispatch;
use crate::app::live::{LampNow, Live};
use crate::app::words;
use crate::behaviour::{Shows, Verdict};
use crate::session::{Action, ByPtr, Pick};
use crate::text::say;
use yew::prelude::*;

/// What the list needs.
#[derive(Properties, PartialEq)]
pub struct LampsProps {
    /// The state shown.
    pub live: ByPtr<Live>,
    /// What is picked.
    pub pick: Pick,
}

/// The list.
#[component]
pub fn Lamps(props: &LampsProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let pick = use_callback(dispatch.clone(), |event: MouseEvent, dispatch| {
        let id = event
            .target_dyn_into::<web_sys::Element>()
            .and_then(|target| target.closest("[data-lamp]").ok()?)
            .and_then(|chip| chip.get_attribute("data-lamp"));
        if let (Some(id), Some(dispatch)) = (id, dispatch) {
            dispatch.dispatch(Action::Pick(Pick::Lamp(id)));
        }
    });
    let rest = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch.iter().for_each(|d| d.dispatch(Action::Rest));
    });
    html! {
        <section class="lamps" aria-labelledby="lamps-title">
            <div class="lamps-head">
                <h3 id="lamps-title">{ say!("Lamps now") }</h3>
                <button type="button" class="small" onclick={rest}>{ say!("All controls at rest") }</button>
            </div>
            if props.live.lamps.is_empty() {
                <p class="mute">{ say!("No lamps yet: add one under Build, Parts.") }</p>
            }
            <ul class="chips" onclick={pick}>
                { for props.live.lamps.iter().map(|lamp| {
                    let picked = props.pick == Pick::Lamp(lamp.id.clone());
                    html! { <li key={lamp.id.clone()}>{ chip(lamp, picked, props.live.solved) }</li> }
                }) }
            </ul>
        </section>
    }
}

fn chip(lamp: &LampNow, picked: bool, solved: bool) -> Html {
    let cell = &lamp.cell;
    let trouble = cell.verdict != Verdict::AsWished;
    let lit = cell.shows != Shows::Off;
    html! {
        <button type="button" class="chip" data-lamp={lamp.id.clone()} data-shows={cell.shows.text()}
            data-verdict={cell.verdict.text()} data-lit={lit.then_some("true")} aria-pressed={picked.to_string()}>
            <span class="chip-name">{ &lamp.label }</span>
            <span class="chip-state">{ if solved { words::seen(cell) } else { say!("not solved").into() } }</span>
            if trouble {
                <span class="chip-verdict">
                    <span aria-hidden="true">{ words::verdict_mark(cell.verdict) }{ " " }</span>
                    { cell.verdict.word() }
                </span>
            }
        </button>
    }
}
