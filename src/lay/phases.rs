//! The ways in which a print may be begun under a lay that is searched for.

use super::begin::{Asks, Bound, Motifs, Phase, for_all};
use super::domain::Asked;
use super::fold::Fold;
use super::landing;
use super::proof::IN_STEP_MM;
use super::ready::Ready;
use crate::geometry::{Cloth as ClothFrame, Draft, Point};
use crate::order::Matching;

impl Ready<'_> {
    /// Where the print may lie. Motifs lie where they are; pieces that are only tied to one another are begun so that one of
    /// their garment lies at the cut end, and on open cloth at the near selvedge; where one is pinned, so that it lies there.
    /// A fold gives the place across.
    pub(super) fn phases(&self, asked: &[Asked], fold: Fold, asks: Asks) -> Vec<Phase> {
        let mut kept: Vec<Phase> = Vec::new();
        for motif in self.motifs(asked, fold, asks) {
            let candidates = self.candidates(asked, (fold, asks), motif);
            for tied in for_all(&candidates) {
                let phase = Phase { tied, motif };
                if !kept.iter().any(|known| known.is_near(&phase, IN_STEP_MM)) {
                    kept.push(phase);
                }
            }
        }
        kept
    }

    /// What binds a piece to the print.
    pub(super) fn bound(&self, asked: &Asked, asks: Asks) -> Bound<'_> {
        let datum = self.ties.datums.get(asked.piece).copied().flatten().filter(|_| asks.matching != Matching::None);
        let landing = self.landings.iter().find(|landing| landing.piece == asked.piece);
        Bound {
            tie: datum.map(|at| (self.ties.garments[asked.piece], at)),
            landing: landing.filter(|_| asks.motifs != Motifs::Anywhere),
            is_free: asked.unfolded,
        }
    }

    /// Where a motif may lie.
    fn motifs(&self, asked: &[Asked], fold: Fold, asks: Asks) -> Vec<Point<ClothFrame>> {
        let lies = landing::motifs(self.wanted.cloth, fold, &self.landings);
        match asks.motifs {
            Motifs::Anywhere => vec![Point::origin()],
            Motifs::AsItLies => lies,
            Motifs::AtTheirBest => {
                let carried = asked.iter().filter_map(|asked| {
                    let landing = self.landings.iter().find(|landing| landing.piece == asked.piece && landing.along)?;
                    Some(self.at_the_cut_end(asked, landing.at)?.x)
                });
                let tied = asked.iter().filter_map(|asked| {
                    let (garment, datum) = self.bound(asked, asks).tie?;
                    Some(self.at_the_cut_end(asked, datum)?.x + self.landing_off_mm(garment, asks)?)
                });
                carried.chain(tied).map(|x_mm| Point::new(x_mm, lies[0].y)).collect()
            }
        }
    }

    /// How far below the datum of a garment's front the place lies that lands on a motif; none where the two are not tied.
    fn landing_off_mm(&self, garment: usize, asks: Asks) -> Option<f64> {
        let of_garment = |piece: usize| self.ties.garments.get(piece) == Some(&garment);
        let mut landings = self.landings.iter().filter(|landing| landing.along && of_garment(landing.piece));
        let landing = landings.next().filter(|_| asks.motifs != Motifs::Anywhere && asks.matching.is_along())?;
        Some(landing.at.y - self.ties.datums[landing.piece]?.y)
    }

    /// For each garment the places on which its datums may lie; one at least.
    fn candidates(
        &self,
        asked: &[Asked],
        (fold, asks): (Fold, Asks),
        motif: Point<ClothFrame>,
    ) -> Vec<Vec<Point<ClothFrame>>> {
        let centred = self.is_centred(asks);
        let free = asks.matching.is_across() && fold == Fold::Open;
        let garments = self.wanted.garments.len();
        let of_garment = |garment: usize| {
            let tied = asked.iter().filter_map(|asked| {
                let (of, datum) = self.bound(asked, asks).tie?;
                (of == garment).then_some((asked, datum))
            });
            let tied: Vec<(&Asked, Point<Draft>)> = tied.collect();
            let pinned =
                tied.iter().find_map(|(asked, datum)| Some((asked, datum, self.pins.get(&asked.piece)?.first()?)));
            let mut places: Vec<Point<ClothFrame>> = match pinned {
                Some((asked, datum, at)) => {
                    let homes = 0..asked.homes.len();
                    homes.filter_map(|home| self.lying(asked, home, *datum, *at)).collect()
                }
                None => tied.iter().filter_map(|(asked, datum)| self.at_the_cut_end(asked, *datum)).collect(),
            };
            if let Some(off_mm) = self.landing_off_mm(garment, asks) {
                places = vec![Point::new(motif.x - off_mm, places.first().map_or(0.0, |at| at.y))];
            }
            for at in &mut places {
                at.y = if !free {
                    0.0
                } else if centred {
                    motif.y
                } else {
                    at.y
                };
            }
            if places.is_empty() { vec![Point::origin()] } else { places }
        };
        (0..garments).map(of_garment).collect()
    }

    fn at_the_cut_end(&self, asked: &Asked, at: Point<Draft>) -> Option<Point<ClothFrame>> {
        self.lying(asked, 0, at, [0.0; 2])
    }

    /// Where a place of a piece lies, within a repeat, when the box around the piece begins there.
    fn lying(&self, asked: &Asked, home: usize, at: Point<Draft>, from: [f64; 2]) -> Option<Point<ClothFrame>> {
        let turn = asked.homes.get(home)?.turn;
        let at = turn.transform_point(at) - self.form(asked)?.outline.mapped(&turn).bounds().0;
        let into = |mm: f64, repeat_mm: Option<f64>| repeat_mm.map_or(mm, |repeat_mm| mm.rem_euclid(repeat_mm));
        let [along_mm, across_mm] = self.wanted.cloth.repeat_mm;
        Some(Point::new(into(from[0] + at.x, along_mm), into(from[1] + at.y, across_mm)))
    }
}
