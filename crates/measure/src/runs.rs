//! Numbers in a row, written short.

/// Numbers with commas, runs of three or more as "4 to 9": "1 to 3, 7, 9, 10".
#[must_use]
pub fn runs(numbers: &[u32]) -> String {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(number) => *last = number,
            Some(_) | None => runs.push((number, number)),
        }
    }
    let run = |&(from, to): &(u32, u32)| match to - from {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from} to {to}"),
    };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::runs;

    #[test]
    fn runs_of_numbers_are_written_short() {
        assert_eq!(runs(&[1, 2, 3, 7, 9, 10]), "1 to 3, 7, 9, 10");
        assert_eq!((runs(&[]).as_str(), runs(&[u32::MAX]).as_str()), ("", "4294967295"));
    }
}
