//! A found stack turned and moved to what hands like, no distance given up.
//!
//! Handles are turned inwards where they have play, or all of them with the layer brought to rest anew;
//! whole layers are mirrored or turned by half; then all is set on the clock face and the tape's marks.
//! Of what comes out, and of what was found, hands choose.

use std::f64::consts::PI;

use plan::Carton;
use shape::Bundle;

use crate::build::{LaidOut, carried, feet, loading_order, parcel};
use crate::candidate::Finish;
use crate::distance::PlacedFoot;
use crate::energy::MARGIN_MM;
use crate::hands::{Hands, cramped, sticks_out};
use crate::packer::Rules;
use crate::snap::{Grid, MARKS, Marks, Piece};
use crate::stack::{Item, Stack};

/// Layouts that are set on marks before the nicest is chosen (judgement).
const SNAPPED: usize = 2;

/// What happens to a layer as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Image {
    Same,
    LeftToRight,
    FrontToBack,
    HalfTurn,
}

impl Image {
    const ALL: [Self; 4] = [Self::Same, Self::LeftToRight, Self::FrontToBack, Self::HalfTurn];

    fn of(self, [x, y, turn]: [f64; 3], inside: [f64; 2]) -> [f64; 3] {
        match self {
            Self::Same => [x, y, turn],
            Self::LeftToRight => [inside[0] - x, y, PI - turn],
            Self::FrontToBack => [x, inside[1] - y, -turn],
            Self::HalfTurn => [inside[0] - x, inside[1] - y, turn + PI],
        }
    }
}

/// A stack that was found for a carton, with what its record is made of.
pub(crate) struct Found<'a> {
    pub carton: &'a Carton,
    pub stack: &'a Stack,
    pub items: &'a [Item<'a>],
    pub bundles: &'a [&'a Bundle],
    pub finish: &'a Finish,
    pub rules: &'a Rules,
}

/// What is done to a layer: given its pieces, its grid and their places, their new places or nothing.
type Change<'c, 'a> = dyn Fn(&[Piece<'a>], &Grid<'_>, &[[f64; 3]]) -> Option<Vec<[f64; 3]>> + 'c;

impl<'a> Found<'a> {
    fn inside(&self) -> [f64; 2] {
        [self.carton.inside_mm[0], self.carton.inside_mm[1]]
    }

    fn pieces(&self, layer: &[usize]) -> Vec<Piece<'a>> {
        layer.iter().map(|&i| Piece { standing: self.items[i].standing, bundle: self.bundles[i] }).collect()
    }

    /// The layout with its order of loading; `None` when a pad is not carried or two pieces lock each
    /// other in.
    fn laid_out(&self, places: Vec<[f64; 3]>) -> Option<LaidOut> {
        if !carried(self.stack, self.items, &places) {
            return None;
        }
        let layers = &self.stack.layers;
        let order: Option<Vec<Vec<usize>>> =
            layers.iter().map(|layer| loading_order(layer, self.items, &places)).collect();
        Some(LaidOut { places, order: order? })
    }

    fn judged(&self, laid_out: &LaidOut) -> Hands {
        let Self { carton, stack, items, bundles, finish, rules } = self;
        Hands::of(&parcel(carton, stack, laid_out, items, bundles, finish, rules))
    }

    /// Every layer changed by `change`; a layer that it gives nothing for stays as it is. Says whether all
    /// were changed.
    fn changed(&self, places: &[[f64; 3]], marks: Marks, change: &Change<'_, 'a>) -> (Vec<[f64; 3]>, bool) {
        let mut changed = places.to_vec();
        let mut all = true;
        for layer in &self.stack.layers {
            let pieces = self.pieces(layer);
            let grid = Grid::new(&pieces, self.inside(), marks, self.rules.crush);
            let own: Vec<[f64; 3]> = layer.iter().map(|&i| places[i]).collect();
            match change(&pieces, &grid, &own) {
                Some(found) => {
                    for (place, &i) in found.into_iter().zip(layer) {
                        changed[i] = place;
                    }
                }
                None => all = false,
            }
        }
        (changed, all)
    }

    /// The layouts to choose from, the nicest first: those on the clock face and the coarsest marks that the
    /// room allows before those that are not.
    pub(crate) fn tended(&self, found: &LaidOut) -> Vec<LaidOut> {
        let inside = self.inside();
        let facing =
            self.changed(&found.places, MARKS[0], &|pieces, grid, own| inwards(pieces, grid, own, inside)).0;
        let settled = self
            .changed(&found.places, MARKS[0], &|pieces, grid, own| resettled(pieces, grid, own, inside))
            .0;
        let mut layouts: Vec<LaidOut> = vec![found.clone()];
        for base in [&found.places, &facing, &settled] {
            for image in Image::ALL {
                let (places, _) = self.changed(base, MARKS[0], &|_, grid, own| {
                    let there: Vec<[f64; 3]> = own.iter().map(|&at| image.of(at, inside)).collect();
                    grid.keeps(&there, &mut grid.work()).then_some(there)
                });
                if let Some(laid_out) = self.laid_out(places)
                    && !layouts.contains(&laid_out)
                {
                    layouts.push(laid_out);
                }
            }
        }
        let mut judged: Vec<(Hands, LaidOut)> =
            layouts.into_iter().map(|laid_out| (self.judged(&laid_out), laid_out)).collect();
        judged.sort_by_key(|(hands, _)| *hands);
        let mut ranked: Vec<LaidOut> = Vec::new();
        for marks in MARKS {
            let mut snapped: Vec<(Hands, LaidOut)> = judged
                .iter()
                .take(SNAPPED)
                .filter_map(|(_, laid_out)| {
                    let (places, all) =
                        self.changed(&laid_out.places, marks, &|_, grid, own| grid.snapped(own));
                    self.laid_out(places).filter(|_| all).map(|there| (self.judged(&there), there))
                })
                .collect();
            snapped.sort_by_key(|(hands, _)| *hands);
            ranked.extend(snapped.into_iter().map(|(_, laid_out)| laid_out));
            if !ranked.is_empty() {
                break;
            }
        }
        ranked.extend(judged.into_iter().map(|(_, laid_out)| laid_out));
        ranked
    }
}

/// How badly the handles and spouts of a piece point when it stands there.
fn outward(piece: &Piece<'_>, at: [f64; 3], inside: [f64; 2]) -> f64 {
    let mut sum = 0.0;
    for (part, foot) in piece.bundle.parts.iter().zip(feet(piece.standing, at)) {
        if !sticks_out(part.kind) {
            continue;
        }
        let centre = foot.centre();
        let step = [centre[0] - at[0], centre[1] - at[1]];
        let length = step[0].hypot(step[1]);
        if length < 1.0 {
            continue;
        }
        let way = [step[0] / length, step[1] / length];
        let reach = match foot {
            PlacedFoot::Disc { r, .. } => r,
            PlacedFoot::Rect { u, h, .. } => {
                h[0] * (way[0] * u[0] + way[1] * u[1]).abs() + h[1] * (way[1] * u[0] - way[0] * u[1]).abs()
            }
        };
        sum += cramped([centre[0] + reach * way[0], centre[1] + reach * way[1]], way, inside);
    }
    sum
}

/// Hours from the best to the worst for where a piece stands; equal ones in their order.
fn hours(piece: &Piece<'_>, at: [f64; 3], inside: [f64; 2]) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = (0..MARKS[0].hours)
        .map(|hour| {
            let turn = MARKS[0].turn(hour);
            (outward(piece, [at[0], at[1], turn], inside), turn)
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

fn has_handles(pieces: &[Piece<'_>]) -> bool {
    let mut parts = pieces.iter().flat_map(|piece| &piece.bundle.parts);
    parts.any(|part| sticks_out(part.kind)) && pieces.iter().any(|piece| !piece.standing.round)
}

/// Each piece in turn with its handles as far inwards as it has play, nothing moved.
fn inwards(
    pieces: &[Piece<'_>],
    grid: &Grid<'_>,
    own: &[[f64; 3]],
    inside: [f64; 2],
) -> Option<Vec<[f64; 3]>> {
    if !has_handles(pieces) {
        return None;
    }
    let mut work = grid.work();
    let mut places = own.to_vec();
    for i in (0..pieces.len()).chain(0..pieces.len()) {
        if pieces[i].standing.round {
            continue;
        }
        let now = outward(&pieces[i], places[i], inside);
        for (dislike, turn) in hours(&pieces[i], places[i], inside) {
            if dislike >= now - 1e-9 {
                break;
            }
            let was = places[i];
            places[i][2] = turn;
            if grid.keeps(&places, &mut work) {
                break;
            }
            places[i] = was;
        }
    }
    Some(places)
}

/// All handles inwards at once, the layer then brought to rest; `None` when it does not come to rest.
fn resettled(
    pieces: &[Piece<'_>],
    grid: &Grid<'_>,
    own: &[[f64; 3]],
    inside: [f64; 2],
) -> Option<Vec<[f64; 3]>> {
    if !has_handles(pieces) {
        return None;
    }
    let mut work = grid.work();
    let mut places = own.to_vec();
    for (place, piece) in places.iter_mut().zip(pieces) {
        if let Some((_, turn)) = hours(piece, *place, inside).first().filter(|_| !piece.standing.round) {
            place[2] = *turn;
        }
    }
    let settled = grid.spread(&places, MARGIN_MM, &mut work);
    grid.keeps(&settled, &mut work).then_some(settled)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_image_of_an_image_is_where_it_was() {
        let at = [70.0, 90.0, 0.4];
        for image in Image::ALL {
            let back = image.of(image.of(at, [300.0, 200.0]), [300.0, 200.0]);
            assert!((back[0] - at[0]).abs() < 1e-9 && (back[1] - at[1]).abs() < 1e-9);
            assert!(
                (back[2] - at[2]).rem_euclid(2.0 * PI).min((at[2] - back[2]).rem_euclid(2.0 * PI)) < 1e-9
            );
        }
        // A handle to the right of a piece at the left points left once it is mirrored.
        let mirrored = Image::LeftToRight.of([50.0, 90.0, 0.0], [300.0, 200.0]);
        assert!((mirrored[0] - 250.0).abs() < 1e-9 && (mirrored[2] - PI).abs() < 1e-9);
    }
}
