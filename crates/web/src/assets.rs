//! Style sheet, modules and mark, compiled in and served under a path that changes with their text.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};

/// Name, kind and text of each.
const FILES: [(&str, &str, &str); 10] = [
    ("lotwright.css", "text/css; charset=utf-8", include_str!("assets/lotwright.css")),
    ("mark.svg", "image/svg+xml", include_str!("assets/mark.svg")),
    ("page.js", SCRIPT, include_str!("assets/page.js")),
    ("live.js", SCRIPT, include_str!("assets/live.js")),
    ("draft.js", SCRIPT, include_str!("assets/draft.js")),
    ("watch.js", SCRIPT, include_str!("assets/watch.js")),
    ("scene.js", SCRIPT, include_str!("assets/scene.js")),
    ("turn.js", SCRIPT, include_str!("assets/turn.js")),
    ("enter.js", SCRIPT, include_str!("assets/enter.js")),
    ("copy.js", SCRIPT, include_str!("assets/copy.js")),
];
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// One hash for all of them, so that modules may import one another by their bare names.
static EDITION: LazyLock<String> = LazyLock::new(|| {
    let bytes = FILES.iter().flat_map(|(_, _, text)| text.bytes());
    // FNV-1a, 64 bits (published: RFC 9923).
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{hash:016x}")
});

/// The path of an asset.
#[must_use]
pub fn path(name: &str) -> String {
    format!("/assets/{}/{name}", *EDITION)
}

/// Answers with an asset, which never changes under its path.
pub(crate) async fn serve(Path((edition, name)): Path<(String, String)>) -> Response {
    let found = FILES.iter().find(|(known, _, _)| edition == *EDITION && *known == name);
    match found {
        Some((_, kind, text)) => {
            let headers = [
                (header::CONTENT_TYPE, *kind),
                (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
            ];
            (headers, *text).into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::{FILES, SCRIPT};

    #[test]
    fn modules_are_short_and_none_reaches_outside_or_writes_into_a_page_what_the_policy_forbids() {
        let modules: Vec<_> = FILES.iter().filter(|(_, kind, _)| *kind == SCRIPT).collect();
        let lines: usize = modules.iter().map(|(_, _, text)| text.lines().count()).sum();
        assert!(lines <= 300, "{lines} lines");
        for (name, _, text) in FILES {
            for forbidden in ["http:", "https:", "eval(", "@import", ".style", "cssText", "Math.random"] {
                let text = text.replace("http://www.w3.org/2000/svg", "");
                assert!(!text.contains(forbidden), "{forbidden} in {name}");
            }
        }
    }
}
