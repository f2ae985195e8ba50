//! The check of a pad with chips inside, before anything is bought for it: which contact feeds it, and how much
//! it takes.

use maud::{Markup, html};
use solderside_lead::{EndId, Leg};
use solderside_profile::{Controller, PadLogic};
use solderside_trade::{ContactId, Evidence, Sourced};

use super::Subject;
use super::frame::{Section, source, to_do};
use crate::words::{clean, contact};

/// A pad with the contacts that feed it.
struct Pad<'a> {
    end: EndId,
    controller: &'a Controller,
    logic: &'a PadLogic,
    supply: ContactId,
    common: ContactId,
}

/// None where no controller has chips inside.
pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let pads = pads(subject);
    (!pads.is_empty()).then(|| Section::new("pad", "Check the pad", body(subject, &pads)))
}

/// Whether a controller has chips inside that the lead feeds.
pub(super) fn is_needed(subject: &Subject<'_>) -> bool {
    !pads(subject).is_empty()
}

fn pads<'a>(subject: &Subject<'a>) -> Vec<Pad<'a>> {
    let pads = subject.assembly.controllers().filter_map(|(end, controller)| {
        let logic = controller.logic.as_ref()?;
        let common = controller.chip_commons().into_iter().next()?;
        Some(Pad { end, controller, logic, supply: controller.supply()?, common })
    });
    pads.collect()
}

fn body(subject: &Subject<'_>, pads: &[Pad<'_>]) -> Markup {
    let mut next = 1;
    let mut parts = Vec::new();
    for pad in pads {
        let items = items(subject, pad);
        parts.push(html! { (what_is_taken(subject, pad)) (to_do(next, items.clone())) });
        next += items.len();
    }
    html! { @for part in parts { (part) } }
}

/// What the guide takes for true of a pad, and how well that is known.
fn what_is_taken(subject: &Subject<'_>, pad: &Pad<'_>) -> Markup {
    let Pad { controller, logic, .. } = pad;
    let [supply, common] = names(subject, pad);
    let fact = controller.contacts.get(&pad.supply).map(|contact| &contact.fact);
    let evidence = fact.map_or(Evidence::Assumed, |fact| fact.evidence).max(logic.fact.evidence);
    html! {
        p {
            "The " (clean(&controller.title)) " has chips inside. This guide takes contact " (supply) " for the one that feeds \
             them, contact " (common) " for their return, and " (logic.supply_amps) ", at " (logic.supply_volts.typical()) " for \
             what they take. "
            @match evidence {
                Evidence::Published => "That is published, and pads of one name differ all the same: check yours.",
                Evidence::Measured => "Somebody measured that on one pad: check yours.",
                Evidence::Reported => "That is only reported: check your pad before you buy anything.",
                Evidence::Assumed => {
                    strong { "All or part of that is assumed: nobody has measured it." }
                    " Check your own pad before you buy anything, and stop where it differs."
                }
            }
            " "
            (source(&clean(&logic.fact.source)))
        }
    }
}

fn items(subject: &Subject<'_>, pad: &Pad<'_>) -> Vec<Markup> {
    let [supply, common] = names(subject, pad);
    let Sourced { value: clamp, source: clamp_source } = pad.logic.family.clamp_amps();
    let most = pad.logic.supply_amps.high();
    vec![
        html! { "The pad lies alone, plugged into nothing. Measure three cells of 1.5 V in series, about 4.5 V, and write the \
        reading down. Connect minus to " (common) ", and plus through the 1 kΩ resistor to " (supply) "; no clip may touch a \
        neighbour. About 5 mA can flow at most, whatever the contact is; one of such a chip stands " (clamp) ". "
        (source(clamp_source.text)) },
        html! { "Read DC volts from " (common) " to " (supply) ", black probe at " (common) ". A minus sign: the cells are the wrong way \
        round. Nearly 0 V with nothing pressed: these two are no supply and return, or the pad takes far more than \
        this guide knows of. Stop." },
        html! { "Press every control in turn. The reading may fall by some tenths of a volt. A press that takes it to nearly \
        0 V shows that the contact is that control’s, and not the supply. Stop." },
        html! { "Put 100 Ω in the place of the 1 kΩ. Read again with nothing pressed, and with as many controls pressed as \
        you can hold. Each 0.1 V below the reading of the cells is 1 mA. Expect " (most) " at most: more than that, and the \
        verdict above says nothing about your pad. Stop." },
        html! { "Take the cells off. Where you had to stop, do not build from this guide: a lead has to be proved anew with what \
        you measured. " (source("common practice, no source")) },
    ]
}

/// The supply and the return, as contacts with their functions.
fn names(subject: &Subject<'_>, pad: &Pad<'_>) -> [String; 2] {
    [pad.supply, pad.common].map(|id| contact(subject.assembly, Leg { end: pad.end, contact: id }))
}
