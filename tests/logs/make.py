"""Writes the awkward logs beside this file, the same bytes every time: one oddity each. All are invented.

    python3 make.py
    python3 make.py --check    # writes nothing; fails where a log is not what it would write

Every run is one shape: quiet for 0.25 s, a straight rise within 0.5 s, level to 1.5 s, with a ripple of whole

`expected.txt` states it from here, not from what the program reads.
"""

import sys
from pathlib import Path

HERE = Path(__file__).parent
CHECKS = "--check" in sys.argv[1:]

LBF_FT = 1.3558179483314004
"""One pound-force foot in newton metres: 0.45359237 kg times 9.80665 m/s² times 0.3048 m."""

RIPPLE = [0.0, 0.4, 0.0, 0.0, -0.4, 0.0, 0.0]
STEP_S = 0.005


def shape(peak, n=301, ripple=1.0, start=0.25, rise=0.5):
    """Times and torques of the run: one sample each 5 ms."""
    rows = []
    for i in range(n):
        t = i * STEP_S
        share = min(max((t - start) / rise, 0.0), 1.0)
        rows.append((t, peak * share + ripple * RIPPLE[i % 7]))
    return rows


def text(header, rows, sep=",", end="\n", time="{:.3f}", torque="{:.4f}", scale=(1.0, 1.0), comma=False, tail=()):
    """A log: lines of the header, rows in their units and marks, lines after them."""
    lines = list(header)
    for t, x in rows:
        line = [time.format(t / scale[0]), torque.format(x / scale[1])]
        lines.append(sep.join(field.replace(".", ",") if comma else field for field in line))
    return end.join([*lines, *tail, ""])


def grouped(value, thousands, decimal, digits=1):
    return f"{value:,.{digits}f}".replace(",", "\0").replace(".", decimal).replace("\0", thousands)


PLAIN = ["time [s],torque [N·m]"]
RUN = shape(338.0)
LOGS = {}


def log(name, content, encoding="utf-8"):
    LOGS[name] = content if isinstance(content, bytes) else content.encode(encoding)


# Units in the header.
log("unit-after-a-hyphen.csv", text(["time [s],Torque lbf-ft"], RUN, scale=(1, LBF_FT)))
log("unit-after-a-comma.csv", text(['"Time, s","Torque, ft·lb"'], RUN, scale=(1, LBF_FT)))
log("unit-in-inch-pounds.csv", text(["time_s,torque_in_lb (in-lb)"], RUN, scale=(1, LBF_FT / 12)))
log("unit-by-underscore.csv", text(["time_ms,torque_Nm"], RUN, scale=(1e-3, 1), time="{:.0f}"))
log("unit-by-slash.csv", text(["t/s,M/Nm"], RUN))
log("unit-in-german.csv", text(["Zeit in ms,Drehmoment in Nm"], RUN, scale=(1e-3, 1), time="{:.0f}"))
log("unit-micro-sign.csv", text(["t [µs],M [N⋅m]"], RUN, scale=(1e-6, 1), time="{:.0f}"))
log("unit-micro-letter.csv", text(["t [μs],M [N m]"], RUN, scale=(1e-6, 1), time="{:.0f}"))
log("unit-milli.csv", text(["time [s],torque [mN·m]"], shape(1.42, ripple=0.01), scale=(1, 1e-3), torque="{:.2f}"))
log("unit-kilo.csv", text(["time [s],torque (kN·m)"], RUN, scale=(1, 1e3), torque="{:.7f}"))
log("unit-kilogram-force.csv", text(["time [s],torque [kgf·m]"], RUN, scale=(1, 9.80665)))
log("unit-unsaid-torque.csv", text(["time [s],torque"], RUN, scale=(1, LBF_FT)))
log("unit-unsaid-time.csv", text(["time,torque [N·m]"], RUN, scale=(1e-3, 1), time="{:.0f}"))
log("unit-not-a-token.csv", text(["items,torqueNms"], RUN))
log("unit-of-a-rate.csv", text(["time [s],torque [N·m/s]"], RUN))
log("unit-mega.csv", text(["time [s],torque [MN·m]"], RUN))
log("unit-twice.csv", text(["time [s],torque [N·m] (lbf·ft)"], RUN))
log("unit-other-than-the-option.csv", text(["time [s],Torque lbf-ft"], RUN, scale=(1, LBF_FT)))
log("torque-twice.csv", "\n".join(["time [s],set [N·m],torque [N·m]"] + [f"{t:.3f},400,{x:.4f}" for t, x in RUN]) + "\n")
log("header-twice.csv", "\n".join(["time [s],torque [N·m],torque [N·m]"] + [f"{t:.3f},{x:.4f},0" for t, x in RUN]) + "\n")
log("tension.csv", text(["time [s],bolt (kN)"], RUN, scale=(1, 4.2), torque="{:.6f}"))

# How the text is written.
log("semicolons-and-commas.csv", text(["Zeit [s];Moment [Nm]"], RUN, sep=";", comma=True))
log("tabs.txt", text(["time [s]\ttorque [N·m]"], RUN, sep="\t"))
log("blanks.txt", text(["  time/s   torque/Nm"], RUN, sep="     "))
log("pipes.txt", text(["time [s] | torque [N·m]"], RUN, sep=" | "))
log("crlf.csv", text(PLAIN, RUN, end="\r\n"))
log("cr-alone.csv", text(PLAIN, RUN, end="\r"))
log("latin-1.csv", text(["time [s];torque [N·m]"], RUN, sep=";"), "latin-1")
log("utf-16.csv", b"\xff\xfe" + text(PLAIN, RUN).encode("utf-16-le"))
log("byte-order-mark.csv", "\ufeff" + text(PLAIN, RUN))
log("preamble.csv", text(["Logger X1, invented", "operator: nobody", "rate,200", "", *PLAIN], RUN))
log("preamble-semicolons.csv", text(["Messung 7", "", "Zeit [s];Moment [Nm]"], RUN, sep=";", comma=True))
log("units-row.csv", text(["time,torque", "s,lbf·ft"], RUN, scale=(1, LBF_FT)))
log("units-row-repeated.csv", text(["time [s],torque [N·m]", "s,N·m"], RUN))
log("no-header.csv", text([], RUN))
log("rate.csv", "torque [N·m]\n" + "".join(f"{x:.4f}\n" for _, x in RUN))
log("footer.csv", text(PLAIN, RUN, tail=["Max,338.4", "Min,-0.4"]))
log("trailing-commas.csv", "\n".join(["time [s],torque [N·m],"] + [f"{t:.3f},{x:.4f},," for t, x in RUN] + [",,", ""]))
log("header-in-two-lines.csv", text(['"time\n[s]","torque\n[N·m]"'], RUN))
log("scientific.csv", text(PLAIN, RUN, time="{:.6E}", torque="{:+.6E}"))
log("minus-sign.csv", text(PLAIN, RUN).replace("-", "−"))

# Numbers.
BIG = shape(2338.0)
log("thousands-commas.csv", "time [s];torque [N·m]\n" + "".join(f"{t:.3f};{grouped(x, ',', '.')}\n" for t, x in BIG))
log("thousands-points.csv", "time [s];torque [N·m]\n" + "".join(f"{t:.3f};{grouped(x, '.', ',')}\n".replace(f"{t:.3f}", f"{t:.3f}".replace(".", ",")) for t, x in BIG))
log("thousands-blanks.csv", "time [s];torque [N·m]\n" + "".join(f"{t:.3f};{grouped(x, chr(0x202F), '.')}\n" for t, x in BIG))
log("thousands-quoted.csv", "time [s],torque [N·m]\n" + "".join(f'{t:.3f},"{grouped(x, ",", ".")}"\n' for t, x in BIG))
log("comma-two-ways.csv", "time [ms];torque [N·m]\n" + "".join(f"{round(t * 1000)};{grouped(1234 + 5 * i, ',', '.', 0)}\n" for i, (t, _) in enumerate(BIG)))
log("point-after-decimal-comma.csv", "time [ms];torque [N·m]\n" + "".join(f"{round(t * 1000)};{1 + i / 1000:.3f}\n" for i, (t, _) in enumerate(BIG)))

# Faults of rows.
log("words-in-every-row.csv", text(PLAIN, RUN[:2]) + "".join(f"{t + 0.01:.3f},overload\n" for t, _ in shape(1.0, n=2440)))
log("empty-fields.csv", "\n".join([*PLAIN] + [f"{t:.3f},{'' if i in (40, 90) else f'{x:.4f}'}" for i, (t, x) in enumerate(RUN)]) + "\n")
log("row-too-short.csv", text(PLAIN, RUN[:100]) + "0.500\n" + text([], RUN[101:]))
log("row-too-long.csv", text(PLAIN, RUN[:100]) + "0.500,169.1,7\n" + text([], RUN[101:]))
log("not-a-number.csv", text(PLAIN, RUN[:100]) + "0.500,NaN\n0.505,inf\n" + text([], RUN[102:]))
log("gap-of-empty-rows.csv", text(PLAIN, RUN[:100]) + ",\n,\n" + text([], RUN[101:]))
log("two-runs.csv", text(PLAIN, RUN) + text([], RUN))
log("time-of-day.csv", "time [s],torque [N·m]\n" + "".join(f"14:05:{t:06.3f},{x:.4f}\n" for t, x in RUN))
log("header-alone.csv", "time [s],torque [N·m]\n")
log("empty.csv", "")

# Runs that are strange.
log("sign-reversed.csv", text(PLAIN, [(t, -x) for t, x in RUN]))
log("clipped.csv", text(PLAIN, [(t, min(x, 250.0)) for t, x in RUN]))
log("loaded.csv", text(PLAIN, [(t, x) for t, x in RUN if t >= 0.4]))
log("sloping-lead-in.csv", text(PLAIN, [(t, x + (20 * t if t < 0.25 else 5.0)) for t, x in RUN]))
log("stepped-lead-in.csv", text(PLAIN, [(t, x + (5.0 if t >= 0.125 else 0.0)) for t, x in RUN]))
log("offset.csv", text(PLAIN, [(t, x + 12.0) for t, x in RUN]))
log("slow.csv", text(PLAIN, [(t * 4, x) for t, x in RUN]))
log("let-go.csv", text(PLAIN, [(t, x if t < 1.2 else 0.02 * x) for t, x in RUN]))
log("milliseconds-as-seconds.csv", text(PLAIN, RUN, scale=(1e-3, 1), time="{:.0f}"))
log("stamps-repeated.csv", text(PLAIN, RUN, time="{:.2f}"))
log("deep-negative.csv", text(PLAIN, [(t, x if abs(t - 1.4) > 1e-9 else -60.0) for t, x in RUN]))
log("clock-since-1970.csv", text(PLAIN, [(t + 1.8e9, x) for t, x in RUN], time="{:.3f}"))

for name, content in LOGS.items():
    path = HERE / name
    if CHECKS:
        if path.read_bytes() != content:
            sys.exit(f"{name} is not what make.py writes")
    else:
        path.write_bytes(content)
print(f"{len(LOGS)} logs, {sum(map(len, LOGS.values()))} bytes")
