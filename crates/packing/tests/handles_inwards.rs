//! What the packer does for hands once the carton is chosen.

use packing::{Draft, Finish, Hands, Packer, Rules};
use plan::{Carton, Crush, Fill, Minutes, Parcel};
use shape::{Bundle, Company, Contents, Part, PartKind, Placement, Solid, WayUp};

fn mug() -> Bundle {
    let part =
        |kind, solid, x: f64| Part { kind, solid, placement: Placement::at(x, 0.0, 50.0), wrap_mm: 10.0 };
    Bundle {
        label: "mug".into(),
        contents: vec![Contents { find: "haul".into(), what: "mug".into(), count: 1 }],
        parts: vec![
            part(PartKind::Body, Solid::Cylinder { radius_mm: 42.0, height_mm: 100.0 }, 0.0),
            part(PartKind::Handle, Solid::Block { x_mm: 34.0, y_mm: 14.0, z_mm: 60.0 }, 57.0),
        ],
        mass_g: 400.0,
        ways_up: vec![WayUp::Upright],
        wall_clearance_mm: 20.0,
        separation_mm: 10.0,
        bears_load: true,
        company: Company::Breakable,
        wrapped_volume_mm3: 1e6,
    }
}

fn pack(count: usize, inside_mm: [f64; 3]) -> Parcel {
    let carton = Carton {
        name: "only".into(),
        inside_mm,
        outside_mm: inside_mm.map(|side| side + 10.0),
        cut_down_from_mm: None,
        tare_g: 300.0,
        max_gross_g: 1e6,
        board: "32 ECT".into(),
    };
    let finish = |draft: &Draft| {
        Ok(Finish {
            cost_cents: 100,
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
    let bundles = vec![mug(); count];
    let expected = [Contents { count: count as u32, ..bundles[0].contents[0].clone() }];
    let prove = |parcel: &Parcel| {
        let broken = proof::check(parcel, &expected);
        assert!(broken.is_empty(), "{broken:#?}");
        true
    };
    let refs: Vec<&Bundle> = bundles.iter().collect();
    let rules = Rules { crush: Crush { sideways: 0.25 }, pad_mm: 4.0, most_layers: 6 };
    Packer::new(vec![carton], rules).pack(&refs, &finish, &prove).expect("they fit").parcel
}

#[test]
fn a_lone_mug_points_its_handle_to_a_corner_and_not_to_a_wall() {
    let parcel = pack(1, [220.0, 220.0, 200.0]);
    let off_wall = parcel.bundles[0].yaw_deg.rem_euclid(90.0);
    assert!(off_wall > 20.0 && off_wall < 70.0, "{}", parcel.bundles[0].yaw_deg);
}

#[test]
fn handles_end_farther_from_walls_than_when_each_points_outwards() {
    for count in [2, 3, 4, 6] {
        let parcel = pack(count, [420.0, 320.0, 200.0]);
        let hands = Hands::of(&parcel);
        assert!(hands.cramped < 0.35, "{count} mugs: {hands:?}");
        assert_eq!(hands.reaches, 0);
    }
}
