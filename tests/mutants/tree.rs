//! The rewritten copy of the repository: which files it holds, what is changed in them, and compiling it.
//!
//! Whether a change has a type is left to the compiler: what it refuses is left out, and the copy compiled again.

use crate::sites::{self, Mutant, Rewritten};
use std::collections::{HashMap, HashSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The modules whose code is changed.
pub const MODULES: [&str; 12] = [
    "kernel",
    "units",
    "circuit",
    "behaviour",
    "findings",
    "isolate",
    "size",
    "brief",
    "plan",
    "drawing",
    "keep",
    "share",
];
/// Folders that no test reads, or that would be copied into themselves.
const SKIPPED: [&str; 6] = [
    "target",
    ".git",
    "node_modules",
    "dist",
    "tests/out",
    "tests/mutants",
];
/// How often the compiler may refuse something.
const ROUNDS: usize = 12;

/// The copy and its mutants.
pub struct Tree {
    /// The root of the copy.
    pub root: PathBuf,
    /// Every mutant, by number.
    pub mutants: Vec<Mutant>,
    /// Keys of those the compiler refused.
    pub dropped: HashSet<String>,
    files: HashMap<String, Rewritten>,
}

/// The module a file of the core belongs to.
pub fn module_of(file: &str) -> Option<&'static str> {
    let rest = file.strip_prefix("src/")?.strip_suffix(".rs")?;
    let first = rest.split('/').next()?;
    MODULES.into_iter().find(|module| *module == first)
}

/// All files below a folder, as paths from it, in order.
fn files(root: &Path) -> Vec<String> {
    fn collect(root: &Path, folder: &str, found: &mut Vec<String>) {
        for entry in root.join(folder).read_dir().into_iter().flatten().flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = if folder.is_empty() {
                name
            } else {
                format!("{folder}/{name}")
            };
            if SKIPPED
                .iter()
                .any(|skipped| path == *skipped || path.ends_with(&format!("/{skipped}")))
            {
                continue;
            }
            if entry.path().is_dir() {
                collect(root, &path, found);
            } else {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    collect(root, "", &mut found);
    found.sort();
    found
}

/// Writes a file unless it stands there already: its date is what cargo goes by.
fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    if fs::read(path).is_ok_and(|old| old == bytes) {
        return Ok(());
    }
    let folder = path.parent().unwrap_or(path);
    fs::create_dir_all(folder)
        .and_then(|()| fs::write(path, bytes))
        .map_err(|e| format!("Cannot write {}: {e}.", path.display()))
}

impl Tree {
    /// Copies the package at `from` to `work/tree`, with everything the last run learnt about what does not compile.
    pub fn new(from: &Path, work: &Path) -> Result<Self, String> {
        let known = fs::read_to_string(work.join("refused.txt")).unwrap_or_default();
        let mut tree = Tree {
            root: work.join("tree"),
            mutants: Vec::new(),
            dropped: known.lines().map(str::to_owned).collect(),
            files: HashMap::new(),
        };
        let all = files(from);
        let kept: HashSet<&String> = all.iter().collect();
        for old in files(&tree.root)
            .iter()
            .filter(|old| !kept.contains(old) && !old.starts_with("mutant/"))
        {
            let _ = fs::remove_file(tree.root.join(old));
        }
        let tests = test_files(from, &all);
        let runtime = Path::new(env!("CARGO_MANIFEST_DIR")).join("runtime/lib.rs");
        let runtime =
            fs::read(&runtime).map_err(|e| format!("Cannot read {}: {e}.", runtime.display()))?;
        write(&tree.root.join("mutant/lib.rs"), &runtime)?;
        let manifest = "[package]\nname = \"mutant\"\nversion = \"0.0.0\"\nedition = \"2024\"\n[lib]\npath = \"lib.rs\"\n";
        write(&tree.root.join("mutant/Cargo.toml"), manifest.as_bytes())?;
        for file in &all {
            let bytes =
                fs::read(from.join(file)).map_err(|e| format!("Cannot read {file}: {e}."))?;
            let to = tree.root.join(file);
            match file.as_str() {
                "Cargo.toml" => write(&to, depending(&bytes, "mutant").as_bytes())?,
                "src/kernel/Cargo.toml" => {
                    write(&to, depending(&bytes, "../../mutant").as_bytes())?
                }
                _ if module_of(file).is_some() && !tests.contains(file) => {
                    let text = String::from_utf8_lossy(&bytes);
                    let next = tree.mutants.len() as u32;
                    let new = sites::rewrite(file, &text, next, &tree.dropped)?;
                    tree.mutants.extend(new.mutants.iter().cloned());
                    write(&to, new.text.as_bytes())?;
                    tree.files.insert(file.clone(), new);
                }
                _ => write(&to, &bytes)?,
            }
        }
        Ok(tree)
    }

    /// How many mutants are compiled in.
    pub fn kept(&self) -> usize {
        self.mutants
            .iter()
            .filter(|m| !self.dropped.contains(&m.key))
            .count()
    }

    /// A cargo that builds the copy into a folder of its own.
    pub fn cargo(&self, work: &Path) -> Command {
        let mut cargo = Command::new("cargo");
        cargo
            .current_dir(&self.root)
            .env("CARGO_TARGET_DIR", work.join("build"))
            .env("CARGO_PROFILE_DEV_DEBUG", "0")
            .env("CARGO_INCREMENTAL", "0")
            .env("RUSTFLAGS", "-Awarnings")
            .stdin(Stdio::null());
        cargo
    }

    /// Checks the copy, leaving out what the compiler refuses, until it compiles.
    pub fn settle(mut self, from: &Path, work: &Path) -> Result<Self, String> {
        for _ in 0..ROUNDS {
            let output = self
                .cargo(work)
                .args(["check", "--workspace", "--lib", "--message-format=json"])
                .stderr(Stdio::inherit())
                .output()
                .map_err(|e| format!("Cannot start cargo: {e}."))?;
            if output.status.success() {
                return Ok(self);
            }
            let mut refused = HashSet::new();
            for line in String::from_utf8_lossy(&output.stdout).lines() {
                let message: serde_json::Value = serde_json::from_str(line).unwrap_or_default();
                let message = &message["message"];
                if message["level"] == "error"
                    && message["spans"].as_array().is_some_and(|s| !s.is_empty())
                {
                    let blamed = self.blamed(message);
                    if blamed.is_empty() {
                        return Err(format!(
                            "No change explains this:\n{}",
                            message["rendered"].as_str().unwrap_or("")
                        ));
                    }
                    refused.extend(blamed);
                }
            }
            println!("  the compiler refuses {} changes more", refused.len());
            if refused.is_empty() {
                return Err("The copy does not compile.".to_owned());
            }
            let keys = refused
                .iter()
                .map(|&number| self.mutants[number as usize].key.clone());
            self.dropped.extend(keys);
            let mut lines: Vec<&str> = self.dropped.iter().map(String::as_str).collect();
            lines.sort_unstable();
            write(
                &work.join("refused.txt"),
                (lines.join("\n") + "\n").as_bytes(),
            )?;
            self = Tree::new(from, work)?;
        }
        Err("The copy still does not compile.".to_owned())
    }

    /// The mutants a compiler's message speaks of: those whose own text it points at, else those of the smallest
    /// changed piece of code around the place.
    fn blamed(&self, message: &serde_json::Value) -> Vec<u32> {
        let mut around: Option<(usize, Vec<u32>)> = None;
        let mut primary_first: Vec<&serde_json::Value> =
            message["spans"].as_array().into_iter().flatten().collect();
        primary_first.sort_by_key(|span| span["is_primary"] != true);
        for span in primary_first {
            let name = span["file_name"].as_str().unwrap_or("");
            let name = name
                .strip_prefix(&format!("{}/", self.root.display()))
                .unwrap_or(name);
            let Some(file) = self.files.get(name) else {
                continue;
            };
            let byte = |end: &str| span[end].as_u64().unwrap_or(0) as usize;
            let (start, end) = (byte("byte_start"), byte("byte_end"));
            let owner = file
                .owners
                .iter()
                .find(|(text, _)| text.start <= start && end <= text.end);
            if let Some((_, number)) = owner {
                return vec![*number];
            }
            let old = file.original(start)..file.original(end);
            let inside = file.mutants.iter().filter(|m| {
                m.node.start <= old.start && old.end <= m.node.end && !self.dropped.contains(&m.key)
            });
            let Some(size) = inside.clone().map(|m| m.node.len()).min() else {
                continue;
            };
            if around.as_ref().is_none_or(|(least, _)| size < *least) {
                around = Some((
                    size,
                    inside
                        .filter(|m| m.node.len() == size)
                        .map(|m| m.number)
                        .collect(),
                ));
            }
        }
        around.map(|(_, numbers)| numbers).unwrap_or_default()
    }
}

/// The files of modules that are compiled for tests only.
fn test_files(from: &Path, all: &[String]) -> HashSet<String> {
    let mut found = HashSet::new();
    for file in all.iter().filter(|file| module_of(file).is_some()) {
        let text = fs::read_to_string(from.join(file)).unwrap_or_default();
        let folder = file
            .strip_suffix("/mod.rs")
            .or(file.strip_suffix("/lib.rs"))
            .or(file.strip_suffix(".rs"));
        for module in sites::test_modules(&text) {
            let stem = format!("{}/{module}", folder.unwrap_or_default());
            let below = all
                .iter()
                .filter(|f| **f == format!("{stem}.rs") || f.starts_with(&format!("{stem}/")));
            found.extend(below.cloned());
        }
    }
    found
}

/// A manifest with the crate of the switches among its dependencies.
fn depending(manifest: &[u8], path: &str) -> String {
    let text = String::from_utf8_lossy(manifest);
    text.replacen(
        "[dependencies]\n",
        &format!("[dependencies]\nmutant = {{ path = \"{path}\" }}\n"),
        1,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_belong_to_modules() {
        assert_eq!(module_of("src/units.rs"), Some("units"));
        assert_eq!(module_of("src/kernel/solve/mod.rs"), Some("kernel"));
        assert_eq!(module_of("src/app/mod.rs"), None);
        assert_eq!(module_of("tests/units.rs"), None);
    }
}
