//! Where the module lies that phones check by without a network.

use std::io::Read as _;
use std::path::{Path, PathBuf};

use web::Module;

use crate::problems::Stop;

/// Its name beside the program.
const NAME: &str = "shelfcheck.wasm";
/// What `--offline` says for none.
const NONE: &str = "none";
/// More is never read: several times what it has.
const MOST_BYTES: u64 = 32 << 20;

/// The module that was told, or the one beside this program or in the folder above it (a build's own folder lies
/// in `target`, and so does the module); `None` where there is none. One that was told must be there.
pub fn find(told: Option<&Path>) -> Result<Option<Module>, Stop> {
    if told.is_some_and(|file| file == Path::new(NONE)) {
        return Ok(None);
    }
    if let Some(file) = told {
        return read(file).map(Some);
    }
    beside().into_iter().find(|file| file.is_file()).map(|file| read(&file)).transpose()
}

fn beside() -> Vec<PathBuf> {
    let program = std::env::current_exe().unwrap_or_default();
    program.ancestors().skip(1).take(2).map(|folder| folder.join(NAME)).collect()
}

fn read(file: &Path) -> Result<Module, Stop> {
    let wrong = |why: String| Stop::Input(format!("--offline {}: {why}", file.display()));
    let mut bytes = Vec::new();
    let opened = std::fs::File::open(file).map_err(|e| wrong(e.to_string()))?;
    opened.take(MOST_BYTES).read_to_end(&mut bytes).map_err(|e| wrong(e.to_string()))?;
    Module::read(bytes).map_err(|e| wrong(e.to_string()))
}
