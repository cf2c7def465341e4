"""How well `check` finds mistakes in simulated seasons, and how often it doubts a sound one.

    python3 measure.py --program PATH --sound 200 [--from 1]    doubts about so many sound seasons
    python3 measure.py --program PATH --faults 3 [--from 1]     every mistake in so many seasons

A mistake is named with the right cause if what `check` finds, and does not find in the sound season
of the same seed, matches one of its `words` in a finding that also holds one of its `about` texts;
it is seen if it only matches one of `near`. Facts do not count as doubts.
"""

import argparse
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import mistakes
import season

FACTS = (": one-day-only: ", ": one-unit-only: ", ": unnamed-logs: ")


def findings(program: str, folder: Path) -> tuple:
    """Problems and doubts as texts, and the names of the doubts that are no facts."""
    ran = subprocess.run([program, "check", "--json", str(folder)], capture_output=True, text=True, check=False)
    if ran.returncode not in (0, 1) or not ran.stdout:
        raise SystemExit(f"{folder}: exit {ran.returncode}: {ran.stderr}")
    told = json.loads(ran.stdout)
    texts = []
    for problem in told["problems"]:
        # A problem names file and line: what stands there is part of what it says.
        texts.append(f"{problem['file']}: {problem['pointer']}: {problem['message']} | {line_of(problem)}")
    names = []
    for doubt in told["doubts"]:
        texts.append(
            f"{doubt['file']}: {doubt['name']}: {doubt['about']}: {doubt['figure']}; {doubt['usual']}; {doubt['meaning']}"
        )
        if not doubt["fact"]:
            names.append(f"{doubt['name']}:{doubt['about']}")
    return [text.replace(f"{folder}/", "") for text in texts], names


def line_of(problem: dict) -> str:
    """The line of the folder's table that a problem names, without its byte-order mark."""
    path = Path(problem["file"])
    if path.suffix != ".csv" or path.parent.name == "logs" or not problem["line"] or "/logs/" in str(path):
        return ""
    lines = path.read_text(encoding="utf-8-sig").splitlines()
    return lines[problem["line"] - 1] if problem["line"] <= len(lines) else ""


def matches(patterns: list, texts: list) -> bool:
    return any(re.search(pattern, text, re.IGNORECASE) for pattern in patterns for text in texts)


def judged(fault: dict, new: list) -> str:
    """`named`, `seen`, or `missed`."""
    of_it = [text.split(" | ")[0] for text in new if any(about in text for about in fault["about"])]
    if matches(fault["words"], of_it):
        return "named"
    if matches(fault["near"], of_it) or of_it:
        return "seen"
    return "missed"


def sound(program: str, first: int, count: int) -> list:
    """Doubts and problems of sound seasons."""
    told = []
    for seed in range(first, first + count):
        with tempfile.TemporaryDirectory() as around:
            folder = Path(around) / "season"
            season.write_season(season.build(seed, 150, False), folder, {})
            texts, _ = findings(program, folder)
            fresh = [f"seed {seed}: {text}" for text in texts if not any(fact in text for fact in FACTS)]
            told += fresh
            print(f"seed {seed}: {len(fresh)}", *fresh, sep="\n", file=sys.stderr, flush=True)
    return told


def with_faults(program: str, first: int, count: int, names: list) -> dict:
    """For each mistake, what became of it in each season."""
    table = {name: [] for name in names}
    for seed in range(first, first + count):
        with tempfile.TemporaryDirectory() as around:
            out = Path(around)
            whole = season.build(seed, 150, False)
            truth = season.write_season(whole, out / "sound", {})
            before, _ = findings(program, out / "sound")
            for name in names:
                spoilt = season.build(seed, 150, False)
                try:
                    fault = mistakes.make(spoilt, name)
                except mistakes.TooSmall:
                    continue
                season.write_beside(spoilt, whole, out, fault, truth)
                after, _ = findings(program, out / name)
                new = [text for text in after if text not in before]
                table[name].append((seed, judged(fault, new), fault, new))
                print(f"seed {seed}: {name}: {judged(fault, new)}", file=sys.stderr, flush=True)
    return table


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measures the doubts of `check` on simulated seasons.")
    parser.add_argument("--program", required=True, help="path of jobtorque")
    parser.add_argument("--from", dest="first", type=int, default=1, help="first seed")
    parser.add_argument("--sound", type=int, default=0, metavar="N")
    parser.add_argument("--faults", type=int, default=0, metavar="N")
    parser.add_argument("--only", nargs="*", help="these mistakes alone")
    parser.add_argument("--verbose", action="store_true", help="print what was found of each miss")
    return parser.parse_args()


def main() -> int:
    options = arguments()
    if options.sound:
        told = sound(options.program, options.first, options.sound)
        last = options.first + options.sound - 1
        print(f"{len(told)} doubts about {options.sound} sound seasons, seeds {options.first} to {last}: {len(told) / options.sound:.3f} a season")
    if options.faults:
        table = with_faults(options.program, options.first, options.faults, options.only or mistakes.names())
        counts = {"named": 0, "seen": 0, "missed": 0}
        for name, results in table.items():
            for _, result, _, _ in results:
                counts[result] += 1
            if all(result == "named" for _, result, _, _ in results):
                continue
            told = ", ".join(f"{seed} {result}" for seed, result, _, _ in results)
            print(f"{name}: {told}")
            for _, result, fault, new in results:
                if options.verbose and result != "named":
                    print(f"    {fault['what']}\n" + "".join(f"        {text}\n" for text in new[:4]), end="")
        all_of = sum(counts.values())
        if all_of:
            print(f"{counts['named']} of {all_of} mistakes named with the right cause ({30 * counts['named'] / all_of:.1f} of 30), {counts['seen']} only seen, {counts['missed']} missed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
