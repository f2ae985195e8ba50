"""Holds the workspace's solver against networks.json.

    cargo build --release -p solderside-circuit --example solve
    python reference/circuit/compare.py [PROGRAM]

PROGRAM is the built example; without it, the one under `target/release` or `CARGO_TARGET_DIR`. Needs
nothing beyond Python itself. Prints the worst difference of each class and every network outside its
bound; leaves with 1 if there is one.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent

# What the solver promises, in volts.
BOUND_VOLTS = {"linear": 1e-6, "open-collector": 1e-6, "diode": 10e-6}


def main():
    record = json.loads((HERE / "networks.json").read_text())
    program = Path(sys.argv[1]) if sys.argv[1:] else built_example()
    worst = {group: Worst() for group in BOUND_VOLTS}
    failed = []
    for case in record["networks"]:
        answer, complaint = solve(program, case["network"])
        label = f"network {case['number']} ({case['about']}, seed {record['header']['seed']}/{case['number']})"
        if answer is None:
            failed.append(f"{label}: {complaint}")
            continue
        volts, where = max((abs(answer["volts"][node] - v), node) for node, v in case["volts"].items())
        worst[case["class"]].note(case, volts, answer["amps"])
        # Written so that a NaN is outside the bound too.
        if not volts <= BOUND_VOLTS[case["class"]]:
            failed.append(f"{label}: {volts:.3g} V off at node {where}")
    for group, figures in worst.items():
        print(f"{group:15}{figures}   (bound {BOUND_VOLTS[group]:g} V)")
    print(f"{len(failed)} of {len(record['networks'])} networks failed", *failed, sep="\n  ")
    sys.exit(1 if failed else 0)


class Worst:
    """The largest differences seen in one class, and the networks where they stood."""

    def __init__(self):
        self.volts = self.amps = self.share = 0.0
        self.at = {"volts": "-", "amps": "-", "share": "-"}

    def note(self, case, volts, amps):
        self._keep("volts", volts, case)
        for found, expected in zip(amps, case["amps"], strict=True):
            self._keep("amps", abs(found - expected), case)
            # Under a nanoampere a share would say more about the open switches than about the answer.
            self._keep("share", abs(found - expected) / max(abs(expected), 1e-9), case)

    def _keep(self, name, value, case):
        if not value <= getattr(self, name):
            setattr(self, name, value)
            self.at[name] = case["number"]

    def __str__(self):
        return (
            f"worst {self.volts:.2e} V (network {self.at['volts']}), {self.amps:.2e} A ({self.at['amps']}), "
            f"{self.share:.2e} of the current ({self.at['share']})"
        )


def solve(program, network):
    """The program's answer, or None and what it complained of."""
    try:
        run = subprocess.run([program], input=json.dumps(network), capture_output=True, text=True, timeout=20)
    except subprocess.TimeoutExpired:
        return None, "no answer in 20 s"
    if run.returncode:
        return None, (run.stderr.strip() or f"exit code {run.returncode}").splitlines()[0]
    return json.loads(run.stdout), ""


def built_example():
    target = Path(os.environ.get("CARGO_TARGET_DIR") or HERE.parent.parent / "target")
    program = target / "release" / "examples" / "solve"
    if not program.exists():
        sys.exit("no built example: run `cargo build --release -p solderside-circuit --example solve` first")
    return program


if __name__ == "__main__":
    main()
