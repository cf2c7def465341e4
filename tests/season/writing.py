"""Writes a log's bytes in its logger's shape."""

from datetime import datetime, timedelta

import vocabulary as words
from papers import header_cells
from plan import stream
from things import Channel, Log, Season, Series, Shape

NM_PER_LBF_FT = 1.3558179483314004
NM_PER = {"N·m": 1.0, "lbf·ft": NM_PER_LBF_FT}
PER_UNIT = {"deg": 1.0, "V": 1.0, "A": 1.0, "mV": 1000.0, "mA": 1000.0}


def log_bytes(season: Season, log: Log, series: Series) -> bytes:
    """The file as the logger would have written it."""
    shape = season.shapes[log.shape]
    lines = preamble(season, log, shape)
    if shape.has_header:
        lines.append(shape.delimiter.join(quote(shape, cell) for cell in header_cells(shape)))
    if shape.units_row:
        lines.append(shape.delimiter.join(units_cells(shape)))
    columns = [column_texts(season, log, shape, series, name) for name in shape.columns]
    lines += [shape.delimiter.join(cells) for cells in zip(*columns)]
    lines += footer(season, log, shape, series)
    text = shape.newline.join(lines) + (shape.newline if shape.last_newline else "")
    return encode(text, shape)


def encode(text: str, shape: Shape) -> bytes:
    return (("\ufeff" if shape.mark else "") + text).encode(shape.encoding)


def quote(shape: Shape, cell: str) -> str:
    return f'"{cell}"' if shape.quoted_header else cell


def units_cells(shape: Shape) -> list:
    """The row below the header; empty for columns without a unit."""
    units = {c.quantity: c.unit_text for c in shape.channels}
    units["time"] = shape.time_unit_text if shape.time_kind == "column" else ""
    return [units.get(column, "") for column in shape.columns]


def preamble(season: Season, log: Log, shape: Shape) -> list:
    """The lines above the header, and in some logs a remark where the block does not count lines."""
    if not shape.preamble_lines:
        return []
    rng = stream(season.seed, "preamble", shape.id)
    rows = list(words.PREAMBLE[shape.language])
    head = rows[:1] + rng.sample(rows[1:], shape.preamble_lines - 1)
    run = log.runs[0]
    if shape.remark_line and run.bolt_use % 3 == 0:
        head.append(words.REMARK[shape.language])
    day = season.days[run.day]
    values = {
        "date": day.date.isoformat(), "german_date": day.date.strftime("%d.%m.%Y"),
        "french_date": day.date.strftime("%d/%m/%Y"), "clock": clock(run.second), "operator": day.operator,
        "ambient": day.ambient_c, "rate": shape.rate_hz, "firmware": season.seed % 10,
        "channels": ", ".join(c.name for c in shape.channels),
    }
    return [shape.preamble_mark + shape.preamble_joint.join(cell.format(**values) for cell in row) for row in head]


def clock(second: int) -> str:
    return f"{second // 3600:02}:{second // 60 % 60:02}:{second % 60:02}"


def number_texts(values: list, decimals: int, shape: Shape) -> list:
    """Numbers with the shape's decimal and thousands marks."""
    if shape.thousands:
        marks = str.maketrans({",": shape.thousands, ".": shape.decimal})
        return [f"{value:,.{decimals}f}".translate(marks) for value in values]
    texts = [f"{value:.{decimals}f}" for value in values]
    return texts if shape.decimal == "." else [text.replace(".", ",") for text in texts]


def column_texts(season: Season, log: Log, shape: Shape, series: Series, name: str) -> list:
    """One column of the file as texts."""
    count = len(series.time_us)
    if name == "time":
        return time_texts(season, log, shape, series)
    if name == "index":
        return [str(k + 1) for k in range(count)]
    if name == "status":
        return ["OK"] * count
    if name == "room":
        base = season.days[log.runs[0].day].ambient_c
        return number_texts([base + 0.1 * (k // 900 % 4) for k in range(count)], 1, shape)
    item = next(c for c in shape.channels if c.quantity == name)
    return number_texts(file_values(season, log, series, item), item.decimals, shape)


def file_values(season: Season, log: Log, series: Series, item: Channel) -> list:
    """Values of a channel in the file's unit, with factor and sign taken back."""
    sign = -1.0 if item.inverted else 1.0
    if item.quantity in ("torque", "tension"):
        per = nm_per_kn(season, log) if item.unit == "kN" else NM_PER[item.unit]
        return [sign * value / per / item.factor for value in series.torque]
    scale = sign * PER_UNIT[item.unit] / item.factor
    return [value * scale for value in getattr(series, item.quantity)]


def nm_per_kn(season: Season, log: Log) -> float:
    """Of the calibration really in force on the day of the log's runs."""
    day = season.days[log.runs[0].day].date
    return [c for c in season.calibrations if c.date <= day][-1].nm_per_kn


def time_start_us(season: Season, log: Log, shape: Shape, series: Series) -> int:
    """Time of the first sample in the file, whole milliseconds."""
    rng = stream(season.seed, "start", log.runs[0].key)
    if shape.time_start == "trigger":
        return -200_000
    return rng.randint(20_000, 900_000) * 1000 if shape.time_start == "uptime" else 0


def time_texts(season: Season, log: Log, shape: Shape, series: Series) -> list:
    """The time column: numbers, clock or date-time stamps."""
    if shape.time_kind != "column":
        return stamp_texts(season, log, shape, series)
    start = time_start_us(season, log, shape, series)
    per = 1_000_000 if shape.time_unit == "s" else 1000
    times = [start + t for t in series.time_us]
    decimals = log.time_decimals
    if decimals is None:
        decimals = decimals_for(times, per)
    return number_texts([t / per * log.time_scale for t in times], decimals, shape)


def decimals_for(times: list, per: int) -> int:
    """The fewest decimals that write every time exactly."""
    decimals = 0
    while decimals < 6 and any(t * 10**decimals % per for t in times):
        decimals += 1
    return decimals


def stamp_texts(season: Season, log: Log, shape: Shape, series: Series) -> list:
    run = log.runs[0]
    begin = datetime.combine(season.days[run.day].date, datetime.min.time()) + timedelta(seconds=run.second)
    digits = shape.time_decimals
    pattern, mark = shape.time_format, "."
    if pattern.endswith(",%f"):
        pattern, mark = pattern[:-3], ","
    pattern = pattern.replace("%.f", "")
    texts = []
    for time_us in series.time_us:
        when = begin + timedelta(microseconds=time_us)
        texts.append(f"{when.strftime(pattern)}{mark}{when.microsecond:06}"[: -(6 - digits) or None])
    return texts


def footer(season: Season, log: Log, shape: Shape, series: Series) -> list:
    """A summary such as `Max;812,4`."""
    if not shape.footer:
        return []
    item = shape.channels[0]
    values = file_values(season, log, series, item)
    figures = [max(values), min(values), sum(values) / len(values)]
    texts = number_texts(figures, item.decimals, shape)
    lines = [shape.delimiter.join(pair) for pair in zip(words.FOOTER[shape.language], texts)]
    return ([""] if shape.blank_before_footer else []) + lines
