//! A form with a file in it.

use axum::extract::{FromRequest, Request};
use axum::response::Response;
use keeping::MOST_BYTES;

use crate::App;
use crate::form::{Filled, Parts};

/// Most bytes of a pasted table; larger ones are sent as a file.
pub(super) const MOST_PASTED: usize = 1_000_000;
/// Most bytes of a request: the largest table, and room for what is pasted and for how a form is coded.
pub(crate) const MOST_REQUEST: usize = MOST_BYTES + 2 * MOST_PASTED;

/// What was typed, and the file that was chosen: its name and bytes.
#[derive(Debug, Default)]
pub(super) struct Sent {
    pub(super) filled: Filled,
    pub(super) file: Option<(String, Vec<u8>)>,
}

impl FromRequest<App> for Sent {
    type Rejection = Response;

    async fn from_request(request: Request, app: &App) -> Result<Self, Response> {
        let Parts { mut filled, files } = Parts::from_request(request, app).await?;
        let file = files.into_iter().next_back().map(|file| (file.called, file.bytes));
        // Where nothing else is said, a table comes from what its file is called.
        if let (None, Some((called, _))) = (filled.text("source"), &file)
            && !called.trim().is_empty()
        {
            filled = filled.with("source", called.trim());
        }
        Ok(Self { filled, file })
    }
}
