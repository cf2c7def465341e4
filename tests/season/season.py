"""Writes a simulated season of a bolt rig as a bench folder. Everything in it is invented.

    python3 season.py --seed 7 --out DIR [--logs 150] [--small] [--fault NAME]
    python3 season.py --seed 7 --all-faults DIR [--logs 150] [--small]
    python3 season.py --list-faults
    python3 season.py --self-check [--seed 7] [--small]
"""

import argparse
import json
import os
import sys
from pathlib import Path

import mistakes
import self_check
from papers import csv_text, make_papers, toml_text
from physics import join_parts, noise_nm, simulate, zero_nm
from plan import TooSmall, make_runs, make_season
from reduction import reduce_pack, reduce_run
from shapes import deal_shapes
from things import Log, Season, Series
from writing import log_bytes

SMALL_LOGS = 24


def build(seed: int, logs: int, small: bool) -> Season:
    """A sound season: plan, shapes and papers, but no samples yet."""
    season = make_season(seed, logs, small)
    deal_shapes(season, make_runs(season, logs))
    make_papers(season)
    return season


def log_series(season: Season, log: Log, sound: bool) -> tuple:
    """Samples of a log and the index range of each of its runs."""
    shape = season.shapes[log.shape]
    parts = [simulate(season, run, shape, sound) for run in log.runs]
    if len(parts) == 1:
        return parts[0], [(0, len(parts[0].time_us))]
    return join_parts(season, log.runs, parts, shape)


def written_series(season: Season, log: Log) -> Series:
    """Samples as this log's file shows them, mistakes included."""
    series, _ = log_series(season, log.samples_of or log, sound=False)
    return log.edit(series) if log.edit else series


def write_season(season: Season, out: Path, fault: dict) -> dict:
    """Writes the folder; returns the truth."""
    (out / "logs").mkdir(parents=True, exist_ok=True)
    truth = []
    for log in season.logs:
        truth += log_truth(season, log)
        if log.written:
            write_bytes(out / "logs" / log.path, bytes_of(season, log))
    write_papers(season, out)
    whole = whole_truth(season, truth, fault)
    write_json(out / "truth.json", whole)
    if fault:
        write_json(out / "faults.json", [fault])
    return whole


def bytes_of(season: Season, log: Log) -> bytes:
    """A log's bytes, mistakes included."""
    if log.copy_of:
        return bytes_of(season, log.copy_of)
    data = log_bytes(season, log, written_series(season, log))
    return log.edit_bytes(data) if log.edit_bytes else data


def write_bytes(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)


def write_all_faults(seed: int, logs: int, small: bool, out: Path) -> None:
    """`sound` and one folder a mistake below `out`; logs that a mistake left alone are hard links."""
    sound = build(seed, logs, small)
    truth = write_season(sound, out / "sound", {})
    entries, impossible = [], []
    for name in mistakes.names():
        season = build(seed, logs, small)
        try:
            fault = mistakes.make(season, name)
        except TooSmall:
            impossible.append(name)
            continue
        write_beside(season, sound, out, fault, truth)
        entries.append(fault)
    write_json(out / "faults.json", entries)
    print(f"{out}: sound and {len(entries)} faults" + (f"; not possible: {', '.join(impossible)}" if impossible else ""))


def write_beside(season: Season, sound: Season, out: Path, fault: dict, truth: dict) -> None:
    """One mistake's folder next to `sound`, with the same logs where it changed none."""
    folder = out / fault["name"]
    (folder / "logs").mkdir(parents=True)
    renamed = {}
    for log, old in zip(season.logs, sound.logs):
        renamed[old.path] = log.path
        target = folder / "logs" / log.path
        if not log.written:
            continue
        if log.spoilt:
            write_bytes(target, bytes_of(season, log))
        else:
            target.parent.mkdir(parents=True, exist_ok=True)
            os.link(out / "sound" / "logs" / old.path, target)
    write_papers(season, folder)
    runs = [{**run, "log": renamed[run["log"]]} for run in truth["runs"]]
    write_json(folder / "truth.json", {**truth, "fault": fault["name"], "runs": runs})
    write_json(folder / "faults.json", [fault])


def write_papers(season: Season, out: Path) -> None:
    for name, rows in season.tables.items():
        text = csv_text(rows, season.table_style)
        edit = season.text_edits.get(name)
        (out / f"{name}.csv").write_bytes((edit(text) if edit else text).encode("utf-8"))
    (out / "bench.toml").write_bytes(toml_text(season.bench).encode("utf-8"))


def write_json(path: Path, content) -> None:
    path.write_bytes((json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode("utf-8"))


def whole_truth(season: Season, runs: list, fault: dict) -> dict:
    return {
        "invented": True,
        "seed": season.seed,
        "fault": fault["name"] if fault else None,
        "runs": runs,
        "tool_level_nm": {t.id: round(t.level_nm, 2) for t in season.tools.values()},
        "tool_run_scatter": {t.id: round(t.run_scatter, 4) for t in season.tools.values()},
        "unit_factor": {f"{u.of}/{u.name}": round(u.factor, 5) for u in season.units},
        "day_gain": {d.id: round(d.gain, 5) for d in season.days.values()},
        "pack_resistance_ohm": {p.id: round(p.resistance_ohm, 5) for p in season.packs.values()},
    }


def log_truth(season: Season, log: Log) -> list:
    """Of each run in a log, what is right; without any mistake, before rounding."""
    shape = season.shapes[log.shape]
    series, ranges = log_series(season, log, sound=True)
    entries = []
    for part, (run, (begin, end)) in enumerate(zip(log.runs, ranges), start=1):
        times, torque = series.time_us[begin:end], series.torque[begin:end]
        reduced = reduce_run(times, torque)
        entry = {
            "log": log.path, "part": part, "logger": shape.id, "day": run.day, "clock_s": run.second,
            "tool": run.tool, "pack": run.pack, "specimen": run.specimen, "pack_specimen": run.pack_specimen,
            "setup": run.setup, "control": run.control, "edition": run.edition, "excluded": run.excluded or None,
            "rate_hz": shape.rate_hz, "even": not shape.uneven, "samples": end - begin, "samples_in_log": len(series.time_us),
            "first_sample_s": times[0] * 1e-6, "last_sample_s": times[-1] * 1e-6,
            "unit": next(c.unit for c in shape.channels if c.quantity in ("torque", "tension")),
            "inverted": any(c.inverted for c in shape.channels), "channels": [c.quantity for c in shape.channels],
            "zero_offset_nm": round(zero_nm(season, log.runs[0]), 4), "noise_nm": round(noise_nm(season, log.runs[0]), 4),
        }
        entry |= {k: round(v, 6) if isinstance(v, float) else v for k, v in reduced.items()}
        if series.voltage:
            pack = reduce_pack(times, series.voltage, series.current, reduced["onset_s"], reduced["end_s"])
            entry |= {k: round(v, 6) for k, v in pack.items()}
        if series.angle:
            entry["angle_at_end_deg"] = round(max(series.angle[begin:end]), 3)
        entries.append(entry)
    return entries


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Simulated season of a bolt rig as a bench folder; all invented.")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, help="the folder to write; must not exist or be empty")
    parser.add_argument("--logs", type=int, default=150)
    parser.add_argument("--small", action="store_true", help=f"{SMALL_LOGS} logs in all shapes, below 4 MB")
    parser.add_argument("--fault", metavar="NAME", help="plant one mistake")
    parser.add_argument("--all-faults", type=Path, metavar="DIR", help="a sound folder and one for each mistake")
    parser.add_argument("--list-faults", action="store_true")
    parser.add_argument("--self-check", action="store_true")
    return parser.parse_args()


def main() -> int:
    options = arguments()
    if options.list_faults:
        print("\n".join(mistakes.names()))
        return 0
    logs = SMALL_LOGS if options.small else options.logs
    if options.self_check:
        return self_check.check(sys.modules[__name__], options.seed, logs, options.small)
    out = options.out or options.all_faults
    wrong = refusal(options, out, logs)
    if wrong:
        print(f"season.py: {wrong}", file=sys.stderr)
        return 2
    if options.all_faults:
        write_all_faults(options.seed, logs, options.small, out)
        return 0
    season = build(options.seed, logs, options.small)
    try:
        fault = mistakes.make(season, options.fault) if options.fault else {}
    except (KeyError, TooSmall) as error:
        print(f"season.py: {error.args[0]}", file=sys.stderr)
        return 2
    write_season(season, out, fault)
    print(f"{out}: {len(season.logs)} logs, {len(season.runs)} runs, fault: {options.fault or 'none'}")
    return 0


def refusal(options: argparse.Namespace, out: Path, logs: int) -> str:
    """Why nothing is written; empty if all is well."""
    if out is None:
        return "say where with --out DIR or --all-faults DIR"
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        return f"{out} is not an empty folder; nothing written"
    if logs < 100 and not options.small:
        return "at least 100 logs, or --small"
    return ""


if __name__ == "__main__":
    sys.exit(main())
