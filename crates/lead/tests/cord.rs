//! The cord in a lead's file: copper by itself, or a cable.

use solderside_lead::{Assembly, read_lead, write_lead};
use solderside_profile::{Failure, Library, SourceFile};

fn read(rest: &str, cable: &str) -> Result<Assembly, Vec<(String, String)>> {
    let text = format!(
        "format = 1\nkind = 'lead'\ncontroller = 'fifteen-pin-stick'\nport = 'nine-pin-one-fire'\n\
         joins = ['controller.13 - port.6']\n{rest}"
    );
    let library = Library::with_shelf(vec![SourceFile::new("mine.toml", cable)]);
    read_lead(&SourceFile::new("lead.toml", text), &library).map_err(|failure| match failure {
        Failure::Faulty { complaints, .. } => {
            complaints.into_iter().map(|complaint| (complaint.headline, complaint.help)).collect()
        }
        Failure::Unknown { .. } | Failure::WrongKind { .. } => panic!("{}", failure.render()),
    })
}

const REEL: &str = "like = 'ten-core-control'";
const CUT: &str = "like = 'ten-core-control'\nlength_mm = 900\nconductor = 'AWG 26'";

fn cord(rest: &str, cable: &str) -> String {
    let lead = read(rest, cable).unwrap_or_else(|complaints| panic!("{complaints:?}")).lead;
    format!("{} of {}", lead.cord.length, lead.cord.conductor)
}

#[test]
fn copper_and_length_come_from_the_cable() {
    assert_eq!(cord("[cord]\ncable = 'mine'", CUT), "0.9 m of AWG 26");
    assert_eq!(cord("[cord]\ncable = 'mine'\nlength_mm = 600", CUT), "0.6 m of AWG 26");
    // What is cut from the reel is as long as any lead.
    assert_eq!(cord("[cord]\ncable = 'mine'", REEL), "1.5 m of 0.14 mm²");
    assert_eq!(cord("[cord]\ncable = 'mine'\nlength_mm = 3000", REEL), "3 m of 0.14 mm²");
}

#[test]
fn a_lead_in_a_cable_is_read_back_as_it_was_written() {
    for (rest, cable) in [
        ("[cord]\ncable = 'mine'", CUT),
        ("[cord]\ncable = 'mine'\nlength_mm = 600", CUT),
        ("[cord]\ncable = 'mine'\nlength_mm = 600", REEL),
        ("[cord]\ncable = 'mine'\n[proved]\ncontroller = 'a'\nport = 'b'\ncable = 'c'", REEL),
        ("", REEL),
    ] {
        let assembly = read(rest, cable).unwrap();
        let library = Library::with_shelf(vec![SourceFile::new("mine.toml", cable)]);
        let written = SourceFile::new("lead.toml", write_lead(&assembly));
        assert_eq!(read_lead(&written, &library), Ok(assembly), "{}", written.text());
    }
}

#[test]
fn mistakes_of_the_cord_say_what_to_do() {
    let of = |rest: &str| read(rest, CUT).expect_err("this is wrong");
    let told = |headline: &str, help: &str| vec![(headline.to_owned(), help.to_owned())];
    assert_eq!(
        of("[cord]\ncable = 'mine'\nlength_mm = 901"),
        told(
            "the cord is longer than its cable: `mine` has 0.9 m",
            "shorten the cord, drop `length_mm`, or correct the cable's"
        )
    );
    assert_eq!(of("[cord]\ncable = 'mien'"), told("no cable is called `mien`", "write `mine`"));
    assert_eq!(
        of("[cord]\ncable = 'nine-pin-one-fire'"),
        told("`nine-pin-one-fire` is a port, expected a cable", "give the name of a cable")
    );
    assert_eq!(
        of("[cord]\ncable = 'mine'\nconductor = 'AWG 28'"),
        told("both `cable` and `conductor` stand here, expected one of them", "drop one of the two")
    );
}

#[test]
fn the_mistakes_of_a_cables_file_are_those_of_its_lead() {
    let found = read("[cord]\ncable = 'mine'\nlenght_mm = 9", "like = 'ten-core-control'\npairs = [[1, 1]]");
    let found = found.expect_err("both files are wrong");
    let headlines: Vec<&str> = found.iter().map(|(headline, _)| headline.as_str()).collect();
    assert_eq!(headlines, ["unknown key `lenght_mm`", "core 1 is paired with itself"]);
}
