//! Cures being worked out: started and stopped by a tap, in a worker where the browser has one.

use crate::app::worker::{Job, News, cure};
use crate::isolate::{Advice, advise};
use crate::plan::Plan;
use crate::session::ByPtr;
use gloo::timers::callback::Timeout;
use yew::prelude::*;

/// How far the work has come.
#[derive(Clone, PartialEq)]
pub enum Work {
    /// Not started, or the plan has changed since.
    Idle,
    /// At work, and how far.
    Busy(AttrValue),
    /// Stopped by the user.
    Stopped,
    /// Broken off by an error of its own.
    Failed,
    /// The answer.
    Done(ByPtr<Advice>),
}

/// The work on one plan with one type of diode, and what starts and stops it.
#[derive(Clone, PartialEq)]
pub struct CureWork {
    /// How far it is.
    pub work: Work,
    /// Starts it.
    pub start: Callback<MouseEvent>,
    /// Stops it.
    pub stop: Callback<MouseEvent>,
}

/// Keeps the work of this plan; another plan or another type of diode ends it, as does leaving the screen.
#[hook]
pub fn use_cure(plan: &ByPtr<Plan>, model: &AttrValue) -> CureWork {
    let work = use_state(|| Work::Idle);
    let job = use_mut_ref(|| None::<Job>);
    {
        let (work, job) = (work.setter(), job.clone());
        use_effect_with((plan.clone(), model.clone()), move |_| {
            move || {
                job.borrow_mut().take();
                work.set(Work::Idle);
            }
        });
    }
    {
        // A worker that has answered is let go, after its message has been heard to the end.
        let (ended, job) = (!matches!(*work, Work::Busy(_)), job.clone());
        use_effect_with(ended, move |ended| {
            if *ended {
                job.borrow_mut().take();
            }
        });
    }
    let start = {
        let deps = (plan.clone(), model.clone());
        let (work, job) = (work.setter(), job.clone());
        use_callback(deps, move |_: MouseEvent, (plan, model)| {
            work.set(Work::Busy(AttrValue::default()));
            let hear = {
                let work = work.clone();
                move |news| {
                    work.set(match news {
                        News::HowFar(words) => Work::Busy(words.into()),
                        News::Done(advice) => Work::Done(ByPtr::new(*advice)),
                        News::Failed => Work::Failed,
                    });
                }
            };
            let started = cure(plan, model, hear);
            if started.is_none() {
                // No workers here: after the next frame, so that the page says it is at work first.
                let (plan, model, work) = (plan.clone(), model.clone(), work.clone());
                Timeout::new(50, move || {
                    let advice = advise(&plan, &model, &mut |_| {});
                    work.set(Work::Done(ByPtr::new(advice)));
                })
                .forget();
            }
            *job.borrow_mut() = started;
        })
    };
    let stop = use_callback(work.setter(), move |_: MouseEvent, work| {
        job.borrow_mut().take();
        work.set(Work::Stopped);
    });
    CureWork {
        work: (*work).clone(),
        start,
        stop,
    }
}
