//! Ticks that a browser remembers, how many there are, and how to be rid of them.

use std::hash::Hasher;

use fnv::FnvHasher;
use maud::{Markup, html};

use super::Subject;
use super::frame::Section;
use crate::words::clean;

/// Under what name a browser keeps the ticks of a lead.
///
/// It changes with anything electrical and with anything that can be ticked: the ticks of another lead, or of this one
/// before it was changed, say nothing. FNV guards against changes by mistake, which is all that can happen here.
pub(super) fn key(subject: &Subject<'_>, sections: &[Section]) -> String {
    let assembly = subject.assembly;
    let mut words: Vec<String> = vec![assembly.port.fingerprint()];
    words.extend(assembly.controllers.iter().map(solderside_profile::Controller::fingerprint));
    words.extend(assembly.lead.joins.iter().map(|join| format!("{} {}", join.from, join.to)));
    words.extend(assembly.lead.play.entries().map(|(action, controls)| format!("{action} {controls:?}")));
    words.extend(sections.iter().filter_map(Section::tickable).map(str::to_owned));
    let mut hasher = FnvHasher::default();
    for word in words {
        hasher.write(word.as_bytes());
        hasher.write_u8(0);
    }
    format!("solderside ticks {} {:016x}", clean(&assembly.lead.name), hasher.finish())
}

/// How far the reader is, over all sections; shown by the script, since nothing is remembered without it.
pub(super) fn overview() -> Markup {
    html! {
        div class="overview" id="ticks" hidden {
            p { b class="progress" data-progress="page" tabindex="-1" {} " " span class="kept" {} }
            button type="button" class="clear" { "Clear ticks" }
            div class="sure" role="group" aria-labelledby="sure" hidden {
                p id="sure" { "Clear all ticks on this page? They cannot be brought back." }
                button type="button" class="yes" { "Clear them" }
                button type="button" class="no" { "Keep them" }
            }
        }
    }
}

/// How far the reader is in one section.
pub(super) fn progress() -> Markup {
    html! { p class="progress" data-progress="section" role="status" hidden {} }
}
