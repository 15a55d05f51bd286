"""A cluster of two worker processes, one of which is killed: the same bytes as from one process."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from cookery import converted, entries, fill, setup, tree

from converter.folder import NoCluster, cluster, convert_folder

distributed = pytest.importorskip("distributed")


@pytest.fixture
def two_workers() -> Iterator[Any]:
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as made:
        yield made


def test_a_killed_worker_costs_nothing(two_workers: Any, tmp_path: Path) -> None:
    src, dest, fresh = tmp_path / "src", tmp_path / "dest", tmp_path / "fresh"
    fill(src, 60)
    converted(src, fresh)
    killed: list[int] = []

    with cluster(two_workers.scheduler_address) as engine:
        assert engine.width == 2
        with distributed.Client(two_workers, set_as_default=False) as client:
            first = next(iter(client.run(os.getpid).values()))

        def told(done: int, total: int) -> None:
            if not killed and done >= 8:
                killed.append(first)
                os.kill(first, signal.SIGKILL)

        made = convert_folder(src, dest, setup=setup(), engine=engine, told=told)
    assert killed
    assert made.listed.failed == []
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)


def test_no_cluster_at_the_address_is_one_sentence() -> None:
    with pytest.raises(NoCluster, match=r"no cluster answers at tcp://127\.0\.0\.1:1: "), cluster(
        "tcp://127.0.0.1:1", wait_seconds=0.5
    ):
        pass
