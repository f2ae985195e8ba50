//! What can hurt a person or a machine, each with the document that says so.

use maud::html;

use super::frame::Section;

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
        "Never inside",
        "Never work on mains, and never inside a machine that is powered. Nothing in this guide needs a case to be \
         opened. Where local rules or a qualified person say otherwise than this page, follow them.",
        "common practice, no source",
    ),
];

pub(super) fn section() -> Section {
    let body = html! {
        dl class="cautions" {
            @for (what, advice, source) in CAUTIONS {
                dt { (what) }
                dd { (advice) " " (super::frame::source(source)) }
            }
        }
    };
    Section::new("cautions", "Before you start", body)
}
