//! Where each piece may lie: on which strips, turned which way, and how many come of one cutting.

use super::Placed;
use super::fold::{FoldAt, Zone};
use crate::finish::Piece;
use crate::geometry::{Cloth, Draft, Map, Outline, Point, Vector};
use crate::nest::{Home, Pose};

/// Something to be laid: a piece, or half of one on the fold, once or several times.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Which of the pieces.
    pub piece: usize,
    /// Whether a piece drawn by half is laid whole.
    pub unfolded: bool,
    /// How often it is laid.
    pub times: u32,
    /// How many pieces each laying gives.
    pub gives: u32,
    /// How it may lie, and through how many layers it is cut there.
    pub homes: Vec<Home>,
    /// Layers of each home.
    pub layers: Vec<u32>,
}

/// On which strips pieces are cut that may lie on single or double cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rather {
    /// On double cloth: pairs at one cutting.
    Double,
    /// On single cloth, one by one.
    Single,
}

/// A piece with the outlines it is laid by.
#[derive(Clone, Debug)]
pub struct Sheet<'p> {
    /// As it is drawn.
    pub drawn: &'p Piece,
    /// Whole.
    pub whole: Piece,
    /// Whether its mirror image is the piece itself.
    pub symmetric: bool,
}

/// How a print binds a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Bonds {
    /// Whether it can't be turned end for end.
    pub one_way: bool,
    /// Whether one is laid for either side of what it is sewn on, and none on a fold.
    pub aside: bool,
}

impl Asked {
    /// The pose in which a piece lies so; none where it may not.
    pub fn pose(&self, placed: &Placed) -> Option<Pose> {
        let is_same = placed.of == self.piece && placed.gives == self.gives && placed.piece.on_fold != self.unfolded;
        let map = placed.cloth_from_draft;
        let at = Point::new(map.m31, map.m32);
        let is_turned = |turn: &Map<Draft, Cloth>| {
            [turn.m11 - map.m11, turn.m12 - map.m12, turn.m21 - map.m21, turn.m22 - map.m22]
                .iter()
                .all(|off| off.abs() < 1e-9)
        };
        let may_lie = |home: &Home| {
            let nearest = home.nearest(at, [f64::NEG_INFINITY, f64::INFINITY]);
            is_turned(&home.turn) && nearest.is_some_and(|nearest| (nearest - at).length() < super::need::NOISE_MM)
        };
        let homes = self.homes.iter().zip(&self.layers);
        let home = homes.into_iter().position(|(home, layers)| *layers == placed.layers && may_lie(home));
        home.filter(|_| is_same).map(|home| Pose { home, at })
    }
}

/// A piece covers its mirror image but for this share of it when it is symmetric.
const SYMMETRIC_SHARE: f64 = 1e-3;

impl<'p> Sheet<'p> {
    /// A piece made ready.
    pub fn of(piece: &'p Piece) -> Self {
        let whole = piece.unfolded();
        if piece.on_fold {
            return Self { drawn: piece, symmetric: true, whole };
        }
        let outline = whole.cut.mapped(&turn(&whole, false, false));
        let (low, high) = outline.bounds();
        let mirror: Map<Cloth, Cloth> = Map::new(1.0, 0.0, 0.0, -1.0, 0.0, low.y + high.y);
        let uncovered_mm2 = outline.area_outside_mm2(&outline.mapped(&mirror));
        let symmetric = uncovered_mm2 < SYMMETRIC_SHARE * outline.area_mm2();
        Self { drawn: piece, symmetric, whole }
    }

    /// Across the grain, whole.
    pub fn across_mm(&self) -> f64 {
        let (low, high) = self.whole.cut.mapped(&turn(&self.whole, false, false)).bounds();
        high.y - low.y
    }

    /// From the fold to its farthest corner; none when it is not cut on a fold.
    pub fn half_mm(&self) -> Option<f64> {
        self.drawn.on_fold.then(|| self.drawn.cut.bounds().1.x - fold_x_mm(self.drawn))
    }

    /// What is to be laid of it on these strips; none when it fits none of them.
    pub fn asked(&self, piece: usize, zones: &[Zone], rather: Rather, bonds: Bonds) -> Option<Vec<Asked>> {
        let Bonds { one_way, aside } = bonds;
        let ask = |unfolded, times, gives, homes: Vec<(Home, u32)>| {
            let (homes, layers): (Vec<_>, Vec<_>) = homes.into_iter().unzip();
            (times == 0 || !homes.is_empty()).then_some(Asked { piece, unfolded, times, gives, homes, layers })
        };
        let count = self.drawn.count;
        let deep = zones.iter().map(|zone| zone.layers).max().unwrap_or(1);
        let on_fold = || -> Option<Vec<Asked>> {
            let homes = self.on_folds(zones, one_way);
            // Whatever lies on a fold takes two layers for one piece.
            cuttings(count, deep / 2)
                .into_iter()
                .map(|(times, gives)| ask(false, times, gives, homes.clone()))
                .collect()
        };
        if let Some(on_fold) = (self.drawn.on_fold && !aside).then(on_fold).flatten() {
            return Some(on_fold.into_iter().filter(|asked| asked.times > 0).collect());
        }
        let both = [false, true];
        let single = |mirrored: &[bool]| self.flat(zones, 1, mirrored, one_way);
        let paired = self.drawn.paired || aside;
        let on_single = || match paired {
            true => Some(vec![
                ask(true, count - count / 2, 1, single(&[false]))?,
                ask(true, count / 2, 1, single(&[true]))?,
            ]),
            false => Some(vec![ask(true, count, 1, single(if self.symmetric { &both } else { &[false] }))?]),
        };
        let on_double = || {
            if deep < 2 {
                return None;
            }
            // Every second layer gives the mirror image; what is cut through more layers than it is needed from spends all.
            let most = if paired || self.symmetric { deep } else { deep / 2 };
            let cutting = |(times, gives): (u32, u32)| {
                let mirrored: &[bool] = if gives > 1 || self.symmetric { &both } else { &[false] };
                ask(true, times, gives, self.flat(zones, deep, mirrored, one_way))
            };
            cuttings(count, most).into_iter().map(cutting).collect()
        };
        let found = match rather {
            Rather::Double => on_double().or_else(on_single),
            Rather::Single => on_single().or_else(on_double),
        };
        found.map(|asked| asked.into_iter().filter(|asked| asked.times > 0).collect())
    }

    /// The piece where it lies in one of the homes of what is laid of it.
    pub fn placed(&self, asked: &Asked, home: usize, at: Point<Cloth>) -> Placed {
        let cloth_from_draft = asked.homes[home].cloth_from_item(at);
        let piece = if asked.unfolded { self.whole.clone() } else { self.drawn.clone() };
        let along = cloth_from_draft.transform_vector(piece.grain[1] - piece.grain[0]);
        Placed {
            of: asked.piece,
            whose: None,
            shift_mm: Vector::zero(),
            turned: along.x < 0.0,
            mirrored: cloth_from_draft.determinant() > 0.0,
            layers: asked.layers[home],
            gives: asked.gives,
            cloth_from_draft,
            piece,
        }
    }

    /// Every way of lying with the centre on a fold.
    fn on_folds(&self, zones: &[Zone], one_way: bool) -> Vec<(Home, u32)> {
        let half_mm = self.half_mm().unwrap_or(f64::INFINITY);
        let mut homes = Vec::new();
        for zone in zones.iter().filter(|zone| half_mm <= zone.width_mm() + super::need::NOISE_MM) {
            let Some(fold_mm) = zone.fold_mm() else { continue };
            for turned in ways(one_way) {
                // Turned end for end, its drawn half stays on the same side of the fold.
                let mirrored = *turned != (zone.fold == Some(FoldAt::Far));
                let turn = turn(self.drawn, *turned, mirrored);
                let at = fold_mm - turn.transform_vector(Vector::new(fold_x_mm(self.drawn), 0.0)).y;
                homes.push((Home::free(turn, [at, at]), zone.layers));
            }
        }
        homes
    }

    /// Every way of lying flat on strips of so many layers.
    fn flat(&self, zones: &[Zone], layers: u32, mirrored: &[bool], one_way: bool) -> Vec<(Home, u32)> {
        let mut homes = Vec::new();
        for zone in zones.iter().filter(|zone| zone.layers == layers) {
            for mirrored in mirrored {
                for turned in ways(one_way) {
                    let turn = turn(&self.whole, *turned, *mirrored);
                    let (low, high) = bounds(&self.whole.cut, &turn);
                    let across_mm = [zone.across_mm[0] - low.y, zone.across_mm[1] - high.y];
                    if across_mm[0] <= across_mm[1] + super::need::NOISE_MM {
                        let across_mm = [across_mm[0], across_mm[1].max(across_mm[0])];
                        homes.push((Home::free(turn, across_mm), layers));
                    }
                }
            }
        }
        homes
    }
}

/// How often a piece is cut, and how many come of it each time: as few cuttings as may be, the last for what is missing.
fn cuttings(count: u32, at_once: u32) -> [(u32, u32); 2] {
    let at_once = at_once.max(1);
    [(count / at_once, at_once), (u32::from(!count.is_multiple_of(at_once)), count % at_once)]
}

/// Whether it may be turned end for end.
fn ways(one_way: bool) -> &'static [bool] {
    if one_way { &[false] } else { &[false, true] }
}

/// The centre of a piece that is drawn by half.
fn fold_x_mm(piece: &Piece) -> f64 {
    piece.edges.first().map_or(0.0, |fold| fold.sewn.start().x)
}

fn bounds(outline: &Outline<Draft>, turn: &Map<Draft, Cloth>) -> (Vector<Cloth>, Vector<Cloth>) {
    let (low, high) = outline.mapped(turn).bounds();
    (low.to_vector(), high.to_vector())
}

/// The piece with its grain arrow along the selvedge, head first; turned end for end, and mirrored across the grain.
pub fn turn(piece: &Piece, turned: bool, mirrored: bool) -> Map<Draft, Cloth> {
    let grain = piece.grain[1] - piece.grain[0];
    let length_mm = grain.length();
    // A grain that is drawn upright is upright to the last digit.
    let grain = match length_mm > 0.0 && grain.x.abs() > 1e-9 * length_mm {
        true => grain / length_mm,
        false => Vector::new(0.0, if grain.y < 0.0 { -1.0 } else { 1.0 }),
    };
    let along = if turned { -1.0 } else { 1.0 };
    let across = if turned != mirrored { -1.0 } else { 1.0 };
    Map::new(along * grain.x, across * grain.y, along * grain.y, -across * grain.x, 0.0, 0.0)
}
