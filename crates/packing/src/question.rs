//! One set of bundles asked of every carton: which take it, and which is cheapest.

use std::collections::BTreeMap;

use plan::Carton;
use shape::{Bundle, WayUp};

use crate::Standing;
use crate::bounds::Bounds;
use crate::energy::Layout;
use crate::fill::{filled, relieved};
use crate::layers::{Depth, Fit, Layers, difference};
use crate::nest::smallest_rectangle;
use crate::packer::{Refused, Rules};
use crate::stack::{Item, Stack, stacks};
use crate::stacking::Tried;
use crate::tally::Reason;

/// Combinations of ways up that are tried.
const WAYS: usize = 12;
/// Bundles up to which layers are listed for every base at once; beyond, they are made for each carton.
pub(crate) const FEW: usize = 12;
/// Bundles up to which they are listed too.
const LISTED: usize = 20;
/// Stacks of the list tried in one base before it is given up.
const STACKS: usize = 80;
/// Stacks made for one carton, of those with the least share of its base.
const MADE: usize = 6;
/// Pieces moved from a layer that does not fit to another before a stack is given up.
const REPAIRS: usize = 6;

/// One order to be packed into one carton.
pub(crate) struct Question<'a> {
    pub cartons: &'a [Carton],
    pub rules: Rules,
    pub kinds: &'a [(Bundle, WayUp, Standing)],
    pub layers: &'a mut Layers,
    pub effort: u32,
    pub bundles: &'a [&'a Bundle],
    ways: Vec<Vec<u32>>,
    /// Items of every combination of ways up, the preferred ways first.
    pub combinations: Vec<Vec<Item<'a>>>,
    /// Stacks whatever the base: (combination, stack), the lowest first.
    pub listed: Vec<(usize, Stack)>,
    /// Least widths of the listed stacks for each difference of sides: what is proved and what is worth
    /// trying, mm.
    widths: BTreeMap<i64, Vec<[f64; 2]>>,
}

/// One stack in one carton.
pub(crate) struct Attempt {
    pub combination: usize,
    pub stack: Stack,
    /// Whether pieces may be moved from a layer that does not fit to another.
    pub loose: bool,
}

/// Everything worth trying in one carton.
pub(crate) struct Attempts {
    pub list: Vec<Attempt>,
    /// Whether what was left out was left out by proved bounds alone.
    pub proved: bool,
}

impl<'a> Question<'a> {
    pub(crate) fn new(
        cartons: &'a [Carton],
        rules: Rules,
        kinds: &'a [(Bundle, WayUp, Standing)],
        layers: &'a mut Layers,
        effort: u32,
        bundles: &'a [&'a Bundle],
        ways: Vec<Vec<u32>>,
    ) -> Self {
        let mut question = Self {
            cartons,
            rules,
            kinds,
            layers,
            effort,
            bundles,
            ways,
            combinations: Vec::new(),
            listed: Vec::new(),
            widths: BTreeMap::new(),
        };
        question.combinations = question.ways_up().iter().map(|ways| question.items(ways)).collect();
        if bundles.len() <= LISTED {
            for (number, items) in question.combinations.iter().enumerate() {
                question.listed.extend(stacks(items, &rules).into_iter().map(|stack| (number, stack)));
            }
            // A stable sort: the preferred ways up come first among equals.
            question.listed.sort_by(|a, b| {
                a.1.height.total_cmp(&b.1.height).then(a.1.layers.len().cmp(&b.1.layers.len()))
            });
        }
        question
    }

    fn standing(&self, kind: u32) -> &'a Standing {
        &self.kinds[kind as usize].2
    }

    fn items(&self, ways: &[u32]) -> Vec<Item<'a>> {
        let item = |(bundle, &kind): (&&Bundle, &u32)| Item {
            standing: self.standing(kind),
            kind,
            mass_g: bundle.mass_g,
            bears_load: bundle.bears_load,
        };
        self.bundles.iter().zip(ways).map(item).collect()
    }

    /// Kinds and ways up per bundle: like bundles stand alike, the preferred ways first.
    fn ways_up(&self) -> Vec<Vec<u32>> {
        let most = WAYS.saturating_mul(self.effort.max(1) as usize);
        let mut found = vec![self.ways.iter().filter_map(|ways| ways.first().copied()).collect::<Vec<u32>>()];
        let mut seen: Vec<&Vec<u32>> = Vec::new();
        for ways in &self.ways {
            if seen.contains(&ways) {
                continue;
            }
            seen.push(ways);
            for &other in ways.iter().skip(1) {
                for combination in found.clone() {
                    if found.len() >= most {
                        return found;
                    }
                    let changed: Vec<u32> = combination
                        .iter()
                        .zip(&self.ways)
                        .map(
                            |(&kind, own)| {
                                if own == ways && Some(&kind) == ways.first() { other } else { kind }
                            },
                        )
                        .collect();
                    if !found.contains(&changed) {
                        found.push(changed);
                    }
                }
            }
        }
        found
    }

    /// Whether a layer of these items, sorted by kind, goes into a base.
    pub(crate) fn ask(
        &mut self,
        sorted: &[usize],
        items: &[Item<'a>],
        base: [f64; 2],
        depth: Depth,
    ) -> (Fit, Reason) {
        let kinds: Vec<u32> = sorted.iter().map(|&i| items[i].kind).collect();
        let all = self.kinds;
        self.layers.ask(&kinds, &|kind| &all[kind as usize].2, base, depth)
    }

    /// Everything worth trying in a carton.
    pub(crate) fn attempts(&mut self, carton: usize) -> Attempts {
        let inside = self.cartons[carton].inside_mm;
        let mut attempts = Attempts { list: Vec::new(), proved: true };
        let most = STACKS.saturating_mul(self.effort.max(1) as usize);
        let widths = self.widths_for(difference([inside[0], inside[1]]));
        for ((combination, stack), [proved, worth]) in self.listed.iter().zip(&widths).take(most) {
            if stack.height > inside[2] + 1e-6 {
                break;
            }
            if *proved > inside[1] + 1e-6 {
                continue;
            }
            if *worth > inside[1] + 1e-6 {
                attempts.proved = false;
                continue;
            }
            attempts.list.push(Attempt { combination: *combination, stack: stack.clone(), loose: false });
        }
        self.widths.insert(difference([inside[0], inside[1]]), widths);
        if self.bundles.len() > FEW {
            attempts.proved = false;
            let mut made: Vec<(f64, Attempt)> = Vec::new();
            for (combination, items) in self.combinations.iter().enumerate() {
                made.extend(
                    filled(items, &self.rules, inside)
                        .into_iter()
                        .map(|found| (found.share, Attempt { combination, stack: found.stack, loose: true })),
                );
            }
            made.sort_by(|a, b| a.0.total_cmp(&b.0));
            let made = made.into_iter().take(MADE.saturating_mul(self.effort.max(1) as usize));
            attempts.list.extend(made.map(|made| made.1));
        }
        attempts
    }

    /// Least widths of the listed stacks where the sides differ by so many micrometres.
    fn widths_for(&mut self, difference: i64) -> Vec<[f64; 2]> {
        if let Some(known) = self.widths.remove(&difference) {
            return known;
        }
        let all = self.kinds;
        let most = STACKS.saturating_mul(self.effort.max(1) as usize);
        let mut widths = Vec::with_capacity(self.listed.len().min(most));
        for (combination, stack) in self.listed.iter().take(most) {
            let items = &self.combinations[*combination];
            let mut width = [0.0_f64; 2];
            for layer in &stack.layers {
                let mut kinds: Vec<u32> = layer.iter().map(|&i| items[i].kind).collect();
                kinds.sort_unstable();
                let least = self.layers.least_width(&kinds, &|kind| &all[kind as usize].2, difference);
                width = [width[0].max(least[0]), width[1].max(least[1])];
            }
            widths.push(width);
        }
        widths
    }

    /// Tries a stack in a carton; where it is loose, pieces are moved out of layers that do not fit.
    pub(crate) fn attempt(&mut self, attempt: &Attempt, carton: usize, depth: Depth) -> Tried<'a> {
        let inside = self.cartons[carton].inside_mm;
        let base = [inside[0], inside[1]];
        let items = self.combinations[attempt.combination].clone();
        let mut tried = self.stands(&items, &attempt.stack, base, depth);
        let mut stack = attempt.stack.clone();
        for _ in 0..if attempt.loose { REPAIRS } else { 0 } {
            let Tried::Missing { layer, .. } = &tried else { break };
            let Some(next) = relieved(&stack, *layer, &items, &self.rules, inside[2]) else { break };
            stack = next;
            tried = self.stands(&items, &stack, base, depth);
        }
        tried
    }

    /// Whether a carton is proved too small: for a single bundle in every way up, or for the volume of the
    /// largest hard part of each, which are disjoint.
    pub(crate) fn too_small(&self, carton: &Carton) -> bool {
        let [length, width, height] = carton.inside_mm;
        let alone = |kind: u32| {
            let standing = self.standing(kind);
            let side = Bounds::of_items(&[standing], self.rules.crush, length - width).proved;
            standing.bed() + standing.headroom() > height + 1e-6
                || side + 2.0 * standing.wall() > width + 1e-6
        };
        let parts = |bundle: &&Bundle| -> f64 {
            bundle.parts.iter().map(|part| part.solid.volume_mm3()).fold(0.0, f64::max)
        };
        let mut before: Option<&Vec<u32>> = None;
        let alone_too_small = |ways: &'_ Vec<u32>| ways.iter().all(|&kind| alone(kind));
        for ways in &self.ways {
            if before != Some(ways) && alone_too_small(ways) {
                return true;
            }
            before = Some(ways);
        }
        self.bundles.iter().map(parts).sum::<f64>() > length * width * height
    }

    /// The clearest reason for a refusal: a bundle that fits nowhere alone, else the last one met.
    pub(crate) fn refusal(&mut self, none_sendable: bool, reason: String) -> Refused {
        for (k, bundle) in self.bundles.iter().enumerate() {
            let ways = self.ways[k].clone();
            let alone = ways.iter().any(|&kind| {
                let standing = self.standing(kind);
                let all = self.kinds;
                self.cartons.iter().any(|carton| {
                    let base = [carton.inside_mm[0], carton.inside_mm[1]];
                    standing.bed() + standing.headroom() <= carton.inside_mm[2] + 1e-6
                        && matches!(
                            self.layers.ask(&[kind], &|kind| &all[kind as usize].2, base, Depth::Search).0,
                            Fit::Yes(_)
                        )
                })
            });
            if let (false, Some(&kind)) = (alone, ways.first()) {
                return self.too_large(bundle, self.standing(kind));
            }
        }
        let reason =
            if none_sendable { reason } else { String::from("together they are too large for any of them") };
        Refused::NoCarton { bundles: self.bundles.len(), reason }
    }

    fn too_large(&self, bundle: &Bundle, standing: &Standing) -> Refused {
        let square = smallest_rectangle(&[standing], 0.0, self.rules.crush);
        let flat = Layout::new(vec![standing], self.rules.crush).bounds(&[0.0; 3], 0.0);
        let wall = 2.0 * standing.wall();
        let sides = [flat[0].1 - flat[0].0 + wall, flat[1].1 - flat[1].0 + wall];
        let sides = if sides[0] * sides[1] < (square.short_mm + wall).powi(2) {
            sides
        } else {
            [square.short_mm + wall; 2]
        };
        let height = standing.bed() + standing.headroom();
        let inches = |mm: f64| format!("{:.1}", (mm / 25.4 * 10.0).ceil() / 10.0);
        Refused::TooLarge {
            label: bundle.label.clone(),
            inside: format!(
                "{} x {} x {}",
                inches(sides[0].max(sides[1])),
                inches(sides[0].min(sides[1])),
                inches(height)
            ),
        }
    }
}
