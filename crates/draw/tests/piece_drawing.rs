//! What the drawing of a piece promises to who measures by it.

use draw::{PieceFigure, PieceMeasure, piece_svg};
use measure::{Length, Units};
use proptest::prelude::*;
use roxmltree::{Document, Node};
use shape::{Part, PartKind, Piece, Placement, Solid};

fn part(kind: PartKind, solid: Solid, at: [f64; 3]) -> Part {
    Part { kind, solid, placement: Placement::at(at[0], at[1], at[2]), wrap_mm: 0.0 }
}

/// A mug of 80 mm across and 90 mm height whose handle begins inside the body and stands out by 30 mm.
fn mug(reach: f64) -> Piece {
    let body = part(PartKind::Body, Solid::Cylinder { radius_mm: 40.0, height_mm: 90.0 }, [0.0, 0.0, 45.0]);
    let handle = Solid::Block { x_mm: 16.0 + reach, y_mm: 14.0, z_mm: 60.0 };
    let middle = 24.0 + (16.0 + reach) / 2.0;
    Piece {
        parts: vec![body, part(PartKind::Handle, handle, [middle, 0.0, 45.0])],
        apart: Vec::new(),
        hollow_mm3: 0.0,
        mass_g: 400.0,
        apart_mass_share: Vec::new(),
        pitch_mm: None,
    }
}

fn figure(measure: PieceMeasure, letter: char, mm: f64, measured: bool) -> PieceFigure {
    PieceFigure { measure, letter, length: Length::from_mm(mm), measured }
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).and_then(|text| text.parse().ok()).expect("a coordinate")
}

fn view<'a>(document: &'a Document<'a>, name: &str) -> Node<'a, 'a> {
    document.descendants().find(|node| node.attribute("data-view") == Some(name)).expect("the view")
}

fn words(node: Node<'_, '_>) -> Vec<String> {
    let texts = node.descendants().filter(|node| node.has_tag_name("text"));
    texts.filter_map(|node| node.text()).map(str::to_owned).collect()
}

/// Level lines of a view: from, to, and how low they lie.
fn level_lines(view: Node<'_, '_>) -> Vec<[f64; 3]> {
    let lines = view.descendants().filter(|node| node.has_tag_name("line"));
    lines
        .map(|line| [number(line, "x1"), number(line, "x2"), number(line, "y1"), number(line, "y2")])
        .filter(|line| (line[2] - line[3]).abs() < 0.05)
        .map(|[x1, x2, y, _]| [x1.min(x2), x1.max(x2), y])
        .collect()
}

#[test]
fn the_reach_of_a_handle_is_drawn_from_the_bodys_edge_to_the_handles_tip() {
    let figures =
        [figure(PieceMeasure::Across, 'A', 80.0, true), figure(PieceMeasure::HandleReach, 'B', 30.0, true)];
    let svg = piece_svg(&mug(30.0), &figures, "mug", Units::Metric);
    let document = Document::parse(&svg).expect("well-formed");
    let side = view(&document, "From the side");
    // The lowest two level lines are the dimension lines: the body across, and beyond it the reach.
    let mut lines = level_lines(side);
    lines.sort_by(|a, b| b[2].total_cmp(&a[2]));
    lines.truncate(2);
    lines.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (across, reach) = (lines[0], lines[1]);
    assert!((across[1] - reach[0]).abs() < 0.2, "the reach begins where the body ends: {lines:?}");
    let scale = (across[1] - across[0]) / 80.0;
    assert!(((reach[1] - reach[0]) / scale - 30.0).abs() < 0.2, "{lines:?}");
    let said = words(side);
    assert!(said.contains(&"A 80 mm".to_owned()) && said.contains(&"B 30 mm".to_owned()), "{said:?}");
}

#[test]
fn an_estimate_is_marked_and_a_measured_figure_is_not() {
    let figures =
        [figure(PieceMeasure::Across, 'A', 82.55, true), figure(PieceMeasure::Height, 'B', 88.9, false)];
    let svg = piece_svg(&mug(30.0), &figures, "mug <&>", Units::UsCustomary);
    let document = Document::parse(&svg).expect("well-formed and escaped");
    let said = words(document.root_element());
    assert!(said.contains(&"A 3 1/4 in".to_owned()) && said.contains(&"B ~3 1/2 in".to_owned()), "{said:?}");
    assert_eq!(document.root_element().first_element_child().and_then(|node| node.text()), Some("mug <&>"));
}

#[test]
fn what_a_piece_does_not_have_is_not_drawn() {
    let figures = [
        figure(PieceMeasure::SpoutReach, 'S', 50.0, true),
        figure(PieceMeasure::LidHeight, 'L', 30.0, true),
        figure(PieceMeasure::StemHeight, 'T', 30.0, true),
    ];
    let svg = piece_svg(&mug(30.0), &figures, "mug", Units::Metric);
    let document = Document::parse(&svg).expect("well-formed");
    let said = words(document.root_element());
    assert!(said.iter().all(|words| !words.starts_with(['S', 'L'])), "{said:?}");
}

#[test]
fn figures_stand_apart_and_within_the_paper() {
    let figures = [
        figure(PieceMeasure::Across, 'A', 80.0, false),
        figure(PieceMeasure::Height, 'B', 90.0, false),
        figure(PieceMeasure::HandleReach, 'C', 30.0, false),
        figure(PieceMeasure::HandleWidth, 'D', 14.0, false),
        figure(PieceMeasure::HandleHeight, 'E', 60.0, false),
        figure(PieceMeasure::HandleBottom, 'F', 15.0, false),
        figure(PieceMeasure::Waist, 'G', 70.0, false),
    ];
    let svg = piece_svg(&mug(30.0), &figures, "mug", Units::UsCustomary);
    let document = Document::parse(&svg).expect("well-formed");
    let texts: Vec<Node<'_, '_>> = document.descendants().filter(|node| node.has_tag_name("text")).collect();
    assert_eq!(texts.len(), figures.len() + 2, "each figure once, and two headings");
    for (k, one) in texts.iter().enumerate() {
        assert!((0.0..=440.0).contains(&number(*one, "x")));
        for other in &texts[k + 1..] {
            let (dx, dy) = (number(*one, "x") - number(*other, "x"), number(*one, "y") - number(*other, "y"));
            assert!(dx.abs() > 20.0 || dy.abs() >= 12.0, "{:?} on {:?}", one.text(), other.text());
        }
    }
}

proptest! {
    #[test]
    fn any_piece_is_drawn_as_well_formed_text(
        figures in prop::collection::vec(prop::num::f64::ANY, 6),
        measured in any::<bool>(),
        title in ".{0,40}",
    ) {
        let solid = Solid::Frustum {
            bottom_radius_mm: figures[0],
            top_radius_mm: figures[1],
            height_mm: figures[2],
        };
        let mut piece = mug(figures[3]);
        piece.parts.push(part(PartKind::Spout, solid, [figures[4], figures[5], 0.0]));
        piece.apart.push(vec![part(PartKind::Lid, solid, [0.0; 3])]);
        let all = [
            PieceMeasure::Across, PieceMeasure::Width, PieceMeasure::Height, PieceMeasure::Waist,
            PieceMeasure::HandleReach, PieceMeasure::HandleWidth, PieceMeasure::HandleHeight,
            PieceMeasure::HandleBottom, PieceMeasure::SpoutReach, PieceMeasure::SpoutWidth,
            PieceMeasure::SpoutHeight, PieceMeasure::StemDiameter, PieceMeasure::StemHeight,
            PieceMeasure::FootDiameter, PieceMeasure::FootHeight, PieceMeasure::LidDiameter,
            PieceMeasure::LidHeight, PieceMeasure::KnobHeight, PieceMeasure::KnobDiameter,
        ];
        let drawn: Vec<PieceFigure> =
            all.into_iter().zip('A'..='Z').map(|(measure, letter)| figure(measure, letter, figures[0], measured)).collect();
        let svg = piece_svg(&piece, &drawn, &title, Units::Metric);
        prop_assert!(Document::parse(&svg).is_ok(), "{svg}");
        prop_assert!(!svg.contains("NaN") && !svg.contains("inf\""));
    }
}
