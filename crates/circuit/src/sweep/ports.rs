//! What the bends see of the linear network in neighbouring states, which differ in their last contacts.
//!
//! A port is the pair of nodes of a contact or a bend. With all those contacts open and no current in any bend
//! it has an open-circuit voltage, and an ampere in one port takes the resistance between the two off another.
//! The contacts are closed one after the other: each takes its share, `1 / (R + z)` of what is across it,
//! from all that comes after, as the rows of a symmetric elimination do. An open one has no share.

use super::bend::Bend;
use super::lanes::{HELD, Lanes};
use super::{Closing, Row, across};

#[derive(Debug)]
pub(super) struct Ports {
    size: usize,
    /// The voltage of each bend without current in any.
    pub(super) open: Vec<Lanes>,
    /// What an ampere in one bend takes off another, a row a bend.
    between: Vec<Lanes>,
    /// The current in each contact for a volt across it, once those before it are closed.
    gains: [Lanes; HELD],
    /// What a volt across one contact adds to the current in an earlier one.
    shares: [[Lanes; HELD]; HELD],
    /// The voltage across each contact once those before it are closed: for no bend, and for an ampere in each.
    contacts: [Lanes; HELD],
    by_bend: Vec<[Lanes; HELD]>,
}

impl Ports {
    pub(super) fn new(size: usize) -> Self {
        Self {
            size,
            open: vec![Lanes::ZERO; size],
            between: vec![Lanes::ZERO; size * size],
            gains: [Lanes::ZERO; HELD],
            shares: [[Lanes::ZERO; HELD]; HELD],
            contacts: [Lanes::ZERO; HELD],
            by_bend: vec![[Lanes::ZERO; HELD]; size],
        }
    }

    /// Looks at the states that close some of these contacts on top of a linear network. Its responses are those
    /// of the contacts, then those of the bends.
    pub(super) fn look<const N: usize>(
        &mut self,
        closings: &[Closing; HELD],
        bends: &[Bend],
        volts: &Row<N>,
        responses: &[Row<N>],
    ) {
        let (by_contact, by_bend) = responses.split_at(HELD);
        for (t, (closing, response)) in closings.iter().zip(by_contact).enumerate() {
            let mut column = [Lanes::ZERO; HELD];
            for s in 0..=t {
                column[s] = self.left(s, closings[s].across(response), &column);
                self.shares[s][t] = self.gains[s] * column[s];
            }
            self.gains[t] = Lanes::where_closed(HELD - 1 - t) / (Lanes::all(closing.ohms) + column[t]);
        }
        self.contacts = self.passed(closings, volts);
        for (k, (bend, response)) in bends.iter().zip(by_bend).enumerate() {
            let passed = self.passed(closings, response);
            let gained: [Lanes; HELD] = std::array::from_fn(|s| self.gains[s] * passed[s]);
            self.by_bend[k] = passed;
            let less = |value: f64, other: &[Lanes; HELD]| {
                (0..HELD).fold(Lanes::all(value), |left, s| left - gained[s] * other[s])
            };
            self.open[k] = less(across(bend.a, bend.b, volts), &self.contacts);
            for (l, other) in bends[..=k].iter().enumerate() {
                let ohms = less(across(other.a, other.b, response), &self.by_bend[l]);
                self.between[k * self.size + l] = ohms;
                self.between[l * self.size + k] = ohms;
            }
        }
    }

    /// What is left across a contact of the value across it, the contacts before it being closed.
    fn left(&self, contact: usize, value: f64, before: &[Lanes; HELD]) -> Lanes {
        (0..contact).fold(Lanes::all(value), |left, r| left - self.shares[r][contact] * before[r])
    }

    fn passed<const N: usize>(&self, closings: &[Closing; HELD], volts: &Row<N>) -> [Lanes; HELD] {
        let mut passed = [Lanes::ZERO; HELD];
        for (s, closing) in closings.iter().enumerate() {
            passed[s] = self.left(s, closing.across(volts), &passed);
        }
        passed
    }

    /// What an ampere in the bend takes off each bend.
    #[inline]
    pub(super) fn row(&self, bend: usize) -> &[Lanes] {
        &self.between[bend * self.size..(bend + 1) * self.size]
    }

    /// The currents in the contacts that go with those in the bends.
    pub(super) fn contact_amps(&self, bend_amps: &[Lanes]) -> [Lanes; HELD] {
        let mut amps = [Lanes::ZERO; HELD];
        for s in (0..HELD).rev() {
            let across = self.by_bend.iter().zip(bend_amps);
            let across = across.fold(self.contacts[s], |left, (by_bend, amps)| left - by_bend[s] * *amps);
            let own = self.gains[s] * across;
            amps[s] = (s + 1..HELD).fold(own, |left, t| left - self.shares[s][t] * amps[t]);
        }
        amps
    }
}
