"""Mistakes in the [[loggers]] blocks of bench.toml."""

import spelling
from mistakes import logger, mistake, pick
from plan import TooSmall
from things import Season

KEY = spelling.LOGGER


def block_with(season: Season, rng, wanted) -> dict:
    """A block for which `wanted` holds and which has logs."""
    return pick(rng, [b for b in season.bench["loggers"] if wanted(b)], "logger that this mistake could be made with")


def logs_of(season: Season, block: dict) -> list:
    return [log.path for log in season.logs if log.shape == block["id"]]


def shape_of(season: Season, block: dict):
    return season.shapes[block["id"]]


@mistake("the sensor is mounted the other way round, and the logger block does not say so", [r"\bsign\b", r"negative", r"invert", r"revers", r"below zero"])
def inverted_forgotten(season, rng):
    block = logger(season, "reversed")
    block["torque"].pop(spelling.CHANNEL["inverted"])
    return "bench.toml, logger reversed: inverted left out", ["reversed", *logs_of(season, block)]


@mistake("a block for several runs in one log does not say how they are split", [r"several runs", r"\bpart\b", r"\bparts\b", r"split", r"more than one run"])
def split_forgotten(season, rng):
    block = logger(season, "several")
    block.pop(KEY["split"])
    return "bench.toml, logger several: split left out", ["several", *logs_of(season, block)]


@mistake("the summary at the foot of the logs is not declared", [r"\bfoot", r"summary", r"\bMax\b", r"end_before", r"not a number"])
def footer_undeclared(season, rng):
    block = logger(season, "footer")
    block.pop(KEY["end_before"])
    return "bench.toml, logger footer: end_before left out", ["footer", *logs_of(season, block)]


@mistake("the marks between thousands are not declared", [r"thousand", r"two ways", r"backwards", r"not a number"])
def thousands_undeclared(season, rng):
    block = logger(season, "thousands")
    block.pop(KEY["thousands"])
    return "bench.toml, logger thousands: thousands left out", ["thousands", *logs_of(season, block)]


@mistake("the decimal mark of a logger is said wrongly", [r"decimal", r"not a number", r"\bcomma\b"])
def decimal_mark_wrong(season, rng):
    block = block_with(season, rng, lambda b: b[KEY["decimal"]] == "," and KEY["thousands"] not in b)
    block[KEY["decimal"]] = "."
    return f"bench.toml, logger {block['id']}: decimal \".\" instead of \",\"", [block["id"], *logs_of(season, block)]


@mistake("nobody says the unit of a channel", [r"\bunit\b", r"\bunits\b"])
def unit_unsaid(season, rng):
    block = logger(season, "counts")
    block["torque"].pop(spelling.CHANNEL["unit"])
    return "bench.toml, logger counts: unit of torque left out", ["counts", *logs_of(season, block)]


@mistake("the sampling rate of a logger without a time column is said twice as high as it is", [r"rate_hz", r"\brate\b"], [r"short", r"\bHz\b"])
def rate_mistyped(season, rng):
    block = logger(season, "rateonly")
    block[KEY["rate_hz"]] *= 2
    return f"bench.toml, logger rateonly: rate_hz {block[KEY['rate_hz']]} instead of half of it", ["rateonly", *logs_of(season, block)]


@mistake("a column's name is misspelt in a logger block", [r"column", r"no such", r"not found", r"did you mean"])
def column_misspelt(season, rng):
    column = spelling.CHANNEL["column"]
    block = block_with(season, rng, lambda b: isinstance(b.get("torque", {}).get(column), str))
    name = block["torque"][column]
    block["torque"][column] = name[:1] + name[2:]
    return f"bench.toml, logger {block['id']}: column {name[:1] + name[2:]!r} instead of {name!r}", [block["id"], name]


@mistake("two logger blocks match the same logs", [r"(two|both|more than one|several) (loggers?|blocks?)", r"loggers? .* and ", r"also match", r"match"])
def globs_overlap(season, rng):
    block = block_with(season, rng, lambda b: KEY["files"] in b)
    other = block_with(season, rng, lambda b: KEY["files"] in b and b is not block)
    other[KEY["files"]] = block[KEY["files"]]
    return f"bench.toml: {block['id']} and {other['id']} both claim {block[KEY['files']]}", [block["id"], other["id"]]


@mistake("the glob of a logger block matches none of its logs", [r"no (logger|block)", r"logger", r"glob"])
def glob_mistyped(season, rng):
    block = block_with(season, rng, lambda b: KEY["files"] in b and shape_of(season, b).time_kind == "column")
    right = block[KEY["files"]]
    block[KEY["files"]] = right + "x"
    return f"bench.toml, logger {block['id']}: files {right + 'x'!r} instead of {right!r}", [block["id"], *logs_of(season, block)]


@mistake("the factor of a channel was left out", [r"factor", r"(?<![\d.])(10|20|50)(\.0+)?(?![\d.%])", r"0\.1\b|0\.05|0\.02"], [r"far from", r"fellow"])
def factor_forgotten(season, rng):
    block = logger(season, "counts")
    if spelling.CHANNEL["factor"] not in block["torque"]:
        raise TooSmall("this season has no logger with a factor")
    block["torque"].pop(spelling.CHANNEL["factor"])
    return "bench.toml, logger counts: factor of torque left out", ["counts", *logs_of(season, block)]
