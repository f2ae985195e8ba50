"""The operating point by sparse tableau, to fifty digits.

Nothing is eliminated by hand. Unknown are the voltage of every node, the voltage and the current of
every branch, and the voltage of every junction; the equations are

* Kirchhoff's current law at every node besides ground,
* Kirchhoff's voltage law for every branch: its voltage is the difference of its node voltages,
* the law of every branch, and for a diode a second one for the junction behind its series resistance.

The shape is that of Hachtel, Brayton and Gustavson, "The Sparse Tableau Approach to Network Analysis
and Design", IEEE Transactions on Circuit Theory CT-18 (1971), pages 101-113 (from memory).

A first answer comes from SciPy in double precision: all sources are raised together from zero, and
Newton's method follows. Newton's method in mpmath then takes it to fifty digits. How the first answer
was found does not matter for the proof: every element here carries a current that never falls with
its voltage, and every node has a resistive way to ground or to a source, so that the equations have
one solution, and what satisfies them to 1e-30 is it.
"""

import math

import numpy
from mpmath import mp, mpf
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from network import GROUND, ends

mp.dps = 50

# CODATA 2018, exact by definition: J/K and C. physics.nist.gov/cuu/Constants
BOLTZMANN = "1.380649e-23"
ELEMENTARY_CHARGE = "1.602176634e-19"

RESIDUAL_BOUND = mpf("1e-30")


class Tableau:
    """The unknowns of one network, numbered, and its equations."""

    def __init__(self, network):
        self.elements = network.elements
        self.node_names = network.nodes()
        nodes, branches = len(self.node_names), len(self.elements)
        self.node = {name: index for index, name in enumerate(self.node_names)}
        self.volts_of = [nodes + branch for branch in range(branches)]
        self.amps_of = [nodes + branches + branch for branch in range(branches)]
        diodes = [b for b, element in enumerate(self.elements) if element["kind"] == "diode"]
        self.junction_of = {branch: nodes + 2 * branches + k for k, branch in enumerate(diodes)}
        self.size = nodes + 2 * branches + len(diodes)

    def equations(self, x, excitation, real, expm1):
        """Each equation at `x` as (residual, {unknown: derivative}), in the arithmetic of `real`.

        `excitation` scales all sources. `real` turns the figure as it is written into a number.
        """
        one = real("1")
        kcl = [(real("0"), {}) for _ in self.node_names]
        laws = []
        for branch, element in enumerate(self.elements):
            v, i = self.volts_of[branch], self.amps_of[branch]
            residual, row = x[v], {v: one}
            for name, sign in zip(ends(element), (one, -one)):
                if name == GROUND:
                    continue
                node = self.node[name]
                residual -= sign * x[node]
                row[node] = -sign
                sum_of_amps, terms = kcl[node]
                terms[i] = sign
                kcl[node] = (sum_of_amps + sign * x[i], terms)
            laws.append((residual, row))
            laws.extend(self._law(branch, element, x, excitation, real, expm1))
        return kcl + laws

    def _law(self, branch, element, x, excitation, real, expm1):
        v, i = self.volts_of[branch], self.amps_of[branch]
        one = real("1")

        def figure(key):
            return real(repr(element[key]))

        def through(ohms):
            return (x[v] - ohms * x[i], {v: one, i: -ohms})

        match element["kind"]:
            case "resistor":
                return [through(figure("ohms"))]
            case "switch":
                return [through(figure("on_ohms" if element["closed"] else "off_ohms"))]
            case "source":
                residual, row = through(figure("ohms"))
                return [(residual - excitation * figure("volts"), row)]
            case "current":
                return [(x[i] - excitation * figure("amps"), {i: one})]
            case "open-collector":
                siemens = one / figure("off_ohms")
                amps = x[v] * siemens
                over = x[v] - figure("offset_volts")
                if element["on"] and over > 0:
                    amps += over / figure("ohms")
                    siemens += one / figure("ohms")
                return [(x[i] - amps, {i: one, v: -siemens})]
            case "diode":
                j = self.junction_of[branch]
                residual, row = through(figure("rs_ohms"))
                kt_over_q = real(BOLTZMANN) * figure("kelvin") / real(ELEMENTARY_CHARGE)
                slope_volts = figure("n") * kt_over_q
                growth = expm1(x[j] / slope_volts)
                siemens = figure("is_amps") * (growth + one) / slope_volts
                return [
                    (residual - x[j], row | {j: -one}),
                    (x[i] - figure("is_amps") * growth, {i: one, j: -siemens}),
                ]
        raise ValueError(f"unknown kind `{element['kind']}`")


def solve(network):
    """The volts of every node besides ground and the amperes of every element, as mpmath numbers."""
    tableau = Tableau(network)
    x = polish(tableau, raise_sources(tableau))
    volts = {name: x[index] for name, index in tableau.node.items()}
    amps = [x[index] for index in tableau.amps_of]
    return volts, amps


def raise_sources(tableau):
    """A double-precision answer: sources go from 0 to full, each step guessed along a straight line."""
    here, there = 0.0, 0.0
    x = before = numpy.zeros(tableau.size)
    step = 0.02
    while there < 1.0:
        reach = min(1.0, there + step)
        slope = (x - before) / (there - here) if there > here else 0.0 * x
        found, rounds = newton(tableau, x + (reach - there) * slope, reach)
        if found is None:
            step /= 2.0
            if step < 1e-9:
                raise ArithmeticError(f"no answer beyond {there} of full excitation")
            continue
        here, before, there, x = there, x, reach, found
        if rounds < 10:
            step = min(0.1, 1.5 * step)
    return x


def newton(tableau, x, excitation):
    """Newton's method in double precision: (answer or None, rounds)."""
    volts_end = tableau.amps_of[0]
    for rounds in range(1, 60):
        try:
            step = linear_step(tableau, x, excitation)
        except (OverflowError, RuntimeError):
            return None, rounds
        if not numpy.all(numpy.isfinite(step)):
            return None, rounds
        x = x + step
        moved = max(numpy.abs(step[:volts_end]).max(), numpy.abs(step[tableau.amps_of[-1] + 1 :]).max(initial=0.0))
        if moved < 1e-6:
            return x, rounds
    return None, rounds


def linear_step(tableau, x, excitation):
    equations = tableau.equations(x.tolist(), excitation, float, math.expm1)
    rows, columns, values, residuals = [], [], [], []
    for number, (residual, row) in enumerate(equations):
        # A row in ohms may hold 1e9 beside 1: scaled so that pivots can be compared.
        scale = max(abs(value) for value in row.values())
        residuals.append(-residual / scale)
        for column, value in row.items():
            rows.append(number)
            columns.append(column)
            values.append(value / scale)
    matrix = csc_array((values, (rows, columns)), shape=(tableau.size, tableau.size))
    return splu(matrix).solve(numpy.array(residuals))


def polish(tableau, start):
    """Newton's method at fifty digits, until neither a residual nor the last step exceeds the bound."""
    x = [mpf(float(value)) for value in start]
    for _ in range(20):
        equations = tableau.equations(x, mpf(1), mpf, mp.expm1)
        step = eliminate([(dict(row), -residual) for residual, row in equations])
        x = [value + change for value, change in zip(x, step)]
        if max(abs(change) for change in step) < RESIDUAL_BOUND:
            break
    worst = max(abs(residual) for residual, _ in tableau.equations(x, mpf(1), mpf, mp.expm1))
    if worst >= RESIDUAL_BOUND or max(abs(change) for change in step) >= RESIDUAL_BOUND:
        raise ArithmeticError(f"residual {mp.nstr(worst, 3)} after polishing")
    return x


def eliminate(rows):
    """Gauss's elimination of sparse rows ({unknown: coefficient}, right side), sparsest pivot first."""
    waiting = list(rows)
    done = []
    while waiting:
        uses = {}
        for row, _ in waiting:
            for column in row:
                uses[column] = uses.get(column, 0) + 1
        shortest = min(range(len(waiting)), key=lambda index: len(waiting[index][0]))
        pivot_row, pivot_right = waiting.pop(shortest)
        # Fifty digits can afford a pivot far below the largest of its row; a rounding error cannot be one.
        enough = max(abs(value) for value in pivot_row.values()) * mpf("1e-12")
        pivot = min((c for c, value in pivot_row.items() if abs(value) >= enough), key=lambda c: uses[c])
        pivot_value = pivot_row[pivot]
        for index, (row, right) in enumerate(waiting):
            if pivot not in row:
                continue
            factor = row.pop(pivot) / pivot_value
            for column, value in pivot_row.items():
                if column != pivot:
                    row[column] = row.get(column, mpf(0)) - factor * value
            waiting[index] = (row, right - factor * pivot_right)
        done.append((pivot, pivot_row, pivot_right))
    x = [mpf(0)] * len(done)
    for pivot, row, right in reversed(done):
        known = sum(value * x[column] for column, value in row.items() if column != pivot)
        x[pivot] = (right - known) / row[pivot]
    return x
