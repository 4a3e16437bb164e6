//! A form with a file in it.

use axum::extract::multipart::MultipartError;
use axum::extract::{FromRequest, Multipart, Request};
use axum::response::Response;
use keeping::MOST_BYTES;

use crate::App;
use crate::form::Filled;
use crate::refusal::refusal;

/// Most bytes of a pasted table; larger ones are sent as a file.
pub(super) const MOST_PASTED: usize = 1_000_000;
/// Most bytes of a request: the largest table, and room for what is pasted and for how a form is coded.
pub(crate) const MOST_REQUEST: usize = MOST_BYTES + 2 * MOST_PASTED;
/// Fields that are read of a form; the page has six.
const MOST_FIELDS: usize = 20;

/// What was typed, and the file that was chosen: its name and bytes.
#[derive(Debug, Default)]
pub(super) struct Sent {
    pub(super) filled: Filled,
    pub(super) file: Option<(String, Vec<u8>)>,
}

impl FromRequest<App> for Sent {
    type Rejection = Response;

    async fn from_request(request: Request, app: &App) -> Result<Self, Response> {
        let unread = |why: MultipartError| refusal(why.status(), "The form can't be read", &why.body_text());
        let mut form = Multipart::from_request(request, app)
            .await
            .map_err(|why| refusal(why.status(), "The form can't be read", &why.body_text()))?;
        let (mut pairs, mut file) = (Vec::new(), None);
        while let Some(field) = form.next_field().await.map_err(unread)? {
            if pairs.len() >= MOST_FIELDS {
                break;
            }
            let name = field.name().unwrap_or_default().to_owned();
            match field.file_name().map(str::to_owned) {
                Some(called) => {
                    let bytes = field.bytes().await.map_err(unread)?;
                    // A browser sends an empty file where none was chosen.
                    if !bytes.is_empty() || !called.is_empty() {
                        file = Some((called, bytes.to_vec()));
                    }
                }
                None => pairs.push((name, field.text().await.map_err(unread)?)),
            }
        }
        let mut filled = Filled::from_pairs(pairs);
        // Where nothing else is said, a table comes from what its file is called.
        if let (None, Some((called, _))) = (filled.text("source"), &file)
            && !called.trim().is_empty()
        {
            filled = filled.with("source", called.trim());
        }
        Ok(Self { filled, file })
    }
}
