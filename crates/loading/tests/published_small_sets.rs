//! Small sets with proven optima. The two heights were proven with the constraint solver CP-SAT of
//! OR-tools 9.15 (three coordinates and six ways per box); the boxes are those of Python's
//! `random.Random(n)` with `randint(60, 180)` three times per box, written out here.

#![allow(clippy::unwrap_used)]

mod sets;

use loading::{Budget, Goods, Support, lowest};
use sets::fault;

const SIX: [[u32; 3]; 6] =
    [[161, 133, 165], [70, 122, 157], [93, 64, 60], [78, 144, 135], [120, 157, 154], [107, 100, 158]];
const EIGHT: [[u32; 3]; 8] = [
    [89, 107, 108],
    [76, 84, 150],
    [65, 70, 77],
    [91, 163, 124],
    [86, 111, 142],
    [63, 118, 122],
    [118, 109, 123],
    [133, 84, 174],
];

fn lowest_height(boxes: &[[u32; 3]]) -> u32 {
    let goods: Vec<Goods> = boxes.iter().map(|&size| Goods::new(size, 1)).collect();
    let load = lowest([400, 300], 400, &goods, Support::None, Budget::SMALL).unwrap().unwrap();
    assert_eq!(load.placed.len(), boxes.len());
    assert_eq!(fault([400, 300, 400], &goods, Support::None, &load), None);
    load.height()
}

#[test]
fn six_boxes_stand_at_their_proven_least_height() {
    assert_eq!(lowest_height(&SIX), 133);
}

#[test]
fn eight_boxes_stand_at_their_proven_least_height() {
    assert_eq!(lowest_height(&EIGHT), 111);
}
