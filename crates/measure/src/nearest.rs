//! Names as people type them, and the nearest right one.

/// Most suggestions a message offers.
const MOST: usize = 3;
/// Longer words are not compared, so that a hostile one costs nothing.
const LONGEST: usize = 80;

/// A name without case, spaces, hyphens, dots and accents, so that "No. 8 Skillet" meets "no-8 skillet".
#[must_use]
pub fn plain(name: &str) -> String {
    name.chars().flat_map(char::to_lowercase).map(without_accent).filter(|c| c.is_alphanumeric()).collect()
}

/// The bare letter under the accents that trade names of pieces carry.
const fn without_accent(letter: char) -> char {
    match letter {
        'à' | 'á' | 'â' | 'ä' => 'a',
        'ç' => 'c',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ñ' => 'n',
        'ò' | 'ó' | 'ô' | 'ö' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        other => other,
    }
}

/// Up to three of `known` that `typed` may have meant, the nearest first.
///
/// Near is: few slips of the keyboard for the length, or one name holding the other.
#[must_use]
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let typed = plain(typed);
    if typed.is_empty() || typed.len() > LONGEST {
        return Vec::new();
    }
    let mut ranked: Vec<(usize, &str)> =
        known.into_iter().filter_map(|name| Some((rank(&typed, name)?, name))).collect();
    ranked.sort();
    ranked.dedup_by(|a, b| a.1 == b.1);
    ranked.into_iter().take(MOST).map(|(_, name)| name.to_owned()).collect()
}

/// How far a known name is from what was typed; `None` when too far to be meant.
fn rank(typed: &str, name: &str) -> Option<usize> {
    let name = plain(name);
    let slips = strsim::damerau_levenshtein(typed, &name);
    let allowed = (typed.chars().count() / 3).clamp(1, 4);
    if slips <= allowed {
        return Some(slips);
    }
    let holds = typed.chars().count() >= 3 && (name.contains(typed) || typed.contains(&name));
    // Names that hold one another come after every mere slip, the closest in length first.
    holds.then_some(allowed + slips)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_forgets_case_spaces_hyphens_dots_and_accents() {
        assert_eq!(plain("No. 8 Skillet"), plain("no-8_skillet"));
        assert_eq!(plain("Consommé Cup"), "consommecup");
    }

    #[test]
    fn a_slip_ranks_before_a_name_that_holds_the_other() {
        let known = ["pressed goblet", "goblet", "mug"];
        assert_eq!(nearest("gobblet", known)[0], "goblet");
        assert_eq!(nearest("goblet", known), ["goblet", "pressed goblet"]);
        assert!(nearest("xyzzy", known).is_empty());
        assert!(nearest("  ", known).is_empty());
        assert!(nearest(&"m".repeat(5000), known).is_empty());
    }
}
