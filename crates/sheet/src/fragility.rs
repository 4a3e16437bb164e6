//! How hard a blow a piece bears, by class or as a figure.

use trade::Bears;

use crate::library::Library;
use crate::nearest::suggestion;
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Least and most that a household piece is believed to bear, in multiples of gravity (judgement: the classes
/// lie between 35 and 115).
const GRAVITIES: std::ops::RangeInclusive<f64> = 5.0..=500.0;

/// Reads `fragility` or `bears_g`, of which a row has one at most.
pub(crate) fn bears(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Bears, Told> {
    let (class, figure) = (section.take("fragility"), section.take("bears_g"));
    match (class, figure) {
        (None, None) => Ok(Bears::AsForm),
        (Some(class), None) => {
            let name = class.text("fragility = \"fine\"", problems)?;
            library.fragilities.find(name).map(|found| Bears::Class(found.key.clone())).map_err(|_| {
                let known: Vec<&str> = library.fragilities.iter().map(|class| class.key.as_str()).collect();
                class.wrong(
                    problems,
                    format!("no class of fragility is called \"{}\"", quoted(name)),
                    suggestion(name, known),
                )
            })
        }
        (None, Some(figure)) => figure.number(GRAVITIES, "bears_g = 50", problems).map(Bears::Gravities),
        (Some(_), Some(figure)) => Err(figure.wrong(
            problems,
            "the row says both how fragile it is and how much it bears",
            "one of fragility = \"fine\" and bears_g = 50",
        )),
    }
}
