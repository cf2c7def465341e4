"""The things of a season: tools, packs, units, days, runs, logs. Only data, no rules."""

from dataclasses import dataclass, field
from datetime import date
from typing import Callable, Optional


@dataclass
class Tool:
    """A kind of tool. `level_nm` is the torque it levels off at on its nominal voltage."""

    id: str
    name: str
    maker: str
    mount: str
    size: str
    mass_kg: float
    length_mm: int
    side_mm: int
    drive_mm: float
    level_nm: float
    rise_s: float
    slow_s: float
    slow_share: float
    blows_per_s: float
    winding_ohm: float
    run_scatter: float
    early_scatter: float


@dataclass
class Pack:
    """A kind of battery pack. Voltage of a full pack and resistance of a typical unit."""

    id: str
    name: str
    mount: str
    nominal_v: float
    capacity_ah: float
    cell_format: str
    series: int
    parallel: int
    mass_kg: float
    open_v: float
    resistance_ohm: float


@dataclass
class Unit:
    """One physical tool or pack; `factor` multiplies the torque level."""

    kind: str
    of: str
    name: str
    factor: float
    got: str
    got_from: str
    condition: str
    made: str
    serial_ends: str


@dataclass
class Day:
    """One day at the rig; `gain` multiplies every torque of the day."""

    date: date
    ambient_c: int
    operator: str
    note: str
    gain: float
    edition: int

    @property
    def id(self) -> str:
        return self.date.isoformat()


@dataclass
class Calibration:
    """A calibration of the rig."""

    date: date
    nm_per_kn: float
    uncertainty_percent: float


@dataclass
class Run:
    """One pull of the trigger. `key` names its random stream and never changes.

    `second` is the second of the day at which the log begins. `mishap` is what
    went wrong at the rig, if anything: see `physics.MISHAPS`. `open_mishap` is one
    that the notebook tells of (an excluded run), part of the sound season.
    """

    key: str
    session: int
    tool: str
    pack: str
    specimen: str
    pack_specimen: str
    setup: str
    day: str
    second: int
    order: int
    control: bool
    edition: int
    excluded: str = ""
    excluded_edition: Optional[int] = None
    bolt_use: int = 0
    remark: str = ""
    mishap: dict = field(default_factory=dict)
    open_mishap: dict = field(default_factory=dict)


@dataclass
class Channel:
    """A column that holds a measured quantity. Quantity = value in file × factor, in `unit`."""

    quantity: str
    name: str
    unit: str
    unit_text: str
    decimals: int
    factor: float = 1.0
    inverted: bool = False


@dataclass
class Shape:
    """All that one logger's files have in common."""

    id: str
    language: str
    encoding: str
    mark: bool
    newline: str
    delimiter: str
    decimal: str
    thousands: str
    rate_hz: int
    channels: list
    columns: list
    time_kind: str
    time_name: str = ""
    time_unit: str = ""
    time_unit_text: str = ""
    time_format: str = ""
    time_decimals: int = 3
    time_start: str = "zero"
    uneven: bool = False
    has_header: bool = True
    header_style: str = "{name} [{unit}]"
    quoted_header: bool = False
    units_row: bool = False
    units_in_logger: bool = False
    preamble_lines: int = 0
    preamble_mark: str = ""
    preamble_joint: str = ": "
    remark_line: bool = False
    say_skip_lines: bool = False
    by_number: bool = False
    footer: bool = False
    blank_before_footer: bool = False
    split: Optional[tuple] = None
    clips_at_nm: Optional[int] = None
    naming: str = "counter"
    extension: str = "csv"
    folder: str = ""
    by_notebook: bool = False
    say_encoding: bool = False
    last_newline: bool = True


@dataclass
class Series:
    """Samples. `time_us` counts from the start of the log; quantities in N·m, deg, V, A."""

    time_us: list
    torque: list
    angle: list = field(default_factory=list)
    voltage: list = field(default_factory=list)
    current: list = field(default_factory=list)


@dataclass
class Log:
    """One file below `logs/`.

    The fields after `runs` hold what a mistake did to it: `edit` changes the
    samples, `edit_bytes` the finished bytes, `copy_of` takes another log's
    bytes, `samples_of` another log's samples, `written` False leaves it out,
    `time_decimals` overrides the decimals of the time column, `time_scale`
    multiplies what stands in it.
    """

    path: str
    shape: str
    runs: list
    edit: Optional[Callable] = None
    edit_bytes: Optional[Callable] = None
    copy_of: Optional["Log"] = None
    samples_of: Optional["Log"] = None
    written: bool = True
    time_decimals: Optional[int] = None
    time_scale: float = 1.0

    @property
    def spoilt(self) -> bool:
        """Whether a mistake changed its bytes or took it away."""
        done = self.edit or self.edit_bytes or self.copy_of or self.samples_of or self.time_decimals is not None
        return bool(done) or not self.written or self.time_scale != 1.0 or any(run.mishap for run in self.runs)


@dataclass
class Season:
    """Everything: `tables` and `bench` hold what the CSV and TOML files will say.

    `text_edits` change the finished text of a table, by its name.
    """

    seed: int
    small: bool
    tools: dict
    packs: dict
    units: list
    days: dict
    calibrations: list
    edition_dates: dict
    runs: list = field(default_factory=list)
    shapes: dict = field(default_factory=dict)
    logs: list = field(default_factory=list)
    tables: dict = field(default_factory=dict)
    bench: dict = field(default_factory=dict)
    table_style: dict = field(default_factory=dict)
    text_edits: dict = field(default_factory=dict)
    pair_effects: dict = field(default_factory=dict)

    def unit(self, kind: str, of: str, name: str) -> Unit:
        """The tool specimen or pack unit of this name."""
        return next(u for u in self.units if (u.kind, u.of, u.name) == (kind, of, name))
