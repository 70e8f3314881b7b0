//! The profiles that come with the program, named by what they accept.

use std::sync::OnceLock;

use super::Profile;

/// The profile used when none is named.
pub const DEFAULT_PROFILE: &str = "segments-8";

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../../../profiles/receivers/", $name, ".toml")))),*]
    };
}

/// Name and text of every shipped profile.
const TEXTS: &[(&str, &str)] = embedded![
    "segments-4",
    "segments-5",
    "segments-8",
    "segments-9",
    "segments-16",
    "segments-8-percent",
    "segments-8-byte",
    "smooth-8",
    "bezier",
    "power",
    "table-256",
    "table-1024",
];

/// Every shipped profile, in the order of a list for people.
#[must_use]
pub fn shipped() -> &'static [Profile] {
    static PROFILES: OnceLock<Vec<Profile>> = OnceLock::new();
    PROFILES.get_or_init(|| {
        // A test reads each text, so none is left out here.
        TEXTS
            .iter()
            .filter_map(|(name, text)| Profile::parse(text, name).ok())
            .collect()
    })
}

/// The shipped profile of that name.
#[must_use]
pub fn profile(name: &str) -> Option<&'static Profile> {
    shipped().iter().find(|profile| profile.name() == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_is_a_profile_of_its_own_name() {
        for (name, text) in TEXTS {
            let read = Profile::parse(text, name).unwrap();
            assert_eq!(read.name(), *name);
            let again = Profile::parse(&read.to_toml(), name).unwrap();
            assert_eq!(again, read, "{name} does not survive being written");
        }
        assert_eq!(shipped().len(), TEXTS.len());
        assert!(profile(DEFAULT_PROFILE).is_some());
        assert!(profile("segments-7").is_none());
    }
}
