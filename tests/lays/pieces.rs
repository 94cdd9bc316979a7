//! Invented pieces: straight-sided, of the shapes that a dress has.

use chalklight::finish::{Edge, Piece};
use chalklight::geometry::{Curve, Draft, Outline, Point};

/// A piece with these corners in order; the first side is the fold when there is one, and the grain runs down.
pub fn piece(name: &'static str, corners: &[(f64, f64)], (count, on_fold, paired): (u32, bool, bool)) -> Piece {
    let corners: Vec<Point<Draft>> = corners.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    let outline = Outline { corners: corners.clone() };
    let edge = |(i, (a, b)): (usize, (Point<Draft>, Point<Draft>))| {
        let name = if i == 0 && on_fold { "fold" } else { "side" };
        let sewn = Curve::line(a, b);
        Edge { name, length_mm: sewn.length_mm(), sewn, allowance_mm: 0.0, cut: vec![a, b] }
    };
    let (low, high) = outline.bounds();
    let middle = low.lerp(high, 0.5);
    Piece {
        name,
        count,
        on_fold,
        paired,
        edges: outline.sides().enumerate().map(edge).collect(),
        notches: Vec::new(),
        grain: [Point::new(middle.x, low.y), Point::new(middle.x, high.y)],
        levels: Vec::new(),
        darts: Vec::new(),
        strip: None,
        narrower: None,
        marks: Vec::new(),
        sewn: outline.clone(),
        cut: outline,
    }
}

/// Half of a front: fold, hem, side, armhole, shoulder, neck.
pub fn half(name: &'static str, [length, hem, chest]: [f64; 3]) -> Piece {
    let corners = [
        (0.0, 80.0),
        (0.0, length),
        (hem, length),
        (chest, 220.0),
        (0.75 * chest, 160.0),
        (0.8 * chest, 30.0),
        (0.35 * chest, 0.0),
    ];
    piece(name, &corners, (1, true, false))
}

/// A sleeve, higher at the back.
pub fn sleeve([length, width]: [f64; 2]) -> Piece {
    let corners = [
        (0.0, 120.0),
        (0.08 * width, length),
        (0.92 * width, length),
        (width, 120.0),
        (0.8 * width, 50.0),
        (0.55 * width, 0.0),
        (0.4 * width, 5.0),
        (0.2 * width, 60.0),
    ];
    piece("sleeve", &corners, (2, false, true))
}

/// A dress with sleeves, facings and pockets.
pub fn dress() -> Vec<Piece> {
    let pocket = [(0.0, 0.0), (0.0, 280.0), (120.0, 280.0), (170.0, 200.0), (150.0, 60.0), (60.0, 0.0)];
    let facing = [(0.0, 0.0), (0.0, 60.0), (90.0, 40.0), (140.0, -60.0), (90.0, -80.0), (60.0, -20.0)];
    vec![
        half("front", [1080.0, 420.0, 280.0]),
        half("back", [1075.0, 410.0, 275.0]),
        sleeve([600.0, 420.0]),
        piece("front facing", &facing, (1, true, false)),
        piece("back facing", &facing, (1, true, false)),
        piece("pocket", &pocket, (4, false, true)),
    ]
}

/// Chance from a seed: xorshift64* (Vigna, ACM TOMS 42, 2016), from memory.
pub struct Chance(pub u64);

impl Chance {
    /// Evenly from 0 to 1.
    pub fn share(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1u64 << 53) as f64
    }
}
