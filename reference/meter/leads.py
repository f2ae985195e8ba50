"""What the wires of a lead read between any two cups, from its joins and one fault, by the connectivity of a graph."""

import networkx

# The rows of a connector by its numbers, from one side to the other; what lies on a circle as one row along the arc, the
# contact in its middle for itself. (Written down from memory, but 8/262: 6 stands in its middle by the drawing that the
# crate `trade` cites, not 8.)
ROWS = {
    "DE-9": [[1, 2, 3, 4, 5], [6, 7, 8, 9]],
    "DA-15": [[1, 2, 3, 4, 5, 6, 7, 8], [9, 10, 11, 12, 13, 14, 15]],
    "DE-15 high density": [[1, 2, 3, 4, 5], [6, 7, 8, 9, 10], [11, 12, 13, 14, 15]],
    "mini-DIN 8": [[1, 2], [3, 4, 5], [6, 7, 8]],
    "DIN 5/180": [[1, 4, 2, 5, 3]],
    "DIN 8/262": [[7, 1, 4, 2, 5, 3, 8], [6]],
    "DIN 8/270": [[6, 1, 4, 2, 5, 3, 7], [8]],
}

# Those whose straight rows can be taken for each other.
STRAIGHT = ("DE-9", "DA-15", "DE-15 high density")


def rows(family):
    """The rows of a connector."""
    if family.startswith("terminals "):
        return [list(range(1, int(family.split()[1]) + 1))]
    return ROWS[family]


def cups(family):
    """All that a probe reaches at a connector."""
    numbers = [str(number) for row in rows(family) for number in row]
    return numbers if family.startswith("terminals ") else [*numbers, "shell"]


def mirrored(family):
    """Where each number lands if a connector is read from the wrong side."""
    return {own: other for row in rows(family) for own, other in zip(row, reversed(row))}


def rows_exchanged(family):
    """Where each number lands if the first row is taken for the last, counted from the same side."""
    return {
        own: other
        for row, opposite in zip(rows(family), reversed(rows(family)))
        for own, other in zip(row, opposite)
    }


class Lead:
    """A lead as the example prints it."""

    def __init__(self, header, lines):
        _, self.number, self.digest = header.split()
        self.ends, self.roles, self.joins, self.columns, self.faults = {}, [], [], [], []
        self.is_of_wire = True
        for line in lines:
            word, *rest = line.split()
            match word:
                case "end":
                    self.ends[rest[0]] = " ".join(rest[1:])
                case "supply" | "home":
                    self.roles.append((word, *rest))
                case "part":
                    self.is_of_wire = False
                case "join":
                    self.joins.append(tuple(rest))
                case "column":
                    self.columns.append(tuple(rest))
                case "fault":
                    *fault, digits = rest
                    bits = "".join(f"{int(digit, 16):04b}" for digit in digits)
                    self.faults.append((fault, {at for at, bit in enumerate(bits) if bit == "1"}))
                case _:
                    raise ValueError(line)

    def taken(self):
        """The readings that are taken in any case: each supply against each return of its end, and against the shell of the
        port, unless wire makes them one."""
        sound = self.nets(self.wires(None), {"sound"})
        pairs = []
        for end in self.ends:
            supplies = [leg for role, at, leg in self.roles if (role, at) == ("supply", end)]
            homes = [leg for role, at, leg in self.roles if (role, at) == ("home", end)]
            if end == "port" and "shell" in cups(self.ends[end]):
                homes.append("port.shell")
            pairs += [(supply, home) for supply in supplies for home in homes]
        apart = {frozenset(pair) for pair in pairs if sound[pair[0]] != sound[pair[1]]}
        taken = [at for at, (mode, *pair) in enumerate(self.columns) if mode == "ohms" and frozenset(pair) in apart]
        assert len(taken) == len(apart)
        return taken

    def wires(self, fault):
        """What is soldered: pairs of places, each sound or weak."""
        tips = [[list(join), "sound"] for join in self.joins]

        def tip(words):
            wire = tips[self.joins.index((words[0], words[1]))]
            return wire, wire[0].index(words[2])

        def moved(end, to):
            for wire in tips:
                for side, leg in enumerate(wire[0]):
                    at, contact = leg.rsplit(".", 1)
                    if at == end and contact.isdigit():
                        wire[0][side] = f"{at}.{to.get(int(contact), contact)}"

        match fault:
            case None:
                pass
            case ["open-joint", *words]:
                tips.remove(tip(words)[0])
            case ["weak-joint", *words]:
                tip(words)[0][1] = "weak"
            case ["bridge", one, other]:
                tips.append([[one, other], "sound"])
            case ["swapped", *words]:
                (one, side), (other, far) = tip(words[:3]), tip(words[3:])
                one[0][side], other[0][far] = other[0][far], one[0][side]
            case ["mirrored", end]:
                moved(end, mirrored(self.ends[end]))
            case ["rows-exchanged", end]:
                moved(end, rows_exchanged(self.ends[end]))
            case ["one-cup-off", *words, cup]:
                wire, side = tip(words)
                wire[0][side] = cup
            case _:
                raise ValueError(fault)
        return tips

    def nets(self, wires, kinds):
        """For each place the number of the net that it is in."""
        graph = networkx.Graph()
        graph.add_nodes_from(f"{end}.{cup}" for end, family in self.ends.items() for cup in cups(family))
        graph.add_edges_from(wire for wire, kind in wires if kind in kinds)
        return {place: at for at, net in enumerate(networkx.connected_components(graph)) for place in net}

    def readings(self, fault):
        """What each column reads with a fault: wire, a weak joint, or nothing."""
        wires = self.wires(fault)
        sound, any_way = self.nets(wires, {"sound"}), self.nets(wires, {"sound", "weak"})

        def reading(one, other):
            if sound[one] == sound[other]:
                return "wire"
            return "weak" if any_way[one] == any_way[other] else "nothing"

        return [reading(one, other) for _, one, other in self.columns]

    def expected(self):
        """Of the faults that there must be, those that follow from the joins alone: joints, and ends soldered by the wrong
        numbers, where that changes anything."""
        joints = [[kind, *join, leg] for kind in ("open-joint", "weak-joint") for join in self.joins for leg in join]
        ends = [["mirrored", end] for end in self.ends]
        ends += [["rows-exchanged", end] for end, family in self.ends.items() if family in STRAIGHT]
        good = sorted(map(sorted, (wire for wire, _ in self.wires(None))))
        changing = [fault for fault in ends if sorted(map(sorted, (wire for wire, _ in self.wires(fault)))) != good]
        return {tuple(fault) for fault in joints + changing}

    def shown(self):
        """For each fault the columns that show it, worked out here."""
        good = self.readings(None)
        for fault, _ in self.faults:
            with_fault = self.readings(fault)
            yield {at for at, (one, other) in enumerate(zip(good, with_fault)) if one != other}


def read(stream):
    """The leads of what the example prints."""
    header, lines = None, []
    for line in stream:
        if line.startswith("lead "):
            if header:
                yield Lead(header, lines)
            header, lines = line, []
        else:
            lines.append(line)
    if header:
        yield Lead(header, lines)
