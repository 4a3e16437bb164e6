//! The one rule by which words of a count are written.

/// The plural of an English word or phrase, by its end; what doesn't end in a Latin letter stays as it is.
///
/// ```
/// assert_eq!(measure::plural("soup dish"), "soup dishes");
/// assert_eq!(measure::plural("knife"), "knives");
/// ```
#[must_use]
pub fn plural(phrase: &str) -> String {
    // Of "cup, two-handled" the cup is what is counted.
    if let Some((counted, said)) = phrase.split_once(", ") {
        return format!("{}, {said}", plural(counted));
    }
    let lower = phrase.to_ascii_lowercase();
    let cut = |letters: usize, ending: &str| {
        let keep = phrase.len().saturating_sub(letters);
        format!("{}{ending}", phrase.get(..keep).unwrap_or(phrase))
    };
    let irregular = ["knife", "loaf", "shelf", "leaf", "half", "calf"];
    let vowel_before_y = ["ay", "ey", "oy", "uy"].iter().any(|end| lower.ends_with(end));
    if !lower.ends_with(|c: char| c.is_ascii_lowercase()) {
        phrase.to_owned()
    } else if lower.ends_with("foot") {
        cut(3, "eet")
    } else if irregular.iter().any(|word| lower.ends_with(word)) {
        if lower.ends_with("fe") { cut(2, "ves") } else { cut(1, "ves") }
    } else if lower.ends_with('y') && !vowel_before_y {
        cut(1, "ies")
    } else if ["s", "x", "z", "ch", "sh"].iter().any(|end| lower.ends_with(end)) {
        format!("{phrase}es")
    } else {
        format!("{phrase}s")
    }
}

/// A count with its phrase: "1 cup", "6 cups, two-handled".
///
/// ```
/// assert_eq!(measure::counted(6, "consomme cup, two-handled"), "6 consomme cups, two-handled");
/// assert_eq!(measure::counted(1, "mug"), "1 mug");
/// ```
#[must_use]
pub fn counted(count: u32, phrase: &str) -> String {
    if count == 1 { format!("1 {phrase}") } else { format!("{count} {}", plural(phrase)) }
}
