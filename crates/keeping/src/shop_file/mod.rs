//! The shop file itself: looked over, copied, sent away as one file, taken in, put back; and a demo erased.

mod arriving;
mod bundle;
mod checkup;
mod copies;
mod demo_erased;
mod put_back;
mod tables_out;

pub use arriving::{Arriving, MOST_SENT};
pub use bundle::bundle;
pub use checkup::{Checkup, checkup};
pub use copies::{Copy, CopyOrigin, back_up_now, copies_folder, copies_of, copy_named, remove_copy};
pub use demo_erased::{erase_demo, must_be_demo};
pub use put_back::{Replacing, demo_in, put_back, replacing};
pub use tables_out::tables_zipped;

use crate::Stop;

/// A failure of the disk, with the file that it is about.
fn disk(path: &std::path::Path, what: &str, why: impl std::fmt::Display) -> Stop {
    Stop::Outside(format!("{}: {what}: {why}", path.display()))
}
