//! `cargo dev …`: sets up the pinned tools, serves the page, runs the tests, measures the page.
//!
//! One table of commands; each command is a file. A failure is one sentence and exit code 1.
#![allow(
    clippy::disallowed_methods,
    reason = "this program times builds on the developer's machine; the core has no clocks"
)]

mod browser;
mod files;
mod fuzz;
mod http;
mod lint;
mod mutants;
mod offline;
mod run;
mod serve;
mod size;
mod split;
mod steps;
mod styles;
mod test;
mod tools;

use std::process::ExitCode;

/// A command of this program.
struct Command {
    /// Its first word.
    name: &'static str,
    /// The words it takes, as shown in the usage text.
    words: &'static str,
    /// What it does, in one line.
    does: &'static str,
    /// Runs it with the words after its name.
    run: fn(&[String]) -> Result<(), String>,
}

const COMMANDS: [Command; 9] = [
    Command {
        name: "serve",
        words: "[--port N] [--address A] [--debug]",
        does: "build the page and serve it; rebuilds when a source file changes",
        run: serve::run,
    },
    Command {
        name: "build",
        words: "",
        does: "build the page into dist/, ready for any host",
        run: tools::run,
    },
    Command {
        name: "test",
        words: "[native|wasm|journeys|lint]",
        does: "run all tests, or one kind: native and doc tests, wasm in a browser, phone journeys, lint",
        run: test::run,
    },
    Command {
        name: "lint",
        words: "",
        does: "check formatting, and clippy for the native and the wasm build",
        run: lint::run,
    },
    Command {
        name: "fuzz",
        words: "[file|link|chain …] [--seconds N]",
        does: "mutate plan files and links, guided by coverage, ten minutes each",
        run: fuzz::run,
    },
    Command {
        name: "kills",
        words: "[N]",
        does: "kill tabs of the built page while they save, 1000 times, and see that nothing older than a second is lost",
        run: test::kills,
    },
    Command {
        name: "mutants",
        words: "[--sample N] [--seed S] [--module M …] [--again] [--jobs N] [--slowest S] [--budget S]",
        does: "try small changes of the core against the tests, and list those that no test notices",
        run: mutants::run,
    },
    Command {
        name: "early",
        words: "",
        does: "find out again which functions a first visit needs before the rest of the program",
        run: split::run,
    },
    Command {
        name: "size",
        words: "",
        does: "list every file of the built page with its size; time a first visit and the next paint on a slow phone",
        run: size::run,
    },
];

fn usage() -> String {
    let mut text = String::from("Usage: cargo dev COMMAND\n");
    for command in &COMMANDS {
        text.push_str(&format!(
            "\n  {} {}\n      {}\n",
            command.name, command.words, command.does
        ));
    }
    text
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let Some(name) = words.first() else {
        println!("{}", usage());
        return ExitCode::SUCCESS;
    };
    if ["help", "--help", "-h"].contains(&name.as_str()) {
        println!("{}", usage());
        return ExitCode::SUCCESS;
    }
    let Some(command) = COMMANDS.iter().find(|command| command.name == name) else {
        eprintln!("There is no command `{name}`.\n\n{}", usage());
        return ExitCode::FAILURE;
    };
    match run::enter_package_root().and_then(|()| (command.run)(&words[1..])) {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("\n{sentence}");
            ExitCode::FAILURE
        }
    }
}
