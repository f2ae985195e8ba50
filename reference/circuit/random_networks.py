"""Networks drawn at random, the same for the same seed on every machine."""

from network import FARTHEST_OHMS, GROUND, JUNCTIONS, MOST_NODES, SWITCH_ON_OHMS, Network, distances

# IEC 60063:2015 preferred values, E24.
E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)

# One LS load low, two of them, some gates, and one load high: DM74LS157 / DM74LS158 data sheet (Fairchild),
# page 3, and DM74LS08 data sheet (Fairchild). The last is a meter's diode range: common practice, no source.
AMPS = (0.4e-3, 0.8e-3, 0.36e-3, 20e-6, 1e-3)

# Inner resistance of sources; 0 is ideal. No source: chosen to span a supply, a logic output and a pull-up.
INNER_OHMS = (0, 0, 0.1, 1, 50, 130, 1000, 4700)

# The two ends of the range asked for and, between them, the voltages that the trade uses.
VOLTS = (-12, -5, 0, 0.4, 2.7, 3.3, 4.75, 5, 5, 5, 5.25, 9, 12, 15)

# A current is not let into a node where it alone could raise more than this.
MOST_RAISED_VOLTS = 40


def draw(rng, collectors=False, diodes=False):
    """One random network; `collectors` and `diodes` say what it holds besides linear elements."""
    network = Network()
    names = [f"n{k}" for k in range(1, rng.randint(2, MOST_NODES) + 1)]
    chain = rng.random() < 0.3
    _sources(rng, network, names)
    _tree(rng, network, names, chain)
    _cross_links(rng, network, names)
    _currents(rng, network, names)
    if collectors or rng.random() < 0.15:
        _collectors(rng, network, names, on=collectors)
    if diodes:
        _diodes(rng, network, names)
    return network


def _sources(rng, network, names):
    for count, node in enumerate(rng.sample(names, min(len(names), rng.randint(1, 5)))):
        volts = rng.choice(VOLTS) if rng.random() < 0.7 else round(rng.uniform(-12, 15), 3)
        if count == 0 and volts == 0:
            # With no other source the whole network would be at rest.
            volts = 5
        network.source(node, volts, rng.choice(INNER_OHMS))


def _tree(rng, network, names, chain):
    """Ties every node that has no source yet to one that is tied, within the promised distance."""
    tied = [element["node"] for element in network.elements] + [GROUND]
    for node in names:
        if node in tied:
            continue
        parent = tied[-1] if chain else rng.choice(tied)
        room = FARTHEST_OHMS - distances(network.elements)[parent]
        ohms = _preferred(rng)
        if rng.random() < 0.25 or ohms > room:
            # A chain of large resistors ends in switches: the worst mixture for a nodal matrix.
            if SWITCH_ON_OHMS > room:
                parent = GROUND
            network.switch(parent, node, closed=True)
        else:
            network.resistor(parent, node, ohms)
        tied.append(node)


def _cross_links(rng, network, names):
    for _ in range(rng.randint(0, 2 * len(names))):
        a, b = rng.sample([GROUND, *names], 2)
        pick = rng.random()
        if pick < 0.45:
            network.resistor(a, b, _preferred(rng))
        elif pick < 0.85:
            network.switch(a, b, closed=False)
        else:
            network.switch(a, b, closed=True)


def _currents(rng, network, names):
    for _ in range(rng.randint(0, 4)):
        node, amps = rng.choice(names), rng.choice(AMPS)
        if amps * distances(network.elements)[node] > MOST_RAISED_VOLTS:
            continue
        # An LS input lets its current out into the line: from ground, through the input, to the node.
        a, b = (GROUND, node) if rng.random() < 0.8 else (node, GROUND)
        network.current(a, b, amps)


def _collectors(rng, network, names, on):
    for count in range(rng.randint(1, 4)):
        lit = on and (count == 0 or rng.random() < 0.6)
        network.open_collector(rng.choice(names), lit, rng.choice((0.05, 0.1, 0.3)), rng.choice((8.3, 25, 100)))


def _diodes(rng, network, names):
    ideal = {GROUND} | {e["node"] for e in network.elements if e["kind"] == "source" and e["ohms"] == 0}
    # Junctions without resistance, one or several in series, between two ideal voltages could ask for
    # e^1000 amperes. A group is the nodes that such junctions tie together; it may hold one ideal voltage.
    groups = [{node} for node in (GROUND, *names)]
    for _ in range(rng.randint(1, 8)):
        anode, cathode = rng.sample([GROUND, *names], 2)
        junction = rng.choice(tuple(JUNCTIONS))
        kelvin = rng.choice((273.15, 300.15, 313.15))
        rs_ohms = 0 if JUNCTIONS[junction][2] == 0 or rng.random() < 0.4 else None
        if rs_ohms == 0:
            joined = set().union(*(group for group in groups if group & {anode, cathode}))
            if len(joined & ideal) > 1:
                rs_ohms = 1
            else:
                groups = [group for group in groups if not group & joined] + [joined]
        network.diode(anode, cathode, junction, rs_ohms, kelvin)


def _preferred(rng):
    ohms = rng.choice(E24) * 10 ** rng.randint(-1, 4)
    return int(ohms) if ohms == int(ohms) else round(ohms, 1)
