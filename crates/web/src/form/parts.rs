//! A form with files in it, as it arrives.

use axum::extract::multipart::MultipartError;
use axum::extract::{FromRequest, Multipart, Request};
use axum::response::Response;

use super::Filled;
use crate::App;
use crate::refusal::refusal;

/// Fields and files that are read of a form; no page has as many.
const MOST_PARTS: usize = 20;

/// What was typed, and the files that were chosen.
#[derive(Debug)]
pub(crate) struct Parts {
    pub(crate) filled: Filled,
    pub(crate) files: Vec<SentFile>,
}

/// A file that was chosen; one without a name and bytes is none.
#[derive(Debug)]
pub(crate) struct SentFile {
    /// The field it was chosen in.
    pub(crate) field: String,
    /// What it is called where it comes from.
    pub(crate) called: String,
    pub(crate) bytes: Vec<u8>,
}

impl FromRequest<App> for Parts {
    type Rejection = Response;

    async fn from_request(request: Request, app: &App) -> Result<Self, Response> {
        let unread = |why: MultipartError| refusal(why.status(), "The form can't be read", &why.body_text());
        let mut form = Multipart::from_request(request, app)
            .await
            .map_err(|why| refusal(why.status(), "The form can't be read", &why.body_text()))?;
        let (mut pairs, mut files): (Vec<(String, String)>, Vec<SentFile>) = (Vec::new(), Vec::new());
        while let Some(part) = form.next_field().await.map_err(unread)? {
            if pairs.len() + files.len() >= MOST_PARTS {
                break;
            }
            let field = part.name().unwrap_or_default().to_owned();
            match part.file_name().map(str::to_owned) {
                Some(called) => {
                    let bytes = part.bytes().await.map_err(unread)?.to_vec();
                    // A browser sends an empty file where none was chosen.
                    if !bytes.is_empty() || !called.is_empty() {
                        files.push(SentFile { field, called, bytes });
                    }
                }
                None => pairs.push((field, part.text().await.map_err(unread)?)),
            }
        }
        Ok(Self { filled: Filled::from_pairs(pairs), files })
    }
}
