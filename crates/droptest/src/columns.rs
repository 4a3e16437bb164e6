//! What stands between two hard things along an axis: columns of wrap and fill.
//!
//! The carton is looked through along each of its axes in small square cells. What lies between two hard parts
//! of different bundles, or between one and a wall or pad, is a column of cushion as long as their distance;
//! columns between the same two, of like length, are one cushion. So a round side counts with the little that
//! stands close to the wall and the more that stands further off.

use std::collections::BTreeMap;

use plan::Parcel;
use shape::PartKind;

use crate::chord::chord;

/// Side of a cell, mm (judgement: a cup's foot takes a hundred of them).
const CELL_MM: f64 = 6.0;
/// Columns up to these multiples of the shortest are one class; longer ones the last (judgement).
const CLASSES: [f64; 3] = [1.2, 1.6, 2.4];
/// Shortest column, mm: what touches still has its wrap's last film between.
const SHORTEST_MM: f64 = 0.1;

/// What a column ends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// The wall at the low end of the axis (left, front or floor).
    Low,
    /// A bundle, by its index in the plan.
    Bundle(usize),
    /// A pad, by its index in the plan.
    Pad(usize),
    /// The wall at the high end of the axis (right, back or top).
    High,
}

/// Cushion between two hard things along one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cushioned {
    /// 0 along the length, 1 along the width, 2 upright.
    pub axis: usize,
    /// What it stands on, at the low end.
    pub low: End,
    /// What stands on it, at the high end.
    pub high: End,
    /// The hard part at the low end, where a bundle is there.
    pub low_part: Option<PartKind>,
    /// The hard part at the high end, where a bundle is there.
    pub high_part: Option<PartKind>,
    /// Area across the axis, mm2.
    pub area_mm2: f64,
    /// Mean distance of the hard surfaces, mm.
    pub thickness_mm: f64,
    /// Least distance of the hard surfaces, mm.
    pub least_mm: f64,
    /// Of the thickness, wrap of the thing at the low end, mm.
    pub low_wrap_mm: f64,
    /// Of the thickness, wrap of the thing at the high end, mm.
    pub high_wrap_mm: f64,
}

/// Something hard in one cell.
#[derive(Clone, Copy)]
struct Hard {
    from: f64,
    to: f64,
    end: End,
    part: Option<PartKind>,
    wrap: f64,
}

/// All cushions of a parcel along one axis, in a fixed order.
#[must_use]
pub fn cushions(parcel: &Parcel, axis: usize) -> Vec<Cushioned> {
    let inside = parcel.carton.inside_mm;
    let across = match axis {
        0 => [1, 2],
        1 => [0, 2],
        _ => [0, 1],
    };
    let count = |k: usize| ((inside[k] / CELL_MM).ceil().max(1.0)) as usize;
    let (columns, rows) = (count(across[0]), count(across[1]));
    let step = [inside[across[0]] / columns as f64, inside[across[1]] / rows as f64];
    let mut cells: Vec<Vec<Hard>> = vec![Vec::new(); columns * rows];
    for (index, bundle) in parcel.bundles.iter().enumerate() {
        for part in &bundle.parts {
            let span = |k: usize, all: usize| {
                let (low, high) = part.placement.extent_mm(part.bare, across[k]);
                let cell = |at: f64| (at / step[k]).floor().clamp(0.0, all as f64 - 1.0) as usize;
                cell(low)..=cell(high)
            };
            for row in span(1, rows) {
                for column in span(0, columns) {
                    let mut through = [0.0; 3];
                    through[across[0]] = (column as f64 + 0.5) * step[0];
                    through[across[1]] = (row as f64 + 0.5) * step[1];
                    if let Some([from, to]) = chord(part.bare, part.placement, through, axis) {
                        cells[row * columns + column].push(Hard {
                            from,
                            to,
                            end: End::Bundle(index),
                            part: Some(part.kind),
                            wrap: part.wrap_mm,
                        });
                    }
                }
            }
        }
    }
    let area = step[0] * step[1];
    let mut found: BTreeMap<(End, End), Vec<Cushioned>> = BTreeMap::new();
    for mut cell in cells {
        if axis == 2 {
            cell.extend(parcel.pads.iter().enumerate().map(|(index, pad)| Hard {
                from: pad.bottom_mm,
                to: pad.bottom_mm + pad.thickness_mm,
                end: End::Pad(index),
                part: None,
                wrap: 0.0,
            }));
        }
        if cell.is_empty() {
            continue;
        }
        cell.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.end.cmp(&b.end)));
        let mut below = Hard { from: 0.0, to: 0.0, end: End::Low, part: None, wrap: 0.0 };
        let top = Hard { from: inside[axis], to: inside[axis], end: End::High, part: None, wrap: 0.0 };
        for above in cell.into_iter().chain([top]) {
            if above.end == below.end {
                // Two parts of one bundle: what lies between moves with them.
                if above.to > below.to {
                    below = above;
                }
                continue;
            }
            let thickness_mm = (above.from - below.to).max(SHORTEST_MM);
            found.entry((below.end, above.end)).or_default().push(Cushioned {
                axis,
                low: below.end,
                high: above.end,
                low_part: below.part,
                high_part: above.part,
                area_mm2: area,
                thickness_mm,
                least_mm: thickness_mm,
                low_wrap_mm: below.wrap,
                high_wrap_mm: above.wrap,
            });
            if above.to > below.to {
                below = above;
            }
        }
    }
    found.into_values().flat_map(classed).collect()
}

/// Columns between the same two things, gathered by length.
fn classed(columns: Vec<Cushioned>) -> Vec<Cushioned> {
    let shortest = columns.iter().map(|column| column.thickness_mm).fold(f64::INFINITY, f64::min);
    let mut classes: Vec<Option<Cushioned>> = vec![None; CLASSES.len() + 1];
    for column in columns {
        let class = CLASSES.iter().take_while(|limit| column.thickness_mm > *limit * shortest).count();
        classes[class] = Some(match classes[class] {
            None => column,
            Some(sum) => {
                let area_mm2 = sum.area_mm2 + column.area_mm2;
                let mean = |a: f64, b: f64| (a * sum.area_mm2 + b * column.area_mm2) / area_mm2;
                let nearer = if column.least_mm < sum.least_mm { column } else { sum };
                Cushioned {
                    area_mm2,
                    thickness_mm: mean(sum.thickness_mm, column.thickness_mm),
                    low_wrap_mm: mean(sum.low_wrap_mm, column.low_wrap_mm),
                    high_wrap_mm: mean(sum.high_wrap_mm, column.high_wrap_mm),
                    ..nearer
                }
            }
        });
    }
    classes.into_iter().flatten().collect()
}
