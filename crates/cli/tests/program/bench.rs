//! A folder of its own for each test, and the program run in it with an empty environment.

#![expect(clippy::disallowed_methods, clippy::unwrap_used, reason = "helpers of tests")]

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// The invented shelf that README, tests and pictures share.
const DEMO: [(&str, &str); 23] = [
    ("avocet.toml", include_str!("../../../../demo/avocet.toml")),
    ("bittern.toml", include_str!("../../../../demo/bittern.toml")),
    ("bittern-pad.toml", include_str!("../../../../demo/bittern-pad.toml")),
    ("bittern-panel.toml", include_str!("../../../../demo/bittern-panel.toml")),
    ("curlew.toml", include_str!("../../../../demo/curlew.toml")),
    ("curlew-plus.toml", include_str!("../../../../demo/curlew-plus.toml")),
    ("dotterel.toml", include_str!("../../../../demo/dotterel.toml")),
    ("drawer.toml", include_str!("../../../../demo/drawer.toml")),
    ("dunlin.toml", include_str!("../../../../demo/dunlin.toml")),
    ("dunlin-pad.toml", include_str!("../../../../demo/dunlin-pad.toml")),
    ("godwit.toml", include_str!("../../../../demo/godwit.toml")),
    ("godwit-stick.toml", include_str!("../../../../demo/godwit-stick.toml")),
    ("heron-pad.toml", include_str!("../../../../demo/heron-pad.toml")),
    ("heron-stick.toml", include_str!("../../../../demo/heron-stick.toml")),
    ("knot.toml", include_str!("../../../../demo/knot.toml")),
    ("knot-pad.toml", include_str!("../../../../demo/knot-pad.toml")),
    ("plover.toml", include_str!("../../../../demo/plover.toml")),
    ("sanderling.toml", include_str!("../../../../demo/sanderling.toml")),
    ("sanderling-pad.toml", include_str!("../../../../demo/sanderling-pad.toml")),
    ("shrike.toml", include_str!("../../../../demo/shrike.toml")),
    ("teal.toml", include_str!("../../../../demo/teal.toml")),
    ("whimbrel.toml", include_str!("../../../../demo/whimbrel.toml")),
    ("whimbrel-stick.toml", include_str!("../../../../demo/whimbrel-stick.toml")),
];

/// A folder to work in.
pub struct Bench(TempDir);

/// What a run came to.
#[derive(Debug)]
#[must_use]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Bench {
    /// An empty folder.
    pub fn empty() -> Self {
        Self(TempDir::new().unwrap())
    }

    /// A folder with the demo shelf.
    pub fn demo() -> Self {
        let bench = Self::empty();
        for (name, text) in DEMO {
            bench.put(name, text);
        }
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Writes a file, with the folders that lead to it.
    pub fn put(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The names in the folder, in their order.
    pub fn names(&self) -> Vec<String> {
        let names = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> =
            names.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// The program with its arguments, in this folder, without any environment: no home, no terminal.
    pub fn command(&self, arguments: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_solderside"));
        command
            .args(arguments.split_whitespace())
            .current_dir(self.0.path())
            .env_clear()
            .stdin(Stdio::null());
        command
    }

    pub fn run(&self, arguments: &str) -> Ran {
        self.command(arguments).output().unwrap().into()
    }

    /// Runs the program with more arguments, which may have spaces in them, and with these lines typed.
    pub fn typed(&self, arguments: &str, spaced: &[&str], lines: &str) -> Ran {
        let mut command = self.command(arguments);
        command.args(spaced).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        // Who refuses to begin does not listen.
        _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
        child.wait_with_output().unwrap().into()
    }

    /// Runs the program with `--json`.
    pub fn json(&self, arguments: &str) -> (i32, Value) {
        let Ran { code, out, err } = self.run(&format!("{arguments} --json"));
        assert_eq!(err, "", "JSON is the only answer");
        (code, serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}")))
    }
}

impl AsRef<Path> for Bench {
    fn as_ref(&self) -> &Path {
        self.0.path()
    }
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code().expect("the program is not killed"),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Ran {
    /// The answer of a run that went well.
    #[track_caller]
    pub fn sound(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (0, ""), "{}", self.out);
        self.out
    }

    /// The answer of a run that found something bad.
    #[track_caller]
    pub fn found(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (1, ""), "{}", self.out);
        self.out
    }

    /// What the program says of wrong input or usage.
    #[track_caller]
    pub fn wrong(self) -> String {
        assert_eq!((self.code, self.out.as_str()), (2, ""), "{}", self.err);
        self.err
    }
}
