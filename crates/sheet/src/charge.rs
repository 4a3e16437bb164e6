//! What buyers are charged for postage.

use trade::Charging;

use crate::figure::{self, Bare, Least};
use crate::nearest::{listed, suggestion};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

const RIGHT: &str = "policy = \"flat plus\" with first = 9.50 and further = 4.00";

/// The ways of charging, as a sheet names them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Policy {
    Flat,
    FlatPlus,
    StatedPerLot,
    Combined,
    Included,
}

impl Policy {
    const ALL: [Self; 5] = [Self::Flat, Self::FlatPlus, Self::StatedPerLot, Self::Combined, Self::Included];

    const fn word(self) -> &'static str {
        match self {
            Self::Flat => "flat",
            Self::FlatPlus => "flat plus",
            Self::StatedPerLot => "stated per lot",
            Self::Combined => "combined",
            Self::Included => "included",
        }
    }

    /// The keys it reads beside `policy`.
    const fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Flat => &["amount"],
            Self::FlatPlus => &["first", "further"],
            Self::StatedPerLot => &["weight", "size"],
            Self::Combined | Self::Included => &[],
        }
    }
}

/// Reads `[charge]`; without it the combined parcel's postage is charged.
pub(crate) fn charge(
    sheet: &mut Section<'_, '_>,
    bare: Bare,
    problems: &mut Problems<'_>,
) -> Result<Charging, Told> {
    let Some(entry) = sheet.take("charge") else { return Ok(Charging::Combined) };
    let mut section = entry.section(RIGHT, problems)?;
    let charging = policy(&mut section, bare, problems);
    section.close(problems);
    charging
}

fn policy(section: &mut Section<'_, '_>, bare: Bare, problems: &mut Problems<'_>) -> Result<Charging, Told> {
    let chosen = section.need("policy", RIGHT, problems).and_then(|entry| {
        let name = entry.text(RIGHT, problems)?;
        Policy::ALL.into_iter().find(|policy| policy.word() == name).ok_or_else(|| {
            let right = suggestion(name, Policy::ALL.map(Policy::word));
            entry.wrong(problems, format!("no policy is called \"{}\"", quoted(name)), right)
        })
    });
    let chosen = match chosen {
        Ok(chosen) => chosen,
        Err(told) => {
            // The keys of a policy that can't be known aren't blamed.
            for key in Policy::ALL.into_iter().flat_map(Policy::keys) {
                section.take(key);
            }
            return Err(told);
        }
    };
    let reads = match chosen.keys() {
        [] => "no other key".to_owned(),
        keys => listed(keys.iter().copied()),
    };
    for other in Policy::ALL.into_iter().filter(|&other| other != chosen) {
        for key in other.keys() {
            let place =
                format!("policy = \"{}\" to use it; \"{}\" reads {reads}", other.word(), chosen.word());
            section.belongs_elsewhere(key, place);
        }
    }
    let mut amount = |key: &'static str, right: &str| {
        let entry = section.need(key, right, problems)?;
        figure::money(&entry, Least::Nothing, right, problems)
    };
    match chosen {
        Policy::Flat => Ok(Charging::Flat { amount: amount("amount", "amount = 12.00")? }),
        Policy::FlatPlus => {
            let (first, further) = (amount("first", "first = 9.50"), amount("further", "further = 4.00"));
            Ok(Charging::FlatPlus { first: first?, further: further? })
        }
        Policy::StatedPerLot => {
            let weight = section
                .take("weight")
                .map(|entry| figure::mass(&entry, bare, "weight = \"4 lb\"", problems))
                .transpose();
            let size = section
                .take("size")
                .map(|entry| figure::size(&entry, bare, "size = \"12 x 12 x 8 in\"", problems))
                .transpose();
            Ok(Charging::StatedPerLot { weight: weight?, size: size? })
        }
        Policy::Combined => Ok(Charging::Combined),
        Policy::Included => Ok(Charging::Included),
    }
}
