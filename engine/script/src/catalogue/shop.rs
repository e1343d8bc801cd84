//! Words about the shop and the yard as a whole: tools, currency, where the figures come from.

use super::form::shown;
use super::{Entries, Form};
use crate::host::{HostResult, raise};
use crate::modules::Subject;
use rhai::{Dynamic, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Angle, Diagnostic, Length};
use slatwork_catalog::{Item, ToolSetting, ToolValue};

pub(super) fn words(subject: &mut Subject) {
    subject.function(
        "tool(c: catalogue, name: text, value: length or angle)",
        "A figure of the tools of the shop: crosscut_kerf, rip_kerf, crosscut_width, drill_reach, clamp_reach, end_trim, \
         mitre_limit and so on; a map of source and status may follow. Refuses a name that no tool has, and anything \
         but a length or an angle, zero or more. Example: `c.tool(\"crosscut_kerf\", inch(\"3/32\"));`",
        |ctx: NativeCallContext, c: &mut Entries, name: ImmutableString, value: Dynamic| {
            tool(ctx, c, name, value, Map::new())
        },
    );
    subject.form("tool", tool);
    subject.function(
        "only_listed(c: catalogue)",
        "The yard has nothing but what is listed as stock. Example: `c.only_listed();`",
        |ctx: NativeCallContext, c: &mut Entries| c.add(&ctx, Item::OnlyListed(true)),
    );
    subject.function(
        "currency(c: catalogue, name: text)",
        "What prices are in, as it is shown beside them; a hundredth of it is a cent. Refuses an empty name. \
         Example: `c.currency(\"shells\");`",
        |ctx: NativeCallContext, c: &mut Entries, name: ImmutableString| -> HostResult<()> {
            let name = filled(&ctx, "currency", &name)?;
            c.add(&ctx, Item::Currency(name))
        },
    );
    subject.function(
        "from(c: catalogue, source: text)",
        "Where the entries below this line come from, unless they say it themselves. Refuses an empty text. \
         Example: `c.from(\"price list of the lake yard, spring\");`",
        |ctx: NativeCallContext, c: &mut Entries, source: ImmutableString| -> HostResult<()> {
            c.draft().source = filled(&ctx, "from", &source)?;
            Ok(())
        },
    );
}

fn filled(ctx: &NativeCallContext, word: &str, text: &str) -> HostResult<String> {
    if !text.trim().is_empty() {
        return Ok(text.to_string());
    }
    let message = format!("`{word}` needs a text with something in it");
    Err(raise(ctx, Diagnostic::error("wrong-arguments", message)))
}

fn tool(
    ctx: NativeCallContext,
    c: &mut Entries,
    name: ImmutableString,
    value: Dynamic,
    options: Map,
) -> HostResult<()> {
    let form = Form::read(&ctx, "tool", options, &[])?;
    let setting = ToolSetting {
        value: tool_value(&ctx, &name, &value)?,
        name: name.to_string(),
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Tool(setting))
}

fn tool_value(ctx: &NativeCallContext, name: &str, value: &Dynamic) -> HostResult<ToolValue> {
    let length = value.clone().try_cast::<Length>().filter(|length| *length >= Length::ZERO);
    let angle = value.clone().try_cast::<Angle>().filter(|angle| angle.as_deg() >= 0.0);
    length.map(ToolValue::Length).or(angle.map(ToolValue::Angle)).ok_or_else(|| {
        let given = shown(ctx, value);
        let message = format!("`{name}` must be a length or an angle, zero or more, not {given}");
        raise(ctx, Diagnostic::error("wrong-arguments", message))
    })
}
