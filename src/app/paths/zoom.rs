//! Zoom of the drawing: by buttons, keys, double tap, two fingers and the wheel with Ctrl. The pane scrolls by itself, so
//! nothing needs to be dragged.
//!
//! The width of the sheet is the zoom. Its usual width shows the drawing at 1:1 or, where it fits, larger; targets are
//! then as large as they were drawn. Whatever zooms keeps the point under it where it is.

use gloo::events::{EventListener, EventListenerOptions};
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, TouchEvent, TouchList, WheelEvent};
use yew::prelude::*;

/// A drawing that fits its pane is not blown up beyond this.
const LARGEST_FIT: f64 = 1.6;
/// One press of a button.
const STEP: f64 = 1.4;
/// Smallest and largest width, in usual widths.
const RANGE: (f64, f64) = (0.1, 6.0);
/// What a double tap goes to.
const CLOSE: f64 = 2.2;
/// Two taps within this time (ms) and distance (px) are one double tap.
const DOUBLE: (f64, f64) = (350.0, 24.0);

/// Width of the sheet: a number of usual widths, or the whole drawing in the pane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Zoom {
    /// So many times the usual width.
    Times(f64),
    /// All of it.
    Fit,
}

impl Zoom {
    /// Width of the sheet in CSS, of a drawing of this size.
    fn css(self, (width, height): (f64, f64)) -> String {
        let largest = LARGEST_FIT * width;
        match self {
            Zoom::Times(times) => {
                format!("calc(clamp({width}px, 100%, {largest:.0}px) * {times:.4})")
            }
            Zoom::Fit => {
                let share = width / height.max(1.0);
                format!("min(100%, {largest:.0}px, 100cqh * {share:.5})")
            }
        }
    }
}

/// The pane that scrolls, the sheet in it, and how large the sheet is.
#[derive(Clone)]
pub struct Stage {
    /// The pane.
    pub pane: NodeRef,
    /// The sheet.
    pub sheet: NodeRef,
    /// Zoom now.
    pub zoom: Zoom,
    set: UseStateSetter<Zoom>,
    size: (f64, f64),
    last_tap: Rc<Cell<(f64, f64, f64)>>,
}

/// Distance of the fingers, zoom, and point of the sheet between them, when a pinch began.
type Pinch = (f64, f64, (f64, f64));

/// Centre and distance of the first two fingers.
fn fingers(touches: &TouchList) -> Option<((f64, f64), f64)> {
    let at = |i: u32| {
        let touch = touches.item(i)?;
        Some((f64::from(touch.client_x()), f64::from(touch.client_y())))
    };
    let ((ax, ay), (bx, by)) = (at(0)?, at(1)?);
    let apart = libm::hypot(ax - bx, ay - by).max(1.0);
    Some((((ax + bx) / 2.0, (ay + by) / 2.0), apart))
}

impl Stage {
    fn elements(&self) -> Option<(HtmlElement, HtmlElement)> {
        Some((self.pane.cast()?, self.sheet.cast()?))
    }

    /// Width of the sheet now, in usual widths.
    fn times(&self) -> f64 {
        let Some((pane, sheet)) = self.elements() else {
            return 1.0;
        };
        let (width, room) = (self.size.0, f64::from(pane.client_width()));
        let usual = room.clamp(width, LARGEST_FIT * width);
        sheet.get_bounding_client_rect().width() / usual.max(1.0)
    }

    /// Point of the sheet under a point of the screen, as shares of its width and height.
    fn under(&self, at: (f64, f64)) -> (f64, f64) {
        let Some((_, sheet)) = self.elements() else {
            return (0.5, 0.5);
        };
        let r = sheet.get_bounding_client_rect();
        let share = |at: f64, from: f64, length: f64| (at - from) / length.max(1.0);
        (
            share(at.0, r.left(), r.width()),
            share(at.1, r.top(), r.height()),
        )
    }

    /// Sets the width and brings a point of the sheet to a point of the screen, as far as the pane scrolls.
    fn place(&self, zoom: Zoom, point: (f64, f64), at: (f64, f64)) {
        let Some((pane, sheet)) = self.elements() else {
            return;
        };
        let _ = sheet.style().set_property("width", &zoom.css(self.size));
        let r = sheet.get_bounding_client_rect();
        let (dx, dy) = (
            r.left() + point.0 * r.width() - at.0,
            r.top() + point.1 * r.height() - at.1,
        );
        pane.set_scroll_left(pane.scroll_left() + dx.round() as i32);
        pane.set_scroll_top(pane.scroll_top() + dy.round() as i32);
    }

    /// Zooms about a point of the screen, or about the middle of the pane.
    fn to(&self, zoom: Zoom, at: Option<(f64, f64)>) {
        let Some((pane, _)) = self.elements() else {
            return;
        };
        let r = pane.get_bounding_client_rect();
        let middle = (r.left() + r.width() / 2.0, r.top() + r.height() / 2.0);
        let at = at.unwrap_or(middle);
        self.place(zoom, self.under(at), at);
        self.set.set(zoom);
    }

    fn by(&self, factor: f64, at: Option<(f64, f64)>) {
        let times = (self.times() * factor).clamp(RANGE.0, RANGE.1);
        self.to(Zoom::Times(times), at);
    }

    /// One step larger.
    pub fn larger(&self) {
        self.by(STEP, None);
    }

    /// One step smaller.
    pub fn smaller(&self) {
        self.by(1.0 / STEP, None);
    }

    /// All of it, or back to the usual width.
    pub fn fit(&self) {
        let next = match self.zoom {
            Zoom::Fit => Zoom::Times(1.0),
            Zoom::Times(_) => Zoom::Fit,
        };
        self.to(next, None);
    }

    /// Notes a tap at a time (ms); the second of two zooms in on its place, or back. Says whether it did.
    pub fn tapped(&self, time: f64, at: (f64, f64)) -> bool {
        let (then, x, y) = self.last_tap.replace((time, at.0, at.1));
        let twice = time - then < DOUBLE.0 && libm::hypot(at.0 - x, at.1 - y) < DOUBLE.1;
        if twice {
            self.last_tap.set((f64::NEG_INFINITY, 0.0, 0.0));
            let close = self.times() > (1.0 + CLOSE) / 2.0;
            self.to(Zoom::Times(if close { 1.0 } else { CLOSE }), Some(at));
        }
        twice
    }

    /// Zooms by a key; says whether it was one for it.
    pub fn key(&self, key: &str) -> bool {
        match key {
            "+" | "=" => self.larger(),
            "-" => self.smaller(),
            "0" => self.fit(),
            _ => return false,
        }
        true
    }

    /// Two fingers and the wheel with Ctrl.
    fn listen(&self, pane: &Element) -> Vec<EventListener> {
        let start: Rc<Cell<Option<Pinch>>> = Rc::default();
        let now = Rc::new(Cell::new(1.0));
        let active = EventListenerOptions::enable_prevent_default();
        let begin = {
            let (stage, start) = (self.clone(), start.clone());
            move |event: &Event| {
                let touches = event.dyn_ref::<TouchEvent>().map(TouchEvent::touches);
                if let Some((centre, apart)) = touches.as_ref().and_then(fingers) {
                    event.prevent_default();
                    start.set(Some((apart, stage.times(), stage.under(centre))));
                }
            }
        };
        let go_on = {
            let (stage, start, now) = (self.clone(), start.clone(), now.clone());
            move |event: &Event| {
                let touches = event.dyn_ref::<TouchEvent>().map(TouchEvent::touches);
                let fingers = touches.as_ref().and_then(fingers);
                if let (Some((centre, apart)), Some((first, times, point))) = (fingers, start.get())
                {
                    event.prevent_default();
                    now.set((times * apart / first).clamp(RANGE.0, RANGE.1));
                    stage.place(Zoom::Times(now.get()), point, centre);
                }
            }
        };
        let end = {
            let (set, start) = (self.set.clone(), start);
            move |_: &Event| {
                if start.take().is_some() {
                    set.set(Zoom::Times(now.get()));
                }
            }
        };
        let wheel = {
            let stage = self.clone();
            move |event: &Event| {
                let wheel = event
                    .dyn_ref::<WheelEvent>()
                    .filter(|wheel| wheel.ctrl_key());
                if let Some(wheel) = wheel {
                    event.prevent_default();
                    let at = (f64::from(wheel.client_x()), f64::from(wheel.client_y()));
                    let factor = if wheel.delta_y() < 0.0 {
                        1.1
                    } else {
                        1.0 / 1.1
                    };
                    stage.by(factor, Some(at));
                }
            }
        };
        vec![
            EventListener::new_with_options(pane, "touchstart", active, begin),
            EventListener::new_with_options(pane, "touchmove", active, go_on),
            EventListener::new(pane, "touchend", end.clone()),
            EventListener::new(pane, "touchcancel", end),
            EventListener::new_with_options(pane, "wheel", active, wheel),
        ]
    }
}

/// The stage of a drawing of this size.
#[hook]
pub fn use_stage(size: (f64, f64)) -> Stage {
    let zoom = use_state(|| Zoom::Times(1.0));
    let stage = Stage {
        pane: use_node_ref(),
        sheet: use_node_ref(),
        zoom: *zoom,
        set: zoom.setter(),
        size,
        last_tap: use_memo((), |()| Rc::new(Cell::new((f64::NEG_INFINITY, 0.0, 0.0))))
            .as_ref()
            .clone(),
    };
    {
        let stage = stage.clone();
        use_effect_with((*zoom, size), move |(zoom, size)| {
            if let Some(sheet) = stage.sheet.cast::<HtmlElement>() {
                let _ = sheet.style().set_property("width", &zoom.css(*size));
            }
        });
    }
    {
        let stage = stage.clone();
        use_effect_with(size, move |_| {
            let pane = stage.pane.cast::<Element>();
            let listeners = pane.map(|pane| stage.listen(&pane));
            move || drop(listeners)
        });
    }
    stage
}
