//! How many pieces of each row go into a lot, or into a set where the split decides on the lots.

use trade::{LotsBy, Row};

use crate::entry::Entry;
use crate::row::{Counted, MOST_IN_A_LOT, ReadRow};
use crate::section::Section;
use crate::told::{Problems, Told};

/// Who decides on a find's lots, and whether comps could do it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Deciding {
    pub(crate) by: LotsBy,
    has_comps: bool,
}

impl Deciding {
    /// The split decides where there are comps and no row says how many of it go into a lot.
    pub(crate) const fn new(has_comps: bool, per_lot_is_stated: bool) -> Self {
        let by = if has_comps && !per_lot_is_stated { LotsBy::Split } else { LotsBy::Sheet };
        Self { by, has_comps }
    }

    const fn key(self) -> &'static str {
        match self.by {
            LotsBy::Sheet => "per_lot",
            LotsBy::Split => "per_set",
        }
    }

    const fn whole(self) -> &'static str {
        match self.by {
            LotsBy::Sheet => "lot",
            LotsBy::Split => "set",
        }
    }

    /// Reads how many pieces of a row go together; `None` where a set has the usual one.
    pub(crate) fn stated<'t, 'i>(
        self,
        row: &mut Section<'t, 'i>,
        count: &Counted<'_, '_>,
        problems: &mut Problems<'_>,
    ) -> Result<Option<(u32, Entry<'t, 'i>)>, Told> {
        match self.by {
            LotsBy::Split => row
                .take("per_set")
                .map(|entry| self.at_most_the_count(entry, "per_set = 1", count, problems))
                .transpose(),
            LotsBy::Sheet => {
                if let Some(entry) = row.take("per_set") {
                    let right = if self.has_comps {
                        "per_lot in every piece of the find, or per_lot in none of them: then the split decides"
                    } else {
                        "per_lot = 2, or comps below [[find]] and no per_lot: then the split decides"
                    };
                    row.take("per_lot");
                    let message = "`per_set` is read only where the split decides on the lots";
                    return Err(problems.tell(entry.path(), entry.key_span(), message, right));
                }
                let right = if self.has_comps {
                    "per_lot = 2, or per_lot in no piece of the find: then the split decides"
                } else {
                    "per_lot = 2, or comps below [[find]] so that the split decides"
                };
                let entry = row.need("per_lot", right, problems)?;
                self.at_most_the_count(entry, "per_lot = 2", count, problems).map(Some)
            }
        }
    }

    fn at_most_the_count<'t, 'i>(
        self,
        entry: Entry<'t, 'i>,
        right: &str,
        count: &Counted<'_, '_>,
        problems: &mut Problems<'_>,
    ) -> Result<(u32, Entry<'t, 'i>), Told> {
        let pieces = entry.whole(0..=MOST_IN_A_LOT, right, problems)?;
        match count {
            Ok((count, _)) if pieces > *count => Err(entry.wrong(
                problems,
                format!("a {} takes {pieces} pieces, but there are only {count}", self.whole()),
                format!("at most the count, {count}"),
            )),
            _ => Ok((pieces, entry)),
        }
    }

    /// Settles what the rows of a find hang on together: that there is at least one lot or set, what a set is,
    /// and what a piece is worth by itself.
    pub(crate) fn settle(
        self,
        rows: Vec<ReadRow<'_, '_>>,
        find: &Section<'_, '_>,
        problems: &mut Problems<'_>,
    ) -> Result<Vec<Row>, Told> {
        let together: u32 = rows.iter().map(ReadRow::together).sum();
        if together == 0 {
            let (path, span) =
                rows.first().map_or((find.path().to_owned(), find.span()), ReadRow::place_of_stated);
            let message = format!("no piece of this find goes into a {}", self.whole());
            return Err(problems.tell(&path, span, message, format!("{} = 1 or more", self.key())));
        }
        if together > MOST_IN_A_LOT {
            return Err(problems.tell(
                find.path(),
                find.span(),
                format!("a {} of this find has {together} pieces", self.whole()),
                format!("at most {MOST_IN_A_LOT} pieces in a {} over all its rows", self.whole()),
            ));
        }
        let mut told = None;
        for read in &rows {
            let (pieces, usable) = (read.together(), read.row.usable());
            if pieces > usable {
                told = Some(self.too_few(read, pieces, usable, problems));
            }
        }
        let divisor = rows.iter().map(ReadRow::together).fold(0, gcd);
        if told.is_none() && self.by == LotsBy::Split && divisor > 1 {
            told = rows
                .iter()
                .find(|read| read.together() > 0)
                .map(|first| parts_into(divisor, together, first, problems));
        }
        let set_is_one_piece = together == divisor;
        for read in &rows {
            if let (true, Some((_, entry))) = (set_is_one_piece && read.together() > 0, &read.alone) {
                let message = "a set is one piece here, so a piece by itself is worth all of it";
                let right =
                    "no `alone`; it is for pieces that make a set with others, as cups and saucers do";
                told = Some(problems.tell(entry.path(), entry.key_span(), message, right));
            }
        }
        match told {
            Some(told) => Err(told),
            None => Ok(rows
                .into_iter()
                .map(|read| {
                    let per_lot = read.together();
                    let alone = read.worth_alone(set_is_one_piece && per_lot > 0);
                    Row { per_lot, alone, ..read.row }
                })
                .collect()),
        }
    }

    fn too_few(self, read: &ReadRow<'_, '_>, pieces: u32, usable: u32, problems: &mut Problems<'_>) -> Told {
        let (whole, key) = (self.whole(), self.key());
        let message = format!(
            "the find makes no {whole}: a {whole} takes {pieces}, but only {usable} of the {} are without flaw",
            read.row.count
        );
        let right = if usable > 0 {
            format!("{key} of at most {usable}")
        } else {
            String::from(
                "flawed of less than the count; where all are flawed, flawed = 0 and grade = \"E\" below [[find]]",
            )
        };
        let (path, span) = read.place_of_stated();
        problems.tell(&path, span, message, right)
    }
}

/// A set that is several smaller ones: comps count the smallest, so a larger one would mislead.
fn parts_into(divisor: u32, together: u32, first: &ReadRow<'_, '_>, problems: &mut Problems<'_>) -> Told {
    let (path, span) = first.place_of_stated();
    if together == first.together() {
        let message =
            "a set of one kind of piece is one piece; how many go into a lot is for the split to find";
        return problems.tell(&path, span, message, "per_set = 1, or per_lot for lots of your own");
    }
    let message = format!("this set is {divisor} smaller sets, and comps are to count the smallest");
    let smaller = first.together() / divisor;
    let right =
        format!("per_set = {smaller} here, and the other pieces' per_set divided by {divisor} as well");
    problems.tell(&path, span, message, right)
}

const fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}
