//! Why no line may be thrown now: the window no longer lies on the screen that the table was measured on.
//!
//! A table belongs to one screen at one size. A monitor that is unplugged, or set to another size, is not always told to
//! a window: it keeps its own size and place while what lies under them has changed. So the screens are asked.

use super::screen::Screen;
use crate::geometry::{Point, Vector};
use crate::scene::{Letters, Marks, Scene};
use crate::table::Table;

/// Cap height of the sentence on a window that has gone astray, as a share of the window's height.
const SENTENCE_SHARE: f64 = 0.022;

/// A window as it is now.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Its size.
    pub size_px: [u32; 2],
    /// Where its top left corner lies among all screens, where the window system tells.
    pub at_px: Option<[i32; 2]>,
    /// The screen that it is on by the window system's word.
    pub on: Option<String>,
}

/// Three lines that say why no line may be thrown, or nothing when all is as it was measured: the screen `home` is there,
/// it has the picture's size, and the window covers it.
pub fn astray(home: &str, picture_px: [u32; 2], window: &Placed, screens: &[Screen]) -> Option<[String; 3]> {
    let named = screens.iter().filter(|screen| screen.name == home);
    let Some(screen) = named.max_by_key(|screen| Some(screen.at_px) == window.at_px) else {
        return Some([
            format!("The screen {home} is gone;"),
            "the table belongs to it.".to_owned(),
            "Plug the projector in again: the lines come back where they were.".to_owned(),
        ]);
    };
    for size_px in [screen.size_px, window.size_px] {
        if size_px != picture_px {
            let ([width, height], [wide, high]) = (size_px, picture_px);
            return Some([
                format!("This screen shows {width} x {height} pixels;"),
                format!("the table was measured at {wide} x {high}."),
                "Set the screen to that size, or calibrate again.".to_owned(),
            ]);
        }
    }
    let elsewhere = match window.at_px {
        Some(at_px) => at_px != screen.at_px,
        None => window.on.as_ref().is_some_and(|on| on != home),
    };
    elsewhere.then(|| {
        [
            "This window does not lie on its screen;".to_owned(),
            format!("the table belongs to {home}."),
            format!("Move it there, or press escape and begin again with --screen {home}."),
        ]
    })
}

/// Three lines in a window's own pixels, on black: a table and a scene of their own.
pub fn sentence(window_px: [u32; 2], lines: [String; 3]) -> (Table, Scene) {
    let [width, height] = window_px.map(f64::from);
    let table = Table::of_pixels(window_px);
    let letters = lines.into_iter().zip([0.56, 0.50, 0.44]).map(|(text, up)| Letters {
        text,
        at: Point::new(width * 0.04, height * up),
        along: Vector::new(1.0, 0.0),
        cap_mm: height * SENTENCE_SHARE,
        light: [255; 3],
    });
    let on_table = Marks { letters: letters.collect(), ..Marks::default() };
    (table, Scene { ground: [0; 3], on_cloth: Marks::default(), on_table })
}

#[cfg(test)]
mod tests {
    use super::{Placed, astray};
    use crate::projector::Screen;

    const PICTURE_PX: [u32; 2] = [1920, 1080];

    fn screen(name: &str, size_px: [u32; 2], at_px: [i32; 2]) -> Screen {
        Screen { name: name.to_owned(), size_px, at_px, rate_hz: None }
    }

    fn placed(size_px: [u32; 2], at_px: [i32; 2]) -> Placed {
        Placed { size_px, at_px: Some(at_px), on: Some("DUMMY1".to_owned()) }
    }

    #[test]
    fn lines_are_thrown_only_on_the_screen_that_was_measured() {
        let laptop = screen("DUMMY0", [1280, 800], [0, 0]);
        let both = [laptop.clone(), screen("DUMMY1", PICTURE_PX, [1280, 0])];
        let there = placed(PICTURE_PX, [1280, 0]);
        assert_eq!(astray("DUMMY1", PICTURE_PX, &there, &both), None);
        let says = |window: &Placed, screens: &[super::Screen]| {
            astray("DUMMY1", PICTURE_PX, window, screens).expect("a sentence").join(" ")
        };
        assert!(says(&there, std::slice::from_ref(&laptop)).contains("DUMMY1 is gone"));
        let smaller = [laptop, screen("DUMMY1", [1280, 720], [1280, 0])];
        assert!(says(&there, &smaller).contains("1280 x 720"), "the screen's size counts, not the window's alone");
        assert!(says(&placed([1280, 800], [1280, 0]), &both).contains("1280 x 800"));
        assert!(says(&placed(PICTURE_PX, [0, 0]), &both).contains("belongs to DUMMY1"));
        // Where the window system tells no place, its word for the screen stands for it.
        let unplaced = |on: &str| Placed { at_px: None, on: Some(on.to_owned()), ..there.clone() };
        assert_eq!(astray("DUMMY1", PICTURE_PX, &unplaced("DUMMY1"), &both), None);
        assert!(says(&unplaced("DUMMY0"), &both).contains("belongs to DUMMY1"));
    }
}
