"""A small reader of logs that knows nothing but the [[loggers]] block, for the self-check."""

import csv
import re
from datetime import datetime
from fnmatch import fnmatchcase

import spelling

NM = {"nm": 1.0, "newtonmetre": 1.0, "lbfft": 1.3558179483314004, "ftlb": 1.3558179483314004,
      "ftlbf": 1.3558179483314004, "lbft": 1.3558179483314004}
OTHER = {"kn": 1.0, "s": 1e6, "sec": 1e6, "sek": 1e6, "ms": 1e3, "deg": 1.0, "°": 1.0, "grad": 1.0, "v": 1.0,
         "a": 1.0, "mv": 1e-3, "ma": 1e-3}
CHANNELS = ("torque", "tension", "angle", "voltage", "current")


def key(name: str) -> str:
    return spelling.LOGGER.get(name) or name


def logger_of(bench: dict, row: dict) -> dict:
    """The block for a run's log: named by the run, else the one whose glob matches."""
    blocks = bench["loggers"]
    if row.get("logger"):
        return next(b for b in blocks if b["id"] == row["logger"])
    found = [b for b in blocks if key("files") in b and fnmatchcase(row["log"], b[key("files")])]
    if len(found) != 1:
        raise ValueError(f"{row['log']}: {len(found)} logger blocks match")
    return found[0]


def read_log(data: bytes, block: dict, nm_per_kn: float) -> dict:
    """Columns of a log: `time_us` from its first sample, torque in N·m, deg, V, A."""
    lines = re.split(r"\r\n|\r|\n", decode(data, block))
    rows = list(csv.reader(lines, delimiter=block[key("delimiter")], quoting=csv.QUOTE_MINIMAL))
    lines_above = header_place(lines, block)
    rows = rows[lines_above:]
    named = {c: block[c] for c in CHANNELS if c in block}
    header = rows.pop(0) if has_header(rows[0], block, named) else []
    units = rows.pop(0) if block.get(key("units_row")) else []
    rows = data_rows(rows, block)
    result = {"time_us": times(rows, block, header, units)}
    for quantity, words in named.items():
        place = column_place(words, header)
        unit = unit_of(words, header, units, place)
        factor = words.get("factor", 1.0) * (-1 if words.get("inverted") else 1)
        factor *= nm_per_kn if unit == "kn" else NM.get(unit) or OTHER[unit]
        name = "torque" if quantity == "tension" else quantity
        result[name] = [number(row[place], block) * factor for row in rows]
    return result


def decode(data: bytes, block: dict) -> str:
    said = block.get(key("encoding"))
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16")
    return data.decode({"latin-1": "latin-1", "windows-1252": "cp1252"}.get(said, "utf-8-sig"))


def header_place(lines: list, block: dict) -> int:
    if key("skip_lines") in block:
        return block[key("skip_lines")]
    start = block.get(key("header_starts_with"))
    if start is None:
        return 0
    return next(i for i, line in enumerate(lines) if line.startswith(start))


def has_header(row: list, block: dict, named: dict) -> bool:
    """With columns by number, a first row of numbers is data."""
    columns = [words[spelling.CHANNEL["column"]] for words in named.values()]
    if any(isinstance(column, str) for column in columns):
        return True
    try:
        number(row[columns[0] - spelling.FIRST_COLUMN_NUMBER], block)
        return False
    except ValueError:
        return True


def data_rows(rows: list, block: dict) -> list:
    kept = []
    for row in rows:
        if row and row[0] == block.get(key("end_before")):
            break
        if any(row):
            kept.append(row)
    return kept


def column_place(words: dict, header: list) -> int:
    column = words[spelling.CHANNEL["column"]]
    if isinstance(column, str):
        if header.count(column) != 1:
            raise ValueError(f"column {column!r} stands {header.count(column)} times in {header}")
        return header.index(column)
    return column - spelling.FIRST_COLUMN_NUMBER


def unit_of(words: dict, header: list, units: list, place: int) -> str:
    """The unit from the block, the units row or the header cell, in that order."""
    said = words.get(spelling.CHANNEL["unit"]) or (units[place] if units else "")
    if not said:
        cell = header[place]
        said = re.split(r"[\[(,]|_(?=[^_]*$)| (?=[^ ]*$)", cell.strip("])"))[-1]
    return re.sub(r"[·.\s*-]", "", said).lower()


def number(text: str, block: dict) -> float:
    thousands = block.get(key("thousands"))
    if thousands:
        text = text.replace(thousands, "")
    if block[key("decimal")] == ",":
        if "." in text:
            raise ValueError(f"a point in {text!r}")
        text = text.replace(",", ".")
    return float(text)


def times(rows: list, block: dict, header: list, units: list) -> list:
    if key("rate_hz") in block:
        step = 1e6 / block[key("rate_hz")]
        return [round(k * step) for k in range(len(rows))]
    words = block[key("time")]
    place = column_place(words, header)
    if spelling.CHANNEL["format"] in words:
        pattern = words[spelling.CHANNEL["format"]].replace("%.f", ".%f")
        first = None
        result = []
        for row in rows:
            when = datetime.strptime(row[place], pattern)
            first = first or when
            result.append(round((when - first).total_seconds() * 1e6))
        return result
    factor = OTHER[unit_of(words, header, units, place)]
    values = [round(number(row[place], block) * factor) for row in rows]
    return [value - values[0] for value in values]


def split_parts(columns: dict, block: dict) -> list:
    """Index ranges of the runs in a log, cut in the middle of each long rest."""
    words = block.get(key("split"))
    count = len(columns["time_us"])
    if not words:
        return [(0, count)]
    limit, rest_us = words[spelling.SPLIT["torque"]], words[spelling.SPLIT["rest"]] * 1e6
    cuts, first = [0], None
    for i, value in enumerate(columns["torque"]):
        if value < limit:
            first = i if first is None else first
        else:
            if first and columns["time_us"][i] - columns["time_us"][first] >= rest_us:
                cuts.append((first + i) // 2)
            first = None
    return list(zip(cuts, cuts[1:] + [count]))
