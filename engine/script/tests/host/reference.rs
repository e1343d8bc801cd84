//! The reference is complete, and its examples are in the language.

use slatwork_script::{EntryKind, host_modules, reference};

#[test]
fn every_word_is_documented_with_an_example() {
    for module in host_modules() {
        assert!(!module.about.is_empty(), "{} says what it is about", module.name);
        for entry in &module.entries {
            assert!(entry.about.split(' ').count() > 2, "`{}` needs a sentence", entry.signature);
            assert!(entry.about.ends_with('.'), "`{}` ends its sentence", entry.signature);
            assert!(entry.example.contains(&entry.name), "the example of `{}` uses it", entry.signature);
        }
    }
}

/// Words of the language are documented here but made elsewhere: they must be there.
#[test]
fn every_documented_word_can_be_called() {
    for entry in host_modules().iter().flat_map(|module| &module.entries) {
        if entry.kind != EntryKind::Function || entry.name == "type_of" {
            continue;
        }
        // A call with an argument that no form takes tells whether the word is known at all.
        let code =
            crate::common::evaluate(&format!("{}(Fn(\"x\"), 'c', 'c', 'c', 'c', 'c', 'c')", entry.name));
        let code = code.map_err(|fault| fault.code);
        assert_eq!(code, Err("wrong-arguments"), "{}", entry.signature);
    }
}

#[test]
fn every_example_parses() {
    let mut engine = rhai::Engine::new_raw();
    engine.set_optimization_level(rhai::OptimizationLevel::None);
    for entry in host_modules().iter().flat_map(|module| &module.entries) {
        assert!(engine.compile(&entry.example).is_ok(), "{}", entry.example);
    }
}

#[test]
fn the_three_forms_tell_the_same_words() {
    let (text, json, html) = (reference::text(), reference::json(), reference::html());
    let entries = host_modules().iter().flat_map(|module| &module.entries);
    for entry in entries {
        assert!(text.contains(&entry.example), "{}", entry.name);
    }
    let counted: usize = json["subjects"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|s| s["words"].as_array().map_or(0, Vec::len))
        .sum();
    assert_eq!(counted, host_modules().iter().map(|module| module.entries.len()).sum::<usize>());
    assert_eq!(html.matches("<h3>").count(), counted);
    let examples = |line: &&str| !line.trim_start().starts_with('>');
    assert!(text.lines().filter(examples).all(|line| line.chars().count() <= 100), "text is wrapped");
    let first = text.split("Numbers\n").next().unwrap_or_default();
    insta::assert_snapshot!(first);
}
