"""Looks for networks that the workspace's solver gets wrong, beyond the recorded ones.

    python reference/circuit/search.py FROM TO [PROGRAM]

Draws four random networks for each number from FROM up to TO, solves them by tableau and with the
example `solve` (see compare.py), and prints every network outside its bound as one line of JSON,
shrunk to elements that all matter. What it finds belongs into hard_networks.py.
"""

import json
import random
import sys
from pathlib import Path

import compare
import random_networks
import tableau
from network import Network, check_promises

MIXTURES = ({}, {"collectors": True}, {"diodes": True}, {"collectors": True, "diodes": True})


def main():
    first, last = int(sys.argv[1]), int(sys.argv[2])
    program = Path(sys.argv[3]) if sys.argv[3:] else compare.built_example()
    drawn = found = 0
    for number in range(first, last):
        for mixture in MIXTURES:
            network = random_networks.draw(random.Random(f"search/{number}/{sorted(mixture)}"), **mixture)
            drawn += 1
            if complaint := wrong(program, network):
                found += 1
                print(f"search {number} {sorted(mixture)}: {complaint}")
                print(shrink(program, network).as_json())
    print(f"{found} of {drawn} networks failed")
    sys.exit(1 if found else 0)


def wrong(program, network):
    """What is wrong with the program's answer, or nothing."""
    check_promises(network)
    volts, _ = tableau.solve(network)
    answer, complaint = compare.solve(program, json.loads(network.as_json()))
    if answer is None:
        return complaint
    off = max(abs(answer["volts"][node] - float(value)) for node, value in volts.items())
    return None if off <= compare.BOUND_VOLTS[network.group()] else f"{off:.3g} V off"


def shrink(program, network):
    """Leaves out elements one by one for as long as the answer stays wrong."""
    place = 0
    while place < len(network.elements):
        smaller = Network()
        smaller.elements = network.elements[:place] + network.elements[place + 1 :]
        try:
            still = wrong(program, smaller)
        except AssertionError:
            still = None
        if still:
            network, place = smaller, 0
        else:
            place += 1
    return network


if __name__ == "__main__":
    main()
