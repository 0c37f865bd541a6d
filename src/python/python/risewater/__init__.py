"""Sizes airlift pumps: vectorised calls over NumPy arrays.

Arguments are keys of a design file, named as the columns of ``risewater sweep`` are: section, key and SI unit, such as
``riser_bore_m``. Each is a number, a text as a design file has it (``"3 in"``), or an array of either; arrays broadcast as
NumPy's do. Keys that are not given are those of ``design``: a path, or the text of a design file.

A number that is wrong for all points raises `Error`. In an array it makes its point one without results, whose ``outcome`` is
the code of the error; ``errors`` has the exception of the first point of each code.
"""

from __future__ import annotations

import difflib
import json
import math
from collections.abc import Callable, Iterator, Mapping
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _risewater
from ._risewater import Error

if TYPE_CHECKING:
    import pandas
    import polars
    import pyarrow
    from numpy.typing import ArrayLike
    from typing_extensions import Unpack

    from ._keys import Riser, Search

    # A path, or the text itself.
    Text = str | PathLike[str]

__all__ = [
    "Answer", "Columns", "Error", "KEYS",
    "air_for", "fit", "flow", "interval", "over", "peak", "reduce", "size",
]  # fmt: skip

#: Every argument: its key in a design file, and what it is.
KEYS: dict[str, tuple[str, str]] = {name: (key, words) for name, key, words in _risewater.names()}


class Columns(Mapping[str, Any]):
    """Columns of one shape by name, also as attributes."""

    def __init__(self, keys, results, shape, errors=()):
        self._columns = {**keys, **results}
        self._keys = frozenset(keys)
        #: Shape of every column.
        self.shape: tuple[int, ...] = shape
        #: Of each error the exception, by the place of its first point.
        self.errors: dict[tuple[int, ...], Error] = {np.unravel_index(row, shape): error for row, error in errors}

    def __getitem__(self, name: str) -> Any:
        column = self._columns[name]
        if isinstance(column, tuple):
            names, places = column
            column = np.array([*names, None], dtype=object)[places]
        return column.reshape(self.shape)[()]

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        try:
            return self[name]
        except KeyError:
            raise AttributeError(_unknown(name, self._columns)) from None

    def __dir__(self):
        return [*super().__dir__(), *self._columns]

    def __iter__(self) -> Iterator[str]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)

    def __repr__(self):
        return f"<risewater.Columns {self.shape}: {', '.join(self)}>"

    def to_arrow(self) -> pyarrow.Table:
        """A pyarrow.Table with a row a point; what a point has none of is null."""
        import pyarrow as pa

        def array(name, column):
            if isinstance(column, tuple):
                names, places = column
                return pa.array(names, pa.string()).take(pa.array(places, mask=places < 0))
            return pa.array(column, mask=None if name in self._keys else np.isnan(column))

        return pa.table({name: array(name, column) for name, column in self._columns.items()})

    def to_pandas(self) -> pandas.DataFrame:
        """A pandas.DataFrame with a row a point."""
        import pandas as pd

        def series(column):
            if isinstance(column, tuple):
                names, places = column
                return pd.Categorical.from_codes(places, names)
            return column

        return pd.DataFrame({name: series(column) for name, column in self._columns.items()})

    def to_polars(self) -> polars.DataFrame:
        """A polars.DataFrame with a row a point."""
        import polars as pl

        return pl.from_arrow(self.to_arrow())


class Answer(dict[str, Any]):
    """What the tool's ``--json`` gives; ``to_pandas()`` is its main table."""

    def __init__(self, text, table, calibration=None):
        super().__init__(json.loads(text))
        self._table = table
        #: Of a fit the measured points: an argument of `flow`, or a file for the tool's ``--calibration``.
        self.calibration: str | None = calibration

    def to_pandas(self) -> pandas.DataFrame:
        """A pandas.DataFrame, with nested keys joined by a low line."""
        import pandas as pd

        return pd.json_normalize(self[self._table], sep="_")


def _unknown(name, known):
    near = difflib.get_close_matches(name, known, n=1)
    hint = f"; did you mean {near[0]!r}?" if near else ""
    return f"there is no {name!r}{hint}"


def _read(design):
    """Text and folder of a design file."""
    if design is None:
        return "", Path()
    if isinstance(design, str) and ("\n" in design or not design.strip()):
        return design, Path()
    path = Path(design)
    try:
        return path.read_text(encoding="utf-8"), path.parent
    except OSError as error:
        raise _error(f"{path}: {error.strerror}", "unreadable") from error


def _error(words, code):
    error = Error(words)
    error.code, error.key = code, None
    return error


def _table_text(table):
    for name in ("write_csv", "to_csv"):
        if hasattr(table, name):
            return getattr(table, name)(**({"index": False} if name == "to_csv" else {}))
    return _read(table)[0]


def _given(keys, *others):
    """Arguments for the library, their columns, and the shape of all."""
    for name in keys:
        if name not in KEYS:
            raise TypeError(_unknown(name, KEYS))
    arrays = {name: np.asarray(value) for name, value in keys.items()}
    shape = np.broadcast_shapes(*(a.shape for a in arrays.values()), *(np.shape(o) for o in others))
    given, columns = [], {}
    for name, array in arrays.items():
        if array.ndim == 0:
            value = array[()]
            if isinstance(value, (bool, np.bool_)):
                value = "true" if value else "false"
            given.append((name, str(value) if isinstance(value, str) else float(value)))
            continue
        if array.dtype.kind in "OUST":
            names, places = np.unique(array.astype(str), return_inverse=True)
            places = _spread(places.reshape(array.shape), shape, np.uint32)
            columns[name] = (names.tolist(), places.astype(np.int32))
            given.append((name, (names.tolist(), places)))
        else:
            columns[name] = _spread(array, shape, np.float64)
            given.append((name, columns[name]))
    return given, columns, shape


def _spread(array, shape, kind):
    # The library reads whole numbers of memory: arrays out of files and from other processes may stand askew.
    return np.require(np.broadcast_to(array, shape), kind, ["C", "ALIGNED"]).reshape(-1)


def _sure(level, calibration):
    if isinstance(calibration, Answer):
        calibration = calibration.calibration
    return level, None if calibration is None else _read(calibration)[0]


def _solve(asked, design, keys, wanted=None, *, interval, level, calibration, threads):
    others = () if wanted is None else (wanted,)
    given, columns, shape = _given(keys, *others)
    if wanted is not None:
        wanted = _spread(np.asarray(wanted), shape, np.float64)
    text, folder = _read(design)
    results, errors = _risewater.solve(
        text, folder, given, math.prod(shape), asked, wanted, interval, _sure(level, calibration), threads
    )
    if shape == () and errors:
        raise errors[0][1]
    return Columns(columns, results, shape, errors)


def flow(
    design: Text | None = None,
    *,
    interval: bool = False,
    level: float | None = None,
    calibration: Text | Answer | None = None,
    threads: int = 0,
    **keys: Unpack[Riser],
) -> Columns:
    """What risers do at their air flows."""
    return _solve("flow", design, keys, interval=interval, level=level, calibration=calibration, threads=threads)


def interval(
    design: Text | None = None,
    *,
    level: float | None = None,
    calibration: Text | Answer | None = None,
    threads: int = 0,
    **keys: Unpack[Riser],
) -> Columns:
    """The same with where the true water flow lies: far slower."""
    return flow(design, interval=True, level=level, calibration=calibration, threads=threads, **keys)


def air_for(
    design: Text | None = None,
    *,
    water_flow_m3_per_s: ArrayLike,
    interval: bool = False,
    level: float | None = None,
    calibration: Text | Answer | None = None,
    threads: int = 0,
    **keys: Unpack[Riser],
) -> Columns:
    """What risers do at the air that a water flow takes, the least."""
    return _solve(
        "air_for", design, keys, water_flow_m3_per_s,
        interval=interval, level=level, calibration=calibration, threads=threads,
    )  # fmt: skip


def peak(
    design: Text | None = None,
    *,
    interval: bool = False,
    level: float | None = None,
    calibration: Text | Answer | None = None,
    threads: int = 0,
    **keys: Unpack[Riser],
) -> Columns:
    """What risers do where their water flow is highest."""
    return _solve("peak", design, keys, interval=interval, level=level, calibration=calibration, threads=threads)


def size(
    design: Text | None = None,
    *,
    level: float | None = None,
    calibration: Text | Answer | None = None,
    **keys: Unpack[Search],
) -> Any:
    """Designs for a duty: an `Answer`; with arrays the best design of each point, as `Columns`."""
    given, columns, shape = _given(keys)
    text, folder = _read(design)
    rows = math.prod(shape)
    found = _risewater.size(text, folder, given, rows, shape == (), _sure(level, calibration))
    if shape == ():
        if isinstance(found[0], Error):
            raise found[0]
        return Answer(found[0], "designs")
    best, errors = [], {}
    for row, one in enumerate(found):
        if isinstance(one, Error):
            errors.setdefault(one.code, (row, one))
            best.append({"outcome": one.code})
        else:
            best.append({"outcome": "met", **_flat(json.loads(one))})
    names = dict.fromkeys(name for one in best for name in one)
    results = {name: _column([one.get(name) for one in best]) for name in names}
    return Columns(columns, results, shape, errors.values())


def _flat(facts, before=""):
    """Numbers and texts, with nested keys joined by a low line."""
    flat = {}
    for name, value in facts.items():
        if isinstance(value, dict):
            flat.update(_flat(value, f"{before}{name}_"))
        elif isinstance(value, (str, float, int)):
            flat[before + name] = value
    return flat


def _column(values):
    if any(isinstance(value, str) for value in values):
        names = sorted({value for value in values if value is not None})
        places = {name: place for place, name in enumerate(names)}
        return names, np.array([places.get(value, -1) for value in values], np.int32)
    return np.array([np.nan if value is None else value for value in values], np.float64)


def reduce(sheet: Any, rig: Text | None = None, *, level: float | None = None, **keys: Any) -> Answer:
    """The runs of a bench trial's sheet (a path, text or DataFrame) reduced to flows."""
    given, _, _ = _given(keys)
    rig = None if rig is None and not given else _read(rig)[0]
    return Answer(_risewater.reduce(rig, given, _table_text(sheet), level), "runs")


def fit(
    sheet: Any, rig: Text, *, configuration: str | None = None, level: float | None = None, **keys: Any
) -> Answer:
    """What a bench trial says of its riser; its ``calibration`` is an argument of `flow`."""
    given, _, _ = _given(keys)
    answer, points = _risewater.fit(_read(rig)[0], given, _table_text(sheet), configuration, level)
    return Answer(answer, "runs", points)


def over(
    batch: Any, design: Text | None = None, *, ask: Callable[..., Columns] = flow, **options: Any
) -> pyarrow.Table:
    """A pyarrow.Table of keys and results, of a batch or table of keys: for Dask, Ray and others that map over batches."""
    keys = {name: batch.column(name).to_numpy(zero_copy_only=False) for name in batch.schema.names}
    return ask(design, **keys, **options).to_arrow()
