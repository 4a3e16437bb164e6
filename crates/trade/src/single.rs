//! One parcel of some counts: wrapped, cushioned by rule and by computation, packed, priced, dropped on paper.

use std::collections::BTreeMap;

use droptest::Detail;
use measure::{Length, Mass, Money};
use packing::{Draft, Finish};
use plan::PlacedBundle;
use protection::WrappedBundle;
use shape::{Bundle, PartKind};

use crate::guarding::{Ask, Known};
use crate::job::{Decide, DoubleBox};
use crate::notes::step_notes;
use crate::order::{Shipped, expected};
use crate::planner::{Planner, facts, price};
use crate::{Guard, TradeError};

/// Times a parcel at risk is packed again with more cushion where it is short.
const TRIES: usize = 4;
/// Least that a short cushion is thickened by (judgement: less is not worth packing again).
const LEAST_MORE: Length = Length::from_inches(0.25);

/// Shares of the way from the rule to the computed cushion that are weighed beside the rule (judgement).
const SHARES: [f64; 2] = [0.5, 1.0];
/// Share of the distance to the carton that neighbours keep from each other where more cushion is asked for
/// (judgement: sources ask for anything from the wrap alone to the whole of it).
const BETWEEN: f64 = 0.5;
/// Expected breakage that is not worth packing again for.
const LEAST_SAVED: Money = Money::from_cents(5);

/// Bundles that are tried beyond those a recipe makes of a kind.
const MORE_BUNDLES: u32 = 2;

/// Further distance from the carton, by the label of a bundle.
type More = BTreeMap<String, Length>;

/// How the pieces of a parcel are bundled and cushioned.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Way {
    /// Distance to the carton.
    pub ask: Ask,
    /// Further distance, where a bundle was short.
    more: More,
    /// Most pieces of a kind in one bundle, where that is less than its recipe has.
    together: BTreeMap<usize, u32>,
}

impl Way {
    pub(crate) const fn by(ask: Ask) -> Self {
        Self { ask, more: More::new(), together: BTreeMap::new() }
    }
}

/// How a parcel was made, so that it can be made again.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Made {
    /// In one box.
    OneBox(Way),
    /// In two boxes.
    TwoBoxes,
}

/// A wrapped bundle with what is known of it.
#[derive(Clone)]
pub(crate) struct Ready {
    pub wrapped: WrappedBundle,
    pub known: Known,
}

impl Planner<'_> {
    /// One parcel of these counts, if one can be. Where the cushion is not weighed by its worth, a parcel at risk
    /// is refused unless the planner is lenient.
    pub(crate) fn single(&mut self, counts: &[u32]) -> Result<Shipped, TradeError> {
        if self.watch.is_stopped() {
            return Err(TradeError::Stopped);
        }
        let two = self.job.protecting.double_box;
        if two == DoubleBox::Always {
            return self.two_boxes(counts);
        }
        let found = match self.guarding.decide {
            Decide::Worth => {
                let one = self.worth_it(counts)?;
                let value = self.value(counts);
                if !self.wants_two(&one, value) {
                    return Ok(one);
                }
                return Ok(match self.against(&one, |planner| planner.two_boxes(counts)) {
                    Ok(two) if two.weighed() < one.weighed() => two,
                    Ok(_) | Err(_) => one,
                });
            }
            Decide::Rule => return self.attempt(counts, &Way::by(Ask::Rule)),
            Decide::Stricter => self.one_box(counts, Ask::Towards(1.0)),
            Decide::Computed => self.one_box(counts, Ask::Computed),
        };
        let safe = |found: &Result<Shipped, TradeError>| found.as_ref().is_ok_and(|one| one.margin() >= 0.0);
        let found = if safe(&found) || two == DoubleBox::Never {
            found
        } else {
            // One box can't do it: a box in a box may.
            let doubled = self.two_boxes(counts);
            if safe(&doubled) { doubled } else { found }
        };
        if self.lenient {
            // What no carton cushions as computed goes by the rule, and says so.
            return found.or_else(|_| self.attempt(counts, &Way::by(Ask::Rule)));
        }
        found.and_then(|shipped| match shipped.margin() {
            margin if margin < 0.0 => Err(TradeError::NotPacked(format!(
                "no listed carton cushions it well enough: the margin is {:.0} %",
                100.0 * margin
            ))),
            _ => Ok(shipped),
        })
    }

    /// One box, bundled as is cheapest by the rule, with as much cushion beyond it as is worth its cost.
    fn worth_it(&mut self, counts: &[u32]) -> Result<Shipped, TradeError> {
        let mut way = Way::by(Ask::Rule);
        let mut best = self.attempt(counts, &way)?;
        for kind in 0..counts.len() {
            for together in self.smaller_bundles(kind, counts[kind]) {
                let mut other = way.clone();
                other.together.insert(kind, together);
                match self.against(&best, |planner| planner.attempt(counts, &other)) {
                    Ok(shipped) if shipped.weighed() < best.weighed() => (best, way) = (shipped, other),
                    // Where one more bundle gains nothing, two more seldom do.
                    Ok(_) | Err(_) => break,
                }
            }
        }
        for share in SHARES {
            // Little is left to save.
            if best.expected_breakage <= LEAST_SAVED {
                break;
            }
            let further = Way { ask: Ask::Towards(share), ..way.clone() };
            match self.against(&best, |planner| planner.attempt(counts, &further)) {
                Ok(shipped) if shipped.weighed() < best.weighed() => best = shipped,
                Ok(_) => {}
                // Where a larger cushion does not fit or costs too much, so does a still larger one.
                Err(_) => break,
            }
        }
        Ok(best)
    }

    /// Makes a parcel that is to beat another: one whose cost alone is as much as that one's cost and expected
    /// breakage together is given up before it is dropped.
    fn against(
        &mut self,
        best: &Shipped,
        make: impl FnOnce(&mut Self) -> Result<Shipped, TradeError>,
    ) -> Result<Shipped, TradeError> {
        self.lost_from = Some(best.weighed().cents());
        let made = make(self);
        self.lost_from = None;
        made
    }

    /// Whether a parcel of this cost has lost already.
    pub(crate) fn lost(&self, cost_cents: i64) -> Result<(), TradeError> {
        match self.lost_from {
            Some(limit) if cost_cents >= limit => {
                Err(TradeError::NotPacked(String::from("it costs more than the best so far")))
            }
            Some(_) | None => Ok(()),
        }
    }

    /// Fewer pieces to a bundle than the recipe has, so that one bundle more is made, then two.
    fn smaller_bundles(&self, kind: usize, count: u32) -> Vec<u32> {
        let most = self.kinds[kind].recipe.bundle.most();
        if most <= 1 || count <= 1 {
            return Vec::new();
        }
        let bundles = count.div_ceil(most);
        let mut found: Vec<u32> = (1..=MORE_BUNDLES).map(|more| count.div_ceil(bundles + more)).collect();
        found.dedup();
        found.retain(|together| *together < most.min(count));
        found
    }

    /// One box; where pieces are at risk it is packed again with more round them, as often as `TRIES`.
    pub(crate) fn one_box(&mut self, counts: &[u32], ask: Ask) -> Result<Shipped, TradeError> {
        let mut way = Way::by(ask);
        let mut best: Option<Shipped> = None;
        for _ in 0..TRIES {
            let shipped = match (self.attempt(counts, &way), best.take()) {
                (Ok(shipped), kept) => {
                    best = kept;
                    shipped
                }
                (Err(_), Some(best)) => return Ok(best),
                (Err(why), None) => return Err(why),
            };
            let margin = shipped.margin();
            thicken(&mut way.more, &shipped);
            if best.as_ref().is_none_or(|best| margin > best.margin()) {
                best = Some(shipped);
            }
            if margin >= 0.0 {
                break;
            }
        }
        best.ok_or_else(|| TradeError::NotPacked(String::from("there is nothing to pack")))
    }

    /// What pieces of these counts are worth, cents: their price, what the comps say of a single set, or the usual
    /// value of a piece.
    pub(crate) fn value(&mut self, counts: &[u32]) -> f64 {
        let mut sum = 0.0;
        for (kind, &count) in counts.iter().enumerate().filter(|(_, count)| **count > 0) {
            let value = match self.values[kind] {
                Some(value) => value,
                None => {
                    let value = self.piece_value(kind);
                    self.values[kind] = Some(value);
                    value
                }
            };
            sum += value * f64::from(count);
        }
        sum
    }

    fn piece_value(&self, kind: usize) -> f64 {
        let find = &self.job.finds[self.kinds[kind].find];
        let in_lot: u32 = find.rows.iter().map(|row| row.per_lot).sum();
        if let (Some(price), true) = (find.price, in_lot > 0) {
            return price.cents() as f64 / f64::from(in_lot);
        }
        let in_set = f64::from(find.unit().iter().sum::<u32>().max(1));
        let market = &self.job.market;
        pricing::appraise(&find.comps, find.grade, &market.assumptions)
            .and_then(|appraisal| appraisal.lot(1))
            .map_or(self.job.protecting.piece_value.cents() as f64, |worth| 100.0 * worth.median / in_set)
    }

    /// A parcel made again as it will be shown: laid as hands like it, its drop followed to the end.
    pub(crate) fn finished(&mut self, counts: &[u32], shipped: Shipped) -> Shipped {
        self.comparing = false;
        let made = shipped.made.clone();
        let again = match made {
            Made::OneBox(way) => self.attempt(counts, &way),
            Made::TwoBoxes => self.two_boxes(counts),
        };
        self.comparing = true;
        match again {
            // What hands like is no reason to put a safe parcel at risk.
            Ok(again)
                if self.guarding.decide == Decide::Worth || again.margin() >= shipped.margin().min(0.0) =>
            {
                again
            }
            Ok(_) | Err(_) => shipped,
        }
    }

    /// The wrapped bundles of these counts, each settled on its distance from the carton.
    pub(crate) fn ready(
        &mut self,
        counts: &[u32],
        way: &Way,
    ) -> Result<(Vec<Ready>, (Length, String)), TradeError> {
        let mut wrapped: Vec<(usize, WrappedBundle)> = Vec::new();
        for (kind, &count) in counts.iter().enumerate() {
            if count > 0 {
                let together = way.together.get(&kind).copied().unwrap_or(u32::MAX);
                wrapped.extend(self.wrap(kind, count, together)?.iter().map(|bundle| (kind, bundle.clone())));
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
                    let known = self.guarding.settle(&wrapped, bears, drop.0, way.ask);
                    settled.insert(key, known.clone());
                    known
                }
            };
            wrapped.bundle.wall_clearance_mm = known.asked.used.mm();
            if let Ask::Towards(share) = way.ask {
                // Neighbours meet each other as they meet the carton, with less speed between them.
                let apart = share * BETWEEN * known.asked.used.mm();
                wrapped.bundle.separation_mm = wrapped.bundle.separation_mm.max(apart);
            }
            ready.push(Ready { wrapped, known });
        }
        Ok((ready, drop))
    }

    fn attempt(&mut self, counts: &[u32], way: &Way) -> Result<Shipped, TradeError> {
        let (mut ready, drop) = self.ready(counts, way)?;
        let value = self.value(counts);
        for one in &mut ready {
            if let Some(more) = way.more.get(&one.wrapped.bundle.label) {
                one.known.asked.used += *more;
                one.wrapped.bundle.wall_clearance_mm = one.known.asked.used.mm();
            }
        }
        self.packer.tend(!self.comparing);
        let contents = self.expected_contents(counts);
        let bundles: Vec<&Bundle> = ready.iter().map(|one| &one.wrapped.bundle).collect();
        let wrap_minutes: f64 = ready.iter().map(|one| one.wrapped.minutes).sum();
        let wrap_cents: i64 =
            ready.iter().flat_map(|one| &one.wrapped.uses).map(|used| used.cost_cents).sum();
        let (job, choices, destinations) = (self.job, &self.choices, &self.destinations);
        let finish = |draft: &Draft| -> Result<Finish, String> {
            let mut finish = choices[draft.carton].finish(draft)?;
            let quotes =
                price(job, destinations, &facts(job, &choices[draft.carton].carton, finish.gross_g))?;
            let postage = expected(quotes.iter().map(|quote| quote.total), destinations);
            finish.minutes.wrapping = wrap_minutes;
            let materials: i64 = finish.materials.iter().map(|used| used.cost_cents).sum();
            let minutes = finish.minutes.total() * job.learnt.minutes();
            let labour = job.wage.cents() as f64 * minutes / 60.0;
            finish.cost_cents = postage.cents() + materials + wrap_cents + labour.round() as i64;
            Ok(finish)
        };
        let prove = |parcel: &plan::Parcel| proof::check(parcel, &contents).is_empty();
        let packed = self
            .packer
            .pack(&bundles, &finish, &prove)
            .map_err(|refused| TradeError::NotPacked(refused.to_string()))?;
        self.lost(packed.cost_cents)?;
        self.shipped(
            packed.parcel,
            [packed.cost_cents, packed.bound_cents],
            &ready,
            drop,
            value,
            Made::OneBox(way.clone()),
        )
    }

    /// A plan, priced and dropped; what its bundles are wrapped in is added to what it uses.
    pub(crate) fn shipped(
        &self,
        mut parcel: plan::Parcel,
        [cost_cents, bound_cents]: [i64; 2],
        ready: &[Ready],
        drop: (Length, String),
        value: f64,
        made: Made,
    ) -> Result<Shipped, TradeError> {
        let mut uses = std::mem::take(&mut parcel.materials);
        for used in ready.iter().flat_map(|one| &one.wrapped.uses) {
            add_use(&mut uses, used);
        }
        parcel.materials = uses;
        let facts = facts(self.job, &parcel.carton, parcel.gross_g);
        let quotes = price(self.job, &self.destinations, &facts).map_err(TradeError::NotPacked)?;
        let postage = expected(quotes.iter().map(|quote| quote.total), &self.destinations);
        let notes = step_notes(&facts, postage, &self.job.post.card, self.job.post.date, &self.destinations);
        let guard = self.guard(&parcel, ready, drop);
        let chance_of_breakage =
            guard.as_ref().map_or(0.0, |guard: &Guard| guard.assessment.chance_of_breakage(guard.safety));
        Ok(Shipped {
            outside: facts.outside,
            gross: facts.gross,
            quotes,
            materials: Money::from_cents(parcel.materials.iter().map(|used| used.cost_cents).sum()),
            minutes: parcel.minutes.total() * self.job.learnt.minutes(),
            cost: Money::from_cents(cost_cents),
            bound: Money::from_cents(bound_cents),
            notes,
            guard,
            limits: crate::boards::limits(self.job, self.library, &parcel).unwrap_or_default(),
            made,
            chance_of_breakage,
            expected_breakage: Money::from_cents_rounded(chance_of_breakage * value),
            plan: parcel,
        })
    }

    pub(crate) fn guard(
        &self,
        parcel: &plan::Parcel,
        ready: &[Ready],
        drop: (Length, String),
    ) -> Result<Guard, String> {
        let pieces = parcel.holding();
        let known: Option<Vec<Known>> = pieces
            .bundles
            .iter()
            .map(|placed| of_bundle(ready, placed).map(|one| one.known.clone()))
            .collect();
        let known = known.ok_or_else(|| String::from("a bundle of the plan is not among those wrapped"))?;
        // A rough drop may rank parcels; one that is to be safe or not is followed to the end.
        let ranked = self.comparing && self.guarding.decide == Decide::Worth;
        let detail = if ranked { Detail::Rough } else { Detail::Full };
        self.guarding.guard(parcel, &known, drop, detail)
    }
}

/// Adds a use to the row of its material.
pub(crate) fn add_use(rows: &mut Vec<plan::MaterialUse>, used: &plan::MaterialUse) {
    match rows.iter_mut().find(|row| row.material == used.material && row.unit == used.unit) {
        Some(row) => {
            row.quantity += used.quantity;
            row.mass_g += used.mass_g;
            row.cost_cents += used.cost_cents;
        }
        None => rows.push(used.clone()),
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
    let mut short = More::new();
    for (index, placed) in shipped.plan.bundles.iter().enumerate() {
        let margin = guard.assessment.margin_of(index);
        if margin < 0.0 {
            // Shock goes with one over thickness, or more slowly.
            let by = placed.walls.required_mm * (1.0 / (1.0 + margin).max(0.5) - 1.0);
            let most = short.entry(placed.label.clone()).or_insert(LEAST_MORE);
            *most = (*most).max(Length::from_mm(by));
        }
    }
    // On top of what was added before: the parcel had that and was short all the same.
    for (label, by) in short {
        *more.entry(label).or_insert(Length::ZERO) += by;
    }
}
