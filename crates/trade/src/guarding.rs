//! What a parcel's pieces bear and what the drop of it does to them.

use cushion::Part;
use droptest::{Assessment, Detail, Filling, Guarded, WrapLayer, assess, needed_clearance};
use measure::{Area, Length, Mass, Money};
use plan::Parcel;
use protection::WrappedBundle;
use shape::PartKind;

use crate::job::{Bears, Decide, Row};
use crate::{Job, Library, TradeError};

/// Steps of the distance to a wall: nobody cuts or fills finer (judgement).
const STEP: Length = Length::from_inches(0.125);

/// How far one kind of bundle was asked to lie from the carton.
#[derive(Debug, Clone, PartialEq)]
pub struct WallAsked {
    /// The bundle.
    pub label: String,
    /// What its weakest part is designed to bear, in multiples of gravity.
    pub bears_g: f64,
    /// That part.
    pub part: PartKind,
    /// By the rule of the profile or recipe.
    pub rule: Length,
    /// By the computed cushion; `None` where no thickness of this fill is enough.
    pub computed: Option<Length>,
    /// What was asked for.
    pub used: Length,
}

/// The cheapest change that mends a parcel at risk.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What changes, in words.
    pub change: String,
    /// Cost of the change: expected postage, materials and working time.
    pub cost: Money,
    /// Postage of the change to the farthest zone, and that zone's number.
    pub farthest: (Money, u8),
    /// Least margin after it.
    pub margin: f64,
}

/// A parcel dropped on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Guard {
    /// Where the height comes from ("ISTA 1A integrity test").
    pub by: String,
    /// Factor between what a piece bears and what is designed for.
    pub safety: f64,
    /// How far each kind of bundle was asked to lie from the carton, in the plan's order.
    pub walls: Vec<WallAsked>,
    /// Every landing, what each bundle felt and bears.
    pub assessment: Assessment,
    /// What was known of each bundle, in the plan's order (of the inner carton in a box in a box).
    pub guarded: Vec<Guarded>,
    /// What would mend it, where the margin is short.
    pub mend: Option<Mend>,
}

/// The protection settings of a job, looked up once.
pub(crate) struct Guarding<'a> {
    job: &'a Job,
    library: &'a Library,
    pad_g_mm2: f64,
    pub(crate) decide: Decide,
    safety: f64,
}

/// What is said to bear this is not harmed by shock: edges, corners, moisture and shifting govern books and iron.
pub const NOT_BY_SHOCK: f64 = 1e5;

/// How far from the carton pieces are asked to lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Ask {
    /// By the rule.
    Rule,
    /// By the computation alone.
    Computed,
    /// From the rule this share of the way to the computed distance, where that is more; 1 is the stricter.
    Towards(f64),
}

/// What is known of one kind of bundle.
#[derive(Debug, Clone)]
pub(crate) struct Known {
    pub guarded: Guarded,
    pub asked: WallAsked,
}

impl<'a> Guarding<'a> {
    /// # Errors
    /// When the pad's own figures can't be used.
    pub(crate) fn new(job: &'a Job, library: &'a Library) -> Result<Self, TradeError> {
        let foot = Area::from_square_feet(1.0);
        let pad = library.materials.pad().board(foot).map_err(|e| TradeError::Protection {
            find: String::from("every find"),
            reason: e.to_string(),
        })?;
        Ok(Self {
            job,
            library,
            pad_g_mm2: pad.mass_g / foot.mm2(),
            decide: job.protecting.decide,
            safety: job.protecting.safety.unwrap_or(library.fragilities.safety().value),
        })
    }

    fn filling(&self) -> Filling<'_> {
        Filling {
            cushions: &self.library.cushions,
            fill: &self.job.protecting.fill,
            pad_g_mm2: self.pad_g_mm2,
        }
    }

    /// Height of the design drop at this gross weight and where it comes from.
    ///
    /// # Errors
    /// When the schedule ends below this weight.
    pub(crate) fn drop(&self, gross: Mass) -> Result<(Length, String), TradeError> {
        let drops = &self.library.drops;
        let name = &self.job.protecting.drop;
        let drop = match drops.profile(name) {
            Ok(profile) => drops.design(profile, gross, None),
            Err(_) => drops.schedule(name).and_then(|schedule| schedule.drop(gross, None)),
        };
        let drop = drop.map_err(|e| TradeError::NotPacked(e.to_string()))?;
        let by = drops.schedule(&drop.schedule).map_or(drop.schedule.clone(), |found| found.name.clone());
        Ok((drop.design_height(), by))
    }

    /// What the parts of a row's pieces are designed to bear, weakest first.
    pub(crate) fn bears(&self, row: &Row, parts: &[PartKind]) -> Result<Vec<(PartKind, f64)>, TradeError> {
        let refused = |e: cushion::CushionError| TradeError::Protection {
            find: row.what.clone(),
            reason: e.to_string(),
        };
        let class = match &row.bears {
            Bears::Gravities(g) => return Ok(parts.iter().map(|part| (*part, g / self.safety)).collect()),
            Bears::AsForm => row.form.fragility.word(),
            Bears::Class(name) => name.as_str(),
        };
        if class == forms::Fragility::Rugged.word() {
            return Ok(parts.iter().map(|part| (*part, NOT_BY_SHOCK)).collect());
        }
        let class = self.library.fragilities.find(class).map_err(refused)?;
        let mut found: Vec<(PartKind, f64)> =
            parts.iter().map(|part| (*part, class.part(same_part(*part)).value / self.safety)).collect();
        found.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        Ok(found)
    }

    /// How far a wrapped bundle is to lie from the carton in a parcel that falls from `height`, and what else is
    /// known of it.
    pub(crate) fn settle(
        &self,
        wrapped: &WrappedBundle,
        bears: Vec<(PartKind, f64)>,
        height: Length,
        ask: Ask,
    ) -> Known {
        let layer = |(material, thickness): &(String, Length)| WrapLayer {
            material: material.clone(),
            thickness_mm: thickness.mm(),
        };
        let guarded =
            Guarded { wrap: wrapped.wrap.iter().map(layer).collect(), guard: wrapped.guard.clone(), bears };
        let rule = Length::from_mm(wrapped.bundle.wall_clearance_mm);
        let by_shock = guarded.weakest().is_none_or(|(_, bears)| bears < NOT_BY_SHOCK);
        let computed = if !by_shock {
            Ok(Length::ZERO)
        } else {
            // A parcel may land on any side: the one that bears least counts.
            let areas =
                crate::bearing::bearings(&wrapped.bundle.parts).into_iter().map(|bearing| bearing.area);
            let area = areas.reduce(Area::min).unwrap_or(Area::ZERO);
            needed_clearance(&wrapped.bundle, &guarded, &self.filling(), height, area)
        }
        .ok()
        .map(|needed| STEP * (needed.mm() / STEP.mm() - 1e-9).ceil());
        let used = match (ask, computed) {
            (Ask::Rule, _) | (_, None) => rule,
            (Ask::Computed, Some(computed)) => computed,
            (Ask::Towards(share), Some(computed)) => {
                let further = (computed.mm() - rule.mm()).max(0.0) * share;
                rule + STEP * (further / STEP.mm() - 1e-9).ceil().max(0.0)
            }
        };
        let (part, bears_g) = guarded.weakest().unwrap_or((PartKind::Body, f64::INFINITY));
        let label = wrapped.bundle.label.clone();
        Known { guarded, asked: WallAsked { label, bears_g, part, rule, computed, used } }
    }

    /// Drops a finished parcel; `known` has one entry per bundle of the plan, in its order.
    pub(crate) fn guard(
        &self,
        parcel: &Parcel,
        known: &[Known],
        drop: (Length, String),
        detail: Detail,
    ) -> Result<Guard, String> {
        let guarded: Vec<Guarded> = known.iter().map(|known| known.guarded.clone()).collect();
        let assessment =
            assess(parcel, &guarded, &self.filling(), drop.0, detail).map_err(|e| e.to_string())?;
        let mut walls: Vec<WallAsked> = Vec::new();
        for known in known {
            if !walls.contains(&known.asked) {
                walls.push(known.asked.clone());
            }
        }
        Ok(Guard { by: drop.1, safety: self.safety, walls, assessment, guarded, mend: None })
    }
}

/// The cushion room's word for a part.
const fn same_part(part: PartKind) -> Part {
    match part {
        PartKind::Body => Part::Body,
        PartKind::Handle => Part::Handle,
        PartKind::Spout => Part::Spout,
        PartKind::Stem => Part::Stem,
        PartKind::Foot => Part::Foot,
        PartKind::Knob => Part::Knob,
        PartKind::Lid => Part::Lid,
    }
}
