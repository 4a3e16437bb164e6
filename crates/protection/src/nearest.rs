//! Names as people type them, and the nearest right one.

/// Most suggestions a message offers.
const MOST: usize = 3;

/// A name without case and without anything but letters and figures, so that "32-ECT" meets "32 ECT".
pub(crate) fn plain(name: &str) -> String {
    name.chars().flat_map(char::to_lowercase).filter(|c| c.is_alphanumeric()).collect()
}

/// Up to three of `known` that `typed` may have meant, the nearest first; all of a short list when none
/// is near.
pub(crate) fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let all: Vec<&str> = known.into_iter().collect();
    let wanted = plain(typed);
    let mut ranked: Vec<(usize, &str)> =
        all.iter().filter_map(|name| Some((rank(&wanted, name)?, *name))).collect();
    ranked.sort_unstable();
    ranked.dedup();
    if ranked.is_empty() && all.len() <= 2 * MOST {
        return all.into_iter().map(str::to_owned).collect();
    }
    ranked.into_iter().take(MOST).map(|(_, name)| name.to_owned()).collect()
}

/// How far a known name is from what was typed; `None` when too far to be meant.
fn rank(wanted: &str, name: &str) -> Option<usize> {
    let name = plain(name);
    let slips = strsim::damerau_levenshtein(wanted, &name);
    let allowed = (wanted.chars().count() / 3).clamp(1, 4);
    if slips <= allowed {
        return Some(slips);
    }
    let holds = wanted.chars().count() >= 3 && (name.contains(wanted) || wanted.contains(&name));
    holds.then_some(allowed + slips)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_nonsense_finds_none_in_a_long_list() {
        let known = ["bubble_small", "bubble_large", "tissue", "kraft", "foam_8", "foam_4", "newsprint"];
        assert_eq!(nearest("bubble smal", known)[0], "bubble_small");
        assert!(nearest("xyzzy", known).is_empty());
    }

    #[test]
    fn a_short_list_is_given_whole_when_nothing_is_near() {
        assert_eq!(nearest("hexagon", ["sheet", "tube"]), ["sheet", "tube"]);
    }
}
