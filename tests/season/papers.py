"""What the tester wrote: the CSV tables and bench.toml, as rows and nested dictionaries."""

import json
from datetime import timedelta

import spelling
from plan import control_pair, pairs_that_fit, stream
from physics import EXTENSION_SHARE, JOINT_ANGLE_DEG, JOINT_TORQUE_NM
from shapes import files_glob
from things import Season, Shape
from vocabulary import EXTRA, FOOTER

RUN_COLUMNS = [
    "log", "part", "tool", "pack", "specimen", "pack_specimen", "setup", "day", "clock", "control", "edition",
    "excluded", "excluded_edition", "bolt_use", "start_charge_percent", "pack_start_c", "logger", "remark",
]


def make_papers(season: Season) -> None:
    """Fills `season.tables`, `season.bench` and the style of the tables."""
    rng = stream(season.seed, "papers")
    season.tables = {
        "runs": run_rows(season, rng),
        "tools": tool_rows(season, rng),
        "packs": pack_rows(season),
        "specimens": specimen_rows(season),
        "days": day_rows(season),
        "prices": price_rows(season, rng),
        "field_checks": field_rows(season, rng),
    }
    season.bench = make_bench(season, rng)
    spreadsheet = rng.random() < 0.5
    season.table_style = {
        "delimiter": ";" if spreadsheet else ",",
        "decimal": "," if spreadsheet else ".",
        "mark": spreadsheet and rng.random() < 0.7,
        "newline": "\r\n" if spreadsheet else "\n",
        "empty_rows": rng.randint(1, 3) if spreadsheet else 0,
    }


def run_rows(season: Season, rng) -> list:
    """One row a run; `_run` and `_log` are for the mistakes and are not written."""
    columns = list(RUN_COLUMNS)
    if rng.random() < 0.4:
        tail = columns[1:]
        rng.shuffle(tail)
        columns = ["log"] + tail
    in_seconds = rng.random() < 0.2
    part_always = rng.random() < 0.5
    rows = []
    for log in season.logs:
        for part, run in enumerate(log.runs, start=1):
            shape = season.shapes[log.shape]
            values = {
                "log": log.path,
                "part": part if len(log.runs) > 1 or part_always else "",
                "tool": run.tool,
                "pack": run.pack,
                "specimen": run.specimen,
                "pack_specimen": run.pack_specimen,
                "setup": run.setup,
                "day": run.day,
                "clock": run.second if in_seconds else f"{run.second // 3600:02}:{run.second // 60 % 60:02}",
                "control": spelling.YES if run.control else spelling.NOT_SET,
                "edition": run.edition,
                "excluded": run.excluded,
                "excluded_edition": run.excluded_edition or "",
                "bolt_use": run.bolt_use,
                "start_charge_percent": 100,
                "pack_start_c": season.days[run.day].ambient_c,
                "logger": shape.id if shape.by_notebook else "",
                "remark": run.remark,
            }
            row = {name: values[name] for name in columns}
            row["_run"], row["_log"] = run, log
            rows.append(row)
    return rows


def tool_rows(season: Season, rng) -> list:
    rows = []
    for tool in season.tools.values():
        stated = round(tool.level_nm * rng.uniform(1.05, 1.5), -1)
        rows.append({
            "id": tool.id, "name": tool.name, "maker": tool.maker, "aka": "", "size": tool.size,
            "drive_shape": "square", "drive_mm": tool.drive_mm, "pack_mount": tool.mount, "mass_kg": tool.mass_kg,
            "length_mm": tool.length_mm, "centre_to_side_mm": tool.side_mm, "stated_tightening_nm": round(stated),
            "stated_loosening_nm": round(stated * 1.4, -1), "last_sold": "",
        })
    return rows


def pack_rows(season: Season) -> list:
    return [
        {
            "id": p.id, "name": p.name, "pack_mount": p.mount, "nominal_v": p.nominal_v, "capacity_ah": p.capacity_ah,
            spelling.CELLS["format"]: p.cell_format, spelling.CELLS["series"]: p.series,
            spelling.CELLS["parallel"]: p.parallel, "mass_kg": p.mass_kg,
        }
        for p in season.packs.values()
    ]


def specimen_rows(season: Season) -> list:
    return [
        {
            "tool": u.of if u.kind == "tool" else "", "pack": u.of if u.kind == "pack" else "", "specimen": u.name,
            "got": u.got, "got_from": u.got_from, "condition": u.condition, "made": u.made,
            "serial_ends": u.serial_ends,
        }
        for u in season.units
    ]


def day_rows(season: Season) -> list:
    return [
        {"id": d.id, "date": d.id, "rig": "bench-1", "ambient_c": d.ambient_c, "operator": d.operator, "note": d.note}
        for d in season.days.values()
    ]


def price_rows(season: Season, rng) -> list:
    """A price of each tool and pack before the first edition."""
    before = season.edition_dates[1] - timedelta(days=rng.randint(3, 20))
    rows = []
    for kind, things in (("tool", season.tools.values()), ("pack", season.packs.values())):
        for thing in things:
            amount = round(60 + 110 * thing.mass_kg + rng.uniform(-15, 40)) - 0.05
            rows.append({
                "tool": thing.id if kind == "tool" else "", "pack": thing.id if kind == "pack" else "",
                "amount": round(amount, 2), "currency": "EUR", "date": before.isoformat(),
                "tax_included": spelling.YES, "where": rng.choice(["shop in Ebenholm", "trade counter, Ostrel"]),
            })
    return rows


def field_rows(season: Season, rng) -> list:
    """Real nuts, tried after the first edition."""
    pairs = rng.sample(pairs_that_fit(season), 4)
    rows = []
    for tool, pack in pairs:
        share = rng.uniform(0.4, 1.1)
        rows.append({
            "date": (season.edition_dates[1] + timedelta(days=2)).isoformat(), "tool": tool, "pack": pack,
            "fastener": "M20 10.9", "state": rng.choice(["fresh", "two years outside"]),
            "installed_nm": round(season.tools[tool].level_nm * share, -1),
            "came_loose": spelling.YES if share < 0.8 else spelling.NO, "tried_s": round(rng.uniform(0.6, 4.5), 1),
        })
    return rows


# bench.toml


def make_bench(season: Season, rng) -> dict:
    """The content of bench.toml; lists of dictionaries become arrays of tables."""
    tool, pack = control_pair(season)
    return {
        "format": "jobtorque/1",
        "title": f"Invented season {season.seed} of a bolt rig",
        "summary": "Simulated runs of tools that do not exist.",
        "publisher": "Bench of Ebenholm (invented)",
        "contact": "bench@ebenholm.example",
        "license": "CC0-1.0",
        "disclosure": "Some tools were lent by readers or given by makers; nobody paid.",
        "invented": True,
        "match_margin_percent": 3,
        "editions": [
            {"edition": 1, "date": season.edition_dates[1].isoformat(), "note": "first tools"},
            {"edition": 2, "date": season.edition_dates[2].isoformat(), "note": "second specimens and re-tests"},
        ],
        "rigs": [{
            "id": "bench-1", "name": "Bolt rig 1", "torque_from": "bolt tension", "window_s": 5.0, "smooth_s": 0.04,
            "calibrations": [
                {
                    "date": c.date.isoformat(), "expanded_uncertainty_percent": c.uncertainty_percent,
                    "coverage_factor": 2, "nm_per_kn": c.nm_per_kn, "note": "against a reference transducer",
                }
                for c in season.calibrations
            ],
            "joints": [{
                "id": "stiff", "name": "M22 stack", "lubricant": "molybdenum grease", "angle_deg": JOINT_ANGLE_DEG,
                "torque_nm": JOINT_TORQUE_NM,
            }],
        }],
        "setups": [
            setup("standard", "full pack, forward, strongest setting", 0),
            setup("extension", "as standard, with a 150 mm extension", 150),
        ],
        "jobs": [
            {"id": "small-bracket", "label": "bracket bolt", "fastener": "M12 8.8", "direction": "tighten", "torque_nm": [85]},
            {"id": "hub", "label": "hub nut", "fastener": "M22x1.5", "direction": "loosen", "torque_nm": [420, 480]},
        ],
        "loggers": [logger_block(season.shapes[kind]) for kind in used_shapes(season)],
        "_comment": f"Check runs: {tool} with {pack}, first and last of each day. Extension: about "
        f"{round((1 - EXTENSION_SHARE) * 100)} % less.",
    }


def setup(name: str, words: str, extension_mm: int) -> dict:
    return {
        "id": name, "name": words, "rotation": "forward", "joint": "stiff", "extension_mm": extension_mm,
        "start_charge_percent": 100,
    }


def used_shapes(season: Season) -> list:
    used = {log.shape for log in season.logs}
    return [kind for kind in season.shapes if kind in used]


def logger_block(shape: Shape) -> dict:
    """The [[loggers]] block that says this shape, in the spelling of `spelling.py`."""
    said = {
        "id": shape.id,
        "files": None if shape.by_notebook else files_glob(shape),
        "encoding": spelling.ENCODINGS[shape.encoding] if shape.say_encoding else None,
        "delimiter": shape.delimiter,
        "decimal": shape.decimal,
        "thousands": shape.thousands or None,
        "no_header": None if shape.has_header else True,
        "units_row": True if shape.units_row else None,
        "time": time_words(shape),
        "rate_hz": shape.rate_hz if shape.time_kind == "rate" else None,
    }
    if shape.preamble_lines:
        if shape.say_skip_lines:
            said["skip_lines"] = shape.preamble_lines
        else:
            said["header_starts_with"] = header_cells(shape)[0]
    for item in shape.channels:
        said[item.quantity] = channel_words(shape, item)
    if shape.footer:
        said["end_before"] = FOOTER[shape.language][0]
    if shape.split:
        said["split"] = {spelling.SPLIT["torque"]: shape.split[0], spelling.SPLIT["rest"]: shape.split[1]}
    said["clips_at_nm"] = shape.clips_at_nm
    if shape.naming == "pattern":
        prefix = "" if shape.folder else f"{shape.id[:2]}-"
        said["name_pattern"] = prefix + "{day}_{tool}_{pack}_{specimen}_{n}." + shape.extension
    block = {}
    for key, value in said.items():
        name = spelling.LOGGER.get(key, key)
        if value is not None and name is not None:
            block[name] = value
    return block


def time_words(shape: Shape):
    if shape.time_kind == "rate":
        return None
    said = {spelling.CHANNEL["column"]: column_words(shape, "time")}
    if shape.time_kind == "column":
        if shape.units_in_logger:
            said[spelling.CHANNEL["unit"]] = shape.time_unit
    else:
        text = shape.time_format
        for ours, theirs in spelling.FORMAT_FRACTION.items():
            text = text.replace(ours, theirs)
        said[spelling.CHANNEL["format"]] = text
    return said


def channel_words(shape: Shape, item) -> dict:
    said = {spelling.CHANNEL["column"]: column_words(shape, item.quantity)}
    if shape.units_in_logger:
        said[spelling.CHANNEL["unit"]] = item.unit
    if item.factor != 1.0:
        said[spelling.CHANNEL["factor"]] = item.factor
    if item.inverted:
        said[spelling.CHANNEL["inverted"]] = True
    return said


def column_words(shape: Shape, quantity: str):
    """The header cell, whole, or the number of the column."""
    place = shape.columns.index(quantity)
    return place + spelling.FIRST_COLUMN_NUMBER if shape.by_number else header_cells(shape)[place]


def header_cells(shape: Shape) -> list:
    """The cells of the header line, without quotes."""
    named = {c.quantity: (c.name, c.unit_text) for c in shape.channels}
    if shape.time_kind == "column":
        named["time"] = (shape.time_name, shape.time_unit_text)
    cells = []
    for column in shape.columns:
        if column in named:
            name, unit = named[column]
            cells.append(shape.header_style.format(name=name, unit=unit))
        elif column == "time":
            cells.append(shape.time_name)
        else:
            cells.append(EXTRA[column][shape.language][0])
    return cells


# Text of the files.


def toml_text(bench: dict) -> str:
    """bench.toml. Keys that begin with an underscore are comments."""
    lines = ["# The bench: what the tables cannot hold. All of it is invented."]
    if "_comment" in bench:
        lines.append("# " + bench["_comment"])
    lines += toml_table(bench, "")
    return "\n".join(lines).replace("\n\n\n", "\n\n") + "\n"


def toml_table(table: dict, path: str) -> list:
    lines, nested = [], []
    for key, value in table.items():
        if key.startswith("_"):
            continue
        if isinstance(value, list) and value and isinstance(value[0], dict):
            nested.append((key, value))
        else:
            lines.append(f"{key} = {toml_value(value)}")
    for key, items in nested:
        for item in items:
            lines += ["", f"[[{path}{key}]]"] + toml_table(item, f"{path}{key}.")
    return lines


def toml_value(value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\u00a0", "\\u00A0")
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {toml_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(v) for v in value) + "]"
    return repr(value)


def csv_text(rows: list, style: dict) -> str:
    """A table as text; numbers take the decimal mark of the style."""
    columns = [c for c in rows[0] if not c.startswith("_")]
    delimiter = style["delimiter"]
    lines = [delimiter.join(csv_cell(c, style) for c in columns)]
    for row in rows:
        lines.append(delimiter.join(csv_cell(row[c], style) for c in columns))
    lines += [delimiter * (len(columns) - 1)] * style["empty_rows"]
    return ("\ufeff" if style["mark"] else "") + style["newline"].join(lines) + style["newline"]


def csv_cell(value, style: dict) -> str:
    if isinstance(value, float):
        return repr(value).replace(".", style["decimal"])
    text = str(value)
    if any(mark in text for mark in (style["delimiter"], '"', "\n")):
        return '"' + text.replace('"', '""') + '"'
    return text
