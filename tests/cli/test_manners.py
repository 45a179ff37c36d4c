"""How the command line behaves, whatever the command: options, failures, pipes."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.command_line import Xref

PROGRAM = "import sys; from xref.faces.cli.app import main; sys.exit(main())"


def start(*words: str, **more: object) -> subprocess.Popen[str]:
    """Start xref in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM, *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **more,  # type: ignore[call-overload]
    )


def test_usage_errors_are_sentences(xref: Xref) -> None:
    """A wrong option ends with status 2, a sentence on stderr and the way to the help."""
    answer = xref("match", "--nonsense")
    assert answer.status == 2
    assert answer.out == ""
    assert "--nonsense" in answer.err
    assert "xref match --help" in answer.err


def test_usage_errors_as_json(xref: Xref) -> None:
    """With --json a usage error is the contract's error document and nothing else."""
    answer = xref("match", "--nonsense", "--json")
    assert answer.status == 2
    assert answer.err == ""
    assert set(answer.document) == {"contract", "error"}
    assert set(answer.document["error"]) == {"code", "message", "at"}
    assert answer.document["error"]["code"] == "usage"


def test_an_unknown_command_suggests_the_nearest(xref: Xref) -> None:
    """A slip in a command's name is answered with the command it resembles."""
    answer = xref("idenfity", "X")
    assert answer.status == 2
    assert "identify" in answer.err


@pytest.mark.parametrize("words", [["--json", "identify", "X1"], ["identify", "X1", "--json"]])
def test_shared_options_stand_on_either_side(xref: Xref, words: list[str]) -> None:
    """--json means the same before and after the command."""
    answer = xref(*words)
    assert answer.document["contract"] == 1


def test_store_option_before_the_command(xref: Xref, tmp_path: Path) -> None:
    """--store before the command names the store the command uses."""
    place = tmp_path / "elsewhere"
    answer = xref("--store", place, "store", "info", "--json")
    assert answer.status == 0
    assert str(place) in answer.out
    assert place.is_dir()


@pytest.mark.parametrize("day", ["2026-02-30", "2026-W05", "20261101", "soon"])
def test_a_date_that_is_none(xref: Xref, day: str) -> None:
    """A date outside the calendar, or a week, is a usage error that shows the form wanted."""
    answer = xref("due", "--on", day)
    assert answer.status == 2
    assert day in answer.err
    assert "2026-11-01" in answer.err


def test_the_unexpected_is_one_sentence(
    xref: Xref, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A failure nobody foresaw shows no traceback; the log file has it."""

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a slip of ours")

    monkeypatch.setattr("xref.faces.cli.shared.Shared.store", fail)
    log = tmp_path / "debug.log"
    answer = xref("identify", "X1", "--log", log)
    assert answer.status == 2
    assert "Traceback" not in answer.err
    assert "a slip of ours" in answer.err.replace("\n", " ")
    assert "--log FILE" in answer.err.replace("\n", " ")
    assert "Traceback" in log.read_text(encoding="utf-8")
    assert xref("identify", "X1", "--json").document["error"]["code"] == "unexpected"


@pytest.mark.parametrize("words", [["--help"], ["store", "info"], ["store", "info", "--json"]])
def test_a_closed_pipe_is_silent(words: list[str], tmp_path: Path) -> None:
    """`xref … | head` ends without a word when the reader goes away."""
    with start(*words, env={**os.environ, "XREF_STORE": str(tmp_path / "s")}) as process:
        assert process.stdout is not None
        process.stdout.close()
        assert process.stderr is not None
        assert process.stderr.read() == ""
    assert process.returncode == 0


def test_interrupting_ends_with_130() -> None:
    """Ctrl-C ends a command with status 130 and no traceback."""
    with start("read", "-", stdin=subprocess.PIPE) as process:
        time.sleep(1.5)  # until it waits for its input
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=20)
    assert process.returncode == 130
    assert "Traceback" not in errors


def test_hostile_cells_reach_the_terminal_escaped() -> None:
    """Terminal commands, reversed text and zero-width characters are shown, never sent."""
    from xref.faces.cli.output import shown

    assert shown("\x1b[31mred\x07") == "\\x1b[31mred\\x07"
    assert shown("a\u202eb\u200bc") == "a\\u202eb\\u200bc"
    assert shown("Größe 5 µm") == "Größe 5 µm"


def test_exact_decimals_in_json() -> None:
    """Prices leave as the decimals they are, sizes without binary dust, NaN as null."""
    from decimal import Decimal

    from xref.faces.cli.output import to_json

    text = to_json(
        {
            "price": Decimal("12345678901234567.89"),
            "small": Decimal("9.50"),
            "size": 0.1 + 0.2,
            "none": float("nan"),
        }
    )
    assert text == '{"price": 12345678901234567.89, "small": 9.5, "size": 0.3, "none": null}'
    assert json.loads(text)["none"] is None


def test_bands_share_one_scale() -> None:
    """The permitted and the actual interval are drawn on one scale, limits at their places."""
    from xref.faces.cli.bands import SCALE, pair

    drawn = pair((80.0, 80.046), (80.0, 80.023))
    assert drawn is not None
    permitted, actual = drawn
    assert len(permitted) == len(actual) == SCALE
    assert permitted.index("[") == actual.index("[")
    half = (permitted.index("[") + permitted.index("]")) / 2
    assert abs(actual.index("]") - half) <= 1


def test_open_bands_run_to_the_edge() -> None:
    """A limit on one side only is drawn open on the other."""
    from xref.faces.cli.bands import pair

    drawn = pair((None, 8.0), (7.9, 7.9))
    assert drawn is not None
    assert drawn[0].startswith("=")
    assert drawn[0].rstrip().endswith("]")
    assert drawn[1].strip() == "|"


def test_no_colour_anywhere(xref: Xref, monkeypatch: pytest.MonkeyPatch) -> None:
    """The output holds no colour codes, with NO_COLOR or without."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b" not in xref("--help").out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["match", "X", "--top", "many"], "'many' is not a whole number."),
        (["match", "X", "--top", "0"], "0 is not at least 1"),
        (["match", "X", "--rpm", "nan"], "'nan' is not a number one can measure."),
        (["fit", "press", "--friction", "1.5"], "1.5 is not at least 0.0 and at most 1.0."),
    ],
)
def test_numbers_that_are_none(xref: Xref, words: list[str], sentence: str) -> None:
    """A word in place of a number, or one out of bounds, is a usage error in plain words."""
    answer = xref(*words)
    assert answer.status == 2
    assert sentence in answer.err.replace("\n", " ")


def test_plain_conversion_leaves_no_work_to_pydantic() -> None:
    """Running a command imports no pydantic: every parameter has plain conversion."""
    program = (
        "import sys\n"
        "from xref.faces.cli.app import run\n"
        "status = run(['fit', 'no_such_kind', '--id', '60mm', '--trait', 'a=b'])\n"
        "sys.exit('pydantic' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert done.returncode == 0


def test_a_dash_number_is_no_option(xref: Xref) -> None:
    """`fit -214` is the O-ring of AS568; after an option that takes a value it is the value."""
    groove = ["--groove-diameter", "25.4mm", "--mating-diameter", "31.14mm"]
    answer = xref("fit", "-214", *groove, "--groove-width", "4.57mm", "--json")
    assert answer.document["kind"] == "o_ring"
    assert answer.document["given"]["part_mm"]["cross_section"] == 3.53
    assert xref("match", "--json", "--kind", "o_ring", "-214").document["need"]["part_mm"]
    colder = ["--groove-width", "4.57mm", "--trait", "material=NBR", "--temperature", "-214"]
    assert xref("fit", "-214", *groove, *colder, "--json").document["verdict"] == "does not fit"


def test_ctrl_c_while_the_database_works_is_ctrl_c(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A query broken off by the user ends with 130, like all else, not as something unforeseen."""
    from xref.faces.cli import app

    def broken_off(_: object) -> int:
        raise RuntimeError("Query interrupted")

    monkeypatch.setattr(app, "_dispatch", broken_off)
    assert app.run(["store", "check"]) == 130
    assert capsys.readouterr().err == ""
