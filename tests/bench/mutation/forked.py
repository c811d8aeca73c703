"""Pytest again and again, each time in a fork of a process that has the libraries at hand.

Run as a module in the copy: a line of JSON in asks for a run, a line of JSON out answers. What is
imported here once is other people's; the project itself is read anew in every fork.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
import traceback
from pathlib import Path
from typing import Any

import coverage
import ezdxf  # noqa: F401
import hypothesis
import jinja2  # noqa: F401
import numpy  # noqa: F401
import pikepdf  # noqa: F401
import pint  # noqa: F401
import pytest
import scipy.interpolate
import scipy.optimize
import scipy.stats  # noqa: F401
import shapely  # noqa: F401
import svgwrite  # noqa: F401
from fontTools import ttLib  # noqa: F401


class _Sorted:
    """Tests in the order asked, some left out; what took how long, what failed, what ran where."""

    def __init__(self, asked: dict[str, Any]) -> None:
        self.order = {name: i for i, name in enumerate(asked["order"])}
        self.without = set(asked["without"])
        self.seconds: dict[str, float] = {}
        self.failed: list[str] = []
        self.cover = (
            coverage.Coverage(
                config_file=False, data_file=None, include=asked["cover"], messages=False
            )
            if asked["cover"]
            else None
        )

    def pytest_configure(self) -> None:
        # The first example that fails is enough: nothing is shrunk or explained.
        base = hypothesis.settings.get_profile("outseam")
        phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
        hypothesis.settings.register_profile(
            "first", base, phases=phases, report_multiple_bugs=False
        )
        hypothesis.settings.load_profile("first")
        if self.cover:
            self.cover.start()

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [i for i in items if i.nodeid not in self.without]
        items.sort(key=lambda i: self.order.get(i.nodeid, len(self.order)))

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Any:
        if self.cover:
            self.cover.switch_context(item.nodeid)
        yield

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0.0) + report.duration
        if report.failed:
            self.failed.append(report.nodeid)

    def lines(self) -> dict[str, dict[int, list[str]]]:
        """Return by file and line the tests that ran it."""
        if not self.cover:
            return {}
        self.cover.stop()
        data = self.cover.get_data()
        return {
            file: {n: [t for t in tests if t] for n, tests in data.contexts_by_lineno(file).items()}
            for file in data.measured_files()
        }


def _ran(asked: dict[str, Any], result: Path) -> int:
    """Run pytest in this process; what came of it goes into `result`."""
    plugin = _Sorted(asked)
    args = [
        "-q",
        "-p",
        "no:cacheprovider",
        "--tb=no",
        "--assert=plain",
        *asked["args"],
        *asked["tests"],
    ]
    code = int(pytest.main([*args, *asked["args"], *asked["tests"]], plugins=[plugin]))
    told = {"seconds": plugin.seconds, "failed": plugin.failed, "lines": plugin.lines()}
    result.write_text(json.dumps(told))
    return code


def _answered(asked: dict[str, Any]) -> dict[str, Any]:
    """Run pytest in a fork; `code` is None where it took too long."""
    result, out = Path("mutation-result.json"), Path("mutation-out.txt")
    result.unlink(missing_ok=True)
    child = os.fork()
    if child == 0:
        os.setsid()
        with out.open("w") as stream:
            os.dup2(stream.fileno(), 1)
            os.dup2(stream.fileno(), 2)
        code = 70
        try:
            code = _ran(asked, result)
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(code)
    until = time.monotonic() + asked["most_s"]
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            break
        if time.monotonic() > until:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return {"code": None}
        time.sleep(0.02)
    told = json.loads(result.read_text()) if result.exists() else {}
    return {"code": os.waitstatus_to_exitcode(status), "out": out.read_text()[-3000:], **told}


def main() -> None:
    """Answer every line until there is none."""
    for line in sys.stdin:
        print(json.dumps(_answered(json.loads(line))), flush=True)


if __name__ == "__main__":
    main()
