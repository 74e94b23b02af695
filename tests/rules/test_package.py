"""What is built: wheel and source archive hold everything, and dependencies are few, used and explained."""

from __future__ import annotations

import ast
import json
import os
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

from helpers_parsed import parsed

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
OURS_BY_OTHER_NAMES = {"dateutil": "python-dateutil"}
WITHOUT_IMPORT = {"tzdata"}
"""zoneinfo reads it where the system has no time zones."""


FOR_DEVELOPERS = {"test", "check", "data"}
"""Extras of which the program imports nothing."""


def requirements(lines: list[str]) -> set[str]:
    return {re.split(r"[<>=!~;\[ ]", line)[0].lower() for line in lines}


def imported() -> set[str]:
    """Top names of other people's packages that the program imports, anywhere in it."""
    found = set()
    for path in (ROOT / "src").rglob("*.py"):
        for node in ast.walk(parsed(path)):
            if isinstance(node, ast.Import):
                found |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
                found.add(node.module.split(".")[0])
    return {OURS_BY_OTHER_NAMES.get(name, name) for name in found - {"tenhour"} - set(sys.stdlib_module_names)}


def test_what_is_imported_is_required_and_what_is_required_is_used() -> None:
    required = requirements(PROJECT["project"]["dependencies"])
    extras = PROJECT["project"]["optional-dependencies"]
    on_request = {name for extra in extras.keys() - FOR_DEVELOPERS for name in requirements(extras[extra])}
    assert imported() == (required | on_request) - WITHOUT_IMPORT


def test_every_dependency_has_its_reason() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    table = page.split("## Dependencies")[1].split("\n## ")[0]
    rows = [line for line in table.splitlines() if line.startswith("| ") and not line.startswith("| Package")]
    explained = {name.strip() for row in rows for name in row.split("|")[1].split(",")}
    assert explained == requirements(PROJECT["project"]["dependencies"])
    assert all(len(row.split("|")[2].strip()) > 10 for row in rows)


def test_lower_bounds_are_stated() -> None:
    bare = [line for line in PROJECT["project"]["dependencies"] if ">=" not in line]
    assert bare == []
    capped = [line for line in PROJECT["project"]["dependencies"] if "<" in line or "==" in line]
    assert capped == [], "an upper bound keeps users from mended versions"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("dist")
    done = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", str(folder)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return folder


def shipped() -> set[str]:
    """Names that must lie in the wheel: every module, every data file, every crop file."""
    names = {path.relative_to(ROOT / "src").as_posix() for path in (ROOT / "src/tenhour").rglob("*") if path.is_file()}
    names |= {
        f"tenhour/_crops/{path.relative_to(ROOT / 'crops').as_posix()}" for path in (ROOT / "crops").rglob("*.toml")
    }
    return {name for name in names if "__pycache__" not in name}


def test_the_wheel_holds_modules_data_and_crops_and_nothing_else(built: Path) -> None:
    wheel = next(built.glob("*.whl"))
    with zipfile.ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if ".dist-info/" not in name}
        entry = next(name for name in archive.namelist() if name.endswith("entry_points.txt"))
        assert "tenhour = tenhour.__main__:main" in archive.read(entry).decode()
    assert names == shipped()
    assert "tenhour/py.typed" in names
    assert wheel.stat().st_size < 8_000_000


def test_the_source_archive_builds_tests_and_explains_itself(built: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        names = {name.split("/", 1)[1] for name in archive.getnames() if "/" in name}
    for needed in ("pyproject.toml", "README.md", "LICENSE", "DEVELOPERS.md", "CHANGELOG.md", "src/tenhour/py.typed"):
        assert needed in names
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if tracked.returncode == 0:
        wanted = {name for name in tracked.stdout.splitlines() if (ROOT / name).exists() and name != ".gitignore"}
        assert wanted <= names, sorted(wanted - names)[:10]


def notices() -> list[dict[str, str]]:
    text = (ROOT / "src/tenhour/_data/notices.toml").read_text("utf-8")
    return list(tomllib.loads(text)["notice"])


def test_the_wheel_carries_the_licence_and_the_notices_of_the_data(built: Path) -> None:
    with zipfile.ZipFile(next(built.glob("*.whl"))) as archive:
        licences = [name for name in archive.namelist() if ".dist-info/licenses/" in name]
        metadata = archive.read(next(n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))).decode()
        words = " ".join(archive.read(name).decode() for name in licences)
    for needed in ("MIT License", "GeoNames", "Copernicus Climate Change Service", "MERRA-2", "Perez", "ArcticDEM"):
        assert needed in words
    expression = re.search(r"^License-Expression: (.*)$", metadata, re.MULTILINE)
    assert expression is not None
    assert set(expression[1].split(" AND ")) == {"MIT"} | {row["licence"] for row in notices() if row["licence"]}


def test_every_data_file_from_others_has_its_notice() -> None:
    page = (ROOT / "docs/data.md").read_text("utf-8")
    own = {
        "demo-house.toml",
        "standard-houses.toml",
        "household.toml",
        "learning.toml",
        "notices.toml",
        "normals_error.csv",
        "lamps.toml",
        "cautions.toml",
        "spectra.toml",
        "meters.toml",
        "grower.toml",
        "signs.toml",
        "weather_hours.toml",
        "tables.jsonl",
        "crop_tables.jsonl",
    }
    there = {path.name for path in (ROOT / "src/tenhour/_data").iterdir() if path.is_file()}
    assert {row["file"] for row in notices()} <= there
    assert there - own == {row["file"] for row in notices()}, "say whose it is in notices.toml, or that it is ours here"
    assert all(name in page for name in there - {"demo-house.toml"})


def test_the_source_archive_holds_a_bill_of_materials(built: Path) -> None:
    """CycloneDX 1.6, checked by the reference library of that standard against its schema."""
    from cyclonedx.schema import SchemaVersion
    from cyclonedx.validation.json import JsonStrictValidator

    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        member = archive.extractfile(next(n for n in archive.getnames() if n.endswith("/sbom.cdx.json")))
        assert member is not None
        text = member.read().decode()
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(text) is None
    bill = json.loads(text)
    needed = {part["name"] for part in bill["components"] if part.get("scope") == "required"}
    assert needed == requirements(PROJECT["project"]["dependencies"])
    optional = {part["name"] for part in bill["components"] if part.get("scope") == "excluded"}
    extras = {name for lines in PROJECT["project"]["optional-dependencies"].values() for name in requirements(lines)}
    assert optional == extras - needed
    data = [part for part in bill["components"] if part["type"] == "data"]
    assert {part["properties"][0]["value"] for part in data} == {f"tenhour/_data/{row['file']}" for row in notices()}
    from sbom_hook import sbom

    version = bill["metadata"]["component"]["version"]
    assert sbom(ROOT, version) == bill, "two builds, two bills"
    assert sbom(ROOT, "9.9.9")["serialNumber"] != bill["serialNumber"]


def test_the_wheel_answers_from_its_own_data(built: Path, tmp_path: Path) -> None:
    """Unpacked alone, without the checkout beside it."""
    with zipfile.ZipFile(next(built.glob("*.whl"))) as archive:
        archive.extractall(tmp_path / "site")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path / "site"), "PYTHONSAFEPATH": "1"}
    code = "import tenhour; print(tenhour.__file__)"
    place = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment, check=True)
    assert place.stdout.startswith(str(tmp_path))
    for words in (["--version"], ["crops", "kale"], ["check"]):
        done = subprocess.run(
            [sys.executable, "-m", "tenhour", *words],
            capture_output=True, text=True, env=environment, cwd=tmp_path, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr[-2000:]
        assert done.stdout
