//! Long work on a plan: started and stopped by a tap, in a worker where the browser has one.

use crate::app::worker::{self, Answer, Job, News, Task};
use crate::plan::Plan;
use crate::session::ByPtr;
use crate::text::say;
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
    Done(ByPtr<Answer>),
}

/// One task on one plan, and what starts and stops it.
#[derive(Clone, PartialEq)]
pub struct PlanWork {
    /// How far it is.
    pub work: Work,
    /// Starts it.
    pub start: Callback<MouseEvent>,
    /// Stops it.
    pub stop: Callback<MouseEvent>,
    /// Forgets what came of it.
    pub forget: Callback<()>,
}

/// Keeps the work on this plan; another plan or another task ends it, as does leaving the screen.
#[hook]
pub fn use_work(plan: &ByPtr<Plan>, task: &Task) -> PlanWork {
    let work = use_state(|| Work::Idle);
    let job = use_mut_ref(|| None::<Job>);
    {
        let (work, job) = (work.setter(), job.clone());
        use_effect_with((plan.clone(), task.clone()), move |_| {
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
        let deps = (plan.clone(), task.clone());
        let (work, job) = (work.setter(), job.clone());
        use_callback(deps, move |_: MouseEvent, (plan, task)| {
            work.set(Work::Busy(AttrValue::default()));
            let hear = {
                let work = work.clone();
                move |news| {
                    work.set(match news {
                        News::HowFar(words) => Work::Busy(words.into()),
                        News::Done(answer) => Work::Done(ByPtr::new(*answer)),
                        News::Failed => Work::Failed,
                    });
                }
            };
            let started = worker::start(plan, task, hear);
            if started.is_none() {
                // No workers here: after the next frame, so that the page says it is at work first.
                let (plan, task, work) = (plan.clone(), task.clone(), work.clone());
                Timeout::new(50, move || {
                    let answer = task.run(&plan, &mut |_| {});
                    work.set(Work::Done(ByPtr::new(answer)));
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
    let forget = use_callback(work.setter(), |(), work| work.set(Work::Idle));
    PlanWork {
        work: (*work).clone(),
        start,
        stop,
        forget,
    }
}

impl PlanWork {
    /// The button that starts it, under these words, plain or as the main one; at work how far it is, and the same button
    /// stops it, so that a focus on it stays.
    pub fn buttons(&self, words: &'static str, plain: bool) -> Html {
        let (act, label) = match self.work {
            Work::Busy(_) => (&self.stop, say!("Stop")),
            Work::Failed => (&self.start, say!("Try again")),
            _ => (&self.start, words),
        };
        let busy = matches!(self.work, Work::Busy(_));
        let plain = (plain && !busy).then_some("true");
        html! {
            <>
                if let Work::Busy(far) = &self.work {
                    <>
                        <progress aria-label={words}></progress>
                        <p class="mute how-far">{ far }</p>
                    </>
                }
                <button type="button" class="main-button" data-plain={plain} onclick={act}>{ label }</button>
            </>
        }
    }

    /// What is said of it aloud; nothing before it starts and after it is done.
    pub fn said(&self) -> &'static str {
        match self.work {
            Work::Idle | Work::Done(_) => "",
            Work::Busy(_) => say!("At work."),
            Work::Stopped => say!("Stopped. Nothing was changed."),
            Work::Failed => {
                say!("The work met an error of its own. Your plan is as it was.")
            }
        }
    }
}
