//! From the answers of a form to a plan that does what was wished in every state.
//!
//! Method: the answers are resolved to single lamps and to feeds (what one hand movement makes live); each feed gets
//! a fuse, a switch and a net; circuits that several feeds light get diodes, resistors or a contact that gives one of
//! them priority. What the answers contradict each other in is named before anything is drafted.

mod answers;
mod build;
mod contradict;
mod fitting;
mod flashing;
pub mod form;
mod lamps;
mod meeting;
mod nets;
mod place;
mod redraft;
mod resolve;
mod signals;
mod size;
mod source;
mod supply;
mod trailer;
mod usual;
mod wishes;
mod words;

pub use answers::{
    Across, Brief, Charging, ControlAnswer, End, Fitting, Lamps, Lit, Return, Signal, Size, Socket,
    System, TurnPriority,
};

pub use redraft::{Redraft, redraft};

pub use contradict::{Contradiction, Mend, contradictions};

use crate::plan::file::tree;
use crate::plan::{Drafted, Extra, Plan};
use crate::text;
use crate::units::order::OrdMap;
use serde_json::Value;

/// The plan that the answers ask for; it remembers them. Answers that contradict each other give a plan in which what
/// cannot be is left out.
pub fn draft(brief: &Brief) -> Plan {
    let (mut plan, ids) = build::build(brief, &OrdMap::new(), &[]);
    plan.drafted = Some(remember(brief, ids, &Extra::new()));
    plan
}

/// The answers as a text to be kept while the form is being filled in.
pub fn text(brief: &Brief) -> String {
    serde_json::to_value(brief).map_or_else(|_| String::new(), |value| value.to_string())
}

/// The answers of a kept text; `None` where they make no sense to this build.
pub fn from_text(text: &str) -> Option<Brief> {
    serde_json::from_value(serde_json::from_str(text).ok()?).ok()
}

/// The answers a plan was drafted from; `None` where it was not, or where they make no sense to this build.
pub fn answers(plan: &Plan) -> Option<Brief> {
    let drafted = plan.drafted.as_ref()?;
    serde_json::from_value(Value::Object(drafted.answers.clone())).ok()
}

/// Answers as a plan keeps them; fields of `before` that this build does not know stay.
fn remember(brief: &Brief, ids: OrdMap<String, String>, before: &Extra) -> Drafted {
    let mut answers = before.clone();
    // A brief is made of names, numbers and lists, so it is an object.
    if let Value::Object(new) = tree(brief) {
        if !new.contains_key("least_size") {
            answers.remove("least_size");
        }
        answers.extend(new);
    }
    let language = match text::language() {
        "en" => None,
        other => Some(other.to_owned()),
    };
    Drafted {
        answers,
        ids,
        language,
    }
}
