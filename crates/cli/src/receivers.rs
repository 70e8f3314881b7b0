//! `evenhand receivers`.

use std::fmt::Write as _;

use evenhand_receiver::{DEFAULT_PROFILE, Profile, shipped};
use serde::Serialize;

use crate::args::ReceiversArgs;
use crate::failure::Failure;
use crate::input;
use crate::json::pretty;
use crate::output::Output;

#[derive(Serialize)]
struct ListJson<'a> {
    default: &'static str,
    receivers: Vec<EntryJson<'a>>,
}

#[derive(Serialize)]
struct EntryJson<'a> {
    name: &'a str,
    title: &'a str,
    interpolation: &'static str,
}

fn entry(profile: &Profile) -> EntryJson<'_> {
    EntryJson {
        name: profile.name(),
        title: profile.title(),
        interpolation: profile.interpolation().as_str(),
    }
}

pub(crate) fn run(args: &ReceiversArgs, output: &Output) -> Result<u8, Failure> {
    match &args.receiver {
        None => list(output)?,
        Some(name) => {
            let profile = input::receiver(name)?;
            if output.json {
                output.data(&pretty(&profile))?;
            } else {
                output.data(&profile.to_toml())?;
            }
        }
    }
    Ok(0)
}

fn list(output: &Output) -> Result<(), Failure> {
    if output.json {
        let receivers = shipped().iter().map(entry).collect();
        return output.data(&pretty(&ListJson {
            default: DEFAULT_PROFILE,
            receivers,
        }));
    }
    let mut text = String::new();
    for profile in shipped() {
        let mark = if profile.name() == DEFAULT_PROFILE {
            "  (default)"
        } else {
            ""
        };
        let _ = writeln!(text, "{:<20} {}{mark}", profile.name(), profile.title());
    }
    text.push_str("\n`evenhand receivers NAME` shows one; copy it, change it and give its path to --receiver.\n");
    output.data(&text)
}
