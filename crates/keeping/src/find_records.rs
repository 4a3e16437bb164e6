//! A find's records as part of a job sheet: pieces that are there, measures, flaws, comps, cost.

use books::FindId;
use jiff::civil::Date;
use measure::Money;
use pricing::Grade;
use sheet::Problem;
use shop::{Comp, FindText, Flaw, Measurement, PieceRow, Shop};
use toml::{Table, Value};
use trade::Job;

use crate::bench_plan::put_measures;
use crate::lots_asked::letter;
use crate::{Desk, OwnTables, Stop, TermsOf, put_settings};

/// What is recorded of a find.
#[derive(Debug, Clone)]
pub struct FindRecords {
    /// Its number.
    pub find: FindId,
    /// What it is called and where it stands.
    pub text: FindText,
    /// Pieces that are there and promised to nobody, without flaw.
    pub sound: Vec<u32>,
    /// The same of flawed pieces.
    pub flawed: Vec<u32>,
    /// Pieces that open orders wait for.
    pub promised: u32,
    /// What the free pieces cost, sound and flawed.
    pub basis: Money,
    /// Comparable sales as they were typed, with their numbers.
    pub comps: Vec<(u64, Comp)>,
    measured: Vec<Measurement>,
    flaws: Vec<Flaw>,
}

impl FindRecords {
    /// Reads what is recorded of a find.
    ///
    /// # Errors
    /// When there is no such find, or the file can't be read.
    pub fn read(shop: &mut Shop, find: FindId) -> Result<Self, Stop> {
        let text = shop.find_text(find)?;
        let pieces = shop.pieces(find)?;
        let free = |flawed: bool| -> Vec<u32> {
            let is_free = |piece: &&PieceRow| waits(piece) && piece.flawed == flawed;
            pieces.iter().filter(is_free).map(|piece| piece.number).collect()
        };
        let (sound, flawed) = (free(false), free(true));
        let promised = pieces.iter().filter(|piece| piece.promised_to.is_some()).count();
        let carried = shop.books()?.basis_of(find).map_err(Stop::input)?;
        let basis = sound.iter().chain(&flawed).map(|piece| carried.piece(*piece)).sum();
        let comps = shop.noted::<Comp>()?.into_iter().filter(|(_, one)| one.find == find).collect();
        let measured = shop.noted::<Measurement>()?.into_iter().map(|(_, one)| one);
        let flaws = shop.noted::<Flaw>()?.into_iter().map(|(_, one)| one);
        Ok(Self {
            find,
            text,
            promised: u32::try_from(promised).unwrap_or(u32::MAX),
            basis,
            comps,
            measured: measured.filter(|one| one.find == find).collect(),
            flaws: flaws.filter(|one| one.find == find).collect(),
            sound,
            flawed,
        })
    }

    /// Pieces that are there and promised to nobody.
    #[must_use]
    pub fn free(&self) -> u32 {
        let [sound, flawed] = [&self.sound, &self.flawed].map(|list| u32::try_from(list.len()));
        sound.unwrap_or(u32::MAX).saturating_add(flawed.unwrap_or(u32::MAX))
    }

    /// What it is called in a job sheet.
    pub(crate) fn name(&self) -> String {
        let what =
            if self.text.description.trim().is_empty() { &self.text.form } else { &self.text.description };
        format!("{what} (find {})", self.find)
    }

    /// Its form, the plain word for a piece, and what was measured of these pieces.
    pub(crate) fn piece_table(&self, desk: &Desk, pieces: &[u32]) -> Table {
        let mut table = Table::new();
        table.insert("form".to_owned(), Value::from(self.text.form.as_str()));
        if let Ok(form) = desk.forms.find(&self.text.form) {
            let what = form.name.split(',').next().unwrap_or(&form.name).trim();
            let own = own_word(&self.text.description, what);
            table.insert("what".to_owned(), Value::from(own.as_deref().unwrap_or(what)));
        }
        let of_these =
            self.measured.iter().filter(|one| one.piece.is_none_or(|piece| pieces.contains(&piece)));
        put_measures(of_these, &mut table);
        table
    }

    /// All free pieces with their number, measures and flaws; so many of them are kept out of the lots as flawed, in
    /// this condition where one is said.
    pub(crate) fn free_table(&self, desk: &Desk, flawed: usize, flawed_grade: Option<Grade>) -> Table {
        let pieces: Vec<u32> = self.sound.iter().chain(&self.flawed).copied().collect();
        let mut table = self.piece_table(desk, &pieces);
        table.insert("count".to_owned(), Value::from(i64::from(self.free())));
        let flaws = self.flaw_lines(&pieces);
        if !flaws.is_empty() {
            table.insert("flaws".to_owned(), Value::from(flaws));
        }
        table.insert("flawed".to_owned(), Value::from(i64::try_from(flawed).unwrap_or(i64::MAX)));
        if let Some(grade) = flawed_grade.filter(|_| flawed > 0) {
            table.insert("flawed_grade".to_owned(), Value::from(letter(grade)));
        }
        table
    }

    /// The flaws of these pieces, a line each, as a job sheet has them.
    pub(crate) fn flaw_lines(&self, pieces: &[u32]) -> Vec<String> {
        let of_these = self.flaws.iter().filter(|one| one.piece.is_none_or(|piece| pieces.contains(&piece)));
        of_these
            .map(|one| {
                let size = one.size.map_or_else(String::new, |size| format!(" {} mm", size.mm()));
                let place = if one.position.trim().is_empty() {
                    String::new()
                } else {
                    format!("{PLACE_MARK}{}", one.position)
                };
                format!("1 {}{size}{place}", one.kind)
            })
            .collect()
    }

    /// The comps' lines with the day each was typed, one line at a time.
    pub(crate) fn comp_lines(&self) -> Vec<(String, Date)> {
        let lines = self.comps.iter().flat_map(|(_, one)| one.typed.lines().map(|line| (line, one.date)));
        lines
            .filter(|(line, _)| !line.trim().is_empty())
            .map(|(line, date)| (line.trim().to_owned(), date))
            .collect()
    }
}

/// One piece in the person's own words: "blue banded soup bowl" of "blue banded soup bowls" or "soup bowls, blue banded",
/// where the form's plain word is "cereal bowl". Nothing where their words aren't about such a piece.
fn own_word(description: &str, form: &str) -> Option<String> {
    let (main, after) = description.split_once(',').unwrap_or((description, ""));
    let mut words: Vec<&str> = after.split_whitespace().chain(main.split_whitespace()).collect();
    let (last, head) = (words.pop()?, form.split_whitespace().next_back()?);
    let named = [head.to_lowercase(), measure::plural(head).to_lowercase()].contains(&last.to_lowercase());
    let plain = |word: &&str| word.chars().all(|c| c.is_alphabetic() || matches!(c, '-' | '\'' | '&'));
    let fits = named && (1..=MOST_OWN_WORDS).contains(&words.len()) && words.iter().all(plain);
    fits.then(|| format!("{} {head}", words.join(" ")))
}

/// Most words before the noun, beyond which a description is a sentence (judgement).
const MOST_OWN_WORDS: usize = 5;

/// What stands between a flaw and its place: two blanks, which the reader takes as one.
const PLACE_MARK: &str = "  ";

/// Whether a piece is on the shelf and promised to nobody.
#[must_use]
pub fn waits(piece: &PieceRow) -> bool {
    piece.fate == "on hand" && piece.promised_to.is_none()
}

/// Pieces of a find in lots that can still be ordered.
pub(crate) fn listed(shop: &Shop, find: FindId) -> Result<u32, Stop> {
    let mut listed: u32 = 0;
    for state in shop.listings_of(find)? {
        let in_lot = state.entered.parts.iter().find(|part| part.find == find);
        let pieces = in_lot.map_or(0, |part| part.pieces.saturating_mul(state.available()));
        listed = listed.saturating_add(pieces);
    }
    Ok(listed)
}

/// A job out of records.
#[derive(Debug, Clone)]
pub struct RecordJob {
    /// The job.
    pub job: Job,
    /// Flaws that the condition words don't know; a listing has to say them in the person's own words.
    pub unread_flaws: Vec<String>,
    /// A text that is the same exactly when the job is.
    pub key: String,
}

/// A job sheet with the shop's settings and no find yet, the tables of the person's own that it may name, and the day.
#[derive(Debug, Clone)]
pub(crate) struct EmptySheet {
    pub(crate) table: Table,
    pub(crate) own: OwnTables,
    pub(crate) day: Date,
}

impl EmptySheet {
    pub(crate) fn read(shop: &Shop, day: Date) -> Result<Self, Stop> {
        let mut table: Table = sheet::usual().parse().map_err(|e: toml::de::Error| Stop::outside(e))?;
        put_settings(shop, &mut table)?;
        crate::set(&mut table, "post.date", Value::from(day.to_string()))?;
        Ok(Self { table, own: OwnTables::of(shop)?, day })
    }

    /// Names the venue that the lots are sold at, where one is said; gives whose terms stand in the sheet.
    pub(crate) fn sold_at(&mut self, venue: Option<&str>) -> Result<TermsOf, Stop> {
        match venue {
            None => Ok(TermsOf::Usual),
            Some(name) => self.own.venues.name_in(&mut self.table, name),
        }
    }
}

/// Reads a sheet of one find that is made of records. Flaws that can't be read are left out and told; comps are
/// as old as they are on `day`, whenever they were typed.
pub(crate) fn read_job(
    desk: &Desk,
    empty: &EmptySheet,
    find: Table,
    comps: &[(String, Date)],
) -> Result<RecordJob, Stop> {
    let EmptySheet { table, own, day } = empty;
    let (mut sheet, day) = (table.clone(), *day);
    own.put(&mut sheet, day)?;
    let named = own.named_by(&sheet);
    sheet.insert("find".to_owned(), Value::Array(vec![Value::Table(find)]));
    let mut unread = Vec::new();
    // Of a place in the person's own words ("low down, inside the rim") the last word is tried, with all of them as a
    // note; a flaw that still isn't known is left out. So the third reading has none that was refused.
    for round in 0..3 {
        let text = toml::to_string(&sheet).map_err(Stop::outside)?;
        match desk.read_with(&text, day, &|name| own.file(name)) {
            Ok(mut job) => {
                let mut key = text + &named;
                for (comp, (_, typed_on)) in job.finds.iter_mut().flat_map(|find| &mut find.comps).zip(comps)
                {
                    let since = f64::from((day - *typed_on).get_days().max(0));
                    comp.age_days += since;
                    key.push_str(&format!("# {since}\n"));
                }
                return Ok(RecordJob { job, unread_flaws: unread, key });
            }
            Err(problems) => {
                let refused: Vec<(usize, usize)> = problems.iter().filter_map(flaw_of).collect();
                if refused.len() < problems.len() || refused.is_empty() {
                    return Err(Stop::Input(told(&problems)));
                }
                unread.extend(mend_flaws(&mut sheet, &refused, round == 0));
            }
        }
    }
    Err(Stop::input("the flaws of this find can't be read"))
}

/// The piece and the flaw that a problem is about, from 0.
fn flaw_of(problem: &Problem) -> Option<(usize, usize)> {
    let number = |list: &str| -> Option<usize> {
        let after = problem.field.split_once(&format!("{list}["))?.1;
        after.split(']').next()?.parse::<usize>().ok()?.checked_sub(1)
    };
    Some((number("piece").unwrap_or(0), number("flaws")?))
}

/// Puts these flaws of the sheet's only find at the last word of their place, with all of its words as a note; or
/// takes them out and gives their lines.
fn mend_flaws(sheet: &mut Table, refused: &[(usize, usize)], may_note: bool) -> Vec<String> {
    let mut taken = Vec::new();
    let pieces = sheet
        .get_mut("find")
        .and_then(Value::as_array_mut)
        .and_then(|finds| finds.first_mut())
        .and_then(|find| find.get_mut("piece"))
        .and_then(Value::as_array_mut);
    for (k, piece) in pieces.into_iter().flatten().enumerate() {
        let Some(piece) = piece.as_table_mut() else { continue };
        let Some(list) = piece.get_mut("flaws").and_then(Value::as_array_mut) else { continue };
        let mut kept = Vec::new();
        for (number, line) in std::mem::take(list).into_iter().enumerate() {
            let text = line.as_str().unwrap_or("");
            match text.split_once(PLACE_MARK) {
                _ if !refused.contains(&(k, number)) => kept.push(line),
                Some((flaw, place)) if may_note => {
                    let last = place.split_whitespace().next_back().unwrap_or(place);
                    kept.push(Value::from(format!("{flaw}{PLACE_MARK}{last}; {place}")));
                }
                Some(_) | None => {
                    // What was tried before is told as it was typed.
                    let told = text.split_once(PLACE_MARK).map_or(text.to_owned(), |(flaw, place)| {
                        format!("{flaw}, {}", place.split_once("; ").map_or(place, |(_, own)| own))
                    });
                    taken.push(told.strip_prefix("1 ").unwrap_or(&told).to_owned());
                }
            }
        }
        if kept.is_empty() {
            piece.remove("flaws");
        } else {
            piece.insert("flaws".to_owned(), Value::Array(kept));
        }
    }
    taken
}

fn told(problems: &[Problem]) -> String {
    let lines: Vec<String> = problems
        .iter()
        .map(|one| format!("{}: {}; right would be: {}", one.field, one.message, one.right))
        .collect();
    format!("its records can't be worked with: {}", lines.join("; "))
}

#[cfg(test)]
mod tests {
    use super::own_word;

    #[test]
    fn a_piece_is_called_by_the_persons_own_words_where_they_are_about_such_a_piece() {
        for (description, form, word) in [
            ("blue banded soup bowls", "cereal bowl", Some("blue banded soup bowl")),
            ("soup bowls, blue banded", "cereal bowl", Some("blue banded soup bowl")),
            ("Brown Cups", "consomme cup", Some("Brown cup")),
            ("brown cup", "consomme cup", Some("brown cup")),
            ("cups", "consomme cup", None),
            ("mugs, 11 fl oz", "mug", None),
            ("4 white mugs", "mug", None),
            ("brown things", "consomme cup", None),
            ("what was left on the lower shelf of the mugs", "mug", None),
            ("", "mug", None),
            (",", "mug", None),
        ] {
            assert_eq!(own_word(description, form).as_deref(), word, "{description}");
        }
    }
}
