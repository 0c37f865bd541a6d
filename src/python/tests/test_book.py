"""Python in the book runs as printed: the blocks of a page one after another."""

import re

import pytest
from conftest import BOOK

BLOCK = re.compile(r"^```python\n(.*?)^```$", re.MULTILINE | re.DOTALL)
PAGES = {path.name: BLOCK.findall(path.read_text()) for path in BOOK.glob("*.md")}
PAGES = {name: blocks for name, blocks in PAGES.items() if blocks}


def test_the_book_has_python():
    assert "many-cases.md" in PAGES


@pytest.mark.parametrize("name", PAGES)
def test_a_page_runs(name, tool, design, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "design.toml").write_text(design.read_text())
    tool.parquet(tmp_path / "cases.parquet", design, "riser.bore=50 mm, 80 mm", "air.flow=10 L/min..160 L/min*2")
    space = {"__name__": "page"}
    for block in PAGES[name]:
        exec(compile(block, name, "exec"), space)  # noqa: S102
