//! The print on the bench: the cloth's photo, made flat by what the order says of it, and the pieces moved upon it.
//!
//! Reading the photo and making it flat take longer than a keystroke, so both are wishes; until they are granted the
//! print before is shown.

use std::path::PathBuf;
use std::sync::Arc;

use super::model::{Bench, Wish};
use super::paper::{Entry, Form};
use super::pinning::{Held, in_field};
use crate::geometry::Vector;
use crate::motif::{Photograph, Print, straighten};
use crate::order::Photo;
use crate::remark::{Refusal, Remark, Told};

/// The photo's file, beside the order's.
pub const PHOTO: Entry = Entry::text("cloth", "photo");
/// Corners of a rectangle in the photo.
pub const CORNERS: Entry = Entry { section: "photo", key: "corners", form: Form::List };
/// Ends of a known length in the photo.
pub const ENDS: Entry = Entry { section: "photo", key: "ends", form: Form::List };

/// What the cloth is shown as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Showing {
    /// Folded, as it is cut.
    #[default]
    Folded,
    /// Open, with its print, every piece unfolded on it.
    Open,
    /// The pieces as they will be sewn, with what falls on them.
    Sewn,
    /// The photo itself, with what has a known size in it.
    Photo,
}

/// What a flat print was made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// The photo's file.
    pub path: PathBuf,
    /// How it is read.
    pub photo: Photo,
    /// The print's repeat.
    pub repeat_mm: [Option<f64>; 2],
}

/// What is known of the print.
#[derive(Default)]
pub struct Motifs {
    /// What the cloth is shown as.
    pub showing: Showing,
    /// Why a piece that is being moved stays where it is.
    pub hindered: Option<Remark>,
    /// The piece that is being moved.
    pub moving: Option<usize>,
    /// The piece of a lay side by side that is held.
    pub held: Option<Held>,
    photo: Option<(PathBuf, Result<Arc<Photograph>, Refusal>)>,
    asked_for: Option<PathBuf>,
    print: Option<(Recipe, Told<Arc<Print>>)>,
    asked: Option<Recipe>,
}

/// Makes a photo flat.
///
/// # Errors
/// Why it can't be.
pub fn flatten(photograph: &Photograph, recipe: &Recipe) -> Told<Arc<Print>> {
    let told = straighten(photograph, &recipe.photo, recipe.repeat_mm)?;
    Ok(crate::remark::Remarked { value: Arc::new(told.value), remarks: told.remarks })
}

impl Bench {
    /// The photo's file, as the order names it: beside the order's own.
    pub fn photo_path(&self) -> Option<PathBuf> {
        let written = self.paper().written(&PHOTO);
        let named = Some(written.trim()).filter(|name| !name.is_empty())?;
        Some(match self.place().and_then(|place| place.parent()) {
            Some(folder) => folder.join(named),
            None => named.into(),
        })
    }

    /// Wishes for the photo and its flat print, unless they are known or under way.
    pub fn ask_for_print(&mut self) {
        let Some(path) = self.photo_path() else { return };
        let read = self.motifs.photo.as_ref().filter(|(of, _)| *of == path);
        let Some((_, Ok(photograph))) = read else {
            if read.is_none() && self.motifs.asked_for.as_ref() != Some(&path) {
                self.motifs.asked_for = Some(path.clone());
                self.wish(Wish::Photo(path));
            }
            return;
        };
        let photograph = Arc::clone(photograph);
        let Some(recipe) = self.recipe(path) else { return };
        let known = self.motifs.print.as_ref().is_some_and(|(of, _)| *of == recipe);
        if !known && self.motifs.asked.as_ref() != Some(&recipe) {
            self.motifs.asked = Some(recipe.clone());
            self.wish(Wish::Flatten(photograph, recipe));
        }
    }

    fn recipe(&self, path: PathBuf) -> Option<Recipe> {
        let order = self.work().order.as_ref()?;
        Some(Recipe { path, photo: order.photo?, repeat_mm: order.cloth.as_ref()?.repeat_mm })
    }

    /// Takes a photo that was read.
    pub fn take_photo(&mut self, path: PathBuf, read: Result<Photograph, Refusal>) {
        self.motifs.asked_for = None;
        self.motifs.photo = Some((path, read.map(Arc::new)));
    }

    /// Takes a print that was made flat.
    pub fn take_print(&mut self, recipe: Recipe, print: Told<Arc<Print>>) {
        self.motifs.asked = None;
        self.motifs.print = Some((recipe, print));
    }

    /// The photo was changed in its file, or is there by now: it is read again.
    pub fn read_photo_again(&mut self) {
        (self.motifs.photo, self.motifs.print, self.motifs.asked) = (None, None, None);
    }

    /// The photo, or why it can't be read; none when the order names none, or it is not read yet.
    pub fn photo(&self) -> Option<&Result<Arc<Photograph>, Refusal>> {
        let path = self.photo_path()?;
        self.motifs.photo.as_ref().filter(|(of, _)| *of == path).map(|(_, read)| read)
    }

    /// The flat print of the cloth, or why there is none, as it was made last.
    pub fn print(&self) -> Option<&Told<Arc<Print>>> {
        let path = self.photo_path()?;
        self.motifs.print.as_ref().filter(|(of, _)| of.path == path).map(|(_, print)| print)
    }

    /// Moves a piece of the lay so far from where it lies by itself, as far as it may: along in whole millimetres or
    /// sixteenths. What stands against the rest is said.
    pub fn move_piece(&mut self, piece: usize, to_mm: Vector<crate::geometry::Cloth>) {
        let Some(laid) = &self.work().laid else { return };
        let lay = &laid.lay;
        let Some(placed) = lay.placed.get(piece) else { return };
        let range = lay.range_uncut(piece);
        let across = Vector::new(to_mm.x, if to_mm.y.abs() > ACROSS_MM { to_mm.y } else { 0.0 });
        let hindered = lay.hinders(piece, across, range);
        let step_mm = lay.system.hand_step_mm();
        let steps = range.nearest_mm(to_mm.x) / step_mm;
        // Towards nought, so that a step does not lead out of the range again.
        let shift_mm = if range.nearest_mm(to_mm.x) == to_mm.x { steps.round() } else { steps.trunc() } * step_mm;
        let entry = Entry::text("lay", placed.piece.name);
        let written = if shift_mm == 0.0 { String::new() } else { in_field(shift_mm, lay.system) };
        (self.motifs.hindered, self.motifs.moving) = (hindered, Some(piece));
        self.write(&entry, &written);
    }

    /// The piece that was being moved is let go.
    pub fn let_piece_go(&mut self) {
        (self.motifs.hindered, self.motifs.moving) = (None, None);
        self.settle();
    }
}

/// A hand moves across by this much without meaning it.
pub(super) const ACROSS_MM: f64 = 40.0;
