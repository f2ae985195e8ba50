//! Where the switches of a lead stand, as arguments.

use std::collections::BTreeSet;

use clap::Args;
use solderside_lead::{Setting, Stand};
use solderside_profile::{listed, nearest};

use crate::report::quoted_list;
use crate::trouble::Trouble;

/// Where the switches of a lead stand.
#[derive(Debug, Clone, Default, Args)]
pub struct StandsArgs {
    /// The position in which a switch of the lead stands, by its name; may be given for several switches
    ///
    /// Of a lead for two controllers also what is plugged in: `both`, or the one end that is not empty, `controller` or
    /// `controller-2`.
    #[arg(long = "stands", value_name = "POSITION")]
    stands: Vec<String>,
}

impl StandsArgs {
    /// The setting that is named: switches of which nothing is said stand in their first position.
    ///
    /// # Errors
    /// Refuses positions that no switch has, and two of one switch.
    pub fn setting<'s>(&self, settings: &'s [Setting]) -> Result<&'s Setting, Trouble> {
        let stands = |setting: &Setting, named: &String| {
            setting.at.iter().any(|(_, position)| position.as_ref() == Some(named))
        };
        let found = settings.iter().find(|setting| self.stands.iter().all(|named| stands(setting, named)));
        found.ok_or_else(|| {
            let known: BTreeSet<String> =
                settings.iter().flat_map(Setting::stands).map(|stand| stand.position).collect();
            let unknown = self.stands.iter().find(|named| !known.contains(*named));
            let near = unknown.and_then(|named| nearest(named, known.iter().map(String::as_str)));
            let help = match positions(settings) {
                Some(_) if near.is_some() => format!("write `{}`", near.unwrap_or_default()),
                Some(positions) => {
                    format!("there is {positions}; name one for each switch, and one for a further end")
                }
                None => "the lead has no switch: leave out `--stands`".to_owned(),
            };
            Trouble::new(format!("no switch of the lead stands at {}", quoted_list(&self.stands)), help)
        })
    }

    /// The positions that are named, which some setting has together; none where nothing is named.
    ///
    /// # Errors
    /// As [`StandsArgs::setting`].
    pub fn stands(&self, settings: &[Setting]) -> Result<Vec<Stand>, Trouble> {
        if self.stands.is_empty() {
            return Ok(Vec::new());
        }
        let stands = self.setting(settings)?.stands();
        Ok(stands.filter(|stand| self.stands.contains(&stand.position)).collect())
    }

    /// The setting of a lead that must be told where its switch stands.
    ///
    /// # Errors
    /// As [`StandsArgs::setting`], and where nothing is named.
    pub fn named<'s>(&self, settings: &'s [Setting]) -> Result<&'s Setting, Trouble> {
        match positions(settings) {
            Some(positions) if self.stands.is_empty() => {
                let help =
                    format!("test it in each of its positions, once with each `--stands`: {positions}");
                Err(Trouble::new("the lead has a switch, and nothing says where it stands", help))
            }
            Some(_) | None => self.setting(settings),
        }
    }
}

/// How to see a lead in another setting: "`--stands both` or `--stands controller`"; none if it has one only.
pub fn otherwise(settings: &[Setting], setting: &Setting) -> Option<String> {
    let position = |stand: Stand| stand.position;
    let here: BTreeSet<String> = setting.stands().map(position).collect();
    let all: BTreeSet<String> = settings.iter().flat_map(Setting::stands).map(position).collect();
    let others: Vec<String> = all.difference(&here).map(|other| format!("--stands {other}")).collect();
    (!others.is_empty()).then(|| listed(others.iter().map(String::as_str), "or"))
}

/// The positions that there are to choose from; none if the lead is in one setting only.
fn positions(settings: &[Setting]) -> Option<String> {
    let all: BTreeSet<&(String, Option<String>)> = settings.iter().flat_map(|own| &own.at).collect();
    let is_chosen = |called: &String| all.iter().filter(|(own, _)| own == called).count() > 1;
    let positions = all.iter().filter(|(called, _)| is_chosen(called));
    let positions: BTreeSet<&str> = positions.filter_map(|(_, position)| position.as_deref()).collect();
    (!positions.is_empty()).then(|| listed(positions, "and"))
}
