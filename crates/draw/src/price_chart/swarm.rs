//! Comps side by side in their column, so that one does not cover another while there is room.

use crate::labels::Taken;

/// Air between two marks, px.
const AIR: f64 = 1.5;

/// Offsets from the middle of a lane, the middle first, then outwards on both sides by turns.
fn offsets(lane: f64, width: f64) -> Vec<f64> {
    let pitch = width + AIR;
    // A lane is at most a chart's width and a mark at least a few px, so this is a small count.
    let each_side = ((0.5 * (lane - width)).max(0.0) / pitch).floor().clamp(0.0, 100.0) as u32;
    let mut offsets = vec![0.0];
    for step in 1..=each_side {
        let out = f64::from(step) * pitch;
        offsets.extend([out, -out]);
    }
    offsets
}

/// The box of a mark that runs from `span`'s upper to its lower end (px) about `middle`, moved sideways in
/// its lane to where it shares least with what is `taken`; of equals the one nearest to the middle.
pub(crate) fn place(middle: f64, lane: f64, width: f64, span: [f64; 2], taken: &[Taken]) -> Taken {
    let at = |offset: f64| Taken {
        from: [middle + offset - 0.5 * width, span[0]],
        to: [middle + offset + 0.5 * width, span[1]],
    };
    let mut best = at(0.0);
    let mut least = f64::INFINITY;
    for offset in offsets(lane, width) {
        let here = at(offset);
        let shared: f64 = taken.iter().map(|other| here.shared(*other)).sum();
        if shared < least {
            (best, least) = (here, shared);
        }
        if shared == 0.0 {
            break;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::place;

    #[test]
    fn equal_prices_stand_side_by_side_until_the_lane_is_full() {
        let mut taken = Vec::new();
        for _ in 0..5 {
            let here = place(100.0, 50.0, 8.0, [10.0, 18.0], &taken);
            assert!(here.from[0] >= 75.0 && here.to[0] <= 125.0, "{here:?}");
            assert!(taken.iter().all(|other| here.shared(*other) == 0.0), "{here:?}");
            taken.push(here);
        }
        let sixth = place(100.0, 50.0, 8.0, [10.0, 18.0], &taken);
        assert!(sixth.from[0] >= 75.0 && sixth.to[0] <= 125.0, "it shares a place but stays in its lane");
    }

    #[test]
    fn a_lane_narrower_than_a_mark_has_one_place() {
        let one = place(10.0, 3.0, 8.0, [0.0, 8.0], &[]);
        assert_eq!(place(10.0, 3.0, 8.0, [0.0, 8.0], &[one]), one);
    }
}
