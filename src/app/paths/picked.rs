//! What is picked: in the dock a line about it, below it its terminals with readings, the lamps it feeds, and what the
//! checks say of it.

use crate::app::live::{self, LampNow, Live};
use crate::app::plan::Analysis;
use crate::app::readings::{fed, findings_about, terminals};
use crate::app::{Dispatch, words};
use crate::behaviour::Verdict;
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Pick};
use crate::text::say;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

/// What is known of the pick.
#[derive(Properties, PartialEq)]
pub struct PickedProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// The state shown.
    pub live: ByPtr<Live>,
    /// What is picked.
    pub pick: Pick,
    /// Whole behaviour and findings, `None` while they are being worked out.
    #[prop_or_default]
    pub analysis: Option<ByPtr<Analysis>>,
}

/// The line in the dock, with what can be done.
#[component]
pub fn PickedLine(props: &PickedProps) -> Html {
    let PickedProps {
        plan, live, pick, ..
    } = props;
    let dispatch = use_context::<Dispatch>();
    let lamp = lamp_of(live, pick);
    let send = |action: Action| {
        let dispatch = dispatch.clone();
        Callback::from(move |_: MouseEvent| {
            dispatch.iter().for_each(|d| d.dispatch(action.clone()));
        })
    };
    let details = use_callback((), |_: MouseEvent, ()| {
        let found = gloo::utils::document().get_element_by_id("details");
        if let Some(found) = found.and_then(|found| found.dyn_into::<HtmlElement>().ok()) {
            found.scroll_into_view();
            let _ = found.focus();
        }
    });
    let Some((name, text)) = picked_words(plan, live, pick) else {
        return Html::default();
    };
    // A lamp's path from its start, that of another part from where the part is on it.
    let part = match pick {
        Pick::Part(id) => plan.parts.iter().find(|part| part.id.as_str() == id),
        _ => None,
    };
    let path = lamp.map(|lamp| (lamp.id.clone(), 0)).or_else(|| {
        let through = fed(plan, live, part?);
        through.into_iter().next().map(|fed| (fed.lamp, fed.step))
    });
    let troubled = lamp.is_some_and(|lamp| lamp.cell.verdict != Verdict::AsWished);
    html! {
        <div class="picked">
            <p><strong>{ format!("{name} ") }</strong>{ text }</p>
            <div class="picked-tools">
                if troubled {
                    <button type="button" class="small" onclick={send(Action::Explain(true))}>{ say!("Why?") }</button>
                }
                if let Some(place) = path {
                    <button type="button" class="small" onclick={send(Action::Follow(Some(place)))}>{ say!("Path") }</button>
                }
                if !matches!(pick, Pick::Wire(_)) {
                    <button type="button" class="small" onclick={details}>{ say!("Details") }</button>
                }
                <button type="button" class="small" aria-label={say!("Let go of the picked part")}
                    onclick={send(Action::Pick(Pick::Nothing))}>{ "✕" }</button>
            </div>
        </div>
    }
}

/// Terminals, readings and findings of the picked part.
#[component]
pub fn Details(props: &PickedProps) -> Html {
    let PickedProps {
        plan,
        live,
        pick,
        analysis,
    } = props;
    let dispatch = use_context::<Dispatch>();
    let id = match pick {
        Pick::Part(id) | Pick::Wire(id) => id.as_str(),
        Pick::Lamp(id) => id.split('.').next().unwrap_or(id),
        Pick::Nothing => return Html::default(),
    };
    let part = plan.parts.iter().find(|part| part.id.as_str() == id);
    let found = analysis
        .as_ref()
        .map(|analysis| findings_about(&analysis.findings, id));
    let follow = |lamp: &str, step: usize| {
        let (dispatch, action) = (
            dispatch.clone(),
            Action::Follow(Some((lamp.to_owned(), step))),
        );
        Callback::from(move |_: MouseEvent| {
            dispatch.iter().for_each(|d| d.dispatch(action.clone()));
        })
    };
    let title = part.map_or_else(
        || id.to_owned(),
        |p| format!("{id} {}", live::part_words(p)),
    );
    html! {
        <section class="details" id="details" tabindex="-1" aria-labelledby="details-title">
            <h3 id="details-title">{ title }</h3>
            if let Some(part) = part {
                <table class="side">
                    <caption>{ say!("Terminals now: {}", live.head) }</caption>
                    <thead><tr>
                        <th scope="col">{ say!("Terminal") }</th><th scope="col">{ say!("Volts") }</th>
                        <th scope="col">{ say!("Wires and current") }</th>
                    </tr></thead>
                    <tbody>{ for terminals(plan, live, part).into_iter().map(|row| html! {
                        <tr key={row.name.clone()}>
                            <th scope="row">{ &row.name }<span class="details-meaning">{ row.meaning }</span></th>
                            <td>{ row.volts }</td>
                            <td>
                                if row.wires.is_empty() {
                                    { say!("no wire") }
                                }
                                { for row.wires.iter().map(|(wire, text)| html! {
                                    <p key={wire.clone()}><strong>{ format!("{wire} ") }</strong>{ text }</p>
                                }) }
                            </td>
                        </tr>
                    }) }</tbody>
                </table>
                { feeds(&fed(plan, live, part), &follow) }
            }
            <h4>{ say!("What the checks say") }</h4>
            { match found {
                None => html! { <p class="mute">{ say!("Still being worked out…") }</p> },
                Some(found) if found.is_empty() => html! { <p class="mute">{ say!("Nothing about it.") }</p> },
                Some(found) => html! {
                    <ul class="bullets">{ for found.iter().enumerate().map(|(i, (severity, text))| html! {
                        <li key={i}><strong>{ words::capital(severity) }{ ": " }</strong>{ *text }</li>
                    }) }</ul>
                },
            } }
        </section>
    }
}

fn feeds(
    fed: &[crate::app::readings::Fed],
    follow: &dyn Fn(&str, usize) -> Callback<MouseEvent>,
) -> Html {
    if fed.is_empty() {
        return html! { <p class="mute">{ say!("No lamp's current runs through it in this state.") }</p> };
    }
    html! {
        <>
            <h4>{ say!("Current runs through it to") }</h4>
            <ul class="feeds">{ for fed.iter().map(|fed| html! {
                <li key={fed.lamp.clone()}>
                    <button type="button" onclick={follow(&fed.lamp, fed.step)}>
                        { say!("Follow the path of {}", fed.label) }
                    </button>
                </li>
            }) }</ul>
        </>
    }
}

/// The lamp circuit that is picked; a lamp with one circuit can be picked as a part.
pub fn lamp_of<'a>(live: &'a Live, pick: &Pick) -> Option<&'a LampNow> {
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
            let ends = say!(
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
