//! The worker's side: takes one job, works it out, tells how far it is, answers.

use super::{DONE, FAILED, HOW_FAR, Task};
use crate::plan::file;
use js_sys::{Array, Date};
use wasm_bindgen::prelude::*;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

/// Milliseconds between two lines on how far the work is: often enough to be seen moving.
const TELL_EVERY: f64 = 100.0;

/// Listens for a job if this is a worker; `false` on the page itself.
pub fn serve() -> bool {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else {
        return false;
    };
    let hear = {
        let scope = scope.clone();
        Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            if let Err(error) = answer(&scope, &event.data()) {
                let text = error.as_string().unwrap_or_default();
                let _ = scope.post_message(&say(FAILED, &text));
            }
        })
    };
    scope.set_onmessage(Some(hear.as_ref().unchecked_ref()));
    hear.forget();
    true
}

fn answer(scope: &DedicatedWorkerGlobalScope, job: &JsValue) -> Result<(), JsValue> {
    let words = |at| Array::from(job).get(at).as_string().unwrap_or_default();
    let plan = file::read(words(0).as_bytes()).map_err(|error| error.to_string())?;
    let task: serde_json::Value =
        serde_json::from_str(&words(1)).map_err(|error| error.to_string())?;
    let task: Task = serde_json::from_value(task).map_err(|error| error.to_string())?;
    let mut told = Date::now();
    let mut tell = |step: &dyn Fn() -> String| {
        let now = Date::now();
        if now - told >= TELL_EVERY {
            told = now;
            // A page that is gone hears nothing, and ends this worker with itself.
            let _ = scope.post_message(&say(HOW_FAR, &step()));
        }
    };
    let answer = task.run(&plan, &mut tell);
    let text = serde_json::to_string_pretty(&answer).map_err(|error| error.to_string())?;
    scope.post_message(&say(DONE, &text))
}

fn say(kind: &str, text: &str) -> Array {
    Array::of2(&JsValue::from_str(kind), &JsValue::from_str(text))
}
