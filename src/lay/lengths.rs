//! A front and a back, each on a length of its own that is folded along its centre, one length over the other.

use super::need::Need;
use super::shift::on_cloth;
use super::{Fold, Lay, Meets, Placed, Start, Wanted, fold, landing, left, spare};
use crate::finish::Piece;
use crate::geometry::Vector;
use crate::order::{Cloth, Print};
use crate::remark::{Remark, Told, told};

/// Whether every piece is cut once, on the fold, and covers or is covered by the others: a front and a back, each with a
/// length of its own.
pub fn is_all_on_fold<'p>(pieces: impl IntoIterator<Item = &'p Piece>) -> bool {
    pieces.into_iter().all(|piece| piece.on_fold && piece.count == 1 && ["front", "back"].contains(&piece.name))
}

/// Lays pieces that are all cut once on the fold each on a length of its own. Where the print must meet along, every
/// length is as many whole repeats, so that all begin alike.
///
/// # Errors
/// When the cloth is too narrow or too short: by how much, and what would fit.
pub fn on_their_centre(wanted: &Wanted<'_>) -> Told<Lay> {
    let Wanted { cloth, system, .. } = *wanted;
    let pieces: Vec<Piece> = wanted.pieces().cloned().collect();
    let spared = if wanted.level_mm().is_none() { spare::spared(&pieces, cloth, system) } else { None };
    let (pieces, sparing) = match spared {
        Some((spared, remark)) => (spared, Some(remark)),
        None => (pieces, None),
    };
    let plain = Need::of(&pieces);
    let landings = wanted.landings()?;
    let head = landing::head(&landings, cloth, plain.top_mm);
    let (head_mm, in_step) = (head.map_or(0.0, |head| head.mm), |need: Need| need.in_step(wanted.level_mm()));
    let need = in_step(plain.headed(head_mm));
    let plain_mm = wanted.level_mm().map(|_| plain.total_mm());
    let mut remarks = need.shortfalls(cloth, system);
    remarks.extend(sparing);
    let placed = stacked(wanted, &pieces, &need);
    let lengths = pieces.len() as u32;
    let used_mm = f64::from(lengths) * need.length_mm;
    remarks.extend(print_remarks(cloth));
    remarks.extend(wanted.stray());
    let lay = Lay {
        system,
        cloth: cloth.clone(),
        fold: Fold::LengthsOnTheirCentre,
        layers: fold::LAYERS_A_LENGTH * lengths,
        lengths,
        room_mm: 0.0,
        head_mm,
        length_mm: need.length_mm,
        folded_width_mm: cloth.width_mm / 2.0,
        used_mm,
        left_over: Vec::new(),
        weighed: Vec::new(),
        ruled_out: Vec::new(),
        meets: Meets {
            way: wanted.matching(),
            meetings: wanted.ties().meetings,
            best_start: head
                .map(|head| Start { motif_mm: head.motif_mm, used_mm: in_step(plain).total_mm() })
                .filter(|best| best.used_mm < used_mm),
            landings,
            plain_mm,
        },
        placed,
        unpinned_mm: None,
    };
    told(Lay { left_over: left::over(&lay), ..lay }, remarks)
}

/// Every piece on its own length, start lines level, the piece that covers the others on top: it can be cut out first
/// and lifted off without a cut into what lies below.
fn stacked(wanted: &Wanted<'_>, pieces: &[Piece], need: &Need) -> Vec<Placed> {
    let uncovered_mm2 = |piece: &Piece| pieces.iter().map(|other| other.cut.area_outside_mm2(&piece.cut)).sum::<f64>();
    let mut order: Vec<(f64, usize)> = pieces.iter().map(uncovered_mm2).zip(0..).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let cloth_from_draft = on_cloth(need.top_mm, 0.0);
    order
        .into_iter()
        .map(|(_, of)| Placed {
            piece: pieces[of].clone(),
            of,
            whose: wanted.whose(of).map(str::to_owned),
            layers: fold::LAYERS_A_LENGTH,
            gives: pieces[of].count,
            cloth_from_draft,
            shift_mm: Vector::zero(),
            turned: false,
            mirrored: false,
        })
        .collect()
}

/// What the print asks of her.
fn print_remarks(cloth: &Cloth) -> Vec<Remark> {
    let one_way = (cloth.print == Print::OneWay).then(|| {
        Remark::note("one-way print: cut the lengths apart, and lay each with its print's head at the neck end")
            .remedy("never fold this cloth across: one layer would stand on its head")
    });
    one_way.into_iter().collect()
}
