"""Logger shapes: each kind has one trait that it always shows; the seed chooses the rest."""

import random

import vocabulary as words
from plan import stream
from things import Channel, Log, Season, Shape

# One trait each. The numbers say how often a kind is dealt beyond once, in ten.
KINDS = {
    "comma": 1, "german": 1, "kilonewton": 2, "thousands": 1, "quoted": 1, "bare": 1, "rateonly": 1, "isostamp": 1,
    "clock": 1, "wide16": 1, "oldmac": 1, "poundfoot": 1, "millis": 1, "several": 0, "fast": 0, "angle": 1,
    "power": 3, "footer": 1, "reversed": 1, "counts": 1, "full": 3,
}
THOUSANDS = [(",", "."), (".", ","), (",", "\u00a0"), (".", "'")]


def make_shapes(season: Season) -> dict:
    """One shape of each kind, by the season's seed."""
    shapes = {}
    for number, kind in enumerate(KINDS):
        rng = stream(season.seed, "shape", kind)
        shape = base_shape(rng, kind, season.small)
        globals()[f"make_{kind}"](rng, shape)
        finish(rng, shape, number)
        shapes[shape.id] = shape
    return shapes


def base_shape(rng: random.Random, kind: str, small: bool) -> Shape:
    """A plain shape with seeded language, separators and rate, torque in N·m against seconds."""
    language = rng.choice(["en", "en", "de", "fr"])
    european = language != "en" and rng.random() < 0.7
    shape = Shape(
        id=kind,
        language=language,
        encoding="utf-8",
        mark=rng.random() < 0.15,
        newline=rng.choice(["\n", "\n", "\r\n"]),
        delimiter=rng.choice([";", "\t"]) if european else rng.choice([",", ",", ";", "\t"]),
        decimal="," if european else ".",
        thousands="",
        rate_hz=rng.choice([250, 400, 500] if small else [400, 500, 1000, 1000]),
        channels=[],
        columns=[],
        time_kind="column",
        time_unit="s",
        time_start=rng.choice(["zero", "zero", "trigger", "uptime"]),
        header_style=rng.choice(words.HEADER_STYLES),
        units_in_logger=rng.random() < 0.25,
        preamble_joint=rng.choice([": ", "\t", ";", "="]),
        by_number=rng.random() < 0.15,
        last_newline=rng.random() < 0.85,
        say_encoding=rng.random() < 0.3,
    )
    shape.channels = [channel(rng, shape, "torque", "N·m", rng.choice([1, 2, 2, 3]))]
    return shape


def channel(rng: random.Random, shape: Shape, quantity: str, unit: str, decimals: int) -> Channel:
    """A channel named in the shape's language."""
    return Channel(quantity, rng.choice(words.QUANTITY[quantity][shape.language]), unit, "", decimals)


def own_file_look(rng: random.Random, shape: Shape, preamble: int) -> None:
    """Gives the shape `preamble` lines before its header."""
    shape.preamble_lines = preamble
    shape.preamble_mark = rng.choice(["", "", "# "])
    shape.say_skip_lines = rng.random() < 0.5


# The kinds.


def make_comma(rng, shape):
    shape.delimiter, shape.decimal, shape.newline, shape.mark = ",", ".", "\n", False
    shape.naming = "pattern"


def make_german(rng, shape):
    shape.language, shape.delimiter, shape.decimal, shape.newline = "de", ";", ",", "\r\n"
    latin(shape)
    shape.units_row = True
    shape.channels = [channel(rng, shape, "torque", "N·m", 1)]
    own_file_look(rng, shape, rng.randint(4, 7))
    shape.preamble_mark, shape.preamble_joint = "", ";"
    shape.say_skip_lines, shape.remark_line, shape.by_number = False, True, False
    shape.naming = "umlaut"


def make_kilonewton(rng, shape):
    shape.delimiter = "\t"
    shape.channels = [channel(rng, shape, "tension", "kN", rng.choice([3, 4]))]
    shape.naming = "pattern"


def make_thousands(rng, shape):
    shape.decimal, shape.thousands = rng.choice(THOUSANDS)
    shape.language = "de" if shape.decimal == "," else "en"
    if shape.thousands == "\u00a0":
        shape.language = "fr"
    shape.delimiter = rng.choice([";", "\t"])
    shape.time_unit = "ms"
    shape.time_start = "zero"
    shape.channels = [channel(rng, shape, "torque", "N·m", 1)]


def make_quoted(rng, shape):
    shape.delimiter, shape.decimal = ",", "."
    shape.quoted_header, shape.header_style = True, words.QUOTED_STYLE
    own_file_look(rng, shape, rng.randint(2, 5))
    shape.preamble_mark, shape.say_skip_lines = "# ", True
    shape.columns = ["index"]


def make_bare(rng, shape):
    shape.has_header, shape.by_number, shape.units_in_logger = False, True, True
    shape.delimiter, shape.decimal = (rng.choice([",", "\t"]), ".") if shape.language == "en" else ("\t", ",")
    shape.naming, shape.extension = "counter", "dat"


def make_rateonly(rng, shape):
    shape.time_kind = "rate"
    shape.columns = ["room"] if rng.random() < 0.5 else []
    own_file_look(rng, shape, rng.randint(1, 5))


def make_isostamp(rng, shape):
    shape.language = "en"
    shape.time_kind, shape.time_format = "stamp", rng.choice(["%Y-%m-%dT%H:%M:%S%.f", "%Y-%m-%d %H:%M:%S%.f"])
    shape.delimiter, shape.decimal = rng.choice([",", ";"]), "."
    shape.time_decimals = rng.choice([3, 6])
    shape.rate_hz = min(500, shape.rate_hz) if shape.rate_hz != 400 else 500
    shape.mark = True


def make_clock(rng, shape):
    shape.time_kind = "clock"
    shape.delimiter = rng.choice([";", "\t"])
    shape.time_format = "%H:%M:%S,%f" if shape.decimal == "," else "%H:%M:%S%.f"
    shape.rate_hz = 500
    own_file_look(rng, shape, rng.randint(2, 5))


def make_wide16(rng, shape):
    shape.encoding, shape.mark = rng.choice(["utf-16-le", "utf-16-le", "utf-16-be"]), True
    shape.delimiter, shape.newline = "\t", "\r\n"
    shape.rate_hz = min(shape.rate_hz, 500)
    own_file_look(rng, shape, rng.randint(0, 4))


def make_oldmac(rng, shape):
    shape.newline, shape.mark = "\r", False
    shape.delimiter = "\t" if shape.decimal == "," else ","
    own_file_look(rng, shape, rng.randint(0, 3))


def make_poundfoot(rng, shape):
    shape.language, shape.decimal = "en", "."
    shape.delimiter = rng.choice([",", "\t"])
    shape.channels = [channel(rng, shape, "torque", "lbf·ft", 2)]


def make_millis(rng, shape):
    shape.time_unit = "ms"
    shape.time_start = rng.choice(["zero", "trigger"])


def make_several(rng, shape):
    shape.rate_hz, shape.time_start = 250, "zero"
    shape.split = (15, 10)
    shape.naming = "session"
    shape.channels[0].decimals = 1


def make_fast(rng, shape):
    shape.rate_hz = 10_000
    shape.time_unit = rng.choice(["s", "ms"])
    shape.time_start = "zero"
    shape.channels[0].decimals = 1


def make_angle(rng, shape):
    shape.channels.append(channel(rng, shape, "angle", "deg", rng.choice([1, 2])))
    shape.naming = "pattern"


def make_power(rng, shape):
    milli = rng.random() < 0.3
    shape.channels += [
        channel(rng, shape, "voltage", "mV" if milli else "V", 0 if milli else 3),
        channel(rng, shape, "current", "mA" if milli else "A", 0 if milli else 2),
    ]
    shape.columns = ["status"] if rng.random() < 0.5 else []


def make_footer(rng, shape):
    shape.footer, shape.newline = True, "\r\n"
    shape.delimiter = ";"
    if shape.language != "en":
        shape.decimal = ","
        latin(shape)
    shape.blank_before_footer = rng.random() < 0.5
    own_file_look(rng, shape, rng.randint(0, 4))


def make_reversed(rng, shape):
    shape.channels[0].inverted = True


def make_counts(rng, shape):
    shape.channels = [channel(rng, shape, "torque", "N·m", 0)]
    shape.channels[0].factor = rng.choice([0.1, 0.05, 0.02])
    shape.header_style, shape.units_in_logger, shape.units_row = "{name}", True, False
    shape.channels[0].name = {"en": "Counts CH1", "de": "Zähler K1", "fr": "Points V1"}[shape.language]


def make_full(rng, shape):
    shape.delimiter = rng.choice([";", "\t"])
    shape.channels = [
        channel(rng, shape, "tension", "kN", 3),
        channel(rng, shape, "angle", "deg", 1),
        channel(rng, shape, "voltage", "V", 3),
        channel(rng, shape, "current", "A", 2),
    ]
    rng.shuffle(shape.channels)
    shape.uneven = True
    shape.units_row = rng.random() < 0.6
    own_file_look(rng, shape, rng.randint(0, 3))


def latin(shape: Shape) -> None:
    """Latin-1, which the logger block has to say."""
    shape.encoding, shape.mark, shape.say_encoding = "latin-1", False, True


# What all kinds share in the end.


def finish(rng: random.Random, shape: Shape, number: int) -> None:
    """Unit spellings, column order, names of files."""
    set_time(rng, shape)
    if shape.preamble_joint == shape.delimiter and shape.delimiter != ";":
        shape.preamble_joint = ": "
    if shape.decimal == "," and shape.delimiter == ",":
        raise ValueError(f"{shape.id}: decimal and delimiter are both a comma")
    if shape.units_row:
        shape.header_style = "{name}"
    if not shape.has_header:
        shape.units_row = False
    loose = shape.units_in_logger
    for item in shape.channels:
        item.unit_text = unit_text(rng, shape, item.unit, loose)
    shape.time_unit_text = unit_text(rng, shape, shape.time_unit, loose)
    if shape.units_in_logger and not shape.units_row and not shape.quoted_header and rng.random() < 0.5:
        shape.header_style = "{name}"
    order = shape.columns + [c.quantity for c in shape.channels]
    if rng.random() < 0.3:
        rng.shuffle(order)
    shape.columns = order if shape.time_kind == "rate" else ["time"] + order
    if "index" in order:
        shape.columns = ["index"] + [c for c in shape.columns if c != "index"]
    if shape.preamble_lines and not shape.say_skip_lines and shape.preamble_mark == "":
        shape.remark_line = shape.remark_line or rng.random() < 0.5
    if rng.random() < 0.2 and "N·m" in [c.unit for c in shape.channels]:
        shape.clips_at_nm = 2000
    set_place(rng, shape, number)


def set_time(rng: random.Random, shape: Shape) -> None:
    """Name and start of the time column."""
    kind = {"column": words.TIME, "clock": words.CLOCK, "stamp": words.STAMP, "rate": words.TIME}[shape.time_kind]
    shape.time_name = rng.choice(kind[shape.language])
    if shape.uneven:
        shape.time_decimals = 4


def unit_text(rng: random.Random, shape: Shape, unit: str, loose: bool) -> str:
    """How the logger spells a unit; unusual spellings only where its block says the unit too."""
    if "_" in shape.header_style:
        return words.PLAIN[unit]
    spellings = words.SPELLINGS[unit]
    if loose and unit in words.UNUSUAL and rng.random() < 0.4:
        spellings = words.UNUSUAL[unit]
    return rng.choice(spellings)


def set_place(rng: random.Random, shape: Shape, number: int) -> None:
    """Folder, extension and whether the notebook names the logger."""
    if shape.naming == "counter":
        shape.naming = rng.choice(["counter", "stamp", "pattern", "words"])
    if shape.extension == "csv":
        shape.extension = rng.choice(["csv", "csv", "txt", "asc", "log"] if shape.delimiter != "\t" else ["txt", "tsv", "dat"])
    shape.by_notebook = number % 7 == 4
    shape.folder = "" if shape.by_notebook else rng.choice([shape.id, f"unit{number}", f"recorder-{number}"])


# Which log has which shape.


def deal_shapes(season: Season, groups: list) -> None:
    """Gives each group of runs (one log) a shape and a path."""
    rng = stream(season.seed, "deal")
    season.shapes = make_shapes(season)
    kind_of = deal_kinds(season, rng, groups)
    counters = {}
    for number, (group, kind) in enumerate(zip(groups, kind_of), start=1):
        shape = season.shapes[kind]
        season.logs.append(Log(log_path(shape, group, number, counters), kind, group))


def deal_kinds(season: Season, rng: random.Random, groups: list) -> list:
    """A kind for each group: by session where there are enough sessions, else log by log."""
    sessions = {}
    for index, group in enumerate(groups):
        name = f"control {index}" if group[0].control else group[0].session
        sessions.setdefault(name, []).append(index)
    plain = [s for s in sessions.values() if len(groups[s[0]]) == 1]
    others = [s for s in plain if not groups[s[0]][0].control]
    controls = [s for s in plain if groups[s[0]][0].control]
    if len(others) < len(KINDS) + 4:
        others = [[index] for s in others for index in s]
    kinds = {index: "several" for s in sessions.values() if len(groups[s[0]]) > 1 for index in s}
    single = [k for k in KINDS if k != "several"]
    deck = list(single)
    weighted = [k for k in single for _ in range(KINDS[k])]
    if not season.small:
        deck += [k for k in single if KINDS[k] > 1 for _ in range(KINDS[k])]
    spare = len(others) + len(controls) - len(deck)
    deck += [rng.choice(weighted) for _ in range(spare)]
    if season.small:
        rng.shuffle(deck)
    first = deck[: len(others)]
    rng.shuffle(first)
    rest = deck[len(others) :]
    rng.shuffle(rest)
    for indices, kind in zip(others + controls, first + rest):
        for index in indices:
            kinds[index] = kind
    return [kinds[index] for index in range(len(groups))]


def log_path(shape: Shape, group: list, number: int, counters: dict) -> str:
    """Path below `logs/`, unique."""
    run = group[0]
    pair = (run.day, run.tool, run.pack, run.specimen, shape.id)
    counters[pair] = counters.get(pair, 0) + 1
    clock = f"{run.second // 3600:02}{run.second // 60 % 60:02}{run.second % 60:02}"
    compact = run.day.replace("-", "")
    name = {
        "pattern": f"{run.day}_{run.tool}_{run.pack}_{run.specimen}_{counters[pair]:02}",
        "counter": f"LOG{number:05}",
        "stamp": f"{compact}-{clock}",
        "words": f"run {number} {run.tool.split('-')[0]}",
        "umlaut": f"Prüfung_{number:03}",
        "session": f"session-{compact}-{clock}",
    }[shape.naming]
    folder = f"{shape.folder}/" if shape.folder else ""
    prefix = "" if shape.folder else f"{shape.id[:2]}-"
    return f"{folder}{prefix}{name}.{shape.extension}"


def files_glob(shape: Shape) -> str:
    """The glob that finds the shape's logs and no others."""
    return f"{shape.folder}/*.{shape.extension}"
