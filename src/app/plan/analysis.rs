//! The whole behaviour table and what the checks say of it, worked out once per document.
//!
//! Plans with few states are worked out at once. Larger tables are solved in slices of some milliseconds, between which
//! the page answers taps; until they are done the views say so. Another document ends the work on the one before.

use crate::behaviour::{MAX_STATES, Table, TableJob, table};
use crate::circuit::state_count;
use crate::findings::{Finding, findings};
use crate::plan::Plan;
use crate::session::ByPtr;
use gloo::timers::future::sleep;
use std::cell::Cell;
use std::rc::Rc;
use std::time::Duration;
use yew::prelude::*;

/// States that are worked out at once.
const AT_ONCE: u128 = 128;
/// Milliseconds of one slice of a larger table.
const SLICE: f64 = 12.0;

/// Behaviour and findings of one document.
#[derive(Debug)]
pub struct Analysis {
    /// The behaviour table.
    pub table: Table,
    /// What the checks say.
    pub findings: Vec<Finding>,
}

impl Analysis {
    fn of(plan: &Plan, table: Table) -> Self {
        let findings = findings(plan, &table);
        Self { table, findings }
    }
}

/// What is known of the analysis of one document.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// The analysis, `None` while it is being worked out.
    pub analysis: Option<ByPtr<Analysis>>,
    /// While it is: states solved, and states in all.
    pub far: Option<(usize, usize)>,
}

/// Work on a large table, as far as it is.
enum Work {
    At(usize, usize),
    Done(ByPtr<Analysis>),
}

/// The analysis of this document.
#[hook]
pub fn use_analysis(plan: &ByPtr<Plan>) -> Known {
    let at_once = use_memo(plan.clone(), |plan| {
        let positions: Vec<usize> = plan.controls.iter().map(|c| c.positions.len()).collect();
        (state_count(&positions) <= AT_ONCE)
            .then(|| ByPtr::new(Analysis::of(plan, table(plan, &[]))))
    });
    let later = use_state(|| None::<(ByPtr<Plan>, Work)>);
    {
        let (later, needed) = (later.setter(), at_once.is_none());
        use_effect_with((plan.clone(), needed), move |(plan, needed)| {
            let wanted = Rc::new(Cell::new(*needed));
            if *needed {
                yew::platform::spawn_local(in_slices(plan.clone(), wanted.clone(), later));
            }
            move || wanted.set(false)
        });
    }
    if let Some(analysis) = &*at_once {
        return Known {
            analysis: Some(analysis.clone()),
            far: None,
        };
    }
    let work = later.as_ref().filter(|(of, _)| of == plan);
    match work.map(|(_, work)| work) {
        Some(Work::Done(analysis)) => Known {
            analysis: Some(analysis.clone()),
            far: None,
        },
        Some(Work::At(done, all)) => Known {
            analysis: None,
            far: Some((*done, *all)),
        },
        None => Known {
            analysis: None,
            far: Some((0, 1)),
        },
    }
}

/// Solves state after state for as long as the table is wanted, with a breath after each slice.
async fn in_slices(
    plan: ByPtr<Plan>,
    wanted: Rc<Cell<bool>>,
    tell: UseStateSetter<Option<(ByPtr<Plan>, Work)>>,
) {
    // The screen is drawn first.
    sleep(Duration::from_millis(60)).await;
    let mut job = TableJob::new(&plan, &[], MAX_STATES);
    loop {
        if !wanted.get() {
            return;
        }
        let until = js_sys::Date::now() + SLICE;
        let mut more = true;
        while more && js_sys::Date::now() < until {
            more = job.step();
        }
        if !more {
            break;
        }
        let (done, all) = job.progress();
        tell.set(Some((plan.clone(), Work::At(done, all))));
        sleep(Duration::ZERO).await;
    }
    let table = job.finish();
    sleep(Duration::ZERO).await;
    if wanted.get() {
        let analysis = ByPtr::new(Analysis::of(&plan, table));
        tell.set(Some((plan, Work::Done(analysis))));
    }
}
