//! Which folds are worth a look for what is wanted, and why a kind of fold is not to be had.

use super::begin::{Asks, Motifs};
use super::domain::{Bonds, Rather, Sheet};
use super::pin::Misplaced;
use super::proof::IN_STEP_MM;
use super::ready::Ready;
use super::{Fold, RuledOut, Zone, landing};
use crate::order::{FoldKind, Matching, Print};

impl Ready<'_> {
    /// The folds worth a look, of the kind that is asked for: folded no farther in than pieces on the fold reach, beside the
    /// border, and on columns of motifs where these must lie on the centre.
    pub(super) fn folds(&self, asks: Asks) -> Vec<Fold> {
        let cloth = self.wanted.cloth;
        let half_mm = cloth.width_mm / 2.0;
        let mut reaches_mm: Vec<f64> =
            self.sheets.iter().filter_map(Sheet::half_mm).filter(|mm| *mm < half_mm).collect();
        reaches_mm.sort_by(f64::total_cmp);
        reaches_mm.dedup_by(|a, b| (*a - *b).abs() < 1.0);
        let mut folds = vec![Fold::Open, Fold::AtHalf];
        let centred = self.is_centred(asks);
        let on = |least_mm: f64, selvedge_mm: f64| match cloth.motif_mm.filter(|_| centred) {
            Some([_, motif_mm]) => landing::next_column_mm(least_mm, (motif_mm - selvedge_mm).abs(), cloth),
            None => least_mm,
        };
        for (i, reach_mm) in reaches_mm.iter().enumerate() {
            let near_mm = on(reach_mm + cloth.border_mm, 0.0);
            folds.extend(Some(Fold::Partly { folded_mm: near_mm }).filter(|_| near_mm <= half_mm));
            let far = reaches_mm[..=i].iter().map(|far_mm| on(*far_mm, cloth.width_mm));
            let far = far.filter(|far_mm| near_mm + far_mm <= half_mm);
            folds.extend(far.map(|far_mm| Fold::BothIn { near_mm, far_mm }));
        }
        // Both selvedges to the middle: the far one need only hold the narrowest piece.
        let narrow_mm = self.sheets.iter().map(|sheet| sheet.half_mm().unwrap_or_else(|| sheet.across_mm()));
        let narrow_mm = narrow_mm.fold(f64::INFINITY, f64::min);
        let to_middle = reaches_mm.iter().filter(|near_mm| half_mm - **near_mm >= narrow_mm);
        folds.extend(to_middle.map(|near_mm| Fold::BothIn { near_mm: *near_mm, far_mm: half_mm - near_mm }));
        folds.extend([Fold::Across, Fold::InFour]);
        let asked = self.wanted.fold();
        folds.retain(|fold| asked.is_none_or(|kind| kind == fold.kind()) && self.hinders(*fold, asks).is_none());
        folds
    }

    /// Why cloth can't be folded so, whatever is laid on it.
    fn hinders(&self, fold: Fold, asks: Asks) -> Option<&'static str> {
        let cloth = self.wanted.cloth;
        let lines_mm = fold.lines_mm(cloth.width_mm);
        match fold.is_across() {
            true if cloth.print == Print::OneWay => {
                Some("one layer would stand on its head, and the cloth has one way up")
            }
            true if asks.matching != Matching::None => {
                Some("one layer would stand on its head, and the print must meet")
            }
            true if asks.motifs != Motifs::Anywhere => {
                Some("one layer would stand on its head, and motifs must lie at their place")
            }
            true if !cloth.flaws.is_empty() => Some("where a flaw comes to lie would change with every length"),
            false if self.is_centred(asks) && !landing::on_columns(&lines_mm, cloth) => {
                Some("its folds would lie beside the columns of motifs, and these must lie on the centre")
            }
            false if !self.is_in_step(&lines_mm, asks) => Some("its folds would lie on different places of the print"),
            _ => None,
        }
    }

    /// Whether all fold lines lie on the same place of a print that must meet across.
    fn is_in_step(&self, lines_mm: &[f64], asks: Asks) -> bool {
        let Some(across_mm) = self.wanted.cloth.repeat_mm[1].filter(|_| asks.matching.is_across()) else { return true };
        lines_mm.windows(2).all(|pair| {
            let apart = (pair[1] - pair[0]) / across_mm;
            (apart - apart.round()).abs() * across_mm < IN_STEP_MM / 4.0
        })
    }

    /// The kinds of fold that are not to be had, with the reason: all but those that there are.
    pub(super) fn ruled_out(&self, there_are: &[FoldKind], misplaced: &[Misplaced], asks: Asks) -> Vec<RuledOut> {
        let asked = self.wanted.fold();
        let kinds = FoldKind::WORDS.iter().map(|(_, kind)| *kind).filter(|kind| *kind != FoldKind::Lengths);
        let missing = kinds.filter(|kind| !there_are.contains(kind) && asked.is_none_or(|asked| asked == *kind));
        let why = |kind| self.why_not(kind, asks).unwrap_or_else(|| self.why_not_pinned(kind, misplaced));
        missing.map(|kind| RuledOut { kind, why: why(kind) }).collect()
    }

    /// The rule that a piece would break which is kept in place.
    fn why_not_pinned(&self, kind: FoldKind, misplaced: &[Misplaced]) -> String {
        match misplaced.iter().find(|misplaced| misplaced.fold.kind() == kind) {
            Some(misplaced) => {
                format!("with pieces kept in place, {}", self.refused_pin(misplaced).remarks[0].sentence)
            }
            None => "no place was found for its pieces".into(),
        }
    }

    /// Why the pieces have no place on cloth that is folded so, wherever they are kept; none when they have.
    fn why_not(&self, kind: FoldKind, asks: Asks) -> Option<String> {
        let half_mm = self.wanted.cloth.width_mm / 2.0;
        let show = |mm: f64| self.wanted.system.show(mm);
        let halves = || self.sheets.iter().filter_map(|sheet| Some((sheet.half_mm()?, sheet.drawn.name)));
        let one = match kind {
            FoldKind::Lengths => return Some("its pieces are not laid on one length".into()),
            FoldKind::Open => Fold::Open,
            FoldKind::Half => Fold::AtHalf,
            FoldKind::Across => Fold::Across,
            FoldKind::Four => Fold::InFour,
            FoldKind::OneSide | FoldKind::BothSides => {
                let Some((reach_mm, name)) = halves().min_by(|a, b| a.0.total_cmp(&b.0)) else {
                    return Some("no piece is cut on a fold".into());
                };
                if reach_mm >= half_mm {
                    return Some(format!(
                        "the {name} reaches {} from its fold, and less than {}, half of the cloth, can be folded in",
                        show(reach_mm),
                        show(half_mm)
                    ));
                }
                match self.folds(Asks::NOTHING).into_iter().rev().find(|fold| fold.kind() == kind) {
                    Some(fold) => fold,
                    None => {
                        return Some(format!(
                            "beside the {name}, {} from its fold, no piece has room up to the middle",
                            show(reach_mm)
                        ));
                    }
                }
            }
        };
        if let Some(why) = self.hinders(one, asks) {
            return Some(why.into());
        }
        let zones = one.zones_beside(self.wanted.cloth);
        let one_way = self.wanted.cloth.print == Print::OneWay;
        let bonds = Bonds { one_way, aside: false };
        let sheet = self.sheets.iter().find(|sheet| sheet.asked(0, &zones, Rather::Double, bonds).is_none())?;
        Some(self.too_wide(sheet, &zones))
    }

    /// How a piece is too wide for every strip of the cloth: on its fold, and open.
    fn too_wide(&self, sheet: &Sheet<'_>, zones: &[Zone]) -> String {
        let show = |mm: f64| self.wanted.system.show(mm);
        let widest = |is_folded: bool| {
            let of_it = zones.iter().filter(|zone| zone.fold.is_some() == is_folded).map(Zone::width_mm);
            of_it.reduce(f64::max)
        };
        let (name, open_mm) = (sheet.drawn.name, sheet.across_mm());
        match (sheet.half_mm(), widest(true), widest(false)) {
            (Some(half_mm), Some(double_mm), None) => {
                let (half, double) = (show(half_mm), show(double_mm));
                format!("the {name} reaches {half} from its fold, and the cloth lies {double} wide there")
            }
            (Some(half_mm), Some(double_mm), Some(single_mm)) => format!(
                "the {name} reaches {} from its fold, where {} are folded in; open it is {} wide, and {} lie single",
                show(half_mm),
                show(double_mm),
                show(open_mm),
                show(single_mm)
            ),
            (_, double_mm, single_mm) => {
                let wide_mm = double_mm.unwrap_or(0.0).max(single_mm.unwrap_or(0.0));
                format!("the {name} reaches {}, and the cloth lies {} wide there", show(open_mm), show(wide_mm))
            }
        }
    }
}
