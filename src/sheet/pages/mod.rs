//! The pages of the cut sheet, in the order in which she needs them: the order, the working, the pieces, the lay, the
//! stages, the sewing, and what to be careful about. Of several orders that are cut in one go the lay and its stages come
//! first, and then of each its own pages; at the foot of every page stands whose it is.

mod book;
mod cautions;
mod error_map;
mod job_page;
mod lay_page;
mod order_page;
mod piece_page;
mod sewing_page;
mod stage_pages;
mod working_page;

use image::{DynamicImage, RgbImage, RgbaImage};

use super::leaf::Leaf;
use super::press::press;
use crate::calibrate::photo::card::Format;
use crate::draft::Draft;
use crate::finish::Piece;
use crate::lay::{Lay, Offer};
use crate::motif::Ground;
use crate::order::Order;
use crate::remark::Refusal;
use crate::stages::Stage;
use crate::table::KeptTable;
use crate::units::System;
use book::Book;
use piece_page::{Manner, piece_page};

/// What a cut sheet is made of.
#[derive(Clone, Copy, Debug)]
pub struct CutSheet<'a> {
    /// The orders, one after the other as they were laid; at least one.
    pub orders: &'a [SheetOrder<'a>],
    /// The lay.
    pub lay: &'a Lay,
    /// The stages of cutting.
    pub stages: &'a [Stage],
    /// Pictures of the stages, in the same order, each with its caption; may be fewer or none.
    pub pictures: &'a [(String, RgbaImage)],
    /// How long rule and diagonal of the proof are on the table that will be cut on, where it is known.
    pub proof_mm: Option<[f64; 2]>,
    /// What is known of the error on the cloth, in sentences; none where no calibrated table is at hand.
    pub error_on_cloth: Option<&'a str>,
    /// The table that will be cut on, for the map of its error.
    pub table: Option<&'a KeptTable>,
    /// Which light shows best on the cloth, with its figures; none where nothing is known of how the cloth looks.
    pub seen_best: Option<&'a str>,
    /// What would be bought of each usual width; may be none.
    pub offers: &'a [Offer],
    /// The paper that it is printed on.
    pub paper: Format,
    /// The cloth's print under the lay, where a photo shows it.
    pub ground: Option<&'a Ground>,
}

/// An order on a cut sheet.
#[derive(Clone, Copy, Debug)]
pub struct SheetOrder<'a> {
    /// Whose it is, told apart from all others on the sheet; none where nothing is known of her.
    pub whose: Option<&'a str>,
    /// The order.
    pub order: &'a Order,
    /// Its draft.
    pub draft: &'a Draft,
    /// The pieces as they were finished, in their order.
    pub pieces: &'a [Piece],
}

impl<'a> CutSheet<'a> {
    /// Whether several orders are cut in one go.
    fn is_joint(&self) -> bool {
        self.orders.len() > 1
    }

    /// The pieces of an order as she reads of them: half of those that lie on a fold, though cut open; with the turnings of the
    /// lay.
    fn pieces(&self, order: usize) -> Vec<&'a Piece> {
        let before: usize = self.orders[..order].iter().map(|other| other.pieces.len()).sum();
        let as_laid = |(i, piece): (usize, &'a Piece)| {
            let mut laid = self.lay.placed.iter().filter(|placed| placed.of == before + i).map(|placed| &placed.piece);
            laid.find(|laid| laid.on_fold == piece.on_fold).unwrap_or(piece)
        };
        self.orders[order].pieces.iter().enumerate().map(as_laid).collect()
    }

    /// What stands in the file's title, and at the foot of the pages that are of no order alone.
    fn title(&self) -> String {
        match self.orders {
            [one] => one.title(),
            all => format!("Cut sheet of {} orders cut in one go", all.len()),
        }
    }
}

impl SheetOrder<'_> {
    /// What stands at the foot of its pages.
    fn title(&self) -> String {
        let kind = self.order.garment.kind.facts().name;
        match self.whose {
            Some(whose) => format!("Cut sheet, {whose}, {kind}"),
            None => format!("Cut sheet, {kind}"),
        }
    }
}

/// Lays out and prints the cut sheet: a PDF of upright pages.
///
/// # Errors
/// When the PDF can't be made, which no order should be able to cause.
pub fn cut_sheet(sheet: &CutSheet<'_>) -> Result<Vec<u8>, Refusal> {
    let ground = sheet.ground.map(|ground| (String::new(), opaque(ground)));
    let pictures: Vec<(String, RgbaImage)> = sheet.pictures.iter().cloned().chain(ground).collect();
    press(upright_mm(sheet.paper), &sheet.title(), &leaves(sheet), &pictures)
}

/// A print as a picture that hides what lies under it.
fn opaque(ground: &Ground) -> RgbaImage {
    let [width, height] = ground.size_px;
    let rgb = RgbImage::from_raw(width, height, ground.rgb.clone()).unwrap_or_default();
    DynamicImage::ImageRgb8(rgb).into_rgba8()
}

/// Lays out every page.
fn leaves(sheet: &CutSheet<'_>) -> Vec<Leaf> {
    let mut book = Book::on(upright_mm(sheet.paper), sheet.title());
    if sheet.is_joint() {
        job_page::job_page(&mut book, sheet);
        laid(&mut book, sheet);
    }
    for (i, one) in sheet.orders.iter().enumerate() {
        book.foot = one.title();
        order_page::order_page(&mut book, sheet, one);
        working_page::working_page(&mut book, &one.draft.working, one.order);
        pieces(&mut book, sheet.pieces(i), one.draft.system);
        if !sheet.is_joint() {
            laid(&mut book, sheet);
        }
        sewing_page::sewing_page(&mut book, &sheet.pieces(i), one.draft);
    }
    book.foot = sheet.title();
    cautions::cautions_page(&mut book, sheet);
    book.bound()
}

/// The lay and its stages.
fn laid(book: &mut Book, sheet: &CutSheet<'_>) {
    lay_page::lay_page(book, sheet.lay, sheet.ground.map(|_| sheet.pictures.len()));
    stage_pages::stage_pages(book, sheet);
}

/// Every piece: what has room on the page that is begun, else the next large one, which begins a page.
fn pieces(book: &mut Book, mut left: Vec<&Piece>, system: System) {
    let manner = Manner::of(&left, system);
    while !left.is_empty() {
        let fits = left.iter().position(|piece| manner.small_mm(piece).is_some_and(|mm| book.has_room(mm)));
        let large = left.iter().position(|piece| manner.small_mm(piece).is_none());
        piece_page(book, left.remove(fits.or(large).unwrap_or(0)), manner);
    }
}

/// Width and height of a page that stands upright.
fn upright_mm(paper: Format) -> [f64; 2] {
    let [long, short] = paper.page_mm();
    [short, long]
}

/// A remark's words as a sentence of their own: with a capital and a full stop.
fn sentence(words: &str) -> String {
    let words = words.trim();
    let mut signs = words.chars();
    let capital: String = signs.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    let stop = if words.is_empty() || words.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{capital}{}{stop}", signs.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::leaf::{MARGIN_MM, Mark, PAGE_MM, Words};
    use crate::{calibrate, draft, finish, lay, order, stages};

    /// Orders that ask for room: a plain one, one that fails its checks under a long name, a short dress on wide cloth,
    /// a long one on narrow cloth with a rule for everything, and one of whose print much is asked.
    const ORDERS: [&str; 5] = [
        "[client]\nname = \"Second alto\"\nmeasured = 2026-11-02\n\
         [body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\n\
         head = \"56 cm\"\n[garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\n\
         [rules]\nwaist_ease = \"4.5 cm\"\nfront_neck_depth = \"13 cm\"\n[lay]\nfold = \"lengths\"\n[cloth]\nwidth = \"114 cm\"\nlength = \"3 m\"\n",
        "[client]\nname = \"Mrs Wilhelmina Featherstonehaugh-Cholmondeley of the Upper Village beyond the Old Mill\"\n\
         [body]\nbust = \"38 in\"\nwaist = \"32 in\"\nhip = \"42 in\"\nshoulder = \"15 1/2 in\"\nwaist_depth = \"16 in\"\n\
         head = \"23 1/2 in\"\nupper_arm = \"15 in\"\nhip_depth = \"8 1/2 in\"\n\
         [garment]\nkind = \"a-line-dress\"\nlength = \"51 in\"\n\
         [rules]\nbust_ease = \"1/8 in\"\nwaist_ease = \"-1 in\"\nneck_allowance = \"3/8 in\"\n\
         armhole_allowance = \"3/8 in\"\nchest_parts = 5.5\n\
         [cloth]\nwidth = \"45 in\"\nlength = \"4 yd\"\nprint = \"one-way\"\nrepeat = [\"12 in\", \"24 in\"]\n",
        "[body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\n\
         [garment]\nkind = \"a-line-dress\"\nlength = \"60 cm\"\n[cloth]\nwidth = \"180 cm\"\n",
        "[body]\nbust = \"80 cm\"\nwaist = \"62 cm\"\nhip = \"88 cm\"\nshoulder = \"36 cm\"\nwaist_depth = \"38 cm\"\n\
         head = \"55 cm\"\n[garment]\nkind = \"a-line-dress\"\nlength = \"150 cm\"\n\
         [rules]\nchest_extra = \"4 cm\"\nneck_reference = \"7 cm\"\nshoulder_drop = \"3 cm\"\nbust_ease = \"1 cm\"\n\
         hip_ease = \"2 cm\"\nwaist_ease = \"2 cm\"\nfold_extra = \"17 cm\"\nhem_raise = \"3 cm\"\nneck_half_width = \"9 cm\"\n\
         front_neck_depth = \"12 cm\"\nback_neck_depth = \"4 cm\"\nside_allowance = \"3 cm\"\nshoulder_allowance = \"1.5 cm\"\n\
         hem_allowance = \"4 cm\"\nleast_bust_ease = \"2 cm\"\nleast_waist_ease = \"2 cm\"\nleast_hip_ease = \"4 cm\"\n\
         [cloth]\nwidth = \"90 cm\"\nlength = \"10 m\"\n",
        "[body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\n\
         [garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\n\
         [cloth]\nwidth = \"130 cm\"\nlength = \"9 m\"\nrepeat = [\"16 cm\", \"12 cm\"]\nmotif = [\"4 cm\", \"5 cm\"]\n\
         [lay]\nmatch = \"both\"\nmotif = [\"centre\", \"waist\"]\n",
    ];

    /// Every page of every order, with and without pictures.
    fn pages(paper: Format) -> Vec<Leaf> {
        let picture = |i: usize| (format!("stage {i} as it is thrown"), RgbaImage::new(192, 108));
        let pictures: Vec<_> = (1..=8).map(picture).collect();
        let mut pages = Vec::new();
        let readings = calibrate::readings_file::read(include_str!("../../../calibration/readings/demo.toml"));
        let table = calibrate::calibrate(&readings.unwrap_or_else(|no| panic!("{no}")).value);
        let table = table.unwrap_or_else(|no| panic!("{no}")).value;
        for text in ORDERS {
            let order = order::read(text).unwrap_or_else(|no| panic!("{no}")).value;
            let draft = draft::draft(&order).unwrap_or_else(|no| panic!("{no}")).value;
            let pieces = finish::finish(&draft).unwrap_or_else(|no| panic!("{no}")).value;
            let cloth = order.cloth.as_ref().expect("a cloth");
            let wanted = lay::Wanted::of(&pieces, cloth, order.system).asking(&order.lay);
            let lay = lay::lay(&wanted).unwrap_or_else(|no| panic!("{no}")).value;
            let stages = stages::stages(&lay);
            let whose = order.client.name.as_deref();
            let orders = &[SheetOrder { whose, order: &order, draft: &draft, pieces: &pieces }];
            let (lay, stages) = (&lay, &stages[..]);
            for (pictures, table) in [(&[][..], None), (&pictures[..], Some(&table))] {
                let proof_mm = table.is_some().then_some([800.0, 1000.0]);
                let error_on_cloth = Some("Small.");
                let offers = &lay::offers(&wanted, lay)[..];
                let seen_best = None;
                let sheet = CutSheet {
                    orders,
                    lay,
                    stages,
                    pictures,
                    proof_mm,
                    error_on_cloth,
                    table,
                    seen_best,
                    offers,
                    paper,
                    ground: None,
                };
                pages.extend(leaves(&sheet));
            }
        }
        pages
    }

    #[test]
    fn no_words_leave_the_page_or_touch_one_another() {
        let papers = [Format::A4, Format::Letter].into_iter();
        let pages: Vec<_> = papers.flat_map(|paper| pages(paper).into_iter().map(move |page| (paper, page))).collect();
        assert!(pages.len() > 120, "{} pages", pages.len());
        for (number, (paper, page)) in pages.iter().enumerate() {
            let lowest_mm = upright_mm(*paper)[1] - 12.0;
            let words: Vec<&Words> = page
                .marks
                .iter()
                .filter_map(|mark| if let Mark::Words(words) = mark { Some(words) } else { None })
                .collect();
            for (i, one) in words.iter().enumerate() {
                let [left, top, right, bottom] = one.extents_mm();
                let within = left >= MARGIN_MM - 0.1 && right <= PAGE_MM[0] - MARGIN_MM + 0.1;
                assert!(within && top >= MARGIN_MM && bottom < lowest_mm, "leaf {number}: {one:?} leaves the page");
                for other in &words[i + 1..] {
                    assert!(!one.touches(other), "leaf {number}: {:?} touches {:?}", one.text, other.text);
                }
            }
        }
    }
}
