//! The table that cloth may be cut by. Only a fit within bounds or her explicit yes makes one.

use super::KeptTable;
use super::fit::TRUST_MM;
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
            Some(fit) if !fit.is_trusted() => Err(Remark::refusal(format!(
                "this table can be {:.1} mm off, more than the {TRUST_MM} mm that cloth allows; the worst reading is {}",
                fit.largest_mm, fit.worst
            ))
            .field("fit.largest_mm")
            .remedy(format!("measure {} again and solve again, or say yes to cutting by it as it is", fit.worst))),
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
