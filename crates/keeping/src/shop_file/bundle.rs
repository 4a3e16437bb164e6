//! A copy and the files beside it as one zip file, to be carried away; and such a bundle unpacked again.

use std::fs::{self, File};
use std::io::{Read, Seek, Write};
use std::path::Path;

use shop::{files_folder, is_kept_name};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::{Copy, disk};
use crate::Stop;

/// What the shop file is called in a bundle, and its folder of files.
const SHOP: &str = "shop.lotwright";
const FILES: &str = "shop.lotwright.files/";
/// Most bytes that a bundle may unpack to (judgement: what a bundle of the largest size may hold, with a database
/// that packs to a quarter).
const MOST_UNPACKED: u64 = 4 << 30;
/// Most things in a bundle (judgement: a file a day for a century, each with a preview).
const MOST_MEMBERS: usize = 100_000;

/// Writes a copy with its receipts, photos and evidence as one zip file.
///
/// # Errors
/// When something can't be read or written.
pub fn bundle(copy: &Copy, to: impl Write) -> Result<(), Stop> {
    let unwritten = |why: zip::result::ZipError| Stop::outside(format!("the bundle can't be written: {why}"));
    let mut zip = ZipWriter::new_stream(to);
    let packed = SimpleFileOptions::default().large_file(true);
    // Pictures don't pack; their bytes go in as they are.
    let plain = packed.compression_method(CompressionMethod::Stored);
    let mut put = |name: &str, path: &Path, how: SimpleFileOptions| {
        let mut file = File::open(path).map_err(|why| disk(path, "can't be read", why))?;
        zip.start_file(name, how).map_err(unwritten)?;
        std::io::copy(&mut file, &mut zip).map_err(|why| disk(path, "can't be bundled", why))?;
        Ok::<(), Stop>(())
    };
    put(SHOP, &copy.path, packed)?;
    let folder = files_folder(&copy.path);
    let mut names: Vec<String> = match fs::read_dir(&folder) {
        Ok(entries) => entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok()).collect(),
        // A shop without receipts and photos has no folder.
        Err(_) => Vec::new(),
    };
    names.sort();
    for name in names.iter().filter(|name| is_kept_name(name)) {
        put(&format!("{FILES}{name}"), &folder.join(name), plain)?;
    }
    zip.finish().map_err(unwritten)?.into_inner().flush().map_err(Stop::outside)
}

/// Unpacks a bundle: the one shop file in it, and its files beside that. Names are taken apart, never followed.
pub(super) fn unbundle(from: impl Read + Seek, to: &Path) -> Result<(), Stop> {
    let unread = |why: &dyn std::fmt::Display| {
        Stop::Input(format!(
            "the zip file can't be read ({why}); right would be a backup as it was downloaded"
        ))
    };
    let mut zip = ZipArchive::new(from).map_err(|why| unread(&why))?;
    if zip.len() > MOST_MEMBERS {
        return Err(unread(&format!("it has over {MOST_MEMBERS} files in it")));
    }
    let folder = files_folder(to);
    let (mut left, mut shops) = (MOST_UNPACKED, 0);
    for at in 0..zip.len() {
        let mut member = zip.by_index(at).map_err(|why| unread(&why))?;
        let name = member.name().map_err(|why| unread(&why))?.into_owned();
        let parts: Vec<&str> = name.split(['/', '\\']).filter(|part| !part.is_empty()).collect();
        let target = match parts.as_slice() {
            _ if member.is_dir() => continue,
            [.., folder_name, file] if folder_name.ends_with(".files") => {
                if !is_kept_name(file) {
                    continue;
                }
                fs::create_dir_all(&folder).map_err(|why| disk(&folder, "can't be made", why))?;
                folder.join(file)
            }
            [.., _] => {
                shops += 1;
                if shops > 1 {
                    return Err(unread(&"it has several files that could be the shop"));
                }
                to.to_owned()
            }
            [] => continue,
        };
        let mut file = File::create(&target).map_err(|why| disk(&target, "can't be written", why))?;
        let mut within = (&mut member).take(left.saturating_add(1));
        let written = std::io::copy(&mut within, &mut file).map_err(|why| unread(&why))?;
        left = left
            .checked_sub(written)
            .ok_or_else(|| unread(&format!("it unpacks to more than {} GB", MOST_UNPACKED >> 30)))?;
    }
    if shops == 0 {
        return Err(unread(&"there is no shop file in it"));
    }
    Ok(())
}
