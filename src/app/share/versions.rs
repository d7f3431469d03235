//! Earlier versions of the open plan: each can be looked at beside the plan as it is, and returned to.

use crate::app::{Dispatch, store};
use crate::keep::Version;
use crate::plan::{Edit, Plan};
use crate::session::{Action, ByPtr, Proposed};
use crate::text::say;
use std::rc::Rc;
use yew::prelude::*;

/// What the list needs.
#[derive(Properties, PartialEq)]
pub struct VersionsProps {
    /// Key the plan is kept under, once it is.
    pub key_of: Option<Rc<str>>,
    /// The document; a new one may have made a new version.
    pub plan: ByPtr<Plan>,
}

/// The list.
#[component]
pub fn Versions(props: &VersionsProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let list = use_memo((props.key_of.clone(), props.plan.clone()), |(key, _)| {
        let found = key.as_deref().zip(store::shelf());
        found.map_or_else(Vec::new, |(key, shelf)| shelf.versions(key))
    });
    let look = |version: &Version| {
        let (dispatch, plan, saved) = (
            dispatch.clone(),
            version.plan.clone(),
            store::when(version.saved_ms),
        );
        Callback::from(move |_: MouseEvent| {
            if let Some(dispatch) = &dispatch {
                dispatch.dispatch(Action::Propose(Box::new(Proposed {
                    title: say!("Return to the version of {saved}"),
                    edit: Edit::Whole(Box::new(plan.clone())),
                    lines: vec![say!("Undo brings the plan as it is now back.").into()],
                    heads: Vec::new(),
                    costs: Vec::new(),
                })));
            }
        })
    };
    html! {
        <section aria-labelledby="share-versions">
            <h2 id="share-versions">{ say!("Earlier versions") }</h2>
            if list.is_empty() {
                <p class="mute">{ say!("None yet. While you work, the plan as it was is kept every ten minutes and from each day.") }</p>
            }
            <ul class="cards">
                { for list.iter().map(|version| html! {
                    <li key={version.key.clone()}>
                        <button type="button" class="card" onclick={look(version)}>
                            <strong>{ store::when(version.saved_ms) }</strong>
                            <span>{ say!("{}: {} parts, {} wires", version.plan.title, version.plan.parts.len(), version.plan.wires.len()) }</span>
                        </button>
                    </li>
                }) }
            </ul>
        </section>
    }
}
