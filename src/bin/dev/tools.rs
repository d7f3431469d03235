//! The pinned build tools: the wasm target, trunk and wasm-bindgen.
//!
//! A tool on PATH counts only at precisely the pinned version. Otherwise it is built once into a
//! folder of its own under cargo's home, so it disturbs no other project and survives `cargo clean`.

use crate::run::{self, output_of, timed};
use crate::{offline, split, styles};
use std::path::{Path, PathBuf};

/// The target of the page.
pub const WASM: &str = "wasm32-unknown-unknown";

/// A program that cargo installs at one version.
pub struct Tool {
    /// The package.
    name: &'static str,
    /// The only version accepted.
    version: &'static str,
    /// The programs of it that are used.
    programs: &'static [&'static str],
    /// More words for `cargo install`.
    flags: &'static [&'static str],
    /// How long the build takes on two cores, for the person who waits.
    takes: &'static str,
}

/// Builds the page. 0.22 needs a newer compiler; without default features it has no TLS to build.
pub const TRUNK: Tool = Tool {
    name: "trunk",
    version: "0.21.14",
    programs: &["trunk"],
    flags: &["--no-default-features"],
    takes: "about 3 minutes",
};

/// Writes the glue between page and program, and runs wasm tests. Must equal `wasm-bindgen` in Cargo.toml.
pub const WASM_BINDGEN: Tool = Tool {
    name: "wasm-bindgen-cli",
    version: "0.2.128",
    programs: &["wasm-bindgen", "wasm-bindgen-test-runner"],
    flags: &[],
    takes: "about 1 minute",
};

/// Settings that halve the build time of a tool whose own speed does not matter here.
const QUICK_BUILD: [(&str, &str); 3] = [
    ("CARGO_PROFILE_RELEASE_LTO", "off"),
    ("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16"),
    ("CARGO_PROFILE_RELEASE_OPT_LEVEL", "1"),
];

/// Sees to it that the compiler can build for the page.
pub fn wasm_target() -> Result<(), String> {
    if has_wasm_target() {
        println!("{WASM}: there");
        return Ok(());
    }
    if run::find("rustup").is_none() {
        return Err(format!(
            "The compiler has no {WASM} target and rustup is missing: install rustup, or your \
             distribution's package for that target."
        ));
    }
    timed(&format!("Adding the {WASM} target"), || {
        // `target add` needs the toolchain; `toolchain install` reads rust-toolchain.toml and brings both.
        run::run(run::command("rustup", &[]).args(["target", "add", WASM]))
            .or_else(|_| run::run(run::command("rustup", &[]).args(["toolchain", "install"])))
    })?;
    if has_wasm_target() {
        Ok(())
    } else {
        Err(format!(
            "rustup ran, but the compiler still has no {WASM} target."
        ))
    }
}

fn has_wasm_target() -> bool {
    let mut rustc = run::command("rustc", &[]);
    rustc.args(["--print", "target-libdir", "--target", WASM]);
    // The folder is named even when nothing is installed in it.
    output_of(&mut rustc).is_some_and(|folder| {
        Path::new(&folder)
            .read_dir()
            .is_ok_and(|mut entries| entries.next().is_some())
    })
}

/// Sees to it that the tool is there at its version; returns the folder of its programs.
pub fn ensure(tool: &Tool) -> Result<PathBuf, String> {
    let name = format!("{} {}", tool.name, tool.version);
    let on_path = tool.programs.first().and_then(|program| run::find(program));
    if let Some(folder) = on_path.as_deref().and_then(Path::parent)
        && is_in(tool, folder)
    {
        println!("{name}: there, on PATH");
        return Ok(folder.to_owned());
    }
    let root = tools_folder()?.join(format!("{}-{}", tool.name, tool.version));
    let folder = root.join("bin");
    if is_in(tool, &folder) {
        println!("{name}: there");
        return Ok(folder);
    }
    timed(&format!("Building {name}, once, {}", tool.takes), || {
        run::run(
            run::cargo(&[])
                .args(["install", "--locked", "--version", tool.version])
                .args(tool.flags)
                .arg("--root")
                .arg(&root)
                .arg(tool.name)
                .envs(QUICK_BUILD),
        )
    })?;
    if is_in(tool, &folder) {
        Ok(folder)
    } else {
        Err(format!(
            "{name} was built, but its programs do not report that version: delete {} and run this again.",
            root.display()
        ))
    }
}

/// Whether every program of the tool lies in the folder and reports the pinned version.
fn is_in(tool: &Tool, folder: &Path) -> bool {
    tool.programs.iter().all(|program| {
        let file = folder.join(format!("{program}{}", std::env::consts::EXE_SUFFIX));
        output_of(run::command(file, &[]).arg("--version"))
            .is_some_and(|text| reports(&text, tool.version))
    })
}

/// Whether a `--version` line names precisely this version (`0.2.12` is not `0.2.128`).
fn reports(text: &str, version: &str) -> bool {
    text.split_whitespace()
        .any(|word| word.trim_start_matches('v') == version)
}

fn tools_folder() -> Result<PathBuf, String> {
    let home = std::env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| std::env::home_dir().map(|home| home.join(".cargo")))
        .ok_or(
            "Neither CARGO_HOME nor a home folder is set, so there is no place for the tools.",
        )?;
    Ok(home.join("loomwright-tools"))
}

/// Builds the page into `dist/`, with the folders of the tools just checked.
pub fn build_page(release: bool, folders: &[PathBuf]) -> Result<(), String> {
    trunk(release, folders)?;
    // A page under work must not come out of a cache, and is not worth cutting.
    if release {
        styles::write("dist")?;
        split::write("dist")?;
        offline::write("dist")?;
    }
    Ok(())
}

/// Has trunk build the page into `dist/`, in one piece.
pub fn trunk(release: bool, folders: &[PathBuf]) -> Result<(), String> {
    let what = if release {
        "Building the page"
    } else {
        "Building the page, unoptimised"
    };
    timed(what, || {
        let mut trunk = run::command("trunk", folders);
        trunk.args(["build", "--log", "warn"]);
        if release {
            trunk.arg("--release").envs(split::SETTINGS);
        }
        // A trunk with its default features would otherwise ask the network for a newer one.
        run::run(trunk.env("TRUNK_SKIP_VERSION_CHECK", "true"))
    })
}

/// `cargo dev build`.
pub fn run(words: &[String]) -> Result<(), String> {
    if !words.is_empty() {
        return Err("`build` takes no words.".to_owned());
    }
    build_page(true, &for_page()?)
}

/// Everything a build of the page needs; returns the folders of the tools.
pub fn for_page() -> Result<Vec<PathBuf>, String> {
    wasm_target()?;
    Ok(vec![ensure(&TRUNK)?, ensure(&WASM_BINDGEN)?])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_version_is_matched_whole() {
        assert!(reports("trunk 0.21.14", "0.21.14"));
        assert!(reports("trunk v0.21.14 (abc)", "0.21.14"));
        assert!(!reports("wasm-bindgen 0.2.128", "0.2.12"));
        assert!(!reports("trunk 0.22.0", "0.21.14"));
    }

    #[test]
    fn the_glue_writer_is_pinned_to_the_version_of_the_library() {
        let pin = format!("wasm-bindgen = \"={}\"", WASM_BINDGEN.version);
        let manifest = include_str!("../../../Cargo.toml");
        assert!(manifest.lines().any(|line| line == pin), "no line {pin}");
    }
}
