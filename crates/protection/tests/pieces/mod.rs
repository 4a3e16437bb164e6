//! Simple pieces for tests, measured in inches and ounces.
#![allow(dead_code)]

use measure::{Length, Mass};
use protection::{Materials, PieceToWrap, Profiles, Recipe, Recipes, WrappedBundle, protect};
use shape::{Bundle, Company, Part, PartKind, Piece, Placement, Solid};

pub fn mm(inches: f64) -> f64 {
    Length::from_inches(inches).mm()
}

pub fn ounces(mass_g: f64) -> f64 {
    Mass::from_grams(mass_g).ounces()
}

fn part(kind: PartKind, solid: Solid, placement: Placement) -> Part {
    Part { kind, solid, placement, wrap_mm: 0.0 }
}

/// A round piece: diameter, height, ounces.
pub fn round(diameter: f64, height: f64, oz: f64) -> Piece {
    let (radius_mm, height_mm) = (mm(diameter) / 2.0, mm(height));
    let body = part(
        PartKind::Body,
        Solid::Cylinder { radius_mm, height_mm },
        Placement::at(0.0, 0.0, height_mm / 2.0),
    );
    Piece {
        parts: vec![body],
        apart: vec![],
        hollow_mm3: 0.0,
        mass_g: Mass::from_ounces(oz).grams(),
        apart_mass_share: vec![],
        pitch_mm: None,
    }
}

/// A block: length, width, height, ounces.
pub fn block(length: f64, width: f64, height: f64, oz: f64) -> Piece {
    let solid = Solid::Block { x_mm: mm(length), y_mm: mm(width), z_mm: mm(height) };
    let parts = vec![part(PartKind::Body, solid, Placement::at(0.0, 0.0, mm(height) / 2.0))];
    Piece { parts, ..round(1.0, 1.0, oz) }
}

/// The piece with a part of this kind standing out by `reach` at half its height.
pub fn with_arm(mut piece: Piece, kind: PartKind, reach: f64, yaw: f64) -> Piece {
    let body = piece.parts[0];
    let edge = body.placement.extent_mm(body.solid, 0).1;
    let height = body.placement.extent_mm(body.solid, 2).1;
    let (root, tip) = (0.6 * edge, edge + mm(reach));
    let solid = Solid::Block { x_mm: tip - root, y_mm: mm(0.5), z_mm: height / 2.0 };
    let middle = (root + tip) / 2.0;
    let at = [middle * yaw.cos(), middle * yaw.sin(), height / 2.0];
    piece.parts.push(part(kind, solid, Placement::yawed(yaw, at)));
    piece
}

/// The piece with a hollow of half its body and a lid with a knob that has a fifth of the weight.
pub fn with_hollow_and_lid(mut piece: Piece) -> Piece {
    piece.hollow_mm3 = 0.5 * piece.parts[0].solid.volume_mm3();
    let lid = round(3.0, 0.5, 1.0).parts[0];
    let knob = round(0.9, 1.2, 1.0).parts[0];
    piece.apart = vec![vec![Part { kind: PartKind::Lid, ..lid }, Part { kind: PartKind::Knob, ..knob }]];
    piece.apart_mass_share = vec![0.2];
    piece
}

pub fn wrap(piece: &Piece, recipe: &Recipe, count: u32) -> Vec<WrappedBundle> {
    wrap_with(piece, recipe, count, &Materials::published())
}

pub fn wrap_with(piece: &Piece, recipe: &Recipe, count: u32, materials: &Materials) -> Vec<WrappedBundle> {
    let what = PieceToWrap { find: "find", what: "piece", piece, company: Company::Breakable, count };
    let profiles = Profiles::published();
    let profile = profiles.find(Profiles::USUAL).expect("usual profile");
    protect(&what, recipe, materials, profile).expect("protected")
}

pub fn recipe(name: &str) -> Recipe {
    Recipes::published().find(name).expect("published recipe").clone()
}

/// Sides of a wrapped bundle in its upright frame, in.
pub fn sides(bundle: &Bundle) -> [f64; 3] {
    [0, 1, 2].map(|axis| {
        let ends =
            bundle.parts.iter().map(|part| part.placement.extent_mm(part.solid.grown(part.wrap_mm), axis));
        let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |a, b| (a.0.min(b.0), a.1.max(b.1)));
        Length::from_mm(high - low).inches()
    })
}
