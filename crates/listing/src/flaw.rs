//! A flaw, and the line that says it: how many pieces, what, how large, where.

use measure::{Length, Units};

use crate::{Conditions, ListingError, Needs, Place, SizeFit, Term};

/// Most flaw words that a title carries before it says "As Is". Source: judgement.
const MOST_IN_TITLE: usize = 2;
/// Slack for sizes that are a sixteenth of an inch but for rounding, in sixteenths (or mm).
const ROUNDING: f64 = 1e-6;

/// A flaw, a sign of wear or a mark that some pieces of a lot have.
#[derive(Debug, Clone, PartialEq)]
pub struct Flaw {
    /// A term of the vocabulary, by id, name or synonym.
    pub term: String,
    /// Where it is.
    pub place: Option<Place>,
    /// How large it is; more than 0.
    pub size: Option<Length>,
    /// How many pieces of the lot have it, from 1.
    pub pieces: u32,
    /// Anything else to say; may be empty.
    pub note: String,
}

impl Conditions {
    /// The term of a flaw, once all that must be said with it is there.
    ///
    /// # Errors
    /// An unknown term, a count outside 1 to `count`, a missing place or size, or a term too small for the
    /// size (the message gives the right one).
    pub fn check(&self, flaw: &Flaw, count: u32) -> Result<&Term, ListingError> {
        let term = self.find(&flaw.term)?;
        if flaw.pieces == 0 || flaw.pieces > count {
            return Err(ListingError::FlawCount { term: term.name.clone(), pieces: flaw.pieces, count });
        }
        for needs in &term.needs {
            let (there, example) = match needs {
                Needs::Place => (flaw.place.is_some(), format!("1 {} 1/2 in rim", term.name)),
                Needs::Size => (flaw.size.is_some(), format!("1 {} 1/2 in rim", term.name)),
            };
            if !there {
                return Err(ListingError::FlawNeeds {
                    term: term.name.clone(),
                    needs: needs.word(),
                    example,
                });
            }
        }
        if let Some(size) = flaw.size {
            if !(size.mm().is_finite() && size > Length::ZERO) {
                return Err(ListingError::FlawSize { term: term.name.clone() });
            }
            match self.size_fit(term, size) {
                SizeFit::Right | SizeFit::Overstated(_) => {}
                SizeFit::Understated(right) => {
                    return Err(ListingError::Understated {
                        term: term.name.clone(),
                        size: size.write(Units::UsCustomary),
                        bound: term.bound.text(),
                        right: right.name.clone(),
                    });
                }
            }
        }
        Ok(term)
    }

    /// The condition line of a flaw, always with its count: "1 of 4: hairline, 1 1/2 in, at the rim".
    ///
    /// `count` is how many pieces of this kind a lot has; `noun` stands after it where a lot has several
    /// kinds ("1 of 4 saucers: ..."), and may be empty. Sizes are rounded up, to a sixteenth of an inch or
    /// to a millimetre, so that no flaw is made smaller than it is.
    ///
    /// # Errors
    /// As [`Conditions::check`].
    pub fn line(&self, flaw: &Flaw, count: u32, noun: &str, units: Units) -> Result<String, ListingError> {
        let term = self.check(flaw, count)?;
        let gap = if noun.is_empty() { "" } else { " " };
        let mut line = format!("{} of {count}{gap}{noun}: {}", flaw.pieces, term.name);
        if let Some(size) = flaw.size {
            line.push_str(", ");
            line.push_str(&rounded_up(size, units));
        }
        if let Some(place) = flaw.place {
            line.push_str(", ");
            line.push_str(place.phrase());
        }
        let note = flaw.note.split_whitespace().collect::<Vec<_>>().join(" ");
        if !note.is_empty() {
            line.push_str("; ");
            line.push_str(&note);
        }
        Ok(line)
    }

    /// The words for a title that bad news must carry: the worst damage first, two terms at most and then
    /// "As Is"; `None` when nothing is bad enough. Unknown terms are passed over here; [`Conditions::check`]
    /// refuses them.
    #[must_use]
    pub fn title_flag<'a>(&self, flaws: impl IntoIterator<Item = &'a Flaw>) -> Option<String> {
        let mut bad: Vec<&Term> = flaws
            .into_iter()
            .filter_map(|flaw| self.get(&flaw.term))
            .filter(|term| term.goes_in_title())
            .collect();
        bad.sort_by(|a, b| b.severity.1.cmp(&a.severity.1).then_with(|| a.name.cmp(&b.name)));
        bad.dedup_by(|a, b| a.id == b.id);
        let mut words: Vec<&str> = bad.iter().take(MOST_IN_TITLE).map(|term| term.name.as_str()).collect();
        if bad.len() > MOST_IN_TITLE {
            words.push("as is");
        }
        (!words.is_empty()).then(|| words.join(" "))
    }
}

/// A size rounded up to what a tape shows.
fn rounded_up(size: Length, units: Units) -> String {
    match units {
        Units::UsCustomary => {
            let sixteenths = (size.inches() * 16.0 - ROUNDING).ceil();
            Length::from_inches(sixteenths / 16.0).write(units)
        }
        Units::Metric => Length::from_mm((size.mm() - ROUNDING).ceil()).write(units),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flaw(term: &str, size: Option<Length>) -> Flaw {
        Flaw { term: term.to_owned(), place: Some(Place::Rim), size, pieces: 1, note: String::new() }
    }

    #[test]
    fn a_size_in_a_line_is_never_smaller_than_the_flaw() {
        let conditions = Conditions::published();
        let hairline = flaw("hairline", Some(Length::from_inches(1.51)));
        let line = |units| conditions.line(&hairline, 4, "", units).unwrap();
        assert_eq!(line(Units::UsCustomary), "1 of 4: hairline, 1 9/16 in, at the rim");
        assert_eq!(line(Units::Metric), "1 of 4: hairline, 39 mm, at the rim");
        let tiny = flaw("flea bite", Some(Length::from_mm(0.3)));
        assert_eq!(
            conditions.line(&tiny, 2, "cups", Units::UsCustomary).unwrap(),
            "1 of 2 cups: flea bite, 1/16 in, at the rim"
        );
    }

    #[test]
    fn the_title_carries_the_worst_damage_and_only_that() {
        let conditions = Conditions::published();
        let some = |terms: &[&str]| {
            let flaws: Vec<Flaw> = terms.iter().map(|term| flaw(term, None)).collect();
            conditions.title_flag(&flaws)
        };
        assert_eq!(some(&["flea bite", "shelf wear", "stained crazing"]), None);
        assert_eq!(some(&["chip", "hairline", "chip", "crazing"]).as_deref(), Some("chip hairline"));
        assert_eq!(some(&["chip", "crack", "hairline"]).as_deref(), Some("crack chip as is"));
    }
}
