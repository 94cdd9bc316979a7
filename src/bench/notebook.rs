//! The notebook beside the table: what she has read off it so far, as she typed it.
//!
//! Either the place of every mark on a ruled mat, or tape distances between marks. A number without a unit is taken in
//! the notebook's own unit, and as inches when it has a fraction; how it was taken is shown beside it. Nothing is solved
//! here: the notebook gives the text of a `readings.toml`, and takes one back.

use std::collections::BTreeMap;

use crate::calibrate::grid::USUAL_MARGIN;
use crate::calibrate::readings::{Hang, LensBelief, USUAL_STAND_SD_MM};
use crate::calibrate::{Grid, Readings};
use crate::table::{KeptTable, Kind, MarkName, TapeClass};
use crate::units::{Length, NoLength, read_length};

/// What a thick stack of cloth is corrected by; all three or none.
pub const LENS: [Slot; 3] = [Slot::LensHeight, Slot::FootRight, Slot::FootAway];

/// Noise of a reading about which nothing is said: half a millimetre, what a careful eye reads from a tape.
const USUAL_SIGMA_MM: f64 = 0.5;

/// What has been read.
#[derive(Clone, Debug, PartialEq)]
pub struct Notebook {
    /// Which of the notebooks that lay on the bench it is: what is typed goes on in the same, the readings of a file are
    /// another.
    pub number: usize,
    /// The projector's own size.
    pub picture_px: [u32; 2],
    /// Marks from left to right and from top to bottom.
    pub counts: [usize; 2],
    /// How the picture lies on the table; asked for only where nothing but distances is known.
    pub hang: Hang,
    /// Noise of one reading, one standard deviation.
    pub sigma_mm: f64,
    /// The tape's accuracy class, when it is known.
    pub tape_class: Option<TapeClass>,
    /// What is believed of the lens; carried along as a file says it.
    lens: LensBelief,
    /// Noise of the lens's height and foot; carried along as a file says it.
    stand_sd_mm: f64,
    /// How she measures.
    pub by: By,
    /// The unit of a number without one.
    pub unit: Unit,
    /// What she typed, by what was to be measured.
    typed: BTreeMap<Slot, String>,
}

/// How the table is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Each mark's place on a ruled mat.
    Mat,
    /// Distances with the tape.
    Tape,
}

/// The unit of a number without one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Inches.
    Inch,
}

/// One number to be measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slot {
    /// How far right of the mat's zero a mark lies.
    Right(MarkName),
    /// How far away from her a mark lies.
    Away(MarkName),
    /// The tape distance between two marks.
    Between(MarkName, MarkName),
    /// How high the lens is above the table.
    LensHeight,
    /// How far right of the zero the point of the table straight below the lens is.
    FootRight,
    /// How far away from her that point is.
    FootAway,
}

impl Unit {
    /// Every unit, as they are offered.
    pub const ALL: [Self; 3] = [Self::Mm, Self::Cm, Self::Inch];

    /// As it is written behind a number.
    pub fn says(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::Inch => "in",
        }
    }
}

impl Slot {
    /// The marks it speaks of.
    pub fn marks(self) -> Vec<MarkName> {
        match self {
            Self::Right(mark) | Self::Away(mark) => vec![mark],
            Self::Between(from, to) => vec![from, to],
            Self::LensHeight | Self::FootRight | Self::FootAway => Vec::new(),
        }
    }

    /// Whether it belongs to the reading of that name, as the solver calls it: `B2`, `A1 to C5`.
    pub fn is_of(self, reading: &str) -> bool {
        match self {
            Self::Right(mark) | Self::Away(mark) => reading == mark.to_string(),
            Self::Between(from, to) => [format!("{from} to {to}"), format!("{to} to {from}")].contains(&reading.into()),
            Self::LensHeight | Self::FootRight | Self::FootAway => false,
        }
    }

    /// What is to be measured, in words.
    pub fn says(self) -> String {
        match self {
            Self::Right(mark) => format!("{mark}, right of zero"),
            Self::Away(mark) => format!("{mark}, away from you"),
            Self::Between(from, to) => format!("{from} to {to}"),
            Self::LensHeight => "Lens above the table".into(),
            Self::FootRight => "Foot, right of zero".into(),
            Self::FootAway => "Foot, away from you".into(),
        }
    }
}

impl Notebook {
    /// An empty notebook for a projector of that size.
    pub fn new(picture_px: [u32; 2]) -> Self {
        Self {
            number: 0,
            picture_px,
            counts: [5, 3],
            hang: Hang::default(),
            sigma_mm: USUAL_SIGMA_MM,
            tape_class: None,
            lens: LensBelief::default(),
            stand_sd_mm: USUAL_STAND_SD_MM,
            by: By::Tape,
            unit: Unit::Mm,
            typed: BTreeMap::new(),
        }
    }

    /// The marks in the picture.
    pub fn grid(&self) -> Grid {
        Grid::even(self.picture_px, self.counts[0], self.counts[1], USUAL_MARGIN)
    }

    /// Everything to be measured, corners first: they alone make a table, the others show slips. What she measured
    /// beyond that comes last.
    pub fn slots(&self) -> Vec<Slot> {
        let mut slots: Vec<Slot> = match self.by {
            By::Mat => {
                let places = |mark: MarkName| [Slot::Right(mark), Slot::Away(mark)];
                self.grid().marks.keys().copied().flat_map(places).collect()
            }
            By::Tape => self.pairs().into_iter().map(|(from, to)| Slot::Between(from, to)).collect(),
        };
        let ours = |slot: &&Slot| match slot {
            Slot::Right(_) | Slot::Away(_) => self.by == By::Mat,
            Slot::Between(..) => self.by == By::Tape,
            Slot::LensHeight | Slot::FootRight | Slot::FootAway => false,
        };
        let beyond: Vec<Slot> = self.typed.keys().filter(ours).filter(|slot| !slots.contains(slot)).copied().collect();
        slots.extend(beyond);
        slots
    }

    /// Pairs of marks: between all corners, along each half of the sides, from the middle to the corners, and across the
    /// whole picture, which is what tells a lens from a tilt.
    fn pairs(&self) -> Vec<(MarkName, MarkName)> {
        let [columns, rows] = self.counts;
        let (right, bottom, centre, middle) = (columns - 1, rows - 1, columns / 2, rows / 2);
        let corners = [(0, 0), (0, right), (bottom, right), (bottom, 0)];
        let halves = [(0, centre), (middle, right), (bottom, centre), (middle, 0)];
        let mut pairs = vec![(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]
            .into_iter()
            .map(|(a, b): (usize, usize)| (corners[a], corners[b]))
            .collect::<Vec<_>>();
        for i in 0..corners.len() {
            pairs.push((corners[i], halves[i]));
            pairs.push((halves[i], corners[(i + 1) % corners.len()]));
        }
        pairs.extend(corners.map(|corner| ((middle, centre), corner)));
        pairs.extend([(halves[0], halves[2]), (halves[1], halves[3])]);
        pairs.extend([((0, 1), (bottom, right - 1)), ((0, right - 1), (bottom, 1))]);
        let name = |(row, column)| MarkName::new(row, column);
        let named = pairs.into_iter().filter(|(a, b)| a != b).filter_map(|(a, b)| {
            let (a, b) = (name(a)?, name(b)?);
            Some((a.min(b), a.max(b)))
        });
        let mut once = Vec::new();
        named.for_each(|pair| {
            if !once.contains(&pair) {
                once.push(pair);
            }
        });
        once
    }

    /// The notebook for another way of measuring: that has another zero, so a foot measured from the old one goes.
    #[must_use]
    pub fn measured_by(&self, by: By) -> Self {
        let mut next = self.clone();
        if next.by != by {
            next.by = by;
            next.typed.retain(|slot, _| !matches!(slot, Slot::FootRight | Slot::FootAway));
        }
        next
    }

    /// What she typed for a slot.
    pub fn typed(&self, slot: Slot) -> &str {
        self.typed.get(&slot).map_or("", String::as_str)
    }

    /// The notebook with something else typed for a slot.
    #[must_use]
    pub fn with(&self, slot: Slot, typed: &str) -> Self {
        let mut next = self.clone();
        if typed.trim().is_empty() {
            next.typed.remove(&slot);
        } else {
            next.typed.insert(slot, typed.to_owned());
        }
        next
    }

    /// How many of what is to be measured are.
    pub fn taken(&self) -> usize {
        self.slots().into_iter().filter(|slot| self.length(*slot).is_some_and(|read| read.is_ok())).count()
    }

    /// A slot's length; none when nothing is typed for it.
    pub fn length(&self, slot: Slot) -> Option<Result<Length, NoLength>> {
        let typed = self.typed(slot).trim();
        (!typed.is_empty()).then(|| self.read(typed))
    }

    /// A length with its unit, or one without in the notebook's unit.
    ///
    /// # Errors
    /// What is wrong with it, and how it is written.
    pub fn read(&self, typed: &str) -> Result<Length, NoLength> {
        let unit = if self.fraction(typed) { Unit::Inch } else { self.unit };
        read_length(typed).or_else(|no| read_length(&format!("{typed} {}", unit.says())).map_err(|_| no))
    }

    /// Only inches are read in fractions.
    fn fraction(&self, typed: &str) -> bool {
        typed.contains(['/', '\u{2044}']) || typed.chars().any(|c| !c.is_ascii() && c.is_numeric())
    }

    /// A slot's length in mm, when it can be read.
    fn mm(&self, slot: Slot) -> Option<f64> {
        self.length(slot)?.ok().map(|length| length.mm)
    }

    /// What a `readings.toml` says before its readings.
    fn head_text(&self) -> String {
        let [width, height] = self.picture_px;
        let [columns, rows] = self.counts;
        let Hang { mirrored, quarter_turns } = self.hang;
        let turned = 90 * u32::from(quarter_turns);
        let mut text = format!(
            "[projector]\nwidth = {width}\nheight = {height}\nmirrored = {mirrored}\nturned = {turned}\n\n\
             [grid]\ncolumns = {columns}\nrows = {rows}\nmargin = {USUAL_MARGIN}\n\n\
             [tape]\nsigma = \"{} mm\"\n",
            self.sigma_mm
        );
        if let Some(class) = self.tape_class {
            text += match class {
                TapeClass::One => "class = \"I\"\n",
                TapeClass::Two => "class = \"II\"\n",
            };
        }
        let LensBelief { known, centre_px, k1_sd, k2_sd, centre_sd } = self.lens;
        text += &format!(
            "\n[lens]\nk1_sigma = {k1_sd:?}\nk2_sigma = {k2_sd:?}\ncentre_sigma = {centre_sd:?}\nstand_sigma = \"{} mm\"\n",
            self.stand_sd_mm
        );
        if let Some([k1, k2]) = known {
            text += &format!("k1 = {k1:?}\nk2 = {k2:?}\n");
        }
        if let Some(centre) = centre_px {
            text += &format!("centre = [{:?}, {:?}]\n", centre.x, centre.y);
        }
        if let [Some(height), Some(right), Some(away)] = LENS.map(|slot| self.mm(slot)) {
            text += &format!("foot = [\"{right} mm\", \"{away} mm\"]\nheight = \"{height} mm\"\n");
        }
        text
    }

    /// The text of a `readings.toml` of everything that can be read.
    pub fn readings_text(&self) -> String {
        let mut text = self.head_text();
        let mm = |slot| self.mm(slot);
        let mut put = |lines: std::fmt::Arguments<'_>| text.push_str(&format!("\n[[reading]]\n{lines}\n"));
        for slot in self.slots() {
            match slot {
                Slot::Right(mark) => {
                    if let (Some(x), Some(y)) = (mm(slot), mm(Slot::Away(mark))) {
                        put(format_args!("mark = \"{mark}\"\nat = [\"{x} mm\", \"{y} mm\"]"));
                    }
                }
                Slot::Away(_) | Slot::LensHeight | Slot::FootRight | Slot::FootAway => {}
                Slot::Between(from, to) => {
                    if let Some(mm) = mm(slot) {
                        put(format_args!("from = \"{from}\"\nto = \"{to}\"\ndistance = \"{mm} mm\""));
                    }
                }
            }
        }
        text
    }

    /// The notebook of a file's readings; how many of them it can't hold is told: those on a board, those by another way
    /// of measuring, those of what was measured before, and all when the grid is not an even one with the usual margin.
    pub fn of(read: &Readings) -> (Self, usize) {
        let mut notebook = Self::new(read.picture_px);
        let rows = read.grid.marks.keys().map(|mark| mark.row() + 1).max().unwrap_or(0);
        let columns = read.grid.marks.keys().map(|mark| mark.column() + 1).max().unwrap_or(0);
        notebook.counts = [columns.max(2), rows.max(2)];
        if notebook.grid() != read.grid {
            return (Self::new(read.picture_px), read.readings.len());
        }
        notebook.hang = read.hang;
        notebook.sigma_mm = read.sigma_mm;
        notebook.tape_class = read.tape_class;
        notebook.lens = read.lens;
        notebook.stand_sd_mm = read.stand_sd_mm;
        // Of what was measured twice the first is kept.
        let mut put = |slot: Slot, mm: f64| {
            let is_new = !notebook.typed.contains_key(&slot);
            notebook.typed.entry(slot).or_insert_with(|| format!("{mm} mm"));
            is_new
        };
        if let Some(stand) = &read.stand {
            let [height, right, away] = LENS;
            put(height, stand.height_mm);
            put(right, stand.foot_mm.x);
            put(away, stand.foot_mm.y);
        }
        let places = read.readings.iter().any(|reading| matches!(reading.kind, Kind::Place { .. }));
        let mut left_out = 0;
        for reading in &read.readings {
            match reading.kind {
                _ if reading.height_mm != 0.0 => left_out += 1,
                Kind::Distance { .. } if places => left_out += 1,
                Kind::Place { mark, at_mm } => {
                    let is_new = put(Slot::Right(mark), at_mm.x) && put(Slot::Away(mark), at_mm.y);
                    left_out += usize::from(!is_new);
                }
                Kind::Distance { from, to, distance_mm } => {
                    let is_new = put(Slot::Between(from.min(to), from.max(to)), distance_mm);
                    left_out += usize::from(!is_new);
                }
            }
        }
        notebook.by = if places { By::Mat } else { By::Tape };
        (notebook, left_out)
    }

    /// The notebook that a table was solved from; none when its file doesn't say, or says more than a notebook can hold.
    pub fn of_table(kept: &KeptTable) -> Option<Self> {
        let record = kept.record.as_ref()?;
        let read = Readings {
            picture_px: kept.table.picture_px,
            hang: Hang::of(&kept.table)?,
            grid: Grid { marks: record.marks.clone() },
            sigma_mm: record.sigma_mm,
            tape_class: kept.fit.as_ref().and_then(|fit| fit.spread.tape_class),
            lens: LensBelief::default(),
            stand_sd_mm: USUAL_STAND_SD_MM,
            stand: kept.table.stand,
            readings: record.readings.clone(),
        };
        let (notebook, left_out) = Self::of(&read);
        (left_out == 0).then_some(notebook)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::readings_file;

    fn between(from: &str, to: &str) -> Slot {
        Slot::Between(from.parse().expect("a mark"), to.parse().expect("a mark"))
    }

    #[test]
    fn numbers_are_taken_as_they_come_off_the_tape() {
        let slot = between("A1", "C5");
        let mut notebook = Notebook::new([1920, 1080]);
        // 47 3/8 in = 47.375 x 25.4 mm.
        for (typed, expected_mm) in [
            ("1204.5", 1204.5),
            ("1204,5", 1204.5),
            ("120.45 cm", 1204.5),
            ("47 3/8", 1203.325),
            ("47⅜", 1203.325),
            ("47 3/8 in", 1203.325),
            ("1 m 20.45 cm", 1204.5),
        ] {
            let read = notebook.with(slot, typed).length(slot).expect("typed").expect("a length");
            assert!((read.mm - expected_mm).abs() < 1e-9, "{typed} gave {}", read.mm);
        }
        notebook.unit = Unit::Cm;
        assert_eq!(notebook.with(slot, "120.45").length(slot).map(|l| l.map(|l| l.mm)), Some(Ok(1204.5)));
        assert!(notebook.with(slot, "12o4").length(slot).is_some_and(|read| read.is_err()));
        assert!(notebook.length(slot).is_none());
    }

    #[test]
    fn the_readings_file_holds_what_was_typed() {
        for by in [By::Tape, By::Mat] {
            let mut notebook = Notebook::new([1280, 800]);
            notebook.by = by;
            for (i, slot) in notebook.slots().into_iter().enumerate() {
                notebook = notebook.with(slot, &format!("{}", 100 + 7 * i));
            }
            let read = readings_file::read(&notebook.readings_text()).expect("a readings file").value;
            assert_eq!(read.grid, notebook.grid());
            let (back, left_out) = Notebook::of(&read);
            assert_eq!(left_out, 0);
            assert_eq!(back.taken(), notebook.slots().len());
            for slot in notebook.slots() {
                let mm = |notebook: &Notebook| notebook.length(slot).and_then(Result::ok).map(|length| length.mm);
                assert_eq!(mm(&back), mm(&notebook), "{}", slot.says());
            }
        }
    }

    /// It was solved from both; a notebook of one of them would give another table.
    #[test]
    fn what_was_measured_twice_is_told() {
        let text = Notebook::new([1920, 1080]).with(between("A1", "C5"), "1204.5").readings_text();
        let again = "[[reading]]\nfrom = \"C5\"\nto = \"A1\"\ndistance = \"1206 mm\"\n";
        let read = readings_file::read(&format!("{text}\n{again}")).expect("a readings file").value;
        let (notebook, left_out) = Notebook::of(&read);
        assert_eq!((left_out, notebook.typed(between("A1", "C5"))), (1, "1204.5 mm"));
    }

    #[test]
    fn every_pair_is_asked_once_and_the_corners_first() {
        let pairs = Notebook::new([1920, 1080]).slots();
        assert_eq!(pairs.len(), 22);
        assert_eq!(pairs[0], between("A1", "A5"));
        assert_eq!(pairs[4], between("A1", "C5"));
        let mut notebook = Notebook::new([1920, 1080]);
        notebook.counts = [2, 2];
        assert_eq!(notebook.slots().len(), 6);
    }
}
