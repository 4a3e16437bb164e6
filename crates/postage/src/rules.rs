//! The rules of a card, as its TOML states them and as they are applied.

use jiff::civil::Date;
use measure::{Length, Mass};
use serde::Deserialize;

use crate::caution::{Caution, CautionText};
use crate::fee::{Fee, FeeText};
use crate::table::short;
use crate::{CardError, SideRounding};

/// Rounding tolerance where a card states none, in.
const USUAL_TOLERANCE_IN: f64 = 0.001;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RulesText {
    id: String,
    service: String,
    class: String,
    source: String,
    currency: String,
    effective_from: String,
    effective_to: Option<String>,
    end_reason: Option<String>,
    check: Option<String>,
    sides: SidesText,
    dimensional: Option<DimensionalText>,
    limits: LimitsText,
    #[serde(default)]
    fees: Vec<FeeText>,
    #[serde(default)]
    cautions: Vec<CautionText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SidesText {
    rounding: SideRounding,
    tolerance_in: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DimensionalText {
    divisor_in3_per_lb: f64,
    threshold_in3: Option<f64>,
    nonrectangular_factor: Option<f64>,
    cap_lb: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitsText {
    weight_lb: f64,
    length_in: Option<f64>,
    length_plus_girth_in: Option<f64>,
    oversize_above_in: Option<f64>,
}

/// How size becomes weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Dimensional {
    /// Cubic inches that count as a pound.
    pub(crate) divisor_in3_per_lb: f64,
    /// Only volumes over this count; absent: all of them.
    pub(crate) threshold_in3: Option<f64>,
    /// Share of the enclosing box that counts for a shape that is no box.
    pub(crate) nonrectangular_factor: f64,
    /// The dimensional weight is never taken above this.
    pub(crate) cap: Option<Mass>,
}

/// What a card never takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    pub(crate) weight: Mass,
    pub(crate) length: Option<Length>,
    pub(crate) length_plus_girth: Option<Length>,
    /// Over this an oversized price is due that the card doesn't hold.
    pub(crate) oversize_above: Option<Length>,
}

/// All rules of a card.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rules {
    pub(crate) id: String,
    pub(crate) service: String,
    pub(crate) class: String,
    pub(crate) source: String,
    pub(crate) currency: String,
    pub(crate) effective_from: Date,
    pub(crate) effective_to: Option<Date>,
    pub(crate) end_reason: Option<String>,
    pub(crate) check: Option<String>,
    pub(crate) rounding: SideRounding,
    pub(crate) tolerance_in: f64,
    pub(crate) dimensional: Option<Dimensional>,
    pub(crate) limits: Limits,
    pub(crate) fees: Vec<Fee>,
    pub(crate) cautions: Vec<Caution>,
}

impl Rules {
    pub(crate) fn read(text: &str) -> Result<Self, CardError> {
        let text = text.trim_start_matches('\u{feff}');
        let raw: RulesText = toml::from_str(text).map_err(|error| CardError::Syntax {
            line: error.span().map_or(0, |span| line_of(text, span.start)),
            reason: error.message().replace('\n', " "),
        })?;
        for (field, words) in
            [("id", &raw.id), ("service", &raw.service), ("class", &raw.class), ("source", &raw.source)]
        {
            if words.trim().is_empty() {
                return Err(wrong(field, "", "a few words"));
            }
        }
        let effective_from = date("effective_from", &raw.effective_from)?;
        let effective_to = raw.effective_to.as_deref().map(|to| date("effective_to", to)).transpose()?;
        if let Some(to) = effective_to.filter(|&to| to < effective_from) {
            return Err(wrong("effective_to", &to.to_string(), "a day not before effective_from"));
        }
        let tolerance_in = raw.sides.tolerance_in.unwrap_or(USUAL_TOLERANCE_IN);
        if !(0.0..0.5).contains(&tolerance_in) {
            return Err(wrong("sides.tolerance_in", &tolerance_in.to_string(), "inches from 0 to below 0.5"));
        }
        let fees = raw.fees.into_iter().enumerate().map(|(place, fee)| Fee::read(place, fee));
        Ok(Self {
            dimensional: raw.dimensional.map(dimensional).transpose()?,
            limits: limits(&raw.limits)?,
            fees: fees.collect::<Result<_, _>>()?,
            cautions: raw
                .cautions
                .into_iter()
                .enumerate()
                .map(|(place, caution)| Caution::read(place, caution))
                .collect::<Result<_, _>>()?,
            id: raw.id,
            service: raw.service,
            class: raw.class,
            source: raw.source,
            currency: raw.currency,
            effective_from,
            effective_to,
            end_reason: raw.end_reason,
            check: raw.check,
            rounding: raw.sides.rounding,
            tolerance_in,
        })
    }
}

fn line_of(text: &str, byte: usize) -> usize {
    1 + text.bytes().take(byte).filter(|&b| b == b'\n').count()
}

pub(crate) fn wrong(field: &str, found: &str, right: &'static str) -> CardError {
    CardError::Rule { field: field.to_owned(), found: short(found), right }
}

/// A day such as 2026-07-12.
fn date(field: &str, text: &str) -> Result<Date, CardError> {
    text.parse().map_err(|_| wrong(field, text, "a day such as \"2026-07-12\""))
}

pub(crate) fn positive(field: &str, value: f64) -> Result<f64, CardError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(wrong(field, &value.to_string(), "a finite number above zero"))
    }
}

fn dimensional(text: DimensionalText) -> Result<Dimensional, CardError> {
    let factor = text.nonrectangular_factor.unwrap_or(1.0);
    if !(factor > 0.0 && factor <= 1.0) {
        let field = "dimensional.nonrectangular_factor";
        return Err(wrong(field, &factor.to_string(), "a share above 0 and not over 1"));
    }
    Ok(Dimensional {
        divisor_in3_per_lb: positive("dimensional.divisor_in3_per_lb", text.divisor_in3_per_lb)?,
        threshold_in3: text
            .threshold_in3
            .map(|in3| positive("dimensional.threshold_in3", in3))
            .transpose()?,
        nonrectangular_factor: factor,
        cap: text.cap_lb.map(|lb| positive("dimensional.cap_lb", lb)).transpose()?.map(Mass::from_pounds),
    })
}

fn limits(text: &LimitsText) -> Result<Limits, CardError> {
    let inches = |field, value: Option<f64>| -> Result<Option<Length>, CardError> {
        Ok(value.map(|inches| positive(field, inches)).transpose()?.map(Length::from_inches))
    };
    Ok(Limits {
        weight: Mass::from_pounds(positive("limits.weight_lb", text.weight_lb)?),
        length: inches("limits.length_in", text.length_in)?,
        length_plus_girth: inches("limits.length_plus_girth_in", text.length_plus_girth_in)?,
        oversize_above: inches("limits.oversize_above_in", text.oversize_above_in)?,
    })
}
