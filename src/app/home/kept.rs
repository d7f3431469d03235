//! The user's own plans, the last saved first; delete asks once and can be undone.

use super::GoProps;
use super::backup::Backup;
use crate::app::files;
use crate::app::root::{Opened, Place};
use crate::app::store;
use crate::keep::{Entries, Kept, State};
use crate::session::ByPtr;
use crate::text::say;
use std::rc::Rc;
use yew::prelude::*;

/// A deleted plan: its title and what puts it back.
type Deleted = (String, Rc<Entries>);

/// The list.
#[component]
pub fn KeptPlans(props: &GoProps) -> Html {
    let list = use_state(|| store::shelf().map(|shelf| shelf.list()));
    let asked = use_state(|| None::<Rc<str>>);
    let deleted = use_state(|| None::<Deleted>);
    let refresh = {
        let list = list.setter();
        move || list.set(store::shelf().map(|shelf| shelf.list()))
    };
    let act = {
        let (asked, deleted, go) = (asked.clone(), deleted.clone(), props.go.clone());
        let refresh = refresh.clone();
        Callback::from(move |(act, kept): (Act, Kept)| {
            let Some(shelf) = store::shelf() else { return };
            match act {
                Act::Open => {
                    if let Some(opened) = Opened::kept(&shelf, &kept.key) {
                        go.emit(Place::Plan(ByPtr::new(opened)));
                    }
                }
                Act::Ask => asked.set(Some(kept.key)),
                Act::Keep => asked.set(None),
                Act::Delete => {
                    let entries = shelf.delete(&kept.key);
                    deleted.set(Some((kept.title, Rc::new(entries))));
                    asked.set(None);
                    refresh();
                }
                Act::Download => {
                    files::download("unreadable-plan.txt", "text/plain", &shelf.raw(&kept.key))
                }
            }
        })
    };
    let undo = {
        let deleted = deleted.clone();
        Callback::from(move |_: MouseEvent| {
            if let (Some((_, entries)), Some(shelf)) = (&*deleted, store::shelf())
                && shelf.restore(entries).is_ok()
            {
                deleted.set(None);
                refresh();
            }
        })
    };
    let compare = use_callback(props.go.clone(), |_: MouseEvent, go| {
        go.emit(Place::Compare)
    });
    html! {
        <section class="stack" aria-labelledby="home-kept">
            <h2 id="home-kept">{ say!("Your plans") }</h2>
            if let Some((title, _)) = &*deleted {
                <div class="notice" role="status">
                    <span>{ say!("Deleted: {title}") }</span>
                    <button type="button" onclick={undo}>{ say!("Undo delete") }</button>
                </div>
            }
            { match &*list {
                None => html! {
                    <p class="mute">{ say!("This browser keeps no plans for this page. Download each plan as a file to keep it.") }</p>
                },
                Some(list) if list.is_empty() => html! {
                    <p class="mute">{ say!("None yet. Tap “Plan my own”, or open an example and change it: it is then kept here.") }</p>
                },
                Some(list) => html! {
                    <ul class="cards">
                        { for list.iter().map(|kept| html! {
                            <KeptRow key={&*kept.key} kept={kept.clone()} asked={asked.as_ref() == Some(&kept.key)}
                                act={act.clone()} />
                        }) }
                    </ul>
                },
            } }
            if list.as_ref().is_some_and(|list| list.len() > 1) {
                <button type="button" class="main-button" data-plain="true" onclick={compare}>{ say!("Compare two plans") }</button>
            }
            if list.as_ref().is_some_and(|list| !list.is_empty()) {
                <Backup />
            }
        </section>
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Act {
    Open,
    Ask,
    Keep,
    Delete,
    Download,
}

#[derive(Properties, PartialEq)]
struct KeptRowProps {
    kept: Kept,
    asked: bool,
    act: Callback<(Act, Kept)>,
}

#[component]
fn KeptRow(props: &KeptRowProps) -> Html {
    let KeptRowProps { kept, asked, act } = props;
    let on = |what: Act| {
        let (act, kept) = (act.clone(), kept.clone());
        Callback::from(move |_: MouseEvent| act.emit((what, kept.clone())))
    };
    let title = if kept.title.trim().is_empty() {
        say!("Plan without a title")
    } else {
        kept.title.as_str()
    };
    html! {
        <li class="kept">
            if kept.state == State::Readable {
                <button type="button" class="card" onclick={on(Act::Open)}>
                    <strong>{ title }</strong>
                    if kept.saved_ms > 0 {
                        <span>{ say!("Saved {}", store::when(kept.saved_ms)) }</span>
                    }
                </button>
                if *asked {
                    <div class="kept-ask" role="group" aria-label={say!("Delete {title}?")}>
                        <button type="button" class="danger" onclick={on(Act::Delete)}>{ say!("Delete it") }</button>
                        <button type="button" onclick={on(Act::Keep)}>{ say!("Keep it") }</button>
                    </div>
                } else {
                    <button type="button" class="kept-delete" aria-label={say!("Delete {title}")} onclick={on(Act::Ask)}>
                        { say!("Delete") }
                    </button>
                }
            } else {
                <div class="card"><strong>{ title }</strong>
                    <span>{ match kept.state {
                        State::Newer => say!("A newer Loomwright saved it. Load the page again to get that one; until then the plan is left untouched."),
                        _ => say!("It cannot be read and is left untouched."),
                    } }</span></div>
                <button type="button" onclick={on(Act::Download)}>{ say!("Download it") }</button>
            }
        </li>
    }
}
