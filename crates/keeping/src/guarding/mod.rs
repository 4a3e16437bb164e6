//! How much cushion a piece needs, and what the drop of a parcel does to it, in words for terminal and pages alike.

mod answer;
mod asked;
mod dropped;
mod figures;
mod mistake;
mod of_records;
mod piece;
mod said;
mod worked;

pub use answer::{Guarded, Ruled, guarded, shock_chart, without};
pub use asked::{Bears, Falls, Wrap};
pub use dropped::{DropMark, drop_lines};
pub use figures::{area, factor, names, shock, short, spoken, thickness, trimmed};
pub use mistake::{GuardAsked, GuardMistake, Spell, guard_label};
pub use piece::AskedPiece;
pub use said::{RuleLine, Sentence, cautions, rules, those, verdict, why_more};
pub use worked::{Worked, worked};
