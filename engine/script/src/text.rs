//! Texts in scripts, with the size of every result known before it is made.

use crate::host::{HostResult, raise};
use crate::modules::Subject;
use crate::sandbox::{MAX_TEXT, note};
use rhai::{Array, Dynamic, ImmutableString, Map, NativeCallContext, Variant};
use slatwork_base::Diagnostic;

/// The words about texts.
pub(crate) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Texts",
        "Texts stand in double quotes; between back-ticks `${..}` puts a value in. A text is at most 4096 bytes \
         long.",
    );
    known(&mut subject);
    replacing(&mut subject);
    joining(&mut subject);
    printing(&mut subject);
    faults(&mut subject);
    subject
}

/// The text words of the language that a family is likely to need.
fn known(subject: &mut Subject) {
    for (signature, doc) in [
        (
            "to_string(value: value) -> text",
            "A value as it is printed. Example: `let label = 3.5.inch.to_string();`",
        ),
        ("to_upper(text: text) -> text", "The text in capitals. Example: `let shout = name.to_upper();`"),
        (
            "to_lower(text: text) -> text",
            "The text in small letters. Example: `let quiet = name.to_lower();`",
        ),
        ("trim(text: text)", "Takes blanks off both ends, in place. Example: `name.trim();`"),
        (
            "starts_with(text: text, start: text) -> yes/no",
            "Whether it begins so. Example: `if name.starts_with(\"left\") { print(name); }`",
        ),
        (
            "split(text: text, between: text) -> list",
            "The pieces between each two of a text. Example: `let words = name.split(\" \");`",
        ),
        (
            "sub_string(text: text, from: whole number, count: whole number) -> text",
            "Some letters, counted from a place. Example: `let first = name.sub_string(0, 1);`",
        ),
        (
            "type_of(value: value) -> text",
            "The trade word for what a value is. Example: `print(type_of(3.inch));`",
        ),
    ] {
        subject.known(signature, doc);
    }
}

fn replacing(subject: &mut Subject) {
    subject.function(
        "replace(text: text, find: text, put: text)",
        "Changes every occurrence, in place. Refuses a result over 4096 bytes. \
         Example: `name.replace(\"left\", \"right\");`",
        |ctx: NativeCallContext, text: &mut ImmutableString, find: ImmutableString, put: ImmutableString| {
            replace(&ctx, text, &find, &put)
        },
    );
    subject.form("replace", |ctx: NativeCallContext, text: &mut ImmutableString, find: char, put: char| {
        replace(&ctx, text, &find.to_string(), &put.to_string())
    });
    subject.form(
        "replace",
        |ctx: NativeCallContext, text: &mut ImmutableString, find: ImmutableString, put: char| {
            replace(&ctx, text, &find, &put.to_string())
        },
    );
    subject.form(
        "replace",
        |ctx: NativeCallContext, text: &mut ImmutableString, find: char, put: ImmutableString| {
            replace(&ctx, text, &find.to_string(), &put)
        },
    );
}

/// Rhai's own looks at the size only after the text is made: 16 KiB replaced by itself makes 256 MiB.
fn replace(ctx: &NativeCallContext, text: &mut ImmutableString, find: &str, put: &str) -> HostResult<()> {
    let found = text.matches(find).count();
    check(ctx, text.len() - found * find.len() + found * put.len())?;
    if found > 0 {
        *text = text.as_str().replace(find, put).into();
    }
    Ok(())
}

fn check(ctx: &NativeCallContext, bytes: usize) -> HostResult<()> {
    if bytes <= MAX_TEXT {
        return Ok(());
    }
    let message = format!("this text would be {bytes} bytes long; {MAX_TEXT} is the most");
    Err(raise(ctx, Diagnostic::error("value-too-large", message)))
}

fn joining(subject: &mut Subject) {
    subject.function(
        "join(list: list, between: text) -> text",
        "The values of a list as one text, with a text between each two. Refuses a result over 4096 bytes. \
         Example: `let names = [\"left\", \"right\"].join(\" and \");`",
        |ctx: NativeCallContext, list: Array, between: ImmutableString| join(&ctx, list, &between),
    );
}

fn join(ctx: &NativeCallContext, list: Array, between: &str) -> HostResult<String> {
    let mut joined = String::new();
    for (index, value) in list.into_iter().enumerate() {
        let word = as_text(ctx, value)?;
        if index > 0 {
            joined.push_str(between);
        }
        joined.push_str(&word);
        check(ctx, joined.len())?;
    }
    Ok(joined)
}

fn printing(subject: &mut Subject) {
    subject.function(
        "print(value: value)",
        "Shows a value to whoever works on the script, as a note at this line; it reaches no document. Refuses more          than 1 MiB in one run. Example: `print(`rail is ${rail.length}`);`",
        print::<ImmutableString>,
    );
    // The language has forms of its own for these, which would otherwise be found first.
    for name in ["print", "debug"] {
        subject.form(name, print::<ImmutableString>);
        subject.form(name, print::<i64>);
        subject.form(name, print::<f64>);
        subject.form(name, print::<bool>);
        subject.form(name, print::<char>);
        subject.form(name, print::<()>);
        subject.form(name, print::<Array>);
        subject.form(name, print::<Map>);
        subject.form(name, |ctx: NativeCallContext, value: Dynamic| print(ctx, value));
    }
}

/// Adds a note to the running run. The empty text it gives is what the engine would print itself: nothing.
fn print<T: Variant + Clone>(ctx: NativeCallContext, value: T) -> HostResult<String> {
    let text = as_text(&ctx, Dynamic::from(value))?;
    note(&ctx, &text).map_err(|fault| raise(&ctx, fault))?;
    Ok(String::new())
}

fn faults(subject: &mut Subject) {
    subject.type_word::<Diagnostic>("fault");
    subject.property(
        "message(fault: fault) -> text",
        "What is wrong, of a fault that was caught. Example: `try { part.rip(w) } catch (e) { print(e.message); }`",
        |fault: &mut Diagnostic| fault.message.clone(),
    );
    subject.property(
        "code(fault: fault) -> text",
        "The name of a fault that was caught, in words. Example: `if e.code == \"out-of-range\" { throw e; }`",
        |fault: &mut Diagnostic| fault.code.to_string(),
    );
    for name in ["to_string", "to_debug"] {
        subject.form(name, |fault: &mut Diagnostic| fault.message.clone());
    }
}

/// A value as a script would print it.
pub(crate) fn as_text(ctx: &NativeCallContext, value: Dynamic) -> HostResult<ImmutableString> {
    if let Some(text) = value.read_lock::<ImmutableString>() {
        return Ok(text.clone());
    }
    ctx.call_native_fn::<ImmutableString>("to_string", (value,))
}
