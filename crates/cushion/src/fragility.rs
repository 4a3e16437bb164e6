//! One class of fragility: what a bare piece stands, whole and part by part.

use std::collections::BTreeMap;

use protection::Figure;
use serde::Deserialize;

use crate::bounds::{SHOCK_G, within};
use crate::rows::{RawFigure, figure, wrong};
use crate::{CushionError, Part};

/// Least and most factor between what a piece stands and what a design allows.
pub(crate) const SAFETY: (f64, f64) = (1.0, 10.0);
/// What a part may stand less than its class by, for rounding, as a share.
const SAME_G: f64 = 1e-9;

/// A class's row as written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFragility {
    words: Option<String>,
    g: RawFigure,
    #[serde(default)]
    parts: BTreeMap<String, RawFigure>,
}

/// What a bare piece of a class stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Fragility {
    /// Its key ("compact").
    pub key: String,
    /// The goods it speaks of.
    pub words: String,
    /// Largest shock without damage, in multiples of gravity: that of its weakest part.
    pub g: Figure,
    pub(crate) parts: BTreeMap<Part, Figure>,
}

impl Fragility {
    pub(crate) fn read(key: &str, raw: RawFragility) -> Result<Self, CushionError> {
        let place = format!("class {key}");
        let g = figure(&place, "g", raw.g, SHOCK_G)?;
        let mut parts = BTreeMap::new();
        for (word, raw) in raw.parts {
            let part = Part::from_word(&word).ok_or_else(|| {
                let words: Vec<&str> = Part::ALL.iter().map(|part| part.word()).collect();
                wrong(&place, "parts", &format!("\"{word}\""), &words.join(" or "))
            })?;
            parts.insert(part, figure(&place, &word, raw, SHOCK_G)?);
        }
        let least = parts.values().map(|figure| figure.value).min_by(f64::total_cmp);
        if let Some(least) = least
            && (least / g.value - 1.0).abs() > SAME_G
        {
            return Err(CushionError::Contradiction {
                place,
                what: format!("g is {} but the weakest part stands {least}", g.value),
                right: "g equal to what the weakest part stands".to_owned(),
            });
        }
        Ok(Self { key: key.to_owned(), words: raw.words.unwrap_or_else(|| key.to_owned()), g, parts })
    }

    /// What a part stands; a part that the class does not name stands what the class does.
    #[must_use]
    pub fn part(&self, part: Part) -> &Figure {
        self.parts.get(&part).unwrap_or(&self.g)
    }

    /// Parts that the class names, in order.
    pub fn parts(&self) -> impl Iterator<Item = (Part, &Figure)> {
        self.parts.iter().map(|(part, figure)| (*part, figure))
    }

    /// What a piece made of these parts stands: the least of them; the class's own where none is given.
    #[must_use]
    pub fn of_parts(&self, parts: &[Part]) -> f64 {
        parts.iter().map(|&part| self.part(part).value).min_by(f64::total_cmp).unwrap_or(self.g.value)
    }

    /// Shock that a design may allow, G / safety (GB 8166 draws the same line between the two; the factor is
    /// judgement), in multiples of gravity.
    ///
    /// # Errors
    /// When the factor is not from 1 to 10.
    pub fn design_g(&self, safety: f64) -> Result<f64, CushionError> {
        Ok(self.g.value / within("safety factor", safety, "", SAFETY)?)
    }

    /// This class with every figure times `factor`, marked with where that comes from.
    pub(crate) fn times(&self, factor: f64, origin: &protection::Origin) -> Self {
        let scaled = |figure: &Figure| Figure {
            value: figure.value * factor,
            low: figure.low.map(|low| low * factor),
            high: figure.high.map(|high| high * factor),
            origin: origin.clone(),
        };
        Self {
            g: scaled(&self.g),
            parts: self.parts.iter().map(|(part, figure)| (*part, scaled(figure))).collect(),
            ..self.clone()
        }
    }
}
