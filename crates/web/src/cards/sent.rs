//! A form with the texts of a card in it, each pasted or as a file.

use axum::extract::multipart::MultipartError;
use axum::extract::{FromRequest, Multipart, Request};
use axum::response::Response;

use crate::App;
use crate::form::{Filled, Mistakes};
use crate::refusal::refusal;

/// Most bytes of one text of a card: far over any published one (judgement).
const MOST_TEXT: usize = 1_000_000;
/// Most bytes of a request: three texts, pasted and as files, and room for how a form is coded.
pub(crate) const MOST_SENT: usize = 8 * MOST_TEXT;
/// Fields that are read of a form; the page has nine.
const MOST_FIELDS: usize = 20;

/// What was typed, with the texts of files in the fields that they were chosen for.
pub(super) struct Sent {
    pub(super) filled: Filled,
    pub(super) mistakes: Mistakes,
}

impl FromRequest<App> for Sent {
    type Rejection = Response;

    async fn from_request(request: Request, app: &App) -> Result<Self, Response> {
        let unread = |why: MultipartError| refusal(why.status(), "The form can't be read", &why.body_text());
        let mut form = Multipart::from_request(request, app)
            .await
            .map_err(|why| refusal(why.status(), "The form can't be read", &why.body_text()))?;
        let mut pairs: Vec<(String, String)> = Vec::new();
        let mut files: Vec<(String, Vec<u8>)> = Vec::new();
        while let Some(field) = form.next_field().await.map_err(unread)? {
            if pairs.len() + files.len() >= MOST_FIELDS {
                break;
            }
            let name = field.name().unwrap_or_default().to_owned();
            match field.file_name() {
                Some(_) => {
                    let bytes = field.bytes().await.map_err(unread)?;
                    // A browser sends an empty file where none was chosen.
                    if !bytes.is_empty() {
                        files.push((name, bytes.to_vec()));
                    }
                }
                None => pairs.push((name, field.text().await.map_err(unread)?)),
            }
        }
        let (mut filled, mut mistakes) = (Filled::from_pairs(pairs), Mistakes::default());
        for (name, bytes) in files {
            let Some(field) = name.strip_suffix("-file") else { continue };
            if filled.text(field).is_some() {
                mistakes.add(field, "A file was chosen and a text pasted; right would be one of them");
                continue;
            }
            match String::from_utf8(bytes) {
                Ok(text) => filled = filled.with(field, text),
                Err(why) => mistakes.add(
                    field,
                    format!(
                        "the file is not UTF-8 text from byte {} on; right would be to save it as UTF-8",
                        why.utf8_error().valid_up_to()
                    ),
                ),
            }
        }
        for field in ["rules", "prices", "additions"] {
            let bytes = filled.typed(field).len();
            if bytes > MOST_TEXT {
                mistakes
                    .add(field, format!("{bytes} bytes are too many; right would be at most {MOST_TEXT}"));
            }
        }
        Ok(Self { filled, mistakes })
    }
}
