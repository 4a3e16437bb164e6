//! Orders of books and boxed goods: packed directly on one another where that is cheaper, and proved.

use packing::{Draft, Finish, Packed, Packer, Refused, Rules};
use plan::{Carton, Crush, Fill, Minutes, Parcel, Rest};
use proptest::prelude::*;
use shape::{Bundle, Company, Contents, Part, PartKind, Placement, Solid, WayUp};

const INCH: f64 = 25.4;
/// Two layers of paper and one of small bubble, mm.
const WRAP_MM: f64 = 5.0;
/// Least distance from book to book, mm.
const SEPARATION_MM: f64 = 6.35;

fn book(label: &str, sides_in: [f64; 3]) -> Bundle {
    let [x_mm, y_mm, z_mm] = sides_in.map(|side| side * INCH);
    let solid = Solid::Block { x_mm, y_mm, z_mm };
    Bundle {
        label: label.to_owned(),
        contents: vec![Contents { find: "books".into(), what: label.to_owned(), count: 1 }],
        parts: vec![Part {
            kind: PartKind::Body,
            solid,
            placement: Placement::at(0.0, 0.0, 0.5 * z_mm),
            wrap_mm: WRAP_MM,
        }],
        // Paper is about as heavy as this (from memory).
        mass_g: 0.8e-3 * solid.volume_mm3(),
        ways_up: vec![WayUp::Upright, WayUp::OnEdge],
        wall_clearance_mm: 12.0,
        separation_mm: SEPARATION_MM,
        bears_load: true,
        company: Company::Neutral,
        wrapped_volume_mm3: solid.grown(WRAP_MM).volume_mm3(),
    }
}

/// The same book, which may only lie.
fn flat(book: Bundle) -> Bundle {
    Bundle { ways_up: vec![WayUp::Upright], ..book }
}

fn carton(inside_in: [f64; 3]) -> Carton {
    Carton {
        name: format!("{} x {} x {}", inside_in[0], inside_in[1], inside_in[2]),
        inside_mm: inside_in.map(|side| side * INCH),
        outside_mm: [inside_in[0] + 0.4, inside_in[1] + 0.4, inside_in[2] + 0.7].map(|side| side * INCH),
        cut_down_from_mm: None,
        tare_g: 300.0,
        max_gross_g: 1e6,
        board: "32 ECT".into(),
    }
}

fn shelf() -> Vec<Carton> {
    [
        [9.0, 6.0, 4.0],
        [10.0, 8.0, 6.0],
        [12.0, 9.0, 4.0],
        [12.0, 10.0, 8.0],
        [12.0, 12.0, 6.0],
        [12.0, 12.0, 12.0],
        [14.0, 14.0, 10.0],
        [16.0, 12.0, 12.0],
        [18.0, 14.0, 12.0],
    ]
    .map(carton)
    .to_vec()
}

/// Packs at a price of the outside volume and 5 cents a pad; every plan that is made must be proved.
fn pack(cartons: &[Carton], bundles: &[Bundle]) -> Result<Packed, Refused> {
    let costs: Vec<i64> =
        cartons.iter().map(|c| (c.outside_mm.iter().product::<f64>() / 1e4) as i64).collect();
    let rules = Rules { crush: Crush { sideways: 0.25 }, pad_mm: 4.0, most_layers: 6 };
    let finish = |draft: &Draft| {
        Ok(Finish {
            cost_cents: costs[draft.carton] + 5 * i64::from(draft.pads),
            gross_g: draft.bundles_g + 400.0,
            fill: Fill {
                material: "fill".into(),
                volume_mm3: draft.void_mm3,
                mass_g: 50.0,
                bed_mm: draft.bed_mm,
            },
            materials: Vec::new(),
            minutes: Minutes { wrapping: 0.0, boxing: 0.0 },
        })
    };
    let expected: Vec<Contents> = bundles.iter().flat_map(|bundle| bundle.contents.clone()).collect();
    let prove = |parcel: &Parcel| {
        let broken = proof::check(parcel, &expected);
        assert!(broken.is_empty(), "{broken:#?}");
        true
    };
    let refs: Vec<&Bundle> = bundles.iter().collect();
    Packer::new(cartons.to_vec(), rules).pack(&refs, &finish, &prove)
}

fn stands_on_others(parcel: &Parcel) -> usize {
    parcel.bundles.iter().filter(|bundle| matches!(bundle.rests, Rest::On(_))).count()
}

#[test]
fn six_like_books_lie_in_piles_without_a_pad() {
    let books = vec![flat(book("cookery book", [9.0, 7.0, 1.0])); 6];
    let packed = pack(&shelf(), &books).expect("six books fit");
    let parcel = packed.parcel;
    assert!(parcel.pads.is_empty());
    assert!(stands_on_others(&parcel) >= 1, "{:#?}", parcel.bundles);
    assert_eq!(parcel.bundles.len(), 6);
}

/// Two thin books and one of both their heights, with a wide one across them: the tops agree only where
/// there is no pad from wall to wall between the thin ones.
#[test]
fn a_thick_book_stands_beside_a_pile_of_two_thin_ones_under_one_across() {
    let thick = 2.0 + 2.0 * WRAP_MM / INCH;
    let books = [
        book("thin", [5.0, 8.0, 1.0]),
        book("thin", [5.0, 8.0, 1.0]),
        book("thick", [5.0, 8.0, thick]),
        book("wide", [10.0 + 2.0 * WRAP_MM / INCH, 8.0, 1.0]),
    ]
    .map(flat);
    // Inside: the wide one and its cushions, to half a millimetre.
    let around = 2.0 * 12.0 / INCH + 0.02;
    let wraps = 2.0 * WRAP_MM / INCH;
    let exact = carton([10.0 + wraps + around, 8.0 + around, 2.0 * (1.0 + wraps) + 1.0 + around]);
    let packed = pack(&[exact], &books).expect("they fit to the millimetre");
    let across = packed.parcel.bundles.iter().find(|bundle| bundle.label == "wide").expect("it is in");
    let Rest::On(carriers) = &across.rests else { panic!("{:?}", across.rests) };
    assert_eq!(carriers.len(), 2);
}

#[test]
fn nothing_is_stacked_on_a_box_that_may_bear_nothing() {
    let mut books = vec![flat(book("game in a thin box", [9.0, 7.0, 1.0])); 4];
    for book in &mut books {
        book.bears_load = false;
    }
    let narrow = carton([11.0, 9.0, 12.0]);
    assert!(pack(std::slice::from_ref(&narrow), &books).is_err());
    for book in &mut books {
        book.bears_load = true;
    }
    assert!(pack(&[narrow], &books).is_ok());
}

#[test]
fn breakables_in_boxes_and_thinly_wrapped_ones_keep_their_pads() {
    for spoil in [(|book: &mut Bundle| book.company = Company::Breakable) as fn(&mut Bundle), |book| {
        book.separation_mm = 2.0 * WRAP_MM + 0.1
    }] {
        let mut books = vec![flat(book("clock", [9.0, 7.0, 1.0])); 3];
        books.iter_mut().for_each(spoil);
        let packed = pack(&[carton([11.0, 9.0, 12.0])], &books).expect("they fit with pads");
        assert_eq!(stands_on_others(&packed.parcel), 0);
        assert_eq!(packed.parcel.pads.len(), 2);
    }
}

#[test]
fn heavier_books_of_one_size_lie_lower() {
    let mut books = vec![flat(book("book", [9.0, 7.0, 1.0])); 4];
    for (k, book) in books.iter_mut().enumerate() {
        book.mass_g = 500.0 + 100.0 * k as f64;
    }
    let packed = pack(&[carton([10.6, 8.6, 12.0])], &books).expect("a pile of four fits");
    let masses: Vec<f64> = packed.parcel.bundles.iter().map(|bundle| bundle.mass_g).collect();
    assert_eq!(masses, [800.0, 700.0, 600.0, 500.0]);
    assert_eq!(stands_on_others(&packed.parcel), 3);
}

fn sizes() -> impl Strategy<Value = Vec<([f64; 3], usize)>> {
    prop::collection::vec(((4.0..11.0_f64, 3.0..9.0_f64, 0.3..2.5_f64), 1usize..4), 1..4)
        .prop_map(|kinds| kinds.into_iter().map(|((x, y, z), count)| ([x, y, z], count)).collect())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(11), ..ProptestConfig::default() })]

    /// The proof is in `pack`: a plan that the checker refuses fails there.
    #[test]
    fn every_load_of_books_passes_the_checker(sizes in sizes(), clearance_mm in 0.0..40.0_f64, on_end in any::<bool>()) {
        let books: Vec<Bundle> = sizes
            .iter()
            .enumerate()
            .flat_map(|(k, (sides, count))| {
                let mut one = book(&format!("book {k}"), *sides);
                one.wall_clearance_mm = clearance_mm;
                if on_end {
                    one.ways_up.push(WayUp::OnEnd);
                }
                vec![one; *count]
            })
            .collect();
        if let Ok(packed) = pack(&shelf(), &books) {
            prop_assert_eq!(packed.parcel.bundles.len(), books.len());
        }
    }

    #[test]
    fn the_same_books_give_the_same_plan_with_one_thread_and_two(sizes in sizes()) {
        let books: Vec<Bundle> =
            sizes.iter().flat_map(|(sides, count)| vec![book("book", *sides); *count]).collect();
        let with = |threads| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| pack(&shelf(), &books))
        };
        prop_assert_eq!(with(1), with(2));
    }
}
