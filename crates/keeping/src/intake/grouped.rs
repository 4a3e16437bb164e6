//! Rows with the same number are one thing: all of it comes in, or none of it.

use std::collections::BTreeMap;

use super::LeftOut;
use super::columns::Told;

/// A row of a group with what was read from it.
pub(super) struct Member<'a, T> {
    pub(super) told: Told<'a>,
    pub(super) read: T,
}

/// Reads rows into groups by their number. A row that can't be read leaves its whole group out.
pub(super) fn groups<'a, T>(
    word: &'static str,
    rows: &[Told<'a>],
    read: impl Fn(&Told<'a>) -> Result<T, String>,
    left_out: &mut Vec<LeftOut>,
) -> Vec<(String, Vec<Member<'a, T>>)> {
    let mut groups: BTreeMap<&'a str, Vec<Told<'a>>> = BTreeMap::new();
    for row in rows {
        match row.needed("ref", &format!("the number of the {word} where it comes from")) {
            Ok(number) => groups.entry(number).or_default().push(*row),
            Err(reason) => left_out.push(LeftOut { line: row.row.line, reason }),
        }
    }
    let mut whole = Vec::with_capacity(groups.len());
    for (number, rows) in groups {
        let (mut members, mut wrong) = (Vec::with_capacity(rows.len()), Vec::new());
        for told in &rows {
            match read(told) {
                Ok(read) => members.push(Member { told: *told, read }),
                Err(reason) => wrong.push((told.row.line, reason)),
            }
        }
        if wrong.is_empty() {
            whole.push((number.to_owned(), members));
        } else {
            let lines: Vec<u64> = rows.iter().map(|told| told.row.line).collect();
            leave_out(&format!("{word} {number}"), &lines, &wrong, left_out);
        }
    }
    whole
}

/// Leaves a whole group out: the lines that are wrong say why, the others point to the first of these.
pub(super) fn leave_out(group: &str, lines: &[u64], wrong: &[(u64, String)], left_out: &mut Vec<LeftOut>) {
    let Some((first, _)) = wrong.iter().min_by_key(|(line, _)| line) else { return };
    for &line in lines {
        let reason = match wrong.iter().find(|(at, _)| *at == line) {
            Some((_, reason)) => reason.clone(),
            None => format!("{group} is left out because of line {first}"),
        };
        left_out.push(LeftOut { line, reason });
    }
}

/// What a column says of the whole group: what stands on any of its rows, the same wherever it stands.
pub(super) fn one<'a, T>(
    word: &str,
    members: &[Member<'a, T>],
    column: &str,
) -> Result<Option<&'a str>, (u64, String)> {
    let mut found: Option<(u64, &str)> = None;
    for member in members {
        let Some(text) = member.told.given(column) else { continue };
        let line = member.told.row.line;
        match found {
            None => found = Some((line, text)),
            Some((_, known)) if known == text => {}
            Some((at, known)) => {
                return Err((
                    line,
                    format!(
                        "{column} is {} here and {} on line {at} of the same {word}; right would be the same",
                        super::cell::quoted(text),
                        super::cell::quoted(known)
                    ),
                ));
            }
        }
    }
    Ok(found.map(|(_, text)| text))
}

/// The same of a column that one row at least must fill.
pub(super) fn one_needed<'a, T>(
    word: &str,
    members: &[Member<'a, T>],
    column: &str,
) -> Result<&'a str, (u64, String)> {
    let first = members.iter().map(|member| member.told.row.line).min().unwrap_or(0);
    one(word, members, column)?.ok_or_else(|| {
        (first, format!("{column} is empty; right would be to fill it on a row of the {word}"))
    })
}
