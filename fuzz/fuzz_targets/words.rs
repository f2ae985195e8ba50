//! The words of the bench: connectors, conductors, contacts, joins, readings.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solderside_lead::Join;
use solderside_meter::TypedReading;
use solderside_trade::{Conductor, Connector, ContactId, Family};

fuzz_target!(|text: &str| {
    if let Ok(connector) = Connector::parse(text) {
        assert_eq!(Connector::parse(&connector.to_string()), Ok(connector));
    }
    if let Ok(family) = Family::parse(text) {
        assert_eq!(Family::parse(&family.to_string()), Ok(family));
    }
    if let Ok(conductor) = Conductor::parse(text) {
        assert_eq!(Conductor::parse(&conductor.to_string()), Ok(conductor));
    }
    if let Ok(contact) = ContactId::parse(text) {
        assert_eq!(ContactId::parse(&contact.to_string()), Ok(contact));
    }
    if let Ok(reading) = TypedReading::parse(text) {
        assert_eq!(TypedReading::parse(&reading.to_string()), Ok(reading));
    }
    if let Ok(join) = text.parse::<Join>() {
        assert_eq!(join.to_string().parse(), Ok(join));
    }
});
