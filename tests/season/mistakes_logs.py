"""Mistakes in what a log holds: units, sign, sensor, trigger, pack, copies."""

from mistakes import good_rows, mistake, pick, pick_day, pick_row
from physics import simulate
from things import Season, Series
from writing import NM_PER_LBF_FT

NEWTON_METRES = ("comma", "german", "thousands", "bare", "rateonly", "isostamp", "clock", "wide16", "oldmac", "millis", "footer", "power")
SECONDS = ("comma", "quoted", "bare", "oldmac", "poundfoot", "footer", "angle", "power")
POWER = ("power", "full")
FAR = ["far from", "fellow", "outlier", "scatter"]


def scaled(factor: float):
    def edit(series: Series) -> Series:
        return Series(series.time_us, [v * factor for v in series.torque], series.angle, series.voltage, series.current)

    return edit


def every(step: int):
    def edit(series: Series) -> Series:
        return Series(*(values[::step] for values in (series.time_us, series.torque, series.angle, series.voltage, series.current)))

    return edit


def clipped(limit: float):
    def edit(series: Series) -> Series:
        return Series(series.time_us, [min(v, limit) for v in series.torque], series.angle, series.voltage, series.current)

    return edit


def scale_one(season: Season, rng, factor: float, kinds, what: str) -> tuple:
    row = pick_row(season, rng, kinds=kinds)
    row["_log"].edit = scaled(factor)
    return f"logs/{row['log']}: {what}", [row["log"]]


@mistake("one log is in lbf·ft although header or logger says N·m", [r"lbf", r"0\.73\d", r"1\.35\d?", r"1\.36", r"pound"], FAR)
def units_lbfft_called_nm(season, rng):
    return scale_one(season, rng, 1 / NM_PER_LBF_FT, NEWTON_METRES, "values in lbf·ft, said to be N·m")


@mistake("one log is in N·m although header or logger says lbf·ft", [r"lbf", r"0\.73\d", r"1\.35\d?", r"1\.36", r"pound"], FAR)
def units_nm_called_lbfft(season, rng):
    return scale_one(season, rng, NM_PER_LBF_FT, ("poundfoot",), "values in N·m, said to be lbf·ft")


@mistake("one log's tension is in thousands of pounds-force although it says kN", [r"4\.4[45]", r"0\.22\d?", r"lbf", r"kip"], FAR)
def units_kip_called_kn(season, rng):
    return scale_one(season, rng, 1 / 4.4482216, ("kilonewton", "full"), "values in 1000 lbf, said to be kN")


@mistake("one log is in kgf·m although it says N·m", [r"9\.8\d?", r"0\.10[12]?\b", r"kgf"], FAR + [r"\b10\b"])
def units_kgfm_called_nm(season, rng):
    return scale_one(season, rng, 1 / 9.80665, NEWTON_METRES, "values in kgf·m, said to be N·m")


@mistake("the decimal mark of one log's torque is one place off", [r"(?<![\d.])10(\.0+)?(?![\d.%])", r"\bten\b", r"decimal"], FAR)
def decimal_shift(season, rng):
    return scale_one(season, rng, 10.0, NEWTON_METRES, "torque ten times too large")


@mistake("the sensor's sign is reversed in one log", [r"\bsign\b", r"negative", r"invert", r"revers", r"below zero"])
def reversed_sign(season, rng):
    return scale_one(season, rng, -1.0, NEWTON_METRES, "torque with the other sign")


@mistake("time is in ms although header or logger says s", [r"millisecond", r"\bms\b", r"\b1[ ,]?000\b"], [r"slow", r"samples/s", r"sampl", r"Hz"])
def ms_called_s(season, rng):
    row = pick_row(season, rng, kinds=SECONDS)
    log = row["_log"]
    log.time_scale, log.time_decimals = 1000.0, 1
    return f"logs/{row['log']}: times in ms, said to be s", [row["log"]]


@mistake("time is in s although header or logger says ms", [r"\bms\b", r"in seconds", r"millisecond", r"\b1[ ,]?000\b"], [r"short", r"repeat"])
def s_called_ms(season, rng):
    row = pick_row(season, rng, kinds=("millis",))
    log = row["_log"]
    log.time_scale, log.time_decimals = 0.001, 4
    return f"logs/{row['log']}: times in s, said to be ms", [row["log"]]


@mistake("time stamps were rounded to hundredths of a second", [r"repeat", r"same time", r"\bstamps?\b", r"equal times"], [r"slow", r"sampl"])
def time_rounded(season, rng):
    row = pick_row(season, rng, kinds=SECONDS)
    row["_log"].time_decimals = 2
    return f"logs/{row['log']}: times with two decimals, so several samples share one", [row["log"]]


def spoil_run(season: Season, rng, mishap: dict, what: str, kinds=None) -> tuple:
    row = pick_row(season, rng, kinds=kinds)
    row["_run"].mishap = mishap
    return f"logs/{row['log']}: {what}", [row["log"]]


@mistake("the record is clipped: the amplifier's range was too small", [r"clip", r"saturat", r"at (the|its) largest", r"cut off", r"flat top"], [r"flat", r"limit"])
def clipped_record(season, rng):
    row = pick_row(season, rng, kinds=NEWTON_METRES)
    series = simulate(season, row["_run"], season.shapes[row["_log"].shape])
    limit = 0.84 * max(series.torque)
    row["_log"].edit = clipped(limit)
    return f"logs/{row['log']}: nothing above {limit:.0f} N·m", [row["log"]]


@mistake("the record is clipped at the limit that the logger block states", [r"clip", r"saturat", r"limit"])
def clipped_at_limit(season, rng):
    row, limit = strongest_by_far(season, rng)
    row["_log"].edit = clipped(limit)
    block = next(b for b in season.bench["loggers"] if b["id"] == row["_log"].shape)
    block["clips_at_nm"] = limit
    return f"logs/{row['log']}: clipped at clips_at_nm = {limit}", [row["log"]]


def strongest_by_far(season: Season, rng) -> tuple:
    """A run well above all others of its logger, and a limit between them."""
    best = None
    for kind in NEWTON_METRES:
        rows = good_rows(season, kinds=(kind,))
        tops = {}
        for log in season.logs:
            if log.shape == kind:
                tops[log.path] = max(simulate(season, log.runs[0], season.shapes[kind]).torque)
        ordered = sorted(rows, key=lambda r: -tops[r["log"]])
        if not ordered or len(tops) < 2:
            continue
        own = tops.pop(ordered[0]["log"])
        share = max(tops.values()) / own
        if best is None or share < best[0]:
            best = (share, ordered[0], round(own * max(0.9, (1 + share) / 2)))
    pick_from = [best] if best and best[0] < 0.99 else []
    _, row, limit = pick(rng, pick_from, "logger with one run above all others")
    return row, limit


@mistake("the log begins when the bolt is already under load", [r"under load", r"loaded", r"quiet", r"lead-in", r"before the (log|record)"])
def loaded_start(season, rng):
    return spoil_run(season, rng, {"loaded_share": 0.3}, "begins at 30 % of the peak")


@mistake("the socket slipped; the run was not set aside", [r"slip", r"far from", r"fellow", r"outlier"], [r"scatter", r"short"])
def slipped_run(season, rng):
    return spoil_run(season, rng, {"slip_at_s": 0.45}, "the socket slips after 0.45 s; far too low from then on")


@mistake("the trigger was let go too early; the run was not set aside", [r"short", r"let go", r"ends (after|before|early)"])
def short_run(season, rng):
    return spoil_run(season, rng, {"let_go_s": 1.5}, "let go after 1.5 s")


@mistake("the amplifier's zero drifts", [r"drift", r"not flat", r"zero"], [r"lead-in"])
def drifting_zero(season, rng):
    return spoil_run(season, rng, {"drift_nm_per_s": 18.0}, "the zero drifts by 18 N·m a second")


@mistake("the torque channel was not connected", [r"still zero", r"never rises", r"no torque", r"stays (at|near) zero", r"not connected", r"zero"])
def torque_zero(season, rng):
    return spoil_run(season, rng, {"dead_sensor": True}, "zero and noise only", NEWTON_METRES)


@mistake("sampled at 50 a second, slower than the blows", [r"slow", r"samples/s", r"samples (a|per) second", r"\b50 Hz"])
def sampled_slowly(season, rng):
    row = pick_row(season, rng, kinds=SECONDS)
    rate = season.shapes[row["_log"].shape].rate_hz
    row["_log"].edit = every(rate // 50)
    return f"logs/{row['log']}: 50 samples a second", [row["log"]]


@mistake("the pack was not full", [r"not full", r"charge", r"open[- ]circuit", r"voltage"], FAR)
def pack_not_full(season, rng):
    return spoil_run(season, rng, {"cell_v": 3.72}, "pack at 3.72 V a cell instead of 4.12", POWER)


@mistake("a contact of the pack was dirty: its resistance is far above that of its other runs", [r"resistance", r"Ω", r"\bohm", r"contact"], FAR)
def pack_resistance_off(season, rng):
    return spoil_run(season, rng, {"resistance": 2.2}, "resistance of the pack 2.2 times as large", POWER)


@mistake("the rig read 4 % low on one day", [r"check run", r"control"], [r"day"])
def check_runs_off(season, rng):
    day = pick_day(season, rng)
    for run in season.runs:
        if run.day == day:
            run.mishap = {"gain": 0.96}
    return f"all runs of {day}: the rig reads 4 % low", [day]


@mistake("a re-test differs by 12 %: the model has new parts inside", [r"re-?test", r"run again", r"earlier (day|run)", r"differs? (from|by|beyond)", r"two days"], FAR)
def retest_differs(season, rng):
    first = {}
    later = []
    for row in good_rows(season) + good_rows(season, several=True):
        run = row["_run"]
        pair = (run.tool, run.pack, run.specimen, run.pack_specimen, run.setup)
        if first.setdefault(pair, run.session) != run.session:
            later.append(run.session)
    session = pick(rng, sorted(set(later)), "re-test")
    runs = [r for r in season.runs if r.session == session]
    for run in runs:
        run.mishap = {"level": 1.12}
    return f"re-test of {runs[0].tool} with {runs[0].pack} on {runs[0].day}: 12 % higher", [runs[0].tool, runs[0].pack, runs[0].day]


@mistake("one log's bytes were copied over another's", [r"same (bytes|samples)", r"identical", r"cop(y|ied)", r"twice", r"duplicate"])
def same_bytes(season, rng):
    row = pick_row(season, rng, pattern=None)
    shape = row["_log"].shape
    others = [r["_log"] for r in good_rows(season, kinds=(shape,)) if r is not row and r["_run"].session == row["_run"].session]
    other = pick(rng, others or [r["_log"] for r in good_rows(season, kinds=(shape,)) if r is not row] or two_of_a_kind(season, row), "second log of one logger")
    row["_log"].copy_of = other
    return f"logs/{row['log']}: the bytes of logs/{other.path}", [row["log"], other.path]


def two_of_a_kind(season: Season, row: dict) -> list:
    return [log for log in season.logs if log.shape == row["_log"].shape and log is not row["_log"]]


@mistake("one run's samples were exported a second time, in another shape, under another run's name", [r"same samples", r"identical", r"cop(y|ied)", r"twice", r"duplicate", r"same run"])
def same_samples_reexported(season, rng):
    row = pick_row(season, rng, kinds=("comma", "quoted", "oldmac", "footer", "bare"))
    sources = [r for r in good_rows(season, kinds=("comma", "quoted", "oldmac", "footer", "millis", "poundfoot", "bare")) if r["_log"].shape != row["_log"].shape]
    alike = [r for r in sources if (r["tool"], r["pack"]) == (row["tool"], row["pack"])]
    source = pick(rng, alike or sources, "log of another shape")
    row["_log"].samples_of = source["_log"]
    return f"logs/{row['log']}: the samples of logs/{source['log']}", [row["log"], source["log"]]


@mistake("the recorder lost power: the file ends in the middle of a line", [r"incomplete", r"truncat", r"cut (off|short)", r"\bcells?\b", r"short", r"ends"])
def truncated_log(season, rng):
    row = pick_row(season, rng, kinds=("comma", "isostamp", "footer", "power", "angle"))
    row["_log"].edit_bytes = lambda data: data[: len(data) * 45 // 100].rstrip(b"\r\n0123456789")
    return f"logs/{row['log']}: ends after 45 % in the middle of a line", [row["log"]]

