//! Small sets against a solver that proves the lowest load: `cargo bench -p loading --bench small_optimum`.
//!
//! Forty seeded sets of three to eight boxes; the solver is CP-SAT of OR-Tools, asked through Python in an
//! environment of its own under `target/`, which is made when it is missing. Without Python or a package
//! index it says so and ends well. `-- --table` prints the rows of `tests/data/small_optimum.csv`.

#[path = "../tests/sets/mod.rs"]
mod sets;
#[path = "../tests/sets/small.rs"]
mod small;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use loading::{Budget, Support, lowest};
use sets::fault;
use small::{SETS, SmallSet};

/// The solver's release that the frozen table was made with.
const SOLVER: &str = "ortools==9.15.6755";

fn main() {
    let table = std::env::args().any(|word| word == "--table");
    let python = match environment() {
        Ok(python) => python,
        Err(why) => return println!("skipped: the solver can't be had here ({why})"),
    };
    let sets: Vec<SmallSet> = (0..SETS).map(SmallSet::of).collect();
    let answer = match ask(&python, &sets) {
        Ok(answer) => answer,
        Err(why) => return println!("skipped: the solver gave no answer ({why})"),
    };
    let mut lines = answer.lines();
    let solver = lines.next().and_then(|line| line.strip_prefix("solver ")).unwrap_or("unknown solver");
    if table {
        println!("seed,boxes,volume,height,solver");
    } else {
        println!("{solver} against loading::lowest (no support, small budget), {SETS} sets; {}", machine());
    }
    let (mut equal, mut proved, mut theirs, mut ours) = (0, 0, 0.0, 0.0);
    for line in lines {
        let words: Vec<&str> = line.split(' ').collect();
        let [seed, height, seconds] = words.as_slice() else { continue };
        let Some(set) = seed.parse().ok().map(SmallSet::of) else { continue };
        if table {
            println!("{seed},{},{},{height},{solver}", set.goods.len(), set.volume());
            continue;
        }
        let started = Instant::now();
        let found = lowest(set.base, set.ceiling(), &set.goods, Support::None, Budget::SMALL);
        let took = started.elapsed().as_secs_f64();
        let stands = match found {
            Ok(Some(load)) => {
                let inside = [set.base[0], set.base[1], load.height()];
                let wrong = fault(inside, &set.goods, Support::None, &load);
                assert_eq!(wrong, None, "set {seed}");
                load.height().to_string()
            }
            Ok(None) => "none".to_owned(),
            Err(refused) => refused.to_string(),
        };
        theirs += seconds.parse().unwrap_or(0.0);
        ours += took;
        proved += u32::from(*height != "unproved");
        equal += u32::from(stands == *height);
        if stands != *height {
            println!("  set {seed}: {} boxes, solver {height}, ours {stands}", set.goods.len());
        }
    }
    if !table {
        println!(
            "proved {proved}, equal {equal}; {theirs:.1} s the solver (two workers), {ours:.3} s ours (wall)"
        );
    }
}

fn machine() -> String {
    let text = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = text.lines().find_map(|line| line.strip_prefix("model name")?.split(": ").nth(1));
    model.unwrap_or("machine unknown").to_owned()
}

/// The folder that everything built goes to.
fn target() -> PathBuf {
    match std::env::var_os("CARGO_TARGET_DIR") {
        Some(folder) => PathBuf::from(folder),
        None => Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target"),
    }
}

/// Python with the solver, or the reason that there is none.
fn environment() -> Result<PathBuf, String> {
    let folder = target().join("small_optimum_python");
    let python = folder.join("bin/python");
    if asks(Command::new(&python).args(["-c", "import ortools.sat.python.cp_model"])).is_err() {
        asks(Command::new("python3").args(["-m", "venv"]).arg(&folder))?;
        asks(Command::new(&python).args(["-m", "pip", "install", "--quiet", SOLVER]))?;
    }
    Ok(python)
}

/// Runs a command for its success.
fn asks(command: &mut Command) -> Result<(), String> {
    let output = command.output().map_err(|error| format!("{command:?}: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    let said = String::from_utf8_lossy(&output.stderr).trim().lines().last().unwrap_or("").to_owned();
    Err(format!("{command:?}: {said}"))
}

/// What the script writes for these sets.
fn ask(python: &Path, sets: &[SmallSet]) -> Result<String, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/small_optimum.py");
    let mut child = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    if let Some(mut input) = child.stdin.take() {
        input.write_all(question(sets).as_bytes()).map_err(|error| error.to_string())?;
    }
    let output = child.wait_with_output().map_err(|error| error.to_string())?;
    if !output.status.success() {
        return Err(format!("the script ended with {}", output.status));
    }
    String::from_utf8(output.stdout).map_err(|error| error.to_string())
}

/// The sets as the script reads them: arrays of whole numbers print as JSON does.
fn question(sets: &[SmallSet]) -> String {
    let rows: Vec<String> = sets
        .iter()
        .map(|set| {
            let boxes: Vec<Vec<[u32; 3]>> = set.goods.iter().map(|one| one.ways()).collect();
            format!("{{\"seed\": {}, \"base\": {:?}, \"boxes\": {boxes:?}}}", set.seed, set.base)
        })
        .collect();
    format!("{{\"sets\": [{}]}}", rows.join(", "))
}
