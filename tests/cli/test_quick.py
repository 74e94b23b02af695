"""Loading a large library module by module: the same modules, only fewer of them."""

from __future__ import annotations

import ast
import importlib.metadata
import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

from tenhour.cli.main import _of_command, app
from tenhour.cli.quick import LIBRARY, load_by_module, load_when_used


def run(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_the_top_module_of_the_library_only_imports() -> None:
    spec = importlib.util.find_spec(LIBRARY)
    assert spec is not None
    assert spec.origin is not None
    body = ast.parse(Path(spec.origin).read_text("utf-8")).body
    assert {type(node) for node in body} <= {ast.Import, ast.ImportFrom, ast.Expr}


def test_modules_load_when_they_are_asked_for() -> None:
    code = (
        "import sys; from tenhour.cli.quick import load_by_module\n"
        f"load_by_module(); import {LIBRARY} as library\n"
        "print(library.__version__, hasattr(library, 'nothing'), hasattr(library, '__nothing__'))\n"
        "from pvlib import spa; print('pvlib.iotools' in sys.modules)\n"
        "library.iotools; print('pvlib.iotools' in sys.modules)"
    )
    version = importlib.metadata.version(LIBRARY)
    assert run(code).splitlines() == [f"{version} False False", "False", "True"]


def test_light_is_the_same_either_way() -> None:
    code = (
        "{0}import numpy as np, pandas as pd\n"
        "from tenhour.sun import position\n"
        "times = pd.date_range('2027-01-15 12:00', periods=3, freq='h', tz='UTC')\n"
        "path = position.solar_position(times, 57.1, -4.7, 40.0)\n"
        "print(np.asarray(path.zenith_deg).tolist())"
    )
    quick = "from tenhour.cli.quick import load_by_module\nload_by_module()\n"
    assert run(code.format(quick)) == run(code.format(""))


def test_only_the_command_that_is_called_is_made_ready(monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(_of_command(["sow", "front"]).registered_commands) == 1
    for words in ([], ["sw"], ["--help"], ["help", "sow"], ["weather", "fetch"], ["--json"]):
        assert _of_command(words) is app
    monkeypatch.setenv("_TENHOUR_COMPLETE", "bash_complete")
    assert _of_command(["sow"]) is app


def test_what_is_loaded_or_missing_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    load_by_module("json")
    assert sys.modules["json"] is __import__("json")
    load_by_module("a_library_that_is_not_there")
    assert "a_library_that_is_not_there" not in sys.modules
    monkeypatch.delitem(sys.modules, "colorsys", raising=False)
    load_by_module("colorsys")  # a module without parts
    assert "colorsys" not in sys.modules


def test_rare_modules_run_when_something_in_them_is_asked_for() -> None:
    code = (
        "import sys; from tenhour.cli.quick import RARE, RARE_IN_DRAWING, load_by_module, load_when_used\n"
        "load_by_module(); load_when_used(*RARE_IN_DRAWING)\n"
        "import tenhour.year.answers.report, tenhour.report.page.drawing, matplotlib.figure\n"
        "waiting = [name for name in (*RARE, *RARE_IN_DRAWING) if '__getattr__' in vars(sys.modules[name])]\n"
        "print(set(waiting) == {*RARE, *RARE_IN_DRAWING})\n"
        "import h5py; print(h5py.File.__name__, hasattr(h5py, 'nothing'))\n"
        "from scipy.spatial.transform import Rotation; print(Rotation.__name__)\n"
        "from matplotlib.widgets import Button; print(Button.__name__)\n"
        "import numpy as np; print(callable(np.testing.assert_allclose), callable(np.f2py.run_main))"
    )
    assert run(code).splitlines() == ["True", "File False", "Rotation", "Button", "True True"]


def test_parts_of_the_library_of_arrays_wait_too() -> None:
    code = (
        "import sys; from tenhour.cli.quick import RARE_NUMBERS, load_by_module\n"
        "load_by_module()\n"
        "import tenhour.year.answers.light, tenhour.files.house.read, tenhour.report.light\n"
        "tenhour.files.house.read.demo_house()\n"
        "print(sorted(set(RARE_NUMBERS) - {n for n in RARE_NUMBERS if '__getattr__' in vars(sys.modules[n])}))\n"
        "print('scipy.linalg' in sys.modules, any(name.startswith('tenhour.growth') for name in sys.modules))\n"
        "import numpy; print(numpy.unique([2, 1, 2]), '__getattr__' in vars(sys.modules['numpy.ma']))\n"
        "import numpy as np, importlib.metadata as m\n"
        "print(np.random.default_rng(1).integers(9), np.ma.masked_array([1, 2], [0, 1]).sum(), np.rec.__name__)\n"
        "hidden = np.ma.masked_array([1, 1, 3], [0, 0, 1])\n"
        "print(np.ma.is_masked(hidden), np.unique(hidden))\n"
        "from numpy.polynomial import Polynomial; from numpy.ma import MaskedArray; import numpy.ma.mrecords\n"
        "print(Polynomial([1, 2])(3), m.metadata('numpy')['Name'], np.char.upper('a'), np.ctypeslib.ndpointer.__name__)"
    )
    assert run(code).splitlines() == [
        "[]", "False False", "[1 2] True", "4 1 numpy.rec", "True [1 --]", "7.0 numpy A ndpointer"
    ]  # fmt: skip


def test_rare_modules_loaded_or_missing_are_left_alone() -> None:
    load_when_used("json", "a_library_that_is_not_there", "a_library_that_is_not_there.part", "json.no_such_part")
    assert sys.modules["json"] is __import__("json")
    assert not {"a_library_that_is_not_there", "json.no_such_part"} & set(sys.modules)


def test_the_year_needs_no_library_of_tables() -> None:
    """Loading that library takes as long as tracing a house; only files of readings and of weather need it."""
    code = (
        "import sys; from tenhour.cli.quick import load_by_module\n"
        "load_by_module()\n"
        "import tenhour.door, tenhour.year.answers.report, tenhour.report.light, tenhour.report.season\n"
        "from tenhour.year.outside.sunlight import sunlight_at\n"
        "house = tenhour.door.demo_house().model\n"
        "print(round(float(sunlight_at(house, tenhour.door.sources_of(house)).outdoors.daylength_h.max())))\n"
        "print('pandas' in sys.modules)"
    )
    assert run(code).splitlines() == ["16", "False"]


def test_methods_of_records_that_are_compiled_when_called_are_the_same() -> None:
    code = (
        "import dataclasses, sys\n"
        "from dataclasses import dataclass, field\n"
        "made, make = [], dataclasses._create_fn\n"
        "if sys.argv[1:]:\n"
        "    dataclasses._create_fn = lambda name, args, body, *, globals=None, locals=None,"
        " return_type=dataclasses.MISSING: (made.append(name), make(name, args, body, globals=globals,"
        " locals=locals, return_type=return_type))[1]\n"
        "    from tenhour.cli.quick import compile_when_called\n"
        "    compile_when_called()\n"
        "@dataclass(frozen=True, order=True)\n"
        "class Bed:\n"
        "    name: str\n"
        "    size_m: tuple = (1.0, 2.0)\n"
        "@dataclass\n"
        "class House:\n"
        "    beds: list = field(default_factory=list)\n"
        "early = list(made)\n"
        "one, other = Bed('a'), Bed('b')\n"
        "print(one, one == Bed('a'), one == other, one < other, len({one, Bed('a')}), House([one]) == House([one]))\n"
        "for ask in (lambda: setattr(one, 'name', 'c'), lambda: delattr(one, 'name'), lambda: one < 3,"
        " lambda: hash(House())):\n"
        "    try: ask()\n"
        "    except (AttributeError, TypeError) as found: print(type(found).__name__, found)\n"
        "print(set(early) <= {'__init__'} or not sys.argv[1:])\n"
    )
    usual, late = (
        subprocess.run([sys.executable, "-c", code, *more], capture_output=True, text=True, check=True).stdout
        for more in ((), ("late",))
    )
    assert usual == late
    assert usual.endswith("True\n")
    assert "FrozenInstanceError cannot assign to field 'name'" in usual
