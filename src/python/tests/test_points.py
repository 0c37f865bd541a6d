"""Points: against the tool, one by one; broadcast; what is refused; a million."""

import _thread
import pickle
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest
import risewater as rw

# What the solver leaves open, where it sets out from different neighbours.
SOLVER = 1e-9
L_PER_MIN = 1e-3 / 60


def flat(answer):
    """What the tool's answer has of the columns."""
    point, interval = answer["point"] or {}, answer["interval"] or {}
    return {
        "outcome": answer["outcome"],
        "water_flow_m3_per_s": answer["water_flow_m3_per_s"],
        "interval_low_m3_per_s": interval.get("low_m3_per_s"),
        "interval_high_m3_per_s": interval.get("high_m3_per_s"),
        "air_mass_flow_kg_per_s": answer["air_mass_flow_kg_per_s"],
        "startup_gauge_pressure_pa": answer["startup_gauge_pressure_pa"],
        **{k: point.get(k) for k in ("injection_pressure_pa", "efficiency", "injection_power_w")},
    }


def assert_is(columns, place, answer):
    for name, due in flat(answer).items():
        found = columns[name][place]
        if due is None:
            assert np.isnan(found), name
        elif isinstance(due, str):
            assert found == due
        else:
            assert found == pytest.approx(due, rel=SOLVER), name


def test_flow_and_interval_are_the_tools(tool, design):
    bores, air = np.array([[0.04], [0.0762]]), np.array([0.2, 60, 120]) * L_PER_MIN
    found = rw.interval(design, riser_bore_m=bores, air_flow_m3_per_s=air)
    assert found.shape == (2, 3)
    for place in np.ndindex(2, 3):
        bore, flow = bores[place[0], 0], air[place[1]]
        own = ("--set", f"riser.bore={bore} m", "--set", f"air.flow={flow} m3/s")
        assert_is(found, place, tool.json("flow", design, *own))
    plain = rw.flow(design, riser_bore_m=bores, air_flow_m3_per_s=air)
    assert "interval_low_m3_per_s" not in plain
    np.testing.assert_allclose(plain.water_flow_m3_per_s, found.water_flow_m3_per_s, rtol=SOLVER)
    assert {"below_threshold", "pumping"} <= set(found.outcome.ravel())


def test_air_for_is_the_tools(tool, design):
    wanted = np.array([60.0, 120.0, 9000.0]) * L_PER_MIN
    found = rw.air_for(design, water_flow_m3_per_s=wanted, interval=True)
    for place in (0, 1):
        answer = tool.json("flow", design, "--want", f"{wanted[place]} m3/s")
        assert_is(found, place, answer)
    due = tool.error("flow", design, "--want", f"{wanted[2]} m3/s")
    assert found.outcome[2] == due["code"] == "above_peak"
    assert str(found.errors[2,]) == due["message"]
    assert np.isnan(found.water_flow_m3_per_s[2])


def test_peak_is_the_tools(tool, design):
    found = rw.peak(design, riser_lift_m=[0.1, 0.3])
    for place, lift in enumerate((0.1, 0.3)):
        due = tool.json("curve", design, "--set", f"riser.lift={lift} m")["peak"]
        assert found.water_flow_m3_per_s[place] == pytest.approx(due["water_flow_m3_per_s"], rel=SOLVER)
        assert found.air_mass_flow_kg_per_s[place] == pytest.approx(due["air_mass_flow_kg_per_s"], rel=1e-6)


def test_one_point_is_plain(tool, design):
    found = rw.flow(design, riser_bore_m=0.05)
    assert isinstance(found.water_flow_m3_per_s, float)
    assert found.outcome == "pumping"
    assert found.shape == ()
    due = tool.json("flow", design, "--set", "riser.bore=50 mm")
    assert found.water_flow_m3_per_s == pytest.approx(due["water_flow_m3_per_s"], rel=SOLVER)


def test_texts_are_as_in_a_file(tool, design):
    pipes = ["ASTM D1785 Sch 40 3 in", "ASTM D1785 Sch 40 2 in", "ASTM D1785 Sch 40 3 in"]
    text = Path(design).read_text().replace("bore", "# bore")
    found = rw.flow(text, riser_pipe=pipes, riser_outlet="elbow", air_flow_m3_per_s="60 L/min")
    for place, pipe in enumerate(pipes):
        own = ("--set", f"riser.pipe={pipe}", "--set", "riser.outlet=elbow", "--set", "air.flow=60 L/min")
        due = tool.json("flow", design, *own)
        assert found.water_flow_m3_per_s[place] == pytest.approx(due["water_flow_m3_per_s"], rel=SOLVER)
    assert list(found.riser_pipe) == pipes


def test_without_a_file_all_is_given():
    keys = {"riser_submergence_m": 1.0, "riser_lift_m": 0.1, "water_temperature_k": 287.15}
    found = rw.flow(riser_bore_m=[0.05, 0.06], air_mass_flow_kg_per_s=2e-3, **keys)
    assert found.water_flow_m3_per_s[0] < found.water_flow_m3_per_s[1]
    with pytest.raises(rw.Error, match="temperature"):
        rw.flow(riser_bore_m=0.05, riser_submergence_m=1.0, riser_lift_m=0.1, air_mass_flow_kg_per_s=2e-3)


def test_what_is_wrong_for_all_raises(tool, design):
    for key, text, words in [
        ("riser.bore", "9 m", "1 to 3000 mm"),
        ("riser.outlet", "elbo", "elbow"),
        ("water.salinity", "2 kg/kg", "salinity"),
    ]:
        due = tool.error("flow", design, "--set", f"{key}={text}")
        name = next(name for name, (path, _) in rw.KEYS.items() if path == key)
        with pytest.raises(rw.Error) as caught:
            rw.flow(design, **{name: text})
        assert words in str(caught.value)
        assert due["message"].endswith(str(caught.value))
        assert caught.value.code == due["code"]
        assert caught.value.key == due["details"][0]["key"] == key


def test_what_is_wrong_of_one_point_leaves_the_others(design):
    bores = [0.05, 9.0, np.nan, 0.06, -1.0]
    found = rw.flow(design, riser_bore_m=bores)
    assert list(found.outcome) == ["pumping", "out_of_range", "not_finite", "pumping", "out_of_range"]
    with pytest.raises(rw.Error) as alone:
        rw.flow(design, riser_bore_m=9.0)
    assert list(found.errors) == [(1,), (2,)]
    assert str(found.errors[1,]) in str(alone.value)
    assert found.errors[1,].key == "riser.bore"
    good = rw.flow(design, riser_bore_m=[0.05, 0.06])
    np.testing.assert_allclose(found.water_flow_m3_per_s[[0, 3]], good.water_flow_m3_per_s, rtol=SOLVER)
    # Of numbers that are right by themselves, as in a sweep.
    lines = rw.flow(design, riser_bore_m=[0.05, 0.05], riser_air_line_m=[0.02, 0.06])
    assert list(lines.outcome) == ["pumping", "inconsistent"]


def test_wrong_names_and_shapes(design):
    with pytest.raises(TypeError, match="did you mean 'riser_bore_m'"):
        rw.flow(design, riser_bor_m=0.05)
    with pytest.raises(ValueError, match="broadcast"):
        rw.flow(design, riser_bore_m=[0.05, 0.06], riser_lift_m=[0.1, 0.2, 0.3])
    with pytest.raises(rw.Error, match="can vary") as caught:
        rw.flow(design, duty_lift_m=[0.1, 0.2])
    assert caught.value.key == "duty.lift"
    with pytest.raises(rw.Error) as caught:
        rw.flow("no-such-file.toml")
    assert caught.value.code == "unreadable"
    again = pickle.loads(pickle.dumps(caught.value))
    assert (str(again), again.code) == (str(caught.value), "unreadable")


def test_no_point_is_no_row(design):
    found = rw.flow(design, riser_bore_m=np.empty((0, 3)))
    assert found.water_flow_m3_per_s.shape == (0, 3)


def test_level_and_threads(design):
    wide = rw.interval(design, level=0.95, threads=2)
    narrow = rw.interval(design, level=0.5)
    assert wide.interval_low_m3_per_s < narrow.interval_low_m3_per_s
    with pytest.raises(rw.Error) as caught:
        rw.interval(design, level=2)
    assert caught.value.code == "out_of_range"


def test_frames(design):
    found = rw.flow(design, riser_bore_m=[0.05, 9.0], model_slip=["smith_drift", "reinemann_1990"])
    pandas, polars = found.to_pandas(), found.to_polars()
    assert list(pandas.columns) == list(polars.columns) == list(found)
    assert list(found)[:2] == ["riser_bore_m", "model_slip"]
    assert pandas.outcome.tolist() == polars["outcome"].to_list() == ["pumping", "out_of_range"]
    assert polars["water_flow_m3_per_s"][1] is None
    assert np.isnan(pandas.water_flow_m3_per_s[1])
    again = rw.flow(design, **pandas[["riser_bore_m", "model_slip"]])
    np.testing.assert_array_equal(again.water_flow_m3_per_s, found.water_flow_m3_per_s)


def test_others_run_meanwhile_and_an_interrupt_ends_it(design):
    air = np.random.default_rng(1).uniform(1e-3, 3e-3, 3_000_000)
    ticks = []

    def interrupt():
        for _ in range(10):
            time.sleep(0.02)
            ticks.append(time.monotonic())
        _thread.interrupt_main()

    other = threading.Thread(target=interrupt)
    with pytest.raises(KeyboardInterrupt):
        other.start()
        rw.flow(design, air_flow_m3_per_s=air)
    ended = time.monotonic()
    other.join()
    assert len(ticks) == 10, "the lock was free"
    assert ended - ticks[-1] < 1.0


def test_arrays_that_stand_askew_in_memory(design):
    """As those that another process sent may; a build with debug assertions refuses to read them."""
    air = np.linspace(1e-3, 3e-3, 5)
    askew = np.frombuffer(b"-" + air.tobytes(), dtype=np.float64, offset=1)
    assert not askew.flags.aligned
    found = rw.flow(design, air_mass_flow_kg_per_s=askew)
    assert np.array_equal(found.water_flow_m3_per_s, rw.flow(design, air_mass_flow_kg_per_s=air).water_flow_m3_per_s)


def test_stubs_are_those_of_the_keys():
    here = Path(__file__).parents[1]
    sys.path.insert(0, str(here))
    import stubs

    due = (here / "python/risewater/_keys.pyi").read_text()
    assert due == stubs.stubs(), "python stubs.py > python/risewater/_keys.pyi"


def test_types_of_these_tests():
    here = Path(__file__).parents[1]
    args = [sys.executable, "-m", "mypy", "--ignore-missing-imports", "--warn-unused-ignores", "tests"]
    done = subprocess.run(args, cwd=here, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
