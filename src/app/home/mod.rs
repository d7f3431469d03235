//! The start screen: what Loomwright does, the examples, the kept plans, a new plan, a file.

mod backup;
mod brief_form;
mod compare;
mod incoming;
mod kept;
mod open_file;
mod stopped;

pub use brief_form::BriefForm;
pub use compare::Compare;
pub use incoming::IncomingView;
pub use open_file::read as read_plan;

use super::language::LanguageChoice;
use super::root::{EXAMPLES, Opened, Place};
use super::store;
use super::update::UpdateLine;
use super::whole;
use super::widgets::ThemeChoice;
use crate::session::ByPtr;
use crate::text::{self, say};
use kept::KeptPlans;
use open_file::OpenFile;
use stopped::Stopped;
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
    let new = use_callback(props.go.clone(), |_: MouseEvent, go| {
        if let Some(shelf) = store::shelf() {
            shelf.set_draft(None);
        }
        go.emit(Place::Brief);
    });
    let resume = use_callback(props.go.clone(), |_: MouseEvent, go| go.emit(Place::Brief));
    let begun = use_memo((), |()| {
        store::shelf().is_some_and(|shelf| shelf.draft().is_some())
    });
    let example = use_callback(props.go.clone(), |event: MouseEvent, go| {
        let name = event
            .target_dyn_into::<web_sys::Element>()
            .and_then(|target| target.closest("[data-example]").ok()?)
            .and_then(|button| button.get_attribute("data-example"));
        if let Some(name) = name {
            whole::go(go, move || {
                Some(Place::Plan(ByPtr::new(Opened::example(&name)?)))
            });
        }
    });
    let restored = use_state(|| 0_u32);
    let onrestored = use_callback(restored.clone(), |(), restored| {
        restored.set(**restored + 1)
    });
    html! {
        <div class="home">
            <header class="home-head">
                <h1>{ "Loomwright" }</h1>
                <p>
                    { say!("Plan the lamp wiring of a small vehicle, see which switch lights which lamp, and find current \
                       that runs where nobody wished it.") }
                </p>
            </header>
            <main class="home-main">
                <UpdateLine />
                <Stopped go={props.go.clone()} />
                <section aria-labelledby="home-new">
                    <h2 id="home-new">{ say!("Start") }</h2>
                    <div class="stack">
                        if *begun {
                            <button type="button" class="main-button" onclick={resume}>{ say!("Go on with my answers") }</button>
                        }
                        <button type="button" class="main-button" data-plain={begun.then_some("true")} onclick={new}>
                            { say!("Plan my own") }
                        </button>
                        <OpenFile go={props.go.clone()} {onrestored} />
                    </div>
                </section>
                <KeptPlans key={*restored} go={props.go.clone()} />
                <section aria-labelledby="home-examples">
                    <h2 id="home-examples">{ say!("Examples") }</h2>
                    <ul class="cards" onclick={example}>
                        { for EXAMPLES.iter().map(|example| html! {
                            <li key={example.name}>
                                <button type="button" class="card" data-example={example.name}>
                                    <strong>{ example.title }</strong>
                                    <span>{ text::of(example.what) }</span>
                                </button>
                            </li>
                        }) }
                    </ul>
                </section>
                <section aria-labelledby="home-look">
                    <h2 id="home-look">{ say!("Look and language") }</h2>
                    <div class="stack">
                        <ThemeChoice />
                        <LanguageChoice />
                    </div>
                </section>
                <p class="caution">
                    <strong>{ say!("Before you work: ") }</strong>
                    { say!("disconnect the battery. Loomwright advises and does not certify; on the road your local code applies.") }
                </p>
            </main>
        </div>
    }
}
