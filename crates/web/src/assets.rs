//! Style sheet, modules and mark, compiled in and served under a path that changes with their text.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};

/// Name, kind and text of each.
const FILES: [(&str, &str, &str); 13] = [
    ("lotwright.css", "text/css; charset=utf-8", include_str!("assets/lotwright.css")),
    ("mark.svg", "image/svg+xml", include_str!("assets/mark.svg")),
    ("page.js", SCRIPT, include_str!("assets/page.js")),
    ("live.js", SCRIPT, include_str!("assets/live.js")),
    ("home.js", SCRIPT, include_str!("assets/home.js")),
    ("keep.js", SCRIPT, include_str!("assets/keep.js")),
    ("offline.js", SCRIPT, include_str!("assets/offline.js")),
    ("draft.js", SCRIPT, include_str!("assets/draft.js")),
    ("watch.js", SCRIPT, include_str!("assets/watch.js")),
    ("scene.js", SCRIPT, include_str!("assets/scene.js")),
    ("turn.js", SCRIPT, include_str!("assets/turn.js")),
    ("enter.js", SCRIPT, include_str!("assets/enter.js")),
    ("copy.js", SCRIPT, include_str!("assets/copy.js")),
];
/// The mark as a picture, for home screens that take no drawing: name, side in px, bytes. `tests/browser` makes them
/// from the mark and keeps them to it; the one to be masked has the mark within the part that every mask leaves.
pub(crate) const ICONS: [(&str, u32, &[u8]); 4] = [
    ("touch-180.png", 180, include_bytes!("assets/touch-180.png")),
    ("mark-192.png", 192, include_bytes!("assets/mark-192.png")),
    ("mark-512.png", 512, include_bytes!("assets/mark-512.png")),
    ("masked-512.png", 512, include_bytes!("assets/masked-512.png")),
];
pub(crate) const SCRIPT: &str = "text/javascript; charset=utf-8";
const PNG: &str = "image/png";

/// One hash for all of them, so that modules may import one another by their bare names.
static EDITION: LazyLock<String> = LazyLock::new(|| {
    let icons = ICONS.iter().flat_map(|(_, _, bytes)| bytes.iter().copied());
    hashed(FILES.iter().flat_map(|(_, _, text)| text.bytes()).chain(icons))
});

/// A short name for bytes that changes with them: FNV-1a, 64 bits (published: RFC 9923).
pub(crate) fn hashed(bytes: impl Iterator<Item = u8>) -> String {
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{hash:016x}")
}

/// The paths of what pages are made of; icons are asked for by the system that shows them.
pub(crate) fn paths() -> Vec<String> {
    FILES.iter().map(|(name, _, _)| path(name)).collect()
}

/// The path of an asset.
#[must_use]
pub fn path(name: &str) -> String {
    format!("/assets/{}/{name}", *EDITION)
}

/// Answers with an asset, which never changes under its path.
pub(crate) async fn serve(Path((edition, name)): Path<(String, String)>) -> Response {
    let found =
        FILES.iter().find(|(known, _, _)| *known == name).map(|(_, kind, text)| (*kind, text.as_bytes()));
    let found =
        found.or_else(|| ICONS.iter().find(|(known, _, _)| *known == name).map(|(_, _, icon)| (PNG, *icon)));
    match found.filter(|_| edition == *EDITION) {
        Some((kind, bytes)) => {
            let headers = [
                (header::CONTENT_TYPE, kind),
                (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
            ];
            (headers, bytes).into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::{FILES, ICONS, SCRIPT};
    use crate::offline::SCRIPTS as OFFLINE;

    #[test]
    fn every_icon_is_a_square_of_the_side_it_is_named_by() {
        for (name, side, bytes) in ICONS {
            assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"), "{name}");
            // Width and height (published: PNG specification, 11.2.2).
            let sides =
                [16, 20].map(|at| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes")));
            assert_eq!(sides, [side, side], "{name}");
            assert!(name.contains(&format!("-{side}.")), "{name}");
        }
    }

    #[test]
    fn modules_are_short_and_none_reaches_outside_or_writes_into_a_page_what_the_policy_forbids() {
        let modules: Vec<_> = FILES.iter().filter(|(_, kind, _)| *kind == SCRIPT).collect();
        // Three hundred lines for all pages. The check without a network has its own: its two workers, what asks home or
        // the phone and takes settings along, and what keeps checks until home has them.
        let of_phone = |name: &str| ["home.js", "keep.js", "offline.js"].contains(&name);
        let counted = |phone: bool| -> usize {
            let of = modules.iter().filter(|(name, ..)| of_phone(name) == phone);
            of.map(|(_, _, text)| text.lines().count()).sum()
        };
        let workers: usize = OFFLINE.iter().map(|(_, text)| text.lines().count()).sum();
        assert!(counted(false) <= 300, "{} lines", counted(false));
        assert!(counted(true) + workers <= 350, "{} + {workers} lines", counted(true));
        let all = FILES.map(|(name, _, text)| (name, text));
        for (name, text) in all.into_iter().chain(OFFLINE) {
            for forbidden in ["http:", "https:", "eval(", "@import", ".style", "cssText", "Math.random"] {
                let text = text.replace("http://www.w3.org/2000/svg", "");
                assert!(!text.contains(forbidden), "{forbidden} in {name}");
            }
        }
    }
}
