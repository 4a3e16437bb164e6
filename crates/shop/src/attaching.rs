//! Files are put beside the shop file and noted; and handed back.

use papers::{Kind, Name, Paper, preview_of};
use rusqlite::{OptionalExtension, named_params};

use crate::event::{Event, NotedRecord};
use crate::file_folder::{FileFolder, Found};
use crate::fold::{fields_of, next_number, stored_id};
use crate::kept_files::stored_name;
use crate::writing::Writing;
use crate::{About, Attachment, Record, Shop, ShopError, Stamp};

/// A file as it is handed back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AttachedFile {
    /// What it is; [`Kind::shows_in_place`] says whether a page may show it.
    pub kind: Kind,
    /// Its bytes; they hash to what was noted.
    pub bytes: Vec<u8>,
}

impl Shop {
    /// Keeps files beside the shop file and notes what they are about; gives their numbers, in the same order. A
    /// file that is noted already in this role about the same has the number it had.
    ///
    /// All files are noted or none. A file is on the disk, whole and under its name, before it is noted; where
    /// noting fails it stays as a loose one ([`Shop::kept_files`]), which harms nothing.
    ///
    /// # Errors
    /// When what they are about isn't there, a file can't be written, or the shop lies in memory only.
    pub fn attach(&mut self, stamp: &Stamp, about: About, papers: &[Paper]) -> Result<Vec<u64>, ShopError> {
        let folder = self.file_folder()?;
        // The files are written while the lock is held, so that nobody clears them away before they are noted.
        self.write(|writing| {
            must_be_there(writing, about)?;
            papers.iter().map(|paper| attach_one(writing, stamp, &folder, about, paper)).collect()
        })
    }

    /// What is attached to a record or a piece, by number. What is about a piece of a find isn't about the find.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn attached_to(&self, about: About) -> Result<Vec<(u64, Attachment)>, ShopError> {
        let mut all = self.noted::<Attachment>()?;
        all.retain(|(_, one)| one.about() == about);
        Ok(all)
    }

    /// The file of an attachment.
    ///
    /// # Errors
    /// When there is no such attachment, or its file is missing or has other bytes than were stored.
    pub fn attached_file(&self, attachment: u64) -> Result<AttachedFile, ShopError> {
        let name = self.name_of(attachment)?;
        Ok(AttachedFile { kind: name.kind(), bytes: self.bytes_of(attachment, &name)? })
    }

    /// A small JPEG of an attachment, made anew where it is missing; none of a PDF.
    ///
    /// # Errors
    /// As [`Shop::attached_file`], where the preview has to be made anew.
    pub fn attached_preview(&self, attachment: u64) -> Result<Option<Vec<u8>>, ShopError> {
        let name = self.name_of(attachment)?;
        match name.kind() {
            Kind::Pdf => return Ok(None),
            Kind::Jpeg | Kind::Png => {}
        }
        let folder = self.file_folder()?;
        if let Some(preview) = folder.preview(&name) {
            return Ok(Some(preview));
        }
        let made = preview_of(&self.bytes_of(attachment, &name)?).map_err(|error| ShopError::File {
            path: folder.at(&name.to_string()),
            reason: error.to_string(),
        })?;
        if let Some(preview) = &made {
            // It can be made again and again; a folder that can't be written to is no reason not to show it.
            let _ = folder.keep_preview(&name, preview);
        }
        Ok(made)
    }

    /// The folder of files of this shop.
    pub(crate) fn file_folder(&self) -> Result<FileFolder, ShopError> {
        if self.path().as_os_str().is_empty() {
            return Err(ShopError::Refused {
                rule: String::from("a shop in memory keeps no files; right would be one that lies on a disk"),
            });
        }
        Ok(FileFolder::of(self.path()))
    }

    fn name_of(&self, attachment: u64) -> Result<Name, ShopError> {
        let noted: Attachment = self.noted_one(attachment)?;
        stored_name(&noted.name, &noted.sha256).ok_or_else(|| ShopError::File {
            path: noted.name.into(),
            reason: format!(
                "attachment {attachment} names no file that was stored here; attach the file anew"
            ),
        })
    }

    fn bytes_of(&self, attachment: u64, name: &Name) -> Result<Vec<u8>, ShopError> {
        let folder = self.file_folder()?;
        let wrong = |how: &str| ShopError::File {
            path: folder.at(&name.to_string()),
            reason: format!("the file of attachment {attachment} {how}; put it back from a backup"),
        };
        match folder.find(name)? {
            Found::Sound(bytes) => Ok(bytes),
            Found::Missing => Err(wrong("isn't there")),
            Found::Changed => Err(wrong("has other bytes than were stored")),
        }
    }
}

fn must_be_there(writing: &Writing<'_>, about: About) -> Result<(), ShopError> {
    let (record, number, piece) = about.parts();
    writing.must_exist(record, number)?;
    let Some(piece) = piece else { return Ok(()) };
    let sql = "SELECT count(*) FROM piece WHERE find = ?1";
    let pieces: u32 = writing.conn.prepare_cached(sql)?.query_row([stored_id(number)?], |row| row.get(0))?;
    if (1..=pieces).contains(&piece) {
        Ok(())
    } else {
        Err(books::BooksError::NoPiece { find: books::FindId(number), piece, pieces }.into())
    }
}

fn attach_one(
    writing: &mut Writing<'_>,
    stamp: &Stamp,
    folder: &FileFolder,
    about: About,
    paper: &Paper,
) -> Result<u64, ShopError> {
    folder.keep(paper.name(), paper.bytes())?;
    if let Some(preview) = paper.preview() {
        folder.keep_preview(paper.name(), preview)?;
    }
    let (record, number, piece) = about.parts();
    let attachment = Attachment {
        record,
        number,
        piece,
        role: paper.role(),
        name: paper.name().to_string(),
        sha256: paper.name().sha256().to_owned(),
    };
    if let Some(known) = known(writing, &attachment)? {
        return Ok(known);
    }
    let number = next_number(writing.conn, Record::Attachment)?;
    let entered = Some(fields_of(Record::Attachment, &attachment)?.into());
    let noted = NotedRecord { record: Record::Attachment, number, entered };
    writing.enter(stamp, &Event::Noted(noted), None)
}

/// The number of the same attachment, where it is noted already.
fn known(writing: &Writing<'_>, attachment: &Attachment) -> Result<Option<u64>, ShopError> {
    let sql = "SELECT id FROM attachment WHERE record = :record AND number = :number AND piece IS :piece
               AND role = :role AND name = :name ORDER BY id LIMIT 1";
    let word = serde_json::to_value(attachment.record).unwrap_or_default();
    let id: Option<i64> = writing
        .conn
        .prepare_cached(sql)?
        .query_row(
            named_params! {
                ":record": word.as_str(), ":number": stored_id(attachment.number)?, ":piece": attachment.piece,
                ":role": attachment.role.word(), ":name": attachment.name,
            },
            |row| row.get(0),
        )
        .optional()?;
    Ok(id.map(i64::unsigned_abs))
}
