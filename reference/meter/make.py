"""Solves the covering problems that the example `coverings` prints, and writes `minima.txt` beside this file.

    cargo run --release -p solderside-meter --example coverings > /tmp/coverings.txt
    python reference/meter/make.py < /tmp/coverings.txt
"""

import pathlib
import sys

import numpy
from ortools.sat.python import cp_model
from scipy.optimize import Bounds, LinearConstraint, milp

import leads

RECORD = pathlib.Path(__file__).parent / "minima.txt"

FROM_JOINS = ("open-joint", "weak-joint", "mirrored", "rows-exchanged")


def by_constraints(rows, columns, taken):
    """The fewest columns by CP-SAT."""
    model = cp_model.CpModel()
    chosen = [model.new_bool_var(f"c{at}") for at in range(columns)]
    for row in rows:
        model.add_bool_or([chosen[at] for at in sorted(row)])
    for at in taken:
        model.add(chosen[at] == 1)
    model.minimize(sum(chosen))
    solver = cp_model.CpSolver()
    solver.parameters.linearization_level = 2
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def by_integer_programming(rows, columns, taken):
    """The fewest columns by HiGHS."""
    table = numpy.zeros((len(rows), columns))
    for at, row in enumerate(rows):
        table[at, sorted(row)] = 1
    least = numpy.zeros(columns)
    least[taken] = 1
    answer = milp(
        numpy.ones(columns),
        constraints=LinearConstraint(table, lb=1),
        integrality=numpy.ones(columns),
        bounds=Bounds(least, 1),
    )
    assert answer.success and answer.mip_gap == 0
    return round(answer.fun)


def main():
    lines = []
    for lead in leads.read(sys.stdin):
        rows = [row for _, row in lead.faults if row]
        if lead.is_of_wire:
            here = {tuple(fault) for fault, _ in lead.faults if fault[0] in FROM_JOINS}
            assert here == lead.expected(), (lead.number, here ^ lead.expected())
            for (fault, theirs), ours in zip(lead.faults, lead.shown()):
                assert theirs == ours, (lead.number, fault, sorted(theirs ^ ours)[:5])
        taken = lead.taken()
        distinct = sorted({tuple(sorted(row)) for row in rows})
        fewest = by_constraints(distinct, len(lead.columns), taken)
        assert fewest == by_integer_programming(distinct, len(lead.columns), taken), lead.number
        kind = "wire" if lead.is_of_wire else "parts"
        lines.append(f"{lead.number} {lead.digest} {kind} {len(rows)} {len(lead.columns)} {len(taken)} {fewest}\n")
        print(lines[-1], end="", flush=True)
    head = "# lead, digest of its problem, kind, faults that show, measurements, taken in any case, fewest\n"
    RECORD.write_text(head + "".join(lines))


if __name__ == "__main__":
    main()
