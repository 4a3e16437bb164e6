//! A request's form, or a page that says why it can't be read.

use axum::extract::{FromRequest, Request};
use axum::response::Response;

use super::Filled;
use crate::App;
use crate::refusal::refusal;

/// What was typed into the form of a request.
#[derive(Debug, Clone)]
pub struct Posted(pub Filled);

impl FromRequest<App> for Posted {
    type Rejection = Response;

    async fn from_request(request: Request, app: &App) -> Result<Self, Response> {
        match axum::Form::<Vec<(String, String)>>::from_request(request, app).await {
            Ok(axum::Form(pairs)) => Ok(Self(Filled::from_pairs(pairs))),
            Err(why) => Err(refusal(why.status(), "The form can't be read", &why.body_text())),
        }
    }
}
