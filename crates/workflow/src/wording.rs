//! How each program words what a user can set.

use evenhand_text::{Remedy, Setting, clean};

/// Whose words are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wording {
    /// Options of the command line.
    CommandLine,
    /// Controls of the window.
    Window,
}

impl Wording {
    /// A remedy as a sentence without a full stop.
    #[must_use]
    pub fn remedy(self, remedy: &Remedy) -> String {
        remedy.in_words(|setting| self.setting(setting))
    }

    fn setting(self, setting: &Setting) -> String {
        let names = |names: &[String]| {
            let quoted: Vec<String> = names.iter().map(|name| clean(name)).collect();
            quoted.join(", ")
        };
        match (self, setting) {
            (Self::CommandLine, Setting::Levels) => {
                "give the number of levels with --levels 8192".to_owned()
            }
            (Self::Window, Setting::Levels) => {
                "set the number of levels beside the measurement's name".to_owned()
            }
            (Self::CommandLine, Setting::Sheet(there)) => {
                format!(
                    "choose a sheet with --sheet NAME; there are: {}",
                    names(there)
                )
            }
            (Self::Window, Setting::Sheet(there)) => {
                format!(
                    "put the table on the first sheet; there are: {}",
                    names(there)
                )
            }
            (Self::CommandLine, Setting::NoSheet) => "omit --sheet".to_owned(),
            (Self::Window, Setting::NoSheet) => "open the spreadsheet instead".to_owned(),
            (Self::CommandLine, Setting::Column(there)) => {
                format!("choose one with --column NAME: {}", names(there))
            }
            (Self::Window, Setting::Column(there)) => {
                format!("keep one of these columns: {}", names(there))
            }
            (Self::CommandLine, Setting::Exclude) => "exclude it with --exclude LINE".to_owned(),
            (Self::Window, Setting::Exclude) => "exclude it in the list of samples".to_owned(),
            (Self::CommandLine, Setting::NewSeating(place)) => {
                format!("add --new-seating {place}")
            }
            (Self::Window, Setting::NewSeating(place)) => {
                format!("begin a seating in line {place} of the file")
            }
            (Self::CommandLine, Setting::LightAt) => "give --light-at".to_owned(),
            (Self::Window, Setting::LightAt) => "set light-at".to_owned(),
            (Self::CommandLine, Setting::FullAt(most)) => {
                format!("ask for --full-at {most} or less")
            }
            (Self::Window, Setting::FullAt(most)) => format!("set full-at to {most} or less"),
            (Self::CommandLine, Setting::ReadingsAs) => {
                "give --as percent, fraction or raw".to_owned()
            }
            (Self::Window, Setting::ReadingsAs) => "choose how readings are given".to_owned(),
            (Self::CommandLine, Setting::Rig) => "give its rig with --rig".to_owned(),
            (Self::Window, Setting::Rig) => "choose its rig file".to_owned(),
            (Self::CommandLine, Setting::NoRig) => "omit --rig".to_owned(),
            (Self::Window, Setting::NoRig) => "leave the rig file empty".to_owned(),
            (Self::CommandLine, Setting::PlannedForces) => {
                "omit --forces to use the plan".to_owned()
            }
            (Self::Window, Setting::PlannedForces) => "leave the list empty".to_owned(),
            (Self::CommandLine, Setting::ExportTable) => "export a table: --as table".to_owned(),
            (Self::Window, Setting::ExportTable) => "choose the form table".to_owned(),
            (Self::CommandLine, Setting::Replace) => "replace it with --force".to_owned(),
            (Self::Window, Setting::Replace) => "confirm that it is replaced".to_owned(),
            (Self::CommandLine, Setting::Rebuild) => {
                "make the map again from its measurement with `evenhand map`".to_owned()
            }
            (Self::Window, Setting::Rebuild) => {
                "open the measurement and save the map again".to_owned()
            }
        }
    }
}
