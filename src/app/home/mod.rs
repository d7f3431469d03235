//! The start screen: what Loomwright does, the examples, the kept plans, a new plan, a file.

mod brief_form;
mod kept;
mod open_file;

pub use brief_form::BriefForm;

use super::root::{EXAMPLES, Opened, Place};
use super::widgets::ThemeChoice;
use crate::session::ByPtr;
use kept::KeptPlans;
use open_file::OpenFile;
use yew::prelude::*;

/// Where a screen can send the user.
#[derive(Properties, PartialEq)]
pub struct GoProps {
    /// Shows another place.
    pub go: Callback<Place>,
}

/// The start screen.
#[component]
pub fn Home(props: &GoProps) -> Html {
    let new = use_callback(props.go.clone(), |_: MouseEvent, go| go.emit(Place::Brief));
    let example = use_callback(props.go.clone(), |event: MouseEvent, go| {
        let name = event
            .target_dyn_into::<web_sys::Element>()
            .and_then(|target| target.closest("[data-example]").ok()?)
            .and_then(|button| button.get_attribute("data-example"));
        if let Some(opened) = name.and_then(|name| Opened::example(&name)) {
            go.emit(Place::Plan(ByPtr::new(opened)));
        }
    });
    html! {
        <div class="home">
            <header class="home-head">
                <h1>{ "Loomwright" }</h1>
                <p>
                    { "Plan the lamp wiring of a small vehicle, see which switch lights which lamp, and find current \
                       that runs where nobody wished it." }
                </p>
            </header>
            <main class="home-main">
                <section aria-labelledby="home-new">
                    <h2 id="home-new">{ "Start" }</h2>
                    <div class="stack">
                        <button type="button" class="main-button" onclick={new}>{ "Plan my own" }</button>
                        <OpenFile go={props.go.clone()} />
                    </div>
                </section>
                <KeptPlans go={props.go.clone()} />
                <section aria-labelledby="home-examples">
                    <h2 id="home-examples">{ "Examples" }</h2>
                    <ul class="cards" onclick={example}>
                        { for EXAMPLES.iter().map(|(name, what, text)| html! {
                            <li key={*name}>
                                <button type="button" class="card" data-example={*name}>
                                    <strong>{ title(text) }</strong>
                                    <span>{ *what }</span>
                                </button>
                            </li>
                        }) }
                    </ul>
                </section>
                <section aria-labelledby="home-look">
                    <h2 id="home-look">{ "Look" }</h2>
                    <ThemeChoice />
                </section>
                <p class="caution">
                    <strong>{ "Before you work: " }</strong>
                    { "disconnect the battery. Loomwright advises and does not certify; on the road your local code applies." }
                </p>
            </main>
        </div>
    }
}

/// The title written in an example's text.
fn title(text: &str) -> String {
    let plan = crate::plan::file::read(text.as_bytes());
    plan.map_or_else(|_| "Example".into(), |plan| plan.title)
}
