//! Starting other programs: where they are found, what is printed, how long they took.

use std::ffi::{OsStr, OsString};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

/// Goes to the folder of `Cargo.toml`, so that every path in this program is relative to it.
pub fn enter_package_root() -> Result<(), String> {
    // Cargo sets the variable for `cargo run`; started by hand the program takes the current folder.
    if let Some(root) = std::env::var_os("CARGO_MANIFEST_DIR") {
        std::env::set_current_dir(&root)
            .map_err(|e| format!("Cannot enter {}: {e}.", Path::new(&root).display()))?;
    }
    if Path::new("Trunk.toml").is_file() {
        Ok(())
    } else {
        Err("Run this from the package: there is no Trunk.toml here.".to_owned())
    }
}

/// A command with the tool folders first on its PATH and without settings that disturb the tools.
pub fn command(program: impl AsRef<OsStr>, folders: &[PathBuf]) -> Command {
    let mut command = Command::new(program);
    command.env("PATH", path_with(folders));
    // trunk 0.21 reads NO_COLOR as a true/false value and stops at the usual `NO_COLOR=1`.
    command.env_remove("NO_COLOR");
    // Left by the `cargo run` around this program; it would hide rust-toolchain.toml from rustup.
    command.env_remove("RUSTUP_TOOLCHAIN");
    // No step asks anything, so none may wait for an answer.
    command.stdin(Stdio::null());
    command
}

/// Cargo, at the version that rust-toolchain.toml names.
pub fn cargo(folders: &[PathBuf]) -> Command {
    command("cargo", folders)
}

fn path_with(folders: &[PathBuf]) -> OsString {
    let old = std::env::var_os("PATH").unwrap_or_default();
    let all = folders.iter().cloned().chain(std::env::split_paths(&old));
    std::env::join_paths(all).unwrap_or(old)
}

/// The first program of this name on PATH.
pub fn find(program: &str) -> Option<PathBuf> {
    let file = format!("{program}{}", std::env::consts::EXE_SUFFIX);
    std::env::split_paths(&std::env::var_os("PATH")?)
        .map(|folder| folder.join(&file))
        .find(|path| path.is_file())
}

/// What a program prints on standard output, trimmed; `None` if it cannot run or fails.
pub fn output_of(command: &mut Command) -> Option<String> {
    let output = command.stderr(Stdio::null()).output().ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// The command as it would be typed.
fn shown(command: &Command) -> String {
    let mut words = vec![file_name(command.get_program())];
    words.extend(command.get_args().map(|w| w.to_string_lossy().into_owned()));
    words.join(" ")
}

fn file_name(program: &OsStr) -> String {
    Path::new(program)
        .file_name()
        .unwrap_or(program)
        .to_string_lossy()
        .into_owned()
}

/// Runs a command and hands each line of its standard output, already printed, to `line`.
pub fn run_lines(command: &mut Command, mut line: impl FnMut(&str)) -> Result<(), String> {
    let shown = shown(command);
    println!("$ {shown}");
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|e| format!("Cannot start `{shown}`: {e}."))?;
    if let Some(stdout) = child.stdout.take() {
        // Split at bytes: a tool that prints something other than UTF-8 must not stop the run.
        for bytes in BufReader::new(stdout).split(b'\n').map_while(Result::ok) {
            let text = String::from_utf8_lossy(&bytes);
            println!("{text}");
            line(&text);
        }
    }
    let status = child
        .wait()
        .map_err(|e| format!("Lost `{shown}` while it ran: {e}."))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("`{shown}` failed ({status})."))
    }
}

/// Runs a command that prints for itself.
pub fn run(command: &mut Command) -> Result<(), String> {
    run_lines(command, |_| {})
}

/// Says what is being done, does it, and says how long it took.
pub fn timed<T>(what: &str, work: impl FnOnce() -> Result<T, String>) -> Result<T, String> {
    println!("{what} …");
    let start = Instant::now();
    let result = work();
    let end = if result.is_ok() { "done" } else { "failed" };
    println!("{what}: {end} after {:.1} s", start.elapsed().as_secs_f64());
    result
}

/// A folder for temporary files that goes away with the value: test browsers leave profiles behind.
pub struct TempFolder(PathBuf);

impl TempFolder {
    /// Makes the folder; its name is short because browsers put sockets (at most 107 bytes) in it.
    pub fn new() -> Result<Self, String> {
        let path = std::env::temp_dir().join(format!("lw-{}", std::process::id()));
        std::fs::create_dir_all(&path)
            .map_err(|e| format!("Cannot make {}: {e}.", path.display()))?;
        Ok(TempFolder(path))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for TempFolder {
    fn drop(&mut self) {
        // A browser that is still closing can add a file meanwhile; what is left is only rubbish.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
