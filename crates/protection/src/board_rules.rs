//! What goes for board beside its grade, read from a data file.

use measure::{Length, Mass, length_plus_girth};
use toml::Table;

use crate::keys::{Keys, table};
use crate::overlay::overlay;
use crate::{Figure, Flag, Origin, ProtectionError};

const PUBLISHED: &str = include_str!("../data/board_rules.toml");
const EXAMPLE: &str = "[stacking]";
const FILE_KEYS: &[&str] = &["stacking", "reuse", "reuse_checks", "postal", "size_notes"];
const STACKING_KEYS: &[&str] =
    &["misaligned", "interlocked", "overhang", "deck_gaps", "rough_handling", "safety_factor"];
const POSTAL_KEYS: &[&str] = &[
    "dense_psf",
    "dense_lower_lb",
    "dense_lower_psi",
    "dense_upper_lb",
    "dense_upper_psi",
    "paperboard_lb",
    "metal_stayed_lb",
];
const CHECK_KEYS: &[&str] = &["order", "words", "flag", "source"];
const NOTE_KEYS: &[&str] =
    &["length_girth_in", "longest_in", "united_in", "gross_lb", "words", "flag", "source"];
/// Largest safety factor, weight, size or pressure that is read.
const MOST: f64 = 10_000.0;

/// Something to look at before a carton goes out again.
#[derive(Debug, Clone, PartialEq)]
pub struct ReuseCheck {
    /// Its key.
    pub key: String,
    /// What must hold, one plain sentence.
    pub words: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// A remark on size or weight, made when any of its bounds is passed.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeNote {
    /// Its key.
    pub key: String,
    /// The remark, one plain sentence.
    pub words: String,
    /// Where it comes from.
    pub origin: Origin,
    length_girth: Option<Length>,
    longest: Option<Length>,
    united: Option<Length>,
    gross: Option<Mass>,
}

/// What goes for board beside its grade.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardRules {
    rows: Table,
    /// Share of strength left in columns that don't quite meet.
    pub misaligned: Figure,
    /// Share left when stacked like bricks.
    pub interlocked: Figure,
    /// Share left over the edge of the pallet.
    pub overhang: Figure,
    /// Share left on a deck with gaps.
    pub deck_gaps: Figure,
    /// Share left after rough handling.
    pub rough_handling: Figure,
    /// Least strength, new and dry, over the load.
    pub safety_factor: Figure,
    /// Share of gross limits and strength that a sound carton used before keeps.
    pub reused: Figure,
    /// Largest mass of dense contents on the smallest side, lb per ft2.
    pub dense_psf: Figure,
    /// Largest gross weight, lb, and least bursting test, psi, for dense contents: lower step.
    pub dense_lower: (Figure, Figure),
    /// Largest gross weight, lb, and least bursting test, psi, for dense contents: upper step.
    pub dense_upper: (Figure, Figure),
    /// Postal limit for a paperboard box, lb.
    pub paperboard_lb: Figure,
    /// Postal limit for a metal-stayed paperboard box, lb.
    pub metal_stayed_lb: Figure,
    checks: Vec<ReuseCheck>,
    notes: Vec<SizeNote>,
}

impl BoardRules {
    /// The rules that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the board rules compiled in are read by a test")
    }

    /// Reads a whole file of board rules.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown or out of range.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(table("board rules", text, EXAMPLE)?)
    }

    /// These rules with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`BoardRules::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        let over = table("board rules", text, EXAMPLE)?;
        Self::from_rows(overlay(&self.rows, &over, FILE_KEYS))
    }

    /// What to look at before a carton goes out again, in order.
    pub fn reuse_checks(&self) -> impl Iterator<Item = &ReuseCheck> {
        self.checks.iter()
    }

    /// Remarks on a parcel of this outside size and gross mass; a figure that is no number passes its bounds.
    #[must_use]
    pub fn size_notes(&self, outside: [Length; 3], gross: Mass) -> Vec<&SizeNote> {
        let longest = longest(outside);
        let (girth, united) = (length_plus_girth(outside), outside.into_iter().sum::<Length>());
        let passed =
            |at: Length, bound: Option<Length>| bound.is_some_and(|most| !within(at.mm(), most.mm()));
        self.notes
            .iter()
            .filter(|note| {
                passed(girth, note.length_girth)
                    || passed(longest, note.longest)
                    || passed(united, note.united)
                    || note.gross.is_some_and(|most| !within(gross.grams(), most.grams()))
            })
            .collect()
    }

    fn from_rows(rows: Table) -> Result<Self, ProtectionError> {
        let file = Keys { place: "the board rules".to_owned(), table: &rows };
        file.only(FILE_KEYS)?;
        let inner = |key, example| file.inner(key)?.ok_or_else(|| file.missing(key, example));
        let stacking = inner("stacking", "{ overhang = { value = 0.6 } }")?;
        let reuse = inner("reuse", "{ share = { value = 0.7 } }")?;
        let postal = inner("postal", "{ dense_psf = { value = 60 } }")?;
        stacking.only(STACKING_KEYS)?;
        reuse.only(&["share"])?;
        postal.only(POSTAL_KEYS)?;
        // A share of nothing would make the strength needed infinite.
        let share = |keys: &Keys<'_>, key| keys.need_figure(key, 0.01, 1.0);
        let figure = |key| postal.need_figure(key, 0.1, MOST);
        let (misaligned, interlocked) = (share(&stacking, "misaligned")?, share(&stacking, "interlocked")?);
        let (overhang, deck_gaps) = (share(&stacking, "overhang")?, share(&stacking, "deck_gaps")?);
        let dense_lower = (figure("dense_lower_lb")?, figure("dense_lower_psi")?);
        let dense_upper = (figure("dense_upper_lb")?, figure("dense_upper_psi")?);
        if dense_upper.0.value < dense_lower.0.value || dense_upper.1.value < dense_lower.1.value {
            return Err(postal.wrong("dense_upper_lb", "under the lower step", "at least the lower step"));
        }
        let mut checks = Vec::new();
        for (key, keys) in file.rows("reuse_checks", "reuse check")? {
            keys.only(CHECK_KEYS)?;
            let order = keys.whole("order", 0, 1000)?.unwrap_or(1000);
            let words = keys.need_text("words", "\"All flaps are there.\"")?.to_owned();
            checks.push((order, ReuseCheck { key: key.to_owned(), words, origin: keys.origin(Flag::Own)? }));
        }
        checks.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.key.cmp(&b.1.key)));
        let mut notes = Vec::new();
        for (key, keys) in file.rows("size_notes", "size note")? {
            notes.push(size_note(key, &keys)?);
        }
        Ok(Self {
            misaligned,
            interlocked,
            overhang,
            deck_gaps,
            rough_handling: share(&stacking, "rough_handling")?,
            safety_factor: stacking.need_figure("safety_factor", 1.0, MOST)?,
            reused: share(&reuse, "share")?,
            dense_psf: figure("dense_psf")?,
            dense_lower,
            dense_upper,
            paperboard_lb: figure("paperboard_lb")?,
            metal_stayed_lb: figure("metal_stayed_lb")?,
            checks: checks.into_iter().map(|(_, check)| check).collect(),
            notes,
            rows,
        })
    }
}

fn size_note(key: &str, keys: &Keys<'_>) -> Result<SizeNote, ProtectionError> {
    keys.only(NOTE_KEYS)?;
    let length = |key| Ok(keys.number(key, 0.1, MOST)?.map(Length::from_inches));
    let note = SizeNote {
        key: key.to_owned(),
        words: keys.need_text("words", "\"Over 108 in it is oversize.\"")?.to_owned(),
        origin: keys.origin(Flag::Own)?,
        length_girth: length("length_girth_in")?,
        longest: length("longest_in")?,
        united: length("united_in")?,
        gross: keys.number("gross_lb", 0.1, MOST)?.map(Mass::from_pounds),
    };
    if note.length_girth.is_none() && note.longest.is_none() && note.united.is_none() && note.gross.is_none()
    {
        return Err(keys.missing("length_girth_in", "108"));
    }
    Ok(note)
}

fn longest(sides: [Length; 3]) -> Length {
    sides.into_iter().fold(Length::ZERO, Length::max)
}

/// Whether a figure keeps a limit, rounding of unit conversion let pass.
pub(crate) fn within(at: f64, most: f64) -> bool {
    at <= most * (1.0 + 1e-9)
}
