//! The lead that a command is about: a file, or what would be designed for a controller and a port.

use clap::Args;
use solderside_design::{Choice, design};
use solderside_lead::Assembly;
use solderside_profile::{Kind, listed};
use solderside_proof::{Proof, prove};

use crate::shelf::{Shelf, name_of};
use crate::trouble::Trouble;
use crate::wishes::{Kept, WishArgs};

/// A lead, by its name or file, or by both of its ends.
#[derive(Debug, Args)]
pub struct SubjectArgs {
    /// A lead, or a controller and a port: names, or paths that end in `.toml`
    #[arg(value_name = "NAMES", num_args = 1..=2, required = true)]
    pub names: Vec<String>,

    #[command(flatten)]
    pub wishes: WishArgs,
}

impl SubjectArgs {
    /// Finds the lead and proves it. What is designed need not be sound: where there is no sound lead, it
    /// is the nearest thing to one.
    ///
    /// # Errors
    /// Refuses names that are unknown, files with mistakes, and wishes that the profiles cannot have.
    pub fn proved(&self, shelf: &Shelf) -> Result<(Assembly, Proof), Trouble> {
        match self.names.as_slice() {
            [controller, port, ..] => designed(controller, port, &self.wishes, shelf),
            [lead] => {
                let assembly = read(lead, &self.wishes, shelf)?;
                let proof = prove(&assembly)?;
                Ok((assembly, proof))
            }
            [] => Err(Trouble::new("nothing is named", "name a lead, or a controller and a port")),
        }
    }

    /// The words that may be paths of files.
    pub fn words(&self) -> Vec<String> {
        self.names.iter().chain(self.wishes.words()).cloned().collect()
    }
}

/// Designs a lead for a controller and a port and proves it; where there is no sound lead, it is the nearest
/// thing to one.
///
/// # Errors
/// Refuses names that are unknown, files with mistakes, and wishes that the profiles cannot have.
pub fn designed(
    controller: &str,
    port: &str,
    wishes: &WishArgs,
    shelf: &Shelf,
) -> Result<(Assembly, Proof), Trouble> {
    let (controller, port) = (shelf.controller(controller)?, shelf.port(port)?);
    let designs = design(&controller, &port, &wishes.wishes(&Kept::default(), &controller, &port, shelf)?)?;
    if designs.wire_serves() {
        let text = "wire alone does it; nothing else is needed";
        let classes = wishes.classes().into_iter().map(|class| format!("--class {class}"));
        let donors = wishes.donors.iter().map(|pad| format!("--donor {pad}"));
        let asked: Vec<String> = classes.chain(donors).collect();
        return Err(Trouble::new(
            text,
            format!("leave out {}", listed(asked.iter().map(String::as_str), "and")),
        ));
    }
    if let Some(Choice { assembly, proof, .. }) = designs.options.into_iter().next() {
        return Ok((assembly, proof));
    }
    let nearest = designs.refused.into_iter().map(|refusal| refusal.nearest.assembly).next();
    let assembly = nearest.expect("a class is an option or refused with what is nearest to one");
    let proof = prove(&assembly)?;
    Ok((assembly, proof))
}

/// Reads a lead's file; it runs in the cable that is wished, if one is.
///
/// # Errors
/// Refuses what is no lead, files with mistakes, and wishes for joins: a file has its own, and its play map.
pub fn read(lead: &str, wishes: &WishArgs, shelf: &Shelf) -> Result<Assembly, Trouble> {
    let name = name_of(lead);
    if let Some(kind @ (Kind::Controller | Kind::Port | Kind::Cable | Kind::Drawer | Kind::BuzzRun)) =
        shelf.library.kind(name)
    {
        let text = format!("`{name}` is a {kind}, expected a lead, or a controller and a port");
        let other = match kind {
            Kind::Controller => "add the port",
            Kind::Port => "put the controller before it",
            Kind::BuzzRun => "name the lead, and the run with `buzz --run`",
            Kind::Drawer => "name the lead; a drawer goes with `design --drawer`",
            Kind::Cable | Kind::Lead => "name the lead, and the cable with `--cable`",
        };
        return Err(Trouble::new(text, other));
    }
    let mut assembly = shelf.lead(lead)?;
    if !wishes.no_joins() {
        let text = "`--play` and `--join` go with a controller and a port; a lead's file has its own";
        return Err(Trouble::new(text, "change the lead's file, or name a controller and a port"));
    }
    if let Some(cable) = wishes.cable(shelf)? {
        let own = assembly.lead.cord.length;
        assembly.lead.run_in(cable);
        let cord = &mut assembly.lead.cord;
        cord.length = if own < cord.length { own } else { cord.length };
    }
    Ok(assembly)
}
