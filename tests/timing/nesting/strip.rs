//! An instance of strip packing: its file, its task, its answer.

use serde_json::{Value, json};

use chalklight::geometry::{Draft, Map, Outline, Point};
use chalklight::nest::{Form, Home, Kind, Nesting, Task};

/// No strip of the instances is longer than so many times its height.
const SIZES: f64 = 4.0;

/// An instance.
pub struct Instance {
    name: String,
    /// What is to be laid.
    pub task: Task,
    /// The turn of each home of each kind, and each kind's number in the file.
    degrees: Vec<Vec<f64>>,
    numbers: Vec<u64>,
}

impl Instance {
    /// Reads an instance in the form of jagua-rs 0.7.
    pub fn of(file: &Value) -> Option<Self> {
        let width_mm = file["strip_height"].as_f64()?;
        let mut instance = Self {
            name: file["name"].as_str()?.to_owned(),
            task: Task { width_mm, kinds: Vec::new(), items: Vec::new(), obstacles: Vec::new() },
            degrees: Vec::new(),
            numbers: Vec::new(),
        };
        for item in file["items"].as_array()? {
            let corner = |p: &Value| Some(Point::<Draft>::new(p[0].as_f64()?, p[1].as_f64()?));
            let corners: Option<Vec<_>> = item["shape"]["data"].as_array()?.iter().map(corner).collect();
            let outline = Outline::joining([corners?]);
            let degrees: Vec<f64> = match item["allowed_orientations"].as_array() {
                Some(list) => list.iter().filter_map(Value::as_f64).collect(),
                None => vec![0.0],
            };
            // Turned outlines wider than the strip have no place on it.
            let homes = |degrees: &f64| Some((*degrees, home(&outline, *degrees, width_mm)?));
            let (degrees, homes) = degrees.iter().filter_map(homes).unzip();
            let demand = item["demand"].as_u64()?;
            instance.task.items.extend((0..demand).map(|_| instance.task.kinds.len()));
            let form = Form::of(&outline, SIZES * width_mm, 0.0)?;
            instance.task.kinds.push(Kind { form, homes });
            instance.degrees.push(degrees);
            instance.numbers.push(item["id"].as_u64()?);
        }
        Some(instance)
    }

    /// The line that is printed.
    pub fn answer(&self, nesting: &Nesting, seconds: f64) -> Value {
        let placed: Vec<Value> = nesting
            .poses
            .iter()
            .zip(&self.task.items)
            .map(|(pose, kind)| {
                let degrees = self.degrees[*kind][pose.home];
                json!({"item": self.numbers[*kind], "x": pose.at.x, "y": pose.at.y, "degrees": degrees})
            })
            .collect();
        let density = 100.0 * self.task.area_mm2() / (nesting.length_mm * self.task.width_mm);
        json!({
            "instance": self.name,
            "seconds": seconds,
            "density": density,
            "length": nesting.length_mm,
            "placed": placed,
        })
    }
}

/// A turn of an outline, none when it is then wider than the strip.
fn home(outline: &Outline<Draft>, degrees: f64, width_mm: f64) -> Option<Home> {
    // Quarter turns are exact.
    let whole = |value: f64| if (value - value.round()).abs() < 1e-12 { value.round() } else { value };
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (sin, cos) = (whole(sin), whole(cos));
    let turn = Map::new(cos, sin, -sin, cos, 0.0, 0.0);
    let (low, high) = outline.mapped(&turn).bounds();
    let across_mm = [-low.y, width_mm - high.y];
    (across_mm[0] <= across_mm[1]).then_some(Home::free(turn, across_mm))
}
