"""Where the tool and the book are."""

import json
import os
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
TOOL = Path(os.environ.get("RISEWATER", ROOT / "target/debug/risewater"))
BOOK = ROOT / "book/src"


class Tool:
    """The command-line tool, against which all is held."""

    def run(self, *args, **options):
        args = [str(TOOL), *map(str, args)]
        return subprocess.run(args, capture_output=True, text=True, check=False, **options)

    def json(self, *args):
        done = self.run(*args, "--json")
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    def error(self, *args):
        done = self.run(*args, "--json")
        assert done.returncode != 0
        return json.loads(done.stderr[done.stderr.index("{") :])

    def parquet(self, folder, design, *vary):
        args = [part for one in vary for part in ("--vary", one)]
        done = self.run("sweep", design, *args, "--out", folder)
        assert done.returncode == 0, done.stderr
        return folder


@pytest.fixture(scope="session")
def tool():
    if not TOOL.exists():
        pytest.exit(f"build the tool first: there is no {TOOL}", 2)
    return Tool()


@pytest.fixture(scope="session")
def design(tmp_path_factory, tool):
    """The tool's example of one riser."""
    path = tmp_path_factory.mktemp("design") / "hatchery.toml"
    path.write_text(tool.run("example").stdout)
    return path
