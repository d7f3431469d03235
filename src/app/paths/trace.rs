//! The path that lights a lamp, part by part, with the current in each.

use crate::app::Dispatch;
use crate::app::live::{LampNow, StepLine, lines};
use crate::behaviour::Path;
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Pick};
use crate::text::say;
use yew::prelude::*;

/// What the list needs.
#[derive(Properties, PartialEq)]
pub struct TraceProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// The lamp circuit.
    pub lamp: LampNow,
}

/// The list.
#[component]
pub fn Trace(props: &TraceProps) -> Html {
    let TraceProps { plan, lamp } = props;
    let dispatch = use_context::<Dispatch>();
    let pick = use_callback(dispatch, |event: MouseEvent, dispatch| {
        let group = event
            .target_dyn_into::<web_sys::Element>()
            .and_then(|target| target.closest("[data-group]").ok()?)
            .and_then(|row| row.get_attribute("data-group"));
        let pick = group.and_then(|group| {
            let (kind, id) = group.split_once('-')?;
            Some(match kind {
                "wire" => Pick::Wire(id.into()),
                _ => Pick::Part(id.into()),
            })
        });
        if let (Some(pick), Some(dispatch)) = (pick, dispatch) {
            dispatch.dispatch(Action::Pick(pick));
        }
    });
    let list =
        |title: &str, path: &Path| html! { <><p>{ title }</p>{ steps(plan, path, true) }</> };
    html! {
        <section class="trace" id="trace" tabindex="-1" aria-labelledby="trace-title" onclick={pick}>
            <h3 id="trace-title">{ say!("Path of {}", lamp.label) }</h3>
            <p>{ lamp.sentence(&lamp.label) }</p>
            { match lamp.path() {
                Some(path) => list(say!("From the battery through the lamp and back:"), path),
                None => html! {
                    <p class="mute">{ say!("No current reaches it in this state. Move a control, or look under Behaviour for a state that lights it.") }</p>
                },
            } }
            if let Some(path) = lamp.hiding_path() {
                { list(say!("The steady feed that hides the flash:"), path) }
            }
        </section>
    }
}

/// A path, part by part; each line picks its part where `buttons` is set.
pub fn steps(plan: &Plan, path: &Path, buttons: bool) -> Html {
    let lines = lines(plan, path);
    let rows = lines.iter().enumerate();
    html! { <ol class="steps">{ for rows.map(|(i, line)| row(i, line, buttons)) }</ol> }
}

fn row(i: usize, line: &StepLine, buttons: bool) -> Html {
    let inner = html! {
        <>
            <span class="step-id">{ &line.id }</span>
            <span class="step-what">
                { &line.what }
                if line.reversed {
                    <strong class="step-back">{ say!("◀ runs backwards") }</strong>
                }
            </span>
            <span class="step-amps">{ &line.amps }</span>
        </>
    };
    html! {
        <li key={i} data-reversed={line.reversed.then_some("true")}>
            if line.group.is_empty() || !buttons {
                <span class="step">{ inner }</span>
            } else {
                <button type="button" class="step" data-group={line.group.clone()}>{ inner }</button>
            }
        </li>
    }
}
