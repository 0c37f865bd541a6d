"""Calls with types, for mypy, which test_points runs."""

from pathlib import Path

import numpy as np
import risewater as rw


def water(design: Path, bores: list[float]) -> np.ndarray:
    points: rw.Columns = rw.flow(design, riser_bore_m=bores, model_slip="smith_drift", threads=1)
    wide: rw.Columns = rw.interval(design, riser_bore_m=np.asarray(bores), level=0.9)
    found: np.ndarray = points.water_flow_m3_per_s / wide.water_flow_m3_per_s
    return found


def test_typed_calls(design: Path) -> None:
    assert water(design, [0.05, 0.06]).shape == (2,)
    try:
        rw.peak(design, riser_bore_m=9.0)
    except rw.Error as error:
        code: str = error.code
        assert code == "design_file"
    # A word that is no key is found by mypy, too, which would say so if nothing were wrong.
    try:
        rw.flow(design, riser_bor_m=0.05)  # type: ignore[call-arg]
    except TypeError:
        pass
