//! Cautions that somebody must accept before certain figures are told.

/// A caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// What a seat hangs from is outside the plan.
    Hanging,
}

/// Every caution with its name and what is accepted with it.
pub const CAUTIONS: [(Caution, &str, &str); 1] = [(
    Caution::Hanging,
    "hanging",
    "What the seat hangs from is outside the plan. Ceiling joists are mostly sized for an attic, not for people in motion: a \
     qualified person must confirm the member, its bearings and the fixing before anybody is hung from it.",
)];

/// Why what [`Caution::Hanging`] guards is withheld, and how it is told.
pub const WHY_WITHHELD: &str =
    "a qualified person must confirm what it hangs from. Accept that with --accept hanging";

/// What is printed of every piece that hangs, for there is nothing to accept or to compute in it.
pub const OF_WHAT_HANGS: [&str; 8] = [
    "What it hangs from is outside the plan: a qualified person must confirm the member, its bearings and the fixing.",
    "Never fix it to ceiling boards, plywood or trim, nor to a roof truss without its designer's approval. Trees are not judged.",
    "Use only rated hardware, every piece stamped or documented: the weakest is the rating of the line. Other hardware, wood or \
     sections void these figures.",
    "Grade 30 chain is sold as not for overhead lifting: it is used by half of its working load, and at your own judgement.",
    "A spring needs a stop chain beside it. One hook a side has no redundancy: four hooks or safety loops are better.",
    "Keep the swept path clear, no hard corner, railing or window in it, and children out of it.",
    "Not for standing, kneeling, twisting the chains or more people than places. Adult furniture, no playground swing: children \
     only with an adult.",
    "Look at links, eyes, gates and holes before first use, after a week and monthly in season. Out of use with a tenth of a link worn \
     away, a bent eye, an opened link, a crack through a hole, or soft wood.",
];

impl Caution {
    /// The caution of that name.
    ///
    /// # Errors
    /// What there is, in words.
    pub fn named(name: &str) -> Result<Caution, String> {
        let found = CAUTIONS.iter().find(|(_, own, _)| *own == name.trim());
        found.map(|(caution, ..)| *caution).ok_or_else(|| {
            let names: Vec<&str> = CAUTIONS.iter().map(|(_, own, _)| *own).collect();
            format!("there is no caution `{name}`: there is {}", names.join(", "))
        })
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        CAUTIONS.iter().find(|(own, ..)| *own == self).map_or("", |(_, name, _)| name)
    }

    /// What is accepted with it.
    pub fn text(self) -> &'static str {
        CAUTIONS.iter().find(|(own, ..)| *own == self).map_or("", |(.., text)| text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_caution_is_known_by_its_name_alone() {
        assert_eq!(Caution::named(" hanging "), Ok(Caution::Hanging));
        assert_eq!(Caution::Hanging.name(), "hanging");
        assert_eq!(Caution::named("hang").unwrap_err(), "there is no caution `hang`: there is hanging");
    }
}
