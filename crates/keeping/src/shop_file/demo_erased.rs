//! A demo shop is erased; a file that isn't a demo is never touched.

use std::path::Path;

use shop::Shop;

use super::copies::{copies_folder, copies_of, erase_with_files};
use super::demo_in;
use crate::Stop;

/// Whether a file is a demo shop, which may be erased or made up anew.
///
/// # Errors
/// When there is none, or the file is no demo.
pub fn must_be_demo(path: &Path) -> Result<(), Stop> {
    if !path.exists() {
        return Err(Stop::Input(format!("there is no demo shop {}; nothing was erased", path.display())));
    }
    if demo_in(&Shop::glance(path)?).is_none() {
        return Err(Stop::Input(format!(
            "{} is a shop file and no demo, so it is left alone; right would be another name with --shop FILE",
            path.display()
        )));
    }
    Ok(())
}

/// Erases a demo shop with everything beside it, and the copies that were made of it. Nobody may have it open.
///
/// # Errors
/// When there is none, or the file is no demo; nothing is erased then.
pub fn erase_demo(path: &Path) -> Result<(), Stop> {
    must_be_demo(path)?;
    for copy in copies_of(path)? {
        // A copy that can't be looked at isn't known to be of a demo, so it stays.
        if Shop::glance(&copy.path).is_ok_and(|glance| demo_in(&glance).is_some()) {
            erase_with_files(&copy.path)?;
        }
    }
    // A folder in which something else lies stays, and so does what isn't there.
    let _ = std::fs::remove_dir(copies_folder(path));
    erase_with_files(path)
}
