"""Mistakes in bench.toml and in the tables of tools, packs, specimens and days."""

from datetime import date, timedelta

from mistakes import mistake, pick, pick_day
from things import Season


def calibrations(season: Season) -> list:
    return season.bench["rigs"][0]["calibrations"]


@mistake("an edition is dated before its last runs", [r"edition"])
def edition_before_runs(season, rng):
    edition = season.bench["editions"][1]
    last = list(season.days.values())[-2].date
    old, edition["date"] = edition["date"], (last - timedelta(days=1)).isoformat()
    return f"bench.toml, edition 2: date {edition['date']} instead of {old}", ["edition 2", edition["date"], "edition"]


@mistake("an edition number was skipped: the list has 1 and 3, the runs say 2", [r"edition"])
def edition_skipped(season, rng):
    season.bench["editions"][1]["edition"] = 3
    return "bench.toml, second edition: edition 3 instead of 2", ["2", "3"]


@mistake("the editions stand in the wrong order", [r"edition.*(rise|order|fall|before|after)", r"(rise|order).*edition"])
def editions_backwards(season, rng):
    season.bench["editions"].reverse()
    return "bench.toml: edition 2 stands before edition 1", ["edition"]


@mistake("a day before the first calibration", [r"calibrat"])
def day_before_calibration(season, rng):
    first, second = list(season.days.values())[:2]
    when = (first.date + timedelta(days=1)).isoformat()
    old, calibrations(season)[0]["date"] = calibrations(season)[0]["date"], when
    return f"bench.toml, first calibration: date {when} instead of {old}", [first.id, when]


@mistake("the date of the second calibration is a year late, so the first stays in force", [r"calibrat"])
def calibration_a_year_late(season, rng):
    entry = calibrations(season)[1]
    old = entry["date"]
    entry["date"] = f"{int(old[:4]) + 1}{old[4:]}"
    return f"bench.toml, second calibration: date {entry['date']} instead of {old}", [entry["date"]]


@mistake("two digits of nm_per_kn are swapped", [r"nm_per_kn", r"calibrat", r"\bkN\b", r"kilonewton"])
def nm_per_kn_digits_swapped(season, rng):
    entry = calibrations(season)[1]
    old = entry["nm_per_kn"]
    digits = list(f"{old:.3f}")
    digits[2], digits[3] = digits[3], digits[2]
    entry["nm_per_kn"] = float("".join(digits))
    return f"bench.toml, second calibration: nm_per_kn {entry['nm_per_kn']} instead of {old}", ["nm_per_kn", entry["date"], "full", "kilonewton"]


@mistake("the calibration has no nm_per_kn although logs hold kilonewtons", [r"nm_per_kn"])
def nm_per_kn_missing(season, rng):
    entry = calibrations(season)[1]
    del entry["nm_per_kn"]
    return "bench.toml, second calibration: nm_per_kn left out", ["nm_per_kn", entry["date"]]


@mistake("a correction factor is applied twice", [r"twice", r"two corrections", r"check run", r"control", r"both"], [r"correction", r"factor"])
def factor_twice(season, rng):
    day = pick_day(season, rng)
    for run in season.runs:
        if run.day == day:
            run.mishap = {"gain": 1.03}
    correction = {"text": f"The rig read 3 % high on {day}.", "days": [day], "torque_factor": 0.97}
    season.bench["editions"][1]["corrections"] = [dict(correction), dict(correction)]
    return f"bench.toml, edition 2: the same correction of {day} (read 3 % high) stands twice", [day]


@mistake("a correction stands for a day that needs none, left over from another season", [r"check run", r"control"], [r"correction", r"factor"])
def old_factor_kept(season, rng):
    day = pick_day(season, rng)
    season.bench["editions"][1]["corrections"] = [{"text": "Amplifier re-adjusted.", "days": [day], "torque_factor": 0.955}]
    return f"bench.toml, edition 2: factor 0.955 for {day}, which was right", [day]


@mistake("a correction names a day that is not in days.csv", [r"unknown", r"not listed", r"no day", r"days\.csv", r"did you mean"])
def correction_of_unknown_day(season, rng):
    day = (list(season.days.values())[1].date + timedelta(days=1)).isoformat()
    season.bench["editions"][1]["corrections"] = [{"text": "Amplifier re-adjusted.", "days": [day], "torque_factor": 0.985}]
    return f"bench.toml, edition 2: correction of {day}, which is no day", [day]


@mistake("a specimen of a tool is not listed", [r"listed", r"specimens\.csv", r"unknown specimen"])
def specimen_unlisted(season, rng):
    rows = season.tables["specimens"]
    used = {(r.tool, r.specimen) for r in season.runs}
    row = pick(rng, [s for s in rows if s["tool"] and s["specimen"] != "A" and (s["tool"], s["specimen"]) in used], "second specimen")
    rows.remove(row)
    return f"specimens.csv: no row of {row['tool']} {row['specimen']}", [row["tool"]]


@mistake("a unit of a pack is not listed", [r"listed", r"specimens\.csv", r"unknown (specimen|unit)"])
def pack_unit_unlisted(season, rng):
    rows = season.tables["specimens"]
    used = {(r.pack, r.pack_specimen) for r in season.runs}
    row = pick(rng, [s for s in rows if s["pack"] and s["specimen"] != "1" and (s["pack"], s["specimen"]) in used], "second pack unit")
    rows.remove(row)
    return f"specimens.csv: no row of {row['pack']} {row['specimen']}", [row["pack"]]


@mistake("a tool's mass is in grams", [r"mass", r"\bgrams?\b", r"\bkg\b"])
def mass_in_grams(season, rng):
    row = rng.choice(season.tables["tools"])
    row["mass_kg"] = round(row["mass_kg"] * 1000)
    return f"tools.csv, row of {row['id']}: mass_kg {row['mass_kg']}", [row["id"], "mass_kg"]


@mistake("a pack's capacity is in milliampere-hours", [r"capacity", r"\bmAh\b", r"\bAh\b"])
def capacity_in_mah(season, rng):
    row = rng.choice(season.tables["packs"])
    row["capacity_ah"] = round(row["capacity_ah"] * 1000)
    return f"packs.csv, row of {row['id']}: capacity_ah {row['capacity_ah']}", [row["id"], "capacity_ah"]


@mistake("the decimal mark of a pack's nominal voltage was lost", [r"nominal_v", r"volt", r"\d V\b"])
def voltage_mark_lost(season, rng):
    row = rng.choice(season.tables["packs"])
    row["nominal_v"] = round(row["nominal_v"] * 10)
    return f"packs.csv, row of {row['id']}: nominal_v {row['nominal_v']}", [row["id"], "nominal_v"]


def two_way_days(season: Season) -> list:
    """Rows of days.csv, neither first nor last, whose day of the month could be a later month."""
    rows = [(row, date.fromisoformat(row["date"])) for row in season.tables["days"][1:-1]]
    return [(row, when) for row, when in rows if when.month < when.day <= 12]


@mistake("day and month of a date are swapped", [r"date", r"day and month", r"edition"], [r"\bday\b"])
def day_and_month_swapped(season, rng):
    row, when = pick(rng, two_way_days(season), "day whose date could be read in two orders")
    old, row["date"] = row["date"], date(when.year, when.day, when.month).isoformat()
    return f"days.csv, row of {row['id']}: date {row['date']} instead of {old}", [row["id"], row["date"]]


@mistake("a date is written in another order, day first", [r"date", r"two ways", r"YYYY"])
def date_with_points(season, rng):
    row, when = pick(rng, two_way_days(season), "day whose date could be read in two orders")
    old, row["date"] = row["date"], when.strftime("%d.%m.%Y")
    return f"days.csv, row of {row['id']}: date {row['date']} instead of {old}", [row["id"], row["date"]]


@mistake("a tool stands twice", [r"twice", r"duplicate", r"already", r"two "])
def tool_twice(season, rng):
    rows = season.tables["tools"]
    row = rng.choice(rows)
    rows.append({**row, "mass_kg": round(row["mass_kg"] + 0.1, 2)})
    return f"tools.csv: {row['id']} stands twice", [row["id"]]


@mistake("a price is dated after every edition", [r"price", r"date", r"in force"])
def price_too_late(season, rng):
    row = rng.choice(season.tables["prices"])
    old = row["date"]
    row["date"] = f"{int(old[:4]) + 1}{old[4:]}"
    return f"prices.csv, row of {row['tool'] or row['pack']}: date {row['date']} instead of {old}", [row["tool"] or row["pack"], row["date"]]


@mistake("a setup names a joint that the rig does not have", [r"joint"])
def joint_unknown(season, rng):
    setup = season.bench["setups"][1]
    setup["joint"] = "stif"
    return "bench.toml, setup extension: joint 'stif' instead of 'stiff'", ["stif"]
