//! The page's side: starts a worker, hands it the job once it is ready, hears what it says.

use super::{Answer, DONE, HOW_FAR, Task};
use crate::plan::{Plan, file};
use js_sys::{Array, Object, Reflect};
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, MessageEvent, Worker, WorkerOptions, WorkerType};

/// What is heard of a job.
#[derive(Debug)]
pub enum News {
    /// How far it is, in words.
    HowFar(String),
    /// The answer.
    Done(Box<Answer>),
    /// It met an error of its own.
    Failed,
}

/// A job at work. Dropping it ends the work.
#[derive(Debug)]
pub struct Job {
    worker: Worker,
    _hear: Closure<dyn Fn(MessageEvent)>,
    _fail: Closure<dyn Fn(ErrorEvent)>,
}

impl Drop for Job {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}

/// Hands a task on a plan to a worker; `None` where the browser has none.
pub fn start(plan: &Plan, task: &Task, tell: impl Fn(News) + 'static) -> Option<Job> {
    let task = serde_json::to_string_pretty(task).ok()?;
    let job = Array::of2(&file::write(plan).into(), &task.into());
    begin(job, tell).ok()
}

fn begin(job: Array, tell: impl Fn(News) + 'static) -> Result<Job, JsValue> {
    let document = gloo::utils::document();
    let app = document.query_selector("meta[name=app]")?.ok_or("no app")?;
    // A script in the page's own memory, put together while it loaded.
    let script = app.get_attribute("data-worker").ok_or("no script")?;
    let options = WorkerOptions::new();
    options.set_type(WorkerType::Module);
    let worker = Worker::new_with_options(&script, &options)?;

    let tell = std::rc::Rc::new(tell);
    let hear = {
        let (worker, tell) = (worker.clone(), tell.clone());
        Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            let said = event.data();
            if said.is_string() {
                // Ready for its job.
                if worker.post_message(&job).is_err() {
                    tell(News::Failed);
                }
                return;
            }
            let said = Array::from(&said);
            let word = |at| said.get(at).as_string().unwrap_or_default();
            match word(0).as_str() {
                HOW_FAR => tell(News::HowFar(word(1))),
                DONE => tell(answer(&word(1)).map_or(News::Failed, News::Done)),
                _ => tell(News::Failed),
            }
        })
    };
    let fail = Closure::<dyn Fn(ErrorEvent)>::new(move |_: ErrorEvent| tell(News::Failed));
    worker.set_onmessage(Some(hear.as_ref().unchecked_ref()));
    worker.set_onerror(Some(fail.as_ref().unchecked_ref()));

    let copy = Object::new();
    Reflect::set(&copy, &"program".into(), &wasm_bindgen::module())?;
    Reflect::set(&copy, &"rest".into(), &crate::app::whole::rest())?;
    Reflect::set(&copy, &"texts".into(), &crate::app::language::given())?;
    worker.post_message(&copy)?;
    Ok(Job {
        worker,
        _hear: hear,
        _fail: fail,
    })
}

/// The answer as it was sent. Read by way of a JSON tree, as plan files are: one reader for both keeps the page small.
fn answer(text: &str) -> Option<Box<Answer>> {
    let tree: serde_json::Value = serde_json::from_str(text).ok()?;
    serde_json::from_value(tree).ok()
}
