//! Runs `plan --json` on a sheet for the tests beside this folder.

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

/// The document that a sheet comes to.
pub fn planned(sheet: &str) -> Value {
    serde_json::from_slice(&run(sheet, &["--json"])).expect("it writes JSON")
}

/// What `plan` writes for people of the order of one lot, with its steps.
#[allow(dead_code, reason = "not every test reads it")]
pub fn text(sheet: &str) -> String {
    String::from_utf8(run(sheet, &["--order", "1"])).expect("it writes text")
}

fn run(sheet: &str, more: &[&str]) -> Vec<u8> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lotwright"))
        .args(["plan", "-"])
        .args(more)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary runs");
    child.stdin.take().expect("piped").write_all(sheet.as_bytes()).expect("it reads");
    let output = child.wait_with_output().expect("it ends");
    assert!(output.status.success(), "{}\n{sheet}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// Head of a sheet: post, and the clearance or profile line given.
pub fn head(packing: &str) -> String {
    format!(
        "title = \"test\"\nunits = \"in\"\n[post]\nfrom = \"453\"\nto = [\"606\", \"981\"]\n\
         card = \"ground_advantage_commercial\"\ndate = \"2026-11-25\"\n[packing]\n{packing}\n"
    )
}

/// Cartons of these inside sizes.
pub fn cartons(sizes: &[&str]) -> String {
    sizes.iter().map(|size| format!("[[carton]]\nsize = \"{size}\"\n")).collect()
}
