"""One network as the example program `solve` reads it, and the promises that every network here keeps."""

import heapq
import json

GROUND = "g"

MOST_NODES = 25
MOST_DIODES = 8
# Every node has a way of at most this resistance to ground or to the ideal voltage inside a source.
FARTHEST_OHMS = 1_000_000

SWITCH_ON_OHMS = 0.1
SWITCH_OFF_OHMS = 1_000_000_000

# Junctions: saturation current in amperes, emission coefficient, series resistance in ohms.
JUNCTIONS = {
    # Published 1N4148 model parameters beside its data sheet, github.com/lkshirahatti/IntegratedCircuits.
    "signal": (5.84e-9, 1.94, 0.7017),
    # A widely copied 1N4148 set; from memory.
    "copied": (2.52e-9, 1.752, 0.568),
    # Fitted by us to the typical points 0.22 V at 0.1 mA, 0.29 V at 1 mA and 0.35 V at 10 mA of
    # BAT54 Series (Diotech), dtsheet.com/doc/629940/diotech-bat54.
    "schottky": (3.5e-8, 1.09, 1.0),
    # The three below have no source: chosen to be hard. The first is the steepest knee, the second
    # drops 1.8 V at 2 mA, the third leaks so much that it is almost a resistor.
    "sharp": (1e-15, 1.0, 0.0),
    "light": (1e-18, 2.0, 5.0),
    "leaky": (1e-4, 1.05, 0.05),
}


class Network:
    """A list of elements; every method adds one and gives back the network."""

    def __init__(self):
        self.elements = []

    def resistor(self, a, b, ohms):
        return self._add(kind="resistor", a=a, b=b, ohms=ohms)

    def source(self, node, volts, ohms=0):
        return self._add(kind="source", node=node, volts=volts, ohms=ohms)

    def current(self, a, b, amps):
        return self._add(kind="current", a=a, b=b, amps=amps)

    def diode(self, anode, cathode, junction="signal", rs_ohms=None, kelvin=300.15):
        is_amps, n, usual_ohms = JUNCTIONS[junction]
        rs_ohms = usual_ohms if rs_ohms is None else rs_ohms
        return self._add(
            kind="diode", anode=anode, cathode=cathode, is_amps=is_amps, n=n, rs_ohms=rs_ohms, kelvin=kelvin
        )

    def switch(self, a, b, closed):
        return self._add(kind="switch", a=a, b=b, closed=closed, on_ohms=SWITCH_ON_OHMS, off_ohms=SWITCH_OFF_OHMS)

    def open_collector(self, node, on, offset_volts=0.3, ohms=8.3):
        # 0.3 V and 8.3 ohms go through 0.4 V at 12 mA and 0.5 V at 24 mA, the figures of a 74LS145; from memory.
        return self._add(
            kind="open-collector", node=node, on=on, offset_volts=offset_volts, ohms=ohms, off_ohms=SWITCH_OFF_OHMS
        )

    def _add(self, **element):
        self.elements.append(element)
        return self

    def nodes(self):
        """The nodes besides ground, in the order in which the elements name them."""
        seen = dict.fromkeys(node for element in self.elements for node in ends(element))
        seen.pop(GROUND, None)
        return list(seen)

    def group(self):
        """What makes the network hard: `linear`, `open-collector` (straight pieces) or `diode`."""
        if any(element["kind"] == "diode" for element in self.elements):
            return "diode"
        if any(element["kind"] == "open-collector" and element["on"] for element in self.elements):
            return "open-collector"
        return "linear"

    def as_json(self):
        return json.dumps({"ground": GROUND, "elements": self.elements}, separators=(",", ":"))


def ends(element):
    """The two nodes of an element, in the direction in which its current counts as positive."""
    match element["kind"]:
        case "source" | "open-collector":
            return element["node"], GROUND
        case "diode":
            return element["anode"], element["cathode"]
        case _:
            return element["a"], element["b"]


def distances(elements):
    """Ohms from each node to ground or to the voltage inside a source, the nearest way."""
    roads = {}
    nearest = [(0.0, GROUND)]
    for element in elements:
        a, b = ends(element)
        match element:
            case {"kind": "resistor", "ohms": ohms}:
                pass
            case {"kind": "switch", "closed": True, "on_ohms": ohms}:
                pass
            case {"kind": "source", "ohms": ohms}:
                nearest.append((float(ohms), a))
                continue
            case _:
                continue
        roads.setdefault(a, []).append((b, ohms))
        roads.setdefault(b, []).append((a, ohms))
    heapq.heapify(nearest)
    settled = {}
    while nearest:
        ohms, node = heapq.heappop(nearest)
        if node in settled:
            continue
        settled[node] = ohms
        for neighbour, more in roads.get(node, []):
            heapq.heappush(nearest, (ohms + more, neighbour))
    return settled


def check_promises(network):
    """Stops on a network that breaks what the README promises."""
    nodes = network.nodes()
    assert 1 <= len(nodes) <= MOST_NODES, f"{len(nodes)} nodes"
    diodes = sum(element["kind"] == "diode" for element in network.elements)
    assert diodes <= MOST_DIODES, f"{diodes} diodes"
    reached = distances(network.elements)
    for node in nodes:
        assert reached.get(node, float("inf")) <= FARTHEST_OHMS, f"{node} is farther than 1 megohm from everything"
    ideal = [e["node"] for e in network.elements if e["kind"] == "source" and e["ohms"] == 0]
    assert len(ideal) == len(set(ideal)), "two ideal sources at one node"
    assert GROUND not in ideal, "an ideal source across ground"
    for element in network.elements:
        a, b = ends(element)
        assert a != b, f"both ends of a {element['kind']} at {a}"
        if element["kind"] == "source":
            assert -12 <= element["volts"] <= 15, f"{element['volts']} V"
