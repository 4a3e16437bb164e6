//! Lots of a split as a person writes them.

/// Most lots of one decision.
const MOST_LOTS: u32 = 1000;

/// Lots as a person writes them: "2 x 4 + 1 x 3", or "4, 4, 3"; each at least one piece.
pub(super) fn read_lots(text: &str) -> Result<Vec<u32>, String> {
    let right = "right would be: 2 x 4 + 1 x 3 for two lots of 4 and one of 3, or: 4, 4, 3";
    let mut lots = Vec::new();
    for part in text.split(['+', ',', ';']) {
        let wrong = || format!("\"{}\" says no lots; {right}", crate::form::short(part.trim()));
        let (times, size) = part.split_once(['x', 'X', '\u{d7}']).unwrap_or(("1", part));
        let [times, size] = [times, size].map(|figure| figure.trim().parse::<u32>());
        let (times, size) = times.ok().zip(size.ok()).ok_or_else(wrong)?;
        if times == 0 || size == 0 || size > MOST_LOTS {
            return Err(wrong());
        }
        if u32::try_from(lots.len()).unwrap_or(u32::MAX).saturating_add(times) > MOST_LOTS {
            return Err(format!("these are more than {MOST_LOTS} lots; {right}"));
        }
        lots.extend((0..times).map(|_| size));
    }
    lots.sort_unstable_by(|a, b| b.cmp(a));
    Ok(lots)
}

/// Lots in words as part of an address: figures, x, plus and blanks.
pub(super) fn coded(lots: &str) -> String {
    lots.replace('+', "%2B").replace(' ', "%20")
}

#[cfg(test)]
mod tests {
    use super::{coded, read_lots};

    #[test]
    fn lots_are_read_as_they_are_written_and_the_largest_come_first() {
        assert_eq!(read_lots("2 x 4 + 1 x 3"), Ok(vec![4, 4, 3]));
        assert_eq!(read_lots("3, 4,4"), Ok(vec![4, 4, 3]));
        assert_eq!(read_lots("6"), Ok(vec![6]));
        for wrong in [
            "",
            "nothing",
            "0 x 4",
            "4 x 0",
            "2 x",
            "x",
            "-1",
            "1001",
            "4 + ",
            "4000000000 x 1",
            "999 x 1 + 2 x 1",
        ] {
            assert!(read_lots(wrong).is_err_and(|why| why.contains("right would be")), "{wrong}");
        }
    }

    #[test]
    fn what_is_coded_has_no_plus_that_would_read_as_a_blank() {
        assert_eq!(coded("2 x 4 + 1 x 3"), "2%20x%204%20%2B%201%20x%203");
    }
}
