//! What lies on the bench, as a value: the order's paper, the notebook of readings, the table, and where she is.
//!
//! No window and no file is known here. What she does is a method; what that needs from the computer is left as a
//! [`Wish`], which whoever owns the bench carries out and answers. Nothing is computed but by the stages of the work.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::desk::{Cutting, Habits, Unsaved};
use super::history::History;
use super::laying::{Lying, ToLay};
use super::motifs::{Motifs, Recipe};
use super::notebook::{Notebook, Slot};
use super::paper::Paper;
use super::proving::Proving;
use super::shorter::Searching;
use super::steps::{Filed, Saved, Sheet};
use super::tables::Solved;
use super::work::{Drawn, Laid, Last, Work};
use crate::motif::Photograph;
use crate::remark::{Refusal, Remark};
use crate::stages::Stage;
use crate::table::KeptTable;

/// The picture of a projector about which nothing is known yet.
const USUAL_PICTURE_PX: [u32; 2] = [1920, 1080];

/// The steps of the job, in their order; each may be looked at at any time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Whose it is, and her measurements.
    Client,
    /// What is made, by which house rules.
    Garment,
    /// The working and the checks.
    Draft,
    /// The cloth and the lay.
    Cloth,
    /// The table and its readings.
    Table,
    /// The stages and the screen.
    Cut,
}

/// What is measured off the grid that is thrown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// Another table, into the notebook.
    Anew,
    /// The table that lies here, to prove it.
    Proof,
}

/// What the bench asks of its owner.
#[derive(Clone, Debug, PartialEq)]
pub enum Wish {
    /// A file's text, to be given to [`Bench::opened`].
    Open(PathBuf),
    /// The order in a file, with the lay that is kept of it where [`Bench::saves_lay`], to be told to [`Bench::saved`].
    Save(PathBuf),
    /// The table that readings give, by [`solve`], to be given to [`Bench::take_solved`]. It may take a second.
    Solve(String),
    /// The solved table in a file, to be told to [`Bench::table_saved`].
    SaveTable(PathBuf),
    /// Pieces laid by a search, to be given to [`Bench::take_brought`]. It may take a second.
    Lay(ToLay),
    /// A shorter lay of pieces, to be given to [`Bench::take_brought`] when a search has been ended.
    Search(ToLay),
    /// That search ended: to keep what it found, or to give it up.
    EndSearch {
        /// Whether what it found is wanted.
        keep: bool,
    },
    /// A photo of the cloth, to be given to [`Bench::take_photo`].
    Photo(PathBuf),
    /// That photo made flat, by [`flatten`](super::motifs::flatten), to be given to [`Bench::take_print`].
    Flatten(Arc<Photograph>, Recipe),
    /// A corrected table in a file beside the one that lies here, to be given to [`Bench::opened`].
    KeepCorrected(Box<KeptTable>),
    /// A cutting session.
    Cut(Cutting),
    /// Her habits kept.
    KeepHabits,
    /// What was kept from a crash forgotten.
    ForgetKept,
}

/// A table and the file it is from.
#[derive(Clone, Debug, PartialEq)]
pub struct TableFile {
    /// The file.
    pub path: PathBuf,
    /// What it said when it was opened or written last.
    pub text: String,
    /// The table.
    pub kept: KeptTable,
}

/// A screen that a picture can be thrown on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScreenHere {
    /// Its name and size, as a table file keeps it.
    pub title: String,
    /// Its size.
    pub size_px: [u32; 2],
    /// Its desktop's scale in percent; anything but 100 scales windows that ask for it.
    pub scale_percent: u32,
}

/// The bench.
pub struct Bench {
    pub(super) history: History<Sheet>,
    pub(super) work: Work,
    /// What is shown faintly while the numbers give nothing.
    pub(super) last: Last,
    /// What was laid by a search last, and what came of it.
    pub(super) lying: Option<(ToLay, Lying)>,
    /// What is being laid.
    pub(super) laying: Option<ToLay>,
    /// What is shown until then.
    pub(super) meanwhile: Option<Laid>,
    /// The search for a shorter lay that is under way.
    pub(super) searching: Option<Searching>,
    pub(super) place: Option<PathBuf>,
    /// What the order's file said when it was opened or saved last.
    pub(super) on_disc: Option<String>,
    pub(super) saved: Saved,
    /// Why the order could not be saved in its own file when she tried last.
    pub(super) not_saved: Vec<Remark>,
    /// Where she is.
    pub step: Step,
    /// Whether she has just come to this step by key: what is asked first takes the focus.
    pub arriving: bool,
    /// Whether the first number that is not measured yet takes the focus.
    pub measure_next: bool,
    /// The line of the working that is lit.
    pub lit: Option<&'static str>,
    /// The number that is measured next, while its field has the focus.
    pub measuring: Option<Slot>,
    /// What is measured off the grid while it is thrown.
    pub measured: Measured,
    /// The proof of the table that lies here.
    pub(super) proving: Proving,
    /// What is in a file of every notebook that lay here, by its number.
    pub(super) filed: Vec<Filed>,
    /// What was solved last.
    pub(super) solved: Option<Solved>,
    /// The readings that are being solved.
    pub(super) solving: Option<String>,
    /// The cloth's print.
    pub motifs: Motifs,
    /// The stage that is looked at, from 0.
    pub stage: usize,
    /// Her yes to a table that is not trusted.
    pub trust_anyway: bool,
    /// Her yes to a dress that can't be worn as drafted.
    pub cut_anyway: bool,
    /// The day it is, as `2026-11-25`.
    pub today: String,
    /// What was said last: opened, saved, or why not.
    pub said: Vec<Remark>,
    /// Unsaved work from before, offered back.
    pub offered: Option<Unsaved>,
    /// How she likes the bench.
    pub habits: Habits,
    /// The screens there are.
    pub screens: Vec<ScreenHere>,
    /// Which of the screens the bench itself is on, where the window system tells.
    pub own_screen: Option<usize>,
    /// Whether the numbers are thrown on all screens, to tell them apart.
    pub numbering: bool,
    /// Whether the grid is thrown on the projector's screen.
    pub throwing_grid: bool,
    /// Whether a cutting session is under way.
    pub cutting: bool,
    /// The number of the stage that it is at.
    pub cutting_at: Option<usize>,
    /// The stages that it goes through, where they could be worked out.
    pub(super) cutting_stages: Option<Vec<Stage>>,
    /// What the owner is asked for; taken by [`Bench::take_wishes`].
    wishes: Vec<Wish>,
}

impl Bench {
    /// An empty bench.
    pub fn new(habits: Habits, offered: Option<Unsaved>) -> Self {
        let notebook = Notebook::new(USUAL_PICTURE_PX);
        let paper = Paper::blank();
        let saved = Saved { paper: paper.clone(), lay: None };
        let sheet = Sheet { paper, notebook, lay: None, table: None, proof: Default::default(), screen: None };
        let table = habits.table.clone();
        let mut bench = Self {
            work: Work::of(sheet.paper.text(), None),
            history: History::of(sheet),
            last: Last::default(),
            lying: None,
            laying: None,
            meanwhile: None,
            searching: None,
            place: None,
            on_disc: None,
            saved,
            not_saved: Vec::new(),
            step: Step::Client,
            arriving: false,
            measure_next: false,
            lit: None,
            measuring: None,
            measured: Measured::Anew,
            proving: Proving::default(),
            filed: vec![Filed::default()],
            solved: None,
            solving: None,
            motifs: Motifs::default(),
            stage: 0,
            trust_anyway: false,
            cut_anyway: false,
            today: String::new(),
            said: Vec::new(),
            offered,
            habits,
            screens: Vec::new(),
            own_screen: None,
            numbering: false,
            throwing_grid: false,
            cutting: false,
            cutting_at: None,
            cutting_stages: None,
            wishes: Vec::new(),
        };
        bench.wishes.extend(table.map(Wish::Open));
        bench
    }

    /// The order's paper.
    pub fn paper(&self) -> &Paper {
        &self.history.now().paper
    }

    /// The notebook of readings.
    pub fn notebook(&self) -> &Notebook {
        &self.history.now().notebook
    }

    /// What the order comes to.
    pub fn work(&self) -> &Work {
        &self.work
    }

    /// The draft to be shown, and whether it is of the numbers as they are now.
    pub fn drawn(&self) -> Option<(&Drawn, bool)> {
        match &self.work.drawn {
            Some(drawn) => Some((drawn, true)),
            None => self.last.drawn.as_ref().map(|drawn| (drawn, false)),
        }
    }

    /// The order's file.
    pub fn place(&self) -> Option<&Path> {
        self.place.as_deref()
    }

    /// Whether the order, or the lay that is kept of it, differs from its file.
    pub fn unsaved(&self) -> bool {
        *self.paper() != self.saved.paper || self.history.now().lay != self.saved.lay
    }

    /// Runs the chain anew after a change.
    pub(super) fn follow(&mut self) {
        let sheet = self.history.now();
        let work = Work::of(sheet.paper.text(), sheet.lay.as_deref());
        self.last.take(std::mem::replace(&mut self.work, work));
        self.ask_for_lay();
        self.search_follows();
    }

    /// Leaves a wish.
    pub fn wish(&mut self, wish: Wish) {
        self.wishes.push(wish);
    }

    /// Takes all wishes.
    pub fn take_wishes(&mut self) -> Vec<Wish> {
        std::mem::take(&mut self.wishes)
    }

    /// Says what was refused.
    pub fn refused(&mut self, refusal: Refusal) {
        self.said = refusal.remarks;
    }

    /// The order was written to a file.
    pub fn saved(&mut self, path: &Path) {
        self.saved = Saved { paper: self.paper().clone(), lay: self.history.now().lay.clone() };
        self.not_saved.clear();
        self.history.settle();
        self.place = Some(path.to_owned());
        self.on_disc = Some(self.paper().text().to_owned());
        self.remember(path);
        self.said = vec![Remark::note(format!("Saved as {}", path.display()))];
    }

    /// Puts an order on the bench that was opened from `place`. What lay there unsaved is offered back.
    pub(super) fn lay_out(&mut self, paper: Paper, place: Option<PathBuf>) {
        if self.unsaved() {
            self.offered = self.to_keep();
        }
        self.on_disc = place.as_ref().map(|_| paper.text().to_owned());
        self.saved = Saved { paper: paper.clone(), lay: None };
        self.history = History::of(Sheet { paper, lay: None, ..self.history.now().clone() });
        self.place = place;
        self.last = Last::default();
        self.not_saved.clear();
        self.work = Work::default();
        self.lit = None;
        self.follow();
    }

    /// A new order; the notebook stays, since the table does.
    pub fn begin_anew(&mut self) {
        self.lay_out(Paper::blank(), None);
        self.step = Step::Client;
        self.said.clear();
    }
}
