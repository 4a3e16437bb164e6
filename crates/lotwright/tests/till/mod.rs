//! A data folder of its own, and the command run on it.

#![allow(dead_code, reason = "not every test file uses every part")]
#![allow(clippy::unwrap_used, reason = "a test that cannot run its command has failed")]

use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// A data folder with a shop in it, or none yet.
pub struct Till {
    folder: tempfile::TempDir,
}

impl Till {
    pub fn empty() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The text of a path in the folder.
    pub fn at(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lotwright"));
        command.args(args).env("XDG_DATA_HOME", self.folder.path()).stdin(Stdio::null());
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    pub fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// What the command says; it must succeed.
    pub fn says(&self, args: &[&str]) -> String {
        let output = self.run(args);
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{args:?}: {error}");
        let text = String::from_utf8(output.stdout).unwrap();
        for line in text.lines().filter(|_| !args.contains(&"--json")) {
            assert!(line.chars().count() <= 80, "wider than 80 columns: {line}");
        }
        text.replace(&self.folder.path().display().to_string(), "[folder]")
    }

    pub fn json(&self, args: &[&str]) -> Value {
        let args: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
        serde_json::from_str(&self.says(&args)).unwrap()
    }

    /// Why the command refuses; it must, with exit code 2.
    pub fn refuses(&self, args: &[&str]) -> String {
        let output = self.run(args);
        let error = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{args:?}: {error}");
        assert!(output.stdout.is_empty(), "{args:?} also answers");
        error.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The guest house's haul, measured, and its first listing: three lots of two cups with saucers.
    pub fn stocked() -> Self {
        let till = Self::empty();
        till.says(&HAUL);
        let measures = ["diameter=4", "height=2 3/8 in", "handle_reach=7/8 in", "weight=9.2 oz"];
        let mut args = vec!["find", "1"];
        for measure in measures {
            args.extend(["--measure", measure]);
        }
        till.says(&args);
        till.says(&["find", "2", "--measure", "diameter=6.5", "--measure", "weight=8 oz"]);
        till.says(&[
            "list-up",
            "--holds",
            "2 of 1",
            "--holds",
            "2 of 2",
            "--lots",
            "3",
            "--price",
            "34",
            "--floor",
            "27",
            "--title",
            "Two consomme cups with saucers",
            "--date",
            "2026-07-20",
        ]);
        till
    }

    /// Cartons, so many of each, and a bag of fill.
    pub fn supplied(&self, cartons: &[(&str, &str)]) {
        for (size, count) in cartons {
            self.says(&["supply", "add", "--name", size, "--kind", "carton"]);
            if *count != "0" {
                self.says(&[
                    "supply",
                    "buy",
                    "--name",
                    size,
                    "--units",
                    count,
                    "--cost",
                    "2.40",
                    "--date",
                    "2026-07-12",
                ]);
            }
        }
        self.says(&[
            "supply",
            "add",
            "--name",
            "loose fill",
            "--kind",
            "fill",
            "--material",
            "eps_fill",
            "--holds",
            "3.5",
            "--unit",
            "bag",
        ]);
        self.says(&[
            "supply",
            "buy",
            "--name",
            "loose fill",
            "--units",
            "3",
            "--cost",
            "9",
            "--date",
            "2026-07-12",
        ]);
    }

    /// One order of one lot, paid.
    pub fn order(&self) -> u64 {
        let taken = self.json(&[
            "order",
            "take",
            "--lots",
            "1 of 1",
            "--to",
            "606",
            "--shipping",
            "9.50",
            "--tax",
            "2.90",
            "--promise",
            "2026-08-04",
            "--paid",
            "--date",
            "2026-08-01",
        ]);
        taken["order"].as_u64().unwrap()
    }
}

/// 13 sound cups and one with a hairline, 11 saucers, 7.51 with tax.
pub const HAUL: [&str; 18] = [
    "haul",
    "--place",
    "parish hall",
    "--paid",
    "7.00",
    "--tax",
    "0.51",
    "--miles",
    "12.5",
    "--find",
    "14 consomme_cup 'brown cups' worth 60 at shelf B2, 1 flawed",
    "--find",
    "11 consomme_saucer worth 15 at A1",
    "--flawed-carry-nothing",
    "--date",
    "2026-07-12",
    "--purse",
    "cash",
];
