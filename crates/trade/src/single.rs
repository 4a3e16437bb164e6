//! One parcel of some counts: wrapped, cushioned by rule and by computation, packed, priced, dropped on paper.

use std::collections::BTreeMap;

use measure::{Length, Mass, Money};
use packing::{Draft, Finish, Packed};
use plan::PlacedBundle;
use protection::WrappedBundle;
use shape::{Bundle, PartKind};

use crate::guarding::Known;
use crate::job::Decide;
use crate::notes::step_notes;
use crate::order::{Shipped, expected};
use crate::planner::{Planner, facts, price};
use crate::{Guard, TradeError};

/// Times a parcel at risk is packed again with more cushion where it is short.
const TRIES: usize = 4;
/// Least that a short cushion is thickened by (judgement: less is not worth packing again).
const LEAST_MORE: Length = Length::from_inches(0.25);

/// Further distance from the carton, by the label of a bundle.
type More = BTreeMap<String, Length>;

/// A wrapped bundle with what is known of it.
#[derive(Clone)]
pub(crate) struct Ready {
    pub wrapped: WrappedBundle,
    pub known: Known,
}

impl Planner<'_> {
    /// One parcel of these counts, if one can be. A parcel at risk is refused unless the planner is lenient.
    pub(crate) fn single(&mut self, counts: &[u32]) -> Result<Shipped, TradeError> {
        let decide = self.guarding.decide;
        let found = self.one_box(counts, decide);
        if decide == Decide::Rule || self.lenient {
            return match found {
                Ok(shipped) => Ok(shipped),
                // What no carton cushions as computed goes by the rule, and says so.
                Err(_) if decide == Decide::Stricter => self.one_box(counts, Decide::Rule),
                Err(why) => Err(why),
            };
        }
        found.and_then(|shipped| match shipped.margin() {
            margin if margin < 0.0 => Err(TradeError::NotPacked(format!(
                "no listed carton cushions it well enough: the margin is {:.0} %",
                100.0 * margin
            ))),
            _ => Ok(shipped),
        })
    }

    /// One box; where pieces are at risk it is packed again with more round them, as often as `TRIES`.
    pub(crate) fn one_box(&mut self, counts: &[u32], decide: Decide) -> Result<Shipped, TradeError> {
        let mut more = More::new();
        let mut best: Option<Shipped> = None;
        for _ in 0..TRIES {
            let shipped = match self.attempt(counts, decide, &more) {
                Ok(shipped) => shipped,
                Err(why) => {
                    return match best {
                        Some(best) => Ok(best),
                        None => Err(why),
                    };
                }
            };
            let margin = shipped.margin();
            let done = margin >= 0.0 || decide == Decide::Rule;
            thicken(&mut more, &shipped);
            if best.as_ref().is_none_or(|best| margin > best.margin()) {
                best = Some(shipped);
            }
            if done {
                break;
            }
        }
        best.ok_or_else(|| TradeError::NotPacked(String::from("there is nothing to pack")))
    }

    /// The wrapped bundles of these counts, each settled on its distance from the carton.
    pub(crate) fn ready(
        &mut self,
        counts: &[u32],
        decide: Decide,
    ) -> Result<(Vec<Ready>, (Length, String)), TradeError> {
        let mut wrapped: Vec<(usize, WrappedBundle)> = Vec::new();
        for (kind, &count) in counts.iter().enumerate() {
            if count > 0 {
                wrapped.extend(self.wrap(kind, count)?.iter().map(|bundle| (kind, bundle.clone())));
            }
        }
        // The parcel weighs more than what is in it, and a heavier one falls from no higher.
        let contents: f64 = wrapped.iter().map(|(_, wrapped)| wrapped.bundle.mass_g).sum();
        let drop = self.guarding.drop(Mass::from_grams(contents))?;
        let mut settled: BTreeMap<(usize, String), Known> = BTreeMap::new();
        let mut ready = Vec::with_capacity(wrapped.len());
        for (kind, mut wrapped) in wrapped {
            let key = (kind, wrapped.bundle.label.clone());
            let known = match settled.get(&key) {
                Some(known) => known.clone(),
                None => {
                    let of = &self.kinds[kind];
                    let row = &self.job.finds[of.find].rows[of.row];
                    let mut parts: Vec<PartKind> =
                        wrapped.bundle.parts.iter().map(|part| part.kind).collect();
                    parts.sort_unstable();
                    parts.dedup();
                    let bears = self.guarding.bears(row, &parts)?;
                    let known = self.guarding.settle(&wrapped, bears, drop.0, decide);
                    settled.insert(key, known.clone());
                    known
                }
            };
            wrapped.bundle.wall_clearance_mm = known.asked.used.mm();
            ready.push(Ready { wrapped, known });
        }
        Ok((ready, drop))
    }

    fn attempt(&mut self, counts: &[u32], decide: Decide, more: &More) -> Result<Shipped, TradeError> {
        let (mut ready, drop) = self.ready(counts, decide)?;
        for one in &mut ready {
            if let Some(more) = more.get(&one.wrapped.bundle.label) {
                one.known.asked.used += *more;
                one.wrapped.bundle.wall_clearance_mm = one.known.asked.used.mm();
            }
        }
        let contents = self.expected_contents(counts);
        let bundles: Vec<&Bundle> = ready.iter().map(|one| &one.wrapped.bundle).collect();
        let wrap_minutes: f64 = ready.iter().map(|one| one.wrapped.minutes).sum();
        let wrap_cents: i64 =
            ready.iter().flat_map(|one| &one.wrapped.uses).map(|used| used.cost_cents).sum();
        let (job, choices, destinations) = (self.job, &self.choices, &self.destinations);
        let finish = |draft: &Draft| -> Result<Finish, String> {
            let mut finish = choices[draft.carton].finish(draft)?;
            let quotes = price(job, destinations, &facts(&choices[draft.carton].carton, finish.gross_g))?;
            let postage = expected(quotes.iter().map(|quote| quote.total), destinations);
            finish.minutes.wrapping = wrap_minutes;
            let materials: i64 = finish.materials.iter().map(|used| used.cost_cents).sum();
            let labour = job.wage.cents() as f64 * finish.minutes.total() / 60.0;
            finish.cost_cents = postage.cents() + materials + wrap_cents + labour.round() as i64;
            Ok(finish)
        };
        let prove = |parcel: &plan::Parcel| proof::check(parcel, &contents).is_empty();
        let packed = self
            .packer
            .pack(&bundles, &finish, &prove)
            .map_err(|refused| TradeError::NotPacked(refused.to_string()))?;
        self.shipped(packed, &ready, drop)
    }

    fn shipped(
        &self,
        packed: Packed,
        ready: &[Ready],
        drop: (Length, String),
    ) -> Result<Shipped, TradeError> {
        let Packed { mut parcel, cost_cents, bound_cents, .. } = packed;
        let mut uses = std::mem::take(&mut parcel.materials);
        for used in ready.iter().flat_map(|one| &one.wrapped.uses) {
            match uses.iter_mut().find(|row| row.material == used.material && row.unit == used.unit) {
                Some(row) => {
                    row.quantity += used.quantity;
                    row.mass_g += used.mass_g;
                    row.cost_cents += used.cost_cents;
                }
                None => uses.push(used.clone()),
            }
        }
        parcel.materials = uses;
        let facts = facts(&parcel.carton, parcel.gross_g);
        let quotes = price(self.job, &self.destinations, &facts).map_err(TradeError::NotPacked)?;
        let postage = expected(quotes.iter().map(|quote| quote.total), &self.destinations);
        let notes = step_notes(&facts, postage, &self.job.post.card, self.job.post.date, &self.destinations);
        let guard = self.guard(&parcel, ready, drop);
        Ok(Shipped {
            outside: facts.outside,
            gross: facts.gross,
            quotes,
            materials: Money::from_cents(parcel.materials.iter().map(|used| used.cost_cents).sum()),
            minutes: parcel.minutes.total(),
            cost: Money::from_cents(cost_cents),
            bound: Money::from_cents(bound_cents),
            notes,
            guard,
            plan: parcel,
        })
    }

    fn guard(&self, parcel: &plan::Parcel, ready: &[Ready], drop: (Length, String)) -> Result<Guard, String> {
        let known: Option<Vec<Known>> = parcel
            .bundles
            .iter()
            .map(|placed| of_bundle(ready, placed).map(|one| one.known.clone()))
            .collect();
        let known = known.ok_or_else(|| String::from("a bundle of the plan is not among those wrapped"))?;
        self.guarding.guard(parcel, &known, drop)
    }
}

/// The wrapped bundle that was placed.
fn of_bundle<'r>(ready: &'r [Ready], placed: &PlacedBundle) -> Option<&'r Ready> {
    ready.iter().find(|one| {
        let bundle = &one.wrapped.bundle;
        bundle.label == placed.label && bundle.contents == placed.contents && bundle.mass_g == placed.mass_g
    })
}

/// Adds to the distance from the carton of every bundle at risk, by as much as its margin is short.
fn thicken(more: &mut More, shipped: &Shipped) {
    let Ok(guard) = &shipped.guard else { return };
    for (index, placed) in shipped.plan.bundles.iter().enumerate() {
        let margin = guard.assessment.margin_of(index);
        if margin < 0.0 {
            // Shock goes with one over thickness, or more slowly.
            let short = Length::from_mm(placed.walls.required_mm * (1.0 / (1.0 + margin).max(0.5) - 1.0));
            let added = more.entry(placed.label.clone()).or_insert(Length::ZERO);
            *added = (*added).max(short.max(LEAST_MORE));
        }
    }
}
