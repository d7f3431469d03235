//! The live state over the drawing: classes on its groups, and the names of the symbols that move a control.
//!
//! Changing classes instead of the SVG keeps the keyboard's place and costs a few attributes per beat.

use super::drawn::Drawn;
use crate::app::overlay::{Handle, Overlay};
use crate::session::ByPtr;
use crate::units::order::OrdMap;
use wasm_bindgen::JsCast;
use web_sys::Element;
use yew::prelude::*;

/// Elements of the drawing by group, and the classes laid over them.
#[derive(Default)]
struct Laid {
    of: Option<ByPtr<Drawn>>,
    elements: OrdMap<String, Vec<Element>>,
    classes: Overlay,
}

impl Laid {
    /// Finds the elements of a drawing that was just put in.
    fn find(&mut self, sheet: &Element, drawn: &ByPtr<Drawn>) {
        *self = Self {
            of: Some(drawn.clone()),
            ..Self::default()
        };
        let all = |selector: &str| {
            let found = sheet.query_selector_all(selector).ok();
            let nodes = found
                .into_iter()
                .flat_map(|list| (0..list.length()).filter_map(move |i| list.item(i)));
            nodes
                .filter_map(|node| node.dyn_into::<Element>().ok())
                .collect::<Vec<_>>()
        };
        for element in all("[data-id]") {
            name_as_seen(&element);
            if let Some(id) = element.get_attribute("data-id") {
                self.elements.entry(id).or_default().push(element);
            }
        }
        for (id, element) in drawn.under.iter().zip(all("g.under")) {
            self.elements.entry(id.clone()).or_default().push(element);
        }
    }

    /// Takes the classes of one group from `from` to `to`.
    fn change(&self, group: &str, from: &str, to: &str) {
        for element in self.elements.get(group).into_iter().flatten() {
            let list = element.class_list();
            for class in from
                .split_whitespace()
                .filter(|c| !to.split(' ').any(|t| t == *c))
            {
                let _ = list.remove_1(class);
            }
            for class in to.split_whitespace() {
                let _ = list.add_1(class);
            }
        }
    }

    fn lay(&mut self, overlay: &Overlay) {
        for (group, classes) in &self.classes {
            let now = overlay.get(group).map_or("", String::as_str);
            if now != classes {
                self.change(group, classes, now);
            }
        }
        for (group, classes) in overlay {
            if !self.classes.contains_key(group) {
                self.change(group, "", classes);
            }
        }
        self.classes.clone_from(overlay);
    }

    fn name(&self, handles: &[Handle]) {
        for handle in handles {
            for element in self.elements.get(&handle.group).into_iter().flatten() {
                let _ = element.class_list().add_1("handle");
                if element.get_attribute("aria-label").as_deref() != Some(&handle.name) {
                    let _ = element.set_attribute("aria-label", &handle.name);
                    name_as_seen(element);
                }
            }
        }
    }
}

/// Puts the visible text of a symbol in front of its name where the name lacks it: who says aloud what he
/// reads on the drawing must hit that symbol.
fn name_as_seen(element: &Element) {
    let Some(name) = element.get_attribute("aria-label") else {
        return;
    };
    let text = element.text_content().unwrap_or_default();
    let seen = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if !seen.is_empty() && !name.contains(&seen) {
        let _ = element.set_attribute("aria-label", &format!("{seen}: {name}"));
    }
}

/// Lays classes and names over the drawing; the classes of the last overlay go first.
#[hook]
pub fn use_laid(
    sheet: &NodeRef,
    drawn: &ByPtr<Drawn>,
    overlay: &ByPtr<Overlay>,
    handles: &ByPtr<Vec<Handle>>,
) {
    let laid = use_mut_ref(Laid::default);
    let sheet = sheet.clone();
    let deps = (drawn.clone(), overlay.clone(), handles.clone());
    use_effect_with(deps, move |(drawn, overlay, handles)| {
        let laid = &mut *laid.borrow_mut();
        let Some(sheet) = sheet.cast::<Element>() else {
            return;
        };
        if laid.of.as_ref() != Some(drawn) {
            laid.find(&sheet, drawn);
        }
        laid.lay(overlay);
        laid.name(handles);
    });
}
