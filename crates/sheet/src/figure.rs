//! Lengths, weights, sizes and money of the sheet, with the unit that its bare numbers are meant in.

use measure::{Length, LengthUnit, Mass, MassUnit, Money, ReadError, Units};

use crate::entry::Entry;
use crate::told::{Problems, Told, parted, quoted};

/// Longest side of anything on a sheet: the longest that any parcel of the post may be.
///
/// Source: the postal limit of 108 in for the longest side and what surrounds it.
const LONGEST_SIDE: Length = Length::from_inches(108.0);
/// What a line of text must say to declare a unit.
const DECLARE: &str = "the unit with the figure, or units = \"in\" or units = \"cm\" at the top of the sheet";

/// What a bare number of this sheet means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bare {
    /// The sheet declares its units.
    Declared(Units),
    /// The sheet declares none: a bare number is a problem.
    Undeclared,
    /// The declaration itself is wrong; it was told, and the figures aren't blamed for it.
    Unreadable,
}

impl Bare {
    /// The units in which answers are written.
    pub(crate) fn units(self) -> Units {
        match self {
            Self::Declared(units) => units,
            Self::Undeclared | Self::Unreadable => Units::default(),
        }
    }

    fn length(self) -> Option<LengthUnit> {
        match self {
            Self::Declared(Units::Metric) => Some(LengthUnit::Centimetres),
            Self::Declared(Units::UsCustomary) | Self::Unreadable => Some(LengthUnit::Inches),
            Self::Undeclared => None,
        }
    }

    fn mass(self) -> Option<MassUnit> {
        match self {
            Self::Declared(Units::Metric) => Some(MassUnit::Grams),
            Self::Declared(Units::UsCustomary) | Self::Unreadable => Some(MassUnit::Ounces),
            Self::Undeclared => None,
        }
    }
}

fn refused(entry: &Entry<'_, '_>, error: &ReadError, right: &str, problems: &mut Problems<'_>) -> Told {
    let (message, _) = parted(&error.to_string(), right);
    let right = match error {
        ReadError::MissingUnit { .. } => format!("{DECLARE}, for example {right}"),
        _ => right.to_owned(),
    };
    entry.wrong(problems, message, right)
}

/// A length of more than nothing and at most 108 in; `right` is a right line.
pub(crate) fn length(
    entry: &Entry<'_, '_>,
    bare: Bare,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<Length, Told> {
    let text = entry.written(right, problems)?;
    let read = Length::read_positive(text, bare.length());
    believed(read, text, entry, right, problems)
}

/// A length that may be nothing; `right` is a right line.
pub(crate) fn length_or_none(
    entry: &Entry<'_, '_>,
    bare: Bare,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<Length, Told> {
    let text = entry.written(right, problems)?;
    believed(Length::read(text, bare.length()), text, entry, right, problems)
}

fn believed(
    read: Result<Length, ReadError>,
    text: &str,
    entry: &Entry<'_, '_>,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<Length, Told> {
    let length = read.map_err(|error| refused(entry, &error, right, problems))?;
    if length > LONGEST_SIDE {
        let message = format!("`{}` is longer than any parcel may be", quoted(text));
        return Err(entry.wrong(
            problems,
            message,
            format!("at most 108 in (274.3 cm), for example {right}"),
        ));
    }
    Ok(length)
}

/// A weight of more than nothing; `right` is a right line.
pub(crate) fn mass(
    entry: &Entry<'_, '_>,
    bare: Bare,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<Mass, Told> {
    let text = entry.written(right, problems)?;
    Mass::read_positive(text, bare.mass()).map_err(|error| refused(entry, &error, right, problems))
}

/// Which amounts of money are right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Least {
    /// Nothing or more.
    Nothing,
    /// One cent or more.
    OneCent,
}

/// An amount of money; `right` is a right line.
pub(crate) fn money(
    entry: &Entry<'_, '_>,
    least: Least,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<Money, Told> {
    let text = entry.written(right, problems)?;
    let amount = Money::read(text).map_err(|error| refused(entry, &error, right, problems))?;
    let (enough, wanted) = match least {
        Least::Nothing => (amount >= Money::ZERO, "0 or more"),
        Least::OneCent => (amount > Money::ZERO, "more than 0"),
    };
    if enough {
        return Ok(amount);
    }
    Err(entry.wrong(problems, format!("the amount `{}` must be {wanted}", quoted(text)), right))
}

/// Three sides: `"12 x 12 x 8"`, `"30 x 30 x 20 cm"` (the last unit is for all three), or a list of three.
pub(crate) fn size(
    entry: &Entry<'_, '_>,
    bare: Bare,
    right: &str,
    problems: &mut Problems<'_>,
) -> Result<[Length; 3], Told> {
    const SIDES: &str = "three sides are needed: length, width and height";
    if entry.is_list() {
        let sides: Vec<_> =
            entry.list(3, right, problems)?.iter().map(|side| length(side, bare, right, problems)).collect();
        let sides = sides.into_iter().collect::<Result<Vec<_>, _>>()?;
        return <[Length; 3]>::try_from(sides).map_err(|_| entry.wrong(problems, SIDES, right));
    }
    let text = entry.text(right, problems)?;
    let parts: Vec<&str> = text.split(['x', 'X', '×']).map(str::trim).collect();
    let [long, wide, high] = parts[..] else {
        return Err(entry.wrong(problems, SIDES, right));
    };
    let shared = trailing_unit(high).or(bare.length());
    let mut side = |part| believed(Length::read_positive(part, shared), part, entry, right, problems);
    Ok([side(long)?, side(wide)?, side(high)?])
}

/// The unit at the end of a figure, if there is one.
fn trailing_unit(figure: &str) -> Option<LengthUnit> {
    let word = figure.trim_start_matches(|c: char| !c.is_alphabetic() && !"\"″”'′’".contains(c));
    LengthUnit::from_word(word)
}
