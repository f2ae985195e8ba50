//! What a person wishes of a lead, as arguments: read here, and held against both profiles.

use std::str::FromStr;

use clap::Args;
use solderside_design::{Class, Donors, Pads, SecondWish, SwitchWish, Wishes};
use solderside_lead::{
    EndId, Join, Leg, MOST_POLES, NoSecond, ParseLegError, either_map, second_controller, unknown_controller,
};
use solderside_profile::{Action, Cable, Control, Controller, Port, listed, nearest};
use solderside_trade::{Connector, ContactId};

use crate::shelf::Shelf;
use crate::trouble::Trouble;

/// Wishes that stand beside CONTROLLER and PORT.
#[derive(Debug, Clone, Default, Args)]
pub struct WishArgs {
    /// Let these controls perform an action, any of them; without controls the action stays idle
    ///
    /// May be given for several actions; the others keep the default play map.
    #[arg(long = "play", value_name = "ACTION=CONTROL[,CONTROL…]")]
    pub plays: Vec<PlayWish>,

    /// Let a switch in the lead choose what a control does: `b=up,second-fire`
    ///
    /// May be given for several controls. In each position the lead is one of wire, and it is proved in all of them and
    /// while the switch is moved.
    #[arg(long = "switch", value_name = "CONTROL=ACTION,ACTION")]
    pub switches: Vec<SwitchArg>,

    /// Give the lead a second controller end, for this controller: its name, or a path that ends in `.toml`
    ///
    /// Either of the two plays, at once or in turn. The second one's controls are called `second-up`, also in `--play`.
    #[arg(long, value_name = "CONTROLLER")]
    pub second: Option<String>,

    /// Let the second controller end pass the port's contacts through, each to its own number
    ///
    /// With `--second` those that its controller uses: a stick of switches gets no supply. Without it all but unused
    /// contacts and the inputs of pots, the supply too. What goes in there has the plug of the port's own controllers,
    /// and the end may stay empty: the lead is proved so, and with the controller of `--second`. Without `--second`
    /// nothing is proved of what is plugged in.
    #[arg(long)]
    pub through: bool,

    /// Join a contact of the controller to a contact of the port: `8-7`, `controller.8-port.7`
    ///
    /// May be given several times. It takes the place of what would be joined to that contact of the
    /// controller.
    #[arg(long = "join", value_name = "C-P")]
    pub joins: Vec<JoinWish>,

    /// Run the lead in this cable: its name, or a path that ends in `.toml`
    ///
    /// Copper and length come from it, and each join gets one of its cores.
    #[arg(long, value_name = "CABLE")]
    pub cable: Option<String>,

    /// Allow only leads of this class; may be given several times: `plain` is wire only, `parts` has diodes,
    /// resistors or a switch, `donor` ends in the port's own pad, opened, `logic` has chips; `program` tells what a program
    /// must do
    #[arg(long = "class", value_name = "CLASS", value_parser = class)]
    pub classes: Vec<Class>,

    /// Let the lead end in this pad of the port's, opened: its name, or a path that ends in `.toml`
    ///
    /// May be given several times. Without it the pads of the shelf are tried whose plug fits and whose insides are
    /// known, or those of the catalogue where the shelf has none. With it, and without `--class`, nothing else is.
    #[arg(long = "donor", value_name = "PAD")]
    pub donors: Vec<String>,
}

fn class(text: &str) -> Result<Class, String> {
    let known = || listed(Class::ALL.map(Class::as_str), "or");
    Class::ALL.into_iter().find(|class| class.as_str() == text).ok_or_else(|| format!("write {}", known()))
}

/// What a lead that is designed has to keep, and what it may be made of.
#[derive(Debug, Clone, Default, Args)]
pub struct Kept {
    /// A control that must not be lost; may be given several times
    #[arg(long = "must", value_name = "CONTROL", value_parser = control)]
    pub musts: Vec<Control>,

    /// A control that should not be lost if some lead keeps it; may be given several times
    #[arg(long, value_name = "CONTROL", value_parser = control)]
    pub nice: Vec<Control>,

    /// Make the lead of the parts in this drawer: its name, or a path that ends in `.toml`
    #[arg(long, value_name = "DRAWER")]
    pub drawer: Option<String>,
}

fn control(text: &str) -> Result<Control, String> {
    Control::new(text).ok_or_else(|| "names are small letters and digits, words joined by `-`".to_owned())
}

impl Kept {
    /// Holds the controls against the controllers, each other, and the play map that is wished.
    fn held(
        &self,
        play: &[(Action, Vec<Control>)],
        controllers: &[Controller],
        port: &Port,
    ) -> Result<(), Trouble> {
        for control in self.musts.iter().chain(&self.nice) {
            known_control(control.as_str(), controllers)?;
        }
        if let Some(both) = self.musts.iter().find(|control| self.nice.contains(control)) {
            let text = format!("`--must {both}` and `--nice {both}` say two things of one control");
            return Err(Trouble::new(text, "keep `--must` if no lead without it will do, else `--nice`"));
        }
        let default = either_map(controllers, port);
        for must in &self.musts {
            let by_default: Vec<&Action> = default.actions(must).collect();
            let is_taken =
                |action: &&&Action| play.iter().any(|(own, new)| own == **action && !new.contains(must));
            let keeps = by_default.iter().any(|action| !is_taken(&action));
            let gains = play.iter().any(|(_, new)| new.contains(must));
            let mut taken = play.iter().filter(|(action, _)| by_default.contains(&action));
            let Some((action, new)) = taken.next().filter(|_| !keeps && !gains) else { continue };
            let text = format!(
                "`--must {must}` and `--play {action}={}` conflict: that takes `{must}` its only action",
                new.iter().map(Control::as_str).collect::<Vec<_>>().join(",")
            );
            return Err(Trouble::new(
                text,
                format!("give `{must}` an action with `--play`, or drop one of the two"),
            ));
        }
        Ok(())
    }
}

/// `fire=a,b`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlayWish {
    action: Action,
    controls: Vec<Control>,
}

/// `b=up,second-fire`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SwitchArg(SwitchWish);

/// `8-7`, `controller.8-port.7`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JoinWish(Join);

/// Says why a text is no wish.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseWishError {
    /// There is no `=`.
    #[error("write the action, `=` and its controls, as in `fire=a,b`")]
    NoEquals,
    /// A switch has two positions.
    #[error(
        "write the control, `=` and the two actions between which the switch chooses, as in `b=up,second-fire`"
    )]
    NotTwoActions,
    /// A name is none.
    #[error("`{0}` is no name: names are small letters and digits, words joined by `-`")]
    Name(String),
    /// It is not two contacts.
    #[error("write a contact of the controller, `-` and a contact of the port, as in `8-7`")]
    NotTwo,
    /// Both contacts are at one end.
    #[error("both contacts are at the {0}: name one of the controller and one of the port")]
    OneEnd(EndId),
    /// Joins are wished of the first controller.
    #[error("a join is wished between the first controller and the port: write `controller.8-port.7`")]
    NoSuchEnd,
    /// A contact is none.
    #[error(transparent)]
    Leg(#[from] ParseLegError),
}

impl PlayWish {
    /// The action that it is about.
    pub fn action(&self) -> &Action {
        &self.action
    }
}

impl FromStr for PlayWish {
    type Err = ParseWishError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (action, controls) = text.split_once('=').ok_or(ParseWishError::NoEquals)?;
        let bad = |name: &str| ParseWishError::Name(name.to_owned());
        let action = Action::new(action.trim()).ok_or_else(|| bad(action))?;
        let controls = controls.split(',').map(str::trim).filter(|_| !controls.trim().is_empty());
        let controls = controls.map(|name| Control::new(name).ok_or_else(|| bad(name)));
        Ok(Self { action, controls: controls.collect::<Result<_, _>>()? })
    }
}

impl FromStr for SwitchArg {
    type Err = ParseWishError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (control, actions) = text.split_once('=').ok_or(ParseWishError::NotTwoActions)?;
        let bad = |name: &str| ParseWishError::Name(name.to_owned());
        let control = Control::new(control.trim()).ok_or_else(|| bad(control))?;
        let (first, second) = actions.split_once(',').ok_or(ParseWishError::NotTwoActions)?;
        let action = |name: &str| Action::new(name.trim()).ok_or_else(|| bad(name));
        Ok(Self(SwitchWish { control, actions: [action(first)?, action(second)?] }))
    }
}

impl FromStr for JoinWish {
    type Err = ParseWishError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (from, to) = text.rsplit_once('-').ok_or(ParseWishError::NotTwo)?;
        let [from, to] = [leg(from, EndId::Controller(0))?, leg(to, EndId::Port)?];
        match (from.end, to.end) {
            (one, other) if one == other => Err(ParseWishError::OneEnd(one)),
            (EndId::Controller(0), EndId::Port) | (EndId::Port, EndId::Controller(0)) => {
                Ok(Self(Join::new(from, to)))
            }
            _ => Err(ParseWishError::NoSuchEnd),
        }
    }
}

/// Reads `7` as a contact of the end that stands in this place, `port.7` as what it says.
fn leg(text: &str, end: EndId) -> Result<Leg, ParseWishError> {
    let text = text.trim();
    if text.contains('.') {
        return Ok(text.parse()?);
    }
    let contact = ContactId::parse(text).map_err(ParseLegError::from)?;
    Ok(Leg { end, contact })
}

impl WishArgs {
    /// Whether nothing is wished of a lead's joins.
    pub fn no_joins(&self) -> bool {
        let parts = [self.classes.is_empty(), self.donors.is_empty(), self.switches.is_empty()];
        let has_one_end = self.second.is_none() && !self.through;
        let has_no_parts = parts.into_iter().all(|is_empty| is_empty);
        self.plays.is_empty() && self.joins.is_empty() && has_no_parts && has_one_end
    }

    /// The classes that are allowed, each once; none if all are.
    pub fn classes(&self) -> Vec<Class> {
        let mut classes: Vec<Class> = Vec::new();
        for class in &self.classes {
            if !classes.contains(class) {
                classes.push(*class);
            }
        }
        classes
    }

    /// Finds the cable that is wished.
    ///
    /// # Errors
    /// Refuses what is no cable, and a file with mistakes.
    pub fn cable(&self, shelf: &Shelf) -> Result<Option<Cable>, Trouble> {
        self.cable.as_deref().map(|cable| shelf.cable(cable)).transpose()
    }

    /// Whether somebody asks for leads into a donor, and so for the reason why there is none.
    pub fn asks_for_donors(&self) -> bool {
        !self.donors.is_empty() || self.classes.contains(&Class::Donor)
    }

    /// The words that may be paths of files.
    pub fn words(&self) -> impl Iterator<Item = &String> {
        self.cable.iter().chain(&self.donors).chain(&self.second)
    }

    /// The pads that may serve as donors: those that are named, or all that may be the port's own.
    fn donors(&self, port: &Port, shelf: &Shelf) -> Result<Donors, Trouble> {
        if !self.donors.is_empty() {
            let named: Result<Vec<Controller>, Trouble> =
                self.donors.iter().map(|pad| shelf.controller(pad)).collect();
            return named.map(Donors::from);
        }
        Ok(Pads::of(&shelf.library).for_port(port))
    }

    /// Holds the switches that are wished against both profiles.
    fn switches(&self, controller: &Controller, port: &Port) -> Result<Vec<SwitchWish>, Trouble> {
        let (controls, actions) = (names(&controller.controls()), names(&port.actions()));
        let wishes: Vec<SwitchWish> = self.switches.iter().map(|wish| wish.0.clone()).collect();
        for (at, SwitchWish { control, actions: [first, second] }) in wishes.iter().enumerate() {
            known("control", control.as_str(), &controller.name, &controls)?;
            for action in [first, second] {
                known("action", action.as_str(), &port.name, &actions)?;
            }
            if first == second {
                let text = format!("`--switch` gives `{control}` the action `{first}` in both positions");
                return Err(Trouble::new(text, "name two actions, or leave the switch out"));
            }
            let speaks = |action: &Action| [first, second].contains(&action);
            for other in wishes.iter().skip(at + 1) {
                if other.control == *control {
                    let text = format!("`--switch` names the control `{control}` twice");
                    return Err(Trouble::new(text, "a switch has two positions: name one pair of actions"));
                }
                if let Some(action) = other.actions.iter().find(|action| speaks(action)) {
                    let text = format!("two switches would both say who performs `{action}`");
                    return Err(Trouble::new(text, "let one switch alone decide about an action"));
                }
            }
        }
        if !wishes.is_empty() && (!self.classes.is_empty() || !self.donors.is_empty()) {
            let text =
                "`--switch` makes a lead of wire with a switch, and `--class` and `--donor` ask for others";
            return Err(Trouble::new(text, "leave out the one or the other"));
        }
        if wishes.len() > usize::from(MOST_POLES) {
            let text = format!("{} switches are wished, and a lead has {MOST_POLES} at most", wishes.len());
            return Err(Trouble::new(text, "leave some of them out"));
        }
        Ok(wishes)
    }

    /// Finds what is to have a second controller end.
    fn second(
        &self,
        controller: &Controller,
        port: &Port,
        shelf: &Shelf,
    ) -> Result<Option<SecondWish>, Trouble> {
        let passes_through = self.through;
        let second = match &self.second {
            None if passes_through => unknown_controller(controller, port),
            None => return Ok(None),
            Some(second) => second_controller(controller, &shelf.controller(second)?, port, passes_through)
                .map_err(|why| {
                let told: Vec<String> = why.iter().map(ToString::to_string).collect();
                Trouble::new(told.join("; "), why.first().map_or("", NoSecond::help))
            })?,
        };
        let wish = if passes_through { "--through" } else { "--second" };
        if !self.donors.is_empty()
            || self.classes.iter().any(|class| matches!(class, Class::Donor | Class::Program))
        {
            let text = format!(
                "`{wish}` goes with leads of wire, parts and chips, and a donor or a program is asked for"
            );
            return Err(Trouble::new(text, "leave out the one or the other"));
        }
        if self.cable.is_some() {
            let text = format!("`{wish}` makes a lead with two cords, and `--cable` is for one");
            return Err(Trouble::new(
                text,
                "leave out `--cable`; each cord needs a conductor for each of its joins",
            ));
        }
        Ok(Some(SecondWish { controller: second, passes_through }))
    }

    /// Holds the wishes against both profiles.
    ///
    /// # Errors
    /// Refuses controls, actions and contacts that the profiles do not have, and what is no cable or second controller.
    pub fn wishes(
        &self,
        kept: &Kept,
        controller: &Controller,
        port: &Port,
        shelf: &Shelf,
    ) -> Result<Wishes, Trouble> {
        let second = self.second(controller, port, shelf)?;
        let controllers: Vec<Controller> =
            std::iter::once(controller).chain(second.as_ref().map(|own| &own.controller)).cloned().collect();
        let play = held(&self.plays, "--play", &controllers, port)?;
        kept.held(&play, &controllers, port)?;
        for JoinWish(join) in &self.joins {
            within(join.from, controller.connector, &controller.name)?;
            within(join.to, port.connector, &port.name)?;
        }
        let switches = self.switches(controller, port)?;
        let mut classes = self.classes();
        if !classes.is_empty() && !self.donors.is_empty() && !classes.contains(&Class::Donor) {
            return Err(Trouble::new(
                "`--donor` names a pad to end in, and `--class` allows no lead that ends in one",
                "allow it with `--class donor`, or leave out `--donor`",
            ));
        }
        if classes.is_empty() && !self.donors.is_empty() {
            classes.push(Class::Donor);
        }
        Ok(Wishes {
            play,
            switches,
            second,
            must: kept.musts.clone(),
            nice: kept.nice.clone(),
            drawer: kept.drawer.as_deref().map(|drawer| shelf.drawer(drawer)).transpose()?,
            joins: self.joins.iter().map(|wish| wish.0).collect(),
            classes,
            cable: self.cable(shelf)?,
            donors: self.donors(port, shelf)?,
        })
    }
}

/// Holds wishes for a play map against the profiles; `by` is what they were given to.
///
/// # Errors
/// Refuses controls and actions that the profiles do not have, and an action that is named twice.
pub fn held(
    plays: &[PlayWish],
    by: &str,
    controllers: &[Controller],
    port: &Port,
) -> Result<Vec<(Action, Vec<Control>)>, Trouble> {
    let actions = names(&port.actions());
    for (at, PlayWish { action, controls: performing }) in plays.iter().enumerate() {
        known("action", action.as_str(), &port.name, &actions)?;
        for control in performing {
            known_control(control.as_str(), controllers)?;
        }
        if plays.iter().skip(at + 1).any(|other| other.action == *action) {
            let text = format!("`{by}` names the action `{action}` twice");
            return Err(Trouble::new(text, format!("name all of its controls at once: `{action}=a,b`")));
        }
    }
    Ok(plays.iter().cloned().map(|wish| (wish.action, wish.controls)).collect())
}

/// Reads controls by their names.
///
/// # Errors
/// Refuses what the controllers do not have.
pub fn known_controls(words: &[String], controllers: &[Controller]) -> Result<Vec<Control>, Trouble> {
    let all: Vec<&Control> = controllers.iter().flat_map(|own| own.controls()).collect();
    let found = words.iter().map(|word| {
        known_control(word, controllers)?;
        Ok(all.iter().filter(|control| control.as_str() == word).map(|control| (*control).clone()).collect())
    });
    Ok(found.collect::<Result<Vec<Vec<Control>>, Trouble>>()?.into_iter().flatten().collect())
}

fn names<'n, T: AsRef<str>>(names: &[&'n T]) -> Vec<&'n str> {
    names.iter().map(|name| (*name).as_ref()).collect()
}

fn known_control(name: &str, controllers: &[Controller]) -> Result<(), Trouble> {
    let all: Vec<&Control> = controllers.iter().flat_map(|own| own.controls()).collect();
    let owners: Vec<&str> = controllers.iter().map(|own| own.name.as_str()).collect();
    known("control", name, &owners.join("` with `"), &names(&all))
}

fn known(what: &str, name: &str, owner: &str, all: &[&str]) -> Result<(), Trouble> {
    if all.contains(&name) {
        return Ok(());
    }
    let has = format!("it has {}", listed(all.iter().copied(), "and"));
    let help = match nearest(name, all.iter().copied()) {
        Some(near) => format!("write `{near}`; {has}"),
        None => has,
    };
    Err(Trouble::new(format!("`{owner}` has no {what} `{name}`"), help))
}

fn within(leg: Leg, connector: Connector, owner: &str) -> Result<(), Trouble> {
    if connector.family.has(leg.contact) {
        return Ok(());
    }
    let text =
        format!("`{owner}` has no contact {}: its connector is {}", leg.contact, connector.with_article());
    Err(Trouble::new(text, format!("write a contact from {}", connector.family.contacts_in_words())))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn join(text: &str) -> Result<String, String> {
        text.parse::<JoinWish>().map(|wish| wish.0.to_string()).map_err(|error| error.to_string())
    }

    #[test]
    fn a_join_is_read_in_its_short_and_in_its_long_form() {
        for text in [
            "8-7",
            " 8 - 7 ",
            "controller.8-port.7",
            "controller.8 - port.7",
            "port.7-controller.8",
            "8-port.7",
        ] {
            assert_eq!(join(text), Ok("controller.8 - port.7".to_owned()), "{text}");
        }
        assert_eq!(join("shell-8"), Ok("controller.shell - port.8".to_owned()));
    }

    #[test]
    fn what_is_no_join_says_how_to_write_one() {
        let message = |text: &str| join(text).unwrap_err();
        assert_eq!(
            message("8"),
            "write a contact of the controller, `-` and a contact of the port, as in `8-7`"
        );
        assert_eq!(
            message("port.8-7"),
            "both contacts are at the port: name one of the controller and one of the port"
        );
        assert_eq!(
            message("8-xy"),
            "`xy` is no contact; write its number, such as `7`, its letter, such as `A`, or `shell`"
        );
        assert_eq!(
            message("stick.8-7"),
            "`stick` is no end of a lead and no part; write `controller`, `port`, or a part such as `d1`"
        );
        assert_eq!(
            message("controller-2.8-7"),
            "a join is wished between the first controller and the port: write `controller.8-port.7`"
        );
    }

    #[test]
    fn a_play_wish_names_an_action_and_any_number_of_controls() {
        let controls = |text: &str| {
            let wish: Result<PlayWish, _> = text.parse();
            wish.map(|wish| wish.controls.iter().map(Control::to_string).collect::<Vec<_>>())
        };
        assert_eq!(controls("fire=a"), Ok(vec!["a".to_owned()]));
        assert_eq!(controls("fire=a, b"), Ok(vec!["a".to_owned(), "b".to_owned()]));
        assert_eq!(controls("fire="), Ok(vec![]));
        assert_eq!(controls("fire"), Err(ParseWishError::NoEquals));
        assert_eq!(controls("fire=a,,b"), Err(ParseWishError::Name(String::new())));
        assert_eq!(controls("Fire=a"), Err(ParseWishError::Name("Fire".to_owned())));
    }
}
