"""Files of the tool in other programs, and the wheel in other processes, row by row as the tool's sweep."""

import time

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pyarrow.dataset as ds
import pytest
import risewater as rw

SOLVER = 1e-9
VARY = ("riser.bore=40 mm..120 mm:5", "riser.submergence=0.6 m..1.2 m:4", "air.flow=5 L/min..200 L/min:40")
ROWS = 5 * 4 * 40


def assert_same(found: pa.Table, due: pa.Table):
    """The same columns and rows, as far as the solver goes."""
    assert found.column_names == due.column_names
    for name in due.column_names:
        one, other = found[name].to_pandas(), due[name].to_pandas()
        if pa.types.is_floating(due.schema.field(name).type):
            np.testing.assert_allclose(one, other, rtol=SOLVER, atol=0, err_msg=name)
        else:
            pd.testing.assert_series_equal(one, other, check_dtype=False)


@pytest.fixture(scope="module")
def parts(tool, design, tmp_path_factory):
    """A sweep of the tool, as a folder of Parquet."""
    return tool.parquet(tmp_path_factory.mktemp("sweep") / "cases.parquet", design, *VARY)


@pytest.fixture(scope="module")
def swept(parts):
    return ds.dataset(parts).to_table()


def test_duckdb_polars_and_pandas_read_a_sweep(parts, swept):
    import duckdb

    files = f"{parts}/*.parquet"
    lines = swept.num_rows, int((swept["outcome"].to_numpy() == "pumping").sum())
    assert lines[0] == ROWS
    assert 0 < lines[1] < ROWS
    most = float(np.nanmax(swept["water_flow_m3_per_s"].to_numpy()))
    query = "select count(*), count(*) filter (outcome = 'pumping'), max(water_flow_m3_per_s) from read_parquet(?)"
    assert duckdb.execute(query, [files]).fetchone() == (*lines, most)
    polars = pl.scan_parquet(files)
    pumping = (pl.col("outcome") == "pumping").sum()
    assert polars.select(pl.len(), pumping, pl.max("water_flow_m3_per_s")).collect().row(0) == (*lines, most)
    pandas = pd.read_parquet(parts)
    assert (len(pandas), (pandas.outcome == "pumping").sum(), pandas.water_flow_m3_per_s.max()) == (*lines, most)


def test_the_wheel_gives_the_rows_of_a_sweep(design, swept):
    keys = swept.select(list(swept.column_names[:3]))
    assert_same(rw.over(keys, design), swept)


def test_two_processes_of_dask_give_the_rows_of_a_sweep(design, swept):
    from distributed import Client, LocalCluster

    keys = swept.select(list(swept.column_names[:3]))
    batches = keys.combine_chunks().to_batches(max_chunksize=100)
    assert len(batches) == ROWS / 100
    with LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as cluster:
        with Client(cluster) as client:
            workers = list(client.scheduler_info()["workers"])
            assert len(workers) == 2
            # Each process has its share of the batches.
            futures = [
                client.submit(rw.over, batch, str(design), threads=1, workers=[workers[n % 2]], pure=False)
                for n, batch in enumerate(batches)
            ]
            found = client.gather(futures)
    assert_same(pa.concat_tables(found), swept)


def test_a_million_points_are_those_of_a_sweep(tool, design, tmp_path):
    vary = ("riser.submergence=0.6 m..1.2 m:100", "riser.bore=50 mm..110 mm:100", "air.flow=20 L/min..200 L/min:100")
    due = ds.dataset(tool.parquet(tmp_path / "million.parquet", design, *vary)).to_table()
    assert due.num_rows == 10**6
    keys = {name: due[name].to_numpy() for name in due.column_names[:3]}
    start = time.perf_counter()
    found = rw.flow(design, **keys)
    print(f"a million points in {time.perf_counter() - start:.2f} s")
    assert_same(found.to_arrow(), due)
