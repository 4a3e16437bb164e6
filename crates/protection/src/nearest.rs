//! What may have been meant by an unknown name.

pub(crate) use measure::plain;

/// Lists no longer than this are given whole when nothing in them is near.
const SHORT: usize = 6;

/// The nearest of `known`, or all of a short list when none is near.
pub(crate) fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let all: Vec<&str> = known.into_iter().collect();
    let near = measure::nearest(typed, all.iter().copied());
    if near.is_empty() && all.len() <= SHORT { all.into_iter().map(str::to_owned).collect() } else { near }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_list_is_given_whole_when_nothing_is_near() {
        assert_eq!(nearest("hexagon", ["sheet", "tube"]), ["sheet", "tube"]);
        let long = ["bubble_small", "bubble_large", "tissue", "kraft", "foam_8", "foam_4", "newsprint"];
        assert!(nearest("xyzzy", long).is_empty());
    }
}
