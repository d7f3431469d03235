//! What the browser tests need: Chromium with its driver, Node, and the npm packages of `tests/`.
//!
//! Programs are taken from PATH; on a Debian-like system the missing ones are installed with apt.

use crate::run::{self, output_of, timed};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Chromium goes by several names.
const CHROMIUM: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

/// The oldest Node the journeys' driver runs on.
const NODE_MAJOR: u32 = 20;

/// A browser and the driver that matches it.
pub struct Browser {
    /// Chromium itself.
    pub chromium: PathBuf,
    /// Its driver.
    pub chromedriver: PathBuf,
}

/// Sees to it that Chromium and its driver are there and fit each other.
pub fn ensure() -> Result<Browser, String> {
    if find_chromium().is_none() || run::find("chromedriver").is_none() {
        // A bare system has no font, and text without a font has no width.
        apt_install(&["chromium", "chromium-driver", "fonts-dejavu-core"])?;
    }
    let (Some(chromium), Some(chromedriver)) = (find_chromium(), run::find("chromedriver")) else {
        return Err("Chromium and chromedriver are needed on PATH: install both from your system's packages, at the same version.".to_owned());
    };
    let browser = version(&chromium).unwrap_or_default();
    let driver = version(&chromedriver).unwrap_or_default();
    match (major(&browser), major(&driver)) {
        (Some(a), Some(b)) if a == b => {
            println!("Chromium and chromedriver {a}: there");
            Ok(Browser {
                chromium,
                chromedriver,
            })
        }
        _ => Err(format!(
            "Chromium and chromedriver must have the same major version, but they say `{browser}` and `{driver}`."
        )),
    }
}

fn find_chromium() -> Option<PathBuf> {
    CHROMIUM.iter().find_map(|name| run::find(name))
}

fn version(program: &Path) -> Option<String> {
    output_of(run::command(program, &[]).arg("--version"))
}

/// The first whole number of a version line: 156 of `Chromium 156.0.1 built on …`, 20 of `v20.1.0`.
fn major(text: &str) -> Option<u32> {
    text.split(|c: char| !c.is_ascii_digit())
        .find(|digits| !digits.is_empty())?
        .parse()
        .ok()
}

/// Sees to it that Node and the packages of `tests/` are there.
pub fn ensure_node() -> Result<(), String> {
    if run::find("node").is_none() || run::find("npm").is_none() {
        apt_install(&["nodejs", "npm"])?;
    }
    let node = run::find("node").ok_or("Node is needed on PATH: install Node 20 or newer.")?;
    if run::find("npm").is_none() {
        return Err("npm is needed on PATH: install the npm that belongs to your Node.".to_owned());
    }
    let text = version(&node).unwrap_or_default();
    if major(&text).is_none_or(|major| major < NODE_MAJOR) {
        return Err(format!(
            "The journeys need Node {NODE_MAJOR} or newer, but `node --version` says `{text}`."
        ));
    }
    if packages_are_current() {
        println!("Node {text} and the packages of tests/: there");
        return Ok(());
    }
    timed("Installing the packages of tests/", || {
        run::run(
            run::command("npm", &[])
                .args(["ci", "--ignore-scripts"])
                .current_dir("tests"),
        )
    })
}

/// Whether npm's record of what it installed is at least as new as the lock file.
fn packages_are_current() -> bool {
    let changed = |path: &str| -> Option<SystemTime> {
        std::fs::metadata(path)
            .and_then(|data| data.modified())
            .ok()
    };
    match (
        changed("tests/node_modules/.package-lock.json"),
        changed("tests/package-lock.json"),
    ) {
        (Some(installed), Some(locked)) => installed >= locked,
        _ => false,
    }
}

/// Installs packages of a Debian-like system, as root or through sudo where that asks nothing.
fn apt_install(packages: &[&str]) -> Result<(), String> {
    let list = packages.join(" ");
    let by_hand = format!("Install these with your system's package manager: {list}.");
    if run::find("apt-get").is_none() {
        return Err(by_hand);
    }
    let is_root = output_of(run::command("id", &[]).arg("-u")).as_deref() == Some("0");
    let has_sudo = || output_of(run::command("sudo", &[]).args(["-n", "true"])).is_some();
    let before: &[&str] = if is_root {
        &["env"]
    } else if has_sudo() {
        &["sudo", "-n", "env"]
    } else {
        return Err(by_hand);
    };
    let apt = |words: &[&str]| {
        let mut command = run::command(before[0], &[]);
        command.args(&before[1..]);
        command.args(["DEBIAN_FRONTEND=noninteractive", "apt-get", "-qq", "-y"]);
        run::run(command.args(words))
    };
    timed(&format!("Installing {list}"), || {
        apt(&["update"])?;
        apt(&["install", "--no-install-recommends"]
            .iter()
            .chain(packages)
            .copied()
            .collect::<Vec<_>>())
    })
    .map_err(|e| format!("{e} {by_hand}"))
}

#[cfg(test)]
mod tests {
    use super::major;

    #[test]
    fn major_versions_are_read_from_what_the_programs_print() {
        assert_eq!(
            major("Chromium 156.0.8078.108 built on Debian GNU/Linux 12"),
            Some(156)
        );
        assert_eq!(major("ChromeDriver 156.0.8078.108 (730482a)"), Some(156));
        assert_eq!(major("v20.20.2"), Some(20));
        assert_eq!(major("not found"), None);
    }
}
