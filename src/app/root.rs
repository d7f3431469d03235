//! Which place of the application is shown: the start screen, the form for a new plan, or an open plan.

use super::home::{BriefForm, Home};
use super::plan::PlanHost;
use super::store::{self, Browser};
use crate::keep::{Loaded, Shelf, Stamp};
use crate::plan::{History, Plan, file};
use crate::session::ByPtr;
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use std::rc::Rc;
use yew::prelude::*;

/// The three examples, shipped inside the program: they open without a network.
pub const EXAMPLES: [(&str, &str, &str); 3] = [
    (
        "wagon",
        "Four turn lamps, two switches, one flasher",
        include_str!("../../static/examples/parade-wagon.json"),
    ),
    (
        "tractor",
        "Rear filaments shared by stop and turn, turn first by contacts",
        include_str!("../../static/examples/ferry-slip-tractor.json"),
    ),
    (
        "float",
        "Front and rear lamps shared, turn first by relays",
        include_str!("../../static/examples/orchard-float.json"),
    ),
];

/// A plan on its way to the screen.
#[derive(Debug)]
pub struct Opened {
    /// Key it is kept under; an example or a new plan has none yet.
    pub key: Option<Rc<str>>,
    /// Name under which it is opened again after a reload while it has no key.
    pub example: Option<&'static str>,
    /// The save it was read from.
    pub seen: Stamp,
    /// The plan.
    pub plan: Plan,
    /// What can be undone.
    pub history: History,
}

impl Opened {
    /// A plan that is kept from its first moment on.
    pub fn fresh(plan: Plan) -> Self {
        Self {
            key: None,
            example: None,
            seen: Stamp::default(),
            plan,
            history: History::default(),
        }
    }

    /// An example, kept only once it is changed.
    pub fn example(name: &str) -> Option<Self> {
        let (name, _, text) = EXAMPLES.iter().find(|(known, ..)| *known == name)?;
        Some(Self {
            example: Some(name),
            ..Self::fresh(file::read(text.as_bytes()).ok()?)
        })
    }

    /// A kept plan.
    pub fn kept(shelf: &Shelf<Browser>, key: &Rc<str>) -> Option<Self> {
        let Loaded {
            plan,
            history,
            stamp,
        } = shelf.load(key)?;
        Some(Self {
            key: Some(key.clone()),
            seen: stamp,
            history,
            ..Self::fresh(plan)
        })
    }

    /// What was open when the page was left.
    pub fn last() -> Option<Self> {
        let shelf = store::shelf()?;
        let key = shelf.last_open()?;
        match key.strip_prefix("example-") {
            Some(name) => Self::example(name),
            None => Self::kept(&shelf, &key),
        }
    }
}

/// A place of the application.
#[derive(Debug, Clone, PartialEq)]
pub enum Place {
    /// The start screen.
    Home,
    /// The form for a new plan.
    Brief,
    /// An open plan.
    Plan(ByPtr<Opened>),
}

/// Where to start: at the plan that was open, unless it stopped the program.
fn first() -> Place {
    let may = store::shelf().is_some_and(|shelf| shelf.last_open().is_some() && shelf.begin());
    match may.then(Opened::last).flatten() {
        Some(opened) => Place::Plan(ByPtr::new(opened)),
        None => Place::Home,
    }
}

/// How long the page lives before its start counts as done, in milliseconds.
const LIVES_MS: u32 = 2000;

/// Notes that the start is done: after a while, or when the page is left in order.
fn watch_the_start() -> (Timeout, EventListener) {
    let done = || {
        if let Some(shelf) = store::shelf() {
            shelf.came_through();
        }
    };
    let leave = EventListener::new(&gloo::utils::window(), "pagehide", move |_| done());
    (Timeout::new(LIVES_MS, done), leave)
}

/// The application.
#[component]
pub fn Root() -> Html {
    let place = use_state(first);
    let go = use_callback((), {
        let place = place.setter();
        move |next: Place, ()| {
            if let Some(shelf) = store::shelf() {
                match next {
                    // Opened by hand, a plan may be tried again.
                    Place::Plan(_) => shelf.told(),
                    _ => shelf.set_open(None),
                }
            }
            gloo::utils::window().scroll_to_with_x_and_y(0.0, 0.0);
            place.set(next);
        }
    });
    use_effect_with((), |()| {
        // Tests and the boot script read this: the page answers now.
        let _ = gloo::utils::body().set_attribute("data-ready", "true");
        let watch = watch_the_start();
        move || drop(watch)
    });
    match &*place {
        Place::Home => html! { <Home {go} /> },
        Place::Brief => html! { <BriefForm {go} /> },
        Place::Plan(opened) => {
            let address = Rc::as_ptr(&opened.0) as usize;
            html! { <PlanHost key={address} opened={opened.clone()} {go} /> }
        }
    }
}
