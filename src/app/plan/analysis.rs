//! The whole behaviour table and what the checks say of it, worked out once per document.
//!
//! Plans with few states are worked out at once. The rest waits until the screen has been drawn, so that a
//! large table never holds up a change; until then the views say that it is being worked out.

use crate::behaviour::{Table, table};
use crate::circuit::state_count;
use crate::findings::{Finding, findings};
use crate::plan::Plan;
use crate::session::ByPtr;
use gloo::timers::callback::Timeout;
use yew::prelude::*;

/// States that are worked out at once.
const AT_ONCE: u128 = 128;

/// Behaviour and findings of one document.
#[derive(Debug)]
pub struct Analysis {
    /// The behaviour table.
    pub table: Table,
    /// What the checks say.
    pub findings: Vec<Finding>,
}

impl Analysis {
    fn new(plan: &Plan) -> Self {
        let table = table(plan, &[]);
        let findings = findings(plan, &table);
        Self { table, findings }
    }
}

/// The analysis of this document, `None` while it is being worked out.
#[hook]
pub fn use_analysis(plan: &ByPtr<Plan>) -> Option<ByPtr<Analysis>> {
    let at_once = use_memo(plan.clone(), |plan| {
        let positions: Vec<usize> = plan.controls.iter().map(|c| c.positions.len()).collect();
        (state_count(&positions) <= AT_ONCE).then(|| ByPtr::new(Analysis::new(plan)))
    });
    let later = use_state(|| None::<(ByPtr<Plan>, ByPtr<Analysis>)>);
    {
        let (later, needed) = (later.setter(), at_once.is_none());
        use_effect_with((plan.clone(), needed), move |(plan, needed)| {
            let plan = plan.clone();
            let timer = needed.then(|| {
                Timeout::new(60, move || {
                    let analysis = ByPtr::new(Analysis::new(&plan));
                    later.set(Some((plan, analysis)));
                })
            });
            move || drop(timer)
        });
    }
    let done = later.as_ref().filter(|(of, _)| of == plan);
    (*at_once)
        .clone()
        .or_else(|| done.map(|(_, analysis)| analysis.clone()))
}
