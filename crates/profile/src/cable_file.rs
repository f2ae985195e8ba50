//! The file of a cable: its keys, its descent, its checks.

use std::collections::BTreeMap;

use solderside_quantity::Metres;
use solderside_trade::{Conductor, Connector, ContactId, CoreColour};

use crate::cable::{Cable, CoreId, MouldedEnd};
use crate::complaint::Complaint;
use crate::contacts::{CONTACT_KEY, check_range, connector, contact_id};
use crate::document::Table;
use crate::fact::Statement;
use crate::heading::{Heading, Kind, profile_heading};
use crate::profile_file::{Identity, ProfileFile};
use crate::source::{At, Place};
use crate::value::{Misread, Value};

const MOST_CORES: i64 = Cable::MOST_CORES as i64;

/// A cable's file as it stands.
#[derive(Debug)]
pub(crate) struct CableFile {
    heading: Heading,
    conductor: Option<At<Conductor>>,
    length: Option<At<Metres>>,
    cores: Option<At<i64>>,
    /// Whether `cores` is there at all.
    counted: bool,
    colours: Option<At<Colours>>,
    pairs: Option<At<Vec<At<PairEntry>>>>,
    drain: Option<At<bool>>,
    moulded: Option<At<Vec<At<MouldedEntry>>>>,
    statement: Statement,
    note: Option<At<String>>,
}

/// How the cores' colours are told.
#[derive(Debug)]
enum Colours {
    /// By the sequence of DIN 47100.
    Din47100,
    /// One by one; what could not be read keeps its place.
    Listed(Vec<Option<CoreColour>>),
}

/// The numbers of a pair; what could not be read keeps its place.
type PairEntry = Vec<Option<At<i64>>>;

/// A `[[moulded]]` table.
#[derive(Debug)]
struct MouldedEntry {
    connector: Option<At<Connector>>,
    cores: Vec<(ContactId, At<i64>, Place)>,
    /// Where `shell = "drain"` stands.
    shell: Option<Place>,
    /// Whether the table of cores is there and empty.
    wires_nothing: Option<Place>,
}

impl ProfileFile for CableFile {
    type Profile = Cable;

    const KIND: Kind = Kind::Cable;

    fn read(table: &mut Table<'_>) -> Self {
        let file = Self {
            heading: profile_heading(table, Kind::Cable),
            conductor: table
                .key("conductor", "each core's copper: `AWG 28` or `0.14 mm2`")
                .parsed(["AWG 28", "0.14 mm2"].map(str::to_owned), |text| {
                    Conductor::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
                }),
            length: table
                .key("length_mm", "how long it is, in millimetres; absent if it is cut from the reel")
                .whole(1, Cable::LONGEST_MM)
                .map(|length| length.map(millimetres)),
            cores: table
                .key("cores", "how many insulated cores it has; `colours` tells if it lists them")
                .whole(1, MOST_CORES),
            counted: table.has("cores"),
            colours: colours(
                table.key("colours", "`din-47100`, or each core's colour in the order of the cable"),
            ),
            pairs: table
                .key("pairs", "the cores that are twisted with each other: [[1, 2], [3, 4]]")
                .list(|item| item.list(|core| Some(core.whole(1, MOST_CORES)))),
            drain: table.key("drain", "whether a bare drain runs along under the screen").flag(),
            moulded: table
                .key("moulded", "the ends that are moulded on, two at most")
                .list(|item| item.table(moulded_entry)),
            statement: Statement::read(table),
            note: table.key("note", "what else there is to say").text(),
        };
        table.require_unless("like", &["format", "kind", "conductor", "colours"]);
        for (key, help) in [
            ("connector", "give each end that is moulded on a table `[[moulded]]` with its `connector`"),
            ("contact", "drop it: a cable has cores, and its moulded ends say where each ends"),
        ] {
            table.foreign(key, "this key belongs in a controller's or a port's file", help);
        }
        file
    }

    fn like(&self) -> Option<&At<String>> {
        self.heading.like.as_ref()
    }

    fn over(self, parent: Self) -> Self {
        // Colours that are listed anew are counted anew.
        let listed = matches!(&self.colours, Some(At { value: Colours::Listed(_), .. }));
        Self {
            heading: self.heading,
            conductor: self.conductor.or(parent.conductor),
            length: self.length.or(parent.length),
            cores: self.cores.or(parent.cores.filter(|_| !listed)),
            counted: self.counted || parent.counted && !listed,
            colours: self.colours.or(parent.colours),
            pairs: self.pairs.or(parent.pairs),
            drain: self.drain.or(parent.drain),
            moulded: self.moulded.or(parent.moulded),
            statement: self.statement.or(parent.statement),
            note: self.note.or(parent.note),
        }
    }

    fn check(self, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Cable> {
        let colours = checked_colours(self.colours, self.cores, self.counted, complaints);
        let drain = self.drain.is_some_and(|drain| drain.value);
        let bounds = Bounds { cores: colours.as_ref().map(Vec::len), drain, identity: &identity };
        let pairs = bounds.pairs(self.pairs, complaints);
        let moulded = bounds.moulded(self.moulded, complaints);
        Some(Cable {
            title: self.heading.title.map_or_else(|| identity.name.clone(), |title| title.value),
            conductor: self.conductor?.value,
            length: self.length.map(|length| length.value),
            colours: colours?,
            pairs,
            drain,
            moulded,
            fact: self.statement.fact(&self.statement),
            note: self.note.map(|note| note.value),
            name: identity.name,
            like: identity.ancestors,
            origin: identity.origin,
        })
    }
}

#[expect(clippy::cast_precision_loss, reason = "the longest cable is 20 000 mm")]
fn millimetres(length: i64) -> Metres {
    Metres::literal(length.clamp(1, Cable::LONGEST_MM) as f64 / 1000.0)
}

fn colours(value: Value<'_>) -> Option<At<Colours>> {
    let examples = || ["WH", "WH/GN", "white with green"].map(str::to_owned);
    let (sequence, listed) = value.text_or_list(
        |text| text.choice([("din-47100", Colours::Din47100)]),
        |list| {
            list.list(|item| {
                let colour = item.parsed(examples(), |text| {
                    CoreColour::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
                });
                Some(colour.map(|colour| colour.value))
            })
        },
    );
    sequence.or(listed.map(|list| list.map(Colours::Listed)))
}

fn moulded_entry(table: &mut Table<'_>) -> MouldedEntry {
    let connector = connector(table.key("connector", "the connector that is moulded on"));
    let cores = table.key("cores", "the core in each contact: { 1 = 3, 2 = 1 }; the others are not wired");
    let wires_nothing = cores.place().filter(|_| cores.is_empty_table());
    let cores = cores.map(Some(CONTACT_KEY), |key, value| {
        let id = contact_id(&value, &key.value, &key.place);
        let core = value.whole(1, MOST_CORES)?;
        Some((id?, core, key.place.clone()))
    });
    let shell = table.key("shell", "`drain` if the drain ends in the shell").choice([("drain", ())]);
    table.require(&["connector", "cores"]);
    MouldedEntry { connector, cores, shell: shell.map(|shell| shell.place), wires_nothing }
}

/// Returns the colours core by core, or nothing where a complaint says why.
fn checked_colours(
    colours: Option<At<Colours>>,
    cores: Option<At<i64>>,
    counted: bool,
    complaints: &mut Vec<Complaint>,
) -> Option<Vec<CoreColour>> {
    let At { value: colours, place } = colours?;
    let listed = match colours {
        Colours::Din47100 => {
            let Some(cores) = cores else {
                // A count that cannot be read has its complaint.
                complaints.extend((!counted).then(|| {
                    Complaint::new(place, "`din-47100` stands without its `cores`")
                        .help("add `cores = …`: how many cores the cable has")
                        .absence()
                }));
                return None;
            };
            let count = u8::try_from(cores.value).unwrap_or(Cable::MOST_CORES);
            return (1..=count).map(CoreColour::din_47100).collect();
        }
        Colours::Listed(listed) => listed,
    };
    let count = listed.len();
    if count == 0 {
        let headline = "`colours` lists no core";
        complaints.push(Complaint::new(place, headline).help("write the colour of each core, in its order"));
        return None;
    }
    if count > usize::from(Cable::MOST_CORES) {
        let headline = format!("`colours` lists {count} cores, more than {MOST_CORES}");
        complaints.push(Complaint::new(place, headline).help("leave out the cores that no lead needs"));
        return None;
    }
    if let Some(cores) = cores.filter(|cores| usize::try_from(cores.value) != Ok(count)) {
        let headline = format!("`cores` says {}, and `colours` lists {count}", cores.value);
        complaints.push(
            Complaint::new(cores.place, headline)
                .help("drop `cores`, or correct the list")
                .also(place, "the list"),
        );
        return None;
    }
    listed.into_iter().collect()
}

/// What the numbers of a cable's file are held against.
struct Bounds<'i> {
    /// How many cores there are, where that is known.
    cores: Option<usize>,
    drain: bool,
    identity: &'i Identity,
}

impl Bounds<'_> {
    /// Returns a core's number. One that the cable lacks is a complaint, unless it comes from the cable that
    /// this one starts from, which may have had more cores.
    fn core(&self, number: &At<i64>, complaints: &mut Vec<Complaint>) -> Option<u8> {
        let core = u8::try_from(number.value).ok()?;
        if self.cores.is_none_or(|cores| usize::from(core) <= cores) {
            return Some(core);
        }
        if number.place.file == self.identity.file {
            let headline = format!("the cable has no core {core}");
            complaints.push(
                Complaint::new(number.place.clone(), headline)
                    .label(format!("expected 1 to {}", self.cores.unwrap_or_default()))
                    .help("correct the number, or count the cores again"),
            );
        }
        None
    }

    fn pairs(&self, pairs: Option<At<Vec<At<PairEntry>>>>, complaints: &mut Vec<Complaint>) -> Vec<[u8; 2]> {
        let mut seen: BTreeMap<u8, Place> = BTreeMap::new();
        let mut checked = Vec::new();
        for At { value: pair, place } in pairs.map(|pairs| pairs.value).unwrap_or_default() {
            let [one, other] = pair.as_slice() else {
                let headline = format!("a pair has two cores, found {}", pair.len());
                complaints.push(Complaint::new(place, headline).help("write pairs as [[1, 2], [3, 4]]"));
                continue;
            };
            // What could not be read has its complaint.
            let (Some(one), Some(other)) = (one, other) else { continue };
            if one.value == other.value {
                let headline = format!("core {} is paired with itself", one.value);
                complaints.push(Complaint::new(place, headline).help("name the two cores that are twisted"));
                continue;
            }
            let cores = [one, other].map(|number| self.core(number, complaints));
            for (core, number) in cores.iter().zip([one, other]) {
                let Some(core) = core else { continue };
                if let Some(first) = seen.insert(*core, number.place.clone()) {
                    complaints.push(
                        Complaint::new(number.place.clone(), format!("core {core} is in two pairs"))
                            .help("leave it in the pair that it is twisted into")
                            .also(first, "the first one"),
                    );
                }
            }
            if let [Some(one), Some(other)] = cores {
                checked.push([one, other]);
            }
        }
        checked
    }

    fn moulded(
        &self,
        ends: Option<At<Vec<At<MouldedEntry>>>>,
        complaints: &mut Vec<Complaint>,
    ) -> Vec<MouldedEnd> {
        let Some(At { value: ends, .. }) = ends else { return Vec::new() };
        if let Some(third) = ends.get(2) {
            let headline = format!("a cable has two ends, and here are {}", ends.len());
            complaints.push(
                Complaint::new(third.place.clone(), headline)
                    .help("keep the tables `[[moulded]]` of the two ends"),
            );
        }
        ends.into_iter().filter_map(|end| self.moulded_end(end.value, complaints)).collect()
    }

    fn moulded_end(&self, end: MouldedEntry, complaints: &mut Vec<Complaint>) -> Option<MouldedEnd> {
        let connector = end.connector.map(|connector| connector.value);
        if let Some(place) = end.wires_nothing {
            let headline = "a moulded end without cores is wired to nothing";
            complaints.push(
                Complaint::new(place, headline)
                    .help("buzz the end out and write `cores = { contact = core }`, or drop the table"),
            );
        }
        let mut contacts = BTreeMap::new();
        let mut places: BTreeMap<CoreId, (ContactId, Place)> = BTreeMap::new();
        for (contact, core, key) in end.cores {
            complaints.extend(check_range(contact, &key, connector));
            let Some(id) = self.core(&core, complaints).map(CoreId::Number) else { continue };
            if let Some((first, at)) = places.insert(id, (contact, core.place.clone())) {
                complaints.push(jumper(id, [first, contact], core.place.clone(), at));
            }
            if contacts.insert(contact, id).is_some() {
                let headline = format!("contact {contact} stands twice");
                complaints.push(Complaint::new(key, headline).help("keep the core that ends there"));
            }
        }
        if let Some(shell) = end.shell {
            if let Some(core) = contacts.insert(ContactId::Shell, CoreId::Drain) {
                let headline = format!("the shell has both core {core} and the drain");
                complaints.push(Complaint::new(shell.clone(), headline).help("keep what is soldered to it"));
            }
            if !self.drain && shell.file == self.identity.file {
                let headline = "the shell ends the drain of a cable that has none";
                complaints.push(Complaint::new(shell, headline).help("add `drain = true`, or drop `shell`"));
            }
            if !self.drain {
                contacts.remove(&ContactId::Shell);
            }
        }
        Some(MouldedEnd { connector: connector?, contacts })
    }
}

/// A core in two contacts of one end joins them, and a lead's joins say nothing of it: what is proved would
/// not be what is built.
fn jumper(core: CoreId, contacts: [ContactId; 2], second: Place, first: Place) -> Complaint {
    let [one, other] = contacts;
    Complaint::new(
        second,
        format!("core {core} ends in the contacts {one} and {other}, a jumper inside the moulding"),
    )
    .label("here")
    .help("correct one of the two; if it really joins both, cut this end off and take its table out")
    .also(first, "and here")
}
