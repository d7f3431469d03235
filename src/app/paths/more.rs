//! What can be done with the drawing as a whole: tidy it up, choose its symbols, save it, print it.

use super::drawn::Drawn;
use super::save;
use crate::app::Dispatch;
use crate::app::overlay::Overlay;
use crate::app::widgets::Select;
use crate::drawing::Paper;
use crate::plan::{Edit, Plan, Symbols};
use crate::session::{Action, ByPtr};
use crate::text::{self, mark, say};
use web_sys::{HtmlElement, HtmlInputElement};
use yew::prelude::*;

/// Widths of pictures, in points.
const WIDTHS: [u32; 4] = [1000, 2000, 3000, 4000];

const SETS: [(Symbols, &str, &str); 2] = [
    (Symbols::Iec, "iec", "IEC 60617"),
    (Symbols::Ieee, "ieee", "IEEE 315"),
];

const PAPERS: [(Paper, &str, &str); 2] = [
    (Paper::A4, "a4", "A4"),
    (Paper::Letter, "letter", mark!("Letter")),
];

/// What the panel needs.
#[derive(Properties, PartialEq)]
pub struct MoreProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Its drawing as shown.
    pub drawn: ByPtr<Drawn>,
    /// The live state over it.
    pub overlay: ByPtr<Overlay>,
    /// Draws it anew from nothing.
    pub tidy: Callback<()>,
    /// Closes the panel.
    pub onclose: Callback<()>,
}

/// The panel.
#[component]
pub fn More(props: &MoreProps) -> Html {
    let MoreProps {
        plan,
        drawn,
        overlay,
        tidy,
        onclose,
    } = props;
    let dispatch = use_context::<Dispatch>();
    let width = use_state(|| WIDTHS[1]);
    let paper = use_state(|| Paper::A4);
    let live = use_state(|| false);
    let said = use_state(|| "");
    let title = use_node_ref();
    {
        let title = title.clone();
        use_effect_with((), move |()| {
            if let Some(title) = title.cast::<HtmlElement>() {
                let _ = title.focus();
            }
        });
    }
    let settings = {
        let plan = plan.clone();
        move |label: &str, key: &str, change: &dyn Fn(&mut crate::plan::Settings)| {
            let mut settings = plan.settings.clone();
            change(&mut settings);
            if let (Some(dispatch), true) = (&dispatch, settings != plan.settings) {
                dispatch.dispatch(Action::Edit {
                    edit: Box::new(Edit::Settings(settings)),
                    label: label.into(),
                    key: key.into(),
                });
            }
        }
    };
    let shown = {
        let (overlay, live) = (overlay.clone(), live.clone());
        move || {
            if *live {
                (*overlay.0).clone()
            } else {
                Overlay::new()
            }
        }
    };
    let close = onclose.reform(|_: MouseEvent| ());
    let escape = {
        let onclose = onclose.clone();
        Callback::from(move |event: KeyboardEvent| {
            if event.key() == "Escape" {
                onclose.emit(());
            }
        })
    };
    let tidied = {
        let (tidy, said) = (tidy.clone(), said.setter());
        Callback::from(move |_: MouseEvent| {
            tidy.emit(());
            said.set(say!("Drawn anew from nothing."));
        })
    };
    let symbols = {
        let settings = settings.clone();
        Callback::from(move |event: Event| {
            let value = event
                .target_dyn_into::<HtmlInputElement>()
                .map(|i| i.value());
            let set = SETS
                .iter()
                .find(|(_, key, _)| Some(*key) == value.as_deref());
            if let Some((set, _, name)) = set {
                settings(&say!("Symbols after {name}"), "", &|s| s.symbols = *set);
            }
        })
    };
    let revision = Callback::from(move |event: Event| {
        if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
            let text = input.value().trim().to_owned();
            settings(say!("Revision mark"), "revision", &|s| {
                s.revision.clone_from(&text)
            });
        }
    });
    let svg = {
        let (plan, drawn, shown) = (plan.clone(), drawn.clone(), shown.clone());
        Callback::from(move |_: MouseEvent| save::save_svg(&plan, &drawn.scene, &shown()))
    };
    let png = {
        let (plan, drawn, said) = (plan.clone(), drawn.clone(), said.setter());
        let width = f64::from(*width);
        Callback::from(move |_: MouseEvent| {
            let said = said.clone();
            let done = Callback::from(move |worked: bool| {
                said.set(if worked {
                    say!("The picture is saved.")
                } else {
                    say!("This browser could not paint the picture: choose a smaller width, or save the SVG.")
                });
            });
            save::save_png(&plan, &drawn.scene, &shown(), width, done);
        })
    };
    let print = {
        let (plan, drawn, paper) = (plan.clone(), drawn.clone(), *paper);
        Callback::from(move |_: MouseEvent| {
            save::print(&plan, &drawn.scene, paper);
        })
    };
    let on_live = {
        let live = live.clone();
        Callback::from(move |_: Event| live.set(!*live))
    };
    let on_paper = {
        let paper = paper.setter();
        Callback::from(move |value: String| {
            let chosen = PAPERS.iter().find(|(_, key, _)| *key == value);
            chosen.iter().for_each(|(chosen, ..)| paper.set(*chosen));
        })
    };
    let on_width = {
        let width = width.setter();
        Callback::from(move |value: String| value.parse().into_iter().for_each(|w| width.set(w)))
    };
    let papers =
        PAPERS.map(|(_, key, name)| (AttrValue::from(key), AttrValue::from(text::of(name))));
    let paper_key = PAPERS
        .iter()
        .find(|(known, ..)| *known == *paper)
        .map_or("", |p| p.1);
    let widths = WIDTHS.map(|w| {
        let (w, h) = save::points(&drawn.scene, f64::from(w));
        (
            AttrValue::from(w.to_string()),
            AttrValue::from(say!("{w} × {h} points")),
        )
    });
    let mut widths = widths.to_vec();
    widths.dedup();
    let chosen = save::points(&drawn.scene, f64::from(*width)).0;
    html! {
        <section class="drawing-more" id="drawing-more" aria-labelledby="drawing-more-title" onkeydown={escape}>
            <div class="lamps-head">
                <h3 id="drawing-more-title" ref={title} tabindex="-1">{ say!("The drawing") }</h3>
                <button type="button" class="small" onclick={close}>{ say!("Close") }</button>
            </div>
            <button type="button" onclick={tidied}>{ say!("Tidy up") }</button>
            <p class="mute">{ say!("After a change what you know stays where it is. Tidy up draws all of it anew.") }</p>
            <fieldset class="choices" onchange={symbols}>
                <legend>{ say!("Symbols") }</legend>
                { for SETS.iter().map(|(set, key, name)| html! {
                    <label key={*key} class="choice">
                        <input type="radio" name="symbols" value={*key} checked={plan.settings.symbols == *set} />
                        { *name }
                    </label>
                }) }
            </fieldset>
            <h4>{ say!("Save") }</h4>
            <label class="check">
                <input type="checkbox" checked={*live} onchange={on_live} />
                { say!("With the current shown now") }
            </label>
            <button type="button" onclick={svg}>{ say!("Save as SVG") }</button>
            <p class="mute">{ say!("One file for any browser or printer, with the plan inside: it opens here again.") }</p>
            <Select id="png-width" label={say!("Width of the picture")} value={chosen.to_string()} options={widths}
                onchoose={on_width} />
            <button type="button" onclick={png}>{ say!("Save as PNG") }</button>
            <h4>{ say!("Print") }</h4>
            <Select id="paper" label={say!("Paper")} value={paper_key} options={papers.to_vec()} onchoose={on_paper} />
            <div class="field">
                <label for="revision">{ say!("Revision mark") }</label>
                <input id="revision" type="text" maxlength="8" value={plan.settings.revision.clone()} onchange={revision} />
            </div>
            <button type="button" onclick={print}>{ say!("Print the sheets") }</button>
            <p role="status">{ *said }</p>
        </section>
    }
}
