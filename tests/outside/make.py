"""Writes the fixtures beside this file, the same bytes every time.

    python3 -m pip install -r requirements.txt
    python3 make.py

Every run, curve and figure in them is invented; what is expected of each follows the definitions word by word,
with numpy, scipy and mpmath, and shares no code with the program. One case stands on each line.
"""

import json
import sys
from pathlib import Path

import numpy
import scipy

import compare
import estimates
import known
import ranks
import reductions
import special
import thinning
import typical
import uncertainty

HERE = Path(__file__).parent


def write(name, fixture):
    """One JSON file: the head in its own lines, then one case a line."""
    head = {"invented": True, "made_by": "make.py"} | {k: v for k, v in fixture.items() if k != "cases"}
    lines = [f"{json.dumps(k)}: {json.dumps(v, ensure_ascii=False, allow_nan=False)}" for k, v in head.items()]
    cases = [json.dumps(c, ensure_ascii=False, allow_nan=False, separators=(",", ":")) for c in fixture["cases"]]
    text = "{\n" + ",\n".join(lines) + ',\n"cases": [\n' + ",\n".join(cases) + "\n]\n}\n"
    path = HERE / name
    path.write_text(text, encoding="utf-8")
    print(f"{name}: {len(cases)} cases, {len(text.encode())} bytes")


def main():
    print(f"Python {sys.version.split()[0]}, numpy {numpy.__version__}, scipy {scipy.__version__}")
    known.check()
    write("reductions.json", reductions.fixture())
    write("thinning.json", thinning.fixture())
    write("typical.json", typical.fixture())
    write("ranks.json", ranks.fixture())
    write("special.json", special.fixture())
    fields = uncertainty.fixture()
    write("uncertainty.json", fields)
    write("compare.json", compare.fixture(fields))
    write("estimates.json", estimates.fixture(fields["cases"]))


if __name__ == "__main__":
    main()
