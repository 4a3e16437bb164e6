//! Reading lengths, masses and volumes as people type them.

use crate::amount::{Amount, take_amount};
use crate::{Length, LengthUnit, Mass, MassUnit, Volume, VolumeUnit};

/// Longest length that is believed: a kilometre.
const LARGEST_LENGTH: Length = Length::from_mm(1e6);
/// Largest mass that is believed: ten tonnes.
const LARGEST_MASS: Mass = Mass::from_grams(1e7);
/// Largest volume that is believed: a thousand cubic metres.
const LARGEST_VOLUME: Volume = Volume::from_mm3(1e12);

/// Why a typed figure could not be read; the message quotes it and shows a right one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Nothing was typed.
    #[error("the {what} is empty; write for example `{example}`")]
    Empty {
        /// What was asked for.
        what: &'static str,
        /// A right one.
        example: &'static str,
    },
    /// The figure itself is malformed.
    #[error("the {what} `{text}` could not be read: {reason}; write for example `{example}`")]
    Figure {
        /// What was asked for.
        what: &'static str,
        /// What was typed.
        text: String,
        /// What is wrong with it.
        reason: &'static str,
        /// A right one.
        example: &'static str,
    },
    /// A bare number where no unit was agreed.
    #[error("the {what} `{text}` has no unit, and none is guessed; write for example `{example}`")]
    MissingUnit {
        /// What was asked for.
        what: &'static str,
        /// What was typed.
        text: String,
        /// A right one.
        example: &'static str,
    },
    /// A word that is not a unit of this quantity.
    #[error("the {what} `{text}` has `{word}` where a unit was expected; write for example `{example}`")]
    UnknownUnit {
        /// What was asked for.
        what: &'static str,
        /// What was typed.
        text: String,
        /// The word.
        word: String,
        /// A right one.
        example: &'static str,
    },
    /// A quantity below nothing.
    #[error("a {what} can't be negative: `{text}`; write for example `{example}`")]
    Negative {
        /// What was asked for.
        what: &'static str,
        /// What was typed.
        text: String,
        /// A right one.
        example: &'static str,
    },
    /// Zero where something was needed.
    #[error("the {what} `{text}` must be more than zero; write for example `{example}`")]
    Zero {
        /// What was asked for.
        what: &'static str,
        /// What was typed.
        text: String,
        /// A right one.
        example: &'static str,
    },
    /// Past what is believed.
    #[error("the {what} `{text}` is past {limit}, the most that is accepted; write for example `{example}`")]
    TooLarge {
        /// What was asked for.
        what: &'static str,
        /// What was typed.
        text: String,
        /// The limit in words.
        limit: &'static str,
        /// A right one.
        example: &'static str,
    },
}

/// A short, printable quotation of what was typed.
pub(crate) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let text = text.trim();
    let mut shown: String =
        text.chars().take(LONGEST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

/// What reading needs to know of a quantity.
struct Kind<Q: 'static, U: 'static> {
    what: &'static str,
    example: &'static str,
    limit: &'static str,
    largest: Q,
    unit: fn(&str) -> Option<U>,
    of: fn(U, f64) -> Q,
}

const LENGTH: Kind<Length, LengthUnit> = Kind {
    what: "length",
    example: "3 1/4 in",
    limit: "1 km",
    largest: LARGEST_LENGTH,
    unit: LengthUnit::from_word,
    of: LengthUnit::of,
};
const MASS: Kind<Mass, MassUnit> = Kind {
    what: "weight",
    example: "1 lb 3.5 oz",
    limit: "10 tonnes",
    largest: LARGEST_MASS,
    unit: MassUnit::from_word,
    of: MassUnit::of,
};
const VOLUME: Kind<Volume, VolumeUnit> = Kind {
    what: "volume",
    example: "0.75 ft3",
    limit: "1,000 cubic metres",
    largest: LARGEST_VOLUME,
    unit: VolumeUnit::from_words,
    of: VolumeUnit::of,
};

impl<Q, U> Kind<Q, U>
where
    Q: Copy + PartialOrd + Default + std::ops::Add<Output = Q> + std::ops::Div<Output = f64>,
    U: Copy,
{
    fn figure(&self, text: &str, reason: &'static str) -> ReadError {
        ReadError::Figure { what: self.what, text: quoted(text), reason, example: self.example }
    }

    /// Checks for emptiness and sign before any figure is taken.
    fn begin<'a>(&self, text: &'a str) -> Result<&'a str, ReadError> {
        let body = text.trim();
        if body.is_empty() {
            return Err(ReadError::Empty { what: self.what, example: self.example });
        }
        if body.starts_with(['-', '−', '–']) {
            return Err(ReadError::Negative { what: self.what, text: quoted(text), example: self.example });
        }
        Ok(body)
    }

    fn check(&self, text: &str, total: Q) -> Result<Q, ReadError> {
        // Written so that a figure that is not a number fails as well.
        if total >= Q::default() && total <= self.largest {
            Ok(total)
        } else {
            Err(ReadError::TooLarge {
                what: self.what,
                text: quoted(text),
                limit: self.limit,
                example: self.example,
            })
        }
    }

    fn positive(&self, text: &str, read: Q) -> Result<Q, ReadError> {
        if read > Q::default() {
            Ok(read)
        } else {
            Err(ReadError::Zero { what: self.what, text: quoted(text), example: self.example })
        }
    }

    fn unit_of(&self, text: &str, word: &str, bare: Option<U>) -> Result<U, ReadError> {
        if word.is_empty() {
            return bare.ok_or(ReadError::MissingUnit {
                what: self.what,
                text: quoted(text),
                example: self.example,
            });
        }
        (self.unit)(word).ok_or_else(|| ReadError::UnknownUnit {
            what: self.what,
            text: quoted(text),
            word: quoted(word),
            example: self.example,
        })
    }

    /// One or more figures, each with its unit, from the larger unit to the smaller.
    fn read_parts(&self, text: &str, bare: Option<U>) -> Result<Q, ReadError> {
        let mut rest = self.begin(text)?;
        let mut total = Q::default();
        let mut before: Option<(Amount, Q)> = None;
        while !rest.is_empty() {
            let (amount, after) = take_amount(rest).map_err(|reason| self.figure(text, reason))?;
            let (word, after) = take_word(after);
            // A sheet's own unit fills in for a lone figure only.
            let agreed = if before.is_none() && after.is_empty() { bare } else { None };
            let unit = self.unit_of(text, word, agreed)?;
            let part = (self.of)(unit, amount.value);
            let one = (self.of)(unit, 1.0);
            if let Some((larger, larger_one)) = before {
                self.check_step(text, larger, larger_one / one, amount)?;
            }
            total = total + part;
            before = Some((amount, one));
            rest = after;
        }
        self.check(text, total)
    }

    /// A second part must be of a smaller unit that divides the first, and less than one of it.
    fn check_step(&self, text: &str, larger: Amount, ratio: f64, amount: Amount) -> Result<(), ReadError> {
        if !larger.whole {
            return Err(self.figure(text, "only the last part may have a fraction"));
        }
        if ratio < 1.5 || (ratio - ratio.round()).abs() > 1e-6 {
            return Err(self.figure(text, "its parts must go from a larger to a smaller unit of one system"));
        }
        if amount.value >= ratio {
            return Err(self.figure(text, "the smaller part makes up one or more of the larger"));
        }
        Ok(())
    }
}

/// Takes a word or a foot or inch mark; what follows comes back with leading blanks removed.
fn take_word(text: &str) -> (&str, &str) {
    let is_mark = |c: char| matches!(c, '"' | '″' | '”' | '\'' | '′' | '’');
    let marked = text.starts_with(is_mark);
    let end = text
        .find(|c: char| if marked { !is_mark(c) } else { !(c.is_alphabetic() || c == '.') })
        .unwrap_or(text.len());
    if end == 0 {
        // Whatever stands there is not a unit; quoting all of it makes the error exact.
        return (text, "");
    }
    let (word, rest) = text.split_at(end);
    (word, rest.trim_start())
}

impl Length {
    /// Reads a length: `3 1/4 in`, `3-1/4"`, `3.25"`, `3¼″`, `8.3cm`, `83 mm`, `1 ft 2 in`, `1/2 in`.
    ///
    /// `bare` is the unit of a number that stands alone, as the sheet it comes from declares;
    /// with `None` such a number is an error. Zero is read; see [`Length::read_positive`].
    ///
    /// # Errors
    /// When the text is empty, malformed, without a unit, negative or past a kilometre.
    pub fn read(text: &str, bare: Option<LengthUnit>) -> Result<Self, ReadError> {
        LENGTH.read_parts(text, bare)
    }

    /// Reads a length that must be more than zero.
    ///
    /// # Errors
    /// As [`Length::read`], and when it is zero.
    pub fn read_positive(text: &str, bare: Option<LengthUnit>) -> Result<Self, ReadError> {
        LENGTH.positive(text, Self::read(text, bare)?)
    }
}

impl Mass {
    /// Reads a weight: `1 lb 3.5 oz`, `1lb`, `15 1/2 oz`, `540 g`, `0.54 kg`.
    ///
    /// `bare` is the unit of a number that stands alone, as the sheet it comes from declares;
    /// with `None` such a number is an error. Zero is read; see [`Mass::read_positive`].
    ///
    /// # Errors
    /// When the text is empty, malformed, without a unit, negative or past ten tonnes.
    pub fn read(text: &str, bare: Option<MassUnit>) -> Result<Self, ReadError> {
        MASS.read_parts(text, bare)
    }

    /// Reads a weight that must be more than zero.
    ///
    /// # Errors
    /// As [`Mass::read`], and when it is zero.
    pub fn read_positive(text: &str, bare: Option<MassUnit>) -> Result<Self, ReadError> {
        MASS.positive(text, Self::read(text, bare)?)
    }
}

impl Volume {
    /// Reads a volume: `0.75 ft3`, `3 1/2 cu ft`, `120 in3`, `21.2 L`. The unit must be written.
    ///
    /// # Errors
    /// When the text is empty, malformed, without a unit, negative or past 1,000 cubic metres.
    pub fn read(text: &str) -> Result<Self, ReadError> {
        let body = VOLUME.begin(text)?;
        let (amount, words) = take_amount(body).map_err(|reason| VOLUME.figure(text, reason))?;
        let unit = VOLUME.unit_of(text, words, None)?;
        VOLUME.check(text, unit.of(amount.value))
    }

    /// Reads a volume that must be more than zero.
    ///
    /// # Errors
    /// As [`Volume::read`], and when it is zero.
    pub fn read_positive(text: &str) -> Result<Self, ReadError> {
        VOLUME.positive(text, Self::read(text)?)
    }
}
