//! Which place of the application is shown: the start screen, the form for a new plan, or an open plan.

use super::home::{BriefForm, Home};
use super::plan::PlanHost;
use super::store::Shelf;
use crate::plan::{History, Plan, file};
use crate::session::ByPtr;
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
    /// Number of the save it was read from.
    pub seen: u64,
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
            seen: 0,
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
    pub fn kept(shelf: &Shelf, key: &Rc<str>) -> Option<Self> {
        let (plan, history, seen) = shelf.load(key)?;
        Some(Self {
            key: Some(key.clone()),
            seen,
            history,
            ..Self::fresh(plan)
        })
    }

    /// What was open when the page was left.
    fn last() -> Option<Self> {
        let shelf = Shelf::open()?;
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

/// The application.
#[component]
pub fn Root() -> Html {
    let place = use_state(|| match Opened::last() {
        Some(opened) => Place::Plan(ByPtr::new(opened)),
        None => Place::Home,
    });
    let go = use_callback((), {
        let place = place.setter();
        move |next: Place, ()| {
            if !matches!(next, Place::Plan(_))
                && let Some(shelf) = Shelf::open()
            {
                shelf.set_open(None);
            }
            gloo::utils::window().scroll_to_with_x_and_y(0.0, 0.0);
            place.set(next);
        }
    });
    use_effect_with((), |()| {
        // Tests and the boot script read this: the page answers now.
        let _ = gloo::utils::body().set_attribute("data-ready", "true");
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
