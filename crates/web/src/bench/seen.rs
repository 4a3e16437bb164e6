//! What a form at the bench saw of its order: if it has changed meanwhile, nothing is stored.

use shop::{HistoryRow, PieceRef};

use crate::orders::typed;

/// The last event of the order, and the pieces that it waits for: a swap changes these alone.
pub(super) fn seen(history: &[HistoryRow], promised: &[PieceRef]) -> String {
    format!("{}/{}", typed::seen(history), keeping::pieces_written(promised))
}

/// What happened since a form was drawn; nothing where the form carries nothing.
pub(super) fn meanwhile(history: &[HistoryRow], promised: &[PieceRef], told: Option<&str>) -> Option<String> {
    let (event, pieces) = told?.split_once('/')?;
    let now = keeping::pieces_written(promised);
    typed::meanwhile(history, Some(event)).or_else(|| {
        (pieces != now).then(|| {
            format!(
                "meanwhile pieces of the order were swapped elsewhere: it waits for {now} now. Nothing was stored; \
                 look at it, then send the form again"
            )
        })
    })
}

#[cfg(test)]
mod tests {
    use super::{meanwhile, seen};
    use books::FindId;
    use shop::PieceRef;

    #[test]
    fn a_swap_alone_is_seen_and_nothing_told_is_nothing_changed() {
        let piece = |number| PieceRef { find: FindId(1), number };
        let told = seen(&[], &[piece(1), piece(2)]);
        assert_eq!(meanwhile(&[], &[piece(1), piece(2)], Some(&told)), None);
        assert!(meanwhile(&[], &[piece(1), piece(3)], Some(&told)).is_some_and(|why| why.contains("1:1,3")));
        assert_eq!(meanwhile(&[], &[piece(9)], None), None);
    }
}
