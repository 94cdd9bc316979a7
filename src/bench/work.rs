//! What the order on the bench comes to: the whole chain run once, with everything that it says.
//!
//! Each stage is another module's; here they only follow one another until one refuses. What was said is kept with the
//! field it belongs to, so that it can be shown under that field.

use super::laying::{Lying, ToLay};
use crate::draft::{Draft, draft};
use crate::finish::{Piece, finish};
use crate::lay::Lay;
use crate::order::{self, Order};
use crate::remark::{Remark, Told, Weight};
use crate::stages::Stage;

/// The sections of an order.
const SECTIONS: [&str; 9] = ["client", "body", "garment", "rules", "fitting", "cloth", "lay", "photo", "light"];

/// What an order comes to, as far as it goes.
#[derive(Clone, Debug, Default)]
pub struct Work {
    /// The order, when it can be read.
    pub order: Option<Order>,
    /// Its draft and pieces, when it can be drawn.
    pub drawn: Option<Drawn>,
    /// The lay and its stages, when the cloth suffices.
    pub laid: Option<Laid>,
    /// What is laid. Where that takes long it is for somebody else to do, and is given back by [`Work::take_lying`].
    pub to_lay: Option<ToLay>,
    /// Why the lay that is kept is none of these pieces any more.
    pub unfit: Option<Remark>,
    /// Everything said on the way.
    pub remarks: Vec<Remark>,
}

/// A draft with its finished pieces.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// The draft.
    pub draft: Draft,
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// A lay with the stages of cutting it.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The lay.
    pub lay: Lay,
    /// The stages.
    pub stages: Vec<Stage>,
}

/// The last of what could be drawn and laid: shown faintly while a number is half typed, or can't be.
#[derive(Clone, Debug, Default)]
pub struct Last {
    /// The draft with its pieces.
    pub drawn: Option<Drawn>,
    /// Their lay.
    pub laid: Option<Laid>,
}

impl Last {
    /// Takes what a change leaves behind, as far as that came.
    pub fn take(&mut self, before: Work) {
        self.drawn = before.drawn.or(self.drawn.take());
        self.laid = before.laid.or(self.laid.take());
    }
}

impl Work {
    /// Runs the chain on the text of an order file, and on that of the lay that is kept of it.
    pub fn of(text: &str, kept: Option<&str>) -> Self {
        let mut work = Self::default();
        work.run(text, kept);
        work
    }

    /// Goes on until a stage refuses.
    fn run(&mut self, text: &str, kept: Option<&str>) -> Option<()> {
        let told = order::read(text);
        let order = self.order.insert(heard(&mut self.remarks, told)?).clone();
        let draft = heard(&mut self.remarks, draft(&order))?;
        let pieces = heard(&mut self.remarks, finish(&draft))?;
        let drawn = self.drawn.insert(Drawn { draft, pieces });
        let pieces = drawn.pieces.clone();
        let mut to_lay = ToLay { pieces, cloth: order.cloth?, system: order.system, asked: order.lay, kept: None };
        match kept.map(|text| to_lay.kept_in(text)) {
            Some(Ok(kept)) => to_lay.kept = Some(kept),
            Some(Err(no)) => self.unfit = no.remarks.into_iter().next(),
            None => {}
        }
        if !to_lay.takes_long() {
            self.take_lying(to_lay.lying());
        }
        self.to_lay = Some(to_lay);
        Some(())
    }

    /// Takes what came of laying its pieces.
    pub fn take_lying(&mut self, lying: Lying) {
        self.laid = lying.laid;
        self.remarks.extend(lying.remarks);
    }

    /// What was said about a field, such as `body.waist`.
    pub fn about<'w>(&'w self, field: &'w str) -> impl Iterator<Item = &'w Remark> {
        self.remarks.iter().filter(move |remark| remark.place.field.as_deref() == Some(field))
    }

    /// What was said about no field that `shown` knows.
    pub fn elsewhere<'w>(&'w self, shown: impl Fn(&str) -> bool + 'w) -> impl Iterator<Item = &'w Remark> {
        self.remarks.iter().filter(move |remark| !remark.place.field.as_deref().is_some_and(&shown))
    }

    /// How heavily a section of the order weighs: the heaviest remark about one of its fields.
    pub fn weight_of(&self, section: &str) -> Option<Weight> {
        let of_section = |remark: &&Remark| {
            let field = remark.place.field.as_deref().unwrap_or("");
            field.strip_prefix(section).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        self.remarks.iter().filter(of_section).map(|remark| remark.weight).max()
    }

    /// How heavily weighs what stands in the file and in none of its sections: another version wrote it, or it is another kind
    /// of file.
    pub fn weight_of_file(&self) -> Option<Weight> {
        let of_section = |field: &str| field.split('.').next().is_some_and(|section| SECTIONS.contains(&section));
        self.elsewhere(of_section).filter(|remark| remark.place.line.is_some()).map(|remark| remark.weight).max()
    }

    /// Whether it can be cut: laid, and nothing stands against wearing it.
    pub fn can_be_cut(&self) -> bool {
        self.laid.is_some() && self.drawn.as_ref().is_some_and(|drawn| drawn.draft.wearable())
    }
}

/// The value of a stage, when it gave one; what it said is kept.
fn heard<T>(remarks: &mut Vec<Remark>, told: Told<T>) -> Option<T> {
    match told {
        Ok(told) => {
            remarks.extend(told.remarks);
            Some(told.value)
        }
        Err(refusal) => {
            remarks.extend(refusal.remarks);
            None
        }
    }
}
