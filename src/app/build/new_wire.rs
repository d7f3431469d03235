//! The form for a new wire: both ends and the length first, the rest has ordinary values to correct.

use super::wire_rows::terminals;
use super::{Open, fresh};
use crate::app::Dispatch;
use crate::app::widgets::{EndButton, Field, ProblemList, Problems, Report, Select};
use crate::plan::{Edit, Plan, TerminalId};
use crate::session::{Action, ByPtr};
use crate::text::say;
use yew::prelude::*;

/// What the form needs.
#[derive(Properties, PartialEq)]
pub struct NewWireProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Opens something.
    pub go: Callback<Open>,
}

/// The form.
#[component]
pub fn NewWire(props: &NewWireProps) -> Html {
    let NewWireProps { plan, go } = props;
    let dispatch = use_context::<Dispatch>();
    let from = use_state(AttrValue::default);
    let to = use_state(AttrValue::default);
    let long = use_state(|| {
        AttrValue::Static(if plan.settings.sizing.feet {
            "3 ft"
        } else {
            "1000 mm"
        })
    });
    let problems = use_reducer(Problems::default);
    let choose = |end: &UseStateHandle<AttrValue>, id: &'static str| {
        let (end, problems) = (end.setter(), problems.dispatcher());
        Callback::from(move |text: String| {
            end.set(text.into());
            problems.dispatch(Report::Fine(AttrValue::Static(id)));
        })
    };
    let (on_from, on_to) = (choose(&from, "new-from"), choose(&to, "new-to"));
    let take = {
        let (long, plan) = (long.setter(), plan.clone());
        Callback::from(move |text: String| {
            let sizing = &plan.settings.sizing;
            let read = sizing
                .read_length(&text)
                .map_err(|error| error.to_string())?;
            long.set(sizing.length_text(read).into());
            Ok(())
        })
    };
    let report = {
        let problems = problems.dispatcher();
        use_callback((), move |report: Report, ()| problems.dispatch(report))
    };
    let save = {
        let (plan, go, from, to, long) = (
            plan.clone(),
            go.clone(),
            from.clone(),
            to.clone(),
            long.clone(),
        );
        let problems = problems.clone();
        Callback::from(move |()| {
            let end = |text: &str, id: &'static str, label: &'static str, hint: &'static str| {
                let read = text.parse::<TerminalId>().ok();
                if read.is_none() {
                    problems.dispatch(Report::Wrong(id.into(), label.into(), hint.into()));
                }
                read
            };
            let a = end(
                &from,
                "new-from",
                say!("From (supply side)"),
                say!("Choose the terminal where the wire starts."),
            );
            let b = end(
                &to,
                "new-to",
                say!("To (load side)"),
                say!("Choose the terminal where the wire ends."),
            );
            let same = a.is_some() && a == b;
            if same {
                let text = say!("It starts there already; choose another terminal.");
                problems.dispatch(Report::Wrong(
                    "new-to".into(),
                    say!("To (load side)").into(),
                    text.into(),
                ));
            }
            let unread = problems.0.iter().any(|(id, ..)| id == "new-length");
            let (Some(a), Some(b), false, false, Ok(long)) =
                (a, b, same, unread, plan.settings.sizing.read_length(&long))
            else {
                return;
            };
            let mut wire = fresh::wire(&plan, a, b);
            wire.length_mm = long;
            let id = wire.id.to_string();
            if let Some(dispatch) = &dispatch {
                dispatch.dispatch(Action::Edit {
                    edit: Box::new(Edit::add_wire(wire)),
                    label: say!("Add wire {id}"),
                    key: String::new(),
                });
                go.emit(Open::Item(id.into()));
            }
        })
    };
    let cancel = use_callback(go.clone(), |_: MouseEvent, go| go.emit(Open::List));
    let complaint = |id: &str| {
        problems
            .0
            .iter()
            .find(|(known, ..)| known == id)
            .map(|(.., text)| text.clone())
    };
    html! {
        <div class="form">
            <div class="form-head"><h2>{ say!("New wire") }</h2></div>
            if problems.0.iter().any(|(id, ..)| id != "new-length") {
                <ProblemList problems={(*problems).clone()} />
            }
            <Select id="new-from" label={say!("From (supply side)")} value={(*from).clone()} options={terminals(plan)}
                onchoose={on_from} complaint={complaint("new-from")} />
            <Select id="new-to" label={say!("To (load side)")} value={(*to).clone()} options={terminals(plan)}
                onchoose={on_to} complaint={complaint("new-to")} />
            <Field id="new-length" label={say!("Length")} hint={say!("Along the loom: 1500 mm, 1,5 m or 5 ft")} value={(*long).clone()}
                {take} {report} />
            <div class="form-end">
                <EndButton text={say!("Save the wire")} onend={save} />
                <button type="button" onclick={cancel}>{ say!("Cancel") }</button>
            </div>
        </div>
    }
}
