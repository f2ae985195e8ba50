//! What can hurt a person or a machine, each with the document that says so.

use maud::html;

use super::frame::Section;
use super::{Subject, boards};

/// A caution: what to mind, what to do about it, and who says so.
const CAUTIONS: [(&str, &str, &str); 8] = [
    (
        "Hot iron",
        "Tip and element burn at once. Hold the grip only, put the iron back into its stand, keep the bench clear.",
        "Electronic workstation soldering process, hazard sheet, docsbay.net",
    ),
    (
        "Fumes",
        "Flux fume can cause asthma. Use rosin-free or reduced-rosin solder, draw the fume off at the tip, keep \
         your head out of it; stop at a cough, a wheeze or a tight chest.",
        "HSE, COSHH essentials WL17: Soldering, hand-held with lead-based, rosin-cored solders; \
         summary of HSE INDG248 (rev 2) Solder fume and you",
    ),
    (
        "Eyes",
        "Wear eye protection: solder splashes, and clipped wire ends fly.",
        "Electronic workstation soldering process, hazard sheet, docsbay.net (splashes); common practice, no source \
         (clipped ends)",
    ),
    (
        "Lead",
        "Solder with lead gets into the body by the mouth. No food or drink at the bench; wash hands and wipe the \
         bench afterwards.",
        "King B., An exposure evaluation of lead from wave soldering operations, 2001, NIOSHTIC 20041414, www.cdc.gov",
    ),
    (
        "Supply",
        "A bridge from the supply to the return or the shell shorts the machine. Do the meter tests below before \
         the lead touches a machine, the supply first.",
        "common practice, no source",
    ),
    (
        "Machines that cannot be replaced",
        "Plug and unplug with the machine switched off. Touch earthed metal first: port chips dislike static. Try a \
         new lead on the machine that you would miss least.",
        "common practice, no source",
    ),
    (
        "Unplug first",
        "Take the lead out of both machine and controller before any soldering, cutting or resistance test.",
        "handheld meter manual, page 10, www.easymanua.ls (power off before resistance tests)",
    ),
    (
        NEVER_INSIDE,
        "Never work on mains, and never inside a machine that is powered. Nothing in this guide needs a case to be \
         opened. Where local rules or a qualified person say otherwise than this page, follow them.",
        "common practice, no source",
    ),
];

const NEVER_INSIDE: &str = "Never inside";

/// What is to be minded where a pad is opened.
const OF_DONOR: [(&str, &str, &str); 3] = [
    (
        NEVER_INSIDE,
        "Never work on mains, and never inside a machine. The one case that is opened here is the pad’s, and only with its \
         plug pulled out of the machine. Where local rules or a qualified person say otherwise than this page, follow them.",
        "common practice, no source",
    ),
    (
        "Static",
        "The pad’s chip lies open on its board. Touch earthed metal before you touch the board, hold it by its edges, and \
         solder with an iron whose tip is earthed.",
        "common practice, no source",
    ),
    (
        "Heat and carbon",
        "Tracks of such boards lift from heat, and printed carbon takes no solder: use a fine tip, be quick, and solder to \
         the copper beside the carbon or to the leg of a part, never to the carbon.",
        "common practice, no source",
    ),
];

/// What is to be minded where a lead has chips.
const OF_CHIPS: [(&str, &str, &str); 2] = [
    (
        "Static",
        "Static that you do not feel can kill a chip, at once or months later. Touch earthed metal before you take it up, hold \
         it by its ends, and leave it in its foam until its socket has been measured.",
        "common practice, no source",
    ),
    (
        "Chip the right way round",
        "A chip that is turned round gets its supply backwards: it dies, grows hot enough to burn, and can take the machine’s \
         supply with it. Notch to notch, and look twice before power.",
        "common practice, no source",
    ),
];

pub(super) fn section(subject: &Subject<'_>) -> Section {
    let has_chips = !boards::chips(&subject.assembly.lead).is_empty();
    let has_donor = subject.assembly.donor.is_some();
    let of_chips = OF_CHIPS.into_iter().filter(|_| has_chips);
    let of_donor = OF_DONOR.into_iter().filter(|_| has_donor);
    // The pad’s case is the one that is opened.
    let of_all = CAUTIONS.into_iter().filter(|(what, ..)| !has_donor || *what != NEVER_INSIDE);
    let body = html! {
        dl class="cautions" {
            @for (what, advice, source) in of_all.chain(of_chips).chain(of_donor) {
                dt { (what) }
                dd { (advice) " " (super::frame::source(source)) }
            }
        }
    };
    Section::new("cautions", "Before you start", body)
}
