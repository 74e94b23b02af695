"""Words that may not stand in the project, and the shape of its top level."""

from __future__ import annotations

import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
FORBIDDEN = ("seed " + "document", "tran" + "script", "/wor" + "k/shared", "../sha" + "red")
TOP = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "src", "tests", "crops", "docs", ".ci", "benchmarks", "scripts",
    "CHANGELOG.md", "LICENSE", ".gitignore",
}  # fmt: skip


def tracked() -> list[Path]:
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode != 0:  # an unpacked source archive has no history
        return [
            p.relative_to(ROOT)
            for room in ("src", "tests", "crops", "docs", "scripts")
            for p in (ROOT / room).rglob("*.*")
        ]
    return [Path(line) for line in done.stdout.splitlines()]


def test_nothing_cites_where_the_project_came_from() -> None:
    found = []
    for path in tracked():
        full = ROOT / path
        if full.suffix in {".py", ".md", ".toml", ".csv", ".txt", ".html", ".json", ""} and full.is_file():
            text = full.read_text("utf-8", errors="replace").lower()
            found += [f"{path}: {word}" for word in FORBIDDEN if word in text]
    assert not found


def test_top_level_holds_only_what_it_should() -> None:
    assert {path.parts[0] for path in tracked()} <= TOP


def test_readme_opens_with_the_job() -> None:
    paragraphs = [p for p in (ROOT / "README.md").read_text("utf-8").split("\n\n") if not p.startswith("#")]
    assert paragraphs[0].startswith("**tenhour plans a winter greenhouse by its light.**")
