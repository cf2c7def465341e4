"""Plans a season: tools, packs, days, who is run when. No samples are made here."""

import math
import random
from datetime import date, timedelta

import vocabulary as words
from things import Calibration, Day, Pack, Run, Season, Tool, Unit

RUNS_A_SESSION = 3
SEVERAL_REST_S = (64, 80)


class TooSmall(Exception):
    """The season has nothing that the chosen mistake could be made with."""


def stream(seed: int, *names) -> random.Random:
    """A random stream of its own for each name, so that one change moves nothing else."""
    return random.Random("/".join(["season", str(seed), *map(str, names)]))


def factor(rng: random.Random, scatter: float) -> float:
    """A log-normal factor about 1."""
    return math.exp(rng.gauss(0.0, scatter))


def make_season(seed: int, logs: int, small: bool) -> Season:
    """A sound season without samples, shapes, logs and tables."""
    tools = make_tools(stream(seed, "tools"))
    packs = make_packs(stream(seed, "packs"))
    day_count = max(4, round(logs / 11.5))
    days, calibrations, edition_dates = make_days(stream(seed, "days"), day_count)
    units = make_units(stream(seed, "units"), tools, packs)
    season = Season(seed, small, tools, packs, units, days, calibrations, edition_dates)
    season.pair_effects = make_pair_effects(season)
    return season


def make_tools(rng: random.Random) -> dict:
    """Eight to twelve tools of three makers, two of them small."""
    names = rng.sample(words.TOOL_NAMES, rng.randint(8, 12))
    tools = {}
    for index, name in enumerate(names):
        maker = 2 if index in (3, 7) else index % 2
        tool = make_tool(rng, name, maker)
        tools[tool.id] = tool
    return tools


def make_tool(rng: random.Random, name: str, maker: int) -> Tool:
    """One tool; the third maker's are small ones on 12 V."""
    if maker == 2:
        size, level, mass, length = "small", rng.uniform(150, 250), rng.uniform(0.75, 1.1), rng.randint(118, 138)
    else:
        size = rng.choice(["medium", "medium", "large"])
        low, high = (340, 720) if size == "medium" else (820, 1350)
        level = rng.uniform(low, high)
        mass = 0.9 + level / 700 + rng.uniform(-0.1, 0.1)
        length = round(120 + level / 14 + rng.uniform(-6, 6))
    volts = "12" if maker == 2 else "18"
    return Tool(
        id=f"{name.lower()}-{volts}",
        name=f"{name} {volts}",
        maker=words.MAKERS[maker],
        mount=words.MOUNTS[maker],
        size=size,
        mass_kg=round(mass, 2),
        length_mm=length,
        side_mm=rng.randint(26, 38),
        drive_mm=19.0 if size == "large" and level > 1100 else 12.5 if size != "small" else 9.5,
        level_nm=level,
        rise_s=rng.uniform(0.15, 0.42),
        slow_s=rng.uniform(1.3, 2.6),
        slow_share=rng.uniform(0.16, 0.32),
        blows_per_s=rng.uniform(24, 36),
        winding_ohm=rng.uniform(0.10, 0.16),
        run_scatter=rng.uniform(0.02, 0.035),
        early_scatter=rng.uniform(0.03, 0.07),
    )


def make_packs(rng: random.Random) -> dict:
    """Two to four packs a mount, six to ten in all."""
    kinds = {
        "ollin-18": [("flat 2.5", 2.5, "18650", 5, 1, 0.40, 0.086), ("mid 4.0", 4.0, "18650", 5, 2, 0.62, 0.052),
                     ("tall 8.0", 8.0, "21700", 5, 2, 0.98, 0.027), ("pouch 5.0", 5.0, "pouch", 5, 1, 0.70, 0.019)],
        "tavro-18": [("low 2.0", 2.0, "18650", 5, 1, 0.38, 0.094), ("wide 5.0", 5.0, "21700", 5, 1, 0.66, 0.044),
                     ("deep 6.0", 6.0, "18650", 5, 3, 0.93, 0.031)],
        "hesper-12": [("stub 2.0", 2.0, "18650", 3, 1, 0.21, 0.072), ("long 4.0", 4.0, "18650", 3, 2, 0.36, 0.040)],
    }
    packs = {}
    for mount, rows in kinds.items():
        dropped = rng.random() < 0.4 and len(rows) > 3
        for name, ah, cell, series, parallel, mass, ohm in rows[: len(rows) - dropped]:
            pack = Pack(
                id=f"{mount.split('-')[0]}-{name.replace(' ', '-').replace('.', '')}",
                name=name,
                mount=mount,
                nominal_v=round(series * 3.6, 1),
                capacity_ah=ah,
                cell_format=cell,
                series=series,
                parallel=parallel,
                mass_kg=round(mass * rng.uniform(0.97, 1.03), 3),
                open_v=series * rng.uniform(4.10, 4.14),
                resistance_ohm=ohm * rng.uniform(0.95, 1.05),
            )
            packs[pack.id] = pack
    return packs


def make_days(rng: random.Random, count: int):
    """Working days over months, two calibrations, two editions."""
    while True:
        dates = [date(2026, 2, 16) + timedelta(days=rng.randint(0, 25))]
        while len(dates) < count:
            dates.append(dates[-1] + timedelta(days=rng.randint(5, 13)))
        dates = [d - timedelta(days=max(0, d.weekday() - 4)) for d in dates]
        if any(d.day <= 12 and d.day > d.month for d in dates[1:-1]):
            break
    first_part = max(2, round(count * 0.55))
    days = {}
    for index, when in enumerate(dates):
        edition = 1 if index < first_part else 2
        note = rng.choice(["", "", "", "joint renewed", "window open", "new grease tin"])
        gain = factor(rng, 0.003)
        day = Day(when, rng.randint(17, 23), rng.choice(words.OPERATORS), note, gain, edition)
        days[day.id] = day
    calibrations = make_calibrations(rng, dates)
    edition_dates = {1: dates[first_part - 1] + timedelta(days=2), 2: dates[-1] + timedelta(days=5)}
    return days, calibrations, edition_dates


def make_calibrations(rng: random.Random, dates: list) -> list:
    """One before the first day and one about two thirds through."""
    later = dates[round(len(dates) * 0.62)] - timedelta(days=1)
    first = round(2.9 + rng.randint(5, 7) / 100 + rng.randint(1, 4) / 1000, 3)
    second = round(first + rng.choice([-1, 1]) * rng.randint(3, 5) / 1000, 3)
    return [
        Calibration(dates[0] - timedelta(days=rng.randint(6, 14)), first, 2.0),
        Calibration(later, second, 1.8),
    ]


def make_units(rng: random.Random, tools: dict, packs: dict) -> list:
    """Specimens A, B, C of the first tools and units 1, 2 of some packs."""
    units = []
    for index, tool in enumerate(tools.values()):
        for letter in ["ABC", "AB", "AB"][index] if index < 3 else "A":
            units.append(make_unit(rng, "tool", tool.id, letter, 0.02))
    for index, pack in enumerate(packs.values()):
        for number in "12" if index in (1, 4) else "1":
            units.append(make_unit(rng, "pack", pack.id, number, rng.uniform(0.01, 0.02)))
    return units


def make_unit(rng: random.Random, kind: str, of: str, name: str, scatter: float) -> Unit:
    got = rng.choice(["bought", "bought", "lent", "given"])
    source = {"bought": "shop in Ebenholm", "lent": "reader", "given": "maker"}[got]
    made = f"2025-{rng.randint(1, 12):02}"
    return Unit(kind, of, name, factor(rng, scatter), got, source, "new", made, f"{rng.randint(0, 99):02}")


def make_pair_effects(season: Season) -> dict:
    """A small effect of each pair beyond tool and pack."""
    effects = {}
    for tool, pack in pairs_that_fit(season):
        effects[tool, pack] = factor(stream(season.seed, "pair", tool, pack), 0.005)
    return effects


def pairs_that_fit(season: Season) -> list:
    """All (tool, pack) with one mount."""
    return [(t.id, p.id) for t in season.tools.values() for p in season.packs.values() if t.mount == p.mount]


def control_pair(season: Season) -> tuple:
    """The pair of the check runs: the steadiest tool of 18 V that is not the largest."""
    candidates = [t for t in season.tools.values() if t.size == "medium"] or list(season.tools.values())
    tool = min(candidates, key=lambda t: t.run_scatter)
    tool.run_scatter = min(tool.run_scatter, 0.02)
    pack = [p for p in season.packs.values() if p.mount == tool.mount][1]
    return tool.id, pack.id


# A session: what is run, with which specimens and setup, how many times, in one log or each in its own.


def make_sessions(season: Season, rng: random.Random, logs: int) -> list:
    """Sessions that fill `logs` files together with two check runs a day."""
    free = logs - 2 * len(season.days)
    several = 1 if season.small else max(2, round(logs / 22))
    excluded = 1 if season.small else 2
    plain = (free - several - excluded) // RUNS_A_SESSION
    rest = free - several - excluded - plain * RUNS_A_SESSION
    sessions = choose_sessions(season, rng, plain + several)
    # Small tools would lose more than a thousandth to the zero of a rest that is cut otherwise.
    strong = [s for s in sessions if season.tools[s["tool"]].size != "small"]
    for session in rng.sample(strong, several):
        session["several"] = True
    single = [s for s in sessions if not s["several"]]
    for session in rng.sample(single, excluded):
        session["runs"] += 1
        session["excluded"] = True
    for session in rng.sample([s for s in single if not s["excluded"]], rest):
        session["runs"] += 1
    return sessions


def choose_sessions(season: Season, rng: random.Random, need: int) -> list:
    """First every tool with its packs, then second specimens and units, an extension, re-tests."""
    by_tool = {t: [p for tool, p in pairs_that_fit(season) if tool == t] for t in season.tools}
    tools = list(season.tools)
    extras = [] if season.small else extra_sessions(by_tool, tools, season)
    room = need - len(extras) - (0 if season.small else 3)
    base = [new_session(t, packs[i]) for i in range(4) for t, packs in by_tool.items() if i < len(packs)]
    if season.small:
        base = [new_session(t, p) for t in tools for p in by_tool[t][:2]]
    base = base[: min(room, len(base))]
    order = {t: i for i, t in enumerate(rng.sample(tools, len(tools)))}
    base.sort(key=lambda s: order[s["tool"]])
    chosen = base + extras
    picks = rng.sample(base, min(len(base), need - len(chosen)))
    retests = [new_session(s["tool"], s["pack"], retest=True) for s in picks]
    return chosen + retests


def extra_sessions(by_tool: dict, tools: list, season: Season) -> list:
    """Sessions of second and third specimens, second pack units and the extension."""
    extras = [new_session(tools[i], p, specimen="B") for i in (0, 1, 2) for p in by_tool[tools[i]][:2]]
    extras += [new_session(tools[0], p, specimen="C") for p in by_tool[tools[0]][:2]]
    for unit in [u for u in season.units if u.kind == "pack" and u.name == "2"]:
        tool = next(t for t in tools if unit.of in by_tool[t])
        extras.append(new_session(tool, unit.of, pack_specimen="2"))
    extras += [new_session(tools[i], by_tool[tools[i]][1], setup="extension") for i in (0, 4)]
    return extras


def new_session(tool, pack, specimen="A", pack_specimen="1", setup="standard", retest=False) -> dict:
    return {
        "tool": tool, "pack": pack, "specimen": specimen, "pack_specimen": pack_specimen, "setup": setup,
        "retest": retest, "runs": RUNS_A_SESSION, "several": False, "excluded": False,
    }


def spread_over_days(season: Season, sessions: list) -> dict:
    """Sessions in order to days of about equal numbers of logs."""
    logs = [1 if s["several"] else s["runs"] for s in sessions]
    share = sum(logs) / len(season.days)
    by_day = {day: [] for day in season.days}
    names = list(season.days)
    done = 0
    for session, count in zip(sessions, logs):
        index = min(len(names) - 1, int((done + count / 2) / share))
        by_day[names[index]].append(session)
        done += count
    return by_day


def make_runs(season: Season, logs: int) -> list:
    """All runs in order of time, as groups: one group is one log file."""
    rng = stream(season.seed, "sessions")
    control = control_pair(season)
    sessions = make_sessions(season, rng, logs)
    for number, session in enumerate(sessions):
        session["number"] = number
    groups = []
    for day, todays in spread_over_days(season, sessions).items():
        groups += runs_of_day(season, rng, day, todays, control)
    number_bolts(rng, groups)
    season.runs = [run for group in groups for run in group]
    return groups


def runs_of_day(season: Season, rng, day: str, sessions: list, control: tuple) -> list:
    """A check run, the sessions in rounds so that packs rest, and a check run."""
    second = 8 * 3600 + rng.randint(20, 55) * 60 + rng.randint(0, 59)
    rounds = [first_control(control)]
    rotating = [s for s in sessions if not s["several"]]
    for turn in range(max([s["runs"] for s in rotating], default=0)):
        rounds += [s for s in rotating if turn < s["runs"]]
        if turn == 0:
            rounds += [s for s in sessions if s["several"]]
    rounds.append(first_control(control))
    groups, done, order = [], {}, 0
    for place, session in enumerate(rounds):
        group = []
        for _ in range(session["runs"] if session["several"] else 1):
            turn = done[session["number"]] = done.get(session["number"], 0) + 1
            name = ("control", place) if session["number"] == -1 else (session["number"], turn)
            group.append(make_run(season, session, day, second, order, name))
            order += 1
            second += rng.randint(*SEVERAL_REST_S)
        groups.append(group)
        second += rng.randint(130, 290)
    exclude_one(season, rng, groups, sessions)
    return groups


def first_control(control: tuple) -> dict:
    session = new_session(*control)
    return {**session, "runs": 1, "number": -1}


def make_run(season: Season, session: dict, day: str, second: int, order: int, name: tuple) -> Run:
    return Run(
        key=f"{day}/{name[0]}/{name[1]}",
        session=session["number"],
        tool=session["tool"],
        pack=session["pack"],
        specimen=session["specimen"],
        pack_specimen=session["pack_specimen"],
        setup=session["setup"],
        day=day,
        second=second,
        order=order,
        control=session["number"] == -1,
        edition=season.days[day].edition,
    )


def exclude_one(season: Season, rng, groups: list, sessions: list) -> None:
    """In sessions marked so, one run went wrong and the notebook says it."""
    for session in sessions:
        if not session["excluded"]:
            continue
        runs = [r for g in groups for r in g if r.session == session["number"]]
        run = rng.choice(runs[:-1])
        kind = rng.choice(["slip", "let_go"])
        run.open_mishap = {"slip": {"slip_at_s": 0.7}, "let_go": {"let_go_s": 1.4}}[kind]
        run.excluded = {"slip": "socket slipped", "let_go": "trigger let go too early"}[kind]
        run.excluded_edition = run.edition


def number_bolts(rng, groups: list) -> None:
    """Counts the uses of the bolt; it is renewed after 25 to 40."""
    use, limit = 1, rng.randint(25, 40)
    for group in groups:
        for run in group:
            if use > limit:
                use, limit = 1, rng.randint(25, 40)
                run.remark = "bolt renewed"
            run.bolt_use = use
            use += 1
