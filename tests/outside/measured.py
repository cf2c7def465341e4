"""Reduces measured screw-driving runs by definition and prints the outcome as JSON.

    python3 tests/outside/measured.py ../shared/real/screwdriving

Each CSV of the folder has the columns `time [s]`, `torque [N·m]`, `angle [deg]`, `step`. The reduction keeps
the zero, takes no smoothing but the median of five, the default onset level (2 %) and a window of 5 s.
Nothing is written: the outcome is for a test to compare with, at the time it runs.
"""

import csv
import json
import sys
from pathlib import Path

import reduction


def whole_microseconds(text):
    """A time in seconds to the nearest whole microsecond, half away from zero (no time is negative)."""
    return int(float(text) * 1e6 + 0.5)


def reduce_file(path):
    """The outcome of one CSV."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    time_us = [whole_microseconds(row["time [s]"]) for row in rows]
    torque_nm = [float(row["torque [N·m]"]) for row in rows]
    _, angle_deg = reduction.merge_repeated(time_us, [float(row["angle [deg]"]) for row in rows])
    run = reduction.reduce(time_us, torque_nm, smooth_s=0, onset_nm=None, window_s=5.0, keep_zero=True)
    at = []
    for share in (0.1013, 0.2531, 0.5077, 0.7531, 0.9013, 0.9907):
        x = share * run.h_nm[-1]
        time, work = run.time_to(x), reduction.own_work_j(run, angle_deg, x)
        at.append(
            {
                "torque_nm": x,
                "time_to_s": time,
                "work_j": work,
                "average_power_w": reduction.per_time(work or 0.0, time),
                "rise_rate_nm_per_s": reduction.per_time(x, time),
            }
        )
    return {
        "file": path.name,
        "samples": len(rows),
        "repeated_stamps": run.repeated_stamps,
        "onset_s": run.onset_log_s,
        "onset_level_nm": run.onset_level_nm,
        "zero_nm": run.zero_nm,
        "end_s": run.time_us[run.end_index] / 1e6,
        "duration_s": run.time_us[-1] / 1e6 - run.onset_log_s,
        "peak_torque_nm": run.h_nm[-1],
        "largest_sample_nm": run.largest_sample_nm,
        "mean_torque_nm": run.mean_torque_nm(),
        "early_torque_nm": run.at(1.0),
        "median_gap_s": run.median_gap_s,
        "short": run.short,
        "no_quiet": run.no_quiet,
        "at": at,
        "time_us": run.time_us[run.first_index : run.end_index + 1],
        "h0_nm": run.h_nm[0],
        "h_nm": run.h_nm[1:],
    }


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) == 2 else None
    files = sorted(folder.glob("*.csv")) if folder else []
    if not files:
        sys.exit("usage: python3 measured.py FOLDER, a folder that holds the measured runs as .csv")
    json.dump({"runs": [reduce_file(path) for path in files]}, sys.stdout)
    print()


if __name__ == "__main__":
    main()
