"""The spelling of keys and columns that the design leaves partly open, in one place.

A value of None leaves the key out. Change a spelling here and every file follows.
"""

# Keys of a [[loggers]] block.
LOGGER = {
    "id": "id",
    "files": "files",
    "encoding": "encoding",
    "delimiter": "delimiter",
    "decimal": "decimal",
    "thousands": "thousands",
    "skip_lines": "skip_lines",
    "header_starts_with": "header_starts_with",
    "no_header": None,
    "units_row": "units_row",
    "end_before": "end_before",
    "time": "time",
    "rate_hz": "rate_hz",
    "split": "split",
    "clips_at_nm": "clips_at_nm",
    "name_pattern": "name_pattern",
}
# Keys of the inline tables of time, a channel and split.
CHANNEL = {"column": "column", "unit": "unit", "factor": "factor", "inverted": "inverted", "format": "format"}
SPLIT = {"torque": "torque_nm", "rest": "rest_s"}
# Values.
FIRST_COLUMN_NUMBER = 1
ENCODINGS = {"utf-8": "utf-8", "latin-1": "latin-1", "utf-16-le": "utf-16", "utf-16-be": "utf-16"}
# How a fraction of a second is written in a time format.
FORMAT_FRACTION = {"%.f": "%.f", ",%f": ",%f"}
# Columns of packs.csv for the nested `cells`.
CELLS = {"format": "cells.format", "series": "cells.series", "parallel": "cells.parallel"}
# Cells of yes-or-no columns.
YES, NO, NOT_SET = "yes", "no", ""
