"""Mistakes in runs.csv and in which logs lie there."""

import copy

import spelling
from mistakes import good_rows, level_of, mistake, pick, pick_day, pick_row, row_name
from plan import TooSmall
from things import Season

FAR = ["far from", "fellow", "outlier", "scatter"]
STAMPED = ("isostamp",)


def runs_table(season: Season) -> list:
    return season.tables["runs"]


def change(row: dict, column: str, value) -> str:
    name, old = row_name(row), row[column]
    row[column] = value
    return f"{name}: {column} {value!r} instead of {old!r}"


@mistake("the packs of two runs of one tool are swapped", [r"swap", r"exchang", r"mixed up", r"(wrong|other|another|different) pack"], FAR + [r"\bpack\b"])
def swapped_packs(season, rng):
    best = []
    rows = good_rows(season, pattern=False)
    for a in rows:
        for b in rows:
            same = all(a[k] == b[k] for k in ("tool", "specimen", "setup", "pack_specimen")) and a["pack"] < b["pack"]
            if same:
                levels = [level_of(season, r["tool"], r["pack"]) for r in (a, b)]
                best.append((a["day"] != b["day"], -abs(levels[0] / levels[1] - 1), a["log"], b["log"], a, b))
    if not best:
        raise TooSmall("this season has no two runs whose packs could be swapped")
    a, b = min(best, key=lambda x: x[:4])[4:]
    a["pack"], b["pack"] = b["pack"], a["pack"]
    return f"{row_name(a)} and {row_name(b)}: packs swapped", [a["log"], b["log"]]


@mistake("the notebook names another pack than the log's name", [r"\bname\b", r"file name", r"swap"], FAR)
def pack_not_as_in_name(season, rng):
    row = pick_row(season, rng, pattern=True)
    mount = season.packs[row["pack"]].mount
    others = [p.id for p in season.packs.values() if p.mount == mount and p.id != row["pack"]]
    return change(row, "pack", rng.choice(others)), [row["log"]]


@mistake("the notebook names the wrong tool", [r"(wrong|other|another|different) tool", r"tool in the notebook", r"mixed up", r"swap"], FAR)
def wrong_tool(season, rng):
    options = []
    for row in good_rows(season, pattern=False):
        for tool in season.tools.values():
            own = season.tools[row["tool"]]
            if tool.mount == own.mount and abs(tool.level_nm / own.level_nm - 1) > 0.25:
                options.append((row, tool.id))
    row, tool = pick(rng, options, "tool that could be taken for another")
    what = change(row, "tool", tool)
    if row["specimen"] != "A":
        what += "; " + change(row, "specimen", "A")
    return what, [row["log"]]


@mistake("the notebook names another specimen than the log's name", [r"\bname\b", r"file name"], [r"specimen"])
def specimen_not_as_in_name(season, rng):
    two = {u.of for u in season.units if u.kind == "tool" and u.name == "B"}
    rows = [r for r in good_rows(season, pattern=True) if r["tool"] in two]
    row = pick(rng, rows, "named log of a tool with two specimens")
    return change(row, "specimen", "A" if row["specimen"] == "B" else "B"), [row["log"]]


@mistake("the notebook puts the run on another day than the stamps in its log", [r"stamp", r"date in the log", r"own (day|date)", r"\bday\b.*\bnotebook\b", r"notebook.*\bday\b"], [r"\bday\b"])
def wrong_day(season, rng):
    row = pick_row(season, rng, kinds=STAMPED)
    others = [d.id for d in season.days.values() if d.id != row["day"] and d.edition == season.days[row["day"]].edition]
    return change(row, "day", pick(rng, others, "other day")), [row["log"]]


@mistake("the day in the log's name is not the day in the notebook", [r"\bname\b", r"file name"], [r"\bday\b"])
def day_not_as_in_name(season, rng):
    row = pick_row(season, rng, pattern=True)
    log = row["_log"]
    others = [d for d in season.days if d != row["day"]]
    old, log.path = log.path, log.path.replace(row["day"], rng.choice(others))
    row["log"] = log.path
    return f"logs/{log.path}: this name instead of {old}", [log.path]


@mistake("one log is named by two rows; the other run's log is named by none", [r"twice", r"two rows", r"already", r"same log", r"duplicate", r"also named"])
def log_named_twice(season, rng):
    row = pick_row(season, rng, pattern=False)
    same = [r for r in good_rows(season, kinds=(row["_log"].shape,)) if r is not row]
    other = pick(rng, same, "second log of one logger")
    lost = row["log"]
    return change(row, "log", other["log"]), [other["log"], lost]


@mistake("a row's log is missing", [r"missing", r"not found", r"no such", r"does not exist", r"not there", r"no file"])
def log_missing(season, rng):
    row = pick_row(season, rng)
    row["_log"].written = False
    return f"logs/{row['log']}: not there", [row["log"]]


@mistake("a log is named by no row", [r"no row", r"not named", r"unnamed", r"names (it|none)", r"without a row", r"gather"])
def log_unnamed(season, rng):
    row = pick_row(season, rng)
    runs_table(season).remove(row)
    return f"runs.csv: no row for {row['log']}", [row["log"]]


@mistake("a row stands twice", [r"twice", r"duplicate", r"same", r"two rows", r"again"])
def row_duplicated(season, rng):
    row = pick_row(season, rng)
    rows = runs_table(season)
    rows.insert(rows.index(row) + 1, copy.copy(row))
    return f"{row_name(row)}: stands twice", [row["log"]]


@mistake("two runs at one moment", [r"same (moment|time|minute|clock)", r"one moment", r"two runs at", r"at once", r"both at", r"clock"])
def same_moment(season, rng):
    rows = runs_table(season)
    row = pick_row(season, rng)
    before = rows[rows.index(row) - 1]
    return change(row, "clock", before["clock"]), [row["log"], before["log"]]


@mistake("a check run is not marked as one", [r"check run", r"control"])
def control_flag_missing(season, rng):
    day = pick_day(season, rng)
    row = rng.choice([r for r in runs_table(season) if r["day"] == day and r["_run"].control])
    return change(row, "control", spelling.NOT_SET), [row["log"], day]


@mistake("an ordinary run is marked as a check run", [r"check run", r"control"])
def control_flag_too_many(season, rng):
    tool = next(r["tool"] for r in runs_table(season) if r["_run"].control)
    rows = [r for r in good_rows(season) if r["tool"] != tool]
    row = pick(rng, rows, "ordinary run")
    return change(row, "control", spelling.YES), [row["log"], row["day"]]


@mistake("a day has no check runs", [r"check run", r"control"])
def no_check_runs(season, rng):
    day = pick_day(season, rng)
    rows = runs_table(season)
    for row in [r for r in rows if r["day"] == day and r["_run"].control]:
        rows.remove(row)
        row["_log"].written = False
    return f"runs.csv: no check runs on {day}, and no logs of them", [day]


@mistake("a column is misspelt: exclued instead of excluded", [r"exclued"])
def exclued_column(season, rng):
    rows = runs_table(season)
    rows[:] = [{("exclued" if k == "excluded" else k): v for k, v in row.items()} for row in rows]
    return "runs.csv, header: exclued instead of excluded", ["exclued"]


@mistake("a tool's identifier is misspelt in one row", [r"unknown", r"not listed", r"no tool", r"did you mean", r"tools\.csv"])
def tool_misspelt(season, rng):
    row = pick_row(season, rng)
    tool = row["tool"]
    return change(row, "tool", tool[:2] + tool[3:]), [row["log"], tool[:2] + tool[3:]]


@mistake("a pack that does not fit the tool", [r"\bfits?\b", r"mount"])
def pack_does_not_fit(season, rng):
    row = pick_row(season, rng, pattern=False)
    others = [p.id for p in season.packs.values() if p.mount != season.packs[row["pack"]].mount]
    return change(row, "pack", rng.choice(others)), [row["log"]]


@mistake("the setup of runs with an extension was left out", [r"setup", r"extension"], FAR + [r"differs?"])
def setup_missing(season, rng):
    rows = [r for r in runs_table(season) if r["_run"].setup == "extension"]
    session = pick(rng, rows, "run with an extension")["_run"].session
    spoilt = [r for r in rows if r["_run"].session == session]
    for row in spoilt:
        row["setup"] = ""
    return f"runs.csv, {len(spoilt)} rows of {spoilt[0]['tool']}: setup empty instead of 'extension'", [r["log"] for r in spoilt] + [spoilt[0]["tool"]]


@mistake("the setup of one run with an extension was left out", [r"setup", r"extension"], FAR)
def setup_missing_once(season, rng):
    row = pick(rng, [r for r in runs_table(season) if r["_run"].setup == "extension"], "run with an extension")
    return change(row, "setup", ""), [row["log"]]


@mistake("the pack was started at 60 % although the setup says full", [r"charge", r"not full", r"\b60\b"])
def start_charge_low(season, rng):
    row = pick_row(season, rng)
    return change(row, "start_charge_percent", 60), [row["log"]]


@mistake("the rows name an edition that bench.toml does not have", [r"edition"])
def edition_undefined(season, rng):
    last = list(season.days)[-1]
    rows = [r for r in runs_table(season) if r["day"] == last]
    for row in rows:
        row["edition"] = 3
    return f"runs.csv, {len(rows)} rows of {last}: edition 3", [last, rows[0]["log"], "3"]


@mistake("a run is excluded, but not since which edition", [r"excluded_edition", r"edition"])
def excluded_without_edition(season, rng):
    row = pick(rng, [r for r in runs_table(season) if r["_run"].excluded], "excluded run")
    return change(row, "excluded_edition", ""), [row["log"]]


@mistake("a row names a part that the log does not have", [r"\bparts?\b"])
def part_too_high(season, rng):
    rows = [r for r in runs_table(season) if len(r["_log"].runs) > 1 and r["part"] == len(r["_log"].runs)]
    row = pick(rng, rows, "log with several runs")
    return change(row, "part", row["part"] + 1), [row["log"]]


@mistake("one part of a log is named by two rows, another part by none", [r"twice", r"\bparts?\b", r"duplicate", r"already"])
def part_named_twice(season, rng):
    rows = [r for r in runs_table(season) if len(r["_log"].runs) > 1 and r["part"] == 2]
    row = pick(rng, rows, "log with several runs")
    return change(row, "part", 1), [row["log"]]


@mistake("an unquoted separator in a remark gives the row a cell too many", [r"\bcells?\b", r"columns?", r"fields?", r"too many"])
def remark_with_separator(season, rng):
    row = pick_row(season, rng)
    mark = season.table_style["delimiter"]
    row["remark"] = "washer turned§ greased again"
    season.text_edits["runs"] = lambda text: text.replace("washer turned§", f"washer turned{mark}")
    return f"{row_name(row)}: remark with an unquoted {mark!r}", [row["log"], "runs.csv"]


@mistake("the notebook names a logger of another shape for one run", [r"logger", r"column", r"not a number"])
def logger_wrong_in_row(season, rng):
    row = pick_row(season, rng, kinds=("quoted", "poundfoot", "reversed"))
    own = season.shapes[row["_log"].shape].delimiter
    used = sorted({log.shape for log in season.logs if season.shapes[log.shape].delimiter != own} - {"rateonly"})
    return change(row, "logger", pick(rng, used, "logger with another delimiter")), [row["log"]]
