"""Write docs/api.md from the docstrings of the door for Python; ``--check`` only compares.

Run: python scripts/build_api_docs.py [--check]
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import tenhour

OUT = Path(__file__).parents[1] / "docs" / "api.md"
INTRO = """# Names of the Python door

Made from the docstrings by `scripts/build_api_docs.py`. Worked examples stand in [python.md](python.md); keys and
columns of answers in [answers.md](answers.md). All of it is reached as `import tenhour as th`.
"""


def api_text() -> str:
    """Return the page: functions, then classes, then errors."""
    public: dict[str, Any] = {name: getattr(tenhour, name) for name in tenhour.__all__}
    functions = {name: item for name, item in public.items() if inspect.isfunction(item)}
    classes = {name: item for name, item in public.items() if name not in functions and not _is_error(item)}
    errors = {name: item for name, item in public.items() if _is_error(item)}
    parts = [INTRO, "## Functions\n"]
    parts += [_callable(f"th.{name}", item) for name, item in functions.items()]
    for name in ("House", "Year", "Beds", "Answer"):
        parts += [f"## th.{name}\n", *_class(name, classes.pop(name))]
    assert not classes, "a public class that no part of the page is about"
    parts.append("## Errors\n")
    parts += [f"**`th.{name}`** {_text(item)}\n" for name, item in errors.items()]
    return "\n".join(parts)


def _is_error(item: Any) -> bool:
    return inspect.isclass(item) and item.__module__ == "tenhour.errors"


def _class(name: str, cls: type[Any]) -> Iterator[str]:
    yield f"{_text(cls)}\n"
    if name in ("Year",):
        yield _callable(f"th.{name}", cls.__init__)
    members = [(key, member) for key, member in vars(cls).items() if not key.startswith("_")]
    for key, member in members:
        if isinstance(member, property):
            yield f"**`{name.lower()}.{key}`** {_text(member)}\n"
        elif inspect.isfunction(member):
            yield _callable(f"{name.lower()}.{key}", member)


def _callable(name: str, function: Callable[..., Any]) -> str:
    signature = inspect.signature(function)
    shown = [part for key, part in signature.parameters.items() if key != "self"]
    words = str(signature.replace(parameters=shown, return_annotation=inspect.Signature.empty))
    gives = signature.return_annotation
    arrow = "" if gives in ("None", inspect.Signature.empty) else f" → {gives}"
    return f"**`{name}{words.replace(chr(39), '')}`**{arrow}\n\n{_text(function)}\n"


def _text(item: Any) -> str:
    """A docstring as paragraphs; its headed lines become a list."""
    lines = (inspect.getdoc(item) or "").replace("``", "`").splitlines()
    out: list[str] = []
    for line in lines:
        head = line.split(":", 1)[0]
        if head in ("Parameters", "Returns", "Errors", "Columns"):
            out += ["", f"- *{head}:* {line.split(':', 1)[1].strip()}"]
        elif out and out[-1].startswith("- ") and line.strip():
            out[-1] += f" {line.strip()}"
        else:
            out.append(line)
    return "\n".join(out).replace("\n\n\n", "\n\n").replace("\n\n- ", "\n- ").replace("\n- ", "\n\n- ", 1).strip()


def main() -> int:
    text = api_text()
    if "--check" not in sys.argv:
        OUT.write_text(text, "utf-8")
        return 0
    if not OUT.exists() or OUT.read_text("utf-8") != text:
        print("docs/api.md is out of step; run scripts/build_api_docs.py")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
