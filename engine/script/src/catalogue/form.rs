//! Reading the options of one entry: sizes greater than nothing, figures that are not negative, words out of a list,
//! and where it all comes from.

use super::Entries;
use crate::host::{HostResult, Options, type_word, with_article};
use indexmap::IndexMap;
use rhai::{Dynamic, EvalAltResult, Map, NativeCallContext};
use slatwork_base::{Angle, Diagnostic, Length, did_you_mean};
use slatwork_catalog::{STATUS_WORDS, Share, Source, Status};
use std::collections::BTreeMap;

/// What every entry takes beside its own options.
const ABOUT_SOURCE: [&str; 3] = ["source", "status", "except"];

/// The form of a length in messages.
const A_SIZE: &str = "a length greater than zero, as 19.mm or inch(\"3 1/2\")";

/// The options of one entry.
pub(super) struct Form<'c, 'a> {
    ctx: &'c NativeCallContext<'a>,
    pub(super) what: &'static str,
    options: Options,
    /// Names of the options and of the measures given, which `except:` may name.
    figures: Vec<String>,
}

impl<'c, 'a> Form<'c, 'a> {
    /// Checks the names of the options. `what` is the entry in messages.
    pub(super) fn read(
        ctx: &'c NativeCallContext<'a>,
        what: &'static str,
        values: Map,
        known: &[&str],
    ) -> HostResult<Self> {
        let known = [known, &ABOUT_SOURCE].concat();
        let dims = values.get("dims").and_then(|dims| dims.read_lock::<Map>()).map(|dims| keys(&dims));
        let figures = keys(&values).into_iter().chain(dims.unwrap_or_default()).collect();
        Ok(Form { ctx, what, options: Options::read(ctx, what, values, &known)?, figures })
    }

    pub(super) fn refuse(&self, diagnostic: Diagnostic) -> Box<EvalAltResult> {
        self.options.refuse(diagnostic)
    }

    fn wrong(&self, key: &str, form: &str, given: &Dynamic) -> Box<EvalAltResult> {
        let given = shown(self.ctx, given);
        let message = format!("`{key}` of {} must be {form}, not {given}", self.what);
        self.refuse(Diagnostic::error("wrong-option", message))
    }

    /// The value, or an error that asks for it.
    pub(super) fn need<T>(&self, key: &str, form: &str, value: Option<T>) -> HostResult<T> {
        value.ok_or_else(|| self.missing(key, form, ""))
    }

    /// As [`Form::need`], of an entry that may be like another.
    pub(super) fn need_or_like<T>(&self, key: &str, form: &str, value: Option<T>) -> HostResult<T> {
        value.ok_or_else(|| self.missing(key, form, ", or `like: \"..\"` to take it from another"))
    }

    fn missing(&self, key: &str, form: &str, or: &str) -> Box<EvalAltResult> {
        let message = format!("{} needs an option named {key}", self.what);
        let help = format!("add `{key}: ..`, {form}{or}");
        self.refuse(Diagnostic::error("missing-option", message).help(help))
    }

    /// An option read by `read`, or a refusal that says what would do.
    fn read_as<T>(
        &self,
        key: &str,
        form: &str,
        read: impl Fn(&Dynamic) -> Option<T>,
    ) -> HostResult<Option<T>> {
        let Some(value) = self.options.opt_any(key) else { return Ok(None) };
        read(&value).map(Some).ok_or_else(|| self.wrong(key, form, &value))
    }

    /// Every value of a list read by `read`; the first that cannot be is told.
    fn each<T>(
        &self,
        key: &str,
        form: &str,
        list: &str,
        read: impl Fn(&Dynamic) -> Option<T>,
    ) -> HostResult<Option<Vec<T>>> {
        let Some(value) = self.options.opt_any(key) else { return Ok(None) };
        let Ok(values) = value.as_array_ref() else { return Err(self.wrong(key, list, &value)) };
        let one = |value: &Dynamic| {
            read(value).ok_or_else(|| self.wrong(key, &format!("{list}, each {form}"), value))
        };
        values.iter().map(one).collect::<HostResult<Vec<T>>>().map(Some)
    }

    /// A length greater than nothing.
    pub(super) fn size(&self, key: &str) -> HostResult<Option<Length>> {
        self.read_as(key, A_SIZE, size)
    }

    /// Lengths greater than nothing, in the order given.
    pub(super) fn sizes(&self, key: &str) -> HostResult<Option<Vec<Length>>> {
        self.each(key, A_SIZE, "a list of lengths", size)
    }

    /// Lengths, ascending and each once.
    pub(super) fn ascending(&self, key: &str) -> HostResult<Option<Vec<Length>>> {
        let mut sizes = self.sizes(key)?;
        if let Some(sizes) = &mut sizes {
            sizes.sort_unstable();
            sizes.dedup();
        }
        Ok(sizes)
    }

    /// Two lengths: thickness and width.
    pub(super) fn pair(&self, key: &str) -> HostResult<Option<(Length, Length)>> {
        match self.sizes(key)?.as_deref() {
            None => Ok(None),
            Some([first, second]) => Ok(Some((*first, *second))),
            Some(other) => {
                let form = "two lengths, thickness and width, as [2.inch, 4.inch]";
                Err(self.wrong(key, form, &format!("{} of them", other.len()).into()))
            }
        }
    }

    /// A map of lengths by name, with those of the entry it is like behind them.
    pub(super) fn dims(
        &self,
        like: Option<&IndexMap<String, Length>>,
    ) -> HostResult<IndexMap<String, Length>> {
        let mut dims = like.cloned().unwrap_or_default();
        let form = "a map of lengths, as #{ head_diameter: 8.mm }";
        for (name, value) in self.options.opt_take::<Map>("dims", form)?.unwrap_or_default() {
            dims.insert(name.to_string(), size(&value).ok_or_else(|| self.wrong(&name, A_SIZE, &value))?);
        }
        Ok(dims)
    }

    /// A number that is not negative.
    pub(super) fn figure(&self, key: &str) -> HostResult<Option<f64>> {
        self.read_as(key, "a number, zero or more", figure)
    }

    /// Numbers that are not negative, or one by itself.
    pub(super) fn figures(&self, key: &str) -> HostResult<Option<Vec<f64>>> {
        if self.options.opt_any(key).is_some_and(|value| value.is_array()) {
            return self.each(key, "a number, zero or more", "a list of numbers", figure);
        }
        Ok(self.read_as(key, "a number, zero or more, or a list of them", figure)?.map(|one| vec![one]))
    }

    /// A share from nothing to all.
    pub(super) fn share(&self, key: &str) -> HostResult<Option<Share>> {
        let Some(number) = self.figure(key)? else { return Ok(None) };
        Share::new(number).map(Some).ok_or_else(|| {
            let message = format!("`{key}` of {} is a share from 0 to 1, and cannot be {number}", self.what);
            self.refuse(Diagnostic::error("impossible-share", message))
        })
    }

    /// A whole number that is not negative.
    pub(super) fn whole(&self, key: &str) -> HostResult<Option<i64>> {
        self.read_as(key, "a whole number, zero or more", whole)
    }

    /// Whole numbers that are not negative, or one for all.
    pub(super) fn wholes(&self, key: &str) -> HostResult<Option<Vec<i64>>> {
        let is_list = self.options.opt_any(key).is_some_and(|value| value.is_array());
        if is_list {
            return self.each(key, "a whole number, zero or more", "a list of numbers", whole);
        }
        let form = "a whole number, zero or more, or a list of one for each length";
        Ok(self.read_as(key, form, whole)?.map(|one| vec![one]))
    }

    /// How many, as a count of pieces.
    pub(super) fn count(&self, key: &str) -> HostResult<Option<u32>> {
        Ok(self.whole(key)?.map(pieces))
    }

    /// A text with something in it.
    pub(super) fn text(&self, key: &str) -> HostResult<Option<String>> {
        let filled = |value: &Dynamic| text(value).filter(|text| !text.trim().is_empty());
        self.read_as(key, "a text in quotes", filled)
    }

    /// Texts.
    pub(super) fn texts(&self, key: &str) -> HostResult<Vec<String>> {
        Ok(self.each(key, "a text in quotes", "a list of texts", text)?.unwrap_or_default())
    }

    /// Yes or no.
    pub(super) fn flag(&self, key: &str) -> HostResult<Option<bool>> {
        self.options.opt_take(key, "true or false")
    }

    /// A list of maps, each read by `read` as a form of its own.
    pub(super) fn maps(&self, key: &str, form: &str) -> HostResult<Option<Vec<Map>>> {
        self.each(key, form, "a list of maps", |value| value.clone().try_cast::<Map>())
    }

    /// An angle that is not negative.
    pub(super) fn turn(&self, key: &str) -> HostResult<Option<Angle>> {
        let read = |value: &Dynamic| value.clone().try_cast::<Angle>().filter(|angle| angle.as_deg() >= 0.0);
        self.read_as(key, "an angle, zero or more, as 45.deg", read)
    }

    /// A word out of a list.
    pub(super) fn choice<T: Copy>(&self, key: &str, words: &[(T, &'static str)]) -> HostResult<Option<T>> {
        let Some(word) = self.text(key)? else { return Ok(None) };
        chosen(&word, words).map(Some).map_err(|help| {
            let message = format!("`{key}` of {} cannot be \"{word}\"", self.what);
            self.refuse(Diagnostic::error("wrong-option", message).help(help))
        })
    }

    /// `source`, `status` and `except`; what is not said is the user's own statement in this file.
    pub(super) fn source(&self, entries: &Entries) -> HostResult<Source> {
        let text = self.text("source")?.unwrap_or_else(|| entries.draft().source.clone());
        let status = self.choice("status", &STATUS_WORDS)?.unwrap_or(Status::Stated);
        Ok(Source { exceptions: self.exceptions()?, ..Source::new(text, status) })
    }

    fn exceptions(&self) -> HostResult<BTreeMap<String, Status>> {
        let form = "a map of figures and statuses, as #{ width: \"read\" }";
        let given = self.options.opt_take::<Map>("except", form)?.unwrap_or_default();
        given.into_iter().map(|(figure, status)| self.exception(&figure, &status)).collect()
    }

    fn exception(&self, figure: &str, status: &Dynamic) -> HostResult<(String, Status)> {
        if !self.figures.iter().any(|given| given == figure) {
            let message = format!("except names `{figure}`, which this {} does not give", self.what);
            return Err(self.refuse(Diagnostic::error("wrong-option", message)));
        }
        let word = text(status).unwrap_or_default();
        let status = chosen(&word, &STATUS_WORDS).map_err(|help| {
            let message = format!("the status of `{figure}` cannot be {status}");
            self.refuse(Diagnostic::error("wrong-option", message).help(help))
        })?;
        Ok((figure.to_string(), status))
    }
}

/// A value that will not do: what it reads where that says more than what it is.
pub(super) fn shown(ctx: &NativeCallContext, value: &Dynamic) -> String {
    let length = value.read_lock::<Length>().map(|length| length.to_string());
    let angle = value.read_lock::<Angle>().map(|angle| angle.to_string());
    match length.or(angle) {
        Some(measure) => measure,
        None if value.is_int() || value.is_float() || value.is_string() => value.to_string(),
        None => with_article(&type_word(ctx, value)),
    }
}

fn keys(map: &Map) -> Vec<String> {
    map.keys().map(ToString::to_string).collect()
}

fn size(value: &Dynamic) -> Option<Length> {
    value.clone().try_cast::<Length>().filter(|length| length.is_positive())
}

fn figure(value: &Dynamic) -> Option<f64> {
    crate::numbers::as_number(value).filter(|number| number.is_finite() && *number >= 0.0)
}

fn whole(value: &Dynamic) -> Option<i64> {
    value.as_int().ok().filter(|number| *number >= 0)
}

fn text(value: &Dynamic) -> Option<String> {
    value.clone().into_string().ok()
}

/// A count of pieces; beyond what fits there is no telling the difference.
pub(super) fn pieces(count: i64) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// The choice that a word stands for, else what to write.
fn chosen<T: Copy>(word: &str, words: &[(T, &'static str)]) -> Result<T, String> {
    let found = words.iter().find(|(_, known)| *known == word).map(|(choice, _)| *choice);
    found.ok_or_else(|| match did_you_mean(word, words.iter().map(|(_, known)| *known)) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => {
            format!("write one of {}", words.iter().map(|(_, known)| *known).collect::<Vec<_>>().join(", "))
        }
    })
}

/// A word given by itself rather than as an option, out of a list.
pub(super) fn kind_of<T: Copy>(
    ctx: &NativeCallContext,
    what: &str,
    word: &str,
    words: &[(T, &'static str)],
) -> HostResult<T> {
    chosen(word, words).map_err(|help| {
        let message = format!("there is no {what} `{word}`");
        crate::host::raise(ctx, Diagnostic::error("unknown-kind", message).help(help))
    })
}
