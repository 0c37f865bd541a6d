"""Notebooks of two cases of the book: every line that they print stands on the page."""

from pathlib import Path

import nbformat
import pytest
from conftest import BOOK
from nbclient import NotebookClient

NOTEBOOKS = Path(__file__).parents[1] / "notebooks"


def squeezed(text):
    return " ".join(text.split())


@pytest.mark.parametrize("name", ["case-fry-raceway", "case-bench-trial"])
def test_a_notebook_prints_what_its_page_says(name):
    book = nbformat.read(NOTEBOOKS / f"{name}.ipynb", as_version=4)
    folder = {"metadata": {"path": str(BOOK / f"{name}.in")}}
    NotebookClient(book, timeout=120, kernel_name="python3", resources=folder).execute()
    outputs = [one for cell in book.cells if cell.cell_type == "code" for one in cell.outputs]
    lines = "".join(one.text for one in outputs if one.output_type == "stream").splitlines()
    page = squeezed((BOOK / f"{name}.md").read_text())
    assert len(lines) >= 6
    assert [line for line in lines if squeezed(line) not in page] == []
