//! The language of the page and its decimal mark: taken over from `static/boot.js` at the start, chosen on the start
//! screen, kept in the browser.
//!
//! Another choice loads the page again, since texts are said in one language throughout a run (see [`crate::text`]).

use super::widgets::Select;
use crate::text::{self, Catalogue, po, say};
use gloo::utils::{document_element, window};
use js_sys::Reflect;
use wasm_bindgen::JsValue;
use yew::prelude::*;

/// Where `static/boot.js` and `static/worker.js` leave language, decimal mark and translations.
const GIVEN: &str = "loomwright";
/// The languages there are, each in its own words; a new one needs a file in `static/text` and its tag in `static/boot.js`.
const LANGUAGES: [(&str, &str); 2] = [("en", "English"), ("de", "Deutsch")];

/// What the boot script left, to be handed on to a worker.
pub fn given() -> JsValue {
    Reflect::get(&js_sys::global(), &GIVEN.into()).unwrap_or_default()
}

/// Takes over the language that the boot script found. Called before anything is said.
pub fn take_up() {
    let given = given();
    let word = |name: &str| {
        let value = Reflect::get(&given, &name.into()).ok();
        value
            .and_then(|value| value.as_string())
            .unwrap_or_default()
    };
    let usual = Catalogue::default();
    text::choose(Catalogue {
        language: Some(word("language"))
            .filter(|tag| !tag.is_empty())
            .unwrap_or(usual.language),
        decimal: word("decimal").chars().next().unwrap_or(usual.decimal),
        texts: po::read(&word("texts")).texts,
    });
}

/// Keeps a choice and loads the page again; an empty one goes back to what the browser's own language says.
fn choose(name: &str, choice: &str) {
    let storage = window().local_storage().ok().flatten();
    let key = format!("{GIVEN}.{name}");
    let kept = storage.is_some_and(|storage| {
        if choice.is_empty() {
            storage.remove_item(&key).is_ok()
        } else {
            storage.set_item(&key, choice).is_ok()
        }
    });
    let location = window().location();
    let search = location.search().unwrap_or_default();
    // Where nothing can be kept, the address carries the choice; where it is kept, none there may overrule it.
    let asked = asked(&search, name, (!kept).then_some(choice));
    let _ = if asked == search {
        location.reload()
    } else {
        location.set_search(&asked)
    };
}

/// The query of an address with a choice in it, or without it; the other ones stay.
fn asked(search: &str, name: &str, choice: Option<&str>) -> String {
    let given = search.trim_start_matches('?').split('&');
    let others = given.filter(|pair| !pair.is_empty() && pair.split('=').next() != Some(name));
    let mut pairs: Vec<String> = others.map(str::to_owned).collect();
    pairs.extend(choice.map(|choice| format!("{name}={choice}")));
    if pairs.is_empty() {
        String::new()
    } else {
        format!("?{}", pairs.join("&"))
    }
}

/// The choices of language and decimal mark.
#[component]
pub fn LanguageChoice() -> Html {
    let language = use_callback((), |tag: String, ()| choose("language", &tag));
    let decimal = use_callback((), |mark: String, ()| choose("decimal", &mark));
    let languages: Vec<(AttrValue, AttrValue)> = LANGUAGES
        .iter()
        .map(|&(tag, name)| (tag.into(), name.into()))
        .collect();
    // What is chosen, not what holds: an empty one follows the language.
    let kept = document_element()
        .get_attribute("data-decimal")
        .unwrap_or_default();
    let marks: Vec<(AttrValue, AttrValue)> = [
        ("", say!("As usual in the language")),
        (".", say!("1.5 with a point")),
        (",", say!("1,5 with a comma")),
    ]
    .map(|(mark, words)| (mark.into(), words.into()))
    .into();
    html! {
        <>
            <Select id="language" label={say!("Language")} value={text::language()} options={languages}
                onchoose={language} />
            <Select id="decimal" label={say!("Numbers")} hint={say!("Both are read wherever you type.")}
                value={kept} options={marks} onchoose={decimal} />
        </>
    }
}
