//! The cushion of a piece of a find, asked by its records.

use books::FindId;
use measure::Units;
use shop::{Measured, Measurement, Shop};

use super::mistake::GuardAsked;
use crate::Stop;

impl GuardAsked {
    /// What the records of a find say of its pieces: form, measures, weight. Where a measure was taken of several
    /// pieces, the largest counts.
    ///
    /// # Errors
    /// When there is no such find, or the file can't be read.
    pub fn of_find(shop: &Shop, find: FindId) -> Result<Self, Stop> {
        let text = shop.find_text(find)?;
        let mut asked = Self { form: Some(text.form), ..Self::default() };
        let mut measures = toml::Table::new();
        let known = shop.noted_of::<Measurement>(find)?;
        crate::bench_plan::put_measures(known.iter().map(|(_, one)| one), &mut measures);
        for (name, _) in &measures {
            let of_this = known.iter().filter(|(_, one)| one.name == *name).map(|(_, one)| one.figure);
            let largest = of_this.max_by(|a, b| size(*a).total_cmp(&size(*b)));
            match largest {
                Some(Measured::Length(length)) => {
                    asked.measure.push(format!("{name}={}", length.write(Units::UsCustomary)));
                }
                Some(Measured::Mass(mass)) if name == "weight" => {
                    asked.weight = Some(mass.write(Units::UsCustomary));
                }
                Some(Measured::Mass(_)) | None => {}
            }
        }
        Ok(asked)
    }
}

/// A figure to compare figures of one kind by.
fn size(figure: Measured) -> f64 {
    match figure {
        Measured::Length(length) => length.mm(),
        Measured::Mass(mass) => mass.grams(),
    }
}
