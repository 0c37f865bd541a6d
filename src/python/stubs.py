"""Prints the keys as types, for editors and checkers: ``python stubs.py > python/risewater/_keys.pyi``."""

import risewater

HEAD = '''"""Keys of design files as arguments. Written by stubs.py."""

from typing import TypedDict

from numpy.typing import ArrayLike
'''


def keys(name, words, sections):
    lines = [f"class {name}, total=False):", f'    """{words}"""', ""]
    for key, (path, meaning) in risewater.KEYS.items():
        if path.split(".")[0] in sections:
            lines.append(f"    {key}: ArrayLike  # {meaning}")
    return "\n".join(lines) + "\n"


def stubs():
    riser = keys("Riser(TypedDict", "Keys of one riser.", ("water", "site", "riser", "model", "air", "gas"))
    search = keys("Search(Riser", "Those of a search for designs, too.", ("duty", "limits", "tank"))
    return f"{HEAD}\n{riser}\n{search}"


if __name__ == "__main__":
    print(stubs(), end="")
