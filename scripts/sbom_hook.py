"""Software bill of materials (CycloneDX 1.6, JSON) for the source archive: what the program needs and carries.

Hatchling runs the hook while it builds the archive. Made from pyproject.toml and the notices of the data alone,
without a clock or a network, so that two builds give the same file.
"""

from __future__ import annotations

import json
import re
import tempfile
import tomllib
import uuid
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NAME: Final = "sbom.cdx.json"
DATA: Final = "src/tenhour/_data"
NAMESPACE: Final = uuid.UUID("8d0f3f4e-52a7-5c0c-9a55-0c4c2f1b7e21")
"""Fixed, so that the serial number changes with the contents only."""
REQUIREMENT: Final = re.compile(r"\s*([A-Za-z0-9._-]+)\s*(?:\[[^]]*\])?\s*([^;]*?)\s*(?:;.*)?$")


def sbom(root: Path, version: str) -> dict[str, Any]:
    """Return the bill of a checkout as one JSON object.

    Parameters: root, the folder of pyproject.toml; version, of the program.
    """
    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    name = project["name"]
    own = f"pkg:pypi/{name}@{version}"
    needed = [_library(line, "required") for line in project["dependencies"]]
    wanted = {
        part["purl"]: part
        for lines in project.get("optional-dependencies", {}).values()
        for part in (_library(line, "excluded") for line in lines)
    }
    others = [part for purl, part in sorted(wanted.items()) if purl not in {each["purl"] for each in needed}]
    data = _data(root)
    bill: dict[str, Any] = {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {
            "lifecycles": [{"phase": "pre-build"}],
            "component": {
                "type": "application",
                "bom-ref": own,
                "name": name,
                "version": version,
                "description": project["description"],
                "licenses": [{"expression": project["license"]}],
                "purl": own,
            },
        },
        "components": [*needed, *others, *data],
        "dependencies": [
            {"ref": own, "dependsOn": [part["bom-ref"] for part in (*needed, *data)]},
            *({"ref": part["bom-ref"]} for part in (*needed, *others, *data)),
        ],
    }
    bill["serialNumber"] = f"urn:uuid:{uuid.uuid5(NAMESPACE, json.dumps(bill, sort_keys=True))}"
    return bill


def _library(line: str, scope: str) -> dict[str, Any]:
    found = REQUIREMENT.match(line)
    if found is None:
        raise ValueError(f"no requirement: {line}")
    name = re.sub(r"[-_.]+", "-", found[1]).lower()
    part: dict[str, Any] = {
        "type": "library",
        "bom-ref": f"pkg:pypi/{name}",
        "name": name,
        "scope": scope,
        "purl": f"pkg:pypi/{name}",
    }
    if found[2]:
        part["properties"] = [{"name": "tenhour:versions", "value": found[2]}]
    return part


def _data(root: Path) -> list[dict[str, Any]]:
    """Data of others that travel inside the program, with their terms."""
    parts = []
    for number, row in enumerate(tomllib.loads((root / DATA / "notices.toml").read_text("utf-8"))["notice"], 1):
        terms = {"id": row["licence"], "url": row["terms"]} if row["licence"] else {"name": row["terms"]}
        parts.append(
            {
                "type": "data",
                "bom-ref": f"data-{number}",
                "name": row["data"],
                "supplier": {"name": row["holder"]},
                "description": f"{row['says']} Changed: {row['changed']}",
                "hashes": [{"alg": "SHA-256", "content": sha256((root / DATA / row["file"]).read_bytes()).hexdigest()}],
                "licenses": [{"license": terms}],
                "properties": [{"name": "tenhour:file", "value": f"tenhour/_data/{row['file']}"}],
            }
        )
    return parts


class SbomHook(BuildHookInterface):  # type: ignore[type-arg]
    """Puts the bill into the source archive."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Write the bill beside the build and have it taken in."""
        folder = Path(tempfile.mkdtemp(prefix="tenhour-sbom-"))
        path = folder / NAME
        text = json.dumps(sbom(Path(self.root), self.metadata.version), indent=1, ensure_ascii=False) + "\n"
        path.write_text(text, "utf-8")
        build_data["force_include"][str(path)] = NAME
        self._made = path

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Leave nothing behind."""
        self._made.unlink()
        self._made.parent.rmdir()
