//! All answers, each with the way to change it; what contradicts comes first, with the changes that mend it.

use crate::brief::Contradiction;
use crate::brief::form::{Form, Step};
use crate::text::say;
use std::rc::Rc;
use yew::prelude::*;

/// What the page needs.
#[derive(Properties, PartialEq)]
pub struct CheckProps {
    /// The form as it stands.
    pub form: Form,
    /// What contradicts in it.
    pub found: Rc<Vec<Contradiction>>,
    /// Does something with it.
    pub step: Callback<Step>,
}

/// The page.
#[component]
pub fn Check(props: &CheckProps) -> Html {
    let to = |next: Step| {
        let step = props.step.clone();
        Callback::from(move |_: MouseEvent| step.emit(next.clone()))
    };
    html! {
        <>
            <div role="status">
                if props.found.is_empty() {
                    <p class="fine"><strong>{ "✓ " }</strong>{ say!("Nothing contradicts.") }</p>
                } else {
                    <p><strong>{ say!("These answers contradict. One tap mends each:") }</strong></p>
                }
            </div>
            { for props.found.iter().enumerate().map(|(i, contradiction)| html! {
                <section class="contradiction" key={contradiction.text.clone()} aria-label={say!("Contradiction {}", i + 1)}>
                    <p><strong>{ "✕ " }</strong>{ &contradiction.text }</p>
                    { for contradiction.mends.iter().enumerate().map(|(k, mend)| html! {
                        <button type="button" class="main-button" data-plain="true" key={k} onclick={to(Step::Mend(i, k))}>
                            { say!("Mend: {}", mend.title) }
                        </button>
                    }) }
                </section>
            }) }
            <dl class="answers">
                { for props.form.answers().into_iter().map(|answer| html! {
                    <div class="answer" key={answer.title}>
                        <dt>{ answer.title }{ if answer.usual { say!(" (usual)") } else { "" } }</dt>
                        { for answer.lines.iter().map(|line| html! { <dd>{ line }</dd> }) }
                        <dd><button type="button" onclick={to(Step::Open(answer.page))}
                            aria-label={say!("Change {}", answer.title)}>{ say!("Change") }</button></dd>
                    </div>
                }) }
            </dl>
            <p class="caution">{ say!("Fuse at the source: the fuse sits at the battery. Disconnect the battery before you wire.") }</p>
        </>
    }
}
