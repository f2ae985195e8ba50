//! The two ends of a problem, and what is wished, in few words.

use solderside_design::{Designs, Wishes, design};
use solderside_lead::Join;
use solderside_profile::{Action, Control, Controller, Library, Port, SourceFile};

pub const STICK: &str = "fifteen-pin-stick";
pub const PAD: &str = "fifteen-pin-pad-with-logic";
pub const TWO_TRIGGER: &str = "nine-pin-two-trigger";
pub const ONE_FIRE: &str = "nine-pin-one-fire";
pub const LIGHT_GUN: &str = "nine-pin-two-button-light-gun";

/// A controller and a port, each a class of the catalogue with some lines laid over it.
pub fn ends([controller, stated]: [&str; 2], [port, found]: [&str; 2]) -> (Controller, Port) {
    let own = |name: &str, like: &str, rest: &str| {
        SourceFile::new(format!("{name}.toml"), format!("like = \"{like}\"\n{rest}"))
    };
    let library =
        Library::with_shelf(vec![own("own-controller", controller, stated), own("own-port", port, found)]);
    let controller = library.controller("own-controller").unwrap_or_else(|it| panic!("{}", it.render()));
    let port = library.port("own-port").unwrap_or_else(|it| panic!("{}", it.render()));
    (controller, port)
}

pub fn control(name: &str) -> Control {
    Control::new(name).expect("a name")
}

pub fn action(name: &str) -> Action {
    Action::new(name).expect("a name")
}

/// A join such as `13-6`, the controller's contact first.
pub fn join(text: &str) -> Join {
    let (from, to) = text.split_once('-').expect("a join has two ends");
    format!("controller.{from} - port.{to}").parse().expect("a join")
}

/// Designs and holds every answer to what each answer promises.
pub fn designed((controller, port): &(Controller, Port), wishes: &Wishes) -> Designs {
    let designs = design(controller, port, wishes).expect("the profiles' values make a circuit");
    assert!(designs.options.iter().all(|option| option.proof.verdict.is_sound()));
    assert!(designs.refused.iter().all(|refusal| !refusal.facts.is_empty()), "a refusal without a fact");
    designs
}
