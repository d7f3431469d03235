//! One list of the plan: what is in it, in words; each entry opens its form.

use super::wish_rows::words_of;
use super::{Open, Tab, fresh};
use crate::app::widgets::Select;
use crate::app::{Dispatch, live, words};
use crate::plan::{Action as ControlAction, Change, Edit, Plan, position_words};
use crate::session::{Action, ByPtr};
use crate::text::{self, mark, say};
use yew::prelude::*;

/// What the list needs.
#[derive(Properties, PartialEq)]
pub struct ListProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Which list.
    pub tab: Tab,
    /// Opens something.
    pub go: Callback<Open>,
}

/// Identity, what it is, and what more there is to say.
type Entry = (String, String, String);

fn entries(plan: &Plan, tab: Tab) -> Vec<Entry> {
    match tab {
        Tab::Parts => plan
            .parts
            .iter()
            .map(|part| {
                let place = part.place.as_ref().and_then(|id| plan.place(id));
                let place = place.map_or_else(String::new, |place| place.label.clone());
                (part.id.to_string(), live::part_words(part), place)
            })
            .collect(),
        Tab::Wires => plan
            .wires
            .iter()
            .map(|wire| {
                let ends = format!("{} → {}", wire.from, wire.to);
                (wire.id.to_string(), ends, words::wire(plan, wire))
            })
            .collect(),
        Tab::Controls => plan
            .controls
            .iter()
            .map(|control| {
                let back = if control.action == ControlAction::Momentary {
                    say!(", goes back")
                } else {
                    ""
                };
                (
                    control.id.to_string(),
                    control.label.clone(),
                    format!("{}{back}", position_words(&control.positions)),
                )
            })
            .collect(),
        Tab::Wishes => plan
            .wishes
            .iter()
            .enumerate()
            .map(|(i, wish)| {
                // Their order counts, and findings name them by it.
                let words = format!("{}. {}", i + 1, words_of(plan, wish));
                (wish.id.to_string(), words, String::new())
            })
            .collect(),
        Tab::Places => plan
            .places
            .iter()
            .map(|place| (place.id.to_string(), place.label.clone(), String::new()))
            .collect(),
        Tab::Plan | Tab::Sizing => Vec::new(),
    }
}

/// What to do where a list is empty.
const fn empty(tab: Tab) -> &'static str {
    match tab {
        Tab::Parts => {
            mark!("No parts yet. Add a battery and a fuse first, then lamps and switches.")
        }
        Tab::Wires => mark!("No wires yet. Add parts, then join their terminals."),
        Tab::Controls => mark!("No controls yet. Add one for every switch or pedal."),
        Tab::Wishes => {
            mark!(
                "No wishes yet. Say which lamp shall be lit when; without a wish every lamp is to stay off."
            )
        }
        Tab::Places => {
            mark!("No places yet. Add those where parts sit, such as Dash or Rear left.")
        }
        Tab::Plan | Tab::Sizing => "",
    }
}

/// What adds to a list.
fn add_word(tab: Tab) -> &'static str {
    match tab {
        Tab::Parts => say!("Add a part"),
        Tab::Wires => say!("Add a wire"),
        Tab::Controls => say!("Add a control"),
        Tab::Wishes => say!("Add a wish"),
        Tab::Places | Tab::Plan | Tab::Sizing => say!("Add a place"),
    }
}

/// The list.
#[component]
pub fn List(props: &ListProps) -> Html {
    let ListProps { plan, tab, go } = props;
    let tab = *tab;
    let dispatch = use_context::<Dispatch>();
    let kind = use_state(|| AttrValue::Static("lamp"));
    let open = use_callback(go.clone(), |event: MouseEvent, go| {
        let id = event
            .target_dyn_into::<web_sys::Element>()
            .and_then(|target| target.closest("[data-item]").ok()?)
            .and_then(|button| button.get_attribute("data-item"));
        id.into_iter().for_each(|id| go.emit(Open::Item(id.into())));
    });
    let add = {
        let (plan, go, kind) = (plan.clone(), go.clone(), kind.clone());
        Callback::from(move |_: MouseEvent| {
            let Some((id, edit)) = added(&plan, tab, &kind) else {
                go.emit(Open::NewWire);
                return;
            };
            if let Some(dispatch) = &dispatch {
                dispatch.dispatch(Action::Edit {
                    edit: Box::new(edit),
                    label: if designated(tab) {
                        say!("Add {id}")
                    } else {
                        add_word(tab).to_owned()
                    },
                    key: String::new(),
                });
                go.emit(Open::Item(id.into()));
            }
        })
    };
    let entries = entries(plan, tab);
    let set_kind = {
        let kind = kind.setter();
        use_callback((), move |text: String, ()| kind.set(text.into()))
    };
    html! {
        <>
            if entries.is_empty() {
                <p class="mute">{ text::of(empty(tab)) }</p>
            }
            <ul class="build-list" onclick={open}>
                { for entries.into_iter().map(|(id, what, more)| html! {
                    <Item key={id.clone()} id={id.clone()} {what} {more} designated={designated(tab)} />
                }) }
            </ul>
            <div class="add">
                if tab == Tab::Parts {
                    <Select id="new-kind" label={say!("Kind of part to add")} value={(*kind).clone()}
                        options={super::row::plain(fresh::KINDS)} onchoose={set_kind} />
                }
                <button type="button" class="main-button" onclick={add}>{ add_word(tab) }</button>
            </div>
        </>
    }
}

#[derive(Properties, PartialEq)]
struct ItemProps {
    id: AttrValue,
    what: AttrValue,
    more: AttrValue,
    designated: bool,
}

/// One entry, drawn again only when its own words are others.
#[component]
fn Item(props: &ItemProps) -> Html {
    #[cfg(test)]
    crate::app::renders::note(&props.id);
    let ItemProps {
        id,
        what,
        more,
        designated,
    } = props;
    html! {
        <li>
            <button type="button" class="build-item" data-item={id.clone()} data-plain={(!designated).then_some("true")}>
                if *designated { <span class="build-item-id">{ id }</span> }
                <span>{ what }
                    if !more.is_empty() { <span class="build-item-more">{ more }</span> }</span>
                <span aria-hidden="true">{ "›" }</span>
            </button>
        </li>
    }
}

/// Parts and wires carry a designation; what only has an inner name shows none.
const fn designated(tab: Tab) -> bool {
    matches!(tab, Tab::Parts | Tab::Wires)
}

/// The identity of a new thing and the edit that adds it; `None` for a wire, which needs two ends first.
fn added(plan: &Plan, tab: Tab, kind: &str) -> Option<(String, Edit)> {
    let at = usize::MAX;
    Some(match tab {
        Tab::Parts => {
            let item = fresh::part(plan, kind);
            (item.id.to_string(), Edit::add_part(item))
        }
        Tab::Wires => return None,
        Tab::Controls => {
            let item = fresh::control(plan);
            (
                item.id.to_string(),
                Edit::Control(Change::Insert { at, item }),
            )
        }
        Tab::Wishes => {
            let item = fresh::wish(plan);
            (item.id.to_string(), Edit::Wish(Change::Insert { at, item }))
        }
        Tab::Places | Tab::Plan | Tab::Sizing => {
            let item = fresh::place(plan);
            (
                item.id.to_string(),
                Edit::Place(Change::Insert { at, item }),
            )
        }
    })
}
