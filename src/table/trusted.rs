//! The table that cloth may be cut by. Only a fit within bounds or her explicit yes makes one.

use super::fit::TRUST_MM;
use super::{Fit, KeptTable};
use crate::remark::Remark;

/// A table that may be cut by. There is no other way to one than the two functions here.
#[derive(Clone, Debug, PartialEq)]
pub struct TrustedTable {
    kept: KeptTable,
}

impl TrustedTable {
    /// Trusts a table whose fit is within bounds.
    ///
    /// # Errors
    /// The reason why it is not trusted, with what to do.
    pub fn by_fit(kept: KeptTable) -> Result<Self, Remark> {
        match &kept.fit {
            None => Err(Remark::refusal("this table was never fitted to readings, so nobody knows how far off it is")
                .field("fit")
                .remedy("solve one with 'chalklight calibrate', or say yes to cutting by it as it is")),
            Some(fit) if !fit.trusted => Err(Remark::refusal(format!(
                "this table is not trusted: it can be {:.1} mm off where cloth allows {TRUST_MM} mm, or its readings disagree",
                fit.bound95.largest_mm
            ))
            .field("fit.trusted")
            .remedy(again(fit))),
            Some(_) => Ok(Self { kept }),
        }
    }

    /// Trusts a table because she said yes to it in so many words.
    pub fn by_her_yes(kept: KeptTable) -> Self {
        Self { kept }
    }

    /// The table and its history.
    pub fn kept(&self) -> &KeptTable {
        &self.kept
    }
}

fn again(fit: &Fit) -> String {
    let doubted: Vec<&str> = fit.suspects.iter().map(|s| s.reading.as_str()).collect();
    let which = if doubted.is_empty() { "more distances".to_owned() } else { format!("{} again", doubted.join(", ")) };
    format!("measure {which} and solve again, or say yes to cutting by it as it is")
}
