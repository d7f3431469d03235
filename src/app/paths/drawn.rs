//! A drawn document and the memory of the last one, so that an edit moves little of what the eye knows.

use crate::drawing::{self, Options, Overlay, Role, Scene, Shape, Style};
use crate::plan::Plan;
use crate::session::ByPtr;
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// Name under which the browser notes how long the layout took, for `tests/journeys/redraw.mjs`.
const MARK: &str = "loomwright-layout";

/// A drawn document: its scene and SVG, and the groups whose halo or glow lies under everything, in their order.
#[derive(Debug)]
pub struct Drawn {
    /// The geometry.
    pub scene: Scene,
    /// The scene as the page shows it.
    pub svg: AttrValue,
    /// Groups under everything.
    pub under: Vec<String>,
}

impl Drawn {
    fn new(plan: &Plan, near: Option<&Drawn>) -> Self {
        let options = Options::default();
        let clock = gloo::utils::window().performance();
        let _ = clock.as_ref().map(|clock| clock.mark(MARK));
        let scene = match near {
            Some(last) => drawing::draw_near(plan, &options, &last.scene.hint),
            None => drawing::draw(plan, &options),
        };
        let _ = clock.map(|clock| clock.measure_with_start_mark(MARK, MARK));
        let svg = drawing::svg(&scene, &Overlay::new(), Style::Linked);
        let is_under = |shape: &Shape| matches!(shape.role(), Role::Halo | Role::Glow);
        let under = scene
            .groups
            .iter()
            .filter(|group| group.shapes.iter().any(is_under))
            .map(|group| group.id.clone())
            .collect();
        // Texts of one symbol are words of their own, also for a reader that runs them together.
        let svg = svg.replace("</text>", "</text> ");
        Self {
            scene,
            svg: svg.into(),
            under,
        }
    }
}

/// A plan and its drawing.
type Last = (ByPtr<Plan>, ByPtr<Drawn>);

/// The last drawing of the open plan. A handle that never changes, so it may travel as a context; who shows the plan
/// writes it, who shows what would become of the plan only reads.
#[derive(Debug, Clone, Default)]
pub struct DrawingMemory(Rc<RefCell<Option<Last>>>);

impl PartialEq for DrawingMemory {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl DrawingMemory {
    fn draw(&self, plan: &ByPtr<Plan>, keep: bool) -> ByPtr<Drawn> {
        let last = self.0.borrow().clone();
        let drawn = match last {
            Some((of, drawn)) if of == *plan => return drawn,
            Some((_, drawn)) => ByPtr::new(Drawn::new(plan, Some(&drawn))),
            None => ByPtr::new(Drawn::new(plan, None)),
        };
        if keep {
            *self.0.borrow_mut() = Some((plan.clone(), drawn.clone()));
        }
        drawn
    }
}

/// The drawing of a plan, near the last one, and what draws it anew from nothing. `keep`: later drawings start from it.
#[hook]
pub fn use_drawn(plan: &ByPtr<Plan>, keep: bool) -> (ByPtr<Drawn>, Callback<()>) {
    let own = use_memo((), |()| DrawingMemory::default());
    let memory = use_context::<DrawingMemory>().unwrap_or_else(|| (*own).clone());
    let fresh = use_state(|| 0_u32);
    let drawn = use_memo(
        (plan.clone(), *fresh, memory.clone()),
        |(plan, _, memory)| memory.draw(plan, keep),
    );
    let tidy = use_callback((fresh, memory), |(), (fresh, memory)| {
        *memory.0.borrow_mut() = None;
        fresh.set(**fresh + 1);
    });
    ((*drawn).clone(), tidy)
}
