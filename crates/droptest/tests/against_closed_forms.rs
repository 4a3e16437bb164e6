//! The drop of a whole parcel against the closed forms of one cushion.

mod made_up;

use cushion::{Cushions, Fall, Hits, Layer, series_g};
use droptest::{Detail, Filling, Guarded, Landing, WrapLayer, assess};
use made_up::{block, mug, parcel};
use measure::{Area, Length, Mass};
use shape::PartKind;

fn bare(bears: f64) -> Guarded {
    Guarded { wrap: vec![], guard: None, bears: vec![(PartKind::Body, bears)] }
}

#[test]
fn one_block_on_one_fill_feels_what_the_closed_form_says() {
    let cushions = Cushions::published();
    for fill in ["eps_fill", "pe_plank"] {
        let filling = Filling { cushions: &cushions, fill, pad_g_mm2: 3e-4 };
        for thickness_in in [1.5, 2.0, 3.0] {
            let gap = thickness_in * 25.4;
            // Sides of whole cells, so that the area is the face's own.
            let sides = [96.0, 96.0, 60.0];
            let inside = sides.map(|side| side + 2.0 * gap);
            let parcel = parcel(inside, vec![block(sides, inside.map(|side| side / 2.0), 450.0)]);
            let tested = assess(&parcel, &[bare(60.0)], &filling, Length::from_inches(30.0), Detail::Full)
                .expect("tested");
            let floor = tested.landings.iter().find(|l| l.strikes == [0, 0, -1]).expect("floor");
            let area = cushions_area(&parcel);
            let fall = Fall::new(Mass::from_grams(450.0), Length::from_inches(30.0)).expect("fall");
            let layer = Layer {
                material: cushions.find(fill).expect("fill"),
                thickness: Length::from_inches(thickness_in),
                area: Area::from_mm2(area),
            };
            let closed = series_g(&fall, &[layer], Hits::Repeated).expect("closed form").peak_g;
            let ratio = floor.felt[0].peak_g / closed;
            // Gravity, the fall's last stretch and the exponential's toe are what they differ by.
            assert!((0.9..1.15).contains(&ratio), "{fill} {thickness_in} in: {ratio:.3}");
        }
    }
}

fn cushions_area(parcel: &plan::Parcel) -> f64 {
    droptest::cushions(parcel, 2).iter().filter(|c| c.low == droptest::End::Low).map(|c| c.area_mm2).sum()
}

#[test]
fn a_mirrored_parcel_gives_mirrored_landings() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let inside = [300.0, 240.0, 180.0];
    let at = [[90.0, 100.0, 80.0], [200.0, 130.0, 90.0]];
    let mirrored = at.map(|[x, y, z]| [inside[0] - x, y, z]);
    let of = |at: [[f64; 3]; 2]| {
        let parcel = parcel(inside, at.map(|at| mug(36.0, 72.0, at, 380.0)).to_vec());
        assess(&parcel, &[bare(60.0), bare(60.0)], &filling, Length::from_inches(30.0), Detail::Full)
            .expect("tested")
    };
    let (one, other) = (of(at), of(mirrored));
    for landed in &one.landings {
        let [x, y, z] = landed.strikes;
        let twin = other.landings.iter().find(|l| l.strikes == [-x, y, z]).expect("twin");
        for (a, b) in landed.felt.iter().zip(&twin.felt) {
            assert!((a.peak_g / b.peak_g - 1.0).abs() < 0.01, "{:?}: {a:?} {b:?}", landed.strikes);
        }
    }
}

#[test]
fn more_cushion_never_raises_what_a_well_loaded_piece_feels() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let mut last = f64::INFINITY;
    for gap in [25.4, 38.1, 50.8, 63.5, 76.2, 101.6] {
        let inside = [80.0, 80.0, 90.0].map(|side| side + 2.0 * gap);
        let parcel = parcel(inside, vec![mug(40.0, 90.0, inside.map(|side| side / 2.0), 500.0)]);
        let tested = assess(&parcel, &[bare(60.0)], &filling, Length::from_inches(30.0), Detail::Full)
            .expect("tested");
        let faces: f64 = tested
            .landings
            .iter()
            .filter(|landed| landed.landing() == Landing::Face)
            .map(|landed| landed.felt[0].peak_g)
            .fold(0.0, f64::max);
        assert!(faces < last, "{gap} mm: {faces} after {last}");
        last = faces;
    }
}

#[test]
fn bare_neighbours_that_can_meet_are_told_and_a_wrap_between_them_keeps_them_apart() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let inside = [260.0, 180.0, 180.0];
    let two = |apart: f64, wrap: f64| {
        let at = |x: f64| {
            let mut bundle = mug(35.0, 80.0, [x, 90.0, 90.0], 900.0);
            bundle.parts[0].wrap_mm = wrap;
            bundle
        };
        let middle = 130.0;
        let parcel = parcel(inside, vec![at(middle - 35.0 - apart / 2.0), at(middle + 35.0 + apart / 2.0)]);
        let guarded = Guarded {
            wrap: vec![WrapLayer { material: String::from("bubble_small"), thickness_mm: wrap.max(0.1) }],
            ..bare(60.0)
        };
        assess(&parcel, &[guarded.clone(), guarded], &filling, Length::from_inches(30.0), Detail::Full)
            .expect("tested")
    };
    let near = two(1.0, 0.0);
    let far = two(20.0, 10.0);
    let left = |tested: &droptest::Assessment| {
        tested.landings.iter().filter_map(|l| l.nearest).map(|n| n.left_mm).fold(f64::INFINITY, f64::min)
    };
    assert!(left(&near) < left(&far), "{} {}", left(&near), left(&far));
    assert!(left(&near) < 0.5 && near.margin() <= -1.0, "hard parts that meet leave no margin");
    assert!(far.margin() > -1.0);
    assert!(left(&far) > 1.0);
}

#[test]
fn a_bundle_that_is_not_described_is_refused() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let parcel = parcel([200.0; 3], vec![mug(40.0, 80.0, [100.0; 3], 300.0)]);
    let height = Length::from_inches(30.0);
    let none = assess(&parcel, &[], &filling, height, Detail::Full).expect_err("nothing described");
    assert!(none.to_string().contains("1 bundles and 0"), "{none}");
    let nothing = Guarded { wrap: vec![], guard: None, bears: vec![] };
    let empty = assess(&parcel, &[nothing], &filling, height, Detail::Full).expect_err("bears nothing");
    assert!(empty.to_string().contains("piece"), "{empty}");
    let unknown = Filling { fill: "eps_fil", ..filling };
    let missing = assess(&parcel, &[bare(50.0)], &unknown, height, Detail::Full).expect_err("unknown fill");
    assert!(missing.to_string().contains("eps_fill"), "{missing}");
}

#[test]
fn a_wrap_and_the_fill_behind_it_give_way_one_behind_the_other() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let (wrap, fill) = (25.4, 38.1);
    let sides = [96.0, 96.0, 60.0];
    let inside = sides.map(|side| side + 2.0 * (wrap + fill));
    let mut bundle = block(sides, inside.map(|side| side / 2.0), 450.0);
    bundle.parts[0].wrap_mm = wrap;
    let guarded = Guarded {
        wrap: vec![WrapLayer { material: String::from("bubble_small"), thickness_mm: wrap }],
        ..bare(60.0)
    };
    let parcel = parcel(inside, vec![bundle]);
    let height = Length::from_inches(30.0);
    let tested = assess(&parcel, &[guarded], &filling, height, Detail::Full).expect("tested");
    let floor = tested.landings.iter().find(|l| l.strikes == [0, 0, -1]).expect("floor");
    let fall = Fall::new(Mass::from_grams(450.0), height).expect("fall");
    let area = Area::from_mm2(cushions_area(&parcel));
    let layer = |key: &str, mm: f64| Layer {
        material: cushions.find(key).expect("a cushion"),
        thickness: Length::from_mm(mm),
        area,
    };
    let layers = [layer("bubble_small", wrap), layer("eps_fill", fill)];
    let closed = series_g(&fall, &layers, Hits::Repeated).expect("closed form").peak_g;
    let ratio = floor.felt[0].peak_g / closed;
    assert!((0.85..1.2).contains(&ratio), "{ratio:.3}");
}

#[test]
fn what_pieces_bear_beyond_their_design_lowers_the_chance_of_a_breakage() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let parcel = parcel([200.0; 3], vec![mug(40.0, 80.0, [100.0; 3], 400.0)]);
    let height = Length::from_inches(30.0);
    let of = |bears: f64| assess(&parcel, &[bare(bears)], &filling, height, Detail::Full).expect("tested");
    let tested = of(60.0);
    assert!(tested.chance_of_breakage(1.25) < tested.chance_of_breakage(1.0));
    // A quarter more is a quarter more, whether the piece or the factor has it.
    let same = of(75.0).chance_of_breakage(1.0) / tested.chance_of_breakage(1.25);
    assert!((same - 1.0).abs() < 1e-9, "{same}");
}
