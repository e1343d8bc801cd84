//! Runs `slatwork calc` as a user does.

#![allow(dead_code, reason = "each test uses its own share")]

use serde_json::Value;
use slatwork::project::schema;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

/// Runs `slatwork calc` in an empty folder of nobody's.
pub(crate) fn calc(arguments: &[&str], input: &str) -> Run {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
    let mut child = Command::new(env!("CARGO_BIN_EXE_slatwork"))
        .arg("calc")
        .args(arguments)
        .current_dir(&folder)
        .env("XDG_CONFIG_HOME", folder.join("no-config"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A run that reads no question may be over before it is given one.
    drop(child.stdin.take().unwrap().write_all(input.as_bytes()));
    Run(child.wait_with_output().unwrap())
}

/// What a run gave.
pub(crate) struct Run(Output);

impl Run {
    pub(crate) fn code(&self) -> i32 {
        self.0.status.code().expect("the program ends by itself")
    }

    pub(crate) fn out(&self) -> String {
        String::from_utf8(self.0.stdout.clone()).unwrap()
    }

    pub(crate) fn err(&self) -> String {
        String::from_utf8(self.0.stderr.clone()).unwrap()
    }

    #[track_caller]
    pub(crate) fn ends(self, code: i32) -> Run {
        assert_eq!(self.code(), code, "{}{}", self.out(), self.err());
        self
    }

    /// The answer, held to its schema.
    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        let document: Value = serde_json::from_str(&self.out()).unwrap_or_else(|_| panic!("{}", self.err()));
        let name = document["schema"].as_str().expect("a schema");
        let schema: Value = serde_json::from_str(schema(name).expect("a published schema")).unwrap();
        let validator = jsonschema::validator_for(&schema).unwrap();
        let faults: Vec<String> = validator.iter_errors(&document).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{name}: {}", faults.join("\n"));
        document
    }

    /// Why nothing was answered.
    #[track_caller]
    pub(crate) fn refused(self) -> String {
        let run = self.ends(2);
        assert_eq!(run.out(), "");
        run.err()
    }
}
