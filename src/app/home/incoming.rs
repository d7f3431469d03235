//! A plan from outside before it is kept: one that came in a link, or a file whose references are not all sound.

use crate::app::paths::DrawingPane;
use crate::app::root::{Incoming, Opened, Place};
use crate::drawing::Overlay;
use crate::plan::{Plan, mend};
use crate::session::ByPtr;
use crate::text::say;
use yew::prelude::*;

/// Broken references named one by one; more of them help nobody.
const MOST_TOLD: usize = 12;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct IncomingViewProps {
    /// The plan.
    pub incoming: ByPtr<Incoming>,
    /// Shows another place.
    pub go: Callback<Place>,
}

/// The screen.
#[component]
pub fn IncomingView(props: &IncomingViewProps) -> Html {
    let Incoming { plan, from } = &*props.incoming;
    let mended = use_memo(plan.clone(), |plan| mend(plan));
    let (sound, told) = &*mended;
    let keep = |plan: &Plan| {
        let (go, plan) = (props.go.clone(), plan.clone());
        Callback::from(move |_: MouseEvent| {
            go.emit(Place::Plan(ByPtr::new(Opened::fresh(plan.clone()))));
        })
    };
    let leave = use_callback(props.go.clone(), |_: MouseEvent, go| go.emit(Place::Home));
    let overlay = use_memo((), |()| ByPtr::new(Overlay::new()));
    let title = if plan.title.trim().is_empty() {
        say!("Plan without a title")
    } else {
        plan.title.as_str()
    };
    let (parts, wires) = (plan.parts.len(), plan.wires.len());
    let counts = match plan.controls.len() {
        1 => say!("{parts} parts, {wires} wires, one control."),
        controls => say!("{parts} parts, {wires} wires, {controls} controls."),
    };
    html! {
        <div class="home">
            <header class="home-head">
                <h1>{ title }</h1>
                <p>{ *from }{ " " }{ counts }{ say!(" It is not kept yet, and nothing of yours is changed.") }</p>
            </header>
            <main class="home-main">
                if !told.is_empty() {
                    <section class="caution" aria-labelledby="incoming-broken">
                        <h2 id="incoming-broken">{ match told.len() {
                            1 => say!("One broken reference").to_owned(),
                            n => say!("{n} broken references"),
                        } }</h2>
                        <ul class="bullets">
                            { for told.iter().take(MOST_TOLD).map(|line| html! { <li>{ line }</li> }) }
                        </ul>
                        if let Some(more @ 1..) = told.len().checked_sub(MOST_TOLD) {
                            <p>{ say!("And {more} more.") }</p>
                        }
                    </section>
                }
                <div class="stack">
                    if told.is_empty() {
                        <button type="button" class="main-button" onclick={keep(plan)}>{ say!("Keep it as a new plan") }</button>
                    } else {
                        <button type="button" class="main-button" onclick={keep(sound)}>{ say!("Mend and open") }</button>
                        <button type="button" class="main-button" data-plain="true" onclick={keep(plan)}>{ say!("Open as it is") }</button>
                    }
                    <button type="button" class="main-button" data-plain="true" onclick={leave}>{ say!("Leave it") }</button>
                </div>
                <section class="preview" aria-label={say!("What it looks like")}>
                    <DrawingPane plan={plan.clone()} overlay={(*overlay).clone()} />
                </section>
            </main>
        </div>
    }
}
