//! A hand's layout known to fit is matched or beaten.
//!
//! Two sources: the smallest squares and strips known for handled discs (tests/data/handles, found by a
//! multistart search and checked with an independent polygon library), and layouts found by reasoning
//! with pencil and paper, given here place by place. Each is first checked by exact distances between
//! discs and rectangles, written for this test alone, and then the search has to need no more.

use packing::{Effort, Foot, Standing, smallest_rectangle, smallest_rectangle_with};
use plan::Crush;
use serde_json::Value;
use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

const NO_WRAP: Crush = Crush { sideways: 0.0 };
/// The handle of a slanted cup points along the 3-4-5 triangle.
const COS: f64 = 0.8;
const SIN: f64 = 0.6;
/// What a hand's layout may overlap by in the last digits of its coordinates, mm.
const HAND_TOLERANCE_MM: f64 = 1e-9;
/// What the search may need beyond a hand: finer than any tape, mm.
const SAME_MM: f64 = 1e-3;
/// Seeds of the search for a reference layout: the next where one has not met it.
const SEEDS: u64 = 6;
/// Tolerance of the coordinates in the reference layouts, mm (stated there).
const REFERENCE_TOLERANCE_MM: f64 = 3e-4;

/// A layout that somebody found without the search.
struct Hand {
    items: Vec<Standing>,
    /// Long and short side, mm.
    size: [f64; 2],
    /// x, y (mm) and turn (radians) of each item.
    places: Vec<[f64; 3]>,
}

/// An upright cylinder of this radius at `x`.
fn disc(radius_mm: f64, x: f64) -> Part {
    part(Solid::Cylinder { radius_mm, height_mm: 80.0 }, x)
}

/// A block from `from` to `to` along x and `width` wide.
fn block(from: f64, to: f64, width: f64) -> Part {
    part(Solid::Block { x_mm: to - from, y_mm: width, z_mm: 80.0 }, 0.5 * (from + to))
}

fn part(solid: Solid, x: f64) -> Part {
    Part { kind: PartKind::Body, solid, placement: Placement::at(x, 0.0, 40.0), wrap_mm: 0.0 }
}

fn standing(parts: Vec<Part>) -> Standing {
    let bundle = Bundle {
        label: String::from("piece"),
        contents: Vec::new(),
        parts,
        mass_g: 300.0,
        ways_up: vec![WayUp::Upright],
        wall_clearance_mm: 0.0,
        separation_mm: 0.0,
        bears_load: true,
        company: Company::Breakable,
        wrapped_volume_mm3: 1.0,
    };
    Standing::new(&bundle, WayUp::Upright, NO_WRAP)
}

/// A cup of radius 45 with two handles on opposite sides, 18 wide, that reach to 70 from its middle.
fn two_handled() -> Standing {
    standing(vec![disc(45.0, 0.0), block(0.0, 70.0, 18.0), block(-70.0, 0.0, 18.0)])
}

/// A pitcher of radius 60, its handle 24 wide to 95 and its spout 20 wide to 75 on the other side.
fn pitcher() -> Standing {
    standing(vec![disc(60.0, 0.0), block(0.0, 95.0, 24.0), block(-75.0, 0.0, 20.0)])
}

/// A plate on its edge.
fn plate(long: f64, thick: f64) -> Standing {
    standing(vec![block(-0.5 * long, 0.5 * long, thick)])
}

/// A platter with straight sides and round ends, 260 by 160.
fn platter() -> Standing {
    standing(vec![block(-50.0, 50.0, 160.0), disc(80.0, 50.0), disc(80.0, -50.0)])
}

/// An oval dish as three discs, 160 by 100.
fn oval() -> Standing {
    standing(vec![disc(50.0, 0.0), disc(40.0, 40.0), disc(40.0, -40.0)])
}

fn round(radius: f64) -> Standing {
    standing(vec![disc(radius, 0.0)])
}

/// Columns and rows at a pitch, all turned alike, the first at `first`.
fn grid(columns: usize, rows: usize, first: [f64; 2], pitch: [f64; 2], turn: f64) -> Vec<[f64; 3]> {
    (0..rows)
        .flat_map(|row| {
            (0..columns)
                .map(move |c| [first[0] + pitch[0] * c as f64, first[1] + pitch[1] * row as f64, turn])
        })
        .collect()
}

/// An outline where a layout has it.
#[derive(Clone, Copy)]
enum Outline {
    Disc([f64; 2], f64),
    Corners([[f64; 2]; 4]),
}

fn outlines(item: &Standing, place: [f64; 3]) -> Vec<Outline> {
    let (sin, cos) = place[2].sin_cos();
    let put = |p: [f64; 2]| [place[0] + cos * p[0] - sin * p[1], place[1] + sin * p[0] + cos * p[1]];
    item.parts
        .iter()
        .map(|part| match part.foot {
            Foot::Disc { at, radius } => Outline::Disc(put(at), radius),
            Foot::Rect { at, along: [u, v], half: [a, b] } => Outline::Corners(
                [(a, b), (-a, b), (-a, -b), (a, -b)]
                    .map(|(s, t)| put([at[0] + s * u - t * v, at[1] + s * v + t * u])),
            ),
        })
        .collect()
}

fn to_segment(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let along = ((d[0] * e[0] + d[1] * e[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
    (e[0] - along * d[0]).hypot(e[1] - along * d[1])
}

/// How far `p` lies inside the corners' nearest side; negative outside.
fn depth(p: [f64; 2], corners: &[[f64; 2]; 4]) -> f64 {
    (0..4)
        .map(|k| {
            let (a, b) = (corners[k], corners[(k + 1) % 4]);
            let d = [b[0] - a[0], b[1] - a[1]];
            (d[0] * (p[1] - a[1]) - d[1] * (p[0] - a[0])) / d[0].hypot(d[1])
        })
        .fold(f64::INFINITY, f64::min)
}

fn to_corners(p: [f64; 2], corners: &[[f64; 2]; 4]) -> f64 {
    let inside = depth(p, corners);
    if inside >= 0.0 {
        return -inside;
    }
    (0..4).map(|k| to_segment(p, corners[k], corners[(k + 1) % 4])).fold(f64::INFINITY, f64::min)
}

/// How far two outlines overlap, mm; negative or nought where they do not. For two rectangles the least
/// way along one of their sides that parts them.
fn overlap(a: Outline, b: Outline) -> f64 {
    match (a, b) {
        (Outline::Disc(p, r), Outline::Disc(q, s)) => r + s - (p[0] - q[0]).hypot(p[1] - q[1]),
        (Outline::Disc(p, r), Outline::Corners(corners))
        | (Outline::Corners(corners), Outline::Disc(p, r)) => r - to_corners(p, &corners),
        (Outline::Corners(a), Outline::Corners(b)) => {
            let mut least = f64::INFINITY;
            for (one, other) in [(&a, &b), (&b, &a)] {
                for k in 0..2 {
                    let d = [one[k + 1][0] - one[k][0], one[k + 1][1] - one[k][1]];
                    let length = d[0].hypot(d[1]);
                    let range = |corners: &[[f64; 2]; 4]| {
                        corners
                            .iter()
                            .map(|p| (p[0] * d[0] + p[1] * d[1]) / length)
                            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
                                (low.min(v), high.max(v))
                            })
                    };
                    let ((low, high), (low_other, high_other)) = (range(one), range(other));
                    least = least.min(high - low_other).min(high_other - low);
                }
            }
            least
        }
    }
}

/// The deepest overlap of two pieces or of a piece and a wall, mm.
fn deepest(items: &[Standing], places: &[[f64; 3]], size: [f64; 2]) -> f64 {
    let placed: Vec<Vec<Outline>> =
        items.iter().zip(places).map(|(item, place)| outlines(item, *place)).collect();
    let mut worst = f64::NEG_INFINITY;
    for (i, one) in placed.iter().enumerate() {
        for outline in one {
            for axis in 0..2 {
                let (low, high) = match *outline {
                    Outline::Disc(p, r) => (p[axis] - r, p[axis] + r),
                    Outline::Corners(corners) => {
                        corners.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| {
                            (l.min(p[axis]), h.max(p[axis]))
                        })
                    }
                };
                worst = worst.max(-low).max(high - size[axis]);
            }
            for other in placed.iter().skip(i + 1).flatten() {
                worst = worst.max(overlap(*outline, *other));
            }
        }
    }
    worst
}

/// Checks the hand's layout, and that the packer's own effort needs no more room.
fn is_matched(hand: &Hand) {
    let Hand { items, size, places } = hand;
    assert_eq!(items.len(), places.len());
    let off = deepest(items, places, *size);
    assert!(off <= HAND_TOLERANCE_MM, "the hand's own layout overlaps by {off} mm");
    let items: Vec<&Standing> = items.iter().collect();
    let found = smallest_rectangle(&items, size[0] - size[1], NO_WRAP);
    assert!(found.short_mm <= size[1] + SAME_MM, "a hand needs {}, the search {}", size[1], found.short_mm);
    let size = [found.short_mm + size[0] - size[1], found.short_mm];
    let off = deepest(&hand.items, &found.places, size);
    assert!(off < 1e-6, "the search's layout overlaps by {off} mm");
}

fn slant() -> f64 {
    SIN.atan2(COS)
}

/// The handles lie in the gaps between neighbours: a parallel of 3-4-5 slants, at which a handle just
/// touches the next cup (0.6 of 90 is 45 and half of 18).
fn slanted_cups(columns: usize, rows: usize) -> Hand {
    let reach = [70.0 * COS + 9.0 * SIN, 70.0 * SIN + 9.0 * COS];
    Hand {
        items: vec![two_handled(); columns * rows],
        size: [2.0 * reach[0] + 90.0 * (columns as f64 - 1.0), 2.0 * reach[1] + 90.0 * (rows as f64 - 1.0)],
        places: grid(columns, rows, reach, [90.0, 90.0], slant()),
    }
}

#[test]
fn a_row_of_four_two_handled_cups_slants_its_handles_into_the_gaps() {
    is_matched(&slanted_cups(4, 1));
}

#[test]
fn two_rows_of_three_two_handled_cups_slant_their_handles_into_the_gaps() {
    is_matched(&slanted_cups(3, 2));
}

#[test]
fn three_rows_of_three_two_handled_cups_slant_their_handles_into_the_gaps() {
    is_matched(&slanted_cups(3, 3));
}

/// As with the cups: 0.6 of 120 is 60 and half of the handle; the spout ends short of the wall.
fn slanted_pitchers(columns: usize, rows: usize) -> Hand {
    let spout = 75.0 * COS + 10.0 * SIN;
    let handle = [95.0 * COS + 12.0 * SIN, 95.0 * SIN + 12.0 * COS];
    Hand {
        items: vec![pitcher(); columns * rows],
        size: [
            spout + handle[0] + 120.0 * (columns as f64 - 1.0),
            60.0 + handle[1] + 120.0 * (rows as f64 - 1.0),
        ],
        places: grid(columns, rows, [spout, 60.0], [120.0, 120.0], slant()),
    }
}

#[test]
fn a_row_of_four_pitchers_slants_handles_and_spouts_into_the_gaps() {
    is_matched(&slanted_pitchers(4, 1));
}

#[test]
fn two_rows_of_two_pitchers_slant_handles_and_spouts_into_the_gaps() {
    is_matched(&slanted_pitchers(2, 2));
}

#[test]
fn six_plates_on_edge_stand_side_by_side() {
    is_matched(&Hand {
        items: vec![plate(260.0, 30.0); 6],
        size: [260.0, 180.0],
        places: grid(1, 6, [130.0, 15.0], [0.0, 30.0], 0.0),
    });
}

#[test]
fn four_plates_on_edge_go_round_a_bowl() {
    let mut items = vec![plate(200.0, 40.0); 4];
    items.push(round(80.0));
    let quarter = std::f64::consts::FRAC_PI_2;
    is_matched(&Hand {
        items,
        size: [240.0, 240.0],
        places: vec![
            [100.0, 20.0, 0.0],
            [220.0, 100.0, quarter],
            [140.0, 220.0, 0.0],
            [20.0, 140.0, quarter],
            [120.0, 120.0, 0.0],
        ],
    });
}

/// Two round ends of 80 and a wall leave room for 20: (80 - 20)^2 + 80^2 = (80 + 20)^2.
#[test]
fn two_egg_cups_go_between_the_ends_of_two_platters() {
    is_matched(&Hand {
        items: vec![platter(), platter(), round(20.0), round(20.0)],
        size: [320.0, 260.0],
        places: vec![
            [80.0, 130.0, std::f64::consts::FRAC_PI_2],
            [240.0, 130.0, std::f64::consts::FRAC_PI_2],
            [160.0, 20.0, 0.0],
            [160.0, 240.0, 0.0],
        ],
    });
}

/// Four discs of 60 in a square leave 60 (sqrt 2 - 1) = 24.85 in the middle.
#[test]
fn a_tumbler_goes_into_the_middle_of_four_bowls() {
    let mut items = vec![round(60.0); 4];
    items.push(round(24.8));
    let mut places = grid(2, 2, [60.0, 60.0], [120.0, 120.0], 0.0);
    places.push([120.0, 120.0, 0.0]);
    is_matched(&Hand { items, size: [240.0, 240.0], places });
}

#[test]
fn two_tumblers_stand_along_two_plates_on_edge() {
    is_matched(&Hand {
        items: vec![plate(260.0, 30.0), plate(260.0, 30.0), round(65.0), round(65.0)],
        size: [260.0, 190.0],
        places: vec![[130.0, 15.0, 0.0], [130.0, 45.0, 0.0], [65.0, 125.0, 0.0], [195.0, 125.0, 0.0]],
    });
}

#[test]
fn four_oval_dishes_lie_two_by_two() {
    is_matched(&Hand {
        items: vec![oval(); 4],
        size: [320.0, 200.0],
        places: grid(2, 2, [80.0, 50.0], [160.0, 100.0], 0.0),
    });
}

/// A disc of radius 54 with a handle 35 wide that reaches to 92 from its middle.
fn handled() -> Standing {
    standing(vec![disc(54.0, 0.0), block(0.0, 92.0, 35.0)])
}

/// Matches or beats every reference layout whose sides `size` gives, from one of a few seeds.
fn reference_layouts_are_matched(cases: &str, size: impl Fn(&Value) -> Option<[f64; 2]>, descents: usize) {
    let text = include_str!("data/handles/cases.json");
    let whole: Value = serde_json::from_str(text).expect("the cases are JSON");
    let mut seen = 0;
    for case in whole[cases].as_array().expect("cases") {
        let size = size(case).expect("sides");
        let places: Vec<[f64; 3]> =
            serde_json::from_value(case["layout"].clone()).expect("three numbers for each place");
        let items = vec![handled(); places.len()];
        let off = deepest(&items, &places, size);
        assert!(off <= REFERENCE_TOLERANCE_MM, "{} pieces: the reference overlaps by {off}", items.len());
        let enough_mm = size[1] + REFERENCE_TOLERANCE_MM;
        let pieces: Vec<&Standing> = items.iter().collect();
        let search = |seed| {
            let effort = Effort { descents, enough_mm, seed };
            smallest_rectangle_with(&pieces, size[0] - size[1], NO_WRAP, effort).short_mm
        };
        let mut found = f64::INFINITY;
        for seed in 0..SEEDS {
            if found > enough_mm {
                found = found.min(search(seed));
            }
        }
        assert!(found <= enough_mm, "{} pieces need {found}, the reference {}", items.len(), size[1]);
        seen += 1;
    }
    assert!(seen > 0);
}

#[test]
fn every_reference_square_of_handled_discs_is_matched() {
    let square = |case: &Value| case["side"].as_f64().map(|side| [side, side]);
    reference_layouts_are_matched("min_square", square, 8000);
}

#[test]
fn every_reference_strip_of_handled_discs_is_matched() {
    let strip = |case: &Value| case["length"].as_f64().map(|length| [length, 305.0]);
    reference_layouts_are_matched("strip_height_305", strip, 8000);
}
