"""Makes networks.json: 200 networks and their operating points. See ../README.md.

    python make.py            writes networks.json beside this file
    python make.py --check    reads it again and holds every recorded figure against the laws
"""

import json
import platform
import random
import sys
from pathlib import Path

import mpmath
import numpy
import scipy
from mpmath import mp, mpf

import hard_networks
import random_networks
from network import GROUND, check_promises, ends
from tableau import BOLTZMANN, ELEMENTARY_CHARGE, RESIDUAL_BOUND, solve

SEED = 20260
DIGITS = 22
OUTPUT = Path(__file__).with_name("networks.json")

# Below this a figure is rounding noise of fifty digits and is written as 0.
NOISE = mpf("1e-30")

# How many of each class come from chance; hard_networks adds 24, 7 and 50, so that there are 200.
RANDOM_LINEAR, RANDOM_COLLECTOR, RANDOM_DIODE = 76, 13, 30


def networks():
    """All networks in their order: (number, what it is, network). Each number has a seed of its own."""
    plan = [("random", {})] * RANDOM_LINEAR + list(hard_networks.linear())
    plan += [("random", {"collectors": True})] * RANDOM_COLLECTOR + list(hard_networks.open_collectors())
    for number in range(RANDOM_DIODE):
        plan.append(("random", {"diodes": True, "collectors": number % 4 == 0}))
    plan += list(hard_networks.diodes())
    for number, (about, what) in enumerate(plan, start=1):
        if isinstance(what, dict):
            what = random_networks.draw(random.Random(f"{SEED}/{number}"), **what)
        try:
            check_promises(what)
        except AssertionError as error:
            sys.exit(f"network {number} ({about}): {error}")
        yield number, about, what


def header():
    return {
        "produced_by": "reference/circuit/make.py: sparse tableau, SciPy, then mpmath Newton at 50 digits",
        "python": platform.python_version(),
        "scipy": scipy.__version__,
        "numpy": numpy.__version__,
        "mpmath": mpmath.__version__,
        "seed": SEED,
        "digits": DIGITS,
        "residual_below": mp.nstr(RESIDUAL_BOUND, 1),
        "boltzmann_joules_per_kelvin": BOLTZMANN,
        "elementary_charge_coulombs": ELEMENTARY_CHARGE,
        "constants": "CODATA 2018, physics.nist.gov/cuu/Constants",
    }


def text(value):
    return "0.0" if abs(value) < NOISE else mp.nstr(value, DIGITS)


def line(number, about, network):
    """One network with its answer, as one line of JSON. Figures keep all their digits, as JSON numbers."""
    volts, amps = solve(network)
    volts = ",".join(f"{json.dumps(node)}:{text(value)}" for node, value in volts.items())
    amps = ",".join(text(value) for value in amps)
    return (
        f'{{"number":{number},"class":"{network.group()}","about":{json.dumps(about)},'
        f'"network":{network.as_json()},"volts":{{{volts}}},"amps":[{amps}]}}'
    )


def make():
    lines = []
    for number, about, network in networks():
        try:
            lines.append(line(number, about, network))
        except ArithmeticError as error:
            sys.exit(f"network {number} ({about}): {error}")
    body = ",\n".join(lines)
    OUTPUT.write_text(f'{{"header":{json.dumps(header())},\n"networks":[\n{body}\n]}}\n')
    print(f"{len(lines)} networks in {OUTPUT.name}")


def check():
    """Holds the recorded figures against Ohm, Kirchhoff and Shockley, with none of the solver's code."""
    record = json.loads(OUTPUT.read_text(), parse_float=mpf, parse_int=mpf)
    worst_node, worst_law = mpf(0), mpf(0)
    for case in record["networks"]:
        volts = case["volts"] | {GROUND: mpf(0)}
        into_node = dict.fromkeys(volts, mpf(0))
        for element, amps in zip(case["network"]["elements"], case["amps"], strict=True):
            a, b = ends(element)
            into_node[a] -= amps
            into_node[b] += amps
            worst_law = max(worst_law, abs(law(element, volts[a] - volts[b], amps)))
        into_node.pop(GROUND)
        worst_node = max(worst_node, *map(abs, into_node.values()))
    print(f"{len(record['networks'])} networks: worst sum of currents at a node {mp.nstr(worst_node, 2)} A,")
    print(f"worst voltage left over by an element's law {mp.nstr(worst_law, 2)} V")
    if max(worst_node, worst_law) > mpf("1e-15"):
        sys.exit("the record breaks the laws")


def law(element, volts, amps):
    """Volts that are left over when `amps` flow through the element with `volts` across it."""
    match element["kind"]:
        case "resistor":
            return volts - amps * element["ohms"]
        case "source":
            return volts - element["volts"] - amps * element["ohms"]
        case "switch":
            return volts - amps * element["on_ohms" if element["closed"] else "off_ohms"]
        case "current":
            # It takes any voltage; a wrong current is counted as if through one ohm.
            return amps - element["amps"]
        case "diode":
            junction = volts - amps * element["rs_ohms"]
            slope = element["n"] * mpf(BOLTZMANN) * element["kelvin"] / mpf(ELEMENTARY_CHARGE)
            if amps > element["is_amps"]:
                return junction - slope * mp.log(1 + amps / element["is_amps"])
            # Backward the voltage hardly shows in the current: so the current is held, through one ohm.
            return amps - element["is_amps"] * mp.expm1(junction / slope)
        case "open-collector":
            over = max(mpf(0), volts - element["offset_volts"]) if element["on"] else mpf(0)
            return amps - volts / element["off_ohms"] - over / element["ohms"]
    raise ValueError(f"unknown kind `{element['kind']}`")


if __name__ == "__main__":
    check() if sys.argv[1:] == ["--check"] else make()
