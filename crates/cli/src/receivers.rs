//! `evenhand receivers`: receivers and targets, listed, shown, validated.

use std::fmt::Write as _;
use std::path::Path;

use evenhand_inversion::{TargetProfile, shipped_targets, target_text};
use evenhand_receiver::{DEFAULT_PROFILE, Profile, shipped};
use evenhand_text::read_text;
use evenhand_workflow::{Failure, target_from_file};
use serde_json::{Value, json};

use crate::args::ReceiversArgs;
use crate::input;
use crate::json::pretty;
use crate::output::Output;

/// A file larger than this is neither a receiver nor a target.
const MOST_BYTES: u64 = 1 << 20;
/// The target used when none is named.
const DEFAULT_TARGET: &str = "linear";

fn receiver_object(profile: &Profile) -> Value {
    json!({
        "name": profile.name(),
        "title": profile.title(),
        "interpolation": profile.interpolation().as_str(),
    })
}

fn target_object(target: &TargetProfile) -> Value {
    json!({
        "name": target.name,
        "title": target.title,
        "shape": target.shape.to_string(),
    })
}

/// What a name or a file stands for.
enum Shown {
    Receiver(Profile),
    Target(TargetProfile, String),
}

pub(crate) fn run(args: &ReceiversArgs, output: &Output) -> Result<u8, Failure> {
    let Some(name) = &args.receiver else {
        list(output)?;
        return Ok(0);
    };
    match shown(name)? {
        Shown::Receiver(profile) if output.json => output.data(&pretty(&profile))?,
        Shown::Receiver(profile) => output.data(&profile.to_toml())?,
        Shown::Target(target, _) if output.json => output.data(&pretty(&target_object(&target)))?,
        Shown::Target(_, text) => output.data(&text)?,
    }
    Ok(0)
}

fn shown(name: &str) -> Result<Shown, Failure> {
    let named = shipped_targets().iter().find(|target| target.name == *name);
    if let (Some(target), Some(text)) = (named, target_text(name)) {
        return Ok(Shown::Target(target.clone(), text.to_owned()));
    }
    let path = Path::new(name);
    // A file with a shape is a target.
    if path.is_file() {
        let text = read_text(path, MOST_BYTES).map_err(|error| {
            let help = "give a receiver file or a target file; `evenhand receivers NAME` shows how one looks";
            Failure::bad_input(error.to_string(), help).in_file(error.path)
        })?;
        let table = text.parse::<toml::Table>();
        if table.is_ok_and(|table| table.contains_key("shape")) {
            return Ok(Shown::Target(target_from_file(path)?, text));
        }
    }
    input::receiver(name).map(Shown::Receiver)
}

fn list(output: &Output) -> Result<(), Failure> {
    if output.json {
        return output.data(&pretty(&json!({
            "default": DEFAULT_PROFILE,
            "receivers": shipped().iter().map(receiver_object).collect::<Vec<_>>(),
            "targets": shipped_targets().iter().map(target_object).collect::<Vec<_>>(),
        })));
    }
    let mut text = "Receivers\n".to_owned();
    for profile in shipped() {
        let mark = if profile.name() == DEFAULT_PROFILE {
            "  (default)"
        } else {
            ""
        };
        let _ = writeln!(text, "  {:<20} {}{mark}", profile.name(), profile.title());
    }
    text.push_str("\nTargets\n");
    for target in shipped_targets() {
        let mark = if target.name == DEFAULT_TARGET {
            "  (default)"
        } else {
            ""
        };
        let _ = writeln!(text, "  {:<20} {}{mark}", target.name, target.title);
    }
    text.push_str("\n`evenhand receivers NAME` shows one; copy it, change it and give its path to --receiver\nor --target.\n");
    output.data(&text)
}
