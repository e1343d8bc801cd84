//! The run of a chain from eye to hook, in whole links.

use slatwork_base::Diagnostic;
use slatwork_solid::DVec3;

/// A straight run from the eye on the seat to the hook overhead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Between the bearing points of eye and hook, m.
    pub distance: f64,
    /// What quick links, rings and the like take up of it, m.
    pub fittings: f64,
    /// Inside length of a link: how much each adds, m.
    pub pitch: f64,
}

/// A chain hung by a whole number of links.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HungAt {
    /// The link, counted from the eye, that goes over the hook.
    pub link: u32,
    /// Length of that many links, m.
    pub chain: f64,
    /// Chain and fittings, m.
    pub length: f64,
    /// How much longer than the run it is; the seat hangs about so much lower, m.
    pub longer: f64,
}

/// Links of a chain; more are a slip of units.
const MOST_LINKS: f64 = 1e5;

impl Run {
    /// The run between two points.
    pub fn between(eye: DVec3, hook: DVec3, fittings: f64, pitch: f64) -> Self {
        Run { distance: eye.distance(hook), fittings, pitch }
    }

    /// Length of chain alone that would fit exactly, m.
    pub fn chain(&self) -> f64 {
        self.distance - self.fittings
    }

    /// The link that comes nearest to the run.
    ///
    /// # Errors
    ///
    /// Figures that are none, and a run that has no room for a link.
    pub fn hung_at(&self) -> Result<HungAt, Diagnostic> {
        self.fault().map_or(Ok(()), Err)?;
        Ok(self.at((self.chain() / self.pitch).round()))
    }

    /// The links on either side of the run, one where it is a whole number of them; the first link is the least.
    ///
    /// # Errors
    ///
    /// As [`Run::hung_at`].
    pub fn neighbours(&self) -> Result<Vec<HungAt>, Diagnostic> {
        self.fault().map_or(Ok(()), Err)?;
        let links = self.chain() / self.pitch;
        let mut both = vec![links.floor().max(1.0), links.ceil().max(1.0)];
        both.dedup();
        Ok(both.into_iter().map(|links| self.at(links)).collect())
    }

    fn at(&self, links: f64) -> HungAt {
        let chain = links * self.pitch;
        let length = chain + self.fittings;
        HungAt { link: links as u32, chain, length, longer: length - self.distance }
    }

    fn fault(&self) -> Option<Diagnostic> {
        let figures = [self.distance, self.fittings, self.pitch];
        if figures.iter().any(|own| !own.is_finite() || *own < 0.0) || self.pitch == 0.0 {
            let message = format!(
                "a chain cannot run {} m with fittings of {} m and links of {} m",
                self.distance, self.fittings, self.pitch
            );
            return Some(
                Diagnostic::error("impossible-figure", message).help("give lengths above zero, in metres"),
            );
        }
        let links = self.chain() / self.pitch;
        (!(0.5..=MOST_LINKS).contains(&links)).then(|| {
            let message = format!(
                "between eye and hook {:.0} mm are left for links of {:.1} mm",
                self.chain() * 1e3,
                self.pitch * 1e3
            );
            Diagnostic::error("no-whole-link", message)
                .help("set the hook farther from the eye, or take shorter fittings or another chain")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 1.700 less 0.080 is 1.620 m; links of 0.031 m: 52.26, so the 52nd, 1.612 m; 8 mm short.
    #[test]
    fn the_nearest_link_is_taken() {
        let run = Run { distance: 1.7, fittings: 0.08, pitch: 0.031 };
        let hung = run.hung_at().unwrap();
        assert_eq!(hung.link, 52);
        assert!((hung.length - 1.692).abs() < 1e-12 && (hung.longer + 0.008).abs() < 1e-12, "{hung:?}");
    }

    #[test]
    fn a_run_lies_between_two_links() {
        let links = |distance| {
            let run = Run { distance, fittings: 0.0, pitch: 0.03125 };
            run.neighbours().unwrap().into_iter().map(|own| own.link).collect::<Vec<_>>()
        };
        assert_eq!((links(1.7), links(1.5), links(0.02)), (vec![54, 55], vec![48], vec![1]));
        let run = Run { distance: 0.1, fittings: 0.2, pitch: 0.03 };
        assert_eq!(run.neighbours().unwrap_err().code, "no-whole-link");
    }

    #[test]
    fn a_run_is_straight() {
        let run = Run::between(DVec3::new(0.3, 0.0, 0.0), DVec3::new(0.0, 0.4, 0.0), 0.1, 0.03);
        assert!((run.chain() - 0.4).abs() < 1e-15);
    }

    #[test]
    fn what_cannot_be_hung_is_told() {
        let code = |distance, fittings, pitch| Run { distance, fittings, pitch }.hung_at().unwrap_err().code;
        assert_eq!(code(0.1, 0.09, 0.03), "no-whole-link");
        assert_eq!(code(0.1, 0.2, 0.03), "no-whole-link");
        assert_eq!(code(1e9, 0.0, 0.03), "no-whole-link");
        for (distance, fittings, pitch) in [
            (f64::NAN, 0.0, 0.03),
            (1.0, -0.1, 0.03),
            (1.0, 0.1, 0.0),
            (1.0, 0.1, -0.03),
            (f64::INFINITY, 0.0, 0.1),
        ] {
            assert_eq!(code(distance, fittings, pitch), "impossible-figure");
        }
    }
}
