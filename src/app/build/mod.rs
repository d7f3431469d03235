//! The forms: parts, wires, controls, wishes, places and the plan itself. A list leads to each form.

mod control_rows;
mod form;
mod fresh;
mod lamp_rows;
mod list;
mod new_wire;
mod part_rows;
mod plan_rows;
pub mod row;
mod supply_rows;
mod switch_rows;
mod wire_rows;
mod wish_rows;

pub use form::Form;

use crate::app::later::use_after_paint;
use crate::app::{Dispatch, screen_to_top, terms};
use crate::plan::{Plan, file};
use crate::session::{Action, ByPtr, Screen};
use crate::text::{self, mark, say};
use list::List;
use new_wire::NewWire;
use yew::prelude::*;

/// A list of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tab {
    /// Parts.
    Parts,
    /// Wires.
    Wires,
    /// Controls.
    Controls,
    /// Wishes.
    Wishes,
    /// Places.
    Places,
    /// Title, notes, thresholds.
    Plan,
    /// What the plan is held against; a screen of its own, in no list.
    Sizing,
}

impl Tab {
    const ALL: [Tab; 6] = [
        Tab::Parts,
        Tab::Wires,
        Tab::Controls,
        Tab::Wishes,
        Tab::Places,
        Tab::Plan,
    ];

    /// Its name in English.
    pub const fn text(self) -> &'static str {
        match self {
            Tab::Parts => mark!("Parts"),
            Tab::Wires => mark!("Wires"),
            Tab::Controls => mark!("Controls"),
            Tab::Wishes => mark!("Wishes"),
            Tab::Places => mark!("Places"),
            Tab::Plan => mark!("Settings"),
            Tab::Sizing => mark!("Sizing"),
        }
    }
}

/// What is open below the lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Open {
    /// A list.
    List,
    /// The form of the thing with this identity.
    Item(AttrValue),
    /// The form for a new wire.
    NewWire,
}

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct BuildProps {
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// The screen.
#[component]
pub fn Build(props: &BuildProps) -> Html {
    let tab = use_state(|| Tab::Parts);
    let open = use_state(|| Open::List);
    let choose = {
        let (tab, open) = (tab.setter(), open.setter());
        use_callback((), move |event: MouseEvent, ()| {
            let name = event
                .target_dyn_into::<web_sys::Element>()
                .and_then(|target| target.get_attribute("data-tab"));
            if let Some(next) = Tab::ALL
                .into_iter()
                .find(|t| Some(t.text()) == name.as_deref())
            {
                tab.set(next);
                open.set(Open::List);
            }
        })
    };
    let download = use_callback(props.plan.clone(), |_: MouseEvent, plan| {
        crate::app::files::download_plan(plan);
    });
    let dispatch = use_context::<Dispatch>();
    let answers = use_callback(dispatch.clone(), |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Answers)));
    });
    let sizing = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Settings)));
    });
    // The list that was tapped is marked at once; it comes, like a form, in the next frame.
    let now = (*tab, (*open).clone());
    let (set_tab, set_open) = (tab.setter(), open.setter());
    let (late, (tab, open)) = use_after_paint(&(props.plan.clone(), now.clone()));
    // What is opened is opened in the list it was seen in.
    let go = use_callback(tab, move |next: Open, tab| {
        set_tab.set(*tab);
        set_open.set(next);
    });
    use_effect_with(open.clone(), |_| screen_to_top());
    // Until then what is there stays as it was, also if what it shows is gone; a form follows what is typed at once.
    let is_late = now != (tab, open.clone());
    let plan = if is_late { late } else { props.plan.clone() };
    match (&open, tab) {
        (Open::Item(id), tab) => {
            html! { <Form key={id.to_string()} {plan} {tab} id={id.clone()} {go} /> }
        }
        (Open::NewWire, _) => html! { <NewWire {plan} {go} /> },
        (Open::List, tab) => html! {
            <div class="build">
                <h2>{ say!("Build") }</h2>
                <p class="caution"><strong>{ say!("Disconnect the battery before you wire. ") }</strong>
                    { say!("Fuse at the source, no bare joints.") }</p>
                if plan.drafted.is_some() {
                    <button type="button" class="main-button" data-plain="true" onclick={answers}>{ say!("Answers of the form") }</button>
                }
                <div class="tabs" role="group" aria-label={say!("Lists of this plan")} onclick={choose}>
                    { for Tab::ALL.into_iter().map(|t| html! {
                        <button type="button" key={t.text()} data-tab={t.text()} aria-current={(t == now.0).then_some("true")}>
                            { text::of(t.text()) }
                        </button>
                    }) }
                </div>
                if tab == Tab::Plan {
                    <button type="button" class="main-button" data-plain="true" onclick={sizing}>{ say!("Rules, surroundings, units") }</button>
                    <Form {plan} {tab} id="plan" {go} />
                    <button type="button" class="main-button" onclick={download}>{ say!("Download this plan") }</button>
                    <p class="mute">{ say!("A file that ends in .{}: open it again here or on another device.", file::EXTENSION) }</p>
                } else {
                    <List {plan} {tab} {go} />
                    { terms::terms(terms::of_list(tab.text())) }
                }
            </div>
        },
    }
}
