//! Parcels put together by hand, for the tests and the example; none comes from a search.

use plan::{
    Carton, Crush, Fill, Layer, Pad, PairClearance, Parcel, PlacedBundle, PlacedPart, Rest, WallClearance,
};
use shape::{Company, Contents, Part, PartKind, Placement, Solid, WayUp};

/// A part in its bundle's frame.
pub fn part(kind: PartKind, solid: Solid, placement: Placement, wrap_mm: f64) -> Part {
    Part { kind, solid, placement, wrap_mm }
}

/// A cup or mug with handles at these turns (degrees from x).
pub fn cup(radius_mm: f64, height_mm: f64, reach_mm: f64, handles: &[f64]) -> Vec<Part> {
    let body = Solid::Cylinder { radius_mm, height_mm };
    let mut parts = vec![part(PartKind::Body, body, Placement::at(0.0, 0.0, 0.5 * height_mm), 8.0)];
    for turn in handles {
        let handle = Solid::Block { x_mm: reach_mm, y_mm: 14.0, z_mm: 0.6 * height_mm };
        let out = Placement::yawed(turn.to_radians(), [0.0; 3]).after(Placement::at(
            radius_mm + 0.5 * reach_mm,
            0.0,
            0.5 * height_mm,
        ));
        parts.push(part(PartKind::Handle, handle, out, 8.0));
    }
    parts
}

/// A bundle of flat plates, one on the other as they stand upright.
pub fn plates(count: u32, radius_mm: f64) -> Vec<Part> {
    (0..count)
        .map(|index| {
            let plate = Solid::Cylinder { radius_mm, height_mm: 14.0 };
            part(PartKind::Body, plate, Placement::at(0.0, 0.0, 7.0 + 18.0 * f64::from(index)), 5.0)
        })
        .collect()
}

/// A stemmed glass.
pub fn goblet() -> Vec<Part> {
    let bowl = Solid::Frustum { bottom_radius_mm: 22.0, top_radius_mm: 38.0, height_mm: 80.0 };
    let stem = Solid::Cylinder { radius_mm: 6.0, height_mm: 60.0 };
    let foot = Solid::Cylinder { radius_mm: 34.0, height_mm: 6.0 };
    vec![
        part(PartKind::Foot, foot, Placement::at(0.0, 0.0, 3.0), 10.0),
        part(PartKind::Stem, stem, Placement::at(0.0, 0.0, 36.0), 20.0),
        part(PartKind::Body, bowl, Placement::at(0.0, 0.0, 106.0), 10.0),
    ]
}

/// A pitcher with a handle, and a spout on the other side.
pub fn pitcher() -> Vec<Part> {
    let body = Solid::Frustum { bottom_radius_mm: 60.0, top_radius_mm: 48.0, height_mm: 180.0 };
    let handle = Solid::Block { x_mm: 45.0, y_mm: 18.0, z_mm: 120.0 };
    let spout = Solid::Block { x_mm: 26.0, y_mm: 30.0, z_mm: 40.0 };
    vec![
        part(PartKind::Body, body, Placement::at(0.0, 0.0, 90.0), 12.0),
        part(PartKind::Handle, handle, Placement::at(76.0, 0.0, 95.0), 12.0),
        part(PartKind::Spout, spout, Placement::at(-58.0, 0.0, 155.0), 12.0),
    ]
}

/// A book lying flat.
pub fn book() -> Vec<Part> {
    vec![part(
        PartKind::Body,
        Solid::Block { x_mm: 240.0, y_mm: 170.0, z_mm: 30.0 },
        Placement::at(0.0, 0.0, 15.0),
        3.0,
    )]
}

/// Where a bundle goes: layer, middle, foot height, way up and turn.
pub struct Spot {
    pub layer: u32,
    pub at_mm: [f64; 3],
    pub way_up: WayUp,
    pub yaw_deg: f64,
}

/// A spot for an upright bundle.
pub fn spot(layer: u32, at_mm: [f64; 3], yaw_deg: f64) -> Spot {
    Spot { layer, at_mm, way_up: WayUp::Upright, yaw_deg }
}

/// A parcel being put together.
pub struct Making {
    parcel: Parcel,
}

impl Making {
    /// An empty carton of this inside size with a bed.
    pub fn new(name: &str, inside_mm: [f64; 3], bed_mm: f64) -> Self {
        let [length, width, height] = inside_mm;
        let carton = Carton {
            name: name.to_owned(),
            inside_mm,
            outside_mm: [length + 8.0, width + 8.0, height + 16.0],
            cut_down_from_mm: None,
            tare_g: 350.0,
            max_gross_g: 18_000.0,
            board: "single wall, 32 lb edge crush".to_owned(),
        };
        let fill = Fill { material: "loose fill".to_owned(), volume_mm3: 1.2e7, mass_g: 80.0, bed_mm };
        Self {
            parcel: Parcel {
                carton,
                crush: Crush { sideways: 0.0 },
                layers: Vec::new(),
                pads: Vec::new(),
                bundles: Vec::new(),
                clearances: Vec::new(),
                fill,
                materials: Vec::new(),
                minutes: plan::Minutes { wrapping: 20.0, boxing: 9.0 },
                gross_g: 3180.0,
                inner: None,
            },
        }
    }

    /// Says that the carton was cut down from this inside height.
    pub fn cut_from(mut self, whole_mm: f64) -> Self {
        self.parcel.carton.cut_down_from_mm = Some(whole_mm);
        self
    }

    /// Lays a pad.
    pub fn pad(mut self, bottom_mm: f64, above_layer: u32) -> Self {
        let number = u32::try_from(self.parcel.pads.len()).expect("few pads") + 1;
        self.parcel.pads.push(Pad { number, bottom_mm, thickness_mm: 6.0, above_layer });
        self
    }

    /// Places a bundle so that its lowest point, wrap included, stands at the spot's height.
    pub fn put(mut self, label: &str, parts: &[Part], spot: Spot, mass_g: f64) -> Self {
        let yaw = Placement::yawed(spot.yaw_deg.to_radians(), [0.0; 3]);
        let turned = yaw.after(spot.way_up.tilt());
        let span = |axis: usize, wrapped: bool| {
            let spans = parts.iter().map(|part| {
                let solid = if wrapped { part.solid.grown(part.wrap_mm) } else { part.solid };
                turned.after(part.placement).extent_mm(solid, axis)
            });
            spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).expect("a bundle has parts")
        };
        let (low, high) = span(2, true);
        let mut at_mm = [spot.at_mm[0], spot.at_mm[1], spot.at_mm[2] - low];
        if spot.way_up != WayUp::Upright {
            for (axis, at) in at_mm.iter_mut().enumerate().take(2) {
                let (from, to) = span(axis, false);
                *at -= 0.5 * (from + to);
            }
        }
        let placement = Placement { at_mm, ..turned };
        let number = u32::try_from(self.parcel.bundles.len()).expect("few bundles") + 1;
        let top_mm = spot.at_mm[2] + high - low;
        match self.parcel.layers.iter_mut().find(|layer| layer.number == spot.layer) {
            Some(layer) => {
                layer.bundles.push(number);
                layer.top_mm = layer.top_mm.max(top_mm);
            }
            None => self.parcel.layers.push(Layer {
                number: spot.layer,
                bottom_mm: spot.at_mm[2],
                top_mm,
                bundles: vec![number],
            }),
        }
        self.parcel.bundles.push(PlacedBundle {
            number,
            label: label.to_owned(),
            contents: vec![Contents { find: "made up".to_owned(), what: label.to_owned(), count: 1 }],
            layer: spot.layer,
            way_up: spot.way_up,
            yaw_deg: spot.yaw_deg,
            placement,
            mass_g,
            rests: Rest::Bed,
            walls: WallClearance { required_mm: 25.0, sides_mm: 25.0, floor_mm: 50.0, top_mm: 50.0 },
            separation_mm: 10.0,
            bears_load: true,
            company: Company::Breakable,
            parts: parts.iter().map(|part| PlacedPart::new(part, placement)).collect(),
        });
        self
    }

    /// Rests the last bundle on the tops of these.
    pub fn on(mut self, numbers: &[u32]) -> Self {
        if let Some(bundle) = self.parcel.bundles.last_mut() {
            bundle.rests = Rest::On(numbers.to_vec());
        }
        self
    }

    /// Records the distance between two neighbours.
    pub fn gap(mut self, a: u32, b: u32, actual_mm: f64) -> Self {
        self.parcel.clearances.push(PairClearance { a, b, required_mm: 10.0, actual_mm });
        self
    }

    /// The parcel.
    pub fn done(self) -> Parcel {
        self.parcel
    }
}

/// Two-handled cups under a pad with saucers on edge and a cup.
pub fn cups_and_saucers() -> Parcel {
    let two = cup(48.0, 60.0, 24.0, &[0.0, 180.0]);
    let on_edge = |x: f64, y: f64, yaw_deg: f64| Spot {
        layer: 2,
        at_mm: [x, y, 136.0],
        way_up: WayUp::OnEdge,
        yaw_deg,
    };
    Making::new("12 x 12 x 12", [304.8, 304.8, 304.8], 50.8)
        .put("consomme cup", &two, spot(1, [85.0, 85.0, 50.8], 60.0), 420.0)
        .put("consomme cup", &two, spot(1, [215.0, 85.0, 50.8], 120.0), 418.0)
        .put("consomme cup", &two, spot(1, [85.0, 215.0, 50.8], 150.0), 421.0)
        .put("consomme cup", &two, spot(1, [215.0, 215.0, 50.8], 45.0), 424.0)
        .pad(128.0, 1)
        .put("4 saucers on edge", &plates(4, 70.0), on_edge(110.0, 95.0, 0.0), 900.0)
        .put("3 saucers on edge", &plates(3, 70.0), on_edge(220.0, 190.0, 90.0), 680.0)
        .put(
            "consomme cup",
            &two,
            Spot { way_up: WayUp::Inverted, ..spot(2, [100.0, 220.0, 136.0], 30.0) },
            423.0,
        )
        .gap(5, 6, 15.0)
        .gap(2, 4, 15.1)
        .gap(3, 4, 15.1)
        .gap(1, 3, 22.8)
        .gap(6, 7, 29.1)
        .done()
}

/// Twelve mugs in two layers of six, cut down.
pub fn twelve_mugs() -> Parcel {
    let mug = cup(42.0, 95.0, 30.0, &[0.0]);
    let turns = [60.0, 70.0, 120.0, 300.0, 250.0, 240.0];
    let mut making = Making::new("12 x 12 x 16", [304.8, 304.8, 330.2], 50.8).cut_from(406.4);
    for layer in [1_u32, 2] {
        let foot = if layer == 1 { 50.8 } else { 172.0 };
        for (index, turn) in turns.into_iter().enumerate() {
            let (column, row) = (index % 3, index / 3);
            let at = [56.0 + 96.0 * column as f64, 80.0 + 144.0 * row as f64, foot];
            making = making.put("diner mug", &mug, spot(layer, at, turn), 395.0);
        }
        if layer == 1 {
            making = making.pad(164.0, 1);
        }
    }
    making.gap(1, 2, 12.0).gap(8, 9, 12.0).done()
}

/// A long carton: a pitcher, goblets lying and standing, a tilted book.
pub fn long_carton() -> Parcel {
    let goblet = goblet();
    let lying =
        |x: f64, y: f64, yaw_deg: f64| Spot { layer: 1, at_mm: [x, y, 40.0], way_up: WayUp::OnEnd, yaw_deg };
    Making::new("24 x 10 x 10", [600.0, 254.0, 254.0], 40.0)
        .put("two-quart ironstone pitcher", &pitcher(), spot(1, [115.0, 125.0, 40.0], 200.0), 1600.0)
        .put("goblet", &goblet, lying(270.0, 80.0, 0.0), 260.0)
        .put("goblet", &goblet, lying(270.0, 180.0, 180.0), 262.0)
        .put("goblet", &goblet, spot(1, [400.0, 75.0, 40.0], 0.0), 261.0)
        .put("goblet", &goblet, spot(1, [400.0, 175.0, 40.0], 0.0), 263.0)
        .put(
            "cookery book",
            &book(),
            Spot { way_up: WayUp::OnEdge, ..spot(1, [510.0, 127.0, 40.0], 75.0) },
            700.0,
        )
        .gap(1, 3, 13.2)
        .gap(2, 4, 19.0)
        .gap(3, 5, 19.0)
        .gap(1, 2, 19.9)
        .gap(4, 5, 24.0)
        .done()
}

/// A small carton with one cup and a pad on the bed.
pub fn small_carton() -> Parcel {
    Making::new("6 x 5 x 5", [150.0, 127.0, 130.0], 20.0)
        .pad(20.0, 0)
        .put("demitasse cup", &cup(30.0, 55.0, 22.0, &[0.0]), spot(1, [68.0, 60.0, 26.0], 30.0), 140.0)
        .done()
}

/// Two like books side by side, an atlas across both and a slim one on it.
pub fn books() -> Parcel {
    let block = |x_mm: f64, y_mm: f64, z_mm: f64| {
        let solid = Solid::Block { x_mm, y_mm, z_mm };
        vec![part(PartKind::Body, solid, Placement::at(0.0, 0.0, 0.5 * z_mm), 5.0)]
    };
    let (book, atlas, slim) =
        (block(150.0, 220.0, 30.0), block(300.0, 210.0, 24.0), block(200.0, 130.0, 12.0));
    Making::new("14 x 10 x 6", [355.6, 254.0, 152.4], 15.0)
        .put("cookery book", &book, spot(1, [97.0, 127.0, 15.0], 0.0), 900.0)
        .put("cookery book", &book, spot(1, [257.0, 127.0, 15.0], 0.0), 910.0)
        .put("atlas", &atlas, spot(2, [177.0, 127.0, 55.0], 0.0), 1400.0)
        .on(&[1, 2])
        .put("slim volume", &slim, spot(3, [160.0, 120.0, 89.0], 0.0), 300.0)
        .on(&[3])
        .gap(1, 2, 10.0)
        .done()
}

/// All of them by name.
pub fn all() -> [(&'static str, Parcel); 5] {
    [
        ("books", books()),
        ("cups", cups_and_saucers()),
        ("mugs", twelve_mugs()),
        ("long", long_carton()),
        ("small", small_carton()),
    ]
}
