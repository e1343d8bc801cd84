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

/// Texts of an example that follow `before`, and for a list all of it.
fn named<'e>(example: &'e str, before: &str) -> Vec<&'e str> {
    let after = example.split(before).skip(1);
    after
        .flat_map(|rest| {
            let end = if rest.starts_with('[') { rest.find(']') } else { rest.find([',', ')', '}']) };
            let inside = &rest[..end.unwrap_or(rest.len())];
            inside.split('"').skip(1).step_by(2).collect::<Vec<_>>()
        })
        .collect()
}

#[test]
fn what_an_example_takes_from_the_catalogue_is_there() {
    let catalogue = slatwork_catalog::Catalogue::shared();
    let mut seen = 0;
    for entry in host_modules().iter().flat_map(|module| &module.entries) {
        // The words of catalogue files make what they name.
        if entry.arguments.first().is_some_and(|owner| owner == "catalogue") {
            continue;
        }
        let hardware = ["item: ", "links: ", "hardware("];
        for id in hardware.iter().flat_map(|before| named(&entry.example, before)) {
            seen += 1;
            assert!(catalogue.hardware(id).is_ok(), "`{id}`: {}", entry.example);
        }
        for id in named(&entry.example, "fastener: ") {
            seen += 1;
            assert!(catalogue.fastener_by_id(id).is_ok(), "`{id}`: {}", entry.example);
        }
        for id in named(&entry.example, "stock: ") {
            seen += 1;
            assert!(catalogue.section(id).is_ok(), "`{id}`: {}", entry.example);
        }
    }
    assert!(seen > 4, "the examples name {seen} things");
}
