//! What a session throws: the scene of its state, and the sentence that says what to do now.

use super::{Alignment, Anchor, Doing, Doubt, Ground, Moved, Session, Why};
use crate::geometry::{Cloth, Point, Table, Vector};
use crate::lay::Fold;
use crate::remark::{Remark, sentence_case};
use crate::scene::{Marks, Pose, Scene, Side, Stroke, View, Way, compose_saying, cross, dots, page, proof_on};
use crate::stages::rest::Rest;
use crate::stages::{Cut, Stage, piece_alone, through};
use crate::units::System;

/// Rounding noise in a comparison of lengths.
const NOISE_MM: f64 = 1e-6;

/// A turn smaller than this is not told: it is nought as it would be written.
const TOLD_TURN_DEG: f64 = 0.005;

/// What is said where lines of the stage are not thrown.
const PARTLY_DARK: &str =
    "Part of these lines lies in the dark: slide the cloth into the light and set its place anew (A).";

/// The keys, as thrown and as printed before a session. A numeric pad serves with and without its lock.
pub const KEYS: [&str; 17] = [
    "space, page down, pad 3: on    page up, pad 9: back    enter, pad 5: the cross is met",
    "arrows, pad 2 4 6 8, wheel: nudge the lines, or the cross; with shift, ten times as far",
    "home and end, pad 7 and 1: turn the lines left and right",
    "A: set the cloth's place by two points, stepped or clicked; again: by the other two",
    "M: move a piece on the cloth with the arrows; again: the next piece",
    "L, pad *: light lines, lit ground, lit shape    C: colour of the light",
    "+ and -: larger and smaller labels",
    "S: sewing lines    V: levels    G: grain    N: what is written",
    "P: the proof",
    "K: has the projector been knocked? Measure three distances of the table",
    "B, full stop, pad 0: all light off, and on again",
    "T: turn the text to the next side of the table",
    "U, backspace: take the last step back",
    "H, pad /: these keys",
    "Y: yes to a table that is not trusted or was knocked",
    "escape: out of this; then out of the session",
    "A clicker: on, back, and its dark key.",
];

impl Session {
    /// The scene as it is now.
    pub fn scene(&self) -> Scene {
        let view = self.seen();
        if self.dark {
            return Scene { ground: [0; 3], on_cloth: Marks::default(), on_table: Marks::default() };
        }
        if self.help {
            let lines: Vec<_> = KEYS.map(str::to_owned).into_iter().chain(self.latency.says()).collect();
            return page(&lines, &plain(view));
        }
        if let (Doing::Measuring(measuring), true) = (&self.state.doing, self.trusted()) {
            return self.measuring_scene(measuring, &plain(view));
        }
        if !self.permitted() {
            return page(&self.question(), &plain(view));
        }
        let stage = self.work.stage(self.state.step);
        match &self.state.doing {
            Doing::Cutting => compose_saying(stage, Some(self.additions(&view)), &self.sentence(), &view),
            Doing::Proving => {
                let lines = self.work.rest(self.state.farthest).edges;
                let bare = Stage { lines, whole: Vec::new(), ..stage.clone() };
                let says =
                    "Hold the tape against the rule and the diagonal; both must measure what is written on them.";
                compose_saying(&bare, Some(proof_on(self.work.lit(self.state.step), &view)), says, &view)
            }
            Doing::Chalking { to } => {
                let says = self.chalking(*to);
                let of_move = self.work.way(self.state.step, *to);
                let marks = of_move.map(|m| self.crosses(self.work.plan.moves[m].crosses, &view, ["1", "2"]));
                compose_saying(stage, marks, &says, &plain(view))
            }
            Doing::Aligning(alignment) => self.aligning(alignment, &plain(view)),
            Doing::Placing { piece, hindered } => compose_saying(
                &piece_alone(&self.work.lay, *piece),
                None,
                &self.placing(*piece, hindered.as_ref()),
                &view,
            ),
            Doing::Measuring(measuring) => self.measuring_scene(measuring, &plain(view)),
        }
    }

    /// The view with her wishes.
    fn seen(&self) -> View {
        let look = &self.state.look;
        View {
            cap_mm: self.view.cap_mm * look.size_share(),
            way: look.way,
            light: look.light(),
            reads: look.reads,
            lies: Some(self.pose()),
            hidden: look.hidden,
            window: Some(self.work.lit(self.state.step)),
            ..self.view
        }
    }

    /// Asks for a yes.
    fn question(&self) -> Vec<String> {
        if self.trusted() {
            return vec![
                "This table was found knocked: by what you measured, its lines fall in other places than they should."
                    .into(),
                "K: measure again.    Y: yes, cut by it all the same.    Escape: leave, and calibrate anew.".into(),
            ];
        }
        let why = match &self.ground {
            Ground::Doubted(_, why) => why.to_string(),
            Ground::Trusted(_) => String::new(),
        };
        vec![format!("Nothing is thrown yet: {why}."), "Y: yes, cut by it all the same.    Escape: leave.".into()]
    }

    /// What a stage shows besides its lines: the proof, where the cutting of this reach ends, and the crosses.
    fn additions(&self, view: &View) -> Marks<Cloth> {
        let step = self.work.steps[self.state.step];
        let mut marks = Marks::default();
        if self.work.stages[step.stage].proof {
            marks.add(proof_on(self.work.lit(self.state.step), view));
        }
        if self.cuts() {
            marks.strokes.extend(self.ends(view));
        }
        if self.lifts() {
            let here = [step.reach.checked_sub(1), Some(step.reach)].into_iter().flatten();
            for of_move in here.filter(|m| self.state.chalked.get(*m) == Some(&true)) {
                marks.add(self.crosses(self.work.plan.moves[of_move].crosses, view, ["", ""]));
            }
        }
        marks
    }

    /// The dots at which the cutting of this reach begins and ends: dark within a lit shape, light outside.
    fn ends(&self, view: &View) -> Vec<Stroke<Cloth>> {
        let (own, cloth) = (self.work.steps[self.state.step].own, self.work.cloth);
        let inner = |(a, b): &(Point<Cloth>, Point<Cloth>)| {
            let on = |at: f64, edges: [f64; 2]| edges.iter().any(|edge| (at - edge).abs() < NOISE_MM);
            let along = a.x == b.x && on(a.x, [cloth.low_mm.x, cloth.high_mm.x]);
            let across = a.y == b.y && on(a.y, [cloth.low_mm.y, cloth.high_mm.y]);
            !along && !across
        };
        let [a, b, c, d] = own.corners();
        let sides = [(a, b), (b, c), (c, d), (d, a)].into_iter().filter(inner);
        let mut strokes: Vec<_> = sides.flat_map(|(a, b)| dots(a, b, view.line())).collect();
        if view.way == Way::LitShape {
            let within = strokes.iter_mut().filter(|dot| self.stage().shape.contains(dot.points[0]));
            within.for_each(|dot| dot.light = [0; 3]);
        }
        strokes
    }

    /// Whether this stage is worked on in several reaches.
    fn cuts(&self) -> bool {
        let step = self.work.steps[self.state.step];
        self.work.steps.iter().any(|other| other.stage == step.stage && other.reach != step.reach)
    }

    /// Whether a layer is lifted off here that carries crosses.
    fn lifts(&self) -> bool {
        let step = self.work.steps[self.state.step];
        let layers = |stage: usize| self.work.stages.get(stage).map_or(0, |it| it.layers);
        let stacked = self.work.lay.fold == Fold::LengthsOnTheirCentre;
        stacked && step.stage > 0 && layers(step.stage) < layers(step.stage - 1) && self.state.chalked.contains(&true)
    }

    fn crosses(&self, at: [Point<Cloth>; 2], view: &View, names: [&str; 2]) -> Marks<Cloth> {
        let light = if view.way == Way::LitShape { [0; 3] } else { view.line() };
        let mut marks = Marks::default();
        for (at, name) in at.into_iter().zip(names) {
            marks.add(cross(at, name, view.reads_cloth().right_hand(), (view.cap_mm, light)));
        }
        marks
    }

    /// What to do now.
    fn sentence(&self) -> String {
        let step = self.work.steps[self.state.step];
        let count = self.work.plan.reaches.len();
        let mut says = vec![format!("{} ", step.stage + 1)];
        if self.is_partly_dark() {
            says.push(PARTLY_DARK.into());
        }
        if self.lifts() {
            says.push("First push a pin straight down at each cross and chalk it on the layer below.".into());
        }
        says.push(self.work.stages[step.stage].sentence.clone());
        if step.passing {
            says.push(format!("Nothing to do in reach {} of {count}: press on.", step.reach + 1));
        } else if self.cuts() {
            says.push(format!("Reach {} of {count}: {}.", step.reach + 1, self.between_dots()));
        }
        if self.state.step + 1 == self.work.steps.len() {
            says.push("This is the last stage: when it is done, everything is cut. Escape ends the session.".into());
        }
        if let Some(moved) = self.state.moved {
            says.push(self.told(moved));
            let off_by_mm = self.work.reach(self.state.step).off_by_mm;
            if off_by_mm > 0.0 {
                says.push(format!("Lines here are within {} (95 in 100).", self.view.system.show_fine(off_by_mm)));
            }
        }
        says.join(" ")
    }

    /// Where the work of this reach begins and ends: at the cloth's ends, or at the dots of the reach before and after.
    fn between_dots(&self) -> &'static str {
        let here = self.state.step;
        let stage = self.work.steps[here].stage;
        let mut worked = self.work.steps.iter().enumerate().filter(|(_, step)| step.stage == stage && !step.passing);
        let first = worked.next().is_some_and(|(i, _)| i == here);
        let last = worked.next_back().is_none_or(|(i, _)| i == here);
        match (first, last) {
            (true, _) => "go up to the line of dots and no farther",
            (false, false) => "begin at the dots where you stopped, and go up to the next and no farther",
            (false, true) => "begin at the dots where you stopped, and go on to the end",
        }
    }

    fn told(&self, moved: Moved) -> String {
        let turned = moved.turned_rad.to_degrees();
        let turn = if turned.abs() < TOLD_TURN_DEG { String::new() } else { format!(", turned {turned:.2} degrees") };
        format!("The cloth moved {}{turn}.", self.way_of(moved.by_mm))
    }

    /// A way on the table as she sees it.
    fn way_of(&self, by: Vector<Table>) -> String {
        directions(by, self.state.look.reads, self.view.system)
    }

    fn chalking(&self, to: usize) -> String {
        let adds_mm = self.work.way(self.state.step, to).map_or(0.0, |m| self.work.plan.moves[m].adds_mm);
        let away = self.taken_away().unwrap_or_default();
        format!(
            "{away}Before the cloth is moved to reach {} of {}: chalk both crosses with a sharp edge, or push a pin straight down \
             through {} at each; then press on. The move can put lines off by {} (95 in 100).",
            self.work.steps[to].reach + 1,
            self.work.plan.reaches.len(),
            through(self.stage().layers),
            self.view.system.show_fine(adds_mm)
        )
    }

    /// What is taken away before the cloth is moved; none where pieces lie on one another and stay.
    fn taken_away(&self) -> Option<&'static str> {
        if self.work.lay.fold == Fold::LengthsOnTheirCentre {
            return None;
        }
        let cut = self.work.cut_so_far(self.state.step + 1);
        let half = cut.iter().any(|cut| matches!(cut, Cut::In(_)));
        Some(match (cut.contains(&Cut::Out), half) {
            (true, false) => "Take away what is cut out, and leave the rest as it lies. ",
            (true, true) => "Take away what is cut out all round; what is half cut out stays as it lies. ",
            (false, _) => "Take nothing away: no piece is cut out all round yet. ",
        })
    }

    /// How a piece is moved, and why it did not go on.
    fn placing(&self, piece: usize, hindered: Option<&Remark>) -> String {
        let lay = &self.work.lay;
        let name = lay.placed[piece].piece.name;
        let show = |mm: f64| self.view.system.show(mm);
        let at_mm = self.state.shifts_mm[piece];
        let why = hindered.map_or_else(String::new, |remark| {
            let remedy =
                remark.remedy.as_ref().map_or_else(String::new, |remedy| format!("{}. ", sentence_case(remedy)));
            format!("{}. {remedy}", sentence_case(&remark.sentence))
        });
        if lay.fold != Fold::LengthsOnTheirCentre {
            return format!(
                "{why}Moving the {name} on the cloth: {} on, {} across. Arrows move it, as far as it covers no other piece; M: \
                 the next piece; enter: done.",
                show(at_mm.x),
                show(at_mm.y)
            );
        }
        let range = lay.range_as_cut(piece);
        let below =
            if piece > 0 { format!(" To see its print, lay the {name}'s length on top.") } else { String::new() };
        format!(
            "{why}Moving the {name} on the cloth: {} on; it can lie from {} to {}. Arrows move it along the fold; M: the next \
             piece; enter: done.{below}",
            show(at_mm.x),
            show(range.least_mm),
            show(range.most_mm)
        )
    }

    fn aligning(&self, alignment: &Alignment, view: &View) -> Scene {
        let names = if alignment.second { ["", "2"] } else { ["1", ""] };
        let done = if let Anchor::Corners { done } = alignment.anchor { done } else { self.state.farthest };
        let rest = self.work.rest(done);
        let says = self.meeting(alignment, &rest);
        let bare = Stage { lines: rest.edges, whole: Vec::new(), ..self.stage().clone() };
        let crosses = (alignment.anchor != Anchor::Edges).then(|| self.crosses(alignment.marks, view, names));
        compose_saying(&bare, crosses, &says, view)
    }

    /// How a cross is met on what is left of the cloth.
    fn meeting(&self, alignment: &Alignment, rest: &Rest<'_>) -> String {
        let before = match (alignment.why, alignment.second) {
            (_, true) | (Why::Asked, false) => String::new(),
            (Why::Moved { .. }, false) => {
                let at = |pose: Pose| pose.table_from_cloth().transform_point(alignment.marks[0]);
                let by = at(alignment.expected) - at(self.state.pose);
                format!("Slide the cloth {}, {}. ", self.way_of(by), near(alignment.anchor))
            }
            (Why::Resumed, false) => format!(
                "Taken up again at stage {} of {}. Lay the cloth to these lines and crosses as it lay before; if it did \
                 not move, press enter twice. ",
                self.number(),
                self.work.stages.len()
            ),
        };
        let doubt = match alignment.doubt {
            None => String::new(),
            Some(Doubt::Unlit) => {
                "There the part to be cut would lie in the dark: slide the cloth into the light. ".into()
            }
            Some(Doubt::Apart { by_mm }) => format!(
                "The two lie {} {} than they should: look at both again, or confirm once more. ",
                self.view.system.show_fine(by_mm.abs()),
                if by_mm > 0.0 { "farther apart" } else { "nearer together" }
            ),
        };
        let crosses = alignment.anchor != Anchor::Edges;
        let dark = if crosses && !self.view.room.contains(alignment.current()) {
            "The cross lies outside the light: any arrow brings it to the edge; slide its place on the cloth into the light. "
        } else {
            ""
        };
        format!("{before}{doubt}{dark}{}", self.step_on_to(alignment, rest))
    }

    /// What a cross is stepped on to.
    fn step_on_to(&self, alignment: &Alignment, rest: &Rest<'_>) -> String {
        let edge = if self.work.lay.fold == Fold::Open { "near selvedge" } else { "fold" };
        let place = match (alignment.anchor, alignment.second) {
            (Anchor::Crosses { .. }, false) => "the first chalked cross".to_owned(),
            (Anchor::Crosses { .. }, true) => "the second chalked cross".to_owned(),
            (Anchor::Fold { .. }, false) => format!("the corner where the {edge} meets the cut end"),
            (Anchor::Fold { whole: true }, true) => format!("the other end of the {edge}"),
            (Anchor::Fold { whole: false }, true) => format!("the {edge}, as far along as the light goes"),
            (Anchor::FarEdge, false) => "the corner where the far edge of the cloth meets the cut end".to_owned(),
            (Anchor::FarEdge, true) => "the far edge of the cloth, as far along as the light goes".to_owned(),
            (Anchor::Corners { .. }, _) if rest.is_whole() => "its corner of the cloth".to_owned(),
            (Anchor::Corners { .. }, _) if rest.is_pieces() => {
                "its corner of the piece that was cut out there".to_owned()
            }
            (Anchor::Corners { .. }, _) => "its corner of what is left of the cloth".to_owned(),
            (Anchor::Edges, false) => {
                return "No cross and no corner is left here to measure by: step these lines with the arrows, home and end \
                        until they lie on the edges of the cloth; enter twice when they do."
                    .to_owned();
            }
            (Anchor::Edges, true) => return "Enter, when the lines lie on the edges of the cloth.".to_owned(),
        };
        let number = 1 + u8::from(alignment.second);
        let others = match alignment.anchor {
            Anchor::Corners { .. } if alignment.why != Why::Asked && !alignment.second => {
                " Was that corner cut off by now? A: other places."
            }
            _ => "",
        };
        format!("Step cross {number} on to {place} with the arrows, or click there; enter when it is there.{others}")
    }
}

/// How far the cloth is slid.
fn near(anchor: Anchor) -> &'static str {
    match anchor {
        Anchor::Crosses { .. } => "until its chalked crosses lie near the thrown ones",
        _ => "until its edges lie near the thrown ones; the crosses of that move were cut away",
    }
}

/// Lines and text without areas, for what is chalked and met.
fn plain(view: View) -> View {
    if view.way == Way::LitShape { View { way: Way::LightOnDark, ..view } } else { view }
}

/// A way in words: "15.4 cm to the left and 3 mm away from you".
fn directions(by: Vector<Table>, reads: Side, system: System) -> String {
    let (right, away) = (by.dot(reads.right_hand()), by.dot(reads.away()));
    let part = |mm: f64, plus: &str, minus: &str| {
        (mm.abs() >= 0.5).then(|| format!("{} {}", system.show(mm.abs()), if mm > 0.0 { plus } else { minus }))
    };
    let parts = [part(right, "to the right", "to the left"), part(away, "away from you", "towards you")];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    if parts.is_empty() { "not at all".into() } else { parts.join(" and ") }
}
