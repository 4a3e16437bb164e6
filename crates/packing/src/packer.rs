//! The door of the room: bundles in, the cheapest parcel out.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use plan::{Carton, Crush, Parcel};
use rayon::prelude::*;
use shape::{Bundle, WayUp};

use crate::Standing;
use crate::arrange::arrange;
use crate::bounds::Bounds;
use crate::boxed::{Boxed, Wish, boxed};
use crate::build::{LaidOut, carried, loading_order, parcel};
use crate::candidate::{Draft, Finish};
use crate::energy::Layout;
use crate::layers::Layers;
use crate::nest::{Nest, smallest_rectangle};
use crate::stack::{Item, Stack, stacks};
use crate::tend::Found;

/// Rules every plan keeps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// How far wrap may be pressed.
    pub crush: Crush,
    /// Thickness of one pad between layers, mm.
    pub pad_mm: f64,
    /// Most layers in one carton.
    pub most_layers: usize,
}

/// A parcel, laid out, with what the caller said it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Packed {
    /// The plan, in the record that is shown and checked.
    pub parcel: Parcel,
    /// The caller's cost, whole cents.
    pub cost_cents: i64,
    /// Index of the carton in the packer's list.
    pub carton: usize,
    /// A cost that no listed carton goes below for these bundles, whole cents: the parcel's own where all
    /// cheaper cartons were proved too small.
    pub bound_cents: i64,
}

/// Why no single parcel could be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// There is nothing to pack.
    #[error("there is nothing to pack")]
    Nothing,
    /// Two goods that may not share a carton.
    #[error("{one} and {other} may not share a carton: dense hard goods break glass and china")]
    Company {
        /// The one.
        one: String,
        /// The other.
        other: String,
    },
    /// A bundle that goes into none of the cartons.
    #[error(
        "{label} needs about {inside} in inside with its cushion and no listed carton has that; list a larger carton"
    )]
    TooLarge {
        /// The bundle.
        label: String,
        /// Inside length, width and height needed, inches, as text.
        inside: String,
    },
    /// Everything fits alone but not together, or only in parcels that cannot be sent.
    #[error("no single listed carton takes these {bundles} bundles: {reason}")]
    NoCarton {
        /// Number of bundles.
        bundles: usize,
        /// The last reason met.
        reason: String,
    },
}

/// Packs bundles into one carton out of a list, remembering every layer it has solved.
pub struct Packer {
    cartons: Vec<Carton>,
    rules: Rules,
    kinds: Vec<(Bundle, WayUp, Standing)>,
    layers: Layers,
    effort: u32,
}

/// Candidates decided side by side; a fixed number, so that the answer does not depend on threads.
const SIDE_BY_SIDE: usize = 4;
/// Stacks tried in one base before it is given up.
const STACKS: usize = 80;
/// Combinations of ways up that are tried.
const WAYS: usize = 12;

impl Packer {
    /// A packer for these cartons (inside length at least inside width) under these rules.
    #[must_use]
    pub fn new(cartons: Vec<Carton>, rules: Rules) -> Self {
        Self { cartons, rules, kinds: Vec::new(), layers: Layers::new(rules.crush, 1), effort: 1 }
    }

    /// The same packer, which searches `times` as long: each layer, and as many more stacks and ways up.
    /// What it had packed is forgotten.
    #[must_use]
    pub fn with_effort(self, times: u32) -> Self {
        let effort = times.max(1);
        Self { layers: Layers::new(self.rules.crush, effort), kinds: Vec::new(), effort, ..self }
    }

    /// The cartons it chooses from.
    #[must_use]
    pub fn cartons(&self) -> &[Carton] {
        &self.cartons
    }

    /// The cheapest parcel that takes all of `bundles`.
    ///
    /// `finish` prices a draft or says why it cannot be sent; `prove` has the last word on a plan.
    ///
    /// # Errors
    /// [`Refused`] with the reason when no carton takes them.
    pub fn pack(
        &mut self,
        bundles: &[&Bundle],
        finish: &(dyn Fn(&Draft) -> Result<Finish, String> + Sync),
        prove: &(dyn Fn(&Parcel) -> bool + Sync),
    ) -> Result<Packed, Refused> {
        if bundles.is_empty() {
            return Err(Refused::Nothing);
        }
        for (i, a) in bundles.iter().enumerate() {
            if let Some(b) = bundles[..i].iter().find(|b| !a.company.may_join(b.company)) {
                return Err(Refused::Company { one: b.label.clone(), other: a.label.clone() });
            }
        }
        let ways = self.learn(bundles);
        let question = Question { packer: self, bundles, ways: &ways, finish, prove };
        question.answer()
    }

    /// Gives every bundle in every way up its number; equal ones share it, and a way up that looks like
    /// a preferred one from every side is left out.
    fn learn(&mut self, bundles: &[&Bundle]) -> Vec<Vec<u32>> {
        bundles
            .iter()
            .map(|bundle| {
                let mut numbers: Vec<u32> = Vec::new();
                for &way in &bundle.ways_up {
                    let number = self.number(bundle, way);
                    let alike = |&known: &u32| {
                        let (a, b) = (&self.kinds[known as usize].2, &self.kinds[number as usize].2);
                        a.looks_alike(b)
                    };
                    if !numbers.iter().any(alike) {
                        numbers.push(number);
                    }
                }
                numbers
            })
            .collect()
    }

    fn number(&mut self, bundle: &Bundle, way: WayUp) -> u32 {
        let same = self.kinds.iter().position(|(known, up, _)| {
            *up == way
                && known.parts == bundle.parts
                && known.wall_clearance_mm == bundle.wall_clearance_mm
                && known.separation_mm == bundle.separation_mm
        });
        let number = same.unwrap_or_else(|| {
            self.kinds.push((bundle.clone(), way, Standing::new(bundle, way, self.rules.crush)));
            self.kinds.len() - 1
        });
        number as u32
    }
}

impl Packer {
    fn fits(&self, kinds: &[u32], length: f64, width: f64) -> Option<Arc<Nest>> {
        self.layers.fits(kinds, &|kind| &self.kinds[kind as usize].2, length, width)
    }
}

/// One order to be packed into one carton.
struct Question<'a> {
    packer: &'a Packer,
    bundles: &'a [&'a Bundle],
    ways: &'a [Vec<u32>],
    finish: &'a (dyn Fn(&Draft) -> Result<Finish, String> + Sync),
    prove: &'a (dyn Fn(&Parcel) -> bool + Sync),
}

/// A stack that stands in a base of this length and width.
#[derive(Clone)]
struct Standable<'a> {
    stack: Stack,
    items: Vec<Item<'a>>,
    laid_out: LaidOut,
}

/// What goes into a carton: layers with pads between them, or boxes on boxes.
#[derive(Clone)]
enum Laid<'a> {
    Layers(Arc<Standable<'a>>),
    Boxes(Boxed),
}

impl Laid<'_> {
    /// Depth of the bed and thickness of every pad, mm.
    fn bed_and_pads(&self) -> (f64, &[f64]) {
        match self {
            Self::Layers(standable) => (standable.stack.bed, &standable.stack.pads),
            Self::Boxes(boxes) => (boxes.bed, &[]),
        }
    }
}

impl<'a> Question<'a> {
    fn answer(&self) -> Result<Packed, Refused> {
        let bundles_g = self.bundles.iter().map(|bundle| bundle.mass_g).sum();
        let wrapped: f64 = self.bundles.iter().map(|bundle| bundle.wrapped_volume_mm3).sum();
        let draft = |carton: usize, (bed_mm, pads): (f64, &[f64])| Draft {
            carton,
            bundles_g,
            void_mm3: (self.packer.cartons[carton].inside_mm.iter().product::<f64>() - wrapped).max(0.0),
            bed_mm,
            pads: pads.len() as u32,
            pads_mm: pads.iter().sum(),
        };
        let mut reason = String::from("none is large enough");
        // A draft without pads costs no more than the parcel it becomes, so candidates are taken in the
        // order of that bound and the search stops when the bound passes the best parcel found.
        let mut candidates: Vec<(i64, usize)> = Vec::new();
        for carton in 0..self.packer.cartons.len() {
            match (self.finish)(&draft(carton, (0.0, &[]))) {
                Ok(finish) => candidates.push((finish.cost_cents, carton)),
                Err(why) => reason = why,
            }
        }
        candidates.sort_unstable();
        let stacks = self.all_stacks();
        let bases: Mutex<BTreeMap<[i64; 2], Option<Arc<Standable<'a>>>>> = Mutex::new(BTreeMap::new());
        let mut best: Option<(i64, usize, Laid<'a>, Finish)> = None;
        let mut from = 0;
        while from < candidates.len() {
            let chunk = &candidates[from..(from + SIDE_BY_SIDE).min(candidates.len())];
            if best.as_ref().is_some_and(|best| chunk[0].0 >= best.0) {
                break;
            }
            let found: Vec<_> = chunk
                .par_iter()
                .map(|&(bound, index)| {
                    let carton = &self.packer.cartons[index];
                    let layers = self
                        .base(carton, &stacks, &bases)
                        .filter(|standable| standable.stack.height <= carton.inside_mm[2] + 1e-6);
                    // Boxes on boxes need no pads; one layer has none either.
                    let rules = &self.packer.rules;
                    let boxes = if layers.as_ref().is_some_and(|found| found.stack.pads.is_empty()) {
                        None
                    } else {
                        boxed(carton.inside_mm, self.bundles, rules, Wish::Any)
                    };
                    let laid = layers.map(Laid::Layers).into_iter().chain(boxes.map(Laid::Boxes));
                    laid.filter_map(|laid| {
                        let finish = (self.finish)(&draft(index, laid.bed_and_pads())).ok()?;
                        let plan = self.record(carton, &laid, &finish);
                        (self.prove)(&plan).then(|| (finish.cost_cents.max(bound), index, laid, finish))
                    })
                    .min_by_key(|found| found.0)
                })
                .collect();
            for (cost, index, laid, finish) in found.into_iter().flatten() {
                if best.as_ref().is_none_or(|best| (cost, index) < (best.0, best.1)) {
                    best = Some((cost, index, laid, finish));
                }
            }
            from += chunk.len();
        }
        match best {
            Some((cost_cents, carton, laid, finish)) => Ok(Packed {
                parcel: self.handed(&self.packer.cartons[carton], &laid, &finish),
                cost_cents,
                carton,
                bound_cents: candidates
                    .iter()
                    .filter(|(_, index)| !self.too_small(&self.packer.cartons[*index]))
                    .map(|(bound, _)| *bound)
                    .chain([cost_cents])
                    .min()
                    .unwrap_or(cost_cents),
            }),
            None => Err(self.refusal(candidates.is_empty(), reason)),
        }
    }

    /// Whether a carton is proved too small: for a single bundle in every way up, or for the volume of the
    /// largest hard part of each, which are disjoint.
    fn too_small(&self, carton: &Carton) -> bool {
        let [length, width, height] = carton.inside_mm;
        let alone = |kind: u32| {
            let standing = &self.packer.kinds[kind as usize].2;
            let layout = Layout::new(vec![standing], self.packer.rules.crush);
            let side = Bounds::of(&layout, length - width).proved + 2.0 * standing.wall();
            standing.bed() + standing.headroom() > height + 1e-6 || side > width + 1e-6
        };
        let parts = |bundle: &&Bundle| -> f64 {
            bundle.parts.iter().map(|part| part.solid.volume_mm3()).fold(0.0, f64::max)
        };
        self.ways.iter().any(|ways| ways.iter().all(|&kind| alone(kind)))
            || self.bundles.iter().map(parts).sum::<f64>() > length * width * height
    }

    fn record(&self, carton: &Carton, laid: &Laid<'a>, finish: &Finish) -> Parcel {
        let rules = &self.packer.rules;
        match laid {
            Laid::Layers(standable) => {
                let Standable { stack, items, laid_out } = &**standable;
                parcel(carton, stack, laid_out, items, self.bundles, finish, rules)
            }
            Laid::Boxes(boxes) => boxes.parcel(carton, self.bundles, finish, rules),
        }
    }

    /// The chosen parcel as hands like it best, proved again.
    fn handed(&self, carton: &Carton, laid: &Laid<'a>, finish: &Finish) -> Parcel {
        let rules = &self.packer.rules;
        match laid {
            Laid::Layers(standable) => {
                let Standable { stack, items, laid_out } = &**standable;
                let found = Found { carton, stack, items, bundles: self.bundles, finish, rules };
                let tended = found.tended(laid_out).into_iter();
                tended
                    .map(|laid_out| parcel(carton, stack, &laid_out, items, self.bundles, finish, rules))
                    .find(|parcel| (self.prove)(parcel))
                    .unwrap_or_else(|| self.record(carton, laid, finish))
            }
            Laid::Boxes(_) => boxed(carton.inside_mm, self.bundles, rules, Wish::Lowest)
                .map(|lower| self.record(carton, &Laid::Boxes(lower), finish))
                .filter(|parcel| (self.prove)(parcel))
                .unwrap_or_else(|| self.record(carton, laid, finish)),
        }
    }

    /// Every stack worth trying, for every combination of ways up, lowest first.
    fn all_stacks(&self) -> Vec<(Vec<Item<'a>>, Stack)> {
        let mut found: Vec<(Vec<Item<'a>>, Stack)> = Vec::new();
        for ways in self.combinations() {
            let items: Vec<Item<'a>> = self
                .bundles
                .iter()
                .zip(&ways)
                .map(|(bundle, &kind)| Item {
                    standing: &self.packer.kinds[kind as usize].2,
                    kind,
                    mass_g: bundle.mass_g,
                    bears_load: bundle.bears_load,
                })
                .collect();
            found.extend(stacks(&items, &self.packer.rules).into_iter().map(|stack| (items.clone(), stack)));
        }
        // A stable sort: the preferred ways up come first among equals.
        found.sort_by(|a, b| a.1.height.total_cmp(&b.1.height).then(a.1.layers.len().cmp(&b.1.layers.len())));
        found
    }

    /// Kinds and ways up per bundle: like bundles stand alike, the preferred ways first.
    fn combinations(&self) -> Vec<Vec<u32>> {
        let mut found = vec![self.ways.iter().map(|ways| ways[0]).collect::<Vec<u32>>()];
        let mut seen: Vec<&Vec<u32>> = Vec::new();
        for ways in self.ways {
            if seen.contains(&ways) {
                continue;
            }
            seen.push(ways);
            for &other in &ways[1..] {
                for combination in found.clone() {
                    if found.len() >= WAYS.saturating_mul(self.packer.effort as usize) {
                        return found;
                    }
                    let changed: Vec<u32> = combination
                        .iter()
                        .zip(self.ways)
                        .map(|(&kind, own)| if own == ways && kind == ways[0] { other } else { kind })
                        .collect();
                    if !found.contains(&changed) {
                        found.push(changed);
                    }
                }
            }
        }
        found
    }

    /// The lowest stack that stands in a carton's base.
    fn base(
        &self,
        carton: &Carton,
        stacks: &[(Vec<Item<'a>>, Stack)],
        bases: &Mutex<BTreeMap<[i64; 2], Option<Arc<Standable<'a>>>>>,
    ) -> Option<Arc<Standable<'a>>> {
        let [length, width, _] = carton.inside_mm;
        let key = [(length * 1000.0).round() as i64, (width * 1000.0).round() as i64];
        let held = || bases.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(known) = held().get(&key) {
            return known.clone();
        }
        let tallest = self
            .packer
            .cartons
            .iter()
            .filter(|other| other.inside_mm[..2] == carton.inside_mm[..2])
            .map(|other| other.inside_mm[2])
            .fold(0.0, f64::max);
        let mut found = None;
        for (items, stack) in stacks.iter().take(STACKS.saturating_mul(self.packer.effort as usize)) {
            if stack.height > tallest + 1e-6 {
                break;
            }
            if let Some(standable) = self.lay_out(items, stack, length, width) {
                found = Some(Arc::new(standable));
                break;
            }
        }
        held().insert(key, found.clone());
        found
    }

    fn lay_out(&self, items: &[Item<'a>], stack: &Stack, length: f64, width: f64) -> Option<Standable<'a>> {
        let mut nests = Vec::new();
        for layer in &stack.layers {
            let mut sorted = layer.clone();
            sorted.sort_by_key(|&i| (items[i].kind, i));
            let kinds: Vec<u32> = sorted.iter().map(|&i| items[i].kind).collect();
            nests.push((self.packer.fits(&kinds, length, width)?, sorted));
        }
        let mut places = vec![[0.0; 3]; items.len()];
        for (nest, sorted) in nests {
            let standings: Vec<&Standing> = sorted.iter().map(|&i| items[i].standing).collect();
            let reference = standings.iter().map(|s| s.wall()).fold(0.0, f64::max);
            let size = [length - 2.0 * reference, width - 2.0 * reference];
            let arranged = arrange(&standings, &nest, size, self.packer.rules.crush);
            for (place, &i) in arranged.into_iter().zip(&sorted) {
                places[i] = [place[0] + reference, place[1] + reference, place[2]];
            }
        }
        if !carried(stack, items, &places) {
            return None;
        }
        let order: Option<Vec<Vec<usize>>> =
            stack.layers.iter().map(|layer| loading_order(layer, items, &places)).collect();
        Some(Standable {
            stack: stack.clone(),
            items: items.to_vec(),
            laid_out: LaidOut { places, order: order? },
        })
    }

    /// The clearest reason for a refusal: a bundle that fits nowhere alone, else the last one met.
    fn refusal(&self, none_sendable: bool, reason: String) -> Refused {
        for (bundle, ways) in self.bundles.iter().zip(self.ways) {
            let alone = ways.iter().any(|&kind| {
                let standing = &self.packer.kinds[kind as usize].2;
                self.packer.cartons.iter().any(|carton| {
                    standing.bed() + standing.headroom() <= carton.inside_mm[2] + 1e-6
                        && self.packer.fits(&[kind], carton.inside_mm[0], carton.inside_mm[1]).is_some()
                })
            });
            if !alone {
                let standing = &self.packer.kinds[ways[0] as usize].2;
                let square = smallest_rectangle(&[standing], 0.0, self.packer.rules.crush);
                let flat = Layout::new(vec![standing], self.packer.rules.crush).bounds(&[0.0; 3], 0.0);
                let wall = 2.0 * standing.wall();
                let sides = [flat[0].1 - flat[0].0 + wall, flat[1].1 - flat[1].0 + wall];
                let sides = if sides[0] * sides[1] < (square.short_mm + wall).powi(2) {
                    sides
                } else {
                    [square.short_mm + wall; 2]
                };
                let height = standing.bed() + standing.headroom();
                let inches = |mm: f64| format!("{:.1}", (mm / 25.4 * 10.0).ceil() / 10.0);
                return Refused::TooLarge {
                    label: bundle.label.clone(),
                    inside: format!(
                        "{} x {} x {}",
                        inches(sides[0].max(sides[1])),
                        inches(sides[0].min(sides[1])),
                        inches(height)
                    ),
                };
            }
        }
        let reason =
            if none_sendable { reason } else { String::from("together they are too large for any of them") };
        Refused::NoCarton { bundles: self.bundles.len(), reason }
    }
}
