//! Remedies in words and as JSON.

use super::{Change, Nearest, Remedies, Remedy};
use serde_json::{Value as Json, json};
use slatwork_output::json::number;

/// Board feet less than this apart are told as alike: half of what one decimal shows.
const LEAST_BOARD_FEET: f64 = 0.05;

impl Remedies {
    /// For a person, a line each.
    pub(crate) fn text(&self) -> String {
        let mut lines: Vec<String> = self.offered.iter().map(|own| self.offer(own)).collect();
        if lines.is_empty() {
            lines.push(self.none_words());
            lines.extend(self.nearest.as_ref().map(|own| self.nearest_words(own)));
        }
        lines.extend(self.stopped_at.map(|steps| self.stopped_words(steps)));
        lines.iter().map(|line| format!("  {line}\n")).collect()
    }

    /// "set slats to 5/4x4 (now 1x4): nothing fails; 6.1 board feet more, 24.40 units more to pay".
    fn offer(&self, remedy: &Remedy) -> String {
        let wood = match remedy.board_feet {
            feet if feet.abs() < LEAST_BOARD_FEET => String::from("as much wood"),
            feet => format!("{:.1} board feet {}", feet.abs(), more_or_less(feet > 0.0)),
        };
        let price = match remedy.cents {
            None => String::from("prices not known"),
            Some(0) => String::from("as much to pay"),
            Some(cents) => {
                let money = format!("{}.{:02}", cents.abs() / 100, cents.abs() % 100);
                format!("{money} {} {} to pay", self.currency, more_or_less(cents > 0))
            }
        };
        format!("{}: nothing fails; {wood}, {price}", set_words(&remedy.change))
    }

    fn none_words(&self) -> String {
        if self.turned.is_empty() {
            return String::from("no parameter is declared to govern what fails");
        }
        // Where the search stopped, it cannot speak for what lies beyond.
        let tried = if self.stopped_at.is_some() { "no change that was tried" } else { "no single change" };
        format!("{tried} of {} mends all of it", listed(&self.turned))
    }

    fn nearest_words(&self, nearest: &Nearest) -> String {
        let worst = |ratio: Option<f64>| match ratio {
            Some(ratio) => format!(", the worst at {ratio:.2} of its limit"),
            None => String::new(),
        };
        format!(
            "{} helps and is not enough: {} still fail{}; now {} fail{}",
            set_words(&nearest.change),
            nearest.failing,
            worst(nearest.worst),
            self.failing,
            worst(self.worst)
        )
    }

    fn stopped_words(&self, steps: usize) -> String {
        let beyond = match steps {
            0 => String::from("there are more changes of one declared step than it tries"),
            1 => String::from("changes of more than one declared step were not tried"),
            _ => format!("changes of more than {steps} declared steps were not tried"),
        };
        format!("the search stopped after {} tries: {beyond}", self.tried)
    }

    /// For a program.
    pub(crate) fn json(&self) -> Json {
        json!({
            "turned": self.turned,
            "offered": self.offered.iter().map(offer_json).collect::<Vec<_>>(),
            "nearest": self.nearest.as_ref().map(nearest_json),
            "failing": self.failing,
            "worst_ratio": self.worst.map(number),
            "currency": self.currency,
            "tried": self.tried,
            "stopped_at_steps": self.stopped_at,
        })
    }
}

fn more_or_less(more: bool) -> &'static str {
    if more { "more" } else { "less" }
}

/// "set width to 57 1/2" (now 60")".
fn set_words(change: &Change) -> String {
    format!("set {} to {} (now {})", change.parameter, change.then, change.now)
}

/// "width, wood or slats".
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

fn change_json(change: &Change) -> Json {
    json!({
        "parameter": change.parameter,
        "set": change.setting().1,
        "told": change.then.to_string(),
        "now": change.now.to_string(),
        "steps": change.steps,
    })
}

fn with(mut change: Json, more: Json) -> Json {
    if let (Json::Object(own), Json::Object(more)) = (&mut change, more) {
        own.extend(more);
    }
    change
}

fn offer_json(remedy: &Remedy) -> Json {
    let material = json!({ "board_feet_more": number(remedy.board_feet), "cents_more": remedy.cents });
    with(change_json(&remedy.change), material)
}

fn nearest_json(nearest: &Nearest) -> Json {
    let left = json!({ "failing": nearest.failing, "worst_ratio": nearest.worst.map(number) });
    with(change_json(&nearest.change), left)
}
