//! What a form is made of: rows that show a value and turn a new text into an edit of the plan.
//!
//! Forms are data, so one view draws them all and each kind of thing only lists its rows.

use crate::plan::{Change, Control, Edit, Item, Part, Place, Wire, Wish};
use crate::text::{self, say};
use std::rc::Rc;
use yew::AttrValue;

/// Turns a text into an edit, or says what is wrong with it.
pub type Set = Rc<dyn Fn(&str) -> Result<Edit, String>>;

/// A row with a value.
pub struct Value {
    /// Short name, unique in the form; part of the undo key.
    pub name: String,
    /// What is shown.
    pub label: String,
    /// What may be written or what to know.
    pub hint: AttrValue,
    /// The value as text.
    pub value: String,
    /// Takes a new one.
    pub set: Set,
}

/// A row of a form.
pub enum Row {
    /// A heading inside the form.
    Heading(String),
    /// Something to heed before acting.
    Caution(&'static str),
    /// Plain words.
    Note(String),
    /// A text; with the phone's number keyboard where that helps.
    Text(Value, &'static str),
    /// A text of several lines.
    Long(Value),
    /// One of a list.
    Choice(Value, Vec<(AttrValue, AttrValue)>),
    /// Any of a list: value, text, whether ticked. The setter toggles the value it is given.
    Checks(Value, Vec<(String, String, bool)>),
    /// Does something at once: the words on it, and the edit.
    Button(String, Edit),
}

/// Makes a row's value.
pub fn value(
    name: &str,
    label: &str,
    hint: &'static str,
    value: impl Into<String>,
    set: Set,
) -> Value {
    Value {
        name: name.into(),
        label: label.into(),
        hint: AttrValue::Static(hint),
        value: value.into(),
        set,
    }
}

/// Options whose value is their text in English; what is shown is that text in the language chosen.
pub fn plain(options: impl IntoIterator<Item = &'static str>) -> Vec<(AttrValue, AttrValue)> {
    let pair = |text: &'static str| (AttrValue::Static(text), AttrValue::Static(text::of(text)));
    options.into_iter().map(pair).collect()
}

/// Options from pairs of value and text.
pub fn options<A: Into<String>, B: Into<String>>(
    pairs: impl IntoIterator<Item = (A, B)>,
) -> Vec<(AttrValue, AttrValue)> {
    let pair = |(a, b): (A, B)| (AttrValue::from(a.into()), AttrValue::from(b.into()));
    pairs.into_iter().map(pair).collect()
}

/// A thing of the plan whose change is an edit.
pub trait Editable: Item + 'static {
    /// The edit that makes this change.
    fn edit(change: Change<Self>) -> Edit;
}

macro_rules! editable {
    ($($item:ident),*) => {
        $(impl Editable for $item {
            fn edit(change: Change<Self>) -> Edit {
                Edit::$item(change)
            }
        })*
    };
}
editable!(Part, Wire, Control, Wish, Place);

/// The edit that puts `item` in the place of the one with the same identity.
pub fn replace<T: Editable>(item: T) -> Edit {
    T::edit(Change::Replace {
        id: item.id().clone(),
        item,
    })
}

/// A setter that changes a copy of `item`.
pub fn set<T: Editable>(
    item: &T,
    change: impl Fn(&mut T, &str) -> Result<(), String> + 'static,
) -> Set {
    let item = item.clone();
    Rc::new(move |text| {
        let mut item = item.clone();
        change(&mut item, text)?;
        Ok(replace(item))
    })
}

/// A share written in percent: `40`, `40 %`, `0,1 %`.
pub fn share(text: &str) -> Result<f64, String> {
    number(
        text.trim().trim_end_matches('%'),
        say!("a share in percent, such as 40 %"),
    )
    .map(|n| n / 100.0)
}

/// A number that is zero or more, with dot or comma.
pub fn number(text: &str, wants: &str) -> Result<f64, String> {
    let parsed = text.trim().replace(',', ".").parse::<f64>();
    match parsed {
        Ok(number) if number.is_finite() && (0.0..=1e6).contains(&number) => Ok(number),
        _ => Err(say!(
            "‘{}’ does not read as a number; enter {wants}.",
            text.trim()
        )),
    }
}

/// A name that is not empty.
pub fn name(text: &str, wants: &str) -> Result<String, String> {
    match text.trim() {
        "" => Err(say!("This field is empty; enter {wants}.")),
        text => Ok(text.chars().take(80).collect()),
    }
}

/// A text row whose setter works on the kind's own ratings.
macro_rules! rating {
    ($part:expr, $kind:ident, $field:ident, $label:expr, $hint:expr, $read:expr) => {{
        let $crate::plan::Kind::$kind(spec) = &$part.kind else {
            return Vec::new();
        };
        $crate::app::build::row::Row::Text(
            $crate::app::build::row::value(
                stringify!($field),
                $label,
                $hint,
                spec.$field.to_string(),
                $crate::app::build::row::set($part, |part, text| {
                    if let $crate::plan::Kind::$kind(spec) = &mut part.kind {
                        spec.$field = $read(text).map_err(|error| error.to_string())?;
                    }
                    Ok(())
                }),
            ),
            "decimal",
        )
    }};
}
pub(super) use rating;
