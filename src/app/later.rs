//! What may come a frame later: a tap is answered by a frame of its own, and the work it calls for is done after that.
//!
//! A frame is out once a task runs that was asked for in the frame's own callback
//! (<https://html.spec.whatwg.org/multipage/webappapis.html#update-the-rendering>): callbacks come before the painting,
//! tasks after it.

use gloo::timers::future::sleep;
use js_sys::Promise;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;
use wasm_bindgen_futures::JsFuture;
use yew::platform::spawn_local;
use yew::prelude::*;

/// A page that is not seen is given no frames; then time decides, in milliseconds.
const NO_FRAME_MS: i32 = 400;
/// Says on the page's root that something is still to come. Tests wait for it to go.
const MARK: &str = "data-later";

thread_local! {
    /// How many values are on their way.
    static WAITING: Cell<usize> = const { Cell::new(0) };
}

/// Counts one that waits, for as long as it lives.
struct Waiting;

impl Waiting {
    fn new() -> Self {
        Self::count(WAITING.get() + 1);
        Self
    }

    fn count(now: usize) {
        WAITING.set(now);
        if let Some(root) = gloo::utils::document().document_element() {
            let _ = match now {
                0 => root.remove_attribute(MARK),
                _ => root.set_attribute(MARK, ""),
            };
        }
    }
}

impl Drop for Waiting {
    fn drop(&mut self) {
        Self::count(WAITING.get().saturating_sub(1));
    }
}

/// Returns when a frame with everything drawn so far is out.
async fn painted() {
    let frame = Promise::new(&mut |resolve, _| {
        let window = gloo::utils::window();
        let _ = window.request_animation_frame(&resolve);
        let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, NO_FRAME_MS);
    });
    let _ = JsFuture::from(frame).await;
    sleep(Duration::ZERO).await;
}

/// Does something long once the frame that answers the tap is out.
pub fn after_paint(act: impl FnOnce() + 'static) {
    spawn_local(async move {
        let waiting = Waiting::new();
        painted().await;
        act();
        sleep(Duration::ZERO).await;
        drop(waiting);
    });
}

/// Whether the first frame of this component is out.
#[hook]
pub fn use_painted() -> bool {
    let painted = use_state_eq(|| false);
    {
        let painted = painted.setter();
        use_effect_with((), move |()| after_paint(move || painted.set(true)));
    }
    *painted
}

/// This value as it was in the last frame: after a change the old one once more, and the new one when that frame is out.
/// A value that changes in every frame is still taken up in every second one.
#[hook]
pub fn use_after_paint<T: Clone + PartialEq + 'static>(now: &T) -> T {
    let shown = use_state(|| now.clone());
    let latest = use_mut_ref(|| now.clone());
    let alive = use_memo((), |()| Cell::new(true));
    let waits = use_memo((), |()| Cell::new(false));
    latest.replace(now.clone());
    let late = *now != *shown;
    {
        let (shown, alive) = (shown.setter(), alive.clone());
        // Runs after every drawing: what came while the last value was waiting has to wait for itself.
        use_effect(move || {
            if late && !waits.replace(true) {
                spawn_local(take_up(latest, waits, alive, shown));
            }
        });
    }
    use_effect_with((), move |()| move || alive.set(false));
    (*shown).clone()
}

async fn take_up<T: Clone + 'static>(
    latest: Rc<RefCell<T>>,
    waits: Rc<Cell<bool>>,
    alive: Rc<Cell<bool>>,
    shown: UseStateSetter<T>,
) {
    let waiting = Waiting::new();
    painted().await;
    waits.set(false);
    if alive.get() {
        let now = latest.borrow().clone();
        shown.set(now);
        // The drawing that this sets off belongs to the wait.
        sleep(Duration::ZERO).await;
    }
    drop(waiting);
}

#[cfg(test)]
mod tests {
    use super::*;
    use wasm_bindgen::JsCast;
    use wasm_bindgen_test::wasm_bindgen_test;
    use web_sys::HtmlElement;

    thread_local! {
        /// What the counter showed, each time with the frames there had been.
        static SHOWN: RefCell<Vec<(String, u32)>> = const { RefCell::new(Vec::new()) };
        /// Frames so far.
        static FRAMES: Cell<u32> = const { Cell::new(0) };
    }

    /// Counts frames from now on.
    async fn count_frames() {
        loop {
            let frame = Promise::new(&mut |resolve, _| {
                let _ = gloo::utils::window().request_animation_frame(&resolve);
            });
            let _ = JsFuture::from(frame).await;
            FRAMES.set(FRAMES.get() + 1);
        }
    }

    /// A button that counts, with the count of now and the one of the last frame.
    #[component]
    fn Counter() -> Html {
        let count = use_state(|| 0);
        let late = use_after_paint(&*count);
        SHOWN.with_borrow_mut(|shown| shown.push((format!("{} {late}", *count), FRAMES.get())));
        let up = {
            let count = count.clone();
            Callback::from(move |_: MouseEvent| count.set(*count + 1))
        };
        html! { <button onclick={up}>{ format!("{} {late}", *count) }</button> }
    }

    /// Shows the counter while `act` has its button.
    async fn with_counter<F: Future<Output = ()>>(act: impl FnOnce(HtmlElement) -> F) {
        let document = gloo::utils::document();
        let root = document.create_element("div").expect("an element");
        gloo::utils::body().append_child(&root).expect("put in");
        let app = yew::Renderer::<Counter>::with_root(root.clone()).render();
        sleep(Duration::from_millis(20)).await;
        let button = root.query_selector("button").ok().flatten();
        act(button.expect("a button").unchecked_into()).await;
        app.destroy();
        root.remove();
    }

    fn text(button: &HtmlElement) -> String {
        button.text_content().unwrap_or_default()
    }

    #[wasm_bindgen_test]
    async fn a_value_follows_when_the_answer_is_out() {
        with_counter(|button| async move {
            spawn_local(count_frames());
            assert_eq!(text(&button), "0 0");
            SHOWN.take();
            button.click();
            sleep(Duration::from_millis(400)).await;
            assert_eq!(text(&button), "1 1");
            let shown = SHOWN.take();
            let ((first, asked), (last, came)) = (&shown[0], &shown[shown.len() - 1]);
            assert_eq!((first.as_str(), last.as_str()), ("1 0", "1 1"));
            assert!(came > asked, "a frame in between: {shown:?}");
            let root = gloo::utils::document().document_element();
            assert!(!root.expect("a root").has_attribute(MARK));
        })
        .await;
    }

    #[wasm_bindgen_test]
    async fn a_value_that_never_rests_is_still_taken_up() {
        with_counter(|button| async move {
            for _ in 0..80 {
                button.click();
                sleep(Duration::from_millis(5)).await;
            }
            let text = text(&button);
            let (now, late) = text.split_once(' ').expect("two counts");
            let (now, late): (u32, u32) = (
                now.parse().expect("a count"),
                late.parse().expect("a count"),
            );
            assert_eq!(now, 80);
            assert!(late > 0 && late <= now, "{text}");
        })
        .await;
    }
}
