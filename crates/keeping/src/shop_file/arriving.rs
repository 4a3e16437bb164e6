//! A backup that is being sent in, a piece at a time, until it is whole.

use std::fs::{self, File};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use shop::Shop;

use super::bundle::unbundle;
use super::copies::{ENDING, SENT, compact, copies_folder, copy_named, erase_with_files, make};
use super::{Copy, disk};
use crate::Stop;

/// Most bytes of a backup that is sent in (judgement: a shop of 300,000 orders, or a thousand photos; what is larger
/// is put into the folder of backups by hand).
pub const MOST_SENT: u64 = 1 << 30;
/// How a zip file begins (published: APPNOTE.TXT of the zip format, local file header).
const ZIP_HEAD: &[u8] = b"PK\x03\x04";

/// A backup on its way in; what was taken in is removed again unless it is finished.
#[derive(Debug)]
pub struct Arriving {
    shop_file: PathBuf,
    half: PathBuf,
    file: File,
    bytes: u64,
}

impl Arriving {
    /// Begins to take one in for a shop file. `key` is unlike any other that is on its way: letters and figures.
    ///
    /// # Errors
    /// When the folder of copies can't be written to.
    pub fn begin(shop_file: &Path, key: &str) -> Result<Self, Stop> {
        let folder = copies_folder(shop_file);
        make(&folder)?;
        let key: String = key.chars().filter(char::is_ascii_alphanumeric).collect();
        let half = folder.join(format!("{SENT}{key}.half"));
        let file = File::options().read(true).write(true).create_new(true).open(&half);
        let file = file.map_err(|why| disk(&half, "can't be written", why))?;
        Ok(Self { shop_file: shop_file.to_owned(), half, file, bytes: 0 })
    }

    /// Takes in the next piece.
    ///
    /// # Errors
    /// When it is too much altogether, or can't be written.
    pub fn take(&mut self, piece: &[u8]) -> Result<(), Stop> {
        self.bytes = self.bytes.saturating_add(piece.len() as u64);
        if self.bytes > MOST_SENT {
            return Err(Stop::Input(format!(
                "it is larger than {} MB; right would be to put it into {} by hand",
                MOST_SENT >> 20,
                copies_folder(&self.shop_file).display()
            )));
        }
        self.file.write_all(piece).map_err(|why| disk(&self.half, "can't be written", why))
    }

    /// Looks at what has arrived, a shop file or a bundle of one with its files, and lists it among the copies.
    ///
    /// # Errors
    /// When it is no shop file, or one of a newer version; nothing of it stays then.
    pub fn finish(mut self, now: Timestamp) -> Result<Copy, Stop> {
        if self.bytes == 0 {
            return Err(Stop::input("no file was chosen; right would be a backup of a shop"));
        }
        let name = format!("{SENT}{}{ENDING}", compact(now));
        let to = copies_folder(&self.shop_file).join(&name);
        if to.exists() {
            return Err(Stop::input("another was sent in this second; wait a second and send it again"));
        }
        let unread = |why: std::io::Error| disk(&self.half, "can't be read", why);
        let mut head = Vec::new();
        self.file.seek(SeekFrom::Start(0)).map_err(unread)?;
        (&self.file).take(ZIP_HEAD.len() as u64).read_to_end(&mut head).map_err(unread)?;
        self.file.seek(SeekFrom::Start(0)).map_err(unread)?;
        let taken = if head == ZIP_HEAD {
            unbundle(&self.file, &to)
        } else {
            self.file
                .sync_all()
                .and_then(|()| fs::rename(&self.half, &to))
                .map_err(|why| disk(&to, "can't be written", why))
        };
        let seen = taken.and_then(|()| Ok(Shop::glance(&to).map(|_| ())?));
        match seen {
            Ok(()) => copy_named(&self.shop_file, &name),
            Err(why) => {
                // The reason is what matters, not whether all of it could be removed.
                let _ = erase_with_files(&to);
                // Where it lies for a moment is nobody's business.
                let called = to.display().to_string();
                Err(match why {
                    Stop::Input(words) => Stop::Input(words.replace(&called, "what you sent")),
                    Stop::Outside(words) => Stop::Input(words.replace(&called, "what you sent")),
                })
            }
        }
    }
}

impl Drop for Arriving {
    fn drop(&mut self) {
        // Gone already where it was whole and took its name.
        let _ = fs::remove_file(&self.half);
    }
}
