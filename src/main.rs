//! temporary
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let order = match chalklight::order::read(&text) {
        Ok(o) => o,
        Err(e) => {
            println!("{e}");
            return;
        }
    };
    for r in &order.remarks {
        println!("{r}");
    }
    let draft = match chalklight::draft::draft(&order.value) {
        Ok(o) => o,
        Err(e) => {
            println!("{e}");
            return;
        }
    }
    .value;
    for s in &draft.working {
        println!("{:20} {}", s.name, s.rule);
    }
    for c in &draft.checks {
        println!("{} {} ({:?})", c.ok, c.says, c.remedy);
    }
    let pieces = chalklight::finish::finish(&draft).unwrap().value;
    let mut svg = String::from(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='-60 -60 1200 1500' width='800' height='1000'><g fill='none' stroke-width='2'>",
    );
    for p in &pieces {
        for (o, c) in [(&p.sewn, "blue"), (&p.cut, "red")] {
            svg += &format!(
                "<path stroke='{c}' d='M{}Z'/>",
                o.corners
                    .iter()
                    .map(|p| format!("{:.2},{:.2}", p.x + if c == "x" { 1.0 } else { 0.0 }, p.y))
                    .collect::<Vec<_>>()
                    .join("L")
            );
        }
        for n in &p.notches {
            svg +=
                &format!("<path stroke='green' d='M{},{}L{},{}'/>", n.nick[0].x, n.nick[0].y, n.nick[1].x, n.nick[1].y);
        }
    }
    svg += "</g></svg>";
    std::fs::write("/tmp/x/d.svg", svg).unwrap();
}
