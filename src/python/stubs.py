"""Prints the typed stubs of the package: ``python stubs.py > python/risewater/__init__.pyi``."""

import inspect

import risewater

HEAD = '''"""{doc}"""

# Written by stubs.py.
from collections.abc import Iterator, Mapping
from os import PathLike
from typing import Any, Protocol

from numpy.typing import ArrayLike

_Text = str | PathLike[str]

KEYS: dict[str, tuple[str, str]]

class Error(ValueError):
    """{error}"""

    code: str
    key: str | None

class Columns(Mapping[str, Any]):
    """{columns}"""

    shape: tuple[int, ...]
    errors: dict[tuple[int, ...], Error]
{attributes}
    def __getitem__(self, name: str) -> Any: ...
    def __iter__(self) -> Iterator[str]: ...
    def __len__(self) -> int: ...
    def __getattr__(self, name: str) -> Any: ...
    def to_arrow(self) -> Any: ...
    def to_pandas(self) -> Any: ...
    def to_polars(self) -> Any: ...

class Answer(dict[str, Any]):
    """{answer}"""

    calibration: str | None
    def to_pandas(self) -> Any: ...

class _Ask(Protocol):
    def __call__(self, design: _Text | None = None, /, **options: Any) -> Columns: ...
'''

OPTIONS = {
    "interval": "bool = False",
    "level": "float | None = None",
    "calibration": "_Text | Answer | None = None",
    "threads": "int = 0",
    "water_flow_m3_per_s": "ArrayLike",
}
# Sections of one riser; `size` reads those of a search, too.
RISER = ("water", "site", "riser", "model", "air", "gas")
SEARCH = (*RISER, "duty", "limits", "tank")


def question(name, sections):
    function = getattr(risewater, name)
    lines = [f"def {name}(", "    design: _Text | None = None,", "    *,"]
    for parameter in inspect.signature(function).parameters.values():
        if parameter.name in OPTIONS:
            lines.append(f"    {parameter.name}: {OPTIONS[parameter.name]},")
    for key, (path, words) in risewater.KEYS.items():
        if path.split(".")[0] in sections:
            lines.append(f"    {key}: ArrayLike = ...,  # {words}")
    result = "Any" if name == "size" else "Columns"
    return "\n".join([*lines, f") -> {result}:", f'    """{function.__doc__}"""', ""])


def stubs():
    point = risewater.flow(EXAMPLE, interval=True)
    attributes = "".join(
        f"    {name}: Any\n" for name in point
    )
    texts = HEAD.format(
        doc=risewater.__doc__,
        error=risewater.Error.__doc__,
        columns=risewater.Columns.__doc__,
        answer=risewater.Answer.__doc__,
        attributes=attributes,
    )
    parts = [question(name, RISER) for name in ("flow", "interval", "air_for", "peak")]
    parts.append(question("size", SEARCH))
    parts.append(f'''def reduce(sheet: Any, rig: _Text | None = None, *, level: float | None = None, **keys: Any) -> Answer:
    """{risewater.reduce.__doc__}"""

def fit(
    sheet: Any, rig: _Text, *, configuration: str | None = None, level: float | None = None, **keys: Any
) -> Answer:
    """{risewater.fit.__doc__}"""

def over(batch: Any, design: _Text | None = None, *, ask: _Ask = ..., **options: Any) -> Any:
    """{risewater.over.__doc__}"""
''')
    return texts + "\n" + "\n".join(parts)


EXAMPLE = """
[water]
temperature = "14 degC"
[riser]
bore = "76.2 mm"
submergence = "1.0 m"
lift = "0.10 m"
[air]
flow = "100 L/min"
reference = "dry_20_c"
"""

if __name__ == "__main__":
    print(stubs(), end="")
