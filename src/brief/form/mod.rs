//! The form of the brief, one decision on each page: which pages there are, what stands on them, and what a tap or a number
//! does. A pure reducer; the screen only shows its rows.

mod control;
mod lamp;
mod topic;
mod words;

pub use topic::Topic;

use super::{Brief, contradictions};
use crate::plan::Sizing;
use crate::plan::file::tree;
use crate::text::{self, say};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// A page of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Page {
    /// One decision.
    Topic(Topic),
    /// The lamps of one group, by index.
    Lamp(usize),
    /// One control, by index.
    Control(usize),
    /// All answers, to be checked.
    Check,
}

/// One of several answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// As it is kept.
    pub value: String,
    /// As it is shown.
    pub words: String,
    /// Whether it is the default of the trade.
    pub usual: bool,
}

/// A row of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Row {
    /// One of several answers.
    One {
        /// Name of the answer.
        name: String,
        /// What is asked.
        label: String,
        /// The answer as it stands.
        value: String,
        /// The answers there are.
        choices: Vec<Choice>,
    },
    /// Any of several: value, words, whether it is taken.
    Many {
        /// Name of the answer.
        name: String,
        /// What is asked.
        label: String,
        /// What can be taken.
        options: Vec<(String, String, bool)>,
    },
    /// A number with its unit, or a text where `is_text`.
    Field {
        /// Name of the answer.
        name: String,
        /// What is asked.
        label: String,
        /// What may be written, and the default.
        hint: String,
        /// The answer as it stands.
        value: String,
        /// Whether letters are expected.
        is_text: bool,
    },
    /// Something with a page of its own, that can be taken out.
    Item {
        /// Its page.
        page: Page,
        /// What it is.
        words: String,
    },
    /// Something to add: value, words.
    Add {
        /// Name of the answer.
        name: String,
        /// What is asked.
        label: String,
        /// What can be added.
        options: Vec<(String, String)>,
    },
}

/// An answer on the page where all are checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The page that changes it.
    pub page: Page,
    /// What was asked.
    pub title: &'static str,
    /// What was answered.
    pub lines: Vec<String>,
    /// Whether it is the default.
    pub usual: bool,
}

/// What can be done with the form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// On to the next page.
    Next,
    /// To the page before.
    Back,
    /// To a page, from the page of all answers or from a list.
    Open(Page),
    /// To the page of all answers.
    Check,
    /// Answers something on the page.
    Set {
        /// Name of the answer.
        name: String,
        /// The answer.
        text: String,
    },
    /// Takes a lamp group or a control out.
    Drop(Page),
    /// Takes a change that mends a contradiction, both by index.
    Mend(usize, usize),
}

/// The form as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Form {
    /// The answers.
    pub brief: Brief,
    /// The page shown.
    pub page: Page,
    /// All answers have been seen: every page leads back to them.
    checked: bool,
    /// In what lengths and sizes are said and read.
    units: Sizing,
}

impl Form {
    /// The form at its first page.
    pub fn new(brief: Brief) -> Self {
        Self {
            brief,
            page: Page::Topic(Topic::System),
            checked: false,
            units: Sizing::default(),
        }
    }

    /// The form in the units of a plan.
    pub fn in_units_of(mut self, sizing: &Sizing) -> Self {
        self.units = sizing.clone();
        self
    }

    /// The form at the page of all answers.
    pub fn checking(brief: Brief) -> Self {
        Self {
            brief,
            page: Page::Check,
            checked: true,
            units: Sizing::default(),
        }
    }

    /// The pages that apply, in their order, without the last.
    fn topics(&self) -> Vec<Topic> {
        let applies = |topic: &Topic| topic.applies(&self.brief);
        Topic::ALL.into_iter().filter(applies).collect()
    }

    /// Number of this page from 1, and of all; a page of a list counts as the list.
    pub fn progress(&self) -> (usize, usize) {
        let topics = self.topics();
        let all = topics.len() + 1;
        let at = topics.iter().position(|&topic| match self.page {
            Page::Topic(here) => here == topic,
            Page::Lamp(_) => topic == Topic::Lamps,
            Page::Control(_) => topic == Topic::Controls,
            Page::Check => false,
        });
        (at.map_or(all, |at| at + 1), all)
    }

    /// Whether there is no page before this one.
    pub fn is_first(&self) -> bool {
        self.page == Page::Topic(Topic::System) && !self.checked
    }

    /// What this page asks.
    pub fn title(&self) -> String {
        match self.page {
            Page::Topic(topic) => topic.title().into(),
            Page::Lamp(_) => say!("These lamps").into(),
            Page::Control(_) => say!("This control").into(),
            Page::Check => say!("Check your answers").into(),
        }
    }

    /// What to know before answering; empty where nothing needs to be said.
    pub fn hint(&self) -> &'static str {
        match self.page {
            Page::Topic(topic) => topic.hint(),
            Page::Lamp(_) => {
                say!("A pair shares one answer. What a lamp tells says which switch lights it.")
            }
            Page::Control(_) => say!("What it lights is what the lamps tell."),
            Page::Check => "",
        }
    }

    /// The rows of this page.
    pub fn rows(&self) -> Vec<Row> {
        match self.page {
            Page::Topic(topic) => topic.rows(&self.brief, &self.units),
            Page::Lamp(at) => lamp::rows(&self.brief, at),
            Page::Control(at) => control::rows(&self.brief, at),
            Page::Check => Vec::new(),
        }
    }

    /// All answers.
    pub fn answers(&self) -> Vec<Answer> {
        let usual = Brief::default();
        let answer = |topic: Topic| {
            let lines = topic.lines(&self.brief, &self.units);
            Answer {
                page: Page::Topic(topic),
                title: topic.title(),
                usual: lines == topic.lines(&usual, &self.units),
                lines,
            }
        };
        self.topics().into_iter().map(answer).collect()
    }

    /// The answers with one more, or what is wrong with it in a sentence.
    pub fn with(&self, name: &str, text: &str) -> Result<Brief, String> {
        let mut brief = self.brief.clone();
        match self.page {
            Page::Topic(topic) => topic.set(&mut brief, &self.units, name, text)?,
            Page::Lamp(at) => lamp::set(&mut brief, at, name, text),
            Page::Control(at) => control::set(&mut brief, at, name, text),
            Page::Check => {}
        }
        Ok(brief)
    }

    /// The form after a step.
    pub fn after(&self, step: &Step) -> Self {
        let mut form = self.clone();
        match step {
            Step::Next => form.page = self.next(),
            Step::Back => form.page = self.before(),
            Step::Open(page) => form.page = *page,
            Step::Check => form.page = Page::Check,
            Step::Set { name, text } => {
                // What does not read changes nothing; the field has said so.
                if let Ok(brief) = self.with(name, text) {
                    form.brief = brief;
                }
            }
            Step::Drop(Page::Lamp(at)) if *at < self.brief.lamps.len() => {
                form.brief.lamps.remove(*at);
            }
            Step::Drop(Page::Control(at)) if *at < self.brief.controls.len() => {
                form.brief.controls.remove(*at);
            }
            Step::Drop(_) => {}
            Step::Mend(which, how) => {
                let found = contradictions(&self.brief);
                if let Some(mend) = found.get(*which).and_then(|c| c.mends.get(*how)) {
                    form.brief = mend.brief.clone();
                }
            }
        }
        if form.page == Page::Check {
            form.checked = true;
        } else if self.page == Page::Check && *step == Step::Back {
            form.checked = false;
        }
        form
    }

    fn next(&self) -> Page {
        match self.page {
            Page::Lamp(_) => Page::Topic(Topic::Lamps),
            Page::Control(_) => Page::Topic(Topic::Controls),
            Page::Topic(topic) if !self.checked => {
                let mut later = self.topics().into_iter().filter(|&other| other > topic);
                later.next().map_or(Page::Check, Page::Topic)
            }
            _ => Page::Check,
        }
    }

    fn before(&self) -> Page {
        match self.page {
            Page::Lamp(_) => Page::Topic(Topic::Lamps),
            Page::Control(_) => Page::Topic(Topic::Controls),
            Page::Topic(_) if self.checked => Page::Check,
            page => {
                let here = |topic: &Topic| match page {
                    Page::Topic(here) => *topic < here,
                    _ => true,
                };
                let mut earlier = self.topics().into_iter().filter(here);
                earlier.next_back().map_or(page, Page::Topic)
            }
        }
    }
}

/// An answer as it is kept, of a type with one word for each value.
fn key<T: Serialize>(value: T) -> String {
    match tree(&value) {
        Value::String(text) => text,
        _ => String::new(),
    }
}

/// The value of a word; `None` for a word that is none.
fn read<T: DeserializeOwned>(text: &str) -> Option<T> {
    serde_json::from_value(Value::String(text.into())).ok()
}

/// Takes over the value of a word that reads.
fn take<T: DeserializeOwned>(slot: &mut T, text: &str) {
    if let Some(value) = read(text) {
        *slot = value;
    }
}

/// A row of answers, the usual one marked.
fn one<T: Serialize + Copy + PartialEq>(
    name: &str,
    label: &str,
    now: T,
    usual: Option<T>,
    all: &[(T, &'static str)],
) -> Row {
    Row::One {
        name: name.into(),
        label: label.into(),
        value: key(now),
        choices: all
            .iter()
            .map(|&(value, words)| Choice {
                value: key(value),
                words: text::of(words).into(),
                usual: Some(value) == usual,
            })
            .collect(),
    }
}

/// A row of any answers.
fn many<T: Serialize + Copy + PartialEq>(
    name: &str,
    label: &str,
    now: &[T],
    all: impl IntoIterator<Item = (T, &'static str)>,
) -> Row {
    let option = |(value, words): (T, &str)| (key(value), words.to_owned(), now.contains(&value));
    Row::Many {
        name: name.into(),
        label: label.into(),
        options: all.into_iter().map(option).collect(),
    }
}

/// Takes a value into a list, or out of it.
fn toggle<T: DeserializeOwned + PartialEq>(list: &mut Vec<T>, text: &str) {
    let Some(value) = read(text) else { return };
    match list.iter().position(|known| *known == value) {
        Some(at) => drop(list.remove(at)),
        None => list.push(value),
    }
}
