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
                    chip(lamp, picked, props.live.solved)
                }) }
            </ul>
        </section>
    }
}

fn chip(lamp: &LampNow, picked: bool, solved: bool) -> Html {
    let cell = &lamp.cell;
    let seen = if solved {
        words::seen(cell)
    } else {
        say!("not solved").into()
    };
    html! {
        <Chip key={lamp.id.clone()} id={lamp.id.clone()} label={lamp.label.clone()} {seen} shows={cell.shows}
            verdict={cell.verdict} {picked} />
    }
}

#[derive(Properties, PartialEq)]
struct ChipProps {
    id: AttrValue,
    label: AttrValue,
    seen: AttrValue,
    shows: Shows,
    verdict: Verdict,
    picked: bool,
}

/// One lamp circuit, drawn again only when its own reading is another.
#[component]
fn Chip(props: &ChipProps) -> Html {
    #[cfg(test)]
    crate::app::renders::note(&props.id);
    let (shows, verdict) = (props.shows, props.verdict);
    let trouble = verdict != Verdict::AsWished;
    let lit = shows != Shows::Off;
    html! {
        <li>
            <button type="button" class="chip" data-lamp={props.id.clone()} data-shows={shows.text()}
                data-verdict={verdict.text()} data-lit={lit.then_some("true")} aria-pressed={props.picked.to_string()}>
                <span class="chip-name">{ &props.label }</span>
                <span class="chip-state">{ &props.seen }</span>
                if trouble {
                    <span class="chip-verdict">
                        <span aria-hidden="true">{ words::verdict_mark(verdict) }{ " " }</span>
                        { verdict.word() }
                    </span>
                }
            </button>
        </li>
    }
}
