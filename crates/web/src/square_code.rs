//! A link as a square code that a phone's camera reads.

use maud::{Markup, PreEscaped, html};
use qrcode::QrCode;
use qrcode::render::svg;

/// Draws it at least `side` px wide, with words for who doesn't see it; nothing where the link is too long for one.
pub(crate) fn square_code(link: &str, side: u32, words: &str) -> Markup {
    let drawn = QrCode::new(link.as_bytes())
        .map(|code| code.render::<svg::Color<'_>>().min_dimensions(side, side).build());
    html! {
        @if let Ok(drawn) = &drawn {
            figure.code role="img" aria-label=(words) {
                (PreEscaped(drawn.trim_start_matches(r#"<?xml version="1.0" standalone="yes"?>"#)))
            }
        }
    }
}
