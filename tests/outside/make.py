"""Writes the fixtures beside this file, the same bytes every time.

    python3 -m pip install -r requirements.txt
    python3 make.py
    python3 make.py --check    # writes nothing; fails where a fixture is not what it would write

Every run, curve and figure in them is invented; what is expected of each follows the definitions word by word,
with numpy, scipy and mpmath, and shares no code with the program. One case stands on each line.
"""

import json
import math
import sys
from pathlib import Path

import numpy
import scipy

import compare
import days
import effects
import estimates
import known
import nuts
import ranks
import reductions
import setups
import shares
import special
import spread
import thinning
import tried
import typical
import uncertainty

HERE = Path(__file__).parent
CHECKS = "--check" in sys.argv[1:]

# Another processor's matrix routines may add up in another order: a number may differ by so much of itself or of 1.
ROUNDING = 1e-9


def is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def differs(made, kept, rounding, where=""):
    """Where two values first differ by more than rounding; None if nowhere."""
    if is_number(made) and is_number(kept):
        near = math.isclose(made, kept, rel_tol=rounding, abs_tol=rounding)
        return None if near else f"{where}: {made} here, {kept} in the file"
    if type(made) is not type(kept):
        return f"{where}: {type(made).__name__} here, {type(kept).__name__} in the file"
    if isinstance(made, (dict, list)):
        if len(made) != len(kept) or isinstance(made, dict) and made.keys() != kept.keys():
            return f"{where}: other members"
        steps = made.keys() if isinstance(made, dict) else range(len(made))
        return next(filter(None, (differs(made[s], kept[s], rounding, f"{where}/{s}") for s in steps)), None)
    return None if made == kept else f"{where}: {made!r} here, {kept!r} in the file"


def write(name, fixture, rounding=ROUNDING):
    """One JSON file: the head in its own lines, then one case a line."""
    head = {"invented": True, "made_by": "make.py"} | {k: v for k, v in fixture.items() if k != "cases"}
    lines = [f"{json.dumps(k)}: {json.dumps(v, ensure_ascii=False, allow_nan=False)}" for k, v in head.items()]
    cases = [json.dumps(c, ensure_ascii=False, allow_nan=False, separators=(",", ":")) for c in fixture["cases"]]
    text = "{\n" + ",\n".join(lines) + ',\n"cases": [\n' + ",\n".join(cases) + "\n]\n}\n"
    path = HERE / name
    if CHECKS:
        difference = differs(json.loads(text), json.loads(path.read_text(encoding="utf-8")), rounding)
        if difference:
            sys.exit(f"{name} is not what make.py writes: {difference}")
    else:
        path.write_text(text, encoding="utf-8")
    print(f"{name}: {len(cases)} cases, {len(text.encode())} bytes")


def main():
    print(f"Python {sys.version.split()[0]}, numpy {numpy.__version__}, scipy {scipy.__version__}")
    known.check()
    write("reductions.json", reductions.fixture())
    write("thinning.json", thinning.fixture())
    write("typical.json", typical.fixture())
    write("ranks.json", ranks.fixture())
    # With as many digits as are asked for, so that nothing is left to the processor.
    write("special.json", special.fixture(), rounding=0.0)
    write("effects.json", effects.fixture())
    write("shares.json", shares.fixture())
    write("spread.json", spread.fixture())
    write("days.json", days.fixture())
    write("nuts.json", nuts.fixture())
    fields = uncertainty.fixture()
    write("uncertainty.json", fields)
    write("compare.json", compare.fixture(fields))
    write("setups.json", setups.fixture(fields["cases"]))
    write("tried.json", tried.fixture(fields["cases"]))
    write("estimates.json", estimates.fixture(fields["cases"]))


if __name__ == "__main__":
    main()
