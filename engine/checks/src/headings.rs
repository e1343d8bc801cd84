//! What each check says of itself: the five headings at the top of its file, gathered when this room is built, so that a file of
//! a check is the only place that tells them.

/// The five headings of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Headings {
    /// The fault it finds: its name.
    pub fault: &'static str,
    /// What it checks.
    pub checks: &'static str,
    /// Why.
    pub why: &'static str,
    /// Method and source: the formula, the limits, where they come from and how far that is to be trusted.
    pub method: &'static str,
    /// An example.
    pub example: &'static str,
    /// What would help.
    pub remedy: &'static str,
}

impl Headings {
    /// Each with its title, in their order.
    pub fn titled(&self) -> [(&'static str, &'static str); 5] {
        [
            ("What it checks", self.checks),
            ("Why", self.why),
            ("Method and source", self.method),
            ("Example", self.example),
            ("Remedy", self.remedy),
        ]
    }
}

/// By fault, sorted: written by `build.rs`.
const ALL: &[Headings] = include!(concat!(env!("OUT_DIR"), "/headings.rs"));

/// The headings of the check of that fault.
pub fn headings(fault: &str) -> Option<&'static Headings> {
    ALL.iter().find(|own| own.fault == fault)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::SUBJECTS;

    #[test]
    fn every_check_tells_all_five() {
        let checks: Vec<&str> = SUBJECTS.iter().flat_map(|own| own.checks).map(|own| own.fault).collect();
        for fault in &checks {
            let own = headings(fault).unwrap_or_else(|| panic!("the file of `{fault}` has no headings"));
            for (title, text) in own.titled() {
                let whole = text.ends_with('.') && text.len() >= 10 && !text.contains(['\n', '\\']);
                assert!(whole, "`{fault}`, {title}: {text:?}");
            }
        }
        for own in ALL {
            assert!(checks.contains(&own.fault), "`{}` has headings and is in no table", own.fault);
        }
    }
}
