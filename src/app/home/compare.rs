//! Two kept plans side by side: what differs in parts, wires and behaviour.

use crate::app::paths::DrawingPane;
use crate::app::plan::use_analysis;
use crate::app::root::Place;
use crate::app::store;
use crate::app::views::{Effect, Sides};
use crate::drawing::Overlay;
use crate::keep::{Kept, State};
use crate::plan::{Plan, difference};
use crate::session::ByPtr;
use crate::text::{mark, say};
use std::rc::Rc;
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct CompareProps {
    /// Shows another place.
    pub go: Callback<Place>,
}

/// A plan that was chosen.
fn chosen(key: &str) -> Option<ByPtr<Plan>> {
    Some(ByPtr::new(store::shelf()?.load(key)?.plan))
}

/// The screen: two choices, then the comparison.
#[component]
pub fn Compare(props: &CompareProps) -> Html {
    let list = use_memo((), |()| {
        let mut list = store::shelf().map_or_else(Vec::new, |shelf| shelf.list());
        list.retain(|kept| kept.state == State::Readable);
        list
    });
    let first = |at: usize| list.get(at).map(|kept| kept.key.clone());
    let keys = use_state(|| [first(1), first(0)]);
    let plans = use_memo((*keys).clone(), |keys| {
        keys.each_ref().map(|key| key.as_deref().and_then(chosen))
    });
    let onchange = use_callback(keys.clone(), |event: Event, keys| {
        let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else {
            return;
        };
        let mut next = (**keys).clone();
        next[usize::from(select.id() == "compare-1")] = Some(select.value().into());
        keys.set(next);
    });
    let back = use_callback(props.go.clone(), |_: MouseEvent, go| go.emit(Place::Home));
    html! {
        <div class="home">
            <header class="form-head home-head">
                <button type="button" class="head-back" aria-label={say!("Back to all plans")} onclick={back}>
                    <span aria-hidden="true">{ "‹" }</span>
                </button>
                <h1>{ say!("Compare two plans") }</h1>
            </header>
            <main class="preview">
                { for [say!("Earlier plan"), say!("Later plan")].into_iter().enumerate().map(|(at, label)| {
                    choice(at, label, &list, keys[at].as_ref(), &onchange)
                }) }
                if let [Some(before), Some(after)] = &*plans {
                    <Comparison before={before.clone()} after={after.clone()} />
                }
            </main>
        </div>
    }
}

fn choice(
    at: usize,
    label: &str,
    list: &[Kept],
    key: Option<&Rc<str>>,
    onchange: &Callback<Event>,
) -> Html {
    let id = format!("compare-{at}");
    html! {
        <div class="field">
            <label for={id.clone()}>{ label }</label>
            <select {id} onchange={onchange.clone()}>
                { for list.iter().map(|kept| html! {
                    <option value={kept.key.to_string()} selected={key == Some(&kept.key)}>
                        { format!("{} ({})", kept.title, store::when(kept.saved_ms)) }
                    </option>
                }) }
            </select>
        </div>
    }
}

#[derive(Properties, PartialEq)]
struct ComparisonProps {
    before: ByPtr<Plan>,
    after: ByPtr<Plan>,
}

/// What differs.
#[component]
fn Comparison(props: &ComparisonProps) -> Html {
    let ComparisonProps { before, after } = props;
    let (now, then) = (use_analysis(before).analysis, use_analysis(after).analysis);
    let told = use_memo((before.clone(), after.clone()), |(before, after)| {
        let difference = difference(before, after);
        let mark = |group: String| (group, "marked".to_owned());
        let marks: Overlay = difference.groups().into_iter().map(mark).collect();
        (difference.lines(after), ByPtr::new(marks))
    });
    let (lines, marks) = &*told;
    html! {
        <>
            <h2>{ say!("What differs") }</h2>
            <ul class="bullets">{ for lines.iter().map(|line| html! { <li>{ line }</li> }) }</ul>
            if let (Some(now), Some(then)) = (&now, &then) {
                <Effect now={now.clone()} then={then.clone()} heads={[mark!("Earlier"), mark!("Later")]} />
            } else {
                <p role="status">{ say!("Working it out…") }</p>
            }
            <DrawingPane plan={after.clone()} overlay={marks.clone()} />
            if !marks.is_empty() {
                <p class="explain-key" data-key="marked">{ say!("Underlined, and green below: new or changed in the later plan.") }</p>
            }
            if let (Some(now), Some(then)) = (now, then) {
                <Sides plan={after.clone()} {now} {then} heads={[mark!("Earlier"), mark!("Later")]} />
            }
        </>
    }
}
