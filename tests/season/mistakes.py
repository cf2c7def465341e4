"""Mistakes as people make them, one at a time in an otherwise sound season.

A mistake is a function of the season and a random stream that changes the
season and returns what it did and where. Its registration says the right
cause, in words, and regular expressions: any of `words` in what a program
says anew counts as naming the right cause; any of `near` only as having seen
that something is strange. `about` holds texts of which one ought to stand in
the same finding (log, tool, pack, day, key).
"""

import random

from plan import TooSmall, stream
from things import Season

REGISTRY = {}


def mistake(cause: str, words: list, near: list = ()):
    """Registers a mistake under its function's name."""

    def register(function):
        REGISTRY[function.__name__] = (function, cause, list(words), list(near))
        return function

    return register


def names() -> list:
    return list(REGISTRY)


def make(season: Season, name: str) -> dict:
    """Plants the mistake; returns its entry for faults.json."""
    if name not in REGISTRY:
        raise KeyError(f"no fault is named {name}; --list-faults prints them")
    function, cause, words, near = REGISTRY[name]
    what, about = function(season, stream(season.seed, "fault", name))
    return {"name": name, "what": what, "cause": cause, "words": words, "near": near, "about": [str(a) for a in about]}


# Choosing what to spoil.


def good_rows(season: Season, kinds=None, control=False, pattern=None, several=False) -> list:
    """Rows of counted runs that have at least two fellows in their session."""
    rows = []
    for row in season.tables["runs"]:
        run, log = row["_run"], row["_log"]
        shape = season.shapes[log.shape]
        if run.excluded or run.control != control or (len(log.runs) > 1) != several:
            continue
        if kinds is not None and log.shape not in kinds:
            continue
        if pattern is not None and (shape.naming == "pattern") != pattern:
            continue
        if control or len(fellows(season, run)) >= 2:
            rows.append(row)
    return rows


def fellows(season: Season, run) -> list:
    """Other counted runs of the same session."""
    return [r for r in season.runs if r.session == run.session and r is not run and not r.excluded]


def pick(rng: random.Random, candidates: list, what: str):
    if not candidates:
        raise TooSmall(f"this season has no {what}; take another seed or a full season")
    return rng.choice(candidates)


def pick_row(season: Season, rng: random.Random, **choice) -> dict:
    return pick(rng, good_rows(season, **choice), "run that this mistake could be made with")


def pick_day(season: Season, rng: random.Random) -> str:
    """A day that is neither the first nor the last."""
    return rng.choice(list(season.days)[1:-1])


def row_name(row: dict) -> str:
    part = f" part {row['part']}" if row["part"] else ""
    return f"runs.csv, row of {row['log']}{part}"


def level_of(season: Season, tool: str, pack: str) -> float:
    """Rough torque level of a pair, to choose pairs that differ."""
    t, p = season.tools[tool], season.packs[pack]
    current = (p.open_v - 0.62 * p.nominal_v) / (p.resistance_ohm + t.winding_ohm)
    return t.level_nm * (p.open_v - p.resistance_ohm * current) / p.nominal_v


def logger(season: Season, kind: str) -> dict:
    block = next((b for b in season.bench["loggers"] if b["id"] == kind), None)
    if block is None:
        raise TooSmall(f"this season has no logger {kind}")
    return block


import mistakes_logs  # noqa: E402, F401  (registers)
import mistakes_loggers  # noqa: E402, F401
import mistakes_notebook  # noqa: E402, F401
import mistakes_bench  # noqa: E402, F401
