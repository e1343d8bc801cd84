//! What a hung piece asks of what it hangs from, on the paper that its hardware is bought by: cautions always, the pull on each
//! hook for a qualified person where the caution is accepted.

use super::Paper;
use super::page::{Page, counted};
use crate::Units;
use slatwork_base::Length;
use slatwork_checks::{Handed, HookPull, OF_WHAT_HANGS};

/// Nothing of what stands.
pub(super) fn what_it_hangs_from(page: &mut Page, paper: &Paper<'_>) {
    let Some(handed) = paper.handed else { return };
    page.heading("What it hangs from", '-');
    told(paper.units, handed).iter().for_each(|(lead, words)| page.wrapped(lead, words));
    page.blank();
    OF_WHAT_HANGS.iter().for_each(|caution| page.wrapped("  * ", caution));
}

/// What the hooks bear, each led by its name; or why that is not told.
pub(super) fn told(units: Units, handed: &Result<Handed, String>) -> Vec<(String, String)> {
    let handed = match handed {
        Ok(handed) => handed,
        Err(why) => return vec![(String::new(), format!("What the hooks bear is not told here: {why}."))],
    };
    let whom = format!(
        "For the qualified person who confirms it. Calculated, untested, for {} at each of {}, swung {:.0} degrees from rest or one \
         of them dropping into the seat; what the beam bears besides is not in it.",
        units.mass_text(handed.each),
        counted(handed.places, "place"),
        handed.swung.as_deg(),
    );
    let hooks = handed.hooks.iter().map(|hook| (format!("  {}: ", hook.name), pull(units, hook)));
    [(String::new(), whom)].into_iter().chain(hooks).collect()
}

fn pull(units: Units, hook: &HookPull) -> String {
    let length = |mm: f64| units.text(Length::mm(mm));
    format!(
        "{} from the middle, {} behind the front of the seat, {} over its eyes. Pulled down with up to {}, {} at rest; to front and \
         rear with {}, to a side with {}. It and its fixing must be rated at {} or more.",
        length(hook.aside),
        length(hook.behind),
        length(hook.over),
        units.force_text(hook.down),
        units.force_text(hook.at_rest),
        units.force_text(hook.along),
        units.force_text(hook.across),
        units.force_text(hook.rated),
    )
}
