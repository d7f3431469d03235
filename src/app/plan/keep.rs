//! Keeps every change: an effect on the document, never part of the reducer. Notices when another tab changes the same
//! plan; until the user has chosen, changes made here are kept as a second plan.

use crate::app::later::after_paint;
use crate::app::root::Opened;
use crate::app::{Dispatch, store};
use crate::keep::{Clash, Stamp, Trouble};
use crate::plan::{Edit, History, Plan};
use crate::session::{Action, ByPtr};
use crate::text::say;
use gloo::events::EventListener;
use std::cell::RefCell;
use std::mem::replace;
use std::rc::Rc;
use yew::prelude::*;

/// What to do about a plan that another tab changed as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// What is here takes its place; theirs becomes an earlier version.
    Mine,
    /// What is there is shown here; undo brings mine back.
    Theirs,
    /// Both stay, as two plans.
    Both,
}

/// How the keeping of the open plan stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Keeping {
    /// What stands in its way.
    pub trouble: Option<Trouble>,
    /// What another tab did.
    pub clash: Option<Clash>,
    /// Takes the user's choice.
    pub choose: Callback<Choice>,
    /// Key the plan is kept under, once it is.
    pub key: Option<Rc<str>>,
}

/// Where the open plan is kept.
struct Place {
    key: Option<Rc<str>>,
    seen: Stamp,
    /// The document that is in the store, or that needs no keeping (an untouched example).
    kept: Option<ByPtr<Plan>>,
    /// The document as it is now, with its history.
    now: (ByPtr<Plan>, ByPtr<History>),
    /// Another tab changed the plan, and the user has not chosen yet.
    clashed: bool,
    /// The second plan that takes the changes meanwhile.
    side: Option<(Rc<str>, Stamp)>,
    /// There is a change that is to be saved when the frame that shows it is out.
    due: bool,
}

/// What the hook's callers are told.
type Told = (Option<Trouble>, Option<Clash>, Option<Rc<str>>);

/// Saves the plan whenever it is a new one, right after the frame that shows it or when the page is left before; says
/// what stands in the way.
#[hook]
pub fn use_keeping(
    opened: &ByPtr<Opened>,
    plan: &ByPtr<Plan>,
    history: &ByPtr<History>,
    dispatch: &Dispatch,
) -> Keeping {
    let place = use_mut_ref(|| {
        let untouched = opened.key.is_some() || opened.example.is_some();
        if let Some(shelf) = store::shelf() {
            match (&opened.key, opened.example) {
                (Some(key), _) => shelf.set_open(Some(key)),
                (None, Some(name)) => shelf.set_open(Some(&format!("example-{name}"))),
                (None, None) => {}
            }
        }
        Place {
            key: opened.key.clone(),
            seen: opened.seen,
            kept: untouched.then(|| plan.clone()),
            now: (plan.clone(), history.clone()),
            clashed: false,
            side: None,
            due: false,
        }
    });
    let told = use_state_eq(|| (None, None, opened.key.clone()));
    {
        let (told, place) = (told.setter(), place.clone());
        use_effect_with((plan.clone(), history.clone()), move |now| {
            let due = place.clone();
            let place = &mut *place.borrow_mut();
            place.now = now.clone();
            if place.kept.as_ref() != Some(&now.0) && !replace(&mut place.due, true) {
                after_paint(move || save_due(&due, &told));
            }
        });
    }
    {
        let (told, place) = (told.setter(), place.clone());
        use_effect_with((), move |()| {
            // Who leaves before the next frame, for another place or another program, must not lose the last change.
            let (document, window) = (gloo::utils::document(), gloo::utils::window());
            let listen = |target: &web_sys::EventTarget, kind: &'static str| {
                let (told, place) = (told.clone(), place.clone());
                EventListener::new(target, kind, move |_| save_due(&place, &told))
            };
            let listeners = [
                listen(&window, "pagehide"),
                listen(&document, "visibilitychange"),
            ];
            move || {
                drop(listeners);
                save_due(&place, &told);
            }
        });
    }
    {
        let (told, place) = (told.setter(), place.clone());
        use_effect_with((), move |()| {
            // Told by the browser whenever another tab writes to the store.
            let window = gloo::utils::window();
            let listener = EventListener::new(&window, "storage", move |_| {
                if let Ok(mut place) = place.try_borrow_mut()
                    && place.look_elsewhere()
                {
                    told.set(place.told(None));
                }
            });
            move || drop(listener)
        });
    }
    let choose = use_callback(dispatch.clone(), {
        let told = told.setter();
        move |choice: Choice, dispatch| {
            let trouble = choose(&place, choice, dispatch);
            told.set(place.borrow().told(trouble));
        }
    });
    let (trouble, clash, key) = (*told).clone();
    Keeping {
        trouble,
        clash,
        choose,
        key,
    }
}

/// Saves a change that is due.
fn save_due(place: &RefCell<Place>, told: &UseStateSetter<Told>) {
    // Not while another save is going on: it is of the same change.
    if let Ok(mut place) = place.try_borrow_mut()
        && replace(&mut place.due, false)
    {
        let trouble = place.save();
        told.set(place.told(trouble));
    }
}

fn choose(place: &RefCell<Place>, choice: Choice, dispatch: &Dispatch) -> Option<Trouble> {
    let theirs = {
        let place = &mut *place.borrow_mut();
        let Some((shelf, key)) = store::shelf().zip(place.key.clone()) else {
            return Some(Trouble::NoStorage);
        };
        match choice {
            Choice::Both => {
                match place.side.take() {
                    Some((key, seen)) => {
                        shelf.set_open(Some(&key));
                        (place.key, place.seen) = (Some(key), seen);
                    }
                    None => (place.key, place.seen, place.kept) = (None, Stamp::default(), None),
                }
                place.clashed = false;
                return place.save();
            }
            Choice::Mine => {
                shelf.remember(&key, store::now_ms());
                place.seen = shelf.stamp(&key);
                (place.clashed, place.kept) = (false, None);
                let trouble = place.save();
                if trouble.is_none()
                    && let Some((side, _)) = place.side.take()
                {
                    shelf.delete(&side);
                }
                return trouble;
            }
            Choice::Theirs => {
                let Some(theirs) = shelf.load(&key) else {
                    return Some(Trouble::Elsewhere);
                };
                place.seen = theirs.stamp;
                place.clashed = false;
                if let Some((side, _)) = place.side.take() {
                    // What was here stays within reach: undo brings it back.
                    shelf.delete(&side);
                }
                theirs.plan
            }
        }
    };
    // Not while the place is borrowed: the effect on the new document saves it.
    dispatch.dispatch(Action::Edit {
        edit: Box::new(Edit::Whole(Box::new(theirs))),
        label: say!("Take the plan of the other tab").into(),
        key: String::new(),
    });
    None
}

impl Place {
    fn told(&self, trouble: Option<Trouble>) -> Told {
        let key = self.key.as_deref().filter(|_| self.clashed);
        let clash = key.and_then(|key| store::shelf()?.clash(key, self.seen));
        (trouble, clash, self.key.clone())
    }

    /// Whether another tab has changed the plan since.
    fn look_elsewhere(&mut self) -> bool {
        let clash = self
            .key
            .as_deref()
            .and_then(|key| store::shelf()?.clash(key, self.seen));
        match clash {
            None => return false,
            // What was saved here last is gone from the store: it is kept beside it at once.
            Some(Clash::Overwrote) if !self.clashed => {
                self.clashed = true;
                self.save();
            }
            Some(_) => self.clashed = true,
        }
        true
    }

    fn save(&mut self) -> Option<Trouble> {
        self.due = false;
        let Some(shelf) = store::shelf() else {
            return Some(Trouble::NoStorage);
        };
        let (plan, history) = self.now.clone();
        let now = store::now_ms();
        let mut said = None;
        if let Some(key) = self.key.clone().filter(|_| !self.clashed) {
            match shelf.save(&key, self.seen, &plan, &history, now) {
                Ok(seen) => {
                    (self.seen, self.kept) = (seen, Some(plan));
                    return None;
                }
                Err(Trouble::Elsewhere) => self.clashed = true,
                Err(trouble @ Trouble::Damaged) => said = Some(trouble),
                Err(trouble) => return Some(trouble),
            }
        }
        let (key, seen) = match &self.side {
            Some((key, seen)) => (key.clone(), *seen),
            None => (shelf.fresh_key(), Stamp::default()),
        };
        match shelf.save(&key, seen, &plan, &history, now) {
            Ok(seen) if self.clashed => {
                (self.side, self.kept) = (Some((key, seen)), Some(plan));
                None
            }
            Ok(seen) => {
                shelf.set_open(Some(&key));
                (self.key, self.seen, self.kept) = (Some(key), seen, Some(plan));
                store::ask_to_persist();
                said
            }
            Err(trouble) => Some(trouble),
        }
    }
}
