"""Checks a season against itself: files against series, truth, tables, mistakes, repeatability."""

import csv
import hashlib
import re
import tempfile
import tomllib
from datetime import date
from pathlib import Path

import mistakes
import reader
import spelling
from plan import TooSmall
from reduction import reduce_run
from writing import file_values

PEAK_BOUND = 0.002


def check(maker, seed: int, logs: int, small: bool) -> int:
    """Runs all checks and prints what was found; 0 if nothing is wrong."""
    with tempfile.TemporaryDirectory() as place:
        out = Path(place) / "sound"
        season = maker.build(seed, logs, small)
        truth = maker.write_season(season, out, {})
        faults = check_logs(maker, season, out, truth)
        faults += check_papers(season, out)
        faults += check_repeat(maker, seed, logs, small, out)
        faults += check_mistakes(maker, seed, logs, small)
        print_sizes(season, out)
    for fault in faults:
        print("WRONG:", fault)
    print("self-check:", "nothing wrong" if not faults else f"{len(faults)} wrong")
    return 1 if faults else 0


def read_table(path: Path) -> list:
    text = path.read_text(encoding="utf-8-sig")
    delimiter = ";" if ";" in text.splitlines()[0] else ","
    return [row for row in csv.DictReader(text.splitlines(), delimiter=delimiter) if any(row.values())]


def calibration_in_force(bench: dict, day: str) -> float:
    dated = [c for c in bench["rigs"][0]["calibrations"] if c["date"] <= day]
    return max(dated, key=lambda c: c["date"])["nm_per_kn"]


def check_logs(maker, season, out: Path, truth: dict) -> list:
    """Every log by the logger block alone: values within rounding, peaks within the bound."""
    bench = tomllib.loads((out / "bench.toml").read_text(encoding="utf-8"))
    rows = {row["log"]: row for row in read_table(out / "runs.csv")}
    peaks = {(t["log"], t["part"]): t["peak_nm"] for t in truth["runs"]}
    faults, worst, parts_seen = [], 0.0, 0
    for log in season.logs:
        row = rows[log.path]
        block = reader.logger_of(bench, row)
        if block["id"] != log.shape:
            faults.append(f"{log.path}: block {block['id']} instead of {log.shape}")
        columns = reader.read_log((out / "logs" / log.path).read_bytes(), block, calibration_in_force(bench, row["day"]))
        series = maker.written_series(season, log)
        faults += compare(season, log, columns, series)
        parts = reader.split_parts(columns, block)
        if len(parts) != len(log.runs):
            faults.append(f"{log.path}: {len(parts)} parts instead of {len(log.runs)}")
            continue
        for number, (begin, end) in enumerate(parts, start=1):
            peak = reduce_run(columns["time_us"][begin:end], columns["torque"][begin:end])["peak_nm"]
            off = abs(peak / peaks[log.path, number] - 1)
            worst = max(worst, off)
            parts_seen += 1
            if off > PEAK_BOUND:
                faults.append(f"{log.path} part {number}: peak {peak:.2f} off by {off:.2%}")
    print(f"{len(season.logs)} logs, {parts_seen} runs read back; largest difference of a peak {worst:.3%}")
    return faults


def compare(season, log, columns: dict, series) -> list:
    """Values read back against the series, each channel within half of its last digit."""
    faults = []
    if columns["time_us"] != [t - series.time_us[0] for t in series.time_us]:
        faults.append(f"{log.path}: times differ")
    for item in season.shapes[log.shape].channels:
        name = "torque" if item.quantity in ("torque", "tension") else item.quantity
        ours = getattr(series, name)
        theirs = columns[name]
        in_file = file_values(season, log, series, item)
        scale = max(abs(v / f) for v, f in zip(ours, in_file) if abs(f) > 1e-9)
        limit = 0.5001 * 10**-item.decimals * scale + 1e-9
        worst = max(abs(a - b) for a, b in zip(ours, theirs))
        if len(ours) != len(theirs) or worst > limit:
            faults.append(f"{log.path}: {name} off by {worst:.4f}, rounding allows {limit:.4f}")
    return faults


def check_papers(season, out: Path) -> list:
    """Identifiers, fits, dates and log files of a sound season."""
    faults = []
    bench = tomllib.loads((out / "bench.toml").read_text(encoding="utf-8"))
    tables = {name: read_table(out / f"{name}.csv") for name in season.tables}
    tools = {t["id"]: t["pack_mount"] for t in tables["tools"]}
    packs = {p["id"]: p["pack_mount"] for p in tables["packs"]}
    days = {d["id"]: d["date"] for d in tables["days"]}
    listed = {(s["tool"] or s["pack"], s["specimen"]) for s in tables["specimens"]}
    editions = {str(e["edition"]): e["date"] for e in bench["editions"]}
    setups = {s["id"] for s in bench["setups"]}
    for row in tables["runs"]:
        right = (
            tools[row["tool"]] == packs[row["pack"]] and row["setup"] in setups
            and (row["tool"], row["specimen"]) in listed and (row["pack"], row["pack_specimen"]) in listed
            and editions[row["edition"]] >= days[row["day"]] and (out / "logs" / row["log"]).is_file()
        )
        if not right:
            faults.append(f"runs.csv: {row['log']}")
    files = {str(p.relative_to(out / "logs")) for p in (out / "logs").rglob("*") if p.is_file()}
    if files != {row["log"] for row in tables["runs"]}:
        faults.append("logs and runs.csv do not name the same files")
    for day in days:
        todays = [r for r in tables["runs"] if r["day"] == day]
        if not (todays[0]["control"] and todays[-1]["control"]):
            faults.append(f"{day}: no check run first and last")
        if len({r["clock"] for r in todays}) < len(todays):
            faults.append(f"{day}: two runs at one moment")
    if min(c["date"] for c in bench["rigs"][0]["calibrations"]) > min(days):
        faults.append("a day before the first calibration")
    kinds = {log.shape for log in season.logs}
    if kinds != set(season.shapes):
        faults.append(f"shapes without a log: {set(season.shapes) - kinds}")
    return faults


def digests(out: Path) -> dict:
    return {str(p.relative_to(out)): hashlib.sha256(p.read_bytes()).hexdigest() for p in out.rglob("*") if p.is_file()}


def check_repeat(maker, seed: int, logs: int, small: bool, out: Path) -> list:
    """The same seed gives the same bytes, another one another season."""
    faults = []
    with tempfile.TemporaryDirectory() as place:
        again = Path(place) / "again"
        maker.write_season(maker.build(seed, logs, small), again, {})
        if digests(again) != digests(out):
            faults.append("the same seed gave other bytes")
    other = maker.build(seed + 1, logs, small)
    if other.bench["loggers"] == maker.build(seed, logs, small).bench["loggers"]:
        faults.append("another seed gave the same shapes")
    return faults


def check_mistakes(maker, seed: int, logs: int, small: bool) -> list:
    """Each mistake can be made, says what it did, and changes something."""
    faults, skipped = [], []
    for name in mistakes.names():
        season = maker.build(seed, logs, small)
        sound = maker.build(seed, logs, small)
        try:
            entry = mistakes.make(season, name)
        except TooSmall:
            skipped.append(name)
            continue
        for words in entry["words"]:
            re.compile(words)
        if not (entry["what"] and entry["cause"] and entry["about"] and entry["words"]):
            faults.append(f"{name}: an empty entry")
        if same_papers(season, sound) and not touched_logs(season):
            faults.append(f"{name}: nothing changed")
    print(f"{len(mistakes.names()) - len(skipped)} mistakes made" + (f", not possible here: {', '.join(skipped)}" if skipped else ""))
    if skipped and not small:
        faults.append(f"mistakes not possible in a full season: {', '.join(skipped)}")
    return faults


def same_papers(season, sound) -> bool:
    def plain(table):
        return [{k: v for k, v in row.items() if not k.startswith("_")} for row in table]

    return season.bench == sound.bench and all(plain(season.tables[n]) == plain(sound.tables[n]) for n in sound.tables)


def touched_logs(season) -> bool:
    return any(log.spoilt for log in season.logs) or bool(season.text_edits)


def print_sizes(season, out: Path) -> None:
    """Bytes of all logs and of the largest of each shape."""
    sizes = {}
    for log in season.logs:
        sizes.setdefault(log.shape, []).append((out / "logs" / log.path).stat().st_size)
    print(f"{sum(map(sum, sizes.values())) / 1e6:.1f} MB in {len(season.logs)} logs; by shape, count and largest in kB:")
    print("  " + ", ".join(f"{kind} {len(s)}×{max(s) / 1e3:.0f}" for kind, s in sizes.items()))
