//! What the drop of a parcel does to its pieces, in lines.

use keeping::guarding::{DropMark, drop_lines};
use measure::Units;
use trade::Shipped;

use crate::words::wrapped;

/// The drop in a few lines; with `faces`, one line for each face.
pub fn guard(shipped: &Shipped, units: Units, faces: bool) -> String {
    let mut out = String::new();
    for (mark, text) in drop_lines(shipped, units, faces) {
        let lead = match mark {
            DropMark::NotReckoned => "    ~ ",
            DropMark::Plain => "    ",
            DropMark::AtRisk => "    ! at risk: ",
            DropMark::Landing => "      ",
        };
        out.push_str(wrapped(lead, &text).trim_end_matches('\n'));
        out.push('\n');
    }
    out
}
