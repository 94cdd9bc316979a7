//! Every choice for hundreds of the 1,986 women: what is chosen is drawn from a seeded sequence.

use std::collections::BTreeMap;
use std::time::Instant;

use chalklight::order::{KINDS, KindFacts};

use super::bodies::{Came, in_halves, shirt, skirt, whole};
use crate::bodies::{Length, Woman, women};
use crate::check::OrderText;

/// Orders for each woman.
const EACH: u64 = 5;

/// Fewest orders with one word of one choice.
const LEAST: usize = 200;

/// A sequence of numbers by its seed (xorshift64*, Marsaglia 2003 and Vigna 2016).
pub struct Sequence(pub u64);

impl Sequence {
    /// A number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        ((self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) as usize) % end
    }
}

/// What was chosen, by key and word.
pub type Words = Vec<(&'static str, &'static str)>;

/// An order of a kind for a woman, with everything drawn that may be chosen.
pub fn drawn(facts: &'static KindFacts, woman: &Woman, sequence: &mut Sequence) -> (OrderText, Words) {
    let order = match facts.key {
        "shift-top" | "tunic" => shirt(woman),
        "kaftan" => whole(woman, Length::Ankle),
        key if key.ends_with("skirt") => skirt(woman),
        _ => whole(woman, Length::Knee),
    };
    let mut words: Words =
        facts.choices.iter().map(|choice| (choice.key, choice.words[sequence.below(choice.words.len())])).collect();
    // A sleeve and a facing of neck and armhole in one exclude one another: that is said elsewhere.
    if words.contains(&("edges", "all-in-one")) {
        words.iter_mut().filter(|(key, _)| *key == "sleeve").for_each(|(_, word)| *word = "none");
    }
    // A collar closes at the back of a round neck, and finishes it: that too is said elsewhere.
    if words.contains(&("collar", "stand")) {
        for (key, word) in &mut words {
            match *key {
                "neckline" => *word = "round",
                "opening" => *word = "back",
                "edges" if *word == "all-in-one" => *word = "facing",
                _ => {}
            }
        }
    }
    // One piece is half a circle.
    if words.contains(&("cut", "one-piece")) {
        words.iter_mut().filter(|(key, _)| *key == "circle").for_each(|(_, word)| *word = "half");
    }
    // A bag in the side wants a seam that is longer than a short top's.
    let order = match facts.key {
        "shift-top" | "tunic" if words.contains(&("pockets", "in-seam")) => longer(order, woman),
        _ => order,
    };
    let order = words.iter().fold(order.kind(facts.key), |order, (key, word)| order.choose(key, word));
    let has_bust = facts.choices.iter().any(|choice| choice.key == "dart");
    (if has_bust { with_bust(order, woman, sequence) } else { let_out(order, sequence) }, words)
}

/// One in four is let out or taken in.
fn let_out(order: OrderText, sequence: &mut Sequence) -> OrderText {
    let (every, mm) = (sequence.below(4), sequence.below(60) as f64 - 20.0);
    if every == 0 { order.fitted("let_out", &format!("{mm} mm")) } else { order }
}

/// A top as far below the seat as a pocket reaches.
fn longer(order: OrderText, woman: &Woman) -> OrderText {
    order.long(woman.mm("cervicaleheight") - woman.mm("buttockheight") + 250.0)
}

/// Half of them with bust point and back measured, and some of them with something that the fitting found.
fn with_bust(order: OrderText, woman: &Woman, sequence: &mut Sequence) -> OrderText {
    let mut order = order;
    if sequence.below(2) == 0 {
        let (bust, waist_depth) = (woman.mm("chestcircumference"), woman.mm("waistbacklength"));
        let [depth, back] = [50, 45].map(|end| sequence.below(end) as f64);
        order = order.body("bust_depth", &format!("{:.1} mm", bust / 6.0 + 85.0 + depth));
        order = order.body("back_depth", &format!("{:.1} mm", waist_depth - 10.0 - back));
        order = order.body("bust_span", &format!("{:.1} mm", bust / 5.0 - 10.0 + depth / 2.0));
    }
    let bust = ["full_bust", "small_bust"][sequence.below(2)];
    for key in [bust, "sway_back", "let_out"] {
        if sequence.below(4) == 0 {
            order = order.fitted(key, &format!("{} mm", sequence.below(25)));
        }
    }
    order
}

/// By kind of garment what came of it, and by choice and word how many were drawn and drafted.
type All = (BTreeMap<&'static str, Came>, BTreeMap<(&'static str, &'static str), [usize; 2]>);

fn for_women(women: &[Woman]) -> All {
    let kinds: &'static [KindFacts] = &KINDS;
    let (mut came, mut chosen): All = Default::default();
    for woman in women {
        let mut sequence = Sequence(0x9E37_79B9_7F4A_7C15 ^ u64::from(woman.row).wrapping_mul(0xBF58_476D_1CE4_E5B9));
        for _ in 0..EACH {
            let facts = &kinds[sequence.below(kinds.len())];
            let (order, words) = drawn(facts, woman, &mut sequence);
            let drafted = came.entry(facts.key).or_default().take(&order, facts.key, woman);
            for word in words {
                let [drawn, sound] = chosen.entry(word).or_default();
                *drawn += 1;
                *sound += usize::from(drafted);
            }
        }
    }
    (came, chosen)
}

/// Every word of every choice for hundreds of bodies, each with others drawn beside it: a sound draft, or a sentence why not.
/// The table is printed; the time is told and does not decide.
#[test]
fn every_choice_for_hundreds_of_bodies_is_sound_or_refused_with_a_sentence() {
    let began = Instant::now();
    let (mut came, mut chosen): All = Default::default();
    for (half_came, half_chosen) in in_halves(&women(), for_women) {
        for (kind, half) in half_came {
            let before = came.remove(kind).unwrap_or_default();
            came.insert(kind, before.and(half));
        }
        for (word, [drawn, sound]) in half_chosen {
            let all: &mut [usize; 2] = chosen.entry(word).or_default();
            *all = [all[0] + drawn, all[1] + sound];
        }
    }
    let kinds = came.iter().flat_map(|(kind, came)| came.rows(kind));
    let words = chosen.iter().map(|((key, word), [drawn, sound])| {
        format!("{:<34} of {drawn:>5} drafted {sound:>5}", format!("{key} = {word}"))
    });
    let table: Vec<String> = kinds.chain(words).collect();
    println!("{}\nin {:.1?}", table.join("\n"), began.elapsed());
    for facts in &KINDS {
        for choice in facts.choices {
            for word in choice.words {
                let [drawn, sound] = chosen.get(&(choice.key, *word)).copied().unwrap_or_default();
                assert!(drawn >= LEAST, "{} = {word} was drawn {drawn} times", choice.key);
                // Whatever is chosen is meant for real bodies: a refusal to draft is the exception.
                assert!(sound * 10 >= drawn * 9, "{} = {word}: {sound} of {drawn}", choice.key);
            }
        }
    }
}
