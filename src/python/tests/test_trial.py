"""Searches and bench trials: against the tool."""

import numpy as np
import pandas as pd
import pytest
import risewater as rw
from conftest import BOOK

FRY = BOOK / "case-fry-raceway.in/fry-raceway.toml"
SHEET, RIG = BOOK / "case-bench-trial.in/bench.csv", BOOK / "case-bench-trial.in/rig.toml"


def test_size_is_the_tools(tool):
    due = tool.json("size", FRY)
    found = rw.size(FRY)
    # Its name and number stand before it.
    assert dict(found) == due
    table = found.to_pandas()
    assert len(table) == len(due["designs"])
    assert table.bore_m[0] == due["designs"][0]["bore_m"]


def test_size_of_several_duties(tool):
    water = [90e-3 / 60, 60e-3 / 60, 10.0]
    found = rw.size(FRY, duty_water_flow_m3_per_s=water)
    for place in (0, 1):
        best = tool.json("size", FRY, "--set", f"duty.water_flow={water[place]} m3/s")["designs"][0]
        assert (found.pipe[place], found.lifts[place]) == (best["pipe"], best["lifts"])
        assert found.each_air_mass_flow_kg_per_s[place] == pytest.approx(best["each"]["air_mass_flow_kg_per_s"])
    due = tool.error("size", FRY, "--set", "duty.water_flow=10 m3/s")
    assert found.outcome.tolist() == ["met", "met", due["code"]]
    assert found.pipe[2] is None
    assert due["message"].startswith(str(found.errors[2,]))
    with pytest.raises(rw.Error) as alone:
        rw.size(FRY, duty_water_flow_m3_per_s=10.0)
    assert alone.value.code == due["code"]


def test_reduce_is_the_tools(tool):
    due = tool.json("trial", "reduce", SHEET, "--rig", RIG, "--set", "trial.balance=0.005 kg")
    assert dict(rw.reduce(SHEET, RIG, trial_balance_kg=0.005)) == due
    assert dict(rw.reduce(SHEET)) == tool.json("trial", "reduce", SHEET)
    frame = pd.read_csv(SHEET, dtype=str, keep_default_na=False, comment="#")
    assert dict(rw.reduce(frame, RIG)) == tool.json("trial", "reduce", SHEET, "--rig", RIG)
    assert rw.reduce(frame, RIG).to_pandas().run.tolist() == ["R1", "R2", "R3", "R4", "R5", "R6"]


def test_fit_is_the_tools_and_calibrates(tool, tmp_path):
    file = tmp_path / "calibration.toml"
    due = tool.json("trial", "fit", SHEET, "--rig", RIG, "--save", file)
    found = rw.fit(SHEET, RIG)
    assert dict(found) == due
    assert found.calibration == file.read_text()
    place = ("riser.submergence=0.85 m", "riser.lift=0.16 m", "air.flow=12 L/min")
    sets = [part for one in place for part in ("--set", one)]
    answer = tool.json("flow", RIG, "--calibration", file, *sets)
    keys = {"riser_submergence_m": 0.85, "riser_lift_m": 0.16, "air_flow_m3_per_s": "12 L/min"}
    for calibration in (found, file, found.calibration):
        point = rw.interval(RIG, calibration=calibration, **keys)
        assert point.water_flow_m3_per_s == pytest.approx(answer["water_flow_m3_per_s"], rel=1e-9)
        assert point.interval_low_m3_per_s == pytest.approx(answer["interval"]["low_m3_per_s"], rel=1e-6)


def test_what_is_wrong_with_a_sheet(tool, tmp_path):
    bad = tmp_path / "bad.csv"
    bad.write_text(SHEET.read_text().replace(",0.85,", ",85000,"))
    due = tool.error("trial", "reduce", bad)
    with pytest.raises(rw.Error) as caught:
        rw.reduce(bad)
    assert caught.value.code == due["code"]
    assert due["message"].endswith(str(caught.value))
    with pytest.raises(rw.Error, match="name one configuration"):
        rw.fit(SHEET, RIG, configuration="another")
    assert np.isfinite(rw.fit(SHEET, RIG, level=0.95)["level"])
