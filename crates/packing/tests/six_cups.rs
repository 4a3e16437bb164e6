//! A fact of the trade (common practice): six heavy handled cups of about 3 1/4 in by 3 1/2 in, each
//! in a square of half-inch bubble with a foam tube on its handle, go three facing three into a
//! 12 x 12 x 8 carton, handles toward the middle, snug, with fill above.

use packing::{Draft, Finish, Packer, Rules};
use plan::{Carton, Crush, Fill, Minutes};
use shape::{Bundle, Company, Contents, Part, PartKind, Placement, Solid, WayUp};

const INCH: f64 = 25.4;

fn cup(wall_clearance_mm: f64) -> Bundle {
    let radius = 1.625 * INCH;
    let height = 3.5 * INCH;
    let bubble = 0.45 * INCH;
    Bundle {
        label: String::from("cup"),
        contents: vec![Contents { find: String::from("cups"), what: String::from("cup"), count: 1 }],
        parts: vec![
            Part {
                kind: PartKind::Body,
                solid: Solid::Cylinder { radius_mm: radius, height_mm: height },
                placement: Placement::at(0.0, 0.0, 0.5 * height),
                wrap_mm: bubble,
            },
            Part {
                kind: PartKind::Handle,
                solid: Solid::Block { x_mm: 1.1 * INCH + 0.4 * radius, y_mm: 0.6 * INCH, z_mm: 2.4 * INCH },
                placement: Placement::at(0.5 * (1.1 * INCH + 1.6 * radius), 0.0, 0.5 * height),
                wrap_mm: bubble + 0.375 * INCH,
            },
        ],
        mass_g: 470.0,
        ways_up: vec![WayUp::Upright],
        wall_clearance_mm,
        separation_mm: 0.0,
        bears_load: true,
        company: Company::Breakable,
        wrapped_volume_mm3: 1.1e6,
    }
}

fn cartons() -> Vec<Carton> {
    [[12.0, 12.0, 8.0], [12.0, 12.0, 12.0], [16.0, 12.0, 8.0], [16.0, 16.0, 8.0], [18.0, 14.0, 12.0]]
        .map(|inside| Carton {
            name: format!("{} x {} x {}", inside[0], inside[1], inside[2]),
            inside_mm: inside.map(|side| side * INCH),
            outside_mm: [inside[0] + 0.4, inside[1] + 0.4, inside[2] + 0.7].map(|side| side * INCH),
            cut_down_from_mm: None,
            tare_g: 300.0,
            max_gross_g: 13_600.0,
            board: String::from("32 ECT"),
        })
        .to_vec()
}

fn pack(count: usize, clearance_in: f64) -> Option<plan::Parcel> {
    pack_in(cartons(), count, clearance_in)
}

fn pack_in(cartons: Vec<Carton>, count: usize, clearance_in: f64) -> Option<plan::Parcel> {
    let volumes: Vec<i64> =
        cartons.iter().map(|carton| (carton.outside_mm.iter().product::<f64>() / 1000.0) as i64).collect();
    let mut packer =
        Packer::new(cartons, Rules { crush: Crush { sideways: 0.25 }, pad_mm: 4.0, most_layers: 6 });
    let finish = |draft: &Draft| {
        Ok(Finish {
            cost_cents: volumes[draft.carton] + i64::from(draft.pads),
            gross_g: draft.bundles_g + 400.0,
            fill: Fill {
                material: String::from("fill"),
                volume_mm3: draft.void_mm3,
                mass_g: 10.0,
                bed_mm: draft.bed_mm,
            },
            materials: Vec::new(),
            minutes: Minutes { wrapping: 0.0, boxing: 0.0 },
        })
    };
    let cup = cup(clearance_in * INCH);
    packer.pack(&vec![&cup; count], &finish, &|_| true).ok().map(|packed| packed.parcel)
}

#[test]
fn six_cups_go_three_facing_three_into_a_twelve_by_eight_at_the_snug_clearance() {
    let parcel = pack(6, 0.0).expect("six cups fit");
    assert_eq!(parcel.carton.name, "12 x 12 x 8");
    assert_eq!(parcel.layers.len(), 1);
    let middle = 6.0 * INCH;
    for bundle in &parcel.bundles {
        let handle = bundle.parts[1].placement.at_mm;
        let body = bundle.parts[0].placement.at_mm;
        let (from_middle, handle_from_middle) = ((body[1] - middle).abs(), (handle[1] - middle).abs());
        assert!(handle_from_middle < from_middle, "handle of {} points at a wall", bundle.number);
    }
}

#[test]
fn at_two_inches_the_same_six_need_a_larger_carton() {
    let parcel = pack(6, 2.0).expect("six cups fit somewhere");
    assert_ne!(parcel.carton.name, "12 x 12 x 8");
}

/// Four cups in a row with their handles along it: 15 in by one cup and its wraps.
#[test]
fn a_row_of_cups_goes_into_a_long_narrow_carton() {
    let mut long = cartons().remove(0);
    long.name = String::from("24 x 4.05 x 6");
    long.inside_mm = [24.0, 4.05, 6.0].map(|side| side * INCH);
    assert!(pack_in(vec![long], 4, 0.0).is_some());
}
