//! A form with the texts of a card in it, each pasted or as a file.

use axum::extract::{FromRequest, Request};
use axum::response::Response;

use crate::App;
use crate::form::{Filled, Mistakes, Parts};

/// Most bytes of one text of a card: far over any published one (judgement).
const MOST_TEXT: usize = 1_000_000;
/// Most bytes of a request: three texts, pasted and as files, and room for how a form is coded.
pub(crate) const MOST_SENT: usize = 8 * MOST_TEXT;

/// What was typed, with the texts of files in the fields that they were chosen for.
pub(super) struct Sent {
    pub(super) filled: Filled,
    pub(super) mistakes: Mistakes,
}

impl FromRequest<App> for Sent {
    type Rejection = Response;

    async fn from_request(request: Request, app: &App) -> Result<Self, Response> {
        let Parts { mut filled, files } = Parts::from_request(request, app).await?;
        let mut mistakes = Mistakes::default();
        for file in files.into_iter().filter(|file| !file.bytes.is_empty()) {
            let Some(field) = file.field.strip_suffix("-file") else { continue };
            if filled.text(field).is_some() {
                mistakes.add(field, "A file was chosen and a text pasted; right would be one of them");
                continue;
            }
            match String::from_utf8(file.bytes) {
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
