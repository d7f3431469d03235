//! Which place of the application is shown: the start screen, the form for a new plan, or an open plan.

use super::home::{BriefForm, Compare, Home, IncomingView};
use super::launch::use_launched;
use super::plan::PlanHost;
use super::store::{self, Browser};
use super::whole;
use super::zip::{self, Unpacked};
use crate::keep::{Loaded, Shelf, Stamp};
use crate::plan::{History, Plan, file, mend};
use crate::session::ByPtr;
use crate::share;
use crate::text::{mark, say};
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use std::rc::Rc;
use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

/// A plan to look at, shipped inside the program: it opens without a network.
#[derive(Debug)]
pub struct Example {
    /// Name under which it is opened again after a reload.
    pub name: &'static str,
    /// The title of the plan, so that the start screen need not read it.
    pub title: &'static str,
    /// What is in it.
    pub what: &'static str,
    /// The plan as a file.
    text: fn() -> &'static str,
}

/// The three examples.
pub static EXAMPLES: [Example; 3] = [
    Example {
        name: "wagon",
        title: "Parade wagon, four turn lamps",
        what: mark!("Four turn lamps, two switches, one flasher"),
        text: || include_str!("../../static/examples/parade-wagon.json"),
    },
    Example {
        name: "tractor",
        title: "Ferry-slip tractor, shared rear lamps",
        what: mark!("Rear filaments shared by stop and turn, turn first by contacts"),
        text: || include_str!("../../static/examples/ferry-slip-tractor.json"),
    },
    Example {
        name: "float",
        title: "Orchard float, shared front and rear lamps",
        what: mark!("Front and rear lamps shared, turn first by relays"),
        text: || include_str!("../../static/examples/orchard-float.json"),
    },
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
        let example = EXAMPLES.iter().find(|example| example.name == name)?;
        Some(Self {
            example: Some(example.name),
            ..Self::fresh(file::read((example.text)().as_bytes()).ok()?)
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
    /// A place is to come for which something is still on its way, or does not come: in words.
    Wait(AttrValue),
    /// Two kept plans side by side.
    Compare,
    /// A link that is being unpacked or a file that is being read, or what is wrong with it.
    Link(AttrValue),
    /// A plan from outside, before it is kept.
    Incoming(ByPtr<Incoming>),
    /// An open plan.
    Plan(ByPtr<Opened>),
}

/// A plan from outside.
#[derive(Debug)]
pub struct Incoming {
    /// The plan.
    pub plan: ByPtr<Plan>,
    /// Where it comes from, as a sentence.
    pub from: &'static str,
}

impl Place {
    /// Where a plan that was read from a file is shown: opened at once if all its references are sound.
    pub fn of_file(plan: Plan) -> Self {
        if mend(&plan).1.is_empty() {
            return Place::Plan(ByPtr::new(Opened::fresh(plan)));
        }
        Place::file_to_look_at(plan)
    }

    /// Where a plan that was read from a file is shown before it is kept.
    pub fn file_to_look_at(plan: Plan) -> Self {
        Place::to_look_at(plan, say!("A plan from a file."))
    }

    fn to_look_at(plan: Plan, from: &'static str) -> Self {
        let plan = ByPtr::new(plan);
        Place::Incoming(ByPtr::new(Incoming { plan, from }))
    }
}

/// What stands for the form in the place of a plan's key.
const FORM: &str = "form";

/// Where to start: at the plan that was open, unless it stopped the program.
fn first() -> Place {
    let last = store::shelf().and_then(|shelf| shelf.last_open());
    let answers = store::shelf().is_some_and(|shelf| shelf.draft().is_some());
    if last.as_deref() == Some(FORM) {
        // Without an answer there is nothing to go on with.
        return if answers { Place::Brief } else { Place::Home };
    }
    let may = last.is_some() && store::shelf().is_some_and(|shelf| shelf.begin());
    match may.then(Opened::last).flatten() {
        Some(opened) => Place::Plan(ByPtr::new(opened)),
        None => Place::Home,
    }
}

/// Opens the plan that the page's own address holds, if it holds one: shown before anything is kept.
fn open_link(go: &Callback<Place>) {
    let window = gloo::utils::window();
    let fragment = window.location().hash().unwrap_or_default();
    let Some(packed) = share::packed(&fragment) else {
        return;
    };
    // The address loses the plan: a reload must not ask again. A language asked for in it stays.
    let location = window.location();
    if let (Ok(history), Ok(path)) = (window.history(), location.pathname()) {
        let path = path + &location.search().unwrap_or_default();
        let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&path));
    }
    go.emit(Place::Link(say!("Unpacking it…").into()));
    let go = go.clone();
    spawn_local(async move {
        let place = match unpacked(packed).await {
            Ok(plan) => Place::to_look_at(plan, say!("A plan from a link.")),
            Err(why) => Place::Link(say!("{why} Nothing was changed.").into()),
        };
        go.emit(place);
    });
}

async fn unpacked(packed: Result<Vec<u8>, share::LinkError>) -> Result<Plan, String> {
    whole::arrival().await?;
    let packed = packed.map_err(|error| error.to_string())?;
    let error = match zip::unpack(&packed, file::MAX_BYTES).await {
        Ok(bytes) => return share::unpacked(&bytes).map_err(|error| error.to_string()),
        Err(Unpacked::Damaged) => share::LinkError::Damaged,
        Err(Unpacked::TooLarge) => share::LinkError::TooLarge,
        Err(Unpacked::Unable) => {
            return Err(
                say!("This browser cannot unpack a link: ask for the plan as a file.").into(),
            );
        }
    };
    Err(error.to_string())
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
                    Place::Brief => shelf.set_open(Some(FORM)),
                    // What was open stays so until another plan is kept or the start screen is asked for.
                    Place::Wait(_) | Place::Link(_) | Place::Incoming(_) => {}
                    Place::Home | Place::Compare => shelf.set_open(None),
                }
            }
            gloo::utils::window().scroll_to_with_x_and_y(0.0, 0.0);
            place.set(next);
        }
    });
    use_effect_with(go.clone(), |go| {
        open_link(go);
        // The same page may be handed another link while it is open.
        let go = go.clone();
        let window = gloo::utils::window();
        let listener = EventListener::new(&window, "hashchange", move |_| open_link(&go));
        move || drop(listener)
    });
    use_launched(&go);
    use_effect_with((), |()| {
        gloo::utils::document().set_title(say!("Loomwright: lamp wiring for small vehicles"));
        // The page can be used now; ready it is when all of the program is there. Tests read both.
        let _ = gloo::utils::body().set_attribute("data-usable", "true");
        spawn_local(async {
            if whole::arrival().await.is_ok() {
                let _ = gloo::utils::body().set_attribute("data-ready", "true");
            }
        });
        let watch = watch_the_start();
        move || drop(watch)
    });
    match &*place {
        Place::Home => html! { <Home {go} /> },
        Place::Brief => html! { <BriefForm {go} /> },
        Place::Wait(said) => html! {
            <main class="home">
                <h1>{ say!("One moment") }</h1>
                <p role="status">{ said }</p>
                <p><a class="button" href=".">{ say!("To the start") }</a></p>
            </main>
        },
        Place::Compare => html! { <Compare {go} /> },
        Place::Link(said) => html! {
            <main class="home">
                <h1>{ say!("A plan from outside") }</h1>
                <p role="status">{ said }</p>
                <p><a class="button" href=".">{ say!("To the start") }</a></p>
            </main>
        },
        Place::Incoming(incoming) => html! { <IncomingView incoming={incoming.clone()} {go} /> },
        Place::Plan(opened) => {
            let address = Rc::as_ptr(&opened.0) as usize;
            html! { <PlanHost key={address} opened={opened.clone()} {go} /> }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wasm_bindgen_test::wasm_bindgen_test;

    #[wasm_bindgen_test]
    fn the_titles_shown_are_those_of_the_plans() {
        for example in &EXAMPLES {
            let opened = Opened::example(example.name).expect("an example opens");
            assert_eq!(opened.plan.title, example.title);
        }
    }
}
