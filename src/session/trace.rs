//! A trace: where a session began and every event after it, so that what she saw can be seen again.
//!
//! The text is the saved session as it was at the beginning (as [`super::file`] writes it), a rule, and one event a
//! line. The rule tells whether the session was taken up again. A trace can be appended to while the session runs.

use super::{Change, Event, Session};
use crate::remark::{Refusal, Remark};

/// The line between the beginning and the events.
const RULE: &str = "---";
const RESUMED_RULE: &str = "--- taken up again";

/// A trace taken apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// The text of the saved session that it began with.
    pub saved: String,
    /// Whether that was taken up again, and the cloth had to be laid to it.
    pub resumed: bool,
    /// What she asked for.
    pub events: Vec<Event>,
}

/// The head of a trace: the beginning and the rule.
pub fn head(saved: &str, resumed: bool) -> String {
    format!("{}\n{}\n", saved.trim_end(), if resumed { RESUMED_RULE } else { RULE })
}

/// Takes a trace apart.
///
/// # Errors
/// When there is no rule, or a line is no event: which line.
pub fn read(text: &str) -> Result<Trace, Refusal> {
    let is_rule = |line: &str| line == RULE || line == RESUMED_RULE;
    let Some(rule) = text.lines().position(is_rule) else {
        let remark = Remark::refusal(format!("this is no trace: it has no line {RULE}"));
        return Err(Refusal::because(remark.remedy("give a file that 'chalklight cut --trace' wrote")));
    };
    let saved = text.lines().take(rule).fold(String::new(), |all, line| all + line + "\n");
    let resumed = text.lines().nth(rule) == Some(RESUMED_RULE);
    let lines = text.lines().enumerate().skip(rule + 1).filter(|(_, line)| !line.trim().is_empty());
    let event = |(i, line): (usize, &str)| {
        line.trim().parse::<Event>().map_err(|says| {
            Refusal::because(Remark::refusal(says).line(i + 1).remedy("take the line out, or record the trace again"))
        })
    };
    Ok(Trace { saved, resumed, events: lines.map(event).collect::<Result<_, _>>()? })
}

/// Answers every event, one after the other, until the session is over.
pub fn replay(session: &mut Session, events: &[Event]) {
    for event in events {
        if session.answer(*event) == Change::Left {
            break;
        }
    }
}
