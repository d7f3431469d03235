//! Keeps every change: an effect on the document, never part of the reducer.

use crate::app::root::Opened;
use crate::app::store::{Shelf, Trouble};
use crate::plan::{History, Plan};
use crate::session::ByPtr;
use std::rc::Rc;
use yew::prelude::*;

/// Where the open plan is kept.
struct Place {
    key: Option<Rc<str>>,
    seen: u64,
    /// The document that is in the store, or that needs no keeping (an untouched example).
    kept: Option<ByPtr<Plan>>,
}

/// Saves the plan whenever it is a new one; says what stands in the way.
#[hook]
pub fn use_keeping(
    opened: &ByPtr<Opened>,
    plan: &ByPtr<Plan>,
    history: &ByPtr<History>,
) -> Option<Trouble> {
    let place = use_mut_ref(|| {
        let untouched = opened.key.is_some() || opened.example.is_some();
        if let (Some(shelf), Some(name)) = (Shelf::open(), opened.example) {
            shelf.set_open(Some(&format!("example-{name}")));
        }
        if let (Some(shelf), Some(key)) = (Shelf::open(), &opened.key) {
            shelf.set_open(Some(key));
        }
        Place {
            key: opened.key.clone(),
            seen: opened.seen,
            kept: untouched.then(|| plan.clone()),
        }
    });
    let trouble = use_state(|| None::<Trouble>);
    {
        let trouble = trouble.clone();
        use_effect_with((plan.clone(), history.clone()), move |(plan, history)| {
            let place = &mut *place.borrow_mut();
            if place.kept.as_ref() != Some(plan) {
                trouble.set(place.save(plan, history));
            }
        });
    }
    *trouble
}

impl Place {
    fn save(&mut self, plan: &ByPtr<Plan>, history: &History) -> Option<Trouble> {
        let Some(shelf) = Shelf::open() else {
            return Some(Trouble::NoStorage);
        };
        let mut said = None;
        if let Some(key) = self.key.clone() {
            match shelf.save(&key, self.seen, plan, history) {
                Ok(seen) => {
                    self.seen = seen;
                    self.kept = Some(plan.clone());
                    return None;
                }
                Err(trouble @ (Trouble::Elsewhere | Trouble::Damaged)) => said = Some(trouble),
                Err(trouble) => return Some(trouble),
            }
        }
        let key = shelf.fresh_key();
        match shelf.save(&key, 0, plan, history) {
            Ok(seen) => {
                shelf.set_open(Some(&key));
                self.key = Some(key);
                self.seen = seen;
                self.kept = Some(plan.clone());
                said
            }
            Err(trouble) => Some(trouble),
        }
    }
}
