//! Pieces as people write them: "3:1,2" is pieces 1 and 2 of find 3.

use books::FindId;
use shop::PieceRef;

/// Most pieces that one range may name (a find has no more).
const MOST_NUMBERS: u32 = 100_000;

/// Pieces of a find, such as "3:1,2" (pieces 1 and 2 of find 3) or "3:4-6".
///
/// # Errors
/// What is wrong with it, and an example of what is right.
pub fn pieces_told(text: &str) -> Result<(FindId, Vec<u32>), String> {
    let wrong = || {
        format!(
            "\"{text}\" doesn't say which pieces of which find; right would be \"3:1,2\" for pieces 1 and 2 of \
             find 3, or \"3:4-6\""
        )
    };
    let (find, rest) = text.split_once(':').ok_or_else(wrong)?;
    let find = find.trim().parse().map(FindId).map_err(|_| wrong())?;
    let mut numbers = Vec::new();
    for part in rest.split(',') {
        let (from, to) = part.split_once('-').unwrap_or((part, part));
        let [from, to] = [from, to].map(|figure| figure.trim().parse::<u32>());
        match (from, to) {
            (Ok(from), Ok(to)) if 1 <= from && from <= to && to - from < MOST_NUMBERS => {
                numbers.extend(from..=to);
            }
            (Ok(_) | Err(_), Ok(_) | Err(_)) => return Err(wrong()),
        }
    }
    Ok((find, numbers))
}

/// Pieces of several finds, with ";" or a new line between them: "3:1,2; 4:1-6".
///
/// # Errors
/// As [`pieces_told`]; also where nothing is told.
pub fn pieces_of_finds(text: &str) -> Result<Vec<PieceRef>, String> {
    let mut all = Vec::new();
    for part in text.split([';', '\n']).map(str::trim).filter(|part| !part.is_empty()) {
        let (find, numbers) = pieces_told(part)?;
        all.extend(numbers.into_iter().map(|number| PieceRef { find, number }));
    }
    if all.is_empty() { pieces_told(text.trim()).map(|_| all) } else { Ok(all) }
}

/// One piece: "3:1".
///
/// # Errors
/// As [`pieces_told`]; also where several are told.
pub fn one_piece(text: &str) -> Result<PieceRef, String> {
    let (find, numbers) = pieces_told(text.trim())?;
    match numbers.as_slice() {
        [number] => Ok(PieceRef { find, number: *number }),
        _ => Err(format!("\"{}\" is several pieces; right would be one, \"1:3\"", text.trim())),
    }
}

/// Pieces as [`pieces_of_finds`] reads them, the finds in their order.
#[must_use]
pub fn pieces_written(pieces: &[PieceRef]) -> String {
    let mut sorted = pieces.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let mut finds: Vec<(FindId, Vec<(u32, u32)>)> = Vec::new();
    for piece in sorted {
        let runs = match finds.last_mut() {
            Some((find, runs)) if *find == piece.find => runs,
            Some(_) | None => {
                finds.push((piece.find, vec![(piece.number, piece.number)]));
                continue;
            }
        };
        match runs.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(piece.number) => *last = piece.number,
            Some(_) | None => runs.push((piece.number, piece.number)),
        }
    }
    let run = |&(from, to): &(u32, u32)| if from == to { from.to_string() } else { format!("{from}-{to}") };
    let of_find = |(find, runs): &(FindId, Vec<(u32, u32)>)| {
        format!("{find}:{}", runs.iter().map(run).collect::<Vec<_>>().join(","))
    };
    finds.iter().map(of_find).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // A test fails by panicking.
mod tests {
    use super::*;

    #[test]
    fn pieces_are_read_with_runs_and_refused_with_an_example() {
        assert_eq!(pieces_told("3:1, 4-6").unwrap(), (FindId(3), vec![1, 4, 5, 6]));
        for wrong in ["", "3", "3:", "3:0", "3:6-4", "x:1", "3:1-4294967295", "3:-1", "3:1,,2"] {
            let why = pieces_told(wrong).unwrap_err();
            assert!(why.contains("right would be"), "{why}");
            assert!(pieces_of_finds(wrong).is_err(), "{wrong}");
        }
        assert!(one_piece("3:1,2").unwrap_err().contains("several"));
    }

    #[test]
    fn what_is_written_is_read_as_it_was() {
        let pieces = pieces_of_finds("4:2 ; 3:1-3,7\n4:1").unwrap();
        let written = pieces_written(&pieces);
        assert_eq!(written, "3:1-3,7; 4:1-2");
        let mut sorted = pieces;
        sorted.sort_unstable();
        assert_eq!(pieces_of_finds(&written).unwrap(), sorted);
        assert_eq!(pieces_written(&[]), "");
    }
}
