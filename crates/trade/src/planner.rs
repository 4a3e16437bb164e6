//! Plans orders: wraps the pieces, packs them for real, prices the parcels.

use std::collections::BTreeMap;

use measure::{Length, Mass};
use packing::{Division, Packer, Rules, Watch};
use postage::{ParcelFacts, Quote};
use protection::{PieceToWrap, Profile, WrappedBundle};
use shape::Contents;

use crate::cartons::{CartonChoice, choices};
use crate::guarding::Guarding;
use crate::order::{Destination, Shipped, expected};
use crate::{Job, Library, Listing, TradeError};

/// Most layers in one carton.
const MOST_LAYERS: usize = 6;
/// Most pieces in one order.
pub const MOST_PIECES: u32 = 200;

/// A row of a find, ready to be wrapped in any number.
pub(crate) struct Kind {
    pub find: usize,
    pub row: usize,
    pub piece: shape::Piece,
    pub recipe: protection::Recipe,
}

/// Plans the orders of one job, remembering what it has packed.
pub struct Planner<'a> {
    pub(crate) job: &'a Job,
    pub(crate) library: &'a Library,
    pub(crate) profile: Profile,
    pub(crate) guarding: Guarding<'a>,
    pub(crate) destinations: Vec<Destination>,
    pub(crate) choices: Vec<CartonChoice>,
    pub(crate) kinds: Vec<Kind>,
    wrapped: BTreeMap<(usize, u32, u32), Vec<WrappedBundle>>,
    pub(crate) packer: Packer,
    memory: packing::Memory<Shipped>,
    least: i64,
    refusals: BTreeMap<Vec<u32>, String>,
    /// What one piece of each kind is worth, cents; `None` until it is asked.
    pub(crate) values: Vec<Option<f64>>,
    /// Whether parcels are only compared: what takes time and changes no choice is then left out.
    pub(crate) comparing: bool,
    /// A parcel that costs this much or more, cents, has lost before it is dropped.
    pub(crate) lost_from: Option<i64>,
    /// Orders as they are shown.
    shown: BTreeMap<Vec<u32>, Shipped>,
    /// Whether parcels at risk are taken, because an order has no others.
    pub(crate) lenient: bool,
    /// Who looks on.
    pub(crate) watch: Watch,
}

impl<'a> Planner<'a> {
    /// A planner for a job.
    ///
    /// # Errors
    /// When a piece can't be built, a recipe or carton can't be used, or a destination has no zone.
    pub fn new(job: &'a Job, library: &'a Library) -> Result<Self, TradeError> {
        let mut kinds = Vec::new();
        for (find, group) in job.finds.iter().enumerate() {
            for (row, pieces) in group.rows.iter().enumerate() {
                let named = |reason: String| TradeError::Piece { find: group.name.clone(), reason };
                let built = pieces.form.piece(&pieces.measures).map_err(|e| named(e.to_string()))?;
                let name = pieces.recipe.as_deref().unwrap_or(&pieces.form.recipe);
                let recipe = library.recipes.find(name).map_err(|e| TradeError::Protection {
                    find: group.name.clone(),
                    reason: e.to_string(),
                })?;
                kinds.push(Kind { find, row, piece: built.piece, recipe: recipe.clone() });
            }
        }
        let profile = crate::cartons::profile(job, library)?;
        let destinations = crate::cartons::destinations(job)?;
        let choices = choices(job, library)?;
        let rules = Rules {
            crush: profile.crush,
            pad_mm: library.materials.pad_thickness().mm(),
            most_layers: MOST_LAYERS,
        };
        let packer = Packer::new(choices.iter().map(|choice| choice.carton.clone()).collect(), rules);
        let mut planner = Self {
            job,
            library,
            profile,
            guarding: Guarding::new(job, library)?,
            destinations,
            choices,
            values: vec![None; kinds.len()],
            kinds,
            wrapped: BTreeMap::new(),
            packer,
            memory: BTreeMap::new(),
            least: 0,
            refusals: BTreeMap::new(),
            comparing: true,
            lost_from: None,
            shown: BTreeMap::new(),
            lenient: false,
            watch: Watch::default(),
        };
        planner.least = planner.least_parcel();
        Ok(planner)
    }

    /// The same planner, whose packer searches `times` as long; what it had packed is forgotten.
    #[must_use]
    pub fn with_effort(self, times: u32) -> Self {
        Self {
            packer: self.packer.with_effort(times),
            memory: BTreeMap::new(),
            shown: BTreeMap::new(),
            refusals: BTreeMap::new(),
            ..self
        }
    }

    /// The same planner with somebody looking on; what it had packed is forgotten.
    #[must_use]
    pub fn watched(self, watch: &Watch) -> Self {
        Self {
            packer: self.packer.watched(watch.clone()),
            memory: BTreeMap::new(),
            shown: BTreeMap::new(),
            refusals: BTreeMap::new(),
            watch: watch.clone(),
            ..self
        }
    }

    /// Destinations with their zones, in the job's order.
    #[must_use]
    pub fn destinations(&self) -> &[Destination] {
        &self.destinations
    }

    /// Pieces of each kind in an order of lots.
    pub(crate) fn counts(&self, lots: &[(&Listing, u32)]) -> Vec<u32> {
        self.kinds
            .iter()
            .map(|kind| {
                lots.iter()
                    .filter(|(listing, _)| listing.find == kind.find)
                    .map(|(listing, lots)| lots * listing.per_lot[kind.row])
                    .sum()
            })
            .collect()
    }

    /// The parcels of an order, cheapest altogether.
    ///
    /// # Errors
    /// When no parcels can be planned, with the reason.
    pub fn parcels(&mut self, counts: &[u32]) -> Result<Division<Shipped>, TradeError> {
        let mut division = self.compared(counts)?;
        for shipped in &mut division.parcels {
            if self.watch.is_stopped() {
                return Err(TradeError::Stopped);
            }
            let counts = self.counts_of(shipped);
            let known = self.shown.get(&counts).filter(|known| known.made == shipped.made).cloned();
            *shipped = match known {
                Some(known) => known,
                None => {
                    let finished = self.finished(&counts, shipped.clone());
                    self.shown.insert(counts, finished.clone());
                    finished
                }
            };
        }
        Ok(division)
    }

    /// The parcels of an order that is only compared with others: their cost is that of [`Planner::parcels`], but
    /// they are laid as found and their drop is followed roughly.
    ///
    /// # Errors
    /// As [`Planner::parcels`].
    pub(crate) fn compared(&mut self, counts: &[u32]) -> Result<Division<Shipped>, TradeError> {
        self.lenient = false;
        match self.divided(counts) {
            Err(TradeError::NotPacked(_)) => {
                // Better a parcel that says how far it falls short than none.
                let safe = std::mem::take(&mut self.memory);
                self.lenient = true;
                let found = self.divided(counts);
                self.memory = safe;
                found
            }
            found => found,
        }
    }

    fn divided(&mut self, counts: &[u32]) -> Result<Division<Shipped>, TradeError> {
        let pieces: u32 = counts.iter().sum();
        if pieces > MOST_PIECES {
            return Err(TradeError::TooMany { pieces, most: MOST_PIECES });
        }
        let mut memory = std::mem::take(&mut self.memory);
        let least = self.least;
        let mut failure = None;
        let by_worth = self.guarding.decide == crate::job::Decide::Worth;
        let found = packing::divide(counts, least, &mut memory, &mut |counts| match self.single(counts) {
            Ok(shipped) => {
                let cost = if by_worth { shipped.weighed() } else { shipped.cost };
                Some((cost.cents(), shipped))
            }
            Err(TradeError::NotPacked(reason)) => {
                self.refusals.insert(counts.to_vec(), reason);
                None
            }
            Err(other) => {
                failure.get_or_insert(other);
                None
            }
        });
        self.memory = memory;
        if self.watch.is_stopped() {
            return Err(TradeError::Stopped);
        }
        if let Some(failure) = failure {
            return Err(failure);
        }
        if let Some(division) = &found {
            // Each parcel was proved by itself; the order is proved as a whole, as it will be shown.
            let plans: Vec<plan::Parcel> =
                division.parcels.iter().map(|shipped| shipped.plan.clone()).collect();
            if let Some(broken) = proof::check_all(&plans, &self.expected_contents(counts)).first() {
                return Err(TradeError::NotPacked(format!("the plan did not pass the checker: {broken}")));
            }
        }
        found.ok_or_else(|| {
            // The smallest set that was refused says most about why.
            let reason = self
                .refusals
                .iter()
                .filter(|(refused, _)| refused.iter().zip(counts).all(|(a, b)| a <= b))
                .min_by_key(|(refused, _)| refused.iter().sum::<u32>())
                .map_or_else(|| String::from("nothing to pack"), |(_, reason)| reason.clone());
            TradeError::NotPacked(reason)
        })
    }

    /// Pieces of a kind, wrapped in bundles of at most `together`.
    pub(crate) fn wrap(
        &mut self,
        kind: usize,
        count: u32,
        together: u32,
    ) -> Result<&[WrappedBundle], TradeError> {
        let key = (kind, count, together);
        if !self.wrapped.contains_key(&key) {
            let of = &self.kinds[kind];
            let find = &self.job.finds[of.find];
            let row = &find.rows[of.row];
            let what = PieceToWrap {
                find: &find.name,
                what: &row.what,
                piece: &of.piece,
                company: row.form.company,
                count,
            };
            let recipe =
                protection::Recipe { bundle: of.recipe.bundle.at_most(together), ..of.recipe.clone() };
            let wrapped = protection::protect(&what, &recipe, &self.library.materials, &self.profile)
                .map_err(|e| TradeError::Protection { find: find.name.clone(), reason: e.to_string() })?;
            self.wrapped.insert(key, wrapped);
        }
        Ok(&self.wrapped[&key])
    }

    /// What a parcel of these counts must hold, worked out apart from the wrapping.
    pub(crate) fn expected_contents(&self, counts: &[u32]) -> Vec<Contents> {
        let mut rows = Vec::new();
        for (kind, &count) in self.kinds.iter().zip(counts).filter(|(_, count)| **count > 0) {
            let find = &self.job.finds[kind.find];
            let what = &find.rows[kind.row].what;
            rows.push(Contents { find: find.name.clone(), what: what.clone(), count });
            if !kind.piece.apart.is_empty() {
                let apart = count * kind.piece.apart.len() as u32;
                rows.push(Contents { find: find.name.clone(), what: format!("lid of {what}"), count: apart });
            }
        }
        rows
    }

    /// Postage that no parcel of this job goes below: an ounce in an inch cube.
    fn least_parcel(&self) -> i64 {
        let inch = Length::from_inches(1.0);
        let facts = ParcelFacts { outside: [inch; 3], gross: Mass::from_ounces(1.0), rectangular: true };
        price(self.job, &self.destinations, &facts)
            .map_or(0, |quotes| expected(quotes.iter().map(|quote| quote.total), &self.destinations).cents())
    }
}

/// What postage asks of a parcel; its weight by what was learnt of others.
pub(crate) fn facts(job: &Job, carton: &plan::Carton, gross_g: f64) -> ParcelFacts {
    ParcelFacts {
        outside: carton.outside_mm.map(Length::from_mm),
        gross: Mass::from_grams(gross_g * job.learnt.weight()),
        rectangular: true,
    }
}

pub(crate) fn price(
    job: &Job,
    destinations: &[Destination],
    facts: &ParcelFacts,
) -> Result<Vec<Quote>, String> {
    destinations
        .iter()
        .map(|to| {
            job.post.card.quote(facts, to.zone.zone, job.post.date).map_err(|refused| refused.to_string())
        })
        .collect()
}
